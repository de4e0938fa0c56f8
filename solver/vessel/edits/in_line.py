# SPDX-License-Identifier: MIT
"""The edit that puts a component into a run."""

from __future__ import annotations

import math

import msgspec

from solver.errors import EditError
from solver.vessel.components import AnyComponent, kind_name
from solver.vessel.edits.adding import add, refuse_part
from solver.vessel.edits.tags import free_tag
from solver.vessel.parts import as_run, checked, find, with_lists
from solver.vessel.routing import bends_of, legs, way
from solver.vessel.run import End, Fitting, Run
from solver.vessel.takeoff import measured
from solver.vessel.vessel import Vessel


def split_run(
    vessel: Vessel,
    run_tag: str,
    fraction: float,
    component: AnyComponent,
    ports: tuple[str, str] | None = None,
) -> Vessel:
    """Return the vessel with a component put into a run.

    The run keeps its tag up to the component; a new run with the next free tag goes on from there.
    Length, rise, fittings and extra loss are shared by ``fraction``, their totals kept; everything
    else is the same for both.  Bends stay where they are drawn.

    Parameters
    ----------
    vessel : Vessel
        Left as it is.
    run_tag : str
        The run.
    fraction : float
        Where along the run, from its start, between 0 and 1.
    component : Component
        With two ports or more, a tag of its own and its place on the drawing.
    ports : (str, str), optional
        Its port towards the run's start and the one towards its end; its first two if not given.

    Raises
    ------
    EditError
        There is no such run, the fraction leaves too little of a half, or the component is not
        accepted.
    """
    where = find(vessel, (run_tag,))[run_tag]
    run = as_run(where.part)
    if not 0.0 < fraction < 1.0:
        raise EditError(f"a run is split between its ends: {fraction} is not between 0 and 1", (run_tag,))
    if len(component.ports) < 2:
        text = f"a {kind_name(component)} has one port and cannot stand in a run; put a tee there"
        raise EditError(text, (run_tag, component.tag))
    grown = add(vessel, components=(component,))
    into, out = ports or component.ports[:2]
    ends = (End(component.tag, into), End(component.tag, out))
    halves = [checked(half, half.tag, (run_tag,)) for half in _halves(grown, run, fraction, ends)]
    at = where.position
    split = with_lists(grown, {"runs": (*vessel.runs[:at], *halves, *vessel.runs[at + 1 :])})
    for half in halves:
        refuse_part(split, half)
    return measured(split)


def _halves(vessel: Vessel, run: Run, fraction: float, ends: tuple[End, End]) -> tuple[Run, Run]:
    length = run.length_m * fraction
    rise = None if run.rise_m is None else run.rise_m * fraction
    bends, count = bends_of(way(vessel, run)), _bends_before(vessel, run, fraction)
    shared = [round(fitting.count * fraction) for fitting in run.fittings]
    first = msgspec.structs.replace(
        run,
        end=ends[0],
        length_m=length,
        rise_m=rise,
        extra_k=run.extra_k * fraction,
        bends=bends[:count],
        routed=run.routed and count > 0,
        fittings=_counted(run, shared),
    )
    second = msgspec.structs.replace(
        run,
        tag=free_tag(vessel, "run"),
        start=ends[1],
        length_m=run.length_m - length,
        rise_m=None if run.rise_m is None or rise is None else run.rise_m - rise,
        extra_k=run.extra_k - run.extra_k * fraction,
        bends=bends[count:],
        routed=run.routed and count < len(bends),
        fittings=_counted(run, [f.count - kept for f, kept in zip(run.fittings, shared, strict=True)]),
    )
    return first, second


def _counted(run: Run, counts: list[int]) -> tuple[Fitting, ...]:
    pairs = zip(run.fittings, counts, strict=True)
    return tuple(Fitting(fitting.kind, count) for fitting, count in pairs if count > 0)


def _bends_before(vessel: Vessel, run: Run, fraction: float) -> int:
    """Return how many bends of a run lie before a fraction of its drawn length."""
    steps = [math.dist(a, b) for a, b in legs(way(vessel, run))]
    left, count = fraction * sum(steps), 0
    while count < len(steps) - 1 and steps[count] <= left:
        left -= steps[count]
        count += 1
    return count
