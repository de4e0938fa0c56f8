# SPDX-License-Identifier: MIT
"""Shows what is selected and what the pointer is on: an outline outside the part, ports as open dots."""

from __future__ import annotations

from collections.abc import Iterable

from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QColor, QPainter, QPainterPath, QPainterPathStroker, QPen

from app.canvas.component_item import ComponentItem
from app.canvas.run_item import RunItem
from app.theme import RADIUS, Theme

#: Distance of the outline from the part, its width, and the diameter of a port's dot [px].
_OFF, _WIDTH, _DOT = 2.0, 2.0, 8.0
_HOVER_WIDTH = 1.5


def paint_selection(
    painter: QPainter,
    components: Iterable[ComponentItem],
    runs: Iterable[RunItem],
    scale: float,
    theme: Theme,
    *,
    hover: bool = False,
) -> None:
    """Paint the outlines of parts and the dots of their ports; thinner for what is only pointed at."""
    components, runs = list(components), list(runs)
    outline = QPainterPath()
    outline.setFillRule(Qt.FillRule.WindingFill)
    off = (_OFF + _WIDTH / 2) / scale
    for component in components:
        left, top, right, bottom = component.body
        outline.addRoundedRect(
            left - off,
            top - off,
            right - left + 2 * off,
            bottom - top + 2 * off,
            RADIUS / scale,
            RADIUS / scale,
        )
    for run in runs:
        stroker = QPainterPathStroker()
        stroker.setWidth(run.width + 2 * off)
        stroker.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
        outline.addPath(stroker.createStroke(run.fine).simplified())
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.setPen(QPen(QColor(theme.accent), (_HOVER_WIDTH if hover else _WIDTH) / scale))
    painter.drawPath(outline)
    painter.setBrush(QColor(theme.paper))
    painter.setPen(QPen(QColor(theme.accent), _HOVER_WIDTH / scale))
    radius = (_DOT - _HOVER_WIDTH) / 2 / scale
    for component in components:
        for x, y in component.ports().values():
            painter.drawEllipse(QPointF(x, y), radius, radius)
