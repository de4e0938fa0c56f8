# SPDX-License-Identifier: MIT
"""One run as it is drawn: its way, its hops and the width that tells its bore."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache

from PySide6.QtCore import QLineF
from PySide6.QtGui import QPainterPath

from app.canvas.crossings import HOP
from app.canvas.strokes import cut, fine_path, plain_path
from solver.errors import PartError
from solver.parts.pipe_sizes import pipe_size
from solver.vessel.fields import Point
from solver.vessel.footprint import Rect
from solver.vessel.routing import legs, length_of
from solver.vessel.run import Run

#: Bore up to which [mm] -> width of the line [units]; never more than the last.
_WIDTHS = ((15.0, 2.5), (22.0, 3.0), (30.0, 3.5), (45.0, 4.0), (70.0, 4.5), (110.0, 5.0), (180.0, 5.5))
_WIDEST = 6.0
#: Length of the band of the service's colour at each end while an overlay is on [units], and its greatest
#: share of the run.
_BAND, _BAND_SHARE = 7.0, 0.2


class RunItem:
    """A run's line at its place.

    Parameters
    ----------
    run : Run
    points : sequence of (x, y)
        Its way, drawn on up to the bodies at its ends.
    service : {"supply", "return", "sea", ""}
        What it carries, told or found out.

    Attributes
    ----------
    longest_leg : pair of points
        The longest leg of the way, the first of equals; arrow and label are there.
    hops : tuple of points
        Where the line hops over others.
    straight : QLineF or None
        The bare line where it is one straight piece.
    """

    __slots__ = (
        "_bands",
        "_fine",
        "_plain",
        "hops",
        "longest_leg",
        "points",
        "rect",
        "run",
        "service",
        "straight",
        "tag",
        "width",
    )

    def __init__(self, run: Run, points: Sequence[Point], service: str) -> None:
        self.run, self.tag, self.service = run, run.tag, service
        self.points = tuple(points)
        self.width = _width(run.series, run.size)
        self.hops: tuple[Point, ...] = ()
        xs, ys = [x for x, _ in points], [y for _, y in points]
        reach = HOP + self.width
        self.rect = Rect(min(xs) - reach, min(ys) - reach, max(xs) + reach, max(ys) + reach)
        self.longest_leg: tuple[Point, Point] = max(legs(self.points), key=length_of)
        self.straight = QLineF(*points[0], *points[1]) if len(points) == 2 else None
        self._fine: QPainterPath | None = None
        self._plain: QPainterPath | None = None
        self._bands: QPainterPath | None = None

    def hop_over(self, hops: tuple[Point, ...]) -> bool:
        """Set where the line hops; return whether that changed anything."""
        if hops == self.hops:
            return False
        self.hops, self._fine = hops, None
        return True

    @property
    def fine(self) -> QPainterPath:
        """The line with round corners and hops."""
        if self._fine is None:
            self._fine = fine_path(self.points, self.hops)
        return self._fine

    @property
    def plain(self) -> QPainterPath:
        """The bare line."""
        if self._plain is None:
            self._plain = plain_path(self.points)
        return self._plain

    @property
    def bands(self) -> QPainterPath:
        """The two bands at the ends that tell what the run carries under an overlay."""
        if self._bands is None:
            length = min(_BAND, length_of(self.points) * _BAND_SHARE)
            self._bands = fine_path(cut(self.points, length))
            self._bands.addPath(fine_path(cut(self.points[::-1], length)))
        return self._bands

    def distance(self, x: float, y: float) -> float:
        """Return the distance of a point from the line, the larger of across and along."""
        return min(
            max(
                min(a[0], b[0]) - x,
                x - max(a[0], b[0]),
                min(a[1], b[1]) - y,
                y - max(a[1], b[1]),
                0.0,
            )
            for a, b in legs(self.points)
        )

    def drawn_as(self) -> tuple[object, ...]:
        """Return all that its look depends on."""
        return (self.tag, self.points, self.hops, self.service, self.width)


@lru_cache(maxsize=1024)
def _width(series: str, size: str) -> float:
    """Return the width of a line from its pipe's bore; the narrowest if the size is not known [units]."""
    try:
        bore_mm = pipe_size(series, size).bore_mm
    except PartError:
        return _WIDTHS[0][1]
    return next((width for limit, width in _WIDTHS if bore_mm <= limit), _WIDEST)
