# SPDX-License-Identifier: MIT
"""What a chiller can do: capacity and power over leaving water and entering sea water.

Either a rated point with slopes, or a table read by straight lines between its points, which is monotone
where the table is.  Both hold at full speed with the condenser clean and its sea water at rated flow;
``solver.parts.chiller_law`` takes it from there.  Temperatures are in degC, heat and power in W.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple, Protocol

import numpy as np
from numpy.typing import ArrayLike, NDArray

from solver.errors import PartError
from solver.parts.roots import Array, Values

Truths = NDArray[np.bool_]

#: Cooling over power of a sea-water cooled chiller that does not tell (common practice: about 1.25 times
#: the cooling goes into the sea).
COMMON_COP = 4.0
#: Least share of rated capacity and power that slopes lead to, far from the rated point.
_LEAST_SHARE = 0.05


class Point(NamedTuple):
    """Capacity and power, and their slopes per kelvin of leaving water and of sea water."""

    capacity: Array
    power: Array
    capacity_leaving: Array
    capacity_sea: Array
    power_leaving: Array
    power_sea: Array


class ChillerMap(Protocol):
    """Capacity and power of a machine at full speed."""

    @property
    def rated(self) -> tuple[float, float]:
        """Capacity and power at the rated state [W]."""

    def at(self, leaving_C: Values, sea_C: Values) -> Point:
        """Return capacity, power and their slopes."""

    def covers(self, leaving_C: Values, sea_C: Values) -> Truths:
        """Return whether the figures were given for such temperatures."""

    def capacity_slopes(self) -> tuple[Array, Array]:
        """Return all slopes of capacity by leaving and by sea water, of whatever scale."""


class SlopeMap(NamedTuple):
    """A rated point, and what a kelvin changes, as a share of the rated value.

    The slopes that stand here are those of cooling (common practice for water-cooled machines: 3 % more
    capacity per kelvin of warmer leaving water, 1.2 % less and 2.2 % more power per kelvin of warmer sea).
    Temperatures beyond the limits count as the limits.
    """

    capacity: float
    power: float
    leaving_C: float = 7.0
    sea_C: float = 32.0
    capacity_per_leaving: float = 0.03
    capacity_per_sea: float = -0.012
    power_per_leaving: float = 0.006
    power_per_sea: float = 0.022
    leaving_limits_C: tuple[float, float] = (-10.0, 20.0)
    sea_limits_C: tuple[float, float] = (0.0, 50.0)

    @property
    def rated(self) -> tuple[float, float]:
        """Capacity and power at the rated state [W]."""
        return self.capacity, self.power

    def at(self, leaving_C: Values, sea_C: Values) -> Point:
        """Return capacity, power and their slopes."""
        (low, high), (cold, warm) = self.leaving_limits_C, self.sea_limits_C
        by_leaving = np.clip(leaving_C, low, high) - self.leaving_C
        by_sea = np.clip(sea_C, cold, warm) - self.sea_C
        in_leaving = (np.asarray(leaving_C) > low) & (np.asarray(leaving_C) < high)
        in_sea = (np.asarray(sea_C) > cold) & (np.asarray(sea_C) < warm)
        values: list[Array] = []
        slopes: list[Array] = []
        for rated, per_leaving, per_sea in (
            (self.capacity, self.capacity_per_leaving, self.capacity_per_sea),
            (self.power, self.power_per_leaving, self.power_per_sea),
        ):
            share = 1.0 + per_leaving * by_leaving + per_sea * by_sea
            free = share > _LEAST_SHARE
            values.append(np.asarray(rated * np.maximum(share, _LEAST_SHARE)))
            slopes.append(np.where(free & in_leaving, rated * per_leaving, 0.0))
            slopes.append(np.where(free & in_sea, rated * per_sea, 0.0))
        return Point(*values, *slopes)

    def covers(self, leaving_C: Values, sea_C: Values) -> Truths:
        """Return whether the temperatures are within the limits."""
        (low, high), (cold, warm) = self.leaving_limits_C, self.sea_limits_C
        leaving, sea = np.asarray(leaving_C), np.asarray(sea_C)
        return np.asarray((leaving >= low) & (leaving <= high) & (sea >= cold) & (sea <= warm))

    def capacity_slopes(self) -> tuple[Array, Array]:
        """Return the slopes of capacity at the rated point."""
        return np.array([self.capacity_per_leaving]), np.array([self.capacity_per_sea])


class TableMap:
    """Capacity and power from a table; temperatures beyond it count as its edge.

    Parameters
    ----------
    leaving_C : array, shape (leaving,)
        Rising, 2 or more.
    sea_C : array, shape (sea,)
        Rising, 2 or more.
    capacity, power : array, shape (leaving, sea) [W]
    rated_leaving_C, rated_sea_C : float
        The rated state, within the table.

    Raises
    ------
    PartError
        If temperatures do not rise, shapes do not fit, a value is not above 0, or the rated state is not
        in the table.
    """

    def __init__(
        self,
        leaving_C: ArrayLike,
        sea_C: ArrayLike,
        capacity: ArrayLike,
        power: ArrayLike,
        rated_leaving_C: float = 7.0,
        rated_sea_C: float = 32.0,
    ):
        self.leaving_C = _rising(leaving_C, "leaving water")
        self.sea_C = _rising(sea_C, "sea water")
        shape = (len(self.leaving_C), len(self.sea_C))
        self.capacity_table = _table(capacity, shape, "capacity")
        self.power_table = _table(power, shape, "power")
        if not self.covers(rated_leaving_C, rated_sea_C):
            raise PartError(
                f"the rated state of {rated_leaving_C:g} degC leaving and {rated_sea_C:g} degC sea water is "
                "outside the chiller's table"
            )
        point = self.at(rated_leaving_C, rated_sea_C)
        self._rated = float(point.capacity), float(point.power)

    @property
    def rated(self) -> tuple[float, float]:
        """Capacity and power at the rated state [W]."""
        return self._rated

    def at(self, leaving_C: Values, sea_C: Values) -> Point:
        """Return capacity, power and their slopes, by straight lines both ways."""
        row, u, width, in_leaving = _place(self.leaving_C, leaving_C)
        column, v, height, in_sea = _place(self.sea_C, sea_C)
        values: list[Array] = []
        slopes: list[Array] = []
        for table in (self.capacity_table, self.power_table):
            a, b = table[row, column], table[row, column + 1]
            c, d = table[row + 1, column], table[row + 1, column + 1]
            near, far = a + v * (b - a), c + v * (d - c)
            values.append(np.asarray(near + u * (far - near)))
            left, right = a + u * (c - a), b + u * (d - b)
            slopes += [(far - near) / width * in_leaving, (right - left) / height * in_sea]
        return Point(*values, *slopes)

    def covers(self, leaving_C: Values, sea_C: Values) -> Truths:
        """Return whether the temperatures are within the table."""
        leaving, sea = np.asarray(leaving_C), np.asarray(sea_C)
        inside = (leaving >= self.leaving_C[0]) & (leaving <= self.leaving_C[-1])
        return np.asarray(inside & (sea >= self.sea_C[0]) & (sea <= self.sea_C[-1]))

    def capacity_slopes(self) -> tuple[Array, Array]:
        """Return the steps of capacity from point to point."""
        return np.diff(self.capacity_table, axis=0), np.diff(self.capacity_table, axis=1)


def _rising(values: ArrayLike, what: str) -> Array:
    found = np.asarray(values, dtype=float)
    if found.ndim != 1 or len(found) < 2 or not np.isfinite(found).all() or (np.diff(found) <= 0.0).any():
        raise PartError(
            f"the {what} temperatures of a chiller's table must be two or more, each above the last"
        )
    return found


def _table(values: ArrayLike, shape: tuple[int, int], what: str) -> Array:
    found = np.asarray(values, dtype=float)
    if found.shape != shape:
        raise PartError(
            f"a chiller's table of {what} has {' by '.join(map(str, found.shape))} values; its leaving and "
            f"sea-water temperatures ask for {shape[0]} by {shape[1]}"
        )
    if not (np.isfinite(found) & (found > 0.0)).all():
        raise PartError(f"a chiller's table of {what} must have values above 0 only")
    return found


def _place(points: Array, at: Values) -> tuple[NDArray[np.int64], Array, Array, Truths]:
    """Return the piece, the place 0..1 in it, its width, and whether that is within the points."""
    x = np.asarray(at, dtype=float)
    piece = np.clip(np.searchsorted(points, x, side="right") - 1, 0, len(points) - 2).astype(np.int64)
    width = points[piece + 1] - points[piece]
    inside = (x > points[0]) & (x < points[-1])
    return piece, np.clip((x - points[piece]) / width, 0.0, 1.0), width, inside


def check_map(performance: ChillerMap, heating: bool = False) -> None:
    """Check that a map makes sense of a machine of its kind.

    Raises
    ------
    PartError
        If capacity or power is not above 0, the rated heat is less than the power that makes it (or more
        than 15 times it), or capacity goes the wrong way with a temperature.

    Notes
    -----
    Warmer leaving water gives more cooling but less heating; warmer sea gives less cooling but more
    heating.  The opposite is a slip, and would let a chiller have two answers.
    """
    capacity, power = performance.rated
    if not (capacity > 0.0 and power > 0.0 and np.isfinite(capacity + power)):
        raise PartError(
            f"a chiller's capacity and power must be above 0; found {capacity:g} W and {power:g} W"
        )
    if not 1.0 <= capacity / power <= 15.0:
        raise PartError(
            f"a chiller of {capacity:g} W and {power:g} W power: {capacity / power:.2g} times its power; "
            "accepted: 1 to 15 times"
        )
    mode, sign = ("heating", -1.0) if heating else ("cooling", 1.0)
    by_leaving, by_sea = performance.capacity_slopes()
    if (sign * by_leaving).min() < 0.0:
        less_or_more = "rise" if heating else "fall"
        raise PartError(f"a chiller's {mode} capacity must not {less_or_more} with warmer leaving water")
    if (sign * by_sea).max() > 0.0:
        less_or_more = "fall" if heating else "rise"
        raise PartError(f"a chiller's {mode} capacity must not {less_or_more} with warmer sea water")


def common_cooling(capacity: float) -> SlopeMap:
    """Return the cooling of a machine that tells only its capacity [W], at 7 degC leaving and 32 degC sea.

    Examples
    --------
    >>> common_cooling(20000.0).power
    5000.0
    """
    return SlopeMap(capacity, capacity / COMMON_COP)


def common_heating(cooling_capacity: float, cooling_power: float) -> SlopeMap:
    """Return the heating of a reverse-cycle machine that tells only its cooling.

    Parameters
    ----------
    cooling_capacity, cooling_power : float [W]
        At 7 degC leaving and 32 degC sea water.

    Notes
    -----
    Common practice: as much heat as its cooling at 45 degC leaving and 10 degC sea water, for 1.2 times
    the power; 0.6 % less heat and 2 % more power per kelvin of warmer leaving water; 2.5 % more heat per
    kelvin of warmer sea.
    """
    return SlopeMap(
        cooling_capacity,
        1.2 * cooling_power,
        45.0,
        10.0,
        -0.006,
        0.025,
        0.02,
        0.005,
        (20.0, 60.0),
        (-2.0, 30.0),
    )


def table_map(
    rows: Sequence[tuple[float, float, float, float]], rated_leaving_C: float = 7.0, rated_sea_C: float = 32.0
) -> TableMap:
    """Return a table map from rows (leaving degC, sea degC, capacity W, power W) in any order.

    Raises
    ------
    PartError
        If the rows do not fill a grid, each place once.
    """
    leaving = sorted({row[0] for row in rows})
    sea = sorted({row[1] for row in rows})
    values = {(row[0], row[1]): (row[2], row[3]) for row in rows}
    missing = [(a, b) for a in leaving for b in sea if (a, b) not in values]
    if missing or len(values) != len(rows):
        where = f"{missing[0][0]:g} degC leaving, {missing[0][1]:g} degC sea" if missing else "a place twice"
        wrong = "lacks" if missing else "has"
        raise PartError(
            "a chiller's table must have each leaving with each sea-water temperature once; "
            f"it {wrong} {where}"
        )
    grid = np.array([[values[a, b] for b in sea] for a in leaving])
    return TableMap(leaving, sea, grid[..., 0], grid[..., 1], rated_leaving_C, rated_sea_C)
