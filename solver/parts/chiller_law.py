# SPDX-License-Identifier: MIT
"""A chiller at work: duty, power, leaving water, sea water, part load and trips.

It holds its leaving-water set point while its capacity lasts; beyond, the leaving water floats until load
and capacity meet.  Capacity and power come from a map of leaving and sea-water temperature
(``solver.parts.chiller_map``).  Less sea water than rated, or a fouled condenser, counts as warmer sea: as
warm as would give a clean condenser at rated flow the same condensing temperature.  Reverse cycle heats
the loop from the sea by the same equations.  ``docs/physics/chillers.md`` has them.

Temperatures are in degC, everything else SI.  A law is one machine; its states are arrays of runs.
"""

from __future__ import annotations

from enum import IntEnum
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from solver.errors import PartError
from solver.parts.chiller_map import ChillerMap, Point, check_map
from solver.parts.curves import monotone_curve
from solver.parts.roots import Array, Values

#: Share of the condenser's resistance on its sea side at rated flow (common practice).
_SEA_SIDE_SHARE = 0.5
#: Film coefficients go with this power of flow (Dittus and Boelter 1930).
_FILM_EXPONENT = 0.8
_TINY_RATE = 1e-9
_STEPS = 40
_CLOSE = 1e-9
#: Most that one step of the solve moves a temperature [K].
_LONGEST_STEP = 15.0


class Trip(IntEnum):
    """Why a chiller stands still, 0 where it does not."""

    NONE = 0
    OFF = 1
    LOW_FLOW = 2
    FREEZING = 3
    HIGH_CONDENSING = 4
    SEA_TOO_COLD = 5


class ChillerLaw(NamedTuple):
    """A chiller.

    Parameters
    ----------
    cooling : ChillerMap
    sea_flow : float [kg/s]
        Rated, as for the map.
    minimum_flow : float [kg/s]
        Its flow switch stops it below.
    heating : ChillerMap, optional
        Reverse cycle; None where it cannot heat.
    turn_down : float
        Least share of its capacity that it can hold; it starts and stops below.
    freezing_C : float
        It stops where its leaving water is colder (per chiller: makers have 1 to 5.5 degC for plain water).
    approach : float [K]
        Condensing temperature above leaving sea water at the rated state, clean.
    condensing_limit_C : float
        Its high-pressure switch stops it above.
    sea_limit_C : float
        In heating it stops where the sea water that leaves is colder.
    part_load : tuple of (share of load, share of full power)
        From 0 to 1; a straight line (a machine that starts and stops) if left out.
    sea_heat : float [J/(kg K)]
        Specific heat of the rated sea water.
    """

    cooling: ChillerMap
    sea_flow: float
    minimum_flow: float = 0.0
    heating: ChillerMap | None = None
    turn_down: float = 1.0
    freezing_C: float = 3.0
    approach: float = 5.0
    condensing_limit_C: float = 55.0
    sea_limit_C: float = -1.0
    part_load: tuple[tuple[float, float], ...] = ((0.0, 0.0), (1.0, 1.0))
    sea_heat: float = 3993.0


class ChillerState(NamedTuple):
    """What a chiller does, each an array of the common shape.

    ``duty`` [W] is taken out of the loop, negative where it heats; ``capacity`` [W] is what it could do,
    ``load_share`` the one over the other; ``into_sea`` [W] is negative in heating.  ``refrigerant_C`` is
    the refrigerant's temperature on the sea side at full load: condensing, in heating evaporating.
    ``cycles``: it starts and stops, being less loaded than its turn-down, and ``coldest_C`` (in heating
    the warmest) is its leaving water while it runs.  ``at_set_point``: the leaving water is where it should
    be, or needs nothing.  ``covered``: its map was given for such temperatures.
    """

    duty: Array
    power: Array
    leaving_C: Array
    capacity: Array
    load_share: Array
    into_sea: Array
    sea_out_C: Array
    refrigerant_C: Array
    coldest_C: Array
    trip: NDArray[np.int64]
    cycles: NDArray[np.bool_]
    at_set_point: NDArray[np.bool_]
    covered: NDArray[np.bool_]


def check_law(law: ChillerLaw) -> ChillerLaw:
    """Return the law if it makes sense.

    Raises
    ------
    PartError
        If a map or a figure does not.
    """
    check_map(law.cooling)
    if law.heating is not None:
        check_map(law.heating, heating=True)
    for name, least, most in (
        ("sea_flow", 1e-6, 1e6),
        ("minimum_flow", 0.0, 1e6),
        ("turn_down", 0.0, 1.0),
        ("approach", 0.1, 30.0),
        ("condensing_limit_C", 20.0, 90.0),
        ("freezing_C", -40.0, 20.0),
    ):
        value = getattr(law, name)
        if not least <= value <= most:
            raise PartError(f"chiller: {name} {value:g}; accepted: {least:g} to {most:g}")
    shares, powers = np.array(law.part_load, dtype=float).T
    ends = (shares[0], shares[-1], powers[-1]) == (0.0, 1.0, 1.0)
    if not (ends and powers[0] >= 0.0 and (np.diff(shares) > 0.0).all() and (np.diff(powers) >= 0.0).all()):
        raise PartError("chiller: part_load must rise from a load of 0 to load 1 at power 1")
    return law


def condenser_conductance(law: ChillerLaw, sea_rate: Values, fouling: Values = 0.0) -> Array:
    """Return heat into the sea per kelvin of condensing above entering sea temperature [W/K].

    Parameters
    ----------
    law : ChillerLaw
    sea_rate : array [W/K]
        Capacity rate of the sea water; 0 gives 0.
    fouling : array
        Share of the condenser's UA that dirt has taken, 0 to below 1.

    Notes
    -----
    One side condenses, so effectiveness is 1 - exp(-UA/C).  UA comes from the rated rise and approach; its
    sea-side half goes with flow**0.8.
    """
    capacity, power = law.cooling.rated
    rated_rate = law.sea_flow * law.sea_heat
    rise = (capacity + power) / rated_rate
    rated_ua = rated_rate * np.log((rise + law.approach) / law.approach)
    rate = np.maximum(sea_rate, _TINY_RATE)
    film = (rate / rated_rate) ** -_FILM_EXPONENT
    ua = rated_ua * (1.0 - np.asarray(fouling)) / (1.0 - _SEA_SIDE_SHARE + _SEA_SIDE_SHARE * film)
    return np.asarray(-rate * np.expm1(-ua / rate) * (np.asarray(sea_rate) > 0.0))


def sea_flow_for_rise(heat: Values, rise: Values, specific_heat: Values) -> Array:
    """Return the sea water [kg/s] that takes ``heat`` [W] at a ``rise`` [K].

    Examples
    --------
    >>> round(float(sea_flow_for_rise(25714.0, 5.0, 4003.0)), 3)
    1.285
    """
    return np.asarray(heat / (np.asarray(rise) * specific_heat))


def chiller_state(
    law: ChillerLaw,
    entering_C: Values,
    flow: Values,
    specific_heat: Values,
    set_point_C: Values,
    sea_C: Values,
    sea_flow: Values,
    sea_heat: Values | None = None,
    heating: bool = False,
    speed: Values = 1.0,
    fouling: Values = 0.0,
    running: NDArray[np.bool_] | bool = True,
    switches: bool = True,
) -> ChillerState:
    """Return what a chiller does.

    Parameters
    ----------
    law : ChillerLaw
    entering_C : array [degC]
        Loop water that enters.
    flow, specific_heat : array [kg/s, J/(kg K)]
        Of the loop water; a flow of 0 or less trips.
    set_point_C : array [degC]
        For the leaving water.
    sea_C : array [degC]
        Sea water that enters.
    sea_flow, sea_heat : array [kg/s, J/(kg K)]
        Of the sea water; that of the law if the specific heat is left out.
    heating : bool
        Reverse cycle.
    speed : array
        Compressor speed as a share of full; capacity and power go with it (common practice for
        displacement compressors).
    fouling : array
        Of the condenser, as in :func:`condenser_conductance`.
    running : array of bool
        Whether it is switched on.
    switches : bool
        Whether its switches against frost, pressure and cold sea stop it; without, only no flow does.
        For the steps towards a balance, which may pass through states that are none.

    Raises
    ------
    PartError
        If it is to heat and has no figures for it.

    Notes
    -----
    A chiller that trips lets the water pass as it came.  At part load it is taken to run at its full-load
    temperatures, for a shorter time or at less speed.
    """
    performance = law.heating if heating else law.cooling
    if performance is None:
        raise PartError("the chiller has no figures for heating")
    sign = -1.0 if heating else 1.0
    sea_rate = np.maximum(sea_flow, 0.0) * np.asarray(law.sea_heat if sea_heat is None else sea_heat)
    given = (entering_C, flow, specific_heat, set_point_C, sea_C, sea_rate, speed, fouling)
    entering, stream, heat, wanted, sea, sea_rate, speed, fouling = np.broadcast_arrays(
        *(np.asarray(of, dtype=float) for of in given)
    )
    rate = np.maximum(stream, 0.0) * heat
    conductance = condenser_conductance(law, sea_rate, fouling)
    rated = condenser_conductance(law, np.asarray(law.sea_flow * law.sea_heat))
    # Kelvin of warmer sea per watt, for want of sea water or clean surface.
    hindrance = 1.0 / np.maximum(conductance, 1e-6 * rated) - 1.0 / rated
    case = _Case(sign, entering, rate, wanted, sea, speed, hindrance)
    leaving, seen, point, holds = _balance(performance, case)

    need = sign * rate * (entering - wanted)
    capacity = speed * point.capacity
    share = np.where(holds, np.maximum(need, 0.0) / np.maximum(capacity, 1e-9), 1.0)
    power_share = np.asarray(_power_share(law, share))
    power = speed * point.power * power_share
    duty = sign * capacity * share
    idle = need <= 0.0
    leaving = np.where(idle, entering, np.where(holds, wanted, leaving))
    full = sign * capacity + speed * point.power
    condensing = sea + full / np.maximum(conductance, 1e-6 * rated)

    into_sea = duty + power
    sea_out = sea + into_sea / np.maximum(sea_rate, _TINY_RATE)
    trip = _still(law, stream, np.broadcast_to(running, rate.shape))
    if switches:
        trip = np.where(trip, trip, _trips(law, heating, leaving, idle, condensing, sea_out))
    works = (trip == Trip.NONE) & ~idle
    cycles = works & holds & (share < law.turn_down)
    least = entering - sign * law.turn_down * capacity / np.maximum(rate, _TINY_RATE)
    return ChillerState(
        np.where(works, duty, 0.0),
        np.where(works, power, 0.0),
        np.where(works, leaving, entering),
        np.where(trip == Trip.NONE, capacity, 0.0),
        np.where(works, share, 0.0),
        np.where(works, into_sea, 0.0),
        np.where(works, sea_out, sea),
        np.where(works, condensing, sea),
        np.where(cycles, least, np.where(works, leaving, entering)),
        trip,
        cycles,
        (trip == Trip.NONE) & (holds | idle),
        performance.covers(leaving, seen),
    )


class _Case(NamedTuple):
    """Sign of duty, entering water, its rate, set point, sea, speed, and kelvin per watt of hindrance."""

    sign: float
    entering: Array
    rate: Array
    wanted: Array
    sea: Array
    speed: Array
    hindrance: Array


def _balance(performance: ChillerMap, case: _Case) -> tuple[Array, Array, Point, NDArray[np.bool_]]:
    """Return leaving water at full load, the sea as warm as it counts, the point there, and who holds.

    First at the set point; where the capacity there is short, with leaving water floating as well.
    """
    floats = np.zeros(case.rate.shape, dtype=bool)
    leaving, seen, point = _newton(performance, case, case.wanted, case.sea, floats)
    short = case.sign * case.rate * (case.entering - case.wanted) > case.speed * point.capacity
    if short.any():
        leaving, seen, point = _newton(performance, case, leaving, seen, short)
    return leaving, seen, point, ~short


def _newton(
    performance: ChillerMap, case: _Case, leaving: Array, seen: Array, floats: NDArray[np.bool_]
) -> tuple[Array, Array, Point]:
    """Return leaving water and sea as it counts, by Newton's method with the map's slopes.

    load: sign rate (entering - leaving) = capacity, where the leaving water floats;
    sea: seen = sea + hindrance (sign capacity + power).
    """
    sign, speed, hindrance = case.sign, case.speed, case.hindrance
    rate = np.maximum(case.rate, _TINY_RATE)
    for _ in range(_STEPS):
        point = performance.at(leaving, seen)
        load = np.where(floats, sign * rate * (case.entering - leaving) - speed * point.capacity, 0.0)
        sea = seen - case.sea - hindrance * speed * (sign * point.capacity + point.power)
        a = np.where(floats, -sign * rate - speed * point.capacity_leaving, 1.0)
        b = np.where(floats, -speed * point.capacity_sea, 0.0)
        c = -hindrance * speed * (sign * point.capacity_leaving + point.power_leaving)
        d = 1.0 - hindrance * speed * (sign * point.capacity_sea + point.power_sea)
        determinant = a * d - b * c
        # Where the two run the same way (more sea heat makes more sea heat) the switch trips anyway.
        safe = np.where(np.abs(determinant) > 1e-3 * np.abs(a), determinant, 1e-3 * np.abs(a))
        step_leaving = np.clip((b * sea - d * load) / safe, -_LONGEST_STEP, _LONGEST_STEP)
        step_sea = np.clip((c * load - a * sea) / safe, -_LONGEST_STEP, _LONGEST_STEP)
        leaving = leaving + np.where(floats, step_leaving, 0.0)
        seen = np.clip(seen + step_sea, -200.0, 400.0)
        if max(np.abs(step_leaving * floats).max(initial=0.0), np.abs(step_sea).max(initial=0.0)) < _CLOSE:
            break
    return leaving, seen, performance.at(leaving, seen)


def _power_share(law: ChillerLaw, share: Array) -> Array:
    if len(law.part_load) == 2:
        low = law.part_load[0][1]
        return np.asarray(np.where(share > 0.0, low + (1.0 - low) * share, 0.0))
    shares, powers = zip(*law.part_load, strict=True)
    return monotone_curve(shares, powers)(share)[0]


def _still(law: ChillerLaw, flow: Array, running: NDArray[np.bool_]) -> NDArray[np.int64]:
    """Return which do not even start: switched off, or without the water they need."""
    low = np.where((flow <= 0.0) | (flow < law.minimum_flow), int(Trip.LOW_FLOW), int(Trip.NONE))
    return np.where(running, low, int(Trip.OFF))


def _trips(
    law: ChillerLaw,
    heating: bool,
    leaving: Array,
    idle: NDArray[np.bool_],
    condensing: Array,
    sea_out: Array,
) -> NDArray[np.int64]:
    """Return why each stops, the first reason in the order a technician would meet them."""
    if heating:
        return np.where(~idle & (sea_out < law.sea_limit_C), int(Trip.SEA_TOO_COLD), int(Trip.NONE))
    freezing = np.where(~idle & (leaving < law.freezing_C), int(Trip.FREEZING), int(Trip.NONE))
    return np.where(~idle & (condensing > law.condensing_limit_C), int(Trip.HIGH_CONDENSING), freezing)
