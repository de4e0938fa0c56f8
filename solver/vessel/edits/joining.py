# SPDX-License-Identifier: MIT
"""Edits that join ports by runs, and why two ports cannot be joined."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Literal, TypeAlias

from msgspec import Struct

from solver.errors import EditError, PartError
from solver.parts.pipe_sizes import pipe_series, pipe_size
from solver.vessel.accepted import nearest, one_of, shown
from solver.vessel.components import AirHandler, Chiller, Manifold, Overboard, SeaWaterPump, Tee, ThroughHull
from solver.vessel.edits.adding import add
from solver.vessel.edits.cutting import OnRun, put_tee
from solver.vessel.edits.following import with_way
from solver.vessel.edits.tags import free_tag
from solver.vessel.fields import Point
from solver.vessel.footprint import port_place
from solver.vessel.parts import checked
from solver.vessel.routing import route
from solver.vessel.run import End, Insulation, Run
from solver.vessel.takeoff import ASSUMED_PLUS_MINUS_PERCENT
from solver.vessel.vessel import Vessel

Service: TypeAlias = Literal["supply", "return", "sea", ""]
#: Where a run begins or ends: a port, or a place on a run, where a tee comes.
Where: TypeAlias = End | OnRun


class RunDefaults(Struct, frozen=True):
    """What a new run is like where its neighbours do not say.

    Parameters
    ----------
    series, size : str
        Its pipe.
    insulation : Insulation, optional
        Its insulation.
    surroundings : str
        What space it crosses.
    service : {"supply", "return", "sea", ""}
        What it carries.
    """

    series: str = "multilayer"
    size: str = "26x3.0"
    insulation: Insulation | None = None
    surroundings: str = ""
    service: Service = ""


def why_not(vessel: Vessel, end: End) -> str | None:
    """Return why no run can begin or end at a port, None if one can."""
    component = vessel.component_by_tag.get(end.tag)
    if component is None:
        near = nearest(end.tag, vessel.component_by_tag)
        return f"no component has the tag {shown(end.tag)}" + (f"; {near}?" if near else "")
    if end.port not in component.ports:
        return f"{end.tag} has no port {shown(end.port)}; accepted: {one_of(component.ports, end.port)}"
    taken = vessel.runs_at.get((end.tag, end.port))
    if taken:
        return f"{port_words(end)} has run {taken[0].tag} already; end on {taken[0].tag} to make a tee there"
    return None


def can_connect(vessel: Vessel, start: End, end: End) -> str | None:
    """Return why two ports cannot be joined by a run, None if they can; quick enough for each mouse move."""
    if start == end:
        return f"{port_words(start)} is both ends; a run joins two ports"
    if start.tag == end.tag:
        return f"both ends are at {start.tag}; a run joins two parts"
    return why_not(vessel, start) or why_not(vessel, end)


def free_ports(vessel: Vessel) -> list[End]:
    """Return the ports without a run, in file order."""
    ends = (End(component.tag, port) for component in vessel.components for port in component.ports)
    return [end for end in ends if end not in vessel.runs_at]


def port_words(end: End) -> str:
    """Return a port in words: ``AH-1 water in``."""
    return f"{end.tag} {end.port.replace('_', ' ')}"


def connect(
    vessel: Vessel,
    start: End,
    end: End,
    *,
    like: RunDefaults | None = None,
    via: Sequence[Point] = (),
    tag: str = "",
) -> Vessel:
    """Return the vessel with a run from one port to another, led round what is in its way.

    Pipe, insulation and service are those of the neighbours: runs that go on through the parts at its
    ends.  Its length is off the drawing, by the scale of its deck or an assumed one.

    Parameters
    ----------
    vessel : Vessel
        Left as it is.
    start, end : End
        Ports without a run, of two components.
    like : RunDefaults, optional
        What holds where no neighbour says more.
    via : sequence of points
        Bends to pin.
    tag : str
        Its tag; the next free one if "".

    Raises
    ------
    EditError
        The ports cannot be joined; the text says why.
    """
    if reason := can_connect(vessel, start, end):
        raise EditError(reason, tuple(dict.fromkeys((start.tag, end.tag))))
    run = new_run(vessel, start, end, like=like, via=via, tag=tag)
    return add(vessel, runs=(run,))


def new_run(
    vessel: Vessel,
    start: End,
    end: End,
    *,
    like: RunDefaults | None = None,
    via: Sequence[Point] = (),
    tag: str = "",
) -> Run:
    """Return the run that ``connect`` would add."""
    like = like or RunDefaults()
    neighbours = list(_neighbours(vessel, start, end))
    pipe = _pipe(neighbours, like)
    found = [run for run, _ in neighbours]
    run = Run(
        tag=tag or free_tag(vessel, "run"),
        start=start,
        end=end,
        series=pipe[0],
        size=pipe[1],
        length_m=1.0,
        insulation=found[0].insulation if found else like.insulation,
        surroundings=found[0].surroundings if found else like.surroundings,
        service=_service(vessel, start, end, found) or like.service,
        length_known="assumed",
        length_plus_minus_percent=ASSUMED_PLUS_MINUS_PERCENT,
        fittings_known="drawing",
        bends=tuple(via),
    )
    run = checked(run, run.tag, (start.tag, end.tag))
    return with_way(run, route(vessel, run), routed=not via)


def join(
    vessel: Vessel,
    start: Where,
    end: Where,
    *,
    like: RunDefaults | None = None,
    via: Sequence[Point] = (),
) -> Vessel:
    """Return the vessel with a run between two places, each a port or a place on a run, where a tee comes.

    Raises
    ------
    EditError
        A port is taken, a run is not there or drawn too short for a tee, or both places are on one run.
    """
    if isinstance(start, OnRun) and isinstance(end, OnRun) and start.run == end.run:
        raise EditError(
            f"both ends are on {start.run}; a run does not join another with itself", (start.run,)
        )
    first = via[0] if via else _place(vessel, end)
    last = via[-1] if via else _place(vessel, start)
    ends = []
    for where, towards in ((start, first), (end, last)):
        if isinstance(where, OnRun):
            vessel, tee = put_tee(vessel, where.run, where.at, towards)
            ends.append(End(tee, "branch"))
        else:
            ends.append(where)
    return connect(vessel, ends[0], ends[1], like=like, via=via)


def _place(vessel: Vessel, where: Where) -> Point:
    if isinstance(where, OnRun):
        return where.at
    if reason := why_not(vessel, where):
        raise EditError(reason, (where.tag,))
    return port_place(vessel.component_by_tag[where.tag], where.port)


def _neighbours(vessel: Vessel, start: End, end: End) -> Iterator[tuple[Run, bool]]:
    """Yield runs at the parts of a run's ends, the likest first, and whether their size goes for it too.

    Most like is a run that goes on through a part in line, then one at the same side of an air handler
    or other equipment; a tee's branch and a manifold pass on pipe and service but no size.
    """
    ranked: list[tuple[int, Run]] = []
    for own in (start, end):
        component = vessel.component_by_tag[own.tag]
        for port in component.ports:
            for run in vessel.runs_at.get((own.tag, port), ()):
                if port == own.port or _side(port) != _side(own.port):
                    continue
                branches = isinstance(component, Tee) and "branch" in (port, own.port)
                rank = 2 if branches or isinstance(component, Manifold) else int(len(component.ports) > 2)
                ranked.append((rank, run))
    for rank, run in sorted(ranked, key=lambda one: one[0]):
        yield run, rank < 2


def _side(port: str) -> bool:
    return port.startswith("sea_")


def _pipe(neighbours: list[tuple[Run, bool]], like: RunDefaults) -> tuple[str, str]:
    if not neighbours:
        return like.series, like.size
    run, sized = neighbours[0]
    if sized:
        return run.series, run.size
    if run.series == like.series:
        return like.series, like.size
    try:
        bore = pipe_size(like.series, like.size).bore_mm
    except PartError as error:
        raise EditError(f"pipe of the new run: {error}") from error
    sizes = pipe_series(run.series).sizes
    return run.series, min(sizes, key=lambda size: abs(size.bore_mm - bore)).size


def _service(vessel: Vessel, start: End, end: End, neighbours: list[Run]) -> Service:
    """Return what a run carries: by the ports at its ends, else as its neighbours."""
    for own in (start, end):
        component = vessel.component_by_tag[own.tag]
        if _side(own.port) or isinstance(component, ThroughHull | Overboard | SeaWaterPump):
            return "sea"
    for own in (start, end):
        component = vessel.component_by_tag[own.tag]
        for kind, supply in ((AirHandler, "water_in"), (Chiller, "water_out")):
            if isinstance(component, kind):
                return "supply" if own.port == supply else "return"
    return next((run.service for run in neighbours if run.service), "")
