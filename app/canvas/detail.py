# SPDX-License-Identifier: MIT
"""How much detail is drawn at which zoom, in pixels a unit of the drawing."""

from __future__ import annotations

from enum import Enum


class Level(Enum):
    """Levels of detail.

    ``WHOLE``: all of it.  ``PLAIN``: outlines of symbols, bare lines.  ``FAR``: bare lines, large parts as
    boxes, small ones as dots.
    """

    WHOLE = "whole"
    PLAIN = "plain"
    FAR = "far"


_WHOLE_FROM = 0.45
_PLAIN_FROM = 0.25
#: Small parts show as dots from here on.
DOTS = 0.1
#: Flow arrows show from here on.
ARROWS = 0.3


def level_at(scale: float) -> Level:
    """Return the level of detail at a zoom."""
    if scale >= _WHOLE_FROM:
        return Level.WHOLE
    return Level.PLAIN if scale >= _PLAIN_FROM else Level.FAR
