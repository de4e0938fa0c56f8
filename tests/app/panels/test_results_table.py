# SPDX-License-Identifier: MIT
"""The tables: figures, order, copying, selection."""

from __future__ import annotations

from typing import Any

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication, QKeySequence
from PySide6.QtTest import QAbstractItemModelTester
from pytestqt.qtbot import QtBot

from app.panels.results_table import ResultsModel, ResultsTable, sheets


@pytest.fixture
def table(desk: Any, qtbot: QtBot) -> ResultsTable:
    table = ResultsTable(desk.document, desk.store, desk.shown)
    qtbot.addWidget(table)
    table.resize(700, 300)
    table.show()
    qtbot.waitExposed(table)
    return table


def column(table: ResultsTable, sheet: int, section: int) -> list[str]:
    table.tabs.setCurrentIndex(sheet)
    model = table.views[sheet].model()
    return [str(model.index(row, section).data()) for row in range(model.rowCount())]


def test_three_tables_of_the_results(table: ResultsTable, desk: Any) -> None:
    assert [table.tabs.tabText(index) for index in range(3)] == ["Air handlers", "Runs", "Pumps"]
    assert column(table, 0, 0) == ["AH-1", "AH-2"]
    assert column(table, 1, 0) == [f"R-{number}" for number in range(1, 11)]
    assert column(table, 2, 0) == ["P-1"]
    share = desk.store.results.air_handlers["AH-1"].share_of_design
    assert column(table, 0, 1)[0] == f"{share * 100:.0f}"


def test_headings_carry_the_unit(table: ResultsTable, desk: Any) -> None:
    model = table.views[0].model()
    assert model.headerData(2, Qt.Orientation.Horizontal) == "Flow, L/min"
    desk.shown.set_units("us")
    assert model.headerData(2, Qt.Orientation.Horizontal) == "Flow, US gpm"


def test_a_table_behind_another_is_brought_up_to_date_when_it_is_opened(
    table: ResultsTable, desk: Any
) -> None:
    before = column(table, 1, 1)
    table.tabs.setCurrentIndex(0)
    desk.edit("RV-2", "setting", 4.0)
    assert table.views[1].model().index(0, 1).data() == before[0]
    table.tabs.setCurrentIndex(1)
    flow = desk.store.results.links["R-1"].flow_L_s
    assert table.views[1].model().index(0, 1).data() == f"{abs(flow) * 60:.1f}"


def test_a_click_on_a_heading_sorts_by_value(table: ResultsTable, desk: Any) -> None:
    table.views[1].sortByColumn(1, Qt.SortOrder.DescendingOrder)
    flows = [abs(desk.store.results.links[tag].flow_L_s) for tag in column(table, 1, 0)]
    assert flows == sorted(flows, reverse=True)


def test_copy_takes_everything_or_the_rows_selected_with_headings(table: ResultsTable, qtbot: QtBot) -> None:
    view = table.views[0]
    view.setFocus()
    qtbot.keySequence(view, QKeySequence(QKeySequence.StandardKey.Copy))
    lines = QGuiApplication.clipboard().text().splitlines()
    assert lines[0].split("\t")[:3] == ["Tag", "Share of design, %", "Flow, L/min"]
    assert [line.split("\t")[0] for line in lines[1:]] == ["AH-1", "AH-2"]
    view.selectRow(1)
    table.copy()
    assert [line.split("\t")[0] for line in QGuiApplication.clipboard().text().splitlines()[1:]] == ["AH-2"]


def test_selection_goes_both_ways(table: ResultsTable, desk: Any) -> None:
    table.views[0].selectRow(1)
    assert desk.shown.tags == ("AH-2",)
    desk.shown.select(("AH-1", "P-1"))
    assert [index.data() for index in table.views[0].selectionModel().selectedRows()] == ["AH-1"]
    table.tabs.setCurrentIndex(2)
    assert [index.data() for index in table.views[2].selectionModel().selectedRows()] == ["P-1"]
    assert desk.shown.tags == ("AH-1", "P-1")


def test_figures_behind_the_vessel_are_greyed(table: ResultsTable, desk: Any) -> None:
    desk.store.set_behind()
    assert not table.views[0].isEnabled()
    desk.edit("RV-2", "setting", 2.0)
    assert table.views[0].isEnabled()


def test_new_figures_keep_rows_and_selection(table: ResultsTable, desk: Any) -> None:
    table.views[0].selectRow(1)
    before = column(table, 0, 1)
    desk.edit("RV-2", "setting", 4.0)
    assert column(table, 0, 1) != before
    assert desk.shown.tags == ("AH-2",)


def test_the_model_keeps_the_rules_of_its_kind(desk: Any, qtbot: QtBot) -> None:
    for sheet in sheets():
        model = ResultsModel(sheet)
        tester = QAbstractItemModelTester(model, QAbstractItemModelTester.FailureReportingMode.Fatal)
        rows = sheet.rows(desk.document.vessel, desk.store.results)
        model.show_rows(rows, "si")
        model.show_rows(rows, "us")
        model.show_rows([], "us")
        assert tester.model() is model
