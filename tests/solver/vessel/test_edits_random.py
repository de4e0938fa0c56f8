# SPDX-License-Identifier: MIT
"""Any row of edits leaves a vessel that can be saved, and never touches the one before."""

from __future__ import annotations

from typing import Any

import msgspec
from hypothesis import given
from hypothesis import strategies as st

from solver.errors import EditError
from solver.vessel import edits
from solver.vessel.accepted import fields_of
from solver.vessel.changes import apply, difference
from solver.vessel.components import KINDS
from solver.vessel.file import format_vessel, parse_vessel
from solver.vessel.heights import heights
from solver.vessel.vessel import Deck, Space, Vessel
from tests.strategies import (
    changes,
    components,
    conditions,
    names,
    points,
    runs,
    structs,
    surfaces,
    values,
    vessels,
)

EDITS = (
    "add",
    "remove",
    "replace",
    "run",
    "set",
    "retag",
    "move",
    "turn",
    "split",
    "heal",
    "deck",
    "conditions",
    "space",
    "surface",
    "apply",
)


def edited(vessel: Vessel, data: st.DataObject) -> Vessel:
    """Make one random edit; one that is refused raises ``EditError``."""
    draw = data.draw
    what = draw(st.sampled_from(EDITS))
    parts: list[Any] = [*vessel.components, *vessel.runs, *vessel.cabins]
    kind = draw(st.sampled_from(list(KINDS.values())))
    if what == "add":
        return edits.add_component(vessel, draw(components(draw(names), kind)))
    if what == "space":
        given = draw(structs(Space, name=names))
        if not vessel.spaces or draw(st.booleans()):
            return edits.add_space(vessel, given)
        old = draw(st.sampled_from(vessel.spaces)).name
        return edits.remove_space(vessel, old) if draw(st.booleans()) else edits.set_space(vessel, old, given)
    if what == "surface":
        tag = draw(st.sampled_from(vessel.cabins)).tag if vessel.cabins else "C-0"
        surface, place = draw(surfaces()), draw(st.integers(-1, 2))
        if draw(st.booleans()):
            return edits.add_surface(vessel, tag, surface)
        if draw(st.booleans()):
            return edits.set_surface(vessel, tag, place, surface)
        return edits.remove_surface(vessel, tag, place)
    if what == "deck":
        return edits.add_deck(vessel, draw(structs(Deck)))
    if what == "conditions":
        return edits.set_conditions(vessel, vessel.conditions[0].name, draw(conditions(names)))
    if not parts:
        return vessel
    part = draw(st.sampled_from(parts))
    if what == "remove":
        return edits.remove(vessel, [part.tag])
    if what == "replace":
        return edits.replace_component(vessel, part.tag, draw(components("x", kind)))
    if what == "run":
        ends = [draw(st.tuples(st.just(p.tag), st.sampled_from(p.ports))) for p in vessel.components]
        start, end = draw(st.sampled_from(ends or [("a", "b")])), draw(st.sampled_from(ends or [("a", "b")]))
        return edits.add_run(vessel, draw(runs(edits.free_tag(vessel, "run"), start, end)))
    if what == "set":
        field = draw(st.sampled_from(part.__struct_fields__))
        return edits.set_field(vessel, [part.tag], field, draw(values(fields_of(type(part))[field])))
    if what == "retag":
        return edits.retag(vessel, part.tag, draw(names))
    if what == "move":
        return edits.move(vessel, [part.tag], *draw(points))
    if what == "turn":
        return edits.turn(vessel, [part.tag], draw(st.integers(-9, 9)))
    if what == "split":
        return edits.split_run(vessel, part.tag, draw(st.floats(0, 1)), draw(components("x", kind)))
    if what == "heal":
        return edits.heal(vessel, part.tag)
    return apply(vessel, [draw(changes(part))])


@given(vessels(max_components=4), st.data())
def test_a_row_of_edits_leaves_a_vessel_that_can_be_saved(vessel: Vessel, data: st.DataObject) -> None:
    for _ in range(6):
        before = msgspec.json.encode(vessel)
        try:
            new = edited(vessel, data)
        except EditError as refusal:
            assert str(refusal)
            new = vessel
        assert msgspec.json.encode(vessel) == before
        assert parse_vessel(format_vessel(new), "x") == new
        assert bool(difference(vessel, new).kinds) == (new != vessel)
        heights(new)
        vessel = new
