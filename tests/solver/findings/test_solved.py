# SPDX-License-Identifier: MIT
"""Rules that look at results: pumps, chillers, valves, runs and pressures."""

from __future__ import annotations

import msgspec
import pytest

from solver.solve import solve
from solver.vessel.components import KvPoint, TwoWayValve
from tests.solver.findings.broken import (
    added,
    constant_flow,
    inserted,
    parallel_pumps,
    removed,
    run_between,
    with_bypass,
    with_figures,
)
from tests.solver.findings.judged import only, told
from tests.solver.small_vessels import changed, solved, sound_vessel


def altered(kind: str, tag: str, **fields):
    """Return the sound vessel and its results with figures replaced."""
    results = with_figures(solved(sound_vessel()), kind, tag, **fields)
    return results.vessel, results


def test_a_dead_headed_pump_names_the_shut_valve() -> None:
    vessel = changed(sound_vessel(), "V-2", opening_percent=0.0)
    finding = only("pump_dead_headed", vessel, solve(vessel))
    assert finding.problem == "P-1 runs against a shut way: 0 L/min at 10 m of head."
    assert finding.cause == "V-2 is shut."


def test_a_little_flow_is_not_dead_headed() -> None:
    assert not told("pump_dead_headed", *altered("pumps", "P-1", flow_L_s=0.03))
    assert told("pump_dead_headed", *altered("pumps", "P-1", flow_L_s=0.01))


def test_a_weak_parallel_pump_is_told_by_its_check_valve_alone() -> None:
    vessel = parallel_pumps(speeds=(100.0, 50.0))
    results = solve(vessel)
    finding = only("check_valve_held_shut", vessel, results)
    assert finding.tags == ("CV-2", "P-2")
    assert finding.cause == "P-1 gives more pressure than P-2 can."
    assert not told("pump_dead_headed", vessel, results)


def test_a_check_valve_behind_a_stopped_pump_does_its_work() -> None:
    vessel = changed(parallel_pumps(), "P-2", running=False)
    results = solve(vessel)
    assert results.links["CV-2"].flow_L_s == 0.0
    assert not told("check_valve_held_shut", vessel, results)
    assert not told("stopped_pump_leaks", vessel, results)
    assert only("pump_stopped", vessel, results).problem == "P-2 is stopped. P-1 runs."
    assert only("pump_stopped", vessel, results).severity == "note"


def test_the_end_of_the_curve_moves_with_speed() -> None:
    vessel, results = altered("pumps", "P-1", flow_L_s=0.7)
    assert not told("pump_beyond_curve", vessel, results)
    slow = changed(vessel, "P-1", speed_percent=60.0)
    assert "its curve ends at 36.0 L/min" in only("pump_beyond_curve", slow, results).problem


@pytest.mark.parametrize(("share", "found"), [(0.69, 1), (0.71, 0), (1.19, 0), (1.21, 1), (None, 0)])
def test_the_preferred_range_about_best_efficiency(share: float | None, found: int) -> None:
    assert len(told("pump_far_from_best", *altered("pumps", "P-1", share_of_best_flow=share))) == found


@pytest.mark.parametrize(("available", "severity"), [(2.6, None), (2.4, "warn"), (1.5, "bad"), (None, None)])
def test_npsh_margin(available: float | None, severity: str | None) -> None:
    found = told("suction_too_low", *altered("pumps", "SP-1", npsh_available_m=available))
    assert [one.severity for one in found] == ([severity] if severity else [])
    if severity == "bad":
        assert found[0].problem == "SP-1 has 1.5 m NPSH and needs 2 m: 0.5 m short."


def test_index_circuit_is_compared_with_what_the_pump_gives() -> None:
    vessel = changed(sound_vessel(), "AH-2", rated_drop_kPa=200.0)
    results = solve(vessel)
    finding = only("index_needs_more", vessel, results)
    assert results.index_circuit is not None
    assert results.index_circuit.air_handler == "AH-2"
    assert f"needs {results.index_circuit.needed_kPa:.0f} kPa at design flow" in finding.problem
    assert finding.tags[:2] == ("AH-2", "P-1")


def test_an_index_circuit_within_its_limits_is_no_finding() -> None:
    # AH-3 gets 96 %: its circuit needs a little more than the pump gives, but that is within limits.
    vessel = sound_vessel()
    for number in (1, 2, 3):
        vessel = changed(vessel, f"RV-{number}", setting=4.0)
    results = solve(vessel)
    flow = min(results.links[f"AH-{number}"].flow_L_s for number in (1, 2, 3))
    for number in (1, 2, 3):
        vessel = changed(vessel, f"AH-{number}", design_flow_L_s=flow / 0.96)
    results = solve(vessel)
    assert results.index_circuit is not None
    assert results.index_circuit.needed_kPa > results.pumps["P-1"].rise_kPa
    assert not told("index_needs_more", vessel, results)


def test_a_chiller_at_rest_needs_no_flow() -> None:
    vessel = changed(sound_vessel(), "V-4", opening_percent=0.0)
    assert told("chiller_without_flow", vessel, solve(vessel))
    off = changed(vessel, "CH-1", running=False)
    assert not told("chiller_without_flow", off, solve(off))
    low = changed(sound_vessel(), "CH-1", minimum_flow_L_s=0.9, running=False)
    assert not told("chiller_below_minimum", low, solve(low))


def test_a_chiller_short_of_water_names_the_shut_control_valves() -> None:
    vessel = sound_vessel()
    for number in (1, 2):
        run = run_between(vessel, f"V-{number}1", f"AH-{number}")
        valve = TwoWayValve(tag=f"CV-{number}", kvs_m3_h=3.0, position_percent=0.0, height_m=1.5)
        vessel = inserted(vessel, run.tag, valve)
    vessel = changed(vessel, "CH-1", minimum_flow_L_s=0.4)
    finding = only("chiller_below_minimum", vessel, solve(vessel))
    assert "2 of 2 2-way valves are nearly shut." in finding.cause
    assert finding.cure.startswith("Fit or set a differential bypass")
    assert finding.tags == ("CH-1", "CV-1", "CV-2")


def test_a_shut_bypass_is_no_finding_and_its_legs_are_no_dead_runs() -> None:
    vessel = with_bypass(90.0)
    results = solve(vessel)
    assert results.links["DB-1"].flow_L_s == 0.0
    assert not told("bypass_open", vessel, results)
    assert not told("run_without_flow", vessel, results)


def test_an_open_bypass_tells_its_share_of_the_pumps_flow() -> None:
    vessel = with_bypass(20.0)
    results = solve(vessel)
    share = results.links["DB-1"].flow_L_s / results.links["P-1"].flow_L_s
    assert f"{share * 100:.0f} % of the pumps' flow" in only("bypass_open", vessel, results).problem


def test_a_constant_flow_valve_in_its_range_is_fine() -> None:
    vessel = constant_flow(0.2)
    results = solve(vessel)
    assert results.links["RV-1"].flow_L_s == pytest.approx(0.2, rel=0.02)
    for rule in ("constant_flow_below_range", "constant_flow_above_range", "constant_flow_in_series"):
        assert not told(rule, vessel, results)


def test_a_constant_flow_valve_starved_of_pressure_says_how_much_it_has() -> None:
    vessel = constant_flow(0.6)
    results = solve(vessel)
    finding = only("constant_flow_below_range", vessel, results)
    assert finding.cause == f"{results.links['RV-1'].loss_kPa:.1f} kPa lie across it; it works from 15.0 kPa."


def test_a_constant_flow_valve_not_joined_to_anything_is_passed_over() -> None:
    vessel = constant_flow(0.2)
    loose = msgspec.structs.replace(vessel.component_by_tag["RV-1"], tag="CF-9", at=(900.0, 900.0))
    vessel = msgspec.structs.replace(vessel, components=(*vessel.components, loose))
    results = solve(vessel)
    for rule in ("constant_flow_below_range", "constant_flow_above_range"):
        assert not told(rule, vessel, results)


def test_constant_flow_valves_in_different_branches_are_not_in_series() -> None:
    vessel = constant_flow(0.2)
    other = msgspec.structs.replace(vessel.component_by_tag["RV-1"], tag="RV-2")
    vessel = msgspec.structs.replace(
        vessel, components=tuple(other if part.tag == "RV-2" else part for part in vessel.components)
    )
    assert not told("constant_flow_in_series", vessel)


def test_parts_between_two_shut_valves_are_cut_off_and_both_are_named() -> None:
    vessel = changed(sound_vessel(), "V-11", opening_percent=0.0)
    assert not told("cut_off_parts", vessel, solve(vessel))
    vessel = changed(vessel, "RV-1", kv_table=(KvPoint(0.0, 0.0), KvPoint(4.0, 3.5)), setting=0.0)
    finding = only("cut_off_parts", vessel, solve(vessel))
    assert finding.problem == "AH-1 is cut off."
    assert finding.cause == "V-11 and RV-1 are shut."


def test_a_chiller_without_a_sea_side_is_not_cut_off() -> None:
    vessel = removed(sound_vessel(), "TH-1", "V-90", "ST-90", "SP-1", "OB-1")
    assert not told("cut_off_parts", vessel, solve(vessel))


def test_runs_behind_a_shut_valve_are_not_told_of_as_without_flow() -> None:
    vessel = changed(sound_vessel(), "V-11", opening_percent=0.0)
    assert not told("run_without_flow", vessel, solve(vessel))


def test_the_still_middle_of_a_ring_is_told() -> None:
    # A run between two ends of equal pressure: from a point to itself by way of the chiller's header.
    vessel = sound_vessel()
    results = solve(vessel)
    ring = run_between(vessel, "TE-2", "TE-3")
    still = with_figures(results, "links", ring.tag, flow_L_s=0.0)
    finding = only("run_without_flow", vessel, still)
    assert finding.tags == (ring.tag,)


def test_the_leg_of_the_expansion_vessel_may_stand_still() -> None:
    vessel = sound_vessel()
    results = solve(vessel)
    assert results.links[run_between(vessel, "TE-1", "EV-1").tag].flow_L_s == pytest.approx(0.0, abs=1e-9)
    assert not told("run_without_flow", vessel, results)
    assert not told("velocity_low", vessel, results)


def test_fast_runs_stand_in_one_finding_the_worst_first() -> None:
    vessel = sound_vessel()
    first = run_between(vessel, "P-1", "V-2").tag
    second = run_between(vessel, "V-2", "V-3").tag
    vessel = changed(changed(vessel, first, size="22x1.0"), second, size="18x1.0")
    results = solve(vessel)
    finding = only("velocity_high", vessel, results)
    assert finding.tags == (second, first)
    assert f"{second} (18x1.0) {results.links[second].velocity_m_s:.2f} m/s" in finding.problem


def test_copper_stands_less_sea_water_than_copper_nickel() -> None:
    vessel = sound_vessel()
    run = run_between(vessel, "SP-1", "CH-1")
    assert not told("sea_velocity_high", vessel, solve(vessel))
    copper = changed(vessel, run.tag, series="copper_en1057_continental", size="35x1.5")
    finding = only("sea_velocity_high", copper, solve(copper))
    assert finding.problem.startswith("1 run is faster than 1.00 m/s")
    assert not told("velocity_high", copper, solve(copper))


def test_suction_below_the_air_outside_is_bad_in_a_loop_but_usual_at_sea() -> None:
    vessel = changed(sound_vessel(), "ST-90", kv_m3_h=2.5)
    results = solve(vessel)
    pressure = results.port_kPa["SP-1", "inlet"]
    assert pressure is not None
    assert pressure < 0.0
    assert not told("pressure_below_air", vessel, results)


def test_the_lowest_place_of_a_loop_below_air_is_named() -> None:
    vessel = changed(sound_vessel(), "EV-1", pressure_kPa=5.0)
    results = solve(vessel)
    finding = only("pressure_below_air", vessel, results)
    pressures = {port: p for port, p in results.port_kPa.items() if p is not None and port[0] in finding.tags}
    worst = min(pressures, key=pressures.__getitem__)
    assert finding.problem.startswith(f"{worst[0]} runs at {pressures[worst]:.1f} kPa")


def test_a_stopped_sea_pump_is_bad_by_itself() -> None:
    vessel = changed(sound_vessel(), "SP-1", running=False)
    finding = only("pump_stopped", vessel)
    assert finding.severity == "bad"
    assert finding.tags == ("SP-1",)


def test_a_pump_at_speed_zero_counts_as_stopped() -> None:
    assert only("pump_stopped", changed(sound_vessel(), "P-1", speed_percent=0.0)).tags == ("P-1",)


def test_parts_not_in_the_results_do_no_harm() -> None:
    vessel = sound_vessel()
    results = solve(vessel)
    loose = added(vessel, msgspec.structs.replace(vessel.component_by_tag["CH-1"], tag="CH-9"))
    assert told("unconnected_part", loose, solve(loose))
    assert not told("chiller_without_flow", loose, solve(loose))
    assert not told("cut_off_parts", loose, solve(loose))
    assert results.vessel is vessel
