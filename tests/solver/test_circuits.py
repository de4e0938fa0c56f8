# SPDX-License-Identifier: MIT
"""Circuits follow the water round from pump to pump, and the index circuit is the neediest one."""

from __future__ import annotations

import random
from types import MappingProxyType

import fluids
import msgspec
import pytest

from solver.circuits import Circuits, circuit, index_circuit
from solver.results import LinkFigures, Results
from solver.vessel.components import (
    CheckValve,
    CirculationPump,
    ConstantFlowValve,
    Tee,
    TwoWayValve,
)
from solver.vessel.vessel import Vessel
from tests.solver.small_vessels import (
    CURVE,
    KV_TABLE,
    Sketch,
    changed,
    solved,
    sound_sketch,
    sound_vessel,
)


def circuits(results: Results) -> Circuits:
    return Circuits(results.vessel, results.links, results.port_kPa)


def tags(results: Results, air_handler: str) -> list[str]:
    found = circuit(results.vessel, results.links, results.port_kPa, air_handler)
    assert found is not None
    return [step.tag for step in found.steps]


def figures(tag: str, flow: float, loss: float) -> LinkFigures:
    return LinkFigures(tag, flow, None, None, None, loss, 0.0, loss, 0.0, None, None, None)


def two_pumps(parallel: bool) -> Vessel:
    """Return the sound vessel with a second pump beside or behind the first."""
    sketch = sound_sketch()
    sketch.add(CirculationPump(tag="P-2", curve=CURVE, height_m=0.0))
    behind = next(run for run in sketch.runs if run.start == ("P-1", "outlet"))
    before = next(run for run in sketch.runs if run.end == ("P-1", "inlet"))
    sketch.runs.remove(behind)
    if not parallel:
        sketch.line("P-1", "P-2", ("V-2", "inlet"), tag="R-100", length_m=0.5)
        sketch.runs[-1] = msgspec.structs.replace(sketch.runs[-1], tag="R-101")
        return sketch.vessel()
    sketch.runs.remove(before)
    sketch.add(
        Tee(tag="TE-8", height_m=0.0),
        Tee(tag="TE-9", height_m=0.0),
        CheckValve(tag="CV-1", kv_m3_h=15.0, height_m=0.0),
        CheckValve(tag="CV-2", kv_m3_h=15.0, height_m=0.0),
    )
    sketch.run(("ST-1", "outlet"), ("TE-8", "run_1"), tag="R-100")
    sketch.run(("TE-9", "run_2"), ("V-2", "inlet"), tag="R-101")
    for number, (leaving, entering) in enumerate((("run_2", "run_1"), ("branch", "branch")), start=1):
        for place, (start, end) in enumerate(
            (
                (("TE-8", leaving), (f"P-{number}", "inlet")),
                ((f"P-{number}", "outlet"), (f"CV-{number}", "inlet")),
                ((f"CV-{number}", "outlet"), ("TE-9", entering)),
            )
        ):
            sketch.run(start, end, tag=f"R-11{number}{place}")
    return sketch.vessel()


@pytest.fixture(scope="module")
def results() -> Results:
    return solved(sound_vessel())


def test_a_circuit_runs_from_the_pump_through_the_air_handler_and_back(results: Results) -> None:
    found = circuit(results.vessel, results.links, results.port_kPa, "AH-3")
    assert found is not None
    assert [step.tag for step in found.steps] == [
        "P-1", "R-5", "V-2", "R-6", "V-3", "R-7", "CH-1", "R-8", "V-4", "R-9", "AS-1",
        "R-15", "R-16", "R-31", "R-27", "V-31", "R-28", "AH-3", "R-29", "RV-3", "R-30",
        "R-17", "R-18", "R-2", "V-1", "R-3", "ST-1", "R-4",
    ]  # fmt: skip
    sides = [step.side for step in found.steps]
    assert sides == ["supply"] * 17 + ["unit"] + ["return"] * 10


def test_total_pressure_falls_by_the_losses_and_closes_at_the_pump(results: Results) -> None:
    found = circuit(results.vessel, results.links, results.port_kPa, "AH-2")
    assert found is not None
    totals = [step.total_kPa for step in found.steps]
    assert totals == sorted(totals, reverse=True)
    rise = results.pumps["P-1"].rise_kPa
    assert totals[0] - totals[-1] == pytest.approx(rise, rel=1e-9)
    # Pump inlet and outlet lie at one height, so total and gauge pressure agree at both ends.
    assert found.steps[-1].total_kPa == pytest.approx(found.steps[-1].pressure_kPa, abs=1e-9)


def test_distance_is_the_length_of_the_runs_passed(results: Results) -> None:
    found = circuit(results.vessel, results.links, results.port_kPa, "AH-1")
    assert found is not None
    lengths = results.vessel.run_by_tag
    assert found.steps[-1].distance_m == pytest.approx(
        sum(lengths[step.tag].length_m for step in found.steps if step.tag in lengths)
    )


def test_the_direction_a_run_was_drawn_in_does_not_matter(results: Results) -> None:
    vessel = results.vessel
    turned = msgspec.structs.replace(
        vessel, runs=tuple(msgspec.structs.replace(run, start=run.end, end=run.start) for run in vessel.runs)
    )
    again = solved(turned)
    before = index_circuit(vessel, results.links, results.port_kPa)
    after = index_circuit(turned, again.links, again.port_kPa)
    assert before is not None
    assert after is not None
    assert [step.tag for step in after.steps] == [step.tag for step in before.steps]
    assert after.needed_kPa == pytest.approx(before.needed_kPa, rel=1e-9)


def test_the_order_of_the_file_does_not_matter(results: Results) -> None:
    vessel = results.vessel
    components, runs = list(vessel.components), list(vessel.runs)
    shuffler = random.Random(7)
    shuffler.shuffle(components)
    shuffler.shuffle(runs)
    mixed = msgspec.structs.replace(vessel, components=tuple(components), runs=tuple(runs))
    before = index_circuit(vessel, results.links, results.port_kPa)
    after = index_circuit(mixed, results.links, results.port_kPa)
    assert before is not None
    assert after is not None
    assert after.steps == before.steps


def test_the_branch_is_what_carries_the_air_handlers_flow_alone(results: Results) -> None:
    found = circuits(results)
    branch = found.branch("AH-3")
    assert branch is not None
    assert [found.joints.tags[link] for link in branch.links] == [
        "R-31", "R-27", "V-31", "R-28", "AH-3", "R-29", "RV-3", "R-30",
    ]  # fmt: skip


def test_available_pressure_is_the_difference_between_supply_and_return(results: Results) -> None:
    # Both tees of AH-2's branch stand at one height, so gauge pressures give the difference.
    gauge = results.port_kPa["TE-3", "branch"] - results.port_kPa["TE-4", "branch"]  # type: ignore[operator]
    assert circuits(results).available_kPa("AH-2") == pytest.approx(gauge, rel=1e-9)


def test_need_at_design_flow_is_the_solved_loss_with_the_valve_open(results: Results) -> None:
    flow = results.links["AH-2"].flow_L_s
    vessel = changed(results.vessel, "AH-2", design_flow_L_s=flow)
    found = Circuits(vessel, results.links, results.port_kPa)
    valve = results.links["RV-2"].loss_kPa
    opened = valve * (KV_TABLE[2].kv_m3_h / KV_TABLE[-1].kv_m3_h) ** 2
    assert found.needs_kPa["AH-2"] == pytest.approx(results.pumps["P-1"].rise_kPa - valve + opened, rel=1e-9)


def test_pipe_friction_at_design_flow_follows_the_friction_factor(results: Results) -> None:
    # Outside check: the friction factor of the fluids library at both Reynolds numbers.
    found = circuits(results)
    branch = found.branch("AH-2")
    assert branch is not None
    now = results.links["AH-2"].flow_L_s
    ratio = 0.2 / now
    expected = 0.0
    for link in branch.links:
        link_figures = results.links[found.joints.tags[link]]
        if link_figures.pipe_kPa:
            reynolds = link_figures.reynolds or 0.0
            factors = [fluids.friction_factor(Re=value, eD=0.0) for value in (reynolds, reynolds * ratio)]
            expected += link_figures.pipe_kPa * ratio**2 * factors[1] / factors[0]
        elif link_figures.tag == "RV-2":
            expected += link_figures.loss_kPa * ratio**2 * (1.2 / 3.5) ** 2
        else:
            expected += link_figures.loss_kPa * ratio ** (1.8 if link_figures.tag == "AH-2" else 2.0)
    assert found.branch_needs_kPa["AH-2"] == pytest.approx(expected, rel=1e-9)


def test_a_laminar_branch_is_not_scaled_as_a_turbulent_one() -> None:
    results = solved(changed(sound_vessel(), "V-21", opening_percent=1.0))
    reynolds = results.links["R-23"].reynolds
    assert reynolds is not None
    links = dict(results.links)
    for tag, run in results.vessel.run_by_tag.items():
        if tag in ("R-23", "R-24", "R-25", "R-26"):
            links[tag] = msgspec.structs.replace(links[tag], reynolds=500.0)
            assert run.size == "22x1.0"
    turbulent = circuits(results).branch_needs_kPa["AH-2"]
    laminar = Circuits(results.vessel, links, results.port_kPa).branch_needs_kPa["AH-2"]
    assert laminar < turbulent


def test_index_circuit_is_the_farthest_of_equal_air_handlers(results: Results) -> None:
    found = index_circuit(results.vessel, results.links, results.port_kPa)
    assert found is not None
    assert found.air_handler == "AH-3"
    assert found.needed_kPa == pytest.approx(max(circuits(results).needs_kPa.values()), rel=1e-12)


def test_index_circuit_moves_to_a_near_coil_that_takes_more() -> None:
    results = solved(changed(sound_vessel(), "AH-1", rated_drop_kPa=35.0))
    found = index_circuit(results.vessel, results.links, results.port_kPa)
    assert found is not None
    assert found.air_handler == "AH-1"


def test_its_own_throttled_valve_does_not_make_an_index_circuit() -> None:
    results = solved(changed(sound_vessel(), "RV-1", setting=0.3))
    found = index_circuit(results.vessel, results.links, results.port_kPa)
    assert found is not None
    assert found.air_handler == "AH-3"


@pytest.mark.parametrize(
    "valve",
    [
        TwoWayValve(tag="RV-2", kvs_m3_h=3.5, position_percent=60.0, height_m=1.5),
        ConstantFlowValve(tag="RV-2", flow_L_s=0.2, minimum_drop_kPa=12.0, height_m=1.5),
    ],
    ids=lambda valve: type(valve).__name__,
)
def test_other_valves_of_the_branch_count_as_open(valve: TwoWayValve | ConstantFlowValve) -> None:
    vessel = sound_vessel()
    vessel = msgspec.structs.replace(
        vessel, components=tuple(valve if part.tag == "RV-2" else part for part in vessel.components)
    )
    results = solved(vessel)
    flow = results.links["AH-2"].flow_L_s
    at_design = changed(vessel, "AH-2", design_flow_L_s=flow)
    needs = Circuits(at_design, results.links, results.port_kPa)
    rest = (needs.available_kPa("AH-2") or 0.0) - results.links["RV-2"].loss_kPa
    opened = 12.0 if isinstance(valve, ConstantFlowValve) else 100.0 * (3.6 * flow / 3.5) ** 2
    assert needs.branch_needs_kPa["AH-2"] == pytest.approx(rest + opened, rel=1e-9)


def test_with_pumps_in_parallel_the_circuit_leaves_and_returns_to_one_pump() -> None:
    results = solved(two_pumps(parallel=True))
    for air_handler in ("AH-1", "AH-2", "AH-3"):
        way = tags(results, air_handler)
        inlet_run = results.vessel.run_by_tag[way[-1]]
        assert way[0] in ("P-1", "P-2")
        assert inlet_run.end == (way[0], "inlet")
        assert len(set(way)) == len(way)


def test_with_one_of_two_parallel_pumps_stopped_the_other_is_followed() -> None:
    results = solved(changed(two_pumps(parallel=True), "P-1", running=False))
    assert tags(results, "AH-1")[0] == "P-2"
    assert results.links["CV-1"].flow_L_s == 0.0


def test_pumps_in_series_are_both_on_the_way_and_need_nothing() -> None:
    results = solved(two_pumps(parallel=False))
    found = index_circuit(results.vessel, results.links, results.port_kPa)
    assert found is not None
    assert [step.tag for step in found.steps if step.tag.startswith("P-")] == ["P-1", "P-2"]
    design = msgspec.structs.replace(
        results.vessel.component_by_tag["AH-3"], design_flow_L_s=results.links["AH-3"].flow_L_s
    )
    vessel = msgspec.structs.replace(
        results.vessel,
        components=tuple(design if part.tag == "AH-3" else part for part in results.vessel.components),
    )
    at_design = Circuits(vessel, results.links, results.port_kPa)
    valve = results.links["RV-3"].loss_kPa * (1 - (1.2 / 3.5) ** 2)
    given = results.pumps["P-1"].rise_kPa + results.pumps["P-2"].rise_kPa
    assert at_design.needs_kPa["AH-3"] == pytest.approx(given - valve, rel=1e-9)


def test_an_air_handler_without_flow_has_no_circuit() -> None:
    results = solved(changed(sound_vessel(), "V-21", opening_percent=0.0))
    found = circuits(results)
    assert found.circuit("AH-2") is None
    assert found.available_kPa("AH-2") is None
    assert found.branch("AH-2") is None
    assert "AH-2" not in found.needs_kPa


def test_without_a_running_pump_there_is_no_index_circuit() -> None:
    results = solved(changed(sound_vessel(), "P-1", running=False))
    assert index_circuit(results.vessel, results.links, results.port_kPa) is None


def test_flow_that_goes_round_without_a_pump_ends_the_search() -> None:
    sketch = Sketch()
    base = sound_sketch()
    sketch.add(*(part for part in base.components if part.tag in ("AH-1", "TE-2", "TE-3")))
    sketch.run(("AH-1", "water_out"), ("TE-2", "run_1"))
    sketch.run(("TE-2", "run_2"), ("TE-3", "run_1"))
    sketch.run(("TE-3", "run_2"), ("TE-2", "branch"))
    sketch.run(("TE-3", "branch"), ("AH-1", "water_in"))
    flows = {"AH-1": 0.1, "R-1": 0.1, "R-2": 0.4, "R-3": 0.3, "R-4": 0.1}
    links = MappingProxyType({tag: figures(tag, flow, 1.0) for tag, flow in flows.items()})
    found = Circuits(sketch.vessel(), links, {})
    assert found.circuit("AH-1") is None
    assert found.index() is None


def test_a_part_without_a_known_pressure_gives_no_circuit(results: Results) -> None:
    unknown = dict.fromkeys(results.port_kPa)
    assert circuit(results.vessel, results.links, unknown, "AH-1") is None
