# SPDX-License-Identifier: MIT
"""How much detail is drawn at which zoom, in pixels a unit of the drawing."""

from __future__ import annotations

from enum import Enum
from typing import NamedTuple


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
_LEAST_PX_SCREEN, _LEAST_PX_PAPER = 1.5, 0.8
#: Small parts show as dots from here on.
DOTS_FROM = 0.1
#: Flow arrows show from here on.
ARROWS_FROM = 0.3


class Detail(NamedTuple):
    """How a drawing is painted: zoom [px a unit], level, and the least width of a line [px]."""

    scale: float
    level: Level
    least_px: float


def on_screen(scale: float) -> Detail:
    """Return what a screen shows crisply at a zoom."""
    return Detail(scale, level_at(scale), _LEAST_PX_SCREEN)


def on_paper(scale: float) -> Detail:
    """Return what paper shows: every detail at every zoom, and finer lines."""
    return Detail(scale, Level.WHOLE, _LEAST_PX_PAPER)


def level_at(scale: float) -> Level:
    """Return the level of detail at a zoom."""
    if scale >= _WHOLE_FROM:
        return Level.WHOLE
    return Level.PLAIN if scale >= _PLAIN_FROM else Level.FAR
