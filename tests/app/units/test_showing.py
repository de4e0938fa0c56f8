# SPDX-License-Identifier: MIT
"""Values shown carry their unit and as many digits as mean something."""

import math

import pytest

from app.units import entry, number, show


@pytest.mark.parametrize(
    ("value", "quantity", "si", "us"),
    [
        (0.205, "flow", "12.3 L/min", "3.25 US gpm"),
        (2.13 / 60, "flow", "2.1 L/min", "0.56 US gpm"),
        (0.213 / 60, "flow", "0.21 L/min", "0.056 US gpm"),
        (99.96 / 60, "flow", "100 L/min", "26.4 US gpm"),
        (1234.4 / 60, "flow", "1234 L/min", "326 US gpm"),
        (-0.205, "flow", "-12.3 L/min", "-3.25 US gpm"),
        (1e-9, "flow", "0 L/min", "0 US gpm"),
        (-1e-9, "flow", "0 L/min", "0 US gpm"),
        (45.12, "pressure", "45.1 kPa", "6.54 psi"),
        (4.56, "head", "4.56 m", "15.0 ft"),
        (0.85, "velocity", "0.85 m/s", "2.79 ft/s"),
        (392.0, "loss_per_length", "392 Pa/m", "4.00 ft/100 ft"),
        (14.25, "length", "14.25 m", "46.75 ft"),
        (14.0, "length", "14 m", "45.93 ft"),
        (25.4, "bore", "25.4 mm", "1 in"),
        (0.0015, "bore", "0.0015 mm", "0.000059055 in"),
        (7.0, "temperature", "7.0 °C", "44.6 °F"),
        (-0.01, "temperature", "0.0 °C", "32.0 °F"),
        (5.0, "temperature_difference", "5.0 K", "9.0 °F"),
        (1540.0, "power", "1540 W", "1540 W"),
        (12300.0, "power", "12.3 kW", "12.3 kW"),
        (14.067, "capacity", "14.1 kW", "4.00 tons"),
        (2.5, "flow_coefficient", "2.50 Kv", "2.89 Cv"),
        (62.5, "percent", "62.5 %", "62.5 %"),
        (0.623, "fraction", "62 %", "62 %"),
        (25.0, "volume", "25.0 L", "6.6 US gal"),
        (12.0, "mass", "12.0 kg", "26.5 lb"),
        (2900.0, "rotation", "2900 rpm", "2900 rpm"),
        (4, "count", "4", "4"),
        (1.8, "plain", "1.8", "1.8"),
    ],
)
def test_values_are_shown_with_unit_and_sensible_digits(
    value: float, quantity: str, si: str, us: str
) -> None:
    assert show(value, quantity, "si") == si
    assert show(value, quantity, "us") == us


@pytest.mark.parametrize("value", [None, math.nan, math.inf])
def test_no_value_is_a_dash_and_an_empty_field(value: float | None) -> None:
    assert show(value, "flow", "si") == "–"
    assert number(value, "flow", "us") == "–"
    assert entry(value, "flow", "us") == ""


def test_an_entry_field_keeps_every_digit_that_matters() -> None:
    assert entry(14.251234, "length", "si") == "14.25123"
    assert entry(38.1, "bore", "us") == "1.5"
    assert entry(0.0, "flow", "us") == "0"
