# SPDX-License-Identifier: MIT
"""The outline: what stands where, and the selection both ways."""

from __future__ import annotations

from typing import Any

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QAbstractItemModelTester
from pytestqt.qtbot import QtBot

from app.panels.outline import Outline
from app.panels.outline_model import OutlineModel, tree_of
from solver.vessel.edits import remove, set_field
from solver.vessel.vessel import Vessel
from tests.app.small_loop import small_loop


@pytest.fixture
def outline(desk: Any, qtbot: QtBot) -> Outline:
    outline = Outline(desk.document, desk.store, desk.shown)
    qtbot.addWidget(outline)
    outline.resize(260, 600)
    outline.show()
    return outline


def model_of(outline: Outline) -> OutlineModel:
    model = outline.tree.model()
    assert isinstance(model, OutlineModel)
    return model


def test_circuits_then_kinds_then_parts() -> None:
    root = tree_of(small_loop())
    assert [branch.text for branch in root.children] == ["Fresh-water loop", "Cabins"]
    kinds = [group.text for group in root.children[0].children]
    assert kinds == [
        "Air handlers (2)",
        "Circulation pumps (1)",
        "Regulating valves (2)",
        "Expansion vessels (1)",
        "Tees (3)",
        "Runs (10)",
    ]
    assert [part.tag for part in root.children[0].children[5].children][-1] == "R-10"


def test_parts_that_hang_apart_are_circuits_of_their_own() -> None:
    split = remove(small_loop(), ("R-8",))
    split = remove(split, ("R-1",))
    texts = [branch.text for branch in tree_of(split).children]
    assert texts == ["Fresh-water loop", "Fresh-water loop 2", "Cabins"]


def test_an_empty_vessel_has_an_empty_tree() -> None:
    assert tree_of(Vessel(name="Empty")).children == []


def test_every_part_stands_in_the_tree_once() -> None:
    vessel = small_loop()
    tags = tree_of(vessel).all_tags()
    assert len(tags) == len(set(tags))
    assert set(tags) == {
        *vessel.component_by_tag,
        *vessel.run_by_tag,
        *(cabin.tag for cabin in vessel.cabins),
    }


def test_the_model_keeps_the_rules_of_its_kind(desk: Any, qtbot: QtBot) -> None:
    model = OutlineModel()
    tester = QAbstractItemModelTester(model, QAbstractItemModelTester.FailureReportingMode.Fatal)
    model.show_vessel(desk.document.vessel)
    model.show_values(desk.store.results, "si")
    model.show_vessel(Vessel(name="Empty"))
    assert tester.model() is model


def test_values_follow_results_and_units(outline: Outline, desk: Any) -> None:
    index = model_of(outline).index_of("AH-2").siblingAtColumn(1)
    before = index.data()
    assert before == f"{desk.store.results.air_handlers['AH-2'].share_of_design * 100:.0f} %"
    desk.edit("RV-2", "setting", 4.0)
    assert index.data() != before
    run = model_of(outline).index_of("R-1").siblingAtColumn(1)
    assert run.data().endswith("L/min")
    desk.shown.set_units("us")
    assert run.data().endswith("US gpm")


def test_a_line_says_everything_to_a_screen_reader(outline: Outline) -> None:
    text = model_of(outline).index_of("AH-2").data(Qt.ItemDataRole.AccessibleTextRole)
    assert text.startswith("Air handler, AH-2  Guest, ")
    assert text.endswith(" %")


def test_keys_in_the_tree_select(outline: Outline, desk: Any, qtbot: QtBot) -> None:
    outline.tree.setFocus()
    outline.tree.setCurrentIndex(model_of(outline).index_of("AH-1"))
    assert desk.shown.tags == ("AH-1",)
    qtbot.keyClick(outline.tree, Qt.Key.Key_Down)
    assert desk.shown.tags == ("AH-2",)
    zoomed: list[tuple[str, ...]] = []
    desk.shown.zoom_asked.connect(zoomed.append)
    qtbot.keyClick(outline.tree, Qt.Key.Key_Return)
    assert zoomed == [("AH-2",)]


def test_a_kind_selects_all_its_parts(outline: Outline, desk: Any) -> None:
    outline.tree.setCurrentIndex(model_of(outline).index_of("AH-1").parent())
    assert desk.shown.tags == ("AH-1", "AH-2")


def test_the_tree_follows_a_selection_made_elsewhere(outline: Outline, desk: Any) -> None:
    desk.shown.select(("R-9", "P-1"))
    selected = {index.data() for index in outline.tree.selectionModel().selectedRows()}
    assert selected == {"R-9  T-0 – P-1", "P-1  Loop pump"}
    assert desk.shown.tags == ("R-9", "P-1")


def test_the_tree_follows_edits(outline: Outline, desk: Any) -> None:
    desk.shown.select(("AH-2",))
    desk.document.edit("Name", lambda vessel: set_field(vessel, ("AH-2",), "name", "Guest forward"))
    assert model_of(outline).index_of("AH-2").data() == "AH-2  Guest forward"
    assert [index.data() for index in outline.tree.selectionModel().selectedRows()] == ["AH-2  Guest forward"]
    desk.document.edit("Remove", lambda vessel: remove(vessel, ("AH-2",)))
    assert not model_of(outline).index_of("AH-2").isValid()
    desk.document.undo()
    assert model_of(outline).index_of("AH-2").isValid()
