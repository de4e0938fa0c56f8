# SPDX-License-Identifier: MIT
"""What is lit on the drawing while a panel tells of it: a circuit, a loop, the links of a step."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field


@dataclass(frozen=True)
class Lit:
    """Parts to be lit.

    Attributes
    ----------
    ways : mapping
        Tag of a run or component -> 1 to go along a run from its start to its end, -1 back, 0 for no
        direction.
    texts : mapping
        Tag -> what is written beside it in place of its own label.
    """

    ways: Mapping[str, int]
    texts: Mapping[str, str] = field(default_factory=dict)


def part_of(link: str) -> str:
    """Return the tag of the part that a link belongs to: ``CH-1`` of ``CH-1:sea``."""
    return link.partition(":")[0]
