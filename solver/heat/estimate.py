# SPDX-License-Identifier: MIT
"""Cabin loads by rule of thumb, from volume and floor area: a cross-check, and all there is without data."""

from __future__ import annotations

from typing import Literal, NamedTuple, TypeAlias

from solver.vessel.cabin import Cabin, area_of
from solver.vessel.vessel import Vessel

#: How much sun and sea a cabin sees.
Place: TypeAlias = Literal["below deck", "main deck", "sunny"]

# A trade sizing page: 10 to 12 BTU/h a cubic foot below deck, 14 typical, 16 to 19 for a sunny wheelhouse.
#: Place -> load from, usual, to [W/m3].
BY_VOLUME: dict[Place, tuple[float, float, float]] = {
    "below deck": (104.0, 114.0, 124.0),
    "main deck": (124.0, 145.0, 166.0),
    "sunny": (166.0, 180.0, 197.0),
}
#: 100 BTU/h a square foot of floor: 2.75 times what suited one test boat, mostly too much [W/m2].
BY_AREA = 315.0
#: Sensible share of a load by rule of thumb (common practice: 0.7 to 0.8).
SENSIBLE_SHARE = 0.75
#: What passes hull, deck and glass for each kelvin and each m2 of floor, where no surfaces are given
#: (common practice: a cabin of 5 m2 lined and cored, with a window or two, comes to 1 to 3) [W/(m2 K)].
CONDUCTANCE_OF_FLOOR = 2.0

#: Floor of a cabin that is not drawn, or whose deck has no scale (common practice) [m2].
ASSUMED_FLOOR_M2 = 9.0

AreaKnown: TypeAlias = Literal["typed", "drawing", "assumed"]


class Estimate(NamedTuple):
    """The load of a cabin by rule of thumb, sensible and latent together.

    ``low_W`` to ``high_W`` is the band of the rule by volume, ``by_area_W`` the rule by floor area, which
    is mostly too much.  ``area_known`` says where the floor area is from: typed, drawing or assumed.
    """

    floor_area_m2: float
    area_known: AreaKnown
    place: Place
    usual_W: float
    low_W: float
    high_W: float
    by_area_W: float


def estimate(vessel: Vessel, cabin: Cabin) -> Estimate:
    """Return the load of a cabin by volume and by floor area.

    Notes
    -----
    It is an estimate: outdoor air, people and sun are in it as they usually are, not as they are here.
    """
    area, known = floor_area(vessel, cabin)
    place = place_of(vessel, cabin)
    low, usual, high = (each * area * cabin.ceiling_m for each in BY_VOLUME[place])
    return Estimate(area, known, place, usual, low, high, BY_AREA * area)


def place_of(vessel: Vessel, cabin: Cabin) -> Place:
    """Return whether a cabin stands below the waterline, on the highest of several decks, or between."""
    heights = {deck.name: deck.height_m for deck in vessel.decks}
    height = heights.get(cabin.deck)
    if height is None:
        return "main deck"
    if height < 0.0:
        return "below deck"
    return "sunny" if len(heights) > 1 and height == max(heights.values()) else "main deck"


def floor_area(vessel: Vessel, cabin: Cabin) -> tuple[float, AreaKnown]:
    """Return the floor area of a cabin [m2] and where it is from.

    It is the typed one, else that of the outline by the scale of the deck, else an assumed one.
    """
    if cabin.floor_area_m2 is not None:
        return cabin.floor_area_m2, "typed"
    scale = next((deck.metres_per_unit for deck in vessel.decks if deck.name == cabin.deck), None)
    drawn = area_of(cabin.outline) if len(cabin.outline) > 2 else 0.0
    if scale is None or drawn == 0.0:
        return ASSUMED_FLOOR_M2, "assumed"
    return drawn * scale**2, "drawing"
