# SPDX-License-Identifier: MIT
"""The program as it is started: a file in, a window out, and what a kill leaves."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest
from pytestqt.qtbot import QtBot

from app.window.main import _keep_work_when_something_fails
from app.window.main_window import MainWindow
from solver.vessel.edits import set_field
from solver.vessel.file import write_vessel
from tests.app.small_loop import small_loop

ROOT = Path(__file__).resolve().parents[3]

#: Opens the window as the program does, edits, and either closes in good order or waits to be killed.
PROGRAM = """
import sys
from pathlib import Path
from PySide6.QtCore import QSettings, QTimer
from app.window import main, main_window
from app.window.main_window import MainWindow
from solver.vessel.edits import set_field

path, end, home = sys.argv[1:]
QSettings.setDefaultFormat(QSettings.Format.IniFormat)
QSettings.setPath(QSettings.Format.IniFormat, QSettings.Scope.UserScope, home)
main.journal_folder = main_window.journal_folder = lambda: Path(home) / "journals"
windows = []
show = MainWindow.show

def note(window):
    windows.append(window)
    show(window)

def look():
    window = windows[0]
    if window.store.results is None:
        return
    timer.stop()
    print([notice.text for notice in window.notices.notices()])
    print(sorted(window.store.results.air_handlers))
    if end == "kill":
        window.document.edit("Set", lambda vessel: set_field(vessel, ("RV-2",), "setting", 2.75))
        window.journal.write()
        print("ready", flush=True)
        return
    window.close()

MainWindow.show = note
application = main.make_application()
timer = QTimer()
timer.timeout.connect(look)
timer.start(5)
print("status", main.run(path))
"""


def start(path: Path, end: str, home: Path) -> subprocess.Popen[str]:
    """Start the program with settings and journals in a folder of its own."""
    return subprocess.Popen(
        [sys.executable, "-c", PROGRAM, str(path), end, str(home)],
        cwd=ROOT,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        env={**os.environ, "QT_QPA_PLATFORM": "offscreen"},
    )


def test_start_close_kill_and_start_again(tmp_path: Path) -> None:
    boat = tmp_path / "boat.farcabin"
    write_vessel(small_loop(), boat)
    before = boat.read_bytes()
    with start(boat, "close", tmp_path / "home") as program:
        out, err = program.communicate(timeout=120)
    assert out.splitlines() == ["[]", "['AH-1', 'AH-2']", "status 0"], err
    assert program.returncode == 0
    with start(boat, "kill", tmp_path / "home") as program:
        assert program.stdout is not None
        lines = [program.stdout.readline().strip() for _ in range(3)]
        assert lines[-1] == "ready"
        program.kill()
        program.wait(timeout=60)
    with start(boat, "close", tmp_path / "home") as program:
        out, err = program.communicate(timeout=120)
    assert "The program ended before Test boat (boat.farcabin) was saved." in out.splitlines()[0], err
    assert boat.read_bytes() == before


def test_when_something_fails_the_work_is_kept_and_told(
    shown: MainWindow, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(sys, "excepthook", sys.excepthook)
    _keep_work_when_something_fails(shown)
    shown.document.edit("Set", lambda vessel: set_field(vessel, ("RV-2",), "setting", 2.0))
    assert not shown.journal.file.exists()
    sys.excepthook(ZeroDivisionError, ZeroDivisionError("by zero"), None)
    assert shown.journal.file.exists()
    assert "by zero" in shown.notices.notices()[0].text
    assert "by zero" in capsys.readouterr().err


def test_the_smallest_window_is_small_enough_for_a_laptop(window: MainWindow, qtbot: QtBot) -> None:
    size = window.minimumSizeHint()
    assert size.width() <= 1024
    assert size.height() <= 700
