# SPDX-License-Identifier: MIT
"""Lines of the drawing as painter paths: round corners and hops; straight ones apart, to be quick."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QLineF, QPointF
from PySide6.QtGui import QPainter, QPainterPath

from app.canvas.crossings import HOP
from solver.vessel.fields import Point
from solver.vessel.routing import legs

#: Radius of a run's corners [units].
FILLET = 4.0
#: A cubic with its control points this far out rises by one.
_RISE = 4 / 3


class Strokes:
    """What one pen paints.

    Lines that are one straight piece stand apart from the paths: a painter is many times faster with them.
    """

    __slots__ = ("lines", "path")

    def __init__(self) -> None:
        self.lines: list[QLineF] = []
        self.path = QPainterPath()

    def join(self, other: Strokes) -> None:
        """Add what others hold."""
        self.lines.extend(other.lines)
        self.path.addPath(other.path)

    def paint(self, painter: QPainter) -> None:
        """Paint all of it with the painter's pen."""
        if self.lines:
            painter.drawLines(self.lines)
        if not self.path.isEmpty():
            painter.drawPath(self.path)


def plain_path(points: Sequence[Point]) -> QPainterPath:
    """Return the bare line through points."""
    path = QPainterPath(QPointF(*points[0]))
    for x, y in points[1:]:
        path.lineTo(x, y)
    return path


def fine_path(points: Sequence[Point], hops: Sequence[Point] = ()) -> QPainterPath:
    """Return the line through points with round corners, hopping over the given points on level legs."""
    path = QPainterPath(QPointF(*points[0]))
    last = len(points) - 2
    for index, (a, b) in enumerate(legs(points)):
        dx, dy = _direction(a, b)
        if dy == 0 and hops:
            _hop_over(path, a, b, dx, hops)
        if index == last:
            path.lineTo(*b)
            break
        after = points[index + 2]
        out_x, out_y = _direction(b, after)
        radius = min(FILLET, _length(a, b) / 2, _length(b, after) / 2)
        path.lineTo(b[0] - dx * radius, b[1] - dy * radius)
        path.quadTo(b[0], b[1], b[0] + out_x * radius, b[1] + out_y * radius)
    return path


def cut(points: Sequence[Point], length: float) -> list[Point]:
    """Return the first ``length`` of a way."""
    found = [points[0]]
    for a, b in legs(points):
        size = _length(a, b)
        if size >= length:
            dx, dy = _direction(a, b)
            found.append((a[0] + dx * length, a[1] + dy * length))
            break
        length -= size
        found.append(b)
    return found


def _hop_over(path: QPainterPath, a: Point, b: Point, dx: float, hops: Sequence[Point]) -> None:
    low, high = min(a[0], b[0]), max(a[0], b[0])
    on_leg = sorted((x for x, y in hops if y == a[1] and low < x < high), reverse=dx < 0)
    y = a[1]
    for x in on_leg:
        start, end = x - dx * HOP, x + dx * HOP
        if (start - path.currentPosition().x()) * dx < 0:
            # Two crossings closer than a hop: one hop would cut into the other.
            continue
        path.lineTo(start, y)
        path.cubicTo(start, y - HOP * _RISE, end, y - HOP * _RISE, end, y)


def _direction(a: Point, b: Point) -> Point:
    dx, dy = b[0] - a[0], b[1] - a[1]
    return (float((dx > 0) - (dx < 0)), float((dy > 0) - (dy < 0)))


def _length(a: Point, b: Point) -> float:
    return abs(b[0] - a[0]) + abs(b[1] - a[1])
