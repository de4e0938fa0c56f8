# SPDX-License-Identifier: MIT
"""What warms every cabin at one hour, in the form in which a cabin's temperature can be solved for.

The sensible load of a room at temperature T is

    gain + conductance (ambient - T) + outdoor air (1006 + 1860 W) (outdoor - T)

with the conductance to all other sides together, and ``ambient`` their mean temperature, sunlit ones at their
sol-air temperature.  Loads are positive where the room is warmed.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from solver.heat.gathered import Gathered, gathered
from solver.heat.people import heat_of_people
from solver.heat.weather import headings, outdoor_air, sun_on
from solver.media.moist_air import (
    EVAPORATION,
    VAPOUR_HEAT,
    dry_air_flow,
    humidity_ratio,
    specific_heat,
)
from solver.parts.roots import Array, Values
from solver.vessel.vessel import Conditions, Vessel


class RoomLoads(NamedTuple):
    """Arrays, one element a cabin in the vessel's order.

    Attributes
    ----------
    tags : tuple of str
    gain_W : array [W]
        Sensible, whatever the temperature of the room: sun through glass, people, lights, equipment.
    conductance_W_K : array [W/K]
        Sum of U A over all surfaces.
    ambient_C : array [degC]
        Mean of the other sides weighted with U A, sunlit ones at their sol-air temperature.
    outdoor_air_kg_s : array [kg/s]
        Dry air brought in from outdoors.
    outdoor_C, outdoor_humidity_ratio : array [degC, kg/kg]
        Of that air, the same for all cabins.
    moisture_kg_s : array [kg/s]
        From people and equipment; what outdoor air brings is not in it.
    estimated : array of bool
        By the rule of thumb, since the cabin has no surfaces and no typed load.
    heading_deg : array [degrees]
        The heading taken for each cabin: that of the conditions, or the worst.
    """

    tags: tuple[str, ...]
    gain_W: Array
    conductance_W_K: Array
    ambient_C: Array
    outdoor_air_kg_s: Array
    outdoor_C: Array
    outdoor_humidity_ratio: Array
    moisture_kg_s: Array
    estimated: NDArray[np.bool_]
    heading_deg: Array


class Loads(NamedTuple):
    """Sensible and latent load of rooms with their outdoor air [W]."""

    sensible_W: Array
    latent_W: Array

    @property
    def total_W(self) -> Array:
        """Both together."""
        return np.asarray(self.sensible_W + self.latent_W)


def room_loads(vessel: Vessel, hour: float | None = None) -> RoomLoads:
    """Return what warms every cabin at an hour.

    Parameters
    ----------
    vessel : Vessel
        Its current conditions count.
    hour : float, optional
        Solar time; None takes that of the conditions.

    Raises
    ------
    AirError
        If outdoor air is beyond what the formulas of moist air cover (-60 to 90 degC).

    Notes
    -----
    A typed load replaces what is worked out: the gain is set so that the room has it at its set point.  For
    heating neither sun nor people nor equipment are counted on (ISO 7547, from memory), and no typed load.

    Examples
    --------
    >>> from solver.vessel.cabin import Cabin, Surface
    >>> wall = Surface(kind="side", area_m2=6.0, u_W_m2K=0.9, absorptance=0.0)
    >>> room = room_loads(Vessel(name="Tern", cabins=(Cabin(tag="C-1", surfaces=(wall,), lights_W=64.0),)))
    >>> float(room.gain_W[0]), round(float(room.conductance_W_K[0]), 1), round(float(room.ambient_C[0]), 1)
    (64.0, 5.4, 35.0)
    """
    conditions = vessel.current_conditions
    at = np.array([conditions.hour if hour is None else hour], dtype=float)
    cabins = gathered(vessel, conditions)
    tried = headings(conditions)
    glass, walls = through_the_day(cabins, conditions, at, tried)
    worst = np.argmax(glass[:, 0, :] + walls[:, 0, :], axis=1)
    rows = np.arange(len(cabins.tags))
    return at_hour(cabins, conditions, float(at[0]), glass[rows, 0, worst], walls[rows, 0, worst])._replace(
        heading_deg=tried[worst]
    )


def through_the_day(
    cabins: Gathered, conditions: Conditions, hours: Array, tried: Array
) -> tuple[Array, Array]:
    """Return the sun's heat through glass and through walls by cabin, hour and heading [W].

    The cooling of surfaces by a clear sky is counted with the walls.
    """
    shape = (len(cabins.tags), len(hours), len(tried))
    if conditions.mode == "heating":
        return np.zeros(shape), np.zeros(shape)
    sun = sun_on(conditions, hours, tried, cabins.facing_deg, cabins.tilt_deg)
    planes, columns = len(cabins.facing_deg), len(hours) * len(tried)
    glass = cabins.sun_through_glass @ sun.through_glass.reshape(columns, planes).T
    walls = cabins.sun_through_walls @ sun.falling.reshape(columns, planes).T
    clear = 1.0 - conditions.cloud_percent / 100.0
    return glass.reshape(shape), walls.reshape(shape) - clear * cabins.sky[:, None, None]


def at_hour(cabins: Gathered, conditions: Conditions, hour: float, glass: Array, walls: Array) -> RoomLoads:
    """Return the loads of cabins from the sun on them at an hour, one element a cabin [W]."""
    outdoor, moisture = outdoor_air(conditions, hour)
    count = len(cabins.tags)
    cooling = conditions.mode == "cooling"
    sensible, latent = heat_of_people(cabins.people_sensible, cabins.people_latent, cabins.set_point_C)
    gain = np.where(cooling, glass + sensible + cabins.lights + cabins.equipment, 0.0)
    latent = np.where(cooling, latent + cabins.equipment_latent, 0.0)
    conductance = cabins.outdoor_conductance + cabins.other_conductance
    heat = cabins.outdoor_conductance * outdoor + cabins.other_heat + walls
    ambient = np.where(conductance > 0.0, heat / np.where(conductance > 0.0, conductance, 1.0), outdoor)
    if cooling:
        through = conductance * (ambient - cabins.set_point_C)
        gain = np.where(np.isnan(cabins.typed_sensible), gain, cabins.typed_sensible - through)
        latent = np.where(np.isnan(cabins.typed_latent), latent, cabins.typed_latent)
    return RoomLoads(
        tags=cabins.tags,
        gain_W=gain,
        conductance_W_K=conductance,
        ambient_C=ambient,
        outdoor_air_kg_s=dry_air_flow(cabins.outdoor_air_L_s / 1000.0, outdoor, moisture),
        outdoor_C=np.full(count, outdoor),
        outdoor_humidity_ratio=np.full(count, moisture),
        moisture_kg_s=latent / vapour_heat(cabins.set_point_C),
        estimated=cabins.estimated,
        heading_deg=np.zeros(count),
    )


def sensible_load(loads: RoomLoads, room_C: Values) -> Array:
    """Return the sensible load of rooms at a temperature, outdoor air in it [W]."""
    outdoor_air = loads.outdoor_air_kg_s * specific_heat(loads.outdoor_humidity_ratio)
    return np.asarray(
        loads.gain_W
        + loads.conductance_W_K * (loads.ambient_C - room_C)
        + outdoor_air * (loads.outdoor_C - room_C)
    )


def latent_load(loads: RoomLoads, room_C: Values, room_humidity_ratio: Values) -> Array:
    """Return the latent load of rooms at a temperature and humidity, outdoor air in it [W].

    With ``sensible_load`` it adds up to the enthalpy that outdoor air brings.
    """
    brought = loads.outdoor_air_kg_s * (loads.outdoor_humidity_ratio - room_humidity_ratio)
    return np.asarray((loads.moisture_kg_s + brought) * vapour_heat(room_C))


def loads_at_set_point(vessel: Vessel, loads: RoomLoads) -> Loads:
    """Return the loads of cabins at the temperature and humidity wanted in them.

    For heating there is no latent load: nothing humidifies the air, it turns as dry as outdoor air makes it.

    Raises
    ------
    AirError
        If a set point is beyond what the formulas of moist air cover (-60 to 90 degC).
    """
    wanted = np.array([(cabin.set_point_C, cabin.rh_percent) for cabin in vessel.cabins], dtype=float)
    room_C, rh = wanted.reshape(-1, 2).T
    wanted_ratio = humidity_ratio(room_C, rh / 100.0)
    cooling = vessel.current_conditions.mode == "cooling"
    return Loads(sensible_load(loads, room_C), cooling * latent_load(loads, room_C, wanted_ratio))


def vapour_heat(room_C: Values) -> Array:
    """Return the enthalpy of the water vapour in a room [J/kg]."""
    return np.asarray(EVAPORATION + VAPOUR_HEAT * np.asarray(room_C, dtype=float))
