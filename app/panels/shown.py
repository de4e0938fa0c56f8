# SPDX-License-Identifier: MIT
"""What all panels and the canvas show alike: units, theme and the selection.

None of it is part of the vessel, nor of the undo stack.
"""

from __future__ import annotations

from collections.abc import Iterable

from PySide6.QtCore import QObject, Signal

from app.theme import Theme
from app.units import System


class Shown(QObject):
    """The state of the view, with a signal for each thing that changes.

    Attributes
    ----------
    units_changed : Signal(str)
        "si" or "us".
    theme_changed : Signal(Theme)
    selection_changed : Signal(tuple of str)
        Tags selected, wherever that was done.
    zoom_asked : Signal(tuple of str)
        Parts to be brought into view.
    """

    units_changed = Signal(str)
    theme_changed = Signal(object)
    selection_changed = Signal(tuple)
    zoom_asked = Signal(tuple)

    def __init__(self, theme: Theme, units: System = "si", parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.theme = theme
        self.units = units
        self.tags: tuple[str, ...] = ()

    def set_units(self, units: System) -> None:
        """Show all figures in SI ("si") or US customary units ("us")."""
        if units != self.units:
            self.units = units
            self.units_changed.emit(units)

    def set_theme(self, theme: Theme) -> None:
        """Paint everything in another theme."""
        self.theme = theme
        self.theme_changed.emit(theme)

    def select(self, tags: Iterable[str], zoom: bool = False) -> None:
        """Select parts, and bring them into view if ``zoom``."""
        chosen = tuple(dict.fromkeys(tags))
        if chosen != self.tags:
            self.tags = chosen
            self.selection_changed.emit(chosen)
        if zoom and chosen:
            self.zoom_asked.emit(chosen)
