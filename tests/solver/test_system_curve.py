# SPDX-License-Identifier: MIT
"""The loop's curve as a pump meets it."""

from __future__ import annotations

import pytest

from solver.change import Change
from solver.solve import solve
from solver.system_curve import SHARES, system_curve
from solver.vessel.edits import set_field
from tests.app.small_loop import small_loop


def test_every_point_is_a_duty_of_the_pump_in_its_loop() -> None:
    vessel = small_loop()
    results = solve(vessel)
    points = system_curve(results, "P-1")
    assert len(points) == len(SHARES) + 1
    assert list(points) == sorted(points)
    duties = [(results.pumps["P-1"].flow_L_s, results.pumps["P-1"].head_m)]
    for share in SHARES:
        other = solve(vessel, changes=[Change("P-1", "speed_percent", 100.0 * share)]).pumps["P-1"]
        duties.append((other.flow_L_s, other.head_m))
    for point, duty in zip(points, sorted(duties), strict=True):
        assert point == pytest.approx(duty, rel=1e-6)


def test_a_closed_loop_asks_about_the_square_of_its_flow() -> None:
    """Turbulent friction goes with flow to a power between 1.75 (smooth) and 2 (rough, fittings)."""
    low, *_between, high = system_curve(solve(small_loop()), "P-1", shares=(0.8, 1.2))
    ratio = high.flow_L_s / low.flow_L_s
    assert ratio**1.75 <= high.head_m / low.head_m <= ratio**2


def test_a_pump_that_stands_still_or_is_not_there_has_no_curve() -> None:
    stopped = set_field(small_loop(), ("P-1",), "speed_percent", 0.0)
    assert system_curve(solve(stopped), "P-1") == ()
    assert system_curve(solve(small_loop()), "P-7") == ()


def test_speeds_beyond_what_a_pump_may_run_at_are_left_out() -> None:
    fast = set_field(small_loop(), ("P-1",), "speed_percent", 140.0)
    assert len(system_curve(solve(fast), "P-1", shares=(0.5, 1.05, 1.2))) == 3
