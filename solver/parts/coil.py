# SPDX-License-Identifier: MIT
"""Water coils: cooling dry, wet or partly wet, and heating, by effectiveness over enthalpy.

Air and water pass each other in counterflow.  Where the surface is below the dew point of the air, water
condenses on it and the driving difference is that of enthalpies between the air and air saturated at the
surface (Braun, Klein and Mitchell 1989).  A coil whose surface passes through the dew point is split
there: a dry part at the air's inlet, a wet one behind it.  ``docs/physics/coils.md`` has the equations
and how they compare with integration along the coil.

Heat counts positive where the air is cooled.  Temperatures are in degC, all else SI; air flow is that of
its DRY part.  Everything is vectorised over coils, or runs of one coil, or both.

References
----------
Braun, J. E., Klein, S. A., Mitchell, J. W. (1989). Effectiveness models for cooling towers and cooling
coils. ASHRAE Transactions 95(2), 164-174.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from solver.media import moist_air
from solver.parts.effectiveness import TINY_RATE, counterflow_conductance, counterflow_units
from solver.parts.roots import Array, Values, bracketed_root

#: Water at 10 degC, in which coils are rated: specific heat [J/(kg K)], conductivity [W/(m K)], viscosity
#: [Pa s] (IAPWS R6-95, R15-11, R12-08).
RATED_WATER = (4195.5, 0.5800, 1.3059e-3)

#: Reynolds number in the tubes at rated flow, unless given (common practice: 0.6 to 1 m/s in 10 to 15 mm
#: tube).
RATED_REYNOLDS = 8000.0
#: Outside UA goes with this power of air flow, unless given (common practice for finned coils).
AIR_EXPONENT = 0.6
#: Inside UA goes with this power of water flow: F. W. Dittus, L. M. K. Boelter, 1930.
WATER_EXPONENT = 0.8
#: How sharply the laminar floor takes over from the turbulent film; S. W. Churchill, R. Usagi, AIChE J. 18
#: (1972) 1121, blend two limits by such a power.
_BLEND = 4.0
_LAMINAR_NUSSELT = 3.66
#: Least span of water temperatures over which the slope of saturation enthalpy is taken [K].
_LEAST_SPAN = 0.01
_TOLERANCE = 1e-9


class CoilModel(NamedTuple):
    """A coil, or arrays of them.

    ``outside_ua`` and ``inside_ua`` [W/K] hold at the rated flows of dry air and water [kg/s]; the inside
    one covers film, tube and fins.  ``laminar_share`` is the least share of the inside UA, that of laminar
    flow.
    """

    outside_ua: Values
    inside_ua: Values
    rated_air_flow: Values
    rated_water_flow: Values
    air_exponent: Values = AIR_EXPONENT
    laminar_share: Values = 0.045
    rated_reynolds: Values = RATED_REYNOLDS


class LiquidFactors(NamedTuple):
    """What another liquid than rated water does to the inside UA, in turbulent and in laminar flow.

    ``viscosity`` is its ratio to that of the rated water.
    """

    turbulent: Values = 1.0
    laminar: Values = 1.0
    viscosity: Values = 1.0


class CoilState(NamedTuple):
    """What a coil does; each an array of the common shape.

    ``total``, ``sensible``, ``latent`` [W] are positive where the air is cooled; ``condensate`` [kg/s];
    ``dry_share`` is the share of the coil that stays dry, 1 where ``is_wet`` is false.
    """

    total: Array
    sensible: Array
    latent: Array
    water_out_C: Array
    air_out_C: Array
    air_out_humidity_ratio: Array
    condensate: Array
    is_wet: NDArray[np.bool_]
    dry_share: Array


def stack_coils(models: Sequence[CoilModel]) -> CoilModel:
    """Return one model that holds several coils as arrays."""
    return CoilModel(*(np.array(values, dtype=float) for values in zip(*models, strict=True)))


def laminar_share(rated_reynolds: float) -> float:
    """Return the inside film of laminar flow over that at the rated flow, in rated water.

    Notes
    -----
    Nu = 3.66 over Nu = 0.023 Re**0.8 Pr**0.4 (Dittus and Boelter 1930, for a liquid that is warmed).
    """
    heat, conductivity, viscosity = RATED_WATER
    prandtl = viscosity * heat / conductivity
    return float(_LAMINAR_NUSSELT / (0.023 * rated_reynolds**WATER_EXPONENT * prandtl**0.4))


def liquid_factors(specific_heat: Values, conductivity: Values, viscosity: Values) -> LiquidFactors:
    """Return the factors of a liquid, such as glycol, from its properties [J/(kg K), W/(m K), Pa s].

    Notes
    -----
    At the same mass flow Nu k = 0.023 Re**0.8 Pr**0.4 k goes with k**0.6 c**0.4 / mu**0.4, and a laminar
    film with k.

    Examples
    --------
    >>> round(float(liquid_factors(3800.0, 0.45, 4.5e-3).turbulent), 2)
    0.5
    """
    heat, k, mu = RATED_WATER
    conduction = np.asarray(conductivity) / k
    turbulent = conduction**0.6 * (np.asarray(specific_heat) / heat) ** 0.4 * (viscosity / mu) ** -0.4
    return LiquidFactors(turbulent, conduction, np.asarray(viscosity / mu))


def inside_conductance(
    model: CoilModel, water_flow: Values, liquid: LiquidFactors = LiquidFactors()
) -> Array:
    """Return the inside UA [W/K] at a water flow [kg/s], of either direction."""
    share = np.abs(water_flow) / model.rated_water_flow
    turbulent = share**WATER_EXPONENT * liquid.turbulent
    laminar = model.laminar_share * np.asarray(liquid.laminar)
    rated = (1.0 + np.asarray(model.laminar_share) ** _BLEND) ** (1.0 / _BLEND)
    return np.asarray(model.inside_ua * (turbulent**_BLEND + laminar**_BLEND) ** (1.0 / _BLEND) / rated)


def outside_conductance(model: CoilModel, air_flow: Values) -> Array:
    """Return the outside UA [W/K] at a flow of dry air [kg/s]."""
    return np.asarray(model.outside_ua * (np.asarray(air_flow) / model.rated_air_flow) ** model.air_exponent)


def reynolds(model: CoilModel, water_flow: Values, liquid: LiquidFactors = LiquidFactors()) -> Array:
    """Return the Reynolds number in the tubes; below about 2300 the flow is laminar."""
    return np.asarray(model.rated_reynolds * np.abs(water_flow) / (model.rated_water_flow * liquid.viscosity))


def coil_state(
    model: CoilModel,
    air_flow: Values,
    air_C: Values,
    humidity_ratio: Values,
    water_flow: Values,
    water_C: Values,
    specific_heat: Values = RATED_WATER[0],
    liquid: LiquidFactors = LiquidFactors(),
) -> CoilState:
    """Return what coils do with the air and the water that enter them.

    Parameters
    ----------
    model : CoilModel
        One coil, or arrays of them.
    air_flow : array [kg/s]
        Of dry air, 0 or more.
    air_C, humidity_ratio : array [degC, kg/kg]
        Entering air.
    water_flow : array [kg/s]
        Its direction is left out of account.
    water_C : array [degC]
        Entering water; warmer than the air it heats, and the coil is dry.
    specific_heat : array [J/(kg K)]
        Of the water.
    liquid : LiquidFactors
        For another liquid than water at 10 degC.

    Raises
    ------
    AirError
        If the entering air is outside the range of ``solver.media.moist_air``, or water that makes it
        condense is.

    Notes
    -----
    Without air the water leaves as it came; without water the air does; the other side then leaves as
    the limit of ever less flow has it, so that nothing jumps where a valve shuts.
    """
    parts = (
        outside_conductance(model, air_flow),
        inside_conductance(model, water_flow, liquid),
        np.asarray(air_flow, dtype=float),
        np.abs(water_flow) * np.asarray(specific_heat, dtype=float),
        np.asarray(air_C, dtype=float),
        np.asarray(humidity_ratio, dtype=float),
        np.asarray(water_C, dtype=float),
    )
    at = _Entering(*np.broadcast_arrays(*parts))
    shape = at.air.shape
    at = _Entering(*(np.maximum(np.ravel(of), 0.0) if n < 4 else np.ravel(of) for n, of in enumerate(at)))
    heat = moist_air.specific_heat(at.w)
    dew = moist_air.dew_point(at.w)

    air_rate = at.air * heat
    per_kelvin = counterflow_conductance(_series(at.outside, at.inside), air_rate, at.water)
    sensible = per_kelvin * (at.t - at.cold)
    total = sensible.copy()
    air_out = np.where(air_rate > 0.0, at.t - sensible / np.maximum(air_rate, TINY_RATE), at.cold)
    dry_share = np.ones_like(total)
    # The surface is coldest where the water enters and the air leaves.
    wet = (at.cold < dew) & (at.outside * (air_out - dew) < at.inside * (dew - at.cold))
    moving = (at.air > 0.0) & (at.water > 0.0)
    rows = np.flatnonzero(wet & moving)
    if rows.size:
        some = _wet_part(_Entering(*(of[rows] for of in at)), heat[rows], dew[rows])
        total[rows], sensible[rows], dry_share[rows] = some
        air_out[rows] = at.t[rows] - sensible[rows] / air_rate[rows]
    return CoilState(*(of.reshape(shape) for of in _leaving(at, total, sensible, air_out, dew, dry_share)))


class _Entering(NamedTuple):
    """Conductances [W/K], air [kg/s] and water [W/K], air temperature and humidity, water temperature."""

    outside: Array
    inside: Array
    air: Array
    water: Array
    t: Array
    w: Array
    cold: Array


def _series(a: Array, b: Array) -> Array:
    return np.asarray(a * b / np.maximum(a + b, TINY_RATE))


def _leaving(
    at: _Entering, total: Array, sensible: Array, air_out: Array, dew: Array, dry_share: Array
) -> tuple[Array, ...]:
    """Return the fields of the state, the limits of no flow filled in."""
    latent = total - sensible
    wet = dry_share < 1.0
    vapour = moist_air.EVAPORATION + moist_air.VAPOUR_HEAT * air_out
    condensate = np.where(wet, latent / vapour, 0.0)
    w_out = at.w - condensate / np.maximum(at.air, TINY_RATE)
    # Air that hardly moves leaves as cold as the water, and saturated if that is below its dew point.
    still = (at.air <= 0.0) & (at.water > 0.0) & (at.cold < dew)
    if still.any():
        w_out = w_out.copy()
        w_out[still] = moist_air.saturation_humidity_ratio(at.cold[still])
    moved = at.water > 0.0
    heated = at.cold + total / np.maximum(at.water, TINY_RATE)
    stagnant = np.where(at.air > 0.0, at.t, at.cold)
    air_out = np.where((at.air > 0.0) | moved, air_out, at.t)
    return (
        total,
        sensible,
        latent,
        np.where(moved, heated, stagnant),
        air_out,
        w_out,
        condensate,
        wet,
        dry_share,
    )


def _wet_part(at: _Entering, heat: Array, dew: Array) -> tuple[Array, Array, Array]:
    """Return total and sensible heat and dry share of coils that are wet somewhere.

    One unknown p: below 0 the whole coil is wet and its surface is at dew + p where the air enters;
    above 0 the surface is at the dew point where the wet part begins, and the water there p warmer.
    """
    ratio = at.inside / at.outside
    enthalpy = moist_air.enthalpy(at.t, at.w)
    cold_enthalpy = moist_air.saturation_enthalpy(at.cold)
    # Water whose surface is just at the dew point where the air enters.
    edge = dew - (at.t - dew) / ratio
    ua = _series(at.outside, at.inside)
    rate = at.air * heat

    def split(p: Array) -> tuple[Array, Array, Array, Array, Array]:
        surface = dew + np.minimum(p, 0.0)
        surface_enthalpy = moist_air.saturation_enthalpy(surface)
        excess = (enthalpy - surface_enthalpy) / (heat * ratio)
        water = np.where(p <= 0.0, surface - excess, edge + p)
        air = np.where(p <= 0.0, at.t, np.minimum(dew + ratio * (dew - water), at.t))
        dry_heat = rate * (at.t - air)
        share = np.where(p <= 0.0, 0.0, _dry_share(dry_heat, at.t - water, ua, rate, at.water))
        # The chord of saturation enthalpy: from the entering water to midway between water and surface
        # where the wet part begins.
        top = np.maximum(0.5 * (water + surface), at.cold + _LEAST_SPAN)
        slope = (moist_air.saturation_enthalpy(top) - cold_enthalpy) / (top - at.cold)
        mass_ua = (1.0 - share) / (heat / at.outside + slope / at.inside)
        carried = counterflow_conductance(mass_ua, at.air, at.water / slope)
        wet_heat = carried * (enthalpy - heat * (at.t - air) - cold_enthalpy)
        return water, air, dry_heat, wet_heat, share

    def unbalance(p: Array) -> Array:
        water, _, _, wet_heat, _ = split(p)
        return np.asarray(water - at.cold - wet_heat / at.water)

    p = bracketed_root(unbalance, at.cold - dew, dew - edge, np.zeros_like(dew), _TOLERANCE)
    _, air, dry_heat, wet_heat, share = split(p)
    units = (1.0 - share) * at.outside / rate
    left = -np.expm1(-units)
    inlet = enthalpy - heat * (at.t - air)
    # The surface as if it were of one temperature, by the air's enthalpies at its two ends.
    effective = np.maximum(inlet - wet_heat / (at.air * np.maximum(left, 1e-12)), cold_enthalpy)
    surface = np.minimum(moist_air.saturation_temp(effective), dew)
    total = dry_heat + wet_heat
    sensible = dry_heat + rate * (air - surface) * left
    return total, np.minimum(sensible, total), share


def _dry_share(heat: Array, difference: Array, ua: Array, rate: Array, water: Array) -> Array:
    """Return the share of a coil that carries ``heat`` [W] dry, water entering that part, at most 1."""
    smaller, larger = np.minimum(rate, water), np.maximum(rate, water)
    wanted = np.clip(heat / np.maximum(smaller * difference, 1e-30), 0.0, 1.0 - 1e-15)
    return np.asarray(np.minimum(counterflow_units(wanted, smaller / larger) * smaller / ua, 1.0))
