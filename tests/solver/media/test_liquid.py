# SPDX-License-Identifier: MIT
"""Liquids against the IAPWS and Melinder values, printed tables, and CoolProp itself."""

import json
import math
from pathlib import Path

import numpy as np
import pytest
from CoolProp.CoolProp import PropsSI
from hypothesis import given
from hypothesis import strategies as st

from solver.errors import LiquidError
from solver.media.liquid import (
    KINDS,
    LiquidState,
    freezing_point,
    mass_share,
    properties,
    vapour_pressure,
)

REFERENCES = Path(__file__).parents[2] / "references"
GLYCOLS = {"propylene_glycol": "MPG", "ethylene_glycol": "MEG"}


def reference(name: str) -> dict:
    return json.loads((REFERENCES / f"{name}.json").read_text(encoding="utf-8"))


def coolprop(fluid: str, temp_C: float) -> LiquidState:
    """CoolProp's own values at atmospheric pressure."""
    return LiquidState(*(PropsSI(letter, "T", temp_C + 273.15, "P", 101325, fluid) for letter in "DVCL"))


def assert_close(state: LiquidState, wanted: LiquidState, tolerance: tuple[float, ...]) -> None:
    for name, found, want, allowed in zip(LiquidState._fields, state, wanted, tolerance, strict=True):
        assert found == pytest.approx(want, rel=allowed), name


@pytest.mark.reference
@pytest.mark.parametrize("row", reference("prop_01_water_open")["rows"], ids=lambda row: f"{row[0]:g}C")
def test_water_meets_the_iapws_formulations(row):
    # Source: prop_01, IAPWS R6-95(2018), R12-08, R15-11 at 101.325 kPa.
    temp_C, density, _, specific_heat, viscosity, conductivity, _ = row
    wanted = LiquidState(density, viscosity, specific_heat, conductivity)
    assert_close(properties("water", temp_C), wanted, (1e-5, 1e-4, 3e-5, 1e-4))


@pytest.mark.reference
@given(temp_C=st.floats(0.01, 95.0))
def test_the_table_of_water_is_coolprops(temp_C):
    assert_close(properties("water", temp_C), coolprop("Water", temp_C), (1e-9, 3e-8, 3e-8, 1e-8))


@pytest.mark.reference
@pytest.mark.parametrize(
    "row", reference("prop_02_glycol_open")["rows"], ids=lambda row: f"{row[0]} {row[1]} at {row[2]}C"
)
def test_glycols_meet_melinders_polynomials(row):
    # Source: prop_02, A. Melinder, Properties of Secondary Working Fluids for Indirect Systems, 2010.
    name, share, temp_C, density, specific_heat, viscosity, conductivity, freezing = row
    kind = name.replace(" ", "_")
    wanted = LiquidState(density, viscosity, specific_heat, conductivity)
    assert_close(properties(kind, temp_C, share), wanted, (1e-12,) * 4)
    assert freezing_point(kind, share) == pytest.approx(freezing, abs=1e-9)


@pytest.mark.reference
@pytest.mark.parametrize("kind", GLYCOLS)
@given(share=st.floats(0.001, 0.6), part=st.floats(0.001, 1.0))
def test_the_tables_of_glycol_are_coolprops(kind, share, part):
    lowest = max(-30.0, freezing_point(kind, share))
    temp_C = lowest + part * (95.0 - lowest)
    wanted = coolprop(f"INCOMP::{GLYCOLS[kind]}[{share}]", temp_C)
    assert_close(properties(kind, temp_C, share), wanted, (1e-12, 1e-11, 1e-12, 1e-12))


@pytest.mark.reference
def test_freezing_points_of_propylene_glycol_are_those_of_langes_handbook():
    # Source: prop_03, Lange's Handbook of Chemistry, 15th edition, table 5.13.
    data = reference("prop_03_glycol_published_tables")
    for volume_share, freezing, _ in data["propylene_glycol_freezing"]["rows"]:
        found = freezing_point("propylene_glycol", mass_share("propylene_glycol", volume_share))
        assert found == pytest.approx(freezing, abs=data["tolerance"]["freeze_K_pure_glycol_model"])


@pytest.mark.reference
def test_density_of_ethylene_glycol_is_ashraes():
    # Source: prop_03, ASHRAE Handbook Fundamentals, secondary coolants: an inhibited glycol, so 1 %.
    data = reference("prop_03_glycol_published_tables")
    for _, temp_C, volume_percent, _, density in data["ethylene_glycol_density"]["rows"]:
        share = mass_share("ethylene_glycol", volume_percent / 100.0)
        found = properties("ethylene_glycol", temp_C, share).density
        assert found == pytest.approx(density, rel=data["tolerance"]["density_relative_pure_glycol_model"])


@pytest.mark.reference
def test_sea_water_meets_sharqawy_lienhard_and_zubair():
    # Source: prop_04, Sharqawy, Lienhard, Zubair, Desalination and Water Treatment 16, 2010, at 35 g/kg.
    data = reference("prop_04_seawater")
    allowed = data["tolerance"]
    for temp_C, density, specific_heat, viscosity, conductivity in data["rows"]:
        wanted = LiquidState(density, viscosity, specific_heat, conductivity)
        tolerance = tuple(
            allowed[f"{name}_relative"] for name in ("density", "viscosity", "cp", "conductivity")
        )
        assert_close(properties("sea_water", temp_C, 0.035), wanted, tolerance)


def eos80(salinity: float, t: float) -> float:
    """Density of sea water [kg/m3] at atmospheric pressure: UNESCO 1981, from -2 to 40 degC, 0 to 42 g/kg."""
    water = np.polyval([6.536332e-9, -1.120083e-6, 1.001685e-4, -9.095290e-3, 6.793952e-2, 999.842594], t)
    a = np.polyval([5.3875e-9, -8.2467e-7, 7.6438e-5, -4.0899e-3, 8.24493e-1], t)
    b = np.polyval([-1.6546e-6, 1.0227e-4, -5.72466e-3], t)
    return float(water + a * salinity + b * salinity**1.5 + 4.8314e-4 * salinity**2)


@pytest.mark.reference
def test_sea_water_stays_with_the_equation_of_state_down_to_where_it_freezes():
    # Source: prop_04, UNESCO international equation of state of sea water 1980 and its check points.
    for salinity, temp_C, density in reference("prop_04_seawater")["eos80"]["check_points"]:
        assert eos80(salinity, temp_C) == pytest.approx(density, abs=1e-5)
    for salinity in (20.0, 35.0, 42.0):
        for temp_C in (freezing_point("sea_water", salinity / 1000), -0.5, 0.0, 15.0, 35.0):
            found = properties("sea_water", temp_C, salinity / 1000).density
            assert found == pytest.approx(eos80(salinity, temp_C), rel=5e-4)


@pytest.mark.reference
@given(share=st.floats(0.0, 0.05), temp_C=st.floats(0.001, 95.0))
def test_the_table_of_sea_water_is_coolprops(share, temp_C):
    wanted = coolprop(f"INCOMP::MITSW[{share}]", temp_C)
    assert_close(properties("sea_water", temp_C, share), wanted, (1e-12, 1e-11, 1e-12, 1e-12))


@pytest.mark.reference
def test_sea_water_freezes_where_unesco_says():
    # Source: UNESCO Technical Papers in Marine Science 44, 1983: -2.588567 degC at 40 g/kg and 500 dbar,
    # where pressure takes 7.53e-4 K per dbar (from memory).
    assert freezing_point("sea_water", 0.040) - 7.53e-4 * 500 == pytest.approx(-2.588567, abs=1e-6)


@pytest.mark.reference
@given(temp_C=st.floats(0.01, 95.0))
def test_vapour_pressure_is_that_of_iapws(temp_C):
    wanted = PropsSI("P", "T", temp_C + 273.15, "Q", 0, "Water")
    assert vapour_pressure(temp_C) == pytest.approx(wanted, rel=1e-4)


@pytest.mark.reference
def test_vapour_pressure_over_supercooled_water():
    # Source: D. M. Murphy, T. Koop, Q. J. R. Meteorol. Soc. 131 (2005) 1539, equation 10.
    t = np.array([-30.0, -20.0, -10.0, -2.0]) + 273.15
    wanted = np.exp(
        54.842763
        - 6763.22 / t
        - 4.210 * np.log(t)
        + 0.000367 * t
        + np.tanh(0.0415 * (t - 218.8)) * (53.878 - 1331.22 / t - 9.44523 * np.log(t) + 0.014025 * t)
    )
    assert vapour_pressure(t - 273.15) == pytest.approx(wanted, rel=0.003)


@pytest.mark.parametrize("kind", GLYCOLS)
@pytest.mark.parametrize("temp_C", [0.5, 10.0, 30.0, 60.0, 95.0])
def test_a_trace_of_glycol_is_nearly_water(kind, temp_C):
    assert properties(kind, temp_C, 0.0) == properties("water", temp_C)
    trace = properties(kind, temp_C, 1e-9)
    assert_close(trace, properties("water", temp_C), (0.001, 0.017, 0.003, 0.010))


def test_an_array_gives_what_its_members_give():
    temps = np.array([[1.0, 5.0, 9.0], [20.0, 40.0, 95.0]])
    for kind, share in (("water", 0.0), ("propylene_glycol", 0.25), ("sea_water", 0.035)):
        state = properties(kind, temps, share)
        for name, values in zip(LiquidState._fields, state, strict=True):
            assert values.shape == temps.shape
            singles = [getattr(properties(kind, float(t), share), name) for t in temps.flat]
            assert values.ravel() == pytest.approx(singles, rel=1e-14)
    assert vapour_pressure(temps).ravel() == pytest.approx([vapour_pressure(float(t)) for t in temps.flat])


def test_mass_share_of_a_volume_share():
    assert mass_share("propylene_glycol", 0.0) == 0.0
    assert mass_share("ethylene_glycol", 1.0) == 1.0
    # A litre of pure ethylene glycol (1.1135 kg) with a litre of water (0.99821 kg).
    assert mass_share("ethylene_glycol", 0.5) == pytest.approx(1.1135 / 2.11171, rel=1e-5)


@pytest.mark.reference
def test_density_of_pure_propylene_glycol_at_20_degrees():
    # CoolProp's own equation of state of the pure liquid.
    assert PropsSI("D", "T", 293.15, "P", 101325, "PropyleneGlycol") == pytest.approx(1036.1, rel=5e-4)
    assert PropsSI("D", "T", 293.15, "P", 101325, "Water") == pytest.approx(998.21, rel=1e-5)


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (("water", -1.0), ["water", "-1 degC", "0.00 to 95 degC", "freezes"]),
        (("water", 100.0), ["water", "100 degC", "0.00 to 95 degC"]),
        (("water", math.nan), ["water", "nan", "0.00 to 95 degC"]),
        (("water", 10.0, 0.1), ["water", "0.1", "0 only"]),
        (("propylene_glycol", -20.0, 0.3), ["propylene glycol", "0.3", "-20 degC", "-12.79 to 95 degC"]),
        (("propylene_glycol", 10.0, 0.7), ["propylene glycol", "mass share 0.7", "0 to 0.6"]),
        (("ethylene_glycol", -31.0, 0.6), ["ethylene glycol", "-31 degC", "-30.00 to 95 degC"]),
        (("ethylene_glycol", 10.0, math.nan), ["ethylene glycol", "nan", "0 to 0.6"]),
        (("sea_water", 10.0, 35.0), ["sea water", "35", "0 to 0.05"]),
        (("sea_water", -2.5, 0.035), ["sea water", "-2.5 degC", "-1.92 to 95 degC"]),
        (("sea_watre", 10.0), ["sea_watre", "sea_water?", "propylene_glycol"]),
        (("water", np.array([5.0, 96.0, 97.0])), ["water", "96 degC", "0.00 to 95 degC"]),
    ],
)
def test_what_the_tables_do_not_cover_is_refused(arguments, words):
    with pytest.raises(LiquidError) as refused:
        properties(*arguments)
    for word in words:
        assert word in str(refused.value)


def test_other_refusals():
    with pytest.raises(LiquidError, match=r"-40 degC; accepted: -30 to 95"):
        vapour_pressure(-40.0)
    with pytest.raises(LiquidError, match=r"120 degC; accepted: -30 to 95"):
        vapour_pressure(np.array([10.0, 120.0]))
    with pytest.raises(LiquidError, match="not mixed by volume"):
        mass_share("sea_water", 0.3)
    with pytest.raises(LiquidError, match=r"volume share 1\.2; accepted: 0 to 1"):
        mass_share("ethylene_glycol", 1.2)
    with pytest.raises(LiquidError, match=r"0 to 0\.6"):
        freezing_point("ethylene_glycol", 0.9)
    assert all(freezing_point(kind) == 0.0 for kind in KINDS)
