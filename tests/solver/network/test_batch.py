# SPDX-License-Identifier: MIT
"""Batches: what a row means, which rows are solved together, and what is refused."""

from __future__ import annotations

import numpy as np
import pytest

from solver.change import Change
from solver.errors import PartError
from solver.network import batch as module
from solver.network.batch import columns_of, solve_batch
from solver.network.compiled import CompiledNetwork
from solver.network.network import (
    Limiter,
    Link,
    OneWay,
    TeeJoint,
    check_valve,
    fitting,
    pipe,
    power_law,
    pump,
    valve,
)
from solver.network.newton import newton
from solver.network.solution import Solution
from tests.networks import regular_loop
from tests.solver.network.loops import GLYCOL, PUMP, WATER, network


def base(*more: Link, tees: tuple[TeeJoint, ...] = (), outflow: dict[str, float] | None = None) -> Solution:
    """Return the answer of a pump, a main with a tee, two branches and more."""
    links = (
        pump("P-1", "suction", "header", PUMP),
        pipe("R-1", "header", "S", length=10, bore=0.032, roughness=1.5e-6, k=3),
        pipe("R-2", "S", "a", length=8, bore=0.026, roughness=1.5e-6),
        power_law("AH-1", "a", "c", coefficient=4e5, exponent=1.8),
        valve("V-1", "c", "R", kv=3.0),
        pipe("R-3", "S", "b", length=12, bore=0.026, roughness=1.5e-6),
        power_law("AH-2", "b", "d", coefficient=4e5, exponent=1.8),
        valve("V-2", "d", "R", kv=3.0),
        pipe("R-4", "R", "suction", length=10, bore=0.032, roughness=1.5e-6, k=3),
        *more,
    )
    return newton(CompiledNetwork(network(*links, tees=tees, outflow=outflow, media=(WATER, GLYCOL))))


TEE = TeeJoint("TE-1", ("R-1", "R-2", "R-3"), (1, -1, -1))


def alone(solution: Solution, *changes: Change) -> np.ndarray:
    """Return the flows with changes, solved from scratch, in the base's order."""
    flows = newton(CompiledNetwork(solution.compiled.network.changed(changes))).flows
    return np.array([flows[tag] for tag in solution.compiled.structure.order])


def test_rows_are_variations() -> None:
    solution = base(tees=(TEE,))
    kvs = np.array([0.3, 1.0, 3.0, 8.0])
    speeds = np.array([0.5, 1.0, 0.8, 1.2])
    bores = np.array([0.02, 0.026, 0.03, 0.04])
    found = solve_batch(solution, {("V-1", "kv"): kvs, ("P-1", "speed"): speeds, ("R-3", "bore"): bores})
    assert found.tags == solution.compiled.structure.order
    assert found.flow.shape == (4, solution.compiled.structure.links)
    assert len(found.solved_singly) == 0
    for row, (kv, speed, bore) in enumerate(zip(kvs, speeds, bores, strict=True)):
        wanted = alone(
            solution, Change("V-1", "kv", kv), Change("P-1", "speed", speed), Change("R-3", "bore", bore)
        )
        np.testing.assert_allclose(found.flow[row], wanted, rtol=0, atol=1e-8 * wanted.max())
    np.testing.assert_array_equal(found.of("AH-1"), found.flow[:, found.tags.index("AH-1")])


def test_a_row_without_changes_is_the_base() -> None:
    solution = base()
    found = solve_batch(solution, {("V-1", "kv"): [3.0, 3.0], ("R-1", "length"): [10.0, 10.0]})
    np.testing.assert_allclose(found.flow, [solution.flow] * 2, rtol=0, atol=1e-12)


def test_a_speed_of_0_stops_the_pump() -> None:
    found = solve_batch(base(), {("P-1", "speed"): [1.0, 0.0]})
    assert np.abs(found.flow[1]).max() < 1e-9


def test_more_rows_than_a_chunk(monkeypatch: pytest.MonkeyPatch) -> None:
    solution = base()
    kvs = np.linspace(0.5, 9.0, 11)
    whole = solve_batch(solution, {("V-2", "kv"): kvs})
    monkeypatch.setattr(module, "CHUNK", 4)
    np.testing.assert_allclose(solve_batch(solution, {("V-2", "kv"): kvs}).flow, whole.flow, atol=1e-12)


def test_with_too_many_loops_rows_are_solved_singly(monkeypatch: pytest.MonkeyPatch) -> None:
    solution = newton(CompiledNetwork(regular_loop(8)))
    columns = {("v3", "kv"): [1.0, 2.0]}
    together = solve_batch(solution, columns)
    assert len(together.solved_singly) == 0
    monkeypatch.setattr(module, "MOST_LOOPS", 3)
    singly = solve_batch(solution, columns)
    assert singly.solved_singly.tolist() == [0, 1]
    np.testing.assert_allclose(singly.flow, together.flow, rtol=0, atol=1e-8)


@pytest.mark.parametrize(
    "changes",
    [
        (Change("V-1", "is_open", 0.0),),
        (Change("K-1", "length", 30.0),),
        (Change("R-3", "friction_factor", 0.05),),
        (Change("R-3", "medium", 1.0),),
        (Change("DB-1", "threshold", 40e3),),
        (Change("CF-1", "flow", 0.05),),
    ],
)
def test_what_loop_form_does_not_hold_is_solved_singly(changes: tuple[Change, ...]) -> None:
    solution = base(
        fitting("K-1", "S", "e", k=3.0, bore=0.02),
        Limiter(tag="CF-1", start="e", end="R", flow=0.1, low=15e3, high=200e3),
        OneWay(tag="DB-1", start="S", end="R", kv=3.0, threshold=30e3),
    )
    found = solve_batch(solution, columns_of(solution, [changes, ()]))
    assert found.solved_singly.tolist() == [0]
    np.testing.assert_allclose(found.flow[0], alone(solution, *changes), rtol=0, atol=1e-8)
    np.testing.assert_allclose(found.flow[1], solution.flow, rtol=0, atol=1e-12)


def second_pump(speed: float) -> tuple[Link, Link]:
    return (
        pump("P-2", "suction", "d2", PUMP, speed=speed),
        check_valve("CV-2", "d2", "header", kv=20.0),
    )


@pytest.mark.parametrize(("now", "then"), [(0.0, 1.0), (1.0, 0.0), (0.3, 1.1)])
def test_a_check_valve_that_opens_or_closes(now: float, then: float) -> None:
    solution = base(*second_pump(now))
    found = solve_batch(solution, {("P-2", "speed"): [now, then]})
    assert found.solved_singly.tolist() == [1]
    wanted = alone(solution, Change("P-2", "speed", then))
    np.testing.assert_allclose(found.flow[1], wanted, rtol=0, atol=1e-8)
    assert (found.of("CV-2") >= 0).all()


@pytest.mark.parametrize("kv", [0.05, 60.0])
def test_a_limiter_that_leaves_its_range(kv: float) -> None:
    limiter = Limiter(tag="CF-1", start="e", end="R", flow=0.15, low=15e3, high=90e3)
    solution = base(valve("V-3", "S", "e", kv=2.0), limiter)
    assert solution.states.limiter.tolist() == [1]
    found = solve_batch(solution, {("V-3", "kv"): [2.0, kv], ("P-1", "speed"): [1.0, 1.3]})
    assert found.solved_singly.tolist() == [1]
    wanted = alone(solution, Change("V-3", "kv", kv), Change("P-1", "speed", 1.3))
    np.testing.assert_allclose(found.flow[1], wanted, rtol=0, atol=1e-8)


def test_a_row_without_an_answer_is_no_number() -> None:
    solution = base(
        valve("V-3", "S", "e", kv=2.0), pipe("R-9", "e", "f", length=2, bore=0.02), outflow={"f": 0.05}
    )
    found = solve_batch(solution, {("V-3", "is_open"): [1.0, 0.0]})
    assert not np.isnan(found.flow[0]).any()
    assert np.isnan(found.flow[1]).all()


def test_changes_become_columns() -> None:
    solution = base()
    columns = columns_of(
        solution,
        [
            (Change("R-1", "length", 1.5, "scale"), Change("R-1", "length", 1.0, "add")),
            (),
            (Change("V-1", "kv", 0.7),),
            (Change("V-1", "is_open", 0.0),),
        ],
    )
    assert {key: column.tolist() for key, column in columns.items()} == {
        ("R-1", "length"): [16.0, 10.0, 10.0, 10.0],
        ("V-1", "kv"): [3.0, 3.0, 0.7, 3.0],
        ("V-1", "is_open"): [1.0, 1.0, 1.0, 0.0],
    }


@pytest.mark.parametrize(
    ("tag", "quantity", "problem"),
    [("R-9", "length", "no link is tagged R-9"), ("R-1", "colour", "R-1 has no quantity 'colour'")],
)
def test_what_is_not_there_is_refused(tag: str, quantity: str, problem: str) -> None:
    solution = base()
    with pytest.raises(PartError, match=problem) as told:
        columns_of(solution, [(Change(tag, quantity, 1.0),)])
    assert told.value.tags == (tag,)
    with pytest.raises(PartError, match=problem):
        solve_batch(solution, {(tag, quantity): [1.0]})


@pytest.mark.parametrize(("lengths", "found"), [((2, 3), r"\[2, 3\]"), ((), r"\[\]")])
def test_columns_of_unlike_length_are_refused(lengths: tuple[int, ...], found: str) -> None:
    columns = {(f"R-{number}", "length"): np.ones(length) for number, length in enumerate(lengths, 1)}
    with pytest.raises(PartError, match=f"must be of one length; found {found}"):
        solve_batch(base(), columns)


def test_no_rows_is_no_flows() -> None:
    assert solve_batch(base(), {("R-1", "length"): []}).flow.shape[0] == 0
