# SPDX-License-Identifier: MIT
"""What the rules look at: a vessel, perhaps its results, and what is worked out from them once."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from functools import cached_property
from typing import Any, Literal, NamedTuple, TypeVar

import numpy as np
from numpy.typing import NDArray

from solver.circuits import Circuits
from solver.findings.wording import Wording
from solver.parts.pipe_sizes import pipe_size
from solver.parts.valves import regulating_valve_kv
from solver.results import AirHandlerFigures, Circuit, HeatResults, Results
from solver.vessel.components import (
    AirHandler,
    Chiller,
    CirculationPump,
    Component,
    IsolatingValve,
    Overboard,
    RegulatingValve,
    SeaWaterPump,
    ThroughHull,
    TwoWayValve,
)
from solver.vessel.heights import HeightConflict, Heights
from solver.vessel.run import Run
from solver.vessel.vessel import Vessel

Kind = TypeVar("Kind", bound=Component)
Item = TypeVar("Item")


class Verdict(NamedTuple):
    """What a rule says; the table gives it the rule's name."""

    severity: Literal["bad", "warn", "note"]
    problem: str
    cause: str = ""
    cure: str = ""
    tags: tuple[str, ...] = ()


#: Flow below which water counts as standing [L/s]: less than a cubic centimetre in a minute.
_STILL = 1e-5
#: How many findings of one rule are told one by one.
MOST_OF_A_KIND = 12


def each_of(
    items: Sequence[Item],
    judge: Callable[[Item], Verdict],
    tag_of: Callable[[Item], str],
    more: Callable[[int], str],
) -> Iterator[Verdict]:
    """Judge items one by one, worst first; what comes after the first dozen is told in one verdict.

    Parameters
    ----------
    items : sequence
        Worst first.
    judge : callable
        Item -> its verdict.
    tag_of : callable
        Item -> its tag, for the verdict that stands for the rest.
    more : callable
        How many are left -> what is told of them.
    """
    for item in items[:MOST_OF_A_KIND]:
        last = judge(item)
        yield last
    rest = items[MOST_OF_A_KIND:]
    if rest:
        yield Verdict(last.severity, more(len(rest)), tags=tuple(tag_of(item) for item in rest))


class Loop:
    """A circuit of the drawing: parts that hang together.

    Parameters
    ----------
    number : int
        Number of the region its points lie in.
    components : list of Component
    """

    def __init__(self, number: int, components: list[Component]):
        self.number, self.components = number, components
        self._by_kind: dict[type[Component], list[Any]] = {}
        for part in components:
            self._by_kind.setdefault(type(part), []).append(part)
        self.is_sea = self.has(ThroughHull, Overboard, SeaWaterPump)

    def has(self, *kinds: type[Component]) -> bool:
        """Return whether a component of one of some kinds is in it."""
        return any(kind in self._by_kind for kind in kinds)

    def of(self, *kinds: type[Kind]) -> list[Kind]:
        """Return its components of some kinds, kind by kind."""
        return [part for kind in kinds for part in self._by_kind.get(kind, ())]


class Side(NamedTuple):
    """The way from a port to the first junction: links, the ports passed, and the point it ends at.

    ``comes_back`` says that it leads round to the component it started from.
    """

    links: list[int]
    end: int
    comes_back: bool


class Case:
    """A vessel to be judged.

    Parameters
    ----------
    vessel : Vessel
    results : Results or None
        None for a drawing that is not, or cannot be, solved.
    circuits : Circuits, optional
        The circuits of these results, where they are at hand already.
    """

    def __init__(self, vessel: Vessel, results: Results | None, circuits: Circuits | None = None):
        self.vessel = vessel
        self.say = Wording(vessel.units)
        self.joints = vessel.joints
        self._results = results
        self._circuits = circuits
        self._sides: dict[tuple[str, str], Side] = {}

    @property
    def results(self) -> Results:
        """The results; rules that need them are asked only where there are some."""
        if self._results is None:
            raise LookupError("this rule needs results")
        return self._results

    @property
    def heat(self) -> HeatResults:
        """Temperatures; rules that need them are asked only where there are some."""
        if self.results.heat is None:
            raise LookupError("this rule needs temperatures")
        return self.results.heat

    @property
    def is_heating(self) -> bool:
        """Whether the current conditions ask for heating."""
        return self.vessel.current_conditions.mode == "heating"

    @property
    def off_side(self) -> str:
        """On which side of its set point a cabin is that its air handlers cannot hold."""
        return "below" if self.is_heating else "above"

    @property
    def has_results(self) -> bool:
        """Whether the vessel is solved."""
        return self._results is not None

    @cached_property
    def circuits(self) -> Circuits:
        """The circuits by the solved flows."""
        return self._circuits or Circuits(self.vessel, self.results.links, self.results.port_kPa)

    @cached_property
    def index(self) -> Circuit | None:
        """The index circuit."""
        return self.results.index_circuit or self.circuits.index()

    @cached_property
    def flow(self) -> dict[str, float]:
        """Link -> solved flow [L/s], 0 where nothing flows."""
        return {
            tag: 0.0 if abs(figures.flow_L_s) < _STILL else figures.flow_L_s
            for tag, figures in self.results.links.items()
        }

    @cached_property
    def branch_at_design(self) -> dict[str, tuple[int, float]]:
        """Air handler -> number of its circuit, and what its branch as set takes at design flow [kPa]."""
        found = {}
        for one in self.results.air_handlers.values():
            available = self.circuits.available_kPa(one.tag)
            if available is not None and one.share_of_design:
                part = self.vessel.component_by_tag[one.tag]
                found[one.tag] = (self.loop_number(part), available / abs(one.share_of_design) ** 1.9)
        return found

    def loop_number(self, part: Component) -> int:
        """Return the number of the circuit a component's first port lies in."""
        return int(self.regions[self.joints.point_of[part.tag, part.ports[0]]])

    def loop_of_link(self, tag: str) -> int:
        """Return the number of the circuit a link lies in."""
        return int(self.regions[self.joints.start[self.joints.index_of[tag]]])

    @cached_property
    def overfed(self) -> list[AirHandlerFigures]:
        """Air handlers above their largest share of design flow in whole percent, the worst first."""
        limit = self.vessel.limits.share_max_percent / 100.0
        over = [one for one in self.results.air_handlers.values() if one.share_of_design > limit + 0.005]
        return sorted(over, key=lambda one: -one.share_of_design)

    @cached_property
    def _by_kind(self) -> dict[type[Component], list[Any]]:
        found: dict[type[Component], list[Any]] = {}
        for part in self.vessel.components:
            found.setdefault(type(part), []).append(part)
        return found

    def of(self, kind: type[Kind]) -> list[Kind]:
        """Return all components of one kind, in file order."""
        return self._by_kind.get(kind, [])

    def part_of(self, link: int) -> Component | None:
        """Return the component a link leads through, None for a run."""
        if link < self.joints.run_count:
            return None
        return self.vessel.component_by_tag[self.joints.start_port[link][0]]

    def links_of(self, *kinds: type[Component]) -> list[int]:
        """Return the links through components of some kinds."""
        number = self.joints.index_of
        return [number[part.tag] for kind in kinds for part in self._by_kind.get(kind, ())]

    def point(self, tag: str, port: str) -> int:
        """Return the point of a port."""
        return self.joints.point_of[tag, port]

    @cached_property
    def regions(self) -> NDArray[np.int32]:
        """Number of the circuit each point lies in."""
        return self.joints.circuits

    @cached_property
    def loops(self) -> list[Loop]:
        """The circuits of the drawing, those of two components or more, in file order.

        A chiller belongs to the loop of its evaporator.
        """
        members: dict[int, list[Component]] = {}
        number_of = self.regions.tolist()
        for part in self.vessel.components:
            number = number_of[self.joints.point_of[part.tag, part.ports[0]]]
            members.setdefault(number, []).append(part)
        return [Loop(number, parts) for number, parts in members.items() if len(parts) > 1]

    @cached_property
    def fresh_loops(self) -> list[Loop]:
        """The closed circuits that hold an air handler, a chiller or a circulation pump."""
        return [
            loop for loop in self.loops if not loop.is_sea and loop.has(AirHandler, Chiller, CirculationPump)
        ]

    @cached_property
    def sea_regions(self) -> set[int]:
        """Numbers of the circuits that carry sea water."""
        return {loop.number for loop in self.loops if loop.is_sea}

    @cached_property
    def _moving(self) -> tuple[list[tuple[Run, float, float]], list[tuple[Run, float, float]]]:
        links, flow, sea = self.results.links, self.flow, self.sea_regions
        number_of = self.regions.tolist()
        found: tuple[list[tuple[Run, float, float]], list[tuple[Run, float, float]]] = ([], [])
        for run, point in zip(self.vessel.runs, self.joints.start, strict=False):
            if flow.get(run.tag):
                figures = links[run.tag]
                row = (run, abs(figures.velocity_m_s or 0.0), figures.loss_Pa_m or 0.0)
                found[number_of[point] in sea].append(row)
        return found

    @property
    def moving_runs(self) -> list[tuple[Run, float, float]]:
        """Fresh-water runs in which water moves, with velocity [m/s] and loss [Pa/m]."""
        return self._moving[False]

    @property
    def moving_sea_runs(self) -> list[tuple[Run, float, float]]:
        """The same of sea-water runs."""
        return self._moving[True]

    @cached_property
    def height(self) -> Mapping[str, float]:
        """Component -> height above the waterline [m]."""
        return self._heights.by_tag

    @cached_property
    def assumed_heights(self) -> frozenset[str]:
        """Components whose height nothing in the vessel fixes."""
        return self._heights.assumed

    @cached_property
    def _heights(self) -> Heights:
        return self.vessel.heights

    @property
    def height_conflicts(self) -> tuple[HeightConflict, ...]:
        """Runs whose rise contradicts the heights at their ends."""
        return self._heights.conflicts

    def bore_mm(self, run: Run) -> float:
        """Return the bore of a run."""
        return pipe_size(run.series, run.size).bore_mm

    @cached_property
    def is_shut(self) -> set[int]:
        """Links that are shut by the position of a valve."""
        number = self.joints.index_of
        shut = {number[valve.tag] for valve in self.of(IsolatingValve) if valve.opening_percent <= 0.0}
        shut |= {number[valve.tag] for valve in self.of(TwoWayValve) if valve.position_percent <= 0.0}
        return shut | {
            number[valve.tag]
            for valve in self.of(RegulatingValve)
            if regulating_valve_kv(valve.kv_table, valve.setting) <= 0.0
        }

    @cached_property
    def is_live(self) -> list[bool]:
        """Whether water can pass through each link: it lies between two others, not on a dead end.

        The sea is no dead end, so through-hulls and overboards count as going on.
        """
        joints = self.joints
        degree = [len(links) for links in joints.at]
        for part in (*self.of(ThroughHull), *self.of(Overboard)):
            degree[self.point(part.tag, "connection")] += 1
        live = [True] * len(joints.tags)
        waiting = [point for point, count in enumerate(degree) if count == 1]
        while waiting:
            point = waiting.pop()
            for link in joints.at[point]:
                if live[link]:
                    live[link] = False
                    other = joints.other_end(link, point)
                    degree[point] -= 1
                    degree[other] -= 1
                    if degree[other] == 1:
                        waiting.append(other)
        return live

    def standing(self, starts: list[int]) -> set[int]:
        """Return the links without flow that hang together with some links, those included."""
        joints = self.joints
        found = set(starts)
        waiting = [point for link in starts for point in (joints.start[link], joints.end[link])]
        seen = set(waiting)
        while waiting:
            point = waiting.pop()
            for link in joints.at[point]:
                if link in found or self.flow.get(joints.tags[link]):
                    continue
                found.add(link)
                other = joints.other_end(link, point)
                if other not in seen:
                    seen.add(other)
                    waiting.append(other)
        return found

    def side(self, tag: str, port: str) -> Side:
        """Return the way from a component's port on to the first junction; dead ends do not branch."""
        if (tag, port) not in self._sides:
            self._sides[tag, port] = self._walk(tag, self.point(tag, port))
        return self._sides[tag, port]

    def _walk(self, tag: str, point: int) -> Side:
        joints, live = self.joints, self.is_live
        came = joints.index_of[tag]
        links: list[int] = []
        seen = {came}
        while True:
            onward = [link for link in joints.at[point] if link != came and live[link]]
            if len(onward) != 1:
                return Side(links, point, False)
            came = onward[0]
            if came in seen:
                return Side(links, point, came == joints.index_of[tag])
            seen.add(came)
            links.append(came)
            point = joints.other_end(came, point)

    def branch(self, part: Component) -> tuple[Side, Side]:
        """Return the ways from a component's first two ports to the junctions either side of it."""
        first, second = part.ports[:2]
        return self.side(part.tag, first), self.side(part.tag, second)

    def run_name(self, run: Run) -> str:
        """Return a run with its size: ``R-31 (12x1.0)``."""
        return f"{run.tag} ({run.size})"
