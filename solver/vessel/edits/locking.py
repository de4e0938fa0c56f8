# SPDX-License-Identifier: MIT
"""Locking parts: what is locked is not moved, turned, bent or removed."""

from __future__ import annotations

from collections.abc import Iterable

from solver.errors import EditError
from solver.vessel.parts import Part, find, replaced, with_values
from solver.vessel.vessel import Vessel


def lock(vessel: Vessel, tags: Iterable[str], locked: bool = True) -> Vessel:
    """Return the vessel with parts locked, or unlocked again.

    Raises
    ------
    EditError
        A tag belongs to no part.
    """
    found = find(vessel, tags)
    return replaced(
        vessel,
        [(where, with_values(where.part, {"locked": locked}, tag, (tag,))) for tag, where in found.items()],
    )


def refuse_locked(parts: Iterable[Part], doing: str) -> None:
    """Raise ``EditError`` if a part is locked; ``doing`` as in "moved"."""
    for part in parts:
        if part.locked:
            raise EditError(f"{part.tag} is locked; unlock it before it is {doing}", (part.tag,))


def refuse_locked_runs_at(vessel: Vessel, tags: Iterable[str], doing: str) -> None:
    """Raise ``EditError`` if a run that ends at one of some components is locked."""
    at = set(tags)
    for run in vessel.runs:
        if run.locked and (run.start[0] in at or run.end[0] in at):
            tag = run.start.tag if run.start.tag in at else run.end.tag
            text = f"{run.tag} is locked and ends at {tag}; unlock it before {tag} is {doing}"
            raise EditError(text, (run.tag, tag))
