# SPDX-License-Identifier: MIT
"""What warms the cabins of the sample vessels: invented rooms of plausible size.

A room has outside walls with their windows; what lies above, below and beside it follows its place.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import NamedTuple

import msgspec

from solver.vessel.cabin import Activity, Cabin, Surface

#: Facing of an outside wall, clockwise from the bow.
AHEAD, STARBOARD, AFT, PORT = 0.0, 90.0, 180.0, -90.0
#: Lights of a lived-in room [W/m2] (common practice with LED lamps: 6 to 10).
_LIGHTS_W_M2 = 8.0


class Wall(NamedTuple):
    """An outside wall: where it faces, its area with its windows, and theirs [m2]."""

    facing_deg: float
    area_m2: float
    glass_m2: float = 0.0


@dataclass(frozen=True, kw_only=True)
class Built:
    """What a vessel is built of, names of the constructions table."""

    side: str
    deck: str
    glass: str


@dataclass(frozen=True, kw_only=True)
class Room:
    """A room.  ``hull_m2`` is its hull below the waterline, ``deck_m2`` the weather deck over it.

    ``shaded_percent`` is what overhangs and curtains keep off its windows.
    """

    floor_m2: float
    walls: tuple[Wall, ...] = ()
    hull_m2: float = 0.0
    deck_m2: float = 0.0
    bilge: bool = False
    machinery_m2: float = 0.0
    bulkhead_m2: float = 0.0
    shaded_percent: float = 30.0
    people: float = 2.0
    activity: Activity = "seated"
    equipment_W: float = 100.0
    equipment_latent_W: float = 0.0
    set_point_C: float = 23.0


def furnished(cabins: Iterable[Cabin], rooms: Mapping[str, Room], built: Built) -> tuple[Cabin, ...]:
    """Return cabins with what warms them, by tag."""
    return tuple(_furnished(cabin, rooms[cabin.tag], built) for cabin in cabins)


def _furnished(cabin: Cabin, room: Room, built: Built) -> Cabin:
    return msgspec.structs.replace(
        cabin,
        floor_area_m2=room.floor_m2,
        set_point_C=room.set_point_C,
        surfaces=tuple(_surfaces(room, built)),
        people=room.people,
        activity=room.activity,
        lights_W=round(_LIGHTS_W_M2 * room.floor_m2, -1),
        equipment_W=room.equipment_W,
        equipment_latent_W=room.equipment_latent_W,
    )


def _surfaces(room: Room, built: Built) -> Iterable[Surface]:
    for wall in room.walls:
        area = wall.area_m2 - wall.glass_m2
        yield Surface(kind="side", area_m2=area, construction=built.side, facing_deg=wall.facing_deg)
        if wall.glass_m2:
            yield Surface(
                kind="window",
                area_m2=wall.glass_m2,
                construction=built.glass,
                facing_deg=wall.facing_deg,
                shaded_percent=room.shaded_percent,
            )
    if room.hull_m2:
        yield Surface(kind="hull", area_m2=room.hull_m2, construction=built.side)
    if room.deck_m2:
        yield Surface(kind="deck", area_m2=room.deck_m2, construction=built.deck)
    if room.bilge:
        yield Surface(kind="sole", area_m2=room.floor_m2)
    if room.bulkhead_m2:
        yield Surface(kind="bulkhead", area_m2=room.bulkhead_m2)
    if room.machinery_m2:
        yield Surface(kind="machinery", area_m2=room.machinery_m2)
