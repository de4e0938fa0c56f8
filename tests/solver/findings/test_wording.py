# SPDX-License-Identifier: MIT
"""Values as words: the same units and figures as the window shows."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.units.showing import show
from solver.findings.wording import Wording, counted, listed, percent


@given(st.floats(1e-4, 50.0), st.sampled_from(["si", "us"]))
def test_flows_and_pressures_read_as_in_the_window(value: float, units) -> None:
    say = Wording(units)
    assert say.flow(value) == show(value, "flow", units)
    assert say.pressure(10 * value) == show(10 * value, "pressure", units)
    assert say.velocity(value) == show(value, "velocity", units)
    assert say.gradient(100 * value) == show(100 * value, "loss_per_length", units)


@pytest.mark.parametrize(
    ("units", "expected"),
    [
        ("si", ["6.0 L/min of 12.0", "50.0 kPa", "14 m", "3.5 m", "-0.8 m", "Kv 1.20", "7.0 °C", "5.0 K"]),
        (
            "us",
            [
                "1.59 US gpm of 3.17",
                "7.25 psi",
                "45.9 ft",
                "11.5 ft",
                "-2.6 ft",
                "Cv 1.39",
                "44.6 °F",
                "9.0 °F",
            ],
        ),
    ],
)
def test_values_carry_their_units(units, expected: list[str]) -> None:
    # 1 US gpm = 3.785 L/min, 1 psi = 6.895 kPa, 1 ft = 0.3048 m, Cv = 1.156 Kv.
    say = Wording(units)
    assert [
        say.flow_of(0.1, 0.2),
        say.pressure(50.0),
        say.length(14.0),
        say.length(3.5),
        say.length(-0.8),
        say.kv(1.2),
        say.temperature(7.0),
        say.difference(5.0),
    ] == expected


@pytest.mark.parametrize(
    ("count", "expected"),
    [(1, "A"), (2, "A and B"), (4, "A, B, C and D"), (5, "A, B, C and 2 more"), (26, "A, B, C and 23 more")],
)
def test_names_in_a_row(count: int, expected: str) -> None:
    assert listed([chr(65 + place) for place in range(count)]) == expected


def test_counts_and_shares() -> None:
    assert counted(1, "run", "runs") == "1 run"
    assert counted(0, "run", "runs") == "0 runs"
    assert percent(0.714) == "71 %"


def test_heat_and_thickness_in_both_systems() -> None:
    # 1 kW = 3412.14 BTU/h; 25.4 mm = 1 in.
    assert Wording("si").heat(3456.0) == "3.46 kW"
    assert Wording("us").heat(1000.0) == "3412 BTU/h"
    assert Wording("si").thickness(0.019) == "19 mm"
    assert Wording("us").thickness(0.0254) == "1.00 in"
