# SPDX-License-Identifier: MIT
"""Putting a vessel down on the drawing part by part.

A ``Plan`` keeps components and runs in the order in which they are drawn, gives runs their tags,
bends at right angles, and shares a known length between the runs of a string of parts.  The value
it hands back is an ordinary ``Vessel``.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any, NamedTuple

from solver.vessel.components import (
    AirVent,
    AnyComponent,
    Component,
    Drain,
    FlowMeter,
    PressureGauge,
    Tee,
    TemperatureGauge,
)
from solver.vessel.fields import Point
from solver.vessel.footprint import port_direction, port_place
from solver.vessel.run import End, Fitting, Insulation, Run
from solver.vessel.vessel import Cabin

#: Name in the fittings table of the bend that a right-angled corner of a run stands for.
ELBOW = "elbow_90"
_SHORTEST_M = 0.1
_FLOW_TURN = {"right": 0, "down": 1, "left": 2, "up": 3}
_BRANCH_TURN = {"down": 0, "left": 1, "up": 2, "right": 3}
_SIDE = {(1.0, 0.0): "right", (-1.0, 0.0): "left", (0.0, 1.0): "down", (0.0, -1.0): "up"}


#: Parts that stand on a pipe and do not mind which way water passes.
_EITHER_WAY = (AirVent, Drain, FlowMeter, PressureGauge, TemperatureGauge)


class Pipe(NamedTuple):
    """What a string of runs is made of, where it goes, and how its length is known."""

    series: str
    size: str
    service: str = "supply"
    surroundings: str = "ceiling void"
    insulation: Insulation | None = None
    known: str = "measured"
    plus_minus_percent: float = 0.0


class Through(NamedTuple):
    """A part passed by a string of runs: in at one port and out at another."""

    tag: str
    way_in: str
    way_out: str


Stop = str | End | Through


class Plan:
    """Components, runs and cabins as they are put down.

    ``deck`` and ``height_m`` are those of the components put down next.
    """

    def __init__(self) -> None:
        self.components: dict[str, AnyComponent] = {}
        self.runs: list[Run] = []
        self.cabins: list[Cabin] = []
        self.deck = ""
        self.height_m = 0.0
        self.deck_heights: dict[str, float] = {}
        self._tees = 0

    def level(self, deck: str, height_m: float) -> None:
        """Put the following components on ``deck``, ``height_m`` above it."""
        self.deck, self.height_m = deck, height_m

    def put(self, kind: type[Component], tag: str, x: float, y: float, way: str = "", **fields: Any) -> str:
        """Put a component down and return its tag.

        ``way`` is the direction of flow through a part in line, of the branch of a tee.
        """
        turns = _BRANCH_TURN if kind is Tee else _FLOW_TURN
        fields.setdefault("height_m", self.height_m)
        fields.setdefault("turn", turns[way] if way else 0)
        component: Any = kind(tag=tag, at=(float(x), float(y)), deck=self.deck, **fields)
        self.components[tag] = component
        return tag

    def tee(self, x: float, y: float, branch: str) -> str:
        """Put a tee down with its branch to one side; return its tag."""
        self._tees += 1
        return self.put(Tee, f"T-{self._tees}", x, y, branch)

    def facing(self, tag: str, side: str) -> End:
        """Return the port of a component that faces ``side`` (left, right, up, down)."""
        component = self.components[tag]
        for port in component.ports:
            if _SIDE[port_direction(component, port)] == side:
                return End(tag, port)
        raise KeyError(f"{tag} has no port facing {side}")

    def across(self, tag: str, way_in: str, way_out: str) -> Through:
        """Return the way through a tee from the port facing one side to that facing another."""
        return Through(tag, self.facing(tag, way_in).port, self.facing(tag, way_out).port)

    def string(
        self,
        pipe: Pipe,
        stops: Sequence[Stop],
        length_m: float,
        *,
        via: Sequence[float] = (),
        elbows: int = 0,
    ) -> list[str]:
        """Join the stops by runs and return the runs' tags.

        ``length_m`` is shared between them as on the drawing; ``via`` gives, in order, the place of
        the cross piece of each run that has one.  ``elbows`` bends beyond those drawn are counted
        with the longest run.
        """
        ends: list[tuple[End, End]] = []
        for stop in stops:
            ends.append(self._ends(stop, ends[-1][1] if ends else None))
        crossings = iter(via)
        drawn = []
        for (_, start), (end, _) in zip(ends, ends[1:], strict=False):
            bends = self._bends(start, end, crossings)
            drawn.append((start, end, bends, self._drawn_length(start, end, bends)))
        total = sum(item[3] for item in drawn)
        longest = max(range(len(drawn)), key=lambda index: drawn[index][3])
        tags = []
        for index, (start, end, bends, length) in enumerate(drawn):
            corners = len(bends) + (elbows if index == longest else 0)
            rise = abs(self._height(end.tag) - self._height(start.tag))
            run = Run(
                tag=f"R-{len(self.runs) + 1}",
                start=start,
                end=end,
                series=pipe.series,
                size=pipe.size,
                length_m=round(max(_SHORTEST_M, length_m * length / total, rise + 0.1), 2),
                length_known=pipe.known,  # type: ignore[arg-type]
                length_plus_minus_percent=pipe.plus_minus_percent,
                fittings=(Fitting(ELBOW, corners),) if corners else (),
                insulation=pipe.insulation,
                surroundings=pipe.surroundings,
                service=pipe.service,  # type: ignore[arg-type]
                bends=bends,
            )
            self.runs.append(run)
            tags.append(run.tag)
        return tags

    def room(self, tag: str, name: str, left: float, top: float, right: float, bottom: float) -> str:
        """Put a rectangular cabin down and return its tag."""
        left, top, right, bottom = float(left), float(top), float(right), float(bottom)
        outline = ((left, top), (right, top), (right, bottom), (left, bottom))
        self.cabins.append(Cabin(tag=tag, name=name, deck=self.deck, outline=outline))
        return tag

    def _ends(self, stop: Stop, before: End | None) -> tuple[End, End]:
        if isinstance(stop, End):
            return stop, stop
        if isinstance(stop, Through):
            return End(stop.tag, stop.way_in), End(stop.tag, stop.way_out)
        component = self.components[stop]
        first, second = (End(stop, port) for port in component.ports[:2])
        if before is not None and isinstance(component, _EITHER_WAY):
            x, y = self._place(before)
            near = [abs(x - px) + abs(y - py) for px, py in (self._place(first), self._place(second))]
            if near[1] < near[0]:
                return second, first
        return first, second

    def _bends(self, start: End, end: End, via: Iterable[float]) -> tuple[Point, ...]:
        (x1, y1), (x2, y2) = self._place(start), self._place(end)
        if x1 == x2 or y1 == y2:
            return ()
        along1, along2 = self._level(start), self._level(end)
        if along1 != along2:
            return ((x2, y1),) if along1 else ((x1, y2),)
        middle = float(next(iter(via), (x1 + x2) / 2 if along1 else (y1 + y2) / 2))
        if along1:
            return ((middle, y1), (middle, y2))
        return ((x1, middle), (x2, middle))

    def _place(self, end: End) -> Point:
        return port_place(self.components[end.tag], end.port)

    def _level(self, end: End) -> bool:
        return port_direction(self.components[end.tag], end.port)[1] == 0

    def _height(self, tag: str) -> float:
        component = self.components[tag]
        return self.deck_heights.get(component.deck, 0.0) + (component.height_m or 0.0)

    def _drawn_length(self, start: End, end: End, bends: Sequence[Point]) -> float:
        points = [self._place(start), *bends, self._place(end)]
        return sum(abs(a[0] - b[0]) + abs(a[1] - b[1]) for a, b in zip(points, points[1:], strict=False))
