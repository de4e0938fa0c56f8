# SPDX-License-Identifier: MIT
"""Parts chosen alike: by kind, branch and circuit."""

from __future__ import annotations

from app.editing.choosing import components_of, of_branch, of_circuit, of_same_kind
from solver.vessel.parts import all_tags
from tests.app.small_loop import small_loop


def test_parts_are_chosen_by_kind_branch_and_circuit() -> None:
    vessel = small_loop()
    assert of_same_kind(vessel, ("RV-1",)) == ("RV-1", "RV-2")
    assert set(of_branch(vessel, ("AH-1",))) == {"AH-1", "RV-1", "R-2", "R-3", "R-4"}
    everything = set(all_tags(vessel)) - {"C-1", "C-2"}
    assert set(of_circuit(vessel, ("R-5",))) == everything


def test_components_are_told_from_other_parts() -> None:
    parts = components_of(small_loop(), ("R-1", "AH-1", "C-1", "gone"))
    assert [part.tag for part in parts] == ["AH-1"]
