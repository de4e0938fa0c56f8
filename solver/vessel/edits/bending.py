# SPDX-License-Identifier: MIT
"""Edits of the way of a run by hand.  What is bent by hand is pinned: the program does not lead it anew.

Bends are numbered from the run's start, from 0, as ``Run.bends`` has them after ``corners``; segments
likewise, the one before bend 0 being segment 0.  Every leg stays along an axis.
"""

from __future__ import annotations

from collections.abc import Sequence

from solver.errors import EditError
from solver.vessel.edits.cutting import run_of
from solver.vessel.edits.following import replaced_runs, rerouted, with_way
from solver.vessel.edits.locking import refuse_locked
from solver.vessel.fields import Point
from solver.vessel.footprint import port_direction
from solver.vessel.parts import Found, as_run, find, replaced, with_values
from solver.vessel.routing import bends_of, nearest_on, obstacles_of, route_between, terminals, tidied, way
from solver.vessel.routing.way import STUB, direction
from solver.vessel.run import Run
from solver.vessel.takeoff import measured
from solver.vessel.vessel import Vessel


def corners(vessel: Vessel, run_tag: str) -> tuple[Point, ...]:
    """Return the bends of a run as it is drawn; ``EditError`` if there is no such run."""
    return bends_of(way(vessel, run_of(vessel, run_tag)))


def bend(vessel: Vessel, run_tag: str, index: int, to: Point) -> Vessel:
    """Return the vessel with a bend of a run moved to a point.

    The legs at it move along; one that ends at a port keeps a short piece there and steps aside.

    Raises
    ------
    EditError
        There is no such run or bend, the run is locked, or the point is beyond the drawing.
    """
    run, points = _bent(vessel, run_tag)
    _refuse_missing(run_tag, "bend", index, len(points) - 2)
    here, new = index + 1, list(points)
    at_start, at_end = index == 0, index == len(points) - 3
    # The leg before and the leg after lie on different axes, and each fixes one coordinate.
    across = direction(points[here - 1], points[here])[0] != 0
    x, y = to
    if at_start:
        x, y = (x, points[0][1]) if across else (points[0][0], y)
    if at_end:
        x, y = (points[-1][0], y) if across else (x, points[-1][1])
    new[here] = (x, y)
    if not at_start:
        new[here - 1] = (new[here - 1][0], y) if across else (x, new[here - 1][1])
    if not at_end:
        new[here + 1] = (x, new[here + 1][1]) if across else (new[here + 1][0], y)
    bent = _drawn(vessel, run, new)
    # What the ports fix, a step aside next to them makes up for.
    if at_start:
        bent = move_segment(bent, run_tag, 0, to)
    if at_end:
        bent = move_segment(bent, run_tag, len(corners(bent, run_tag)), to)
    return bent


def move_segment(vessel: Vessel, run_tag: str, segment: int, to: Point) -> Vessel:
    """Return the vessel with a segment of a run moved sideways, to the level of a point.

    A segment that ends at a port keeps a short piece there and steps aside behind it.

    Raises
    ------
    EditError
        There is no such run or segment, the run is locked, or the point is beyond the drawing.
    """
    run, points = _bent(vessel, run_tag)
    _refuse_missing(run_tag, "segment", segment, len(points) - 1)
    a, b = points[segment], points[segment + 1]
    across = direction(a, b)[0] != 0

    def aside(point: Point) -> Point:
        return (point[0], to[1]) if across else (to[0], point[1])

    if aside(a) == a:
        return vessel
    stub = min(STUB, (abs(b[0] - a[0]) + abs(b[1] - a[1])) / 4)
    new = list(points[:segment])
    if segment == 0:
        start = _along(a, b, stub)
        new += [a, start, aside(start)]
    else:
        new.append(aside(a))
    if segment == len(points) - 2:
        end = _along(b, a, stub)
        new += [aside(end), end, b]
    else:
        new += [aside(b), *points[segment + 2 :]]
    return _drawn(vessel, run, new)


def add_bend(vessel: Vessel, run_tag: str, at: Point) -> Vessel:
    """Return the vessel with a run led over a point, the pins before and after it kept.

    Raises
    ------
    EditError
        There is no such run, it is locked, or the point is beyond the drawing.
    """
    run, points = _bent(vessel, run_tag)
    spot = nearest_on(points, at)
    pins: list[Point] = []
    if run.bends and not run.routed:
        pins = list(points[1:-1])
        pins.insert(spot.leg, at)
    with_values(run, {"bends": pins or [at]}, run_tag, (run_tag,))
    start, end = terminals(vessel, run)
    return _drawn(vessel, run, route_between(start, end, obstacles_of(vessel), pins or [at], run_tag))


def remove_bend(vessel: Vessel, run_tag: str, index: int) -> Vessel:
    """Return the vessel with a bend of a run taken out, and a neighbour with it, so that it is straighter.

    Raises
    ------
    EditError
        There is no such run or bend, the run is locked, or it cannot do without the bend.
    """
    run, points = _bent(vessel, run_tag)
    _refuse_missing(run_tag, "bend", index, len(points) - 2)
    outs = [port_direction(vessel.component_by_tag[end.tag], end.port) for end in (run.start, run.end)]
    for segment in (index + 1, index):
        for new in _without_segment(points, segment):
            if _leaves_ports_ahead(new, outs, points):
                return _drawn(vessel, run, new)
    raise EditError(
        f"{run_tag} needs this bend: without it the run would not meet its ends; straighten the run, or move "
        f"its ends into line",
        (run_tag,),
    )


def straighten(vessel: Vessel, run_tags: Sequence[str]) -> Vessel:
    """Return the vessel with runs given back to the program, which finds the best way for each.

    Raises
    ------
    EditError
        A tag is no run's, or a run is locked.
    """
    tags = (run_tags,) if isinstance(run_tags, str) else tuple(run_tags)
    new: list[tuple[Found, Run]] = []
    for where in find(vessel, tags).values():
        run = as_run(where.part)
        refuse_locked((run,), "bent")
        new.append((where, with_way(run, way(vessel, run), routed=True)))
    return measured(rerouted(replaced(vessel, new), tags), tags)


def _bent(vessel: Vessel, run_tag: str) -> tuple[Run, tuple[Point, ...]]:
    run = run_of(vessel, run_tag)
    refuse_locked((run,), "bent")
    return run, way(vessel, run)


def _drawn(vessel: Vessel, run: Run, points: Sequence[Point]) -> Vessel:
    pinned = with_way(run, tidied(points), routed=False)
    # Where a way doubled back, its corners may need others between.
    pinned = with_way(pinned, way(vessel, pinned), routed=False)
    if pinned == run:
        return vessel
    return measured(replaced_runs(vessel, {run.tag: pinned}), (run.tag,))


def _refuse_missing(run_tag: str, what: str, index: int, count: int) -> None:
    if not 0 <= index < count:
        accepted = f"0 to {count - 1}" if count > 1 else "0"
        if not count:
            accepted = "none, since the run goes straight"
        raise EditError(f"{run_tag} has no {what} {index}; accepted: {accepted}", (run_tag,))


def _along(a: Point, b: Point, distance: float) -> Point:
    ahead = direction(a, b)
    return (a[0] + distance * ahead[0], a[1] + distance * ahead[1])


def _without_segment(points: Sequence[Point], segment: int) -> list[list[Point]]:
    """Return the ways that are left when a segment between two bends shrinks to nothing."""
    last = len(points) - 1
    if not 1 <= segment <= last - 2:
        return []
    a, b = points[segment], points[segment + 1]
    across = direction(a, b)[0] != 0
    ways = []
    if segment + 2 < last:
        # What follows comes to the level of what was before.
        after = points[segment + 2]
        level = (a[0], after[1]) if across else (after[0], a[1])
        ways.append([*points[:segment], level, *points[segment + 3 :]])
    if segment - 1 > 0:
        before = points[segment - 1]
        level = (b[0], before[1]) if across else (before[0], b[1])
        ways.append([*points[: segment - 1], level, *points[segment + 2 :]])
    return ways


def _leaves_ports_ahead(new: Sequence[Point], outs: Sequence[Point], old: Sequence[Point]) -> bool:
    """Return whether a way has fewer bends, and leaves its ports no worse than before."""
    if len(tidied(new)) >= len(old):
        return False
    starts = ((new[0], new[1]), (old[0], old[1])), ((new[-1], new[-2]), (old[-1], old[-2]))
    return all(
        direction(*now) == out or direction(*before) != out
        for (now, before), out in zip(starts, outs, strict=True)
    )
