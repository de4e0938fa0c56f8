# SPDX-License-Identifier: MIT
"""Pull-down and cycling: a vessel's temperatures through hours, from any start.

Flows are those of a solve and stay so: a water valve that a thermostat shuts is taken as one whose water goes
round the coil.  Chillers start and stop by ``solver.heat.staging``, at the very moment; thermostats of cabins
look once a step.  ``docs/physics/pull_down.md`` has the model and its sources.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from solver.errors import CancelledError, NotSolvableError, PartError
from solver.heat.cabin_load import RoomLoads, room_loads
from solver.heat.chiller_lines import Doing, Machines, doing, machines, never_runs
from solver.heat.coil_lines import CoilLines
from solver.heat.pulled import PullDown
from solver.heat.record import Record, pulled
from solver.heat.rooms import Rooms, Units, bounded
from solver.heat.staging import Stages, fan_stages
from solver.heat.storage import Storage, storage
from solver.heat.temperatures import Prepared, prepared
from solver.heat.time_step import ChillerLine, Heats, Moment, TimeStep
from solver.media import moist_air
from solver.network.solution import Solution
from solver.parts.roots import Array
from solver.results import Results
from solver.vessel.components import Chiller
from solver.vessel.joints import connected
from solver.vessel.vessel import Vessel

Indices = NDArray[np.int64]

#: The shortest step to a switch [s].
_LEAST_STEP = 2.0
#: A switch's moment is found by so many halvings of its step: of a minute, to half a second.
_HALVINGS = 7
#: Chillers are taken as lines again until those are this near to their tables, as a share of capacity.
_CHILLER_CLOSE = 2e-3
_CHILLER_ROUNDS = 6
_MOST_STEPS = 50_000
#: Air of a boat that stood shut is as humid as outdoor air, up to this.
_WETTEST_START = 0.95
_RANGE_C = (-20.0, 70.0)


class Start(NamedTuple):
    """How a run starts: cabins with all in them and the loop's water [degC], relative humidity in them.

    None: cabins as warm as outdoor air, with its moisture; water as warm as the cabins.
    """

    cabins_C: float | None = None
    water_C: float | None = None
    rh: float | None = None


class Span(NamedTuple):
    """How long a run is [h], its step [min], and the solar time it starts at; None: loads stand still."""

    hours: float = 12.0
    step_min: float = 1.0
    starts_at_hour: float | None = None


def pull_down(
    results: Results,
    span: Span | None = None,
    start: Start | None = None,
    *,
    thermostat_band_K: float = 1.0,
    loads: RoomLoads | None = None,
    cancelled: Callable[[], bool] = lambda: False,
    progress: Callable[[float], None] = lambda share: None,
) -> PullDown:
    """Return a vessel's temperatures through time.

    Parameters
    ----------
    results : Results
        A solve of the vessel, best with its temperatures: its flows are kept.
    span : Span, optional
    start : Start, optional
    thermostat_band_K : float
        Dead band of the cabins' thermostats (common practice: 1 K).
    loads : RoomLoads, optional
        Loads of the cabins that hold all the time, instead of the document's.
    cancelled : callable
        Asked at every step whether to stop.
    progress : callable
        Told the share done, 0 to 1, a hundred times.

    Raises
    ------
    NotSolvableError
        A figure asked for is outside what is accepted, or a part's figures make no sense.
    CancelledError
        ``cancelled`` said so.
    """
    span, start = span or Span(), start or Start()
    _check(span, start, thermostat_band_K)
    vessel = results.part or results.vessel
    try:
        run = _Run(vessel, results, span, start, thermostat_band_K, _Loads(vessel, span, loads))
    except PartError as error:
        raise NotSolvableError(str(error), error.tags) from None
    steps = int(np.ceil(span.hours * 60.0 / span.step_min - 1e-9))
    told = -1
    for step in range(steps):
        if cancelled():
            raise CancelledError("the pull-down was cancelled")
        if step * 100 // steps > told:
            told = step * 100 // steps
            progress(step / steps)
        run.step()
    progress(1.0)
    return run.found()


def _check(span: Span, start: Start, band: float) -> None:
    low, high = _RANGE_C
    for name, value, least, most, unit in (
        ("hours", span.hours, 0.05, 720.0, " h"),
        ("step", span.step_min, 0.1, 10.0, " min"),
        ("hour of the day", 0.0 if span.starts_at_hour is None else span.starts_at_hour, 0.0, 24.0, " h"),
        ("start temperature of the cabins", _or(start.cabins_C), low, high, " degC"),
        ("start temperature of the water", _or(start.water_C), low, high, " degC"),
        ("start humidity", 100.0 * _or(start.rh), 0.0, 100.0, " %"),
        ("thermostats' dead band", band, 0.1, 10.0, " K"),
    ):
        if not least <= value <= most:
            raise NotSolvableError(f"{name} {value:g}{unit}; accepted: {least:g} to {most:g}{unit}")
    steps = span.hours * 60.0 / span.step_min
    if steps > _MOST_STEPS:
        raise NotSolvableError(
            f"{steps:.0f} steps; accepted: up to {_MOST_STEPS}. Ask for fewer hours or a longer step"
        )


def _or(value: float | None) -> float:
    return 0.5 if value is None else value


class _Ahead(NamedTuple):
    """A state ahead: what moved heat on the way, the chillers' lines, and what they do there."""

    at: Moment
    heats: Heats
    line: ChillerLine
    doing: Doing


class _Run:
    """A run under way."""

    def __init__(
        self, vessel: Vessel, results: Results, span: Span, start: Start, band: float, loads: _Loads
    ):
        self.vessel, self.span, self.band, self.loads = vessel, span, band, loads
        at = results.heat.start.water if results.heat else None
        solution = results.solution
        made = prepared(vessel, solution, at, loads=self.loads.at(0.0))
        self.case = made.case
        self.store: Storage = storage(vessel, solution, made)
        self.equations = TimeStep(made, self.store)
        self.rooms = made.case.rooms
        loads.bound(self.rooms, made.case.units)
        self.sign = -1.0 if made.case.heating else 1.0
        self.machines = machines(made.case.plant, made.case.water, made.case.heating)
        self.stages = _stages(vessel, solution, made, self.machines)
        self.now = _first_moment(made, start)
        self.lines = CoilLines(made.case.units, made.case.water.rate[made.case.unit_links])
        self.fans = fan_stages(
            self.rooms,
            self.case.units,
            np.zeros(len(self.case.units.tags), dtype=np.int64),
            self.now.cabin_C,
            band,
            self.sign,
        )
        self.time = 0.0
        self.doing = self._doing(self.now)
        self._turn_switches()
        pumps = sum(figures.power_W or 0.0 for figures in results.pumps.values())
        self.record = Record(pumps, self.equations.held(self.now))
        self.record.first(self.now, self._entering(self.now)[0], self.doing.leaving_C)

    def step(self) -> None:
        """Go on by one step, in pieces where a chiller starts or stops."""
        left = self.span.step_min * 60.0
        if self.loads.vary:
            middle = (self.time + left / 2.0) / 3600.0
            self.rooms = self.rooms._replace(loads=self.loads.at(middle))
        while left > 1e-6:
            left -= self._piece(left)
        entering = self._entering(self.now)[0]
        self.record.end_step(self.time, self.now, self.span.step_min * 60.0, entering, self.doing.leaving_C)
        self.fans = fan_stages(self.rooms, self.case.units, self.fans, self.now.cabin_C, self.band, self.sign)

    def _piece(self, longest: float) -> float:
        """Go on to the next switch or by ``longest`` [s], and return how far."""
        self.lines.move_to(self.equations.entering(self.now))
        seconds = longest
        ahead = self._ahead(seconds)
        until = self._until_switch(seconds, ahead)
        if until < seconds:
            seconds = max(until, min(_LEAST_STEP, longest))
            ahead = self._ahead(seconds)
        self._keep(seconds, ahead)
        self.time += seconds
        self.now, self.doing = ahead.at, ahead.doing
        self._turn_switches()
        return seconds

    def _keep(self, seconds: float, ahead: _Ahead) -> None:
        power = (self.doing.power + ahead.doing.power) / 2.0
        duty = ahead.line.duty_at(ahead.at.node_C[self.equations.up])
        fans = float(self.case.units.heat[np.arange(len(self.fans)), self.fans].sum())
        self.record.add(seconds, ahead.heats, duty, power, self.stages.runs, fans)

    # Chillers at a moment.

    def _entering(self, at: Moment) -> tuple[Array, Array]:
        """Return loop and sea water that enter the chillers [degC]."""
        plant, water = self.case.plant, self.case.water
        sea = np.full(len(plant.links), plant.sea_C)
        wet = self.equations.wet
        sea[wet] = at.node_C[water.up[plant.sea_links[wet]]]
        return at.node_C[self.equations.up], sea

    def _doing(self, at: Moment) -> Doing:
        return doing(self.case.plant, self.machines, self.stages.runs, *self._entering(at))

    def _turn_switches(self) -> None:
        """Carry out the switches that are due now."""
        entering = self._entering(self.now)[0]
        for _ in range(2 * len(self.stages.runs) + 1):
            switch = self.stages.wanted(self.time, entering, self.doing)
            if switch is None:
                return
            self.stages.do(switch, self.time)
            self.doing = self._doing(self.now)

    def _until_switch(self, seconds: float, ahead: _Ahead) -> float:
        """Return how long until a switch acts on the straight way to a state [s]; all if none does."""
        first, last = (np.stack(self._entering(at)) for at in (self.now, ahead.at))
        if self.stages.wanted(self.time + seconds, last[0], ahead.doing) is None:
            return seconds
        low, high = 0.0, 1.0
        for _ in range(_HALVINGS):
            half = (low + high) / 2.0
            between = first + half * (last - first)
            state = doing(self.case.plant, self.machines, self.stages.runs, *between)
            if self.stages.wanted(self.time + half * seconds, between[0], state) is None:
                low = half
            else:
                high = half
        return high * seconds

    def _ahead(self, seconds: float) -> _Ahead:
        """Return the state ``seconds`` on: the coils' lines stay, the chillers' are taken until they fit."""
        coils = self.lines.at_stage(self.fans)
        up, state = self.equations.up, self.doing
        line = ChillerLine(self.now.node_C[up], state.duty, state.slope, state.into_sea)
        for _ in range(_CHILLER_ROUNDS):
            after, heats = self.equations.solve(seconds, self.now, self.rooms, coils, line)
            entering = after.node_C[up]
            state = self._doing(after)
            apart = np.abs(line.duty_at(entering) - state.duty)
            if (apart <= _CHILLER_CLOSE * self.stages.capacity).all():
                break
            line = ChillerLine(entering, state.duty, state.slope, state.into_sea)
        return _Ahead(after, heats, line, state)

    def found(self) -> PullDown:
        """Return the whole run."""
        return pulled(
            self.vessel,
            self.record,
            self.rooms,
            self.stages,
            self.case.plant.tags,
            self.case.heating,
            self.span.starts_at_hour,
            self.time,
            self.equations.held(self.now),
        )


class _Loads:
    """Loads of the cabins through the day: worked out on the hour, straight between."""

    def __init__(self, vessel: Vessel, span: Span, given: RoomLoads | None):
        self.start = None if given is not None else span.starts_at_hour
        if self.start is None:
            self.still = room_loads(vessel) if given is None else given
            return
        count = min(int(np.ceil(span.hours)) + 1, 25)
        self.hourly = [room_loads(vessel, (self.start + hour) % 24.0) for hour in range(count)]

    def bound(self, rooms: Rooms, units: Units) -> None:
        """See to it that no load warms a cabin without end, as the steady balance does."""
        if self.vary:
            fans = np.zeros(len(rooms.tags))
            np.add.at(fans, rooms.cabin, rooms.share * units.heat.max(axis=1)[rooms.unit])
            self.hourly = [bounded(loads, rooms.set_point, fans) for loads in self.hourly]

    @property
    def vary(self) -> bool:
        """Whether they change with the time of day."""
        return self.start is not None

    def at(self, hours: float) -> RoomLoads:
        """Return the loads so many hours after the start."""
        if self.start is None:
            return self.still
        place = hours % 24.0
        first = min(int(place), len(self.hourly) - 2)
        part = place - first
        one, two = self.hourly[first], self.hourly[first + 1]
        mixed = {
            name: (1.0 - part) * getattr(one, name) + part * getattr(two, name)
            for name in ("gain_W", "conductance_W_K", "ambient_C", "outdoor_air_kg_s", "outdoor_C")
        }
        for name in ("outdoor_humidity_ratio", "moisture_kg_s"):
            mixed[name] = (1.0 - part) * getattr(one, name) + part * getattr(two, name)
        return one._replace(**mixed)


def _stages(vessel: Vessel, solution: Solution, made: Prepared, of: Machines) -> Stages:
    plant, water = made.case.plant, made.case.water
    parts = [part for part in vessel.components if isinstance(part, Chiller) and part.tag in plant.tags]
    minute = np.array([[c.dead_band_K, c.minimum_run_min * 60.0, c.minimum_stop_min * 60.0] for c in parts])
    band, least_run, least_stop = minute.reshape(-1, 3).T
    flows = water.rate > 0.0
    region = connected(
        len(water.node_gain), water.up[flows].astype(np.int32), water.down[flows].astype(np.int32)
    )
    never = never_runs(plant, water)
    capacity = np.array(
        [machine.usual_capacity if machine is not None else 0.0 for machine in of.each], dtype=float
    )
    return Stages(
        of,
        region[water.down[plant.links]].astype(np.int64),
        capacity,
        band,
        least_run,
        least_stop,
        np.array([law.freezing_C for law in plant.laws]),
        never,
    )


def _first_moment(made: Prepared, start: Start) -> Moment:
    case = made.case
    loads = case.rooms.loads
    cabins = len(case.rooms.tags)
    warm = (
        np.array(loads.outdoor_C, dtype=float) if start.cabins_C is None else np.full(cabins, start.cabins_C)
    )
    if start.rh is None:
        most = moist_air.humidity_ratio(warm, _WETTEST_START)
        humid = np.minimum(np.array(loads.outdoor_humidity_ratio, dtype=float), most)
    else:
        humid = np.asarray(moist_air.humidity_ratio(warm, start.rh))
    if start.water_C is not None:
        water = start.water_C
    else:
        water = float(warm.mean()) if cabins else (start.cabins_C or case.plant.sea_C)
    node = np.full(len(case.water.node_gain), water)
    ends = np.concatenate((case.water.up[made.sea_links], case.water.down[made.sea_links]))
    node[ends] = case.plant.sea_C
    return Moment(node, warm.copy(), warm.copy(), humid)
