# SPDX-License-Identifier: MIT
"""Hardy-Cross: its table can be worked through by hand, and its answer is Newton's."""

from __future__ import annotations

import numpy as np
import pytest

from solver.errors import NotSolvableError, UnconvergedError
from solver.network import hardy_cross as module
from solver.network.certificate import require
from solver.network.compiled import CompiledNetwork
from solver.network.hardy_cross import HardyCross, Step, hardy_cross
from solver.network.network import Limiter, Network, check_valve, pipe, power_law, pump, valve
from solver.network.newton import newton
from tests.networks import random_network, regular_loop
from tests.solver.network.loops import PUMP, network


def recorded(given: Network, sweeps: int = 6) -> HardyCross:
    return hardy_cross(CompiledNetwork(given), record=True, record_sweeps=sweeps)


RESERVOIRS = network(
    *(
        power_law(f"R-{number}", *ends, coefficient=c, exponent=2.0)
        for number, (ends, c) in enumerate(
            [(("A", "J"), 100.0), (("J", "B"), 300.0), (("J", "K"), 200.0), (("K", "B"), 50.0)], start=1
        )
    ),
    held={"A": 40e3, "B": 10e3},
)
LOOPS = {
    "regular": regular_loop(6, tees=False),
    "with tees": regular_loop(5),
    "ring": random_network(4, "ring", 8, tees=False),
    "reservoirs": RESERVOIRS,
}


@pytest.mark.parametrize("name", LOOPS)
def test_sums_and_corrections_are_those_of_the_lines(name: str) -> None:
    found = recorded(LOOPS[name])
    assert found.steps
    structure = found.solution.compiled.structure
    held = np.where(structure.free < 0, found.solution.total, 0.0)
    for step in found.steps:
        # Along a way between two held pressures their difference drives the flow.
        drive = sum(
            line.sign * (held[structure.start[place]] - held[structure.end[place]])
            for line in step.links
            for place in [structure.index[line.tag]]
        )
        losses = [line.loss for line in step.links]
        size = max(abs(loss) for loss in losses)
        assert step.sum_of_losses == pytest.approx(sum(losses) - drive, abs=1e-9 * size)
        assert step.sum_of_slopes == pytest.approx(sum(line.slope for line in step.links), rel=1e-12)
        assert step.correction == pytest.approx(-step.sum_of_losses / step.sum_of_slopes, rel=1e-12)


@pytest.mark.parametrize("name", LOOPS)
def test_k_and_n_give_loss_and_slope_of_each_line(name: str) -> None:
    for step in recorded(LOOPS[name]).steps:
        for line in step.links:
            if line.flow == 0.0 or line.loss == 0.0:
                continue
            assert line.k * abs(line.flow) ** line.n == pytest.approx(abs(line.loss), rel=1e-9)
            assert line.n * abs(line.loss / line.flow) == pytest.approx(line.slope, rel=1e-9)


@pytest.mark.parametrize("name", LOOPS)
def test_each_step_starts_where_the_last_one_ended(name: str) -> None:
    """The flow of every link is what it was, plus the corrections of the loops it lay in since."""
    found = recorded(LOOPS[name])
    flows: dict[str, float] = {}
    for step in found.steps:
        for line in step.links:
            if line.tag in flows:
                assert line.sign * line.flow == pytest.approx(flows[line.tag], rel=1e-12, abs=1e-15)
            flows[line.tag] = line.sign * (line.flow + step.correction)


@pytest.mark.parametrize("name", LOOPS)
def test_every_sweep_passes_every_loop_in_turn(name: str) -> None:
    found = recorded(LOOPS[name], sweeps=3)
    count = len(found.loops)
    turns = [(step.sweep, step.loop) for step in found.steps]
    assert turns == [(sweep, loop) for sweep in (1, 2, 3) for loop in range(1, count + 1)]
    for step in found.steps:
        lines = tuple((line.tag, line.sign) for line in step.links)
        assert lines == found.loops[step.loop - 1]
        assert (step.chord, 1) in lines


def test_square_laws_show_their_k_and_two() -> None:
    for step in recorded(RESERVOIRS).steps:
        for line in step.links:
            wanted = {"R-1": 100.0, "R-2": 300.0, "R-3": 200.0, "R-4": 50.0}[line.tag]
            assert line.n == pytest.approx(2.0, rel=1e-12)
            assert line.k == pytest.approx(wanted, rel=1e-12)


def largest_corrections(steps: tuple[Step, ...]) -> list[float]:
    by_sweep: dict[int, float] = {}
    for step in steps:
        by_sweep[step.sweep] = max(by_sweep.get(step.sweep, 0.0), abs(step.correction))
    return list(by_sweep.values())


def test_corrections_die_away() -> None:
    found = recorded(LOOPS["regular"], sweeps=10_000)
    largest = largest_corrections(found.steps)
    assert len(largest) == found.sweeps
    assert largest[-1] < 1e-9 * largest[0]


def test_nothing_is_recorded_unless_asked_for() -> None:
    found = hardy_cross(CompiledNetwork(RESERVOIRS))
    assert found.steps == ()
    assert found.sweeps == found.solution.iterations > 1


def test_the_answer_has_pressures_too() -> None:
    solution = hardy_cross(CompiledNetwork(LOOPS["ring"])).solution
    require(solution)
    newtons = newton(CompiledNetwork(LOOPS["ring"]))
    np.testing.assert_allclose(solution.pressures, newtons.pressures, atol=0.05)


def test_without_a_loop_there_is_nothing_to_sweep() -> None:
    line = pipe("R-1", "suction", "a", length=5, bore=0.02)
    found = hardy_cross(CompiledNetwork(network(line, outflow={"a": 0.25})), record=True)
    assert found.loops == () and found.steps == ()
    assert found.solution.flow_of("R-1") == pytest.approx(0.25)
    require(found.solution)


def test_a_shut_check_valve_is_left_out_and_a_limiter_holds_its_limit() -> None:
    links = (
        pump("P-1", "suction", "d1", PUMP),
        check_valve("CV-1", "d1", "S", kv=20.0),
        pump("P-2", "suction", "d2", PUMP, speed=0.0),
        check_valve("CV-2", "d2", "S", kv=20.0),
        Limiter(tag="CF-1", start="S", end="R", flow=0.3, low=15e3, high=200e3),
        valve("V-1", "S", "R", kv=4.0),
        pipe("R-1", "R", "suction", length=10, bore=0.03),
    )
    found = recorded(network(*links))
    in_loops = {tag for loop in found.loops for tag, _ in loop}
    assert "CV-2" not in in_loops and "CF-1" not in in_loops
    assert found.solution.flow_of("CV-2") == 0.0
    assert found.solution.flow_of("CF-1") == pytest.approx(0.3, rel=2e-7)
    require(found.solution)


def test_no_answer_within_the_sweeps_names_the_loop(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(module, "MOST_SWEEPS", 2)
    with pytest.raises(UnconvergedError, match="Hardy-Cross found no steady flow in 2 sweeps") as told:
        hardy_cross(CompiledNetwork(LOOPS["ring"]))
    assert told.value.iterations == 2
    assert told.value.tags[0] in CompiledNetwork(LOOPS["ring"]).structure.order


def test_no_reference_is_told_as_for_newton() -> None:
    lost = network(pipe("R-1", "a", "b", length=1, bore=0.02), held={})
    with pytest.raises(NotSolvableError, match="no pressure reference"):
        hardy_cross(CompiledNetwork(lost))
