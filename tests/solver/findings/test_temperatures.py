# SPDX-License-Identifier: MIT
"""What findings on temperatures say, and where they keep silent."""

from __future__ import annotations

from typing import Any

import pytest

from solver.results import Finding
from solver.vessel.vessel import Conditions
from tests.heat_boats import cool_vessel, cooled
from tests.solver.small_vessels import changed


def told(rule: str, tag: str = "", loads: dict[str, Any] | None = None, **fields: Any) -> list[Finding]:
    """Return what one rule says of the cool vessel with one part changed."""
    results = cooled(changed(cool_vessel(), tag, **fields), **(loads or {}))
    return [finding for finding in results.findings if finding.rule == rule]


@pytest.mark.parametrize(
    ("tag", "fields", "cause"),
    [
        ("V-11", {"opening_percent": 0.0}, "No water flows through AH-1."),
        ("AH-1", {"fan_running": False}, "The fan of AH-1 is off."),
        ("RV-1", {"setting": 0.3}, "AH-1 gets "),
        ("AH-1", {"filter_clogging_percent": 70.0}, "Filter or coil of AH-1 is dirty."),
    ],
)
def test_why_one_cabin_is_warm(tag: str, fields: dict[str, Any], cause: str) -> None:
    (finding,) = told("cabin_off_set_point", tag, {"gain_W": [2600.0, 1500.0, 1500.0]}, **fields)
    assert finding.tags == ("C-1", "AH-1")
    assert finding.problem.startswith("C-1 is at ")
    assert "above its set point" in finding.problem
    assert finding.cause.startswith(cause)


def test_a_load_above_the_coil_is_the_last_cause() -> None:
    (finding,) = told("cabin_off_set_point", loads={"gain_W": [5000.0, 1500.0, 1500.0]})
    assert finding.cause.startswith("AH-1 gives all it can, ")
    assert "kW" in finding.cause


def test_cabins_whose_water_is_warm_stand_in_one_finding() -> None:
    (finding,) = told("cabin_off_set_point", "CH-1", running=False)
    assert set(finding.tags) == {"C-1", "C-2", "C-3"}
    assert finding.severity == "bad"
    assert "its coil is rated with 7.0 °C" in finding.cause


def test_a_cold_cabin_is_told_as_below_its_set_point() -> None:
    day = Conditions(name="Winter", outdoor_temp_C=-5.0, sea_temp_C=10.0, mode="heating")
    vessel = changed(cool_vessel(conditions=(day,)), "CH-1", heating_capacity_kW=1.0)
    findings = cooled(vessel, gain_W=0.0).findings
    off = [finding for finding in findings if finding.rule == "cabin_off_set_point"]
    assert off
    assert all("below" in finding.problem for finding in off)
    assert not [finding for finding in findings if finding.rule == "cabin_damp"]


def test_a_sweating_run_says_how_thick_its_insulation_must_be() -> None:
    (finding,) = told("condensation", "R-17", insulation=None)
    assert finding.tags == ("R-17",)
    assert "dew point" in finding.problem
    assert " mm of closed-cell foam keep R-17 dry" in finding.cure
    assert "vapour seal" in finding.cure
    assert not told("condensation")


def test_what_is_dangerous_is_for_licensed_people() -> None:
    for rule, fields in (
        ("chiller_high_condensing", {"condenser_fouling_percent": 95.0}),
        ("chiller_freezing", {"set_point_C": 5.0, "freezing_trip_C": 6.0}),
        ("condenser_approach", {"condenser_fouling_percent": 60.0}),
    ):
        (finding,) = told(rule, "CH-1", **fields)
        assert "licensed people" in finding.cure


def test_a_short_chiller_names_the_one_that_stands() -> None:
    (finding,) = told("chiller_short", "CH-1", capacity_kW=6.0)
    assert finding.tags == ("CH-1",)
    assert finding.problem.startswith("CH-1 is short: water leaves at ")
    assert not told("chiller_short")


def test_the_reason_of_a_trip_is_told_in_the_order_of_a_technician() -> None:
    (sea,) = told("chiller_high_condensing", "V-90", opening_percent=0.0)
    assert "of sea water reach it" in sea.cause
    assert "seacock shut before a strainer is opened" in sea.cure
    (dirt,) = told("chiller_high_condensing", "CH-1", condenser_fouling_percent=95.0)
    assert dirt.cause.startswith("Its condenser is fouled: 95 %")
