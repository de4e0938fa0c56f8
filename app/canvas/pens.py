# SPDX-License-Identifier: MIT
"""Pens of the drawing: widths grow with the zoom but never fall below what a screen shows crisply."""

from __future__ import annotations

from functools import lru_cache

from PySide6.QtCore import Qt
from PySide6.QtGui import QColor, QPen

#: Dash and gap of a return run [units], and the least they measure on the screen [px].
_DASH, _GAP = 9.0, 5.0
_LEAST_DASH_PX, _LEAST_GAP_PX = 5.0, 3.0
#: Strokes across a run beyond its limits: thickness and distance [units].
_TICK, _TICK_APART = 1.5, 7.0


@lru_cache(maxsize=4096)
def pen(colour: str, width: float, scale: float, how: str = "solid", least_px: float = 1.5) -> QPen:
    """Return a pen.

    Parameters
    ----------
    colour : str
    width : float
        In units of the drawing.
    scale : float
        Pixels a unit.
    how : {"solid", "dashed", "ticks"}
        "ticks" are strokes across the line.
    least_px : float
        Least width on the screen.
    """
    width = max(width, least_px / scale)
    found = QPen(
        QColor(colour), width, Qt.PenStyle.SolidLine, Qt.PenCapStyle.FlatCap, Qt.PenJoinStyle.MiterJoin
    )
    if how == "dashed":
        found.setDashPattern(
            [max(_DASH, _LEAST_DASH_PX / scale) / width, max(_GAP, _LEAST_GAP_PX / scale) / width]
        )
    elif how == "ticks":
        found.setDashPattern([_TICK / width, _TICK_APART / width])
    return found
