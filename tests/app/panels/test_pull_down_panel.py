# SPDX-License-Identifier: MIT
"""Pull-down in the window: fields, runs, plots, words, copying."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import numpy as np
import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication
from pytestqt.qtbot import QtBot

from app.panels.pull_down_panel import PullDownPanel
from app.panels.pull_down_plots import in_words, power_data, temperatures_data
from app.shipped import shipped
from app.solving.long_job import LongJob
from app.theme import theme
from solver.vessel.edits import set_field

_BOAT = shipped("sample_vessels") / "motor_yacht_18m.farcabin"


@pytest.fixture
def panel(desk: Any, qtbot: QtBot) -> Iterator[PullDownPanel]:
    desk.document.open(_BOAT)
    job = LongJob(force_sync=True)
    panel = PullDownPanel(desk.document, desk.store, job, desk.shown)
    qtbot.addWidget(panel)
    panel.resize(1000, 320)
    panel.show()
    panel.hours.setText("1 h")
    panel.step.setText("5 min")
    yield panel
    job.stop()


def test_nothing_is_run_until_asked(panel: PullDownPanel) -> None:
    assert panel.pulled is None
    assert panel.temperatures.data.empty_text
    assert panel.run.isEnabled() and not panel.cancel.isEnabled()
    assert panel.table() == ""


def test_the_fields_are_what_is_run(panel: PullDownPanel, qtbot: QtBot) -> None:
    panel.cabins.setText("100 F")
    panel.water.setText("20")
    panel.hour.setText("9:30")
    qtbot.mouseClick(panel.run, Qt.MouseButton.LeftButton)
    assert panel.pulled is not None
    assert len(panel.pulled.time_h) == 13
    assert panel.pulled.cabin_C[0, 0] == pytest.approx(37.78, abs=0.01)
    assert panel.pulled.loops[0].return_C[0] == pytest.approx(20.0)
    assert panel.pulled.starts_at_hour == 9.5
    assert "kWh" in panel.words.text() and "CH-1" in panel.words.text()


@pytest.mark.parametrize(
    ("field", "text", "words"),
    [
        ("hours", "soon", "How long: "),
        ("step", "3 kPa", "Step: "),
        ("hour", "26", "an hour from 0 to 24 is expected"),
        ("cabins", "95", "accepted: -20 to 70 degC"),
    ],
)
def test_nonsense_is_told_in_words(panel: PullDownPanel, field: str, text: str, words: str) -> None:
    getattr(panel, field).setText(text)
    panel.start()
    assert words in panel.words.text()
    assert panel.words.property("state") == "bad"
    assert panel.pulled is None


def test_enter_in_a_field_runs(panel: PullDownPanel, qtbot: QtBot) -> None:
    qtbot.keyClick(panel.cabins, Qt.Key.Key_Return)
    assert panel.pulled is not None


def test_an_edit_marks_it_old_and_layout_does_not(panel: PullDownPanel, desk: Any) -> None:
    panel.start()
    desk.document.edit("Name", lambda vessel: set_field(vessel, ("AH-1",), "notes", "seen"))
    assert "before the last edit" not in panel.words.text()
    desk.document.edit("Set", lambda vessel: set_field(vessel, ("CH-1",), "set_point_C", 9.0))
    assert "before the last edit" in panel.words.text()
    panel.start()
    assert "before the last edit" not in panel.words.text()
    desk.document.open(_BOAT)
    assert panel.pulled is None


def test_a_selected_cabin_stands_out(panel: PullDownPanel, desk: Any) -> None:
    panel.start()
    desk.shown.select(("C-2",))
    named = [curve.name for curve in panel.temperatures.data.curves if curve.name]
    assert named == ["C-2", "supply", "return"]
    assert len(panel.temperatures.data.curves) == 6
    panel.temperatures._read_at(0.5)
    assert "C-2" in panel.temperatures.reading() and "supply" in panel.temperatures.reading()


def test_units_are_those_shown(panel: PullDownPanel, desk: Any) -> None:
    panel.start()
    assert panel.pulled is not None
    desk.shown.set_units("us")
    panel.start()
    data = panel.temperatures.data
    assert data.y_title.endswith("°F")
    hottest = max(y for curve in data.curves for _, y in curve.points)
    assert hottest == pytest.approx(1.8 * panel.pulled.cabin_C.max() + 32.0, abs=1.0)
    assert panel.power.data.y_title.endswith("kW")
    assert "°F" in panel.words.text() and "°C" not in panel.words.text()


def test_copied_as_table_and_picture(panel: PullDownPanel) -> None:
    panel.start()
    assert panel.pulled is not None
    panel.copy_table.trigger()
    rows = [line.split("\t") for line in QGuiApplication.clipboard().text().splitlines()]
    assert rows[0][:2] == ["Time, h", "C-1, °C"]
    assert len(rows) == len(panel.pulled.time_h) + 1
    assert [float(row[1]) for row in rows[1:]] == pytest.approx(panel.pulled.cabin_C[:, 0], rel=1e-5)
    panel.copy_picture.trigger()
    picture = QGuiApplication.clipboard().pixmap().toImage()
    ratio = panel.temperatures.picture().devicePixelRatio()
    assert picture.width() == pytest.approx(ratio * (panel.temperatures.width() + panel.power.width()), abs=2)
    colours = {picture.pixelColor(x, picture.height() // 3).name() for x in range(0, picture.width(), 3)}
    assert theme("light").fresh.lower() in colours


def test_what_is_drawn_is_what_was_found(panel: PullDownPanel) -> None:
    panel.start()
    pulled = panel.pulled
    assert pulled is not None
    supply = next(curve for curve in temperatures_data(pulled, "si").curves if curve.name == "supply")
    assert [y for _, y in supply.points] == pytest.approx(pulled.loops[0].supply_C)
    duty, power = power_data(pulled, "si").curves
    assert max(y for _, y in duty.points) == pytest.approx(np.abs(pulled.chiller_kW).max())
    assert [y for _, y in power.points] == pytest.approx(pulled.power_kW)
    assert "did not reach set point" in in_words(pulled, "si")


def test_without_results_it_does_not_run(panel: PullDownPanel, desk: Any) -> None:
    desk.document.edit("Stop", lambda vessel: set_field(vessel, ("P-1",), "running", False))
    desk.live.solve_now()
    panel.start()
    assert panel.pulled is None or panel.pulled.chillers[0].still == "low_flow"
