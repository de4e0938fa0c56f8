# SPDX-License-Identifier: MIT
"""Where runs cross without a joint: the level one hops over the upright one.  Pure, no Qt."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import NamedTuple

from solver.vessel.fields import Point
from solver.vessel.routing import legs

#: Half width of a hop [units].
HOP = 5.0
#: Length of drawing that one bucket of the index covers [units].
_BUCKET = 200.0
#: A leg through more buckets than this runs from one end of the world to the other; it hops over nothing.
_MOST_BUCKETS = 2000

_Cell = tuple[int, int]


class _Leg(NamedTuple):
    """A leg along one axis: its place across, and its two ends along (``low`` <= ``high``)."""

    tag: str
    at: float
    low: float
    high: float


_Store = dict[_Cell, list[_Leg]]


class Crossings:
    """All legs of all runs, by place, kept up to date one run at a time."""

    def __init__(self) -> None:
        self._level: _Store = {}
        self._upright: _Store = {}
        self._stored: dict[str, list[tuple[_Store, _Cell, _Leg]]] = {}

    def add(self, tag: str, points: Sequence[Point]) -> None:
        """Add a run's way, in place of what it was."""
        self.remove(tag)
        stored = self._stored[tag] = []
        for (ax, ay), (bx, by) in legs(points):
            if ay == by:
                store, leg = self._level, _Leg(tag, ay, min(ax, bx), max(ax, bx))
            else:
                store, leg = self._upright, _Leg(tag, ax, min(ay, by), max(ay, by))
            across = int(leg.at // _BUCKET)
            first, last = int(leg.low // _BUCKET), int(leg.high // _BUCKET)
            if last - first > _MOST_BUCKETS:
                continue
            for along in range(first, last + 1):
                cell = (along, across) if store is self._level else (across, along)
                store.setdefault(cell, []).append(leg)
                stored.append((store, cell, leg))

    def remove(self, tag: str) -> None:
        """Forget a run; nothing happens if it is not there."""
        for store, cell, leg in self._stored.pop(tag, ()):
            store[cell].remove(leg)

    def hops(self, tag: str) -> tuple[Point, ...]:
        """Return the points where the run's level legs hop over upright legs of other runs.

        A crossing too near the end of either leg to be drawn as a hop is left plain.
        """
        found: set[Point] = set()
        for store, cell, leg in self._stored.get(tag, ()):
            if store is self._level:
                found.update((other.at, leg.at) for other in _crossing(leg, self._upright.get(cell, ())))
        return tuple(sorted(found))

    def crossed_by(self, tag: str) -> set[str]:
        """Return the runs that this run's legs cross; their hops depend on it."""
        found: set[str] = set()
        for store, cell, leg in self._stored.get(tag, ()):
            others = self._upright if store is self._level else self._level
            found.update(other.tag for other in _crossing(leg, others.get(cell, ())))
        return found


def _crossing(leg: _Leg, others: Iterable[_Leg]) -> Iterator[_Leg]:
    """Return those of the other legs, at right angles to this one, that it crosses."""
    for other in others:
        if (
            other.tag != leg.tag
            and leg.low + HOP < other.at < leg.high - HOP
            and other.low + HOP < leg.at < other.high - HOP
        ):
            yield other
