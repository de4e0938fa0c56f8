# SPDX-License-Identifier: MIT
"""The load by hour: all cabins through a day of the conditions, beside what is installed.

The loads are worked out in the worker thread, and only while the panel can be seen.
"""

from __future__ import annotations

from functools import partial

from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QAction, QGuiApplication, QKeyEvent, QKeySequence, QPaintEvent
from PySide6.QtWidgets import QCheckBox, QFrame, QHBoxLayout, QLabel, QMenu, QScrollArea, QVBoxLayout, QWidget

from app.editing.document import Document
from app.panels.day_figures import LEVEL_COLOURS, Day, day_figures, day_plot, day_table, heading_words
from app.panels.plot import Plot, interpolated
from app.panels.plot_data import PlotData
from app.panels.results_block import ResultsBlock
from app.panels.shown import Shown
from app.solving.worker import Worker
from app.translation import tr
from app.units import clock, unit
from solver.errors import PartError
from solver.heat.day import day_loads
from solver.heat.installed import installed
from solver.vessel.components import AirHandler
from solver.vessel.vessel import Vessel

LANE = "day loads"
_FIGURES_PX = 368
_HOURS = 24


class DayChart(Plot):
    """The plot, read hour by hour."""

    def reading(self) -> str:
        """Return the hour under the mouse or the arrow keys, and each curve's value there."""
        if self._reading_at is None:
            return ""
        drawn = [curve for curve in self.data.curves if curve.colour not in LEVEL_COLOURS]
        values = ((curve.name, interpolated(curve.points, self._reading_at)) for curve in drawn)
        parts = [f"{name} {value:.3g}" for name, value in values if value is not None]
        load = self.data.y_title.rpartition(", ")[2]
        return f"{' · '.join([clock(self._reading_at), *parts])} {load}"

    def keyPressEvent(self, event: QKeyEvent) -> None:
        steps = {Qt.Key.Key_Left: -1, Qt.Key.Key_Right: 1}
        key = Qt.Key(event.key())
        if key not in steps or not self.data.curves:
            super().keyPressEvent(event)
            return
        at = self._reading_at
        if at is None:
            at = self.data.ring[0] - steps[key] if self.data.ring else 0.0
        self._read_at(at + steps[key])

    def _read_at(self, value: float | None) -> None:
        super()._read_at(None if value is None else float(min(max(round(value), 0), _HOURS)))


class DayPanel(QWidget):
    """Plot, figures beside it, and a word on heading and conditions; it follows edits and the selection."""

    def __init__(
        self, document: Document, worker: Worker, shown: Shown, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._document, self._worker, self._shown = document, worker, shown
        self._asked: Vessel | None = None
        self._why_none = ""
        #: What is shown, None before the first answer and where there is none.
        self.day: Day | None = None
        self.words = QLabel(self)
        self.words.setProperty("role", "soft")
        self.words.setWordWrap(True)
        self.words.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        self.alone = QCheckBox(tr("&Selected cabins alone"), self)
        self.alone.toggled.connect(self._draw)
        self.plot = DayChart(shown.theme, self)
        self.plot.setAccessibleName(tr("Load by hour"))
        self.plot.setContextMenuPolicy(Qt.ContextMenuPolicy.CustomContextMenu)
        self.plot.customContextMenuRequested.connect(self._show_menu)
        self.figures = ResultsBlock(self)
        self.copy_picture = QAction(tr("Copy as &picture"), self)
        self.copy_picture.triggered.connect(
            lambda: QGuiApplication.clipboard().setPixmap(self.plot.picture())
        )
        self.copy_table = QAction(tr("Copy as &table"), self)
        self.copy_table.setShortcut(QKeySequence.StandardKey.Copy)
        self.copy_table.setShortcutContext(Qt.ShortcutContext.WidgetWithChildrenShortcut)
        self.copy_table.triggered.connect(lambda: QGuiApplication.clipboard().setText(self.table()))
        self.addActions([self.copy_picture, self.copy_table])
        self._lay_out()
        document.changed.connect(self._refresh)
        shown.selection_changed.connect(self._draw)
        shown.units_changed.connect(self._draw)
        shown.theme_changed.connect(self.plot.set_theme)
        worker.answered.connect(self._answered)
        worker.refused.connect(self._refused)
        self._refresh()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Ask for the loads when the panel comes to be seen, from behind another's tab too."""
        super().paintEvent(event)
        self._ask()

    @property
    def chosen(self) -> tuple[str, ...]:
        """Tags of the cabins selected, and of those whose air handlers are."""
        vessel = self._document.vessel
        found: list[str] = []
        for tag in self._shown.tags:
            part = vessel.component_by_tag.get(tag)
            found += part.cabins if isinstance(part, AirHandler) else (tag,)
        known = {cabin.tag for cabin in vessel.cabins}
        return tuple(tag for tag in dict.fromkeys(found) if tag in known)

    def table(self) -> str:
        """Return figures and hours as tab-separated text, empty where there are none."""
        return "" if self.day is None else day_table(self.day, self.chosen, self._shown.units)

    def _lay_out(self) -> None:
        top = QHBoxLayout()
        top.setContentsMargins(8, 4, 8, 0)
        top.setSpacing(8)
        top.addWidget(self.words, 1)
        top.addWidget(self.alone)
        beside = QWidget(self)
        column = QVBoxLayout(beside)
        column.setContentsMargins(8, 4, 8, 8)
        column.addWidget(self.figures)
        column.addStretch(1)
        self._beside = QScrollArea(self)
        self._beside.setWidgetResizable(True)
        self._beside.setFrameShape(QFrame.Shape.NoFrame)
        self._beside.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self._beside.setFixedWidth(_FIGURES_PX)
        self._beside.setWidget(beside)
        middle = QHBoxLayout()
        middle.setSpacing(0)
        middle.addWidget(self.plot, 1)
        middle.addWidget(self._beside)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(0)
        layout.addLayout(top)
        layout.addLayout(middle, 1)

    def _refresh(self, *_what: object) -> None:
        if not self._document.vessel.cabins:
            self.day = self._asked = None
        self._ask()
        self._draw()

    def _ask(self) -> None:
        """Ask for the loads if they can be seen and the vessel has others."""
        vessel = self._document.vessel
        if not vessel.cabins or self.visibleRegion().isEmpty() or vessel is self._asked:
            return
        if self._asked is not None and _what_matters(vessel) == _what_matters(self._asked):
            self._asked = vessel
            return
        self._asked, self._why_none = vessel, ""
        self._worker.submit(LANE, partial(_day_of, vessel))
        self._draw()

    def _answered(self, lane: str, _number: int, value: object) -> None:
        if lane == LANE and isinstance(value, Day):
            self.day = value
            self._draw()

    def _refused(self, lane: str, _number: int, problem: object) -> None:
        if lane == LANE:
            self.day, self._why_none = None, str(problem)
            self._draw()

    def _draw(self, *_what: object) -> None:
        day, chosen, units = self.day, self.chosen, self._shown.units
        self.alone.setEnabled(bool(chosen))
        self._beside.setVisible(day is not None)
        if day is None:
            text = self._why_none or tr("No cabins yet: draw one with the cabin tool.")
            if self._document.vessel.cabins and not self._why_none:
                text = tr("The loads are being worked out.")
            self.words.setText("")
            self.plot.show_data(PlotData("", unit("capacity", units), empty_text=text))
            return
        behind = self._asked is not self._document.vessel or self._worker.is_busy(LANE)
        alone = self.alone.isChecked() and bool(day.columns(chosen))
        self.plot.show_data(day_plot(day, chosen, units, alone=alone), behind)
        self.words.setText(heading_words(day, units))
        self.figures.show_figures(day_figures(day, units), behind, "")

    def _show_menu(self, place: QPoint) -> None:
        menu = QMenu(self)
        menu.addActions([self.copy_picture, self.copy_table])
        menu.exec(self.plot.mapToGlobal(place))
        menu.deleteLater()


def _what_matters(vessel: Vessel) -> tuple[object, ...]:
    """Return all of a vessel that its loads and what is installed follow from."""
    return (
        vessel.cabins,
        vessel.current_conditions,
        vessel.decks,
        vessel.spaces,
        vessel.components,
    )


def _day_of(vessel: Vessel) -> Day:
    try:
        able = installed(vessel)
    except PartError:
        # A finding tells which chiller it is; the loads do not hang on it.
        able = None
    return Day(vessel, day_loads(vessel), able)
