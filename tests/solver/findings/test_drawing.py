# SPDX-License-Identifier: MIT
"""Rules that look at the drawing: what they say, and what they let pass."""

from __future__ import annotations

import msgspec
import pytest

from solver.solve import solve
from solver.vessel.components import (
    AirHandler,
    AirVent,
    CheckValve,
    DifferentialBypass,
    Drain,
    IsolatingValve,
    PressureGauge,
    Strainer,
    Tee,
)
from solver.vessel.run import End, Insulation
from tests.solver.findings.broken import (
    added,
    hung_on,
    inserted,
    parallel_pumps,
    removed,
    run_between,
    vessel_on_supply,
    with_bypass,
    with_manifold,
)
from tests.solver.findings.judged import only, told
from tests.solver.small_vessels import (
    Sketch,
    air_handler,
    branch,
    changed,
    plant,
    solved,
    sound_vessel,
    without,
)


def test_a_gauge_or_vent_may_hang_on_either_port() -> None:
    for part in (PressureGauge(tag="PG-1", height_m=0.2), AirVent(tag="AV-2", height_m=1.0)):
        vessel = hung_on(sound_vessel(), "AS-1", "TE-2", part)
        leg = vessel.runs[-1]
        turned = msgspec.structs.replace(leg, end=End(part.tag, "outlet"))
        for drawn in (vessel, msgspec.structs.replace(vessel, runs=(*vessel.runs[:-1], turned))):
            assert not told("open_port", drawn)
            assert not told("dead_leg", drawn)


def test_a_chiller_may_go_without_its_sea_side_but_not_with_half_of_it() -> None:
    vessel = sound_vessel()
    dry = removed(vessel, "TH-1", "V-90", "ST-90", "SP-1", "OB-1")
    assert not told("open_port", dry)
    half = removed(vessel, "OB-1")
    assert only("open_port", half).problem == "CH-1 has an open end: sea out."


def test_open_ends_are_named_with_their_ports() -> None:
    vessel = removed(sound_vessel(), run_between(sound_vessel(), "TE-2", "TE-3").tag)
    assert {one.problem for one in told("open_port", vessel)} == {
        "TE-2 has an open end: run 2.",
        "TE-3 has an open end: run 1.",
    }


def test_a_full_manifold_has_no_spare_port() -> None:
    assert not told("spare_manifold_port", with_manifold(3))
    assert only("spare_manifold_port", with_manifold(4)).problem == "TE-2 has 1 spare port: 4."


def test_a_short_leg_to_a_drain_is_fine() -> None:
    assert not told("dead_leg", hung_on(sound_vessel(), "TE-5", "TE-1", Drain(tag="DR-1", height_m=0.0)))


def test_several_loose_parts_stand_in_one_finding() -> None:
    vessel = added(sound_vessel(), Tee(tag="TE-20"), Drain(tag="DR-9"))
    assert only("unconnected_part", vessel).problem == "TE-20 and DR-9 are not connected."


def test_a_right_rise_closes() -> None:
    vessel = sound_vessel()
    run = run_between(vessel, "AS-1", "TE-2")
    assert not told("rises_do_not_close", changed(vessel, run.tag, rise_m=0.8))
    finding = only("rises_do_not_close", changed(vessel, run.tag, rise_m=1.8))
    assert finding.problem == f"{run.tag} is said to rise 1.8 m, but its ends differ by 0.8 m."


def test_guessed_lengths_are_summed_and_the_longest_named() -> None:
    vessel = sound_vessel()
    for run, length in zip(vessel.runs[:3], (9.0, 11.0, 0.5), strict=True):
        vessel = changed(vessel, run.tag, length_known="guessed", length_m=length)
    total = sum(run.length_m for run in vessel.runs)
    finding = only("guessed_lengths", vessel)
    assert finding.problem == f"20.5 m of {total:g} m of pipe are guessed ({2050 / total:.0f} %)."
    assert finding.cure == "Measure the longest first: R-2 (11 m), R-1 (9 m) and R-3 (0.5 m)."


def test_only_supply_runs_are_asked_for_insulation() -> None:
    vessel = sound_vessel()
    back = run_between(vessel, "TE-5", "TE-1")
    assert not told("supply_without_insulation", changed(vessel, back.tag, insulation=None))
    supply = run_between(vessel, "TE-2", "TE-3")
    bare = changed(vessel, supply.tag, insulation=Insulation(thickness_mm=0.0))
    assert only("supply_without_insulation", bare).tags == (supply.tag,)


def test_a_return_larger_than_its_supply_is_fine() -> None:
    vessel = sound_vessel()
    supply = run_between(vessel, "V-11", "AH-1")
    assert not told("return_smaller_than_supply", changed(vessel, supply.tag, size="15x1.0"))


def test_a_narrow_return_main_shows_once_solved() -> None:
    vessel = sound_vessel()
    back = run_between(vessel, "TE-5", "TE-1")
    vessel = changed(vessel, back.tag, size="28x1.5")
    assert not told("return_smaller_than_supply", vessel)
    finding = only("return_smaller_than_supply", vessel, solve(vessel))
    assert finding.tags[0] == back.tag
    assert "28x1.5" in finding.problem


def test_a_strainer_behind_the_pump_or_at_the_air_handlers_does_not_protect_it() -> None:
    vessel = without(sound_vessel(), "ST-1")
    behind = inserted(
        vessel, run_between(vessel, "P-1", "V-2").tag, Strainer(tag="ST-2", kv_m3_h=15.0, height_m=0.0)
    )
    assert told("no_strainer", behind)
    at_units = vessel
    for number in (1, 2, 3):
        run = run_between(at_units, f"V-{number}1", f"AH-{number}")
        at_units = inserted(at_units, run.tag, Strainer(tag=f"ST-{number}", kv_m3_h=9.0, height_m=1.5))
    assert told("no_strainer", at_units)


def test_a_strainer_anywhere_in_the_common_return_protects_the_pump() -> None:
    vessel = without(sound_vessel(), "ST-1")
    run = run_between(vessel, "TE-5", "TE-1")
    moved = inserted(vessel, run.tag, Strainer(tag="ST-2", kv_m3_h=15.0, height_m=0.5))
    assert not told("no_strainer", moved)


def test_a_bypass_does_not_carry_dirt_round_the_strainer() -> None:
    assert not told("no_strainer", with_bypass(90.0))


def test_valves_in_a_common_line_shut_off_pump_and_chiller_alike() -> None:
    vessel = sound_vessel()
    for tag in ("V-2", "V-3"):
        vessel = without(vessel, tag)
    assert not told("no_isolating_valve", vessel)
    assert {one.problem for one in told("no_isolating_valve", without(vessel, "V-4"))} == {
        "1 pump has no isolating valve: P-1 (outlet side).",
        "1 chiller has no isolating valve: CH-1 (outlet side).",
    }


def test_missing_valves_are_named_with_their_side() -> None:
    vessel = without(without(sound_vessel(), "V-21"), "V-11")
    finding = only("no_isolating_valve", vessel)
    assert finding.problem == (
        "2 air handlers have no isolating valve: AH-1 (supply side) and AH-2 (supply side)."
    )


def test_a_single_air_handler_needs_no_balancing() -> None:
    sketch = Sketch()
    plant(sketch)
    branch(sketch, 1, ("AS-1", "outlet"), ("TE-1", "run_1"))
    assert not told("no_regulating_valve", without(sketch.vessel(), "RV-1"))


def test_a_branch_that_gets_its_share_without_a_valve_is_left_in_peace() -> None:
    vessel = without(sound_vessel(), "RV-1")
    results = solved(vessel)
    assert only("no_regulating_valve", vessel, results).severity == "warn"
    at_share = changed(vessel, "AH-1", design_flow_L_s=results.links["AH-1"].flow_L_s)
    assert not told("no_regulating_valve", at_share, solved(at_share))


def test_pumps_in_parallel_with_check_valves_are_fine() -> None:
    assert not told("no_check_valve", parallel_pumps())


def test_one_check_valve_of_two_is_not_enough() -> None:
    vessel = without(parallel_pumps(), "CV-2")
    finding = only("no_check_valve", vessel)
    assert finding.problem == "P-1 and P-2 run in parallel; P-2 without a check valve."
    assert finding.tags == ("P-2",)


def test_one_check_valve_for_both_pumps_does_not_part_them() -> None:
    vessel = without(without(parallel_pumps(), "CV-1"), "CV-2")
    common = run_between(vessel, "TE-9", "V-2")
    vessel = inserted(vessel, common.tag, CheckValve(tag="CV-9", kv_m3_h=15.0, height_m=0.0))
    assert only("no_check_valve", vessel).tags == ("P-1", "P-2")


def test_pumps_in_series_need_no_check_valve() -> None:
    vessel = sound_vessel()
    pump = msgspec.structs.replace(vessel.component_by_tag["P-1"], tag="P-2")
    assert not told("no_check_valve", inserted(vessel, run_between(vessel, "P-1", "V-2").tag, pump))


def test_an_air_handler_or_vent_at_the_top_is_vented() -> None:
    # The sound vessel's branches all rise to an air handler; raise one above everything else.
    assert not told("no_vent_at_high_point", changed(sound_vessel(), "AH-2", height_m=6.0))
    assert not told("no_vent_at_high_point", changed(sound_vessel(), "AV-1", height_m=6.0))


def test_a_hump_of_the_main_is_a_high_point() -> None:
    finding = only("no_vent_at_high_point", changed(sound_vessel(), "TE-5", height_m=1.8))
    assert finding.tags == ("TE-5",)
    assert finding.problem == "No air vent at the high point at TE-5, 1.8 m above the waterline."


def test_a_hump_lower_than_a_hands_breadth_is_swept_clear() -> None:
    assert not told("no_vent_at_high_point", changed(sound_vessel(), "TE-5", height_m=1.55))


def test_a_level_stretch_is_one_high_point_and_one_vent_serves_it() -> None:
    vessel = changed(changed(sound_vessel(), "V-2", height_m=1.0), "V-3", height_m=1.0)
    assert only("no_vent_at_high_point", vessel).tags == ("V-2", "V-3")
    vented = inserted(vessel, run_between(vessel, "V-2", "V-3").tag, AirVent(tag="AV-9", height_m=1.0))
    assert not told("no_vent_at_high_point", vented)


def test_without_heights_there_is_no_high_point() -> None:
    vessel = sound_vessel()
    flat = msgspec.structs.replace(
        vessel, components=tuple(msgspec.structs.replace(part, height_m=None) for part in vessel.components)
    )
    assert not told("no_vent_at_high_point", flat)


def test_the_sea_side_is_not_asked_for_vents() -> None:
    assert not told("no_vent_at_high_point", changed(sound_vessel(), "ST-90", height_m=3.0))


def test_an_expansion_vessel_at_the_end_of_a_long_leg_is_far_from_the_suction() -> None:
    vessel = sound_vessel()
    leg = run_between(vessel, "TE-1", "EV-1")
    finding = only("expansion_vessel_not_at_suction", changed(vessel, leg.tag, length_m=9.0))
    assert finding.problem == "EV-1 is not at the suction of P-1: 10.5 m of pipe lie between."
    assert not told("expansion_vessel_not_at_suction", changed(vessel, leg.tag, length_m=3.0))


def test_a_pump_is_not_passed_on_the_way_to_its_own_suction() -> None:
    vessel = sound_vessel()
    leg = run_between(vessel, "TE-1", "EV-1")
    outlet = removed(vessel, leg.tag)
    outlet = hung_on(removed(outlet, "EV-1"), "P-1", "V-2", vessel.component_by_tag["EV-1"])
    assert only("expansion_vessel_not_at_suction", outlet).tags == ("EV-1", "P-1")


def test_what_lies_between_expansion_vessel_and_suction_is_named() -> None:
    assert "AH-1" in only("expansion_vessel_not_at_suction", vessel_on_supply()).problem


def test_pressure_at_the_top_counts_its_height_above_the_expansion_vessel() -> None:
    # 100 kPa - 999.8 kg/m3 * 9.80665 m/s2 * 8 m = 21.6 kPa (density of water at 9.5 degC, IAPWS).
    finding = only("low_pressure_at_top", changed(sound_vessel(), "AH-2", height_m=8.0))
    assert "At AH-2, the top of the loop, 21.6 kPa are left" in finding.problem
    assert finding.severity == "warn"
    assert "Fill to 108 kPa at EV-1" in finding.cure
    assert only("low_pressure_at_top", changed(sound_vessel(), "AH-2", height_m=12.0)).severity == "bad"
    assert not told("low_pressure_at_top", changed(sound_vessel(), "AH-2", height_m=7.0))


def test_a_second_circuit_is_judged_by_itself() -> None:
    sketch = Sketch()
    sketch.add(air_handler("AH-20"), DifferentialBypass(tag="DB-20", set_kPa=20.0, kv_m3_h=2.0, height_m=2.0))
    sketch.run(("AH-20", "water_out"), ("DB-20", "inlet"), tag="R-200")
    sketch.run(("DB-20", "outlet"), ("AH-20", "water_in"), tag="R-201")
    vessel = added(sound_vessel(), *sketch.components, runs=tuple(sketch.runs))
    finding = only("no_circulation_pump", vessel)
    assert finding.problem == "The loop of AH-20 has no circulation pump."
    assert not told("no_expansion_vessel", vessel)


@pytest.mark.parametrize(("length", "found"), [(0.4, 0), (0.9, 0), (1.2, 1)])
def test_a_seacock_belongs_at_the_hull(length: float, found: int) -> None:
    vessel = sound_vessel()
    hose = run_between(vessel, "TH-1", "V-90")
    assert len(told("no_seacock", changed(vessel, hose.tag, length_m=length))) == found


def test_a_gauge_between_hull_and_seacock_does_not_matter_but_a_strainer_does() -> None:
    vessel = sound_vessel()
    hose = run_between(vessel, "TH-1", "V-90")
    with_gauge = inserted(vessel, hose.tag, PressureGauge(tag="PG-1"))
    assert not told("no_seacock", with_gauge)
    assert told("no_seacock", inserted(vessel, hose.tag, Strainer(tag="ST-2", kv_m3_h=9.0)))


def test_an_overboard_below_the_waterline_needs_a_seacock_too() -> None:
    low = changed(sound_vessel(), "OB-1", height_m=-0.3)
    assert only("no_seacock", low).tags == ("OB-1",)
    valve = IsolatingValve(tag="V-91", height_m=-0.3)
    run = run_between(low, "CH-1", "OB-1")
    assert not told("no_seacock", changed(inserted(low, run.tag, valve), f"{run.tag}b", length_m=0.3))


def test_a_sea_pump_of_unknown_height_is_not_called_high() -> None:
    vessel = sound_vessel()
    unknown = msgspec.structs.replace(
        vessel, components=tuple(msgspec.structs.replace(part, height_m=None) for part in vessel.components)
    )
    assert not told("sea_pump_above_waterline", unknown)


def test_two_air_handlers_one_behind_the_other_share_one_regulating_valve() -> None:
    vessel = sound_vessel()
    second = AirHandler(tag="AH-9", design_flow_L_s=0.2, rated_flow_L_s=0.2, rated_drop_kPa=9.0, height_m=2.0)
    run = run_between(vessel, "AH-1", "RV-1")
    assert not told("no_regulating_valve", inserted(vessel, run.tag, second))
