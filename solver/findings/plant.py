# SPDX-License-Identifier: MIT
"""Rules on what the chillers do: trips, capacity, figures left, condensers and their sea water."""

from __future__ import annotations

from collections.abc import Iterator

from solver.findings.case import Case, Verdict
from solver.findings.wording import listed, percent
from solver.results import ChillerFigures, Trip
from solver.vessel.components import Chiller

#: Leaving water this far off its set point is told of [K].
_OFF = 0.2
#: Condensing above leaving sea water: 3 to 6 K clean (common practice) [K].
_APPROACH = 8.0
#: Rise of the sea water, and share of its rated flow, at which it is told of as short.
_SEA_RISE, _SEA_SHARE = 8.0, 0.7
_LICENSED = "Refrigerant and electrical work are for licensed people."


def no_chiller_runs(case: Case) -> Iterator[Verdict]:
    """No chiller that is switched on.  Physics: the loop is as warm as the boat then."""
    chillers = case.heat.chillers
    if all(one.tripped == "off" for one in chillers.values()):
        yield Verdict(
            "bad",
            f"No chiller runs: {listed(list(chillers))} {'is' if len(chillers) == 1 else 'are'} off.",
            cause="The water of the loop takes the temperature of the boat.",
            cure="Switch one on.",
            tags=tuple(chillers),
        )


def chiller_cannot_heat(case: Case) -> Iterator[Verdict]:
    """A running chiller without reverse cycle in conditions of heating.  Makers' data."""
    if not case.is_heating:
        return
    idle = [part.tag for part in case.of(Chiller) if part.running and part.heating_capacity_kW == 0.0]
    if idle:
        yield Verdict(
            "bad",
            f"{listed(idle)} cannot heat.",
            cause="The conditions ask for heating, and its heating capacity is 0.",
            cure="Take a chiller with reverse cycle, a boiler, or electric heaters in the air handlers.",
            tags=tuple(idle),
        )


def _tripped(case: Case, trip: Trip) -> list[tuple[Chiller, ChillerFigures]]:
    return [
        (part, case.heat.chillers[part.tag])
        for part in case.of(Chiller)
        if part.tag in case.heat.chillers and case.heat.chillers[part.tag].tripped == trip
    ]


def chiller_freezing(case: Case) -> Iterator[Verdict]:
    """A chiller whose leaving water would be colder than its frost switch allows.  The maker's figure."""
    for part, one in _tripped(case, "freezing"):
        low_set = part.set_point_C < part.freezing_trip_C
        yield Verdict(
            "bad",
            f"{part.tag} trips on frost: its water would leave below "
            f"{case.say.temperature(part.freezing_trip_C)}.",
            cause=f"Its set point is {case.say.temperature(part.set_point_C)}."
            if low_set
            else "Its water is too cold or too little for its capacity.",
            cure="Raise the set point. Its switch stays as the maker set it; glycol and another setting are "
            f"for the maker's people. {_LICENSED}",
            tags=(one.tag,),
        )


def chiller_high_condensing(case: Case) -> Iterator[Verdict]:
    """A chiller that its high-pressure switch stops.  The maker's figure; causes by common practice."""
    for part, one in _tripped(case, "high_condensing"):
        if one.sea_drawn and one.sea_flow_L_s < _SEA_SHARE * part.sea_rated_flow_L_s:
            cause = f"{case.say.flow(one.sea_flow_L_s)} of sea water reach it; it needs "
            cause += f"{case.say.flow(part.sea_rated_flow_L_s)}."
            cure = (
                "Look at seacock, strainer and sea-water pump, the seacock shut before a strainer is opened."
            )
        elif part.condenser_fouling_percent > 0.0:
            cause = f"Its condenser is fouled: {part.condenser_fouling_percent:g} % of its surface is lost."
            cure = "Clean the condenser as its maker says."
        else:
            cause = f"Sea water comes in at {case.say.temperature(one.sea_in_C)}."
            cure = "Less load, a lower compressor speed, or a chiller made for such water."
        yield Verdict(
            "bad",
            f"{part.tag} trips on high pressure: it would condense above "
            f"{case.say.temperature(part.condensing_trip_C)}.",
            cause=cause,
            cure=f"{cure} {_LICENSED}",
            tags=(part.tag,),
        )


def chiller_sea_too_cold(case: Case) -> Iterator[Verdict]:
    """A chiller in heating whose sea water would freeze in it.  Physics; sea water freezes near -2 degC."""
    for part, one in _tripped(case, "sea_too_cold"):
        yield Verdict(
            "bad",
            f"{part.tag} stops: sea water of {case.say.temperature(one.sea_in_C)} would freeze in it.",
            cause=f"It takes its heat from {case.say.flow(one.sea_flow_L_s)} of sea water.",
            cure=f"More sea water, less load, or another source of heat. {_LICENSED}",
            tags=(part.tag,),
        )


def chiller_short(case: Case) -> Iterator[Verdict]:
    """A running chiller that does not reach its set point: the load is more than it can take.  Physics."""
    for one in case.heat.chillers.values():
        off = (one.leaving_C - one.set_point_C) * (-1.0 if case.is_heating else 1.0)
        if one.tripped or one.at_set_point or off < _OFF:
            continue
        off_too = [other.tag for other in case.heat.chillers.values() if other.tripped]
        yield Verdict(
            "warn",
            f"{one.tag} is short: water leaves at {case.say.temperature(one.leaving_C)}, its set point is "
            f"{case.say.temperature(one.set_point_C)}.",
            cause=f"It gives all of its {case.say.heat(1e3 * one.capacity_kW)} at sea water of "
            f"{case.say.temperature(one.sea_in_C)}."
            + (f" {listed(off_too)} {'stands' if len(off_too) == 1 else 'stand'}." if off_too else ""),
            cure="Bring back what stands, take load off, or add capacity."
            if off_too
            else "Take load off, or add capacity.",
            tags=(one.tag, *off_too),
        )


def chiller_outside_figures(case: Case) -> Iterator[Verdict]:
    """A running chiller at water its figures were not given for.  The maker's range."""
    for one in case.heat.chillers.values():
        if not one.tripped and not one.covered and abs(one.duty_kW) > 0.0:
            yield Verdict(
                "warn",
                f"{one.tag} works outside its figures: water leaves at "
                f"{case.say.temperature(one.leaving_C)}, sea water comes in at "
                f"{case.say.temperature(one.sea_in_C)}.",
                cause="Its capacity and power were not given for such temperatures; the nearest that were "
                "are taken.",
                cure="Ask its maker for figures there, and whether it may run so at all.",
                tags=(one.tag,),
            )


def condenser_approach(case: Case) -> Iterator[Verdict]:
    """A condenser that runs far above its leaving sea water.

    Common practice: 3 to 6 K when clean; above 8 K it is cleaned.
    """
    for one in _cooling(case):
        approach = one.refrigerant_C - one.sea_out_C
        if approach > _APPROACH:
            part = case.vessel.component_by_tag[one.tag]
            fouled = isinstance(part, Chiller) and part.condenser_fouling_percent > 0.0
            yield Verdict(
                "warn",
                f"{one.tag} condenses {case.say.difference(approach)} above its leaving sea water.",
                cause="Scale and slime on its condenser hold the heat back; it costs capacity and power."
                if fouled
                else "Its condenser is worked harder than it is rated for.",
                cure=f"Clean it as its maker says, the seacock shut and proven shut first. {_LICENSED}",
                tags=(one.tag,),
            )


def sea_flow_low(case: Case) -> Iterator[Verdict]:
    """A condenser with little sea water.  Common practice: 5 to 6 K of rise; the maker's rated flow."""
    for one in _cooling(case):
        part = case.vessel.component_by_tag[one.tag]
        if not one.sea_drawn or not isinstance(part, Chiller):
            continue
        share, rise = one.sea_flow_L_s / part.sea_rated_flow_L_s, one.sea_out_C - one.sea_in_C
        if share < _SEA_SHARE or rise > _SEA_RISE:
            yield Verdict(
                "warn",
                f"{one.tag} gets {case.say.flow_of(one.sea_flow_L_s, part.sea_rated_flow_L_s)} of sea water "
                f"({percent(share)}), which warms by {case.say.difference(rise)}.",
                cause="Strainer, seacock, weed at the hull or the pump: what takes its flow takes capacity.",
                cure="Clean the strainer, its seacock shut first, and see what comes out overboard.",
                tags=(one.tag,),
            )


def _cooling(case: Case) -> Iterator[ChillerFigures]:
    if not case.is_heating:
        yield from (one for one in case.heat.chillers.values() if not one.tripped and one.duty_kW > 0.0)
