# SPDX-License-Identifier: MIT
"""What the drawing tools make: new parts with sensible figures, and edits that place and join them.

Pure functions, no Qt.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from functools import cache
from itertools import pairwise

import msgspec

from app.canvas.routing import length_of, route, route_between
from app.translation import tr
from solver.errors import EditError
from solver.vessel.components import KINDS, AnyComponent, Tee
from solver.vessel.edits import add_component, add_run, free_tag, split_run
from solver.vessel.fields import Point
from solver.vessel.footprint import port_direction, port_place
from solver.vessel.parts_list import PartsList, read_parts_list
from solver.vessel.run import End, Run
from solver.vessel.vessel import Cabin, Vessel

#: Pipe of the first run of a vessel.
_FIRST_PIPE = ("multilayer", "26x3.0")
#: Metres a unit of the drawing where no deck plan says so; how unsure such a length is.
_METRES_A_UNIT, _UNSURE_PERCENT = 0.05, 25.0
_SHORTEST_M = 0.1
#: Share of a run that is left on either side of what is dropped on its very end.
_LEAST_SHARE = 0.02


@cache
def _shipped() -> PartsList:
    return read_parts_list()


def new_component(
    vessel: Vessel,
    kind: str,
    at: Point,
    turn: int = 0,
    model: str = "",
    deck: str = "",
    parts: PartsList | None = None,
) -> AnyComponent:
    """Return a component for a vessel, not yet in it: of a model, or of its kind's middle one.

    Raises
    ------
    PartError
        The model is not in the parts list.
    """
    tag = free_tag(vessel, kind)
    parts = parts or _shipped()
    rows = parts.of_kind(kind)
    if not rows:
        parts = _shipped()
        rows = parts.of_kind(kind)
    if not model and not rows:
        return KINDS[kind](tag=tag, at=at, turn=turn, deck=deck)  # type: ignore[return-value]
    return parts.make(model or rows[len(rows) // 2].model, tag, at=at, turn=turn, deck=deck)


def deck_for(vessel: Vessel, near: Point) -> str:
    """Return the deck of the component nearest to a point; empty where there is none."""
    if not vessel.components:
        return ""
    return min(vessel.components, key=lambda part: math.dist(part.at, near)).deck


def nearest_on(way: Sequence[Point], point: Point) -> tuple[Point, float, int]:
    """Return the point of a way nearest to another, its share of the length, and the number of its leg."""
    best, least, total = (way[0], 0.0, 0), math.inf, 0.0
    for index, (a, b) in enumerate(pairwise(way)):
        size = math.dist(a, b)
        share = 0.0
        if size:
            share = ((point[0] - a[0]) * (b[0] - a[0]) + (point[1] - a[1]) * (b[1] - a[1])) / size**2
            share = min(max(share, 0.0), 1.0)
        here = (a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1]))
        if math.dist(here, point) < least:
            least, best = math.dist(here, point), (here, total + share * size, index)
        total += size
    return best[0], best[1] / total if total else 0.5, best[2]


def on_run(vessel: Vessel, run_tag: str, component: AnyComponent) -> tuple[AnyComponent, float]:
    """Return a component laid into a run near where it is, and the share of the run before it.

    It is turned so that its first port looks at the start of the run.  What has one port only
    stays as it is.
    """
    way = route(vessel, vessel.run_by_tag[run_tag])
    (x, y), share, leg = nearest_on(way, component.at)
    if len(component.ports) < 2:
        return component, share
    a, b = way[leg], way[leg + 1]
    # Along the leg on the grid, across it on the line.
    at = (round(x / 10) * 10.0, a[1]) if a[1] == b[1] else (a[0], round(y / 10) * 10.0)
    wanted = (
        (math.copysign(1.0, a[0] - b[0]), 0.0) if a[1] == b[1] else (0.0, math.copysign(1.0, a[1] - b[1]))
    )
    for turn in range(4):
        turned: AnyComponent = msgspec.structs.replace(component, at=at, turn=turn)
        if port_direction(turned, turned.ports[0]) == wanted:
            return turned, min(max(share, _LEAST_SHARE), 1 - _LEAST_SHARE)
    return msgspec.structs.replace(component, at=at), min(max(share, _LEAST_SHARE), 1 - _LEAST_SHARE)


def placed(vessel: Vessel, component: AnyComponent, run_tag: str = "") -> Vessel:
    """Return the vessel with a component added, in a run if one is named.

    Raises
    ------
    EditError
        Another part stands at that very place, or the component cannot stand in a run.
    """
    for other in vessel.components:
        if other.at == component.at:
            raise EditError(tr("{0} stands there already").format(other.tag), (other.tag,))
    if not run_tag:
        return add_component(vessel, component)
    laid, share = on_run(vessel, run_tag, component)
    return split_run(vessel, run_tag, share, laid)


def why_not(vessel: Vessel, start: End | None, end: End) -> str:
    """Return why a run cannot begin (``start`` None) or end at a port; empty if it can."""
    taken = vessel.runs_at.get((end.tag, end.port), ())
    if taken:
        words = tr("{0} has a run already: {1}. End on the run to make a tee.")
        return words.format(port_words(end), taken[0].tag)
    if start is not None and start.tag == end.tag:
        return tr("Both ends are at {0}").format(end.tag)
    return ""


def port_words(end: End) -> str:
    """Return a port in words: its component's tag and its own name."""
    return f"{end.tag} {end.port.replace('_', ' ')}"


def free_ports(vessel: Vessel) -> Iterable[End]:
    """Return the ports without a run, in the order of the document."""
    for component in vessel.components:
        for port in component.ports:
            if not vessel.runs_at.get((component.tag, port)):
                yield End(component.tag, port)


def with_tee(vessel: Vessel, run_tag: str, point: Point, towards: Point) -> tuple[Vessel, End]:
    """Return the vessel with a tee in a run near a point, and the tee's branch, on the side of ``towards``.

    Raises
    ------
    EditError
        There is no such run.
    """
    tee = Tee(tag=free_tag(vessel, "tee"), at=point, deck=deck_for(vessel, point))
    laid, share = on_run(vessel, run_tag, tee)
    assert isinstance(laid, Tee)
    grown = split_run(vessel, run_tag, share, laid)
    out = port_direction(laid, "branch")
    if (towards[0] - laid.at[0]) * out[0] + (towards[1] - laid.at[1]) * out[1] < 0:
        # Half a turn brings the branch to the other side and swaps the two ports of the run.
        turned = msgspec.structs.replace(laid, turn=(laid.turn + 2) % 4)
        swap = {"run_1": "run_2", "run_2": "run_1", "branch": "branch"}

        def swapped(end: End) -> End:
            return End(end.tag, swap[end.port]) if end.tag == laid.tag else end

        grown = msgspec.structs.replace(
            grown,
            components=tuple(turned if part.tag == laid.tag else part for part in grown.components),
            runs=tuple(
                msgspec.structs.replace(run, start=swapped(run.start), end=swapped(run.end))
                if laid.tag in (run.start.tag, run.end.tag)
                else run
                for run in grown.runs
            ),
        )
    return grown, End(laid.tag, "branch")


def pipe_for(vessel: Vessel, *tags: str) -> Run | None:
    """Return the run whose pipe a new run takes over: one at its ends, else the last; None for the first."""
    for run in reversed(vessel.runs):
        if run.start.tag in tags or run.end.tag in tags:
            return run
    return vessel.runs[-1] if vessel.runs else None


def new_run(vessel: Vessel, start: End, end: End, bends: Sequence[Point] = ()) -> Run:
    """Return a run between two ports, not yet in the vessel: pipe as before, length from the drawing."""
    like = pipe_for(vessel, start.tag, end.tag)
    series, size = (like.series, like.size) if like else _FIRST_PIPE
    parts = vessel.component_by_tag
    way = route_between(parts[start.tag], start.port, parts[end.tag], end.port, bends)
    scale = vessel.underlays[0].metres_per_unit if vessel.underlays else _METRES_A_UNIT
    return Run(
        tag=free_tag(vessel, "run"),
        start=start,
        end=end,
        series=series,
        size=size,
        length_m=round(max(length_of(way) * scale, _SHORTEST_M), 2),
        length_known="drawing" if vessel.underlays else "guessed",
        length_plus_minus_percent=0.0 if vessel.underlays else _UNSURE_PERCENT,
        insulation=like.insulation if like else None,
        surroundings=like.surroundings if like else "",
        bends=tuple(bends),
    )


def joined(
    vessel: Vessel, start: End | str, end: End | str, places: tuple[Point, Point], bends: Sequence[Point]
) -> Vessel:
    """Return the vessel with a run from ``start`` to ``end``, each a port or the tag of a run to tee into.

    Parameters
    ----------
    vessel : Vessel
        Left as it is.
    start, end : End or str
    places : pair of points
        Where the ends are; for a run, where along it the tee comes.
    bends : sequence of points

    Raises
    ------
    EditError
        The two cannot be joined; the text says why.
    """
    if isinstance(start, str) and start == end:
        raise EditError(tr("{0} cannot be joined with itself").format(start), (start,))
    first, last = (bends[0], bends[-1]) if bends else (places[1], places[0])
    if isinstance(start, str):
        vessel, start = with_tee(vessel, start, places[0], first)
    if isinstance(end, str):
        vessel, end = with_tee(vessel, end, places[1], last)
    for reason in (why_not(vessel, None, start), why_not(vessel, start, end)):
        if reason:
            raise EditError(reason, (start.tag, end.tag))
    return add_run(vessel, new_run(vessel, start, end, bends))


def new_cabin(vessel: Vessel, a: Point, b: Point) -> Cabin:
    """Return a cabin between two corners, not yet in the vessel."""
    (left, right), (top, bottom) = sorted((a[0], b[0])), sorted((a[1], b[1]))
    tag = free_tag(vessel, "cabin")
    name = tr("Cabin {0}").format(tag.rpartition("-")[2])
    outline = ((left, top), (right, top), (right, bottom), (left, bottom))
    return Cabin(tag=tag, name=name, deck=deck_for(vessel, a), outline=outline)


def place_of(vessel: Vessel, end: End) -> Point:
    """Return where a port lies."""
    return port_place(vessel.component_by_tag[end.tag], end.port)
