# SPDX-License-Identifier: MIT
"""Chillers through time: what a running machine does by the water that enters it, from tables made once.

Flows are those that were solved, so that capacity depends on entering loop and sea water alone.  A running
machine holds its leaving-water set point between its turn-down and its full capacity; above, the leaving
water floats; below, it goes on at its turn-down, and its controls stop it (``solver.heat.staging``).
"""

from __future__ import annotations

from bisect import bisect_right
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from solver.heat.plant import Plant
from solver.heat.water import Water
from solver.parts.chiller_law import ChillerState, Trip, chiller_state
from solver.parts.roots import Array

#: Loop water that enters, by cooling and heating [degC]; beyond, the end of the table holds.
_COLDEST, _EVERY, _COUNT = -10.0, 0.5, 181
#: Sea water that enters above the conditions' [K]: another machine may have warmed it.
_SEA_RISE = (-15.0, -7.5, 0.0, 2.5, 5.0, 10.0, 20.0)
#: A set point that is never reached, in cooling and in heating [degC].
_OUT_OF_REACH = (-60.0, 120.0)


class Table(NamedTuple):
    """One speed, by entering loop and sea water: lists of duty, power [W], refrigerant and leaving sea water.

    Lists, not arrays: one value at a time is read from them, many times.
    """

    duty: list[list[float]]
    power: list[list[float]]
    refrigerant_C: list[list[float]]
    sea_out_C: list[list[float]]


class Machine(NamedTuple):
    """A chiller's tables at full speed and at its turn-down; duties count positive in heating too.

    ``capacity`` and ``power`` [W] are by sea water alone, with the leaving water at its set point.
    """

    full: Table
    least: Table
    capacity: list[float]
    power: list[float]

    @property
    def usual_capacity(self) -> float:
        """At the set point and the conditions' sea [W]."""
        return self.capacity[_SEA_RISE.index(0.0)]


class Machines(NamedTuple):
    """K chillers.  ``rate`` [W/K] of loop water; ``sign`` is 1 in cooling, -1 in heating."""

    each: tuple[Machine | None, ...]
    rate: Array
    set_point: Array
    sea_C: float
    turn_down: Array
    sign: float


class Doing(NamedTuple):
    """What the chillers do at a state: ``duty`` [W] out of the loop, its ``slope`` by entering water [W/K],
    compressors' ``power`` and heat ``into_sea`` [W], leaving water, and why one trips.

    ``load`` is duty over capacity.
    """

    duty: Array
    slope: Array
    power: Array
    into_sea: Array
    leaving_C: Array
    load: Array
    trip: NDArray[np.int64]


def machines(plant: Plant, water: Water, heating: bool) -> Machines:
    """Return the chillers of a plant; one that cannot run at all is None."""
    rate = water.rate[plant.links]
    each = tuple(
        None if plant.stopped[place] or rate[place] <= 0.0 else _machine(plant, place, water, heating)
        for place in range(len(plant.laws))
    )
    return Machines(
        each,
        rate,
        plant.set_point,
        plant.sea_C,
        np.array([law.turn_down for law in plant.laws]),
        -1.0 if heating else 1.0,
    )


def never_runs(plant: Plant, water: Water) -> NDArray[np.int64]:
    """Return why each chiller cannot run at the solved flows, 0 where it can."""
    flow = water.rate[plant.links] / plant.heats[0]
    least = np.array([law.minimum_flow for law in plant.laws])
    low = (flow <= 0.0) | (flow < least)
    return np.where(plant.stopped > 0, plant.stopped, np.where(low, int(Trip.LOW_FLOW), 0))


def _machine(plant: Plant, place: int, water: Water, heating: bool) -> Machine:
    law = plant.laws[place]
    entering = _COLDEST + _EVERY * np.arange(_COUNT, dtype=float)[:, None]
    sea = plant.sea_C + np.array(_SEA_RISE)[None, :]
    sign = -1.0 if heating else 1.0
    far = _OUT_OF_REACH[int(heating)]
    full = _run(plant, place, water, heating, entering, sea, far, 1.0)
    least = _run(plant, place, water, heating, entering, sea, far, law.turn_down)
    # Barely loaded it holds its set point whatever its capacity; its full power follows by its share.
    near = plant.set_point[place] + sign * 1e-3
    holds = _run(plant, place, water, heating, np.full_like(sea, near), sea, plant.set_point[place], 1.0)
    full_power = holds.power / np.maximum(holds.load_share, 1e-12)
    return Machine(_table(full), _table(least), holds.capacity[0].tolist(), full_power[0].tolist())


def _table(state: ChillerState) -> Table:
    figures = (np.abs(state.duty), state.power, state.refrigerant_C, state.sea_out_C)
    return Table(*(of.tolist() for of in figures))


def _run(
    plant: Plant,
    place: int,
    water: Water,
    heating: bool,
    entering: Array,
    sea: Array,
    wanted: float,
    share: float,
) -> ChillerState:
    law, sea_link = plant.laws[place], plant.sea_links[place]
    return chiller_state(
        law._replace(minimum_flow=0.0),
        entering,
        water.rate[plant.links[place]] / plant.heats[0],
        plant.heats[0],
        wanted,
        sea,
        law.sea_flow if sea_link < 0 else water.rate[sea_link] / plant.heats[1],
        plant.heats[1],
        heating,
        plant.speed[place] * share,
        plant.fouling[place],
        switches=False,
    )


def doing(plant: Plant, made: Machines, runs: NDArray[np.bool_], entering: Array, sea_C: Array) -> Doing:
    """Return what the chillers do.

    Parameters
    ----------
    runs : array of bool, shape (K,)
    entering, sea_C : array, shape (K,) [degC]
        Loop and sea water that enter.
    """
    out = np.zeros((6, len(made.each)))
    out[4] = entering
    trip = np.zeros(len(made.each), dtype=np.int64)
    loop, sea = entering.tolist(), sea_C.tolist()
    for place in np.flatnonzero(runs).tolist():
        machine = made.each[place]
        if machine is not None:
            out[:, place], trip[place] = _one(plant, made, machine, place, loop[place], sea[place])
    duty, slope, power, into_sea, leaving, load = out
    return Doing(duty, slope, power, into_sea, leaving, load, trip)


def _one(
    plant: Plant, made: Machines, machine: Machine, place: int, entering: float, sea_C: float
) -> tuple[tuple[float, ...], int]:
    sign, rate, turn_down = made.sign, float(made.rate[place]), float(made.turn_down[place])
    spot = (*_loop_place(entering), *_sea_place(sea_C - plant.sea_C))
    _, _, piece, part = spot
    capacity = _between(machine.capacity[piece], machine.capacity[piece + 1], part)
    need = sign * rate * (entering - float(made.set_point[place]))
    table = machine.full if need >= turn_down * capacity else machine.least
    if turn_down * capacity <= need < capacity:
        duty, slope, load = need, sign * rate, need / capacity
        power = load * _between(machine.power[piece], machine.power[piece + 1], part)
    else:
        duty, slope = _at(table.duty, spot)
        power = _at(table.power, spot)[0]
        load = 1.0 if need >= capacity else turn_down
    leaving = entering - sign * duty / rate
    ends = (leaving, _at(table.refrigerant_C, spot)[0], _at(table.sea_out_C, spot)[0])
    figures = (sign * duty, sign * slope, power, sign * duty + power, leaving, load)
    return figures, _tripped(plant, place, sign, *ends)


def _tripped(
    plant: Plant, place: int, sign: float, leaving: float, refrigerant: float, sea_out: float
) -> int:
    law = plant.laws[place]
    if sign < 0:
        return int(Trip.SEA_TOO_COLD) if sea_out < law.sea_limit_C else 0
    if refrigerant > law.condensing_limit_C:
        return int(Trip.HIGH_CONDENSING)
    return int(Trip.FREEZING) if leaving < law.freezing_C else 0


def _loop_place(entering: float) -> tuple[int, float]:
    along = min(max((entering - _COLDEST) / _EVERY, 0.0), _COUNT - 1.0)
    piece = min(int(along), _COUNT - 2)
    return piece, along - piece


def _sea_place(rise: float) -> tuple[int, float]:
    piece = min(max(bisect_right(_SEA_RISE, rise) - 1, 0), len(_SEA_RISE) - 2)
    low, high = _SEA_RISE[piece : piece + 2]
    return piece, min(max((rise - low) / (high - low), 0.0), 1.0)


def _between(low: float, high: float, part: float) -> float:
    return (1.0 - part) * low + part * high


def _at(table: list[list[float]], spot: tuple[int, float, int, float]) -> tuple[float, float]:
    """Return a table's value and its slope by entering loop water."""
    i, x, j, y = spot
    low = _between(table[i][j], table[i][j + 1], y)
    high = _between(table[i + 1][j], table[i + 1][j + 1], y)
    return _between(low, high, x), (high - low) / _EVERY
