# SPDX-License-Identifier: MIT
"""Temperatures of a vessel for the flows of a hydraulic solution."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from solver.errors import NotSolvableError, PartError
from solver.heat.balance import Balance, balance
from solver.heat.cabin_load import RoomLoads, room_loads
from solver.heat.plant import Plant, plant, without_sea
from solver.heat.rooms import Rooms, Units, rooms_and_units, with_liquid
from solver.heat.system import Case, State
from solver.heat.water import Covered, Water, covered, pipes_heat, specific_heats, water
from solver.media import moist_air
from solver.media.liquid import freezing_point, properties
from solver.network.solution import Solution
from solver.parts.insulation import PipeHeat
from solver.parts.roots import Array
from solver.vessel.liquids import Liquid, Liquids, is_sea, liquids
from solver.vessel.to_network import Temperatures
from solver.vessel.vessel import Vessel

Indices = NDArray[np.int64]

#: Water as it stands before anything is known: above the chillers' set point [K].
_FIRST_RISE = 2.5
_FIRST_RH = 0.5
_FIRST_DEMAND = 0.8
#: Properties are taken this far from where a liquid's table ends [K].
_FROM_FREEZING = 0.2
_WARMEST = 90.0
#: What of a vessel has no say in the loads of its cabins.
_NOT_IN_LOADS = frozenset(
    ("name", "notes", "units", "components", "runs", "readings", "scenarios", "underlays", "limits")
) | {"method", "loop_liquid"}


class Start(NamedTuple):
    """Where a solve may start from: temperatures of the water, and the balance."""

    water: Temperatures
    found: Found


class Found(NamedTuple):
    """A balance with all it was found from; ``link_in_C`` and ``link_out_C`` in compiled order."""

    vessel: Vessel
    loads: RoomLoads
    solution: Solution
    water: Water
    walls: Covered
    wall_heat: PipeHeat
    rooms: Rooms
    units: Units
    unit_links: Indices
    plant: Plant
    balance: Balance
    link_in_C: Array
    link_out_C: Array
    sea_links: Indices
    heating: bool

    @property
    def link_C(self) -> Array:
        """Mean temperature of the water in each link [degC]."""
        return np.asarray((self.link_in_C + self.link_out_C) / 2)


class Prepared(NamedTuple):
    """What a balance is made of; ``sea_links`` tells which links hold sea water.

    ``heats`` [J/(kg K)] and ``densities`` [kg/m3] are of the loop's liquid and of the sea's.
    """

    case: Case
    loads: RoomLoads
    walls: Covered
    wall_heat: PipeHeat
    sea_links: NDArray[np.bool_]
    mean: Liquids
    heats: tuple[float, float]
    densities: tuple[float, float]


def temperatures(
    vessel: Vessel,
    solution: Solution,
    at: Temperatures | None = None,
    like: Found | None = None,
    *,
    loads: RoomLoads | None = None,
    hold: bool = False,
) -> Found:
    """Return the balance of heat for the flows of a solution.

    Parameters
    ----------
    vessel : Vessel
    solution : Solution
    at : Temperatures, optional
        Of the water, from the round before: pipes' films and specific heats are taken there.
    like : Found, optional
        To start from, and to take over what is the same; one of other nodes or cabins is no start.
    loads : RoomLoads, optional
        Loads of the cabins; those of the vessel's current conditions if left out.
    hold : bool
        What tripped in ``like`` stays off, as a chiller on board does that nobody resets.

    Raises
    ------
    NotSolvableError
        A chiller's or a coil's figures make no sense, or no balance was found; names the parts.
    """
    made = prepared(vessel, solution, at, like, loads=loads, hold=hold)
    case = made.case
    if hold and like is not None:
        stopped = case.plant.stopped
        stopped = np.where(stopped == 0, like.balance.plant.trip, stopped)
        case = case._replace(plant=case.plant._replace(stopped=stopped))
    start = like.balance.state if like is not None else None
    if start is None or not _fits(start, case):
        start = _first_state(case, made.mean, solution.compiled.structure.end[made.sea_links])
    found = balance(case, start)
    into = found.state.node_C[case.water.up]
    return Found(
        vessel=vessel,
        loads=made.loads,
        solution=solution,
        water=case.water,
        walls=made.walls,
        wall_heat=made.wall_heat,
        rooms=case.rooms,
        units=case.units,
        unit_links=case.unit_links,
        plant=case.plant,
        balance=found,
        link_in_C=into,
        link_out_C=_leaving(case, found, into),
        sea_links=np.flatnonzero(made.sea_links),
        heating=case.heating,
    )


def prepared(
    vessel: Vessel,
    solution: Solution,
    at: Temperatures | None = None,
    like: Found | None = None,
    *,
    loads: RoomLoads | None = None,
    hold: bool = False,
) -> Prepared:
    """Return all that a balance of heat is made of, for the flows of a solution.

    Parameters
    ----------
    vessel, solution, at, like, loads, hold
        As for :func:`temperatures`.

    Raises
    ------
    NotSolvableError
        A chiller's or a coil's figures make no sense; names the parts.
    """
    structure = solution.compiled.structure
    heating = vessel.current_conditions.mode == "heating"
    mean = liquids(vessel) if at is None else at.liquids
    loop, sea = specific_heats(mean)
    heats = (loop.specific_heat, sea.specific_heat)
    if loads is None:
        loads = like.loads if like is not None and _same_loads(vessel, like.vessel) else room_loads(vessel)
    try:
        if like is not None and like.vessel is vessel and like.loads is loads:
            rooms, units, walls = like.rooms, with_liquid(like.units, loop), like.walls
        else:
            rooms, units = rooms_and_units(vessel, loads, structure.index, loop)
            walls = covered(vessel, solution)
        chillers = plant(vessel, structure.index, heats, sea.density, heating)
    except PartError as error:
        raise NotSolvableError(str(error), error.tags) from None
    sea_links = is_sea(vessel, structure.order)
    link_C = _first_link_temps(structure.order, at, mean, sea_links)
    wall_heat = _walls(walls, solution, link_C, mean, sea_links)
    stream = water(vessel, solution, walls, wall_heat.conductance, heats)
    chillers = without_sea(chillers, stream, heating)
    unit_links = np.array([structure.index[tag] for tag in units.tags], dtype=np.int64)
    case = Case(stream, rooms, units, unit_links, chillers, heating)
    return Prepared(case, loads, walls, wall_heat, sea_links, mean, heats, (loop.density, sea.density))


def _same_loads(vessel: Vessel, other: Vessel) -> bool:
    """Return whether two vessels differ in nothing that loads of cabins may depend on."""
    return all(
        getattr(vessel, name) is getattr(other, name)
        for name in Vessel.__struct_fields__
        if name not in _NOT_IN_LOADS
    )


def water_temps(vessel: Vessel, found: Found) -> Temperatures:
    """Return the temperatures of a balance as the network takes them."""
    order = found.solution.compiled.structure.order
    sea = is_sea(vessel, order)
    link_C, rate = found.link_C, found.water.rate
    kinds = liquids(vessel)
    named = []
    for liquid, mask in zip(kinds, (~sea, sea), strict=True):
        low = freezing_point(liquid.kind, liquid.share) + _FROM_FREEZING
        weight = rate[mask]
        whole = float(weight.sum())
        mean = float((link_C[mask] * weight).sum()) / whole if whole > 0 else liquid.temp_C
        link_C = np.where(mask, np.clip(link_C, low, _WARMEST), link_C)
        named.append(liquid._replace(temp_C=float(np.clip(mean, low, _WARMEST))))
    return Temperatures(Liquids(*named), dict(zip(order, link_C.tolist(), strict=True)))


def _first_link_temps(
    order: tuple[str, ...], at: Temperatures | None, mean: Liquids, sea: NDArray[np.bool_]
) -> Array:
    if at is None:
        return np.where(sea, mean.sea.temp_C, mean.loop.temp_C)
    of_kind = (mean.loop.temp_C, mean.sea.temp_C)
    return np.array(
        [at.of_link.get(tag, of_kind[int(wet)]) for tag, wet in zip(order, sea.tolist(), strict=True)]
    )


def _walls(
    walls: Covered, solution: Solution, link_C: Array, mean: Liquids, sea: NDArray[np.bool_]
) -> PipeHeat:
    """Return what passes the walls of runs and hoses, per metre, at the water's temperatures."""
    own, wet = link_C[walls.link], sea[walls.link]
    columns = np.zeros((3, len(own)))
    for liquid, mask in ((mean.loop, ~wet), (mean.sea, wet)):
        if mask.any():
            columns[:, mask] = _film_properties(liquid, own[mask])
    viscosity, heat, conductivity = columns
    return pipes_heat(walls, own, solution.flow[walls.link], (viscosity, heat, conductivity))


def _film_properties(liquid: Liquid, temps: Array) -> tuple[Array, Array, Array]:
    low = freezing_point(liquid.kind, liquid.share) + _FROM_FREEZING
    state = properties(liquid.kind, np.clip(temps, low, _WARMEST), liquid.share)
    return state.viscosity, state.specific_heat, state.conductivity


def _fits(start: State, case: Case) -> bool:
    return (
        len(start.node_C) == len(case.water.node_gain)
        and len(start.cabin_C) == len(case.rooms.tags)
        and len(start.demand) == len(case.rooms.controlled)
    )


def _first_state(case: Case, mean: Liquids, sea_nodes: Indices) -> State:
    sign = -1.0 if case.heating else 1.0
    wanted = float(np.mean(case.plant.set_point)) if len(case.plant.set_point) else mean.loop.temp_C
    node = np.full(len(case.water.node_gain), wanted + sign * _FIRST_RISE)
    node[sea_nodes] = case.plant.sea_C
    cabin = case.rooms.set_point.copy()
    humidity = np.asarray(moist_air.humidity_ratio(cabin, _FIRST_RH)) if len(cabin) else np.zeros(0)
    return State(node, cabin, humidity, np.full(len(case.rooms.controlled), _FIRST_DEMAND))


def _leaving(case: Case, found: Balance, into: Array) -> Array:
    """Return the temperature of the water that leaves each link [degC]."""
    stream = case.water
    rate = np.maximum(stream.rate, 1e-12)
    moving = stream.rate > 1e-9
    pumped, _ = stream.pumped(found.state.node_C)
    out = stream.air_C + (into - stream.air_C) * stream.kept + np.where(moving, pumped / rate, 0.0)
    coils = case.unit_links
    out[coils] += np.where(moving[coils], found.coils.total / rate[coils], 0.0)
    links, sea = case.plant.links, case.plant.sea_links
    if len(links):
        out[links] -= np.where(moving[links], found.plant.duty / rate[links], 0.0)
        wet = np.flatnonzero(sea >= 0)
        out[sea[wet]] += np.where(moving[sea[wet]], found.plant.into_sea[wet] / rate[sea[wet]], 0.0)
    return out
