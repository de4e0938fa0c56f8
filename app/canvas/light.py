# SPDX-License-Identifier: MIT
"""Lights a circuit or loop: a wide band under its lines, arrows the way it is walked."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPainterPath, QPen, QPolygonF

from app.canvas.picture import Picture
from app.overlay.lit import Lit
from app.theme import RADIUS, Theme

#: How far the band reaches beyond the line on each side, and the least on the screen [units, px].
_BAND, _LEAST_PX = 5.0, 3.0
_OPACITY = 0.45
#: Length and half width of a direction arrow [px]; a leg shorter than twice its length has none.
_LONG, _HALF = 13.0, 7.0


def paint_light(painter: QPainter, picture: Picture, lit: Lit, scale: float) -> None:
    """Paint the bands of what is lit, below the lines."""
    band = max(_BAND, _LEAST_PX / scale)
    colour = QColor(picture.theme.accent)
    painter.setOpacity(_OPACITY)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    for width, path in _lines(picture, lit).items():
        pen = QPen(colour, width + 2 * band)
        pen.setCapStyle(Qt.PenCapStyle.FlatCap)
        pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
        painter.setPen(pen)
        painter.drawPath(path)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(colour)
    for tag in lit.ways:
        item = picture.components.items.get(tag)
        if item is not None:
            left, top, right, bottom = item.body
            corner = RADIUS / scale
            body = QRectF(left, top, right - left, bottom - top).adjusted(-band, -band, band, band)
            painter.drawRoundedRect(body, corner, corner)
    painter.setOpacity(1.0)


def paint_directions(painter: QPainter, picture: Picture, lit: Lit, scale: float) -> None:
    """Paint the arrows of what is lit, above the lines."""
    for tag, way in lit.ways.items():
        item = picture.runs.items.get(tag)
        if item is not None and way:
            start, end = item.longest_leg if way > 0 else item.longest_leg[::-1]
            _paint_arrow(painter, start, end, scale, picture.theme)


def _lines(picture: Picture, lit: Lit) -> dict[float, QPainterPath]:
    found: dict[float, QPainterPath] = {}
    for tag in lit.ways:
        item = picture.runs.items.get(tag)
        if item is not None:
            found.setdefault(item.width, QPainterPath()).addPath(item.plain)
    return found


def _paint_arrow(
    painter: QPainter, start: tuple[float, float], end: tuple[float, float], scale: float, theme: Theme
) -> None:
    (ax, ay), (bx, by) = start, end
    along = abs(bx - ax) + abs(by - ay)
    long, half = _LONG / scale, _HALF / scale
    if along < 2 * long:
        return
    dx, dy = (bx - ax) / along, (by - ay) / along
    # Beside the flow arrow, which stands in the middle of the leg.
    x, y = ax + (bx - ax) * 0.75, ay + (by - ay) * 0.75
    painter.setPen(QPen(QColor(theme.paper), 1.5 / scale))
    painter.setBrush(QColor(theme.accent))
    painter.drawPolygon(
        QPolygonF(
            [
                QPointF(x + dx * long / 2, y + dy * long / 2),
                QPointF(x - dx * long / 2 - dy * half, y - dy * long / 2 + dx * half),
                QPointF(x - dx * long / 2 + dy * half, y - dy * long / 2 - dx * half),
            ]
        )
    )
