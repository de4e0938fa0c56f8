# SPDX-License-Identifier: MIT
"""Sheets, tables and the picture of heat: figures, judgements, sums, what is old or missing."""

from __future__ import annotations

from typing import Any, get_args

import msgspec
import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QAbstractItemModelTester
from pytestqt.qtbot import QtBot

from app.panels.heat_balance import heat_picture
from app.panels.heat_figures import chiller_figures
from app.panels.heat_flow import HeatFlow
from app.panels.heat_flow_drawing import lay_out
from app.panels.heat_tables import chiller_state, heat_sheets
from app.panels.property_sheet import PropertySheet
from app.panels.results_table import ResultsModel, ResultsTable
from app.panels.trip_words import trip_check, trip_words
from solver.results import ChillerFigures, HeatResults, Results, Trip
from solver.solve import solve
from solver.vessel.edits import set_field
from solver.vessel.vessel import Conditions
from tests.app.cooled_loop import cooled_loop


@pytest.fixture
def cold(desk: Any) -> Any:
    """The desk with the cooled loop."""
    desk.document.show(cooled_loop())
    return desk


def heat(results: Results | None) -> HeatResults:
    assert results is not None
    assert results.heat is not None
    return results.heat


@pytest.fixture(scope="module")
def warmed() -> Results:
    winter = Conditions(name="Winter", mode="heating", outdoor_temp_C=-5.0, sea_temp_C=10.0)
    return solve(msgspec.structs.replace(cooled_loop(), conditions=(winter,)), heat=True)


# Sheets


@pytest.fixture
def sheet(cold: Any, qtbot: QtBot) -> PropertySheet:
    sheet = PropertySheet(cold.document, cold.store, cold.shown)
    qtbot.addWidget(sheet)
    sheet.resize(340, 900)
    sheet.show()
    return sheet


def lines(sheet: PropertySheet) -> dict[str, str]:
    return {label.strip(): text for label, text in sheet.results_block.texts()}


def test_an_air_handler_tells_what_it_cools(sheet: PropertySheet, cold: Any) -> None:
    cold.shown.select(("AH-2",))
    coil, found = heat(cold.store.results).coils["AH-2"], lines(sheet)
    assert sheet.results_block.headline.endswith("of design flow")
    assert found["Cooling"] == f"{coil.total_W / 1000:.2f} kW of 3.20 kW rated"
    assert found["latent"] == f"{coil.latent_W / 1000:.2f} kW"
    assert found["ΔT of the water"] == f"{coil.water_out_C - coil.water_in_C:.1f} K"
    assert found["Air in and out"] == f"{coil.air_in_C:.1f} → {coil.air_out_C:.1f} °C"
    assert found["Runs"].endswith("% of the time")
    assert found["Condensate"].endswith("L/h")
    cold.shown.set_units("us")
    assert lines(sheet)["Cooling"].endswith("tons rated")
    assert lines(sheet)["Condensate"].endswith("US gal/h")


def test_a_chiller_is_judged_by_its_set_point(sheet: PropertySheet, cold: Any) -> None:
    cold.shown.select(("CH-1",))
    block = sheet.results_block
    assert block.headline == "7.0 °C leaving"
    assert block.judgement == "Holds its set point of 7.0 °C"
    share = heat(cold.store.results).chillers["CH-1"].load_share
    assert lines(sheet)["Load"] == f"{100 * share:.0f} %"
    assert lines(sheet)["Sea-water side"] == "not drawn: rated flow taken"
    cold.edit("CH-1", "capacity_kW", 3.0)
    assert "above its set point: it gives all it can" in block.judgement
    assert lines(sheet)["Load"] == "100 %"


def test_a_cabin_and_a_run_tell_theirs(sheet: PropertySheet, cold: Any) -> None:
    cold.shown.select(("C-2",))
    cabin = heat(cold.store.results).cabins["C-2"]
    assert sheet.results_block.headline == f"{cabin.temp_C:.1f} °C"
    assert sheet.results_block.judgement == f"{cabin.above_K:.1f} K too warm for its set point of 23.0 °C"
    assert lines(sheet)["AH-2"].endswith("% of design flow")
    cold.shown.select(("C-1",))
    assert sheet.results_block.judgement == "At set point"
    cold.shown.select(("R-11",))
    assert lines(sheet)["Surface over dew point"].startswith("drips -")
    cold.shown.select(("P-1",))
    assert lines(sheet)["Heat into the water"].endswith(" W")


def test_old_temperatures_are_grey_and_a_missing_balance_says_why(sheet: PropertySheet, cold: Any) -> None:
    cold.shown.select(("C-2",))
    cold.edit("AH-1", "capacity_total_kW", 0.5)
    block = sheet.results_block
    assert block.note.startswith("No temperatures: ")
    assert "AH-1" in block.note
    assert block._headline.property("state") == "behind"
    cold.document.undo()
    assert block.note == ""
    assert block._headline.property("state") == ""


@pytest.mark.parametrize("trip", [each for each in get_args(Trip) if each])
def test_every_trip_is_told_in_words_with_what_to_check_and_the_caution(cold: Any, trip: Trip) -> None:
    plain = heat(cold.store.results).chillers["CH-1"]
    tripped = msgspec.structs.replace(plain, tripped=trip, at_set_point=False)
    figures = chiller_figures(tripped, "si", heating=False)
    assert figures.headline == "Stopped"
    assert trip_words(trip) in figures.judgement
    assert trip_check(trip) in figures.judgement
    assert "licensed" in figures.caution
    assert chiller_state(tripped) == "off" if trip == "off" else chiller_state(tripped).startswith("stopped")


def test_how_a_chiller_does_in_a_few_words(cold: Any) -> None:
    plain: ChillerFigures = heat(cold.store.results).chillers["CH-1"]
    assert chiller_state(plain) == "holds set point"
    assert chiller_state(msgspec.structs.replace(plain, cycles=True)) == "starts and stops"
    assert chiller_state(msgspec.structs.replace(plain, at_set_point=False)) == "all it can, short"


# Tables


def cells(table: ResultsTable, sheet: int) -> list[list[str]]:
    table.tabs.setCurrentIndex(sheet)
    model = table.views[sheet].model()
    return [
        [str(model.index(row, column).data()) for column in range(model.columnCount())]
        for row in range(model.rowCount())
    ]


@pytest.fixture
def table(cold: Any, qtbot: QtBot) -> ResultsTable:
    table = ResultsTable(cold.document, cold.store, cold.shown, tables=heat_sheets(), of_heat=True)
    qtbot.addWidget(table)
    table.resize(900, 300)
    table.show()
    qtbot.waitExposed(table)
    return table


def test_cabins_air_handlers_and_chillers_as_tables(table: ResultsTable, cold: Any) -> None:
    assert [table.tabs.tabText(at) for at in range(3)] == ["Cabins", "Air handlers", "Chillers"]
    found = heat(cold.store.results)
    warm = cells(table, 0)[1]
    assert warm[:2] == ["C-2", "Guest cabin"]
    assert warm[2] == f"{found.cabins['C-2'].temp_C:.1f}"
    assert warm[4] == "too warm"
    assert cells(table, 1)[0][0] == "AH-1"
    assert cells(table, 2)[0][:3] == ["CH-1", "holds set point", "7.0"]
    model = table.views[0].model()
    assert model.headerData(2, Qt.Orientation.Horizontal) == "Temperature, °C"
    assert model.headerData(3, Qt.Orientation.Horizontal) == "Above, K"


def test_the_warmest_cabin_comes_first_by_a_click_on_its_heading(table: ResultsTable, cold: Any) -> None:
    table.views[0].sortByColumn(3, Qt.SortOrder.DescendingOrder)
    assert [row[0] for row in cells(table, 0)] == ["C-2", "C-1"]
    table.views[0].selectRow(0)
    assert cold.shown.tags == ("C-2",)


def test_tables_without_temperatures_are_grey_and_say_why(table: ResultsTable, cold: Any) -> None:
    cold.edit("AH-1", "capacity_total_kW", 0.5)
    assert not table.views[0].isEnabled()
    assert "AH-1" in table.missing.text()
    assert table.missing.isVisible()
    cold.document.undo()
    assert table.views[0].isEnabled()
    assert not table.missing.isVisible()


def test_the_models_keep_the_rules_of_their_kind(cold: Any) -> None:
    for sheet in heat_sheets():
        model = ResultsModel(sheet)
        tester = QAbstractItemModelTester(model, QAbstractItemModelTester.FailureReportingMode.Fatal)
        model.show_rows(sheet.rows(cold.document.vessel, cold.store.results), "si")
        model.show_rows([], "us")
        assert tester.model() is model


# Where each kW goes


@pytest.mark.parametrize("heating", [False, True])
def test_what_goes_into_a_box_comes_out_of_it(cold: Any, warmed: Results, heating: bool) -> None:
    found = heat(warmed if heating else cold.store.results)
    picture = heat_picture(found, heating=heating)
    boxes = {box.key: box for box in picture.boxes}
    for key, box in boxes.items():
        into = sum(stream.heat_W for stream in picture.streams if stream.end == key)
        out = sum(stream.heat_W for stream in picture.streams if stream.start == key)
        for side in (into, out):
            assert side == 0 or side == pytest.approx(box.heat_W, rel=1e-3), key
    assert all(boxes[each.start].column < boxes[each.end].column for each in picture.streams)
    ends = {"sea"} if not heating else {"cabins"}
    assert ends <= {each.end for each in picture.streams}


def test_plates_stay_in_their_area_and_off_each_other(cold: Any, warmed: Results) -> None:
    from PySide6.QtCore import QRectF

    area = QRectF(10, 20, 640, 130)
    for found, heating in ((heat(cold.store.results), False), (heat(warmed), True)):
        rects = list(lay_out(heat_picture(found, heating=heating), area).rects.values())
        assert all(area.adjusted(-1, -1, 1, 1).contains(rect) for rect in rects)
        assert not any(one.intersects(other) for at, one in enumerate(rects) for other in rects[at + 1 :])


def test_many_chillers_are_one_plate(cold: Any) -> None:
    found = heat(cold.store.results)
    one = found.chillers["CH-1"]
    six = {f"CH-{number}": msgspec.structs.replace(one, tag=f"CH-{number}") for number in range(1, 7)}
    picture = heat_picture(msgspec.structs.replace(found, chillers=six), heating=False)
    [box] = [box for box in picture.boxes if box.key == "chillers"]
    assert box.name == "6 chillers"
    assert box.heat_W == pytest.approx(6 * abs(1000 * one.duty_kW))


def test_the_panel_shows_sums_and_follows_units_and_reasons(cold: Any, qtbot: QtBot) -> None:
    panel = HeatFlow(cold.store, cold.shown)
    qtbot.addWidget(panel)
    panel.resize(700, 220)
    panel.show()
    qtbot.waitExposed(panel)
    balance = heat(cold.store.results).energy_balance
    water, power = balance.into_water_W / 1000, balance.compressors_W / 1000
    assert panel.sums.text().startswith(f"Into the water {water:.2f} kW, out of it {water:.2f} kW.")
    assert f"of that {power:.2f} kW from the compressors" in panel.sums.text()
    cold.shown.set_units("us")
    assert "tons" in panel.sums.text()
    assert "Heat, tons" in panel.table()
    cold.edit("CH-1", "running", False)
    assert "Stopped" not in panel.sums.text()
    cold.document.new()
    assert panel.drawing.picture is None
    assert panel.table() == ""


def test_fan_speeds_are_numbers_in_a_line(sheet: PropertySheet, cold: Any, qtbot: QtBot) -> None:
    cold.shown.select(("AH-1",))
    assert sheet.form is not None
    row = sheet.form.rows["fan_speeds_percent"]
    edit: Any = row.editor
    assert edit.text() == "100"
    edit.setFocus()
    edit.selectAll()
    qtbot.keyClicks(edit, "40; 70; 100 %")
    qtbot.keyClick(edit, Qt.Key.Key_Return)
    assert cold.part("AH-1").fan_speeds_percent == (40.0, 70.0, 100.0)
    edit.selectAll()
    qtbot.keyClicks(edit, "40; fast")
    qtbot.keyClick(edit, Qt.Key.Key_Return)
    assert "'fast' is not understood" in row.problem.text()
    assert edit.text() == "40; fast"
    assert cold.part("AH-1").fan_speeds_percent == (40.0, 70.0, 100.0)


def test_every_field_of_heat_has_words_of_its_own() -> None:
    from app.panels.fields import fields_of
    from app.panels.words import _field_names
    from solver.vessel.cabin import Cabin, Surface
    from solver.vessel.components import AirHandler, BufferTank, Chiller, CirculationPump

    for struct in (AirHandler, BufferTank, Chiller, CirculationPump, Cabin, Surface, Conditions):
        for field in fields_of(struct):
            assert field.key in _field_names(), (struct, field.key)


def test_a_typed_load_is_kept(cold: Any) -> None:
    cold.document.edit("Load", lambda vessel: set_field(vessel, ("C-1",), "load_sensible_W", 2500.0))
    assert heat(cold.store.results).cabins["C-1"].load_sensible_W > 2300.0
