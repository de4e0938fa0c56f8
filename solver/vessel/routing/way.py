# SPDX-License-Identifier: MIT
"""The way of a run as it is drawn: from its ports and bends alone, whatever else is on the drawing.

A run with bends goes through them.  Without, it takes the plainest of a few ways: straight, one
bend, two bends, or round the ends where the ports face away from each other.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import pairwise
from typing import NamedTuple

from solver.vessel.components import Component
from solver.vessel.fields import Point
from solver.vessel.footprint import Rect, body, port_direction, port_place
from solver.vessel.run import Run
from solver.vessel.vessel import Vessel

#: How far a run goes straight out of a port before it may bend [units].
STUB = 10.0
#: Points closer than this are one point [units].
SAME = 1e-6
#: A right angle costs as much as this length [units].
BEND_COST = 40.0
_FORBIDDEN_COST = 1e6


class Spot(NamedTuple):
    """A point on a way: on leg number ``leg``, ``along`` units from the way's start."""

    at: Point
    leg: int
    along: float


def way(vessel: Vessel, run: Run) -> tuple[Point, ...]:
    """Return the corners of a run from port to port as it is drawn, every leg along an axis.

    Parameters
    ----------
    vessel : Vessel
        Holds both components the run joins.
    run : Run

    Returns
    -------
    tuple of (x, y)
        At least the two ports; no leg of no length but between two ports at one place, no corner on a
        straight line.

    Raises
    ------
    KeyError
        An end names a component or port that the vessel has not.
    """
    start, end = (vessel.component_by_tag[one.tag] for one in (run.start, run.end))
    return way_between(start, run.start.port, end, run.end.port, run.bends)


def way_between(
    start: Component, start_port: str, end: Component, end_port: str, bends: Sequence[Point] = ()
) -> tuple[Point, ...]:
    """Return the corners from a port of one component to a port of another; see ``way``."""
    a, b = port_place(start, start_port), port_place(end, end_port)
    out_a, out_b = port_direction(start, start_port), port_direction(end, end_port)
    if bends:
        return tidied(through(a, out_a, bends, b))
    if straight(a, out_a, b, out_b):
        return tidied([a, b])
    bodies = (body(start), body(end))
    best: tuple[Point, ...] = (a, b)
    least = math.inf
    for candidate in plain_ways(a, out_a, b, out_b, bodies):
        found = tidied(candidate)
        cost = _cost(found, out_a, out_b, bodies)
        if cost < least:
            best, least = found, cost
            if len(found) <= 3 and cost < _FORBIDDEN_COST:
                # Nothing is plainer than one bend.
                break
    return best


def bends_of(points: Sequence[Point]) -> tuple[Point, ...]:
    """Return the corners of a way between its ends."""
    return tuple(points[1:-1])


def tidied(points: Sequence[Point]) -> tuple[Point, ...]:
    """Return the points without repeated ones and without corners on a straight line."""
    found: list[Point] = []
    for point in points:
        if found and same(found[-1], point):
            continue
        while len(found) >= 2 and _on_line(found[-2], found[-1], point):
            found.pop()
        found.append(point)
    return tuple(found) if len(found) > 1 else (points[0], points[-1])


def length_of(points: Sequence[Point]) -> float:
    """Return the length of a way whose legs go along the axes [units]."""
    return sum(abs(b[0] - a[0]) + abs(b[1] - a[1]) for a, b in legs(points))


def legs(points: Sequence[Point]) -> Iterator[tuple[Point, Point]]:
    """Return the legs of a way, each as its two ends."""
    return pairwise(points)


def nearest_on(points: Sequence[Point], point: Point) -> Spot:
    """Return the spot of a way that is nearest to a point; the first of several as near."""
    best, least, along = Spot(points[0], 0, 0.0), math.inf, 0.0
    for leg, (a, b) in enumerate(legs(points)):
        at = (
            min(max(point[0], min(a[0], b[0])), max(a[0], b[0])),
            min(max(point[1], min(a[1], b[1])), max(a[1], b[1])),
        )
        apart = math.dist(at, point)
        if apart < least - SAME:
            best, least = Spot(at, leg, along + math.dist(a, at)), apart
        along += math.dist(a, b)
    return best


def straight(a: Point, out_a: Point, b: Point, out_b: Point) -> bool:
    """Return whether two ports face each other on one axis."""
    dx, dy = b[0] - a[0], b[1] - a[1]
    if abs(dx) <= SAME and abs(dy) <= SAME:
        return True
    if abs(dx) > SAME and abs(dy) > SAME:
        return False
    return dx * out_a[0] + dy * out_a[1] > 0 > dx * out_b[0] + dy * out_b[1]


def through(a: Point, out_a: Point | None, bends: Sequence[Point], b: Point) -> list[Point]:
    """Join the given bends; where two do not lie on one axis, the way keeps its direction, then turns."""
    points = [a]
    horizontal = out_a is None or out_a[0] != 0
    for point in (*bends, b):
        x, y = points[-1]
        if abs(point[0] - x) > SAME and abs(point[1] - y) > SAME:
            points.append((point[0], y) if horizontal else (x, point[1]))
            horizontal = not horizontal
        elif abs(point[0] - x) > SAME or abs(point[1] - y) > SAME:
            horizontal = abs(point[0] - x) > SAME
        points.append(point)
    return points


def plain_ways(
    a: Point, out_a: Point, b: Point, out_b: Point, bodies: Sequence[Rect]
) -> Iterator[list[Point]]:
    """Offer the plain ways between two ports: one bend, two bends, round one of the bodies."""
    p = (a[0] + STUB * out_a[0], a[1] + STUB * out_a[1])
    q = (b[0] + STUB * out_b[0], b[1] + STUB * out_b[1])
    # Without stubs first: between ports close to each other a stub would only double back.
    yield [a, (a[0], b[1]), b]
    yield [a, (b[0], a[1]), b]
    left = min(p[0], q[0], *(one.left for one in bodies)) - STUB
    right = max(p[0], q[0], *(one.right for one in bodies)) + STUB
    top = min(p[1], q[1], *(one.top for one in bodies)) - STUB
    bottom = max(p[1], q[1], *(one.bottom for one in bodies)) + STUB
    columns = (half(p[0], q[0]), p[0], q[0], left, right)
    rows = (half(p[1], q[1]), p[1], q[1], top, bottom)
    for x, y in zip(columns, rows, strict=True):
        yield [a, p, (x, p[1]), (x, q[1]), q, b]
        yield [a, p, (p[0], y), (q[0], y), q, b]


def half(one: float, other: float) -> float:
    """Return the grid line nearest the middle of two coordinates."""
    return round((one + other) / 20) * 10.0


def direction(a: Point, b: Point) -> Point:
    """Return the unit vector along the axis that leads from one point to another."""
    if abs(b[0] - a[0]) >= abs(b[1] - a[1]):
        return (1.0 if b[0] > a[0] else -1.0, 0.0)
    return (0.0, 1.0 if b[1] > a[1] else -1.0)


def turns_back(points: Sequence[Point], out_a: Point | None, out_b: Point | None) -> int:
    """Return how often a way doubles back, or leaves or enters a port otherwise than straight out of it."""
    directions = [direction(*leg) for leg in legs(points)]
    count = sum(one[0] == -other[0] and one[1] == -other[1] for one, other in pairwise(directions))
    if directions:
        count += out_a is not None and directions[0] != out_a
        count += out_b is not None and directions[-1] != (-out_b[0], -out_b[1])
    return count


def same(a: Point, b: Point) -> bool:
    """Return whether two points are one."""
    return abs(a[0] - b[0]) < SAME and abs(a[1] - b[1]) < SAME


def crosses(a: Point, b: Point, box: Rect) -> bool:
    """Return whether a leg goes through the inside of a rectangle."""
    return (
        min(a[0], b[0]) < box.right - SAME
        and max(a[0], b[0]) > box.left + SAME
        and min(a[1], b[1]) < box.bottom - SAME
        and max(a[1], b[1]) > box.top + SAME
    )


def _cost(points: Sequence[Point], out_a: Point, out_b: Point, bodies: Sequence[Rect]) -> float:
    cost = length_of(points) + BEND_COST * (len(points) - 2)
    crossings = sum(crosses(*leg, one) for leg in legs(points) for one in bodies)
    return cost + _FORBIDDEN_COST * (turns_back(points, out_a, out_b) + crossings)


def _on_line(a: Point, b: Point, c: Point) -> bool:
    """Whether ``b`` lies between its neighbours on an axis; a way that turns back keeps its corner."""
    return (abs(a[0] - b[0]) < SAME > abs(b[0] - c[0]) and (b[1] - a[1]) * (c[1] - b[1]) > 0) or (
        abs(a[1] - b[1]) < SAME > abs(b[1] - c[1]) and (b[0] - a[0]) * (c[0] - b[0]) > 0
    )
