# SPDX-License-Identifier: MIT
"""Surfaces of a cabin, edited one by one in a sheet as narrow as it gets."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QComboBox, QLineEdit, QPushButton, QWidget
from pytestqt.qtbot import QtBot

from app.panels.property_sheet import PropertySheet
from app.panels.surface_words import construction_choices
from app.panels.surfaces_row import SurfacesRow
from solver.heat.sheet import cabin_sheet
from solver.vessel.cabin import Surface
from solver.vessel.edits import set_field

PORT_SIDE = Surface(kind="side", area_m2=6.0, name="port side", facing_deg=-90.0)
WINDOW = Surface(kind="window", area_m2=1.2, construction="glass_double_clear")
NARROW = 300


@pytest.fixture
def sheet(desk: Any, qtbot: QtBot) -> Iterator[PropertySheet]:
    desk.document.edit(
        "Surfaces", lambda vessel: set_field(vessel, ("C-2",), "surfaces", (PORT_SIDE, WINDOW))
    )
    sheet = PropertySheet(desk.document, desk.store, desk.shown)
    qtbot.addWidget(sheet)
    sheet.resize(NARROW, 1400)
    sheet.show()
    desk.shown.select(("C-2",))
    yield sheet
    sheet.close()


def surfaces_row(sheet: PropertySheet) -> SurfacesRow:
    assert sheet.form is not None
    row = sheet.form.rows["surfaces"]
    assert isinstance(row, SurfacesRow)
    return row


@pytest.fixture
def row(sheet: PropertySheet) -> SurfacesRow:
    return surfaces_row(sheet)


def surfaces_of(desk: Any, tag: str = "C-2") -> tuple[Surface, ...]:
    return next(cabin.surfaces for cabin in desk.document.vessel.cabins if cabin.tag == tag)


def cells(row: SurfacesRow) -> list[list[str]]:
    table = row.table
    found = []
    for at in range(table.rowCount()):
        items = [table.item(at, column) for column in range(3)]
        found.append([item.text() for item in items if item is not None])
    return found


def press(row: SurfacesRow, at: int, qtbot: QtBot) -> None:
    item = row.table.item(at, 0)
    assert item is not None
    place = row.table.visualItemRect(item).center()
    qtbot.mouseClick(row.table.viewport(), Qt.MouseButton.LeftButton, pos=place)


def type_into(row: SurfacesRow, key: str, text: str, qtbot: QtBot) -> None:
    field = row.form.rows[key].editor
    assert isinstance(field, QLineEdit)
    field.setFocus()
    field.selectAll()
    qtbot.keyClicks(field, text)
    qtbot.keyClick(field, Qt.Key.Key_Return)


def click(button: QPushButton, qtbot: QtBot) -> None:
    qtbot.mouseClick(button, Qt.MouseButton.LeftButton)


def test_the_list_says_what_where_how_large_and_how_well_insulated(row: SurfacesRow, desk: Any) -> None:
    # ISO 6946: 1/(0.13 + 0.006 + 0.173 + 0.006 + 0.04) of panes; of the side as its load sheet has it.
    side = cabin_sheet(desk.document.vessel, "C-2")[0].rate
    assert cells(row) == [["port side, port", "6", f"{side:.2f}"], ["window, starboard", "1.2", "2.82"]]
    desk.shown.set_units("us")
    assert cells(row)[0][1] == "64.6"
    header = row.table.horizontalHeaderItem(2)
    assert header is not None
    assert header.text() == "BTU/h ft² °F"


def test_nothing_scrolls_sideways_in_a_narrow_sheet(
    sheet: PropertySheet, row: SurfacesRow, qtbot: QtBot
) -> None:
    for at in (0, 1):
        press(row, at, qtbot)
        content = sheet.widget()
        assert content.width() <= sheet.viewport().width()
        assert row.table.horizontalScrollBar().maximum() == 0
        for widget in row.editor.findChildren(QWidget):
            if widget.isVisibleTo(row.editor) and widget.parentWidget() is row.form:
                right = widget.mapTo(content, widget.rect().topRight()).x()
                assert right <= content.width(), widget.objectName()


def test_the_surface_chosen_is_edited_in_one_step(row: SurfacesRow, desk: Any, qtbot: QtBot) -> None:
    press(row, 1, qtbot)
    type_into(row, "area_m2", "20 sq ft", qtbot)
    changed = surfaces_of(desk)
    assert changed[1].area_m2 == pytest.approx(1.858, abs=1e-3)
    assert changed[0] == PORT_SIDE
    assert row.table.currentRow() == 1
    assert desk.document.undo_name == "Change surfaces of C-2"
    desk.document.undo()
    assert surfaces_of(desk) == (PORT_SIDE, WINDOW)
    assert cells(row)[1][1] == "1.2"


def test_constructions_are_chosen_by_their_u_value(row: SurfacesRow, desk: Any, qtbot: QtBot) -> None:
    press(row, 1, qtbot)
    built = row.form.rows["construction"].editor
    assert isinstance(built, QComboBox)
    assert built.currentText().startswith("2.82 W/m²K, clear glass 6 mm")
    assert built.itemText(0) == "Usual: 5.56 W/m²K, clear glass 10 mm"
    built.setFocus()
    qtbot.keyClick(built, Qt.Key.Key_Up)
    assert surfaces_of(desk)[1].construction == "glass_double_coated"
    assert cells(row)[1][2] == "1.58"


def test_walls_are_not_offered_glass_nor_windows_walls(desk: Any) -> None:
    vessel = desk.document.vessel
    of_side = construction_choices(vessel, PORT_SIDE, "si")
    of_window = construction_choices(vessel, WINDOW, "si")
    assert not any("glass" in text or "acrylic" in text for _name, text in of_side)
    assert all("glass" in text or "acrylic" in text for _name, text in of_window)
    figures = [float(text.split()[0]) for name, text in of_side if name]
    assert figures == sorted(figures)


def test_a_pane_made_a_wall_is_built_as_walls_are(row: SurfacesRow, desk: Any, qtbot: QtBot) -> None:
    press(row, 1, qtbot)
    kind = row.form.rows["kind"].editor
    assert isinstance(kind, QComboBox)
    assert {"window", "hull under water", "deck overhead"} <= {
        kind.itemText(at) for at in range(kind.count())
    }
    index = kind.findText("side above water")
    kind.setCurrentIndex(index)
    kind.activated.emit(index)
    assert surfaces_of(desk)[1] == Surface(kind="side", area_m2=1.2)


def test_fields_that_do_not_count_are_not_shown(row: SurfacesRow, qtbot: QtBot) -> None:
    rows = row.form.rows

    def seen() -> set[str]:
        return {key for key in rows if rows[key].editor.isVisibleTo(row.editor)}

    press(row, 0, qtbot)
    assert {"facing_deg", "absorptance", "shaded_percent"} <= seen()
    assert "solar_gain" not in seen()
    assert "90 to starboard" in row.hint.text()
    press(row, 1, qtbot)
    assert "solar_gain" in seen()
    assert "absorptance" not in seen()
    beyond = rows["other_side"].editor
    assert isinstance(beyond, QComboBox)
    index = next(at for at in range(beyond.count()) if beyond.itemText(at).startswith("engine room, "))
    assert beyond.itemText(index) == "engine room, 47.5 °C"
    beyond.setCurrentIndex(index)
    beyond.activated.emit(index)
    assert not {"facing_deg", "solar_gain", "shaded_percent"} & seen()
    assert cells(row)[1][0] == "window to engine room"


def test_usual_values_stand_where_nothing_is_typed(row: SurfacesRow, qtbot: QtBot) -> None:
    press(row, 1, qtbot)
    places = {
        key: row.form.rows[key].editor.placeholderText()  # type: ignore[attr-defined]
        for key in ("u_W_m2K", "tilt_deg", "solar_gain")
    }
    assert places == {"u_W_m2K": "2.82 usual", "tilt_deg": "90 usual", "solar_gain": "0.7 usual"}


def test_surfaces_are_added_duplicated_and_removed(row: SurfacesRow, desk: Any, qtbot: QtBot) -> None:
    row.kind.setCurrentIndex(row.kind.findData("machinery"))
    click(row.add, qtbot)
    assert surfaces_of(desk)[-1].kind == "machinery"
    assert row.table.currentRow() == 2
    assert row.form.rows["area_m2"].editor.hasFocus()
    press(row, 1, qtbot)
    click(row.twice, qtbot)
    assert surfaces_of(desk)[1] == surfaces_of(desk)[3] == WINDOW
    assert row.table.currentRow() == 3
    click(row.remove, qtbot)
    assert len(surfaces_of(desk)) == 3
    row.table.setFocus()
    qtbot.keyClick(row.table, Qt.Key.Key_Delete)
    assert surfaces_of(desk) == (PORT_SIDE, WINDOW)


def test_surfaces_are_copied_from_another_cabin_mirrored_too(
    sheet: PropertySheet, desk: Any, qtbot: QtBot
) -> None:
    desk.shown.select(("C-1",))
    row = surfaces_row(sheet)
    assert not row.table.isVisible()
    assert row.like.currentText().startswith("C-2")
    click(row.copy, qtbot)
    assert surfaces_of(desk, "C-1") == (PORT_SIDE, WINDOW)
    click(row.mirror, qtbot)
    assert [each.facing_deg for each in surfaces_of(desk, "C-1")] == [90.0, -90.0]
    desk.document.undo()
    desk.document.undo()
    assert surfaces_of(desk, "C-1") == ()
    desk.shown.select(("C-2",))
    assert not surfaces_row(sheet).copy.isEnabled()


def test_what_is_refused_is_told_where_it_was_typed(row: SurfacesRow, desk: Any, qtbot: QtBot) -> None:
    type_into(row, "area_m2", "3 bar", qtbot)
    assert "an area is expected here" in row.form.rows["area_m2"].problem.text()
    assert surfaces_of(desk)[0].area_m2 == 6.0


def test_surfaces_of_unlike_cabins_are_mixed(sheet: PropertySheet, desk: Any) -> None:
    desk.shown.select(("C-1", "C-2"))
    row = surfaces_row(sheet)
    assert cells(row) == [["mixed", "", ""]]
    assert not row.add.isEnabled()
    assert not row.form.isVisible()
