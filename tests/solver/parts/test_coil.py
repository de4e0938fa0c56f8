# SPDX-License-Identifier: MIT
"""Coils against integration along the coil, worked examples, and what must hold for every coil."""

import json
import math
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

from solver.errors import AirError
from solver.media.liquid import properties
from solver.media.moist_air import (
    dew_point,
    dry_air_flow,
    enthalpy,
    humidity_ratio,
    saturation_enthalpy,
    saturation_humidity_ratio,
)
from solver.parts.coil import (
    RATED_WATER,
    CoilModel,
    coil_state,
    inside_conductance,
    laminar_share,
    liquid_factors,
    outside_conductance,
    reynolds,
    stack_coils,
)
from solver.parts.effectiveness import effectiveness

REFERENCES = Path(__file__).parents[2] / "references"

COILS = st.builds(
    CoilModel,
    outside_ua=st.floats(20.0, 2000.0),
    inside_ua=st.floats(20.0, 9000.0),
    rated_air_flow=st.just(0.2),
    rated_water_flow=st.just(0.15),
    air_exponent=st.floats(0.4, 0.8),
    laminar_share=st.floats(0.03, 0.1),
    rated_reynolds=st.just(8000.0),
)
AIR_FLOWS = st.floats(0.0, 0.6)
WATER_FLOWS = st.floats(0.0, 0.6)
AIRS = st.floats(5.0, 45.0)
HUMIDITIES = st.floats(0.05, 0.98)
WATERS = st.floats(2.0, 60.0)


def reference(name: str) -> dict:
    return json.loads((REFERENCES / f"{name}.json").read_text(encoding="utf-8"))


@pytest.mark.reference
def test_wet_counterflow_coil():
    # Source: coil_05, Threlkeld's enthalpy potential integrated along the coil.
    data = reference("coil_05_wet_counterflow")
    case, wanted, allowed = data["inputs"], data["answer"], data["tolerance"]
    w = humidity_ratio(case["t_air_in"], case["rh_in"])
    air, water = case["dry_air_kg_per_s"], case["water_kg_per_s"]
    coil = CoilModel(case["air_side_hA_W_per_K"], case["inside_plus_metal_UA_W_per_K"], air, water)
    state = coil_state(coil, air, case["t_air_in"], w, water, case["t_water_in"], case["cp_water"])
    assert state.is_wet
    assert float(dew_point(w)) == pytest.approx(wanted["t_dew_in"], abs=0.01)
    assert float(state.total) == pytest.approx(wanted["q_total_W"], rel=allowed["q_relative"])
    assert float(state.sensible) == pytest.approx(wanted["q_sensible_W"], rel=allowed["q_relative"])
    assert float(state.air_out_C) == pytest.approx(wanted["t_air_out"], abs=allowed["T"])
    assert float(state.water_out_C) == pytest.approx(wanted["t_water_out"], abs=allowed["T"])
    assert float(state.air_out_humidity_ratio) == pytest.approx(wanted["W_out"], rel=0.001)


def integrated(coil, air, t, w, water, cold, heat=4190.0):
    """Return total and sensible heat of a counterflow coil, integrated from the air's inlet."""
    specific = 1006.0 + 1860.0 * w
    outside, inside = coil.outside_ua, coil.inside_ua

    def along(_, y):
        t_air, h, t_water = y
        vapour = max((h - 1006.0 * t_air) / (2.501e6 + 1860.0 * t_air), 1e-6)
        surface = (outside * t_air + inside * t_water) / (outside + inside)
        passed = outside * (t_air - surface)
        if surface < float(dew_point(vapour)):

            def balance(s):
                return outside / specific * (h - float(saturation_enthalpy(s))) - inside * (s - t_water)

            surface = brentq(balance, t_water - 1e-6, max(t_air, t_water) + 1.0)
            passed = inside * (surface - t_water)
        dry = outside * (t_air - surface)
        return [-dry / (air * specific), -passed / air, -passed / (water * heat)]

    def end(leaving):
        found = solve_ivp(along, (0, 1), [t, float(enthalpy(t, w)), leaving], rtol=1e-5, max_step=0.05)
        return found.y[:, -1]

    leaving = brentq(lambda x: end(x)[2] - cold, cold + 1e-9, t, xtol=1e-5)
    t_out, h_out, _ = end(leaving)
    return air * (float(enthalpy(t, w)) - h_out), air * specific * (t - t_out)


@pytest.mark.reference
@pytest.mark.parametrize(
    ("t", "rh", "water", "cold", "outside", "inside", "share"),
    [
        (27.0, 0.50, 0.080, 7.0, 110.0, 110.0, "partly wet"),
        (23.0, 0.46, 0.035, 7.0, 150.0, 400.0, "partly wet"),
        (24.0, 0.44, 0.140, 7.0, 120.0, 330.0, "partly wet"),
        (32.0, 0.70, 0.090, 6.0, 180.0, 600.0, "wet"),
        (30.0, 0.74, 0.107, 5.0, 200.0, 800.0, "wet"),
        (26.0, 0.30, 0.090, 11.0, 150.0, 450.0, "dry"),
    ],
)
def test_model_stays_by_integration(t, rh, water, cold, outside, inside, share):
    # Source: the differential equations of heat and mass transfer (Threlkeld 1970, Lewis factor 1), solved
    # numerically here; a straight line for the curve of saturation costs some tenths of a per cent.
    w = float(humidity_ratio(t, rh))
    coil = CoilModel(outside, inside, 0.1, water)
    state = coil_state(coil, 0.1, t, w, water, cold, 4190.0)
    total, sensible = integrated(coil, 0.1, t, w, water, cold)
    assert {"dry": state.dry_share == 1, "wet": state.dry_share == 0}.get(share, 0 < state.dry_share < 1)
    assert float(state.total) == pytest.approx(total, rel=0.005)
    assert float(state.sensible) == pytest.approx(sensible, rel=0.005)


@pytest.mark.reference
def test_air_off_a_coil_of_even_temperature_follows_the_contact_factor():
    # Source: coil_01, Hundy, Trott and Welch, 4th edition, example 21.8: coil at 7 C, contact factor 0.78.
    data = reference("coil_01_hundy_contact_factor")
    case, wanted, allowed = data["inputs"], data["published"], data["tolerance"]
    w = (case["h1"] * 1000.0 - 1006.0 * case["t1"]) / (2.501e6 + 1860.0 * case["t1"])
    rate = 1006.0 + 1860.0 * w
    # So much water and inside conductance that the whole surface is as cold as the water.
    coil = CoilModel(-math.log(1.0 - case["contact_factor"]) * rate, 1e9, 1.0, 1e6)
    state = coil_state(coil, 1.0, case["t1"], w, 1e6, case["t_adp"])
    h2 = float(enthalpy(state.air_out_C, state.air_out_humidity_ratio)) / 1000.0
    assert float(state.air_out_C) == pytest.approx(wanted["t2"], abs=allowed["t"])
    assert h2 == pytest.approx(wanted["h2"], abs=0.1)  # the book's chart has 22.72 kJ/kg at 7 C, we 22.65


@pytest.mark.reference
def test_room_air_and_water_of_hundys_example():
    # Source: coil_03, Hundy, Trott and Welch, 4th edition, examples 25.1 and 25.2: sensible heat carried by
    # air, latent heat, and the water for both at 5 to 10.5 C.
    data = reference("coil_03_hundy_fan_coil_chain")
    case, wanted, allowed = data["inputs"], data["published"], data["tolerance"]
    room = case["room"]
    air = room["sensible_kW"] / (case["cp_air"] * (room["t"] - case["supply_air_t"]))
    assert air == pytest.approx(wanted["air_kg_per_s"], abs=allowed["air"])
    supply = room["W"] - room["latent_kW"] / (case["latent_heat"] * wanted["air_kg_per_s"])
    assert supply == pytest.approx(wanted["W_supply"], abs=allowed["W"])
    duty = air * (float(enthalpy(room["t"], room["W"])) - float(enthalpy(case["supply_air_t"], supply)))
    load = 1000.0 * (room["sensible_kW"] + room["latent_kW"])
    assert duty == pytest.approx(load, rel=0.01)
    water = (load + 1000.0 * case["fan_kW"]) / (
        1000.0 * case["cp_water"] * (case["water_out"] - case["water_in"])
    )
    assert water == pytest.approx(wanted["water_kg_per_s"], abs=allowed["water"])


@pytest.mark.reference
def test_half_the_water_keeps_about_three_quarters_of_the_heat():
    # Common practice: 70 to 80 % of the heat at half flow, 90 % at three quarters, and a larger rise.
    w = float(humidity_ratio(27.0, 0.5))
    coil = CoilModel(330.0, 1200.0, 0.22, 0.151)
    flow = 0.151 * np.array([0.25, 0.5, 0.75, 1.0, 1.5])
    state = coil_state(coil, 0.22, 27.0, w, flow, 7.0)
    share, rise = state.total / state.total[3], state.water_out_C - 7.0
    assert 0.40 < share[0] < 0.56
    assert 0.70 < share[1] < 0.80
    assert 0.86 < share[2] < 0.93
    assert 1.05 < share[4] < 1.20
    assert 1.4 < rise[1] / rise[3] < 1.6
    assert (np.diff(rise) < 0.0).all()


@given(coil=COILS, air=AIR_FLOWS, t=AIRS, rh=HUMIDITIES, water=WATER_FLOWS, cold=WATERS)
def test_nothing_leaves_outside_the_range_of_what_enters(coil, air, t, rh, water, cold):
    w = float(humidity_ratio(t, rh))
    state = coil_state(coil, air, t, w, water, cold)
    low, high = min(t, cold) - 1e-6, max(t, cold) + 1e-6
    assert low <= state.air_out_C <= high
    assert low <= state.water_out_C <= high
    assert state.air_out_humidity_ratio <= w + 1e-12
    # The line for the curve of saturation is out by some thousandths in the hottest, dampest air.
    assert state.air_out_humidity_ratio >= 0.995 * min(float(saturation_humidity_ratio(min(cold, t))), w)
    assert 0.0 <= state.dry_share <= 1.0
    assert bool(state.is_wet) == (state.dry_share < 1.0)


@given(coil=COILS, air=AIR_FLOWS, t=AIRS, rh=HUMIDITIES, water=WATER_FLOWS, cold=WATERS)
def test_heat_is_neither_made_nor_lost(coil, air, t, rh, water, cold):
    w = float(humidity_ratio(t, rh))
    state = coil_state(coil, air, t, w, water, cold)
    scale = 1.0 + abs(float(state.total))
    assert float(state.sensible + state.latent) == pytest.approx(float(state.total), abs=1e-9 * scale)
    assert float(state.latent) >= -1e-9 * scale
    into_water = water * RATED_WATER[0] * (float(state.water_out_C) - cold)
    assert into_water == pytest.approx(float(state.total), abs=1e-6 * scale)
    out = float(enthalpy(state.air_out_C, state.air_out_humidity_ratio))
    assert air * (float(enthalpy(t, w)) - out) == pytest.approx(float(state.total), abs=1e-6 * scale)
    dried = air * (w - float(state.air_out_humidity_ratio))
    assert dried == pytest.approx(float(state.condensate), abs=1e-9)


@given(
    coil=COILS,
    air=st.floats(0.01, 0.6),
    t=AIRS,
    rh=HUMIDITIES,
    water=st.floats(0.0, 0.6),
    more=st.floats(1e-4, 0.3),
    cold=st.floats(2.0, 20.0),
)
def test_more_water_never_carries_less(coil, air, t, rh, water, more, cold):
    w = float(humidity_ratio(t, rh))
    state = coil_state(coil, air, t, w, np.array([water, water + more]), cold)
    sign = 1.0 if t >= cold else -1.0
    assert sign * state.total[1] >= sign * state.total[0] - 1e-6 * (1.0 + abs(state.total[0]))


@given(coil=COILS, t=AIRS, rh=HUMIDITIES, cold=st.floats(2.0, 20.0), warmer=st.floats(0.01, 5.0))
def test_colder_water_or_warmer_air_never_carries_less(coil, t, rh, cold, warmer):
    w = float(humidity_ratio(t, rh))
    state = coil_state(
        coil, 0.2, np.array([t, t, t + warmer]), w, 0.15, np.array([cold, cold + warmer, cold])
    )
    slack = 1e-6 * (1.0 + abs(state.total[0]))
    assert state.total[1] <= state.total[0] + slack
    assert state.total[2] >= state.total[0] - slack


@given(coil=COILS, t=st.floats(15.0, 40.0), rh=st.floats(0.2, 0.95), cold=st.floats(3.0, 14.0))
def test_no_step_where_the_coil_begins_or_ends_to_be_wet(coil, t, rh, cold):
    # Along the humidity of the entering air every coil goes from dry to partly wet to wet.
    def at(w):
        state = coil_state(coil, 0.2, t, w, 0.15, cold)
        return np.array([state.total, state.sensible, state.water_out_C, state.air_out_C, state.dry_share])

    top = float(humidity_ratio(t, rh))
    w = np.linspace(0.1 * top, top, 100)
    values = at(w)
    assert (np.diff(values[0]) >= -1e-6 * values[0, 0]).all()
    assert (np.diff(values[4]) <= 1e-6).all()
    # A hundred points where a quantity changes most: a step would stay as high, a slope is cut up.
    for quantity, scale in enumerate(np.abs(values).max(axis=1)):
        steps = np.abs(np.diff(values[quantity]))
        widest = int(steps.argmax())
        closer = np.abs(np.diff(at(np.linspace(w[widest], w[widest + 1], 100))[quantity]))
        assert closer.max() <= 0.2 * steps.max() + 1e-6 * scale


def test_onset_of_condensation_is_smooth():
    # Where the coldest spot just meets the dew point, a little colder water makes little difference.
    coil, w = CoilModel(330.0, 1200.0, 0.22, 0.151), float(humidity_ratio(27.0, 0.5))
    cold = np.linspace(12.0, 16.5, 2000)
    state = coil_state(coil, 0.22, 27.0, w, 0.151, cold)
    first = int(np.flatnonzero(state.dry_share == 1.0)[0])
    assert 0 < first < 1999
    slope = np.diff(state.total) / np.diff(cold)
    assert slope[first - 2] == pytest.approx(slope[first + 1], rel=0.005)
    assert state.latent[first - 1] < 0.01 * state.total[first - 1]


@given(coil=COILS, t=AIRS, rh=HUMIDITIES, warmer=st.floats(0.1, 40.0))
def test_heating_is_dry(coil, t, rh, warmer):
    w = float(humidity_ratio(t, rh))
    state = coil_state(coil, 0.2, t, w, 0.15, t + warmer)
    assert state.total < 0.0
    assert state.latent == 0.0
    assert not state.is_wet
    assert state.air_out_humidity_ratio == w
    # The same coil by effectiveness alone.
    ua = 1.0 / (1.0 / coil.outside_ua + 1.0 / coil.inside_ua)
    rates = sorted((0.2 * (1006.0 + 1860.0 * w), 0.15 * RATED_WATER[0]))
    wanted = float(effectiveness(ua / rates[0], rates[0] / rates[1])) * rates[0] * warmer
    assert -float(state.total) == pytest.approx(wanted, rel=1e-9)


def test_without_flow_nothing_happens():
    coil, w = CoilModel(330.0, 1200.0, 0.22, 0.151), float(humidity_ratio(27.0, 0.5))
    air = np.array([0.22, 0.0, 0.0, 0.22])
    water = np.array([0.0, 0.151, 0.0, 1e-300])
    state = coil_state(coil, air, 27.0, w, water, 7.0)
    for heat in (state.total, state.sensible, state.latent, state.condensate):
        assert (heat == 0.0).all()
    assert not state.is_wet.any()
    assert state.water_out_C == pytest.approx([27.0, 7.0, 7.0, 27.0])
    assert state.air_out_C == pytest.approx([27.0, 7.0, 27.0, 27.0])
    saturated = float(saturation_humidity_ratio(7.0))
    assert state.air_out_humidity_ratio == pytest.approx([w, saturated, w, w])


def test_flow_dying_away_leads_to_no_flow():
    coil, w = CoilModel(330.0, 1200.0, 0.22, 0.151), float(humidity_ratio(27.0, 0.5))
    little = np.logspace(-9, -2, 300)
    thirsty = coil_state(coil, 0.22, 27.0, w, little, 7.0)
    assert thirsty.water_out_C[0] == pytest.approx(27.0, abs=1e-3)
    assert thirsty.total[0] < 1e-3
    assert (np.diff(thirsty.total) > 0.0).all()
    breathless = coil_state(coil, little, 27.0, w, 0.151, 7.0)
    assert breathless.air_out_C[0] == pytest.approx(7.0, abs=1e-3)
    assert breathless.air_out_humidity_ratio[0] == pytest.approx(
        float(saturation_humidity_ratio(7.0)), rel=1e-3
    )
    assert (np.diff(breathless.total) > 0.0).all()


def test_equal_capacity_rates_are_no_exception():
    coil = CoilModel(300.0, 900.0, 0.2, 0.05)
    w = 0.002
    rate = 0.2 * (1006.0 + 1860.0 * w)
    exact = rate / RATED_WATER[0]
    state = coil_state(coil, 0.2, 27.0, w, exact * np.array([1.0 - 1e-9, 1.0, 1.0 + 1e-9]), 7.0)
    assert np.ptp(state.total) < 1e-5
    ua = 1.0 / (1.0 / 300.0 + 1.0 / float(inside_conductance(coil, exact)))
    assert float(state.total[1]) == pytest.approx(ua / rate / (1.0 + ua / rate) * rate * 20.0, rel=1e-9)


def test_fog_and_ice_cold_water_are_finite():
    coil = CoilModel(330.0, 1200.0, 0.22, 0.151)
    fog = coil_state(coil, 0.22, 20.0, 1.05 * float(saturation_humidity_ratio(20.0)), 0.151, 7.0)
    assert fog.is_wet
    assert 7.0 < fog.air_out_C < 20.0
    frost = coil_state(coil, 0.22, 27.0, float(humidity_ratio(27.0, 0.9)), 0.151, -20.0)
    assert np.isfinite([float(of) for of in frost]).all()


def test_reversed_water_counts_by_its_amount():
    coil, w = CoilModel(330.0, 1200.0, 0.22, 0.151), float(humidity_ratio(27.0, 0.5))
    state = coil_state(coil, 0.22, 27.0, w, np.array([0.1, -0.1]), 7.0)
    assert state.total[0] == state.total[1]


def test_one_coil_of_many_runs_and_many_coils_at_once_are_the_same():
    coils = [
        CoilModel(330.0, 1200.0, 0.22, 0.151),
        CoilModel(800.0, 900.0, 0.5, 0.3),
        CoilModel(90.0, 99.0, 0.1, 0.1),
    ]
    t, w = np.array([24.0, 27.0, 30.0]), np.array([0.009, 0.011, 0.016])
    together = coil_state(stack_coils(coils), 0.2, t[:, None] * np.ones(3), w[:, None], 0.12, 7.0)
    assert together.total.shape == (3, 3)
    for row in range(3):
        for column, coil in enumerate(coils):
            alone = coil_state(coil, 0.2, t[row], w[row], 0.12, 7.0)
            for values, value in zip(together, alone, strict=True):
                assert float(values[row, column]) == pytest.approx(float(value), rel=1e-6, abs=1e-9)


def test_conductances_follow_the_flows():
    coil = CoilModel(300.0, 900.0, 0.2, 0.15, 0.5, laminar_share(8000.0))
    assert float(inside_conductance(coil, 0.15)) == pytest.approx(900.0)
    assert float(inside_conductance(coil, 0.30)) == pytest.approx(900.0 * 2**0.8, rel=1e-5)
    assert float(inside_conductance(coil, 0.0)) == pytest.approx(900.0 * coil.laminar_share, rel=1e-5)
    flows = np.linspace(0.0, 0.3, 500)
    assert (np.diff(inside_conductance(coil, flows)) >= 0.0).all()
    assert float(outside_conductance(coil, 0.1)) == pytest.approx(300.0 * 0.5**0.5)
    assert float(reynolds(coil, 0.03)) == pytest.approx(1600.0)


@pytest.mark.reference
def test_films_in_the_tubes_are_dittus_and_boelters():
    # Source: Dittus and Boelter 1930 (Incropera 2007, equation 8.60): Nu = 0.023 Re^0.8 Pr^0.4, laminar 3.66.
    heat, conductivity, viscosity = RATED_WATER
    water = properties("water", 10.0)
    assert (heat, conductivity, viscosity) == pytest.approx(
        (water.specific_heat, water.conductivity, water.viscosity), rel=1e-3
    )
    assert laminar_share(8000.0) == pytest.approx(
        3.66 / (0.023 * 8000.0**0.8 * (viscosity * heat / conductivity) ** 0.4)
    )
    glycol = properties("propylene_glycol", 10.0, 0.3)
    factors = liquid_factors(glycol.specific_heat, glycol.conductivity, glycol.viscosity)

    def film(flow, state):
        bore = 0.01
        re = 4.0 * flow / (math.pi * bore * state.viscosity)
        prandtl = state.viscosity * state.specific_heat / state.conductivity
        return 0.023 * re**0.8 * prandtl**0.4 * state.conductivity / bore

    assert float(factors.turbulent) == pytest.approx(film(0.1, glycol) / film(0.1, water), rel=1e-3)
    assert float(factors.viscosity) == pytest.approx(glycol.viscosity / water.viscosity, rel=1e-3)
    coil = CoilModel(300.0, 900.0, 0.2, 0.15)
    assert inside_conductance(coil, 0.15, factors) < 0.7 * inside_conductance(coil, 0.15)
    assert reynolds(coil, 0.15, factors) < 0.4 * 8000.0


@pytest.mark.reference
def test_water_flow_of_the_standard_rating_rise():
    # Source: coil_07, 4.19 kW per L/s and kelvin: at the standard rise of 5 K 20.97 kW per L/s (EN 1397).
    rule = reference("coil_07_rating_conditions")["derived"]["kW_per_L_per_s_at_5K"]
    water = properties("water", 9.5)
    assert water.density * water.specific_heat * 5.0 / 1e6 == pytest.approx(rule, rel=0.002)


def test_air_beyond_the_formulas_is_refused():
    coil = CoilModel(330.0, 1200.0, 0.22, 0.151)
    with pytest.raises(AirError, match=r"humidity ratio -0\.01; accepted: 0 or more"):
        coil_state(coil, 0.22, 27.0, -0.01, 0.151, 7.0)
    with pytest.raises(AirError, match="temperature"):
        coil_state(coil, 0.22, 120.0, 0.9, 0.151, -70.0)


def test_air_flow_is_of_dry_air():
    w = humidity_ratio(27.0, 0.5)
    assert float(dry_air_flow(0.189, 27.0, w)) == pytest.approx(0.218, abs=0.001)
