# SPDX-License-Identifier: MIT
"""A symbol as paths, and the pencil that draws one.

Symbols are drawn about the component's centre on a module of 10 units, with 2-unit strokes that
stay inside the body of ``solver.vessel.footprint``.  A symbol is paths, not painter calls, so that
hundreds can be joined and painted at once.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import hypot

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QFontMetricsF, QPainterPath, QPolygonF, QTransform

from app.theme import ui_font
from solver.vessel.components import Component

#: Width of the strokes of a symbol, and of its fine strokes [units].
STROKE = 2.0
FINE_STROKE = 1.2

Point = tuple[float, float]


@dataclass(frozen=True, eq=False)
class Symbol:
    """How one kind of component in one state is drawn, about its centre.

    Attributes
    ----------
    outline : QPainterPath
        Closed shapes, filled with paper and stroked in ink.
    lines, fine : QPainterPath
        Strokes in ink, of full and of fine width.
    solid : QPainterPath
        Shapes filled with ink.
    """

    outline: QPainterPath
    lines: QPainterPath
    fine: QPainterPath
    solid: QPainterPath

    @property
    def rect(self) -> QRectF:
        """The painted area, strokes included."""
        half, fine = STROKE / 2, FINE_STROKE / 2
        found = QRectF()
        for path, grow in ((self.outline, half), (self.lines, half), (self.fine, fine), (self.solid, 0.0)):
            if not path.isEmpty():
                found = found.united(path.boundingRect().adjusted(-grow, -grow, grow, grow))
        return found


class Pencil:
    """Collects the strokes of one symbol.

    Parameters
    ----------
    turn : int
        Quarter turns clockwise; letters stay upright.
    """

    def __init__(self, turn: int = 0) -> None:
        self._turn = QTransform(*((1, 0, 0, 1), (0, 1, -1, 0), (-1, 0, 0, -1), (0, -1, 1, 0))[turn % 4], 0, 0)
        self._outline, self._lines, self._fine, self._solid = (QPainterPath() for _ in range(4))
        self._letters: list[tuple[Point, str, int]] = []

    def outline(self, *points: Point) -> None:
        """Draw a closed shape, open inside."""
        self._outline.addPolygon(_closed(points))

    def solid(self, *points: Point) -> None:
        """Draw a filled shape."""
        self._solid.addPolygon(_closed(points))

    def line(self, *points: Point, fine: bool = False) -> None:
        """Draw a line through points."""
        path = self._fine if fine else self._lines
        path.moveTo(QPointF(*points[0]))
        for point in points[1:]:
            path.lineTo(QPointF(*point))

    def dashes(self, start: Point, end: Point, dash: float = 2.5, gap: float = 2.0) -> None:
        """Draw a fine broken line."""
        length = hypot(end[0] - start[0], end[1] - start[1])
        step_x, step_y = (end[0] - start[0]) / length, (end[1] - start[1]) / length
        at = 0.0
        while at < length:
            stop = min(at + dash, length)
            self.line(
                (start[0] + step_x * at, start[1] + step_y * at),
                (start[0] + step_x * stop, start[1] + step_y * stop),
                fine=True,
            )
            at += dash + gap

    def circle(self, x: float, y: float, radius: float, *, how: str = "outline") -> None:
        """Draw a circle; ``how`` is ``outline``, ``solid`` or ``fine``."""
        path = {"outline": self._outline, "solid": self._solid, "fine": self._fine}[how]
        path.addEllipse(QPointF(x, y), radius, radius)

    def capsule(self, left: float, top: float, right: float, bottom: float, radius: float) -> None:
        """Draw a rectangle with round corners, open inside."""
        self._outline.addRoundedRect(QRectF(QPointF(left, top), QPointF(right, bottom)), radius, radius)

    def box(self, left: float, top: float, right: float, bottom: float) -> None:
        """Draw a rectangle, open inside."""
        self.outline((left, top), (right, top), (right, bottom), (left, bottom))

    def curve(self, start: Point, *curves: tuple[Point, Point], fine: bool = False) -> None:
        """Draw a line of arcs, each given by its control point and its end."""
        path = self._fine if fine else self._lines
        path.moveTo(QPointF(*start))
        for control, end in curves:
            path.quadTo(QPointF(*control), QPointF(*end))

    def head(self, tip: Point, direction: Point, length: float = 5.0, half: float = 2.6) -> None:
        """Draw a filled arrow head with its tip at a point."""
        (x, y), (dx, dy) = tip, direction
        size = hypot(dx, dy)
        dx, dy = dx / size, dy / size
        back_x, back_y = x - dx * length, y - dy * length
        self.solid(tip, (back_x - dy * half, back_y + dx * half), (back_x + dy * half, back_y - dx * half))

    def letter(self, x: float, y: float, text: str, px: int) -> None:
        """Write upright letters centred on a point."""
        self._letters.append(((x, y), text, px))

    def done(self) -> Symbol:
        """Return the finished symbol."""
        outline, lines, fine, solid = (
            self._turn.map(path) for path in (self._outline, self._lines, self._fine, self._solid)
        )
        for (x, y), text, px in self._letters:
            font = ui_font(px, bold=True)
            middle = self._turn.map(QPointF(x, y))
            metrics = QFontMetricsF(font)
            solid.addText(
                middle.x() - metrics.horizontalAdvance(text) / 2,
                middle.y() + metrics.capHeight() / 2,
                font,
                text,
            )
        for path in (outline, solid):
            path.setFillRule(Qt.FillRule.WindingFill)
        return Symbol(outline, lines, fine, solid)


def _closed(points: tuple[Point, ...]) -> QPolygonF:
    return QPolygonF([QPointF(*point) for point in (*points, points[0])])


#: Draws one kind of component in a state named by its mode.
Drawer = Callable[[Pencil, Component, str], None]
