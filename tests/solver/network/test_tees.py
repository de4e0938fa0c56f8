# SPDX-License-Identifier: MIT
"""Tees in the network: signed losses without a jump, and the same as the check works out."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray

from solver.network.certificate import added_by_tees
from solver.network.compiled import CompiledNetwork
from solver.network.laws import TeeTerms
from solver.network.network import Network, TeeJoint, pipe
from solver.network.newton import newton
from solver.network.tees import SLOW_SHARE, TURNING_SHARE, TeeTable
from solver.parts.tee import tee_losses, velocity_head
from tests.networks import random_network, regular_loop
from tests.solver.network.loops import WATER, network

Array = NDArray[np.float64]
BORES = st.sampled_from([0.006, 0.01, 0.016, 0.02, 0.026, 0.032, 0.051, 0.1, 0.2, 0.4])


def tee_of(
    bores: tuple[float, float, float],
    *,
    signs: tuple[int, int, int] = (1, 1, 1),
    lagged: bool = True,
    **k: float,
) -> Network:
    """Return three pipes between a tee and held pressures; with the signs given they run into the tee."""
    links = [
        pipe(f"R-{number}", *((f"e{number}", "T") if sign > 0 else ("T", f"e{number}")), length=5, bore=bore)
        for number, (bore, sign) in enumerate(zip(bores, signs, strict=True), start=1)
    ]
    tee = TeeJoint("TE-1", ("R-1", "R-2", "R-3"), signs, **k)
    given = network(*links, held={"e1": 0.0, "e2": 0.0, "e3": 0.0}, tees=(tee,))
    return Network(nodes=given.nodes, links=given.links, media=given.media, tees=(tee,), lagged_tees=lagged)


def signed(bores: tuple[float, float, float], into: Array, **more: bool) -> Array:
    """Return the losses out of one tee, shape (3, cases), for flows into it of shape (cases, 3)."""
    table = TeeTable(CompiledNetwork(tee_of(bores, **more)))
    return table.signed_losses(into.T[..., None])[..., 0]


def flows(through: float, branch: Array) -> Array:
    """Return flows into a tee with ``through`` from the first leg on average, ``branch`` into the branch."""
    return np.column_stack([through - branch / 2, -through - branch / 2, branch])


WITH_TEES = regular_loop(8)
EQUAL = (0.032, 0.032, 0.032)


@pytest.mark.parametrize("bores", [EQUAL, (0.032, 0.032, 0.02), (0.032, 0.026, 0.02), (0.02, 0.032, 0.032)])
@pytest.mark.parametrize("through", [1.0, -1.0])
def test_no_jump_as_a_branch_turns_round(bores: tuple[float, float, float], through: float) -> None:
    branch = np.linspace(-0.1, 0.1, 20001)
    losses = signed(bores, flows(through, branch))
    head = velocity_head(np.array(1.0), np.array(max(bores[:2])), 1000.0)
    # Nowhere more in one step of 1e-5 than in a step of a quarter of a head over the narrowest zone.
    assert np.abs(np.diff(losses, axis=1)).max() < 0.05 * head
    # The branch feels about the velocity head of the run, whichever way it flows.
    assert losses[2][10000] == pytest.approx(head, rel=0.11)


@pytest.mark.parametrize("bores", [EQUAL, (0.032, 0.032, 0.02), (0.1, 0.1, 0.016)])
def test_the_loss_out_of_a_slow_branch_never_falls_with_its_flow(bores: tuple[float, float, float]) -> None:
    """Else a loop would have two answers, with the branch flowing either way."""
    slow = 2 * SLOW_SHARE * (bores[2] / bores[0]) ** 2
    outward = np.linspace(-slow, slow, 2001)
    losses = signed(bores, flows(1.0, -outward))
    assert (np.diff(losses[2]) >= -1e-9 * losses[2].max()).all()


@pytest.mark.parametrize("into", [1.0, -1.0])
def test_no_jump_as_a_run_leg_turns_round(into: float) -> None:
    """The branch takes all of one run leg; the other turns from giving to taking."""
    smaller = np.linspace(-0.2, 0.2, 4001)
    losses = signed(EQUAL, np.column_stack([into + 0 * smaller, smaller, -into - smaller]))
    head = velocity_head(np.array(1.0), np.array(0.032), 1000.0)
    assert np.abs(np.diff(losses, axis=1)).max() < 0.02 * head


@given(
    bores=st.tuples(BORES, BORES, BORES),
    one=st.floats(-5, 5).filter(lambda x: abs(x) > 1e-3),
    share=st.floats(-0.95, 0.95),
)
def test_away_from_turning_it_is_the_table(
    bores: tuple[float, float, float], one: float, share: float
) -> None:
    branch = -share * one
    two = -one - branch
    body = max(bores[:2])
    width = SLOW_SHARE * min(bores[2] / body, 1.0) ** 2 * abs(one - two) / 2
    turning = max(abs(one), abs(two)) - abs(branch)
    if abs(branch) <= width or abs(turning) <= TURNING_SHARE * abs(branch):
        return
    found = signed(bores, np.array([[one, two, branch]]))[:, 0]
    along = tee_losses(one, two, branch, body, body, bores[2], 1000.0)
    wanted = [
        float(loss) * (1 if flow < 0 else -1) for loss, flow in zip(along, (one, two, branch), strict=True)
    ]
    np.testing.assert_allclose(found, wanted, rtol=1e-12)


@given(
    bores=st.tuples(BORES, BORES, BORES),
    one=st.floats(-2, 2),
    two=st.floats(-2, 2),
    small=st.sampled_from([1.0, 1.0, 0.03, 1e-3, 0.0]),
    signs=st.tuples(*[st.sampled_from([1, -1])] * 3),
    lagged=st.booleans(),
    k=st.sampled_from([{}, {}, {"k_run": 0.4}, {"k_branch": 1.5}]),
)
def test_terms_are_what_the_check_works_out(
    bores: tuple[float, float, float],
    one: float,
    two: float,
    small: float,
    signs: tuple[int, int, int],
    lagged: bool,
    k: dict[str, float],
) -> None:
    """The check writes the tees out once more, one at a time, with the coefficients of ``fluids``."""
    branch = small * (-one - two)
    into = np.array([one, -one - branch, branch])
    given_ = tee_of(bores, signs=signs, lagged=lagged, **k)
    flow = into * np.array(signs)
    terms = TeeTable(CompiledNetwork(given_)).terms(flow)
    found = terms.square * flow * np.abs(flow) + terms.constant
    checked = added_by_tees(given_, {f"R-{number}": x for number, x in enumerate(flow, start=1)})
    wanted = [checked[f"R-{number}"] for number in (1, 2, 3)]
    np.testing.assert_allclose(found, wanted, rtol=1e-9, atol=1e-9 * np.abs(wanted).max() + 1e-12)


def test_a_leg_without_a_pipe() -> None:
    """Two pipes on a tee: at its run nearly nothing is lost, round its corner about a velocity head."""
    head = velocity_head(np.array(1.0), np.array(0.032), 1000.0)
    links = (
        pipe("R-1", "e1", "T", length=5, bore=0.032),
        pipe("R-2", "T", "e2", length=5, bore=0.032),
    )
    lost = []
    for legs, signs in ((("R-1", "R-2", ""), (1, -1, 1)), (("R-1", "", "R-2"), (1, 1, -1))):
        given = network(*links, held={"e1": 0.0, "e2": 0.0}, tees=(TeeJoint("TE-1", legs, signs),))
        table = TeeTable(CompiledNetwork(given))
        assert table.bore[:, 0].tolist() == [0.032] * 3
        terms = table.terms(np.array([1.0, 1.0]))
        lost.append(float((terms.square + terms.constant).sum()))
    straight, corner = lost
    assert abs(straight) < 0.05 * head
    assert 0.8 * head < corner < 2.0 * head


def test_constant_coefficients_are_plain_squares() -> None:
    table = TeeTable(CompiledNetwork(tee_of(EQUAL, signs=(1, -1, -1), lagged=False)))
    terms = table.terms(np.array([1.0, 0.7, 0.3]))
    assert terms.constant.tolist() == pytest.approx([0.0, 0.0, 0.0], abs=1e-9)
    again = table.terms(np.array([2.0, 1.4, 0.6]))
    np.testing.assert_allclose(terms.square, again.square, rtol=1e-12)
    assert (terms.square[1:] > 0).all()


def test_losses_grow_with_the_square_of_all_flows() -> None:
    """At one split everything goes with the square of the flow."""
    table = TeeTable(CompiledNetwork(tee_of(EQUAL, signs=(1, -1, -1))))

    def added(flow: Array) -> Array:
        terms: TeeTerms = table.terms(flow)
        return terms.square * flow * np.abs(flow) + terms.constant

    for flow in (np.array([1.0, 0.7, 0.3]), np.array([1.0, 0.999, 0.001]), np.array([1.0, 0.02, 0.98])):
        np.testing.assert_allclose(added(3 * flow), 9 * added(flow), rtol=1e-9)


def test_other_bores_and_rows_of_flows() -> None:
    given = WITH_TEES
    compiled = CompiledNetwork(given)
    table = TeeTable(compiled)
    assert table.count >= 6
    rng = np.random.default_rng(1)
    flow = rng.normal(0, 1, (4, compiled.structure.links))
    bore = compiled.parameters.column("bore") * rng.uniform(0.7, 1.5, (4, compiled.structure.passive.stop))
    together = table.with_bores_of(bore).terms(flow)
    same_bores = table.terms(flow)
    for row in range(4):
        alone = table.with_bores_of(bore[row]).terms(flow[row])
        np.testing.assert_allclose(together.square[row], alone.square, rtol=1e-12)
        np.testing.assert_allclose(together.constant[row], alone.constant, rtol=1e-12, atol=1e-9)
        plain = table.terms(flow[row])
        np.testing.assert_allclose(same_bores.square[row], plain.square, rtol=1e-12)
        np.testing.assert_allclose(same_bores.constant[row], plain.constant, rtol=1e-12, atol=1e-9)
    assert not np.allclose(together.square, same_bores.square)


def test_without_tees_nothing_is_added() -> None:
    compiled = CompiledNetwork(random_network(12, "mesh", 6, tees=False))
    terms = TeeTable(compiled).terms(np.ones((2, compiled.structure.links)))
    assert terms.square.shape == (2, compiled.structure.passive.stop)
    assert not terms.square.any() and not terms.constant.any()


def test_slopes_with_flows_and_bores_are_those_of_finite_differences() -> None:
    given = WITH_TEES
    compiled = CompiledNetwork(given)
    table, solution = TeeTable(compiled), newton(compiled)
    links, passive = compiled.structure.links, compiled.structure.passive.stop

    def added(flow: Array, of: TeeTable = table) -> Array:
        terms = of.terms(flow)
        own = flow[..., :passive]
        return terms.square * own * np.abs(own) + terms.constant

    terms = table.terms(solution.flow)
    own = np.zeros(links)
    own[:passive] = 2 * terms.square * np.abs(solution.flow[:passive])
    coupling = table.coupling(solution.flow, terms, links).toarray() + np.diag(own)
    by_bore = table.bore_slopes(solution.flow, links).toarray()
    bore = compiled.parameters.column("bore")
    size = np.abs(coupling).max()
    for leg in np.unique(table.link[table.present]):
        step = 1e-5 * np.abs(solution.flow).max()
        shift = np.zeros(links)
        shift[leg] = step
        slope = (added(solution.flow + shift) - added(solution.flow - shift)) / (2 * step)
        np.testing.assert_allclose(coupling[:passive, leg], slope, rtol=1e-3, atol=1e-4 * size)
        wide, narrow = bore.copy(), bore.copy()
        wide[leg] *= 1 + 1e-5
        narrow[leg] *= 1 - 1e-5
        rise = added(solution.flow, table.with_bores_of(wide)) - added(
            solution.flow, table.with_bores_of(narrow)
        )
        wanted = rise / (2e-5 * bore[leg])
        np.testing.assert_allclose(
            by_bore[:passive, leg], wanted, rtol=1e-3, atol=1e-3 * np.abs(by_bore).max()
        )


def test_the_liquid_at_the_tee_counts() -> None:
    assert WATER.density == 1000.0
    heavy = signed(EQUAL, flows(1.0, np.array([-0.3])))
    assert heavy[2][0] > 0.0
