# SPDX-License-Identifier: MIT
"""Heat through the wall of a pipe and its insulation, the temperature of its surface, and condensation.

Per metre of pipe, from the liquid to the air round it, resistances in series [m K/W]: film inside, wall,
insulation, film outside (ISO 12241, steady heat transfer of cylinders).  All functions are vectorised.
Temperatures are in degC, everything else SI.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from solver.parts.roots import Array, Values, bracketed_root

_PI, _ZERO_C, _GRAVITY = np.pi, 273.15, 9.80665
_STEFAN_BOLTZMANN = 5.670374419e-8
_PRESSURE, _AIR_CONSTANT, _AIR_HEAT = 101325.0, 287.042, 1006.0

#: Emissivity of foam, paint, plastic and dirty metal (common practice); bright metal is about 0.1.
EMISSIVITY = 0.9
#: Thickest insulation looked for [m].
THICKEST = 1.0
#: Nusselt number of laminar flow in a tube of even wall temperature (Incropera 2007, chapter 8).
LAMINAR_NUSSELT = 3.66
_LAMINAR_BELOW, _TURBULENT_ABOVE = 2300.0, 4000.0
_STEPS = 60
_SETTLED = 1e-7


class PipeHeat(NamedTuple):
    """Heat of one metre of pipe.

    ``gain`` [W/m] goes into the liquid (negative where the pipe is warmer than the air), ``conductance``
    [W/(m K)] is from liquid to air, ``film`` [W/(m2 K)] the film outside it was worked out with.
    """

    gain: Array
    conductance: Array
    surface_C: Array
    film: Array


def inside_film(
    flow: Values, bore: Values, viscosity: Values, specific_heat: Values, conductivity: Values
) -> Array:
    """Return the film coefficient inside a pipe [W/(m2 K)].

    Parameters
    ----------
    flow : array [kg/s]
        Its direction does not matter; at 0 the laminar value stays.
    bore : array [m]
    viscosity, specific_heat, conductivity : array [Pa s, J/(kg K), W/(m K)]
        Of the liquid.

    Notes
    -----
    Laminar below Re 2300: Nu = 3.66.  Turbulent above Re 4000: V. Gnielinski, Int. Chem. Eng. 16 (1976)
    359, with the friction factor of a smooth pipe (0.79 ln Re - 1.64)**-2 (B. S. Petukhov, 1970).  Between
    them a straight line in Re (V. Gnielinski, Int. J. Heat Mass Transfer 63 (2013) 134).

    Examples
    --------
    >>> round(float(inside_film(0.5, 0.022, 1.3e-3, 4195.0, 0.58)))
    4825
    """
    re = 4.0 * np.abs(flow) / (_PI * bore * viscosity)
    pr = viscosity * specific_heat / conductivity
    turbulent = _gnielinski(np.maximum(re, _TURBULENT_ABOVE), pr)
    share = np.clip((re - _LAMINAR_BELOW) / (_TURBULENT_ABOVE - _LAMINAR_BELOW), 0.0, 1.0)
    nusselt = LAMINAR_NUSSELT + share * (turbulent - LAMINAR_NUSSELT)
    return np.asarray(nusselt * conductivity / bore)


def _gnielinski(re: Array, pr: Values) -> Array:
    eighth = (0.79 * np.log(re) - 1.64) ** -2 / 8.0
    return np.asarray(
        eighth * (re - 1000.0) * pr / (1.0 + 12.7 * np.sqrt(eighth) * (pr ** (2.0 / 3.0) - 1.0))
    )


def outside_film(
    surface_C: Values, air_C: Values, diameter: Values, emissivity: Values = EMISSIVITY
) -> Array:
    """Return the film coefficient outside a level pipe in still air [W/(m2 K)].

    Parameters
    ----------
    surface_C, air_C : array [degC]
        The walls round about are taken to be as warm as the air.
    diameter : array [m]
        Of the outermost surface.
    emissivity : array
        Of that surface.

    Notes
    -----
    Free convection: S. W. Churchill, H. H. S. Chu, Int. J. Heat Mass Transfer 18 (1975) 1049; radiation
    to large surroundings.  Air at the mean of both temperatures by the U.S. Standard Atmosphere 1976
    (viscosity and conductivity) and the ideal-gas law.

    Examples
    --------
    >>> round(float(outside_film(25.0, 30.0, 0.06)), 2)
    8.96
    """
    warm, cold = np.asarray(surface_C, dtype=float) + _ZERO_C, np.asarray(air_C, dtype=float) + _ZERO_C
    mean = 0.5 * (warm + cold)
    root = mean * np.sqrt(mean)
    viscosity = 1.458e-6 * root / (mean + 110.4)
    conductivity = 2.64638e-3 * root / (mean + 245.4 * 10.0 ** (-12.0 / mean))
    density = _PRESSURE / (_AIR_CONSTANT * mean)
    prandtl = viscosity * _AIR_HEAT / conductivity
    grashof = _GRAVITY * np.abs(warm - cold) / mean * diameter**3 * (density / viscosity) ** 2
    slowing = (1.0 + (0.559 / prandtl) ** (9.0 / 16.0)) ** (8.0 / 27.0)
    nusselt = (0.60 + 0.387 * (grashof * prandtl) ** (1.0 / 6.0) / slowing) ** 2
    radiation = emissivity * _STEFAN_BOLTZMANN * (warm**2 + cold**2) * (warm + cold)
    return np.asarray(nusselt * conductivity / diameter + radiation)


def resistance_to_surface(
    bore: Values,
    outside: Values,
    wall_conductivity: Values,
    inside_film: Values,
    thickness: Values = 0.0,
    conductivity: Values = 0.038,
) -> Array:
    """Return the resistance from the liquid to the outermost surface [m K/W].

    Parameters
    ----------
    bore, outside : array [m]
        Diameters of the pipe's wall.
    wall_conductivity : array [W/(m K)]
    inside_film : array [W/(m2 K)]
    thickness, conductivity : array [m, W/(m K)]
        Of the insulation; thickness 0 is a bare pipe.
    """
    film = 1.0 / (_PI * bore * inside_film)
    wall = np.log(outside / np.asarray(bore)) / (2.0 * _PI * wall_conductivity)
    return np.asarray(film + wall + _round(outside, thickness, conductivity))


def _round(outside: Values, thickness: Values, conductivity: Values) -> Array:
    """Return the resistance of insulation round a pipe [m K/W]."""
    return np.asarray(np.log1p(2.0 * np.asarray(thickness) / outside) / (2.0 * _PI * conductivity))


def pipe_heat(
    liquid_C: Values,
    air_C: Values,
    resistance: Values,
    diameter: Values,
    film: Values | None = None,
    emissivity: Values = EMISSIVITY,
) -> PipeHeat:
    """Return heat gain, conductance and surface temperature of a pipe.

    Parameters
    ----------
    liquid_C, air_C : array [degC]
    resistance : array [m K/W]
        From liquid to surface, as :func:`resistance_to_surface` gives it.
    diameter : array [m]
        Of the outermost surface: outside diameter plus twice the insulation.
    film : array [W/(m2 K)], optional
        Film coefficient outside; that of still air (:func:`outside_film`) if left out.
    emissivity : array
        For still air.

    Examples
    --------
    >>> inner = resistance_to_surface(0.022, 0.028, 0.2, 3000.0, thickness=0.019)
    >>> round(float(pipe_heat(7.0, 30.0, inner, 0.066).surface_C), 1)
    27.0
    """
    if film is not None:
        return _with_film(liquid_C, air_C, resistance, diameter, np.asarray(film, dtype=float))
    surface = np.asarray(air_C, dtype=float) + 0.0 * np.asarray(liquid_C) + 0.0 * resistance
    found = _with_film(
        liquid_C, air_C, resistance, diameter, outside_film(surface, air_C, diameter, emissivity)
    )
    for _ in range(_STEPS):
        # The film goes with a fourth to a third power of the difference, so each step mends most of the rest.
        outer = outside_film(found.surface_C, air_C, diameter, emissivity)
        before, found = found, _with_film(liquid_C, air_C, resistance, diameter, outer)
        if np.abs(found.surface_C - before.surface_C).max(initial=0.0) < _SETTLED:
            break
    return found


def _with_film(
    liquid_C: Values, air_C: Values, resistance: Values, diameter: Values, film: Array
) -> PipeHeat:
    outer = 1.0 / (_PI * np.asarray(diameter) * film)
    conductance = 1.0 / (resistance + outer)
    gain = conductance * (np.asarray(air_C, dtype=float) - liquid_C)
    return PipeHeat(gain, conductance, air_C - gain * outer, film)


def least_thickness(
    liquid_C: Values,
    air_C: Values,
    dew_point_C: Values,
    outside: Values,
    conductivity: Values,
    film: Values | None = None,
    inner: Values = 0.0,
    emissivity: Values = EMISSIVITY,
) -> Array:
    """Return the least thickness of insulation [m] that keeps the surface at the dew point or above.

    Parameters
    ----------
    liquid_C, air_C, dew_point_C : array [degC]
        Coldest liquid in the pipe, and the air of the space it crosses.
    outside : array [m]
        Outside diameter of the bare pipe.
    conductivity : array [W/(m K)]
        Of the insulation, at the mean of liquid and air.
    film : array [W/(m2 K)], optional
        Film coefficient outside; that of still air if left out.
    inner : array [m K/W]
        Resistance of film inside and wall; 0 is on the safe side.
    emissivity : array
        For still air.

    Returns
    -------
    array
        0 where the bare pipe is dry, infinite where not even ``THICKEST`` would do (as in air that is
        saturated, where nothing helps but drying it).

    Notes
    -----
    Thicker insulation always warms the surface of a cold pipe, so there is one answer.
    """
    given = (liquid_C, air_C, dew_point_C, outside, conductivity, inner, 0.0 if film is None else film)
    liquid, air, dew, size, k, inside, steady = np.broadcast_arrays(
        *(np.asarray(of, dtype=float) for of in given)
    )

    def spare(thickness: Array) -> Array:
        """Return heat the air can bring to a surface at the dew point, less what the pipe draws [W/m]."""
        diameter = size + 2.0 * thickness
        outer = outside_film(dew, air, diameter, emissivity) if film is None else steady
        drawn = (dew - liquid) / np.maximum(inside + _round(size, thickness, k), 1e-12)
        return np.asarray(_PI * diameter * outer * (air - dew) - drawn)

    none, most = np.zeros(liquid.shape), np.full(liquid.shape, THICKEST)
    found = bracketed_root(spare, none, most)
    # At the dew point or warmer the liquid cannot chill the surface below it.
    dry = (spare(none) >= 0.0) | (dew <= liquid)
    short = (spare(most) < 0.0) | (dew >= air)
    return np.asarray(np.where(dry, 0.0, np.where(short, np.inf, found)))


def critical_radius(conductivity: Values, film: Values) -> Array:
    """Return the radius [m] at which an insulated pipe passes most heat: conductivity/film.

    On a pipe thinner than that the first insulation adds surface faster than it adds resistance.

    Examples
    --------
    >>> round(float(critical_radius(0.055, 5.0)), 4)
    0.011
    """
    return np.asarray(conductivity / np.asarray(film, dtype=float))


def outlet_temp(
    inlet_C: Values, air_C: Values, conductance: Values, length: Values, capacity_rate: Values
) -> Array:
    """Return the temperature [degC] of a liquid that leaves a run.

    Parameters
    ----------
    inlet_C, air_C : array [degC]
    conductance : array [W/(m K)]
        From liquid to air.
    length : array [m]
    capacity_rate : array [W/K]
        Flow times specific heat, 0 or more; at 0 the liquid is as warm as the air.

    Notes
    -----
    T = Ta + (T1 - Ta) exp(-U L/C), the liquid mixed over the cross-section and no heat along the pipe.
    """
    rate = np.asarray(capacity_rate, dtype=float)
    units = conductance * np.asarray(length) / np.maximum(rate, 1e-12)
    left = np.where(rate > 0.0, np.exp(-np.minimum(units, 700.0)), 0.0)
    return np.asarray(air_C + (np.asarray(inlet_C, dtype=float) - air_C) * left)
