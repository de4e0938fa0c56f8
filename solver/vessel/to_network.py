# SPDX-License-Identifier: MIT
"""The only place that turns a drawing into a network.

A point of the drawing (a port, or ports without a loss between them) becomes a node; a run or a way
through a component becomes a link of the same tag.  Document units become SI here and in
``part_links``.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import cached_property
from typing import NamedTuple

import numpy as np

from solver.errors import PartError
from solver.network.network import GRAVITY, Link, Medium, Network, Node, Passive, TeeJoint
from solver.parts.fittings import EXIT_K, NOZZLE_ENTRANCE_K, fitting_loss, reducer
from solver.parts.pipe_sizes import pipe_size
from solver.vessel.components import (
    AirVent,
    BufferTank,
    Component,
    Drain,
    ExpansionVessel,
    FlowMeter,
    Manifold,
    Overboard,
    PressureGauge,
    Tee,
    TemperatureGauge,
    ThroughHull,
)
from solver.vessel.joints import Joints
from solver.vessel.liquids import LOOP, SEA, Liquids, liquids, media_at, medium, sea_circuits
from solver.vessel.part_links import Ends, component_link
from solver.vessel.run import End, Run
from solver.vessel.vessel import Vessel
from solver.vessel.ways import one_point, ways

#: Kinds at whose ports a run loses an entrance or exit loss.
_NOZZLES = frozenset((Manifold, Overboard))
#: Kinds a run goes straight on through, to a run that may be of another size.
_STRAIGHT = frozenset((Tee, AirVent, Drain, PressureGauge, TemperatureGauge, FlowMeter))
#: Kinds that hold a pressure.
_HOLDERS = frozenset((ExpansionVessel, ThroughHull, Overboard))


class EndLoss(NamedTuple):
    """What one end of a run adds: K of flow into the component there and out of it, and a Kv."""

    into: float = 0.0
    out: float = 0.0
    kv: float = np.inf


_NO_LOSS = EndLoss()
_NOZZLE_LOSS = EndLoss(EXIT_K, NOZZLE_ENTRANCE_K)


class Temperatures(NamedTuple):
    """The liquids at their mean temperatures, and the temperature of each link by tag [degC]."""

    liquids: Liquids
    of_link: Mapping[str, float]

    def apart(self, other: Temperatures) -> float:
        """Return the most that a link's water differs by from another [K]; infinite for other links."""
        if self.of_link.keys() != other.of_link.keys():
            return np.inf
        return max((abs(temp - other.of_link[tag]) for tag, temp in self.of_link.items()), default=0.0)


class Drawing:
    """A vessel on its way to a network: its points, circuits and liquids.

    Parameters
    ----------
    vessel : Vessel
    water : Temperatures, optional
        Of the liquids; without, those of the document, everywhere the same.

    Raises
    ------
    PartError
        A size, fitting or table of a part makes no sense.
    NotSolvableError
        The liquid is frozen or outside its tables.
    """

    def __init__(self, vessel: Vessel, water: Temperatures | None = None):
        self.vessel = vessel
        self.joints: Joints = vessel.joints
        self.node_tags = self._node_tags()
        self.circuit: list[int] = self.joints.circuits.tolist()
        self.sea_circuits = sea_circuits(vessel)
        kinds = liquids(vessel) if water is None else water.liquids
        self.media: tuple[Medium, ...] = (medium(kinds.loop), medium(kinds.sea))
        self._own_medium: dict[str, int] = {}
        if water is not None:
            self._take_temps(water)

    def _take_temps(self, water: Temperatures) -> None:
        """Give each link a liquid of its own, at its own temperature."""
        of_kind: tuple[list[str], list[str]] = ([], [])
        for tag, start in zip(self.joints.tags, self.joints.start, strict=True):
            if tag in water.of_link:
                of_kind[self.medium_of(start)].append(tag)
        for liquid, tags in zip(water.liquids, of_kind, strict=True):
            first = len(self.media)
            self.media += tuple(media_at(liquid, np.array([water.of_link[tag] for tag in tags])))
            self._own_medium.update(zip(tags, range(first, len(self.media)), strict=True))

    def _node_tags(self) -> list[str]:
        tags = [""] * self.joints.point_count
        for (tag, port), point in self.joints.point_of.items():
            if not tags[point]:
                tags[point] = f"{tag}/{port}"
        return tags

    @cached_property
    def bore_at(self) -> dict[tuple[str, str], float]:
        """(tag, port) -> bore [m] of the run there."""
        bores: dict[tuple[str, str], float] = {}
        for run in self.vessel.runs:
            bores[run.start] = bores[run.end] = self.size_of(run)[0]
        return bores

    def size_of(self, run: Run) -> tuple[float, float]:
        """Return bore and roughness of a run [m]."""
        try:
            size = pipe_size(run.series, run.size)
        except PartError as error:
            raise PartError(f"{run.tag}: {error}", (run.tag,)) from None
        return size.bore_mm * 1e-3, size.roughness_mm * 1e-3

    def medium_of(self, point: int) -> int:
        """Return which liquid is at a point."""
        return SEA if self.circuit[point] in self.sea_circuits else LOOP

    def _ends(self, tag: str, start: int, end: int) -> Ends:
        medium_index = self._own_medium.get(tag)
        if medium_index is None:
            medium_index = self.medium_of(start)
        return Ends(tag, self.node_tags[start], self.node_tags[end], medium_index)

    def network(self) -> Network:
        """Return the network.

        Raises
        ------
        PartError
            A part's data make no sense.
        """
        joints = self.joints
        used = [False] * joints.point_count
        links: list[Link] = []
        for run, start, end in zip(self.vessel.runs, joints.start, joints.end, strict=False):
            used[start] = used[end] = True
            links.append(self.run_link(run, self._ends(run.tag, start, end)))
        place = joints.run_count
        for component in self.vessel.components:
            for _ in ways(component):
                start, end = joints.start[place], joints.end[place]
                if used[start] or used[end]:
                    used[start] = used[end] = True
                    ends = self._ends(joints.tags[place], start, end)
                    links.append(self._component_link(component, ends))
                place += 1
        held, sea_nodes = self._held(links)
        nodes = [
            Node(tag, self.height_of_point[point], held.get(point))
            for point, tag in enumerate(self.node_tags)
            if used[point]
        ]
        return Network(
            nodes=(*nodes, *sea_nodes),
            links=tuple(links),
            media=self.media,
            tees=self._tees(),
            lagged_tees=self.vessel.method.tees == "flow_split",
        )

    def _component_link(self, component: Component, ends: Ends) -> Link:
        try:
            return component_link(component, ends, self.media[ends.medium], self.bore_at)
        except PartError as error:
            raise PartError(f"{component.tag}: {error}", (component.tag,)) from None

    @cached_property
    def height_of_point(self) -> list[float]:
        """Height of each point above the waterline [m]."""
        by_tag = self.vessel.heights.by_tag
        found = [0.0] * self.joints.point_count
        for (tag, _), point in self.joints.point_of.items():
            found[point] = by_tag[tag]
        return found

    def _held(self, links: list[Link]) -> tuple[dict[int, float], list[Node]]:
        """Return the pressures that expansion vessels and the sea hold, by point, and the sea's nodes.

        A through-hull adds a link from the sea.
        """
        held: dict[int, float] = {}
        sea_nodes: list[Node] = []
        for component in self.vessel.components:
            if type(component) not in _HOLDERS:
                continue
            end = End(component.tag, component.ports[0])
            if end not in self.vessel.runs_at:
                continue
            point = self.joints.point_of[end]
            height = self.height_of_point[point]
            outside = max(-height, 0.0) * self.media[SEA].density * GRAVITY
            if isinstance(component, ExpansionVessel):
                held[point] = component.pressure_kPa * 1e3
            elif isinstance(component, ThroughHull):
                sea_nodes.append(Node(f"{component.tag}/sea", height, outside))
                links.append(_through_hull(component, self.node_tags[point]))
            else:
                held[point] = outside
        return held, sea_nodes

    def run_link(self, run: Run, ends: Ends) -> Passive:
        """Return a run as a link.

        Raises
        ------
        PartError
            Its size or a fitting is not known.
        """
        bore, roughness = self.size_of(run)
        k, k_reynolds = run.extra_k, 0.0
        for fitting in run.fittings:
            try:
                constant, by_reynolds = fitting_loss(fitting.kind, self.vessel.method.fittings, bore)
            except PartError as error:
                raise PartError(f"{run.tag}: {error}", (run.tag,)) from None
            k += fitting.count * constant
            k_reynolds += fitting.count * by_reynolds
        start, end = self._end_losses.get(run.start, _NO_LOSS), self._end_losses.get(run.end, _NO_LOSS)
        return Passive(
            tag=ends.tag,
            start=ends.start,
            end=ends.end,
            medium=ends.medium,
            length=run.length_m,
            bore=bore,
            roughness=roughness,
            k=k + start.out + end.into,
            k_reverse=k + start.into + end.out,
            k_reynolds=k_reynolds,
            kv=_in_series(start.kv, end.kv),
        )

    @cached_property
    def _end_losses(self) -> dict[tuple[str, str], EndLoss]:
        """(tag, port) -> what the run's end there adds, where it adds anything."""
        found: dict[tuple[str, str], EndLoss] = {}
        for component in self.vessel.components:
            kind = type(component)
            if kind is Tee:
                self._change_of_size(component.tag, "run_1", "run_2", found)
            elif kind in _STRAIGHT and one_point(component):
                self._change_of_size(component.tag, "inlet", "outlet", found)
            elif kind in _NOZZLES:
                found.update(((component.tag, port), _NOZZLE_LOSS) for port in component.ports)
            elif isinstance(component, BufferTank):
                loss = EndLoss(kv=component.nozzle_kv_m3_h)
                found.update(((component.tag, port), loss) for port in component.ports)
        return found

    def _change_of_size(self, tag: str, one: str, two: str, found: dict[tuple[str, str], EndLoss]) -> None:
        """Put the loss of a change of size straight through a joint on the smaller run's end."""
        bore_1, bore_2 = self.bore_at.get((tag, one)), self.bore_at.get((tag, two))
        if bore_1 is None or bore_2 is None or abs(bore_1 - bore_2) <= 1e-6 * bore_1:
            return
        smaller = one if bore_1 < bore_2 else two
        narrowing, widening = reducer(max(bore_1, bore_2), min(bore_1, bore_2))
        found[tag, smaller] = EndLoss(into=widening, out=narrowing)

    def _tees(self) -> tuple[TeeJoint, ...]:
        tees = [component for component in self.vessel.components if type(component) is Tee]
        return tuple(joint for tee in tees if (joint := _tee_joint(tee, self.vessel)))


def _in_series(one: float, two: float) -> float:
    """Return the Kv of two in a row; an infinite one takes nothing."""
    return min(one, two) if np.inf in (one, two) else (one**-2 + two**-2) ** -0.5


def _through_hull(component: ThroughHull, inside: str) -> Passive:
    return Passive(
        tag=component.tag,
        start=f"{component.tag}/sea",
        end=inside,
        bore=component.bore_mm * 1e-3,
        k=component.k,
        k_reverse=EXIT_K,
        medium=SEA,
    )


def _tee_joint(tee: Tee, vessel: Vessel) -> TeeJoint | None:
    legs, signs = ["", "", ""], [-1, -1, -1]
    for number, port in enumerate(Tee.PORTS):
        for run in vessel.runs_at.get((tee.tag, port), ()):
            legs[number] = run.tag
            signs[number] = 1 if run.end == (tee.tag, port) else -1
    if not any(legs):
        return None
    k_run = np.nan if tee.k_run is None else tee.k_run
    k_branch = np.nan if tee.k_branch is None else tee.k_branch
    return TeeJoint(tee.tag, (legs[0], legs[1], legs[2]), (signs[0], signs[1], signs[2]), k_run, k_branch)


def to_network(vessel: Vessel) -> Network:
    """Return the network of a vessel.

    Raises
    ------
    PartError
        A part's data make no sense.
    NotSolvableError
        The liquid is frozen or outside its tables.
    """
    return Drawing(vessel).network()
