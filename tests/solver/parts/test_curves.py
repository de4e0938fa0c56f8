# SPDX-License-Identifier: MIT
"""Curves through points: monotone between them, defined beyond them, alone or in a bank."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from solver.parts.curves import Curve, CurveBank, monotone_curve, monotone_pieces

steps = st.lists(st.floats(0.01, 10.0), min_size=2, max_size=9)
rises = st.floats(0.0, 5.0).map(lambda rise: round(rise, 4))


@st.composite
def rising_points(draw: st.DrawFn) -> tuple[np.ndarray, np.ndarray]:
    widths = draw(steps)
    heights = draw(st.lists(rises, min_size=len(widths), max_size=len(widths)))
    return np.cumsum(widths), np.cumsum(heights)


@given(rising_points())
def test_a_curve_goes_through_its_points_and_never_falls(points: tuple[np.ndarray, np.ndarray]) -> None:
    x, y = points
    curve = monotone_curve(x, y)
    np.testing.assert_allclose(curve(x)[0], y, rtol=1e-9, atol=1e-9)
    fine = np.linspace(x[0], x[-1], 500)
    values, slopes = curve(fine)
    assert (np.diff(values) >= -1e-9).all()
    assert (slopes >= -1e-9).all()
    assert values.min() >= y[0] - 1e-9 and values.max() <= y[-1] + 1e-9


@given(rising_points(), st.floats(0.0, 1.0))
def test_slopes_are_those_of_finite_differences(points: tuple[np.ndarray, np.ndarray], place: float) -> None:
    x, y = points
    curve = monotone_curve(x, y)
    at = x[0] + place * (x[-1] - x[0])
    step = 1e-6 * (x[-1] - x[0])
    if np.abs(x - at).min() < 2 * step:
        return
    difference = (curve(at + step)[0] - curve(at - step)[0]) / (2 * step)
    assert float(curve(at)[1]) == pytest.approx(float(difference), rel=1e-4, abs=1e-6)


@given(rising_points(), st.floats(0.1, 100.0))
def test_outside_its_points_a_curve_keeps_its_end_values(
    points: tuple[np.ndarray, np.ndarray], beyond: float
) -> None:
    x, y = points
    curve = monotone_curve(x, y)
    values, slopes = curve([x[0] - beyond, x[-1] + beyond])
    np.testing.assert_allclose(values, [y[0], y[-1]])
    np.testing.assert_array_equal(slopes, 0.0)


def test_two_points_are_a_straight_line() -> None:
    curve = monotone_curve([1.0, 3.0], [2.0, 6.0])
    values, slopes = curve([1.5, 2.5])
    np.testing.assert_allclose(values, [3.0, 5.0])
    np.testing.assert_allclose(slopes, 2.0)


def test_ends_keep_a_least_slope() -> None:
    """A pump's head that comes down level at its end still falls a little there."""
    x, y = np.array([0.0, 1.0, 2.0]), np.array([10.0, 10.0 - 1e-6, 4.0])
    _, slopes = monotone_pieces(x, y, least_end_slope=0.05)
    chords = np.diff(y) / np.diff(x)
    assert abs(slopes[0]) >= 0.05 * abs(chords[0])
    assert abs(slopes[-1]) >= 0.05 * abs(chords[-1])


def test_a_bank_is_its_curves() -> None:
    curves = [
        monotone_curve([0.0, 1.0, 2.0, 4.0], [0.0, 1.0, 5.0, 6.0]),
        Curve([0.0], [[5.0, 0.0, 2.0, 0.0], [5.0, 0.0, -2.0, 0.0]], [0.0, 0.0]),
        monotone_curve([1.0, 2.0], [0.0, 9.0]),
    ]
    bank = CurveBank(curves)
    x = np.random.default_rng(3).uniform(-1, 5, (7, 3))
    values, slopes = bank(x)
    for column, curve in enumerate(curves):
        np.testing.assert_array_equal(values[:, column], curve(x[:, column])[0])
        np.testing.assert_array_equal(slopes[:, column], curve(x[:, column])[1])
    some, _ = bank.only([2, 0])(x[:, :2])
    np.testing.assert_array_equal(some[:, 0], curves[2](x[:, 0])[0])
    np.testing.assert_array_equal(some[:, 1], curves[0](x[:, 1])[0])


def test_a_bank_of_none() -> None:
    values, slopes = CurveBank([])(np.zeros((4, 0)))
    assert values.shape == slopes.shape == (4, 0)
