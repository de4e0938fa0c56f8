# SPDX-License-Identifier: MIT
"""Edits of many parts: aligned, distributed, copied, deleted, renumbered, chosen alike."""

from __future__ import annotations

import pytest

from app.editing import arranging
from solver.errors import EditError
from solver.vessel.edits import move
from solver.vessel.footprint import body
from solver.vessel.vessel import Vessel
from tests.app.small_loop import small_loop


@pytest.fixture
def vessel() -> Vessel:
    return small_loop()


def _at(vessel: Vessel, *tags: str) -> list[tuple[float, float]]:
    return [vessel.component_by_tag[tag].at for tag in tags]


def test_align_brings_sides_into_line(vessel: Vessel) -> None:
    tags = ("RV-1", "RV-2")
    vessel = move(vessel, ("RV-2",), 0.0, 60.0)
    top = arranging.align(vessel, tags, "top")
    assert {body(top.component_by_tag[tag]).top for tag in tags} == {
        body(vessel.component_by_tag["RV-1"]).top
    }
    left = arranging.align(vessel, tags, "left")
    assert [x for x, _ in _at(left, *tags)] == [140.0, 140.0]
    middle = arranging.align(vessel, tags, "middle")
    assert [y for _, y in _at(middle, *tags)] == [130.0, 130.0]
    assert arranging.align(vessel, ("RV-1",), "top") is vessel


def test_distribute_makes_distances_equal(vessel: Vessel) -> None:
    tags = ("T-0", "T-1", "AH-2")
    spread = arranging.distribute(vessel, tags, "across")
    assert [x for x, _ in _at(spread, *tags)] == [-60.0, 140.0, 340.0]


def test_duplicate_copies_runs_between(vessel: Vessel) -> None:
    grown, new = arranging.duplicate(vessel, ("AH-1", "RV-1"))
    assert new == ("AH-3", "RV-3", "R-11")
    run = grown.run_by_tag["R-11"]
    assert (run.start, run.end) == (("AH-3", "water_out"), ("RV-3", "inlet"))
    assert _at(grown, "AH-3") == [(180.0, 40.0)]
    assert grown.components[: len(vessel.components)] == vessel.components


def test_delete_heals_the_run_of_one_part(vessel: Vessel) -> None:
    healed = arranging.delete(vessel, ("RV-1",))
    assert healed.run_by_tag["R-3"].end == ("T-2", "branch")
    assert "R-4" not in healed.run_by_tag
    gone = arranging.delete(vessel, ("RV-1", "AH-1"))
    assert not {"R-2", "R-3", "R-4"} & gone.run_by_tag.keys()


def test_parts_are_chosen_by_kind_branch_and_circuit(vessel: Vessel) -> None:
    assert arranging.of_same_kind(vessel, ("RV-1",)) == ("RV-1", "RV-2")
    assert set(arranging.of_branch(vessel, ("AH-1",))) == {"AH-1", "RV-1", "R-2", "R-3", "R-4"}
    everything = {*vessel.component_by_tag, *vessel.run_by_tag}
    assert set(arranging.of_circuit(vessel, ("R-5",))) == everything


def test_renumber_goes_through_tags_that_are_taken(vessel: Vessel) -> None:
    pairs = arranging.renumbered(vessel, ("AH-1", "AH-2"), "AH-", 2, "across")
    assert pairs == [("AH-1", "AH-2"), ("AH-2", "AH-3")]
    new = arranging.renumber(vessel, pairs)
    assert new.component_by_tag["AH-2"].at == (140.0, 0.0)
    assert new.run_by_tag["R-6"].start.tag == "AH-3"
    assert arranging.renumbered(vessel, ("AH-1", "AH-2"), "F", 1, "down")[0][1] == "F1"
    with pytest.raises(EditError, match="RV-1 is the tag of another part"):
        arranging.renumbered(vessel, ("AH-1",), "RV-", 1, "tag")
    assert arranging.prefix_of(("AH-1", "AH-20")) == "AH-"
    assert arranging.prefix_of(("AH-1", "T-1")) == ""
