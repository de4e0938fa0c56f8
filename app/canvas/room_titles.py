# SPDX-License-Identifier: MIT
"""What stands in the rooms: name, and temperature where it is known, clear of symbols and runs."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import NamedTuple

from app.canvas.cabin_item import CabinItem, RoomTitle
from app.canvas.component_item import ComponentItem
from app.canvas.detail import on_paper
from app.canvas.entries import run_boxes
from app.canvas.run_item import RunItem
from app.canvas.tiles import Tiles, touches
from app.overlay.cabin_words import is_at_set_point, room_lines
from app.units import System
from solver.results import Results
from solver.vessel.footprint import Rect


class RoomValues(NamedTuple):
    """Where rooms take their temperatures from."""

    results: Results | None
    system: System
    dim: bool = False


def room_titles(
    cabins: Iterable[CabinItem],
    components: Tiles[ComponentItem],
    runs: Tiles[RunItem],
    scale: float,
    values: RoomValues,
) -> dict[str, RoomTitle]:
    """Return tag of a cabin -> as much of its title as has a free corner in its room."""
    found: dict[str, RoomTitle] = {}
    for cabin in cabins:
        if not cabin.title_boxes(scale, ("",)):
            continue
        taken = [item.body for item in components.in_rect(cabin.rect)]
        taken += run_boxes(runs, on_paper(scale), cabin.rect)
        for title in _wishes(cabin, values):
            boxes = cabin.title_boxes(scale, title.lines)
            free = (box for box in boxes if not any(touches(box, other) for other in taken))
            box = next(free, None)
            if box is not None:
                found[cabin.tag] = title._replace(box=box)
                break
    return found


def _wishes(cabin: CabinItem, values: RoomValues) -> Iterator[RoomTitle]:
    """Yield what a room would say, best first."""
    nowhere = Rect(0.0, 0.0, 0.0, 0.0)
    results = values.results
    known = None if results is None or results.heat is None else results.heat.cabins.get(cabin.tag)
    if results is not None and known is not None:
        heating = results.vessel.current_conditions.mode == "heating"
        warns = not is_at_set_point(known)
        full, short, shortest = room_lines(known, values.system, heating=heating)
        for lines in ((cabin.title, full), (cabin.title, short), (short,), (shortest,)):
            yield RoomTitle(nowhere, lines, warns, values.dim)
    yield RoomTitle(nowhere, (cabin.title,))
