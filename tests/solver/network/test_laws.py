# SPDX-License-Identifier: MIT
"""The link laws: never falling, their slopes those of finite differences, their values written out again."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray

from solver.network.certificate import passive_loss
from solver.network.compiled import CompiledNetwork
from solver.network.laws import (
    LEAST_SLOPE,
    LIMITER_RISE,
    SHUT_RESISTANCE,
    SMALL_DROP,
    Coefficients,
    States,
    TeeTerms,
    coefficients,
    losses,
    no_tee_terms,
    subset,
)
from solver.network.network import (
    Limiter,
    Link,
    Medium,
    OneWay,
    Passive,
    check_valve,
    fitting,
    pump,
    valve,
)
from solver.parts.pump_curve import PumpCurve
from tests.networks import random_network
from tests.solver.network.loops import GRAVITY, PUMP, SQUARE_PUMP, WATER, network

approx = pytest.approx
Array = NDArray[np.float64]


def law(link: Link, medium: Medium = WATER) -> Coefficients:
    """Return the law of one link between two held pressures."""
    return coefficients(CompiledNetwork(network(link, held={"a": 0.0, "b": 0.0}, media=(medium,))))


def evaluated(
    link: Link, flow: Array | float, *, is_open: bool = True, state: int = 0, medium: Medium = WATER
) -> tuple[Array, Array]:
    """Return loss and slope of one link at any number of flows."""
    c = law(link, medium)
    states = States(np.full(len(c.threshold), is_open), np.full(len(c.limit), state, dtype=np.int8))
    loss, slope = losses(np.reshape(flow, (-1, 1)).astype(float), c, no_tee_terms(c.structure), states)
    return loss[:, 0], slope[:, 0]


def at(link: Link, flow: float, **more: object) -> tuple[float, float]:
    loss, slope = evaluated(link, flow, **more)  # type: ignore[arg-type]
    return float(loss[0]), float(slope[0])


def _sometimes(values: st.SearchStrategy[float], otherwise: float) -> st.SearchStrategy[float]:
    return st.one_of(st.just(otherwise), values)


#: Links of any combination of laws, bore from 6 to 400 mm, lengths from 1 mm.
passives = st.builds(
    Passive,
    tag=st.just("X-1"),
    start=st.just("a"),
    end=st.just("b"),
    length=_sometimes(st.floats(1e-3, 200), 0.0),
    bore=st.floats(0.006, 0.4),
    roughness=_sometimes(st.floats(1e-7, 3e-4), 0.0),
    friction_factor=st.sampled_from([0.0, 0.0, 0.0, 0.03]),
    k=_sometimes(st.floats(0.01, 100), 0.0),
    k_reverse=_sometimes(st.floats(0.01, 100), 0.0),
    k_reynolds=st.sampled_from([0.0, 0.0, 800.0]),
    kv=_sometimes(st.floats(0.05, 300), float("inf")),
    coefficient=_sometimes(st.floats(1e2, 1e7), 0.0),
    exponent=st.floats(1.0, 2.0),
    factor=st.sampled_from([1.0, 1.0, 0.3, 7.0]),
)
media = st.sampled_from([WATER, Medium(1045.0, 8e-3), Medium(1026.0, 1.1e-3)])
#: Flow as the Reynolds number it has in the link's bore, so that every regime comes up.
reynolds_numbers = (st.floats(-1e6, 1e6) | st.floats(-6000, 6000) | st.floats(-1, 1)).filter(
    lambda number: number == 0.0 or abs(number) > 1e-9
)


def flow_at(link: Passive, medium: Medium, reynolds: float) -> float:
    return reynolds * math.pi / 4 * link.bore * medium.viscosity


@given(link=passives, medium=media, one=reynolds_numbers, other=reynolds_numbers)
def test_the_loss_of_a_passive_link_never_falls(
    link: Passive, medium: Medium, one: float, other: float
) -> None:
    flows = np.sort([flow_at(link, medium, one), flow_at(link, medium, other)])
    (low, high), slope = evaluated(link, flows, medium=medium)
    assert high >= low - 1e-12 * max(abs(low), abs(high))
    assert (slope > 0.0).all()


@given(link=passives, medium=media, reynolds=reynolds_numbers)
def test_the_slope_of_a_passive_link_is_that_of_its_loss(
    link: Passive, medium: Medium, reynolds: float
) -> None:
    flow = flow_at(link, medium, reynolds)
    step = 1e-6 * max(abs(flow), flow_at(link, medium, 1e-6))
    loss, slope = evaluated(link, np.array([flow - step, flow, flow + step]), medium=medium)
    left, right = (loss[1] - loss[0]) / step, (loss[2] - loss[1]) / step
    # A kink (another K in reverse) or an edge of a law lies between: the slope is one of the two.
    noise = 1e-9 * np.abs(loss).max() / step
    low, high = min(left, right), max(left, right)
    assert low - 1e-4 * abs(low) - noise <= slope[1] <= high + 1e-4 * abs(high) + noise + LEAST_SLOPE


@given(link=passives, medium=media, reynolds=reynolds_numbers)
def test_the_loss_of_a_passive_link_is_that_of_the_check(
    link: Passive, medium: Medium, reynolds: float
) -> None:
    """The check writes every law out again, friction from ``fluids``; below 0.01 Pa laws are cubic."""
    flow = flow_at(link, medium, reynolds)
    loss, _ = at(link, flow, medium=medium)
    assert loss == approx(passive_loss(link, flow, medium), rel=2e-6, abs=2 * SMALL_DROP * link.factor)


@given(link=passives, flow=st.floats(-50, 50))
def test_the_loss_is_odd_where_both_directions_have_one_k(link: Passive, flow: float) -> None:
    alike = _replace(link, k_reverse=link.k)
    (there, back), (slope, slope_back) = evaluated(alike, np.array([flow, -flow]))
    assert there == -back
    assert slope == slope_back


def _replace(link: Passive, **fields: float) -> Passive:
    names = Passive.__struct_fields__
    return Passive(**({name: getattr(link, name) for name in names} | fields))


@pytest.mark.parametrize("reynolds", [2000.0, 4000.0])
@pytest.mark.parametrize("roughness", [0.0, 1e-5, 5e-4])
def test_friction_has_no_jump_where_its_law_changes(reynolds: float, roughness: float) -> None:
    link = Passive(tag="R-1", start="a", end="b", length=10, bore=0.02, roughness=roughness)
    flow = flow_at(link, WATER, reynolds)
    flows = flow * np.array([1 - 1e-9, 1 + 1e-9])
    loss, slope = evaluated(link, flows)
    assert loss[1] == approx(loss[0], rel=1e-8)
    assert slope[1] == approx(slope[0], rel=1e-6)


@pytest.mark.parametrize(
    "link",
    [
        fitting("K-1", "a", "b", k=2.0, bore=0.02),
        valve("V-1", "a", "b", kv=3.0),
        Passive(tag="C-1", start="a", end="b", coefficient=3e5, exponent=1.8),
        Passive(tag="C-1", start="a", end="b", coefficient=3e5, exponent=1.0),
    ],
)
def test_a_small_drop_has_no_jump_where_its_law_changes(link: Passive) -> None:
    low, high = 1e-12, 1.0
    for _ in range(200):
        middle = math.sqrt(low * high)
        low, high = (middle, high) if at(link, middle)[0] < SMALL_DROP else (low, middle)
    loss, slope = evaluated(link, np.array([low * (1 - 1e-9), low * (1 + 1e-9)]))
    np.testing.assert_allclose(loss, SMALL_DROP, rtol=1e-7)
    assert slope[1] == approx(slope[0], rel=1e-7)
    _, at_rest = at(link, 0.0)
    assert 0.0 < at_rest <= slope[0] * (1 + 1e-12)


def test_a_link_without_loss_has_a_conductance() -> None:
    loss, slope = at(fitting("K-1", "a", "b", k=0.0, bore=0.1), 20.0)
    assert abs(loss) < 1e-3
    assert slope > 0.0


@pytest.mark.parametrize("curve", [PUMP, SQUARE_PUMP])
@pytest.mark.parametrize("speed", [0.4, 1.0, 1.2])
def test_a_pumps_head_falls_with_flow(curve: PumpCurve, speed: float) -> None:
    link = pump("P-1", "a", "b", curve, speed=speed)
    flows = np.linspace(-3.0, 6.0, 901)
    loss, slope = evaluated(link, flows)
    assert (np.diff(loss) > 0).all()
    middle = 0.5 * (evaluated(link, flows + 1e-6)[0] - evaluated(link, flows - 1e-6)[0]) / 1e-6
    np.testing.assert_allclose(slope, np.maximum(middle, 1e-3), rtol=2e-4, atol=0.1)
    wanted = [-1000 * GRAVITY * curve.head(float(flow) / 1000, speed) for flow in flows]
    np.testing.assert_allclose(loss, wanted, rtol=1e-12, atol=1e-9)


def test_a_stopped_pump_resists_both_ways() -> None:
    link = pump("P-1", "a", "b", PUMP, speed=0.0)
    (back, rest, there), slope = evaluated(link, np.array([-2.0, 0.0, 2.0]))
    assert there == approx(1000 * GRAVITY * PUMP.square * 0.002**2)
    assert back == -there
    assert rest == 0.0
    assert (slope > 0).all()


def test_a_shut_one_way_link_lets_next_to_nothing_through() -> None:
    loss, slope = at(check_valve("CV-1", "a", "b", kv=10.0), -1e-12, is_open=False)
    assert (loss, slope) == (approx(-1e-12 * SHUT_RESISTANCE), SHUT_RESISTANCE)


def test_an_open_check_valve_takes_its_cracking_pressure_and_its_kv() -> None:
    loss, slope = at(check_valve("CV-1", "a", "b", kv=3.6, cracking=2e3), 0.5)
    # 3.6 m3/h is 1 kg/s at 1 bar.
    assert loss == approx(2e3 + 0.25e5)
    assert slope == approx(1e5)


def test_a_banded_bypass_lifts_then_is_wide_open() -> None:
    link = OneWay(tag="DB-1", start="a", end="b", kv=3.6, threshold=30e3, band=10e3)
    full = math.sqrt(0.4)
    flows = np.array([0.0, 0.25 * full, full * (1 - 1e-12), full * (1 + 1e-12), 1.0])
    loss, slope = evaluated(link, flows)
    np.testing.assert_allclose(loss, [30e3, 32.5e3, 40e3, 40e3, 100e3], rtol=1e-9)
    np.testing.assert_allclose(slope[:3], 10e3 / full, rtol=1e-9)


@pytest.mark.parametrize(
    ("state", "flow", "loss"),
    [
        (0, 0.1, 15e3 / 4),
        (0, -0.1, -15e3 / 4),
        (1, 0.2, 15e3),
        (1, 0.2 * (1 + LIMITER_RISE), 200e3),
        (1, 0.2 * (1 + LIMITER_RISE / 2), 107.5e3),
        (2, 0.2 * (1 + LIMITER_RISE), 200e3),
        (2, 0.4, 800e3),
    ],
)
def test_a_limiter_below_at_and_above_its_limit(state: int, flow: float, loss: float) -> None:
    link = Limiter(tag="CF-1", start="a", end="b", flow=0.2, low=15e3, high=200e3)
    found, slope = at(link, flow, state=state)
    assert found == approx(loss, rel=1e-6)
    assert slope > 0.0


def test_tee_terms_add_to_their_link() -> None:
    c = law(fitting("K-1", "a", "b", k=2.0, bore=0.02))
    states = States(np.zeros(0, dtype=bool), np.zeros(0, dtype=np.int8))
    flow = np.array([0.4])
    plain, slope = losses(flow, c, no_tee_terms(c.structure), states)  # type: ignore[arg-type]
    terms = TeeTerms(np.array([3e3]), np.array([-50.0]))
    with_tee, steeper = losses(flow, c, terms, states)
    assert with_tee[0] - plain[0] == approx(3e3 * 0.16 - 50.0)
    assert steeper[0] - slope[0] == approx(2 * 3e3 * 0.4)


def test_variations_are_rows() -> None:
    """Leading axes of flows and of quantities give what each row gives by itself."""
    compiled = CompiledNetwork(random_network(3, "mesh", 6))
    c = coefficients(compiled)
    states = States(np.ones(len(c.threshold), dtype=bool), np.zeros(len(c.limit), dtype=np.int8))
    rng = np.random.default_rng(1)
    flow = rng.normal(0, 1, (4, compiled.structure.links))
    lengths = compiled.parameters.column("length") * rng.uniform(0.5, 2, (4, compiled.structure.passive.stop))
    none = no_tee_terms(compiled.structure)
    together = losses(flow, coefficients(compiled, {"length": lengths}), none, states)
    for row in range(4):
        alone = losses(flow[row], coefficients(compiled, {"length": lengths[row]}), none, states)
        np.testing.assert_allclose(together[0][row], alone[0], rtol=1e-14)
        np.testing.assert_allclose(together[1][row], alone[1], rtol=1e-14)


def test_the_laws_of_some_links_are_those_of_all() -> None:
    compiled = CompiledNetwork(random_network(11, "ring", 9))
    c = coefficients(compiled)
    count = compiled.structure.links
    rng = np.random.default_rng(2)
    states = States(rng.random(len(c.threshold)) < 0.5, rng.integers(0, 3, len(c.limit)).astype(np.int8))
    flow = rng.normal(0, 0.5, count)
    loss, slope = losses(flow, c, no_tee_terms(compiled.structure), states)
    for _ in range(20):
        links = np.flatnonzero(rng.random(count) < 0.3)
        part, own = subset(c, links, states)
        none = np.zeros(part.structure.passive.stop)
        found = losses(flow[links], part, TeeTerms(none, none), own)
        np.testing.assert_array_equal(found[0], loss[links])
        np.testing.assert_array_equal(found[1], slope[links])
