# SPDX-License-Identifier: MIT
"""The way of a run on the drawing: right angles from port to port.  Pure functions, no Qt.

A run with bends goes through them.  Without, it takes the plainest of a few ways: straight, one
bend, two bends, or round the ends where the ports face away from each other.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from solver.vessel.components import Component, kind_name
from solver.vessel.fields import Point
from solver.vessel.footprint import Rect, body, port_direction, port_place
from solver.vessel.run import End, Run
from solver.vessel.vessel import Vessel

#: How far a run goes straight out of a port before it may bend [units].
STUB = 10.0
#: Points closer than this are one point [units].
SAME = 1e-6

#: A right angle costs as much as this length; turning back and crossing an end's body much more.
_BEND_COST = 40.0
_FORBIDDEN_COST = 1e6

#: Kinds that sit on a pipe which passes under them.
_ON_PIPE = frozenset(("tee", "air_vent", "drain", "pressure_gauge", "temperature_gauge"))


def route(vessel: Vessel, run: Run) -> list[Point]:
    """Return the corners of a run from port to port, every leg along an axis.

    Parameters
    ----------
    vessel : Vessel
        Holds both components the run joins.
    run : Run

    Returns
    -------
    list of (x, y)
        At least the two ports; no leg of no length, no corner on a straight line.

    Raises
    ------
    KeyError
        An end names a component or port that the vessel has not.
    """
    start, end = (vessel.component_by_tag[one.tag] for one in (run.start, run.end))
    return route_between(start, run.start.port, end, run.end.port, run.bends)


def route_between(
    start: Component, start_port: str, end: Component, end_port: str, bends: Sequence[Point] = ()
) -> list[Point]:
    """Return the corners from a port of one component to a port of another; see ``route``."""
    a, b = port_place(start, start_port), port_place(end, end_port)
    out_a, out_b = port_direction(start, start_port), port_direction(end, end_port)
    if bends:
        return tidied(_through(a, out_a, bends, b))
    if _straight(a, out_a, b, out_b):
        return tidied([a, b])
    bodies = (body(start), body(end))
    best, least = [a, b], math.inf
    for way in _ways(a, out_a, b, out_b, bodies):
        way = tidied(way)
        cost = _cost(way, out_a, out_b, bodies)
        if cost < least:
            best, least = way, cost
            if len(way) <= 3 and cost < _FORBIDDEN_COST:
                # Nothing is plainer than one bend.
                break
    return best


def root_of(component: Component, port: str) -> Point:
    """Return where the pipe at a port visibly ends: at the body, or at the middle of what sits on a pipe."""
    if kind_name(component) in _ON_PIPE:
        return component.at
    x, y = port_place(component, port)
    left, top, right, bottom = body(component)
    return (min(max(x, left), right), min(max(y, top), bottom))


def drawn_points(vessel: Vessel, run: Run, way: Sequence[Point]) -> list[Point]:
    """Return the way of a run with its two ends drawn on up to the bodies of its components."""

    def root(end: End) -> Point:
        return root_of(vessel.component_by_tag[end.tag], end.port)

    return tidied([root(run.start), *way, root(run.end)])


def tidied(points: Sequence[Point]) -> list[Point]:
    """Return the points without repeated ones and without corners on a straight line."""
    found: list[Point] = []
    for point in points:
        if found and _same(found[-1], point):
            continue
        while len(found) >= 2 and _on_line(found[-2], found[-1], point):
            found.pop()
        found.append(point)
    return found if len(found) > 1 else [points[0], points[-1]]


def length_of(points: Sequence[Point]) -> float:
    """Return the length of a way whose legs go along the axes [units]."""
    return sum(abs(b[0] - a[0]) + abs(b[1] - a[1]) for a, b in legs(points))


def legs(points: Sequence[Point]) -> Iterator[tuple[Point, Point]]:
    """Return the legs of a way, each as its two ends."""
    return zip(points, points[1:], strict=False)


def _straight(a: Point, out_a: Point, b: Point, out_b: Point) -> bool:
    """Whether two ports face each other on one axis."""
    dx, dy = b[0] - a[0], b[1] - a[1]
    if abs(dx) <= SAME and abs(dy) <= SAME:
        return True
    if abs(dx) > SAME and abs(dy) > SAME:
        return False
    return dx * out_a[0] + dy * out_a[1] > 0 > dx * out_b[0] + dy * out_b[1]


def _through(a: Point, out_a: Point, bends: Sequence[Point], b: Point) -> list[Point]:
    """Join the given bends; where two do not lie on one axis, the way keeps its direction, then turns."""
    way = [a]
    horizontal = out_a[0] != 0
    for point in (*bends, b):
        x, y = way[-1]
        if abs(point[0] - x) > SAME and abs(point[1] - y) > SAME:
            way.append((point[0], y) if horizontal else (x, point[1]))
            horizontal = not horizontal
        elif abs(point[0] - x) > SAME or abs(point[1] - y) > SAME:
            horizontal = abs(point[0] - x) > SAME
        way.append(point)
    return way


def _ways(a: Point, out_a: Point, b: Point, out_b: Point, bodies: tuple[Rect, Rect]) -> Iterator[list[Point]]:
    """Offer the ways between two stubs."""
    p = (a[0] + STUB * out_a[0], a[1] + STUB * out_a[1])
    q = (b[0] + STUB * out_b[0], b[1] + STUB * out_b[1])
    # Without stubs first: between ports close to each other a stub would only double back.
    yield [a, (a[0], b[1]), b]
    yield [a, (b[0], a[1]), b]
    left = min(bodies[0].left, bodies[1].left, p[0], q[0]) - STUB
    right = max(bodies[0].right, bodies[1].right, p[0], q[0]) + STUB
    top = min(bodies[0].top, bodies[1].top, p[1], q[1]) - STUB
    bottom = max(bodies[0].bottom, bodies[1].bottom, p[1], q[1]) + STUB
    columns = (_half(p[0], q[0]), p[0], q[0], left, right)
    rows = (_half(p[1], q[1]), p[1], q[1], top, bottom)
    for x, y in zip(columns, rows, strict=True):
        yield [a, p, (x, p[1]), (x, q[1]), q, b]
        yield [a, p, (p[0], y), (q[0], y), q, b]


def _half(one: float, other: float) -> float:
    """Return the grid line nearest the middle of two coordinates."""
    return round((one + other) / 20) * 10.0


def _cost(way: list[Point], out_a: Point, out_b: Point, bodies: tuple[Rect, Rect]) -> float:
    cost = length_of(way) + _BEND_COST * (len(way) - 2)
    directions = [_direction(*leg) for leg in legs(way)]
    turns_back = sum(
        one[0] == -other[0] and one[1] == -other[1]
        for one, other in zip(directions, directions[1:], strict=False)
    )
    if directions:
        turns_back += directions[0] != out_a
        turns_back += directions[-1] != (-out_b[0], -out_b[1])
    crossings = sum(_crosses(leg, one) for leg in legs(way) for one in bodies)
    return cost + _FORBIDDEN_COST * (turns_back + crossings)


def _direction(a: Point, b: Point) -> Point:
    if abs(b[0] - a[0]) >= abs(b[1] - a[1]):
        return (1.0 if b[0] > a[0] else -1.0, 0.0)
    return (0.0, 1.0 if b[1] > a[1] else -1.0)


def _crosses(leg: tuple[Point, Point], box: Rect) -> bool:
    """Whether a leg goes through the inside of a body."""
    (ax, ay), (bx, by) = leg
    return (
        min(ax, bx) < box.right - SAME
        and max(ax, bx) > box.left + SAME
        and min(ay, by) < box.bottom - SAME
        and max(ay, by) > box.top + SAME
    )


def _same(a: Point, b: Point) -> bool:
    return abs(a[0] - b[0]) < SAME and abs(a[1] - b[1]) < SAME


def _on_line(a: Point, b: Point, c: Point) -> bool:
    """Whether ``b`` lies between its neighbours on an axis; a way that turns back keeps its corner."""
    return (abs(a[0] - b[0]) < SAME > abs(b[0] - c[0]) and (b[1] - a[1]) * (c[1] - b[1]) > 0) or (
        abs(a[1] - b[1]) < SAME > abs(b[1] - c[1]) and (b[0] - a[0]) * (c[0] - b[0]) > 0
    )
