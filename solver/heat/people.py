# SPDX-License-Identifier: MIT
"""Heat and moisture that people give off, by what they do and how warm the room is."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

import numpy as np

from solver.parts.roots import Array, Values
from solver.vessel.cabin import Activity


class Person(NamedTuple):
    """What one person gives off in a room of 24 degC [W]."""

    sensible: float
    latent: float


# ASHRAE Handbook Fundamentals 2013, chapter 18, table 1, adjusted for a usual mix of men, women and children:
# very light work seated; light work standing; light bench work; moderate dancing; athletics.  Sleeping is no
# row of it: 0.7 met on 1.8 m2 of skin (ASHRAE, thermal comfort), split as the seated row is.
#: Activity -> heat of one person in a room of 24 degC.
PEOPLE: Mapping[Activity, Person] = {
    "sleeping": Person(45.0, 28.0),
    "seated": Person(70.0, 45.0),
    "light_work": Person(75.0, 55.0),
    "working": Person(80.0, 140.0),
    "dancing": Person(90.0, 160.0),
    "exercise": Person(210.0, 315.0),
}
#: Least outdoor air a person [L/s]: 0.008 m3/s in ISO 7547 (recalled).
OUTDOOR_AIR_L_S = 8.0

_TABLE_C = 24.0
#: At 27 degC the sensible part is about a fifth less and the total the same (note under the table).
_LESS_A_KELVIN = 0.20 / 3.0
#: The note is trusted this far to both sides.
_LOWEST_C, _HIGHEST_C = 18.0, 36.0


def heat_of_people(sensible_24C: Values, latent_24C: Values, room_C: Values) -> tuple[Array, Array]:
    """Return the sensible and latent heat of people in a room of another temperature than 24 degC [W].

    Parameters
    ----------
    sensible_24C, latent_24C : array [W]
        As the table has them; the total stays.
    room_C : array [degC]
        Held within 18 to 36.

    Notes
    -----
    ASHRAE Handbook Fundamentals 2013, chapter 18, table 1, and the note under it.

    Examples
    --------
    >>> sensible, latent = heat_of_people(70.0, 45.0, 27.0)
    >>> round(float(sensible), 1), round(float(latent), 1)
    (56.0, 59.0)
    """
    total = np.asarray(sensible_24C, dtype=float) + latent_24C
    share = 1.0 - _LESS_A_KELVIN * (np.clip(room_C, _LOWEST_C, _HIGHEST_C) - _TABLE_C)
    sensible = np.minimum(sensible_24C * share, total)
    return np.asarray(sensible), np.asarray(total - sensible)
