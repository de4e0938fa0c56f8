# SPDX-License-Identifier: MIT
"""Friction of a straight pipe against ``fluids``, and its blend between laminar and turbulent flow.

The exact Colebrook grid and printed friction factors are in ``tests/solver/network/test_references.py``.
"""

from __future__ import annotations

import fluids
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from solver.parts.pipe import LAMINAR_END, TURBULENT_START, blend, colebrook, friction_number

ROUGHNESS = st.floats(0.0, 0.05)


def number(reynolds: object, roughness: float) -> tuple[np.ndarray, np.ndarray]:
    """Return f*Re**2 and its slope at any Reynolds numbers for one roughness."""
    rough = np.array([roughness])
    re_ = np.atleast_1d(np.asarray(reynolds, dtype=float))[:, None]
    value, slope = friction_number(re_, rough, blend(rough))
    return value[:, 0], slope[:, 0]


@pytest.mark.reference
@given(reynolds=st.floats(4000.0, 1e8), roughness=ROUGHNESS)
def test_turbulent_friction_is_that_of_fluids(reynolds: float, roughness: float) -> None:
    """``fluids.friction.Colebrook``: the exact solution of the implicit equation (Colebrook 1939)."""
    wanted = fluids.friction.Colebrook(reynolds, roughness)
    factor, _ = colebrook(np.array(reynolds), np.array(roughness))
    assert float(factor) == pytest.approx(wanted, rel=1e-12)


@given(reynolds=st.floats(4000.0, 1e8), roughness=ROUGHNESS)
def test_the_slope_is_that_of_the_equation(reynolds: float, roughness: float) -> None:
    step = 1e-5 * reynolds
    at, slope = number([reynolds, reynolds + step, reynolds + 2 * step], roughness)
    forward = (-3 * at[0] + 4 * at[1] - at[2]) / (2 * step)
    assert slope[0] == pytest.approx(forward, rel=1e-6)


@given(roughness=ROUGHNESS)
def test_no_jump_in_value_or_slope(roughness: float) -> None:
    for edge in (LAMINAR_END, TURBULENT_START):
        value, slope = number([edge * (1 - 1e-12), edge * (1 + 1e-12)], roughness)
        assert value[1] == pytest.approx(value[0], rel=1e-9)
        assert slope[1] == pytest.approx(slope[0], rel=1e-9)


@given(roughness=ROUGHNESS)
def test_the_number_rises_all_the_way(roughness: float) -> None:
    value, slope = number(np.linspace(0.0, 8000.0, 801), roughness)
    assert (np.diff(value) > 0).all()
    assert (slope > 0).all()


@given(reynolds=st.floats(0.0, 2000.0), roughness=ROUGHNESS)
def test_laminar_friction_is_64_over_re(reynolds: float, roughness: float) -> None:
    value, slope = number(reynolds, roughness)
    assert value[0] == 64.0 * reynolds
    assert slope[0] == 64.0


def test_at_rest_there_is_no_singular_point() -> None:
    value, slope = number(0.0, 1e-3)
    assert (value[0], slope[0]) == (0.0, 64.0)


def test_rows_of_variations_may_have_their_own_roughness() -> None:
    rough = np.array([[0.0, 1e-3], [1e-4, 0.02]])
    reynolds = np.array([[500.0, 3000.0], [50_000.0, 2500.0]])
    together, slopes = friction_number(reynolds, rough, blend(rough))
    for row in range(2):
        for pipe in range(2):
            value, slope = number(reynolds[row, pipe], rough[row, pipe])
            assert together[row, pipe] == pytest.approx(value[0], rel=1e-14)
            assert slopes[row, pipe] == pytest.approx(slope[0], rel=1e-14)
