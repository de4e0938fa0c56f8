# SPDX-License-Identifier: MIT
"""Chillers and coils of the document as the laws that ``solver.parts`` has for them."""

from __future__ import annotations

from functools import lru_cache

from solver.errors import PartError
from solver.media import moist_air
from solver.parts.chiller_law import ChillerLaw, check_law
from solver.parts.chiller_map import (
    COMMON_COP,
    ChillerMap,
    SlopeMap,
    check_map,
    common_heating,
    table_map,
)
from solver.parts.coil import RATED_WATER, CoilModel
from solver.parts.coil_fit import CoilRating, fit_coil
from solver.vessel.components import AirHandler, Chiller

#: Air of an air handler that does not tell, per kW of total capacity (common practice: 400 cfm per ton).
AIR_L_S_PER_KW = 54.0
#: Rise of the water by which an air handler that does not tell its capacity is taken [K] (7/12 degC).
COMMON_RISE = 5.0
#: Density at which rated flows in L/s are taken as kg/s.
_RATED_DENSITY = 1000.0
_PERCENT = 0.01


@lru_cache(maxsize=1024)
def chiller_law(chiller: Chiller, sea_density: float, sea_heat: float) -> ChillerLaw:
    """Return a chiller's law.

    Parameters
    ----------
    chiller : Chiller
    sea_density, sea_heat : float [kg/m3, J/(kg K)]
        Of the sea water its condenser is rated with.

    Raises
    ------
    PartError
        Its figures make no sense; the reason names them.
    """
    try:
        cooling = _cooling(chiller)
        heating = _heating(chiller)
        check_map(cooling)
        if heating is not None:
            check_map(heating, heating=True)
        return check_law(
            ChillerLaw(
                cooling=cooling,
                heating=heating,
                sea_flow=chiller.sea_rated_flow_L_s * 1e-3 * sea_density,
                sea_heat=sea_heat,
                minimum_flow=chiller.minimum_flow_L_s * 1e-3 * _RATED_DENSITY,
                turn_down=chiller.turn_down_percent * _PERCENT,
                freezing_C=chiller.freezing_trip_C,
                condensing_limit_C=chiller.condensing_trip_C,
            )
        )
    except PartError as error:
        raise PartError(f"{chiller.tag}: {error}", (chiller.tag,)) from None


def _cooling(chiller: Chiller) -> ChillerMap:
    if chiller.capacity_points:
        rows = [
            (point.leaving_C, point.sea_C, point.capacity_kW * 1e3, point.power_kW * 1e3)
            for point in chiller.capacity_points
        ]
        return table_map(rows, chiller.rated_leaving_C, chiller.rated_sea_C)
    capacity = chiller.capacity_kW * 1e3
    return SlopeMap(
        capacity,
        capacity / COMMON_COP if chiller.power_kW is None else chiller.power_kW * 1e3,
        chiller.rated_leaving_C,
        chiller.rated_sea_C,
        chiller.capacity_per_leaving_percent_K * _PERCENT,
        chiller.capacity_per_sea_percent_K * _PERCENT,
        chiller.power_per_leaving_percent_K * _PERCENT,
        chiller.power_per_sea_percent_K * _PERCENT,
    )


def _heating(chiller: Chiller) -> SlopeMap | None:
    """Return what it does in reverse cycle; as common practice has it where it does not tell."""
    if chiller.heating_capacity_kW == 0.0:
        return None
    capacity = chiller.capacity_kW * 1e3
    power = capacity / COMMON_COP if chiller.power_kW is None else chiller.power_kW * 1e3
    common = common_heating(capacity, power)
    if chiller.heating_capacity_kW is not None:
        # As much power for each kW as common practice has, unless told.
        share = chiller.heating_capacity_kW * 1e3 / common.capacity
        common = common._replace(capacity=common.capacity * share, power=common.power * share)
    if chiller.heating_power_kW is not None:
        common = common._replace(power=chiller.heating_power_kW * 1e3)
    return common


def rated_air_flow(unit: AirHandler) -> float:
    """Return the air [L/s] that an air handler's fan moves at full speed through a clean filter."""
    return unit.air_flow_L_s or AIR_L_S_PER_KW * rated_total(unit) / 1e3


def rated_total(unit: AirHandler) -> float:
    """Return an air handler's rated total capacity [W], by its design flow where it does not tell."""
    if unit.capacity_total_kW:
        return unit.capacity_total_kW * 1e3
    return unit.design_flow_L_s * 1e-3 * _RATED_DENSITY * RATED_WATER[0] * COMMON_RISE


@lru_cache(maxsize=4096)
def coil_rating(unit: AirHandler) -> CoilRating:
    """Return what an air handler's coil is rated at.

    Raises
    ------
    PartError
        Its rated entering air makes no sense.
    """
    warm = unit.rated_air_temp_C
    humidity = float(moist_air.humidity_ratio(warm, unit.rated_air_rh_percent * _PERCENT))
    air = float(moist_air.dry_air_flow(rated_air_flow(unit) * 1e-3, warm, humidity))
    return CoilRating(
        total=rated_total(unit),
        sensible=unit.capacity_sensible_kW * 1e3 or None,
        air_flow=air,
        air_C=warm,
        humidity_ratio=humidity,
        water_flow=unit.rated_flow_L_s * 1e-3 * _RATED_DENSITY,
        water_C=unit.rated_water_temp_C,
    )


@lru_cache(maxsize=4096)
def coil_model(unit: AirHandler) -> CoilModel:
    """Return an air handler's coil, fitted to its rating, with what dirt has taken off it.

    Raises
    ------
    PartError
        No coil could meet its rating; the reason has the figures.
    """
    try:
        model = fit_coil(coil_rating(unit))
    except PartError as error:
        raise PartError(f"{unit.tag}: {error}", (unit.tag,)) from None
    clean = 1.0 - unit.coil_fouling_percent * _PERCENT
    return model._replace(outside_ua=model.outside_ua * clean, inside_ua=model.inside_ua * clean)
