# SPDX-License-Identifier: MIT
"""What a pull-down keeps as it goes, and its figures at the end."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from solver.heat.figures import TRIPS
from solver.heat.pulled import CabinPulled, ChillerPulled, EnergyPulled, LoopPulled, PullDown
from solver.heat.rooms import Rooms
from solver.heat.staging import Stages
from solver.heat.time_step import Heats, Moment
from solver.media.moist_air import relative_humidity
from solver.parts.roots import Array
from solver.vessel.vessel import Vessel
from solver.vessel.water_content import loop_volumes_L

#: A cabin has reached its set point when it is this near to it [K].
REACHED_K = 0.5
#: Starts an hour are counted over the last hours of a run, at most so many.
_LAST_HOURS = 6.0
_HOUR = 3600.0
#: Cabins outside these are as humid as at these [degC].
_RH_RANGE_C = (-60.0, 90.0)
_KWH = 3.6e6


class Record:
    """What was found so far.

    Parameters
    ----------
    pumps_W : float
        Electrical power of all pumps.
    held : tuple of float [J]
        Heat held by the loop's water and by the cabins at the start.
    """

    def __init__(self, pumps_W: float, held: tuple[float, float]):
        self.pumps_W, self.held = pumps_W, held
        self.time: list[float] = []
        self.moments: list[Moment] = []
        self.entering: list[Array] = []
        self.leaving: list[Array] = []
        self.duty: list[Array] = []
        self.runs: list[Array] = []
        self.power: list[Array] = []
        self.fans: list[float] = []
        #: Heat into the water, the part of it that moved either way, and the same for the cabins [J].
        self.into_water = self.moved_water = self.into_cabins = self.moved_cabins = 0.0
        self.cooling = 0.0
        self._of_step: list[Array] = []
        self._fans_J = 0.0

    def first(self, at: Moment, entering: Array, leaving: Array) -> None:
        """Keep the start."""
        none = np.zeros(len(entering))
        self._of_step = [none.copy(), none.copy(), none.copy()]
        self._keep(0.0, at, 1.0, entering, leaving)

    def add(
        self,
        seconds: float,
        heats: Heats,
        duty: Array,
        power: Array,
        runs: NDArray[np.bool_],
        fans_W: float,
    ) -> None:
        """Add a piece of a step."""
        for kept, value in zip(self._of_step, (duty, power, runs.astype(float)), strict=True):
            kept += seconds * value
        self._fans_J += seconds * fans_W
        items = (heats.coils, heats.walls, heats.pumps, heats.tanks, -heats.chillers)
        self.into_water += seconds * sum(items)
        self.moved_water += seconds * sum(abs(item) for item in items)
        self.into_cabins += seconds * heats.cabins
        self.moved_cabins += seconds * (abs(heats.cabins) + abs(heats.coils))
        self.cooling += seconds * heats.chillers

    def end_step(self, time: float, at: Moment, seconds: float, entering: Array, leaving: Array) -> None:
        """Keep the state at the end of a step and the step's means."""
        self._keep(time, at, seconds, entering, leaving)

    def _keep(self, time: float, at: Moment, seconds: float, entering: Array, leaving: Array) -> None:
        self.time.append(time)
        self.moments.append(at)
        self.entering.append(entering)
        self.leaving.append(leaving)
        for rows, kept in zip((self.duty, self.power, self.runs), self._of_step, strict=True):
            rows.append(kept / seconds)
        self.fans.append(self._fans_J / seconds)
        self._of_step = [np.zeros(len(entering)) for _ in range(3)]
        self._fans_J = 0.0

    def error_share(self, held: tuple[float, float]) -> float:
        """Return heat moved less heat held, over what moved; the larger of water and cabins."""
        water = abs(self.into_water - (held[0] - self.held[0])) / max(self.moved_water, 1.0)
        cabins = abs(self.into_cabins - (held[1] - self.held[1])) / max(self.moved_cabins, 1.0)
        return max(water, cabins)


def pulled(
    vessel: Vessel,
    record: Record,
    rooms: Rooms,
    stages: Stages,
    tags: tuple[str, ...],
    heating: bool,
    starts_at_hour: float | None,
    time: float,
    held: tuple[float, float],
) -> PullDown:
    """Return a run's figures.

    Parameters
    ----------
    tags : tuple of str
        The chillers.
    time : float [s]
        Its end.
    held : tuple of float [J]
        Heat held by the loop's water and by the cabins at the end.
    """
    hours = np.array(record.time) / _HOUR
    cabin_C = np.array([at.cabin_C for at in record.moments])
    humid = np.array([at.humidity_ratio for at in record.moments])
    rh = np.minimum(relative_humidity(np.clip(cabin_C, *_RH_RANGE_C), humid), 1.0)
    power = np.array(record.power) * 1e-3
    seconds = np.diff(record.time)[:, None]
    compressors = float((power[1:] * seconds).sum()) / _HOUR
    fans = np.array(record.fans) * 1e-3
    pumps = np.full(len(hours), record.pumps_W * 1e-3)
    pumps[0] = 0.0
    return PullDown(
        vessel=vessel,
        starts_at_hour=starts_at_hour,
        heating=heating,
        time_h=hours,
        cabin_C=cabin_C,
        cabin_rh=np.asarray(rh),
        loops=_loops(record, stages, tags),
        chiller_kW=np.array(record.duty) * 1e-3,
        chiller_runs=np.array(record.runs),
        compressor_kW=power,
        pump_kW=pumps,
        fan_kW=fans,
        cabins=_cabins(rooms, hours, cabin_C, rh, heating),
        chillers=_chillers(vessel, stages, tags, time),
        energy=EnergyPulled(
            compressors,
            record.pumps_W * time / _KWH,
            float((fans[1:] * seconds[:, 0]).sum()) / _HOUR,
            record.cooling / _KWH,
            record.error_share(held),
        ),
    )


def _loops(record: Record, stages: Stages, tags: tuple[str, ...]) -> tuple[LoopPulled, ...]:
    entering, leaving = np.array(record.entering), np.array(record.leaving)
    found = []
    for members in stages.loops:
        weight = stages.made.rate[members] / stages.made.rate[members].sum()
        names = tuple(tags[place] for place in members)
        found.append(LoopPulled(names, leaving[:, members] @ weight, entering[:, members] @ weight))
    return tuple(found)


def _cabins(rooms: Rooms, hours: Array, cabin_C: Array, rh: Array, heating: bool) -> tuple[CabinPulled, ...]:
    sign = -1.0 if heating else 1.0
    found = []
    for place, tag in enumerate(rooms.tags):
        wanted = float(rooms.set_point[place])
        near = np.flatnonzero(sign * (cabin_C[:, place] - wanted) <= REACHED_K)
        reached = float(hours[near[0]]) if near.size else None
        own = cabin_C[:, place]
        found.append(CabinPulled(tag, wanted, float(own[0]), float(own[-1]), float(rh[-1, place]), reached))
    return tuple(found)


def _chillers(
    vessel: Vessel, stages: Stages, tags: tuple[str, ...], time: float
) -> tuple[ChillerPulled, ...]:
    volumes = loop_volumes_L(vessel)
    found = []
    for place, tag in enumerate(tags):
        starts = np.array(stages.started[place])
        span = min(_LAST_HOURS * _HOUR, time)
        late = int((starts[1:] > time - span).sum())
        runs = stages.ran[place]
        going = time - stages.since[place] if stages.runs[place] else 0.0
        found.append(
            ChillerPulled(
                tag=tag,
                loop_L=volumes.get(tag, 0.0),
                starts=len(starts),
                starts_h=late / (span / _HOUR),
                most_starts_h=_busiest(starts),
                shortest_run_min=float(min(runs)) / 60.0 if runs else None,
                run_share=float((sum(runs) + going) / time),
                trips=tuple((when / _HOUR, TRIPS[trip]) for when, trip in stages.trips[place]),
                still=TRIPS[stages.why_still(place)],
            )
        )
    return tuple(found)


def _busiest(starts: Array) -> int:
    """Return the most starts within any hour."""
    ends = np.searchsorted(starts, starts + _HOUR)
    return int((ends - np.arange(len(starts))).max(initial=0))
