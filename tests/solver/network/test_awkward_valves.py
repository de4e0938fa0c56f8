# SPDX-License-Identifier: MIT
"""The awkward cases of valves and tees: bypasses, check valves, limiters, legs that turn round."""

from __future__ import annotations

import math

import numpy as np
import pytest

from solver.network.network import (
    Limiter,
    Network,
    OneWay,
    TeeJoint,
    check_valve,
    pipe,
    pump,
    valve,
)
from solver.parts.valves import KV_SQUARE
from tests.solver.network.loops import (
    PUMP,
    network,
    same_flows,
    solved,
    two_branches,
)

approx = pytest.approx
COPPER = 1.5e-6


def test_check_valve_with_cracking_pressure() -> None:
    held = {"a": 110e3, "b": 100e3}
    shut = solved(network(check_valve("CV-1", "a", "b", kv=10, cracking=10.5e3), held=held))
    assert shut.flow_of("CV-1") == 0.0
    ajar = solved(network(check_valve("CV-1", "a", "b", kv=10, cracking=9e3), held=held))
    assert ajar.flow_of("CV-1") == approx(math.sqrt(1e3 * 1000 * 10**2 / KV_SQUARE), rel=1e-9)


def test_bypass_open() -> None:
    """With the branches shut all flow goes through the differential bypass, at its setting and a little."""
    bypass = OneWay(tag="DB-1", start="S", end="R", kv=8.0, threshold=30e3)
    found = solved(network(*two_branches(kv_1=0.0, kv_2=0.0), bypass))
    flow = found.flow_of("DB-1")
    assert flow > 0.5
    assert found.flow_of("P-1") == approx(flow, rel=1e-9)
    assert found.loss_of("DB-1") == approx(30e3 + KV_SQUARE * flow**2 / (1000 * 8.0**2), rel=1e-9)


def test_bypass_shut_below_its_setting() -> None:
    bypass = OneWay(tag="DB-1", start="S", end="R", kv=8.0, threshold=95e3)
    found = solved(network(*two_branches(), bypass))
    assert found.flow_of("DB-1") == 0.0
    assert found.pressure_at("S") - found.pressure_at("R") < 95e3
    same_flows(solved(network(*two_branches())), found)


@pytest.mark.parametrize(("drop", "share"), [(30e3, None), (31e3, 0.2), (34e3, 0.8), (45e3, None)])
def test_banded_bypass(drop: float, share: float | None) -> None:
    """Of set 30 kPa and band 5 kPa: it lifts with flow, and is a plain Kv from 35 kPa on."""
    bypass = OneWay(tag="DB-1", start="a", end="b", kv=8.0, threshold=30e3, band=5e3)
    found = solved(network(bypass, held={"a": drop, "b": 0.0})).flow_of("DB-1")
    full = math.sqrt(35e3 * 1000 * 8.0**2 / KV_SQUARE)
    if share is not None:
        assert found == approx(share * full, rel=1e-9)
    elif drop > 35e3:
        assert found == approx(math.sqrt(drop * 1000 * 8.0**2 / KV_SQUARE), rel=1e-9)
    else:
        assert found == approx(0.0, abs=1e-9)


def limiter(tag: str, start: str, end: str, flow: float = 0.2) -> Limiter:
    return Limiter(tag=tag, start=start, end=end, flow=flow, low=15e3, high=200e3)


@pytest.mark.parametrize("drop", [5e3, 14.9e3, 15.1e3, 60e3, 199e3, 201e3, 300e3])
def test_limiter_below_at_and_beyond_its_limit(drop: float) -> None:
    found = solved(network(limiter("CF-1", "a", "b"), held={"a": drop, "b": 0.0})).flow_of("CF-1")
    if drop < 15e3:
        wanted = 0.2 * math.sqrt(drop / 15e3)
    elif drop > 200e3:
        wanted = 0.2 * math.sqrt(drop / 200e3)
    else:
        wanted = 0.2
    assert found == approx(wanted, rel=2e-7)


def test_limiter_passes_backwards_as_it_does_forwards_below_its_limit() -> None:
    found = solved(network(limiter("CF-1", "a", "b"), held={"a": 0.0, "b": 5e3})).flow_of("CF-1")
    assert found == approx(-0.2 * math.sqrt(1 / 3), rel=1e-9)


@pytest.mark.parametrize(("one", "other"), [(0.2, 0.2), (0.2, 0.3), (0.3, 0.2)])
def test_redundant_limiters_in_series(one: float, other: float) -> None:
    """The smaller limit holds; of equal ones, what each of them takes is anyone's guess."""
    links = (
        *two_branches(),
        limiter("CF-1", "S", "c", one),
        limiter("CF-2", "c", "R", other),
    )
    found = solved(network(*links))
    assert found.flow_of("CF-1") == approx(min(one, other), rel=2e-7)
    assert found.loss_of("CF-1") + found.loss_of("CF-2") == approx(
        found.pressure_at("S") - found.pressure_at("R"), rel=1e-9
    )


def _turning(kv: float) -> Network:
    """Return two supplies joined by a bridge whose flow turns round as the valve of one is opened."""
    links = (
        pump("P-1", "suction", "header", PUMP),
        pipe("R-1", "header", "T1", length=5, bore=0.032, roughness=COPPER),
        pipe("R-2", "header", "T2", length=5, bore=0.032, roughness=COPPER),
        pipe("R-3", "T1", "T2", length=3, bore=0.02, roughness=COPPER),
        pipe("R-4", "T1", "x", length=2, bore=0.032, roughness=COPPER),
        pipe("R-5", "T2", "y", length=2, bore=0.032, roughness=COPPER),
        valve("V-1", "x", "suction", kv=kv),
        valve("V-2", "y", "suction", kv=4.0),
    )
    tees = (
        TeeJoint("TE-1", ("R-1", "R-4", "R-3"), (1, -1, -1)),
        TeeJoint("TE-2", ("R-2", "R-5", "R-3"), (1, -1, 1)),
    )
    return network(*links, tees=tees)


def test_a_tee_whose_branch_turns_round() -> None:
    """Flow through the bridge turns with the valve; every answer holds, and none of them jumps."""
    kvs = np.linspace(3.0, 5.0, 81)
    flows = []
    for kv in kvs:
        found = solved(_turning(float(kv)))
        flows.append(found.flow_of("R-3"))
    flow = np.array(flows)
    assert flow[0] > 0.01 and flow[-1] < -0.01
    assert (np.diff(flow) < 0).all()
    assert np.abs(np.diff(flow)).max() < 0.12 * (flow[0] - flow[-1])
    balanced = solved(_turning(4.0))
    assert balanced.flow_of("R-3") == approx(0.0, abs=1e-8)
    assert balanced.flow_of("R-4") == approx(balanced.flow_of("R-5"), rel=1e-8)


def test_a_tee_with_a_run_leg_at_rest() -> None:
    """All flow from one run leg into the branch: the other run leg is shut behind it."""
    links = (
        pump("P-1", "suction", "header", PUMP),
        pipe("R-1", "header", "T", length=5, bore=0.032, roughness=COPPER),
        pipe("R-2", "T", "x", length=5, bore=0.032, roughness=COPPER),
        pipe("R-3", "T", "suction", length=8, bore=0.026, roughness=COPPER, k=20),
        valve("V-1", "x", "suction", kv=0.0),
    )
    found = solved(network(*links, tees=(TeeJoint("TE-1", ("R-1", "R-2", "R-3"), (1, -1, -1)),)))
    assert found.flow_of("R-2") == 0.0
    assert found.flow_of("R-1") == approx(found.flow_of("R-3"), rel=1e-9)
