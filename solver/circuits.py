# SPDX-License-Identifier: MIT
"""The way of water from a pump through an air handler and back, and the index circuit.

A circuit follows the solved flows: from the air handler upstream along the largest inflow at each
point to a running pump's outlet, and downstream along the largest outflow to a running pump's
inlet.  Where pumps run in parallel, the way out starts at the pump that the way back reaches; a
pump fed by another pump (in series) is part of the way.

What a circuit needs is what its water would need at its design flow with its own valve open: the
losses of the parts it shares, as solved, and the losses of its own branch (the parts that carry its
flow alone) at design flow, with regulating and 2-way valves of that branch wide open and a
constant-flow valve at the least drop at which it works.  The index circuit is the one that needs
most.  This is how an index circuit is picked in proportional balancing: the branch that would be
served last when every other one has its share (common practice).
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import cached_property
from typing import TYPE_CHECKING, NamedTuple

import numpy as np
from numpy.typing import NDArray

from solver.parts.pipe import blend, friction_number
from solver.parts.rated_drop import power_law
from solver.parts.valves import control_valve_kv, regulating_valve_kv
from solver.results import Circuit, CircuitStep, LinkFigures
from solver.vessel.components import (
    AirHandler,
    Chiller,
    Component,
    ConstantFlowValve,
    FlexibleHose,
    Pump,
    RegulatingValve,
    TwoWayValve,
)

if TYPE_CHECKING:
    from solver.vessel.vessel import Vessel

#: Flow below which nothing counts as flowing [L/s].
STILL = 1e-7
#: Two links carry the same water if their flows differ by no more than this share.
_SAME_FLOW = 1e-6


Array = NDArray[np.float64]


class Branch(NamedTuple):
    """The parts that carry one air handler's flow alone, in order of flow, and its two ends."""

    links: list[int]
    start: int
    end: int


class _Reach(NamedTuple):
    """Loss between a point and a pump [kPa], and the pump's link; none if no pump is met."""

    loss: float
    pump: int | None


class Circuits:
    """The circuits of a solved vessel.

    Parameters
    ----------
    vessel : Vessel
    links : mapping of str to LinkFigures
        The solved links by tag; a link that is not in it carries nothing.
    port_kPa : mapping of (tag, port) to float or None
        Gauge pressure at each port.
    """

    def __init__(
        self,
        vessel: Vessel,
        links: Mapping[str, LinkFigures],
        port_kPa: Mapping[tuple[str, str], float | None],
    ):
        self.vessel, self.links, self.port_kPa = vessel, links, port_kPa
        self.joints = vessel.joints
        self._pumps = {
            self.joints.index_of[part.tag]
            for part in vessel.components
            if isinstance(part, Pump) and part.running and part.speed_percent > 0.0
        }
        self._figures = [links.get(tag) for tag in self.joints.tags]
        self._flow = [
            0.0 if one is None or -STILL < one.flow_L_s < STILL else one.flow_L_s for one in self._figures
        ]
        #: Loss of each link in the direction of its flow [kPa].
        self._loss = [
            0.0 if one is None or flow == 0.0 else one.loss_kPa if flow > 0.0 else -one.loss_kPa
            for one, flow in zip(self._figures, self._flow, strict=True)
        ]
        ends = list(zip(self._flow, self.joints.start, self.joints.end, strict=True))
        #: Points where water enters and leaves each link.
        self._source = [start if flow >= 0.0 else end for flow, start, end in ends]
        self._target = [end if flow >= 0.0 else start for flow, start, end in ends]
        self._feed, self._drain = self._largest()
        self._branches: dict[str, Branch | None] = {}
        self._up: dict[int, _Reach] = {}
        self._down: dict[int, _Reach] = {}

    def _largest(self) -> tuple[list[int | None], list[int | None]]:
        """Return the link with the largest flow into each point, and out of it."""
        feed: list[int | None] = [None] * self.joints.point_count
        drain: list[int | None] = [None] * self.joints.point_count
        most_in, most_out = [0.0] * len(feed), [0.0] * len(feed)
        for link, (flow, source, target) in enumerate(
            zip(self._flow, self._source, self._target, strict=True)
        ):
            size = abs(flow)
            if size > most_in[target]:
                most_in[target], feed[target] = size, link
            if size > most_out[source]:
                most_out[source], drain[source] = size, link
        return feed, drain

    @cached_property
    def _boosters(self) -> set[int]:
        """Running pumps that another running pump feeds before any air handler does."""
        air_handlers = {
            self.joints.index_of[part.tag] for part in self.vessel.components if isinstance(part, AirHandler)
        }
        found = set()
        for pump in self._pumps:
            if self._flow[pump] <= 0.0:
                continue
            point, seen = self._source[pump], set()
            while (link := self._feed[point]) is not None and point not in seen:
                seen.add(point)
                if link in self._pumps or link in air_handlers:
                    if link in self._pumps and link != pump:
                        found.add(pump)
                    break
                point = self._source[link]
        return found

    def _reach(self, point: int, upstream: bool) -> _Reach:
        """Return the loss from the pump to a point, or from it to the pump; kept for every point passed."""
        known = self._up if upstream else self._down
        towards = self._feed if upstream else self._drain
        passed: list[tuple[int, float]] = []
        on_the_way: set[int] = set()
        while point not in known:
            link = towards[point]
            if link is None or point in on_the_way:
                known[point] = _Reach(0.0, None)
            elif link in self._pumps and not (upstream and link in self._boosters):
                known[point] = _Reach(0.0, link)
            else:
                on_the_way.add(point)
                passed.append((point, 0.0 if link in self._pumps else self._loss[link]))
                point = (self._source if upstream else self._target)[link]
        reach = known[point]
        for before, loss in reversed(passed):
            reach = _Reach(reach.loss + loss, reach.pump)
            known[before] = reach
        return reach

    def branch(self, air_handler: str) -> Branch | None:
        """Return the parts that carry an air handler's flow alone, None if nothing flows in it."""
        if air_handler not in self._branches:
            self._branches[air_handler] = self._find_branch(self.joints.index_of[air_handler])
        return self._branches[air_handler]

    def _find_branch(self, unit: int) -> Branch | None:
        flow = abs(self._flow[unit])
        if flow == 0.0:
            return None
        first, last = self._source[unit], self._target[unit]
        seen = {unit}
        before, first = self._alone(first, True, flow, seen)
        after, last = self._alone(last, False, flow, seen)
        return Branch([*reversed(before), unit, *after], first, last)

    def _alone(self, point: int, upstream: bool, flow: float, seen: set[int]) -> tuple[list[int], int]:
        """Return the links with the same flow, walked from a point, and the point they end at."""
        towards, beyond = (self._feed, self._source) if upstream else (self._drain, self._target)
        links: list[int] = []
        while (link := towards[point]) is not None and link not in seen and link not in self._pumps:
            if abs(abs(self._flow[link]) - flow) > _SAME_FLOW * flow:
                break
            seen.add(link)
            links.append(link)
            point = beyond[link]
        return links, point

    def loss_kPa(self, link: int) -> float:
        """Return the loss of a link in the direction of its flow [kPa]."""
        return self._loss[link]

    def open_share(self, link: int) -> float:
        """Return what a valve would take wide open as a share of what it takes; 1 for other parts."""
        return _open_share(self.vessel.component_by_tag[self.joints.end_port[link][0]])

    def available_kPa(self, air_handler: str) -> float | None:
        """Return the difference between supply and return at the ends of an air handler's branch.

        It is what the branch takes at the solved flow; heights do not count in it.
        """
        branch = self.branch(air_handler)
        return None if branch is None else sum(self._loss[link] for link in branch.links)

    @cached_property
    def branch_needs_kPa(self) -> dict[str, float]:
        """Air handler -> what its own branch takes at design flow with its valves open [kPa].

        Pipe friction goes with f * Re**2 of a smooth tube, so that laminar branches are taken for
        what they are; fittings and valves with the square of the flow; coils with their exponent.
        Air handlers without flow are not in it.
        """
        units: list[str] = []
        ratios: list[float] = []
        needs: list[float] = []
        owners: list[int] = []
        runs: list[int] = []
        for part in self.vessel.components:
            if not isinstance(part, AirHandler) or (branch := self.branch(part.tag)) is None:
                continue
            ratio = part.design_flow_L_s / abs(self._flow[self.joints.index_of[part.tag]])
            need = 0.0
            for link in branch.links:
                if link < self.joints.run_count:
                    owners.append(len(units))
                    runs.append(link)
                else:
                    need += self._component_at_design(link, ratio)
            units.append(part.tag)
            ratios.append(ratio)
            needs.append(need)
        total = np.array(needs) + np.bincount(
            owners, self._runs_at_design(runs, np.array(ratios)[owners]), minlength=len(needs)
        )
        return dict(zip(units, total.tolist(), strict=True))

    def _runs_at_design(self, runs: list[int], ratio: Array) -> Array:
        """Return the loss of runs at ``ratio`` times their flow [kPa]."""
        figures = [one for run in runs if (one := self._figures[run]) is not None]
        loss = np.array([abs(one.loss_kPa) for one in figures])
        reynolds = np.array([one.reynolds or 0.0 for one in figures])
        pipe = np.array([abs(one.pipe_kPa) for one in figures])
        smooth = np.zeros(len(runs))
        cubic = blend(smooth)
        now = friction_number(reynolds, smooth, cubic)[0]
        at_design = friction_number(reynolds * ratio, smooth, cubic)[0]
        square = ratio**2
        growth = np.divide(at_design, now, out=square.copy(), where=now > 0.0)
        return np.asarray((loss - pipe) * square + pipe * growth)

    def _component_at_design(self, link: int, ratio: float) -> float:
        """Return the loss of a component at ``ratio`` times its flow with its valve open [kPa]."""
        part = self.vessel.component_by_tag[self.joints.end_port[link][0]]
        loss = self._loss[link]
        if isinstance(part, AirHandler | Chiller):
            return float(loss * ratio ** _exponent(part))
        if isinstance(part, ConstantFlowValve):
            return part.minimum_drop_kPa
        return float(loss * ratio**2 * _open_share(part))

    @cached_property
    def needs_kPa(self) -> dict[str, float]:
        """Air handler -> what its circuit needs [kPa], those with a pump either side only."""
        found = {}
        for tag, own in self.branch_needs_kPa.items():
            branch = self.branch(tag)
            if branch is None:
                continue
            out, back = self._reach(branch.start, True), self._reach(branch.end, False)
            if out.pump is not None and back.pump is not None:
                found[tag] = out.loss + own + back.loss
        return found

    def index(self) -> Circuit | None:
        """Return the circuit that needs most pressure, None if no water flows in any."""
        needs = self.needs_kPa
        return self.circuit(max(needs, key=needs.__getitem__)) if needs else None

    def circuit(self, air_handler: str) -> Circuit | None:
        """Return an air handler's circuit from the pump round to the pump.

        The first step is the pump.  ``total_kPa`` is the gauge pressure brought to the height of
        the pump's outlet: it falls by the losses alone.  None if nothing flows in the air handler
        or no running pump lies either side of it.
        """
        way = self._way(air_handler)
        if way is None:
            return None
        unit = self.joints.index_of[air_handler]
        place = way.index(unit)
        own = set((self.branch(air_handler) or Branch([], 0, 0)).links)
        needed = self.branch_needs_kPa[air_handler] + sum(
            self._loss[link] for link in way if link not in own and link not in self._pumps
        )
        steps = []
        total: float | None = None
        distance = 0.0
        for number, link in enumerate(way):
            port = (self.joints.start_port if self._flow[link] < 0.0 else self.joints.end_port)[link]
            pressure = self.port_kPa.get(port)
            if pressure is None:
                return None
            total = pressure if total is None else total - self._loss[link]
            distance += self._length(link)
            tag = self.joints.tags[link]
            if number == place:
                steps.append(CircuitStep(tag, distance, pressure, total, "unit"))
            else:
                steps.append(
                    CircuitStep(tag, distance, pressure, total, "supply" if number < place else "return")
                )
        return Circuit(air_handler, needed, tuple(steps))

    def _length(self, link: int) -> float:
        if link < self.joints.run_count:
            return self.vessel.runs[link].length_m
        part = self.vessel.component_by_tag[self.joints.end_port[link][0]]
        return part.length_m if isinstance(part, FlexibleHose) else 0.0

    def _way(self, air_handler: str) -> list[int] | None:
        """Return the links from the pump (included) through the air handler to the pump's inlet."""
        unit = self.joints.index_of[air_handler]
        if self._flow[unit] == 0.0:
            return None
        entry, leaving = self._source[unit], self._target[unit]
        if self._reach(entry, True).pump is None or self._reach(leaving, False).pump is None:
            return None
        out: list[int] = []
        point = entry
        while (link := self._feed[point]) is not None:
            out.append(link)
            if link in self._pumps and link not in self._boosters:
                break
            point = self._source[link]
        back: list[int] = []
        point = leaving
        while (link := self._drain[point]) is not None and link not in self._pumps:
            back.append(link)
            point = self._target[link]
        out.reverse()
        return [*self._from_same_pump(out, link), unit, *back]

    def _from_same_pump(self, out: list[int], pump: int | None) -> list[int]:
        """Return the way out, begun at the pump that the way back reaches where that is another one."""
        if pump is None or pump == out[0]:
            return out
        place_of = {self._target[link]: number for number, link in enumerate(out)}
        head, point = [pump], self._target[pump]
        for _ in range(self.joints.point_count):
            if point in place_of:
                return head + out[place_of[point] + 1 :]
            link = self._drain[point]
            if link is None:
                break
            head.append(link)
            point = self._target[link]
        return out


def _exponent(part: AirHandler | Chiller) -> float:
    """Return how the loss of a coil goes with its flow."""
    points = tuple((point.flow_L_s, point.drop_kPa) for point in part.drop_points)
    return power_law(part.rated_flow_L_s, part.rated_drop_kPa, part.drop_exponent, points)[1]


def _open_share(part: Component) -> float:
    """Return the loss with the valve wide open as a share of the loss at its setting; 1 for no valve."""
    if isinstance(part, RegulatingValve):
        return (regulating_valve_kv(part.kv_table, part.setting) / part.kv_table[-1].kv_m3_h) ** 2
    if isinstance(part, TwoWayValve):
        position = part.position_percent / 100.0
        return control_valve_kv(1.0, position, part.characteristic, part.rangeability) ** 2
    return 1.0


def circuit(
    vessel: Vessel,
    links: Mapping[str, LinkFigures],
    port_kPa: Mapping[tuple[str, str], float | None],
    air_handler: str,
) -> Circuit | None:
    """Return the circuit of one air handler; see :meth:`Circuits.circuit`."""
    return Circuits(vessel, links, port_kPa).circuit(air_handler)


def index_circuit(
    vessel: Vessel,
    links: Mapping[str, LinkFigures],
    port_kPa: Mapping[tuple[str, str], float | None],
) -> Circuit | None:
    """Return the circuit that needs most pressure; see :meth:`Circuits.index`."""
    return Circuits(vessel, links, port_kPa).index()
