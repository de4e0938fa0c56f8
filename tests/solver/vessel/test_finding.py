# SPDX-License-Identifier: MIT
"""Parts found by what is typed."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from solver.vessel.finding import find_tags
from solver.vessel.vessel import Cabin
from tests.solver.vessel.boats import every_kind
from tests.solver.vessel.drawings import drawn, joined, part

ROOM = joined(
    drawn(
        part("AH-10", "air_handler", (0, 0), name="Owner aft"),
        part("AH-1", "air_handler", (200, 0), model="Air handler 3.5 kW"),
        part("AH-03", "air_handler", (400, 0), notes="rattles at full fan"),
        part("P-1", "circulation_pump", (0, 300)),
        part("IV-1", "isolating_valve", (200, 300)),
        cabins=(Cabin(tag="C-1", name="Owner"), Cabin(tag="C-2", name="Guest, aft")),
    ),
    "P-1 outlet > IV-1 inlet",
)


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("AH-1", ["AH-1", "AH-10"]),
        ("ah1", ["AH-1", "AH-10"]),
        ("ah 3", ["AH-03"]),
        ("AH-003", ["AH-03"]),
        ("iv", ["IV-1"]),
        # The whole name, then names that begin with it; then words of names.
        ("owner", ["C-1", "AH-10"]),
        ("aft", ["AH-10", "C-2"]),
        ("pump", ["P-1"]),
        ("circulation pump", ["P-1"]),
        ("valve", ["IV-1"]),
        ("3.5 kw", ["AH-1"]),
        ("rattles", ["AH-03"]),
        ("cabin", ["C-1", "C-2"]),
        ("run", ["R-1"]),
        ("26x3", ["R-1"]),
        ("xyz", []),
        ("", []),
        ("  ", []),
        ("--", []),
    ],
)
def test_what_is_typed_finds_the_parts_the_best_first(text: str, found: list[str]) -> None:
    assert find_tags(ROOM, text) == found


def test_among_equals_the_order_is_that_of_the_vessel() -> None:
    assert find_tags(ROOM, "air handler") == ["AH-10", "AH-1", "AH-03"]


@given(data=st.data())
def test_every_part_is_found_first_by_its_own_tag(data: st.DataObject) -> None:
    vessel = every_kind()
    tag = data.draw(st.sampled_from([one.tag for one in (*vessel.components, *vessel.runs, *vessel.cabins)]))
    for text in (tag, tag.lower(), f" {tag} "):
        assert find_tags(vessel, text)[0] == tag


@given(text=st.text(max_size=8))
def test_anything_can_be_typed(text: str) -> None:
    found = find_tags(ROOM, text)
    assert len(set(found)) == len(found)
