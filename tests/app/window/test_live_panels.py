# SPDX-License-Identifier: MIT
"""Circuit, steps and comparison in the whole window: what is lit, what the drawing shows."""

from __future__ import annotations

from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QComboBox
from pytestqt.qtbot import QtBot

from app.window.main_window import MainWindow
from solver.vessel.edits import set_field


@pytest.fixture
def shown(window: MainWindow, boat: Path) -> MainWindow:
    window.document.open(boat)
    return window


def test_only_the_panel_in_front_lights_the_drawing(shown: MainWindow, qtbot: QtBot) -> None:
    panels = shown.live_panels
    assert shown.shown.lit is None
    panels.circuit_dock.raise_()
    qtbot.waitUntil(lambda: shown.shown.lit is not None)
    circuit = shown.shown.lit
    panels.steps_dock.raise_()
    qtbot.waitUntil(lambda: shown.shown.lit not in (None, circuit))
    shown.docks.findings_dock.raise_()
    qtbot.waitUntil(lambda: shown.shown.lit is None)


def test_the_difference_is_offered_while_something_is_pinned(shown: MainWindow, qtbot: QtBot) -> None:
    choice = shown.findChild(QComboBox, "overlay")
    assert choice is not None
    words = "Difference from before"
    assert choice.findText(words) < 0
    before = shown.scene.picture.overlay_name
    shown.live_panels.compare_dock.raise_()
    qtbot.mouseClick(shown.live_panels.compare.pin, Qt.MouseButton.LeftButton)
    assert choice.currentText() == words
    shown.document.edit("Open RV-2", lambda vessel: set_field(vessel, ("RV-2",), "setting", 4.0))
    overlay = shown.scene.picture.overlay
    assert overlay is not None
    assert overlay.name == "difference"
    assert overlay.text("AH-2").startswith("+")
    qtbot.mouseClick(shown.live_panels.compare.unpin, Qt.MouseButton.LeftButton)
    assert choice.findText(words) < 0
    assert shown.scene.picture.overlay_name == before


def test_high_contrast_is_a_theme_of_its_own(shown: MainWindow) -> None:
    for name in ("contrast_light", "contrast_dark"):
        shown.actions_by_name[f"theme_{name}"].trigger()
        assert shown.shown.theme.name == name
        assert shown.scene.picture.theme.name == name


def test_numbers_during_a_drag_belong_to_the_value_then_or_are_told_as_behind(shown: MainWindow) -> None:
    for speed in range(100, 40, -4):
        shown.document.edit(
            "Speed", lambda vessel, speed=speed: set_field(vessel, ("P-1",), "speed_percent", float(speed))
        )
        results = shown.store.results
        assert results is not None
        assert shown.store.behind or results.pumps["P-1"].speed_percent == pytest.approx(speed)
