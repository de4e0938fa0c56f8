# SPDX-License-Identifier: MIT
"""Edits that put a component into a run at a point of the drawing: dropped parts and tees."""

from __future__ import annotations

import math
from typing import NamedTuple

import msgspec

from solver.errors import EditError
from solver.parts.pipe_sizes import pipe_size
from solver.vessel.components import AnyComponent, Component, Tee, kind_name
from solver.vessel.edits.following import is_pinned, rerouted
from solver.vessel.edits.in_line import split_run
from solver.vessel.edits.making import new_component
from solver.vessel.edits.tags import free_tag
from solver.vessel.fields import Point
from solver.vessel.footprint import GRID, port_direction, port_offsets
from solver.vessel.parts import as_run, find
from solver.vessel.routing import legs, length_of, nearest_on, way
from solver.vessel.routing.way import SAME, direction
from solver.vessel.run import Run
from solver.vessel.takeoff import measured
from solver.vessel.vessel import Vessel


class OnRun(NamedTuple):
    """A place on a run, near a point of the drawing."""

    run: str
    at: Point


class Fit(NamedTuple):
    """A component where it stands in a run, and the share of the run's way before it."""

    component: AnyComponent
    share: float


def drop_on_run(vessel: Vessel, component: AnyComponent | str, run_tag: str, at: Point) -> Vessel:
    """Return the vessel with a component put into a run, at the place of the run nearest to a point.

    It stands on the run and on the grid, turned along the run, its first port towards the run's start;
    the two halves share length, rise and fittings by position.

    Parameters
    ----------
    vessel : Vessel
        Left as it is.
    component : Component or str
        With a tag of its own; or a kind, made with the next free tag and in the size of the run.
    run_tag : str
        The run.
    at : (x, y)
        Where it was dropped.

    Raises
    ------
    EditError
        There is no such run or kind, the component has one port, or the run is drawn too short.
    """
    run = run_of(vessel, run_tag)
    if isinstance(component, str):
        component = _made_for(vessel, run, component, at)
    fit = fit_on_run(vessel, run, component, at)
    split = split_run(vessel, run_tag, fit.share, fit.component)
    if half_length(component) is not None:
        return split
    tag = fit.component.tag
    anew = [half.tag for half in split.runs if tag in (half.start[0], half.end[0]) and not is_pinned(half)]
    return measured(rerouted(split, anew))


def put_tee(
    vessel: Vessel, run_tag: str, at: Point, towards: Point | None = None, tag: str = ""
) -> tuple[Vessel, str]:
    """Return the vessel with a tee in a run near a point, and the tee's tag.

    Its branch looks to the side of ``towards``; right of the run's direction if that lies on the run.

    Raises
    ------
    EditError
        There is no such run, or it is drawn too short.
    """
    run = run_of(vessel, run_tag)
    tee = Tee(tag=tag or free_tag(vessel, "tee"), at=at, deck=deck_on(vessel, run, at))
    fit = fit_on_run(vessel, run, tee, at)
    placed, ports = fit.component, ("run_1", "run_2")
    if towards is not None:
        out = port_direction(placed, "branch")
        aside = (towards[0] - placed.at[0]) * out[0] + (towards[1] - placed.at[1]) * out[1]
        if aside < 0:
            # Half a turn brings the branch to the other side and swaps the two ports of the run.
            placed, ports = msgspec.structs.replace(placed, turn=(placed.turn + 2) % 4), ("run_2", "run_1")
    return split_run(vessel, run_tag, fit.share, placed, ports), placed.tag


def fit_on_run(vessel: Vessel, run: Run, component: AnyComponent, at: Point) -> Fit:
    """Return a component laid into a run at the place nearest to a point where it has room.

    A component whose first two ports do not lie opposite each other stays where it is.

    Raises
    ------
    EditError
        No leg of the run is as long as the component.
    """
    points = way(vessel, run)
    half = half_length(component)
    if half is None:
        spot = nearest_on(points, at)
        total = length_of(points)
        share = spot.along / total if total else 0.5
        return Fit(component, min(max(share, 0.02), 0.98))
    best: tuple[float, Point, Point, float] | None = None
    along = 0.0
    for a, b in legs(points):
        if math.dist(a, b) >= 2 * half - SAME:
            place = _on_leg(a, b, half, at)
            apart = math.dist(place, at)
            if best is None or apart < best[0] - SAME:
                best = (apart, place, direction(a, b), along + math.dist(a, place))
        along += math.dist(a, b)
    if best is None:
        longest = max(math.dist(a, b) for a, b in legs(points))
        what = kind_name(component).replace("_", " ")
        raise EditError(
            f"{run.tag} is drawn too short for one more {what}: its longest straight piece is {longest:g} "
            f"units, and it takes {2 * half:g}; move the ends of {run.tag} apart",
            (run.tag,),
        )
    _, place, ahead, before = best
    return Fit(_turned_along(component, place, ahead), before / along)


def run_of(vessel: Vessel, tag: str) -> Run:
    """Return a run by its tag; ``EditError`` if there is none."""
    run = vessel.run_by_tag.get(tag)
    return as_run(find(vessel, (tag,))[tag].part) if run is None else run


def deck_on(vessel: Vessel, run: Run, at: Point) -> str:
    """Return the deck of a place on a run: that of the nearer of its ends."""
    ends = [vessel.component_by_tag[end.tag] for end in (run.start, run.end)]
    return min(ends, key=lambda component: math.dist(component.at, at)).deck


def _made_for(vessel: Vessel, run: Run, kind: str, at: Point) -> AnyComponent:
    bore = pipe_size(run.series, run.size).bore_mm
    return new_component(vessel, kind, at, deck=deck_on(vessel, run, at), bore_mm=bore)


def half_length(component: Component) -> float | None:
    """Return half the length of a component that stands in a run, None where its ports are not opposite."""
    if len(component.ports) < 2:
        return None
    (x1, y1), (x2, y2) = (port_offsets(component)[port] for port in component.ports[:2])
    opposite = x1 + x2 == 0 and y1 + y2 == 0 and (x1 == 0 or y1 == 0)
    return abs(x1) + abs(y1) if opposite else None


def _on_leg(a: Point, b: Point, half: float, at: Point) -> Point:
    """Return the place on a leg nearest to a point, on the grid if there is room."""

    def fitted(one: float, other: float, wanted: float) -> float:
        low, high = min(one, other) + half, max(one, other) - half
        wanted = min(max(low, wanted), high)
        nearest_lines = (round(wanted / GRID), math.floor(wanted / GRID), math.ceil(wanted / GRID))
        on_grid = (line * GRID for line in nearest_lines if low <= line * GRID <= high)
        return next(on_grid, wanted)

    if abs(b[0] - a[0]) >= abs(b[1] - a[1]):
        return (fitted(a[0], b[0], at[0]), a[1])
    return (a[0], fitted(a[1], b[1], at[1]))


def _turned_along(component: AnyComponent, at: Point, ahead: Point) -> AnyComponent:
    """Return a component whose second port looks ahead."""
    turns: list[AnyComponent] = [msgspec.structs.replace(component, at=at, turn=turn) for turn in range(4)]
    return next(placed for placed in turns if port_direction(placed, placed.ports[1]) == ahead)
