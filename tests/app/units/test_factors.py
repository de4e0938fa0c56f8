# SPDX-License-Identifier: MIT
"""Every factor of the unit table against ``pint``, a library of its own."""

import math

import pint
import pytest

from app.units import parse, quantity_of, unit
from app.units.quantities import QUANTITIES
from app.units.tables import KINDS, SIZES

_PINT = pint.UnitRegistry()

#: Kind -> its own unit, and a quantity whose text may name any unit of the kind.
_OWN = {
    "flow": "liter/second",
    "pressure": "kilopascal",
    "length": "meter",
    "velocity": "meter/second",
    "gradient": "pascal/meter",
    "power": "watt",
    "volume": "liter",
    "mass": "kilogram",
    "rotation": "revolution/minute",
}
_WATER = "(1000 kg/m^3 * standard_gravity)"
_PINT_NAMES = {
    "L/s": "liter/second",
    "L/min": "liter/minute",
    "L/h": "liter/hour",
    "m3/h": "m^3/hour",
    "m3/s": "m^3/second",
    "US gpm": "gallon/minute",
    "US gal/h": "gallon/hour",
    "imp gpm": "imperial_gallon/minute",
    "Pa": "pascal",
    "kPa": "kilopascal",
    "MPa": "megapascal",
    "mbar": "millibar",
    "bar": "bar",
    "psi": "psi",
    "mH2O": f"{_WATER} * meter",
    "ftH2O": f"{_WATER} * foot",
    "inH2O": f"{_WATER} * inch",
    "inHg": "inch_Hg",
    "m": "meter",
    "cm": "centimeter",
    "mm": "millimeter",
    "ft": "foot",
    "in": "inch",
    "m/s": "meter/second",
    "ft/s": "foot/second",
    "ft/min": "foot/minute",
    "Pa/m": "pascal/meter",
    "kPa/m": "kilopascal/meter",
    "mbar/m": "millibar/meter",
    "mm/m": f"0.001 * {_WATER}",
    "ft/100 ft": f"0.01 * {_WATER}",
    "psi/100 ft": "0.01 * psi/foot",
    "W": "watt",
    "kW": "kilowatt",
    "hp": "horsepower",
    "BTU/h": "Btu/hour",
    "tons": "refrigeration_ton",
    "L": "liter",
    "mL": "milliliter",
    "m3": "m^3",
    "US gal": "gallon",
    "imp gal": "imperial_gallon",
    "kg": "kilogram",
    "g": "gram",
    "lb": "pound",
    "rpm": "revolution/minute",
}


@pytest.mark.reference
@pytest.mark.parametrize(("kind", "name"), [(kind, name) for kind in _OWN for name in SIZES[kind]])
def test_every_size_agrees_with_pint(kind: str, name: str) -> None:
    expected = _PINT(_PINT_NAMES[name]).to(_OWN[kind]).magnitude
    # pint rounds its Btu and its inch of mercury in the seventh digit.
    assert SIZES[kind][name] == pytest.approx(expected, rel=3e-7)


@pytest.mark.reference
def test_kv_and_cv_follow_from_their_definitions() -> None:
    """IEC 60534-2-1: Cv is 1 US gal/min at 1 psi, Kv 1 m3/h at 1 bar; flow goes as the root of pressure."""
    flow_at_one_psi = _PINT("gallon/minute").to("m^3/hour").magnitude
    expected = flow_at_one_psi * math.sqrt(_PINT("bar").to("psi").magnitude)
    assert expected == pytest.approx(0.8649776554423018, rel=1e-9)
    assert parse("1 Cv", "flow_coefficient", "si") == pytest.approx(expected, rel=1e-9)


@pytest.mark.reference
@pytest.mark.parametrize("celsius", [-40.0, 0.0, 7.0, 37.77])
def test_temperatures_agree_with_pint(celsius: float) -> None:
    fahrenheit = _PINT.Quantity(celsius, "degC").to("degF").magnitude
    kelvin = _PINT.Quantity(celsius, "degC").to("kelvin").magnitude
    assert parse(f"{fahrenheit!r} F", "temperature", "si") == pytest.approx(celsius, abs=1e-9)
    assert parse(f"{kelvin!r} K", "temperature", "si") == pytest.approx(celsius, abs=1e-9)


def test_a_difference_of_temperature_has_no_offset() -> None:
    assert parse("9 °F", "temperature_difference", "si") == pytest.approx(5.0)
    assert parse("9", "temperature_difference", "us") == pytest.approx(5.0)


@pytest.mark.reference
def test_units_of_heat_agree_with_pint() -> None:
    assert parse("1 %/°F", "slope", "si") == pytest.approx(1.8)
    conductance = _PINT("Btu/hour/delta_degF").to("watt/kelvin").magnitude
    assert parse("1 BTU/h·°F", "conductance", "si") == pytest.approx(conductance, rel=3e-7)
    transmittance = _PINT("Btu/hour/foot^2/delta_degF").to("watt/meter^2/kelvin").magnitude
    assert parse("1 BTU/h ft² °F", "transmittance", "si") == pytest.approx(transmittance, rel=3e-7)
    assert parse("1 sq ft", "area", "si") == pytest.approx(_PINT("foot^2").to("meter^2").magnitude)
    assert parse("1 h", "time", "si") == 60.0


@pytest.mark.parametrize(
    ("kind", "spellings"), [(kind, key) for kind, (_, units) in KINDS.items() for key in units]
)
def test_every_spelling_is_read_as_its_unit(kind: str, spellings: str) -> None:
    quantity = next(name for name, entry in QUANTITIES.items() if entry.kind == kind)
    names = spellings.split("|")
    first = parse(f"2.5 {names[0]}", quantity, "si")
    for name in names:
        assert parse(f"2.5 {name}", quantity, "us") == first
        assert parse(f"2.5{name.upper()}", quantity, "us") == first


@pytest.mark.parametrize("quantity", QUANTITIES)
@pytest.mark.parametrize("system", ["si", "us"])
def test_the_unit_shown_can_be_typed(quantity: str, system: str) -> None:
    shown = unit(quantity, system)
    assert parse(f"3 {shown}", quantity, system) == parse("3", quantity, system)


@pytest.mark.parametrize(
    ("field", "quantity"),
    [
        ("flow_L_s", "flow"),
        ("design_flow_L_s", "flow"),
        ("length_m", "length"),
        ("rise_m", "length"),
        ("head_m", "head"),
        ("npsh_required_m", "head"),
        ("drop_kPa", "pressure"),
        ("rated_drop_kPa", "pressure"),
        ("temp_C", "temperature"),
        ("set_point_C", "temperature"),
        ("kv_m3_h", "flow_coefficient"),
        ("bore_mm", "bore"),
        ("capacity_kW", "capacity"),
        ("power_W", "power"),
        ("conductivity_W_mK", "plain"),
        ("volume_L", "volume"),
        ("opening_percent", "percent"),
        ("velocity_max_m_s", "velocity"),
        ("loss_max_Pa_m", "loss_per_length"),
        ("rated_rpm", "rotation"),
        ("share_of_design", "fraction"),
        ("port_count", "count"),
        ("sea_salinity_g_kg", "plain"),
        ("rangeability", "plain"),
        ("air_flow_L_s", "air_flow"),
        ("capacity_per_sea_percent_K", "slope"),
        ("heat_gain_W_K", "conductance"),
        ("u_W_m2K", "transmittance"),
        ("area_m2", "area"),
        ("minimum_run_min", "time"),
        ("facing_deg", "angle"),
        ("condensate_L_h", "condensate"),
        ("margin_K", "temperature_difference"),
    ],
)
def test_the_quantity_of_a_field_is_in_its_name(field: str, quantity: str) -> None:
    assert quantity_of(field) == quantity


@pytest.mark.reference
def test_units_of_energy_agree_with_pint() -> None:
    for name, known in (("MJ", "megajoule"), ("kJ", "kilojoule"), ("Wh", "watt*hour"), ("BTU", "Btu")):
        expected = _PINT(known).to("kilowatt*hour").magnitude
        assert parse(f"1 {name}", "energy", "si") == pytest.approx(expected, rel=3e-7)
    assert parse("90 min", "hours", "si") == 1.5
    assert parse("3200 W", "electrical_power", "us") == 3.2
