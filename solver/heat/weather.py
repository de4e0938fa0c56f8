# SPDX-License-Identifier: MIT
"""Outdoor air through the day, and the sun on the surfaces of a boat on any heading."""

from __future__ import annotations

import datetime
from typing import NamedTuple

import numpy as np

from solver.heat.sun import ALMANAC_YEAR, Sky, Sun, clear_sky, on_plane, sun_through_day
from solver.media.moist_air import RANGE, humidity_ratio, saturation_humidity_ratio
from solver.parts.roots import Array, Values
from solver.vessel.vessel import Conditions

#: Headings tried where the worst is taken [degrees from north].
ALL_HEADINGS = np.arange(0.0, 360.0, 22.5)

# Share of the daily range that outdoor air is below its warmest, at hours 0 to 24: ASHRAE Handbook
# Fundamentals 2013, chapter 14, table of daily temperature range fractions (from memory).
_COOLER = (
    *(0.82, 0.88, 0.92, 0.95, 0.98, 1.00, 0.98, 0.91, 0.74, 0.55, 0.38, 0.23, 0.13),
    *(0.05, 0.00, 0.00, 0.06, 0.14, 0.24, 0.39, 0.50, 0.59, 0.68, 0.75, 0.82),
)
#: Beam through glass falls off with the angle as 1 - 0.1 (1/cos - 1): A. F. Souka, H. H. Safwat, Solar
#: Energy 10 (1966) 170, with the constant usual for one pane; from all sides at once: as at 60 degrees.
_FALLS_OFF, DIFFUSE_THROUGH_GLASS = 0.10, 0.90


class SunOnPlanes(NamedTuple):
    """Sun by hour, heading and plane [W/m2]: all that falls there, and that times the glass's fall-off."""

    falling: Array
    through_glass: Array


def outdoor_air(conditions: Conditions, hours: Values) -> tuple[Array, Array]:
    """Return temperature [degC] and humidity ratio of outdoor air at hours of the day.

    The moisture is that of the warmest hour all day, as far as cooler air holds it.  Hours colder than the
    laws of moist air reach count as the coldest that they do.
    """
    below = conditions.daily_range_K * np.interp(hours, np.arange(25.0), _COOLER)
    coldest = min(conditions.outdoor_temp_C, RANGE[0])
    temp = np.maximum(conditions.outdoor_temp_C - below, coldest)
    moisture = humidity_ratio(conditions.outdoor_temp_C, conditions.outdoor_rh_percent / 100.0)
    return temp, np.minimum(moisture, saturation_humidity_ratio(temp))


def headings(conditions: Conditions) -> Array:
    """Return the heading of the conditions, or all that are tried."""
    if conditions.heading_deg is None:
        return ALL_HEADINGS
    return np.array([conditions.heading_deg])


def day_of_year(month: int, day: int) -> int:
    """Return 1 for 1 January; 29 February counts as the 28th."""
    if (month, day) == (2, 29):
        day = 28
    return datetime.date(ALMANAC_YEAR, month, day).timetuple().tm_yday


def sunshine(conditions: Conditions, hours: Values) -> tuple[Sun, Sky]:
    """Return where the sun stands and what the sky sends, under clouds.

    Notes
    -----
    F. Kasten, G. Czeplak, Solar Energy 24 (1980) 177: all of it on a level plane falls by 0.75 N**3.4 with
    the clouded share N of the sky (from memory).  The beam is taken to fall by N.
    """
    day = day_of_year(conditions.month, conditions.day)
    sun = sun_through_day(conditions.latitude_deg, day, hours)
    sky = clear_sky(sun.elevation, day)
    clouded = conditions.cloud_percent / 100.0
    height = np.maximum(np.sin(np.radians(sun.elevation)), 0.0)
    level = (sky.beam * height + sky.diffuse) * (1.0 - 0.75 * clouded**3.4)
    beam = sky.beam * (1.0 - clouded)
    return sun, Sky(beam, level - beam * height)


def sun_on(conditions: Conditions, hours: Array, heading: Array, facing: Array, tilt: Array) -> SunOnPlanes:
    """Return the sun on planes of a boat, by hour, heading and plane.

    Parameters
    ----------
    hours : array [h], shape (hours,)
    heading : array [degrees], shape (headings,)
    facing, tilt : array [degrees], shape (planes,)
        Facing from the bow.
    """
    sun, sky = sunshine(conditions, hours[:, None, None])
    found = on_plane(sun, sky, heading[:, None] + facing, tilt)
    square_on = np.maximum(found.incidence, 1e-3)
    kept = np.maximum(1.0 - _FALLS_OFF * (1.0 / square_on - 1.0), 0.0)
    through = found.beam * kept + DIFFUSE_THROUGH_GLASS * (found.diffuse + found.reflected)
    return SunOnPlanes(found.total, through)
