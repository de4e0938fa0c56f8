# SPDX-License-Identifier: MIT
"""Tees against TP-410's worked examples and the fluids library, one tee at a time."""

import math

import numpy as np
import pytest
from fluids import fittings as library
from hypothesis import assume, given
from hypothesis import strategies as st

from solver.parts.fittings import friction_factor_turbulent
from solver.parts.tee import tee_losses, tee_losses_constant, velocity_head

BORES = st.floats(0.006, 0.4)
SHARES = st.floats(0.0, 1.0)
FLOWS = st.floats(1e-6, 100.0)
RHO = 1010.0


def head(flow: float, bore: float) -> float:
    return RHO / 2 * (flow / RHO / (math.pi / 4 * bore**2)) ** 2


def losses(f1, f2, fb, d1, d2, db, density=RHO) -> tuple[float, float, float]:
    return tuple(float(loss) for loss in tee_losses(f1, f2, fb, d1, d2, db, density))


@pytest.mark.reference
@given(whole=FLOWS, share=SHARES, bore=BORES, other=BORES, branch=BORES, swap=st.booleans())
def test_diverging_tees_are_the_librarys(whole, share, bore, other, branch, swap):
    aside, straight = share * whole, whole - share * whole
    assume(straight < whole)  # with all of it straight on, either end of the run is the combined leg
    k_run = library.K_run_diverging_Crane(bore, branch, straight, aside)
    k_branch = library.K_branch_diverging_Crane(bore, branch, straight, aside)
    wanted = (0.0, k_run * head(whole, bore), k_branch * head(whole, bore))
    if swap:
        found = losses(-straight, whole, -aside, other, bore, branch)
        wanted = (wanted[1], wanted[0], wanted[2])
    else:
        found = losses(whole, -straight, -aside, bore, other, branch)
    assert found == pytest.approx(wanted, rel=1e-9, abs=1e-9 * head(whole, bore))


@pytest.mark.reference
@given(whole=FLOWS, share=SHARES, bore=BORES, other=BORES, branch=BORES, swap=st.booleans())
def test_converging_tees_are_the_librarys(whole, share, bore, other, branch, swap):
    aside, straight = share * whole, whole - share * whole
    assume(straight < whole)  # with all of it straight on, either end of the run is the combined leg
    k_run = library.K_run_converging_Crane(bore, branch, straight, aside)
    k_branch = library.K_branch_converging_Crane(bore, branch, straight, aside)
    wanted = (0.0, k_run * head(whole, bore), k_branch * head(whole, bore))
    if swap:
        found = losses(straight, -whole, aside, other, bore, branch)
        wanted = (wanted[1], wanted[0], wanted[2])
    else:
        found = losses(-whole, straight, aside, bore, other, branch)
    assert found == pytest.approx(wanted, rel=1e-9, abs=1e-9 * head(whole, bore))


@pytest.mark.reference
def test_the_worked_example_of_a_converging_tee():
    # Source: TP-410 2009, example 7-35: DN100 schedule 40, 1135 L/min straight, 380 L/min from the branch:
    # K_branch = -0.0403 (printed from rounded intermediates), K_run = 0.326.
    straight, aside = 1135 / 6e4 * RHO, 380 / 6e4 * RHO
    run, combined, branch = losses(straight, -straight - aside, aside, 0.1023, 0.1023, 0.1023)
    dynamic = head(straight + aside, 0.1023)
    assert combined == 0.0
    assert branch / dynamic == pytest.approx(-0.0403, abs=5e-4)
    assert run / dynamic == pytest.approx(0.3258, abs=5e-4)


@given(flow=FLOWS, share=SHARES, d1=BORES, d2=BORES, db=BORES)
@pytest.mark.parametrize("sign", [1, -1])
def test_from_or_into_the_branch_each_leg_takes_60_ft(sign, flow, share, d1, d2, db):
    # Source: TP-410 A-29, standard tees, flow through the branch.
    f1 = -sign * share * flow
    f2 = -sign * (1.0 - share) * flow
    found = losses(f1, f2, sign * (abs(f1) + abs(f2)) * (1 + 1e-12), d1, d2, db)
    through = [60 * library.ft_Crane(bore) * head(f, bore) for f, bore in ((f1, d1), (f2, d2))]
    assert found == pytest.approx((*through, 0.0), rel=1e-9)


@given(f1=st.floats(-5, 5), f2=st.floats(-5, 5), d1=BORES, d2=BORES, db=BORES)
def test_constant_coefficients(f1, f2, d1, d2, db):
    # Source: TP-410 A-29, standard tees: 20 fT through the run, 60 fT through the branch.
    fb = -f1 - f2
    *_, second, largest = sorted((abs(f1), abs(f2), abs(fb)))
    assume(second < largest * (1.0 - 1e-8))  # of equal legs, see the test of rounding
    found = tee_losses_constant(f1, f2, fb, d1, d2, db, RHO)
    combined = int(np.argmax(np.abs([f1, f2, fb])))
    for leg, (flow, bore) in enumerate(((f1, d1), (f2, d2), (fb, db))):
        n = 60 if leg == 2 or combined == 2 else 20
        wanted = 0.0 if leg == combined else n * library.ft_Crane(bore) * head(flow, bore)
        assert float(found[leg]) == pytest.approx(wanted, rel=1e-9, abs=1e-300)


def test_given_coefficients_replace_the_calculated():
    flows = (np.array([2.0, 2.0, -1.0]), np.array([-1.5, -1.5, -1.0]), np.array([-0.5, -0.5, 2.0]))
    bores = (np.full(3, 0.03), np.full(3, 0.025), np.full(3, 0.02))
    plain = tee_losses_constant(*flows, *bores, RHO)
    k_run, k_branch = np.array([0.7, np.nan, 0.7]), np.array([np.nan, 1.3, 1.3])
    found = tee_losses_constant(*flows, *bores, RHO, k_run=k_run, k_branch=k_branch)
    assert found[0] == pytest.approx([0.0, 0.0, 1.3 * head(1.0, 0.03)])
    assert found[1] == pytest.approx([0.7 * head(1.5, 0.025), plain[1][1], 1.3 * head(1.0, 0.025)])
    assert found[2] == pytest.approx([plain[2][0], 1.3 * head(0.5, 0.02), 0.0])


@pytest.mark.parametrize("function", [tee_losses, tee_losses_constant])
def test_a_tee_at_rest_loses_nothing(function):
    for loss in function(0.0, 0.0, 0.0, 0.02, 0.02, 0.015, RHO):
        assert float(loss) == 0.0


@pytest.mark.parametrize("function", [tee_losses, tee_losses_constant])
@given(
    flows=st.tuples(*[st.floats(-1e3, 1e3)] * 3),
    bores=st.tuples(BORES, BORES, BORES),
)
def test_losses_are_finite_even_where_flows_do_not_balance(function, flows, bores):
    assert np.isfinite(np.array(function(*flows, *bores, RHO))).all()


@pytest.mark.parametrize(
    ("resting", "moving"),
    [
        (2, (1.0, -1.0, 0.0)),
        (2, (-1.0, 1.0, 0.0)),
        (1, (1.0, 0.0, -1.0)),
        (1, (-1.0, 0.0, 1.0)),
        (0, (0.0, 1.0, -1.0)),
        (0, (0.0, -1.0, 1.0)),
    ],
)
@pytest.mark.parametrize("branch", [0.006, 0.014, 0.02])
def test_losses_go_on_smoothly_to_a_leg_at_rest(resting, moving, branch):
    at_rest = np.array(losses(*moving, 0.02, 0.02, branch))
    assert np.isfinite(at_rest).all()
    # The side on which the combined leg stays the same: the resting leg parts from the larger flow.
    combined = int(np.argmax(np.abs(moving)))
    nearly = np.array(moving)
    nearly[resting] = -math.copysign(1e-9, moving[combined])
    nearly[combined] += math.copysign(1e-9, moving[combined])
    assert losses(*nearly, 0.02, 0.02, branch) == pytest.approx(at_rest, rel=1e-6, abs=1e-6 * head(1.0, 0.02))


@given(f1=st.floats(-5, 5), f2=st.floats(-5, 5), d1=BORES, d2=BORES, db=BORES)
def test_turning_the_run_end_for_end_changes_nothing(f1, f2, d1, d2, db):
    if abs(f1) == abs(f2):
        f2 *= 0.9
    here = losses(f1, f2, -f1 - f2, d1, d2, db)
    there = losses(f2, f1, -f1 - f2, d2, d1, db)
    assert here == (there[1], there[0], there[2])


def test_batches_of_flows_share_the_bores():
    rng = np.random.default_rng(1)
    bores = rng.uniform(0.01, 0.05, (3, 4))
    f1, f2 = rng.normal(size=(2, 5, 4))
    for function in (tee_losses, tee_losses_constant):
        found = np.array(function(f1, f2, -f1 - f2, *bores, np.full(4, RHO)))
        assert found.shape == (3, 5, 4)
        for batch in range(5):
            for tee in range(4):
                a, b = f1[batch, tee], f2[batch, tee]
                single = function(a, b, -a - b, *bores[:, tee], RHO)
                assert found[:, batch, tee] == pytest.approx([float(x) for x in single], rel=1e-12)


def test_friction_factors_kept_from_call_to_call_stay_right():
    bores = np.array([0.02, 0.03])
    flows = (np.array([-1.0, -1.0]), np.array([-1.0, -1.0]), np.array([2.0, 2.0]))
    first = tee_losses(*flows, bores, bores, bores, RHO)[0]
    bores[0] = 0.025
    second = tee_losses(*flows, bores, bores, bores, RHO)[0]
    wanted = 60 * friction_factor_turbulent(bores) * velocity_head(np.array([1.0, 1.0]), bores, RHO)
    assert second == pytest.approx(wanted, rel=1e-12)
    assert first[0] != second[0]
    assert first[1] == second[1]


@pytest.mark.parametrize("slip", [-1e-15, 0.0, 1e-15])
@pytest.mark.parametrize(
    ("flows", "combined"),
    [((1.0, -1.0, 0.0), 0), ((-1.0, 1.0, 0.0), 0), ((1.0, 0.0, -1.0), 0), ((0.0, -1.0, 1.0), 1)],
)
def test_rounding_does_not_move_a_constant_loss_from_leg_to_leg(slip, flows, combined):
    resting = flows.index(0.0)
    exact = np.array(tee_losses_constant(*flows, 0.03, 0.025, 0.02, RHO))
    assert exact[combined] == exact[resting] == 0.0
    assert np.count_nonzero(exact) == 1
    rounded = [flow * (1.0 + slip) if leg == combined else flow for leg, flow in enumerate(flows)]
    assert np.array(tee_losses_constant(*rounded, 0.03, 0.025, 0.02, RHO)) == pytest.approx(exact, rel=1e-9)
