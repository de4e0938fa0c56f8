# SPDX-License-Identifier: MIT
"""Newton: warm starts, states that switch on the way, and no answer told as such."""

from __future__ import annotations

import msgspec
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from solver.change import Change
from solver.errors import UnconvergedError
from solver.network import newton as module
from solver.network.certificate import certify
from solver.network.compiled import CompiledNetwork
from solver.network.network import Passive
from solver.network.newton import newton
from tests.networks import SHAPES, random_network, regular_loop
from tests.solver.network.loops import network


@given(
    seed=st.integers(0, 20_000),
    shape=st.sampled_from(SHAPES),
    branches=st.integers(2, 12),
    factor=st.floats(0.01, 100.0),
)
def test_a_warm_start_finds_what_a_cold_one_does(seed: int, shape: str, branches: int, factor: float) -> None:
    """Also from a loop in which every other valve stood quite differently."""
    given_ = random_network(seed, shape, branches)
    compiled = CompiledNetwork(given_)
    valves = [link.tag for link in given_.links if isinstance(link, Passive) and np.isfinite(link.kv)]
    elsewhere = newton(compiled.changed([Change(tag, "kv", factor, "scale") for tag in valves[::2]]))
    cold, warm = newton(compiled), newton(compiled, elsewhere)
    assert certify(warm).holds
    assert np.abs(cold.flow - warm.flow).max() <= 1e-7 * max(np.abs(cold.flow).max(), 1e-3)
    assert (cold.states.one_way_open == warm.states.one_way_open).all() or np.abs(cold.flow).max() < 1e-6


def test_a_warm_start_takes_fewer_steps() -> None:
    compiled = CompiledNetwork(regular_loop(30))
    cold = newton(compiled)
    again = newton(compiled, cold)
    nudged = newton(compiled.changed([Change("v7", "kv", 0.9, "scale")]), cold)
    assert again.iterations <= 2
    assert nudged.iterations < cold.iterations


def test_a_warm_start_is_left_as_it_was() -> None:
    compiled = CompiledNetwork(random_network(4, "ring", 8))
    first = newton(compiled)
    flow, total = first.flow.copy(), first.total.copy()
    newton(compiled.changed([Change("P0", "speed", 0.3)]), first)
    np.testing.assert_array_equal(first.flow, flow)
    np.testing.assert_array_equal(first.total, total)


def test_a_start_of_another_topology_is_not_used() -> None:
    other = newton(CompiledNetwork(regular_loop(4)))
    compiled = CompiledNetwork(regular_loop(5))
    np.testing.assert_array_equal(newton(compiled, other).flow, newton(compiled).flow)


def test_a_moved_reference_is_seen_by_a_warm_start() -> None:
    given_ = regular_loop(4)
    first = newton(CompiledNetwork(given_))
    nodes = tuple(
        msgspec.structs.replace(node, pressure=250e3) if node.pressure is not None else node
        for node in given_.nodes
    )
    moved = CompiledNetwork(msgspec.structs.replace(given_, nodes=nodes), first.compiled.structure)
    assert newton(moved, first).pressure_at("suction") == 250e3
    assert newton(moved, first).pressure_at("header") == pytest.approx(
        first.pressure_at("header") + 150e3, abs=0.01
    )


def test_no_answer_names_what_still_moves(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(module, "MOST_ITERATIONS", 2)
    compiled = CompiledNetwork(regular_loop(6))
    with pytest.raises(UnconvergedError, match="no steady flow found in 2 steps") as told:
        newton(compiled)
    assert told.value.iterations == 2
    assert len(told.value.tags) == 3
    assert set(told.value.tags) <= set(compiled.structure.order)


@pytest.mark.parametrize("quantity", ["length", "k", "kv", "bore"])
def test_what_is_no_number_ends_the_solve(quantity: str) -> None:
    compiled = CompiledNetwork(regular_loop(3, tees=False))
    with np.errstate(all="ignore"), pytest.raises(UnconvergedError):
        newton(compiled.changed([Change("p1", quantity, float("nan"))]))


def test_a_network_of_nothing_has_no_flows() -> None:
    found = newton(CompiledNetwork(network(held={})))
    assert found.flows == {}
    assert certify(found).holds
