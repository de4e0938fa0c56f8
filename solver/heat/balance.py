# SPDX-License-Identifier: MIT
"""The steady balance of heat: water, coils, cabins, thermostats and chillers at once, by Newton's method.

Unknown are the temperature of every node of the network, temperature and humidity ratio of every cabin,
and the demand of every group of cabins (``solver.heat.rooms``).  They hold

- at a node: what flows in, with what each link adds, leaves as warm as the node (upwind, mixed);
- in a cabin: load = what its air handlers take out, of heat and of moisture;
- in a group: in step with its set point, or as far as its air handlers go;
- at a chiller: leaving water at set point, or where its capacity ends.

Coils and chillers are taken by their slopes, from the laws evaluated beside each state; thermostats by the
active set (semismooth Newton).  A chiller that its switches stop stays off, as on board, and the balance is
found again without it.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import csc_matrix
from scipy.sparse.linalg import splu

from solver.errors import UnconvergedError
from solver.heat.coils import CoilMeans, coil_means
from solver.heat.plant import Plant, PlantState, plant_state
from solver.heat.rooms import LEAK, Rooms, Units
from solver.heat.water import Water
from solver.media.moist_air import specific_heat
from solver.parts.roots import Array

Indices = NDArray[np.int64]

_MOST_STEPS = 80
#: Steps after which the step is halved: states that swap between two sides of a kink then settle.
_PATIENCE = 20
_LONGEST_STEP = 15.0
_TOLERANCE = 1e-7
#: A thermostat's demand per kelvin off its set point; any value leads to the same balance.
_SHARPNESS = 0.5
#: Humidity ratios are unknowns in g/kg.
_GRAM = 1e-3


class State(NamedTuple):
    """A state: nodes [degC], cabins [degC], humidity ratio of cabins [kg/kg], demand of groups [-]."""

    node_C: Array
    cabin_C: Array
    humidity_ratio: Array
    demand: Array


class Balance(NamedTuple):
    """What was found."""

    state: State
    coils: CoilMeans
    plant: PlantState
    steps: int


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


def balance(case: Case, start: State) -> Balance:
    """Return the balance.

    Raises
    ------
    UnconvergedError
        No balance was found; names the parts that are furthest from it.
    """
    stopped = case.plant.stopped.copy()
    while True:
        found = _newton(case, start, stopped)
        plant = plant_state(case.plant, found.state.node_C, case.water, case.heating, stopped)
        newly = (plant.trip > 0) & (stopped == 0)
        if not newly.any():
            return found._replace(plant=plant)
        stopped = np.where(newly, plant.trip, stopped)
        start = found.state


def _newton(case: Case, start: State, stopped: NDArray[np.int64]) -> Balance:
    system = _System(case, stopped)
    x = system.packed(start)
    worst = np.zeros_like(x)
    for step in range(1, _MOST_STEPS + 1):
        residual, jacobian = system.at(x)
        worst = residual
        change = -splu(jacobian).solve(residual)
        size = float(np.max(np.abs(change), initial=0.0))
        damping = min(1.0, _LONGEST_STEP / max(size, 1e-30)) * (1.0 if step < _PATIENCE else 0.5)
        x = system.within(x + damping * change)
        if size < _TOLERANCE:
            state = system.unpacked(x)
            coils = coil_means(case.units, *system.entering(state), slopes=False)
            plant = plant_state(case.plant, state.node_C, case.water, case.heating, stopped)
            return Balance(state, coils, plant, step)
    tags = system.named(int(np.argmax(np.abs(worst))))
    raise UnconvergedError(f"no balance of heat was found in {_MOST_STEPS} steps", tags)


class _System:
    """Residuals and their slopes; rows are scaled to kelvin."""

    def __init__(self, case: Case, stopped: NDArray[np.int64]):
        self.case, self.stopped = case, stopped
        water, rooms = case.water, case.rooms
        self.nodes, self.cabins = len(water.node_gain), len(rooms.tags)
        self.groups = len(rooms.controlled)
        self.humid = self.nodes + self.cabins
        self.size = self.nodes + 2 * self.cabins + self.groups
        self.fixed = ~np.isnan(water.source_C)
        inflow = np.zeros(self.nodes)
        np.add.at(inflow, water.down, water.rate)
        self.node_scale = np.where(self.fixed, 1.0, inflow + water.node_gain)
        self.unit_up = water.up[case.unit_links]
        self.unit_down = water.down[case.unit_links]
        self.unit_rate = water.rate[case.unit_links]
        # Pairs of two cabins of one air handler, itself among them.
        self.one, self.two = _pairs(rooms.unit)

    # The vector of unknowns.

    def packed(self, state: State) -> Array:
        """Return a state as a vector of unknowns."""
        return np.concatenate((state.node_C, state.cabin_C, state.humidity_ratio / _GRAM, state.demand))

    def unpacked(self, x: Array) -> State:
        """Return a vector of unknowns as a state."""
        nodes, humid = self.nodes, self.humid
        demand = x[humid + self.cabins :]
        return State(x[:nodes], x[nodes:humid], x[humid : humid + self.cabins] * _GRAM, demand)

    def within(self, x: Array) -> Array:
        """Return a vector with what must not be negative at least 0."""
        x[self.humid :] = np.maximum(x[self.humid :], 0.0)
        x[self.humid + self.cabins :] = np.minimum(x[self.humid + self.cabins :], 1.0)
        return x

    def named(self, row: int) -> tuple[str, ...]:
        """Return the tag that a row belongs to; a node has none."""
        place = (row - self.nodes) % self.cabins if self.cabins and self.nodes <= row else -1
        return (self.case.rooms.tags[place],) if place >= 0 and row < self.humid + self.cabins else ()

    def entering(self, state: State) -> tuple[Array, Array, Array, Array, Array]:
        """Return water, air and humidity that enter each coil, its flow of water [W/K] and its demand."""
        units, rooms = self.case.units, self.case.rooms
        air, humidity = units.air_C.copy(), units.humidity_ratio.copy()
        serves = np.zeros(len(air), dtype=bool)
        serves[rooms.unit] = True
        air[serves] = humidity[serves] = 0.0
        np.add.at(air, rooms.unit, rooms.share * state.cabin_C[rooms.cabin])
        np.add.at(humidity, rooms.unit, rooms.share * state.humidity_ratio[rooms.cabin])
        demand = np.ones(len(air))
        grouped = units.group >= 0
        demand[grouped] = state.demand[units.group[grouped]]
        return state.node_C[self.unit_up], air, humidity, self.unit_rate, demand

    # Residuals and slopes.

    def at(self, x: Array) -> tuple[Array, csc_matrix]:
        """Return residuals and Jacobian, all rows in kelvin (grams per kilogram, demand)."""
        state = self.unpacked(x)
        self.residual = np.zeros(self.size)
        self.rows: list[Indices] = []
        self.columns: list[Indices] = []
        self.values: list[Array] = []
        coils = coil_means(self.case.units, *self.entering(state), slopes=True)
        self._water(state)
        self._coils_in_water(coils)
        self._chillers(state)
        scale = np.ones(self.size)
        scale[: self.nodes] = self.node_scale
        if self.cabins:
            self._cabins(state, coils, scale)
            self._demands(state)
        rows, columns = np.concatenate(self.rows), np.concatenate(self.columns)
        values = np.concatenate(self.values)
        # Water that comes in from the sea is as warm as the sea.
        fixed = np.flatnonzero(self.fixed)
        self.residual[fixed] = state.node_C[fixed] - self.case.water.source_C[fixed]
        free = (rows >= self.nodes) | ~self.fixed[np.minimum(rows, self.nodes - 1)]
        jacobian = csc_matrix(
            (
                np.concatenate((values[free] / scale[rows[free]], np.ones(len(fixed)))),
                (np.concatenate((rows[free], fixed)), np.concatenate((columns[free], fixed))),
            ),
            shape=(self.size, self.size),
        )
        return self.residual / scale, jacobian

    def _put(self, rows: Indices, columns: Indices, values: Array) -> None:
        self.rows.append(rows)
        self.columns.append(columns)
        self.values.append(np.broadcast_to(values, rows.shape))

    def _water(self, state: State) -> None:
        """Mixing at nodes, with what pipes and pumps add on the way."""
        water, t = self.case.water, state.node_C
        arrives = water.air_C + (t[water.up] - water.air_C) * water.kept
        brought = water.rate * arrives + water.added
        np.add.at(self.residual, water.down, -brought)
        self.residual[: self.nodes] += self.node_scale * t - water.node_gain * water.node_air_C
        nodes = np.arange(self.nodes)
        self._put(nodes, nodes, self.node_scale)
        self._put(water.down, water.up, -water.rate * water.kept)

    def _coils_in_water(self, coils: CoilMeans) -> None:
        rooms, down = self.case.rooms, self.unit_down
        np.add.at(self.residual, down, -coils.total)
        self._put(down, self.unit_up, -coils.of_total.by_water)
        self._put(
            down[rooms.unit], self.nodes + rooms.cabin, -(coils.of_total.by_air[rooms.unit] * rooms.share)
        )
        self._put(
            down[rooms.unit],
            self.humid + rooms.cabin,
            -(coils.of_total.by_humidity[rooms.unit] * rooms.share * _GRAM),
        )
        grouped = np.flatnonzero(self.case.units.group >= 0)
        self._put(
            down[grouped],
            self.humid + self.cabins + self.case.units.group[grouped],
            -coils.of_total.by_demand[grouped],
        )

    def _chillers(self, state: State) -> None:
        plant = self.case.plant
        if not plant.laws:
            return
        found = plant_state(
            plant, state.node_C, self.case.water, self.case.heating, self.stopped, slopes=True
        )
        water = self.case.water
        up, down = water.up[plant.links], water.down[plant.links]
        np.add.at(self.residual, down, found.duty)
        self._put(down, up, found.duty_by_water)
        wet = np.flatnonzero(plant.sea_links >= 0)
        if wet.size:
            sea = plant.sea_links[wet]
            sea_up, sea_down = water.up[sea], water.down[sea]
            np.add.at(self.residual, sea_down, -found.into_sea[wet])
            self._put(down[wet], sea_up, found.duty_by_sea[wet])
            self._put(sea_down, up[wet], -found.sea_by_water[wet])
            self._put(sea_down, sea_up, -found.sea_by_sea[wet])

    def _cabins(self, state: State, coils: CoilMeans, scale: Array) -> None:
        """Heat [W] and moisture [kg/s] of every cabin."""
        rooms = self.case.rooms
        t, w = state.cabin_C, state.humidity_ratio
        unit, cabin, share = rooms.unit, rooms.cabin, rooms.share
        gain, moisture = rooms.loads_at(t, w)
        outdoor = rooms.loads.outdoor_air_kg_s + LEAK
        _, air_in, humidity_in, _, _ = self.entering(state)
        moved = coils.air_flow * specific_heat(humidity_in)

        sensible = np.zeros(self.cabins)
        dried = np.zeros(self.cabins)
        np.add.at(sensible, cabin, share * (coils.fan_heat - coils.sensible + moved * air_in)[unit])
        np.add.at(sensible, cabin, -share * moved[unit] * t[cabin])
        np.add.at(dried, cabin, share * (coils.air_flow * humidity_in - coils.condensate)[unit])
        np.add.at(dried, cabin, -share * coils.air_flow[unit] * w[cabin])
        heat_rows, moist_rows = self.nodes + np.arange(self.cabins), self.humid + np.arange(self.cabins)
        self.residual[heat_rows] = -(gain + sensible)
        self.residual[moist_rows] = -(moisture + dried) / _GRAM
        air_through = np.zeros(self.cabins)
        heat_through = np.zeros(self.cabins)
        np.add.at(air_through, cabin, share * coils.air_flow[unit])
        np.add.at(heat_through, cabin, share * moved[unit])
        scale[heat_rows] = rooms.conductance + outdoor * rooms.outdoor_heat + heat_through
        scale[moist_rows] = outdoor + air_through
        self._put(heat_rows, heat_rows, scale[heat_rows])
        self._put(moist_rows, moist_rows, scale[moist_rows])

        rows, wet_rows = self.nodes + cabin, self.humid + cabin
        self._put(rows, self.unit_up[unit], share * coils.of_sensible.by_water[unit])
        self._put(wet_rows, self.unit_up[unit], share * coils.of_condensate.by_water[unit] / _GRAM)
        one, two = self.one, self.two
        both, of = share[one] * share[two], unit[one]
        self._put(rows[one], rows[two], both * (coils.of_sensible.by_air - moved)[of])
        self._put(rows[one], wet_rows[two], both * coils.of_sensible.by_humidity[of] * _GRAM)
        self._put(wet_rows[one], rows[two], both * coils.of_condensate.by_air[of] / _GRAM)
        self._put(wet_rows[one], wet_rows[two], both * (coils.of_condensate.by_humidity - coils.air_flow)[of])
        group = self.humid + self.cabins + self.case.units.group[unit]
        heat_in = specific_heat(humidity_in)
        by_demand = coils.of_sensible.by_demand - coils.fan_heat_by_demand
        mixed = (coils.air_flow_by_demand * heat_in)[unit] * (t[cabin] - air_in[unit])
        self._put(rows, group, share * (by_demand[unit] + mixed))
        wetter = coils.air_flow_by_demand[unit] * (w[cabin] - humidity_in[unit])
        self._put(wet_rows, group, share * (coils.of_condensate.by_demand[unit] + wetter) / _GRAM)

    def _demands(self, state: State) -> None:
        """Demand = its clipped self after the thermostat's pull; an uncontrolled group runs at full."""
        rooms = self.case.rooms
        first = self.humid + self.cabins
        served = np.flatnonzero(rooms.group >= 0)
        sign = -1.0 if self.case.heating else 1.0
        off = np.zeros(self.groups)
        np.add.at(off, rooms.group[served], (rooms.weight * (state.cabin_C - rooms.set_point))[served])
        pull = _SHARPNESS * sign * off
        wanted = state.demand + pull
        low, high = rooms.controlled & (wanted <= 0.0), ~rooms.controlled | (wanted >= 1.0)
        between = ~low & ~high
        own = first + np.arange(self.groups)
        self.residual[own] = np.where(low, state.demand, np.where(high, state.demand - 1.0, -pull))
        self._put(own, own, np.where(between, 0.0, 1.0))
        pulled = served[between[rooms.group[served]]]
        self._put(own[rooms.group[pulled]], self.nodes + pulled, -_SHARPNESS * sign * rooms.weight[pulled])


def _pairs(unit: Indices) -> tuple[Indices, Indices]:
    """Return all pairs of entries with the same unit."""
    by_unit: dict[int, list[int]] = {}
    for place, number in enumerate(unit.tolist()):
        by_unit.setdefault(number, []).append(place)
    one = [a for places in by_unit.values() for a in places for _ in places]
    two = [b for places in by_unit.values() for _ in places for b in places]
    return np.array(one, dtype=np.int64), np.array(two, dtype=np.int64)
