# SPDX-License-Identifier: MIT
"""Rooms of the ships of any size, by the capacity of their air handlers."""

from __future__ import annotations

from collections.abc import Iterable

from solver.vessel.components import AirHandler, AnyComponent
from solver.vessel.samples.rooms import PORT, STARBOARD, Built, Room, Wall

BUILT = Built(side="steel_insulated", deck="deck_teak_aluminium", glass="glass_double_tinted")

#: Floor, outside wall and glass [m2] and people of a room by the capacity of its air handler [kW].
_ROOMS = {1.8: (10.0, 6.0, 0.9, 2.0), 2.2: (13.0, 8.0, 1.6, 2.0), 3.4: (22.0, 13.0, 4.0, 3.0)}


def rooms(components: Iterable[AnyComponent]) -> dict[str, Room]:
    """Return tag of a cabin -> its room; air handlers turned upside down stand to starboard."""
    return {
        handler.cabins[0]: _room(handler.capacity_total_kW, STARBOARD if handler.turn == 2 else PORT)
        for handler in components
        if isinstance(handler, AirHandler)
    }


def _room(capacity_kW: float, side: float) -> Room:
    floor, wall, glass, people = _ROOMS[capacity_kW]
    return Room(
        floor_m2=floor,
        walls=(Wall(side, wall, glass),),
        bulkhead_m2=8.0,
        people=people,
        equipment_W=100.0,
    )
