# SPDX-License-Identifier: MIT
"""Nothing moves by itself where the user or the system does not want it."""

from __future__ import annotations

from pathlib import Path

import pytest
from pytestqt.qtbot import QtBot

from app.settings import Settings
from app.window.main_window import MainWindow
from app.window.motion import Motion, wishes_stillness


@pytest.mark.parametrize(
    ("name", "text", "wishes"),
    [
        ("kdeglobals", "[KDE]\nAnimationDurationFactor=0\n", True),
        ("kdeglobals", "[KDE]\nAnimationDurationFactor=1\n", False),
        ("gtk-3.0/settings.ini", "[Settings]\ngtk-enable-animations=false\n", True),
        ("gtk-4.0/settings.ini", "[Settings]\ngtk-enable-animations=0\n", True),
        ("gtk-4.0/settings.ini", "[Settings]\ngtk-enable-animations=1\n", False),
        ("gtk-4.0/settings.ini", "\0\1 no settings \xff", False),
    ],
)
def test_the_wish_is_read_where_desktops_keep_it(tmp_path: Path, name: str, text: str, wishes: bool) -> None:
    assert not wishes_stillness("linux", tmp_path)
    (tmp_path / name).parent.mkdir(exist_ok=True)
    (tmp_path / name).write_text(text, encoding="utf-8")
    assert wishes_stillness("linux", tmp_path) is wishes


def test_what_cannot_be_read_is_no_wish(tmp_path: Path) -> None:
    (tmp_path / "kdeglobals").mkdir()
    assert not wishes_stillness("linux", tmp_path)
    assert not wishes_stillness("darwin", tmp_path)


@pytest.fixture
def motion(qtbot: QtBot, settings: Settings, monkeypatch: pytest.MonkeyPatch) -> Motion:
    monkeypatch.setattr("app.window.motion.wishes_stillness", lambda: False)
    return Motion(settings)


def test_the_system_is_followed_while_the_program_runs(
    motion: Motion, settings: Settings, monkeypatch: pytest.MonkeyPatch
) -> None:
    told: list[bool] = []
    motion.changed.connect(told.append)
    assert motion.allowed
    monkeypatch.setattr("app.window.motion.wishes_stillness", lambda: True)
    motion.look_again()
    assert told == [False]
    settings.set("motion", "drift")
    assert told == [False, True]
    settings.set("motion", "system")
    monkeypatch.setattr("app.window.motion.wishes_stillness", lambda: False)
    motion.look_again()
    motion.take_answer("false\n")
    motion.take_answer("true\n")
    motion.take_answer("")
    assert told == [False, True, False, True, False, True]


def test_the_menu_holds_the_choice(window: MainWindow) -> None:
    actions = window.actions_by_name
    assert actions["motion_system"].isChecked()
    actions["motion_still"].trigger()
    assert window.settings.text("motion") == "still"
    assert not window.scene._clock.isActive()
    window.settings.set("motion", "drift")
    assert actions["motion_drift"].isChecked()
    assert window.scene._clock.isActive()


def test_single_keys_can_be_turned_off(window: MainWindow, qtbot: QtBot) -> None:
    tools = window.drawing.tools
    window.actions_by_name["place_air_handler"].trigger()
    tools.put_down()
    action = window.actions_by_name["single_keys"]
    assert action.isChecked()
    qtbot.keyClick(window.view, "a")
    assert tools.name == "place"
    tools.put_down()
    action.trigger()
    assert window.settings.get("single_keys") is False
    qtbot.keyClick(window.view, "a")
    assert tools.name == "arrange"
    window.settings.set("single_keys", True)
    assert action.isChecked()
    qtbot.keyClick(window.view, "a")
    assert tools.name == "place"
