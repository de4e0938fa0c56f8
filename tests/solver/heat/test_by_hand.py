# SPDX-License-Identifier: MIT
"""Loops worked by hand with the formulas of textbooks, beside what the program finds."""

from __future__ import annotations

import json
from math import exp, log, pi
from pathlib import Path

import pytest

from solver.heat.machines import coil_model, coil_rating
from solver.solve import solve
from solver.vessel.components import AirHandler, CapacityPoint
from solver.vessel.run import Insulation
from solver.vessel.vessel import Conditions
from tests.heat_boats import cool_vessel, cooled
from tests.solver.findings.broken import removed, run_between
from tests.solver.small_vessels import changed, sound_vessel

_REFERENCES = Path(__file__).parents[2] / "references"
#: Water of 17 degC (IAPWS) [J/(kg K), kg/L].
_WATER_HEAT, _WATER_DENSITY = 4186.0, 0.9988


@pytest.mark.reference
def test_a_heating_coil_by_effectiveness_and_transfer_units() -> None:
    """Counterflow, dry (Kays and London; Incropera 2007, table 11.3): 45 degC water into 27 degC air."""
    day = Conditions(name="Winter", outdoor_temp_C=5.0, sea_temp_C=15.0, mode="heating")
    vessel = changed(sound_vessel(conditions=(day,)), "CH-1", heating_capacity_kW=60.0)
    results = solve(vessel, heat=True)
    assert results.heat is not None
    coil = results.heat.coils["AH-1"]
    unit = vessel.component_by_tag["AH-1"]
    assert isinstance(unit, AirHandler)
    model, rating = coil_model(unit), coil_rating(unit)
    # Water of 45 degC: 4.180 kJ/(kg K), 0.637 W/(m K), 0.596e-3 Pa s, 0.9902 kg/L (IAPWS).
    water = results.links["AH-1"].flow_L_s * 0.9902
    film = (0.637 / 0.5788) ** 0.6 * (4180.0 / 4195.5) ** 0.4 * (0.596e-3 / 1.3059e-3) ** -0.4
    inside = float(model.inside_ua) * film * (water / rating.water_flow) ** 0.8
    outside = float(model.outside_ua)
    ua = 1.0 / (1.0 / inside + 1.0 / outside)
    air_rate = rating.air_flow * (1006.0 + 1860.0 * rating.humidity_ratio)
    water_rate = water * 4180.0
    small, large = sorted((air_rate, water_rate))
    ratio, ntu = small / large, ua / small
    share = exp(-ntu * (1.0 - ratio))
    effectiveness = (1.0 - share) / (1.0 - ratio * share)
    by_hand = effectiveness * small * (coil.water_in_C - 27.0)
    assert -coil.total_W == pytest.approx(by_hand, rel=0.01)
    assert coil.air_out_C == pytest.approx(27.0 + by_hand / air_rate, abs=0.2)
    assert coil.water_out_C == pytest.approx(coil.water_in_C - by_hand / water_rate, abs=0.1)


def test_a_cabin_at_set_point_by_hand() -> None:
    """1500 W + 40 W/K by 11 K + 12 g/s of outdoor air by 11 K; the coil takes that and its fan's heat."""
    heat = cooled(cool_vessel(), gain_W=1500.0, conductance_W_K=40.0, outdoor_air_kg_s=0.012).heat
    assert heat is not None
    load = 1500.0 + 40.0 * 11.0 + 0.012 * (1006.0 + 1860.0 * 0.0255) * 11.0
    cabin, coil = heat.cabins["C-1"], heat.coils["AH-1"]
    assert cabin.load_sensible_W == pytest.approx(load, rel=1e-3)
    assert coil.sensible_W == pytest.approx(load + coil.fan_heat_W, rel=1e-3)


def test_what_a_pump_adds_to_its_water() -> None:
    """Shaft power = rho g Q H / efficiency, 40 % where it is not told; all of it ends in the water."""
    results = cooled(cool_vessel())
    assert results.heat is not None
    pump = results.pumps["P-1"]
    shaft = 1000.0 * 9.80665 * pump.flow_L_s * 1e-3 * pump.head_m / 0.4
    assert results.heat.water["P-1"].heat_W == pytest.approx(shaft, rel=5e-3)
    items = {flow.name: flow.heat_W for flow in results.heat.energy_balance.flows}
    assert items["pumps"] == pytest.approx(shaft, rel=5e-3)


@pytest.mark.reference
@pytest.mark.parametrize("thickness_mm", [9.0, 19.0, 32.0])
def test_heat_into_an_insulated_run(thickness_mm: float) -> None:
    """ISO 12241 (as in Incropera 2007, section 3.3): what the surface gets, the insulation passes on.

    Film and wall inside count for less than 1 %.  The film outside, convection and radiation, lies between 6
    and 11 W/(m2 K) for pipes of 35 to 100 mm in still air (common practice: 8 to 10).
    """
    vessel = cool_vessel()
    run = run_between(vessel, "AS-1", "TE-2")
    lagging = Insulation(thickness_mm=thickness_mm)
    vessel = changed(vessel, run.tag, insulation=lagging, length_m=40.0)
    heat = cooled(vessel).heat
    assert heat is not None
    water, surface = heat.water[run.tag], heat.surfaces[run.tag]
    inner, outer = 0.035, 0.035 + 2e-3 * thickness_mm
    per_metre = water.heat_W / 40.0
    # The surface is told at its coldest end: there the difference is as much larger.
    mean = (water.in_C + water.out_C) / 2.0
    share = (surface.air_C - water.in_C) / (surface.air_C - mean)
    conducted = 2.0 * pi * 0.038 * (surface.surface_C - water.in_C) / log(outer / inner)
    assert conducted == pytest.approx(per_metre * share, rel=0.015)
    film = per_metre * share / (pi * outer * (surface.air_C - surface.surface_C))
    assert 6.0 < film < 11.0
    # Along the run the difference to the air falls as an exponential does.
    rate = water.heat_W / (water.out_C - water.in_C)
    conductance = per_metre / (surface.air_C - mean)
    kept = exp(-conductance * 40.0 / rate)
    assert surface.air_C - water.out_C == pytest.approx(kept * (surface.air_C - water.in_C), rel=1e-4)


@pytest.mark.reference
def test_heat_into_the_sea() -> None:
    """Reference sea_01: Qc = Qe (1 + 1/COP); the sea water's flow and rise."""
    data = json.loads((_REFERENCES / "sea_01_condenser.json").read_text(encoding="utf-8"))
    given, answer = data["inputs"], data["answer"]
    day = Conditions(name="Summer", sea_temp_C=given["sea_in_C"])
    vessel = removed(cool_vessel(conditions=(day,)), "TH-1", "V-90", "ST-90", "SP-1", "OB-1")
    vessel = changed(
        vessel,
        "CH-1",
        capacity_kW=given["evaporator_W"] / 1e3,
        power_kW=answer["compressor_W"] / 1e3,
        rated_sea_C=given["sea_in_C"],
        sea_rated_flow_L_s=answer["flow_L_per_s"],
    )
    heat = cooled(vessel).heat
    assert heat is not None
    one = heat.chillers["CH-1"]
    assert not one.sea_drawn
    ratio = answer["rejected_W"] / given["evaporator_W"]
    assert one.into_sea_kW / one.duty_kW == pytest.approx(ratio, rel=data["tolerance"]["relative"])
    share = one.duty_kW * 1e3 / given["evaporator_W"]
    assert one.sea_out_C - one.sea_in_C == pytest.approx(share * given["sea_rise_K"], rel=5e-3)


def test_a_chiller_short_of_load_by_hand() -> None:
    """Straight-line figures: 6 kW at 7 degC leaving and 32 degC sea water, 3 % more per kelvin leaving.

    It gives all it can: C (t - x) = 6000 (1 + 0.03 (x - 7)), its sea water rated.
    """
    vessel = changed(cool_vessel(), "CH-1", capacity_kW=6.0)
    vessel = removed(vessel, "TH-1", "V-90", "ST-90", "SP-1", "OB-1")
    results = cooled(vessel, gain_W=1700.0)
    assert results.heat is not None
    one = results.heat.chillers["CH-1"]
    rate = results.links["CH-1"].flow_L_s * _WATER_DENSITY * _WATER_HEAT
    leaving = (rate * one.entering_C - 6000.0 * (1.0 - 0.21)) / (rate + 180.0)
    assert one.leaving_C == pytest.approx(leaving, abs=0.02)
    assert one.duty_kW * 1e3 == pytest.approx(rate * (one.entering_C - one.leaving_C), rel=2e-3)


def test_water_mixes_at_a_tee_by_flow() -> None:
    results = cooled(cool_vessel(), gain_W=[3000.0, 500.0, 1500.0])
    assert results.heat is not None
    water, links = results.heat.water, results.links
    into, out = [], None
    for run in results.vessel.runs:
        if "TE-4" in (run.start.tag, run.end.tag):
            flows_in = (links[run.tag].flow_L_s >= 0.0) == (run.end.tag == "TE-4")
            if flows_in:
                into.append((abs(links[run.tag].flow_L_s), water[run.tag].out_C))
            else:
                out = water[run.tag].in_C
    assert len(into) == 2
    mixed = sum(flow * temp for flow, temp in into) / sum(flow for flow, _ in into)
    assert out == pytest.approx(mixed, abs=1e-4)


def test_the_same_machine_with_a_table_finds_the_same() -> None:
    vessel = cool_vessel()
    table = tuple(
        CapacityPoint(
            leaving,
            sea,
            12.0 * (1.0 + 0.03 * (leaving - 7.0) - 0.012 * (sea - 32.0)),
            3.0 * (1.0 + 0.022 * (sea - 32.0)),
        )
        for leaving in (-10.0, 0.0, 5.0, 20.0)
        for sea in (0.0, 30.0, 50.0)
    )
    slopes = changed(vessel, "CH-1", power_kW=3.0, power_per_leaving_percent_K=0.0)
    one = cooled(slopes).heat
    other = cooled(changed(vessel, "CH-1", capacity_points=table)).heat
    assert one is not None
    assert other is not None
    assert other.chillers["CH-1"].power_kW == pytest.approx(one.chillers["CH-1"].power_kW, rel=1e-6)
    assert other.chillers["CH-1"].capacity_kW == pytest.approx(one.chillers["CH-1"].capacity_kW, rel=1e-6)
