# SPDX-License-Identifier: MIT
"""A network built in code: what the builders set, and what a solution answers."""

from __future__ import annotations

import math

import pytest

from solver.network.compiled import CompiledNetwork
from solver.network.network import (
    Medium,
    Network,
    Node,
    check_valve,
    fitting,
    pipe,
    power_law,
    pump,
    valve,
)
from solver.network.newton import newton
from tests.solver.network.loops import GRAVITY, PUMP, WATER


def test_a_pipes_fittings_count_both_ways() -> None:
    link = pipe("R-1", "a", "b", length=3, bore=0.02, roughness=1e-6, k=2.5, friction_factor=0.02, medium=1)
    assert (link.k, link.k_reverse, link.length, link.bore, link.medium) == (2.5, 2.5, 3, 0.02, 1)
    assert (link.roughness, link.friction_factor, link.kv, link.is_open) == (1e-6, 0.02, math.inf, True)


def test_a_fitting_counts_both_ways() -> None:
    link = fitting("K-1", "a", "b", k=2.5, bore=0.02)
    assert (link.k, link.k_reverse, link.length) == (2.5, 2.5, 0.0)


def test_a_valve_of_kv_0_is_shut() -> None:
    assert not valve("V-1", "a", "b", kv=0.0).is_open
    assert valve("V-1", "a", "b", kv=0.1).is_open


def test_other_builders() -> None:
    coil = power_law("C-1", "a", "b", coefficient=3e5, exponent=1.8)
    assert (coil.coefficient, coil.exponent) == (3e5, 1.8)
    driven = pump("P-1", "a", "b", PUMP, speed=0.8)
    assert (driven.curve, driven.speed, driven.head_factor) == (PUMP, 0.8, 1.0)
    check = check_valve("CV-1", "a", "b", kv=10.0, cracking=2e3)
    assert (check.kv, check.threshold, check.band) == (10.0, 2e3, 0.0)


def test_links_by_tag() -> None:
    link = valve("V-1", "a", "b", kv=1.0)
    assert Network(nodes=(), links=(link,), media=(WATER,)).link_by_tag == {"V-1": link}


def test_what_a_solution_answers() -> None:
    given = Network(
        nodes=(Node("low", pressure=100e3), Node("high", height=5.0), Node("out", 5.0, 20e3)),
        links=(valve("V-1", "low", "high", kv=3.6), valve("V-2", "out", "high", kv=3.6)),
        media=(Medium(1000.0, 1e-3),),
    )
    found = newton(CompiledNetwork(given))
    # From 100 kPa below to 20 kPa 5 m up through two valves of 1 kg/s at 1 bar.
    drop = 80e3 - 1000 * GRAVITY * 5
    flow = math.sqrt(drop / 2 / 1e5)
    assert found.flows == pytest.approx({"V-1": flow, "V-2": -flow})
    assert found.flow_of("V-2") == found.flows["V-2"]
    assert found.loss_of("V-1") == pytest.approx(drop / 2)
    assert found.loss_of("V-2") == pytest.approx(-drop / 2)
    assert found.pressure_at("high") == pytest.approx(20e3 + drop / 2)
    assert found.pressures == pytest.approx([100e3, 20e3 + drop / 2, 20e3])
