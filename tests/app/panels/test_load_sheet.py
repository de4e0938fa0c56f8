# SPDX-License-Identifier: MIT
"""The load sheet adds up and follows."""

from __future__ import annotations

from typing import Any

import pytest
from PySide6.QtGui import QGuiApplication
from pytestqt.qtbot import QtBot

from app.panels.load_sheet import LoadSheet
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
