# SPDX-License-Identifier: MIT
"""Pump curves: through their points, falling, beyond their ends, and at other speeds."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from solver.errors import PartError
from solver.parts.pump_curve import SMALLEST_SPEED, PumpCurve

FLOW = [0.0, 1e-3, 2e-3, 3e-3]
CURVE = PumpCurve(FLOW, [10.0, 9.0, 6.0, 1.0], [0.1, 0.55, 0.6, 0.3], [1.0, 1.2, 2.0, 3.5])


@st.composite
def curves(draw: st.DrawFn) -> PumpCurve:
    """Return any pump curve of 3 to 8 points, humps included."""
    widths = draw(st.lists(st.floats(1e-4, 5e-3), min_size=2, max_size=7))
    flow = np.concatenate([[draw(st.sampled_from([0.0, 1e-4]))], np.cumsum(widths) + 1e-4])
    first = draw(st.floats(1.0, 50.0))
    shares = draw(st.lists(st.floats(-0.2, 1.2), min_size=len(widths), max_size=len(widths)))
    return PumpCurve(flow, [first, *(first * share for share in shares)])


def test_through_its_points() -> None:
    for flow, head, efficiency, npsh in zip(
        FLOW, (10.0, 9.0, 6.0, 1.0), (None, 0.55, 0.6, 0.3), (1.0, 1.2, 2.0, 3.5), strict=True
    ):
        assert CURVE.head(flow) == pytest.approx(head)
        assert CURVE.npsh_required_at(flow) == pytest.approx(npsh)
        if efficiency is None:
            assert CURVE.efficiency_at(flow) is None  # at rest nothing is delivered
        else:
            assert CURVE.efficiency_at(flow) == pytest.approx(efficiency)


@given(curves())
def test_head_falls_everywhere(curve: PumpCurve) -> None:
    flows = np.linspace(-2 * curve.last_flow, 3 * curve.last_flow, 1500)
    heads, slopes = curve.head_curve(flows)
    assert (np.diff(heads) < 0).all()
    assert (slopes <= 0).all()


@given(curves())
def test_ends_go_on_with_value_and_slope(curve: PumpCurve) -> None:
    for end in (curve.flow[0], curve.flow[-1]):
        step = 1e-9 * curve.last_flow
        heads, slopes = curve.head_curve(np.array([end - step, end + step]))
        size = abs(curve.head_points).max()
        assert heads[1] == pytest.approx(heads[0], abs=1e-6 * size)
        assert slopes[1] == pytest.approx(slopes[0], rel=1e-6, abs=1e-6 * size / curve.last_flow)


@given(curves(), st.floats(-1.0, 3.0), st.floats(0.05, 2.0))
def test_affinity(curve: PumpCurve, share: float, speed: float) -> None:
    """head(n q, n) = n**2 head(q, 1)."""
    flow = share * curve.last_flow
    assert curve.head(speed * flow, speed) == pytest.approx(speed**2 * curve.head(flow), rel=1e-9, abs=1e-9)


def test_efficiency_and_npsh_go_with_flow_over_speed() -> None:
    assert CURVE.efficiency_at(1e-3, 0.5) == pytest.approx(0.6)
    assert CURVE.npsh_required_at(1e-3, 0.5) == pytest.approx(0.25 * 2.0)


def test_beyond_its_points_efficiency_keeps_its_last_value() -> None:
    assert CURVE.efficiency_at(5e-3) == pytest.approx(0.3)
    assert CURVE.npsh_required_at(-1e-3) == pytest.approx(1.0)


def test_beyond_its_ends_head_goes_on_by_a_square() -> None:
    slope = float(CURVE.head_curve(3e-3)[1])
    assert CURVE.square == pytest.approx(10.0 / 3e-3**2)
    assert CURVE.head(4e-3) == pytest.approx(1.0 + slope * 1e-3 - CURVE.square * 1e-6)
    at_rest = float(CURVE.head_curve(0.0)[1])
    assert CURVE.head(-1e-3) == pytest.approx(10.0 - at_rest * 1e-3 + CURVE.square * 1e-6)


@pytest.mark.parametrize("speed", [0.0, SMALLEST_SPEED / 2])
def test_stopped_it_is_a_resistance(speed: float) -> None:
    assert CURVE.head(2e-3, speed) == pytest.approx(-CURVE.square * 4e-6)
    assert CURVE.head(-2e-3, speed) == pytest.approx(CURVE.square * 4e-6)
    assert CURVE.efficiency_at(2e-3, speed) is None
    assert CURVE.npsh_required_at(2e-3, speed) is None


def test_a_hump_is_cut_off_from_above() -> None:
    humped = PumpCurve([0.0, 1e-3, 2e-3, 3e-3], [9.0, 9.8, 9.5, 4.0])
    assert humped.humped
    np.testing.assert_allclose(humped.head_points, [9.0, 9.0, 9.0, 4.0], atol=1e-3)
    assert (np.diff(humped.head_points) < 0).all()
    np.testing.assert_array_equal(humped.given_head, [9.0, 9.8, 9.5, 4.0])
    assert not CURVE.humped


@given(curves())
def test_the_curve_used_is_nowhere_above_the_points_given(curve: PumpCurve) -> None:
    assert (curve.head_points <= curve.given_head + 1e-12).all()
    assert curve.humped or np.abs(curve.head_points - curve.given_head).max() < 1e-4 * curve.given_head[0]


def test_best_flow_is_where_efficiency_is_greatest() -> None:
    best = CURVE.best_flow
    assert best is not None
    fine = np.linspace(0.0, 3e-3, 3001)
    efficiencies = [CURVE.efficiency_at(flow) or 0.0 for flow in fine]
    assert best == pytest.approx(fine[int(np.argmax(efficiencies))], abs=1e-5)


def test_what_is_not_given_is_not_known() -> None:
    bare = PumpCurve(FLOW, [10.0, 9.0, 6.0, 1.0])
    assert bare.best_flow is None
    assert bare.efficiency_at(1e-3) is None
    assert bare.npsh_required_at(1e-3) is None


@pytest.mark.parametrize("flow", [-2e-3, 0.0, 1e-3, 2e-3, 5e-3])
def test_a_quadratic_curve_is_exact(flow: float) -> None:
    curve = PumpCurve.quadratic(12.0, 8e5, 3e-3)
    assert curve.head(flow) == pytest.approx(12.0 - 8e5 * flow * abs(flow), rel=1e-14)
    assert curve.last_flow == 3e-3
    assert not curve.humped


@pytest.mark.parametrize(
    ("flow", "head", "problem"),
    [
        ([0.0, 1.0], [5.0, 1.0], "needs at least 3 points of flow and head; found 2"),
        ([0.0, 1.0, 2.0], [5.0, 1.0], "needs at least 3 points"),
        ([0.0, 1.0, 1.0], [5.0, 4.0, 1.0], "must rise from point to point"),
        ([0.0, 2.0, 1.0], [5.0, 4.0, 1.0], "must rise from point to point"),
        ([-1.0, 1.0, 2.0], [5.0, 4.0, 1.0], "from 0 or more"),
        ([0.0, 1.0, float("nan")], [5.0, 4.0, 1.0], "not a finite number"),
        ([0.0, 1.0, 2.0], [float("inf"), 4.0, 1.0], "not a finite number"),
        ([0.0, 1.0, 2.0], [0.0, -1.0, -2.0], "must be above 0; found 0 m"),
    ],
)
def test_what_is_no_curve_is_refused(flow: Any, head: Any, problem: str) -> None:
    with pytest.raises(PartError, match=problem):
        PumpCurve(flow, head)
