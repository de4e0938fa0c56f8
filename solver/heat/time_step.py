# SPDX-License-Identifier: MIT
"""One step in time of water, cabins and their humidity: implicit Euler, with coils and chillers as lines.

Unknown are the temperature of every node, temperature and humidity ratio of every cabin, and those of the air
that enters every air handler.  Furnishings follow from their cabin.  Stable for any step; at rest it is
the steady balance of ``solver.heat.balance``.  What a coil or a chiller moves is one line on both its
sides, so that heat is kept whatever the step.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import csc_matrix
from scipy.sparse.linalg import splu

from solver.heat.coil_lines import AtStage
from solver.heat.rooms import Rooms
from solver.heat.storage import Storage
from solver.heat.temperatures import Prepared
from solver.media.moist_air import saturation_humidity_ratio, specific_heat
from solver.parts.roots import Array

Indices = NDArray[np.int64]


#: Cabins whose saturation counts are within these [degC].
_FOG_RANGE_C = (-40.0, 60.0)


class Moment(NamedTuple):
    """A state: nodes, cabins, furnishings [degC], humidity ratio of cabins [kg/kg]."""

    node_C: Array
    cabin_C: Array
    furnishing_C: Array
    humidity_ratio: Array


class ChillerLine(NamedTuple):
    """Chillers as lines: ``duty`` [W] out of the loop at entering water ``at`` [degC], ``slope`` [W/K].

    ``into_sea`` [W] holds for the step.
    """

    at: Array
    duty: Array
    slope: Array
    into_sea: Array

    def duty_at(self, entering: Array) -> Array:
        """Return the duties by the lines [W]."""
        return np.asarray(self.duty + self.slope * (entering - self.at))


class Heats(NamedTuple):
    """What moved heat during a step [W]: into the loop's water, out of it, and into the cabins.

    ``coils``, ``walls``, ``pumps``, ``tanks`` go into the water, ``chillers`` out of it, ``cabins`` (load and
    fans less what coils take) into air and furnishings; ``condensate`` [kg/s].
    """

    coils: float
    walls: float
    pumps: float
    tanks: float
    chillers: float
    cabins: float
    condensate: float


class TimeStep:
    """The equations of one vessel at the solved flows.

    Parameters
    ----------
    made : Prepared
    store : Storage
    """

    def __init__(self, made: Prepared, store: Storage):
        case, sea_links = made.case, made.sea_links
        self.case, self.store = case, store
        water, rooms = case.water, case.rooms
        self.nodes, self.cabins, self.units = len(water.node_gain), len(rooms.tags), len(case.units.tags)
        self.fixed = ~np.isnan(water.source_C)
        self.serves = np.zeros(self.units, dtype=bool)
        self.serves[rooms.unit] = True
        self.unit_up, self.unit_down = water.up[case.unit_links], water.down[case.unit_links]
        self.up, self.down = water.up[case.plant.links], water.down[case.plant.links]
        wet = case.plant.sea_links >= 0
        self.sea_down = water.down[case.plant.sea_links[wet]]
        self.wet = np.flatnonzero(wet)
        self._loop_links = ~sea_links
        self._loop_nodes = np.ones(self.nodes, dtype=bool)
        self._loop_nodes[water.up[sea_links]] = self._loop_nodes[water.down[sea_links]] = False
        inflow = np.zeros(self.nodes)
        np.add.at(inflow, water.down, water.rate)
        self._holds = inflow + water.node_gain + store.wall_W_K
        self._brought = np.zeros(self.nodes)
        np.add.at(self._brought, water.down, water.rate * water.air_C * (1.0 - water.kept) + water.added)
        self._brought += water.node_gain * water.node_air_C + store.wall_gain_W
        self._place()

    def _place(self) -> None:
        """Rows and columns of the matrix, in the order in which :meth:`_values` has their values."""
        rooms = self.case.rooms
        n, c, a = self.nodes, self.cabins, self.units
        self._first = np.cumsum([0, n, c, c, a, a])
        _, heat, wet, air, damp, self._size = self._first
        node, cabin, unit = np.arange(n), np.arange(c), np.arange(a)
        of_unit, of_cabin = rooms.unit, rooms.cabin
        blocks: list[tuple[Indices, Indices]] = [
            (node, node),
            (self.case.water.down, self.case.water.up),
            (self.down, self.up),
            (self.unit_down, self.unit_up),
            (self.unit_down, air + unit),
            (self.unit_down, damp + unit),
            (heat + cabin, heat + cabin),
            (heat + of_cabin, self.unit_up[of_unit]),
            (heat + of_cabin, air + of_unit),
            (heat + of_cabin, damp + of_unit),
            (wet + cabin, wet + cabin),
            (wet + of_cabin, self.unit_up[of_unit]),
            (wet + of_cabin, air + of_unit),
            (wet + of_cabin, damp + of_unit),
            (air + unit, air + unit),
            (air + of_unit, heat + of_cabin),
            (damp + unit, damp + unit),
            (damp + of_unit, wet + of_cabin),
        ]
        self._rows = np.concatenate([rows for rows, _ in blocks])
        self._columns = np.concatenate([columns for _, columns in blocks])
        held = self.fixed[np.minimum(self._rows, n - 1)] & (self._rows < n)
        self._free = ~held | (self._rows == self._columns)
        self._lay_out()

    def _lay_out(self) -> None:
        """Make the matrix once, and say which of its places each value goes to."""
        rows, columns = self._rows[self._free], self._columns[self._free]
        places = columns * self._size + rows
        used, self._slot = np.unique(places, return_inverse=True)
        starts = np.searchsorted(used, np.arange(self._size + 1) * self._size)
        self._matrix = csc_matrix(
            (np.zeros(len(used)), used % self._size, starts), shape=(self._size, self._size)
        )

    def entering(self, now: Moment) -> Array:
        """Return water, air [degC] and humidity ratio that enter each air handler, shape (3, A)."""
        rooms, units = self.case.rooms, self.case.units
        air, humid = (np.where(self.serves, 0.0, of) for of in (units.air_C, units.humidity_ratio))
        np.add.at(air, rooms.unit, rooms.share * now.cabin_C[rooms.cabin])
        np.add.at(humid, rooms.unit, rooms.share * now.humidity_ratio[rooms.cabin])
        return np.stack((now.node_C[self.unit_up], air, humid))

    def solve(
        self, seconds: float, now: Moment, rooms: Rooms, coils: AtStage, chillers: ChillerLine
    ) -> tuple[Moment, Heats]:
        """Return the state after a step, and what moved heat in it.

        Parameters
        ----------
        seconds : float
        now : Moment
        rooms : Rooms
            With the loads of the step.
        coils : AtStage
        chillers : ChillerLine
        """
        c, store = self.cabins, self.store
        moved = coils.air_flow * specific_heat(coils.at[2])
        cabin_holds, outdoor, _, _ = _load_lines(rooms)
        tied = store.exchange_W_K / (1.0 + store.exchange_W_K * seconds / store.furnishing_J_K)
        through, air_through = np.zeros(c), np.zeros(c)
        np.add.at(through, rooms.cabin, rooms.share * moved[rooms.unit])
        np.add.at(air_through, rooms.cabin, rooms.share * coils.air_flow[rooms.unit])

        node = self._holds + store.node_J_K / seconds
        node[self.fixed] = 1.0
        values = self._values(
            node,
            chillers,
            coils,
            moved,
            store.air_J_K / seconds + cabin_holds + tied + through,
            store.moisture_kg / seconds + outdoor + air_through,
        )
        self._matrix.data = np.bincount(self._slot, values[self._free], self._matrix.nnz)
        right = self._right(seconds, now, rooms, coils, chillers, tied)
        x = splu(self._matrix).solve(right)
        _, heat, wet, air, _, _ = self._first
        cabin_C = x[heat:wet]
        exchanged = tied * (now.furnishing_C - cabin_C)
        after = Moment(
            x[:heat],
            cabin_C,
            now.furnishing_C - exchanged * seconds / store.furnishing_J_K,
            # What more than saturates the air runs down the walls; its heat stays in them.
            np.clip(x[wet:air], 0.0, saturation_humidity_ratio(np.clip(cabin_C, *_FOG_RANGE_C))),
        )
        return after, self._heats(after, rooms, coils, chillers, moved, x[air:].reshape(2, -1))

    def _values(
        self, node: Array, chillers: ChillerLine, coils: AtStage, moved: Array, cabin: Array, humid: Array
    ) -> Array:
        water, rooms = self.case.water, self.case.rooms
        share, unit = rooms.share, rooms.unit
        total, sensible, condensate = coils.slope
        one = np.ones(self.units)
        return np.concatenate(
            (
                node,
                -water.rate * water.kept,
                chillers.slope,
                -total[0],
                -total[1],
                -total[2],
                cabin,
                share * sensible[0][unit],
                share * (sensible[1] - moved)[unit],
                share * sensible[2][unit],
                humid,
                share * condensate[0][unit],
                share * condensate[1][unit],
                share * (condensate[2] - coils.air_flow)[unit],
                one,
                -share,
                one,
                -share,
            )
        )

    def _right(
        self,
        seconds: float,
        now: Moment,
        rooms: Rooms,
        coils: AtStage,
        chillers: ChillerLine,
        tied: Array,
    ) -> Array:
        store = self.store
        right = np.zeros(self._size)
        _, heat, wet, air, damp, _ = self._first
        node = self._brought + store.node_J_K / seconds * now.node_C
        constant = coils.value - (coils.slope * coils.at).sum(axis=1)
        np.add.at(node, self.unit_down, constant[0])
        np.subtract.at(node, self.down, chillers.duty - chillers.slope * chillers.at)
        np.add.at(node, self.sea_down, chillers.into_sea[self.wet])
        right[:heat] = np.where(self.fixed, self.case.water.source_C, node)

        _, _, gain, damp_gain = _load_lines(rooms)
        gain = gain + store.air_J_K / seconds * now.cabin_C + tied * now.furnishing_C
        damp_gain = damp_gain + store.moisture_kg / seconds * now.humidity_ratio
        np.add.at(gain, rooms.cabin, rooms.share * (coils.fan_heat - constant[1])[rooms.unit])
        np.add.at(damp_gain, rooms.cabin, -rooms.share * constant[2][rooms.unit])
        right[heat:wet], right[wet:air] = gain, damp_gain
        right[air:damp] = np.where(self.serves, 0.0, self.case.units.air_C)
        right[damp:] = np.where(self.serves, 0.0, self.case.units.humidity_ratio)
        return right

    def _heats(
        self,
        after: Moment,
        rooms: Rooms,
        coils: AtStage,
        chillers: ChillerLine,
        moved: Array,
        air_in: Array,
    ) -> Heats:
        """Sum what moves heat, link by link, apart from the matrix."""
        water, links, nodes = self.case.water, self._loop_links, self._loop_nodes
        into = after.node_C[water.up]
        by_coils = coils.heat_at(np.stack((after.node_C[self.unit_up], *air_in)))
        walls = water.rate * (1.0 - water.kept) * (water.air_C - into)
        still = self.store.wall_gain_W - self.store.wall_W_K * after.node_C
        tanks = water.node_gain * (water.node_air_C - after.node_C)
        gain, _ = rooms.loads_at(after.cabin_C, after.humidity_ratio)
        of_unit = rooms.unit
        given = (coils.fan_heat - by_coils[1] + moved * air_in[0])[of_unit] * rooms.share
        returned = moved[of_unit] * rooms.share * after.cabin_C[rooms.cabin]
        return Heats(
            float(by_coils[0].sum()),
            float(walls[links].sum() + still[nodes].sum()),
            float(water.added[links].sum()),
            float(tanks[nodes].sum()),
            float(chillers.duty_at(after.node_C[self.up]).sum()),
            float(gain.sum() + given.sum() - returned.sum()),
            float(by_coils[2].sum()),
        )

    def held(self, now: Moment) -> tuple[float, float]:
        """Return the heat held above 0 degC by the loop's water and by the cabins [J]."""
        store, nodes = self.store, self._loop_nodes
        water = float((store.node_J_K[nodes] * now.node_C[nodes]).sum())
        cabins = store.air_J_K * now.cabin_C + store.furnishing_J_K * now.furnishing_C
        return water, float(cabins.sum())


def _load_lines(rooms: Rooms) -> tuple[Array, Array, Array, Array]:
    """Return the lines of the cabins' loads: what falls a kelvin [W/K] and by humidity, and both at 0."""
    zero = np.zeros(len(rooms.tags))
    gain, moisture = rooms.loads_at(zero, zero)
    less, dried = rooms.loads_at(zero + 1.0, zero + 1.0)
    return gain - less, moisture - dried, gain, moisture
