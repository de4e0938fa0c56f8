# SPDX-License-Identifier: MIT
"""The check after the solve: it passes what is right and catches whatever is made wrong."""

from __future__ import annotations

from dataclasses import replace

import fluids
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from solver.errors import UnconvergedError
from solver.network.certificate import Certificate, certify, darcy, passive_loss, require
from solver.network.compiled import CompiledNetwork
from solver.network.network import (
    Limiter,
    Link,
    Medium,
    OneWay,
    Passive,
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
from tests.solver.network.loops import PUMP, WATER, network


def everything() -> Solution:
    """Return the answer of a loop with every kind of link, in every state."""
    links: tuple[Link, ...] = (
        pump("P-1", "suction", "d1", PUMP),
        check_valve("CV-1", "d1", "S", kv=25.0, cracking=1e3),
        pump("P-2", "suction", "d2", PUMP, speed=0.1),
        check_valve("CV-2", "d2", "S", kv=25.0, cracking=1e3),
        pipe("R-1", "S", "T", length=10, bore=0.03, roughness=1.5e-6, k=3),
        pipe("R-2", "T", "a", length=5, bore=0.02, roughness=1.5e-6, k=3),
        pipe("R-3", "T", "b", length=5, bore=0.03, roughness=1.5e-6),
        power_law("AH-1", "a", "R", coefficient=4e5, exponent=1.8),
        valve("V-1", "b", "c", kv=3.0),
        fitting("K-1", "c", "R", k=3.0, bore=0.02),
        valve("V-2", "b", "e", kv=0.0),
        pipe("R-4", "e", "R", length=5, bore=0.02, friction_factor=0.03),
        Limiter(tag="CF-0", start="b", end="R", flow=0.5, low=100e3, high=200e3),
        Limiter(tag="CF-1", start="b", end="R", flow=0.2, low=15e3, high=200e3),
        Limiter(tag="CF-2", start="b", end="R", flow=0.1, low=1e3, high=8e3),
        OneWay(tag="DB-1", start="S", end="R", kv=5.0, threshold=20e3),
        OneWay(tag="DB-2", start="S", end="R", kv=5.0, threshold=20e3, band=40e3),
        pipe("R-5", "R", "suction", length=10, bore=0.035, roughness=1.5e-6, k=3),
    )
    tees = (TeeJoint("TE-1", ("R-1", "R-3", "R-2"), (1, -1, -1)),)
    return newton(CompiledNetwork(network(*links, tees=tees)))


SOLUTION = everything()
TAGS = SOLUTION.compiled.structure.order


def test_the_answer_passes() -> None:
    certificate = require(SOLUTION)
    assert certificate.holds
    assert certificate.mass_residual < 1e-12
    assert certificate.pressure_residual < 0.02
    assert certificate.largest_flow == np.abs(SOLUTION.flow).max()
    assert certificate.largest_loss > 50e3


def test_the_loop_has_links_in_every_state() -> None:
    assert set(SOLUTION.states.one_way_open.tolist()) == {True, False}
    assert set(SOLUTION.states.limiter.tolist()) == {0, 1, 2}
    assert SOLUTION.flow_of("V-2") == 0.0


@pytest.mark.parametrize("tag", TAGS)
@pytest.mark.parametrize("change", [1e-4, -1e-4])
def test_a_wrong_flow_is_caught(tag: str, change: float) -> None:
    flow = SOLUTION.flow.copy()
    flow[TAGS.index(tag)] += change
    certificate = certify(replace(SOLUTION, flow=flow))
    assert not certificate.holds
    assert certificate.mass_residual == pytest.approx(1e-4, rel=1e-6)


@pytest.mark.parametrize("node", SOLUTION.compiled.structure.node_tags)
def test_a_wrong_pressure_is_caught(node: str) -> None:
    total = SOLUTION.total.copy()
    total[SOLUTION.compiled.structure.node_index[node]] += 500.0
    certificate = certify(replace(SOLUTION, total=total))
    assert not certificate.holds
    # What is off are links at that node.
    links = SOLUTION.compiled.network.link_by_tag
    assert node in (links[certificate.worst_links[0]].start, links[certificate.worst_links[0]].end)


def test_a_circulation_that_balances_at_every_node_is_caught() -> None:
    """Mass is right everywhere, pressures are not."""
    flow = SOLUTION.flow.copy()
    for tag, sign in (("R-2", 1), ("AH-1", 1), ("R-3", -1), ("V-1", -1), ("K-1", -1)):
        flow[TAGS.index(tag)] += sign * 0.01
    certificate = certify(replace(SOLUTION, flow=flow))
    assert certificate.mass_residual < 1e-9
    assert not certificate.holds
    assert certificate.pressure_residual > 100.0


def _alone(link: Link, flow: float, drop: float) -> Certificate:
    """Return the certificate of one link between held pressures, whatever its flow."""
    solution = newton(CompiledNetwork(network(link, held={"a": drop, "b": 0.0})))
    return certify(replace(solution, flow=np.array([flow])))


@pytest.mark.parametrize(
    ("link", "flow", "drop", "holds"),
    [
        (check_valve("CV-1", "a", "b", kv=3.6), 0.0, -5e3, True),
        (check_valve("CV-1", "a", "b", kv=3.6), -0.2, -5e3, False),  # backwards
        (check_valve("CV-1", "a", "b", kv=3.6), 0.0, 5e3, False),  # shut though pushed open
        (check_valve("CV-1", "a", "b", kv=3.6, cracking=6e3), 0.0, 5e3, True),
        (check_valve("CV-1", "a", "b", kv=3.6, cracking=1e3), 0.2, 5e3, True),
        (check_valve("CV-1", "a", "b", kv=3.6, cracking=1e3), 0.21, 5e3, False),
        (valve("V-1", "a", "b", kv=0.0), 0.0, 5e3, True),
        (valve("V-1", "a", "b", kv=0.0), 1e-3, 5e3, False),  # through a shut valve
        (Limiter(tag="CF-1", start="a", end="b", flow=0.2, low=15e3, high=90e3), 0.2, 50e3, True),
        (Limiter(tag="CF-1", start="a", end="b", flow=0.2, low=15e3, high=90e3), 0.2, 10e3, False),
        (Limiter(tag="CF-1", start="a", end="b", flow=0.2, low=15e3, high=90e3), 0.2, 95e3, False),
        (Limiter(tag="CF-1", start="a", end="b", flow=0.2, low=15e3, high=90e3), 0.1, 3750.0, True),
        (Limiter(tag="CF-1", start="a", end="b", flow=0.2, low=15e3, high=90e3), -0.1, -3750.0, True),
        (Limiter(tag="CF-1", start="a", end="b", flow=0.2, low=15e3, high=90e3), 0.1, 5e3, False),
        (Limiter(tag="CF-1", start="a", end="b", flow=0.2, low=15e3, high=90e3), 0.4, 360e3, True),
        (Limiter(tag="CF-1", start="a", end="b", flow=0.2, low=15e3, high=90e3), 0.4, 300e3, False),
        (OneWay(tag="DB", start="a", end="b", kv=3.6, threshold=30e3, band=10e3), 0.4**0.5 / 2, 35e3, True),
        (OneWay(tag="DB", start="a", end="b", kv=3.6, threshold=30e3, band=10e3), 0.4**0.5 / 2, 36e3, False),
        (OneWay(tag="DB", start="a", end="b", kv=3.6, threshold=30e3, band=10e3), 1.0, 100e3, True),
        (pump("P-1", "a", "b", PUMP), 1.0, -1000 * 9.80665 * 9.0, True),
        (pump("P-1", "a", "b", PUMP), 1.01, -1000 * 9.80665 * 9.0, False),
    ],
)
def test_each_law_is_held_to(link: Link, flow: float, drop: float, holds: bool) -> None:
    assert _alone(link, flow, drop).holds is holds


def test_no_number_is_no_answer() -> None:
    for field in ("flow", "total"):
        values = getattr(SOLUTION, field).copy()
        values[3] = np.nan
        assert not certify(replace(SOLUTION, **{field: values})).holds


def test_what_fails_is_named() -> None:
    flow = SOLUTION.flow.copy()
    flow[TAGS.index("AH-1")] += 0.05
    with pytest.raises(UnconvergedError, match="the answer found does not pass its check") as told:
        require(replace(SOLUTION, flow=flow))
    assert told.value.tags[0] == "AH-1"
    assert told.value.mass_residual == pytest.approx(0.05)
    assert told.value.pressure_residual > 1e3
    assert told.value.iterations == SOLUTION.iterations
    assert "AH-1" in str(told.value)


@given(reynolds=st.floats(1.0, 1e8), roughness=st.floats(0.0, 0.05))
def test_friction_is_that_of_fluids_or_laminar(reynolds: float, roughness: float) -> None:
    found = darcy(reynolds, roughness)
    turbulent = fluids.friction_factor(Re=max(reynolds, 4000.0), eD=roughness)
    if reynolds >= 4000.0:
        assert found == turbulent
    elif reynolds <= 2000.0:
        assert found == 64.0 / reynolds
    else:
        # f*Re**2 rises all the way between.
        assert 64.0 * 2000.0 < found * reynolds**2 < turbulent * 4000.0**2


def test_no_friction_without_flow() -> None:
    assert darcy(0.0, 1e-3) == 0.0


def test_each_part_of_a_passive_loss() -> None:
    """1 kg/s of water of 1000 kg/m3; figures by hand."""
    ends = {"tag": "X", "start": "a", "end": "b"}
    bore = 0.04
    velocity = 1e-3 / (np.pi / 4 * bore**2)
    head = 500 * velocity**2
    medium = Medium(1000.0, 1e-3)
    reynolds = velocity * bore / 1e-6
    cases = [
        (Passive(**ends, bore=bore, k=2.0, k_reverse=7.0), 2.0 * head, 7.0 * head),
        (Passive(**ends, bore=bore, k_reynolds=800.0), 800 / reynolds * head, 800 / reynolds * head),
        (Passive(**ends, bore=bore, length=3.0, friction_factor=0.02), 1.5 * head, 1.5 * head),
        (Passive(**ends, kv=3.6), 1e5, 1e5),
        (Passive(**ends, coefficient=5e4, exponent=1.7), 5e4, 5e4),
        (Passive(**ends, kv=3.6, factor=2.5), 2.5e5, 2.5e5),
        (Passive(**ends), 0.0, 0.0),
    ]
    for link, forward, reverse in cases:
        assert passive_loss(link, 1.0, medium) == pytest.approx(forward)
        assert passive_loss(link, -1.0, medium) == pytest.approx(-reverse)


def test_the_water_it_is_measured_in() -> None:
    assert WATER.density == 1000.0
