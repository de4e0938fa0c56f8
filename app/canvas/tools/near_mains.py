# SPDX-License-Identifier: MIT
"""Which runs are mains, and where a branch would begin and end on them.  Pure, no Qt.

A main is pipe between plant and tees, or from tee to tee; the pipe from a tee to an air handler is a
branch.  A free branch port of a tee, or of a manifold, is taken before a new tee is cut in.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from typing import Literal, NamedTuple

from app.canvas.services import services
from solver.vessel.components import AirHandler, Chiller, Component, Manifold, Tee
from solver.vessel.edits import OnRun, Where
from solver.vessel.fields import Point
from solver.vessel.footprint import port_direction, port_place
from solver.vessel.routing import legs, length_of, nearest_on, way
from solver.vessel.run import End, Run
from solver.vessel.vessel import Cabin, Vessel

Side = Literal["supply", "return"]
SIDES: tuple[Side, Side] = ("supply", "return")

#: A main further away than this is not meant [units].
REACH = 600.0
#: So far from where its main would be joined a free port is taken instead [units].
_FOR_A_PORT = 60.0
#: Length of a tee along its run [units].
_TEE = 20.0
#: What it costs if supply and return lie on different sides, and if a port looks away [units].
_APART, _LOOKS_AWAY = 250.0, 150.0
#: So many of the nearest places of each main are weighed against each other.
_WEIGHED = 6


class _Place(NamedTuple):
    """A place where a branch could begin or end."""

    cost: float
    where: Where
    at: Point


class _Port(NamedTuple):
    """A free port of a main, where it is and looks (None: anywhere), and the runs at its part."""

    end: End
    at: Point
    out: Point | None
    runs: set[str]


class Mains:
    """The mains of a vessel; ``mains_of`` keeps the latest.

    Attributes
    ----------
    runs : dict of str to list of str
        ``supply`` and ``return`` -> the tags of their runs.
    """

    def __init__(self, vessel: Vessel) -> None:
        self.vessel = vessel
        carried = services(vessel)
        branches = set(branch_runs(vessel))
        self.runs: dict[Side, list[str]] = {
            side: [tag for tag, service in carried.items() if service == side and tag not in branches]
            for side in SIDES
        }
        self._ways = {tag: way(vessel, vessel.run_by_tag[tag]) for side in SIDES for tag in self.runs[side]}
        self._ports = {side: list(self._free_ports(side)) for side in SIDES}

    def near(
        self, at: Point, chosen: dict[Side, tuple[str, ...]] | None = None
    ) -> tuple[Where | None, Where | None]:
        """Return where a branch at a point would begin and end; None where no main is near.

        Parameters
        ----------
        at : (x, y)
        chosen : dict, optional
            ``supply`` or ``return`` -> runs that it is to end on whatever else is near.
        """
        found = [self._places(side, at, (chosen or {}).get(side, ())) for side in SIDES]
        if not all(found):
            return (found[0][0].where if found[0] else None, found[1][0].where if found[1] else None)
        pairs = ((one, other) for one in found[0] for other in found[1])
        one, other = min(pairs, key=lambda pair: pair[0].cost + pair[1].cost + _apart(at, *pair))
        return one.where, other.where

    def _places(self, side: Side, at: Point, chosen: Iterable[str]) -> list[_Place]:
        tags = {tag for tag in chosen if tag in self._ways}
        places = []
        for tag in tags or self.runs[side]:
            if self._has_room(tag):
                spot = nearest_on(self._ways[tag], at).at
                places.append(_Place(math.dist(spot, at), OnRun(tag, spot), spot))
        ports = (port for port in self._ports[side] if not tags or port.runs & tags)
        places += [_Place(self._cost(port, at), port.end, port.at) for port in ports]
        near = [place for place in places if tags or place.cost <= REACH]
        return sorted(near, key=lambda place: place.cost)[:_WEIGHED]

    def _cost(self, port: _Port, at: Point) -> float:
        """Return what a free port costs; less than its main if that passes near it there."""
        spots = [nearest_on(self._ways[tag], at).at for tag in port.runs if tag in self._ways]
        near = any(math.dist(spot, port.at) <= _FOR_A_PORT for spot in spots)
        away = port.out is not None and _ahead_of(port.at, port.out, at) <= 0
        return math.dist(port.at, at) - _FOR_A_PORT * near + _LOOKS_AWAY * away

    def _has_room(self, tag: str) -> bool:
        """Return whether a tee has room on a run."""
        points = self._ways[tag]
        return any(math.dist(a, b) >= _TEE for a, b in legs(points))

    def _free_ports(self, side: Side) -> Iterator[_Port]:
        mains = set(self.runs[side])
        for component in self.vessel.components:
            if not isinstance(component, Tee | Manifold):
                continue
            runs = {
                run.tag
                for port in component.ports
                for run in self.vessel.runs_at.get((component.tag, port), ())
            }
            if not runs & mains:
                continue
            for port in ("branch",) if isinstance(component, Tee) else component.ports:
                if (component.tag, port) not in self.vessel.runs_at:
                    waits = isinstance(component, Tee) and len(runs) == 1
                    out = None if waits else port_direction(component, port)
                    yield _Port(End(component.tag, port), port_place(component, port), out, runs)


#: Those of the vessel asked for last.
_latest: list[Mains] = []


def mains_of(vessel: Vessel) -> Mains:
    """Return the mains of a vessel; at once for the vessel asked for last."""
    if not _latest or _latest[0].vessel is not vessel:
        _latest[:] = [Mains(vessel)]
    return _latest[0]


def branch_runs(vessel: Vessel) -> Iterator[str]:
    """Yield the runs between an air handler and the tee or manifold that its branch leaves."""
    for component in vessel.components:
        if isinstance(component, AirHandler):
            for port in component.ports:
                runs, at = _walked(vessel, End(component.tag, port))
                if isinstance(at, Tee | Manifold):
                    yield from runs


def _walked(vessel: Vessel, end: End) -> tuple[list[str], Component | None]:
    """Return the runs from a port on through parts in line, and the component where they end."""
    tags: list[str] = []
    while runs := vessel.runs_at.get((end.tag, end.port)):
        run = runs[0]
        if run.tag in tags:
            return tags, None
        tags.append(run.tag)
        into = run.end if run.start == end else run.start
        component = vessel.component_by_tag[into.tag]
        if len(component.ports) != 2 or isinstance(component, AirHandler):
            return tags, component
        end = End(into.tag, next(port for port in component.ports if port != into.port))
    return tags, vessel.component_by_tag[end.tag]


def main_through(vessel: Vessel, tag: str, branches: set[str] | None = None) -> tuple[str, ...]:
    """Return the whole main that a run belongs to, end to end: straight through tees and parts in line.

    It ends at plant and at what is no part of a main; the pipe from its last tee to an air handler is a
    branch and left out.  ``branches`` are those runs, if they are known already.
    """
    run = vessel.run_by_tag[tag]
    branches = set(branch_runs(vessel)) if branches is None else branches
    before = list(_onwards(vessel, run, run.start, branches))
    after = list(_onwards(vessel, run, run.end, branches))
    return tuple(dict.fromkeys((*reversed(before), tag, *after)))


def whole_mains(vessel: Vessel, runs: Iterable[str]) -> list[tuple[str, ...]]:
    """Return the mains that some runs make, the longest on the drawing first."""
    left, found, branches = dict.fromkeys(runs), [], set(branch_runs(vessel))
    while left:
        main = tuple(tag for tag in main_through(vessel, next(iter(left)), branches) if tag in left)
        found.append(main)
        for tag in main:
            del left[tag]
    return sorted(
        found, key=lambda main: -sum(length_of(way(vessel, vessel.run_by_tag[tag])) for tag in main)
    )


def longest_main(vessel: Vessel, runs: Iterable[str]) -> tuple[str, ...]:
    """Return the longest of the mains that some runs make; empty without runs."""
    return next(iter(whole_mains(vessel, runs)), ())


def _onwards(vessel: Vessel, run: Run, end: End, branches: set[str]) -> Iterator[str]:
    seen = {run.tag}
    while True:
        component = vessel.component_by_tag[end.tag]
        port = _through(component, end.port)
        runs = vessel.runs_at.get((end.tag, port), ()) if port else ()
        if not runs or runs[0].tag in seen or runs[0].tag in branches:
            return
        run = runs[0]
        seen.add(run.tag)
        yield run.tag
        end = run.end if (run.start.tag, run.start.port) == (end.tag, port) else run.start


def _through(component: Component, port: str) -> str:
    """Return the port straight across; empty where a main ends."""
    if isinstance(component, Tee):
        return {"run_1": "run_2", "run_2": "run_1"}.get(port, "")
    if isinstance(component, AirHandler | Chiller) or len(component.ports) != 2:
        return ""
    return next(other for other in component.ports if other != port)


def _apart(at: Point, one: _Place, other: _Place) -> float:
    """Return what it costs that two places do not lie on one side of a point."""
    ahead = [_axis((place.at[0] - at[0], place.at[1] - at[1])) for place in (one, other)]
    return _APART if ahead[0] != ahead[1] else 0.0


def _ahead_of(place: Point, out: Point, at: Point) -> float:
    """Return how far a point lies ahead of a place that looks out."""
    return (at[0] - place[0]) * out[0] + (at[1] - place[1]) * out[1]


def _axis(way_to: Point) -> Point:
    dx, dy = way_to
    if abs(dx) > abs(dy):
        return (math.copysign(1.0, dx), 0.0)
    return (0.0, -1.0 if dy < 0 else 1.0)


def cabin_at(vessel: Vessel, at: Point, deck: str = "") -> Cabin | None:
    """Return the cabin whose room a point lies in, on a deck if one is given; the smallest of several."""
    found = [
        cabin
        for cabin in vessel.cabins
        if cabin.outline and (not deck or cabin.deck == deck) and _inside(at, cabin.outline)
    ]
    return min(found, key=_size, default=None)


def _inside(point: Point, outline: Iterable[Point]) -> bool:
    """Return whether a point lies in an outline: a line to the right crosses an odd number of sides."""
    x, y = point
    corners = list(outline)
    crossed = 0
    for (x1, y1), (x2, y2) in zip(corners, [*corners[1:], corners[0]], strict=True):
        if (y1 > y) != (y2 > y) and x < x1 + (y - y1) * (x2 - x1) / (y2 - y1):
            crossed += 1
    return crossed % 2 == 1


def _size(cabin: Cabin) -> float:
    xs, ys = zip(*cabin.outline, strict=True)
    return (max(xs) - min(xs)) * (max(ys) - min(ys))
