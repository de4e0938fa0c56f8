# SPDX-License-Identifier: MIT
"""Moist air: humidity, enthalpy, dew point, wet bulb and volume, by the ASHRAE ideal-gas formulas.

Temperatures are in degC, pressures in Pa, humidity ratios in kg of water per kg of DRY air, enthalpies
in J per kg of dry air (0 for dry air at 0 degC), relative humidity 0..1.  Every function takes floats
or arrays that broadcast, and gives the broadcast shape.  Real moist air differs by about 0.5 % in the
humidity of saturation; ``docs/physics/moist_air.md`` names the sources.
"""

from __future__ import annotations

from typing import Any, NamedTuple, TypeAlias

import numpy as np
from numpy.typing import NDArray

from solver.errors import AirError

Array = NDArray[np.float64]
#: What every function takes: a float, or an array.
Values: TypeAlias = float | Array

#: Standard pressure at sea level [Pa].
PRESSURE = 101325.0
#: Dry bulb, dew point and wet bulb lie in this range [degC].
RANGE = (-60.0, 90.0)

ZERO_C = 273.15
#: Molar mass of water over that of dry air (ASHRAE Fundamentals 2017, chapter 1).
MASS_RATIO = 0.621945
#: Gas constant of dry air [J/(kg K)].
GAS_CONSTANT = 287.042
#: Specific heats [J/(kg K)] of dry air and of water vapour, and heat of evaporation at 0 degC [J/kg].
DRY_HEAT, VAPOUR_HEAT, EVAPORATION = 1006.0, 1860.0, 2.501e6

#: Triple point of water, where the formula over ice takes over [degC].
_TRIPLE = 0.01
# R. W. Hyland, A. Wexler, ASHRAE Transactions 89(2A), 1983:
# ln p = a/T + b + c T + d T**2 + e T**3 + f T**4 + g ln T.
_OVER_WATER = (-5.8002206e3, 1.3914993, -4.8640239e-2, 4.1764768e-5, -1.4452093e-8, 0.0, 6.5459673)
_OVER_ICE = (-5.6745359e3, 6.3925247, -9.6778430e-3, 6.2215701e-7, 2.0747825e-9, -9.4840240e-13, 4.1635019)
_STEPS = 40
# Newton doubles the digits: a step of this size leaves an error far below it.
_SETTLED = 1e-7


class AirState(NamedTuple):
    """All that is told of a state of moist air; ``volume`` is that of 1 kg of dry air [m3/kg]."""

    temp_C: Array
    humidity_ratio: Array
    relative_humidity: Array
    enthalpy: Array
    dew_point_C: Array
    wet_bulb_C: Array
    volume: Array


def air_state(temp_C: Values, humidity_ratio: Values, pressure: Values = PRESSURE) -> AirState:
    """Return all properties of air of a temperature and a humidity ratio.

    Raises
    ------
    AirError
        If a temperature is outside ``RANGE`` or a humidity ratio is negative.

    Examples
    --------
    >>> round(float(air_state(27.0, humidity_ratio(27.0, 0.5)).dew_point_C), 1)
    15.7
    """
    return AirState(
        np.asarray(temp_C, dtype=float),
        np.asarray(humidity_ratio, dtype=float),
        relative_humidity(temp_C, humidity_ratio, pressure),
        enthalpy(temp_C, humidity_ratio),
        dew_point(humidity_ratio, pressure),
        wet_bulb(temp_C, humidity_ratio, pressure),
        specific_volume(temp_C, humidity_ratio, pressure),
    )


def saturation_pressure(temp_C: Values) -> Array:
    """Return the pressure of saturated vapour [Pa], over ice below 0.01 degC and over water above.

    Raises
    ------
    AirError
        If a temperature is outside ``RANGE``.

    Notes
    -----
    R. W. Hyland, A. Wexler, 1983; ASHRAE Handbook Fundamentals 2017, chapter 1, equations 5 and 6.

    Examples
    --------
    >>> round(float(saturation_pressure(25.0)), 1)
    3169.2
    """
    return np.exp(_log_saturation(_checked(temp_C)))


def saturation_humidity_ratio(temp_C: Values, pressure: Values = PRESSURE) -> Array:
    """Return the humidity ratio of saturated air.

    Raises
    ------
    AirError
        If a temperature is outside ``RANGE``.
    """
    vapour = np.exp(_log_saturation(_checked(temp_C)))
    return np.asarray(MASS_RATIO * vapour / (pressure - vapour))


def humidity_ratio(temp_C: Values, rh: Values, pressure: Values = PRESSURE) -> Array:
    """Return the humidity ratio of air of a temperature and a relative humidity (0..1).

    Raises
    ------
    AirError
        If a temperature is outside ``RANGE`` or a relative humidity outside 0..1.

    Examples
    --------
    >>> round(float(humidity_ratio(35.0, 0.7)), 4)
    0.0252
    """
    share = np.asarray(rh, dtype=float)
    _refuse(~((share >= 0.0) & (share <= 1.0)), share, "relative humidity", "0 to 1")
    vapour = share * saturation_pressure(temp_C)
    return np.asarray(MASS_RATIO * vapour / (pressure - vapour))


def humidity_ratio_at_wet_bulb(temp_C: Values, wet_bulb_C: Values, pressure: Values = PRESSURE) -> Array:
    """Return the humidity ratio of air of a dry bulb and a wet bulb.

    Raises
    ------
    AirError
        If a temperature is outside ``RANGE``, the wet bulb is above the dry bulb, or so far below it
        that the air would hold less than nothing.

    Notes
    -----
    ASHRAE Handbook Fundamentals 2017, chapter 1, equations 33 and 35.
    """
    t, wet = np.broadcast_arrays(_checked(temp_C), _checked(wet_bulb_C))
    _refuse(wet > t + 1e-9, wet, "wet bulb", "not above the dry bulb")
    saturated = _saturated(wet, pressure)[0]
    over_water, over_ice = _wet_bulb_terms(t, wet)
    terms = np.where(wet >= 0.0, over_water, over_ice)
    ratio = (terms[0] * saturated - DRY_HEAT * (t - wet)) / terms[1]
    _refuse(ratio < 0.0, wet, "wet bulb", "one that leaves water in the air")
    return np.asarray(ratio)


def relative_humidity(temp_C: Values, humidity_ratio: Values, pressure: Values = PRESSURE) -> Array:
    """Return the relative humidity; above 1 where the air holds fog.

    Raises
    ------
    AirError
        If a temperature is outside ``RANGE`` or a humidity ratio is negative.
    """
    return _vapour_pressure(humidity_ratio, pressure) / saturation_pressure(temp_C)


def specific_heat(humidity_ratio: Values) -> Array:
    """Return the specific heat of moist air [J/K per kg of dry air]."""
    return np.asarray(DRY_HEAT + VAPOUR_HEAT * np.asarray(humidity_ratio, dtype=float))


def enthalpy(temp_C: Values, humidity_ratio: Values) -> Array:
    """Return the enthalpy [J/kg of dry air]: 1006 t + W (2.501e6 + 1860 t)."""
    t, w = np.asarray(temp_C, dtype=float), np.asarray(humidity_ratio, dtype=float)
    return np.asarray(DRY_HEAT * t + w * (EVAPORATION + VAPOUR_HEAT * t))


def temp_at_enthalpy(enthalpy: Values, humidity_ratio: Values) -> Array:
    """Return the temperature [degC] of air of an enthalpy and a humidity ratio."""
    w = np.asarray(humidity_ratio, dtype=float)
    return np.asarray((enthalpy - EVAPORATION * w) / specific_heat(w))


def specific_volume(temp_C: Values, humidity_ratio: Values, pressure: Values = PRESSURE) -> Array:
    """Return the volume of the air that holds 1 kg of dry air [m3]."""
    kelvin = np.asarray(temp_C, dtype=float) + ZERO_C
    vapour = 1.0 + np.asarray(humidity_ratio, dtype=float) / MASS_RATIO
    return np.asarray(GAS_CONSTANT * kelvin * vapour / pressure)


def dry_air_flow(
    volume_flow: Values, temp_C: Values, humidity_ratio: Values, pressure: Values = PRESSURE
) -> Array:
    """Return the flow of dry air [kg/s] in a volume flow of moist air [m3/s]."""
    return np.asarray(volume_flow / specific_volume(temp_C, humidity_ratio, pressure))


def saturation_enthalpy(temp_C: Values, pressure: Values = PRESSURE) -> Array:
    """Return the enthalpy of saturated air [J/kg of dry air].

    Raises
    ------
    AirError
        If a temperature is outside ``RANGE``.
    """
    t = _checked(temp_C)
    vapour = np.exp(_log_saturation(t))
    ratio = MASS_RATIO * vapour / (pressure - vapour)
    return np.asarray(DRY_HEAT * t + ratio * (EVAPORATION + VAPOUR_HEAT * t))


def saturation_temp(enthalpy: Values, pressure: Values = PRESSURE) -> Array:
    """Return the temperature [degC] at which saturated air has an enthalpy [J/kg of dry air].

    Held within ``RANGE``.
    """
    wanted = np.asarray(enthalpy, dtype=float)

    def excess(t: Array) -> tuple[Array, Array]:
        w, slope = _saturated(t, pressure)
        vapour = EVAPORATION + VAPOUR_HEAT * t
        return DRY_HEAT * t + w * vapour - wanted, DRY_HEAT + VAPOUR_HEAT * w + slope * vapour

    # Saturated air holds no more than its dry part alone would be warm; convex, so Newton falls onto it.
    start = np.minimum(wanted / DRY_HEAT + 20.0, RANGE[1])
    return _newton(excess, np.maximum(start, RANGE[0]))


def dew_point(humidity_ratio: Values, pressure: Values = PRESSURE) -> Array:
    """Return the dew point [degC], below 0.01 degC the frost point; held within ``RANGE``.

    Raises
    ------
    AirError
        If a humidity ratio is negative.

    Examples
    --------
    >>> round(float(dew_point(0.010)), 2)
    14.05
    """
    log_vapour = np.log(np.maximum(_vapour_pressure(humidity_ratio, pressure), 1e-3))

    def excess(t: Array) -> tuple[Array, Array]:
        return _log_saturation(t) - log_vapour, _log_saturation_slope(t)

    # O. A. Alduchov, R. E. Eskridge, J. Appl. Meteor. 35 (1996) 601: within a kelvin, for a start.
    magnus = np.minimum(log_vapour - np.log(610.94), 16.0)
    return _newton(excess, np.clip(243.04 * magnus / (17.625 - magnus), *RANGE))


def wet_bulb(temp_C: Values, humidity_ratio: Values, pressure: Values = PRESSURE) -> Array:
    """Return the wet bulb [degC]: of ice where a wet bulb of water would be below 0.

    Raises
    ------
    AirError
        If a temperature is outside ``RANGE`` or a humidity ratio is negative.

    Notes
    -----
    ASHRAE Handbook Fundamentals 2017, chapter 1, equations 33 and 35, solved for the wet bulb.  Fog (a
    humidity ratio above saturation) is taken as saturated.
    """
    t, w = np.broadcast_arrays(_checked(temp_C), np.asarray(humidity_ratio, dtype=float))
    _refuse(~(w >= 0.0), w, "humidity ratio", "0 or more")
    w = np.minimum(w, _saturated(t, pressure)[0])
    at_zero = EVAPORATION * _saturated(np.zeros(()), pressure)[0] - DRY_HEAT * t
    watery = at_zero <= w * (EVAPORATION + VAPOUR_HEAT * t)

    def excess(wet: Array) -> tuple[Array, Array]:
        ratio, slope = _saturated(wet, pressure)
        over_water, over_ice = _wet_bulb_terms(t, wet)
        gain, hold = np.where(watery, over_water, over_ice)
        gain_slope, hold_slope = np.where(watery, -2326.0, -240.0), np.where(watery, -4186.0, -2100.0)
        value = gain * ratio - DRY_HEAT * (t - wet) - w * hold
        return value, gain * slope + gain_slope * ratio + DRY_HEAT - w * hold_slope

    return _newton(excess, t)


def _wet_bulb_terms(t: Array, wet: Array) -> tuple[Array, Array]:
    """Return (gain, hold) of W = (gain Ws - 1006 (t - wet))/hold, over water and over ice [J/kg]."""
    vapour = VAPOUR_HEAT * t
    water = np.array([EVAPORATION - 2326.0 * wet, EVAPORATION + vapour - 4186.0 * wet])
    ice = np.array([2.830e6 - 240.0 * wet, 2.830e6 + vapour - 2100.0 * wet])
    return water, ice


def _log_saturation(t: Array) -> Array:
    """Return ln p of saturated vapour."""
    kelvin = t + ZERO_C
    water = _hyland_wexler(kelvin, _OVER_WATER)
    cold = t < _TRIPLE
    return np.where(cold, _hyland_wexler(kelvin, _OVER_ICE), water) if cold.any() else water


def _log_saturation_slope(t: Array) -> Array:
    """Return the slope of ln p of saturated vapour [1/K]."""
    kelvin = t + ZERO_C
    return np.where(t < _TRIPLE, _slope(kelvin, _OVER_ICE), _slope(kelvin, _OVER_WATER))


def _hyland_wexler(kelvin: Array, of: tuple[float, ...]) -> Array:
    a, b, c, d, e, f, g = of
    powers = kelvin * (c + kelvin * (d + kelvin * (e + kelvin * f)))
    return np.asarray(a / kelvin + b + powers + g * np.log(kelvin))


def _slope(kelvin: Array, of: tuple[float, ...]) -> Array:
    a, _, c, d, e, f, g = of
    powers = c + kelvin * (2.0 * d + kelvin * (3.0 * e + kelvin * 4.0 * f))
    return np.asarray((g - a / kelvin) / kelvin + powers)


def _saturated(t: Array, pressure: Values) -> tuple[Array, Array]:
    """Return the humidity ratio of saturated air and its slope [1/K]."""
    vapour = np.exp(_log_saturation(t))
    dry = pressure - vapour
    ratio = MASS_RATIO * vapour / dry
    return ratio, ratio * _log_saturation_slope(t) * pressure / dry


def _vapour_pressure(humidity_ratio: Values, pressure: Values) -> Array:
    w = np.asarray(humidity_ratio, dtype=float)
    _refuse(~(w >= 0.0), w, "humidity ratio", "0 or more")
    return np.asarray(pressure * w / (MASS_RATIO + w))


def _newton(excess: Any, start: Array) -> Array:
    """Return where a rising excess(t) is 0, within ``RANGE``: convex from above, or begun near it."""
    t = np.asarray(start, dtype=float)
    for _ in range(_STEPS):
        value, slope = excess(t)
        new = np.clip(t - value / slope, *RANGE)
        moved = np.abs(new - t).max(initial=0.0)
        t = new
        if moved < _SETTLED:
            break
    return np.asarray(t)


def _checked(temp_C: Values) -> Array:
    t = np.asarray(temp_C, dtype=float)
    _refuse(~((t >= RANGE[0]) & (t <= RANGE[1])), t, "temperature [degC]", f"{RANGE[0]:g} to {RANGE[1]:g}")
    return t


def _refuse(wrong: Any, values: Array, what: str, accepted: str) -> None:
    if np.any(wrong):
        value = np.broadcast_to(values, np.shape(wrong))[wrong].flat[0]
        raise AirError(f"moist air: {what} {value:.4g}; accepted: {accepted}")
