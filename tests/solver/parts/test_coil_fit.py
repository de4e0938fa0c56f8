# SPDX-License-Identifier: MIT
"""Fitting coils to ratings: ratings are given back, or refused with the reason."""

import json
import math
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from solver.errors import AirError, PartError
from solver.media.moist_air import dry_air_flow, humidity_ratio, humidity_ratio_at_wet_bulb
from solver.parts.coil import CoilModel, coil_state
from solver.parts.coil_fit import INSIDE_OVER_OUTSIDE, CoilRating, fit_coil, rated_state

REFERENCES = Path(__file__).parents[2] / "references"
MOIST = float(humidity_ratio_at_wet_bulb(27.0, 19.0))
#: A cabin's coil at the standard state of fan coils: 54 L/s of air and 2.58 L/min of water per kW.
CABIN = CoilRating(3500.0, 2620.0, float(dry_air_flow(0.189, 27.0, MOIST)), 27.0, MOIST, 0.151, 7.0)


def assert_gives_its_rating(rating: CoilRating, model: CoilModel) -> None:
    state = rated_state(rating, model)
    assert float(state.total) == pytest.approx(rating.total, rel=1e-6)
    if rating.sensible is not None:
        assert float(state.sensible) == pytest.approx(rating.sensible, rel=1e-3)


@pytest.mark.reference
@pytest.mark.parametrize("standard", ["ahri_440", "en_1397"])
@pytest.mark.parametrize("sensible_share", [0.71, 0.74, 0.77, 0.80])
@pytest.mark.parametrize("size", [1500.0, 5000.0, 20000.0])
def test_rated_points_of_the_standards_are_met(standard, sensible_share, size):
    # Source: coil_07, the rating states of AHRI 440 and EN 1397, with the water of their rise.
    at = json.loads((REFERENCES / "coil_07_rating_conditions.json").read_text(encoding="utf-8"))[standard]
    w = float(humidity_ratio_at_wet_bulb(at["air_db_C"], at["air_wb_C"]))
    rise = 5.0 if standard == "en_1397" else 10.0 / 1.8
    air = float(dry_air_flow(54e-6 * size, at["air_db_C"], w))
    rating = CoilRating(
        size, sensible_share * size, air, at["air_db_C"], w, size / (4195.5 * rise), at["water_in_C"]
    )
    model = fit_coil(rating)
    assert_gives_its_rating(rating, model)
    state = rated_state(rating, model)
    assert float(state.water_out_C) - at["water_in_C"] == pytest.approx(rise, rel=1e-6)
    assert state.is_wet
    assert 0.3 < model.inside_ua / model.outside_ua < 60.0


@given(
    outside=st.floats(150.0, 700.0),
    ratio=st.floats(0.8, 12.0),
    t=st.floats(22.0, 34.0),
    rh=st.floats(0.35, 0.75),
    water=st.floats(0.06, 0.4),
    cold=st.floats(4.0, 11.0),
)
def test_a_coil_is_found_again_from_what_it_does(outside, ratio, t, rh, water, cold):
    w = float(humidity_ratio(t, rh))
    made = CoilModel(outside, ratio * outside, 0.22, water)
    state = coil_state(made, 0.22, t, w, water, cold)
    rating = CoilRating(float(state.total), float(state.sensible), 0.22, t, w, water, cold)
    found = fit_coil(rating)
    assert_gives_its_rating(rating, found)
    if state.latent > 0.02 * state.total and rh < 0.6:
        assert found.outside_ua == pytest.approx(outside, rel=1e-3)
        assert found.inside_ua == pytest.approx(ratio * outside, rel=5e-3)


def test_half_flow_of_a_fitted_coil():
    # Common practice: 70 to 80 % of the heat stays at half the water flow.
    model = fit_coil(CABIN)
    half = coil_state(model, CABIN.air_flow, 27.0, MOIST, 0.5 * CABIN.water_flow, 7.0)
    assert 0.70 < float(half.total) / 3500.0 < 0.80


def test_more_sensible_of_the_same_total_means_more_surface_outside():
    models = [fit_coil(CABIN._replace(sensible=share * 3500.0)) for share in (0.71, 0.74, 0.77, 0.80)]
    outside, inside = ([getattr(model, name) for model in models] for name in ("outside_ua", "inside_ua"))
    assert (np.diff(outside) > 0.0).all()
    assert (np.diff(inside) < 0.0).all()


def test_without_a_sensible_rating_the_common_split_holds():
    rating = CABIN._replace(sensible=None)
    model = fit_coil(rating)
    assert_gives_its_rating(rating, model)
    assert model.inside_ua == pytest.approx(INSIDE_OVER_OUTSIDE * model.outside_ua)
    assert 0.6 < float(rated_state(rating, model).sensible) / 3500.0 < 0.85


@pytest.mark.parametrize("rh", [0.05, 0.25, 0.35])
def test_all_sensible_is_a_dry_coil(rh):
    rating = CABIN._replace(sensible=2500.0, total=2500.0, humidity_ratio=float(humidity_ratio(27.0, rh)))
    model = fit_coil(rating)
    assert_gives_its_rating(rating, model)
    assert not rated_state(rating, model).is_wet


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"total": 0.0}, ["rated total 0", "more than 0"]),
        ({"total": math.nan}, ["rated total nan"]),
        ({"air_flow": 0.0}, ["rated air flow 0"]),
        ({"water_flow": -0.1}, ["rated water flow -0.1"]),
        ({"sensible": 4000.0}, ["sensible heat 4000 W", "up to the total of 3500 W"]),
        ({"sensible": 0.0}, ["sensible heat 0 W"]),
        ({"water_C": 30.0}, ["water enters at 30 degC, air at 27", "water colder than the air"]),
        ({"water_flow": 0.03}, ["would leave at 34.8 degC", "more water, or less heat"]),
        ({"air_flow": 0.1}, ["would leave at 1.4 degC", "colder than the water", "more air, or less heat"]),
        ({"total": 3400.0, "sensible": 1500.0}, ["too much for drying", "at least"]),
        ({"sensible": 3350.0}, ["too little for drying", "at most"]),
        (
            {"total": 8500.0, "sensible": 4000.0, "water_flow": 0.3},
            ["rated total 8500 W", "at most", "however large"],
        ),
        ({"total": 8500.0, "sensible": None, "water_flow": 0.3}, ["rated total 8500 W", "however large"]),
        ({"total": 3000.0, "sensible": 3000.0}, ["13.6 degC, below its dew point of 14.7", "would condense"]),
    ],
)
def test_ratings_no_coil_could_meet_are_refused_with_the_reason(changes, words):
    for _ in range(2):  # refusals are kept, and told again
        with pytest.raises(PartError) as refused:
            fit_coil(CABIN._replace(**changes))
        for word in words:
            assert word in str(refused.value)


def test_limits_named_in_a_refusal_are_true():
    with pytest.raises(PartError) as refused:
        fit_coil(CABIN._replace(sensible=3350.0))
    most = float(str(refused.value).split("at most ")[1].split(" W")[0])
    assert_gives_its_rating(CABIN, fit_coil(CABIN))
    assert_gives_its_rating(
        CABIN._replace(sensible=most - 5.0), fit_coil(CABIN._replace(sensible=most - 5.0))
    )
    with pytest.raises(PartError):
        fit_coil(CABIN._replace(sensible=most + 5.0))


def test_air_beyond_the_formulas_is_refused():
    with pytest.raises(AirError, match="temperature"):
        fit_coil(CABIN._replace(air_C=27.0, water_C=-80.0))
