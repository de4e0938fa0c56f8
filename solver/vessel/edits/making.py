# SPDX-License-Identifier: MIT
"""New components with sensible figures, before they are put into a vessel."""

from __future__ import annotations

import re

from solver.errors import EditError
from solver.vessel.accepted import one_of, shown
from solver.vessel.components import KINDS, AnyComponent
from solver.vessel.edits.tags import free_tag
from solver.vessel.fields import Point
from solver.vessel.parts import with_values
from solver.vessel.parts_list import PartRow, PartsList, read_parts_list
from solver.vessel.vessel import Vessel

_NOMINAL = re.compile(r"\bDN (\d+)\b")


def new_component(
    vessel: Vessel,
    kind: str,
    at: Point,
    *,
    turn: int = 0,
    deck: str = "",
    model: str = "",
    bore_mm: float | None = None,
    parts: PartsList | None = None,
) -> AnyComponent:
    """Return a component for a vessel, not yet in it: of a model, or of a middling one of its kind.

    Parameters
    ----------
    vessel : Vessel
        Gives the next free tag.
    kind : str
        A kind as the file writes it.
    at : (x, y)
        Where it stands.
    turn : int
        Quarter turns clockwise.
    deck : str
        A deck's name, or "".
    model : str
        A model of the parts list; "" takes the one nearest in size.
    bore_mm : float, optional
        Bore of the pipe it goes with.
    parts : PartsList, optional
        The list; that which ships if not given, and for kinds that it lacks.

    Raises
    ------
    EditError
        There is no such kind, or the place or turn is not accepted.
    PartError
        The model is not in the parts list.
    """
    if kind not in KINDS:
        text = f"no kind of component is called {shown(kind)}; accepted: {one_of(list(KINDS), kind)}"
        raise EditError(text)
    tag = free_tag(vessel, kind)
    parts = parts or read_parts_list()
    if not model and not parts.of_kind(kind):
        parts = read_parts_list()
    rows = parts.of_kind(kind)
    if not model and not rows:
        made: AnyComponent = KINDS[kind](tag=tag)  # type: ignore[assignment]
    else:
        made = parts.make(model or _fitting(rows, bore_mm).model, tag)
    return with_values(made, {"at": at, "turn": turn, "deck": deck}, tag, (tag,))


def _fitting(rows: tuple[PartRow, ...], bore_mm: float | None) -> PartRow:
    """Return the model of the nominal size nearest to a bore; the middle one where none has a size."""
    sized = [(row, int(found[1])) for row in rows if (found := _NOMINAL.search(row.model))]
    if bore_mm is None or not sized:
        return rows[len(rows) // 2]
    return min(sized, key=lambda one: abs(one[1] - bore_mm))[0]
