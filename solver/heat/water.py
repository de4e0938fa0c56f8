# SPDX-License-Identifier: MIT
"""The water's side of the balance: where it flows, and what pipes, pumps and tanks add to it.

For one hydraulic solution, as arrays in compiled order.  Specific heat is one value a liquid, that of its
mean temperature, so that heat balances exactly.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from solver.errors import LiquidError, NotSolvableError
from solver.media import moist_air
from solver.media.liquid import LiquidState, properties
from solver.network.network import GRAVITY, PumpLink
from solver.network.solution import Solution
from solver.parts.insulation import PipeHeat, inside_film, pipe_heat, resistance_to_surface
from solver.parts.pipe_sizes import pipe_size
from solver.parts.roots import Array
from solver.vessel.components import BufferTank, FlexibleHose, Overboard, Pump
from solver.vessel.liquids import LOOP, SEA, Liquids, is_sea
from solver.vessel.run import Run
from solver.vessel.spaces import space_of
from solver.vessel.vessel import Vessel

Indices = NDArray[np.int64]

#: Efficiency of a pump that does not tell (common practice for small wet-rotor and close-coupled pumps).
COMMON_EFFICIENCY = 0.4
#: A pump without flow warms the water in it until as much is lost to the room: at this difference [K].
_STANDING_RISE = 30.0
#: Conductivity of a hose's wall [W/(m K)] and its thickness [m] (common practice: EPDM, 4 mm).
_HOSE_CONDUCTIVITY = 0.25
_HOSE_WALL = 0.004
#: Water that a pump cannot warm any more, and from how far below it warms it less [degC, K]: in a short loop
#: that loses nothing it would boil.
_BOILING = 95.0
_BELOW_BOILING = 20.0
#: Where runs go whose surroundings are not told (common practice: most cross the ceilings of cabins).
_COMMON_SPACE = "ceiling void"
#: Share of the largest capacity rate that ties a node without flow to its surroundings.
_TIE = 1e-9


class Covered(NamedTuple):
    """The runs and hoses, as links: what lies between their water and the air round them.

    ``link`` is their place in compiled order; ``bore``, ``outside``, ``thickness``, ``length`` [m],
    ``wall``, ``conductivity`` [W/(m K)], ``air_C`` and ``dew_point_C`` of the space they cross.
    """

    link: Indices
    bore: Array
    outside: Array
    wall: Array
    thickness: Array
    conductivity: Array
    length: Array
    air_C: Array
    dew_point_C: Array


class Water(NamedTuple):
    """Water on its way through the links.

    ``up`` and ``down`` are the nodes it enters a link from and leaves it to, ``rate`` its capacity rate
    [W/K], 0 or more.  Of a link with walls it keeps ``kept`` of the difference to ``air_C``; the others keep
    all.  ``added`` [W] is what pumps add to cold water.  ``node_gain`` [W/K] and ``node_air_C``: tanks, and
    the tie of still water to its surroundings.  ``source_C`` is that of water that comes in from the sea, NaN
    elsewhere; ``air_inlets`` are the overboards above the waterline by which something comes in: it is air.
    """

    up: Indices
    down: Indices
    rate: Array
    kept: Array
    air_C: Array
    added: Array
    node_gain: Array
    node_air_C: Array
    source_C: Array
    air_inlets: Indices

    def pumped(self, node_C: Array) -> tuple[Array, Array]:
        """Return what pumps add to the water in each link [W], and its slope by the water that enters."""
        left = (_BOILING - node_C[self.up]) / _BELOW_BOILING
        share = np.clip(left, 0.0, 1.0)
        return self.added * share, np.where((left > 0.0) & (left < 1.0), -self.added / _BELOW_BOILING, 0.0)


class Round(NamedTuple):
    """Air round a run [degC]."""

    temp_C: float
    dew_point_C: float


def space_round(vessel: Vessel, name: str) -> Round:
    """Return the air of the space of that name, where it is not known that of a ceiling void."""
    space = space_of(vessel, name) or space_of(vessel, _COMMON_SPACE)
    if space is None or space.temp_C is None or space.rh_percent is None:
        raise AssertionError(f"{_COMMON_SPACE} is no usual space")
    humidity = moist_air.humidity_ratio(space.temp_C, space.rh_percent / 100)
    return Round(space.temp_C, float(moist_air.dew_point(humidity)))


def covered(vessel: Vessel, solution: Solution) -> Covered:
    """Return the runs and hoses of a solution with their walls, insulation and surroundings."""
    index = solution.compiled.structure.index
    air: dict[str, Round] = {}
    for name in {run.surroundings for run in vessel.runs} | {""}:
        air[name] = space_round(vessel, name)
    rows = [
        (index[run.tag], *_run_row(run, air[run.surroundings])) for run in vessel.runs if run.tag in index
    ]
    for part in vessel.components:
        if isinstance(part, FlexibleHose) and part.tag in index:
            bore = part.bore_mm * 1e-3
            rows.append(
                (
                    *(index[part.tag], bore, bore + 2 * _HOSE_WALL, _HOSE_CONDUCTIVITY, 0.0, 1.0),
                    *(part.length_m, *air[""]),
                )
            )
    table = np.array(rows, dtype=float).reshape(-1, len(Covered._fields))
    return Covered(table[:, 0].astype(np.int64), *table[:, 1:].T)


def _run_row(run: Run, space: Round) -> tuple[float, ...]:
    size = pipe_size(run.series, run.size)
    air = space.temp_C if run.surroundings_temp_C is None else run.surroundings_temp_C
    lagging = run.insulation
    return (
        size.bore_mm * 1e-3,
        size.outside_mm * 1e-3,
        size.conductivity_W_mK,
        lagging.thickness_mm * 1e-3 if lagging else 0.0,
        lagging.conductivity_W_mK if lagging else 1.0,
        run.length_m,
        air,
        space.dew_point_C,
    )


def specific_heats(liquids: Liquids) -> tuple[LiquidState[float], LiquidState[float]]:
    """Return the properties of the loop's liquid and of the sea's, each at its mean temperature.

    Raises
    ------
    NotSolvableError
        A liquid is frozen or outside its tables.
    """
    try:
        return (
            properties(liquids.loop.kind, liquids.loop.temp_C, liquids.loop.share),
            properties(liquids.sea.kind, liquids.sea.temp_C, liquids.sea.share),
        )
    except LiquidError as error:
        raise NotSolvableError(str(error)) from None


def pipes_heat(walls: Covered, water_C: Array, flow: Array, liquid: tuple[Array, Array, Array]) -> PipeHeat:
    """Return heat gain and conductance of the runs and hoses, per metre, and their surface temperature.

    Parameters
    ----------
    walls : Covered
    water_C : array, shape (walls,) [degC]
    flow : array, shape (walls,) [kg/s]
    liquid : tuple of arrays, shape (walls,)
        Viscosity, specific heat and conductivity [Pa s, J/(kg K), W/(m K)].
    """
    film = inside_film(np.abs(flow), walls.bore, *liquid)
    resistance = resistance_to_surface(
        walls.bore, walls.outside, walls.wall, film, walls.thickness, walls.conductivity
    )
    return pipe_heat(water_C, walls.air_C, resistance, walls.outside + 2.0 * walls.thickness)


def water(
    vessel: Vessel,
    solution: Solution,
    walls: Covered,
    conductance: Array,
    heats: tuple[float, float],
) -> Water:
    """Return the water's side for the flows of a solution.

    Parameters
    ----------
    conductance : array, shape (walls,) [W/(m K)]
        From water to air, as :func:`pipes_heat` has it.
    heats : tuple of float [J/(kg K)]
        Specific heat of the loop's liquid and of the sea's.
    """
    compiled = solution.compiled
    structure, flow = compiled.structure, solution.flow
    sea_links = is_sea(vessel, structure.order)
    rate = np.abs(flow) * np.where(sea_links, heats[SEA], heats[LOOP])
    forward = flow >= 0
    up = np.where(forward, structure.start, structure.end)
    down = np.where(forward, structure.end, structure.start)

    kept, air = np.ones(len(flow)), np.zeros(len(flow))
    through = rate[walls.link]
    # Without flow the water is as warm as the air round it.
    kept[walls.link] = np.exp(-conductance * walls.length / np.maximum(through, 1e-12))
    air[walls.link] = walls.air_C

    inside = space_round(vessel, "").temp_C
    gain = np.full(len(structure.node_tags), _TIE * max(float(rate.max(initial=0.0)), 1.0))
    around = np.full(len(structure.node_tags), inside)
    near = np.concatenate((structure.start[walls.link], structure.end[walls.link]))
    around[near] = np.concatenate((walls.air_C, walls.air_C))
    for part in vessel.components:
        if isinstance(part, BufferTank) and part.heat_gain_W_K > 0:
            node = structure.node_index.get(f"{part.tag}/{part.ports[0]}")
            if node is not None:
                gain[node] += part.heat_gain_W_K
                around[node] = space_round(vessel, "").temp_C
    source = _sources(vessel, solution, sea_links, up, down, rate)
    return Water(
        up,
        down,
        rate,
        kept,
        air,
        _added(vessel, solution, rate),
        gain,
        around,
        source,
        _air_inlets(vessel, solution, source),
    )


def _air_inlets(vessel: Vessel, solution: Solution, source_C: Array) -> Indices:
    index = solution.compiled.structure.node_index
    places = [
        index.get(f"{part.tag}/{part.ports[0]}", -1)
        for part in vessel.components
        if isinstance(part, Overboard) and vessel.heights.by_tag[part.tag] > 0.0
    ]
    inlets = np.array([place for place in places if place >= 0], dtype=np.int64)
    return inlets[~np.isnan(source_C[inlets])]


def _sources(
    vessel: Vessel, solution: Solution, sea_links: NDArray[np.bool_], up: Indices, down: Indices, rate: Array
) -> Array:
    """Return the temperature of nodes that water of the sea comes in at, NaN elsewhere."""
    nodes = len(solution.compiled.structure.node_tags)
    fed, feeds = np.zeros(nodes), np.zeros(nodes)
    np.add.at(fed, down[sea_links], rate[sea_links])
    np.add.at(feeds, up[sea_links], rate[sea_links])
    comes_in = feeds > fed * (1 + 1e-6)
    return np.where(comes_in, vessel.current_conditions.sea_temp_C, np.nan)


def _added(vessel: Vessel, solution: Solution, rate: Array) -> Array:
    """Return what pumps add to their water [W]: all of their shaft's work ends as heat in it."""
    compiled = solution.compiled
    added = np.zeros(len(rate))
    for link in compiled.ordered[compiled.structure.pumps]:
        part = vessel.component_by_tag[link.tag]
        if not isinstance(link, PumpLink) or not isinstance(part, Pump) or link.speed == 0:
            continue
        place = compiled.structure.index[link.tag]
        medium = compiled.network.media[link.medium]
        volume = abs(solution.flow_of(link.tag)) / medium.density
        head = link.curve.head(volume, link.speed) * medium.density * GRAVITY
        efficiency = link.curve.efficiency_at(volume, link.speed) or 0.0
        best = COMMON_EFFICIENCY if efficiency <= 0.0 else efficiency
        shaft = max(volume * head, 0.0) / max(best, 0.02)
        power = shaft / (part.motor_efficiency_percent / 100) if part.motor_in_water else shaft
        added[place] = power * rate[place] / (rate[place] + power / _STANDING_RISE) if power else 0.0
    return added
