# SPDX-License-Identifier: MIT
"""What an edit would add, as a ghost: its parts and runs, and the mains that it would cut into."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import NamedTuple

from PySide6.QtGui import QPainter

from app.canvas.ghost import paint_band, paint_component, paint_ports, paint_way
from app.theme import Theme
from solver.vessel.components import AnyComponent, Tee
from solver.vessel.fields import Point
from solver.vessel.footprint import port_place
from solver.vessel.routing import nearest_on, way
from solver.vessel.routing.way import SAME
from solver.vessel.vessel import Vessel

#: Below this scale dots shrink with the drawing, so that those of two tees never touch.
_SMALL_DOTS = 0.8


class Growth(NamedTuple):
    """The parts and the ways of the runs that are new, and the ways of the runs that new tees cut.

    Parameters
    ----------
    components : tuple of Component
    tees : tuple of Tee
        Those of the new parts that stand in runs there were before.
    runs : tuple of str
        The new runs.
    ways, cut : tuple of ways
    open_ends : tuple of points
        Ports of the new parts at which nothing is joined.
    """

    components: tuple[AnyComponent, ...]
    tees: tuple[Tee, ...]
    runs: tuple[str, ...]
    ways: tuple[tuple[Point, ...], ...]
    cut: tuple[tuple[Point, ...], ...]
    open_ends: tuple[Point, ...]

    @property
    def tags(self) -> tuple[str, ...]:
        """Tags of the new parts."""
        return tuple(part.tag for part in self.components)


def growth(before: Vessel, after: Vessel) -> Growth:
    """Return what is in one vessel and not yet in another."""
    components = tuple(part for part in after.components if part.tag not in before.component_by_tag)
    new_tags = {part.tag for part in components}
    cut = tuple(
        tuple(way(before, before.run_by_tag[run.tag]))
        for run in after.runs
        if run.tag in before.run_by_tag and new_tags & {run.start.tag, run.end.tag}
    )
    ways = {run.tag: tuple(way(after, run)) for run in after.runs if run.tag not in before.run_by_tag}
    # A piece that was cut off a run lies where that lay: no ghost of its own.
    ways = {tag: points for tag, points in ways.items() if not _lies_on(points, cut)}
    ends = tuple(
        port_place(part, port)
        for part in components
        for port in part.ports
        if (part.tag, port) not in after.runs_at
    )
    return Growth(
        components,
        tuple(part for part in components if isinstance(part, Tee) and _lies_on([part.at], cut)),
        tuple(ways),
        tuple(ways.values()),
        cut,
        ends,
    )


def _lies_on(points: Sequence[Point], ways: Sequence[Sequence[Point]]) -> bool:
    return any(all(math.dist(nearest_on(one, point).at, point) < SAME for point in points) for one in ways)


def paint_growth(painter: QPainter, grown: Growth, scale: float, theme: Theme) -> None:
    """Paint what would be added over the mains it cuts into; its tees are lit."""
    for points in grown.cut:
        paint_band(painter, points, scale, theme)
    for points in grown.ways:
        paint_way(painter, points, scale, theme)
    for part in grown.components:
        paint_component(painter, part, scale, theme, ports=False)
    paint_ports(painter, [tee.at for tee in grown.tees], max(scale, _SMALL_DOTS), theme, lit=True)
    paint_ports(painter, grown.open_ends, scale, theme)
