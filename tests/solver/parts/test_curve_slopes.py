# SPDX-License-Identifier: MIT
"""Slopes of monotone curves against SciPy's, which implements the same paper independently."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.interpolate import PchipInterpolator

from solver.parts.curves import monotone_curve, monotone_pieces

figures = st.floats(-1e3, 1e3).map(lambda y: round(y, 6))
points = st.lists(st.tuples(st.floats(0.015625, 10.0), figures), min_size=3, max_size=12)


@given(points)
def test_slopes_are_those_of_scipy(steps: list[tuple[float, float]]) -> None:
    """``scipy.interpolate.PchipInterpolator`` (Fritsch & Carlson 1980, weights of Fritsch & Butland 1984)."""
    x = np.cumsum([width for width, _y in steps])
    y = np.array([y for _width, y in steps])
    _cubics, slopes = monotone_pieces(x, y)
    expected = PchipInterpolator(x, y).derivative()(x)
    np.testing.assert_allclose(slopes, expected, rtol=1e-9, atol=1e-9 * np.abs(expected).max(initial=1.0))


@pytest.mark.parametrize("y", [(1.0, 1.0, 1.0), (0.0, 1.0, 0.0), (0.0, 1.0, 1.0), (3.0, 2.0, -9.0)])
def test_level_and_turning_points(y: tuple[float, ...]) -> None:
    x = np.array([0.0, 1.0, 3.0])
    _cubics, slopes = monotone_pieces(x, np.array(y))
    np.testing.assert_allclose(slopes, PchipInterpolator(x, y).derivative()(x), atol=1e-12)


def test_values_between_the_points_are_scipy_s_too() -> None:
    x, y = np.array([0.0, 0.3, 0.6, 0.9]), np.array([8.0, 7.2, 5.0, 1.5])
    between = np.linspace(0.0, 0.9, 91)
    np.testing.assert_allclose(monotone_curve(x, y)(between)[0], PchipInterpolator(x, y)(between), rtol=1e-12)
