# SPDX-License-Identifier: MIT
"""Cabins, the air handlers that serve them and their thermostats, as arrays.

An air handler draws its air from the cabins it serves and gives it back to them, to each by its share of
their load.  Cabins and air handlers that hang together are one group with one demand: their thermostats
act in step.  A demand of 0 is off, 1 is full; between, the fan changes between two of its speeds, or the
valve opens and shuts.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import coo_array
from scipy.sparse.csgraph import connected_components

from solver.heat.cabin_load import RoomLoads
from solver.heat.machines import coil_model, coil_rating
from solver.media import moist_air
from solver.media.liquid import LiquidState
from solver.parts.coil import WATER, CoilModel, LiquidFactors, liquid_factors, stack_coils
from solver.parts.roots import Array
from solver.vessel.components import AirHandler
from solver.vessel.vessel import Vessel

Indices = NDArray[np.int64]
#: Air that finds its way into any cabin [kg/s], and heat through any wall [W/K]: nothing is quite tight.
LEAK = 1e-5
_LEAST_CONDUCTANCE = 0.05
#: Most that what is in a cabin warms it by, with nothing to cool it [K].  A load that is typed may come
#: without walls to lose it through; then it falls as the cabin gets warmer than its set point, to nothing at
#: this much (common practice: two fifths of a cabin's load come through its walls, at 12 K).
_MOST_RISE = 30.0
#: Vapour that condenses on the walls of a cabin whose air is more than saturated [kg/s for all of a humidity
#: ratio] (common practice: 25 m2 of wall, 7 W/(m2 K)), and the range in which saturation counts [degC].
_FOG = 0.1
_FOG_RANGE = (-40.0, 60.0)
#: Share of a fan's full air that each speed moves, for the most speeds a fan may have.
_MOST_SPEEDS = 6


class Units(NamedTuple):
    """The air handlers that water passes, A of them.

    ``fan`` has the share of full air at each stage, shape (A, 7): stage 0 is off.  ``stages`` is how many
    there are.  ``heat`` [W] is what the fan adds to the air at each stage.  ``air_C`` and ``humidity_ratio``
    are of the entering air where a unit serves no cabin: its rated ones.  ``specific_heat`` and ``liquid``
    are the water's.
    """

    tags: tuple[str, ...]
    model: CoilModel
    full_air: Array
    fan: Array
    stages: Indices
    heat: Array
    air_C: Array
    humidity_ratio: Array
    group: Indices
    specific_heat: float
    liquid: LiquidFactors


class Rooms(NamedTuple):
    """The cabins, C of them, in G groups.

    ``unit``, ``cabin``, ``share`` are the pairs of an air handler and a cabin it serves; ``weight`` is a
    cabin's in its group's control temperature.  ``controlled``: the group has a thermostat.
    """

    tags: tuple[str, ...]
    set_point: Array
    loads: RoomLoads
    unit: Indices
    cabin: Indices
    share: Array
    weight: Array
    group: Indices
    controlled: NDArray[np.bool_]

    def loads_at(self, cabin_C: Array, humidity_ratio: Array) -> tuple[Array, Array]:
        """Return sensible load [W] and moisture [kg/s] of each cabin at its temperature and humidity."""
        loads = self.loads
        outdoor = loads.outdoor_air_kg_s + LEAK
        sensible = (
            loads.gain_W
            + loads.conductance_W_K * (loads.ambient_C - cabin_C)
            + outdoor * self.outdoor_heat * (loads.outdoor_C - cabin_C)
        )
        moisture = loads.moisture_kg_s + outdoor * (loads.outdoor_humidity_ratio - humidity_ratio)
        return np.asarray(sensible), np.asarray(moisture)

    @property
    def outdoor_heat(self) -> Array:
        """Specific heat of the outdoor air that comes in, with its vapour [J/(kg K)]."""
        return moist_air.specific_heat(self.loads.outdoor_humidity_ratio)


def rooms_and_units(
    vessel: Vessel, loads: RoomLoads, present: Mapping[str, int], liquid: LiquidState[float]
) -> tuple[Rooms, Units]:
    """Return the cabins and the air handlers ``present`` in the network, with ``liquid`` in their coils.

    Raises
    ------
    PartError
        No coil could meet an air handler's rating.
    """
    handlers = [part for part in vessel.components if isinstance(part, AirHandler) and part.tag in present]
    place = {cabin.tag: index for index, cabin in enumerate(vessel.cabins)}
    pairs = [
        (index, place[tag])
        for index, handler in enumerate(handlers)
        for tag in handler.cabins
        if tag in place
    ]
    unit = np.array([pair[0] for pair in pairs], dtype=np.int64)
    cabin = np.array([pair[1] for pair in pairs], dtype=np.int64)
    share = _shares(unit, cabin, len(handlers), loads, np.array([c.set_point_C for c in vessel.cabins]))
    unit_group, cabin_group, groups = _groups(unit, cabin, len(handlers), len(vessel.cabins))
    controlled = np.zeros(groups, dtype=bool)
    for handler, group in zip(handlers, unit_group.tolist(), strict=True):
        if group >= 0 and handler.thermostat != "none":
            controlled[group] = True
    served = np.zeros(len(vessel.cabins))
    np.add.at(served, cabin, share)
    of_group = np.zeros(groups)
    inside = cabin_group >= 0
    np.add.at(of_group, cabin_group[inside], served[inside])
    weight = np.where(inside, served / np.where(inside, of_group[cabin_group] if groups else 1.0, 1.0), 0.0)
    units = _units(handlers, unit_group, liquid)
    fans = np.zeros(len(vessel.cabins))
    np.add.at(fans, cabin, share * units.heat.max(axis=1)[unit])
    rooms = Rooms(
        tuple(c.tag for c in vessel.cabins),
        np.array([c.set_point_C for c in vessel.cabins], dtype=float),
        bounded(loads, np.array([c.set_point_C for c in vessel.cabins], dtype=float), fans),
        unit,
        cabin,
        share,
        weight,
        cabin_group,
        controlled,
    )
    return rooms, units


def fog(cabin_C: Array, humidity_ratio: Array) -> tuple[Array, Array, Array]:
    """Return what condenses on the walls of cabins [kg/s], and its slopes by humidity ratio and temperature.

    The heat of it stays in the walls.
    """
    coldest, warmest = _FOG_RANGE
    temp = np.clip(cabin_C, coldest, warmest)
    dry = moist_air.saturation_humidity_ratio(temp)
    step = 1e-3
    by_temp = (moist_air.saturation_humidity_ratio(temp + step) - dry) / step * (temp == cabin_C)
    over = humidity_ratio > dry
    lost = np.where(over, _FOG * (humidity_ratio - dry), 0.0)
    return lost, np.where(over, _FOG, 0.0), np.where(over, -_FOG * by_temp, 0.0)


def bounded(loads: RoomLoads, set_point: Array, fans: Array) -> RoomLoads:
    """Return loads as they are at set point, none of which warms a cabin without end."""
    given = loads.conductance_W_K
    more = np.maximum((np.maximum(loads.gain_W, 0.0) + fans) / _MOST_RISE, _LEAST_CONDUCTANCE)
    conductance = np.maximum(given, more)
    ambient = (given * loads.ambient_C + (conductance - given) * set_point) / conductance
    return loads._replace(conductance_W_K=conductance, ambient_C=ambient)


def _shares(unit: Indices, cabin: Indices, units: int, loads: RoomLoads, at: Array) -> Array:
    """Return which share of its air each air handler gives each of its cabins: by load at set point."""
    if not len(unit):
        return np.zeros(0)
    sensible = np.maximum(loads.gain_W + loads.conductance_W_K * np.maximum(loads.ambient_C - at, 0.0), 1.0)
    part = sensible[cabin]
    whole = np.zeros(units)
    np.add.at(whole, unit, part)
    return np.asarray(part / whole[unit])


def _groups(unit: Indices, cabin: Indices, units: int, cabins: int) -> tuple[Indices, Indices, int]:
    """Return each air handler's and each cabin's group, -1 for one that serves or is served by none."""
    size = units + cabins
    links = coo_array((np.ones(len(unit)), (unit, units + cabin)), shape=(size, size))
    _, label = connected_components(links, directed=False)
    joined = np.zeros(size, dtype=bool)
    joined[unit] = joined[units + cabin] = True
    used, numbers = np.unique(label[joined], return_inverse=True)
    group = np.full(size, -1, dtype=np.int64)
    group[joined] = numbers
    return group[:units], group[units:], len(used)


def _units(handlers: list[AirHandler], group: Indices, liquid: LiquidState[float]) -> Units:
    ratings = [coil_rating(handler) for handler in handlers]
    fan, heat, stages = (np.zeros((len(handlers), _MOST_SPEEDS + 1)) for _ in range(3))
    for row, handler in enumerate(handlers):
        speeds = sorted(set(handler.fan_speeds_percent)) if handler.thermostat == "fan" else [100.0]
        shares = np.array(speeds) / 100 if handler.fan_running else np.zeros(len(speeds))
        stages[row] = len(speeds)
        fan[row, 1 : len(speeds) + 1] = shares
        # Power goes with the cube of speed (affinity); a valve's thermostat leaves the fan running.
        heat[row, 1 : len(speeds) + 1] = handler.fan_power_W * shares**3
        if handler.thermostat in ("two_way_valve", "three_way_valve"):
            heat[row, 0] = handler.fan_power_W * handler.fan_running
    return with_liquid(
        Units(
            tuple(handler.tag for handler in handlers),
            stack_coils([coil_model(handler) for handler in handlers]) if handlers else _no_coils(),
            np.array([rating.air_flow for rating in ratings])
            * np.array([1.0 - handler.filter_clogging_percent / 100 for handler in handlers]),
            fan,
            stages[:, 0].astype(np.int64),
            heat,
            np.array([rating.air_C for rating in ratings]),
            np.array([rating.humidity_ratio for rating in ratings]),
            group,
            0.0,
            WATER,
        ),
        liquid,
    )


def with_liquid(units: Units, liquid: LiquidState[float]) -> Units:
    """Return air handlers with a liquid in their coils."""
    factors = liquid_factors(liquid.specific_heat, liquid.conductivity, liquid.viscosity)
    return units._replace(specific_heat=liquid.specific_heat, liquid=factors)


def _no_coils() -> CoilModel:
    return CoilModel(*(np.zeros(0) for _ in CoilModel._fields))
