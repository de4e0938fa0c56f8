# SPDX-License-Identifier: MIT
"""Cabins: the room on the drawing, and all that warms it."""

from __future__ import annotations

from typing import Annotated, Literal, NamedTuple

from msgspec import Meta, Struct

from solver.vessel.fields import NonNegative, Percent, Point, Positive, Tag, Temperature

#: Other sides of a surface that are no space: weather and sunshine, and the water the boat lies in.
OUTDOORS, SEA = "outdoors", "sea"

Share = Annotated[float, Meta(ge=0, le=1)]
Degrees = Annotated[float, Meta(ge=-360, le=360)]

Activity = Literal["sleeping", "seated", "light_work", "working", "dancing", "exercise"]
SurfaceKind = Literal["hull", "side", "deck", "bulkhead", "sole", "machinery", "window", "hatch"]


class Usual(NamedTuple):
    """What a surface of a kind usually is: on its other side, its tilt and its construction."""

    other_side: str
    tilt_deg: float
    construction: str


#: Kind of surface -> what it is where the surface says nothing else (common practice).
USUAL: dict[SurfaceKind, Usual] = {
    "hull": Usual(SEA, 90.0, "grp_cored"),
    "side": Usual(OUTDOORS, 90.0, "grp_cored"),
    "deck": Usual(OUTDOORS, 0.0, "deck_grp_cored"),
    "bulkhead": Usual("corridor", 90.0, "bulkhead_plywood"),
    "sole": Usual("bilge", 180.0, "sole_plywood"),
    "machinery": Usual("engine room", 90.0, "bulkhead_insulated"),
    "window": Usual(OUTDOORS, 90.0, "glass_single_clear"),
    "hatch": Usual(OUTDOORS, 0.0, "acrylic_clear"),
}
#: Kinds that let the sun in.
GLASS = frozenset(("window", "hatch"))


class Surface(Struct, frozen=True, forbid_unknown_fields=True, kw_only=True, omit_defaults=True, gc=False):
    """A surface of a cabin that heat passes: what it is, how large, what lies on its other side.

    ``facing_deg`` is clockwise from the bow: 0 looks ahead, 90 to starboard, 180 aft, -90 to port.
    ``tilt_deg`` is from level: 0 looks up, 90 is upright, 180 looks down.  What is None or
    empty is as usual for its kind and construction.  ``u_W_m2K`` wins over the construction.
    """

    kind: SurfaceKind
    area_m2: Positive
    name: str = ""
    construction: str = ""
    u_W_m2K: Annotated[float, Meta(ge=0, le=20)] | None = None
    other_side: str = ""
    facing_deg: Degrees = 90.0
    tilt_deg: Annotated[float, Meta(ge=0, le=180)] | None = None
    absorptance: Share | None = None
    solar_gain: Share | None = None
    shaded_percent: Percent = 0.0


class Cabin(Struct, frozen=True, forbid_unknown_fields=True, kw_only=True, omit_defaults=True):
    """A cabin; ``outline`` is its room on the drawing, a closed polygon.

    A typed ``load_sensible_W`` or ``load_latent_W`` wins over what is worked out of the fields above it:
    it is the load of the room at its set point, outdoor air not counted.
    """

    tag: Tag
    name: str = ""
    deck: str = ""
    outline: tuple[Point, ...] = ()
    set_point_C: Temperature = 23.0
    rh_percent: Annotated[float, Meta(ge=10, le=90)] = 50.0
    floor_area_m2: Positive | None = None
    ceiling_m: Annotated[float, Meta(ge=0.5, le=20)] = 2.1
    surfaces: tuple[Surface, ...] = ()
    people: Annotated[float, Meta(ge=0, le=10000)] = 0.0
    activity: Activity = "seated"
    lights_W: NonNegative = 0.0
    equipment_W: NonNegative = 0.0
    equipment_latent_W: NonNegative = 0.0
    outdoor_air_L_s: NonNegative | None = None
    load_sensible_W: NonNegative | None = None
    load_latent_W: NonNegative | None = None
    locked: bool = False
    notes: str = ""


def area_of(outline: tuple[Point, ...]) -> float:
    """Return the area of a closed polygon [square drawing units], whichever way round it goes.

    Examples
    --------
    >>> area_of(((0.0, 0.0), (4.0, 0.0), (4.0, 3.0), (0.0, 3.0)))
    12.0
    """
    doubled = 0.0
    for (x1, y1), (x2, y2) in zip(outline, (*outline[1:], *outline[:1]), strict=True):
        doubled += x1 * y2 - x2 * y1
    return abs(doubled) / 2.0
