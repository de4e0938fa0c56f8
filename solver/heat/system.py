# SPDX-License-Identifier: MIT
"""The balance of heat as residuals of one vector of unknowns, with their slopes.

Unknown are, in this order: temperature of every node, temperature and humidity ratio [g/kg] of every cabin,
demand of every group.  Rows are scaled to kelvin (g/kg, demand), so that one tolerance serves all.
``docs/physics/temperatures.md`` has the equations.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import csc_matrix

from solver.heat.coils import CoilMeans, coil_means
from solver.heat.plant import Plant, plant_state
from solver.heat.rooms import LEAK, Rooms, Units, fog
from solver.heat.water import Water
from solver.media.moist_air import specific_heat
from solver.parts.roots import Array

Indices = NDArray[np.int64]

#: A thermostat's demand per kelvin off its set point; any value leads to the same balance.
_SHARPNESS = 0.5
#: Kelvin that a demand of 1 must be able to move its cabins by, all else as it is, to be between 0 and 1.
_LEAST_EFFECT = 1e-3
#: Least scales of a cabin's heat [W/K] and moisture [kg/s]: a small one, its doors shut.
_LEAST_SCALE = (5.0, 1e-3)
#: Humidity ratios are unknowns in g/kg.
_GRAM = 1e-3
#: Most that one step may change a temperature [K], a humidity ratio [g/kg] and a demand.
_LONGEST_STEP = (15.0, 10.0, 0.5)
#: No balance lies outside [degC], but for sea water behind a chiller whose switch will stop it.
_RANGE = (-300.0, 400.0)


class State(NamedTuple):
    """A state: nodes [degC], cabins [degC], humidity ratio of cabins [kg/kg], demand of groups [-]."""

    node_C: Array
    cabin_C: Array
    humidity_ratio: Array
    demand: Array


class Case(NamedTuple):
    """All that does not change while a balance is sought.

    ``unit_links`` and ``plant`` say where the air handlers and the chillers are among the links.
    """

    water: Water
    rooms: Rooms
    units: Units
    unit_links: Indices
    plant: Plant
    heating: bool


class Entering(NamedTuple):
    """What enters the coils: water, air and humidity, water's flow [W/K] and the demand."""

    water_C: Array
    air_C: Array
    humidity_ratio: Array
    rate: Array
    demand: Array


class System:
    """Residuals and their slopes.

    Parameters
    ----------
    case : Case
    stopped : array of int, shape (chillers,)
        Trips of the chillers that stand; 0 where one may run.
    """

    def __init__(self, case: Case, stopped: NDArray[np.int64]):
        self.case, self.stopped = case, stopped
        water, rooms, units = case.water, case.rooms, case.units
        self.nodes, self.cabins = len(water.node_gain), len(rooms.tags)
        self.groups = len(rooms.controlled)
        self._heat, self._moist = self.nodes, self.nodes + self.cabins
        self._first_demand = self._moist + self.cabins
        self.size = self._first_demand + self.groups
        self.fixed = np.flatnonzero(~np.isnan(water.source_C))
        inflow = _summed(water.down, water.rate, self.nodes)
        self._node_scale = inflow + water.node_gain
        self._node_scale[self.fixed] = 1.0
        self._up, self._down = water.up[case.unit_links], water.down[case.unit_links]
        self._rate = water.rate[case.unit_links]
        serves = np.zeros(len(units.tags), dtype=bool)
        serves[rooms.unit] = True
        self._own_air = np.where(serves, 0.0, units.air_C)
        self._own_humidity = np.where(serves, 0.0, units.humidity_ratio)
        self._grouped = np.flatnonzero(units.group >= 0)
        self._served = np.flatnonzero(rooms.group >= 0)
        # Pairs of two cabins of one air handler, itself among them.
        self._one, self._two = _pairs(rooms.unit)
        self._outdoor = rooms.loads.outdoor_air_kg_s + LEAK
        plant = case.plant
        self._wet = np.flatnonzero(plant.sea_links >= 0)
        self._pattern = self._places()
        #: Places of the diagonal among the values of the Jacobian.
        self.diagonal = self._pattern.diagonal

    # The vector of unknowns.

    def packed(self, state: State) -> Array:
        """Return a state as a vector of unknowns."""
        return np.concatenate((state.node_C, state.cabin_C, state.humidity_ratio / _GRAM, state.demand))

    def unpacked(self, x: Array) -> State:
        """Return a vector of unknowns as a state."""
        moist, demand = self._moist, self._first_demand
        return State(x[: self.nodes], x[self.nodes : moist], x[moist:demand] * _GRAM, x[demand:])

    def moved(self, x: Array, change: Array) -> Array:
        """Return a vector after a step, no part of it longer than makes sense and none out of range."""
        moist, demand = self._moist, self._first_demand
        degrees, grams, share = _LONGEST_STEP
        moved = x.copy()
        moved[:moist] = np.clip(x[:moist] + np.clip(change[:moist], -degrees, degrees), *_RANGE)
        moved[moist:demand] = np.maximum(x[moist:demand] + np.clip(change[moist:demand], -grams, grams), 0.0)
        moved[demand:] = np.clip(x[demand:] + np.clip(change[demand:], -share, share), 0.0, 1.0)
        return moved

    def named(self, row: int) -> tuple[str, ...]:
        """Return the tag that a row belongs to: a cabin, the cabins of a group, or none of a node."""
        rooms = self.case.rooms
        if row < self._heat:
            return ()
        if row < self._first_demand:
            return (rooms.tags[(row - self._heat) % self.cabins],)
        group = np.flatnonzero(rooms.group == row - self._first_demand)
        return tuple(rooms.tags[place] for place in group.tolist())

    def entering(self, state: State) -> Entering:
        """Return what enters each coil."""
        units, rooms = self.case.units, self.case.rooms
        count = len(units.tags)
        air = self._own_air + _summed(rooms.unit, rooms.share * state.cabin_C[rooms.cabin], count)
        humidity = self._own_humidity + _summed(
            rooms.unit, rooms.share * state.humidity_ratio[rooms.cabin], count
        )
        demand = np.ones(count)
        demand[self._grouped] = state.demand[units.group[self._grouped]]
        return Entering(state.node_C[self._up], air, humidity, self._rate, demand)

    # Residuals and slopes.

    def at(self, x: Array) -> tuple[Array, csc_matrix, CoilMeans]:
        """Return residuals and Jacobian, and what the coils do there."""
        state = self.unpacked(x)
        into = self.entering(state)
        coils = coil_means(self.case.units, *into)
        residual, scale = np.zeros(self.size), np.ones(self.size)
        scale[: self.nodes] = self._node_scale
        blocks = self._water(state, residual)
        blocks += self._coils_in_water(coils, residual)
        blocks += self._chillers(state, residual)
        cabins, effect = self._cabins(state, coils, into, residual, scale)
        blocks += cabins
        blocks += self._demands(state, effect, residual)
        residual[self.fixed] = state.node_C[self.fixed] - self.case.water.source_C[self.fixed]
        blocks.append(np.ones(len(self.fixed)))
        return residual / scale, self._pattern.matrix(np.concatenate(blocks), scale), coils

    def _places(self) -> _Pattern:
        """Return where the values of all blocks stand, in the order in which they are made."""
        water, rooms, units, plant = self.case.water, self.case.rooms, self.case.units, self.case.plant
        unit, cabin = rooms.unit, rooms.cabin
        heat, moist, first = self._heat, self._moist, self._first_demand
        nodes, cabins, groups = np.arange(self.nodes), np.arange(self.cabins), np.arange(self.groups)
        down, up, grouped, served = self._down, self._up, self._grouped, self._served
        chiller_up, chiller_down = water.up[plant.links], water.down[plant.links]
        sea = plant.sea_links[self._wet]
        sea_up, sea_down = water.up[sea], water.down[sea]
        wet_up, wet_down = chiller_up[self._wet], chiller_down[self._wet]
        one, two = cabin[self._one], cabin[self._two]
        group = first + units.group[unit]
        places = [
            (nodes, nodes),
            (water.down, water.up),
            (down, up),
            (down[unit], heat + cabin),
            (down[unit], moist + cabin),
            (down[grouped], first + units.group[grouped]),
            (chiller_down, chiller_up),
            (wet_down, sea_up),
            (sea_down, wet_up),
            (sea_down, sea_up),
            (heat + cabins, heat + cabins),
            (moist + cabins, moist + cabins),
            (moist + cabins, heat + cabins),
            (heat + cabin, up[unit]),
            (moist + cabin, up[unit]),
            (heat + one, heat + two),
            (heat + one, moist + two),
            (moist + one, heat + two),
            (moist + one, moist + two),
            (heat + cabin, group),
            (moist + cabin, group),
            (first + groups, first + groups),
            (first + rooms.group[served], heat + served),
        ]
        rows, columns = (np.concatenate(of).astype(np.int64) for of in zip(*places, strict=True))
        return _Pattern(rows, columns, self.fixed, self.nodes, self.size)

    def _water(self, state: State, residual: Array) -> list[Array]:
        """Mixing at nodes, with what pipes and pumps add on the way."""
        water, t = self.case.water, state.node_C
        carried = water.rate * water.kept
        pumped, by_water = water.pumped(t)
        brought = carried * t[water.up] + (water.rate - carried) * water.air_C + pumped
        residual[: self.nodes] = self._node_scale * t - water.node_gain * water.node_air_C
        residual[: self.nodes] -= _summed(water.down, brought, self.nodes)
        return [self._node_scale, -(carried + by_water)]

    def _coils_in_water(self, coils: CoilMeans, residual: Array) -> list[Array]:
        rooms, total = self.case.rooms, coils.of_total
        residual[: self.nodes] -= _summed(self._down, coils.total, self.nodes)
        return [
            -total.by_water,
            -(total.by_air[rooms.unit] * rooms.share),
            -(total.by_humidity[rooms.unit] * rooms.share * _GRAM),
            -total.by_demand[self._grouped],
        ]

    def _chillers(self, state: State, residual: Array) -> list[Array]:
        plant, water, wet = self.case.plant, self.case.water, self._wet
        found = plant_state(plant, state.node_C, water, self.case.heating, self.stopped, slopes=True)
        np.add.at(residual, water.down[plant.links], found.duty)
        np.add.at(residual, water.down[plant.sea_links[wet]], -found.into_sea[wet])
        return [found.duty_by_water, found.duty_by_sea[wet], -found.sea_by_water[wet], -found.sea_by_sea[wet]]

    def _cabins(
        self, state: State, coils: CoilMeans, into: Entering, residual: Array, scale: Array
    ) -> tuple[list[Array], Array]:
        """Heat [W] and moisture [kg/s] of every cabin; what a demand of 1 cools a group's cabins by [K]."""
        rooms, count = self.case.rooms, self.cabins
        t, w = state.cabin_C, state.humidity_ratio
        unit, cabin, share = rooms.unit, rooms.cabin, rooms.share
        gain, moisture = rooms.loads_at(t, w)
        lost, lost_by_w, lost_by_t = fog(t, w)
        heat_in = specific_heat(into.humidity_ratio)
        moved = coils.air_flow * heat_in
        heat_through, air_through = share * moved[unit], share * coils.air_flow[unit]

        sensible = share * (coils.fan_heat - coils.sensible + moved * into.air_C)[unit]
        dried = share * (coils.air_flow * into.humidity_ratio - coils.condensate)[unit]
        heat = gain + _summed(cabin, sensible - heat_through * t[cabin], count)
        wet = moisture - lost + _summed(cabin, dried - air_through * w[cabin], count)
        heat_rows, moist_rows = slice(self._heat, self._moist), slice(self._moist, self._first_demand)
        residual[heat_rows], residual[moist_rows] = -heat, -wet / _GRAM
        by_heat = (
            rooms.loads.conductance_W_K
            + self._outdoor * rooms.outdoor_heat
            + _summed(cabin, heat_through, count)
        )
        by_moisture = self._outdoor + _summed(cabin, air_through, count) + lost_by_w
        scale[heat_rows] = np.maximum(by_heat, _LEAST_SCALE[0])
        scale[moist_rows] = np.maximum(by_moisture, _LEAST_SCALE[1])

        of = unit[self._one]
        both = share[self._one] * share[self._two]
        sensible_by, dry_by = coils.of_sensible, coils.of_condensate
        mixed = (coils.air_flow_by_demand * heat_in)[unit] * (t[cabin] - into.air_C[unit])
        wetter = coils.air_flow_by_demand[unit] * (w[cabin] - into.humidity_ratio[unit])
        by_demand = share * ((sensible_by.by_demand - coils.fan_heat_by_demand)[unit] + mixed)
        cools = rooms.weight[cabin] * by_demand / scale[self._heat + cabin]
        effect = _summed(self.case.units.group[unit], cools, self.groups)
        blocks = [
            by_heat,
            by_moisture,
            lost_by_t / _GRAM,
            share * sensible_by.by_water[unit],
            share * dry_by.by_water[unit] / _GRAM,
            both * (sensible_by.by_air - moved)[of],
            both * sensible_by.by_humidity[of] * _GRAM,
            both * dry_by.by_air[of] / _GRAM,
            both * (dry_by.by_humidity - coils.air_flow)[of],
            by_demand,
            share * (dry_by.by_demand[unit] + wetter) / _GRAM,
        ]
        return blocks, effect

    def _demands(self, state: State, effect: Array, residual: Array) -> list[Array]:
        """Demand = its clipped self after the thermostat's pull; an uncontrolled group runs at full.

        Where the air handlers have no say in their cabins, or the wrong one (a fan that warms more than its
        coil cools), the thermostat runs to an end.
        """
        rooms, served = self.case.rooms, self._served
        sign = -1.0 if self.case.heating else 1.0
        pulls = sign * _SHARPNESS * rooms.weight[served]
        group = rooms.group[served]
        pull = _summed(group, pulls * (state.cabin_C - rooms.set_point)[served], self.groups)
        idle = sign * effect < _LEAST_EFFECT
        wanted = np.where(idle, np.where(pull > 0.0, 1.0, 0.0), state.demand + pull)
        low, high = rooms.controlled & (wanted <= 0.0), ~rooms.controlled | (wanted >= 1.0)
        between = ~low & ~high
        residual[self._first_demand :] = np.where(
            low, state.demand, np.where(high, state.demand - 1.0, -pull)
        )
        return [np.where(between, 0.0, 1.0), np.where(between[group], -pulls, 0.0)]


class _Pattern:
    """Where the values of a Jacobian stand; the rows of nodes fed from outside are those of a unit matrix."""

    def __init__(self, rows: Indices, columns: Indices, fixed: Indices, nodes: int, size: int):
        is_fixed = np.zeros(size, dtype=bool)
        is_fixed[fixed] = True
        self._size = size
        self._rows = np.concatenate((rows, fixed))
        self._free = np.concatenate((~is_fixed[rows], np.ones(len(fixed), dtype=bool)))
        columns = np.concatenate((columns, fixed))
        own, self._place = np.unique(columns * size + self._rows, return_inverse=True)
        self._indices = (own % size).astype(np.int32)
        self._pointers = np.searchsorted(own // size, np.arange(size + 1)).astype(np.int32)
        self.diagonal = np.searchsorted(own, np.arange(size) * (size + 1))

    def matrix(self, values: Array, scale: Array) -> csc_matrix:
        """Return the matrix of values, each row over its scale."""
        free = np.where(self._free, values / scale[self._rows], 0.0)
        data = _summed(self._place, free, len(self._indices))
        return csc_matrix((data, self._indices, self._pointers), shape=(self._size, self._size))


def _summed(places: Indices, values: Array, count: int) -> Array:
    """Return the sums of values by place."""
    return np.asarray(np.bincount(places, values, count), dtype=float)


def _pairs(unit: Indices) -> tuple[Indices, Indices]:
    """Return all pairs of entries with the same unit."""
    by_unit: dict[int, list[int]] = {}
    for place, number in enumerate(unit.tolist()):
        by_unit.setdefault(number, []).append(place)
    one = [a for places in by_unit.values() for a in places for _ in places]
    two = [b for places in by_unit.values() for _ in places for b in places]
    return np.array(one, dtype=np.int64), np.array(two, dtype=np.int64)
