# SPDX-License-Identifier: MIT
"""Edits that put parts in order on the drawing: aligned, evenly spaced."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Literal, NamedTuple, TypeAlias

from solver.errors import EditError
from solver.vessel.accepted import one_of, shown
from solver.vessel.edits.placing import moved_each
from solver.vessel.fields import Point
from solver.vessel.footprint import GRID, Rect, body, on_grid, port_place
from solver.vessel.parts import find
from solver.vessel.run import Run
from solver.vessel.vessel import Cabin, Vessel

Side: TypeAlias = Literal["left", "centre", "right", "top", "middle", "bottom"]
Way: TypeAlias = Literal["across", "down"]

SIDES: tuple[Side, ...] = ("left", "centre", "right", "top", "middle", "bottom")
WAYS: tuple[Way, ...] = ("across", "down")


class _Extent(NamedTuple):
    """What a part covers along one axis, where its middle is, and whether it must stay."""

    tag: str
    low: float
    high: float
    middle: float
    locked: bool


def align(vessel: Vessel, tags: Iterable[str], side: Side) -> Vessel:
    """Return the vessel with components and cabins aligned at one side, or at their middles.

    Runs among them are passed over: they follow.  The others come into line with the outermost, or with
    the one that is locked.  They move by whole steps of the grid, so that runs still go straight.

    Raises
    ------
    EditError
        There is no such side, fewer than two parts are given, a tag belongs to no part, or several are
        locked that are not in line.
    """
    if side not in SIDES:
        raise EditError(f"no side is called {shown(side)}; accepted: {one_of(SIDES, side)}")
    across = side in ("left", "centre", "right")
    extents = _extents(vessel, tags, across)
    if len(extents) < 2:
        raise EditError("aligning takes two parts or more", tuple(one.tag for one in extents))
    places = {one.tag: _place(one, side) for one in extents}
    target = _target(extents, places, side)
    shifts = {tag: on_grid(target - place) for tag, place in places.items()}
    return _moved(vessel, shifts, across)


def distribute(vessel: Vessel, tags: Iterable[str], way: Way) -> Vessel:
    """Return the vessel with components and cabins at equal distances, middle to middle.

    The first and the last stay; the others move by whole steps of the grid, and runs follow.

    Raises
    ------
    EditError
        There is no such way, fewer than three parts are given, a tag belongs to no part, or one between
        is locked.
    """
    if way not in WAYS:
        raise EditError(f"no way is called {shown(way)}; accepted: {one_of(WAYS, way)}")
    across = way == "across"
    extents = sorted(_extents(vessel, tags, across), key=lambda one: (one.middle, one.tag))
    if len(extents) < 3:
        raise EditError("spacing evenly takes three parts or more", tuple(one.tag for one in extents))
    first, last = extents[0].middle, extents[-1].middle
    step = (last - first) / (len(extents) - 1)
    shifts = {
        one.tag: on_grid(first + step * number - one.middle)
        for number, one in enumerate(extents[1:-1], start=1)
    }
    return _moved(vessel, shifts, across)


def _extents(vessel: Vessel, tags: Iterable[str], across: bool) -> list[_Extent]:
    found = []
    for tag, where in find(vessel, tags).items():
        part = where.part
        if isinstance(part, Run):
            # It follows the parts at its ends.
            continue
        if isinstance(part, Cabin):
            if not part.outline:
                raise EditError(f"{tag} has no room on the drawing", (tag,))
            values = [point[0] if across else point[1] for point in part.outline]
            low, high = min(values), max(values)
            found.append(_Extent(tag, low, high, (low + high) / 2, part.locked))
            continue
        box, at = body(part), part.at[0] if across else part.at[1]
        ports = [port_place(part, port)[0 if across else 1] for port in part.ports]
        low, high = _sides(box, ports, across)
        # Out to the grid, seen from the middle.
        low, high = at + (low - at) // GRID * GRID, at - (at - high) // GRID * GRID
        found.append(_Extent(tag, low, high, at, part.locked))
    return found


def _sides(box: Rect, ports: list[float], across: bool) -> tuple[float, float]:
    low, high = (box.left, box.right) if across else (box.top, box.bottom)
    return min(low, *ports), max(high, *ports)


def _place(extent: _Extent, side: Side) -> float:
    if side in ("left", "top"):
        return extent.low
    return extent.high if side in ("right", "bottom") else extent.middle


def _target(extents: list[_Extent], places: dict[str, float], side: Side) -> float:
    locked = [one.tag for one in extents if one.locked]
    if locked:
        first = places[locked[0]]
        for tag in locked[1:]:
            if on_grid(places[tag] - first):
                raise EditError(f"{locked[0]} and {tag} are locked and not in line", (locked[0], tag))
        return first
    if side in ("left", "top"):
        return min(places.values())
    if side in ("right", "bottom"):
        return max(places.values())
    return (min(places.values()) + max(places.values())) / 2


def _moved(vessel: Vessel, shifts: dict[str, float], across: bool) -> Vessel:
    each: dict[str, Point] = {
        tag: (shift, 0.0) if across else (0.0, shift) for tag, shift in shifts.items() if shift
    }
    return moved_each(vessel, each) if each else vessel
