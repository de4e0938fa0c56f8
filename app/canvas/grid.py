# SPDX-License-Identifier: MIT
"""The paper and its grid."""

from __future__ import annotations

import math

from PySide6.QtCore import QLineF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen

from app.theme import Theme

#: Module of the drawing: parts snap to it [units].
MODULE = 10.0
#: Grid lines are at least this far apart on the screen [px].
_APART_PX = 36.0


def paint_paper(painter: QPainter, exposed: QRectF, scale: float, theme: Theme, *, grid: bool = True) -> None:
    """Paint paper and grid lines over an area of the drawing."""
    painter.fillRect(exposed, QColor(theme.paper))
    if not grid:
        return
    step = spacing(scale)
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing, False)
    painter.setPen(QPen(QColor(theme.grid), 0, Qt.PenStyle.SolidLine))
    left, top = math.floor(exposed.left() / step), math.floor(exposed.top() / step)
    right, bottom = math.ceil(exposed.right() / step), math.ceil(exposed.bottom() / step)
    painter.drawLines(
        [QLineF(x * step, exposed.top(), x * step, exposed.bottom()) for x in range(left, right + 1)]
        + [QLineF(exposed.left(), y * step, exposed.right(), y * step) for y in range(top, bottom + 1)]
    )
    painter.restore()


def spacing(scale: float) -> float:
    """Return the distance of grid lines at a zoom: 1 or 5 times a power of ten modules, never too dense."""
    least = _APART_PX / scale / MODULE
    power = 10.0 ** max(math.floor(math.log10(least)), 0)
    return next(factor for factor in (1.0, 5.0, 10.0) if factor * power >= least) * power * MODULE
