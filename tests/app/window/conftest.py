# SPDX-License-Identifier: MIT
"""The whole window, with settings and journals of its own."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from pytestqt.qtbot import QtBot

from app.editing.document import Document
from app.settings import Settings
from app.window.main_window import MainWindow
from solver.vessel.file import write_vessel
from tests.app.left_behind import nothing_left_behind
from tests.app.small_loop import small_loop

__all__ = ["nothing_left_behind"]


@pytest.fixture
def settings(tmp_path: Path) -> Settings:
    settings = Settings(tmp_path / "settings.ini")
    settings.set("theme", "light")
    return settings


@pytest.fixture
def boat(tmp_path: Path) -> Path:
    """A file with the small loop."""
    path = tmp_path / "boat.farcabin"
    write_vessel(small_loop(), path)
    return path


@pytest.fixture
def window(
    qtbot: QtBot, settings: Settings, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> Iterator[MainWindow]:
    """An empty window that solves within the call; unsaved changes are discarded at the end."""
    window = MainWindow(Document(), settings, tmp_path / "journals", force_sync=True)
    monkeypatch.setattr(window.files, "ask_what_to_do", lambda: "discard")
    window.resize(1280, 800)
    window.show()
    qtbot.waitExposed(window)
    yield window
    window.close()
    window.deleteLater()


@pytest.fixture
def shown(window: MainWindow, boat: Path) -> MainWindow:
    """The window with the small loop opened from its file."""
    assert window.files.open_path(boat)
    return window
