# SPDX-License-Identifier: MIT
"""Small drawings for tests of edits and routes: an engine room on a grid, with one scale."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import msgspec
import pytest

from solver.errors import EditError
from solver.vessel.components import AnyComponent
from solver.vessel.edits import connect
from solver.vessel.fields import Point
from solver.vessel.footprint import port_direction
from solver.vessel.routing import legs, way
from solver.vessel.routing.way import direction
from solver.vessel.run import End, Run
from solver.vessel.vessel import Deck, Vessel
from tests.solver.vessel.boats import component

#: Metres of a drawing unit of the deck that everything stands on.
SCALE = 0.05


def part(tag: str, kind: str, at: Point, turn: int = 0, **fields: Any) -> AnyComponent:
    """Return a component of a kind at a place, on the deck."""
    return component(kind, tag, at=at, turn=turn, **{"deck": "Main", **fields})


def drawn(*components: AnyComponent, **more: Any) -> Vessel:
    """Return a vessel of these components on one deck drawn to scale, without runs."""
    decks = (Deck("Main", 1.9, SCALE),)
    return Vessel(name="Tern", **{"decks": decks, "components": components, **more})


def joined(vessel: Vessel, *pairs: str) -> Vessel:
    """Return the vessel with runs, each written ``P-1 outlet > IV-1 inlet``."""
    for pair in pairs:
        start, end = (End(*side.split()) for side in pair.split(" > "))
        vessel = connect(vessel, start, end)
    return vessel


def refused(edit: Callable[..., Any], vessel: Vessel, *arguments: Any, **more: Any) -> EditError:
    """Return the refusal of an edit, having seen that the vessel is as it was."""
    before = msgspec.json.encode(vessel)
    with pytest.raises(EditError) as caught:
        edit(vessel, *arguments, **more)
    assert msgspec.json.encode(vessel) == before
    return caught.value


def with_run(vessel: Vessel, tag: str, **values: Any) -> Vessel:
    """Return the vessel with fields of a run set, unchecked."""
    runs = [msgspec.structs.replace(run, **values) if run.tag == tag else run for run in vessel.runs]
    return msgspec.structs.replace(vessel, runs=tuple(runs))


def untouched(before: Vessel, after: Vessel, *but: str) -> bool:
    """Return whether all parts of the vessel before, but those named, are the same objects after."""
    kept = {id(one) for one in (*after.components, *after.runs, *after.cabins)}
    return all(
        id(one) in kept for one in (*before.components, *before.runs, *before.cabins) if one.tag not in but
    )


def leaves_ports_ahead(vessel: Vessel, run: Run) -> bool:
    """Return whether a run leaves both its ports straight out."""
    found = list(legs(way(vessel, run)))
    start, end = (port_direction(vessel.component_by_tag[one.tag], one.port) for one in (run.start, run.end))
    return direction(*found[0]) == start and direction(*reversed(found[-1])) == end
