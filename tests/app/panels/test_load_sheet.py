# SPDX-License-Identifier: MIT
"""The load sheet adds up, and surfaces are edited one by one."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QComboBox, QLineEdit
from pytestqt.qtbot import QtBot

from app.panels.load_sheet import LoadSheet
from app.panels.property_sheet import PropertySheet
from app.panels.surfaces_row import SurfacesRow
from solver.heat.sheet import cabin_sheet
from solver.vessel.cabin import Surface
from solver.vessel.edits import set_fields


@pytest.fixture
def cabin_desk(desk: Any) -> Any:
    """The desk, with a cabin of two surfaces and two people."""
    surfaces = (
        Surface(kind="side", area_m2=6.0, name="port side", facing_deg=-90.0),
        Surface(kind="window", area_m2=1.2),
    )
    desk.document.edit(
        "Surfaces",
        lambda vessel: set_fields(
            vessel, ("C-2",), {"surfaces": surfaces, "people": 2.0, "lights_W": 80.0, "floor_area_m2": 9.0}
        ),
    )
    return desk


@pytest.fixture
def loads(cabin_desk: Any, qtbot: QtBot) -> LoadSheet:
    loads = LoadSheet(cabin_desk.document, cabin_desk.shown)
    qtbot.addWidget(loads)
    loads.resize(760, 300)
    loads.show()
    return loads


@pytest.fixture
def surfaces(cabin_desk: Any, qtbot: QtBot) -> Iterator[SurfacesRow]:
    sheet = PropertySheet(cabin_desk.document, cabin_desk.store, cabin_desk.shown)
    qtbot.addWidget(sheet)
    sheet.resize(360, 1400)
    sheet.show()
    cabin_desk.shown.select(("C-2",))
    assert sheet.form is not None
    row = sheet.form.rows["surfaces"]
    assert isinstance(row, SurfacesRow)
    yield row
    sheet.close()


def column(loads: LoadSheet, number: int) -> list[str]:
    items = [loads.table.item(row, number) for row in range(loads.table.rowCount())]
    return [item.text() for item in items if item is not None]


def test_rows_add_up_to_the_sum(loads: LoadSheet, cabin_desk: Any) -> None:
    cabin_desk.shown.select(("C-2",))
    rows = cabin_sheet(cabin_desk.document.vessel, "C-2")
    assert column(loads, 0)[-1] == "Sum"
    assert len(column(loads, 0)) == len(rows) + 1
    for place, heat in ((4, sum(row.sensible_W for row in rows)), (5, sum(row.latent_W for row in rows))):
        *parts, whole = (float(text) for text in column(loads, place))
        assert whole == pytest.approx(heat, abs=0.6)
        assert sum(parts) == pytest.approx(whole, abs=0.6 * len(parts))
    assert column(loads, 1)[0] == "6 m²"
    assert loads.total.text().endswith("latent")
    assert "Rule of thumb" in loads.notes.text()


def test_it_follows_the_selection_and_the_air_handler_of_a_cabin(loads: LoadSheet, cabin_desk: Any) -> None:
    assert loads.cabin.currentText() == "C-1 · Aft cabin"
    cabin_desk.shown.select(("AH-2",))
    assert loads.cabin.currentText() == "C-2 · Guest cabin"
    assert column(loads, 0)[0] == "Port side to outdoors"
    loads.edit.click()
    assert cabin_desk.shown.tags == ("C-2",)


def test_units_and_copy(loads: LoadSheet, cabin_desk: Any) -> None:
    cabin_desk.shown.select(("C-2",))
    cabin_desk.shown.set_units("us")
    header = loads.table.horizontalHeaderItem(4)
    assert header is not None
    assert header.text() == "Sensible, BTU/h"
    assert column(loads, 1)[0] == "64.6 ft²"
    loads.copy_action.trigger()
    lines = QGuiApplication.clipboard().text().splitlines()
    assert lines[0].split("\t")[0] == "What"
    assert lines[-1].startswith("Sum\t")


def test_a_cabin_without_surfaces_is_an_estimate_and_none_at_all_is_told(
    loads: LoadSheet, cabin_desk: Any
) -> None:
    cabin_desk.shown.select(("C-1",))
    assert column(loads, 0)[0].startswith("Estimate by volume")
    cabin_desk.document.new()
    assert "No cabins yet" in loads.notes.text()
    assert loads.table.rowCount() == 0


def test_the_surface_chosen_is_edited_in_one_step(
    surfaces: SurfacesRow, cabin_desk: Any, qtbot: QtBot
) -> None:
    assert [surfaces.list.item(row).text() for row in range(2)] == ["port side  6 m²", "window  1.2 m²"]
    surfaces.list.setCurrentRow(1)
    area = surfaces.form.rows["area_m2"].editor
    assert isinstance(area, QLineEdit)
    area.setFocus()
    area.selectAll()
    qtbot.keyClicks(area, "20 sq ft")
    qtbot.keyClick(area, Qt.Key.Key_Return)
    changed = cabin_desk.document.vessel.cabins[1].surfaces
    assert changed[1].area_m2 == pytest.approx(1.858, abs=1e-3)
    assert changed[0].area_m2 == 6.0
    assert surfaces.list.currentRow() == 1
    assert cabin_desk.document.undo_name == "Change surfaces of C-2"
    cabin_desk.document.undo()
    assert cabin_desk.document.vessel.cabins[1].surfaces[1].area_m2 == 1.2


def test_surfaces_are_added_by_kind_and_removed(surfaces: SurfacesRow, cabin_desk: Any, qtbot: QtBot) -> None:
    surfaces.kind.setCurrentIndex(surfaces.kind.findData("machinery"))
    qtbot.mouseClick(surfaces.add, Qt.MouseButton.LeftButton)
    added = cabin_desk.document.vessel.cabins[1].surfaces[-1]
    assert (added.kind, surfaces.list.currentRow()) == ("machinery", 2)
    built = surfaces.form.rows["construction"].editor
    assert isinstance(built, QComboBox)
    built.activated.emit(built.findText("plywood 18 mm"))
    assert cabin_desk.document.vessel.cabins[1].surfaces[-1].construction == "bulkhead_plywood"
    qtbot.mouseClick(surfaces.remove, Qt.MouseButton.LeftButton)
    assert len(cabin_desk.document.vessel.cabins[1].surfaces) == 2


def test_what_is_refused_is_told_where_it_was_typed(
    surfaces: SurfacesRow, cabin_desk: Any, qtbot: QtBot
) -> None:
    area = surfaces.form.rows["area_m2"].editor
    assert isinstance(area, QLineEdit)
    area.setFocus()
    area.selectAll()
    qtbot.keyClicks(area, "3 bar")
    qtbot.keyClick(area, Qt.Key.Key_Return)
    assert "an area is expected here" in surfaces.form.rows["area_m2"].problem.text()
    assert cabin_desk.document.vessel.cabins[1].surfaces[0].area_m2 == 6.0


def test_surfaces_of_unlike_cabins_are_mixed(surfaces: SurfacesRow, cabin_desk: Any) -> None:
    surfaces.show_values([(), cabin_desk.document.vessel.cabins[1].surfaces])
    assert not surfaces.editor.isEnabled()
    assert surfaces.list.item(0).text() == "mixed"
