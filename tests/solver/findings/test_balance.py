# SPDX-License-Identifier: MIT
"""Air handlers that get too little or too much, and the part that is to blame."""

from __future__ import annotations

import msgspec
import pytest

from solver.solve import solve
from solver.vessel.components import KvPoint, Manifold, Strainer, TwoWayValve
from solver.vessel.vessel import Vessel
from tests.solver.findings.broken import (
    constant_flow,
    inserted,
    parallel_pumps,
    run_between,
    swapped,
    with_bypass,
)
from tests.solver.findings.judged import only, told
from tests.solver.small_vessels import (
    BRANCH_RUNS,
    Sketch,
    branch,
    changed,
    plant,
    solved,
    sound_vessel,
)


def low(vessel: Vessel, tag: str):
    """Return what is told of one air handler that gets too little, solved in earnest."""
    results = solve(vessel)
    (finding,) = [one for one in told("air_handler_low", vessel, results) if tag in one.tags]
    return finding, results


def test_a_regulating_valve_nearly_shut_is_named_with_its_setting() -> None:
    finding, results = low(changed(sound_vessel(), "RV-2", setting=0.6), "AH-2")
    share = results.links["RV-2"].loss_kPa / sum(
        results.links[tag].loss_kPa for tag in ("RV-2", "AH-2", "V-21", *BRANCH_RUNS["AH-2"])
    )
    assert finding.severity == "bad"
    assert finding.problem.startswith("AH-2 gets ")
    assert finding.problem.endswith("L/min of 12.0 (32 %).")
    assert finding.cause.startswith("RV-2 at setting 0.6 of 4 (Kv 0.29) takes ")
    assert f"takes {share * 100:.0f} % of" in finding.cause
    assert finding.tags == ("AH-2", "RV-2")


def test_a_narrow_return_run_is_named_with_its_size_and_the_next_one() -> None:
    vessel = sound_vessel()
    back = run_between(vessel, "AH-2", "RV-2")
    vessel = changed(vessel, back.tag, size="12x1.0", length_m=14.0)
    finding, results = low(vessel, "AH-2")
    assert f"Its return run {back.tag} (12x1.0, 14 m) takes " in finding.cause
    assert finding.cure.startswith("Next size up (15x1.0) gives about ")
    assert finding.tags == ("AH-2", back.tag)
    # The estimate is near what the solve of the changed vessel gives.
    said = float(finding.cure.split("about ")[1].split()[0])
    wider = solve(changed(vessel, back.tag, size="15x1.0"))
    assert said == pytest.approx(wider.links["AH-2"].flow_L_s * 60, rel=0.12)
    assert said > results.links["AH-2"].flow_L_s * 60


def test_a_narrow_supply_run_is_called_so_whichever_way_it_is_drawn() -> None:
    vessel = sound_vessel()
    into = run_between(vessel, "V-21", "AH-2")
    vessel = changed(vessel, into.tag, size="12x1.0", length_m=14.0, start=into.end, end=into.start)
    finding, _ = low(vessel, "AH-2")
    assert f"Its supply run {into.tag} (12x1.0" in finding.cause


def test_a_run_of_the_largest_size_has_no_next_one() -> None:
    vessel = sound_vessel()
    into = run_between(vessel, "V-21", "AH-2")
    vessel = changed(vessel, into.tag, series="rubber_hose", size="10", length_m=8.0)
    finding, _ = low(vessel, "AH-2")
    assert "Next size up" in finding.cure
    huge = changed(vessel, into.tag, series="copper_en1057_continental", size="54x2.0", extra_k=2.5e5)
    finding, _ = low(huge, "AH-2")
    assert finding.cure == f"{into.tag} is of the largest size of its series."


@pytest.mark.parametrize(
    ("part", "expected"),
    [
        (
            Strainer(tag="ST-2", kv_m3_h=3.0, clogging_percent=80.0, height_m=1.5),
            "Its strainer ST-2 is 80 % clogged",
        ),
        (TwoWayValve(tag="CV-2", kvs_m3_h=3.0, position_percent=40.0, height_m=1.5), "CV-2 is 40 % open"),
    ],
    ids=["strainer", "control valve"],
)
def test_a_hindrance_in_the_branch_comes_before_its_regulating_valve(part, expected: str) -> None:
    vessel = inserted(sound_vessel(), run_between(sound_vessel(), "V-21", "AH-2").tag, part)
    finding, _ = low(vessel, "AH-2")
    assert finding.cause.startswith(expected)
    assert finding.tags == ("AH-2", part.tag)


def test_an_isolating_valve_left_half_open_is_named() -> None:
    finding, _ = low(changed(sound_vessel(), "V-21", opening_percent=8.0, kv_m3_h=6.0), "AH-2")
    assert finding.cause.startswith("V-21 is 8 % open and takes ")


def test_a_constant_flow_valve_of_too_little_flow_is_named() -> None:
    finding, _ = low(constant_flow(0.1), "AH-1")
    assert finding.cause == "RV-1 holds the flow at 6.0 L/min."


def test_a_coil_of_high_drop_is_named() -> None:
    finding, _ = low(changed(sound_vessel(), "AH-2", rated_drop_kPa=200.0), "AH-2")
    assert finding.cause.startswith("Its coil takes ")


def test_an_alike_branch_is_not_to_blame_when_another_takes_too_much() -> None:
    finding, _ = low(changed(sound_vessel(), "RV-1", setting=4.0), "AH-3")
    assert finding.cause.startswith("Others take more than their share: AH-1 gets ")
    assert finding.tags == ("AH-3", "AH-1")


def test_an_open_bypass_is_to_blame_where_all_are_short_alike() -> None:
    for tag in ("AH-1", "AH-3"):
        finding, _ = low(with_bypass(20.0), tag)
        assert "go back through DB-1." in finding.cause


def test_a_pump_at_rest_that_lets_water_back_is_to_blame() -> None:
    vessel = changed(parallel_pumps(checked=False), "P-2", running=False)
    finding, _ = low(vessel, "AH-2")
    assert "go back through P-2." in finding.cause


def test_a_run_on_the_way_is_told_with_its_share_of_the_pumps_pressure() -> None:
    vessel = sound_vessel()
    main = run_between(vessel, "TE-5", "TE-1")
    finding, results = low(changed(vessel, main.tag, size="22x1.0", length_m=12.0), "AH-1")
    share = results.links[main.tag].loss_kPa / results.pumps["P-1"].rise_kPa
    assert finding.cause == (
        f"On its way the return run {main.tag} (22x1.0, 12 m) takes {share * 100:.0f} % of the "
        "pump's pressure."
    )
    assert finding.cure == "Next size up is 28x1.5."


def test_a_clogged_strainer_on_the_way_is_told() -> None:
    finding, _ = low(changed(sound_vessel(), "ST-1", clogging_percent=85.0), "AH-2")
    assert finding.cause.startswith("On its way ST-1, 85 % clogged, takes ")


def test_a_slow_pump_is_to_blame_where_no_part_is() -> None:
    vessel = sound_vessel()
    for number in (1, 2, 3):
        vessel = changed(vessel, f"RV-{number}", setting=4.0)
    finding, results = low(changed(vessel, "P-1", speed_percent=60.0), "AH-2")
    assert f"P-1 gives {results.pumps['P-1'].rise_kPa:.1f} kPa" in finding.cause
    assert finding.cure.startswith("Raise the speed of P-1")


def test_an_air_handler_alone_in_its_loop_is_judged_by_its_own_parts() -> None:
    sketch = Sketch()
    plant(sketch)
    branch(sketch, 1, ("AS-1", "outlet"), ("TE-1", "run_1"))
    vessel = changed(sketch.vessel(), "RV-1", setting=0.5)
    results = solve(vessel)
    finding = only("air_handler_low", vessel, results)
    assert finding.cause.startswith("RV-1 at setting 0.5 of 4")


def test_limits_of_the_vessel_decide_what_is_low() -> None:
    vessel = changed(sound_vessel(), "RV-1", setting=2.6)
    loose = msgspec.structs.replace(
        vessel, limits=msgspec.structs.replace(vessel.limits, share_min_percent=50.0, share_max_percent=300.0)
    )
    strict = msgspec.structs.replace(
        vessel, limits=msgspec.structs.replace(vessel.limits, share_min_percent=99.0, share_max_percent=101.0)
    )
    assert not told("air_handler_low", loose, solve(loose))
    assert not told("air_handler_high", loose, solve(loose))
    assert told("air_handler_low", strict, solve(strict))
    assert told("air_handler_high", strict, solve(strict))


def test_too_much_water_for_all_is_a_note_and_a_matter_of_the_pump() -> None:
    vessel = sound_vessel()
    for number in (1, 2, 3):
        vessel = changed(vessel, f"AH-{number}", design_flow_L_s=0.12)
    found = told("air_handler_high", vessel, solved(vessel))
    (finding,) = found
    assert finding.severity == "note"
    assert finding.problem.startswith("3 air handlers get too much, up to ")
    assert finding.cure == "None lacks flow: the pump may run slower."


def test_too_much_through_a_branch_without_valve_asks_for_one() -> None:
    vessel = swapped(sound_vessel(), "RV-1", Strainer(tag="RV-1", kv_m3_h=9.0, height_m=1.5))
    finding = only("air_handler_high", vessel, solved(vessel))
    assert finding.cause == "Its branch has no regulating valve."


def test_an_air_handler_behind_a_shut_regulating_valve_names_it() -> None:
    table = (KvPoint(0.0, 0.0), KvPoint(4.0, 3.5))
    vessel = changed(sound_vessel(), "RV-3", kv_table=table, setting=0.0)
    finding = only("air_handler_without_flow", vessel, solve(vessel))
    assert finding.cause == "RV-3 is shut."
    assert not told("air_handler_low", vessel, solve(vessel))


def test_air_handlers_behind_one_shut_valve_are_told_together() -> None:
    vessel = changed(sound_vessel(), "V-4", opening_percent=0.0)
    finding = only("air_handler_without_flow", vessel, solve(vessel))
    assert finding.problem == "AH-1, AH-2 and AH-3 get no water."
    assert "V-4" in finding.cause


def test_with_all_pumps_off_single_air_handlers_are_not_blamed_on_valves() -> None:
    vessel = changed(sound_vessel(), "P-1", running=False)
    finding = only("air_handler_without_flow", vessel, solve(vessel))
    assert finding.cause == "No water passes P-1."


def crowd(count: int, short: int) -> Vessel:
    """Return a loop of many air handlers on two manifolds, the first of them throttled."""
    sketch = Sketch()
    plant(sketch)
    sketch.add(*(Manifold(tag=tag, port_count=count + 1) for tag in ("MF-1", "MF-2")))
    sketch.run(("AS-1", "outlet"), ("MF-1", str(count + 1)))
    sketch.run(("MF-2", str(count + 1)), ("TE-1", "run_1"))
    for number in range(1, count + 1):
        branch(sketch, number, ("MF-1", str(number)), ("MF-2", str(number)))
    vessel = sketch.vessel()
    for number in range(1, count + 1):
        setting = 0.15 if number <= short else 1.4
        vessel = changed(vessel, f"RV-{number}", setting=setting)
        vessel = changed(vessel, f"AH-{number}", design_flow_L_s=0.05, rated_flow_L_s=0.05)
    return vessel


def test_of_many_short_air_handlers_a_dozen_are_told_one_by_one() -> None:
    vessel = crowd(20, short=15)
    found = told("air_handler_low", vessel, solve(vessel))
    assert len(found) == 13
    assert found[-1].problem == "3 more air handlers get less than 90 % of the design flow."
    told_of = [*(one.tags[0] for one in found[:12]), *found[12].tags]
    assert sorted(told_of) == sorted(f"AH-{number}" for number in range(1, 16))


def test_a_loop_short_as_a_whole_is_told_once_and_the_worst_by_itself() -> None:
    vessel = changed(sound_vessel(), "P-1", speed_percent=70.0)
    together = only("air_handler_low", vessel, solve(vessel))
    assert together.problem.startswith("3 air handlers get too little alike, ")
    assert together.cure == "Raise the speed of P-1, now 70 %."
    worse = changed(vessel, "RV-2", setting=0.6)
    found = told("air_handler_low", worse, solve(worse))
    assert [one.tags[0] for one in found] == ["AH-2", "AH-3"]
    assert found[1].problem.startswith("2 air handlers get too little alike, ")
    assert "RV-2 at setting 0.6" in found[0].cause


def test_a_loop_short_because_a_pump_rests_names_it() -> None:
    vessel = changed(parallel_pumps(speeds=(75.0, 75.0)), "P-2", running=False)
    finding = only("air_handler_low", vessel, solve(vessel))
    assert finding.cause == "P-1 runs alone: P-2 is stopped."
    assert finding.cure == "Start P-2."


def test_air_handlers_off_by_their_control_valves_are_only_noted() -> None:
    vessel = sound_vessel()
    run = run_between(vessel, "V-21", "AH-2")
    valve = TwoWayValve(tag="CV-2", kvs_m3_h=3.0, position_percent=0.0, height_m=1.5)
    vessel = inserted(vessel, run.tag, valve)
    finding = only("air_handler_without_flow", vessel, solve(vessel))
    assert finding.severity == "note"
    assert finding.cause == "CV-2 is at 0 %."


def test_what_rounds_to_the_limit_is_within_it() -> None:
    results = solve(sound_vessel())
    flow = results.links["AH-1"].flow_L_s
    for share, low, high in ((0.896, 0, 0), (0.894, 1, 0), (1.154, 0, 0), (1.156, 0, 1)):
        vessel = changed(sound_vessel(), "AH-1", design_flow_L_s=flow / share)
        again = solve(vessel)
        assert len(told("air_handler_low", vessel, again)) == low
        assert len(told("air_handler_high", vessel, again)) == high
