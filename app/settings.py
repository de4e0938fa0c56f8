# SPDX-License-Identifier: MIT
"""The program's settings: one table, kept in the user's own settings file.

To add one, add a row to ``TABLE``; ``docs`` and the window read names, defaults and help from it.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from PySide6.QtCore import QObject, QSettings, Signal

#: How many files the list of recent files holds.
RECENT_FILES = 10


@dataclass(frozen=True)
class Setting:
    """One setting: its name in the file, default, what it accepts (empty: anything) and what it does."""

    name: str
    default: object
    accepted: tuple[object, ...]
    help: str


TABLE = (
    Setting(
        "units",
        "vessel",
        ("vessel", "si", "us"),
        "Units shown: those the vessel prefers, SI or US customary.",
    ),
    Setting(
        "theme",
        "system",
        ("system", "light", "dark", "contrast_light", "contrast_dark"),
        "Light, dark or of high contrast, or as the system has it.",
    ),
    Setting(
        "overlay",
        "share",
        ("none", "flow", "share", "velocity", "loss", "pressure", "temperature", "condensation"),
        "Quantity the runs are coloured by.",
    ),
    Setting(
        "cooling",
        "near",
        ("near", "far", "never"),
        "Whether labels of air handlers say what they cool: from near by, from farther off, never.",
    ),
    Setting("first_loop", True, (True, False), "Whether the steps of a first loop show over a new vessel."),
    Setting("branch", "", (), "What a branch was made of last, as JSON; empty for the first settings."),
    Setting("mains", "", (), "Pipe, distance and return of the mains drawn last, as JSON."),
    Setting(
        "motion",
        "system",
        ("system", "drift", "still"),
        "Whether flow arrows drift, stand still, or do as the system wishes.",
    ),
    Setting("single_keys", True, (True, False), "Whether single keys take tools and parts on the canvas."),
    Setting("recent_parts", [], (), "Kinds and models placed last, newest first."),
    Setting("recent_files", [], (), "Files opened last, newest first."),
    Setting("window_geometry", b"", (), "Where the window was."),
    Setting("window_state", b"", (), "Which panels were open, and where."),
)
_BY_NAME = {setting.name: setting for setting in TABLE}


class Settings(QObject):
    """Reads and writes the settings; a value the table does not accept counts as the default.

    Parameters
    ----------
    path : Path, optional
        A settings file of its own instead of the user's, for tests.
    """

    changed = Signal(str)

    def __init__(self, path: Path | None = None, parent: QObject | None = None) -> None:
        super().__init__(parent)
        if path is None:
            self._store = QSettings(
                QSettings.defaultFormat(), QSettings.Scope.UserScope, "Farcabin", "Farcabin"
            )
        else:
            self._store = QSettings(str(path), QSettings.Format.IniFormat)

    def get(self, name: str) -> object:
        """Return a setting's value, the default where none is kept."""
        setting = _BY_NAME[name]
        value = self._store.value(name, setting.default)
        if isinstance(setting.default, bool):
            value = value in (True, "true")
        elif isinstance(setting.default, list):
            value = (
                [str(item) for item in value]
                if isinstance(value, (list, tuple))
                else [str(value)]
                if value
                else []
            )
        if setting.accepted and value not in setting.accepted:
            return setting.default
        return value

    def text(self, name: str) -> str:
        """Return a setting that is text."""
        return str(self.get(name))

    def set(self, name: str, value: object) -> None:
        """Keep a value."""
        setting = _BY_NAME[name]
        if setting.accepted and value not in setting.accepted:
            raise ValueError(f"setting {name}: found {value!r}; accepted: {setting.accepted}")
        if self.get(name) != value:
            self._store.setValue(name, value)
            self.changed.emit(name)

    def texts(self, name: str) -> list[str]:
        """Return a setting that is a list of texts."""
        found = self.get(name)
        return list(found) if isinstance(found, list) else []

    def recent_files(self) -> list[str]:
        """Return the files opened last, newest first."""
        return self.texts("recent_files")

    def add_recent_file(self, path: Path) -> None:
        """Put a file on top of the list."""
        others = [item for item in self.recent_files() if item != str(path)]
        self.set("recent_files", [str(path), *others][:RECENT_FILES])
