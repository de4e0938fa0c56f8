# SPDX-License-Identifier: MIT
"""What all panels and the canvas show alike: units, theme and the selection.

None of it is part of the vessel, nor of the undo stack.
"""

from __future__ import annotations

from collections.abc import Iterable

from PySide6.QtCore import QObject, Signal

from app.overlay.lit import Lit
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
    lit_changed : Signal(Lit or None)
        What is lit on the drawing while a panel tells of it.
    """

    units_changed = Signal(str)
    theme_changed = Signal(object)
    selection_changed = Signal(tuple)
    zoom_asked = Signal(tuple)
    lit_changed = Signal(object)

    def __init__(self, theme: Theme, units: System = "si", parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.theme = theme
        self.units = units
        self.tags: tuple[str, ...] = ()
        self.lit: Lit | None = None
        self._lit_by = ""

    def set_units(self, units: System) -> None:
        """Show all figures in SI ("si") or US customary units ("us")."""
        if units != self.units:
            self.units = units
            self.units_changed.emit(units)

    def set_theme(self, theme: Theme) -> None:
        """Paint everything in another theme."""
        self.theme = theme
        self.theme_changed.emit(theme)

    def light(self, panel: str, lit: Lit | None) -> None:
        """Light parts on a panel's behalf; None puts out what that panel has lit, nothing else."""
        if lit is None and panel != self._lit_by:
            return
        self._lit_by = panel if lit is not None else ""
        if lit != self.lit:
            self.lit = lit
            self.lit_changed.emit(lit)

    def select(self, tags: Iterable[str], zoom: bool = False) -> None:
        """Select parts, and bring them into view if ``zoom``."""
        chosen = tuple(dict.fromkeys(tags))
        if chosen != self.tags:
            self.tags = chosen
            self.selection_changed.emit(chosen)
        if zoom and chosen:
            self.zoom_asked.emit(chosen)
