# SPDX-License-Identifier: MIT
"""What the air handlers do on average, at any demand of their thermostats, and how that changes."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from solver.heat.rooms import Units
from solver.media import moist_air
from solver.parts.coil import CoilModel, CoilState, coil_state
from solver.parts.roots import Array

Indices = NDArray[np.int64]

#: Steps by which slopes are taken: water and air [K], humidity ratio [kg/kg].
STEPS = (1e-4, 1e-4, 1e-7)
#: Water and air are held within these for the laws [degC]; a balance lies far inside.
_RANGE = (-40.0, 85.0)
_WETTEST = 0.2


class Slopes(NamedTuple):
    """Slopes by entering water and air [1/K], by humidity ratio and by demand."""

    by_water: Array
    by_air: Array
    by_humidity: Array
    by_demand: Array


class CoilMeans(NamedTuple):
    """Means over time of the air handlers, A of them.

    ``total`` goes into the water, ``sensible`` out of the air [W], ``condensate`` and ``air_flow`` [kg/s],
    ``fan_heat`` into the air [W]; each with its slopes.  ``air_in_C`` and ``humidity_in`` are of the entering
    air.  ``running`` is the state while it runs at the upper of the two stages it changes between,
    ``stage`` that one, ``part`` the share of time in it.
    """

    total: Array
    sensible: Array
    condensate: Array
    air_flow: Array
    fan_heat: Array
    air_in_C: Array
    humidity_in: Array
    demand: Array
    running: CoilState
    stage: Indices
    part: Array
    of_total: Slopes
    of_sensible: Slopes
    of_condensate: Slopes
    air_flow_by_demand: Array
    fan_heat_by_demand: Array


def coil_means(
    units: Units,
    water_C: Array,
    air_C: Array,
    humidity_ratio: Array,
    rate: Array,
    demand: Array,
) -> CoilMeans:
    """Return what the air handlers do.

    Parameters
    ----------
    units : Units
    water_C, air_C, humidity_ratio : array, shape (A,) [degC, degC, kg/kg]
        Entering.
    rate : array, shape (A,) [W/K]
        Capacity rate of the water.
    demand : array, shape (A,)
        0 to 1.
    """
    rows = np.arange(len(units.tags))
    along = np.clip(demand, 0.0, 1.0) * units.stages
    lower = np.minimum(along.astype(np.int64), units.stages - 1)
    part = along - lower
    states = beside(water_C, air_C, humidity_ratio)
    air = (units.full_air * units.fan[rows, lower], units.full_air * units.fan[rows, lower + 1])
    heat = (units.heat[rows, lower], units.heat[rows, lower + 1])
    running = _states(units, air[1], states, rate)
    idle = np.zeros((3, *states[0].shape))
    slow = np.flatnonzero(lower > 0)
    if slow.size:
        idle[:, :, slow] = _figures(_states(units, air[0], states, rate, slow))
    full = _figures(running)
    mean = (1.0 - part) * idle + part * full
    by_demand = units.stages * (full - idle)[:, 0]
    by_state = (mean[:, 1:] - mean[:, :1]) / np.array(STEPS)[:, None]
    return CoilMeans(
        mean[0, 0],
        mean[1, 0],
        mean[2, 0],
        (1.0 - part) * air[0] + part * air[1],
        (1.0 - part) * heat[0] + part * heat[1],
        air_C,
        humidity_ratio,
        demand,
        CoilState(*(of[0] for of in running)),
        lower + 1,
        part,
        Slopes(by_state[0, 0], by_state[0, 1], by_state[0, 2], by_demand[0]),
        Slopes(by_state[1, 0], by_state[1, 1], by_state[1, 2], by_demand[1]),
        Slopes(by_state[2, 0], by_state[2, 1], by_state[2, 2], by_demand[2]),
        units.stages * (air[1] - air[0]),
        units.stages * (heat[1] - heat[0]),
    )


def beside(water_C: Array, air_C: Array, humidity_ratio: Array) -> tuple[Array, Array, Array]:
    """Return the entering states, shape (4, A): as they are, then each a step aside in turn."""
    water = np.clip(water_C, *_RANGE)
    air = np.clip(air_C, *_RANGE)
    step_water, step_air, step_humidity = STEPS
    airs = np.stack((air, air, air + step_air, air))
    humidity = np.stack((humidity_ratio, humidity_ratio, humidity_ratio, humidity_ratio + step_humidity))
    # Fog does not reach the coils: it settles on the walls.
    most = np.minimum(moist_air.saturation_humidity_ratio(airs), _WETTEST)
    return np.stack((water, water + step_water, water, water)), airs, np.clip(humidity, 0.0, most)


def _states(
    units: Units, air: Array, states: tuple[Array, Array, Array], rate: Array, rows: Indices | None = None
) -> CoilState:
    model, some = units.model, slice(None) if rows is None else rows
    water, warm, humid = (of[:, some] for of in states)
    return coil_state(
        CoilModel(*(np.asarray(of)[some] for of in model)),
        air[some],
        warm,
        humid,
        rate[some] / units.specific_heat,
        water,
        units.specific_heat,
        units.liquid,
    )


def _figures(state: CoilState) -> Array:
    return np.stack((state.total, state.sensible, state.condensate))
