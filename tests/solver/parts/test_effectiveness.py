# SPDX-License-Identifier: MIT
"""Effectiveness and transfer units against worked examples, tables and the ht library."""

import json
import math
from pathlib import Path

import numpy as np
import pytest
from ht.hx import effectiveness_from_NTU
from hypothesis import given
from hypothesis import strategies as st

from solver.errors import PartError
from solver.parts.effectiveness import (
    counterflow_conductance,
    counterflow_units,
    effectiveness,
    transfer_units,
)
from solver.parts.roots import bracketed_root

REFERENCES = Path(__file__).parents[2] / "references"
ARRANGEMENTS = (
    "counterflow",
    "parallel",
    "crossflow_unmixed",
    "crossflow_larger_mixed",
    "crossflow_smaller_mixed",
)
UNITS = st.floats(0.0, 12.0)
RATIOS = st.floats(0.0, 1.0) | st.sampled_from([0.0, 1e-12, 1.0 - 1e-12, 1.0])


def reference(name: str) -> dict:
    return json.loads((REFERENCES / f"{name}.json").read_text(encoding="utf-8"))


@pytest.mark.reference
def test_crossflow_area_of_incroperas_example():
    # Source: hx_01, Incropera, 6th edition, example 11.3 (the book reads NTU off a chart).
    data = reference("hx_01_incropera_crossflow_area")
    case, wanted, allowed = data["inputs"], data["published"], data["tolerance"]
    cold = case["m_cold"] * case["cp_cold"]
    duty = cold * (case["T_cold_out"] - case["T_cold_in"])
    hot = duty / (case["T_hot_in"] - case["T_hot_out"])
    e = duty / (min(hot, cold) * (case["T_hot_in"] - case["T_cold_in"]))
    assert e == pytest.approx(wanted["effectiveness"], abs=allowed["effectiveness"])
    assert hot / cold == pytest.approx(wanted["C_ratio"], abs=allowed["C_ratio"])
    units = float(transfer_units(e, hot / cold, "crossflow_unmixed"))
    assert units == pytest.approx(wanted["NTU"], abs=allowed["NTU"])
    assert units * hot / case["U"] == pytest.approx(wanted["area_m2"], abs=allowed["area"])


@pytest.mark.reference
def test_counterflow_length_of_cengels_example():
    # Source: hx_03, Cengel, Heat and Mass Transfer, example 11-8.
    data = reference("hx_03_cengel_counterflow")
    case, wanted, allowed = data["inputs"], data["published"], data["tolerance"]
    cold, hot = case["m_cold"] * case["cp_cold"], case["m_hot"] * case["cp_hot"]
    e = (case["T_cold_out"] - case["T_cold_in"]) / (case["T_hot_in"] - case["T_cold_in"])
    units = float(transfer_units(e, cold / hot))
    assert e == pytest.approx(wanted["effectiveness"], abs=allowed["effectiveness"])
    assert units == pytest.approx(wanted["NTU"], abs=allowed["NTU"])
    area = units * cold / case["U"]
    assert area == pytest.approx(wanted["area"], abs=allowed["area"])
    assert area / (math.pi * case["D"]) == pytest.approx(wanted["length"], abs=allowed["length"])


@pytest.mark.reference
def test_oil_cooler_of_holmans_example_with_less_water():
    # Source: hx_04, Holman, Heat Transfer, examples 10.4 and 10.10.
    data = reference("hx_04_holman_offdesign")
    case, wanted, allowed = data["inputs"]["design"], data["published"], data["tolerance"]
    water = case["water_kg_per_min"] / 60.0 * case["cp_water"]
    oil = water * (case["T_water_out"] - case["T_water_in"]) / (case["T_oil_in"] - case["T_oil_out"])
    assert water < oil
    e = (case["T_water_out"] - case["T_water_in"]) / (case["T_oil_in"] - case["T_water_in"])
    ua = float(transfer_units(e, water / oil)) * water
    assert ua / case["U"] == pytest.approx(wanted["design_area"], abs=allowed["area"])
    water = data["inputs"]["off_design_water_kg_per_min"] / 60.0 * case["cp_water"]
    per_kelvin = float(counterflow_conductance(ua, water, oil))
    assert per_kelvin / water == pytest.approx(wanted["off_effectiveness"], abs=allowed["effectiveness"])
    duty = per_kelvin * (case["T_oil_in"] - case["T_water_in"])
    assert duty / 1000.0 == pytest.approx(wanted["q_kW"], abs=allowed["q"])
    assert case["T_water_in"] + duty / water == pytest.approx(wanted["T_water_out"], abs=allowed["T"])


@pytest.mark.reference
@pytest.mark.parametrize(
    "row", reference("hx_06_eps_ntu_table")["rows"], ids=lambda row: f"{row[0]} {row[1]}"
)
def test_table_of_the_usual_arrangements(row):
    # Source: hx_06, Kays and London 1984; Incropera, 6th edition, table 11.3.
    ratio, units, *wanted = row
    for arrangement, e in zip(ARRANGEMENTS, wanted, strict=True):
        assert float(effectiveness(units, ratio, arrangement)) == pytest.approx(e, rel=1e-9), arrangement
        assert float(transfer_units(e, ratio, arrangement)) == pytest.approx(units, rel=1e-4), arrangement


@pytest.mark.reference
@given(units=st.floats(0.01, 12.0), ratio=st.floats(0.001, 0.999))
def test_relations_are_the_librarys(units, ratio):
    names = {
        "counterflow": "counterflow",
        "parallel": "parallel",
        "crossflow_unmixed": "crossflow approximate",
        "crossflow_larger_mixed": "crossflow, mixed Cmax",
        "crossflow_smaller_mixed": "crossflow, mixed Cmin",
    }
    for arrangement, name in names.items():
        wanted = effectiveness_from_NTU(units, ratio, subtype=name)
        assert float(effectiveness(units, ratio, arrangement)) == pytest.approx(wanted, rel=1e-9), name


@given(units=UNITS, ratio=RATIOS)
def test_effectiveness_is_a_share_and_counterflow_is_best(units, ratio):
    best = float(effectiveness(units, ratio))
    assert 0.0 <= best <= 1.0
    for arrangement in ARRANGEMENTS:
        assert -1e-12 <= float(effectiveness(units, ratio, arrangement)) <= best + 1e-12


@given(units=UNITS, ratio=RATIOS)
def test_transfer_units_lead_back(units, ratio):
    # Near an effectiveness of 1 the last digits of it hold the answer.
    e = float(effectiveness(units, ratio))
    back = counterflow_units(np.asarray(e), np.asarray(ratio))
    assert float(back) == pytest.approx(units, rel=1e-7, abs=2e-14 / max(1.0 - e, 1e-10))


@pytest.mark.parametrize("units", [0.1, 1.0, 5.0])
def test_equal_rates_are_no_exception(units):
    assert float(effectiveness(units, 1.0)) == pytest.approx(units / (1.0 + units), rel=1e-14)
    ratios = 1.0 - np.logspace(-15, -3, 200)
    found = effectiveness(units, ratios)
    assert (np.diff(found) >= -1e-15).all()
    assert found[0] == pytest.approx(units / (1.0 + units), rel=1e-12)


def test_flows_of_nothing_carry_nothing():
    assert counterflow_conductance(100.0, 0.0, 10.0) == 0.0
    assert counterflow_conductance(100.0, 10.0, 0.0) == 0.0
    assert counterflow_conductance(100.0, 0.0, 0.0) == 0.0
    assert counterflow_conductance(0.0, 10.0, 5.0) == 0.0
    tiny = counterflow_conductance(100.0, np.array([1e-14, 1e-9, 1e-3]), 10.0)
    assert tiny == pytest.approx([1e-14, 1e-9, 1e-3], rel=1e-9, abs=1e-13)
    # One side boundless: 1 - exp(-NTU).
    assert float(counterflow_conductance(5.0, 10.0, 1e30)) == pytest.approx(
        -10.0 * math.expm1(-0.5), rel=1e-12
    )


@given(ua=st.floats(0.0, 1e4), a=st.floats(0.0, 1e4), b=st.floats(0.0, 1e4), more=st.floats(0.0, 100.0))
def test_more_flow_or_surface_never_carries_less(ua, a, b, more):
    found = counterflow_conductance(ua, a, b)
    assert 0.0 <= found <= min(a, b, ua) * (1.0 + 1e-9)
    slack = 1.0 - 1e-12
    assert counterflow_conductance(ua, a + more, b) >= found * slack
    assert counterflow_conductance(ua + more, a, b) >= found * slack
    assert counterflow_conductance(ua, b, a) == found


def test_refusals():
    with pytest.raises(PartError, match=r'"cross"; accepted: counterflow, parallel'):
        effectiveness(1.0, 0.5, "cross")
    with pytest.raises(PartError, match=r"parallel: effectiveness 0\.7; accepted: 0 to below 0\.5"):
        transfer_units(0.7, 1.0, "parallel")
    with pytest.raises(PartError, match=r"ratio of capacity rates 1\.2; accepted: 0 to 1"):
        effectiveness(1.0, np.array([0.5, 1.2]))
    with pytest.raises(PartError, match="transfer units nan; accepted: 0 or more"):
        effectiveness(math.nan, 0.5)
    with pytest.raises(PartError, match=r"effectiveness -0\.1"):
        transfer_units(-0.1, 0.5)


@given(root=st.floats(-3.0, 3.0), bend=st.floats(0.1, 8.0))
def test_a_root_between_two_sides_is_found(root, bend):
    def rising(x):
        return np.sinh(bend * (x - root)) + 0.1 * (x - root)

    found = bracketed_root(rising, np.full(3, -4.0), np.array([4.0, 5.0, 40.0]))
    assert found == pytest.approx([root] * 3, abs=1e-9)


def test_no_root_between_gives_the_nearer_side():
    found = bracketed_root(lambda x: x + 1.0, np.array([0.0, -3.0]), np.array([5.0, 5.0]))
    assert found == pytest.approx([0.0, -1.0])
