# SPDX-License-Identifier: MIT
"""Sensitivities where they are known in closed form; finite differences are in ``tests/properties``."""

from __future__ import annotations

import math

import numpy as np
import pytest

from solver.errors import PartError
from solver.network.compiled import CompiledNetwork
from solver.network.network import (
    Limiter,
    Network,
    TeeJoint,
    check_valve,
    fitting,
    pipe,
    power_law,
    pump,
    valve,
)
from solver.network.newton import newton
from solver.network.sensitivity import PASSIVE_QUANTITIES, PUMP_QUANTITIES, Sensitivities
from solver.parts.valves import KV_SQUARE
from tests.networks import random_network
from tests.solver.network.loops import GRAVITY, PUMP, SQUARE_PUMP, network

approx = pytest.approx


def of(given: Network) -> Sensitivities:
    return Sensitivities(newton(CompiledNetwork(given)))


def test_a_lone_loop_in_closed_form() -> None:
    """H0 n**2 rho g = (A n**0 + c) q**2 with A of the pump: q = n sqrt(H0 rho g / (A + c))."""
    sensitivities = of(
        network(
            pump("P-1", "suction", "far", SQUARE_PUMP),
            power_law("R-1", "far", "suction", coefficient=2e4, exponent=2.0),
        )
    )
    fall = GRAVITY * 1e6 / 1000
    flow = math.sqrt(1000 * GRAVITY * 10 / (2e4 + fall))
    assert sensitivities.of_flow("R-1", "coefficient")["R-1"] == approx(-0.5 * flow / (2e4 + fall), rel=1e-6)
    assert sensitivities.of_flow("R-1", "factor")["R-1"] == approx(-0.5 * flow * 2e4 / (2e4 + fall), rel=1e-6)
    assert sensitivities.of_flow("R-1", "speed")["P-1"] == approx(flow, rel=1e-6)
    # A head factor h scales the fall too: q**2 = h H0 rho g / (h A + c).
    by_head = 0.5 * flow * (1 - fall / (2e4 + fall))
    assert sensitivities.of_flow("R-1", "head_factor")["P-1"] == approx(by_head, rel=1e-6)


def test_pipes_and_valves_between_held_pressures_in_closed_form() -> None:
    links = (
        pipe("R-1", "a", "b", length=10, bore=0.02, friction_factor=0.03),
        fitting("K-1", "a", "b", k=4.0, bore=0.02),
        valve("V-1", "a", "b", kv=2.0),
    )
    sensitivities = of(network(*links, held={"a": 20e3, "b": 0.0}))
    area = math.pi / 4 * 0.02**2
    by_pipe = math.sqrt(2 * 1000 * 20e3 * 0.02 / (0.03 * 10)) * area
    by_fitting = math.sqrt(2 * 1000 * 20e3 / 4.0) * area
    by_valve = math.sqrt(20e3 * 1000 * 4.0 / KV_SQUARE)
    assert sensitivities.of_flow("R-1", "length")["R-1"] == approx(-by_pipe / 20, rel=1e-6)
    assert sensitivities.of_flow("R-1", "bore")["R-1"] == approx(2.5 * by_pipe / 0.02, rel=1e-6)
    assert sensitivities.of_flow("K-1", "k")["K-1"] == approx(-by_fitting / 8, rel=1e-6)
    assert sensitivities.of_flow("K-1", "bore")["K-1"] == approx(2 * by_fitting / 0.02, rel=1e-6)
    assert sensitivities.of_flow("V-1", "kv")["V-1"] == approx(by_valve / 2.0, rel=1e-6)
    # Nothing between held pressures feels its neighbour.
    assert sensitivities.of_flow("V-1", "k")["K-1"] == 0.0


def branches() -> Network:
    return network(
        pump("P-1", "suction", "S", PUMP),
        valve("V-1", "S", "a", kv=3.0),
        power_law("AH-1", "a", "R", coefficient=3e5, exponent=1.8),
        valve("V-2", "S", "b", kv=0.0),
        power_law("AH-2", "b", "R", coefficient=3e5, exponent=1.8),
        Limiter(tag="CF-1", start="S", end="c", flow=0.2, low=15e3, high=200e3),
        fitting("K-1", "c", "R", k=3.0, bore=0.02),
        pump("P-2", "suction", "d2", PUMP, speed=0.0),
        check_valve("CV-2", "d2", "S", kv=20.0),
        pipe("R-1", "R", "suction", length=10, bore=0.03, roughness=1.5e-6),
    )


def test_what_stands_still_or_is_limited_does_not_move() -> None:
    sensitivities = of(branches())
    assert abs(sensitivities.of_flow("AH-1", "length")["R-1"]) > 1e-5
    for tag in ("AH-2", "V-2", "CV-2", "CF-1", "K-1"):
        assert np.abs(sensitivities.by_loss(tag)).max() < 1e-10, tag
    assert sensitivities.of_flow("AH-1", "speed")["P-2"] == approx(0.0, abs=1e-12)


def test_one_loss_is_felt_at_the_other_as_that_at_the_one() -> None:
    """Without tees the matrix of d(flow)/d(loss) is symmetric, and no link gains by its own loss."""
    matrix = of(random_network(9, "mesh", 9, tees=False)).matrix
    np.testing.assert_allclose(matrix, matrix.T, rtol=0, atol=1e-10 * np.abs(matrix).max())
    assert (np.diag(matrix) <= 0).all()


def test_changes_of_flow_balance_at_every_node() -> None:
    sensitivities = of(random_network(9, "mesh", 9, tees=True))
    structure = newton(CompiledNetwork(random_network(9, "mesh", 9, tees=True))).compiled.structure
    matrix = sensitivities.matrix
    # Columns are the changes of all flows with one loss.
    assert np.abs(structure.incidence @ matrix).max() <= 1e-12 * np.abs(matrix).max() * len(matrix)


@pytest.mark.parametrize("lagged", [True, False])
def test_tees_of_either_kind(lagged: bool) -> None:
    """With a given coefficient the closed form is that of a fitting; by split the legs couple."""
    links = (
        pipe("R-1", "a", "T", length=10, bore=0.02, friction_factor=0.03),
        pipe("R-2", "T", "b", length=5, bore=0.02, friction_factor=0.03),
        pipe("R-3", "T", "b", length=15, bore=0.02, friction_factor=0.03),
    )
    tee = TeeJoint("TE-1", ("R-1", "R-2", "R-3"), (1, -1, -1), k_run=0.5, k_branch=2.0)
    held = {"a": 20e3, "b": 0.0}
    given = network(*links, held=held, tees=(tee,))
    other = network(
        links[0],
        pipe("R-2", "T", "b", length=5, bore=0.02, friction_factor=0.03, k=0.5),
        pipe("R-3", "T", "b", length=15, bore=0.02, friction_factor=0.03, k=2.0),
        held=held,
    )
    one = of(
        Network(nodes=given.nodes, links=given.links, media=given.media, tees=given.tees, lagged_tees=lagged)
    )
    two = of(other)
    for quantity in ("length", "bore", "k"):
        assert one.of_flow("R-3", quantity) == approx(two.of_flow("R-3", quantity), rel=1e-5)


def test_every_quantity_is_known_of_its_links() -> None:
    sensitivities = of(branches())
    for quantity in PASSIVE_QUANTITIES:
        assert set(sensitivities.of_flow("AH-1", quantity)) == {
            "V-1", "AH-1", "V-2", "AH-2", "K-1", "R-1",
        }  # fmt: skip
    for quantity in PUMP_QUANTITIES:
        assert set(sensitivities.of_flow("AH-1", quantity)) == {"P-1", "P-2"}
    # A valve without friction has no slope with its length, a pipe without a valve none with Kv.
    assert sensitivities.of_flow("AH-1", "kv")["R-1"] == 0.0


def test_unknown_parts_and_quantities_are_refused() -> None:
    sensitivities = of(branches())
    with pytest.raises(PartError, match="no link is tagged AH-9"):
        sensitivities.by_loss("AH-9")
    with pytest.raises(PartError, match="no sensitivity to 'colour'; accepted: length, bore"):
        sensitivities.of_flow("AH-1", "colour")
