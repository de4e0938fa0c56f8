# SPDX-License-Identifier: MIT
"""Finds parts by place: under the pointer, inside a rectangle, next to each other along the pipes."""

from __future__ import annotations

import math

from app.canvas.component_item import ComponentItem
from app.canvas.picture import Picture
from app.canvas.run_item import RunItem
from app.canvas.tiles import touches
from solver.vessel.fields import Point
from solver.vessel.footprint import Rect, port_direction, port_place
from solver.vessel.run import End

#: Least size of what a pointer must hit, and how far beside a larger part still counts [px].
_TARGET, _BESIDE = 24.0, 4.0
#: A neighbour counts as lying in a direction within this angle of it.
_WITHIN = math.cos(math.radians(60))


def tags_at(picture: Picture, point: Point, scale: float) -> tuple[str, ...]:
    """Return the components and runs at a point, best first: the nearest, then components, then small ones.

    ``scale`` (pixels a unit) makes small parts as easy to hit as large ones.
    """
    x, y = point
    reach = _TARGET / scale
    area = Rect(x - reach, y - reach, x + reach, y + reach)
    found: list[tuple[float, int, float, str]] = []
    for component in picture.components.in_rect(area):
        left, top, right, bottom = component.body
        distance = max(left - x, x - right, top - y, y - bottom, 0.0)
        size = min(right - left, bottom - top)
        if distance <= max((_TARGET / scale - size) / 2, _BESIDE / scale):
            found.append((distance, 0, (right - left) * (bottom - top), component.tag))
    for run in picture.runs.in_rect(area):
        distance = max(run.distance(x, y) - run.width / 2, 0.0)
        if distance <= max((_TARGET / scale - run.width) / 2, _BESIDE / scale):
            found.append((distance, 1, 0.0, run.tag))
    return tuple(tag for *_, tag in sorted(found))


def tags_in(picture: Picture, area: Rect) -> tuple[str, ...]:
    """Return the components and runs that reach into a rectangle, in the order of the document."""
    components = [tag for tag, item in picture.components.items.items() if touches(item.body, area)]
    runs = [tag for tag, item in picture.runs.items.items() if _run_touches(item, area)]
    return (*components, *runs)


def place_of(picture: Picture, tag: str) -> Rect | None:
    """Return the area of a component, run or cabin; None if the drawing has no such part."""
    item: ComponentItem | RunItem | None = picture.components.items.get(tag) or picture.runs.items.get(tag)
    if isinstance(item, ComponentItem):
        return item.body
    if item is not None:
        return item.rect
    cabin = picture.cabins.items.get(tag)
    return None if cabin is None else cabin.rect


def neighbour(picture: Picture, tag: str, direction: Point) -> str | None:
    """Return the part joined to ``tag`` that lies in a direction, the straightest first; None if none does.

    From a component that is a run at one of its ports, from a run the component at one of its ends.
    """
    choices: list[tuple[float, str]] = []
    vessel = picture.vessel
    component = vessel.component_by_tag.get(tag)
    if component is not None:
        for port in component.ports:
            out = port_direction(component, port)
            runs = vessel.runs_at.get((tag, port), ())
            choices.extend((_along(out, direction), run.tag) for run in runs)
    elif tag in vessel.run_by_tag:
        (ax, ay), (bx, by) = picture.runs.items[tag].longest_leg
        middle = ((ax + bx) / 2, (ay + by) / 2)
        for end in (vessel.run_by_tag[tag].start, vessel.run_by_tag[tag].end):
            x, y = _end_place(picture, end)
            choices.append((_along((x - middle[0], y - middle[1]), direction), end.tag))
    choices = [choice for choice in choices if choice[0] >= _WITHIN]
    return max(choices, key=lambda choice: choice[0])[1] if choices else None


def nearest(picture: Picture, point: Point) -> str | None:
    """Return the component nearest to a point, None without components."""
    items = picture.components.items.values()
    if not items:
        return None
    return min(items, key=lambda item: math.dist(item.component.at, point)).tag


def _end_place(picture: Picture, end: End) -> Point:
    return port_place(picture.vessel.component_by_tag[end.tag], end.port)


def _along(vector: Point, direction: Point) -> float:
    """Return the cosine of the angle between two vectors."""
    size = math.hypot(*vector) * math.hypot(*direction)
    return (vector[0] * direction[0] + vector[1] * direction[1]) / size if size else -1.0


def _run_touches(item: RunItem, area: Rect) -> bool:
    if not touches(item.rect, area):
        return False
    half = item.width / 2
    return any(
        touches(
            Rect(
                min(a[0], b[0]) - half,
                min(a[1], b[1]) - half,
                max(a[0], b[0]) + half,
                max(a[1], b[1]) + half,
            ),
            area,
        )
        for a, b in zip(item.points, item.points[1:], strict=False)
    )
