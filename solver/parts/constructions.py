# SPDX-License-Identifier: MIT
"""What hulls, decks, bulkheads and windows are built of, and the heat that passes them.

Layers in series between two films (ISO 6946); glass has its solar heat gain coefficient besides.  All
constructions are common practice in their make-up; a drawing of the boat at hand beats them.  Frames,
stringers and fixings that pierce the insulation are not in these figures: on a metal boat they can double
them, and the U-value is then typed.
"""

from __future__ import annotations

from typing import Literal, NamedTuple, TypeAlias

#: Which way heat passes: across an upright surface, or down or up through a level one.
Way: TypeAlias = Literal["across", "down", "up"]

#: Resistance of the film inside by the way of heat [m2 K/W] (ISO 6946, table of surface resistances).
INSIDE_FILM: dict[Way, float] = {"across": 0.13, "down": 0.17, "up": 0.10}
#: Film to outdoor air, wind about 4 m/s (ISO 6946), and to sea water moving past (some 500 W/(m2 K),
#: common practice) [m2 K/W].
OUTDOOR_FILM, SEA_FILM = 0.04, 0.002

#: Conductivity [W/(m K)].  ISO 10456 for timber, metals, glass and plastics (from memory); makers' usual
#: range for cores and insulation; laminate of glass and polyester with 35 % glass by volume: common practice.
CONDUCTIVITY = {
    "laminate": 0.28,
    "foam core": 0.035,
    "balsa core": 0.055,
    "foam": 0.038,
    "mineral wool": 0.038,
    "teak": 0.18,
    "timber": 0.15,
    "plywood": 0.13,
    "carpet": 0.06,
    "steel": 50.0,
    "aluminium": 160.0,
    "glass": 1.0,
    "acrylic": 0.20,
}
#: Resistance of a closed gap of air [m2 K/W]: 25 mm behind a lining (ISO 6946), 12 mm between panes (EN 673,
#: uncoated glass), 16 mm with one low-emissivity coating (EN 673, from memory).
GAP = {"air gap": 0.18, "pane gap": 0.173, "coated pane gap": 0.45}


class Construction(NamedTuple):
    """What a surface is built of, from the outside in.

    ``layers`` holds (material, thickness [mm]); a gap has thickness 0.  ``absorptance`` is that of the
    outer surface for sunlight; ``solar_gain`` the share of the sun on a pane that comes in, square on, 0
    for what is no glass.
    """

    words: str
    layers: tuple[tuple[str, float], ...]
    absorptance: float = 0.4
    solar_gain: float = 0.0

    @property
    def resistance(self) -> float:
        """Of the layers alone, without films [m2 K/W]."""
        return sum(
            GAP[material] if material in GAP else thickness_mm / 1000.0 / CONDUCTIVITY[material]
            for material, thickness_mm in self.layers
        )


_LINED = (("air gap", 0.0), ("plywood", 6.0))

# Absorptance of white and light paint 0.25 to 0.4, weathered teak 0.7, dark blue 0.9; solar gain of
# uncoated glass by thickness and tint: ASHRAE Handbook Fundamentals, fenestration chapter (from memory).
#: Name in the file -> construction.
CONSTRUCTIONS: dict[str, Construction] = {
    "grp_single": Construction("laminate 10 mm, lined", (("laminate", 10.0), *_LINED)),
    "grp_cored": Construction(
        "laminate 3 mm, foam core 25 mm, laminate 3 mm, lined",
        (("laminate", 3.0), ("foam core", 25.0), ("laminate", 3.0), *_LINED),
    ),
    "grp_insulated": Construction(
        "laminate 10 mm, foam 30 mm, lined", (("laminate", 10.0), ("foam", 30.0), *_LINED)
    ),
    "timber_planked": Construction("planking 32 mm, lined", (("timber", 32.0), *_LINED)),
    "steel_bare": Construction("steel 6 mm, lined", (("steel", 6.0), *_LINED)),
    "steel_insulated": Construction(
        "steel 6 mm, mineral wool 50 mm, lined", (("steel", 6.0), ("mineral wool", 50.0), *_LINED)
    ),
    "aluminium_insulated": Construction(
        "aluminium 6 mm, mineral wool 50 mm, lined", (("aluminium", 6.0), ("mineral wool", 50.0), *_LINED)
    ),
    "deck_grp_cored": Construction(
        "laminate 4 mm, balsa 25 mm, laminate 4 mm, lined",
        (("laminate", 4.0), ("balsa core", 25.0), ("laminate", 4.0), *_LINED),
    ),
    "deck_teak_cored": Construction(
        "teak 10 mm on laminate 4 mm, balsa 25 mm, laminate 4 mm, lined",
        (("teak", 10.0), ("laminate", 4.0), ("balsa core", 25.0), ("laminate", 4.0), *_LINED),
        absorptance=0.7,
    ),
    "deck_teak_aluminium": Construction(
        "teak 12 mm on aluminium 6 mm, mineral wool 50 mm, lined",
        (("teak", 12.0), ("aluminium", 6.0), ("mineral wool", 50.0), *_LINED),
        absorptance=0.7,
    ),
    "bulkhead_plywood": Construction("plywood 18 mm", (("plywood", 18.0),)),
    "bulkhead_insulated": Construction(
        "plywood 18 mm, mineral wool 50 mm, plywood 6 mm",
        (("plywood", 18.0), ("mineral wool", 50.0), ("plywood", 6.0)),
    ),
    "bulkhead_fire_steel": Construction(
        "steel 6 mm, mineral wool 75 mm, lined", (("steel", 6.0), ("mineral wool", 75.0), *_LINED)
    ),
    "sole_plywood": Construction("plywood 18 mm, carpet 8 mm", (("plywood", 18.0), ("carpet", 8.0))),
    "glass_single_clear": Construction("clear glass 10 mm", (("glass", 10.0),), solar_gain=0.78),
    "glass_single_tinted": Construction("tinted glass 10 mm", (("glass", 10.0),), solar_gain=0.52),
    "glass_double_clear": Construction(
        "clear glass 6 mm, gap 12 mm, clear glass 6 mm",
        (("glass", 6.0), ("pane gap", 0.0), ("glass", 6.0)),
        solar_gain=0.70,
    ),
    "glass_double_tinted": Construction(
        "tinted glass 6 mm, gap 12 mm, clear glass 6 mm",
        (("glass", 6.0), ("pane gap", 0.0), ("glass", 6.0)),
        solar_gain=0.49,
    ),
    "glass_double_coated": Construction(
        "coated glass 6 mm, gap 16 mm, clear glass 6 mm",
        (("glass", 6.0), ("coated pane gap", 0.0), ("glass", 6.0)),
        solar_gain=0.38,
    ),
    "acrylic_clear": Construction("clear acrylic 12 mm", (("acrylic", 12.0),), solar_gain=0.80),
    "acrylic_smoked": Construction("smoked acrylic 12 mm", (("acrylic", 12.0),), solar_gain=0.58),
}


def u_value(resistance: float, inside_film: float, outside_film: float) -> float:
    """Return the heat that passes 1 m2 for each kelvin [W/(m2 K)].

    Parameters
    ----------
    resistance, inside_film, outside_film : float [m2 K/W]
        Of the layers, and of the films on both sides.

    Notes
    -----
    ISO 6946: U = 1/(Rsi + R + Rse).

    Examples
    --------
    >>> round(u_value(CONSTRUCTIONS["glass_double_clear"].resistance, 0.13, 0.04), 2)
    2.82
    """
    return 1.0 / (inside_film + resistance + outside_film)
