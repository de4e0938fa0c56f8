# SPDX-License-Identifier: MIT
"""Where the sun stands, and what a clear sky sends onto a plane.

Angles are in degrees: elevation above the horizon, azimuth clockwise from north, tilt from level (0 looks
up, 90 is upright, 180 looks down).  Irradiances are in W/m2.  All functions are vectorised.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from solver.parts.roots import Array, Values

#: Solar irradiance outside the atmosphere at the mean distance (G. Kopp, J. L. Lean, 2011).
SOLAR_CONSTANT = 1361.0
#: Year whose almanac stands for all: declination differs by less than 0.2 degrees from year to year.
ALMANAC_YEAR = 2026


class Sun(NamedTuple):
    """Place of the sun's middle, without refraction."""

    elevation: Array
    azimuth: Array


class Sky(NamedTuple):
    """Irradiance of a clear sky: of the beam on a plane facing it, and of the sky on a level one."""

    beam: Array
    diffuse: Array


class Irradiance(NamedTuple):
    """What falls on a plane; ``incidence`` is the cosine of the angle between beam and normal, 0 behind."""

    beam: Array
    diffuse: Array
    reflected: Array
    incidence: Array

    @property
    def total(self) -> Array:
        """All that falls on the plane."""
        return np.asarray(self.beam + self.diffuse + self.reflected)


def days_from_2000(year: int, day_of_year: Values, utc_hour: Values = 12.0) -> Array:
    """Return days since noon of 1 January 2000 (UTC).

    Parameters
    ----------
    year : int
        1950 to 2050, where the almanac's formulas hold.
    day_of_year : array
        1 on 1 January.
    utc_hour : array
        Hour of the day, universal time.
    """
    since = year - 2000
    leap_days = (since + 3) // 4 if since >= 0 else -((-since) // 4)
    return np.asarray(365.0 * since + leap_days + np.asarray(day_of_year) - 1.0 + (utc_hour - 12.0) / 24.0)


def almanac(days: Values) -> tuple[Array, Array]:
    """Return the sun's declination and right ascension.

    Notes
    -----
    Low-precision formulas of the Astronomical Almanac, within 0.01 degrees from 1950 to 2050: J. J.
    Michalsky, Solar Energy 40(3) (1988) 227.
    """
    n = np.asarray(days, dtype=float)
    anomaly = np.radians(357.528 + 0.9856003 * n)
    longitude = 280.460 + 0.9856474 * n + 1.915 * np.sin(anomaly) + 0.020 * np.sin(2.0 * anomaly)
    lam, tilt = np.radians(longitude), np.radians(23.439 - 4e-7 * n)
    declination = np.degrees(np.arcsin(np.sin(tilt) * np.sin(lam)))
    ascension = np.degrees(np.arctan2(np.cos(tilt) * np.sin(lam), np.cos(lam))) % 360.0
    return declination, ascension


def sun_at(latitude: Values, longitude: Values, year: int, day_of_year: Values, utc_hour: Values) -> Sun:
    """Return the sun at a place (east positive) and a universal time.

    Examples
    --------
    >>> sun = sun_at(39.742476, -105.1786, 2003, 290, 19.508333)
    >>> round(float(sun.elevation), 1), round(float(sun.azimuth), 1)
    (39.9, 194.3)
    """
    days = days_from_2000(year, day_of_year, utc_hour)
    declination, ascension = almanac(days)
    # Greenwich mean sidereal time in hours (Michalsky 1988, equation 3.1).
    sidereal = 6.697375 + 0.0657098242 * days + np.asarray(utc_hour)
    return sun_seen(latitude, declination, 15.0 * sidereal + longitude - ascension)


def sun_through_day(latitude: Values, day_of_year: Values, solar_hour: Values) -> Sun:
    """Return the sun at hours of local solar time: it stands highest at 12."""
    declination, _ = almanac(days_from_2000(ALMANAC_YEAR, day_of_year))
    return sun_seen(latitude, declination, 15.0 * (np.asarray(solar_hour) - 12.0))


def sun_seen(latitude: Values, declination: Values, hour_angle: Values) -> Sun:
    """Return the sun of a declination at an hour angle (0 at its highest, then positive)."""
    phi, delta, hour = np.radians(latitude), np.radians(declination), np.radians(hour_angle)
    sine = np.sin(phi) * np.sin(delta) + np.cos(phi) * np.cos(delta) * np.cos(hour)
    east = -np.cos(delta) * np.sin(hour)
    north = np.cos(phi) * np.sin(delta) - np.sin(phi) * np.cos(delta) * np.cos(hour)
    elevation = np.degrees(np.arcsin(np.clip(sine, -1.0, 1.0)))
    return Sun(np.asarray(elevation), np.asarray(np.degrees(np.arctan2(east, north)) % 360.0))


def clear_sky(
    elevation: Values,
    day_of_year: Values,
    water_cm: float = 2.5,
    haze_380: float = 0.15,
    haze_500: float = 0.10,
    ozone_cm: float = 0.30,
    albedo: float = 0.10,
) -> Sky:
    """Return the irradiance of a cloudless sky at sea level.

    Parameters
    ----------
    elevation : array
        Of the sun; nothing comes from below the horizon.
    day_of_year : array
        For the distance of the sun.
    water_cm : float
        Water in the air column; 1.5 in temperate, 4 in tropical air (common practice: 2.5).
    haze_380, haze_500 : float
        Optical depth of haze at 380 and 500 nm (clean air, as in Bird's examples).
    ozone_cm : float
    albedo : float
        Of what lies round about.

    Notes
    -----
    R. E. Bird, R. L. Hulstrom, A Simplified Clear Sky Model for Direct and Diffuse Insolation on Horizontal
    Surfaces, SERI/TR-642-761, 1981; air mass by F. Kasten, 1966; distance of the sun as
    1 + 0.033 cos(2 pi n/365) (Duffie and Beckman).
    """
    up = np.asarray(elevation, dtype=float)
    outside = SOLAR_CONSTANT * (1.0 + 0.033 * np.cos(2.0 * np.pi * np.asarray(day_of_year) / 365.0))
    shining = up > 0.0
    zenith = np.where(shining, 90.0 - up, 89.9)
    height = np.cos(np.radians(zenith))
    mass = 1.0 / (height + 0.15 * (93.885 - zenith) ** -1.253)
    rayleigh = np.exp(-0.0903 * mass**0.84 * (1.0 + mass - mass**1.01))
    o3 = ozone_cm * mass
    ozone = (
        1.0 - 0.1611 * o3 * (1.0 + 139.48 * o3) ** -0.3034 - 0.002715 * o3 / (1.0 + 0.044 * o3 + 3e-4 * o3**2)
    )
    gases = np.exp(-0.0127 * mass**0.26)
    column = water_cm * mass
    water = 1.0 - 2.4959 * column / ((1.0 + 79.034 * column) ** 0.6828 + 6.385 * column)
    depth = 0.2758 * haze_380 + 0.35 * haze_500
    haze = np.exp(-(depth**0.873) * (1.0 + depth - depth**0.7088) * mass**0.9108)
    absorbed = 1.0 - 0.1 * (1.0 - mass + mass**1.06) * (1.0 - haze)
    asymmetry = 0.85
    back = 0.0685 + (1.0 - asymmetry) * (1.0 - haze / absorbed)
    beam = 0.9662 * outside * haze * water * gases * ozone * rayleigh
    scattered = 0.79 * outside * height * ozone * gases * water * absorbed
    scattered *= 0.5 * (1.0 - rayleigh) + asymmetry * (1.0 - haze / absorbed)
    scattered /= 1.0 - mass + mass**1.02
    level = (beam * height + scattered) / (1.0 - albedo * back)
    return Sky(
        np.where(shining, beam, 0.0),
        np.where(shining, level - beam * height, 0.0),
    )


def on_plane(sun: Sun, sky: Sky, azimuth: Values, tilt: Values, albedo: float = 0.10) -> Irradiance:
    """Return what falls on a plane.

    Parameters
    ----------
    sun, sky : Sun, Sky
    azimuth, tilt : array
        Where the plane looks, and its tilt.
    albedo : float
        Of the water and deck before it (common practice for the sea with a high sun: below 0.1).

    Notes
    -----
    Sky and reflected light alike from all sides: B. Y. H. Liu, R. C. Jordan, Solar Energy 7 (1963) 53.
    """
    e, a = np.radians(sun.elevation), np.radians(np.asarray(azimuth) - sun.azimuth)
    slope = np.radians(tilt)
    cosine = np.sin(e) * np.cos(slope) + np.cos(e) * np.sin(slope) * np.cos(a)
    incidence = np.where(np.asarray(sun.elevation) > 0.0, np.maximum(cosine, 0.0), 0.0)
    up = 0.5 * (1.0 + np.cos(slope))
    level = sky.beam * np.maximum(np.sin(e), 0.0) + sky.diffuse
    return Irradiance(
        np.asarray(sky.beam * incidence),
        np.asarray(sky.diffuse * up + 0.0 * incidence),
        np.asarray(albedo * level * (1.0 - up) + 0.0 * incidence),
        np.asarray(incidence),
    )
