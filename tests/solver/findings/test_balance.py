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
    (finding,) = [one for one in told("air_handler_low", vessel, results) if one.tags[0] == tag]
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
    assert len(found) == 3
    assert {one.severity for one in found} == {"note"}
    assert all("the pump may run slower" in one.cure for one in found)


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


def test_of_many_short_air_handlers_a_dozen_are_told_one_by_one() -> None:
    sketch = Sketch()
    plant(sketch)
    count = 20
    from_port, to_port = ("AS-1", "outlet"), ("TE-1", "run_1")
    sketch.add(Manifold(tag="MF-1", port_count=count + 1), Manifold(tag="MF-2", port_count=count + 1))
    sketch.run(from_port, ("MF-1", str(count + 1)))
    sketch.run(("MF-2", str(count + 1)), to_port)
    for number in range(1, count + 1):
        branch(sketch, number, ("MF-1", str(number)), ("MF-2", str(number)))
    vessel = sketch.vessel()
    found = told("air_handler_low", vessel, solve(vessel))
    assert len(found) == 13
    assert found[-1].problem == "8 more air handlers get less than 90 % of the design flow."
    assert len({tag for one in found for tag in one.tags if tag.startswith("AH")}) == count
