# SPDX-License-Identifier: MIT
"""Light or dark: as chosen, or as the system has it while the program runs."""

from __future__ import annotations

from PySide6.QtCore import QObject, Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QApplication, QStyleFactory

from app.panels.shown import Shown
from app.settings import Settings
from app.theme import Theme, palette, theme, ui_font
from app.window.style import style_sheet


def theme_for(choice: str) -> Theme:
    """Return the theme of a setting: "light", "dark" or "system"."""
    if choice == "system":
        is_dark = QGuiApplication.styleHints().colorScheme() == Qt.ColorScheme.Dark
        choice = "dark" if is_dark else "light"
    return theme(choice)


class Appearance(QObject):
    """Keeps the application's colours and font in step with the setting and the system."""

    def __init__(self, settings: Settings, shown: Shown, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._settings, self._shown = settings, shown
        self._applied = ""
        settings.changed.connect(self._setting_changed)
        QGuiApplication.styleHints().colorSchemeChanged.connect(self._system_changed)
        self.apply()

    def apply(self) -> None:
        """Colour everything."""
        application = QApplication.instance()
        chosen = theme_for(self._settings.text("theme"))
        if isinstance(application, QApplication) and chosen.name != self._applied:
            self._applied = chosen.name
            application.setStyle(QStyleFactory.create("Fusion"))
            application.setPalette(palette(chosen))
            application.setFont(ui_font())
            application.setStyleSheet(style_sheet(chosen))
            self._shown.set_theme(chosen)

    def _setting_changed(self, name: str) -> None:
        if name == "theme":
            self.apply()

    def _system_changed(self, *_scheme: object) -> None:
        self.apply()
