# SPDX-License-Identifier: MIT
"""The chillers that water passes, and what they do at the temperatures of the network's nodes."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from solver.heat.machines import chiller_law
from solver.heat.water import Water
from solver.parts.chiller_law import ChillerLaw, ChillerState, Trip, chiller_state
from solver.parts.chiller_map import SlopeMap
from solver.parts.roots import Array
from solver.vessel.components import Chiller
from solver.vessel.vessel import Vessel

Indices = NDArray[np.int64]

_STEP = 1e-4
#: Leaving water is held within these for the laws [degC].
_RANGE = (-40.0, 95.0)
#: Share of its rated sea water below which a condenser counts as dry.
_DRY = 1e-3
#: Coldest and warmest that sea water is made on the way to a balance [degC]; switches stop a chiller before.
_SEA_RANGE = (-60.0, 150.0)


class Plant(NamedTuple):
    """The chillers, K of them.

    ``stacks`` are the laws again, those of like form as one, each with its places among the chillers.
    ``links`` and ``sea_links`` are their places among the links; -1 where no sea water is drawn to one,
    which then has its rated flow at ``sea_C``.  ``stopped`` is the trip of those that stand from the start.
    """

    tags: tuple[str, ...]
    laws: tuple[ChillerLaw, ...]
    stacks: tuple[tuple[ChillerLaw, Indices], ...]
    links: Indices
    sea_links: Indices
    set_point: Array
    speed: Array
    fouling: Array
    sea_C: float
    heats: tuple[float, float]
    sea_density: float
    stopped: Indices


class PlantState(NamedTuple):
    """What the chillers do [W], with slopes by entering loop and sea water [W/K]; ``each`` has the rest."""

    duty: Array
    into_sea: Array
    trip: Indices
    each: tuple[ChillerState, ...]
    duty_by_water: Array
    duty_by_sea: Array
    sea_by_water: Array
    sea_by_sea: Array


def plant(
    vessel: Vessel, index: dict[str, int], heats: tuple[float, float], sea_density: float, heating: bool
) -> Plant:
    """Return the chillers that are in a network.

    Parameters
    ----------
    index : dict
        Tag -> place of every link.
    heats : tuple of float [J/(kg K)]
        Specific heat of the loop's liquid and of the sea's.
    sea_density : float [kg/m3]

    Raises
    ------
    PartError
        A chiller's figures make no sense.
    """
    chillers = [part for part in vessel.components if isinstance(part, Chiller) and part.tag in index]
    laws = tuple(chiller_law(chiller, sea_density, heats[1]) for chiller in chillers)
    able = [not heating or law.heating is not None for law in laws]
    return Plant(
        tuple(chiller.tag for chiller in chillers),
        laws,
        _stacked(laws),
        np.array([index[chiller.tag] for chiller in chillers], dtype=np.int64),
        np.array([index.get(f"{chiller.tag}:sea", -1) for chiller in chillers], dtype=np.int64),
        np.array([c.heating_set_point_C if heating else c.set_point_C for c in chillers], dtype=float),
        np.array([c.compressor_speed_percent / 100 for c in chillers], dtype=float),
        np.array([c.condenser_fouling_percent / 100 for c in chillers], dtype=float),
        vessel.current_conditions.sea_temp_C,
        heats,
        sea_density,
        np.array(
            [
                int(Trip.NONE if chiller.running and can else Trip.OFF)
                for chiller, can in zip(chillers, able, strict=True)
            ],
            dtype=np.int64,
        ),
    )


def without_sea(chillers: Plant, water: Water, heating: bool) -> Plant:
    """Return the plant with those chillers stopped whose condensers air or nothing reaches."""
    if not chillers.laws:
        return chillers
    rated = np.array([law.sea_flow * law.sea_heat for law in chillers.laws])
    drawn, rate = chillers.sea_links >= 0, water.rate[chillers.sea_links]
    dry = drawn & ((rate < _DRY * rated) | _below(water)[water.up[chillers.sea_links]])
    trip = Trip.SEA_TOO_COLD if heating else Trip.HIGH_CONDENSING
    return chillers._replace(stopped=np.where(dry & (chillers.stopped == 0), int(trip), chillers.stopped))


def _below(water: Water) -> NDArray[np.bool_]:
    """Return which nodes what flows in from the air reaches."""
    reached = np.zeros(len(water.node_gain), dtype=bool)
    reached[water.air_inlets] = True
    flows = water.rate > 0.0
    found = int(reached.sum())
    while found:
        reached[water.down[flows & reached[water.up]]] = True
        found, before = int(reached.sum()), found
        if found == before:
            break
    return reached


def plant_state(
    chillers: Plant, node_C: Array, water: Water, heating: bool, stopped: Indices, slopes: bool = False
) -> PlantState:
    """Return what the chillers do.

    With ``slopes`` their switches do not stop them (``stopped`` does), so that nothing jumps on the way to
    a balance; without, what the switches say is in ``trip``.

    Parameters
    ----------
    node_C : array, shape (nodes,) [degC]
    stopped : array of int, shape (K,)
        Trips that hold; 0 where a chiller may run.
    """
    count = len(chillers.laws)
    aside = np.array(((0.0, 0.0), (_STEP, 0.0), (0.0, _STEP)) if slopes else ((0.0, 0.0),)).T
    found = np.zeros((2, count, 3))
    each: list[ChillerState | None] = [None] * count
    for law, places in chillers.stacks:
        state = _state(chillers, places, law, node_C, water, heating, stopped, aside, not slopes)
        found[0, places, : aside.shape[1]] = state.duty
        found[1, places, : aside.shape[1]] = state.into_sea
        for row, place in enumerate(places.tolist()):
            each[place] = ChillerState(*(of[row, 0] for of in state))
    states = tuple(state for state in each if state is not None)
    if slopes:
        found[1] = _within_range(chillers, node_C, water, found[1], aside[1])
    trip = np.array([int(state.trip) for state in states], dtype=np.int64)
    slope = (found[:, :, 1:] - found[:, :, :1]) / _STEP if slopes else np.zeros((2, count, 2))
    return PlantState(
        found[0, :, 0],
        found[1, :, 0],
        np.where(stopped > 0, stopped, trip),
        states,
        slope[0, :, 0],
        slope[0, :, 1],
        slope[1, :, 0],
        slope[1, :, 1],
    )


def _within_range(chillers: Plant, node_C: Array, water: Water, into_sea: Array, aside: Array) -> Array:
    """Return heat into the sea, no more than takes its water to the ends of its range."""
    sea = node_C[water.up[chillers.sea_links]][:, None] + aside
    rate = water.rate[chillers.sea_links][:, None]
    coldest, warmest = _SEA_RANGE
    held = np.clip(into_sea, rate * np.minimum(coldest - sea, 0.0), rate * np.maximum(warmest - sea, 0.0))
    return np.where(chillers.sea_links[:, None] < 0, into_sea, held)


def _state(
    chillers: Plant,
    places: Indices,
    law: ChillerLaw,
    node_C: Array,
    water: Water,
    heating: bool,
    stopped: Indices,
    aside: Array,
    switches: bool,
) -> ChillerState:
    """Return the states of chillers that share a stacked law, shape (chillers, steps aside)."""
    links, sea_links = chillers.links[places], chillers.sea_links[places]
    entering = np.clip(node_C[water.up[links]], *_RANGE)
    drawn = sea_links >= 0
    sea = np.where(drawn, np.clip(node_C[water.up[sea_links]], *_RANGE), chillers.sea_C)
    sea_flow = np.where(drawn, water.rate[sea_links] / chillers.heats[1], np.ravel(law.sea_flow))
    return chiller_state(
        law,
        entering[:, None] + aside[0],
        (water.rate[links] / chillers.heats[0])[:, None],
        chillers.heats[0],
        chillers.set_point[places][:, None],
        sea[:, None] + aside[1],
        sea_flow[:, None],
        chillers.heats[1],
        heating and law.heating is not None,
        chillers.speed[places][:, None],
        chillers.fouling[places][:, None],
        running=(stopped[places] == 0)[:, None],
        switches=switches,
    )


def _stacked(laws: Sequence[ChillerLaw]) -> tuple[tuple[ChillerLaw, Indices], ...]:
    """Return laws of like form as one with columns for its figures, and the places of each in the plant.

    Those with a table stand by themselves.
    """
    like: dict[tuple[object, ...], list[int]] = {}
    for place, law in enumerate(laws):
        slopes = isinstance(law.cooling, SlopeMap) and isinstance(law.heating, SlopeMap | None)
        key = (law.heating is None, law.part_load) if slopes else (place,)
        like.setdefault(key, []).append(place)
    return tuple(
        (_columns([laws[place] for place in places]), np.array(places, dtype=np.int64))
        for places in like.values()
    )


def _columns(laws: Sequence[ChillerLaw]) -> ChillerLaw:
    if len(laws) == 1:
        return laws[0]
    first = laws[0]
    cooling = _map_columns([law.cooling for law in laws])
    heating = None if first.heating is None else _map_columns([law.heating for law in laws])
    figures = {
        name: _column([getattr(law, name) for law in laws])
        for name in ChillerLaw._fields
        if name not in ("cooling", "heating", "part_load")
    }
    return ChillerLaw(cooling=cooling, heating=heating, part_load=first.part_load, **figures)


def _map_columns(maps: Sequence[Any]) -> SlopeMap:
    figures = {name: _column([getattr(one, name) for one in maps]) for name in SlopeMap._fields[:8]}
    return SlopeMap(**figures, leaving_limits_C=maps[0].leaving_limits_C, sea_limits_C=maps[0].sea_limits_C)


def _column(values: Sequence[float]) -> Any:
    """Return figures as a column; the laws broadcast."""
    return np.array(values, dtype=float)[:, None]
