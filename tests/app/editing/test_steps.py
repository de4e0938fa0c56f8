# SPDX-License-Identifier: MIT
"""The undo stack."""

from __future__ import annotations

from app.editing.steps import Steps
from solver.vessel.vessel import Vessel


def boat(name: str) -> Vessel:
    return Vessel(name=name)


def test_undo_and_redo_walk_the_values_back_and_forth() -> None:
    first, second, third = map(boat, ("a", "b", "c"))
    steps = Steps(first)
    steps.push("Rename to b", second)
    steps.push("Rename to c", third)
    assert (steps.undo_name, steps.redo_name) == ("Rename to c", "")
    assert steps.undo()
    assert steps.vessel is second
    assert (steps.undo_name, steps.redo_name) == ("Rename to b", "Rename to c")
    assert steps.undo()
    assert steps.vessel is first
    assert not steps.undo()
    assert steps.redo()
    assert steps.redo()
    assert not steps.redo()
    assert steps.vessel is third


def test_a_new_step_drops_what_could_be_redone() -> None:
    steps = Steps(boat("a"))
    steps.push("one", boat("b"))
    steps.undo()
    steps.push("two", boat("c"))
    assert steps.redo_name == ""
    assert len(steps) == 1
    assert steps.vessel.name == "c"


def test_steps_under_one_key_are_one_step() -> None:
    steps = Steps(boat("a"))
    for name in "bcd":
        steps.push("drag", boat(name), merge_key="slider 1")
    steps.push("drag", boat("e"), merge_key="slider 2")
    assert len(steps) == 2
    steps.undo()
    assert steps.vessel.name == "d"
    steps.undo()
    assert steps.vessel.name == "a"


def test_steps_without_a_key_never_merge() -> None:
    steps = Steps(boat("a"))
    steps.push("type", boat("b"))
    steps.push("type", boat("c"))
    assert len(steps) == 2


def test_a_saved_step_is_not_merged_away() -> None:
    steps = Steps(boat("a"))
    steps.push("drag", boat("b"), merge_key="slider")
    steps.mark_clean()
    steps.push("drag", boat("c"), merge_key="slider")
    steps.undo()
    assert steps.vessel.name == "b"
    assert steps.is_clean


def test_a_step_undone_is_not_merged_into() -> None:
    steps = Steps(boat("a"))
    steps.push("drag", boat("b"), merge_key="slider")
    steps.push("other", boat("c"))
    steps.undo()
    steps.push("drag", boat("d"), merge_key="slider")
    steps.undo()
    assert steps.vessel.name == "b"


def test_clean_mark_follows_the_saved_value() -> None:
    steps = Steps(boat("a"))
    assert steps.is_clean
    steps.push("one", boat("b"))
    assert not steps.is_clean
    steps.mark_clean()
    assert steps.is_clean
    steps.undo()
    assert not steps.is_clean
    steps.redo()
    assert steps.is_clean


def test_the_saved_value_cannot_come_back_once_its_future_is_gone() -> None:
    steps = Steps(boat("a"))
    steps.push("one", boat("b"))
    steps.mark_clean()
    steps.undo()
    steps.push("other", boat("c"))
    assert not steps.is_clean
    steps.undo()
    assert not steps.is_clean


def test_restored_work_is_not_clean() -> None:
    assert not Steps(boat("a"), clean=False).is_clean
