# SPDX-License-Identifier: MIT
"""Numbers for many parts at once: their order, no clash, and all that names them follows."""

from __future__ import annotations

from typing import Any

import msgspec
import pytest
from hypothesis import given
from hypothesis import strategies as st

from solver.change import Change
from solver.vessel import edits
from solver.vessel.checks import problems
from solver.vessel.components import AirHandler
from solver.vessel.edits.numbering import copied_tags
from solver.vessel.run import End
from solver.vessel.vessel import Cabin, Deck, Reading, ReadingSet, Scenario, Vessel
from tests.solver.vessel.boats import every_kind
from tests.solver.vessel.drawings import drawn, joined, part, refused, untouched

#: Air handlers in two rows on two decks, a little out of line, tagged in no order.
ROWS = drawn(
    part("AH-4", "air_handler", (200, 5), deck="Lower"),
    part("AH-10", "air_handler", (0, 0), deck="Main"),
    part("AH-9", "air_handler", (10, 200), deck="Lower"),
    part("AH-2", "air_handler", (210, 195), deck="Main"),
    part("P-1", "circulation_pump", (500, 100)),
    decks=(Deck("Lower", -1.0, 0.05), Deck("Main", 2.0, 0.05)),
    cabins=(Cabin(tag="C-1"),),
)
HANDLERS = ["AH-4", "AH-10", "AH-9", "AH-2"]


@pytest.mark.parametrize(
    ("order", "first_to_last"),
    [
        ("across", ["AH-10", "AH-4", "AH-9", "AH-2"]),
        ("down", ["AH-10", "AH-9", "AH-4", "AH-2"]),
        ("deck", ["AH-10", "AH-2", "AH-4", "AH-9"]),
        ("tag", ["AH-2", "AH-4", "AH-9", "AH-10"]),
    ],
)
def test_parts_are_numbered_in_an_order(order: Any, first_to_last: list[str]) -> None:
    mapping = edits.numbering(ROWS, HANDLERS, order=order)
    assert mapping == {tag: f"AH-{number}" for number, tag in enumerate(first_to_last, start=1)}


def test_a_prefix_a_first_number_and_noughts() -> None:
    mapping = edits.numbering(ROWS, HANDLERS, prefix="FCU ", start=8, digits=3, order="tag")
    assert list(mapping.values()) == ["FCU 008", "FCU 009", "FCU 010", "FCU 011"]


def test_each_kind_is_counted_by_itself() -> None:
    mapping = edits.numbering(ROWS, ["AH-2", "P-1", "AH-4", "C-1"], start=5, order="tag")
    assert mapping == {"AH-2": "AH-5", "AH-4": "AH-6", "C-1": "C-5", "P-1": "P-5"}


def test_tags_may_swap() -> None:
    swapped = edits.renumber(ROWS, {"AH-4": "AH-2", "AH-2": "AH-4"})
    assert swapped.component_by_tag["AH-2"].at == (200, 5)
    assert swapped.component_by_tag["AH-4"].at == (210, 195)
    assert untouched(ROWS, swapped, "AH-2", "AH-4")


def test_the_tag_of_a_part_that_is_not_numbered_is_not_taken() -> None:
    error = refused(edits.numbering, ROWS, ["AH-10", "AH-9"], start=2, order="tag")
    assert str(error) == "AH-2 is the tag of another part; choose another start or prefix"
    assert "AH-2" in error.tags
    assert "AH-2 is the tag of another part" in str(refused(edits.renumber, ROWS, {"AH-4": "AH-2"}))
    assert "C-1 is the tag of another part" in str(refused(edits.renumber, ROWS, {"AH-4": "C-1"}))


def test_numbering_that_is_refused_says_why() -> None:
    assert 'no order is called "acros"; accepted: across?' in str(
        refused(edits.numbering, ROWS, HANDLERS, order="acros")
    )
    assert "accepted: a whole number of at least 0" in str(refused(edits.numbering, ROWS, HANDLERS, start=-1))
    assert 'no part has the tag "AH-5"' in str(refused(edits.numbering, ROWS, ["AH-5"]))
    assert '"Q" is given to two parts' in str(refused(edits.renumber, ROWS, {"AH-4": "Q", "AH-2": "Q"}))
    assert "tag of AH-4" in str(refused(edits.renumber, ROWS, {"AH-4": "A:B"}))


def told() -> Vessel:
    """A loop whose parts are named everywhere that a part can be named."""
    vessel = joined(
        drawn(
            part("P-1", "circulation_pump", (0, 0)),
            part("AH-1", "air_handler", (200, -100), cabins=("C-1", "C-2")),
            cabins=(Cabin(tag="C-1"), Cabin(tag="C-2")),
        ),
        "P-1 outlet > AH-1 water_in",
        "AH-1 water_out > P-1 inlet",
    )
    readings = (Reading("AH-1", "flow_L_s", 0.2), Reading("R-1", "temp_C", 7.0))
    changes = (Change("P-1", "speed_percent", 80.0), Change("R-1", "length_m", 3.0))
    return msgspec.structs.replace(
        vessel,
        readings=(ReadingSet("2026-05-01", readings), ReadingSet("2026-05-02")),
        scenarios=(Scenario("Slow", changes), Scenario("Empty")),
    )


def test_all_that_names_a_part_follows() -> None:
    before = told()
    mapping = {"P-1": "P-11", "AH-1": "AH-11", "R-1": "R-11", "C-1": "C-11"}
    vessel = edits.renumber(before, mapping)
    assert set(vessel.component_by_tag) == {"P-11", "AH-11"}
    assert (vessel.runs[0].tag, vessel.runs[0].start) == ("R-11", End("P-11", "outlet"))
    assert vessel.runs[1].end == End("P-11", "inlet")
    air_handler = vessel.component_by_tag["AH-11"]
    assert isinstance(air_handler, AirHandler)
    assert air_handler.cabins == ("C-11", "C-2")
    assert [one.tag for one in vessel.readings[0].readings] == ["AH-11", "R-11"]
    assert [one.tag for one in vessel.scenarios[0].changes] == ["P-11", "R-11"]
    assert vessel.readings[1] is before.readings[1]
    assert vessel.scenarios[1] is before.scenarios[1]
    assert problems(vessel) == []
    assert edits.renumber(vessel, {new: old for old, new in mapping.items()}) == before


def test_numbers_as_they_are_change_nothing() -> None:
    assert edits.renumber(ROWS, {tag: tag for tag in HANDLERS}) is ROWS


@given(data=st.data())
def test_any_mapping_and_back_is_the_same_vessel(data: st.DataObject) -> None:
    vessel = every_kind()
    tags = [one.tag for one in (*vessel.components, *vessel.runs, *vessel.cabins)]
    chosen = data.draw(st.lists(st.sampled_from(tags), unique=True, min_size=1))
    mapping = dict(zip(chosen, data.draw(st.permutations(chosen)), strict=True))
    renumbered = edits.renumber(vessel, mapping)
    assert edits.renumber(renumbered, {new: old for old, new in mapping.items()}) == vessel
    assert {one.tag for one in (*renumbered.components, *renumbered.runs, *renumbered.cabins)} == set(tags)


def test_tags_for_copies_go_on_from_the_highest_of_their_family() -> None:
    vessel = drawn(*(part(tag, "tee", (0, 0)) for tag in ("T-7", "T-2", "T-03A", "Tee", "Deck 2 T-1")))
    copies = copied_tags(vessel, ["T-2", "T-7", "T-03A", "Tee", "Deck 2 T-1", "V-001"])
    assert copies == {
        "T-2": "T-8",
        "T-7": "T-9",
        "T-03A": "T-04A",
        "Tee": "Tee 2",
        "Deck 2 T-1": "Deck 2 T-2",
        "V-001": "V-001",
    }
