# SPDX-License-Identifier: MIT
"""Rules on chillers that start and stop: the water in their loop, and what a pull-down showed."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from solver.errors import PartError
from solver.findings.case import Case, Verdict
from solver.findings.wording import Wording, counted, listed, percent
from solver.heat.pulled import ChillerPulled, PullDown
from solver.results import Finding, Trip
from solver.vessel.components import Chiller
from solver.vessel.vessel import Vessel
from solver.vessel.water_content import least_loop_volume_L, loop_volumes_L, most_starts_h

_MORE_WATER = "Fit a buffer tank, widen the dead band, or take a chiller that turns down further."
_SWITCH: dict[Trip, str] = {
    "freezing": "its frost switch",
    "high_condensing": "its high-pressure switch",
    "sea_too_cold": "sea water too cold to heat from",
}
_STILL: dict[Trip, str] = {
    "off": "It is switched off, or cannot heat.",
    "low_flow": "Too little water flows through it, and its flow switch holds it.",
    "high_condensing": "No sea water reaches its condenser.",
    "sea_too_cold": "No sea water reaches it to take heat from.",
}


class _Cycling(NamedTuple):
    """A chiller whose least stage cycles: its loop, what that should hold [L], most starts an hour."""

    chiller: Chiller
    loop_L: float
    needed_L: float
    starts_h: float


def _cycling(case: Case) -> Iterator[_Cycling]:
    """Return for every loop the chiller that its water suits least."""
    try:
        volumes = loop_volumes_L(case.vessel)
    except PartError:
        return
    joints = case.joints
    worst: dict[int, _Cycling] = {}
    for chiller in case.of(Chiller):
        volume = volumes.get(chiller.tag, 0.0)
        if not chiller.running or volume <= 0.0:
            continue
        stage = chiller.capacity_kW * chiller.turn_down_percent / 100.0
        cycle_min = chiller.minimum_run_min + chiller.minimum_stop_min
        starts = most_starts_h(stage, volume, chiller.dead_band_K)
        if cycle_min > 0.0:
            starts = min(starts, 60.0 / cycle_min)
        needed = least_loop_volume_L(stage, chiller.minimum_run_min, chiller.dead_band_K)
        loop = int(joints.circuits[joints.point_of[chiller.tag, "water_in"]])
        found = _Cycling(chiller, volume, needed, starts)
        if loop not in worst or (found.needed_L, found.starts_h) > (
            worst[loop].needed_L,
            worst[loop].starts_h,
        ):
            worst[loop] = found
    yield from worst.values()


def loop_volume_low(case: Case) -> Iterator[Verdict]:
    """A loop with so little water that a chiller cools it through its dead band before its least run is over.

    ``V = kW 60 min / (4.19 K)`` of the least stage; common practice.
    """
    for found in _cycling(case):
        chiller = found.chiller
        if found.loop_L < found.needed_L:
            yield Verdict(
                "warn",
                f"The loop of {chiller.tag} holds {case.say.volume(found.loop_L)}, "
                f"{percent(found.loop_L / found.needed_L)} of {case.say.volume(found.needed_L)} for a run of "
                f"{chiller.minimum_run_min:g} min at little load.",
                cause="Its least stage cools that water through its dead band of "
                f"{case.say.difference(chiller.dead_band_K)} too soon: it runs on, the water gets too cold, "
                "and its frost switch acts.",
                cure=_MORE_WATER,
                tags=(chiller.tag,),
            )


def short_cycling(case: Case) -> Iterator[Verdict]:
    """A chiller that starts oftener than its compressor bears: at half the load of its least stage.

    Compressors bear 6 to 12 starts an hour by their makers; the limit is the vessel's ``starts_max_h``.
    """
    limit = case.vessel.limits.starts_max_h
    for found in _cycling(case):
        if found.starts_h > limit:
            yield Verdict(
                "warn",
                f"{found.chiller.tag} starts up to {found.starts_h:.1f} times an hour; at most {limit:g}.",
                cause=f"Its loop holds {case.say.volume(found.loop_L)}.",
                cure=_MORE_WATER + " A pull-down shows the starts of a whole day.",
                tags=(found.chiller.tag,),
            )


def pull_down_findings(pulled: PullDown) -> tuple[Finding, ...]:
    """Return what there is to say of a pull-down, what harms first."""
    vessel = pulled.vessel
    say = Wording(vessel.units)
    found = [finding for chiller in pulled.chillers for finding in _of_chiller(chiller, vessel, say)]
    hours = float(pulled.time_h[-1])
    late = [cabin for cabin in pulled.cabins if cabin.reached_h is None]
    if late:
        furthest = max(late, key=lambda cabin: abs(cabin.end_C - cabin.set_point_C))
        found.append(
            Finding(
                "set_point_not_reached",
                "warn",
                f"{listed([cabin.tag for cabin in late])} did not reach set point in {hours:g} h; "
                f"{furthest.tag} ended at {say.temperature(furthest.end_C)}, "
                f"set to {say.temperature(furthest.set_point_C)}.",
                cause="Furnishings give up heat for hours; or chillers, coils or flows fall short of it.",
                cure="Look at the loads, the chillers' duty and the shares of design flow.",
                tags=tuple(cabin.tag for cabin in late),
            )
        )
    order = {"bad": 0, "warn": 1, "note": 2}
    return tuple(sorted(found, key=lambda finding: order[finding.severity]))


def _of_chiller(chiller: ChillerPulled, vessel: Vessel, say: Wording) -> Iterator[Finding]:
    tag, limit = chiller.tag, vessel.limits.starts_max_h
    if chiller.still and not chiller.starts:
        yield Finding("chiller_stood", "bad", f"{tag} never ran.", cause=_STILL[chiller.still], tags=(tag,))
    elif chiller.still:
        yield Finding(
            "chiller_locked_out",
            "bad",
            f"{tag} tripped three times within an hour and stayed off.",
            cause=f"What tripped it: {_SWITCH[chiller.still]}.",
            cure="Cure what trips it before anyone resets it. Never bridge a safety switch.",
            tags=(tag,),
        )
    elif chiller.trips:
        yield Finding(
            "chiller_tripped",
            "warn",
            f"{tag} tripped {counted(len(chiller.trips), 'time', 'times')}, "
            f"first after {chiller.trips[0][0]:.1f} h.",
            cause=f"What tripped it: {listed(sorted({_SWITCH[why] for _, why in chiller.trips}))}.",
            cure="More water in the loop, a higher set point or more sea water, by what tripped it.",
            tags=(tag,),
        )
    if chiller.most_starts_h > limit:
        shortest = chiller.shortest_run_min
        yield Finding(
            "short_cycled",
            "warn",
            f"{tag} started {chiller.most_starts_h} times within an hour; at most {limit:g}.",
            cause=f"Its loop holds {say.volume(chiller.loop_L)}"
            + ("." if shortest is None else f"; its shortest run was {shortest:.1f} min."),
            cure=_MORE_WATER,
            tags=(tag,),
        )
