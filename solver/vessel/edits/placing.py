# SPDX-License-Identifier: MIT
"""Edits of where things lie on the drawing; runs follow what they end at."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from solver.errors import EditError
from solver.vessel.components import AnyComponent
from solver.vessel.edits.adding import add
from solver.vessel.edits.following import followed
from solver.vessel.edits.locking import refuse_locked, refuse_locked_runs_at
from solver.vessel.fields import Point
from solver.vessel.parts import Found, Part, find, replaced, with_values
from solver.vessel.run import Run
from solver.vessel.vessel import Cabin, Vessel


def place(vessel: Vessel, component: AnyComponent) -> Vessel:
    """Return the vessel with a component added; runs that the program led go round it.

    Raises
    ------
    EditError
        As ``add`` does, and where another component stands at that very place.
    """
    for other in vessel.components:
        if other.at == component.at:
            raise EditError(f"{other.tag} stands there already", (other.tag,))
    grown = add(vessel, components=(component,))
    return followed(grown, grown, (component.tag,))


def move(vessel: Vessel, tags: Iterable[str], dx: float, dy: float) -> Vessel:
    """Return the vessel with parts moved by ``dx`` and ``dy`` drawing units (y points down).

    A cabin moves with its outline, a run with its bends as far as its ends let it.  Runs follow the
    components they end at: between two that move alike they go with them, others are routed anew, but
    pinned bends stay and only those next to the moved end shift.

    Raises
    ------
    EditError
        A tag belongs to no part, a part is locked or would leave the drawing.
    """
    return moved_each(vessel, dict.fromkeys(tags, (dx, dy)))


def moved_each(vessel: Vessel, shifts: Mapping[str, Point]) -> Vessel:
    """Return the vessel with each part moved by a shift of its own; see ``move``."""
    found = find(vessel, shifts)
    refuse_locked((where.part for where in found.values()), "moved")
    moving = {tag for tag, where in found.items() if where.key == "components" and any(shifts[tag])}
    refuse_locked_runs_at(vessel, moving, "moved")
    new: list[tuple[Found, Part]] = []
    by_hand: dict[str, Point] = {}
    for tag, where in found.items():
        moved = _moved(where.part, tag, shifts[tag])
        if isinstance(where.part, Run):
            # As far as its ends let it: they decide when all else has moved.
            by_hand[tag] = shifts[tag]
        else:
            new.append((where, moved))
    return followed(vessel, replaced(vessel, new), moving, by_hand)


def turn(vessel: Vessel, tags: Iterable[str], quarter_turns: int = 1) -> Vessel:
    """Return the vessel with components turned clockwise, each about its own centre; runs follow.

    Raises
    ------
    EditError
        A tag belongs to no component, or a part is locked.
    """
    new: list[tuple[Found, Part]] = []
    found = find(vessel, tags)
    for tag, where in found.items():
        if isinstance(where.part, Run | Cabin):
            raise EditError(f"{tag} is not a component and cannot be turned", (tag,))
        value = (where.part.turn + quarter_turns) % 4
        new.append((where, with_values(where.part, {"turn": value}, tag, (tag,))))
    refuse_locked((where.part for where in found.values()), "turned")
    refuse_locked_runs_at(vessel, found, "turned")
    if quarter_turns % 4 == 0:
        return vessel
    return followed(vessel, replaced(vessel, new), found)


def _moved(part: Part, tag: str, shift: Point) -> Part:
    def moved(point: Point) -> Point:
        return (point[0] + shift[0], point[1] + shift[1])

    if isinstance(part, Cabin):
        return with_values(part, {"outline": [moved(point) for point in part.outline]}, tag, (tag,))
    if isinstance(part, Run):
        return with_values(part, {"bends": [moved(point) for point in part.bends]}, tag, (tag,))
    return with_values(part, {"at": moved(part.at)}, tag, (tag,))
