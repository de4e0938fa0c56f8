# SPDX-License-Identifier: MIT
"""Spaces on board that are not cabins: what lies beyond a bulkhead, and what a run crosses.

Some are known by name.  Their temperatures follow weather and sea by common practice; only the rise in
machinery spaces has a source.  What is measured on board beats them: a vessel's own space of the same name
wins.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated, NamedTuple

import numpy as np
from msgspec import Meta, Struct

from solver.media.moist_air import humidity_ratio, relative_humidity
from solver.vessel.cabin import OUTDOORS, SEA
from solver.vessel.fields import Percent, Temperature

if TYPE_CHECKING:
    from solver.vessel.vessel import Conditions, Vessel

#: Air that nothing moves, and air moved by the fans of a machinery space (common practice) [m/s].
STILL_AIR, FANNED_AIR = 0.1, 0.5
#: Wind that the outdoor film of ISO 6946 stands for [m/s].
_WIND = 4.0


class Space(Struct, frozen=True, forbid_unknown_fields=True, omit_defaults=True):
    """A space that the loop does not cool: beyond a cabin's bulkhead, or round a run.

    ``temp_C`` None takes the usual temperature of a space of that name, else that of outdoor air;
    ``rh_percent`` None its usual humidity, else that of outdoor air brought to its temperature.
    """

    name: str
    temp_C: Temperature | None = None
    rh_percent: Percent | None = None
    air_m_s: Annotated[float, Meta(ge=0, le=20)] = STILL_AIR


class _Usual(NamedTuple):
    """Temperature as shares of those of cabins, sea and outdoor air (the rest), and a rise when cooling."""

    cabin: float = 0.0
    sea: float = 0.0
    rise_K: float = 0.0
    rh_percent: float | None = None
    air_m_s: float = STILL_AIR


#: Rise of the air through a machinery space: ISO 8861, 12.5 K (from memory).
_MACHINERY = _Usual(rise_K=12.5, air_m_s=FANNED_AIR)
# All others are common practice; unconditioned galley, laundry and heads stand as far above outdoor air of
# 35 degC as the differences to adjoining spaces of ISO 7547 (recalled) put them above a room of 27 degC.
_USUAL: dict[str, _Usual] = {
    OUTDOORS: _Usual(air_m_s=_WIND),
    SEA: _Usual(sea=1.0, rh_percent=100.0),
    "cabin": _Usual(cabin=1.0, rh_percent=50.0),
    "corridor": _Usual(cabin=0.8, rh_percent=55.0),
    "ceiling void": _Usual(cabin=0.5, rh_percent=65.0),
    "bilge": _Usual(sea=0.6, rh_percent=85.0),
    "void": _Usual(sea=0.5, rh_percent=80.0),
    "locker": _Usual(cabin=0.3, rh_percent=65.0),
    "lazarette": _Usual(rise_K=5.0),
    "engine room": _MACHINERY,
    "generator room": _MACHINERY,
    "machinery space": _MACHINERY,
    "galley": _Usual(rise_K=10.0),
    "laundry": _Usual(rise_K=3.0),
    "heads": _Usual(rise_K=-2.0),
}
#: Temperature of conditioned rooms next door, cooling and heating (common practice) [degC].
_CABIN_C = {"cooling": 24.0, "heating": 21.0}
#: Names of the spaces that are known without being in the vessel.
USUAL_SPACES: tuple[str, ...] = tuple(_USUAL)


def space_of(vessel: Vessel, name: str, conditions: Conditions | None = None) -> Space | None:
    """Return a space by name with its temperature and humidity filled in, None if it is not known.

    Parameters
    ----------
    vessel : Vessel
        Its own spaces win over the usual ones.
    name : str
        As in a run's ``surroundings`` or a surface's ``other_side``; capitals do not matter.
    conditions : Conditions, optional
        Weather and sea; None takes the vessel's current ones.

    Examples
    --------
    >>> from solver.vessel.vessel import Vessel
    >>> space_of(Vessel(name="Tern"), "Engine room").temp_C
    47.5
    """
    weather = vessel.current_conditions if conditions is None else conditions
    wanted = plain_name(name)
    own = next((space for space in vessel.spaces if plain_name(space.name) == wanted), None)
    if own is None and wanted not in USUAL_SPACES:
        return None
    usual = _USUAL.get(wanted, _Usual())
    temp_C = _usual_temp(usual, weather)
    rh, air = usual.rh_percent, usual.air_m_s
    if own is not None:
        temp_C = temp_C if own.temp_C is None else own.temp_C
        rh = rh if own.rh_percent is None else own.rh_percent
        air = own.air_m_s
    if rh is None:
        rh = _rh_of_outdoor_air(temp_C, weather)
    return Space(name if own is None else own.name, temp_C, rh, air)


def plain_name(name: str) -> str:
    """Return a space's name as names are compared."""
    return " ".join(name.casefold().split())


def known_spaces(vessel: Vessel) -> tuple[str, ...]:
    """Return the names of all spaces a surface may have on its other side, the vessel's own first."""
    own = tuple(space.name for space in vessel.spaces)
    taken = {plain_name(name) for name in own}
    return (*own, *(name for name in USUAL_SPACES if name not in taken))


def _usual_temp(usual: _Usual, weather: Conditions) -> float:
    outdoor = 1.0 - usual.cabin - usual.sea
    mixed = (
        usual.cabin * _CABIN_C[weather.mode]
        + usual.sea * weather.sea_temp_C
        + outdoor * weather.outdoor_temp_C
    )
    # Nothing that may be off is counted on for warmth.
    return mixed + (usual.rise_K if weather.mode == "cooling" else min(usual.rise_K, 0.0))


def _rh_of_outdoor_air(temp_C: float, weather: Conditions) -> float:
    moisture = humidity_ratio(weather.outdoor_temp_C, weather.outdoor_rh_percent / 100.0)
    return float(np.clip(100.0 * relative_humidity(np.clip(temp_C, -60.0, 90.0), moisture), 0.0, 100.0))
