# SPDX-License-Identifier: MIT
"""What ties the canvas to the window: selection both ways, results and marks, what is under the mouse."""

from __future__ import annotations

from collections.abc import Iterable

from PySide6.QtCore import QEvent, QObject, Qt, Signal
from PySide6.QtGui import QFocusEvent, QMouseEvent

from app.canvas.scene import VesselScene
from app.canvas.view import VesselView
from app.panels.figures import main_value
from app.panels.severity import SEVERITIES
from app.panels.shown import Shown
from app.solving.results import ResultsStore
from app.translation import tr
from solver.results import Finding

#: Ways of the keyboard's focus that show where it is.
_BY_KEY = (
    Qt.FocusReason.TabFocusReason,
    Qt.FocusReason.BacktabFocusReason,
    Qt.FocusReason.ShortcutFocusReason,
)

#: How many of the selected parts a screen reader is told of.
_MOST_TOLD = 8


class CanvasSide(QObject):
    """Keeps the scene in step with results, selection, theme and units.

    Attributes
    ----------
    zoomed : Signal(float)
        The zoom in percent, whenever the canvas is painted.
    pointed_at : Signal(str)
        What is under the mouse, in words; empty when it is elsewhere.
    """

    zoomed = Signal(float)
    pointed_at = Signal(str)

    def __init__(self, scene: VesselScene, view: VesselView, store: ResultsStore, shown: Shown) -> None:
        super().__init__(view)
        self._scene, self._view, self._store, self._shown = scene, view, store, shown
        self._is_selecting = False
        self._marks: dict[str, str] = {}
        scene.set_theme(shown.theme)
        scene.tags_selected.connect(self._selected_on_canvas)
        shown.selection_changed.connect(self._select_on_canvas)
        shown.zoom_asked.connect(view.zoom_to)
        shown.theme_changed.connect(scene.set_theme)
        shown.units_changed.connect(scene.set_units)
        shown.lit_changed.connect(scene.light)
        store.results_changed.connect(self._show_results)
        store.findings_changed.connect(self._show_marks)
        view.setAccessibleName(tr("Drawing of the vessel; the outline lists its parts"))
        shown.selection_changed.connect(self._describe)
        view.installEventFilter(self)
        view.viewport().installEventFilter(self)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() == QEvent.Type.FocusIn and isinstance(event, QFocusEvent):
            self._show_ring(event.reason())
        elif watched is self._view:
            return False
        if event.type() == QEvent.Type.Paint:
            self.zoomed.emit(self._view.scale_now() * 100)
        elif event.type() == QEvent.Type.MouseMove and isinstance(event, QMouseEvent):
            self.pointed_at.emit(self._under(event))
        elif event.type() == QEvent.Type.Leave:
            self.pointed_at.emit("")
        return super().eventFilter(watched, event)

    def _show_results(self, *_what: object) -> None:
        self._scene.show_results(self._store.results, self._store.behind, self._store.heat_behind)
        self._scene.set_reason(self._store.reason)
        self._show_marks()

    def _show_marks(self, *_what: object) -> None:
        found = marks(self._store.findings, self._store.tags)
        if found != self._marks:
            self._marks = found
            self._scene.mark(found)

    def _show_ring(self, reason: Qt.FocusReason) -> None:
        """Frame the canvas where the keyboard came to it by a key; a click shows where it is itself."""
        self._view.setProperty("ring", reason in _BY_KEY)
        self._view.style().unpolish(self._view)
        self._view.style().polish(self._view)

    def _describe(self, tags: tuple[str, ...]) -> None:
        """Tell a screen reader what is selected."""
        results, units = self._store.results, self._shown.units
        told = tags[:_MOST_TOLD]
        values = ["" if results is None else main_value(results, tag, units) for tag in told]
        texts = [f"{tag} {value}".rstrip() for tag, value in zip(told, values, strict=True)]
        self._view.setAccessibleDescription(", ".join(texts))

    def _under(self, event: QMouseEvent) -> str:
        place = self._view.mapToScene(event.position().toPoint())
        tags = self._scene.tags_at(place)
        if not tags:
            return f"{place.x():.0f}, {place.y():.0f}"
        results = self._store.results
        value = "" if results is None else main_value(results, tags[0], self._shown.units)
        return f"{tags[0]}  {value}".rstrip()

    def _selected_on_canvas(self, tags: tuple[str, ...]) -> None:
        if not self._is_selecting:
            self._shown.select(tags)

    def _select_on_canvas(self, tags: tuple[str, ...]) -> None:
        # The canvas leaves out what it does not draw; that is not to come back as a choice of the user.
        self._is_selecting = True
        self._scene.select_tags(tags)
        self._is_selecting = False


def marks(findings: Iterable[Finding], unsolved: Iterable[str]) -> dict[str, str]:
    """Return tag -> the worst severity that a finding puts on it; parts without an answer are bad."""
    found: dict[str, str] = {}
    for finding in findings:
        for tag in finding.tags:
            if tag not in found or SEVERITIES.index(finding.severity) < SEVERITIES.index(found[tag]):
                found[tag] = finding.severity
    return found | dict.fromkeys(unsolved, "bad")
