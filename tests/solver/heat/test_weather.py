# SPDX-License-Identifier: MIT
"""Outdoor air through the day, clouds, and the sun on a boat that turns."""

from __future__ import annotations

import msgspec
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from solver.heat.sun import clear_sky, sun_through_day
from solver.heat.weather import ALL_HEADINGS, day_of_year, headings, outdoor_air, sun_on, sunshine
from solver.media.moist_air import humidity_ratio
from solver.vessel.vessel import Conditions

SUMMER = Conditions(name="Summer", daily_range_K=8.0)
HOURS = st.floats(0.0, 24.0)
ANGLES = st.floats(-180.0, 180.0)


def replace(**fields: object) -> Conditions:
    return msgspec.structs.replace(SUMMER, **fields)


def test_warmest_at_three_coolest_at_five() -> None:
    temps, _ = outdoor_air(SUMMER, np.arange(25.0))
    assert temps.max() == temps[15] == 35.0
    assert temps.min() == temps[5] == pytest.approx(27.0)
    assert temps[0] == temps[24]


def test_moisture_stays_as_far_as_air_holds_it() -> None:
    _, moisture = outdoor_air(SUMMER, np.array([5.0, 15.0]))
    assert moisture[1] == pytest.approx(float(humidity_ratio(35.0, 0.7)))
    # 27 degC holds no more than 0.0227.
    assert moisture[0] == pytest.approx(float(humidity_ratio(27.0, 1.0)))


@pytest.mark.parametrize(("month", "day", "number"), [(1, 1, 1), (2, 29, 59), (7, 21, 202), (12, 31, 365)])
def test_days_of_the_year(month: int, day: int, number: int) -> None:
    assert day_of_year(month, day) == number


def test_no_clouds_is_the_clear_sky() -> None:
    sun, sky = sunshine(SUMMER, np.array([12.0]))
    clear = clear_sky(sun_through_day(40.0, 202, np.array([12.0])).elevation, 202)
    assert sky.beam == pytest.approx(clear.beam)
    assert sky.diffuse == pytest.approx(clear.diffuse)
    assert float(sun.elevation[0]) == pytest.approx(90.0 - 40.0 + 20.5, abs=0.2)


@pytest.mark.reference
def test_an_overcast_sky_leaves_a_quarter() -> None:
    # Source: F. Kasten, G. Czeplak, Solar Energy 24 (1980) 177: 1 - 0.75 N**3.4, N = 1.
    _, clear = sunshine(SUMMER, np.array([12.0]))
    sun, sky = sunshine(replace(cloud_percent=100.0), np.array([12.0]))
    height = np.sin(np.radians(sun.elevation))
    assert sky.beam[0] == 0.0
    assert sky.diffuse == pytest.approx(0.25 * (clear.beam * height + clear.diffuse))


@given(HOURS, st.floats(0.0, 100.0), st.floats(-80.0, 80.0))
def test_clouds_never_add_nor_leave_less_than_nothing(hour: float, cloud: float, latitude: float) -> None:
    at = np.array([hour])
    sun, sky = sunshine(replace(cloud_percent=cloud, latitude_deg=latitude), at)
    _, clear = sunshine(replace(latitude_deg=latitude), at)
    height = np.maximum(np.sin(np.radians(sun.elevation)), 0.0)
    assert sky.diffuse[0] >= -1e-9
    assert (sky.beam * height + sky.diffuse)[0] <= (clear.beam * height + clear.diffuse)[0] + 1e-9


@given(HOURS, ANGLES, ANGLES, st.floats(0.0, 180.0))
def test_a_boat_turned_with_its_windows_turned_back_sees_the_same(
    hour: float, heading: float, turned: float, tilt: float
) -> None:
    at, tilts = np.array([hour]), np.array([tilt])
    one = sun_on(SUMMER, at, np.array([heading]), np.array([30.0]), tilts)
    other = sun_on(SUMMER, at, np.array([heading + turned]), np.array([30.0 - turned]), tilts)
    assert one.falling == pytest.approx(other.falling, abs=1e-6)
    assert one.through_glass == pytest.approx(other.through_glass, abs=1e-2)


@given(HOURS, ANGLES, st.floats(0.0, 180.0))
def test_glass_lets_in_no_more_than_falls_on_it(hour: float, facing: float, tilt: float) -> None:
    found = sun_on(SUMMER, np.array([hour]), ALL_HEADINGS, np.array([facing]), np.array([tilt]))
    assert (found.through_glass <= found.falling + 1e-9).all()
    assert (found.through_glass >= 0.0).all()


def test_no_sun_at_night() -> None:
    found = sun_on(
        SUMMER, np.array([0.0, 2.0, 23.0]), ALL_HEADINGS, np.array([90.0, 0.0]), np.array([90.0, 0.0])
    )
    assert not found.falling.any()


@pytest.mark.reference
def test_glass_takes_a_tenth_off_at_sixty_degrees() -> None:
    # Source: A. F. Souka, H. H. Safwat, Solar Energy 10 (1966) 170: 1 - 0.1 (1/cos 60 - 1) = 0.9, and the
    # same of what comes from all sides.
    at = replace(latitude_deg=0.0, month=3, day=21)
    found = sun_on(at, np.array([8.0]), np.array([0.0]), np.array([0.0]), np.array([0.0]))
    sun, _ = sunshine(at, np.array([8.0]))
    assert float(sun.elevation[0]) == pytest.approx(30.0, abs=0.1)
    assert (found.through_glass / found.falling)[0, 0, 0] == pytest.approx(0.9, abs=1e-3)


def test_headings() -> None:
    assert headings(SUMMER) is ALL_HEADINGS
    assert headings(replace(heading_deg=30.0)).tolist() == [30.0]


@pytest.mark.reference
@pytest.mark.parametrize(
    ("facing", "tilt", "btu_h_ft2"),
    [(0.0, 90.0, 38.0), (90.0, 90.0, 216.0), (180.0, 90.0, 109.0), (270.0, 90.0, 216.0), (0.0, 0.0, 262.0)],
)
def test_largest_solar_heat_gain_of_a_summer_day(facing: float, tilt: float, btu_h_ft2: float) -> None:
    # Source: ASHRAE, maximum solar heat gain factors, 40 degrees north, July (from memory), for clear glass
    # of 3 mm (solar gain 0.87).  Another clear sky, and ground twice as bright as the sea: within a fifth.
    at = replace(latitude_deg=40.0, heading_deg=0.0)
    hours = np.arange(5.0, 20.0)
    found = sun_on(at, hours, np.array([0.0]), np.array([facing]), np.array([tilt])).through_glass
    assert 0.87 * found.max() / 3.1546 == pytest.approx(btu_h_ft2, rel=0.2)
