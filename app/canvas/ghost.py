# SPDX-License-Identifier: MIT
"""Paints what is not there yet: ghosts of parts, ways of runs, ports, guides, the cross, reasons."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence

from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFontMetricsF, QPainter, QPainterPath, QPen
from PySide6.QtWidgets import QGraphicsItem, QStyleOptionGraphicsItem, QWidget

from app.canvas.strokes import fine_path
from app.canvas.symbols import FINE_STROKE, STROKE, symbol_of
from app.theme import RADIUS, SMALL_PX, Theme, ui_font
from solver.vessel.components import AnyComponent
from solver.vessel.fields import Point
from solver.vessel.footprint import body, port_place
from solver.vessel.routing import legs

_EVERYWHERE = QRectF(-1e7, -1e7, 2e7, 2e7)
_GHOST_OPACITY = 0.6
#: Width of the band along a run that is meant [px], and its strength.
_BAND, _BAND_OPACITY = 10.0, 0.28
#: Diameter of a port's dot, arm of the cross, distance of words from the pointer [px].
_DOT, _ARM, _BESIDE = 8.0, 14.0, 14.0
_PAD = 4.0


class Overlay(QGraphicsItem):
    """Lies over everything and paints what the tool in hand shows."""

    def __init__(self, paint: Callable[[QPainter, float], None]) -> None:
        super().__init__()
        self._paint = paint
        self.setZValue(90)
        self.setAcceptedMouseButtons(Qt.MouseButton.NoButton)

    def boundingRect(self) -> QRectF:
        return _EVERYWHERE

    def paint(
        self, painter: QPainter, option: QStyleOptionGraphicsItem, widget: QWidget | None = None
    ) -> None:
        painter.save()
        self._paint(painter, painter.worldTransform().m11())
        painter.restore()


def paint_component(
    painter: QPainter, component: AnyComponent, scale: float, theme: Theme, *, ports: bool = True
) -> None:
    """Paint a component as a ghost, with its ports."""
    symbol = symbol_of(component)
    painter.save()
    painter.setOpacity(_GHOST_OPACITY)
    painter.translate(*component.at)
    painter.setPen(QPen(QColor(theme.accent), STROKE))
    painter.setBrush(QColor(theme.paper))
    painter.drawPath(symbol.outline)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawPath(symbol.lines)
    painter.setPen(QPen(QColor(theme.accent), FINE_STROKE))
    painter.drawPath(symbol.fine)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(QColor(theme.accent))
    painter.drawPath(symbol.solid)
    painter.restore()
    if ports:
        paint_ports(painter, [port_place(component, port) for port in component.ports], scale, theme)


def paint_many(
    painter: QPainter,
    components: Iterable[AnyComponent],
    ways: Iterable[Sequence[Point]],
    scale: float,
    theme: Theme,
) -> None:
    """Paint many components by their bodies and many ways by their bare lines; quick for a whole ship."""
    painter.setPen(QPen(QColor(theme.accent), 1.5 / scale))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawLines([QLineF(*a, *b) for points in ways for a, b in legs(points)])
    painter.setBrush(QColor(theme.paper))
    boxes = map(body, components)
    painter.drawRects([QRectF(box[0], box[1], box[2] - box[0], box[3] - box[1]) for box in boxes])


def paint_ports(
    painter: QPainter, places: Iterable[Point], scale: float, theme: Theme, *, lit: bool = False
) -> None:
    """Paint ports as open dots; ``lit`` ones larger and filled."""
    painter.setPen(QPen(QColor(theme.accent), 1.5 / scale))
    painter.setBrush(QColor(theme.accent if lit else theme.paper))
    radius = _DOT / 2 / scale * (1.4 if lit else 1.0)
    for x, y in places:
        painter.drawEllipse(QPointF(x, y), radius, radius)


def paint_way(
    painter: QPainter, way: Sequence[Point], scale: float, theme: Theme, *, bad: bool = False
) -> None:
    """Paint the way of a run that is not there yet; dashed and in the colour of refusal if it cannot be."""
    pen = QPen(QColor(theme.bad if bad else theme.accent), max(2.5, 1.5 / scale))
    if bad:
        pen.setStyle(Qt.PenStyle.DashLine)
    painter.setPen(pen)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawPath(fine_path(tuple(way), ()))


def paint_band(painter: QPainter, way: Sequence[Point], scale: float, theme: Theme) -> None:
    """Paint a broad pale band along a run that is meant, under what comes to it."""
    colour = QColor(theme.accent)
    colour.setAlphaF(_BAND_OPACITY)
    pen = QPen(colour, max(_BAND, _BAND / scale))
    pen.setCapStyle(Qt.PenCapStyle.FlatCap)
    painter.setPen(pen)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawPath(fine_path(tuple(way), ()))


def paint_dots(
    painter: QPainter,
    places: Iterable[Point],
    scale: float,
    theme: Theme,
    *,
    filled: bool = False,
    lit: bool = False,
) -> None:
    """Paint bends as small squares: ``filled`` those made by hand, larger those ``lit``."""
    painter.setPen(QPen(QColor(theme.accent), 1.5 / scale))
    painter.setBrush(QColor(theme.accent if filled else theme.paper))
    half = (5.5 if lit else 3.5) / scale
    for x, y in places:
        painter.drawRect(QRectF(x - half, y - half, 2 * half, 2 * half))


def paint_guides(painter: QPainter, lines: Iterable[tuple[Point, Point]], scale: float, theme: Theme) -> None:
    """Paint thin dashed lines along which things lie in line."""
    painter.setPen(QPen(QColor(theme.accent), 1.0 / scale, Qt.PenStyle.DashLine))
    painter.drawLines([QLineF(QPointF(*a), QPointF(*b)) for a, b in lines])


def paint_cross(painter: QPainter, at: Point, scale: float, theme: Theme) -> None:
    """Paint the cross that the keyboard leads."""
    painter.setPen(QPen(QColor(theme.accent), 1.5 / scale))
    (x, y), arm, gap = at, _ARM / scale, 3.0 / scale
    for dx, dy in ((1, 0), (-1, 0), (0, 1), (0, -1)):
        painter.drawLine(QPointF(x + gap * dx, y + gap * dy), QPointF(x + arm * dx, y + arm * dy))


def paint_area(painter: QPainter, area: QRectF, scale: float, theme: Theme) -> None:
    """Paint a rectangle being drawn."""
    fill = QColor(theme.accent)
    fill.setAlphaF(0.12)
    painter.setBrush(fill)
    painter.setPen(QPen(QColor(theme.accent), 1.5 / scale))
    painter.drawRect(area)


def paint_refused_area(painter: QPainter, area: QRectF, scale: float, theme: Theme) -> None:
    """Paint the outline of what cannot stand there, dashed."""
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.setPen(QPen(QColor(theme.bad), 1.5 / scale, Qt.PenStyle.DashLine))
    painter.drawRect(area)


def paint_room(painter: QPainter, outline: Iterable[Point], scale: float, theme: Theme) -> None:
    """Paint the room of a cabin that is meant."""
    fill = QColor(theme.accent)
    fill.setAlphaF(0.12)
    painter.setBrush(fill)
    painter.setPen(QPen(QColor(theme.accent), 1.5 / scale))
    painter.drawPolygon([QPointF(*point) for point in outline])


def paint_words(
    painter: QPainter, text: str, at: Point, scale: float, theme: Theme, *, bad: bool = False
) -> None:
    """Paint a line of words beside a point on a plate; a refusal with its own sign."""
    text = f"⊘ {text}" if bad else text
    font = ui_font(SMALL_PX)
    metrics = QFontMetricsF(font)
    painter.save()
    painter.translate(*at)
    painter.scale(1 / scale, 1 / scale)
    box = QRectF(_BESIDE, _BESIDE, metrics.horizontalAdvance(text) + 4 * _PAD, metrics.height() + 2 * _PAD)
    path = QPainterPath()
    path.addRoundedRect(box, RADIUS, RADIUS)
    painter.fillPath(path, QColor(theme.panel))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.setPen(QPen(QColor(theme.bad if bad else theme.grid), 1.0))
    painter.drawPath(path)
    painter.setFont(font)
    painter.setPen(QColor(theme.bad if bad else theme.ink))
    painter.drawText(box, int(Qt.AlignmentFlag.AlignCenter), text)
    painter.restore()
