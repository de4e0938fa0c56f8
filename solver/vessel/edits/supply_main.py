# SPDX-License-Identifier: MIT
"""A supply main read off its runs: its way, what branches off where, and where the branches end."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from solver.errors import EditError
from solver.vessel.components import AirHandler, Component, Tee
from solver.vessel.edits.cutting import half_length, run_of
from solver.vessel.fields import Point
from solver.vessel.footprint import GRID, port_place
from solver.vessel.routing import tidied, way
from solver.vessel.routing.way import direction, through
from solver.vessel.run import End, Run
from solver.vessel.vessel import Vessel


class Branch(NamedTuple):
    """Where a branch leaves the supply main, and its open port, if it has one."""

    at: Point
    open_end: End | None


class SupplyMain(NamedTuple):
    """A supply main from the plant on: its way, its branches, and its runs up to each of them.

    ``turns_off`` says that its last run turns off it and leads on as the last branch.
    """

    points: tuple[Point, ...]
    branches: tuple[Branch, ...]
    segments: tuple[tuple[Run, ...], ...]
    turns_off: bool


def supply_main(vessel: Vessel, tags: Sequence[str]) -> SupplyMain:
    """Return a supply main by its runs.

    Raises
    ------
    EditError
        The runs do not follow each other.
    """
    ordered = _in_order(vessel, tags)
    points: list[Point] = []
    branches: list[Branch] = []
    segments: list[tuple[Run, ...]] = []
    segment: list[Run] = []
    for number, (run, forward) in enumerate(ordered):
        drawn = way(vessel, run)
        points += drawn if forward else drawn[::-1]
        segment.append(run)
        into = run.end if forward else run.start
        component = vessel.component_by_tag[into.tag]
        used = {into.port}
        if number + 1 < len(ordered):
            following, ahead = ordered[number + 1]
            used.add((following.start if ahead else following.end).port)
            points.append(component.at)
        found = _branches_at(vessel, component, used)
        for branch in found:
            branches.append(branch)
            segments.append(tuple(segment))
        if found:
            segment = []
    laid = tidied(through(points[0], None, points[1:-1], points[-1]))
    turns_off = bool(found) and not isinstance(component, Tee) and len(drawn) > 2
    if turns_off:
        laid = _up_to_last_branch(vessel, laid, branches[-1])
    return SupplyMain(laid, tuple(branches), tuple(segments), turns_off)


def _up_to_last_branch(vessel: Vessel, points: tuple[Point, ...], last: Branch) -> tuple[Point, ...]:
    """Return the way of a main without the leg that is its last branch, on to where that comes back."""
    *before, end = points[:-1]
    if last.open_end is None:
        return (*before, end)
    ahead = direction(before[-1], end)
    x, y = port_place(vessel.component_by_tag[last.open_end.tag], last.open_end.port)
    more = (x - end[0]) * ahead[0] + (y - end[1]) * ahead[1]
    more = more + 2 * GRID if more > 0 else 0.0
    return (*before, (end[0] + more * ahead[0], end[1] + more * ahead[1]))


def _in_order(vessel: Vessel, tags: Sequence[str]) -> list[tuple[Run, bool]]:
    """Return runs end to end, each with whether it points that way; water flows with most of them."""
    runs = {tag: run_of(vessel, tag) for tag in tags}
    at: dict[str, list[Run]] = {}
    for run in runs.values():
        for end in (run.start, run.end):
            at.setdefault(end.tag, []).append(run)
    ends = [tag for tag, there in at.items() if len(there) == 1]
    ordered: list[tuple[Run, bool]] = []
    if len(ends) == 2 and all(len(there) <= 2 for there in at.values()):
        here, seen = ends[0], set[str]()
        while step := next((run for run in at[here] if run.tag not in seen), None):
            seen.add(step.tag)
            forward = step.start.tag == here
            ordered.append((step, forward))
            here = step.end.tag if forward else step.start.tag
    if len(ordered) != len(runs) or not runs:
        some = ", ".join(list(runs)[:4]) or "no runs"
        raise EditError(
            f"{some} are not one main; choose runs that follow each other end to end", tuple(runs)
        )
    if sum(forward for _, forward in ordered) * 2 < len(ordered):
        ordered = [(run, not forward) for run, forward in reversed(ordered)]
    return ordered


def _branches_at(vessel: Vessel, component: Component, used: set[str]) -> list[Branch]:
    """Return the branches that leave a main at a component, by the ports that the main does not use."""
    found = []
    if isinstance(component, Tee) or half_length(component) is not None or isinstance(component, AirHandler):
        for port in component.ports:
            if port in used:
                continue
            if (component.tag, port) in vessel.runs_at:
                found.append(Branch(component.at, _open_end(vessel, End(component.tag, port))))
            elif isinstance(component, AirHandler):
                found.append(Branch(component.at, End(component.tag, port)))
    return found


def _open_end(vessel: Vessel, end: End) -> End | None:
    """Return the open port that a branch ends in, beyond its air handler; None if it does not end."""
    passed, seen = False, set[str]()
    while runs := vessel.runs_at.get((end.tag, end.port)):
        run = runs[0]
        if run.tag in seen:
            return None
        seen.add(run.tag)
        into = run.end if run.start == end else run.start
        component = vessel.component_by_tag[into.tag]
        passed = passed or isinstance(component, AirHandler)
        if len(component.ports) != 2:
            return None
        end = End(into.tag, next(port for port in component.ports if port != into.port))
    return end if passed else None
