# SPDX-License-Identifier: MIT
"""Decks and deck plans in the window, by mouse and by keys."""

from __future__ import annotations

from pathlib import Path

import msgspec
import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QColor, QImage
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from app.editing.underlays import add_underlay, with_deck_scale
from app.window.main_window import MainWindow
from solver.vessel.edits import set_field
from solver.vessel.vessel import Underlay


@pytest.fixture
def plan(tmp_path: Path) -> Path:
    image = QImage(1200, 300, QImage.Format.Format_RGB32)
    image.fill(QColor("black"))
    path = tmp_path / "plan.png"
    assert image.save(str(path))
    return path


def _press(window: MainWindow, qtbot: QtBot, x: int, y: int) -> tuple[float, float]:
    port = window.view.viewport()
    qtbot.mouseClick(port, Qt.MouseButton.LeftButton, pos=QPoint(x, y))
    back, _ = window.view.viewportTransform().inverted()
    return back.map(float(x), float(y))  # type: ignore[return-value]


def test_two_points_and_a_distance_set_the_scale(shown: MainWindow, qtbot: QtBot, plan: Path) -> None:
    assert shown.plans.add_path(plan)
    steps = len(shown.document._steps)
    shown.actions_by_name["scale_plan"].trigger()
    first = _press(shown, qtbot, 100, 100)
    second = _press(shown, qtbot, 300, 100)
    entry = shown.plans.entry
    assert entry.isVisible()
    qtbot.keyClicks(entry.edit, "three")
    qtbot.keyClick(entry.edit, Qt.Key.Key_Return)
    assert entry.problem.isVisible() and entry.edit.text() == "three"
    entry.edit.clear()
    qtbot.keyClicks(entry.edit, "20 ft")
    qtbot.keyClick(entry.edit, Qt.Key.Key_Return)
    assert not entry.isVisible() and not shown.plans.scale_tool.in_hand
    wanted = 20 * 0.3048 / (second[0] - first[0])
    assert shown.document.vessel.underlays[0].metres_per_unit == pytest.approx(wanted)
    assert shown.document.vessel.decks[0].metres_per_unit == pytest.approx(wanted)
    assert len(shown.document._steps) == steps + 1
    shown.document.undo()
    assert shown.document.vessel.decks[0].metres_per_unit is None


def test_the_scale_by_keys_alone_and_escape(shown: MainWindow, qtbot: QtBot, plan: Path) -> None:
    shown.plans.add_path(plan)
    shown.actions_by_name["scale_plan"].trigger()
    qtbot.keyClick(shown.view, Qt.Key.Key_Return)
    for _ in range(10):
        qtbot.keyClick(shown.view, Qt.Key.Key_Right)
    qtbot.keyClick(shown.view, Qt.Key.Key_Return)
    qtbot.keyClicks(shown.plans.entry.edit, "4")
    qtbot.keyClick(shown.plans.entry.edit, Qt.Key.Key_Return)
    assert shown.document.vessel.underlays[0].metres_per_unit == pytest.approx(0.04)
    shown.actions_by_name["scale_plan"].trigger()
    qtbot.keyClick(shown.view, Qt.Key.Key_Escape)
    assert not shown.plans.scale_tool.in_hand


def test_a_drag_moves_the_plan_in_one_step(shown: MainWindow, qtbot: QtBot, plan: Path) -> None:
    shown.plans.add_path(plan)
    before, steps = shown.document.vessel.underlays[0].at, len(shown.document._steps)
    shown.actions_by_name["move_plan"].trigger()
    port = shown.view.viewport()
    qtbot.mousePress(port, Qt.MouseButton.LeftButton, pos=QPoint(100, 100))
    for x in (110, 130, 150):
        qtbot.mouseMove(port, QPoint(x, 100))
    qtbot.mouseRelease(port, Qt.MouseButton.LeftButton, pos=QPoint(150, 100))
    after = shown.document.vessel.underlays[0].at
    assert after[0] - before[0] == pytest.approx(50 / shown.view.scale_now(), rel=0.05)
    qtbot.keyClick(shown.view, Qt.Key.Key_Right)
    assert shown.document.vessel.underlays[0].at[0] == pytest.approx(after[0] + 10)
    assert len(shown.document._steps) == steps + 2
    qtbot.keyClick(shown.view, Qt.Key.Key_Return)
    assert not shown.plans.move_tool.in_hand


def test_a_plan_begins_an_empty_vessel_and_shows(window: MainWindow, plan: Path) -> None:
    assert window.plans.add_path(plan)
    QApplication.processEvents()
    assert window.view.isVisible()
    picture = window.view.grab().toImage()
    middle = picture.pixelColor(picture.width() // 2, picture.height() // 2)
    paper = QColor(window.shown.theme.paper)
    assert middle.lightness() < paper.lightness() - 30


def test_a_missing_plan_is_told_and_kept(shown: MainWindow) -> None:
    shown.document.edit("Plan", lambda vessel: add_underlay(vessel, Underlay(file="gone.png")))
    assert any("gone.png" in notice.text for notice in shown.notices.notices())
    assert shown.scene.underlay_at(shown.view.mapToScene(0, 0)) is None
    assert shown.document.vessel.underlays[0].file == "gone.png"
    assert not shown.plans.add_path(Path("nothing.png"))


def test_decks_are_added_renamed_dimmed_and_removed(shown: MainWindow, qtbot: QtBot) -> None:
    shown.docks.decks_dock.raise_()
    QApplication.processEvents()
    panel = shown.docks.decks
    assert panel.decks.current == "Lower deck"
    panel.buttons["add"].click()
    assert shown.document.vessel.decks[2].height_m == pytest.approx(4.8)
    assert panel.decks.current == "Deck 1"
    panel.table.item(2, 0).setText("Sun deck")
    assert shown.document.vessel.decks[2].name == panel.decks.current == "Sun deck"
    panel.table.item(2, 1).setText("nine")
    assert panel.problem.isVisible()
    panel.table.item(2, 1).setText("15 ft")
    assert shown.document.vessel.decks[2].height_m == pytest.approx(15 * 0.3048)
    panel.table.setFocus()
    panel.table.setCurrentCell(2, 0)
    qtbot.keyClick(panel.table, Qt.Key.Key_Delete)
    assert [deck.name for deck in shown.document.vessel.decks] == ["Lower deck", "Main deck"]
    panel.table.setCurrentCell(0, 0)
    panel.buttons["remove"].click()
    assert "move them first" in panel.problem.text()
    panel.buttons["down"].click()
    assert [deck.name for deck in shown.document.vessel.decks] == ["Main deck", "Lower deck"]


def test_a_hidden_deck_is_not_pointed_at(shown: MainWindow, qtbot: QtBot) -> None:
    panel = shown.docks.decks
    place = shown.scene.place_of("AH-1").center()
    assert shown.scene.tags_at(place)[0] == "AH-1"
    panel.table.setCurrentCell(0, 0)
    qtbot.keyClick(panel.table, Qt.Key.Key_Space)
    assert panel.decks.layer("Lower deck") == "dimmed"
    assert shown.scene.tags_at(place)[0] == "AH-1"
    qtbot.keyClick(panel.table, Qt.Key.Key_Space)
    assert "AH-1" not in shown.scene.tags_at(place)
    panel.buttons["all"].click()
    assert shown.scene.tags_at(place)[0] == "AH-1"
    assert shown.document.is_clean


def test_the_height_of_a_deck_changes_rises(shown: MainWindow) -> None:
    vessel = shown.document.vessel
    vessel = set_field(vessel, ("AH-1", "AH-2"), "height_m", 0.5)
    vessel = set_field(vessel, ("RV-1",), "height_m", 0.0)
    vessel = set_field(vessel, ("RV-1",), "deck", "Main deck")
    shown.document.edit("Heights", vessel)

    def rise() -> float:
        heights = shown.document.vessel.heights.by_tag
        return heights["RV-1"] - heights["AH-1"]

    assert rise() == pytest.approx(1.9)
    shown.docks.decks.table.item(1, 1).setText("3 m")
    assert rise() == pytest.approx(2.5)
    shown.document.undo()
    assert rise() == pytest.approx(1.9)


def test_the_scale_without_a_deck_plan_by_two_points(shown: MainWindow, qtbot: QtBot) -> None:
    before = shown.document.vessel
    assert not before.underlays and not any(deck.metres_per_unit for deck in before.decks)
    shown.docks.decks.scale.button.click()
    first = _press(shown, qtbot, 100, 100)
    second = _press(shown, qtbot, 300, 100)
    qtbot.keyClicks(shown.plans.entry.edit, "20 ft")
    qtbot.keyClick(shown.plans.entry.edit, Qt.Key.Key_Return)
    wanted = 20 * 0.3048 / (second[0] - first[0])
    assert shown.document.vessel.decks[0].metres_per_unit == pytest.approx(wanted)
    assert shown.document.undo_name == "Set the scale of the drawing"
    shown.document.undo()
    assert shown.document.vessel == before


def test_the_scale_without_a_deck_plan_typed(shown: MainWindow, qtbot: QtBot) -> None:
    scale = shown.docks.decks.scale
    field = scale.row.editor
    assert field.text() == "" and "assumed" in field.toolTip()
    shown.docks.decks_dock.raise_()
    field.setFocus()
    qtbot.keyClicks(field, "2 bar")
    qtbot.keyClick(field, Qt.Key.Key_Return)
    assert "length" in scale.row.problem.text() and field.text() == "2 bar"
    field.clear()
    qtbot.keyClicks(field, "20 ft")
    qtbot.keyClick(field, Qt.Key.Key_Return)
    deck = shown.document.vessel.decks[0]
    assert deck.metres_per_unit == pytest.approx(20 * 0.3048 / 100)
    run = shown.document.vessel.runs[0]
    on_drawing = msgspec.structs.replace(run, length_known="drawing")
    shown.document.edit(
        "Drawing", lambda vessel: msgspec.structs.replace(vessel, runs=(on_drawing, *vessel.runs[1:]))
    )
    shown.document.edit("Half", lambda vessel: with_deck_scale(vessel, deck.name, 0.02))
    first = shown.document.vessel.runs[0].length_m
    assert float(field.text()) == 2.0
    shown.document.edit("Whole", lambda vessel: with_deck_scale(vessel, deck.name, 0.04))
    assert shown.document.vessel.runs[0].length_m == pytest.approx(2 * first)
    scale.row.reset.action.trigger()
    assert shown.document.vessel.decks[0].metres_per_unit is None
