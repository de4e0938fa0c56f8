# SPDX-License-Identifier: MIT
"""The liquids of a vessel: what is in the loop and in the sea, at which temperature."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from solver.errors import LiquidError, NotSolvableError
from solver.media.liquid import mass_share, properties, vapour_pressure
from solver.network.network import Medium
from solver.vessel.components import Overboard, SeaWaterPump, ThroughHull
from solver.vessel.vessel import Vessel

_SEA_KINDS = frozenset((ThroughHull, Overboard, SeaWaterPump))
#: Places of the two liquids among a network's media.
LOOP, SEA = 0, 1

Array = NDArray[np.float64]


class Liquid(NamedTuple):
    """A liquid by its name in ``solver.media.liquid``, its share of mass and its temperature."""

    kind: str
    share: float
    temp_C: float


class Liquids(NamedTuple):
    """The loop's liquid and the sea's."""

    loop: Liquid
    sea: Liquid


def liquids(vessel: Vessel, loop_C: float | None = None, sea_C: float | None = None) -> Liquids:
    """Return a vessel's liquids, at the temperatures given or else at those of the document.

    Raises
    ------
    NotSolvableError
        There is no such share.
    """
    loop, conditions = vessel.loop_liquid, vessel.current_conditions
    share = loop.share_percent / 100
    try:
        if loop.kind == "water":
            share = 0.0
        elif share and loop.share_by == "volume":
            share = mass_share(loop.kind, share)
    except LiquidError as error:
        raise NotSolvableError(str(error)) from None
    return Liquids(
        Liquid(loop.kind, share, loop.temp_C if loop_C is None else loop_C),
        Liquid(
            "sea_water",
            conditions.sea_salinity_g_kg / 1000,
            conditions.sea_temp_C if sea_C is None else sea_C,
        ),
    )


def sea_circuits(vessel: Vessel) -> set[int]:
    """Return which circuits of ``vessel.joints`` hold sea water: those that reach the sea."""
    joints = vessel.joints
    return {
        int(joints.circuits[joints.point_of[part.tag, part.ports[0]]])
        for part in vessel.components
        if type(part) in _SEA_KINDS
    }


def is_sea(vessel: Vessel, tags: Sequence[str]) -> NDArray[np.bool_]:
    """Return which links hold sea water; a through-hull's own is one of them."""
    circuits, joints = sea_circuits(vessel), vessel.joints
    return np.array(
        [
            tag not in joints.index_of or int(joints.circuits[joints.start[joints.index_of[tag]]]) in circuits
            for tag in tags
        ],
        dtype=bool,
    )


@lru_cache(maxsize=256)
def medium(liquid: Liquid) -> Medium:
    """Return a liquid as the network has it.

    Raises
    ------
    NotSolvableError
        It is frozen or outside its tables.
    """
    try:
        state = properties(liquid.kind, liquid.temp_C, liquid.share)
        return Medium(state.density, state.viscosity, vapour_pressure(liquid.temp_C))
    except LiquidError as error:
        raise NotSolvableError(str(error)) from None


def media_at(liquid: Liquid, temps: Array) -> list[Medium]:
    """Return a liquid at several temperatures, all of the density it has at its own.

    A circuit has one density: what rises through a difference of it in one place falls through it in
    another, and what is left moves no water that a pump does not.

    Raises
    ------
    NotSolvableError
        It is frozen or outside its tables at one of them.
    """
    density = medium(liquid).density
    try:
        viscosity = properties(liquid.kind, temps, liquid.share).viscosity
        vapour = vapour_pressure(temps)
    except LiquidError as error:
        raise NotSolvableError(str(error)) from None
    return [Medium(density, mu, p) for mu, p in zip(viscosity.tolist(), vapour.tolist(), strict=True)]
