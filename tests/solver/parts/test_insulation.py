# SPDX-License-Identifier: MIT
"""Heat through pipes against worked examples, the ISO 12241 formula, CoolProp's air and the ht library."""

import json
import math
from pathlib import Path

import numpy as np
import pytest
from CoolProp.CoolProp import PropsSI
from ht.conv_free_immersed import Nu_horizontal_cylinder_Churchill_Chu
from ht.conv_internal import turbulent_Gnielinski
from hypothesis import assume, given
from hypothesis import strategies as st

from solver.media.moist_air import dew_point, humidity_ratio
from solver.parts.insulation import (
    LAMINAR_NUSSELT,
    critical_radius,
    inside_film,
    least_thickness,
    outlet_temp,
    outside_film,
    pipe_heat,
    resistance_to_surface,
)

REFERENCES = Path(__file__).parents[2] / "references"
SIZES = st.floats(0.006, 0.4)
AIRS = st.floats(-5.0, 50.0)
LIQUIDS = st.floats(-10.0, 60.0)
THICK = st.floats(0.0, 0.1)


def reference(name: str) -> dict:
    return json.loads((REFERENCES / f"{name}.json").read_text(encoding="utf-8"))


@pytest.mark.reference
def test_critical_radius_of_incroperas_example():
    # Source: ins_01, Incropera, 6th edition, example 3.5.
    data = reference("ins_01_incropera_critical_radius")
    case, wanted = data["inputs"], data["published"]
    radius = float(critical_radius(case["k"], case["h"]))
    assert radius == pytest.approx(wanted["r_critical"], abs=data["tolerance"]["r"])
    assert radius - case["r_inner"] == pytest.approx(wanted["thickness"], abs=data["tolerance"]["r"])

    # The pipe really gains most with that much round it.
    def gain(thickness: float) -> float:
        inner = resistance_to_surface(1e-9, 1e-9, 1.0, 1e30) + 0.0
        inner = inner + math.log1p(thickness / case["r_inner"]) / (2 * math.pi * case["k"])
        return float(pipe_heat(5.0, 30.0, inner, 2 * (case["r_inner"] + thickness), case["h"]).gain)

    most = wanted["thickness"]
    assert gain(most) > gain(0.9 * most)
    assert gain(most) > gain(1.1 * most)


@pytest.mark.reference
def test_insulated_steam_pipe_of_cengels_example():
    # Source: ins_03, Cengel, Heat and Mass Transfer, example 3-8.
    data = reference("ins_03_cengel_pipe")
    case, wanted, allowed = data["inputs"], data["published"], data["tolerance"]
    bore, outside, thick = case["D_in"], case["D_out"], case["insulation_thickness"]
    inner = resistance_to_surface(bore, outside, case["k_pipe"], case["h_in"], thick, case["k_insulation"])
    found = pipe_heat(case["T_in"], case["T_out"], inner, outside + 2 * thick, case["h_out"])
    loss = -float(found.gain)
    assert loss == pytest.approx(wanted["q_W_per_m"], abs=allowed["q"])
    bare = resistance_to_surface(bore, outside, case["k_pipe"], case["h_in"])
    film = 1.0 / (math.pi * bore * case["h_in"])
    assert loss * float(bare - film) == pytest.approx(wanted["dT_pipe"], abs=0.005)
    assert loss * float(inner - bare) == pytest.approx(wanted["dT_insulation"], abs=allowed["dT"])
    assert float(found.surface_C) == pytest.approx(case["T_in"] - loss * float(inner), abs=1e-9)


@pytest.mark.reference
@pytest.mark.parametrize(
    "case", reference("ins_04_condensation_open")["cases"], ids=lambda case: str(case["inputs"])
)
def test_thickness_against_condensation(case):
    # Source: ins_04, the formula of ISO 12241:2008 for cylinders, solved in closed form.
    allowed = reference("ins_04_condensation_open")["tolerance"]
    at, wanted = case["inputs"], case["answer"]
    size, k, film = at["OD_m"], at["k"], at["h"]
    dew = dew_point(humidity_ratio(at["t_air"], at["rh"]))
    assert float(dew) == pytest.approx(wanted["t_dew"], abs=allowed["t"])
    thickness = float(least_thickness(at["t_fluid"], at["t_air"], dew, size, k, film))
    assert thickness == pytest.approx(wanted["min_thickness_m"], abs=allowed["thickness_m"])

    def found(thick: float):
        # No wall, no film inside: the formula leaves them out.
        inner = resistance_to_surface(size, size, 1.0, 1e12, thick, k)
        return pipe_heat(at["t_fluid"], at["t_air"], inner, size + 2 * thick, film)

    close = allowed["gain_relative"]
    assert float(found(0.0).gain) == pytest.approx(wanted["heat_gain_bare_W_per_m"], rel=close)
    assert float(found(thickness).gain) == pytest.approx(wanted["heat_gain_at_min_W_per_m"], rel=close)
    assert float(found(thickness).surface_C) == pytest.approx(wanted["t_dew"], abs=allowed["t"])
    for thick, name in ((0.019, "at_19_mm"), (0.025, "at_25_mm")):
        assert float(found(thick).surface_C) == pytest.approx(wanted[name]["t_surface"], abs=allowed["t"])
        assert float(found(thick).gain) == pytest.approx(wanted[name]["gain"], rel=close)


@pytest.mark.reference
@given(re=st.floats(4001.0, 2e5), pr=st.floats(1.0, 200.0))
def test_turbulent_film_is_gnielinskis(re, pr):
    # Source: Gnielinski 1976 as the ht library has it, with Petukhov's friction factor of smooth pipes.
    bore, viscosity, conductivity = 0.022, 1.3e-3, 0.58
    flow = re * math.pi * bore * viscosity / 4.0
    found = inside_film(flow, bore, viscosity, pr * conductivity / viscosity, conductivity)
    friction = (0.79 * math.log(re) - 1.64) ** -2
    wanted = turbulent_Gnielinski(Re=re, Pr=pr, fd=friction) * conductivity / bore
    assert float(found) == pytest.approx(wanted, rel=1e-9)


def test_film_inside_rises_without_a_step():
    flows = np.linspace(0.0, 0.6, 4001)
    films = inside_film(flows, 0.022, 1.3e-3, 4195.0, 0.58)
    assert films[0] == pytest.approx(LAMINAR_NUSSELT * 0.58 / 0.022)
    assert (np.diff(films) >= 0.0).all()
    assert np.diff(films).max() < 0.006 * films[-1]
    assert inside_film(-0.3, 0.022, 1.3e-3, 4195.0, 0.58) == inside_film(0.3, 0.022, 1.3e-3, 4195.0, 0.58)


@pytest.mark.reference
@given(surface=st.floats(-5.0, 60.0), air=st.floats(-5.0, 50.0), size=SIZES)
def test_film_outside_is_churchills_and_chus_with_coolprops_air(surface, air, size):
    assume(abs(surface - air) > 1e-3)  # nearer, the digits of 273.15 hide the difference
    mean = 0.5 * (surface + air) + 273.15
    at = ("T", mean, "P", 101325.0, "Air")
    density, viscosity, conductivity = (PropsSI(letter, *at) for letter in "DVL")
    prandtl = viscosity * PropsSI("C", *at) / conductivity
    grashof = 9.80665 * abs(surface - air) / mean * size**3 * (density / viscosity) ** 2
    wanted = Nu_horizontal_cylinder_Churchill_Chu(prandtl, grashof) * conductivity / size
    assert float(outside_film(surface, air, size, 0.0)) == pytest.approx(wanted, rel=0.01)


@pytest.mark.reference
def test_radiation_between_two_temperatures_nearly_the_same():
    # Source: Stefan-Boltzmann; 4 e sigma T^3 for a small difference (Incropera 2007, equation 1.9).
    alone = outside_film(20.0, 20.0, 0.05, 1.0) - outside_film(20.0, 20.0, 0.05, 0.0)
    assert float(alone) == pytest.approx(4 * 5.670374e-8 * 293.15**3, rel=1e-6)


def test_thickness_in_still_air_is_about_what_the_trade_uses():
    # Common practice for closed-cell foam of 0.038 W/(m K) on 22 to 60 mm pipe of 6 degC in still air.
    sizes = np.array([0.022, 0.042, 0.060])
    for air, rh, low, high in ((27, 0.5, 2, 5), (30, 0.7, 8, 13), (32, 0.8, 15, 22), (35, 0.9, 33, 46)):
        dew = dew_point(humidity_ratio(float(air), rh))
        found = 1000.0 * least_thickness(6.0, float(air), dew, sizes, 0.038)
        assert (found >= low).all()
        assert (found <= high).all()


@given(liquid=LIQUIDS, air=AIRS, size=SIZES, thick=THICK)
def test_surface_lies_between_liquid_and_air(liquid, air, size, thick):
    inner = resistance_to_surface(size * 0.9, size, 0.4, 500.0, thick, 0.04)
    found = pipe_heat(liquid, air, inner, size + 2 * thick)
    low, high = min(liquid, air), max(liquid, air)
    assert low - 1e-9 <= found.surface_C <= high + 1e-9
    assert float(found.gain) == pytest.approx(float(found.conductance) * (air - liquid), rel=1e-12, abs=1e-12)
    # What passes the wall is what the air brings, with the film of that surface.
    outer = float(outside_film(found.surface_C, air, size + 2 * thick))
    brought = math.pi * (size + 2 * thick) * outer * (air - float(found.surface_C))
    assert brought == pytest.approx(float(found.gain), rel=1e-4, abs=1e-5)


@given(liquid=LIQUIDS, air=AIRS, rh=st.floats(0.1, 0.97), size=SIZES)
def test_least_thickness_keeps_the_surface_dry_and_less_would_not(liquid, air, rh, size):
    dew = float(dew_point(humidity_ratio(air, rh)))
    thickness = float(least_thickness(liquid, air, dew, size, 0.038))
    if not math.isfinite(thickness):
        assert air - dew < 1.0
        return

    def surface(thick: float) -> float:
        inner = resistance_to_surface(size, size, 1.0, 1e12, thick, 0.038)
        return float(pipe_heat(liquid, air, inner, size + 2 * thick).surface_C)

    if thickness == 0.0:
        assert surface(0.0) >= dew - 1e-6
    else:
        assert surface(thickness) == pytest.approx(dew, abs=1e-4)
        assert surface(0.9 * thickness) < dew


def test_saturated_air_cannot_be_kept_off():
    assert least_thickness(6.0, 30.0, 30.0, 0.028, 0.038) == np.inf
    assert least_thickness(6.0, 30.0, 29.999, 0.028, 0.038) == np.inf


def test_warm_pipe_needs_nothing_against_condensation():
    found = least_thickness(np.array([45.0, 25.0, 6.0]), 30.0, 24.0, 0.028, 0.038)
    assert (found[:2] == 0.0).all()
    assert found[2] > 0.005


@given(inlet=LIQUIDS, air=AIRS, length=st.floats(0.0, 500.0), rate=st.floats(0.0, 1e4))
def test_water_leaves_between_its_inlet_and_the_air(inlet, air, length, rate):
    found = float(outlet_temp(inlet, air, 0.25, length, rate))
    assert min(inlet, air) - 1e-9 <= found <= max(inlet, air) + 1e-9
    longer = float(outlet_temp(inlet, air, 0.25, length + 10.0, rate))
    assert abs(longer - air) <= abs(found - air) + 1e-12


def test_water_at_rest_is_as_warm_as_the_air():
    assert outlet_temp(7.0, 30.0, 0.25, 10.0, 0.0) == 30.0
    assert outlet_temp(7.0, 30.0, 0.25, 0.0, 100.0) == 7.0
    rates = np.array([0.0, 1e-9, 1e-3, 1e-2])
    assert outlet_temp(7.0, 30.0, 0.25, 10.0, rates) == pytest.approx([30.0, 30.0, 30.0, 30.0])


@pytest.mark.reference
def test_short_run_gains_what_its_conductance_says():
    # Source: ins_04, 6.582 W/m at the least thickness; over 10 m of 0.2 kg/s the water warms by 65.8 W/C.
    case = reference("ins_04_condensation_open")["cases"][0]
    gain = case["answer"]["heat_gain_at_min_W_per_m"]
    warmer = float(outlet_temp(6.0, 32.0, gain / 26.0, 10.0, 0.2 * 4200.0)) - 6.0
    assert warmer == pytest.approx(10.0 * gain / (0.2 * 4200.0), rel=0.002)
