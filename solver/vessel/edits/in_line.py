# SPDX-License-Identifier: MIT
"""Edits that put a component into a run, and that join the runs where one is taken out."""

from __future__ import annotations

import math

import msgspec

from solver.errors import EditError
from solver.vessel.components import AnyComponent, Tee, kind_name
from solver.vessel.edits.adding import add, refuse_part, without_mentions
from solver.vessel.edits.following import is_pinned, rerouted
from solver.vessel.edits.locking import refuse_locked
from solver.vessel.edits.tags import free_tag
from solver.vessel.fields import Point
from solver.vessel.footprint import port_direction
from solver.vessel.parts import checked, find, with_lists
from solver.vessel.routing import bends_of, legs, way
from solver.vessel.run import End, Fitting, Run
from solver.vessel.takeoff import measured
from solver.vessel.vessel import Cabin, Vessel

#: From the best known to the least.
_HOW_KNOWN = ("measured", "drawing", "guessed", "assumed")


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
    run = where.part
    if not isinstance(run, Run):
        raise EditError(f"{run_tag} is not a run", (run_tag,))
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


def heal(vessel: Vessel, tag: str) -> Vessel:
    """Return the vessel without a component that stands in a run, its two runs made one.

    The joined run keeps the tag of the run before the component and is drawn as both were; where the
    program found the way of both, it finds one anew.  Lengths, rises, fittings and extra losses add up.
    Readings and changes of the component and of the other run go.  A tee may have a port without a run.

    Raises
    ------
    EditError
        The component is not between exactly two runs, has other ports than theirs (but for a tee), is
        locked, or the runs differ in size.
    """
    component = find(vessel, (tag,))[tag].part
    runs = [run for run in vessel.runs if tag in (run.start[0], run.end[0])]
    if isinstance(component, Run | Cabin):
        raise EditError(f"{tag} is not a component", (tag,))
    refuse_locked((component,), "removed")
    if (len(component.ports) != 2 and not isinstance(component, Tee)) or len(runs) != 2:
        text = (
            f"{tag} does not stand between two runs (it has {len(component.ports)} ports, {len(runs)} runs)"
        )
        raise EditError(text, (tag,))
    # Joined in the direction of a run that comes in, so that its sign of flow stays.
    before, after = runs if runs[0].end.tag == tag else (runs[1], runs[0])
    tags = (tag, before.tag, after.tag)
    if (before.series, before.size) != (after.series, after.size):
        sizes = f"{before.tag} is {before.series} {before.size}, {after.tag} {after.series} {after.size}"
        raise EditError(f"one run has one size: {sizes}; make them alike first", tags)
    if before.start.tag == tag:
        before = _reversed(before)
    if after.end.tag == tag:
        after = _reversed(after)
    joined = _joined(before, after, has_height=component.height_m is not None)
    bends = before.bends + _corner(component, before.end.port, after.start.port) + after.bends
    routed = bool(bends) and not is_pinned(before) and not is_pinned(after)
    joined = checked(msgspec.structs.replace(joined, bends=bends, routed=routed), joined.tag, tags)
    kept = [joined if run.tag == joined.tag else run for run in vessel.runs if run.tag != after.tag]
    components = [other for other in vessel.components if other.tag != tag]
    healed = with_lists(vessel, {"components": components, "runs": kept})
    healed = without_mentions(healed, {tag, after.tag})
    if joined.routed or not joined.bends:
        healed = rerouted(healed, (joined.tag,))
    return measured(healed)


def _corner(component: AnyComponent, into: str, out: str) -> tuple[Point, ...]:
    """Return the bend that is left where a component with two ports at a right angle stood."""
    one, other = port_direction(component, into), port_direction(component, out)
    return (component.at,) if one[0] * other[0] + one[1] * other[1] == 0 else ()


def _reversed(run: Run) -> Run:
    rise = None if run.rise_m is None else -run.rise_m
    return msgspec.structs.replace(run, start=run.end, end=run.start, rise_m=rise, bends=run.bends[::-1])


def _joined(before: Run, after: Run, has_height: bool) -> Run:
    length = before.length_m + after.length_m
    unsure = before.length_m * before.length_plus_minus_percent
    unsure += after.length_m * after.length_plus_minus_percent
    counts: dict[str, int] = {}
    for fitting in before.fittings + after.fittings:
        counts[fitting.kind] = counts.get(fitting.kind, 0) + fitting.count
    return msgspec.structs.replace(
        before,
        end=after.end,
        length_m=length,
        length_known=max(before.length_known, after.length_known, key=_HOW_KNOWN.index),
        length_plus_minus_percent=min(unsure / length, 100.0),
        rise_m=_joined_rise(before.rise_m, after.rise_m, has_height),
        fittings=tuple(Fitting(kind, count) for kind, count in counts.items()),
        fittings_known=before.fittings_known if before.fittings_known == after.fittings_known else "typed",
        extra_k=before.extra_k + after.extra_k,
        insulation=before.insulation if before.insulation == after.insulation else None,
        service=before.service if before.service == after.service else "",
        locked=before.locked or after.locked,
        notes="\n".join(notes for notes in (before.notes, after.notes) if notes),
    )


def _joined_rise(before: float | None, after: float | None, has_height: bool) -> float | None:
    """Add up rises; a rise that came from the removed component's height is unknown again."""
    if before is not None and after is not None:
        return before + after
    if has_height or (before is None and after is None):
        return None
    return before if after is None else after
