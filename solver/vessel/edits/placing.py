# SPDX-License-Identifier: MIT
"""Edits of where things lie on the drawing."""

from __future__ import annotations

from collections.abc import Iterable

from solver.errors import EditError
from solver.vessel.fields import Point
from solver.vessel.parts import Found, Part, find, replaced, with_values
from solver.vessel.run import Run
from solver.vessel.vessel import Cabin, Vessel


def move(vessel: Vessel, tags: Iterable[str], dx: float, dy: float) -> Vessel:
    """Return the vessel with parts moved by ``dx`` and ``dy`` drawing units (y points down).

    A cabin moves with its outline, a run with its bends.  The bends of runs between two components
    that both move go with them.

    Raises
    ------
    EditError
        A tag belongs to no part, or a part would leave the drawing.
    """
    found = find(vessel, tags)
    moving = {tag for tag, where in found.items() if where.key == "components"}
    new: list[tuple[Found, Part]] = []
    for tag, where in found.items():
        if not isinstance(where.part, Run):
            new.append((where, _moved(where.part, tag, dx, dy)))
    for index, run in enumerate(vessel.runs):
        if run.bends and (run.tag in found or (run.start[0] in moving and run.end[0] in moving)):
            new.append((Found("runs", index, run), _moved(run, run.tag, dx, dy)))
    return replaced(vessel, new)


def turn(vessel: Vessel, tags: Iterable[str], quarter_turns: int = 1) -> Vessel:
    """Return the vessel with components turned clockwise, each about its own centre.

    Raises
    ------
    EditError
        A tag belongs to no component.
    """
    new: list[tuple[Found, Part]] = []
    for tag, where in find(vessel, tags).items():
        if isinstance(where.part, Run | Cabin):
            raise EditError(f"{tag} is not a component and cannot be turned", (tag,))
        value = (where.part.turn + quarter_turns) % 4
        new.append((where, with_values(where.part, {"turn": value}, tag, (tag,))))
    return replaced(vessel, new)


def _moved(part: Part, tag: str, dx: float, dy: float) -> Part:
    def moved(point: Point) -> Point:
        return (point[0] + dx, point[1] + dy)

    if isinstance(part, Run):
        return with_values(part, {"bends": [moved(point) for point in part.bends]}, tag, (tag,))
    if isinstance(part, Cabin):
        return with_values(part, {"outline": [moved(point) for point in part.outline]}, tag, (tag,))
    return with_values(part, {"at": moved(part.at)}, tag, (tag,))
