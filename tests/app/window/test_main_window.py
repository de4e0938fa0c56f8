# SPDX-License-Identifier: MIT
"""The window in use, with real mouse and keyboard events."""

from __future__ import annotations

from pathlib import Path

import msgspec
import pytest
from PySide6.QtCore import QMimeData, QPoint, QPointF, Qt, QTimer, QUrl
from PySide6.QtGui import QDragEnterEvent, QDropEvent, QKeySequence
from PySide6.QtPrintSupport import QPrinter
from PySide6.QtWidgets import (
    QApplication,
    QComboBox,
    QLabel,
    QLineEdit,
    QMessageBox,
    QPushButton,
    QToolButton,
)
from pytestqt.qtbot import QtBot

from app.editing.document import Document
from app.editing.recovery import Journal, found_work
from app.panels.rows.number_row import NumberRow
from app.settings import Settings
from app.window.canvas_side import marks
from app.window.main_window import MainWindow
from solver.results import Finding
from solver.vessel.edits import add_deck, remove, set_field
from solver.vessel.file import read_vessel, write_vessel
from solver.vessel.vessel import Deck, Vessel
from tests.app.small_loop import small_loop, unsolvable_loop


def click_part(
    window: MainWindow,
    tag: str,
    qtbot: QtBot,
    modifiers: Qt.KeyboardModifier = Qt.KeyboardModifier.NoModifier,
) -> None:
    """Click a part on the canvas."""
    place = window.view.mapFromScene(window.scene.place_of(tag).center())
    qtbot.mouseClick(window.view.viewport(), Qt.MouseButton.LeftButton, modifiers, place)


def field_of(window: MainWindow, key: str) -> QLineEdit:
    form = window.docks.properties.sheet.form
    assert form is not None
    editor = form.rows[key].editor
    assert isinstance(editor, QLineEdit)
    return editor


def type_into(field: QLineEdit, text: str, qtbot: QtBot) -> None:
    field.setFocus()
    field.selectAll()
    qtbot.keyClicks(field, text)
    qtbot.keyClick(field, Qt.Key.Key_Return)


def press(window: MainWindow, keys: str | QKeySequence.StandardKey, qtbot: QtBot) -> None:
    """Press a shortcut where the keyboard is."""
    qtbot.keySequence(QApplication.focusWidget() or window, QKeySequence(keys))


# Empty


def test_an_empty_window_offers_three_ways_to_begin(window: MainWindow) -> None:
    assert window.empty.isVisible()
    assert [button.text() for button in window.empty.buttons] == [
        "Start from the sample",
        "Open a vessel…",
        "Draw a new vessel",
    ]
    for name in ("print", "export", "undo", "redo", "fit"):
        assert not window.actions_by_name[name].isEnabled()
    assert window.status.state.text() == ""


def test_a_new_vessel_begins_with_the_empty_sheet_and_the_parts_beside_it(
    window: MainWindow, qtbot: QtBot
) -> None:
    qtbot.mouseClick(window.empty.buttons[2], Qt.MouseButton.LeftButton)
    assert window.view.isVisible()
    assert window.view.hasFocus()
    assert not window.docks.parts.visibleRegion().isEmpty()
    assert "Take a part" in window.status.currentMessage()
    qtbot.keyClick(window.view, Qt.Key.Key_C)
    qtbot.mouseClick(window.view.viewport(), Qt.MouseButton.LeftButton)
    assert len(window.document.vessel.components) == 1


def test_the_sheet_stays_when_no_part_comes_first(window: MainWindow, qtbot: QtBot) -> None:
    qtbot.mouseClick(window.empty.buttons[2], Qt.MouseButton.LeftButton)
    window.document.edit("Add a deck", lambda vessel: add_deck(vessel, Deck("Main deck")))
    assert window.view.isVisible()
    window.document.undo()
    assert window.view.isVisible()
    window.document.show(Vessel(name="Another"))
    assert window.empty.isVisible()


def test_the_sample_opens_solved_and_is_never_written_over(window: MainWindow, qtbot: QtBot) -> None:
    qtbot.mouseClick(window.empty.buttons[0], Qt.MouseButton.LeftButton)
    assert window.view.isVisible()
    assert window.store.results is not None
    assert not window.store.behind
    assert window.document.path is None
    assert window.status.state.text().startswith("Solved")


# Opening


def test_a_file_opens_with_its_title_and_is_remembered(shown: MainWindow, boat: Path) -> None:
    assert "Test boat (boat.farcabin)" in shown.windowTitle()
    assert not shown.isWindowModified()
    assert shown.settings.recent_files() == [str(boat)]
    assert shown.store.results is not None


def test_a_refused_file_is_told_without_stopping_the_work(
    shown: MainWindow, tmp_path: Path, qtbot: QtBot
) -> None:
    broken = tmp_path / "broken.farcabin"
    broken.write_text('{"format": 1}', encoding="utf-8")
    assert not shown.files.open_path(broken)
    [notice] = shown.notices.notices()
    assert "broken.farcabin" in notice.text
    assert shown.document.vessel.name == "Test boat"
    qtbot.mouseClick(notice.buttons[-1], Qt.MouseButton.LeftButton)
    assert shown.notices.notices() == []


def test_a_file_dropped_on_the_window_is_opened(window: MainWindow, boat: Path) -> None:
    data = QMimeData()
    data.setUrls([QUrl.fromLocalFile(str(boat))])
    place = QPoint(400, 300)
    copy, left = Qt.DropAction.CopyAction, Qt.MouseButton.LeftButton
    enter = QDragEnterEvent(place, copy, data, left, Qt.KeyboardModifier.NoModifier)
    QApplication.sendEvent(window, enter)
    assert enter.isAccepted()
    QApplication.sendEvent(
        window, QDropEvent(QPointF(place), copy, data, left, Qt.KeyboardModifier.NoModifier)
    )
    assert window.document.path == boat


def test_another_kind_of_file_is_not_taken(window: MainWindow, tmp_path: Path) -> None:
    data = QMimeData()
    data.setUrls([QUrl.fromLocalFile(str(tmp_path / "plan.pdf"))])
    enter = QDragEnterEvent(
        QPoint(400, 300),
        Qt.DropAction.CopyAction,
        data,
        Qt.MouseButton.LeftButton,
        Qt.KeyboardModifier.NoModifier,
    )
    QApplication.sendEvent(window, enter)
    assert not enter.isAccepted()


def test_recent_files_that_are_gone_are_greyed(window: MainWindow, boat: Path, tmp_path: Path) -> None:
    window.settings.add_recent_file(tmp_path / "gone.farcabin")
    window.settings.add_recent_file(boat)
    menu = next(
        action.menu()
        for action in window.menuBar().actions()[0].menu().actions()
        if action.menu() and "recent" in action.text().lower()
    )
    menu.aboutToShow.emit()
    assert [(action.text()[4:], action.isEnabled()) for action in menu.actions()] == [
        ("boat.farcabin", True),
        ("gone.farcabin", False),
    ]


# Selecting and editing


def test_a_click_on_an_air_handler_shows_its_sheet(shown: MainWindow, qtbot: QtBot) -> None:
    assert shown.docks.properties.currentWidget() is shown.docks.properties.vessel_sheet
    click_part(shown, "AH-2", qtbot)
    sheet = shown.docks.properties.sheet
    assert shown.docks.properties.currentWidget() is sheet
    assert sheet.results_block.headline.endswith("% of design flow")
    assert [part.tag for part in sheet.parts] == ["AH-2"]
    assert [index.data() for index in shown.docks.outline.tree.selectionModel().selectedRows()] == [
        "AH-2  Guest"
    ]
    click_part(shown, "AH-1", qtbot, Qt.KeyboardModifier.ControlModifier)
    assert [part.tag for part in sheet.parts] == ["AH-2", "AH-1"]
    shown.view.setFocus()
    qtbot.keyClick(shown.view, Qt.Key.Key_Escape)
    assert shown.docks.properties.currentWidget() is shown.docks.properties.vessel_sheet


def test_a_valve_set_with_the_keyboard_changes_the_numbers_and_undo_brings_them_back(
    shown: MainWindow, qtbot: QtBot
) -> None:
    click_part(shown, "AH-2", qtbot)
    before = shown.docks.properties.sheet.results_block.headline
    click_part(shown, "RV-2", qtbot)
    type_into(field_of(shown, "setting"), "4", qtbot)
    assert shown.isWindowModified()
    assert shown.actions_by_name["undo"].text() == "&Undo change handwheel setting of RV-2"
    click_part(shown, "AH-2", qtbot)
    after = shown.docks.properties.sheet.results_block.headline
    assert after != before
    press(shown, QKeySequence.StandardKey.Undo, qtbot)
    assert shown.docks.properties.sheet.results_block.headline == before
    assert not shown.isWindowModified()
    press(shown, "Ctrl+Y", qtbot)
    assert shown.docks.properties.sheet.results_block.headline == after
    press(shown, QKeySequence.StandardKey.Undo, qtbot)
    press(shown, "Ctrl+Shift+Z", qtbot)
    assert shown.docks.properties.sheet.results_block.headline == after


def test_a_length_typed_in_feet_is_kept_in_metres(shown: MainWindow, qtbot: QtBot) -> None:
    shown.shown.select(("R-5",))
    type_into(field_of(shown, "length_m"), "40 ft", qtbot)
    assert shown.document.vessel.run_by_tag["R-5"].length_m == pytest.approx(12.192)


def test_a_dragged_slider_is_one_step(shown: MainWindow, qtbot: QtBot) -> None:
    click_part(shown, "P-1", qtbot)
    form = shown.docks.properties.sheet.form
    assert form is not None
    row = form.rows["speed_percent"]
    assert isinstance(row, NumberRow)
    assert row.below is not None
    y, width = row.below.height() // 2, row.below.width()
    start = round(8 + (width - 16) * row.below.value() / row.below.maximum())
    qtbot.mousePress(row.below, Qt.MouseButton.LeftButton, pos=QPoint(start, y))
    for x in range(start, width // 2, -10):
        qtbot.mouseMove(row.below, QPoint(x, y))
    qtbot.mouseRelease(row.below, Qt.MouseButton.LeftButton, pos=QPoint(width // 2, y))
    speed = shown.document.vessel.component_by_tag["P-1"].speed_percent
    assert speed < 90
    assert shown.store.results is not None
    assert shown.store.results.pumps["P-1"].speed_percent == speed
    shown.actions_by_name["undo"].trigger()
    assert shown.document.vessel == small_loop()
    assert not shown.actions_by_name["undo"].isEnabled()


def test_enter_brings_the_keyboard_to_the_part_s_first_field(shown: MainWindow, qtbot: QtBot) -> None:
    click_part(shown, "RV-2", qtbot)
    qtbot.keyClick(shown.view, Qt.Key.Key_Return)
    focus = QApplication.focusWidget()
    assert shown.docks.properties.isAncestorOf(focus)


def test_what_is_wrong_is_explained_and_kept(shown: MainWindow, qtbot: QtBot) -> None:
    click_part(shown, "AH-1", qtbot)
    type_into(field_of(shown, "design_flow_L_s"), "3 bar", qtbot)
    form = shown.docks.properties.sheet.form
    assert form is not None
    problem = form.rows["design_flow_L_s"].problem
    assert problem.isVisible()
    assert "a flow is expected" in problem.text()
    assert field_of(shown, "design_flow_L_s").text() == "3 bar"
    assert not shown.isWindowModified()


# Findings


def test_a_click_on_a_finding_selects_and_zooms(shown: MainWindow, qtbot: QtBot) -> None:
    view = shown.docks.findings.list_view
    model = view.model()
    row = next(row for row in range(model.rowCount()) if "AH-2" in model.index(row, 0).data())
    before = shown.view.scale_now()
    qtbot.mouseClick(
        view.viewport(), Qt.MouseButton.LeftButton, pos=view.visualRect(model.index(row, 0)).center()
    )
    assert "AH-2" in shown.shown.tags
    assert "AH-2" in shown.scene.selected_tags()
    assert shown.view.scale_now() != before


def test_the_status_bar_counts_the_findings(shown: MainWindow, qtbot: QtBot) -> None:
    counts = shown.docks.findings.counts()
    assert sum(counts.values()) > 0
    assert str(max(counts.values())) in shown.status.counts.text()
    shown.docks.tables_dock.raise_()
    qtbot.mouseClick(shown.status.counts, Qt.MouseButton.LeftButton)
    assert shown.docks.findings.list_view.hasFocus()


def test_a_vessel_without_answer_says_why_and_keeps_the_old_numbers_dimmed(shown: MainWindow) -> None:
    shown.document.edit("Remove EX-1", lambda vessel: remove(vessel, ("EX-1",)))
    assert shown.status.state.text().startswith("Not solved: ")
    assert shown.store.behind
    assert shown.docks.findings.counts()["bad"] > 0
    assert not shown.docks.tables.views[0].isEnabled()
    shown.document.undo()
    assert shown.status.state.text().startswith("Solved")


def test_marks_take_the_worst_of_the_findings() -> None:
    found = (
        Finding("a", "note", "", tags=("P-1", "R-1")),
        Finding("b", "warn", "", tags=("P-1",)),
        Finding("c", "note", "", tags=("P-1",)),
    )
    assert marks(found, ()) == {"P-1": "warn", "R-1": "note"}
    assert marks(found, ("R-1",)) == {"P-1": "warn", "R-1": "bad"}


# Units, theme, overlay


def all_texts(window: MainWindow) -> list[str]:
    """Return everything that can be read in the window but the canvas."""
    texts = [label.text() for label in window.findChildren(QLabel) if label.isVisible()]
    texts += [edit.text() for edit in window.findChildren(QLineEdit) if edit.isVisible()]
    texts += [combo.currentText() for combo in window.findChildren(QComboBox) if combo.isVisible()]
    findings = window.docks.findings.list_view.model()
    texts += [str(findings.index(row, 0).data()) for row in range(findings.rowCount())]
    window.docks.tables_dock.raise_()
    for number, view in enumerate(window.docks.tables.views):
        window.docks.tables.tabs.setCurrentIndex(number)
        QApplication.processEvents()
        model = view.model()
        columns = range(model.columnCount())
        texts += [str(model.headerData(column, Qt.Orientation.Horizontal)) for column in columns]
        texts += [
            str(model.index(row, column).data()) for row in range(model.rowCount()) for column in columns
        ]
    window.docks.findings_dock.raise_()
    data = window.docks.duty_point.plot.data
    return [*texts, data.x_title, data.y_title, data.ring_text]


SI_UNITS = ("L/min", " kPa", "Pa/m", " m/s", " mm", "°C")
US_UNITS = ("gpm", " psi", "ft/100 ft", "ft/s", "°F")


@pytest.mark.parametrize("tags", [(), ("AH-2",), ("P-1",), ("R-5",), ("RV-1", "RV-2")])
def test_every_number_follows_the_units(shown: MainWindow, tags: tuple[str, ...], qtbot: QtBot) -> None:
    shown.shown.select(tags)
    si = all_texts(shown)
    assert not any(unit in text for text in si for unit in US_UNITS)
    press(shown, "Ctrl+U", qtbot)
    us = all_texts(shown)
    assert not [text for text in us if any(unit in text for unit in SI_UNITS)]
    assert shown.scene.title().units.startswith("US")
    assert shown.settings.text("units") == "us"
    button = shown.findChild(QToolButton, "units_si_button")
    qtbot.mouseClick(button, Qt.MouseButton.LeftButton)
    assert all_texts(shown) == si
    assert shown.document.is_clean


def test_a_vessel_that_prefers_us_units_is_shown_in_them(window: MainWindow, tmp_path: Path) -> None:
    path = tmp_path / "us.farcabin"
    write_vessel(set_field(small_loop(), ("P-1",), "notes", ""), path)
    window.files.open_path(path)
    assert window.shown.units == "si"

    write_vessel(msgspec.structs.replace(small_loop(), units="us"), path)
    window.files.open_path(path)
    assert window.shown.units == "us"


def test_theme_and_overlay_are_kept_and_change_the_colours(shown: MainWindow) -> None:
    shown.actions_by_name["theme_dark"].trigger()
    assert shown.shown.theme.dark
    assert shown.scene.picture.theme.dark
    assert shown.settings.text("theme") == "dark"
    shown.actions_by_name["overlay_velocity"].trigger()
    choice = shown.findChild(QComboBox, "overlay")
    assert choice.currentText() == "Velocity"
    assert shown.scene.picture.overlay is not None
    choice.setCurrentIndex(0)
    choice.activated.emit(0)
    assert shown.settings.text("overlay") == "none"


# Keyboard


def test_f6_goes_through_the_panes_and_back(shown: MainWindow, qtbot: QtBot) -> None:
    shown.view.setFocus()
    seen = []
    for _ in range(4):
        press(shown, "F6", qtbot)
        seen.append(QApplication.focusWidget())
    assert seen[0] is shown.docks.outline.tree
    assert shown.docks.properties.isAncestorOf(seen[1])
    assert seen[2] is shown.docks.findings.list_view
    assert seen[3] is shown.view
    press(shown, "Shift+F6", qtbot)
    assert QApplication.focusWidget() is shown.docks.findings.list_view


@pytest.mark.qt_log_ignore("does not support grabbing the keyboard", extend=True)
def test_a_tag_is_found_by_its_beginning_and_its_case_does_not_matter(
    shown: MainWindow, qtbot: QtBot
) -> None:
    shown.view.setFocus()
    press(shown, QKeySequence.StandardKey.Find, qtbot)
    assert shown.find_tag.hasFocus()
    qtbot.keyClicks(shown.find_tag, "ah-2")
    qtbot.keyClick(shown.find_tag, Qt.Key.Key_Return)
    assert shown.shown.tags == ("AH-2",)
    assert shown.view.hasFocus()
    press(shown, QKeySequence.StandardKey.Find, qtbot)
    qtbot.keyClicks(shown.find_tag, "AH-22")
    qtbot.keyClick(shown.find_tag, Qt.Key.Key_Return)
    assert shown.notices.notices()[0].text == "No part fits AH-22. AH-2?"


def test_everything_can_be_selected_by_key(shown: MainWindow, qtbot: QtBot) -> None:
    shown.view.setFocus()
    press(shown, QKeySequence.StandardKey.SelectAll, qtbot)
    assert len(shown.shown.tags) == 21
    press(shown, "Ctrl+Shift+A", qtbot)
    assert shown.shown.tags == ()


def test_every_action_has_words_and_no_shortcut_is_taken_twice(window: MainWindow) -> None:
    taken: dict[str, str] = {}
    for action in window.actions_by_name.all():
        assert action.text()
        assert action.toolTip()
        for shortcut in action.shortcuts():
            text = shortcut.toString()
            assert text not in taken, (text, action.text(), taken.get(text))
            taken[text] = action.text()


def test_access_keys_are_unique_in_every_menu(window: MainWindow) -> None:
    for top in window.menuBar().actions():
        menu = top.menu()
        keys = [
            action.text()[action.text().find("&") + 1].lower() for action in menu.actions() if action.text()
        ]
        assert all("&" in action.text() for action in menu.actions() if action.text())
        assert len(keys) == len(set(keys)), (top.text(), keys)


# Saving and leaving


def test_saving_takes_the_star_away(shown: MainWindow, boat: Path, qtbot: QtBot) -> None:
    click_part(shown, "RV-2", qtbot)
    type_into(field_of(shown, "setting"), "2", qtbot)
    assert shown.isWindowModified()
    press(shown, QKeySequence.StandardKey.Save, qtbot)
    assert not shown.isWindowModified()
    assert read_vessel(boat).component_by_tag["RV-2"].setting == 2.0
    assert not shown.actions_by_name["save"].isEnabled()


def test_a_vessel_without_a_file_asks_for_one(
    shown: MainWindow, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    shown.document.show(small_loop())
    target = tmp_path / "other"
    monkeypatch.setattr(shown.files, "ask_path_to_save", lambda: str(target))
    assert shown.files.save()
    assert shown.document.path == target.with_suffix(".farcabin")
    assert "other.farcabin" in shown.windowTitle()


@pytest.mark.parametrize(
    ("answer", "leaves", "saved"), [("save", True, True), ("discard", True, False), ("cancel", False, False)]
)
def test_unsaved_work_is_asked_about(
    shown: MainWindow, boat: Path, answer: str, leaves: bool, saved: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    shown.document.edit("Set", lambda vessel: set_field(vessel, ("RV-2",), "setting", 2.0))
    monkeypatch.setattr(shown.files, "ask_what_to_do", lambda: answer)
    shown.actions_by_name["new"].trigger()
    assert shown.document.is_empty is leaves
    assert (read_vessel(boat).component_by_tag["RV-2"].setting == 2.0) is saved
    monkeypatch.setattr(shown.files, "ask_what_to_do", lambda: "discard")


def test_a_window_that_may_not_close_stays(shown: MainWindow, monkeypatch: pytest.MonkeyPatch) -> None:
    shown.document.edit("Set", lambda vessel: set_field(vessel, ("RV-2",), "setting", 2.0))
    monkeypatch.setattr(shown.files, "ask_what_to_do", lambda: "cancel")
    assert not shown.close()
    assert shown.isVisible()
    monkeypatch.setattr(shown.files, "ask_what_to_do", lambda: "discard")


def test_the_question_says_what_each_button_does(shown: MainWindow, qtbot: QtBot) -> None:

    seen: list[list[str]] = []

    def answer() -> None:
        box = QApplication.activeModalWidget()
        assert isinstance(box, QMessageBox)
        seen.append(sorted(button.text() for button in box.findChildren(QPushButton)))
        qtbot.keyClick(box, Qt.Key.Key_Escape)

    QTimer.singleShot(0, answer)
    assert type(shown.files).ask_what_to_do(shown.files) == "cancel"
    assert seen == [["&Discard the changes", "&Go on editing", "&Save boat.farcabin"]]


# Paper


@pytest.mark.parametrize(("ending", "begins"), [("png", b"\x89PNG"), ("svg", b"<?xml"), ("pdf", b"%PDF")])
def test_the_drawing_is_exported(
    shown: MainWindow, ending: str, begins: bytes, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / f"drawing.{ending}"
    monkeypatch.setattr(shown.output, "ask_path", lambda: str(path))
    shown.actions_by_name["export"].trigger()
    assert path.read_bytes().startswith(begins)
    assert str(path) in shown.status.currentMessage()
    shown.status.clearMessage()


def test_an_export_that_fails_is_told(
    shown: MainWindow, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(shown.output, "ask_path", lambda: str(tmp_path / "no folder" / "drawing.png"))
    shown.actions_by_name["export"].trigger()
    [notice] = shown.notices.notices()
    assert "cannot be written" in notice.text


def test_the_drawing_is_printed_with_figures_of_its_own_only(
    shown: MainWindow, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    given: list[tuple[object, str]] = []

    def to_file() -> QPrinter:
        printer = QPrinter()
        printer.setOutputFormat(QPrinter.OutputFormat.PdfFormat)
        printer.setOutputFileName(str(tmp_path / "printed.pdf"))
        return printer

    monkeypatch.setattr(shown.output, "ask_printer", to_file)
    shown.actions_by_name["print"].trigger()
    assert (tmp_path / "printed.pdf").read_bytes().startswith(b"%PDF")
    shown.status.clearMessage()

    def note(
        _printer: object, _vessel: object, results: object, *, reason: str, **_rest: object
    ) -> tuple[str, ...]:
        given.append((results, reason))
        return ()

    monkeypatch.setattr("app.window.output.print_drawing", note)
    shown.actions_by_name["print"].trigger()
    shown.document.edit("Remove EX-1", lambda vessel: remove(vessel, ("EX-1",)))
    shown.actions_by_name["print"].trigger()
    assert given[0][0] is shown.store.results
    assert given[1][0] is None
    assert "no expansion vessel" in given[1][1]
    shown.status.clearMessage()


# After a crash


def test_work_left_by_a_crash_is_offered_and_opened_as_a_copy(
    shown: MainWindow, boat: Path, tmp_path: Path, qtbot: QtBot
) -> None:

    lost = Document(small_loop())
    folder = tmp_path / "crashed"
    journal = Journal(lost, folder, delay_ms=10**7)
    lost.edit("Set", lambda vessel: set_field(vessel, ("RV-2",), "setting", 3.9))
    journal.write()
    kept = journal.file.read_bytes()
    journal.close()
    journal.file.write_bytes(kept)
    [work] = found_work(folder)
    shown.offer_work(work)
    [notice] = shown.notices.notices()
    assert "Test boat" in notice.text
    before = boat.read_bytes()
    qtbot.mouseClick(notice.buttons[0], Qt.MouseButton.LeftButton)
    assert shown.document.vessel.component_by_tag["RV-2"].setting == 3.9
    assert shown.document.path is None
    assert shown.isWindowModified()
    assert boat.read_bytes() == before
    assert list(folder.glob("*.journal")) == []


def test_panels_and_size_are_kept_from_one_start_to_the_next(
    qtbot: QtBot, settings: Settings, tmp_path: Path
) -> None:
    first = MainWindow(Document(), settings, tmp_path / "journals", force_sync=True)
    first.show()
    first.docks.outline_dock.hide()
    first.close()
    first.deleteLater()
    second = MainWindow(Document(), settings, tmp_path / "journals", force_sync=True)
    second.show()
    assert not second.docks.outline_dock.isVisible()
    assert second.docks.properties_dock.isVisible()
    second.close()
    second.deleteLater()


def test_it_solves_in_its_thread_and_ends_it(
    qtbot: QtBot, settings: Settings, tmp_path: Path, boat: Path
) -> None:
    window = MainWindow(Document(), settings, tmp_path / "journals")
    window.show()
    window.files.open_path(boat)
    qtbot.waitUntil(lambda: window.store.results is not None)
    window.document.edit("Set", lambda vessel: set_field(vessel, ("RV-2",), "setting", 3.9))
    qtbot.waitUntil(
        lambda: window.store.results is not None and window.store.results.vessel is window.document.vessel
    )
    window.document.save()
    window.close()
    window.deleteLater()


def test_a_vessel_that_was_never_solvable_shows_no_numbers(window: MainWindow) -> None:
    window.document.show(unsolvable_loop())
    assert window.store.results is None
    assert window.status.state.text().startswith("Not solved: ")
    window.shown.select(("AH-1",))
    assert window.docks.properties.sheet.results_block.headline == ""
