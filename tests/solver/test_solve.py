# SPDX-License-Identifier: MIT
"""A vessel solved: methods, liquids, changes, warm starts, refusals."""

from __future__ import annotations

import dataclasses
from typing import Any

import msgspec
import pytest

from solver.change import Change
from solver.errors import EditError, NotSolvableError, UnconvergedError
from solver.media.liquid import properties
from solver.network import newton as newton_module
from solver.network.network import GRAVITY
from solver.results import Results
from solver.solve import compiled_vessel, hardy_cross_table, newton_table, results_of, solve
from solver.vessel.changes import apply
from solver.vessel.components import PumpPoint
from solver.vessel.run import Fitting
from solver.vessel.vessel import Conditions, LoopLiquid, Method, Scenario, Vessel
from tests.solver.small_vessels import changed, sound_vessel

approx = pytest.approx
EFFICIENT = tuple(
    PumpPoint(flow, 10.0 - 6.0 * flow**2, efficiency_percent=eta, npsh_required_m=2.0)
    for flow, eta in ((0.0, 5.0), (0.4, 45.0), (0.7, 55.0), (1.0, 40.0))
)


@pytest.fixture(scope="module")
def vessel() -> Vessel:
    bends = {"fittings": (Fitting("elbow_90", 4),), "extra_k": 0.5}
    return changed(changed(sound_vessel(), "R-15", **bends), "P-1", curve=EFFICIENT)


@pytest.fixture(scope="module")
def results(vessel: Vessel) -> Results:
    return solve(vessel)


def density_of(results: Results, tag: str) -> float:
    compiled = results.solution.compiled
    return float(compiled.density[compiled.structure.index[tag]])


def test_results_name_their_vessel_and_how_they_were_found(vessel: Vessel, results: Results) -> None:
    assert results.vessel is vessel
    assert results.method == "newton"
    assert results.converged
    assert 1 < results.iterations < 30
    assert results.mass_residual_kg_s < 1e-9
    assert results.pressure_residual_Pa < 0.05
    assert results.part is None and results.left_out == ()


# Methods.


def largest_difference(one: Results, other: Results) -> float:
    """Return the largest difference of flow as a share of the largest flow."""
    flows = {tag: link.flow_L_s for tag, link in one.links.items()}
    largest = max(abs(flow) for flow in flows.values())
    return max(abs(flow - other.links[tag].flow_L_s) for tag, flow in flows.items()) / largest


@pytest.mark.parametrize("tees", ["flow_split", "constant"])
def test_hardy_cross_finds_the_same(vessel: Vessel, tees: Any) -> None:
    given = msgspec.structs.replace(vessel, method=Method(tees=tees))
    crossed = solve(given, method="hardy-cross")
    assert crossed.method == "hardy-cross"
    assert largest_difference(solve(given), crossed) < 1e-6


def test_the_hardy_cross_table_is_of_the_vessel(vessel: Vessel, results: Results) -> None:
    table = hardy_cross_table(vessel, sweeps=4)
    assert {step.sweep for step in table.steps} == {1, 2, 3, 4}
    tags = {line.tag for step in table.steps for line in step.links}
    assert tags <= set(results.links)
    assert {"P-1", "AH-1", "SP-1"} <= tags
    index = results.solution.compiled.structure.index
    for tag, flow in table.solution.flows.items():
        assert flow == approx(results.solution.flow[index[tag]], abs=1e-6)


def test_the_newton_table_is_of_the_vessel(vessel: Vessel, results: Results) -> None:
    table = newton_table(vessel)
    assert table.tags == results.solution.compiled.structure.order
    assert len(table.steps) == results.iterations
    assert table.density.shape == (len(table.tags),)


def test_methods_of_fittings_differ_by_their_fittings_only(vessel: Vessel, results: Results) -> None:
    for method in ("hooper", "darby"):
        found = solve(msgspec.structs.replace(vessel, method=Method(fittings=method)))
        ours, theirs = results.links["R-15"], found.links["R-15"]
        assert 0.3 < theirs.fittings_kPa / ours.fittings_kPa < 3.0
        assert theirs.fittings_kPa != approx(ours.fittings_kPa, rel=1e-3)
        assert 1e-6 < largest_difference(results, found) < 0.05


def test_constant_tees_differ_a_little(vessel: Vessel, results: Results) -> None:
    found = solve(msgspec.structs.replace(vessel, method=Method(tees="constant")))
    assert 1e-4 < largest_difference(results, found) < 0.2


def test_given_coefficients_of_a_tee_count(vessel: Vessel, results: Results) -> None:
    narrow = changed(vessel, "TE-2", k_branch=400.0)
    assert solve(narrow).air_handlers["AH-1"].flow_L_s < 0.8 * results.air_handlers["AH-1"].flow_L_s


# Liquids and conditions.


def test_glycol_takes_more_and_flows_less(vessel: Vessel, results: Results) -> None:
    liquid = LoopLiquid(kind="propylene_glycol", share_percent=40.0, temp_C=5.0)
    found = solve(msgspec.structs.replace(vessel, loop_liquid=liquid))
    for tag, figures in results.air_handlers.items():
        assert found.air_handlers[tag].flow_L_s < 0.97 * figures.flow_L_s
    assert found.links["R-15"].reynolds < 0.4 * results.links["R-15"].reynolds  # type: ignore[operator]
    # The sea side does not feel it.
    assert found.links["SP-1"].flow_L_s == approx(results.links["SP-1"].flow_L_s, rel=1e-9)


def test_the_sea_side_is_in_sea_water(vessel: Vessel, results: Results) -> None:
    state = properties("sea_water", 32.0, 0.035)
    assert density_of(results, "SP-1") == state.density
    heights = vessel.heights.by_tag
    assert results.links["TH-1"].start_kPa == approx(state.density * GRAVITY * -heights["TH-1"] / 1e3)
    assert results.port_kPa["OB-1", "connection"] == approx(0.0, abs=1e-9)
    duty = results.pumps["SP-1"]
    static = heights["OB-1"] * state.density * GRAVITY / 1e3
    tags = [run.tag for run in vessel.runs if run.service == "sea"] + ["TH-1", "V-90", "ST-90", "CH-1:sea"]
    assert duty.rise_kPa == approx(static + sum(results.links[tag].loss_kPa for tag in tags), rel=1e-6)


def test_other_conditions_are_another_sea(vessel: Vessel, results: Results) -> None:
    cold = msgspec.structs.replace(
        vessel, conditions=(Conditions(name="Winter", sea_temp_C=4.0),), condition="Winter"
    )
    found = solve(cold)
    assert density_of(found, "SP-1") > density_of(results, "SP-1")
    assert found.pumps["SP-1"].npsh_available_m > results.pumps["SP-1"].npsh_available_m  # type: ignore[operator]


def test_a_frozen_loop_is_told(vessel: Vessel) -> None:
    with pytest.raises(NotSolvableError, match="freez"):
        solve(msgspec.structs.replace(vessel, loop_liquid=LoopLiquid(temp_C=-3.0)))


def test_a_part_that_makes_no_sense_is_told(vessel: Vessel) -> None:
    with pytest.raises(NotSolvableError, match="R-15: ") as told:
        solve(changed(vessel, "R-15", size="no-such-size"))
    assert told.value.tags == ("R-15",)


# Changes, scenarios, warm starts.


def test_changes_are_made_first(vessel: Vessel) -> None:
    changes = (Change("RV-1", "setting", 1.0), Change("R-15", "length_m", 2.0, "scale"))
    by_change = solve(vessel, changes=changes)
    assert by_change.vessel == apply(vessel, changes)
    assert largest_difference(by_change, solve(apply(vessel, changes))) < 1e-9


def test_a_change_that_does_not_fit_is_refused(vessel: Vessel) -> None:
    with pytest.raises(EditError, match="XX-9"):
        solve(vessel, changes=(Change("XX-9", "setting", 1.0),))


def test_scenarios(vessel: Vessel, results: Results) -> None:
    off = Scenario("Pump off", (Change("P-1", "running", 0.0),))
    shut = Scenario("AH-2 off", (Change("V-21", "opening_percent", 0.0),))
    slow = Scenario("80 %", (Change("P-1", "speed_percent", 80.0),))
    at_rest = solve(vessel, changes=off.changes)
    assert all(abs(figures.flow_L_s) < 1e-9 for figures in at_rest.air_handlers.values())
    assert at_rest.pumps["P-1"].power_W == 0.0
    assert at_rest.pumps["P-1"].best_flow_L_s is None
    assert at_rest.links["SP-1"].flow_L_s == approx(results.links["SP-1"].flow_L_s, rel=1e-9)
    without = solve(vessel, changes=shut.changes)
    assert without.air_handlers["AH-2"].flow_L_s == 0.0
    assert without.air_handlers["AH-1"].flow_L_s > results.air_handlers["AH-1"].flow_L_s
    slowed = solve(vessel, changes=slow.changes)
    share = slowed.pumps["P-1"].flow_L_s / results.pumps["P-1"].flow_L_s
    assert 0.75 < share < 0.8  # a little less than the speed, since friction factors rise
    assert slowed.pumps["P-1"].speed_percent == 80.0


@pytest.mark.parametrize(
    "changes",
    [
        (),
        (Change("RV-2", "setting", 0.7),),
        (Change("V-11", "opening_percent", 0.0),),
        (Change("P-1", "speed_percent", 60.0), Change("ST-1", "clogging_percent", 80.0)),
    ],
)
def test_a_warm_start_finds_the_same(vessel: Vessel, results: Results, changes: tuple[Change, ...]) -> None:
    warm = solve(vessel, changes=changes, warm_start=results)
    assert largest_difference(warm, solve(vessel, changes=changes)) < 1e-8
    assert warm.solution.compiled.structure is results.solution.compiled.structure


def test_a_warm_start_of_another_liquid_or_drawing(vessel: Vessel, results: Results) -> None:
    glycol = LoopLiquid(kind="ethylene_glycol", share_percent=30.0, temp_C=2.0)
    other = msgspec.structs.replace(vessel, loop_liquid=glycol)
    assert largest_difference(solve(other, warm_start=results), solve(other)) < 1e-8
    longer = changed(vessel, "R-15", start=vessel.run_by_tag["R-15"].end, end=vessel.run_by_tag["R-15"].start)
    warm = solve(longer, warm_start=results)
    assert warm.links["R-15"].flow_L_s == approx(-results.links["R-15"].flow_L_s, rel=1e-8)
    assert warm.solution.compiled.structure is not results.solution.compiled.structure


def test_an_answer_that_fails_its_check_is_no_result(vessel: Vessel, results: Results) -> None:
    flow = results.solution.flow.copy()
    flow[3] += 0.01
    with pytest.raises(UnconvergedError, match="does not pass its check"):
        results_of(vessel, dataclasses.replace(results.solution, flow=flow))


def test_no_answer_in_the_steps_allowed(vessel: Vessel, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(newton_module, "MOST_ITERATIONS", 2)
    with pytest.raises(UnconvergedError, match="no steady flow found") as told:
        solve(vessel)
    assert told.value.tags


def test_compiling_lends_its_structure(vessel: Vessel, results: Results) -> None:
    assert compiled_vessel(vessel, results).structure is results.solution.compiled.structure
