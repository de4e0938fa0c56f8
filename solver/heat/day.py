# SPDX-License-Identifier: MIT
"""The load of all cabins through a day: each one's peak, their sum, and the block load of the whole boat.

The block load is the largest load of all cabins at one hour and on one heading.  Chillers are chosen by it,
air handlers by the peak of their own cabin.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from solver.heat.cabin_load import Loads, at_hour, latent_load, sensible_load, through_the_day
from solver.heat.gathered import Gathered, gathered
from solver.heat.weather import headings
from solver.media.moist_air import humidity_ratio
from solver.parts.roots import Array
from solver.vessel.vessel import Conditions, Vessel

#: Hours of solar time that a day is looked at.
HOURS = np.arange(0.0, 24.0)


class DayLoads(NamedTuple):
    """The loads of a day, sensible and latent with outdoor air, at set point.

    Attributes
    ----------
    tags : tuple of str
    hours : array [h], shape (hours,)
        Solar time.
    sensible_W, latent_W : array [W], shape (hours, cabins)
        On the heading of the block load.
    block_W : array [W], shape (hours,)
        Of all cabins together by hour, on that heading.
    block_at : int
        Place in ``hours`` of the block load.
    heading_deg : float [degrees]
        That of the conditions; the one with the largest block load where they name none.
    peak_hour : array [h], shape (cabins,)
        When each cabin has its peak, on the heading worst for it where the conditions name none.
    peak_heading_deg : array [degrees], shape (cabins,)
    peak_sensible_W, peak_latent_W : array [W], shape (cabins,)
        Its load then.
    estimated : array of bool, shape (cabins,)
    """

    tags: tuple[str, ...]
    hours: Array
    sensible_W: Array
    latent_W: Array
    block_W: Array
    block_at: int
    heading_deg: float
    peak_hour: Array
    peak_heading_deg: Array
    peak_sensible_W: Array
    peak_latent_W: Array
    estimated: NDArray[np.bool_]

    @property
    def peak_W(self) -> Array:
        """The peak of every cabin, sensible and latent."""
        return np.asarray(self.peak_sensible_W + self.peak_latent_W)

    @property
    def sum_of_peaks_W(self) -> float:
        """Of all cabins, each at its own hour."""
        return float(self.peak_W.sum())

    @property
    def block_hour(self) -> float:
        """Hour of the block load."""
        return float(self.hours[self.block_at])

    @property
    def block_load_W(self) -> float:
        """The block load: of all cabins at the hour at which it is largest."""
        return float(self.block_W[self.block_at])


def day_loads(vessel: Vessel, hours: Array = HOURS) -> DayLoads:
    """Return the loads of all cabins through a day of the current conditions.

    Parameters
    ----------
    vessel : Vessel
    hours : array [h]
        Solar time, at least one.

    Raises
    ------
    AirError
        If outdoor air or a set point is beyond what the formulas of moist air cover (-60 to 90 degC).

    Notes
    -----
    Steady at every hour: what hull and furnishings store is not counted, so peaks come out a little high and
    early.  For heating the loads are negative and the largest is the most negative.
    """
    conditions = vessel.current_conditions
    cabins, tried = gathered(vessel, conditions), headings(conditions)
    count = len(cabins.tags)
    worst = np.argmin if conditions.mode == "heating" else np.argmax
    glass, walls = through_the_day(cabins, conditions, hours, tried)
    # Of all that warms a cabin only the sun depends on the heading, and typed loads leave it out.
    sunny = np.isnan(cabins.typed_sensible)[:, None, None] * (glass + walls)
    without_sun = _loads(cabins, conditions, hours)
    sensible = without_sun.sensible_W[:, None, :] + sunny.transpose(1, 2, 0)
    total = sensible + without_sun.latent_W[:, None, :]
    block = total.sum(axis=2)
    heading = worst(block) % len(tried)
    peak = worst(total.reshape(len(hours) * len(tried), count), axis=0)
    peak_hour, peak_heading = np.divmod(peak, len(tried))
    cabin = np.arange(count)
    return DayLoads(
        tags=cabins.tags,
        hours=hours,
        sensible_W=sensible[:, heading],
        latent_W=without_sun.latent_W,
        block_W=block[:, heading],
        block_at=int(worst(block[:, heading])),
        heading_deg=float(tried[heading]),
        peak_hour=hours[peak_hour],
        peak_heading_deg=tried[peak_heading],
        peak_sensible_W=sensible[peak_hour, peak_heading, cabin],
        peak_latent_W=without_sun.latent_W[peak_hour, cabin],
        estimated=cabins.estimated,
    )


def _loads(cabins: Gathered, conditions: Conditions, hours: Array) -> Loads:
    """Return the loads at set point by hour and cabin, without sun."""
    count = len(cabins.tags)
    no_sun = np.zeros(count)
    wanted = humidity_ratio(cabins.set_point_C, cabins.rh)
    by_hour = [at_hour(cabins, conditions, float(hour), no_sun, no_sun) for hour in hours]
    cooling = conditions.mode == "cooling"
    return Loads(
        np.array([sensible_load(loads, cabins.set_point_C) for loads in by_hour]),
        np.array([cooling * latent_load(loads, cabins.set_point_C, wanted) for loads in by_hour]),
    )
