# SPDX-License-Identifier: MIT
"""What is in the way of a new run: the bodies of components, and the runs that are there.

A value like the vessel: an edit makes another one from it, which shares what did not change.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from typing import NamedTuple, TypeVar

from solver.vessel.components import AnyComponent, Component, kind_name
from solver.vessel.fields import Point
from solver.vessel.footprint import Rect, body_box, port_offsets, turned
from solver.vessel.routing.way import crosses, legs, way
from solver.vessel.vessel import Vessel

#: Free space kept round bodies and ports; the next line of the grid stays free [units].
CLEARANCE = 4.0
#: Runs side by side nearer than this are drawn as one [units].
APART = 6.0

#: Side of the squares that bodies are sorted into [units].
_CELL = 100.0
#: Width of the strips that legs are sorted into [units].
_STRIP = 10.0
#: Bodies and legs that take in more of these are kept apart, for what a file may hold [pieces].
_MOST_PIECES = 2000

Item = TypeVar("Item")
Key = TypeVar("Key", tuple[int, int], tuple[bool, int])


class Leg(NamedTuple):
    """A straight piece of a run: ``level`` is y of one that lies across, x of one that goes down."""

    run: str
    across: bool
    level: float
    low: float
    high: float


_Cells = dict[tuple[int, int], tuple[str, ...]]
_Strips = dict[tuple[bool, int], tuple[Leg, ...]]


class Obstacles:
    """Bodies and runs of a vessel, sorted so that those near a leg are quickly found.

    Parameters
    ----------
    boxes : dict
        Tag -> what a run keeps out of.
    ways : dict
        Tag of a run -> its legs.
    cells, strips : dict
        The same by place.
    """

    def __init__(
        self, boxes: dict[str, Rect], ways: dict[str, tuple[Leg, ...]], cells: _Cells, strips: _Strips
    ):
        self.boxes, self.ways = boxes, ways
        self._cells, self._strips = cells, strips

    @classmethod
    def of(cls, vessel: Vessel) -> Obstacles:
        """Return the obstacles of a vessel, worked out from nothing."""
        empty = cls({}, {}, {}, {})
        return empty.changed(vessel.components, {run.tag: way(vessel, run) for run in vessel.runs})

    def changed(
        self,
        components: Iterable[AnyComponent] = (),
        ways: dict[str, tuple[Point, ...]] | None = None,
        gone: Iterable[str] = (),
    ) -> Obstacles:
        """Return the obstacles with components and ways put in or in place of those before, others gone."""
        new_boxes = {component.tag: blocked(component) for component in components}
        new_ways = {tag: _legs(tag, points) for tag, points in (ways or {}).items()}
        out = (*gone, *new_boxes, *new_ways)
        boxes, cells = self.boxes, self._cells
        if new_boxes or not boxes.keys().isdisjoint(out):
            boxes, cells = dict(boxes), dict(cells)
        legs_of, strips = dict(self.ways), dict(self._strips)
        for tag in out:
            if tag in boxes:
                _take_out(cells, _cells_of(boxes.pop(tag)), tag)
            for leg in legs_of.pop(tag, ()):
                _take_out(strips, (_strip_of(leg),), leg)
        for tag, box in new_boxes.items():
            boxes[tag] = box
            for cell in _cells_of(box):
                cells[cell] = (*cells.get(cell, ()), tag)
        grown: dict[tuple[bool, int], list[Leg]] = {}
        for tag, found in new_ways.items():
            legs_of[tag] = found
            for leg in found:
                grown.setdefault(_strip_of(leg), []).append(leg)
        for strip, more in grown.items():
            strips[strip] = (*strips.get(strip, ()), *more)
        return Obstacles(boxes, legs_of, cells, strips)

    def bodies_on(self, a: Point, b: Point) -> Iterator[str]:
        """Yield the components whose box a leg goes through; some may come twice."""
        box = Rect(min(a[0], b[0]), min(a[1], b[1]), max(a[0], b[0]), max(a[1], b[1]))
        for tag in self._near(box):
            if crosses(a, b, self.boxes[tag]):
                yield tag

    def bodies_in(self, area: Rect) -> list[str]:
        """Return the components whose box lies in an area, at least in part, each once."""
        found: dict[str, None] = {}
        for tag in self._near(area):
            left, top, right, bottom = self.boxes[tag]
            if left < area.right and right > area.left and top < area.bottom and bottom > area.top:
                found[tag] = None
        return list(found)

    def runs_through(self, box: Rect) -> set[str]:
        """Return the runs that go through the inside of a rectangle."""
        found = set()
        for across, first, last, low, high in (
            (True, box.top, box.bottom, box.left, box.right),
            (False, box.left, box.right, box.top, box.bottom),
        ):
            for strip in range(_strip(first), _strip(last) + 1):
                for leg in self._strips.get((across, strip), ()):
                    if first < leg.level < last and leg.low < high and leg.high > low:
                        found.add(leg.run)
        return found

    def _near(self, area: Rect) -> Iterable[str]:
        cells = _cells_of(area)
        if cells == (_FAR,):
            return self.boxes
        return (tag for cell in (*cells, _FAR) for tag in self._cells.get(cell, ()))

    def legs_along(self, a: Point, b: Point) -> Iterator[Leg]:
        """Yield the legs of runs that lie along a leg so near that the two would be drawn as one."""
        across = _is_across(a, b)
        level = a[1] if across else a[0]
        low, high = sorted((a[0], b[0]) if across else (a[1], b[1]))
        middle = _strip(level)
        for strip in (middle - 1, middle, middle + 1):
            for leg in self._strips.get((across, strip), ()):
                if abs(leg.level - level) < APART and leg.low < high - APART and leg.high > low + APART:
                    yield leg


#: Where boxes are kept that cover too many cells.
_FAR = (1 << 60, 0)


def blocked(component: Component) -> Rect:
    """Return what runs keep out of: the body and the ports, with some clearance."""
    key = (kind_name(component), len(component.ports), component.turn)
    shape = _SHAPES.get(key)
    if shape is None:
        left, top, right, bottom = body_box(component)
        corners = [(left, top), (right, bottom), *port_offsets(component).values()]
        xs, ys = zip(*(turned(point, component.turn) for point in corners), strict=True)
        shape = _SHAPES[key] = Rect(
            min(xs) - CLEARANCE, min(ys) - CLEARANCE, max(xs) + CLEARANCE, max(ys) + CLEARANCE
        )
    x, y = component.at
    return Rect(x + shape.left, y + shape.top, x + shape.right, y + shape.bottom)


#: Shapes by kind, number of ports and turn: a ship has thousands of parts but few shapes.
_SHAPES: dict[tuple[str, int, int], Rect] = {}


def _cells_of(box: Rect) -> Sequence[tuple[int, int]]:
    left, right = math.floor(box.left / _CELL), math.floor(box.right / _CELL)
    top, bottom = math.floor(box.top / _CELL), math.floor(box.bottom / _CELL)
    if (right - left + 1) * (bottom - top + 1) > _MOST_PIECES:
        return (_FAR,)
    return [(x, y) for x in range(left, right + 1) for y in range(top, bottom + 1)]


def _legs(tag: str, points: Sequence[Point]) -> tuple[Leg, ...]:
    found = []
    for a, b in legs(points):
        across = _is_across(a, b)
        low, high = sorted((a[0], b[0]) if across else (a[1], b[1]))
        found.append(Leg(tag, across, a[1] if across else a[0], low, high))
    return tuple(found)


def _is_across(a: Point, b: Point) -> bool:
    # Legs of a file may be off an axis by less than can be seen.
    return abs(b[0] - a[0]) >= abs(b[1] - a[1])


def _strip_of(leg: Leg) -> tuple[bool, int]:
    return (leg.across, _strip(leg.level))


def _strip(level: float) -> int:
    return math.floor(level / _STRIP)


def _take_out(pieces: dict[Key, tuple[Item, ...]], keys: Iterable[Key], item: Item) -> None:
    for key in keys:
        left = tuple(other for other in pieces.get(key, ()) if other != item)
        if left:
            pieces[key] = left
        else:
            pieces.pop(key, None)


class _Latest(NamedTuple):
    vessel: Vessel
    obstacles: Obstacles


#: Of the vessel asked for last; the next one is mostly an edit of it.
_latest: list[_Latest] = []


def obstacles_of(vessel: Vessel) -> Obstacles:
    """Return the obstacles of a vessel; quick for the vessel asked for last and for edits of it."""
    before = _latest[0] if _latest else None
    if before is not None and before.vessel is vessel:
        return before.obstacles
    found = None if before is None else _from_before(before, vessel)
    if found is None:
        found = Obstacles.of(vessel)
    _latest[:] = [_Latest(vessel, found)]
    return found


def _from_before(before: _Latest, vessel: Vessel) -> Obstacles | None:
    """Return the obstacles from those of the vessel before; None where little is the same."""
    moved = _differing(before.vessel.components, vessel.components)
    new_components = [component for component in vessel.components if component.tag in moved]
    other_runs = _differing(before.vessel.runs, vessel.runs)
    if len(moved) + len(other_runs) > (len(vessel.components) + len(vessel.runs)) / 2:
        return None
    runs = [
        run
        for run in vessel.runs
        if run.tag in other_runs or (moved and (run.start[0] in moved or run.end[0] in moved))
    ]
    return before.obstacles.changed(
        new_components, {run.tag: way(vessel, run) for run in runs}, (*moved, *other_runs)
    )


def _differing(old: Sequence[Item], new: Sequence[Item]) -> set[str]:
    """Return the tags of parts that are not the same in both lists."""
    if old is new:
        return set()
    kept = set(map(id, old)) & set(map(id, new))
    return {part.tag for part in (*old, *new) if id(part) not in kept}  # type: ignore[attr-defined]
