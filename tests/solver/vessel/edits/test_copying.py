# SPDX-License-Identifier: MIT
"""Copies within a vessel and between vessels: new tags, runs between, ends that dangle, what is dropped."""

from __future__ import annotations

import msgspec
import pytest
from hypothesis import given
from hypothesis import strategies as st

from solver.vessel import edits
from solver.vessel.components import AirHandler
from solver.vessel.edits import Clip
from solver.vessel.file import format_vessel, parse_vessel
from solver.vessel.routing import way
from solver.vessel.run import End
from solver.vessel.vessel import Cabin, Deck, Vessel
from tests.solver.vessel.boats import every_kind
from tests.solver.vessel.drawings import drawn, joined, part, refused, untouched

CABINS = (
    Cabin(tag="C-1", name="Owner", deck="Main", outline=((0, 0), (200, 0), (200, 150), (0, 150))),
    Cabin(tag="C-2", name="Guest", deck="Main"),
)
ROOM = joined(
    drawn(
        part("P-1", "circulation_pump", (0, 300)),
        part("IV-3S", "isolating_valve", (150, 300)),
        part("AH-07", "air_handler", (300, 200), cabins=("C-1", "C-2"), name="Owner"),
        part("IV-3R", "isolating_valve", (320, 300), 1),
        cabins=CABINS,
    ),
    "P-1 outlet > IV-3S inlet",
    "IV-3S outlet > AH-07 water_in",
    "AH-07 water_out > IV-3R inlet",
)
BRANCH = ["IV-3S", "AH-07", "IV-3R"]


def cooled(vessel: Vessel, tag: str) -> tuple[str, ...]:
    component = vessel.component_by_tag[tag]
    assert isinstance(component, AirHandler)
    return component.cabins


# Within a vessel


def test_copies_get_the_next_tags_of_their_families() -> None:
    pasted = edits.duplicate(ROOM, BRANCH)
    assert pasted.tags == {
        "IV-3S": "IV-4S",
        "AH-07": "AH-08",
        "IV-3R": "IV-4R",
        "R-2": "R-4",
        "R-3": "R-5",
    }
    assert untouched(ROOM, pasted.vessel)


def test_runs_between_the_copies_come_along_as_they_are_drawn() -> None:
    vessel = edits.duplicate(ROOM, BRANCH, (40, 60)).vessel
    for old, new in (("R-2", "R-4"), ("R-3", "R-5")):
        before, after = (
            way(ROOM, ROOM.run_by_tag[old]),
            way(vessel, vessel.run_by_tag[new]),
        )
        assert after == tuple((x + 40, y + 60) for x, y in before)
        assert vessel.run_by_tag[new].length_m == ROOM.run_by_tag[old].length_m


def test_an_end_whose_run_was_left_behind_is_listed() -> None:
    pasted = edits.duplicate(ROOM, BRANCH)
    assert pasted.dangling == (End("IV-4S", "inlet"),)
    assert edits.why_not(pasted.vessel, pasted.dangling[0]) is None


def test_a_chosen_run_with_an_end_outside_is_left_behind() -> None:
    cut = edits.clip(ROOM, [*BRANCH, "R-1"])
    assert [run.tag for run in cut.runs] == ["R-2", "R-3"]


def test_copies_are_not_locked() -> None:
    vessel = edits.duplicate(edits.lock(ROOM, [*BRANCH, "R-2"]), BRANCH).vessel
    assert not any(vessel.component_by_tag[tag].locked for tag in ("IV-4S", "AH-08", "IV-4R"))
    assert not vessel.run_by_tag["R-4"].locked


def test_an_air_handler_cools_the_copy_of_its_cabin_or_the_same_one() -> None:
    pasted = edits.duplicate(ROOM, [*BRANCH, "C-1"])
    assert pasted.tags["C-1"] == "C-3"
    assert cooled(pasted.vessel, "AH-08") == ("C-3", "C-2")
    assert pasted.vessel.cabins[-1].outline[0] == (40, 40)
    assert pasted.dropped == ()


def test_copies_stay_on_the_grid_wherever_they_are_put() -> None:
    for at in ((503.3, 97.1), (-14.0, 1000.0)):
        vessel = edits.paste(ROOM, edits.clip(ROOM, BRANCH), at).vessel
        x, y = vessel.component_by_tag["AH-08"].at
        assert (x % 10, y % 10) == (0, 0)


# Between vessels


OTHER = drawn(part("IV-9S", "isolating_valve", (0, 0), deck=""), decks=(Deck("Lower", 0.0, 0.1),))


def test_in_another_vessel_tags_are_free_there() -> None:
    pasted = edits.paste(OTHER, edits.clip(ROOM, BRANCH), (300, 300))
    assert pasted.tags["IV-3S"] == "IV-10S"
    assert set(pasted.vessel.component_by_tag) == {"IV-9S", *(pasted.tags[tag] for tag in BRANCH)}


def test_decks_and_cabins_that_are_not_there_are_dropped_and_told() -> None:
    pasted = edits.paste(OTHER, edits.clip(ROOM, BRANCH), (300, 300))
    assert pasted.dropped == (
        "deck Main, which this vessel has not",
        "cabin C-1 (Owner), which this vessel has not",
        "cabin C-2 (Guest), which this vessel has not",
    )
    assert cooled(pasted.vessel, pasted.tags["AH-07"]) == ()
    assert all(one.deck == "" for one in pasted.vessel.components if one.tag != "IV-9S")


def test_a_cabin_of_the_same_tag_but_another_name_is_another_cabin() -> None:
    here = msgspec.structs.replace(
        OTHER, cabins=(Cabin(tag="C-1", name="Crew"), Cabin(tag="C-2", name="Guest"))
    )
    pasted = edits.paste(here, edits.clip(ROOM, BRANCH), (300, 300))
    assert cooled(pasted.vessel, pasted.tags["AH-07"]) == ("C-2",)


def test_lengths_off_the_drawing_follow_the_scale_of_the_other_vessel() -> None:
    other = msgspec.structs.replace(OTHER, decks=(Deck("Main", 0.0, 0.1),), components=())
    pasted = edits.paste(other, edits.clip(ROOM, BRANCH), (300, 300))
    old, new = ROOM.run_by_tag["R-2"], pasted.vessel.run_by_tag[pasted.tags["R-2"]]
    assert new.length_m == pytest.approx(2 * old.length_m)


def test_a_clip_goes_through_the_clipboard() -> None:
    cut = edits.clip(ROOM, [*BRANCH, "C-1"])
    assert msgspec.json.decode(msgspec.json.encode(cut), type=Clip) == cut


def test_nothing_to_copy() -> None:
    error = refused(edits.clip, ROOM, ["R-1"])
    assert str(error) == "there is nothing to copy; choose components or cabins"
    assert "no part has the tag" in str(refused(edits.clip, ROOM, ["X-1"]))


def test_a_place_beyond_the_drawing() -> None:
    assert "at[0] of P-2: the number is too large" in str(
        refused(edits.paste, ROOM, edits.clip(ROOM, ["P-1"]), (1e99, 0.0))
    )


@given(data=st.data())
def test_any_parts_of_a_vessel_can_be_copied_into_another_and_saved(data: st.DataObject) -> None:
    source = every_kind()
    tags = [one.tag for one in (*source.components, *source.cabins)]
    chosen = data.draw(st.lists(st.sampled_from(tags), min_size=1, unique=True))
    target = data.draw(st.sampled_from([source, OTHER]))
    pasted = edits.paste(target, edits.clip(source, chosen), (0.0, 900.0))
    assert len(set(pasted.tags.values())) == len(pasted.tags)
    assert untouched(target, pasted.vessel)
    assert parse_vessel(format_vessel(pasted.vessel), "x") == pasted.vessel
    for end in pasted.dangling:
        assert edits.why_not(pasted.vessel, end) is None
