# SPDX-License-Identifier: MIT
"""Water coils: cooling dry, wet or partly wet, and heating, by effectiveness over enthalpy.

Air and water pass each other in counterflow.  Where the surface is below the dew point of the air, water
condenses on it and the driving difference is that of enthalpies between the air and air saturated at the
surface (Braun, Klein and Mitchell 1989).  A coil whose surface passes through the dew point is split
there: a dry part at the air's inlet, a wet one behind it; that is nearer to the truth than the larger of
an all dry and an all wet coil, and nothing jumps where the coil begins to be wet.  The curve of
saturation becomes a straight line by least squares over the surface temperatures that occur, instead of
their chord over the water's.  Against integration along the coil: within 0.4 % in total and sensible heat.
``docs/physics/coils.md`` has the equations.

Heat counts positive where the air is cooled.  Temperatures are in degC, all else SI; air flow is that of
its DRY part.  Everything is vectorised over coils, or runs of one coil, or both.

References
----------
Braun, J. E., Klein, S. A., Mitchell, J. W. (1989). Effectiveness models for cooling towers and cooling
coils. ASHRAE Transactions 95(2), 164-174.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from solver.media import moist_air
from solver.parts.effectiveness import TINY_RATE, counterflow_conductance
from solver.parts.roots import Array, Values, bracketed_root

#: Water at 10 degC, in which coils are rated: specific heat [J/(kg K)], conductivity [W/(m K)], viscosity
#: [Pa s] (IAPWS R6-95, R15-11, R12-08).
RATED_WATER = (4195.5, 0.5788, 1.3059e-3)

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
#: Least span of temperatures over which the slope of saturation enthalpy is taken [K].
_LEAST_SPAN = 0.01
#: Growth of the slope of saturation enthalpy, less that of dry air, per kelvin: 0.064 at 0 degC to 0.055 at
#: 30 (from the formulas of ``solver.media.moist_air``).
_CURVATURE = 0.06
#: Heat balance of the wet part, in kelvin of its water.
_TOLERANCE = 1e-8


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


#: Water at 10 degC.
WATER = LiquidFactors()


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


def inside_conductance(model: CoilModel, water_flow: Values, liquid: LiquidFactors = WATER) -> Array:
    """Return the inside UA [W/K] at a water flow [kg/s], of either direction."""
    share = np.abs(water_flow) / model.rated_water_flow
    turbulent = share**WATER_EXPONENT * liquid.turbulent
    laminar = model.laminar_share * np.asarray(liquid.laminar)
    rated = (1.0 + np.asarray(model.laminar_share) ** _BLEND) ** (1.0 / _BLEND)
    return np.asarray(model.inside_ua * (turbulent**_BLEND + laminar**_BLEND) ** (1.0 / _BLEND) / rated)


def outside_conductance(model: CoilModel, air_flow: Values) -> Array:
    """Return the outside UA [W/K] at a flow of dry air [kg/s]."""
    share = np.maximum(air_flow, 0.0) / np.asarray(model.rated_air_flow)
    return np.asarray(model.outside_ua * share**model.air_exponent)


def reynolds(model: CoilModel, water_flow: Values, liquid: LiquidFactors = WATER) -> Array:
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
    liquid: LiquidFactors = WATER,
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
    at = _Entering(*map(np.ravel, at))
    heat = moist_air.specific_heat(at.w)
    # Fog is taken as air that is just saturated.
    dew = np.minimum(moist_air.dew_point(at.w), at.t)
    at = at._replace(
        air=np.where(at.air * heat > TINY_RATE, at.air, 0.0),
        water=np.where(at.water > TINY_RATE, at.water, 0.0),
    )
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
) -> tuple[NDArray[Any], ...]:
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


class _Split(NamedTuple):
    """A coil split where its surface meets the dew point.

    ``water`` is as warm as where the wet part begins, ``drop`` what the air loses before [K], ``inlet`` its
    enthalpy there.  The curve of saturation is ``base + slope (t - cold)``.
    """

    share: Array
    water: Array
    drop: Array
    inlet: Array
    slope: Array
    base: Array
    wet_heat: Array


def _wet_part(at: _Entering, heat: Array, dew: Array) -> tuple[Array, Array, Array]:
    """Return total and sensible heat and dry share of coils that are wet somewhere."""
    enthalpy, cold_enthalpy = moist_air.enthalpy(at.t, at.w), moist_air.saturation_enthalpy(at.cold)
    rate, ua, ratio = at.air * heat, _series(at.outside, at.inside), at.inside / at.outside
    # Water whose surface is just at the dew point where the air enters.
    edge = dew - (at.t - dew) / ratio

    def split(p: Array) -> _Split:
        """Split by one unknown: above 0 the dry share, below 0 how far the whole surface is below dew."""
        share, surface = np.maximum(p, 0.0), dew + np.minimum(p, 0.0)
        hot = moist_air.saturation_enthalpy(surface)
        per_kelvin = counterflow_conductance(share * ua, rate, at.water) / rate
        wholly = surface - (enthalpy - hot) / (heat * ratio)
        water = np.where(p > 0.0, (ratio * edge + per_kelvin * at.t) / (ratio + per_kelvin), wholly)
        drop = per_kelvin * (at.t - water)
        inlet = enthalpy - heat * drop
        slope, base = _line(at, heat * ratio, surface, hot, cold_enthalpy, inlet, water)
        mass_ua = (1.0 - share) / (heat / at.outside + slope / at.inside)
        wet_heat = counterflow_conductance(mass_ua, at.air, at.water / slope) * (inlet - base)
        return _Split(share, water, drop, inlet, slope, base, wet_heat)

    def unbalance(p: Array) -> Array:
        found = split(p)
        return np.asarray(found.water - at.cold - found.wet_heat / at.water)

    p = bracketed_root(unbalance, at.cold - dew, np.ones_like(dew), np.zeros_like(dew), flat=_TOLERANCE)
    found = split(p)
    left = -np.expm1(-(1.0 - found.share) * at.outside / rate)
    # At the least flows the share is not found to all digits: the water is the surer side then.
    wet_heat = np.minimum(found.wet_heat, at.water * np.maximum(found.water - at.cold, 0.0))
    wet_heat = np.minimum(wet_heat, at.air * left * (found.inlet - cold_enthalpy))
    # The surface as if it were of one temperature, by what the air loses to it.
    effective = found.inlet - wet_heat / (at.air * np.maximum(left, 1e-12))
    surface = np.clip(at.cold + (effective - found.base) / found.slope, at.cold, dew)
    total = rate * found.drop + wet_heat
    sensible = rate * found.drop + rate * (at.t - found.drop - surface) * left
    return total, np.minimum(sensible, total), found.share


def _line(
    at: _Entering, film: Array, surface: Array, hot: Array, cold_enthalpy: Array, inlet: Array, water: Array
) -> tuple[Array, Array]:
    """Return slope and value at the entering water of a straight line for the enthalpy of saturation.

    It runs by least squares between the surface temperatures at the two ends of the wet part: the chord,
    lowered by a twelfth of the curvature times the span squared.
    """
    outlet = inlet - at.water * np.maximum(water - at.cold, 0.0) / at.air
    chord = (hot - cold_enthalpy) / np.maximum(surface - at.cold, _LEAST_SPAN)
    end = np.minimum(
        at.cold + np.maximum(outlet - cold_enthalpy, 0.0) / (chord + film), surface - _LEAST_SPAN
    )
    end_enthalpy = moist_air.saturation_enthalpy(end)
    slope = (hot - end_enthalpy) / (surface - end)
    curvature = _CURVATURE * (slope - moist_air.DRY_HEAT)
    return slope, end_enthalpy + slope * (at.cold - end) - curvature * (surface - end) ** 2 / 12.0
