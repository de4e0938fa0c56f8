# SPDX-License-Identifier: MIT
"""A part's tag and main value, typed beside it on the sheet."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtWidgets import QApplication, QLineEdit
from pytestqt.qtbot import QtBot

from app.panels.sheet_form import SheetForm, main_field
from app.window.main_window import MainWindow
from solver.vessel.components import KINDS
from solver.vessel.run import Run
from solver.vessel.vessel import Cabin
from tests.app.small_loop import small_loop

_LEFT = Qt.MouseButton.LeftButton


@pytest.fixture
def card(shown: MainWindow) -> SheetForm:
    shown.activateWindow()
    shown.view.setFocus()
    return shown.drawing.card


def _field(card: SheetForm, key: str) -> QLineEdit:
    assert card.form is not None
    editor = card.form.rows[key].editor
    assert isinstance(editor, QLineEdit)
    return editor


def _on(window: MainWindow, tag: str) -> QPoint:
    return window.view.mapFromScene(window.scene.place_of(tag).center())


def test_every_kind_has_something_to_type() -> None:
    for kind in (*KINDS.values(), Run, Cabin):
        part = next((part for part in small_loop().components if type(part) is kind), None)
        if part is not None:
            assert main_field(part) is not None
    assert main_field(small_loop().runs[0]).key == "length_m"  # type: ignore[union-attr]


def test_a_double_click_edits_the_main_value_in_any_unit(
    shown: MainWindow, card: SheetForm, qtbot: QtBot
) -> None:
    qtbot.mouseDClick(shown.view.viewport(), _LEFT, pos=_on(shown, "AH-1"))
    assert card.isVisible() and card.tag == "AH-1"
    field = _field(card, "design_flow_L_s")
    assert QApplication.focusWidget() is field
    assert field.selectedText() == field.text() != ""
    qtbot.keyClicks(field, "3.2 gpm")
    qtbot.keyClick(field, Qt.Key.Key_Return)
    part = shown.document.vessel.component_by_tag["AH-1"]
    assert part.design_flow_L_s == pytest.approx(3.2 * 0.0630902, rel=1e-4)
    assert shown.document.undo_name == "Change design flow of AH-1"
    assert not card.isVisible()
    assert shown.view.hasFocus()


def test_bad_text_is_kept_and_explained(shown: MainWindow, card: SheetForm, qtbot: QtBot) -> None:
    shown.shown.select(("AH-1",))
    qtbot.keyClick(shown.view, Qt.Key.Key_F2)
    field = _field(card, "design_flow_L_s")
    before = shown.document.vessel
    qtbot.keyClicks(field, "3 bar")
    qtbot.keyClick(field, Qt.Key.Key_Return)
    assert card.isVisible() and field.text() == "3 bar"
    assert card.form is not None
    problem = card.form.rows["design_flow_L_s"].problem
    assert problem.isVisible() and "a flow is expected" in problem.text()
    assert problem.height() >= problem.heightForWidth(problem.width())
    assert card.form.geometry().bottom() <= card.rect().bottom()
    shown.docks.outline.tree.setFocus()
    assert card.isVisible()
    assert shown.document.vessel is before
    field.setFocus()
    qtbot.keyClick(field, Qt.Key.Key_Escape)
    assert card.isVisible() and field.text() != "3 bar"
    qtbot.keyClick(field, Qt.Key.Key_Escape)
    assert not card.isVisible()
    assert shown.document.vessel is before


def test_a_tag_is_typed_on_its_label(shown: MainWindow, card: SheetForm, qtbot: QtBot) -> None:
    shown.scene.lay_out_labels()
    _, placed = shown.scene.picture.labels.shown()["AH-1"]
    scale = shown.view.scale_now()
    x, y = (placed.box[0] + 6) / scale, (placed.box[1] + placed.box[3]) / 2 / scale
    qtbot.mouseDClick(shown.view.viewport(), _LEFT, pos=shown.view.mapFromScene(x, y))
    field = _field(card, "tag")
    assert QApplication.focusWidget() is field
    qtbot.keyClicks(field, "AH-2")
    qtbot.keyClick(field, Qt.Key.Key_Return)
    assert card.isVisible() and card.form is not None
    assert "AH-2" in card.form.rows["tag"].problem.text()
    field.selectAll()
    qtbot.keyClicks(field, "AH-77")
    qtbot.keyClick(field, Qt.Key.Key_Return)
    assert not card.isVisible()
    assert "AH-77" in shown.document.vessel.component_by_tag
    assert shown.shown.tags == ("AH-77",)


def test_the_card_goes_with_its_part_and_with_the_keyboard(
    shown: MainWindow, card: SheetForm, qtbot: QtBot
) -> None:
    shown.document.edit("Nothing", small_loop())
    qtbot.mouseDClick(shown.view.viewport(), _LEFT, pos=_on(shown, "RV-1"))
    assert card.tag == "RV-1"
    assert shown.view.rect().contains(card.geometry())
    shown.shown.set_units("us")
    shown.docks.outline.tree.setFocus()
    assert not card.isVisible()
    shown.actions_by_name["edit_here"].trigger()
    assert card.tag == "RV-1"
    shown.shown.select(("RV-1",))
    shown.actions_by_name["delete"].trigger()
    assert not card.isVisible()
    shown.shown.select(())
    assert not shown.actions_by_name["edit_here"].isEnabled()
