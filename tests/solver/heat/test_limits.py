# SPDX-License-Identifier: MIT
"""The ends of what a loop can do, each by name: finite, in balance, and told of in words."""

from __future__ import annotations

from typing import Any

import msgspec
import numpy as np
import pytest

from solver.results import HeatResults, Results
from solver.solve import solve
from solver.vessel.components import BufferTank, Chiller
from solver.vessel.run import End
from solver.vessel.vessel import Cabin, Conditions, LoopLiquid, Vessel
from tests.heat_boats import cool_vessel, cooled
from tests.solver.findings.broken import inserted, parallel_pumps, run_between
from tests.solver.small_vessels import changed, sound_vessel

#: Humidity ratio of outdoor air of 35 degC and 70 % [kg/kg]: psychrometric chart.
OUTDOOR_HUMIDITY = 0.0255


def heat_of(vessel: Vessel, **loads: Any) -> HeatResults:
    """Return temperatures, after what must hold in any case."""
    return in_balance(cooled(vessel, **loads))


def in_balance(results: Results) -> HeatResults:
    heat = results.heat
    assert heat is not None
    assert heat.energy_balance.error_share < 1e-4
    for figures in (
        *heat.water.values(),
        *heat.coils.values(),
        *heat.cabins.values(),
        *heat.chillers.values(),
    ):
        assert np.isfinite([v for v in msgspec.to_builtins(figures).values() if isinstance(v, float)]).all()
    return heat


def rules_of(results: Results) -> set[str]:
    return {finding.rule for finding in results.findings}


def winter(**more: Any) -> Vessel:
    day = Conditions(
        name="Winter", outdoor_temp_C=0.0, outdoor_rh_percent=70.0, sea_temp_C=10.0, mode="heating"
    )
    return cool_vessel(conditions=(day,), **more)


def test_cabins_at_set_point_by_part_load() -> None:
    heat = heat_of(cool_vessel())
    for cabin in heat.cabins.values():
        assert cabin.temp_C == pytest.approx(24.0, abs=1e-4)
    for coil in heat.coils.values():
        assert 0.0 < coil.demand < 1.0
        assert coil.fan_percent in (40.0, 70.0, 100.0)
    assert heat.chillers["CH-1"].leaving_C == pytest.approx(7.0, abs=1e-6)
    assert heat.chillers["CH-1"].at_set_point


def test_zero_flow_in_a_coil() -> None:
    results = cooled(changed(cool_vessel(), "V-11", opening_percent=0.0))
    heat = in_balance(results)
    assert heat.coils["AH-1"].total_W == pytest.approx(0.0, abs=1e-6)
    assert heat.cabins["C-1"].above_K > 10.0
    assert heat.cabins["C-2"].above_K == pytest.approx(0.0, abs=1e-4)
    (told,) = [one for one in results.findings if one.rule == "cabin_off_set_point"]
    assert told.cause == "No water flows through AH-1."


def test_a_coil_above_the_dew_point_stays_dry_and_one_below_dries() -> None:
    wet, dry = heat_of(cool_vessel()), heat_of(cool_vessel(), moisture_kg_s=0.0, outdoor_humidity_ratio=0.004)
    assert wet.coils["AH-1"].is_wet
    assert wet.coils["AH-1"].condensate_L_h > 0.1
    assert not dry.coils["AH-1"].is_wet
    assert dry.coils["AH-1"].latent_W == pytest.approx(0.0, abs=1e-9)
    assert dry.coils["AH-1"].condensate_L_h == 0.0
    # What the coil takes out is what people and outdoor air bring in: 1 kg of water an hour.
    brought = 8e-5 + 0.012 * (OUTDOOR_HUMIDITY - wet.cabins["C-1"].rh * saturated(wet.cabins["C-1"].temp_C))
    assert wet.coils["AH-1"].condensate_L_h == pytest.approx(3600.0 * brought, rel=0.02)


def saturated(temp_C: float) -> float:
    """Return the humidity ratio of saturated air by Magnus' formula (WMO), near enough for 2 %."""
    pressure = 611.2 * np.exp(17.62 * temp_C / (243.12 + temp_C))
    return float(0.622 * pressure / (101325.0 - pressure))


def test_heating() -> None:
    vessel = winter()
    heat = heat_of(vessel, gain_W=0.0)
    chiller = heat.chillers["CH-1"]
    assert chiller.duty_kW < 0.0
    assert chiller.leaving_C == pytest.approx(45.0, abs=1e-6)
    assert chiller.into_sea_kW < 0.0
    assert chiller.sea_out_C < chiller.sea_in_C
    for cabin in heat.cabins.values():
        assert cabin.temp_C == pytest.approx(24.0, abs=1e-4)
    for coil in heat.coils.values():
        assert coil.total_W < 0.0
        assert not coil.is_wet


def test_heating_that_is_not_enough_leaves_cabins_cold() -> None:
    results = cooled(changed(winter(), "CH-1", heating_capacity_kW=2.0), gain_W=0.0)
    heat = in_balance(results)
    assert heat.chillers["CH-1"].duty_kW == pytest.approx(-heat.chillers["CH-1"].capacity_kW)
    assert all(cabin.temp_C < 23.0 and cabin.above_K > 1.0 for cabin in heat.cabins.values())
    assert {"chiller_short", "cabin_off_set_point"} <= rules_of(results)


def test_outside_colder_than_inside_in_cooling() -> None:
    day = Conditions(name="Spring", outdoor_temp_C=12.0, sea_temp_C=14.0)
    heat = heat_of(cool_vessel(conditions=(day,)), gain_W=100.0)
    for cabin in heat.cabins.values():
        assert 12.0 < cabin.temp_C < 24.0
    for coil in heat.coils.values():
        assert coil.demand == 0.0
        assert coil.total_W == pytest.approx(0.0, abs=1e-6)


def test_no_chiller_runs() -> None:
    results = cooled(changed(cool_vessel(), "CH-1", running=False))
    heat = in_balance(results)
    assert heat.chillers["CH-1"].tripped == "off"
    assert heat.chillers["CH-1"].power_kW == 0.0
    assert "no_chiller_runs" in rules_of(results)


def test_a_set_point_out_of_reach_floats_to_the_balance() -> None:
    results = cooled(changed(cool_vessel(), "CH-1", capacity_kW=6.0))
    heat = in_balance(results)
    chiller = heat.chillers["CH-1"]
    assert not chiller.at_set_point
    assert chiller.load_share == pytest.approx(1.0)
    assert chiller.duty_kW == pytest.approx(chiller.capacity_kW, rel=1e-6)
    assert chiller.leaving_C > 8.0
    assert "chiller_short" in rules_of(results)


def test_flow_reversed_through_an_air_handler() -> None:
    vessel = cool_vessel()
    into, out = run_between(vessel, "V-11", "AH-1"), run_between(vessel, "AH-1", "RV-1")
    vessel = changed(
        changed(vessel, into.tag, end=End("AH-1", "water_out")), out.tag, start=End("AH-1", "water_in")
    )
    results = cooled(vessel)
    heat = in_balance(results)
    assert results.links["AH-1"].flow_L_s < 0.0
    assert heat.coils["AH-1"].water_in_C < heat.coils["AH-1"].water_out_C
    assert heat.cabins["C-1"].above_K == pytest.approx(0.0, abs=1e-3)


def test_a_pump_against_a_shut_way() -> None:
    results = cooled(changed(cool_vessel(), "V-2", opening_percent=0.0))
    heat = in_balance(results)
    assert heat.chillers["CH-1"].tripped == "low_flow"
    # The water in the pump is warmed, until it loses as much to the room: 30 K at the most.
    temps = [figures.out_C for tag, figures in heat.water.items() if tag == "P-1"]
    assert all(temp < 29.5 + 30.0 + 1.0 for temp in temps)
    assert "pump_dead_headed" in rules_of(results)


@pytest.mark.parametrize(
    "fault",
    [("V-90", {"opening_percent": 0.0}), ("ST-90", {"clogging_percent": 99.9}), ("SP-1", {"running": False})],
)
def test_sea_water_blocked(fault: tuple[str, dict[str, Any]]) -> None:
    tag, fields = fault
    results = cooled(changed(cool_vessel(), tag, **fields))
    heat = in_balance(results)
    assert heat.chillers["CH-1"].tripped == "high_condensing"
    assert heat.chillers["CH-1"].duty_kW == 0.0
    assert heat.energy_balance.into_sea_W == 0.0
    (told,) = [one for one in results.findings if one.rule == "chiller_high_condensing"]
    assert "seacock" in told.cure
    assert "licensed" in told.cure


def test_frost_switch() -> None:
    results = cooled(changed(cool_vessel(), "CH-1", set_point_C=5.0, freezing_trip_C=6.0))
    assert in_balance(results).chillers["CH-1"].tripped == "freezing"
    assert "chiller_freezing" in rules_of(results)


def test_flow_switch() -> None:
    results = cooled(changed(cool_vessel(), "CH-1", minimum_flow_L_s=0.9))
    assert in_balance(results).chillers["CH-1"].tripped == "low_flow"
    assert "chiller_below_minimum" in rules_of(results)


def two_in_series(**second: Any) -> Vessel:
    """Return the cool vessel with two chillers one behind the other, each of half its load."""
    vessel = changed(cool_vessel(), "CH-1", capacity_kW=6.0)
    first = vessel.component_by_tag["CH-1"]
    assert isinstance(first, Chiller)
    other = msgspec.structs.replace(first, tag="CH-2", **second)
    return inserted(vessel, run_between(vessel, "CH-1", "V-4").tag, other)


def test_chillers_in_series_share_the_work_downstream_last() -> None:
    """By hand: the first takes all it can, the second what is left to its set point."""
    vessel = two_in_series()
    results = cooled(vessel)
    heat = in_balance(results)
    one, two = heat.chillers["CH-1"], heat.chillers["CH-2"]
    assert one.duty_kW == pytest.approx(one.capacity_kW, rel=1e-6)
    assert not one.at_set_point
    assert two.entering_C == pytest.approx(one.leaving_C, abs=0.05)
    assert two.leaving_C == pytest.approx(7.0, abs=1e-6)
    assert 0.0 < two.load_share < 1.0
    # Water of 7 to 12 degC: 4.194 kJ/(kg K), 0.9998 kg/L (IAPWS).
    rate = 4194.0 * 0.9998 * results.links["CH-2"].flow_L_s
    assert two.duty_kW * 1e3 == pytest.approx(rate * (two.entering_C - 7.0), rel=2e-3)


def test_one_of_two_chillers_out_warms_the_water_until_the_balance_holds() -> None:
    # Each chiller alone takes about two thirds of the load.
    vessel = two_in_series()
    both = heat_of(vessel)
    out = heat_of(changed(vessel, "CH-2", running=False))
    assert both.chillers["CH-2"].leaving_C == pytest.approx(7.0, abs=1e-6)
    assert out.chillers["CH-1"].duty_kW == pytest.approx(out.chillers["CH-1"].capacity_kW, rel=1e-6)
    # Warmer water makes a machine take more than before, but less than the two took.
    assert both.chillers["CH-1"].duty_kW < out.chillers["CH-1"].duty_kW
    total = both.chillers["CH-1"].duty_kW + both.chillers["CH-2"].duty_kW
    assert out.chillers["CH-1"].duty_kW < total
    assert out.chillers["CH-1"].leaving_C > 8.0
    assert out.chillers["CH-2"].tripped == "off"
    assert out.chillers["CH-2"].leaving_C == pytest.approx(out.chillers["CH-2"].entering_C)
    assert all(out.cabins[tag].temp_C > both.cabins[tag].temp_C for tag in both.cabins)


def test_two_air_handlers_for_one_cabin() -> None:
    vessel = changed(cool_vessel(), "AH-2", cabins=("C-1",))
    heat = heat_of(vessel, gain_W=[3600.0, 0.0, 1500.0], conductance_W_K=[40.0, 5.0, 40.0])
    assert heat.cabins["C-1"].air_handlers == ("AH-1", "AH-2")
    assert heat.cabins["C-1"].temp_C == pytest.approx(24.0, abs=1e-3)
    assert heat.coils["AH-1"].demand == pytest.approx(heat.coils["AH-2"].demand)
    assert heat.cabins["C-2"].air_handlers == ()
    assert heat.cabins["C-2"].temp_C > 26.0


def test_one_air_handler_for_several_cabins() -> None:
    vessel = changed(changed(cool_vessel(), "AH-1", cabins=("C-1", "C-2")), "AH-2", cabins=())
    heat = heat_of(vessel, gain_W=[300.0, 900.0, 1500.0], conductance_W_K=20.0)
    one, two = heat.cabins["C-1"], heat.cabins["C-2"]
    # Its thermostat stands in their mean; air goes to each by its load.
    assert min(one.temp_C, two.temp_C) <= 24.0 <= max(one.temp_C, two.temp_C)
    assert abs(one.temp_C - two.temp_C) < 3.0
    # An air handler without a cabin cools air as it is rated with.
    assert heat.coils["AH-2"].air_in_C == pytest.approx(27.0)
    assert {flow.name: flow.heat_W for flow in heat.energy_balance.flows}["rated_air"] > 1000.0


def test_no_cabins_at_all() -> None:
    results = solve(sound_vessel(), heat=True)
    heat = in_balance(results)
    assert heat.cabins == {}
    assert all(coil.air_in_C == pytest.approx(27.0) for coil in heat.coils.values())


def test_a_cabin_without_an_air_handler_takes_the_temperature_of_its_surroundings() -> None:
    vessel = cool_vessel()
    vessel = msgspec.structs.replace(vessel, cabins=(*vessel.cabins, Cabin(tag="C-4")))
    heat = heat_of(vessel, gain_W=[1500.0, 1500.0, 1500.0, 0.0])
    assert heat.cabins["C-4"].temp_C == pytest.approx(35.0, abs=0.01)
    assert heat.cabins["C-4"].air_handlers == ()


@pytest.mark.parametrize("speeds", [(100.0,), (40.0, 70.0, 100.0), (45.0, 80.0)])
def test_several_fan_speeds(speeds: tuple[float, ...]) -> None:
    heat = heat_of(changed(cool_vessel(), "AH-1", fan_speeds_percent=speeds))
    coil = heat.coils["AH-1"]
    assert coil.fan_percent in speeds
    assert heat.cabins["C-1"].temp_C == pytest.approx(24.0, abs=1e-3)
    # The fan's power goes with the cube of its speed; between speeds it is a mean over time.
    assert coil.fan_heat_W <= 60.0 * (coil.fan_percent / 100.0) ** 3 + 1e-9


def test_more_load_takes_a_higher_speed() -> None:
    speeds = [
        heat_of(cool_vessel(), gain_W=gain).coils["AH-1"].fan_percent for gain in (100.0, 1500.0, 4000.0)
    ]
    assert speeds == sorted(speeds)
    assert speeds[0] < speeds[-1]


def test_without_a_thermostat_the_coil_runs_at_full() -> None:
    heat = heat_of(changed(cool_vessel(), "AH-1", thermostat="none"), gain_W=300.0)
    assert heat.coils["AH-1"].demand == 1.0
    assert heat.cabins["C-1"].temp_C < 23.0
    assert heat.cabins["C-2"].temp_C == pytest.approx(24.0, abs=1e-3)


@pytest.mark.parametrize("valve", ["two_way_valve", "three_way_valve"])
def test_a_valve_thermostat_leaves_the_fan_running(valve: str) -> None:
    heat = heat_of(changed(cool_vessel(), "AH-1", thermostat=valve))
    coil = heat.coils["AH-1"]
    assert coil.fan_heat_W == pytest.approx(60.0)
    assert 0.0 < coil.run_share < 1.0
    assert heat.cabins["C-1"].temp_C == pytest.approx(24.0, abs=1e-3)


def test_a_buffer_tank_takes_heat_from_its_room() -> None:
    vessel = cool_vessel()
    tank = BufferTank(tag="BT-1", heat_gain_W_K=5.0, height_m=0.0)
    vessel = inserted(vessel, run_between(vessel, "CH-1", "V-4").tag, tank)
    heat = heat_of(vessel)
    items = {flow.name: flow.heat_W for flow in heat.energy_balance.flows}
    # 5 W/K from a space of 29.5 degC into water of 7 degC.
    assert items["tanks"] == pytest.approx(5.0 * 22.5, rel=0.05)


def test_glycol_costs_coils_some_of_their_heat() -> None:
    loads = {"gain_W": 6000.0}
    water = heat_of(changed(cool_vessel(), "CH-1", capacity_kW=40.0), **loads)
    mixed = cool_vessel(loop_liquid=LoopLiquid(kind="propylene_glycol", share_percent=30.0))
    glycol = heat_of(changed(mixed, "CH-1", capacity_kW=40.0), **loads)
    # Makers' derates for coils at 30 %: some percent (common practice); the flow falls as well.
    share = glycol.coils["AH-1"].total_W / water.coils["AH-1"].total_W
    assert 0.7 < share < 0.98
    assert glycol.coils["AH-1"].reynolds < water.coils["AH-1"].reynolds


def test_condenser_fouling_costs_capacity_and_power() -> None:
    vessel = changed(cool_vessel(), "CH-1", capacity_kW=6.0)
    clean, dirty = heat_of(vessel), heat_of(changed(vessel, "CH-1", condenser_fouling_percent=50.0))
    one, other = clean.chillers["CH-1"], dirty.chillers["CH-1"]
    assert other.refrigerant_C > one.refrigerant_C
    assert other.power_kW / other.duty_kW > one.power_kW / one.duty_kW
    assert dirty.cabins["C-1"].temp_C > clean.cabins["C-1"].temp_C


def test_compressor_speed_goes_with_capacity_and_power() -> None:
    vessel = changed(cool_vessel(), "CH-1", capacity_kW=6.0)
    full, slow = heat_of(vessel), heat_of(changed(vessel, "CH-1", compressor_speed_percent=70.0))
    assert slow.chillers["CH-1"].capacity_kW < full.chillers["CH-1"].capacity_kW
    assert slow.chillers["CH-1"].leaving_C > full.chillers["CH-1"].leaving_C


def test_a_cabin_with_nothing_to_lose_its_heat_through_stays_finite() -> None:
    """A typed load may come without walls: it falls to nothing at 30 K above the set point."""
    heat = heat_of(
        changed(cool_vessel(), "AH-1", fan_running=False), conductance_W_K=0.0, outdoor_air_kg_s=0.0
    )
    assert heat.cabins["C-1"].temp_C == pytest.approx(54.0, abs=0.1)
    assert heat.cabins["C-2"].temp_C == pytest.approx(24.0, abs=1e-3)
    assert heat.cabins["C-2"].load_sensible_W == pytest.approx(1500.0, rel=1e-3)


def test_moisture_without_end_condenses_on_the_walls() -> None:
    heat = heat_of(
        changed(cool_vessel(), "AH-1", fan_running=False),
        gain_W=[0.0, 1500.0, 1500.0],
        outdoor_air_kg_s=0.0,
        moisture_kg_s=3e-4,
    )
    assert heat.cabins["C-1"].rh == pytest.approx(1.0, abs=0.02)


def test_a_pump_at_rest_leaves_the_loop_still() -> None:
    results = cooled(changed(cool_vessel(), "P-1", running=False))
    heat = in_balance(results)
    assert heat.chillers["CH-1"].tripped == "low_flow"
    assert all(coil.total_W == pytest.approx(0.0, abs=1e-3) for coil in heat.coils.values())


def test_parallel_pumps_one_of_them_off() -> None:
    vessel = changed(parallel_pumps(), "P-2", running=False)
    heat = in_balance(solve(vessel, heat=True))
    assert heat.chillers["CH-1"].leaving_C >= 6.99
