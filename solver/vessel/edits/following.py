# SPDX-License-Identifier: MIT
"""What follows when components move or turn: the runs at them, and runs they now stand on.

Bends that the program found are found anew.  Pinned bends stay, but for those next to a moved end,
which shift so that every leg still goes along an axis.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

import msgspec

from solver.vessel.fields import Point
from solver.vessel.parts import checked, with_lists
from solver.vessel.routing import (
    Obstacles,
    bends_of,
    legs,
    obstacles_of,
    route_between,
    terminals,
    tidied,
    way,
)
from solver.vessel.routing.way import SAME, turns_back
from solver.vessel.run import Run
from solver.vessel.takeoff import measured
from solver.vessel.vessel import Vessel

#: Run -> the pins it is routed through.
_Pins = dict[str, tuple[Point, ...]]


def with_way(run: Run, points: Sequence[Point], *, routed: bool) -> Run:
    """Return a run drawn along a way; ``routed`` says that the program found it."""
    bends = bends_of(points)
    new = msgspec.structs.replace(run, bends=bends, routed=routed and bool(bends))
    return checked(new, run.tag, (run.tag,)) if new != run else run


def is_pinned(run: Run) -> bool:
    """Return whether a run has bends that the user pinned."""
    return bool(run.bends) and not run.routed


def replaced_runs(vessel: Vessel, new: Mapping[str, Run]) -> Vessel:
    """Return the vessel with runs replaced by tag."""
    if not new:
        return vessel
    return with_lists(vessel, {"runs": [new.get(run.tag, run) for run in vessel.runs]})


def rerouted(vessel: Vessel, tags: Iterable[str]) -> Vessel:
    """Return the vessel with ways of runs found anew, one after the other in file order; pins are kept."""
    runs = vessel.run_by_tag
    pins = {tag: runs[tag].bends if is_pinned(runs[tag]) else () for tag in tags}
    return _rerouted(vessel, pins, obstacles_of(vessel)) if pins else vessel


def followed(
    old: Vessel, new: Vessel, moved: Iterable[str], shifted: Mapping[str, Point] | None = None
) -> Vessel:
    """Return the vessel with runs brought after components that moved or turned, and measured.

    Parameters
    ----------
    old, new : Vessel
        Before and after; the runs have not followed yet, all else but ``moved`` stands where it stood.
    moved : iterable of str
        The components.
    shifted : mapping, optional
        Run -> how far its bends are shifted by hand.
    """
    moving, by_hand = set(moved), shifted or {}
    carried: dict[str, Run] = {}
    anew: _Pins = {}
    touched = [
        run
        for run in new.runs
        if run.start[0] in moving or run.end[0] in moving or (by_hand and run.tag in by_hand)
    ]
    for run in touched:
        at_moved = run.start[0] in moving or run.end[0] in moving
        shift = _common_shift(old, new, run)
        if shift is not None and shift != (0.0, 0.0):
            if run.bends:
                bends = tuple((x + shift[0], y + shift[1]) for x, y in run.bends)
                carried[run.tag] = checked(msgspec.structs.replace(run, bends=bends), run.tag, (run.tag,))
        elif not run.bends or (run.routed and at_moved):
            if not _ends_alike(old, new, run):
                anew[run.tag] = ()
        else:
            pulled, pins = _pulled(old, new, run, by_hand.get(run.tag, (0.0, 0.0)))
            if pulled is None:
                anew[run.tag] = pins
            else:
                carried[run.tag] = with_way(run, pulled, routed=False)
    result = replaced_runs(new, carried)
    # From those before, which stay the same through all steps of a drag.
    obstacles = obstacles_of(old).changed(
        [result.component_by_tag[tag] for tag in moving],
        {run.tag: way(result, carried.get(run.tag, run)) for run in touched},
    )
    for tag in _in_the_way(result, moving, touched, obstacles):
        anew.setdefault(tag, ())
    result = _rerouted(result, anew, obstacles)
    return measured(result, {*carried, *anew})


def _rerouted(vessel: Vessel, pins: _Pins, obstacles: Obstacles) -> Vessel:
    if not pins:
        return vessel
    obstacles = obstacles.changed(gone=pins)
    new: dict[str, Run] = {}
    for run in vessel.runs:
        if run.tag in pins:
            points = route_between(*terminals(vessel, run), obstacles, pins[run.tag], run.tag)
            obstacles = obstacles.changed(ways={run.tag: points})
            new[run.tag] = with_way(run, points, routed=not pins[run.tag])
    return replaced_runs(vessel, new)


def _ends_alike(old: Vessel, new: Vessel, run: Run) -> bool:
    """Return whether the ports of a run lie where they lay and look where they looked."""
    before, after = terminals(old, old.run_by_tag[run.tag]), terminals(new, run)
    return [one[:2] for one in before] == [one[:2] for one in after]


def _common_shift(old: Vessel, new: Vessel, run: Run) -> Point | None:
    """Return how far both ends of a run moved, None if they did not move alike."""
    shifts = set()
    for end in (run.start, run.end):
        before, after = old.component_by_tag[end.tag], new.component_by_tag[end.tag]
        if before.turn != after.turn:
            return None
        shifts.add((after.at[0] - before.at[0], after.at[1] - before.at[1]))
    return shifts.pop() if len(shifts) == 1 else None


def _pulled(
    old: Vessel, new: Vessel, run: Run, shift: Point
) -> tuple[tuple[Point, ...] | None, tuple[Point, ...]]:
    """Return a pinned run's way with its ends where they are now, its corners shifted by hand.

    Where that would double back, None and the pins that can stay: those not next to an end that moved.
    """
    was = old.run_by_tag[run.tag]
    before, (start, end) = terminals(old, was), terminals(new, run)
    shape = way(old, was)
    corners = [(x + shift[0], y + shift[1]) for x, y in bends_of(shape)]
    points = _with_ends(shape, corners, start.at, end.at)
    turned = turns_back(shape, before[0].out, before[1].out)
    if corners and turns_back(points, start.out, end.out) <= turned and _is_square(points):
        return tidied(points), ()
    first, last = start.at != before[0].at, end.at != before[1].at
    return None, tuple(corners[first : len(corners) - last])


def _with_ends(shape: Sequence[Point], corners: list[Point], start: Point, end: Point) -> list[Point]:
    """Return corners between two ends, those next to the ends brought on their axis."""
    if corners:
        corners = list(corners)
        corners[0] = _level_with(start, corners[0], _is_across(*shape[:2]))
        corners[-1] = _level_with(end, corners[-1], _is_across(*shape[-2:]))
    return [start, *corners, end]


def _level_with(end: Point, corner: Point, across: bool) -> Point:
    return (corner[0], end[1]) if across else (end[0], corner[1])


def _is_across(a: Point, b: Point) -> bool:
    return abs(b[0] - a[0]) >= abs(b[1] - a[1])


def _is_square(points: Sequence[Point]) -> bool:
    return all(min(abs(b[0] - a[0]), abs(b[1] - a[1])) < SAME for a, b in legs(points))


def _in_the_way(vessel: Vessel, moved: set[str], touched: Sequence[Run], obstacles: Obstacles) -> list[str]:
    """Return runs, in file order, whose bends are the program's and that lie under components that moved.

    Runs at a component (among those ``touched``) count where they lie under another one.
    """
    own: dict[str, set[str]] = {tag: set() for tag in moved}
    for run in touched:
        for end in (run.start, run.end):
            if end[0] in own:
                own[end[0]].add(run.tag)
    under: set[str] = set()
    for tag in moved:
        under |= obstacles.runs_through(obstacles.boxes[tag]) - own[tag]
    return [run.tag for run in vessel.runs if run.tag in under and not is_pinned(run) and not run.locked]
