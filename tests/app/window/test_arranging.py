# SPDX-License-Identifier: MIT
"""The Arrange menu on a selection, by its keys."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QColor, QImage
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QMenu
from pytestqt.qtbot import QtBot

from app.panels.renumber_form import RenumberForm
from app.window.arranging import ALIGN_GROUPS, ARRANGE_GROUPS
from app.window.main_window import MainWindow
from solver.vessel.edits import move
from solver.vessel.footprint import body

_CTRL, _ALT, _SHIFT = (
    Qt.KeyboardModifier.ControlModifier,
    Qt.KeyboardModifier.AltModifier,
    Qt.KeyboardModifier.ShiftModifier,
)


def _key(window: MainWindow, key: Qt.Key, modifiers: Qt.KeyboardModifier = _CTRL) -> None:
    window.activateWindow()
    window.view.setFocus()
    QTest.keyClick(window.view, key, modifiers)


def test_align_is_one_step_with_a_name(shown: MainWindow) -> None:
    shown.document.edit("Move", lambda vessel: move(vessel, ("RV-2",), 0.0, 60.0))
    shown.shown.select(("RV-1", "RV-2"))
    _key(shown, Qt.Key.Key_Up, _CTRL | _ALT)
    parts = shown.document.vessel.component_by_tag
    assert body(parts["RV-2"]).top == body(parts["RV-1"]).top
    assert shown.document.undo_name == "Align 2 parts"


def test_what_cannot_be_done_says_why(shown: MainWindow) -> None:
    action = shown.actions_by_name["align_left"]
    shown.shown.select(("RV-1",))
    assert not action.isEnabled() and "two components" in action.toolTip()
    shown.shown.select(("RV-1", "RV-2"))
    assert action.isEnabled() and "two components" not in action.toolTip()
    shown.shown.select(())
    names = {name for group in (*ALIGN_GROUPS, *ARRANGE_GROUPS) for name in group}
    assert not any(shown.actions_by_name[name].isEnabled() for name in names)
    assert shown.actions_by_name["scale_plan"].isEnabled()
    assert not shown.actions_by_name["move_plan"].isEnabled()


def test_turn_duplicate_lock_and_delete(shown: MainWindow) -> None:
    shown.shown.select(("AH-1",))
    _key(shown, Qt.Key.Key_R)
    assert shown.document.vessel.component_by_tag["AH-1"].turn == 1
    _key(shown, Qt.Key.Key_D)
    assert shown.shown.tags == ("AH-3",)
    _key(shown, Qt.Key.Key_L)
    assert shown.document.vessel.component_by_tag["AH-3"].locked
    _key(shown, Qt.Key.Key_L)
    assert not shown.document.vessel.component_by_tag["AH-3"].locked
    _key(shown, Qt.Key.Key_Delete, Qt.KeyboardModifier.NoModifier)
    assert "AH-3" not in shown.document.vessel.component_by_tag
    assert shown.shown.tags == ()
    assert shown.document.undo_name == "Delete AH-3"


def test_branch_and_kind_are_selected(shown: MainWindow) -> None:
    shown.shown.select(("AH-1",))
    _key(shown, Qt.Key.Key_B, _CTRL | _SHIFT)
    assert set(shown.shown.tags) == {"AH-1", "RV-1", "R-2", "R-3", "R-4"}
    shown.shown.select(("RV-1",))
    _key(shown, Qt.Key.Key_K, _CTRL | _SHIFT)
    assert shown.shown.tags == ("RV-1", "RV-2")


def test_the_context_menu_offers_them(shown: MainWindow) -> None:
    texts = {action.objectName() for action in shown.arranging.menu().actions()}
    assert {name for group in ARRANGE_GROUPS for name in group} <= texts
    assert isinstance(shown.arranging.menu(), QMenu)


def test_renumber_shows_before_it_does(shown: MainWindow, qtbot: QtBot) -> None:
    shown.shown.select(("AH-2", "AH-1"))
    form = RenumberForm(shown.document, shown.shown, shown)
    qtbot.addWidget(form)
    assert form.prefix.text() == "AH-"
    form.start.setValue(7)
    assert [form.table.item(row, 1).text() for row in range(2)] == ["AH-7", "AH-8"]
    assert form.go.text() == "&Renumber 2 tags"
    form.prefix.setText("a/b:")
    assert form.problem.text() and not form.go.isEnabled()
    form.prefix.setText("AH-")
    steps = len(shown.document._steps)
    form.go.click()
    assert {"AH-7", "AH-8"} <= shown.document.vessel.component_by_tag.keys()
    assert len(shown.document._steps) == steps + 1


def test_several_valves_take_a_model_in_one_step(shown: MainWindow) -> None:
    shown.shown.select(("RV-1", "RV-2"))
    row = shown.docks.properties.sheet.form.rows["model"]
    combo = row.editor
    index = 1
    combo.setCurrentIndex(index)
    combo.activated.emit(index)
    valves = [shown.document.vessel.component_by_tag[tag] for tag in ("RV-1", "RV-2")]
    assert {valve.model for valve in valves} == {combo.itemText(index)}
    assert [valve.at for valve in valves] == [(140.0, 100.0), (340.0, 100.0)]
    assert shown.document.undo_name.startswith("Use ")
    shown.document.undo()
    assert shown.document.vessel.component_by_tag["RV-1"].model == ""


def test_saving_elsewhere_keeps_the_deck_plan(shown: MainWindow, tmp_path: Path) -> None:
    image = QImage(40, 20, QImage.Format.Format_RGB32)
    image.fill(QColor("white"))
    assert image.save(str(tmp_path / "plan.png"))
    shown.plans.add_path(tmp_path / "plan.png")
    assert shown.document.vessel.underlays[0].file == "plan.png"
    (tmp_path / "other").mkdir()
    assert shown.document.save(tmp_path / "other" / "boat.farcabin")
    assert shown.document.vessel.underlays[0].file == "../plan.png"
    QApplication.processEvents()
    assert shown.scene.underlay_at(QPointF(*shown.document.vessel.underlays[0].at)) == 0
