# SPDX-License-Identifier: MIT
"""The table of rules.  ``docs/findings.md`` lists the same rules in the same order, with their sources."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import NamedTuple

from solver.findings import (
    air,
    balance,
    cabins,
    chillers,
    coils,
    cycling,
    equipment,
    layout,
    liquid,
    plant,
    pressure,
    pumps,
    runs,
    sea_side,
    valves,
)
from solver.findings.case import Case, Verdict


class Rule(NamedTuple):
    """A rule: its name, what judges, whether it looks at results, and whether at temperatures among them."""

    name: str
    judge: Callable[[Case], Iterable[Verdict]]
    needs_results: bool
    needs_heat: bool = False


def _of_vessel(judge: Callable[[Case], Iterable[Verdict]]) -> Rule:
    return Rule(judge.__name__, judge, needs_results=False)


def _of_results(judge: Callable[[Case], Iterable[Verdict]]) -> Rule:
    return Rule(judge.__name__, judge, needs_results=True)


def _of_heat(judge: Callable[[Case], Iterable[Verdict]]) -> Rule:
    return Rule(judge.__name__, judge, needs_results=True, needs_heat=True)


RULES: tuple[Rule, ...] = (
    _of_vessel(equipment.no_circulation_pump),
    _of_vessel(pumps.pump_stopped),
    _of_vessel(pressure.no_expansion_vessel),
    _of_results(pumps.pump_dead_headed),
    _of_results(pumps.pump_reversed),
    _of_results(valves.check_valve_held_shut),
    _of_results(chillers.chiller_without_flow),
    _of_results(chillers.chiller_below_minimum),
    _of_results(chillers.chiller_reversed),
    _of_heat(plant.no_chiller_runs),
    _of_heat(plant.chiller_high_condensing),
    _of_heat(plant.chiller_freezing),
    _of_heat(plant.chiller_sea_too_cold),
    _of_heat(plant.chiller_cannot_heat),
    _of_heat(plant.chiller_short),
    _of_heat(cabins.cabin_off_set_point),
    _of_vessel(cycling.loop_volume_low),
    _of_vessel(cycling.short_cycling),
    _of_results(balance.air_handler_without_flow),
    _of_results(balance.air_handler_low),
    _of_results(balance.air_handler_reversed),
    _of_results(balance.air_handler_high),
    _of_results(pumps.index_needs_more),
    _of_heat(plant.sea_flow_low),
    _of_heat(plant.condenser_approach),
    _of_heat(plant.chiller_outside_figures),
    _of_heat(coils.condensation),
    _of_results(pumps.pump_beyond_curve),
    _of_results(pumps.stopped_pump_leaks),
    _of_results(pumps.suction_too_low),
    _of_results(pressure.pressure_below_air),
    _of_vessel(pressure.low_pressure_at_top),
    _of_vessel(pressure.two_expansion_vessels),
    _of_vessel(pressure.expansion_vessel_not_at_suction),
    _of_vessel(air.no_vent_at_high_point),
    _of_vessel(air.no_air_separator),
    _of_results(valves.cut_off_parts),
    _of_results(valves.constant_flow_below_range),
    _of_results(valves.constant_flow_above_range),
    _of_vessel(valves.constant_flow_in_series),
    _of_results(valves.bypass_open),
    _of_vessel(sea_side.no_seacock),
    _of_vessel(sea_side.no_sea_strainer),
    _of_vessel(sea_side.sea_pump_above_waterline),
    _of_results(runs.sea_velocity_high),
    _of_results(runs.velocity_high),
    _of_results(runs.velocity_low),
    _of_results(runs.loss_per_metre_high),
    _of_results(runs.run_without_flow),
    _of_vessel(equipment.no_strainer),
    _of_vessel(equipment.no_check_valve),
    _of_vessel(equipment.no_regulating_valve),
    _of_vessel(equipment.no_isolating_valve),
    _of_vessel(layout.return_smaller_than_supply),
    _of_vessel(liquid.frost_in_evaporator),
    _of_vessel(liquid.glycol_too_weak),
    _of_vessel(liquid.glycol_too_strong),
    _of_vessel(liquid.ethylene_glycol),
    _of_results(pumps.pump_far_from_best),
    _of_vessel(pumps.pump_curve_with_hump),
    _of_heat(coils.over_pumped),
    _of_heat(coils.coil_laminar),
    _of_heat(cabins.cabin_damp),
    _of_vessel(cabins.cabin_without_air_handler),
    _of_vessel(cabins.air_handler_without_cabin),
    _of_vessel(layout.unconnected_part),
    _of_vessel(layout.open_port),
    _of_vessel(layout.spare_manifold_port),
    _of_vessel(layout.dead_leg),
    _of_vessel(layout.rises_do_not_close),
    _of_vessel(layout.supply_without_insulation),
    _of_vessel(layout.guessed_lengths),
)
