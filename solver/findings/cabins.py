# SPDX-License-Identifier: MIT
"""Rules on cabins: who serves them, and why one is off its set point or damp."""

from __future__ import annotations

from collections.abc import Iterator

from solver.findings.case import Case, Verdict, each_of
from solver.findings.wording import counted, listed, percent
from solver.results import CabinFigures, CoilFigures
from solver.vessel.components import AirHandler

#: Off its set point by this a cabin is told of, and by this it is bad [K].
_OFF, _FAR_OFF = 1.0, 4.0
#: Relative humidity above which a cabin is damp.
_DAMP = 0.65
#: An air handler works as hard as it can above this demand.
_FULL = 0.98
#: Warmer water than its coil is rated with by this is told as the cause [K].
_WARM_WATER = 1.5
_SHORT_FLOW = 0.85
_DIRTY_PERCENT = 20.0
_LITTLE = 0.01


def cabin_without_air_handler(case: Case) -> Iterator[Verdict]:
    """A cabin that no air handler serves, where others are served.  Common practice: a slip."""
    served = {tag for part in case.of(AirHandler) for tag in part.cabins}
    bare = [cabin.tag for cabin in case.vessel.cabins if cabin.tag not in served]
    if bare and served:
        yield Verdict(
            "note",
            f"No air handler serves {listed(bare)}.",
            cause="Nothing takes out the heat of such a cabin; its temperature is that of its surroundings.",
            cure="Name the cabin in the air handler that blows into it, unless it is meant to be so.",
            tags=tuple(bare),
        )


def air_handler_without_cabin(case: Case) -> Iterator[Verdict]:
    """An air handler that serves no cabin, where others do.  Common practice: a slip."""
    units = case.of(AirHandler)
    idle = [part.tag for part in units if not part.cabins]
    if idle and len(idle) < len(units):
        yield Verdict(
            "note",
            f"{listed(idle)} {'serves' if len(idle) == 1 else 'serve'} no cabin.",
            cause="Its coil is taken to cool air as it is rated with, all of the time.",
            cure="Name the cabins that it blows into.",
            tags=tuple(idle),
        )


def cabin_off_set_point(case: Case) -> Iterator[Verdict]:
    """A cabin that its air handlers do not hold at its set point.

    Common practice: a kelvin is felt, four are complained of.  The cause is the first that holds of: no
    water, fan off, water too warm, too little water, dirt, else a load above what the coil can do.  Cabins
    that all get water too warm are told of together.
    """
    found = [one for one in case.heat.cabins.values() if one.air_handlers and one.above_K > _OFF]
    found.sort(key=lambda one: -one.above_K)
    by_water = [one for one in found if _running(case, one) and _unfit(case, _starved(case, one))]
    if len(by_water) > 1:
        told = {one.tag for one in by_water}
        found = [one for one in found if one.tag not in told]
        yield _off_by_water(case, by_water)
    yield from each_of(
        found,
        lambda one: _off(case, one),
        lambda one: one.tag,
        lambda count: f"{counted(count, 'more cabin is', 'more cabins are')} off set point.",
    )


def _coils(case: Case, cabin: CabinFigures) -> list[CoilFigures]:
    return [case.heat.coils[tag] for tag in cabin.air_handlers if tag in case.heat.coils]


def _share(case: Case, coil: CoilFigures) -> float:
    return abs(case.results.air_handlers[coil.tag].share_of_design)


def _running(case: Case, cabin: CabinFigures) -> bool:
    """Return whether water and air pass some coil of a cabin."""
    return any(
        _share(case, coil) >= _LITTLE and _unit(case, coil).fan_running for coil in _coils(case, cabin)
    )


def _starved(case: Case, cabin: CabinFigures) -> CoilFigures:
    """Return the coil of a cabin that gets least of its design flow."""
    return min(_coils(case, cabin), key=lambda coil: _share(case, coil))


def _unit(case: Case, coil: CoilFigures) -> AirHandler:
    unit = case.vessel.component_by_tag[coil.tag]
    if not isinstance(unit, AirHandler):
        raise TypeError(f"{coil.tag} is no air handler")
    return unit


def _unfit(case: Case, coil: CoilFigures) -> bool:
    """Return whether water comes to a coil too warm, in heating too cold."""
    if case.is_heating:
        return coil.water_in_C < coil.air_in_C + _WARM_WATER
    return coil.water_in_C - _unit(case, coil).rated_water_temp_C > _WARM_WATER


def _off_by_water(case: Case, cabins: list[CabinFigures]) -> Verdict:
    worst = cabins[0]
    cause, cure = _by_water(case, _starved(case, worst))
    return Verdict(
        "bad" if worst.above_K >= _FAR_OFF else "warn",
        f"{listed([one.tag for one in cabins])} are up to {case.say.difference(worst.above_K)} "
        f"{case.off_side} their set points.",
        cause=cause,
        cure=cure,
        tags=tuple(one.tag for one in cabins),
    )


def _off(case: Case, cabin: CabinFigures) -> Verdict:
    cause, cure = _why(case, cabin)
    return Verdict(
        "bad" if cabin.above_K >= _FAR_OFF else "warn",
        f"{cabin.tag} is at {case.say.temperature(cabin.temp_C)}, {case.say.difference(cabin.above_K)} "
        f"{case.off_side} its set point.",
        cause=cause,
        cure=cure,
        tags=(cabin.tag, *cabin.air_handlers),
    )


def _by_water(case: Case, coil: CoilFigures) -> tuple[str, str]:
    rated = case.say.temperature(_unit(case, coil).rated_water_temp_C)
    return (
        f"Water comes to {coil.tag} at {case.say.temperature(coil.water_in_C)}"
        + ("." if case.is_heating else f"; its coil is rated with {rated}."),
        "Look at the chillers first: one may stand, be short of load, or let warm water past.",
    )


def _why(case: Case, cabin: CabinFigures) -> tuple[str, str]:
    """Return cause and cure of a cabin off its set point."""
    coils = _coils(case, cabin)
    names = listed(cabin.air_handlers)
    if all(_share(case, coil) < _LITTLE for coil in coils):
        return f"No water flows through {names}.", "Open its way; what shuts it is told of there."
    if not _running(case, cabin):
        return f"The fan of {names} is off.", "Switch it on; a fan that does not start is for an electrician."
    worst = _starved(case, cabin)
    share, unit = _share(case, worst), _unit(case, worst)
    if _unfit(case, worst):
        return _by_water(case, worst)
    if share < _SHORT_FLOW:
        return (
            f"{worst.tag} gets {percent(share)} of its design flow.",
            "Balance the loop, or take losses out of its branch.",
        )
    if max(unit.filter_clogging_percent, unit.coil_fouling_percent) >= _DIRTY_PERCENT:
        return f"Filter or coil of {unit.tag} is dirty.", "Clean the filter, then the coil."
    given = case.say.heat(abs(sum(coil.total_W for coil in coils)))
    all_it_can = "gives all it can" if len(coils) == 1 else "give all they can"
    if case.is_heating:
        return (
            f"{names} {all_it_can}, {given}; at set point more goes out.",
            "Keep doors shut and check the outdoor air; else a larger air handler.",
        )
    return (
        f"{names} {all_it_can}, {given}; at set point more comes in.",
        "Shade the glass, keep doors shut and check the outdoor air; else a larger air handler.",
    )


def cabin_damp(case: Case) -> Iterator[Verdict]:
    """A cabin above 65 % relative humidity, where mould begins.

    ASHRAE 62.1 had 65 % as the most for cooled rooms (from memory).  Common practice: coils that are too
    large or water that is too warm dry little.
    """
    if case.is_heating:
        return
    damp = [one for one in case.heat.cabins.values() if one.air_handlers and one.rh > _DAMP]
    damp.sort(key=lambda one: -one.rh)
    yield from each_of(
        damp,
        lambda one: _damp(case, one),
        lambda one: one.tag,
        lambda count: (
            f"{counted(count, 'more cabin is', 'more cabins are')} above {percent(_DAMP)} humidity."
        ),
    )


def _damp(case: Case, cabin: CabinFigures) -> Verdict:
    coils = _coils(case, cabin)
    load = max(cabin.load_sensible_W + cabin.load_latent_W, 1.0)
    cause = f"{percent(max(cabin.load_latent_W, 0.0) / load)} of its load is latent."
    if any(coil.demand < _FULL for coil in coils):
        cause += " Its coils run part of the time only, and dry little in it."
    return Verdict(
        "note",
        f"{cabin.tag} has {percent(cabin.rh)} relative humidity.",
        cause=cause,
        cure="Colder water, less fan or less outdoor air dries more. Look for an open door or hatch first.",
        tags=(cabin.tag, *(coil.tag for coil in coils)),
    )
