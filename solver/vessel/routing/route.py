# SPDX-License-Identifier: MIT
"""The way a run should take, for what else is on the drawing.

Plain ways are tried first: straight, one bend, two bends, round the ends.  Where the plainest meets a
body or lies along another run, the cheapest way round is searched for.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from solver.vessel.components import Component
from solver.vessel.fields import Point
from solver.vessel.footprint import Rect, port_direction, port_place
from solver.vessel.routing.obstacles import Obstacles, blocked, obstacles_of
from solver.vessel.routing.search import Met, Task, cheapest, met_by, start_direction
from solver.vessel.routing.way import (
    BEND_COST,
    STUB,
    crosses,
    half,
    legs,
    length_of,
    plain_ways,
    same,
    straight,
    tidied,
    turns_back,
)
from solver.vessel.run import Run
from solver.vessel.vessel import Vessel

#: What a plain way costs that turns back or goes through one of its own ends.
_FORBIDDEN_COST = 1e6
#: Two ways whose costs differ by less cost the same.
_SLACK = 1e-6


class Terminal(NamedTuple):
    """Where a way begins or ends: at a port, with the way out of it and its component's box, or anywhere."""

    at: Point
    out: Point | None = None
    box: Rect | None = None


def terminal(component: Component, port: str) -> Terminal:
    """Return the terminal at a component's port."""
    return Terminal(port_place(component, port), port_direction(component, port), blocked(component))


def terminals(vessel: Vessel, run: Run) -> tuple[Terminal, Terminal]:
    """Return the terminals of a run; ``KeyError`` if an end names a component or port not there."""
    start, end = (terminal(vessel.component_by_tag[one.tag], one.port) for one in (run.start, run.end))
    return start, end


def route(vessel: Vessel, run: Run, obstacles: Obstacles | None = None) -> tuple[Point, ...]:
    """Return the way that a run should take, from port to port, every leg along an axis.

    Bends that are pinned (given, and not ``routed``) are passed in their order.  The run need not be in
    the vessel; if it is, it does not stand in its own way.

    Parameters
    ----------
    vessel : Vessel
        Holds both components the run joins.
    run : Run
    obstacles : Obstacles, optional
        Those of the vessel, or others: without the runs that will be routed anew, say.

    Returns
    -------
    tuple of (x, y)
        Both ports and the corners between.

    Raises
    ------
    KeyError
        An end names a component or port that the vessel has not.
    """
    start, end = terminals(vessel, run)
    pinned = () if run.routed else run.bends
    return route_between(start, end, obstacles or obstacles_of(vessel), pinned, run.tag)


def route_between(
    start: Terminal, end: Terminal, obstacles: Obstacles, via: Sequence[Point] = (), own_run: str = ""
) -> tuple[Point, ...]:
    """Return the way from one terminal to another.

    Parameters
    ----------
    start, end : Terminal
        Ports, or free points: where the pointer is.
    obstacles : Obstacles
    via : sequence of points
        Passed in this order.  Two that lie on one axis are joined straight, whatever is between.
    own_run : str
        Run whose present way does not count.
    """
    if not via:
        return tidied(_piece(start, end, None, obstacles, own_run))
    stops = [start, *(Terminal(point) for point in via), end]
    points: list[Point] = [start.at]
    for here, there in zip(stops, stops[1:], strict=False):
        if same(here.at, there.at):
            continue
        # Where the way before came from it does not go back to.
        back = start_direction(points[::-1])
        points += _piece(here, there, back, obstacles, own_run)[1:]
    return tidied(points) if len(points) > 1 else (start.at, end.at)


def _opposite(way_on: Point | None) -> Point | None:
    return None if way_on is None else (0.0 - way_on[0], 0.0 - way_on[1])


def _piece(
    start: Terminal, end: Terminal, back: Point | None, obstacles: Obstacles, own_run: str
) -> tuple[Point, ...]:
    """Return the way between two stops; ``back`` is where the way before comes from."""
    a, b = start.at, end.at
    if same(a, b) or (start.out is None and end.out is None and (a[0] == b[0] or a[1] == b[1])):
        return (a, b)
    facing = start.out is not None and end.out is not None and straight(a, start.out, b, end.out)
    if facing and not any(_met_outside((a, b), start, end, obstacles, own_run)):
        # Most runs: nothing is plainer.
        return (a, b)
    ranked = sorted(_plain(start, end, back), key=lambda one: one[0])
    met = Met(frozenset(), frozenset())
    for cost, points in ranked:
        if cost > ranked[0][0] + _SLACK:
            break
        found = _met_outside(points, start, end, obstacles, own_run)
        if not found.bodies and not found.legs and cost < _FORBIDDEN_COST:
            return points
        met = Met(met.bodies | found.bodies, met.legs | found.legs)
    task = Task(
        _stub(start), _stub(end), start.out, _opposite(end.out), back if start.out is None else None, own_run
    )
    searched = cheapest(task, obstacles, met)
    return ranked[0][1] if searched is None else tidied([start.at, *searched, end.at])


def _stub(one: Terminal) -> Point:
    if one.out is None:
        return one.at
    return (one.at[0] + STUB * one.out[0], one.at[1] + STUB * one.out[1])


def _plain(start: Terminal, end: Terminal, back: Point | None) -> Iterator[tuple[float, tuple[Point, ...]]]:
    """Yield plain ways with their cost if nothing else were on the drawing."""
    boxes = [one.box for one in (start, end) if one.box is not None]
    for candidate in _candidates(start, end, boxes):
        points = tidied(candidate)
        cost = length_of(points) + BEND_COST * (len(points) - 2)
        wrong = turns_back(points, start.out, end.out)
        wrong += back is not None and start_direction(points) == back
        # From within its box a way goes out of a port; its other legs stay outside.
        inner = list(legs(points))
        for box, own in ((start.box, 0), (end.box, len(inner) - 1)):
            if box is not None:
                wrong += sum(crosses(*leg, box) for number, leg in enumerate(inner) if number != own)
        yield cost + _FORBIDDEN_COST * wrong, points


def _candidates(start: Terminal, end: Terminal, boxes: Sequence[Rect]) -> Iterator[list[Point]]:
    (x1, y1), (x2, y2) = start.at, end.at
    if start.out is None or end.out is None or straight(start.at, start.out, end.at, end.out):
        if x1 == x2 or y1 == y2:
            yield [start.at, end.at]
        if start.out is None or end.out is None:
            yield [start.at, (x2, y1), end.at]
            yield [start.at, (x1, y2), end.at]
            return
    # Ports that face each other closer than two stubs.
    middle = (_between(x1, x2), _between(y1, y2))
    yield [start.at, (middle[0], y1), (middle[0], y2), end.at]
    yield [start.at, (x1, middle[1]), (x2, middle[1]), end.at]
    yield from plain_ways(start.at, start.out, end.at, end.out, boxes)


def _between(one: float, other: float) -> float:
    """Return a coordinate between two, on the grid if there is a line."""
    on_grid = half(one, other)
    return on_grid if min(one, other) < on_grid < max(one, other) else (one + other) / 2


def _met_outside(
    points: tuple[Point, ...], start: Terminal, end: Terminal, obstacles: Obstacles, own_run: str
) -> Met:
    """Return what a way meets but for its own components, from which it comes out."""
    met = met_by(points, obstacles, own_run)
    own = {box for box in (start.box, end.box) if box is not None}
    return Met(frozenset(tag for tag in met.bodies if obstacles.boxes[tag] not in own), met.legs)
