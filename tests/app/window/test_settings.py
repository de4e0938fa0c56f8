# SPDX-License-Identifier: MIT
"""The one table of settings."""

from __future__ import annotations

from pathlib import Path

import pytest
from pytestqt.qtbot import QtBot

from app.settings import RECENT_FILES, TABLE, Settings


@pytest.fixture
def settings(tmp_path: Path, qtbot: QtBot) -> Settings:
    return Settings(tmp_path / "settings.ini")


def test_every_setting_has_its_default_and_a_help(settings: Settings) -> None:
    for setting in TABLE:
        assert settings.get(setting.name) == setting.default
        assert setting.help


def test_values_last_from_one_start_to_the_next(settings: Settings, tmp_path: Path) -> None:
    told: list[str] = []
    settings.changed.connect(told.append)
    settings.set("theme", "dark")
    settings.set("motion", "still")
    settings.set("theme", "dark")
    assert told == ["theme", "motion"]
    settings._store.sync()
    again = Settings(tmp_path / "settings.ini")
    assert (again.get("theme"), again.get("motion")) == ("dark", "still")


def test_what_the_table_does_not_accept_is_refused_or_counts_as_the_default(settings: Settings) -> None:
    with pytest.raises(ValueError, match="theme"):
        settings.set("theme", "pink")
    settings._store.setValue("theme", "pink")
    assert settings.get("theme") == "system"


def test_recent_files_newest_first_each_once_and_not_too_many(settings: Settings, tmp_path: Path) -> None:
    for number in range(RECENT_FILES + 3):
        settings.add_recent_file(tmp_path / f"{number}.farcabin")
    settings.add_recent_file(tmp_path / "7.farcabin")
    names = [Path(each).stem for each in settings.recent_files()]
    assert names[0] == "7"
    assert len(names) == len(set(names)) == RECENT_FILES


def test_one_recent_file_is_still_a_list(settings: Settings, tmp_path: Path) -> None:
    settings.add_recent_file(tmp_path / "only.farcabin")
    settings._store.sync()
    assert Settings(tmp_path / "settings.ini").recent_files() == [str(tmp_path / "only.farcabin")]
