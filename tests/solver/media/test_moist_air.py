# SPDX-License-Identifier: MIT
"""Moist air against ASHRAE's equations by other hands, printed states, and CoolProp's real-gas air."""

import json
import math
from pathlib import Path

import numpy as np
import pytest
from CoolProp.HumidAirProp import HAPropsSI
from hypothesis import given
from hypothesis import strategies as st

from solver.errors import AirError
from solver.media.moist_air import (
    PRESSURE,
    air_state,
    dew_point,
    dry_air_flow,
    enthalpy,
    humidity_ratio,
    humidity_ratio_at_wet_bulb,
    relative_humidity,
    saturation_enthalpy,
    saturation_humidity_ratio,
    saturation_pressure,
    saturation_temp,
    specific_volume,
    temp_at_enthalpy,
    wet_bulb,
)

REFERENCES = Path(__file__).parents[2] / "references"
TEMPS = st.floats(-40.0, 60.0)
HUMIDITIES = st.floats(0.02, 1.0)


def reference(name: str) -> dict:
    return json.loads((REFERENCES / f"{name}.json").read_text(encoding="utf-8"))


@pytest.mark.reference
def test_states_meet_ashraes_equations():
    # Source: psy_01, ASHRAE Handbook Fundamentals 2017, chapter 1, by another library.
    data = reference("psy_01_states_open")
    allowed = data["tolerance"]
    t, rh, w, h, v, dew, wet, *_ = np.array(data["rows"]).T
    state = air_state(t, humidity_ratio(t, rh))
    assert state.humidity_ratio == pytest.approx(w, rel=allowed["W_relative_ideal"])
    assert state.enthalpy / 1000.0 == pytest.approx(h, abs=allowed["h_ideal"])
    assert state.volume == pytest.approx(v, rel=allowed["v_relative"])
    assert state.dew_point_C == pytest.approx(dew, abs=allowed["t_dew"])
    assert state.wet_bulb_C == pytest.approx(wet, abs=allowed["t_wb"])


@pytest.mark.reference
def test_states_stay_by_those_of_real_moist_air():
    # Source: psy_01, Herrmann, Kretzschmar, Gatley, ASHRAE RP-1485, 2009 (real-gas moist air).
    data = reference("psy_01_states_open")
    between = data["tolerance"]["between_models"]
    rows = np.array(data["rows"]).T
    t, rh, real_w, real_h = rows[0], rows[1], rows[7], rows[8]
    w = humidity_ratio(t, rh)
    assert w == pytest.approx(real_w, rel=1.01 * between["W_relative"])
    assert enthalpy(t, w) / 1000.0 == pytest.approx(real_h, abs=1.01 * between["h"])


@pytest.mark.reference
def test_states_from_frost_to_hot_meet_ashraes_equations():
    # Source: psy_05, ASHRAE Handbook Fundamentals 2017, chapter 1, as PsychroLib 2.5.0 has it.
    data = reference("psy_05_frost_to_hot")
    allowed = data["tolerance"]
    pressure, t, rh, w, h, v, dew, wet = np.array(data["rows"]).T
    state = air_state(t, humidity_ratio(t, rh, pressure), pressure)
    assert state.humidity_ratio == pytest.approx(w, rel=allowed["W_relative"])
    assert state.enthalpy == pytest.approx(h, abs=allowed["h"])
    assert state.volume == pytest.approx(v, rel=allowed["v_relative"])
    assert state.dew_point_C == pytest.approx(dew, abs=allowed["t_dew"])
    assert state.wet_bulb_C == pytest.approx(wet, abs=allowed["t_wb"])
    assert state.relative_humidity == pytest.approx(rh, rel=1e-12)


@pytest.mark.reference
@given(temp_C=st.floats(-20.0, 45.0), rh=HUMIDITIES)
def test_air_is_coolprops_within_the_real_gas_effect(temp_C, rh):
    # The ideal-gas formulas leave out the enhancement factor, about 0.5 % (ASHRAE Fundamentals, chapter 1).
    at = ("T", temp_C + 273.15, "P", PRESSURE, "R", rh)
    w = float(humidity_ratio(temp_C, rh))
    assert w == pytest.approx(HAPropsSI("W", *at), rel=0.007)
    assert float(enthalpy(temp_C, w)) == pytest.approx(HAPropsSI("H", *at), abs=1300.0)
    assert float(specific_volume(temp_C, w)) == pytest.approx(HAPropsSI("V", *at), rel=0.001)
    assert float(dew_point(w)) == pytest.approx(HAPropsSI("D", *at) - 273.15, abs=0.1)


@pytest.mark.reference
def test_a_wet_bulb_reading_of_ashraes_example():
    # Source: psy_02, ASHRAE Fundamentals 2013, psychrometrics, example 1 (from memory; read off the chart).
    data = reference("psy_02_ashrae_state")
    given_, wanted, allowed = data["inputs"], data["published"], data["tolerance"]
    w = humidity_ratio_at_wet_bulb(given_["t_db"], given_["t_wb"])
    state = air_state(given_["t_db"], w)
    assert float(w) == pytest.approx(wanted["W"], abs=allowed["W"])
    assert float(state.enthalpy) / 1000.0 == pytest.approx(wanted["h"], abs=allowed["h"])
    assert float(state.dew_point_C) == pytest.approx(wanted["t_dew"], abs=allowed["t_dew"])
    assert float(state.relative_humidity) == pytest.approx(wanted["rh"], abs=allowed["rh"])
    assert float(state.volume) == pytest.approx(wanted["v"], abs=allowed["v"])


@pytest.mark.reference
def test_a_wet_bulb_reading_of_nags_example():
    # Source: psy_04, P. K. Nag, Basic and Applied Thermodynamics, example 15.1.
    data = reference("psy_04_nag_state")
    given_, wanted, allowed = data["inputs"], data["published"], data["tolerance"]
    pressure = given_["p_bar"] * 1e5
    w = humidity_ratio_at_wet_bulb(given_["t_db"], given_["t_wb"], pressure)
    state = air_state(given_["t_db"], w, pressure)
    assert float(w) == pytest.approx(wanted["W"], abs=allowed["W"])
    assert float(state.enthalpy) / 1000.0 == pytest.approx(wanted["h"], abs=allowed["h"])
    assert float(state.dew_point_C) == pytest.approx(wanted["t_dew"], abs=allowed["t_dew"])
    assert float(state.relative_humidity) == pytest.approx(wanted["rh"], abs=allowed["rh"])
    assert 1.0 / float(state.volume) == pytest.approx(wanted["density_dry_air"], abs=allowed["density"])


@given(temp_C=TEMPS, rh=HUMIDITIES)
def test_what_is_worked_out_leads_back(temp_C, rh):
    w = humidity_ratio(temp_C, rh)
    assert float(relative_humidity(temp_C, w)) == pytest.approx(rh, rel=1e-12)
    assert float(temp_at_enthalpy(enthalpy(temp_C, w), w)) == pytest.approx(temp_C, abs=1e-9)
    dew = dew_point(w)
    if dew > -60.0:
        assert float(saturation_humidity_ratio(dew)) == pytest.approx(float(w), rel=1e-10)
    wet = wet_bulb(temp_C, w)
    assert dew - 1e-7 <= wet <= temp_C + 1e-9
    if wet > -60.0:
        assert float(humidity_ratio_at_wet_bulb(temp_C, wet)) == pytest.approx(float(w), abs=1e-9)
    assert float(saturation_temp(saturation_enthalpy(temp_C))) == pytest.approx(temp_C, abs=1e-9)


@given(temp_C=TEMPS, rh=HUMIDITIES, warmer=st.floats(0.01, 20.0))
def test_warmer_saturated_air_holds_more(temp_C, rh, warmer):
    assert saturation_pressure(temp_C + warmer) > saturation_pressure(temp_C)
    assert saturation_enthalpy(temp_C + warmer) > saturation_enthalpy(temp_C)
    w = humidity_ratio(temp_C, rh)
    assert wet_bulb(temp_C + warmer, w) > wet_bulb(temp_C, w)


def test_over_ice_and_over_water_meet_at_the_triple_point():
    below, above = saturation_pressure(np.array([0.01 - 1e-9, 0.01 + 1e-9]))
    # Source: triple point of water, 611.657 Pa (IAPWS R6-95); the formulas of 1983 stay 0.1 % by it.
    assert below == pytest.approx(above, rel=1e-6)
    assert above == pytest.approx(611.657, rel=1e-3)


def test_arrays_of_any_shape_give_what_their_members_give():
    t = np.array([[-20.0, -1.0, 0.005], [12.0, 27.0, 55.0]])
    w = humidity_ratio(t, np.array([[0.5], [0.9]]))
    state = air_state(t, w)
    for values in state:
        assert values.shape == t.shape
    for at in np.ndindex(t.shape):
        single = air_state(float(t[at]), float(w[at]))
        for name, values, value in zip(state._fields, state, single, strict=True):
            assert values[at] == pytest.approx(float(value), abs=1e-9), name


def test_dry_air_and_fog():
    dry = air_state(20.0, 0.0)
    assert dry.relative_humidity == 0.0
    assert dry.dew_point_C == -60.0
    assert dry.enthalpy == pytest.approx(20120.0)
    fog = air_state(10.0, 0.012)
    assert fog.relative_humidity > 1.0
    assert fog.wet_bulb_C == pytest.approx(10.0)


@pytest.mark.reference
def test_flow_of_dry_air():
    # Source: ship_04, 0.016 m3/s of outdoor air at 35 C and 70 % hold 0.017616 kg/s of dry air.
    w = humidity_ratio(35.0, 0.7)
    assert float(dry_air_flow(0.016, 35.0, w)) == pytest.approx(0.01761597932949498, rel=1e-6)


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: saturation_pressure(90.5), ["temperature", "90.5", "-60 to 90"]),
        (lambda: saturation_pressure(np.array([5.0, -61.0])), ["temperature", "-61"]),
        (lambda: humidity_ratio(math.nan, 0.5), ["temperature", "nan"]),
        (lambda: humidity_ratio(20.0, 1.2), ["relative humidity", "1.2", "0 to 1"]),
        (lambda: humidity_ratio(20.0, math.nan), ["relative humidity", "nan"]),
        (lambda: dew_point(-0.001), ["humidity ratio", "-0.001", "0 or more"]),
        (lambda: wet_bulb(20.0, math.nan), ["humidity ratio", "nan"]),
        (lambda: humidity_ratio_at_wet_bulb(20.0, 21.0), ["wet bulb", "21", "not above the dry bulb"]),
        (lambda: humidity_ratio_at_wet_bulb(40.0, 5.0), ["wet bulb", "5", "leaves water in the air"]),
    ],
)
def test_what_the_formulas_do_not_cover_is_refused(call, words):
    with pytest.raises(AirError) as refused:
        call()
    for word in words:
        assert word in str(refused.value)
