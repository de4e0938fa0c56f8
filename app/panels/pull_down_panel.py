# SPDX-License-Identifier: MIT
"""Pull-down: cool the boat down from any start, hour by hour; fields above, plots below.

It runs when asked, in a thread of its own, on the flows that are on show.
"""

from __future__ import annotations

from functools import partial

from PySide6.QtCore import QPoint, QSize, Qt
from PySide6.QtGui import QAction, QColor, QGuiApplication, QKeySequence, QPainter, QPixmap
from PySide6.QtWidgets import (
    QFrame,
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QMenu,
    QPushButton,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from app.editing.document import Document
from app.panels.plot import Plot
from app.panels.plot_data import PlotData
from app.panels.pull_down_plots import (
    in_words,
    power_data,
    table_text,
    temperatures_data,
)
from app.panels.shown import Shown
from app.solving.live_solver import HARMLESS
from app.solving.long_job import LongJob, was_cancelled
from app.solving.results import ResultsStore
from app.theme import HALF_SPACE, SPACE
from app.translation import tr
from app.units import UnitError, parse, show
from solver.heat.pull_down import Span, Start, pull_down
from solver.heat.pulled import PullDown

_LEAST_FIELD_PX, _FIELD_PX = 56, 84
_LEAST_PLOT = QSize(140, 80)
#: Temperatures, power and words take so many parts of the width.
_WIDTHS = (5, 3, 3)


class PullDownPanel(QWidget):
    """The fields, the two plots and what came of the run in words."""

    def __init__(
        self,
        document: Document,
        store: ResultsStore,
        job: LongJob,
        shown: Shown,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._document, self._store, self._job, self._shown = document, store, job, shown
        self.pulled: PullDown | None = None
        self._old, self._mine = False, False
        usual = Span()
        self.hours = self._field(tr("How long"), show(usual.hours, "hours", "si"), "")
        self.step = self._field(tr("Step"), show(usual.step_min, "time", "si"), "")
        self.cabins = self._field(tr("Cabins start at"), "", tr("outdoor air"))
        self.water = self._field(tr("Water starts at"), "", tr("as cabins"))
        self.hour = self._field(tr("Solar time at the start"), "", tr("steady"))
        self.run = QPushButton(tr("&Run"), self)
        self.run.clicked.connect(self.start)
        self.cancel = QPushButton(tr("&Cancel"), self)
        self.cancel.clicked.connect(job.cancel)
        self.cancel.setEnabled(False)
        self.temperatures = Plot(shown.theme, self)
        self.temperatures.setAccessibleName(tr("Temperatures of cabins and loop against time"))
        self.power = Plot(shown.theme, self)
        self.power.setAccessibleName(tr("Power against time"))
        self.words = QLabel(self)
        self.words.setWordWrap(True)
        self.words.setMargin(SPACE)
        self.words.setAlignment(Qt.AlignmentFlag.AlignTop)
        self.words.setTextInteractionFlags(
            Qt.TextInteractionFlag.TextSelectableByMouse | Qt.TextInteractionFlag.TextSelectableByKeyboard
        )
        self._add_copying()
        self._lay_out()
        document.changed.connect(self._follow_document)
        document.opened.connect(self._forget)
        store.results_changed.connect(self._allow)
        shown.units_changed.connect(self._draw)
        shown.theme_changed.connect(self._take_theme)
        shown.selection_changed.connect(self._draw)
        job.begun.connect(self._allow)
        job.ended.connect(self._allow)
        job.progressed.connect(self._progressed)
        job.answered.connect(self._answered)
        job.refused.connect(self._refused)
        self._allow()
        self._draw()

    def _field(self, name: str, text: str, empty: str) -> QLineEdit:
        field = QLineEdit(text, self)
        field.setAccessibleName(name)
        field.setPlaceholderText(empty)
        field.setToolTip(name)
        field.setMinimumWidth(_LEAST_FIELD_PX)
        field.setMaximumWidth(_FIELD_PX)
        field.returnPressed.connect(self.start)
        return field

    def _add_copying(self) -> None:
        self.copy_picture = QAction(tr("Copy as &picture"), self)
        self.copy_picture.triggered.connect(lambda: QGuiApplication.clipboard().setPixmap(self.picture()))
        self.copy_table = QAction(tr("Copy as &table"), self)
        self.copy_table.setShortcut(QKeySequence.StandardKey.Copy)
        self.copy_table.setShortcutContext(Qt.ShortcutContext.WidgetWithChildrenShortcut)
        self.copy_table.triggered.connect(lambda: QGuiApplication.clipboard().setText(self.table()))
        self.addActions([self.copy_picture, self.copy_table])
        for plot in (self.temperatures, self.power):
            plot.setContextMenuPolicy(Qt.ContextMenuPolicy.CustomContextMenu)
            plot.customContextMenuRequested.connect(partial(self._show_menu, plot))

    def _lay_out(self) -> None:
        head = QGridLayout()
        head.setContentsMargins(SPACE, HALF_SPACE, SPACE, 0)
        head.setHorizontalSpacing(HALF_SPACE)
        head.setVerticalSpacing(0)
        fields = (
            (tr("&For"), self.hours),
            (tr("&Step"), self.step),
            (tr("Ca&bins from"), self.cabins),
            (tr("&Water from"), self.water),
            (tr("&Day from"), self.hour),
        )
        for column, (text, field) in enumerate(fields):
            label = QLabel(text, self)
            label.setProperty("role", "soft")
            label.setBuddy(field)
            head.addWidget(label, 0, column)
            head.addWidget(field, 1, column)
        head.addWidget(self.run, 1, len(fields))
        head.addWidget(self.cancel, 1, len(fields) + 1)
        head.setColumnStretch(len(fields) + 2, 1)
        told = QScrollArea(self)
        told.setWidgetResizable(True)
        told.setFrameShape(QFrame.Shape.NoFrame)
        told.setAccessibleName(tr("What came of it"))
        told.setWidget(self.words)
        plots = QHBoxLayout()
        plots.setSpacing(0)
        for plot in (self.temperatures, self.power):
            plot.setMinimumSize(_LEAST_PLOT)
        for part, width in zip((self.temperatures, self.power, told), _WIDTHS, strict=True):
            plots.addWidget(part, width)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(0)
        layout.addLayout(head)
        layout.addLayout(plots, 1)

    def start(self) -> None:
        """Read the fields and run; what cannot be read is told in words."""
        results = self._store.results
        if results is None or self._store.behind or self._job.is_busy:
            return
        try:
            span, start = self._span(), self._start_state()
        except UnitError as problem:
            self._tell(str(problem), bad=True)
            return
        self._mine = True
        self._job.run(
            tr("Pull-down"),
            lambda cancelled, progress: pull_down(
                results, span, start, cancelled=cancelled, progress=progress
            ),
        )

    def picture(self) -> QPixmap:
        """Return both plots as one picture."""
        parts = [self.temperatures.picture(), self.power.picture()]
        ratio = parts[0].devicePixelRatio()
        made = QPixmap(sum(part.width() for part in parts), max(part.height() for part in parts))
        made.fill(QColor(self._shown.theme.panel))
        made.setDevicePixelRatio(ratio)
        painter = QPainter(made)
        left = 0.0
        for part in parts:
            painter.drawPixmap(round(left), 0, part)
            left += part.width() / ratio
        painter.end()
        return made

    def table(self) -> str:
        """Return every step as tab-separated text."""
        return "" if self.pulled is None else table_text(self.pulled, self._shown.units)

    def _span(self) -> Span:
        usual = Span()
        hours, step = self._read(self.hours, "hours"), self._read(self.step, "time")
        hour = self.hour.text().strip()
        return Span(
            usual.hours if hours is None else hours,
            usual.step_min if step is None else step,
            _clock(hour) if hour else None,
        )

    def _start_state(self) -> Start:
        return Start(self._read(self.cabins, "temperature"), self._read(self.water, "temperature"))

    def _read(self, field: QLineEdit, quantity: str) -> float | None:
        text = field.text().strip()
        if not text:
            return None
        try:
            return parse(text, quantity, self._shown.units)
        except UnitError as problem:
            field.setFocus()
            raise UnitError(f"{field.accessibleName()}: {problem}") from None

    # What happens to a run

    def _progressed(self, share: float) -> None:
        if self._mine:
            self._tell(tr("Working: {0}").format(show(share, "fraction", self._shown.units)))

    def _answered(self, value: object) -> None:
        if isinstance(value, PullDown):
            self.pulled, self._old, self._mine = value, False, False
            self._draw()

    def _refused(self, problem: object) -> None:
        if not self._mine:
            return
        self._mine = False
        if was_cancelled(problem):
            self._draw()
            self._tell(tr("Cancelled."))
        else:
            self._tell(tr("No pull-down: {0}.").format(str(problem).rstrip(".")), bad=True)

    def _follow_document(self, _old: object, _new: object, kinds: frozenset[str]) -> None:
        if self.pulled is not None and not set(kinds) <= HARMLESS:
            self._old = True
            self._draw()

    def _forget(self) -> None:
        self.pulled = None
        self._job.cancel()
        self._draw()

    # What is shown

    def _allow(self, *_what: object) -> None:
        ready = self._store.results is not None and not self._store.behind
        self.run.setEnabled(ready and not self._job.is_busy)
        self.cancel.setEnabled(self._job.is_busy)

    def _take_theme(self, *_what: object) -> None:
        for plot in (self.temperatures, self.power):
            plot.set_theme(self._shown.theme)

    def _tell(self, text: str, bad: bool = False) -> None:
        self.words.setText(text)
        if self.words.property("state") != ("bad" if bad else ""):
            self.words.setProperty("state", "bad" if bad else "")
            self.words.style().unpolish(self.words)
            self.words.style().polish(self.words)

    def _draw(self, *_what: object) -> None:
        units = self._shown.units
        if self.pulled is None:
            empty = tr("Run it to see cabins, water and power through the hours.")
            self.temperatures.show_data(PlotData("", "", empty_text=empty))
            self.power.show_data(PlotData("", ""))
            self._tell(
                tr("Flows stay as they are solved; chillers start and stop, furnishings give up heat.")
            )
            return
        data = temperatures_data(self.pulled, units, self._shown.tags)
        self.temperatures.show_data(data, self._old)
        self.power.show_data(power_data(self.pulled, units), self._old)
        old = tr("Of the vessel before the last edit.") + "\n" if self._old else ""
        self._tell(old + in_words(self.pulled, units))

    def _show_menu(self, plot: Plot, place: QPoint) -> None:
        menu = QMenu(self)
        menu.addActions([self.copy_picture, self.copy_table])
        menu.exec(plot.mapToGlobal(place))
        menu.deleteLater()


def _clock(text: str) -> float:
    """Return an hour of the day such as 9:30 or 15.

    Raises
    ------
    UnitError
        It is none.
    """
    hours, _, minutes = text.replace(",", ".").partition(":")
    try:
        hour = float(hours) + (float(minutes) / 60.0 if minutes else 0.0)
    except ValueError:
        hour = -1.0
    if not 0.0 <= hour <= 24.0:
        raise UnitError(tr("{0}: an hour from 0 to 24 is expected, such as 15 or 9:30").format(text))
    return hour
