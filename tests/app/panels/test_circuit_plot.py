# SPDX-License-Identifier: MIT
"""Pressure along a circuit: what is drawn, read, pressed, copied and lit."""

from __future__ import annotations

from typing import Any

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QGuiApplication, QKeySequence
from pytestqt.qtbot import QtBot

from app.panels.circuit_plot import CircuitPlot, circuit_data, places_of
from solver.vessel.edits import remove


@pytest.fixture
def panel(desk: Any, qtbot: QtBot) -> CircuitPlot:
    panel = CircuitPlot(desk.document, desk.store, desk.shown)
    qtbot.addWidget(panel)
    panel.resize(900, 320)
    panel.show()
    panel.set_seen(True)
    return panel


def test_it_shows_the_index_circuit_of_the_results(panel: CircuitPlot, desk: Any) -> None:
    assert panel.circuit is desk.store.results.index_circuit
    assert panel.choice.currentText() == f"Index circuit ({panel.circuit.air_handler})"
    assert desk.shown.lit is not None
    assert {"P-1", panel.circuit.air_handler} <= set(desk.shown.lit.ways)


def test_the_losses_of_the_parts_add_up_to_what_the_pump_gives(panel: CircuitPlot, desk: Any) -> None:
    assert panel.circuit is not None
    taken = sum(place.loss_kPa for place in places_of(panel.circuit))
    assert taken == pytest.approx(desk.store.results.pumps["P-1"].rise_kPa, rel=1e-6)


def test_both_ways_are_counted_from_the_pump(panel: CircuitPlot) -> None:
    assert panel.circuit is not None
    places = places_of(panel.circuit)
    assert places[0].from_pump_m == 0.0
    assert places[-1].from_pump_m == pytest.approx(0.0)
    assert max(place.from_pump_m for place in places) > 10.0


def test_selecting_an_air_handler_shows_its_circuit(panel: CircuitPlot, desk: Any) -> None:
    for tag in ("AH-1", "AH-2"):
        desk.shown.select((tag,))
        assert panel.circuit is not None
        assert panel.circuit.air_handler == tag
        assert tag in desk.shown.lit.ways


def test_pointing_reads_tag_and_values_and_a_press_selects(
    panel: CircuitPlot, desk: Any, qtbot: QtBot
) -> None:
    assert panel.circuit is not None
    tags = [step.tag for step in panel.circuit.steps]
    for index in (tags.index("R-1"), tags.index(panel.circuit.air_handler)):
        place = panel.chart.spot(index).toPoint()
        qtbot.mouseMove(panel.chart, place)
        assert "kPa" in panel.chart.reading()
        pointed = panel.chart.pointed
        assert pointed in tags
        qtbot.mouseClick(panel.chart, Qt.MouseButton.LeftButton, pos=place)
        assert desk.shown.tags == (pointed,)
    qtbot.mouseMove(panel.chart, QPoint(panel.chart.width() // 2, 2))


def test_the_arrow_keys_walk_the_circuit_and_enter_selects(
    panel: CircuitPlot, desk: Any, qtbot: QtBot
) -> None:
    assert panel.circuit is not None
    panel.chart.setFocus()
    qtbot.keyClick(panel.chart, Qt.Key.Key_Right)
    assert panel.chart.pointed == "P-1"
    qtbot.keyClick(panel.chart, Qt.Key.Key_Right)
    assert panel.chart.pointed == panel.circuit.steps[1].tag
    qtbot.keyClick(panel.chart, Qt.Key.Key_Return)
    assert desk.shown.tags == (panel.circuit.steps[1].tag,)
    qtbot.keyClick(panel.chart, Qt.Key.Key_Escape)
    assert panel.chart.reading() == ""


def test_units_are_those_shown(panel: CircuitPlot, desk: Any) -> None:
    assert panel.circuit is not None
    si = circuit_data(panel.circuit, "si")
    us = circuit_data(panel.circuit, "us")
    assert (si.y_title, us.y_title) == ("Pressure, kPa", "Pressure, psi")
    assert us.curves[0].points[0][1] == pytest.approx(si.curves[0].points[0][1] / 6.894757, rel=1e-6)
    desk.shown.set_units("us")
    assert panel.chart.data.y_title == "Pressure, psi"
    assert "psi" in panel.headline.text()


def test_the_parts_that_take_most_are_named(panel: CircuitPlot) -> None:
    assert panel.circuit is not None
    worst = max(places_of(panel.circuit)[1:], key=lambda place: place.loss_kPa)
    assert panel.chart.data.notes[0].text.startswith(worst.tag)


def test_copy_as_table_and_as_picture(panel: CircuitPlot, qtbot: QtBot) -> None:
    assert panel.circuit is not None
    panel.chart.setFocus()
    qtbot.keySequence(panel.chart, QKeySequence(QKeySequence.StandardKey.Copy))
    lines = QGuiApplication.clipboard().text().splitlines()
    assert len(lines) == 1 + len(panel.circuit.steps)
    assert lines[1].split("\t")[:2] == ["P-1", "supply"]
    panel.copy_picture.trigger()
    assert QGuiApplication.clipboard().pixmap().width() == 2 * panel.chart.width()


def test_a_panel_that_cannot_be_seen_lights_nothing(panel: CircuitPlot, desk: Any) -> None:
    panel.set_seen(False)
    assert desk.shown.lit is None


def test_without_water_it_says_why(panel: CircuitPlot, desk: Any) -> None:
    desk.edit("RV-2", "setting", 0.0)
    desk.shown.select(("AH-2",))
    assert panel.circuit is None
    assert "AH-2" in panel.chart.data.empty_text
    desk.document.show(remove(desk.document.vessel, ("EX-1",)))
    assert "pressure reference" in panel.chart.data.empty_text
