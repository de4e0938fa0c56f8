# SPDX-License-Identifier: MIT
"""Drops of coils and exchangers: from a rated point or from measured ones, in water or another liquid."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from solver.errors import PartError
from solver.parts.rated_drop import RATED_DENSITY, RATED_VISCOSITY, in_liquid, power_law


@given(flow=st.floats(0.01, 10.0), drop=st.floats(0.5, 100.0), exponent=st.floats(1.0, 2.0))
def test_at_its_rated_flow_it_takes_its_rated_drop(flow: float, drop: float, exponent: float) -> None:
    coefficient, n = power_law(flow, drop, exponent)
    assert n == exponent
    assert coefficient * (flow * 1e-3) ** n == pytest.approx(drop * 1e3)


def test_half_the_flow_takes_a_part_of_it_by_the_exponent() -> None:
    coefficient, exponent = power_law(0.2, 15.0, 1.8)
    assert coefficient * (0.1e-3) ** exponent == pytest.approx(15e3 * 0.5**1.8)


@given(c=st.floats(0.1, 50.0), n=st.floats(1.05, 1.95))
def test_points_of_a_power_law_are_found_again(c: float, n: float) -> None:
    points = tuple((flow, c * flow**n) for flow in (0.1, 0.2, 0.35, 0.5))
    coefficient, exponent = power_law(1.0, 99.0, 1.8, points)
    assert exponent == pytest.approx(n)
    assert coefficient * (0.3e-3) ** exponent == pytest.approx(1e3 * c * 0.3**n)


def test_scattered_points_are_fitted_by_least_squares() -> None:
    points = ((0.1, 2.0), (0.2, 6.5), (0.3, 14.0))
    coefficient, exponent = power_law(1.0, 99.0, 1.8, points)
    x = np.log([flow * 1e-3 for flow, _ in points])
    y = np.log([drop * 1e3 for _, drop in points])
    slope, offset = np.polyfit(x, y, 1)
    assert (exponent, coefficient) == (pytest.approx(slope), pytest.approx(math.exp(offset)))


@pytest.mark.parametrize(("steep", "held"), [(3.0, 2.0), (0.4, 1.0)])
def test_a_fitted_exponent_is_held_between_1_and_2(steep: float, held: float) -> None:
    points = tuple((flow, 10 * flow**steep) for flow in (0.1, 0.2, 0.4))
    assert power_law(1.0, 99.0, 1.8, points)[1] == held


def test_one_point_alone_does_not_replace_the_rated_one() -> None:
    assert power_law(0.2, 15.0, 1.8, ((0.1, 99.0),)) == power_law(0.2, 15.0, 1.8)


def test_points_at_one_flow_are_refused() -> None:
    with pytest.raises(PartError, match="must not all be at one flow"):
        power_law(0.2, 15.0, 1.8, ((0.1, 4.0), (0.1, 5.0)))


def test_in_rated_water_only_the_units_change() -> None:
    coefficient, exponent = power_law(0.2, 15.0, 1.8)
    by_mass = in_liquid(coefficient, exponent, RATED_DENSITY, RATED_VISCOSITY)
    assert by_mass * (0.2e-3 * RATED_DENSITY) ** exponent == pytest.approx(15e3)


@given(n=st.floats(1.0, 2.0), density=st.floats(950.0, 1150.0), viscosity=st.floats(5e-4, 2e-2))
def test_another_liquid_by_its_reynolds_number(n: float, density: float, viscosity: float) -> None:
    """dp = f rho q**2 with f going with (rho q/mu)**(n - 2), at one volume flow."""
    volume = 0.3e-3
    coefficient, _ = power_law(0.2, 15.0, n)
    in_water = coefficient * volume**n
    found = in_liquid(coefficient, n, density, viscosity) * (density * volume) ** n
    friction = ((density / RATED_DENSITY) / (viscosity / RATED_VISCOSITY)) ** (n - 2.0)
    assert found == pytest.approx(in_water * (density / RATED_DENSITY) * friction)


def test_square_and_linear_laws_feel_density_or_viscosity_alone() -> None:
    volume = 0.2e-3
    square, linear = power_law(0.2, 15.0, 2.0)[0], power_law(0.2, 15.0, 1.0)[0]
    assert in_liquid(square, 2.0, 1050.0, 5e-3) * (1050 * volume) ** 2 == pytest.approx(
        15e3 * 1050 / RATED_DENSITY
    )
    assert in_liquid(linear, 1.0, 1050.0, 5e-3) * (1050 * volume) == pytest.approx(
        15e3 * 5e-3 / RATED_VISCOSITY
    )
