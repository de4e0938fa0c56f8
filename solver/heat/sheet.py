# SPDX-License-Identifier: MIT
"""The load of one cabin row by row, as on a calculation sheet; the rows add up to the load at set point."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

import msgspec
import numpy as np

from solver.errors import EditError
from solver.heat.cabin_load import RoomLoads, room_loads, vapour_heat
from solver.heat.estimate import SENSIBLE_SHARE, estimate
from solver.heat.gathered import SKY_COOLING, SUNLIT_FILM, Side, side_of
from solver.heat.people import PEOPLE, heat_of_people
from solver.heat.weather import SunOnPlanes, sun_on
from solver.media.moist_air import humidity_ratio, specific_heat
from solver.vessel.accepted import nearest, shown
from solver.vessel.cabin import Cabin, Surface
from solver.vessel.vessel import Conditions, Vessel

_PEOPLE = "ASHRAE Fundamentals 2013, chapter 18, table 1"
_TYPED = "typed"


class SheetRow(NamedTuple):
    """One row: ``sensible_W`` is ``amount`` times ``rate`` times ``difference_K``, as far as it has them.

    ``amount`` is an area [m2], a count or a flow of dry air [kg/s]; ``rate`` a U-value [W/(m2 K)], the sun
    that comes in [W/m2], the heat of one [W] or the specific heat of air [J/(kg K)].
    """

    what: str
    amount: float | None
    rate: float | None
    difference_K: float | None
    sensible_W: float
    latent_W: float
    source: str


def cabin_sheet(vessel: Vessel, cabin_tag: str, hour: float | None = None) -> tuple[SheetRow, ...]:
    """Return the rows of a cabin's load at its set point.

    Parameters
    ----------
    vessel : Vessel
        Its current conditions count.
    cabin_tag : str
    hour : float, optional
        Solar time; None takes that of the conditions.

    Raises
    ------
    EditError
        No cabin has that tag.
    AirError
        As ``room_loads`` and ``loads_at_set_point``.

    Examples
    --------
    >>> rows = cabin_sheet(Vessel(name="Tern", cabins=(Cabin(tag="C-1", load_sensible_W=900.0),)), "C-1")
    >>> [(row.what, row.sensible_W) for row in rows]
    [('load typed', 900.0)]
    """
    cabin = next((cabin for cabin in vessel.cabins if cabin.tag == cabin_tag), None)
    if cabin is None:
        near = nearest(cabin_tag, [cabin.tag for cabin in vessel.cabins])
        ask = f"; {near}?" if near else ""
        raise EditError(f"no cabin has the tag {shown(cabin_tag)}{ask}", (cabin_tag,))
    alone = msgspec.structs.replace(vessel, cabins=(cabin,))
    loads = room_loads(alone, hour)
    at = vessel.current_conditions.hour if hour is None else hour
    rows = [*_room(alone, cabin, loads, at), *_outdoor_air(vessel.current_conditions, cabin, loads)]
    return tuple(rows)


def _room(vessel: Vessel, cabin: Cabin, loads: RoomLoads, hour: float) -> Iterator[SheetRow]:
    conditions = vessel.current_conditions
    heating = conditions.mode == "heating"
    if not heating and loads.estimated[0]:
        yield from _by_volume(vessel, cabin)
        return
    if not heating and cabin.load_sensible_W is not None:
        latent = cabin.load_latent_W or 0.0
        yield SheetRow("load typed", None, None, None, cabin.load_sensible_W, latent, _TYPED)
        if cabin.load_latent_W is None:
            yield from (row._replace(sensible_W=0.0) for row in _moist(cabin))
        return
    if not cabin.surfaces:
        yield _bare(cabin, loads)
    for surface in cabin.surfaces:
        yield from _surface(vessel, cabin, surface, loads, hour)
    if heating:
        return
    moist = list(_moist(cabin))
    if cabin.load_latent_W is not None:
        moist = [row._replace(latent_W=0.0) for row in moist]
        moist.append(SheetRow("latent load typed", None, None, None, 0.0, cabin.load_latent_W, _TYPED))
    yield from moist
    if cabin.lights_W:
        yield SheetRow("lights", None, None, None, cabin.lights_W, 0.0, _TYPED)


def _by_volume(vessel: Vessel, cabin: Cabin) -> Iterator[SheetRow]:
    found = estimate(vessel, cabin)
    volume = found.floor_area_m2 * cabin.ceiling_m
    latent = (1.0 - SENSIBLE_SHARE) * found.usual_W if cabin.load_latent_W is None else cabin.load_latent_W
    yield SheetRow(
        f"estimate by volume, {found.place}",
        volume,
        SENSIBLE_SHARE * found.usual_W / volume,
        None,
        SENSIBLE_SHARE * found.usual_W,
        latent,
        f"trade rule of thumb; floor area {found.area_known}",
    )


def _bare(cabin: Cabin, loads: RoomLoads) -> SheetRow:
    conductance, warmer = float(loads.conductance_W_K[0]), float(loads.ambient_C[0]) - cabin.set_point_C
    heat = conductance * warmer
    return SheetRow("hull and deck, no surfaces given", None, None, warmer, heat, 0.0, "common practice")


def _surface(
    vessel: Vessel, cabin: Cabin, surface: Surface, loads: RoomLoads, hour: float
) -> Iterator[SheetRow]:
    conditions = vessel.current_conditions
    side = side_of(vessel, conditions, surface.kind, surface.construction, surface.other_side)
    u = side.u_W_m2K if surface.u_W_m2K is None else surface.u_W_m2K
    beyond = float(loads.outdoor_C[0]) if side.outdoors else side.temp_C
    sunlit = side.outdoors and conditions.mode == "cooling"
    sun = _sun_on(conditions, surface, side, float(loads.heading_deg[0]), hour)
    if sunlit and not side.glass:
        beyond += _sol_air_excess(conditions, surface, side, float(sun.falling))
    name = surface.name or surface.kind
    made = side.construction.words if surface.u_W_m2K is None else "U-value typed"
    warmer = beyond - cabin.set_point_C
    heat = surface.area_m2 * u * warmer
    yield SheetRow(f"{name} to {side.other_side}", surface.area_m2, u, warmer, heat, 0.0, f"ISO 6946: {made}")
    if sunlit and side.glass:
        gain = side.construction.solar_gain if surface.solar_gain is None else surface.solar_gain
        rate = gain * (1.0 - surface.shaded_percent / 100.0) * float(sun.through_glass)
        yield SheetRow(
            f"{name}, sun",
            surface.area_m2,
            rate,
            None,
            surface.area_m2 * rate,
            0.0,
            "Bird 1981; solar heat gain coefficient",
        )


def _sun_on(conditions: Conditions, surface: Surface, side: Side, heading: float, hour: float) -> SunOnPlanes:
    tilt = side.tilt_deg if surface.tilt_deg is None else surface.tilt_deg
    one = np.array([surface.facing_deg]), np.array([tilt])
    sun = sun_on(conditions, np.array([hour]), np.array([heading]), *one)
    return SunOnPlanes(sun.falling[0, 0, 0], sun.through_glass[0, 0, 0])


def _sol_air_excess(conditions: Conditions, surface: Surface, side: Side, falling: float) -> float:
    """Return how far the sol-air temperature is above outdoor air [K]."""
    tilt = side.tilt_deg if surface.tilt_deg is None else surface.tilt_deg
    takes_up = side.construction.absorptance if surface.absorptance is None else surface.absorptance
    warmed = takes_up * (1.0 - surface.shaded_percent / 100.0) * falling
    clear = 1.0 - conditions.cloud_percent / 100.0
    cooled = clear * SKY_COOLING * max(float(np.cos(np.radians(tilt))), 0.0)
    return (warmed - cooled) / SUNLIT_FILM


def _moist(cabin: Cabin) -> Iterator[SheetRow]:
    """Yield people and equipment."""
    if cabin.people:
        each = PEOPLE[cabin.activity]
        sensible, latent = (float(of) for of in heat_of_people(*each, cabin.set_point_C))
        words = f"people, {cabin.activity.replace('_', ' ')}"
        heat = cabin.people * sensible, cabin.people * latent
        yield SheetRow(words, cabin.people, sensible, None, *heat, _PEOPLE)
    if cabin.equipment_W or cabin.equipment_latent_W:
        yield SheetRow("equipment", None, None, None, cabin.equipment_W, cabin.equipment_latent_W, _TYPED)


def _outdoor_air(conditions: Conditions, cabin: Cabin, loads: RoomLoads) -> Iterator[SheetRow]:
    flow = float(loads.outdoor_air_kg_s[0])
    if not flow:
        return
    moisture = float(loads.outdoor_humidity_ratio[0])
    heat = float(specific_heat(moisture))
    warmer = float(loads.outdoor_C[0]) - cabin.set_point_C
    wetter = moisture - float(humidity_ratio(cabin.set_point_C, cabin.rh_percent / 100.0))
    latent = flow * wetter * float(vapour_heat(cabin.set_point_C)) if conditions.mode == "cooling" else 0.0
    source = _TYPED if cabin.outdoor_air_L_s is not None else "8 L/s a person, ISO 7547 (recalled)"
    yield SheetRow("outdoor air", flow, heat, warmer, flow * heat * warmer, latent, source)
