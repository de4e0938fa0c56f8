# SPDX-License-Identifier: MIT
"""What an edit would change on the drawing, shown before it is made."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import msgspec
from PySide6.QtGui import QPainter

from app.canvas.drawn_way import drawn_points
from app.canvas.ghost import paint_component, paint_dots, paint_many, paint_way
from app.canvas.picture import Picture
from app.theme import Theme
from solver.vessel.components import AnyComponent
from solver.vessel.edits.following import is_pinned
from solver.vessel.fields import Point
from solver.vessel.footprint import port_place
from solver.vessel.routing import tidied, way
from solver.vessel.run import Run
from solver.vessel.vessel import Vessel

#: More components than this are shown without their ports, and by their bodies alone.
_SEVERAL, _MANY = 3, 40


class Preview(NamedTuple):
    """What is other than it was.

    Attributes
    ----------
    components : tuple of Component
        Those that are new, or stand or look elsewhere.
    ways : dict
        Run -> its line, of new runs and those that go another way.
    pins : tuple of points
        Bends by hand among them.
    """

    components: tuple[AnyComponent, ...]
    ways: dict[str, tuple[Point, ...]]
    pins: tuple[Point, ...]


def preview_of(before: Vessel, after: Vessel) -> Preview:
    """Return what differs on the drawing between a vessel and what an edit would make of it."""
    old, was = before.component_by_tag, before.run_by_tag
    changed = [part for part in after.components if part is not old.get(part.tag)]
    moved = {part.tag: part for part in changed if not _stands_alike(part, old.get(part.tag))}
    runs = [
        run
        for run in after.runs
        if run.start[0] in moved
        or run.end[0] in moved
        or (run is not was.get(run.tag) and not _goes_alike(run, was.get(run.tag)))
    ]
    pins = tuple(bend for run in runs if is_pinned(run) for bend in run.bends)
    ways = {run.tag: drawn_points(after, run, way(after, run)) for run in runs}
    return Preview(tuple(moved.values()), ways, pins)


def shifted_preview(picture: Picture, parts: Sequence[AnyComponent], by: Point) -> Preview:
    """Return many components moved, with the runs between them; quick, since no run is led anew.

    Of runs that lead elsewhere only the ends are as they will be.
    """
    vessel, moved = picture.vessel, {part.tag: shifted(part, by) for part in parts}
    ways: dict[str, tuple[Point, ...]] = {}
    for run in vessel.runs:
        inside = (run.start.tag in moved) + (run.end.tag in moved)
        if inside == 2:
            ways[run.tag] = tuple((x + by[0], y + by[1]) for x, y in picture.runs.items[run.tag].points)
        elif inside:
            a, b = (
                port_place(moved.get(one.tag) or vessel.component_by_tag[one.tag], one.port)
                for one in (run.start, run.end)
            )
            ways[run.tag] = tidied((a, (b[0], a[1]), b))
    return Preview(tuple(moved.values()), ways, ())


def shifted(part: AnyComponent, by: Point) -> AnyComponent:
    """Return a component that stands elsewhere."""
    return msgspec.structs.replace(part, at=(part.at[0] + by[0], part.at[1] + by[1]))


def paint_preview(
    painter: QPainter, preview: Preview, scale: float, theme: Theme, *, ports: bool = True
) -> None:
    """Paint what an edit would change: ways below, parts above, bends by hand as filled squares."""
    if len(preview.components) > _MANY:
        paint_many(painter, preview.components, preview.ways.values(), scale, theme)
        return
    for points in preview.ways.values():
        paint_way(painter, points, scale, theme)
    ports = ports and len(preview.components) <= _SEVERAL
    for component in preview.components:
        paint_component(painter, component, scale, theme, ports=ports)
    paint_dots(painter, preview.pins, scale, theme, filled=True)


def _stands_alike(part: AnyComponent, other: AnyComponent | None) -> bool:
    return other is not None and (part.at, part.turn) == (other.at, other.turn)


def _goes_alike(run: Run, other: Run | None) -> bool:
    return other is not None and (run.start, run.end, run.bends) == (other.start, other.end, other.bends)
