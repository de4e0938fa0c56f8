# SPDX-License-Identifier: MIT
"""The cabins of a vessel as arrays: what does not depend on hour and heading, gathered once a calculation.

Surfaces are summed into cabins: conductance to each other side, and for every plane (a facing and a tilt) how
much of the sun on it warms the cabin through its glass and through its walls.
"""

from __future__ import annotations

from operator import attrgetter
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import csr_array

from solver.heat.estimate import CONDUCTANCE_OF_FLOOR, SENSIBLE_SHARE, estimate
from solver.heat.people import OUTDOOR_AIR_L_S, PEOPLE
from solver.parts.constructions import (
    CONSTRUCTIONS,
    INSIDE_FILM,
    OUTDOOR_FILM,
    SEA_FILM,
    Construction,
    Way,
    u_value,
)
from solver.parts.roots import Array
from solver.vessel.cabin import GLASS, OUTDOORS, SEA, USUAL, Surface, SurfaceKind
from solver.vessel.spaces import plain_name, space_of
from solver.vessel.vessel import Conditions, Vessel

#: Film of a sunlit surface for its sol-air temperature [W/(m2 K)], and the sky's cooling of one that looks up
#: [W/m2]: ASHRAE Handbook Fundamentals 2013, chapter 18 (sol-air temperature; the usual 17 and 63).
SUNLIT_FILM, SKY_COOLING = 17.0, 63.0

#: The way of heat when cooling and when heating; across in all other kinds.
_WAYS: dict[SurfaceKind, tuple[Way, Way]] = {
    "deck": ("down", "up"),
    "hatch": ("down", "up"),
    "sole": ("up", "down"),
}
_CABIN_FIELDS = attrgetter(
    "set_point_C",
    "rh_percent",
    "people",
    "activity",
    "lights_W",
    "equipment_W",
    "equipment_latent_W",
    "outdoor_air_L_s",
    "load_sensible_W",
    "load_latent_W",
)
# What many surfaces have in common comes first, then what each has of its own.
_SURFACE_FIELDS = attrgetter(
    "kind",
    "construction",
    "other_side",
    "facing_deg",
    "tilt_deg",
    "area_m2",
    "u_W_m2K",
    "absorptance",
    "solar_gain",
    "shaded_percent",
)
_IN_COMMON = 5


class Side(NamedTuple):
    """What a surface is, with everything usual filled in.

    ``u_W_m2K`` is that of the construction, ``temp_C`` that of the other side, NaN where it is outdoors.
    """

    construction: Construction
    u_W_m2K: float
    other_side: str
    temp_C: float
    tilt_deg: float
    glass: bool

    @property
    def outdoors(self) -> bool:
        """Whether weather and sun are on the other side."""
        return self.other_side == OUTDOORS


class Gathered(NamedTuple):
    """Arrays, one element a cabin; matrices, one row a cabin and one column a plane.

    ``typed_sensible`` and ``typed_latent`` are NaN where nothing is typed.  ``outdoor_conductance`` is
    that to outdoor air, ``other_conductance`` and ``other_heat`` (times temperature) those to all other
    sides.  ``sky`` is the heat that surfaces looking up lose to a clear sky.
    """

    tags: tuple[str, ...]
    set_point_C: Array
    rh: Array
    people_sensible: Array
    people_latent: Array
    lights: Array
    equipment: Array
    equipment_latent: Array
    outdoor_air_L_s: Array
    typed_sensible: Array
    typed_latent: Array
    estimated: NDArray[np.bool_]
    outdoor_conductance: Array
    other_conductance: Array
    other_heat: Array
    sky: Array
    facing_deg: Array
    tilt_deg: Array
    sun_through_glass: Any
    sun_through_walls: Any


def gathered(vessel: Vessel, conditions: Conditions) -> Gathered:
    """Return the cabins of a vessel as arrays, for weather and sea of some conditions."""
    cabins = vessel.cabins
    rows = [_CABIN_FIELDS(cabin) for cabin in cabins]
    columns = list(zip(*rows, strict=True)) or [()] * 10
    set_point, rh, people, _, lights, equipment, equipment_latent, outdoor, sensible, latent = (
        np.array(column, dtype=float) if index != 3 else np.empty(0) for index, column in enumerate(columns)
    )
    each = np.array([PEOPLE[activity] for activity in columns[3]], dtype=float).reshape(-1, 2)
    bare = np.array([not cabin.surfaces for cabin in cabins], dtype=bool)
    estimated = bare & np.isnan(sensible)
    outdoor = np.where(np.isnan(outdoor), np.where(estimated, 0.0, OUTDOOR_AIR_L_S * people), outdoor)
    made = Gathered(
        tuple(cabin.tag for cabin in cabins),
        set_point,
        rh / 100.0,
        people * each[:, 0],
        people * each[:, 1],
        lights,
        equipment,
        equipment_latent,
        outdoor,
        sensible,
        latent,
        estimated,
        *_surfaces(vessel, conditions),
    )
    return _with_bare_cabins(made, vessel, np.flatnonzero(bare))


def _with_bare_cabins(made: Gathered, vessel: Vessel, bare: NDArray[np.intp]) -> Gathered:
    """Give cabins without surfaces a usual conductance, and a load by rule of thumb where none is typed."""
    conductance, sensible, latent = (
        made.outdoor_conductance.copy(),
        made.typed_sensible.copy(),
        made.typed_latent.copy(),
    )
    for index in bare:
        found = estimate(vessel, vessel.cabins[index])
        if made.estimated[index]:
            sensible[index] = SENSIBLE_SHARE * found.usual_W
            if np.isnan(latent[index]):
                latent[index] = (1.0 - SENSIBLE_SHARE) * found.usual_W
        warmer = vessel.current_conditions.outdoor_temp_C - made.set_point_C[index]
        usual = CONDUCTANCE_OF_FLOOR * found.floor_area_m2
        # At most half of a load comes through the hull; the rest does not fall as the room warms up.
        conductance[index] = min(usual, 0.5 * sensible[index] / warmer) if warmer > 0.0 else usual
    return made._replace(outdoor_conductance=conductance, typed_sensible=sensible, typed_latent=latent)


def _surfaces(vessel: Vessel, conditions: Conditions) -> tuple[Any, ...]:
    """Return the fields of ``Gathered`` from ``outdoor_conductance`` on."""
    count = len(vessel.cabins)
    owner = np.repeat(np.arange(count), [len(cabin.surfaces) for cabin in vessel.cabins])
    rows = [_SURFACE_FIELDS(surface) for cabin in vessel.cabins for surface in cabin.surfaces]
    kinds: dict[tuple[Any, ...], int] = {}
    kind = np.array([kinds.setdefault(row[:_IN_COMMON], len(kinds)) for row in rows], dtype=int)
    planes: dict[tuple[float, float], int] = {}
    usual = np.array([_usual(vessel, conditions, of, planes) for of in kinds], dtype=float).reshape(-1, 7)
    own = np.array([row[_IN_COMMON:] for row in rows], dtype=float).reshape(-1, 5)
    area, u, absorptance, solar_gain, shaded = own.T
    usual_u, usual_absorptance, usual_gain, tilt, plane, temp, is_glass = usual[kind].T
    u = np.where(np.isnan(u), usual_u, u)
    absorptance = np.where(np.isnan(absorptance), usual_absorptance, absorptance)
    solar_gain = np.where(np.isnan(solar_gain), usual_gain, solar_gain)
    outdoors = np.isnan(temp)
    conductance = area * u
    lit = np.where(outdoors, area * (1.0 - shaded / 100.0), 0.0)
    up = np.maximum(np.cos(np.radians(tilt)), 0.0)
    sky = np.where(outdoors & (is_glass == 0.0), conductance * SKY_COOLING / SUNLIT_FILM * up, 0.0)
    facing, tilts = np.array(list(planes), dtype=float).reshape(-1, 2).T
    shape, place = (count, len(planes)), (owner, plane.astype(int))

    def summed(values: Array) -> Array:
        return np.bincount(owner, values, count).astype(float)

    return (
        summed(np.where(outdoors, conductance, 0.0)),
        summed(np.where(outdoors, 0.0, conductance)),
        summed(np.where(outdoors, 0.0, conductance * np.nan_to_num(temp))),
        summed(sky),
        facing,
        tilts,
        csr_array((lit * solar_gain * is_glass, place), shape=shape),
        csr_array((lit * u * absorptance / SUNLIT_FILM * (1.0 - is_glass), place), shape=shape),
    )


def side_of(
    vessel: Vessel, conditions: Conditions, kind: SurfaceKind, construction: str, other_side: str
) -> Side:
    """Return what a surface is, with what is usual for its kind where it says nothing."""
    usual = USUAL[kind]
    beyond = plain_name(other_side or usual.other_side)
    made = CONSTRUCTIONS[construction or usual.construction]
    way = _WAYS.get(kind, ("across", "across"))[conditions.mode == "heating"]
    inside = INSIDE_FILM[way]
    outside = {OUTDOORS: OUTDOOR_FILM, SEA: SEA_FILM}.get(beyond, inside)
    space = space_of(vessel, beyond, conditions)
    # A space that is not known (the checks refuse it) is taken to be as warm as outdoor air.
    temp = conditions.outdoor_temp_C if space is None or space.temp_C is None else space.temp_C
    return Side(
        made,
        u_value(made.resistance, inside, outside),
        beyond,
        np.nan if beyond == OUTDOORS else temp,
        usual.tilt_deg,
        kind in GLASS,
    )


def _usual(
    vessel: Vessel, conditions: Conditions, common: tuple[Any, ...], planes: dict[tuple[float, float], int]
) -> tuple[float, ...]:
    """Return what surfaces with some fields in common have where they say nothing; number their plane."""
    kind, construction, other_side, facing, tilt = common
    side = side_of(vessel, conditions, kind, construction, other_side)
    tilt = side.tilt_deg if tilt is None else tilt
    plane = planes.setdefault((facing % 360.0, tilt), len(planes))
    made = side.construction
    return side.u_W_m2K, made.absorptance, made.solar_gain, tilt, plane, side.temp_C, side.glass


def u_of(side: Side, surface: Surface) -> float:
    """Return the U-value that counts for a surface [W/(m2 K)]."""
    return side.u_W_m2K if surface.u_W_m2K is None else surface.u_W_m2K
