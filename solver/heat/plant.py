# SPDX-License-Identifier: MIT
"""The chillers that water passes, and what they do at the temperatures of the network's nodes."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from solver.heat.machines import chiller_law
from solver.heat.water import Water
from solver.parts.chiller_law import ChillerLaw, ChillerState, Trip, chiller_state
from solver.parts.roots import Array
from solver.vessel.components import Chiller
from solver.vessel.vessel import Vessel

Indices = NDArray[np.int64]

_STEP = 1e-4
#: Leaving water is held within these for the laws [degC].
_RANGE = (-40.0, 95.0)


class Plant(NamedTuple):
    """The chillers, K of them.

    ``links`` and ``sea_links`` are their places among the links; -1 where no sea water is drawn to one,
    which then has its rated flow at ``sea_C``.  ``stopped`` is the trip of those that stand from the start.
    """

    tags: tuple[str, ...]
    laws: tuple[ChillerLaw, ...]
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
    steps = ((0.0, 0.0), (_STEP, 0.0), (0.0, _STEP)) if slopes else ((0.0, 0.0),)
    found = np.zeros((2, 3, count))
    each: list[ChillerState] = []
    for place, law in enumerate(chillers.laws):
        state = _state(chillers, place, law, node_C, water, heating, stopped, np.array(steps).T, not slopes)
        found[0, : len(steps), place], found[1, : len(steps), place] = state.duty, state.into_sea
        each.append(ChillerState(*(of[0] for of in state)))
    trip = np.array([int(state.trip) for state in each], dtype=np.int64)
    slope = (found[:, 1:] - found[:, :1]) / _STEP if slopes else np.zeros((2, 2, count))
    return PlantState(
        found[0, 0],
        found[1, 0],
        np.where(stopped > 0, stopped, trip),
        tuple(each),
        slope[0, 0],
        slope[0, 1],
        slope[1, 0],
        slope[1, 1],
    )


def _state(
    chillers: Plant,
    place: int,
    law: ChillerLaw,
    node_C: Array,
    water: Water,
    heating: bool,
    stopped: Indices,
    aside: Array,
    switches: bool,
) -> ChillerState:
    link, sea_link = chillers.links[place], chillers.sea_links[place]
    entering = np.clip(node_C[water.up[link]], *_RANGE) + aside[0]
    sea = (chillers.sea_C if sea_link < 0 else np.clip(node_C[water.up[sea_link]], *_RANGE)) + aside[1]
    return chiller_state(
        law,
        entering,
        water.rate[link] / chillers.heats[0],
        chillers.heats[0],
        chillers.set_point[place],
        sea,
        law.sea_flow if sea_link < 0 else water.rate[sea_link] / chillers.heats[1],
        chillers.heats[1],
        heating and law.heating is not None,
        chillers.speed[place],
        chillers.fouling[place],
        running=bool(stopped[place] == 0),
        switches=switches,
    )
