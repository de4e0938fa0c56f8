# SPDX-License-Identifier: MIT
"""What people type is read, and what cannot be read is refused with what is accepted."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.units import UnitError, entry, parse, to_document, to_shown
from app.units.quantities import QUANTITIES

_GPM = 231 * 0.0254**3 * 1000 / 60  # L/s, from the definition of the US gallon


@pytest.mark.parametrize(
    ("text", "quantity", "expected"),
    [
        ("12", "flow", 0.2),
        ("3.2 gpm", "flow", 3.2 * _GPM),
        ("3.2gpm", "flow", 3.2 * _GPM),
        ("1.2 m³/h", "flow", 1 / 3),
        ("12 L per min", "flow", 0.2),
        ("2 L / min", "flow", 1 / 30),
        ("1/2 in", "bore", 12.7),
        ("1 1/2 in", "bore", 38.1),
        ("1-1/2 in", "bore", 38.1),
        ("1½″", "bore", 38.1),
        ("3/4", "length", 0.75),
        ("3+2 m", "length", 5.0),
        ("3 m + 20 cm", "length", 3.2),
        ("3 m - 20 cm", "length", 2.8),
        ("1,5 m + 2", "length", 3.5),
        ("6 ft 2 in", "length", 74 * 0.0254),
        ("6'2\"", "length", 74 * 0.0254),
        ("−1 ft 6 in", "length", -18 * 0.0254),
        ("0,5", "length", 0.5),
        ("0,500", "length", 0.5),
        (",5", "length", 0.5),
        ("1,234.5 mm", "length", 1.2345),
        ("1.234,5 mm", "length", 1.2345),
        ("1 500 mm", "length", 1.5),
        ("1'500 mm", "length", 1.5),
        ("1,500,000 mm", "length", 1500.0),
        ("1e-3", "length", 0.001),
        ("25 %", "percent", 25.0),
        ("25", "fraction", 0.25),
        ("25 %", "fraction", 0.25),
        ("12 kPa", "pressure", 12.0),
        ("1.2 bar", "pressure", 120.0),
        ("2 m of water", "pressure", 2 * 9.80665),
        ("4 ft/100 ft", "loss_per_length", 4 * 98.0665),
        ("4 ft per 100 ft", "loss_per_length", 4 * 98.0665),
        ("45 F", "temperature", 65 / 9),
        ("7+2 °C", "temperature", 9.0),
        ("2.5 Kv", "flow_coefficient", 2.5),
        ("Kv 2.5", "flow_coefficient", 2.5),
        ("2.5 m3/h", "flow_coefficient", 2.5),
        ("12 000 BTU/h", "capacity", 3.5168528),
        ("1 ton", "capacity", 3.5168528),
        ("0.75 kW", "power", 750.0),
        ("4", "count", 4.0),
    ],
)
def test_what_people_type_is_read(text: str, quantity: str, expected: float) -> None:
    assert parse(text, quantity, "si") == pytest.approx(expected, rel=1e-7)


def test_a_number_without_unit_is_in_the_unit_shown() -> None:
    assert parse("3", "flow", "us") == pytest.approx(3 * _GPM)
    assert parse("45", "temperature", "us") == pytest.approx(65 / 9)
    assert parse("3+2 m", "length", "us") == 5.0


def test_a_decimal_fraction_of_an_inch_is_exact_in_the_document() -> None:
    assert parse("1 1/2 in", "bore", "si") == 38.1


@pytest.mark.parametrize(
    ("text", "quantity", "message"),
    [
        ("3 bar", "flow", "3 bar is a pressure; a flow is expected here, such as 12 L/min or 3.2 gpm"),
        ("12 kPa", "head", "12 kPa is a pressure; a head is expected here, such as 5 m or 16 ft"),
        (
            "5 m",
            "pressure",
            "5 m is a length; a pressure is expected here, such as 12 kPa, 0.12 bar or 1.7 psi",
        ),
        ("25 %", "flow", "25 % is a share; a flow is expected here, such as 12 L/min or 3.2 gpm"),
        ("3 in", "plain", "3 in is a length; a number is expected here, such as 1.5"),
        ("5 gal", "volume", "5 gal: which gallon? US gal (3.785 L) and imp gal (4.546 L) are accepted"),
        (
            "5 gal/min",
            "flow",
            "5 gal/min: which gallon? US gal/min (3.785 L) and imp gal/min (4.546 L) are accepted",
        ),
        (
            "5 gallons",
            "length",
            "5 gallons is a volume; a length is expected here, such as 3.5 m or 11 ft 6 in",
        ),
        ("1,500", "length", "1,500 can be read two ways; 1500 or 1.500 is accepted"),
        ("1.2.3", "plain", "1.2.3 is not a number"),
        ("1,22,333", "plain", "1,22,333 is not a number"),
        ("1,2.3.4", "plain", "1,2.3.4 is not a number"),
        ("", "flow", "a flow is missing, such as 12 L/min or 3.2 gpm"),
        ("  ", "bore", "a bore is missing, such as 20 mm or 3/4 in"),
        (
            "a lot",
            "flow",
            "a lot: 'a lot' is not understood; a flow is expected here, such as 12 L/min or 3.2 gpm",
        ),
        (
            "5 knots",
            "flow",
            "5 knots: 'knots' is not understood; a flow is expected here, such as 12 L/min or 3.2 gpm",
        ),
        ("3 +", "length", "3 +: a number is missing; a length is expected here, such as 3.5 m or 11 ft 6 in"),
        ("3 4", "count", "3 4: '4' is not understood; a whole number is expected here, such as 4"),
        ("3 ft 6", "length", "3 ft 6: the unit of 6 is missing, as in 6 ft 2 in"),
        ("3 bar 2 bar", "pressure", "3 bar 2 bar: '2 bar' is not understood; "),
        ("1/0 in", "bore", "1/0 in: a fraction cannot have 0 below the stroke"),
        ("1e999", "plain", "1e999 is too large"),
        ("2.5", "count", "2.5 is not a whole number"),
        ("nan", "plain", "nan: 'nan' is not understood; a number is expected here, such as 1.5"),
        ("inf", "plain", "inf: 'inf' is not understood; a number is expected here, such as 1.5"),
        ("45 F + 2 °C", "temperature", "45 F + 2 °C: temperatures in two units cannot be added"),
        ("1" * 81, "plain", "81 characters are too many for a number; up to 80 are accepted"),
        ("3", "taste", "no quantity is called taste; known: "),
    ],
)
def test_what_cannot_be_read_is_refused_with_what_is_accepted(text: str, quantity: str, message: str) -> None:
    with pytest.raises(UnitError) as caught:
        parse(text, quantity, "si")
    assert str(caught.value).startswith(message)


@given(st.text(max_size=30), st.sampled_from(sorted(QUANTITIES)), st.sampled_from(["si", "us"]))
def test_any_text_is_read_or_refused(text: str, quantity: str, system: str) -> None:
    try:
        value = parse(text, quantity, system)
    except UnitError as refused:
        assert str(refused)
    else:
        assert abs(value) < float("inf")


@given(
    st.lists(
        st.sampled_from(["3", "1/2", "1,5", ".", "-", "+", " ", "ft", "in", "'", "bar", "gal", "/", "%"]),
        max_size=7,
    )
)
def test_any_row_of_figures_and_units_is_read_or_refused(pieces: list[str]) -> None:
    try:
        value = parse("".join(pieces), "length", "si")
    except UnitError as refused:
        assert str(refused)
    else:
        assert abs(value) < 1e9


@given(
    st.floats(-1e6, 1e6).filter(lambda value: value == 0 or abs(value) > 1e-6),
    st.sampled_from(sorted(set(QUANTITIES) - {"count"})),
    st.sampled_from(["si", "us"]),
)
def test_the_text_of_an_entry_field_reads_back_as_the_value(value: float, quantity: str, system: str) -> None:
    assert parse(entry(value, quantity, system), quantity, system) == pytest.approx(value, rel=1e-6, abs=1e-5)


@given(st.floats(-1e6, 1e6), st.sampled_from(sorted(QUANTITIES)), st.sampled_from(["si", "us"]))
def test_conversion_there_and_back(value: float, quantity: str, system: str) -> None:
    there = to_shown(value, quantity, system)
    assert to_document(there, quantity, system) == pytest.approx(value, rel=1e-12, abs=1e-9)
