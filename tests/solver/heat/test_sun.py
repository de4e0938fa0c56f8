# SPDX-License-Identifier: MIT
"""The sun's place and a clear sky against the solar position algorithm, Bird's model and plain geometry."""

import json
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from solver.heat.sun import Sky, Sun, almanac, clear_sky, days_from_2000, on_plane, sun_at, sun_through_day

REFERENCES = Path(__file__).parents[2] / "references"
LATITUDES = st.floats(-66.0, 66.0)
DAYS = st.integers(1, 365)
HOURS = st.floats(0.0, 24.0)


def reference(name: str) -> dict:
    return json.loads((REFERENCES / f"{name}.json").read_text(encoding="utf-8"))


@pytest.mark.reference
def test_places_of_the_sun():
    # Source: sun_01, Reda and Andreas, NREL/TP-560-34302, with its printed example (elevation 39.872046,
    # azimuth 194.340241).
    data = reference("sun_01_positions")
    allowed = data["tolerance"]
    for year, day, hour, latitude, longitude, elevation, azimuth in data["rows"]:
        sun = sun_at(latitude, longitude, year, day, hour)
        assert float(sun.elevation) == pytest.approx(elevation, abs=allowed["elevation"])
        assert float(sun.azimuth) == pytest.approx(azimuth, abs=allowed["azimuth"])
    assert data["rows"][0][5:] == pytest.approx([39.872046, 194.340241], abs=1e-4)


@pytest.mark.reference
def test_clear_sky_is_birds():
    # Source: sun_02, Bird and Hulstrom, SERI/TR-642-761, 1981.
    data = reference("sun_02_bird_clear_sky")
    for zenith, day, water, haze_380, haze_500, albedo, beam, diffuse in data["rows"]:
        sky = clear_sky(90.0 - zenith, day, water, haze_380, haze_500, albedo=albedo)
        assert float(sky.beam) == pytest.approx(beam, rel=data["tolerance"]["relative"])
        assert float(sky.diffuse) == pytest.approx(diffuse, rel=data["tolerance"]["relative"])


@pytest.mark.reference
def test_tilted_planes():
    # Source: sun_03, Liu and Jordan 1963.
    data = reference("sun_03_tilted_planes")
    for tilt, azimuth, elevation, sun_azimuth, beam, diffuse, *wanted in data["rows"]:
        sun = Sun(np.asarray(elevation), np.asarray(sun_azimuth))
        found = on_plane(sun, Sky(np.asarray(beam), np.asarray(diffuse)), azimuth, tilt)
        assert [float(of) for of in found[:3]] == pytest.approx(wanted, abs=data["tolerance"]["absolute"])


@pytest.mark.reference
def test_days_and_the_solstices():
    # Source: the epoch J2000.0; obliquity of the ecliptic 23.44 degrees.
    assert days_from_2000(2000, 1) == 0.0
    assert days_from_2000(2001, 1) == 366.0
    assert days_from_2000(1999, 1) == -365.0
    assert days_from_2000(1996, 1) == -1461.0
    assert days_from_2000(2026, 172, 0.0) == 26 * 365 + 7 + 171 - 0.5
    declination, _ = almanac(days_from_2000(2026, np.arange(1, 366)))
    assert declination.max() == pytest.approx(23.44, abs=0.01)
    assert declination.min() == pytest.approx(-23.44, abs=0.01)
    assert int(declination.argmax()) + 1 in (171, 172, 173)
    assert abs(float(declination[78])) < 0.5  # 20 March


@given(latitude=LATITUDES, day=DAYS)
def test_the_sun_stands_highest_at_noon_and_the_day_is_even(latitude, day):
    hours = np.linspace(0.0, 24.0, 97)
    sun = sun_through_day(latitude, day, hours)
    assert int(sun.elevation.argmax()) == 48
    assert sun.elevation == pytest.approx(sun.elevation[::-1], abs=1e-9)
    noon = 90.0 - abs(latitude - float(almanac(days_from_2000(2026, day))[0]))
    assert float(sun.elevation[48]) == pytest.approx(noon, abs=1e-6)
    # East in the morning, west in the afternoon.
    assert (np.sin(np.radians(sun.azimuth[1:48])) > -1e-9).all()
    assert (np.sin(np.radians(sun.azimuth[49:96])) < 1e-9).all()


@given(latitude=LATITUDES, day=DAYS, hour=HOURS, azimuth=st.floats(0, 360), tilt=st.floats(0, 180))
def test_a_plane_gets_no_more_than_there_is(latitude, day, hour, azimuth, tilt):
    sun = sun_through_day(latitude, day, hour)
    sky = clear_sky(sun.elevation, day)
    found = on_plane(sun, sky, azimuth, tilt)
    assert 0.0 <= found.incidence <= 1.0
    assert 0.0 <= found.beam <= sky.beam
    assert min(found) >= 0.0
    assert found.total <= 1400.0
    if sun.elevation <= 0.0:
        assert found.total == 0.0


def test_a_level_plane_sees_sky_and_a_hanging_one_the_sea():
    sun, sky = Sun(np.asarray(50.0), np.asarray(180.0)), Sky(np.asarray(800.0), np.asarray(100.0))
    level = on_plane(sun, sky, 0.0, 0.0)
    whole = 800.0 * np.sin(np.radians(50.0)) + 100.0
    assert float(level.total) == pytest.approx(whole)
    hanging = on_plane(sun, sky, 0.0, 180.0)
    assert float(hanging.beam) == 0.0
    assert float(hanging.total) == pytest.approx(0.1 * whole)


def test_more_water_and_haze_take_from_the_beam():
    plain = clear_sky(50.0, 172)
    assert clear_sky(50.0, 172, water_cm=5.0).beam < plain.beam
    hazy = clear_sky(50.0, 172, haze_380=0.5, haze_500=0.4)
    assert hazy.beam < plain.beam
    assert hazy.diffuse > plain.diffuse
