# SPDX-License-Identifier: MIT
"""What starts and stops through time: chillers on the return water of their loop, fans on their cabins.

Chillers of one loop are stages, in the order of the document.  One that starts and stops goes by the common
return water, half its dead band either side of the middle of what it does.  A modulating one follows when
those that run are full and their leaving water is still above set point, and stops when the others can
do its share.  All heed least run and least stop times; switches that trip heed none.
``docs/physics/pull_down.md`` has the rules.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from solver.heat.chiller_lines import Doing, Machines
from solver.heat.rooms import Rooms, Units
from solver.parts.chiller_law import Trip
from solver.parts.roots import Array

Indices = NDArray[np.int64]

#: Between two starts in one loop, so that their currents do not add up (common practice) [s].
START_DELAY = 60.0
#: A stop by the return water stays this far from the frost switch (common practice) [K].
_FROM_FROST = 1.0
#: The last of several modulating stages stops when the others could do this share of their capacity.
_SPARE = 0.9
#: A machine that trips this often within an hour stays off until someone resets it (common practice).
MOST_TRIPS = 3
_HOUR = 3600.0
_FULL = 1.0 - 1e-9
#: Between the steps of a fan's speed on its thermostat (common practice) [K].
SPEED_STEP = 0.5


class Switch(NamedTuple):
    """A chiller that starts or stops, and the trip that stopped it (0: its thermostat)."""

    place: int
    starts: bool
    trip: int = 0


class Stages:
    """The chillers of a vessel as stages, and what each has done so far.

    Parameters
    ----------
    made : Machines
    loop : array of int, shape (K,)
        Which loop each is in.
    capacity : array, shape (K,) [W]
        At the set point and the conditions' sea.
    dead_band, least_run, least_stop : array, shape (K,) [K, s, s]
    frost_C : array, shape (K,)
        Their frost switches.
    never : array of int, shape (K,)
        Why each cannot run at all, 0 where it can.
    """

    def __init__(
        self,
        made: Machines,
        loop: Indices,
        capacity: Array,
        dead_band: Array,
        least_run: Array,
        least_stop: Array,
        frost_C: Array,
        never: Indices,
    ):
        self.made, self.capacity, self.dead_band = made, capacity, dead_band
        self.least_run, self.least_stop, self.frost_C, self.never = least_run, least_stop, frost_C, never
        count = len(capacity)
        self.runs = np.zeros(count, dtype=bool)
        self.since = np.full(count, -np.inf)
        self.started: list[list[float]] = [[] for _ in range(count)]
        self.ran: list[list[float]] = [[] for _ in range(count)]
        self.trips: list[list[tuple[float, int]]] = [[] for _ in range(count)]
        self.locked = np.zeros(count, dtype=bool)
        able = np.flatnonzero(never == 0)
        self.loops = [able[loop[able] == number] for number in np.unique(loop[able])]

    def wanted(self, time: float, entering: Array, doing: Doing) -> Switch | None:
        """Return the next switch at a state, None if all stay as they are.

        Parameters
        ----------
        time : float [s]
        entering : array, shape (K,) [degC]
            Loop water.
        doing : Doing
            What those that run do.
        """
        for place in np.flatnonzero(self.runs & (doing.trip > 0)):
            return Switch(int(place), False, int(doing.trip[place]))
        for members in self.loops:
            switch = self._of_loop(time, members, entering, doing)
            if switch is not None:
                return switch
        return None

    def _of_loop(self, time: float, members: Indices, entering: Array, doing: Doing) -> Switch | None:
        rate = self.made.rate[members]
        back = float((rate * entering[members]).sum() / rate.sum())
        running = members[self.runs[members]]
        if len(running):
            last = int(running[-1])
            if time - self.since[last] >= self.least_run[last] and self._spare(back, members, last):
                return Switch(last, False)
        following = next((int(place) for place in members if self._may_start(time, int(place))), None)
        if following is None or not self._calls(back, members, following, doing):
            return None
        latest = max((self.started[place][-1] for place in members if self.started[place]), default=-np.inf)
        return Switch(following, True) if time - latest >= START_DELAY else None

    def _may_start(self, time: float, place: int) -> bool:
        waited = time - self.since[place] >= self.least_stop[place]
        return bool(not self.runs[place] and not self.locked[place] and waited)

    def stop_C(self, members: Indices, place: int) -> float:
        """Return the return water at which a stage stops, with what else runs of its loop as it is [degC].

        The middle of what the stage does lies so that the loop's supply is at set point on the mean; the
        stop is half a dead band from it, and in cooling never so low that its frost switch would act.
        """
        made, sign = self.made, self.made.sign
        others = [other for other in members if self.runs[other] and other != place]
        own = made.turn_down[place] * self.capacity[place]
        middle = (float(self.capacity[others].sum()) + own / 2.0) / float(made.rate[members].sum())
        stop = made.set_point[place] + sign * (middle - self.dead_band[place] / 2.0)
        if sign < 0:
            return float(stop)
        return float(max(stop, self.frost_C[place] + _FROM_FROST + own / made.rate[place]))

    def _spare(self, back: float, members: Indices, last: int) -> bool:
        """Return whether the last stage is one too many."""
        made, sign = self.made, self.made.sign
        running = members[self.runs[members]]
        if len(running) == 1 or made.turn_down[last] == 1.0:
            return bool(sign * (back - self.stop_C(members, last)) <= 0.0)
        load = float((made.rate[running] * sign * (back - made.set_point[running])).sum())
        return load <= _SPARE * float(self.capacity[running].sum() - self.capacity[last])

    def _calls(self, back: float, members: Indices, following: int, doing: Doing) -> bool:
        """Return whether one more stage is called for."""
        made, sign = self.made, self.made.sign
        running = members[self.runs[members]]
        if not len(running) or made.turn_down[following] == 1.0:
            start = self.stop_C(members, following) + sign * self.dead_band[following]
            return bool(sign * (back - start) >= 0.0)
        full = bool((doing.load[running] >= _FULL).all())
        above = sign * (doing.leaving_C[running] - made.set_point[running])
        return full and float(above.mean()) >= self.dead_band[following] / 2.0

    def do(self, switch: Switch, time: float) -> None:
        """Carry a switch out."""
        place = switch.place
        if not switch.starts:
            self.ran[place].append(time - self.since[place])
        else:
            self.started[place].append(time)
        self.runs[place] = switch.starts
        self.since[place] = time
        if switch.trip:
            trips = self.trips[place]
            trips.append((time, switch.trip))
            recent = [when for when, _ in trips if when > time - _HOUR]
            self.locked[place] = len(recent) >= MOST_TRIPS

    def why_still(self, place: int) -> int:
        """Return the trip that keeps a chiller off for good, 0 where nothing does."""
        if self.never[place]:
            return int(self.never[place])
        return self.trips[place][-1][1] if self.locked[place] else int(Trip.NONE)


def fan_stages(rooms: Rooms, units: Units, now: Indices, cabin_C: Array, band: float, sign: float) -> Indices:
    """Return the stage of every air handler by its thermostat.

    Parameters
    ----------
    now : array of int, shape (A,)
        Their stages so far.
    cabin_C : array, shape (C,)
    band : float [K]
        Dead band of the thermostats.
    sign : float
        1 in cooling, -1 in heating.

    Notes
    -----
    Speeds of one fan lie ``SPEED_STEP`` apart round the set point.  What serves no cabin, or has no
    thermostat, runs at its last stage.
    """
    off = np.zeros(len(rooms.controlled))
    served = rooms.group >= 0
    np.add.at(off, rooms.group[served], (rooms.weight * (cabin_C - rooms.set_point))[served])
    stage = now.copy()
    for place, (group, stages) in enumerate(zip(units.group.tolist(), units.stages.tolist(), strict=True)):
        if group < 0 or not rooms.controlled[group]:
            stage[place] = stages
        else:
            stage[place] = _speed(int(now[place]), stages, sign * off[group], band)
    return stage


def _speed(now: int, stages: int, off: float, band: float) -> int:
    middle = list(_middles(stages))
    while now < stages and off >= middle[now] + band / 2.0:
        now += 1
    while now > 0 and off <= middle[now - 1] - band / 2.0:
        now -= 1
    return now


def _middles(stages: int) -> Iterator[float]:
    return (SPEED_STEP * (stage - (stages + 1) / 2.0) for stage in range(1, stages + 1))
