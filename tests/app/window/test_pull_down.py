# SPDX-License-Identifier: MIT
"""Pull-down in the whole window: progress and cancel, edits meanwhile, the keyboard."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from pytestqt.qtbot import QtBot

from app.editing.document import Document
from app.settings import Settings
from app.shipped import shipped
from app.window.main_window import MainWindow
from solver.vessel.edits import set_field

_BOAT = shipped("sample_vessels") / "motor_yacht_18m.farcabin"
#: Long enough that nobody waits for it [ms].
_PATIENCE = 20_000


@pytest.fixture
def threaded(
    qtbot: QtBot, settings: Settings, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> Iterator[MainWindow]:
    """A window with the 18 m sample, whose work is done in threads."""
    window = MainWindow(Document(), settings, tmp_path / "journals")
    monkeypatch.setattr(window.files, "ask_what_to_do", lambda: "discard")
    window.resize(1280, 800)
    window.show()
    assert window.files.open_path(_BOAT)
    window.live_panels.pull_down_dock.raise_()
    qtbot.waitUntil(window.live_panels.pull_down.run.isEnabled, timeout=_PATIENCE)
    yield window
    window.close()
    window.deleteLater()


def test_a_run_shows_progress_and_can_be_cancelled(threaded: MainWindow, qtbot: QtBot) -> None:
    panel, status = threaded.live_panels.pull_down, threaded.status
    assert not status.progress.isVisible() and not status.cancel.isVisible()
    panel.hours.setText("700 h")
    qtbot.mouseClick(panel.run, Qt.MouseButton.LeftButton)
    assert status.progress.isVisible() and status.cancel.isVisible()
    assert "Pull-down" in status.progress.format()
    assert panel.cancel.isEnabled() and not panel.run.isEnabled()
    qtbot.waitUntil(lambda: "Working" in panel.words.text(), timeout=_PATIENCE)
    qtbot.mouseClick(status.cancel, Qt.MouseButton.LeftButton)
    qtbot.waitUntil(lambda: not threaded.job.is_busy, timeout=_PATIENCE)
    assert panel.words.text() == "Cancelled."
    assert not status.progress.isVisible()
    assert panel.run.isEnabled() and panel.pulled is None


def test_the_live_solve_goes_on_beside_it(threaded: MainWindow, qtbot: QtBot) -> None:
    panel = threaded.live_panels.pull_down
    panel.hours.setText("700 h")
    panel.start()
    before = threaded.store.results
    threaded.document.edit("Slow", lambda vessel: set_field(vessel, ("P-1",), "speed_percent", 80.0))
    qtbot.waitUntil(lambda: threaded.store.results is not before, timeout=_PATIENCE)
    assert threaded.job.is_busy


def test_an_answer_comes_and_is_shown(threaded: MainWindow, qtbot: QtBot) -> None:
    panel = threaded.live_panels.pull_down
    panel.hours.setText("0.5")
    panel.start()
    qtbot.waitUntil(lambda: panel.pulled is not None, timeout=_PATIENCE)
    assert panel.temperatures.data.curves and panel.power.data.curves
    assert "kWh" in panel.words.text()


def test_the_fields_and_buttons_can_be_reached_by_keys(threaded: MainWindow, qtbot: QtBot) -> None:
    panel = threaded.live_panels.pull_down
    panel.hours.setFocus()
    assert panel.hours in threaded.docks.panes()
    reached = []
    for _ in range(6):
        reached.append(threaded.focusWidget())
        qtbot.keyClick(threaded.focusWidget(), Qt.Key.Key_Tab)
    assert reached == [panel.hours, panel.step, panel.cabins, panel.water, panel.hour, panel.run]
    assert all(widget.accessibleName() for widget in reached[:5])
