# SPDX-License-Identifier: MIT
"""The far guest cabin of the 27 m sample runs warm; opening its branch cools it, by mouse and keyboard."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication, QKeySequence
from PySide6.QtWidgets import QComboBox, QLineEdit
from pytestqt.qtbot import QtBot

from app.panels.results_table import TAG
from app.shipped import shipped
from app.window.main_window import MainWindow
from solver.results import CabinFigures
from solver.vessel.edits import set_field

FAR = "C-9"


@pytest.fixture
def yacht(window: MainWindow) -> MainWindow:
    assert window.document.open_copy(shipped("sample_vessels") / "motor_yacht_27m.farcabin")
    return window


def cabin(window: MainWindow, tag: str = FAR) -> CabinFigures:
    results = window.store.results
    assert results is not None
    assert results.heat is not None
    return results.heat.cabins[tag]


def rows(window: MainWindow) -> dict[str, list[str]]:
    """Return tag -> the cells of the table of cabins."""
    table = window.live_panels.cabins
    model = table.views[0].model()
    columns = range(model.columnCount())
    return {
        str(model.index(row, 0).data()): [str(model.index(row, column).data()) for column in columns]
        for row in range(model.rowCount())
    }


def test_the_far_cabin_runs_warm_and_its_opened_branch_cools_it(yacht: MainWindow, qtbot: QtBot) -> None:
    warm = cabin(yacht)
    assert warm.above_K > 1.0
    guests = [each for each in ("C-6", "C-7") if cabin(yacht, each).above_K < 0.5]
    assert guests == ["C-6", "C-7"]

    yacht.live_panels.cabins_dock.raise_()
    view = yacht.live_panels.cabins.views[0]
    qtbot.waitUntil(lambda: FAR in rows(yacht))
    shown = rows(yacht)[FAR]
    assert shown[2:5] == [f"{warm.temp_C:.1f}", f"{warm.above_K:.1f}", "too warm"]

    model = view.model()
    [row] = [at for at in range(model.rowCount()) if model.index(at, 0).data(TAG) == FAR]
    view.scrollTo(model.index(row, 0))
    place = view.visualRect(model.index(row, 0)).center()
    qtbot.mouseClick(view.viewport(), Qt.MouseButton.LeftButton, pos=place)
    assert yacht.shown.tags == (FAR,)
    block = yacht.docks.properties.sheet.results_block
    assert block.headline == f"{warm.temp_C:.1f} °C"
    assert "too warm" in block.judgement

    place = yacht.view.mapFromScene(yacht.scene.place_of("RV-9").center())
    qtbot.mouseClick(yacht.view.viewport(), Qt.MouseButton.LeftButton, pos=place)
    form = yacht.docks.properties.sheet.form
    assert form is not None
    field = form.rows["setting"].editor
    assert isinstance(field, QLineEdit)
    field.setFocus()
    field.selectAll()
    qtbot.keyClicks(field, "4")
    qtbot.keyClick(field, Qt.Key.Key_Return)

    cooled = cabin(yacht)
    assert cooled.temp_C < warm.temp_C - 1.0
    assert abs(cooled.above_K) <= 0.5
    qtbot.waitUntil(lambda: rows(yacht)[FAR][4] == "at set point")
    yacht.document.undo()
    assert cabin(yacht).temp_C == pytest.approx(warm.temp_C, abs=0.01)


def test_conditions_are_one_step_and_change_every_temperature(yacht: MainWindow, qtbot: QtBot) -> None:
    choice = yacht.findChild(QComboBox, "conditions")
    assert choice is not None
    before = cabin(yacht).temp_C
    choice.setFocus()
    qtbot.keyClick(choice, Qt.Key.Key_Down)
    assert yacht.document.vessel.current_conditions.name == "Gulf summer"
    assert yacht.document.undo_name == "Change conditions to Gulf summer"
    assert cabin(yacht).temp_C > before + 2.0
    assert yacht.scene.title()[1] == "Gulf summer"
    yacht.document.undo()
    assert choice.currentText() == "Mediterranean summer"
    assert cabin(yacht).temp_C == pytest.approx(before, abs=0.01)


def test_the_last_entry_leads_to_where_conditions_are_edited(yacht: MainWindow) -> None:
    yacht.shown.select(("AH-9",))
    choice = yacht.conditions
    choice.activated.emit(choice.count() - 1)
    assert yacht.shown.tags == ()
    assert choice.currentText() == "Mediterranean summer"
    sheet = yacht.docks.properties.vessel_sheet
    assert yacht.docks.properties.currentWidget() is sheet
    assert sheet.horizontalScrollBar().value() == 0


@pytest.mark.parametrize(("name", "title"), [("temperature", "°C"), ("condensation", "K")])
def test_overlays_of_heat_are_chosen_shown_and_kept(yacht: MainWindow, name: str, title: str) -> None:
    yacht.actions_by_name[f"overlay_{name}"].trigger()
    overlay = yacht.scene.picture.overlay
    assert overlay is not None
    assert (overlay.name, overlay.unit) == (name, title)
    assert overlay.text("R-58").endswith(title)
    assert yacht.settings.text("overlay") == name


def test_stopped_chillers_are_told_with_what_to_check_and_the_caution(yacht: MainWindow) -> None:
    yacht.document.edit("Stop", lambda vessel: set_field(vessel, ("P-1",), "running", False))
    yacht.shown.select(("CH-1",))
    block = yacht.docks.properties.sheet.results_block
    assert block.headline == "Stopped"
    assert "too little loop water" in block.judgement
    assert "Check: circulation pump" in block.judgement
    assert "licensed" in block.caution


def test_labels_say_what_air_handlers_cool_from_where_the_user_wants(yacht: MainWindow) -> None:
    picture = yacht.scene.picture
    yacht.view.zoom_to(("AH-9",))
    yacht.scene.lay_out_labels()
    assert "ΔT" in picture.labels.shown()["AH-9"][0].value
    yacht.actions_by_name["cooling_never"].trigger()
    yacht.scene.lay_out_labels()
    assert picture.labels.shown()["AH-9"][0].value == "59 %"
    assert yacht.settings.text("cooling") == "never"


def test_heat_is_copied_as_picture_and_as_table(yacht: MainWindow, qtbot: QtBot) -> None:
    panel = yacht.live_panels.heat_flow
    yacht.live_panels.heat_flow_dock.raise_()
    panel.drawing.setFocus()
    qtbot.keySequence(panel.drawing, QKeySequence(QKeySequence.StandardKey.Copy))
    text = QGuiApplication.clipboard().text()
    assert text.splitlines()[0] == "From\tTo\tHeat, kW"
    assert "Cabins\tLoop water\t" in text
    assert "off by 0.00\u00a0%" in text
    panel.copy_picture.trigger()
    assert not QGuiApplication.clipboard().image().isNull()


def test_a_click_on_a_chillers_plate_selects_it(yacht: MainWindow, qtbot: QtBot) -> None:
    yacht.live_panels.heat_flow_dock.raise_()
    drawing = yacht.live_panels.heat_flow.drawing
    qtbot.waitUntil(lambda: bool(drawing.rects))
    place = drawing.rects["CH-2"].center().toPoint()
    qtbot.mouseClick(drawing, Qt.MouseButton.LeftButton, pos=place)
    assert yacht.shown.tags == ("CH-2",)
