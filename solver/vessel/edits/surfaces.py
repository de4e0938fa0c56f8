# SPDX-License-Identifier: MIT
"""Edits of the surfaces of a cabin, one at a time; ``place`` counts from 0."""

from __future__ import annotations

import msgspec

from solver.errors import EditError
from solver.vessel.cabin import Cabin, Surface
from solver.vessel.edits.setting import set_field
from solver.vessel.parts import find
from solver.vessel.vessel import Vessel


def add_surface(vessel: Vessel, cabin: str, surface: Surface) -> Vessel:
    """Return the vessel with a surface added to a cabin.

    Raises
    ------
    EditError
        No cabin has that tag, or the surface is not accepted.
    """
    return set_field(vessel, (cabin,), "surfaces", (*_surfaces(vessel, cabin), surface))


def set_surface(vessel: Vessel, cabin: str, place: int, surface: Surface) -> Vessel:
    """Return the vessel with one surface of a cabin changed.

    Raises
    ------
    EditError
        No cabin has that tag, it has no surface at that place, or the surface is not accepted.
    """
    surfaces = _surfaces(vessel, cabin)
    _refuse_place(surfaces, place, cabin)
    return set_field(vessel, (cabin,), "surfaces", (*surfaces[:place], surface, *surfaces[place + 1 :]))


def remove_surface(vessel: Vessel, cabin: str, place: int) -> Vessel:
    """Return the vessel without one surface of a cabin.

    Raises
    ------
    EditError
        No cabin has that tag, or it has no surface at that place.
    """
    surfaces = _surfaces(vessel, cabin)
    _refuse_place(surfaces, place, cabin)
    return set_field(vessel, (cabin,), "surfaces", surfaces[:place] + surfaces[place + 1 :])


def mirror_surface(surface: Surface) -> Surface:
    """Return a surface as it is across the boat: what faces port faces starboard.

    Examples
    --------
    >>> mirror_surface(Surface(kind="window", area_m2=1.0, facing_deg=90.0)).facing_deg
    -90.0
    """
    # 0 and 180 look along the boat and stay; minus 0 would be written as such.
    facing = surface.facing_deg if surface.facing_deg % 180.0 == 0.0 else -surface.facing_deg
    return msgspec.structs.replace(surface, facing_deg=facing)


def _surfaces(vessel: Vessel, tag: str) -> tuple[Surface, ...]:
    part = find(vessel, (tag,))[tag].part
    if not isinstance(part, Cabin):
        raise EditError(f"{tag} is no cabin and has no surfaces", (tag,))
    return part.surfaces


def _refuse_place(surfaces: tuple[Surface, ...], place: int, tag: str) -> None:
    if not 0 <= place < len(surfaces):
        accepted = f"0 to {len(surfaces) - 1}" if surfaces else "none, since it has no surfaces"
        raise EditError(f"{tag} has no surface {place}; accepted: {accepted}", (tag,))
