# SPDX-License-Identifier: MIT
"""Shows what is selected and what the pointer is on: an outline outside the part, ports as open dots."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import pairwise

from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPainterPath, QPainterPathStroker, QPen

from app.canvas.component_item import ComponentItem
from app.canvas.layer import from_rect
from app.canvas.run_item import RunItem
from app.canvas.tiles import grown, touches
from app.theme import RADIUS, Theme
from solver.vessel.footprint import Rect

#: Distance of the outline from the part, its width, and the diameter of a port's dot [px].
_OFF, _WIDTH, _DOT = 2.0, 2.0, 8.0
_HOVER_WIDTH = 1.5
#: With more parts than this in sight each has the simplest outline, or painting would take seconds.
_MOST_OUTLINED = 120


def paint_selection(
    painter: QPainter,
    components: Iterable[ComponentItem],
    runs: Iterable[RunItem],
    exposed: Rect,
    scale: float,
    theme: Theme,
    *,
    hover: bool = False,
) -> None:
    """Paint the outlines of the parts in ``exposed`` and the dots of their ports.

    What is only pointed at has a thinner outline.  Of very many parts only boxes and bare lines are painted.
    """
    off = (_OFF + _WIDTH / 2) / scale
    seen = grown(exposed, off + _DOT / scale)
    components = [item for item in components if touches(item.rect, seen)]
    runs = [item for item in runs if touches(item.rect, seen)]
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.setPen(QPen(QColor(theme.accent), (_HOVER_WIDTH if hover else _WIDTH) / scale))
    if len(components) + len(runs) > _MOST_OUTLINED:
        painter.drawLines([QLineF(*a, *b) for item in runs for a, b in pairwise(item.points)])
        painter.drawRects([_box(item.body, off) for item in components])
        return
    painter.drawPath(_outline(components, runs, off, RADIUS / scale))
    painter.setBrush(QColor(theme.paper))
    painter.setPen(QPen(QColor(theme.accent), _HOVER_WIDTH / scale))
    radius = (_DOT - _HOVER_WIDTH) / 2 / scale
    for component in components:
        for x, y in component.ports().values():
            painter.drawEllipse(QPointF(x, y), radius, radius)


def _outline(
    components: Iterable[ComponentItem], runs: Iterable[RunItem], off: float, corner: float
) -> QPainterPath:
    """Return the outlines of parts, ``off`` outside them."""
    outline = QPainterPath()
    outline.setFillRule(Qt.FillRule.WindingFill)
    for component in components:
        outline.addRoundedRect(_box(component.body, off), corner, corner)
    for run in runs:
        stroker = QPainterPathStroker()
        stroker.setWidth(run.width + 2 * off)
        stroker.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
        outline.addPath(stroker.createStroke(run.fine).simplified())
    return outline


def _box(body: Rect, off: float) -> QRectF:
    return from_rect(grown(body, off))
