# SPDX-License-Identifier: MIT
"""Surfaces of a cabin in words, and what they can be built of and have beyond them, with their figures."""

from __future__ import annotations

from typing import NamedTuple

from app.panels.rows.row import Choices
from app.panels.words import choice_name
from app.translation import tr
from app.units import System, number, show
from solver.heat.gathered import Side, side_of, u_of
from solver.parts.constructions import CONSTRUCTIONS
from solver.vessel.cabin import GLASS, OUTDOORS, USUAL, Surface
from solver.vessel.spaces import known_spaces, space_of
from solver.vessel.vessel import Vessel

#: Surfaces that look nearly up or down face nowhere [degrees from level].
_LEVEL = 10.0


class SurfaceText(NamedTuple):
    """A surface as a row of a table, figures without their units."""

    name: str
    area: str
    u_value: str


def side_for(vessel: Vessel, surface: Surface) -> Side:
    """Return a surface with everything usual filled in, for the current conditions."""
    conditions = vessel.current_conditions
    return side_of(vessel, conditions, surface.kind, surface.construction, surface.other_side)


def surface_text(vessel: Vessel, surface: Surface, units: System) -> SurfaceText:
    """Return a surface's name or kind with where it faces, its area and the U-value that counts."""
    side = side_for(vessel, surface)
    name = surface.name or choice_name(surface.kind)
    if side.outdoors:
        tilt = side.tilt_deg if surface.tilt_deg is None else surface.tilt_deg
        if _LEVEL < tilt < 180.0 - _LEVEL:
            name = f"{name}, {facing_name(surface.facing_deg)}"
    else:
        name = tr("{0} to {1}").format(name, side.other_side)
    return SurfaceText(
        name,
        number(surface.area_m2, "area", units),
        number(u_of(side, surface), "transmittance", units),
    )


def facing_name(degrees: float) -> str:
    """Return where a surface looks, by the nearest eighth of a turn from the bow.

    Examples
    --------
    >>> facing_name(90.0), facing_name(-80.0), facing_name(360.0), facing_name(220.0)
    ('starboard', 'port', 'ahead', 'port quarter')
    """
    names = (
        tr("ahead"),
        tr("starboard bow"),
        tr("starboard"),
        tr("starboard quarter"),
        tr("aft"),
        tr("port quarter"),
        tr("port"),
        tr("port bow"),
    )
    return names[round(degrees % 360.0 / 45.0) % 8]


def construction_choices(vessel: Vessel, surface: Surface, units: System) -> Choices:
    """Return what a surface of this kind can be built of: U-value first, the best insulated on top."""
    conditions, is_glass = vessel.current_conditions, surface.kind in GLASS
    sides = {
        name: side_of(vessel, conditions, surface.kind, name, surface.other_side)
        for name, made in CONSTRUCTIONS.items()
        if (made.solar_gain > 0.0) == is_glass or name == surface.construction
    }
    usual = USUAL[surface.kind].construction
    first = ("", tr("Usual: {0}").format(_built(sides[usual], units)))
    best = sorted(sides, key=lambda name: sides[name].u_W_m2K)
    return [first, *((name, _built(sides[name], units)) for name in best)]


def _built(side: Side, units: System) -> str:
    return f"{show(side.u_W_m2K, 'transmittance', units)}, {side.construction.words}"


def beyond_choices(vessel: Vessel, surface: Surface, units: System) -> Choices:
    """Return what can lie beyond a surface, with how warm it is there."""
    usual = USUAL[surface.kind].other_side
    first = ("", tr("Usual: {0}").format(space_words(vessel, usual, units)))
    return [first, *((name, space_words(vessel, name, units)) for name in known_spaces(vessel))]


def space_words(vessel: Vessel, name: str, units: System) -> str:
    """Return a space with its temperature; of outdoors that of the warmest hour."""
    space = space_of(vessel, name)
    if space is None:
        return name
    words = tr("{0}, up to {1}") if name == OUTDOORS else "{0}, {1}"
    return words.format(name, show(space.temp_C, "temperature", units))
