# SPDX-License-Identifier: MIT
"""Heat loads in the window: load by hour of a sample, sets of conditions from the switch in the tool bar."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication, QLineEdit, QMenu
from pytestqt.qtbot import QtBot

from app.shipped import shipped
from app.window.main_window import MainWindow
from solver.heat.day import day_loads
from solver.heat.installed import installed

#: The offscreen platform says so of every menu.
pytestmark = pytest.mark.qt_log_ignore("This plugin does not support grabbing the keyboard", extend=True)


@pytest.fixture
def yacht(window: MainWindow) -> MainWindow:
    assert window.document.open_copy(shipped("sample_vessels") / "motor_yacht_27m.farcabin")
    return window


def test_load_by_hour_of_the_sample(yacht: MainWindow, qtbot: QtBot) -> None:
    panel = yacht.live_panels.day
    assert panel.day is None
    yacht.live_panels.day_dock.raise_()
    qtbot.waitUntil(lambda: panel.day is not None)
    vessel = yacht.document.vessel
    loads, able = day_loads(vessel), installed(vessel)
    assert panel.figures.headline == f"{loads.block_load_W / 1000:.1f} kW at {loads.block_hour:.0f}:00"
    assert panel.plot in yacht.docks.panes()
    lines = dict(panel.figures.texts())
    assert lines["Chillers, sea 28.0 °C"].startswith(f"{able.total_W / 1000:.1f} kW, ")
    assert lines["  without CH-1"].startswith(f"{able.largest_out_W / 1000:.1f} kW, ")

    # A set point typed in the sheet of a cabin changes the load of all.
    yacht.shown.select(("C-1",))
    form = yacht.docks.properties.sheet.form
    assert form is not None
    field = form.rows["set_point_C"].editor
    assert isinstance(field, QLineEdit)
    field.setFocus()
    field.selectAll()
    qtbot.keyClicks(field, "19")
    qtbot.keyClick(field, Qt.Key.Key_Return)
    warmer = day_loads(yacht.document.vessel).block_load_W
    assert warmer > loads.block_load_W
    assert panel.figures.headline.startswith(f"{warmer / 1000:.1f} kW at ")
    assert "C-1" in [curve.name for curve in panel.plot.data.curves]


def test_a_set_is_added_from_the_switch_of_conditions(yacht: MainWindow, qtbot: QtBot) -> None:
    choice = yacht.conditions
    before = len(yacht.document.vessel.conditions)
    choice.setFocus()
    qtbot.keyClicks(choice, "Add")
    menu = QApplication.activePopupWidget()
    assert isinstance(menu, QMenu)
    assert choice.currentText() == "Mediterranean summer"
    qtbot.keyClick(menu, Qt.Key.Key_Down)
    qtbot.keyClick(menu, Qt.Key.Key_Return)
    assert yacht.document.vessel.current_conditions.name == "ISO 7547 summer"
    assert len(yacht.document.vessel.conditions) == before + 1
    assert choice.currentText() == "ISO 7547 summer"
    assert yacht.document.undo_name == "Add conditions ISO 7547 summer"
    yacht.document.undo()
    assert choice.currentText() == "Mediterranean summer"
    assert len(yacht.document.vessel.conditions) == before
