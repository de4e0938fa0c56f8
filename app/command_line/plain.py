# SPDX-License-Identifier: MIT
"""Figures by tag as plain values, and tags in the order a reader expects."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

import msgspec


def without_tags(by_tag: Mapping[str, Any]) -> dict[str, Any]:
    """Return figures by tag as plain values, the tag not told twice."""
    plain = {tag: msgspec.to_builtins(figures) for tag, figures in by_tag.items()}
    for figures in plain.values():
        del figures["tag"]
    return plain


def in_order(tagged: tuple[str, object]) -> list[tuple[int, str]]:
    """Return a key that sorts AH-2 before AH-10."""
    return [(int(piece), "") if piece.isdecimal() else (0, piece) for piece in re.split(r"(\d+)", tagged[0])]
