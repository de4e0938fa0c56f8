# SPDX-License-Identifier: MIT
"""The solve step by step: Hardy-Cross loop by loop, or Newton, with the drawing following.

Page Down and Page Up go a step forward and back, Ctrl+End and Ctrl+Home to the last and the first.
"""

from __future__ import annotations

from typing import NamedTuple

from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication, QKeySequence, QShortcut
from PySide6.QtWidgets import (
    QAbstractItemView,
    QHBoxLayout,
    QHeaderView,
    QLabel,
    QPushButton,
    QTableWidget,
    QTableWidgetItem,
    QVBoxLayout,
    QWidget,
)

from app.panels.head_line import HeadLine
from app.panels.plot import Plot
from app.panels.plot_data import PlotData
from app.panels.rows.calm import CalmComboBox
from app.panels.shown import Shown
from app.panels.step_words import MOST_LOOPS, SWEEPS, StepPage, convergence, hand_page, newton_page
from app.solving.results import ResultsStore
from app.solving.worker import Worker
from app.translation import tr
from solver.errors import FarcabinError
from solver.network.hardy_cross import HardyCross
from solver.results import Results
from solver.solve import NewtonTable, compiled_vessel, hardy_cross_table, newton_table

PANEL, LANE = "steps", "steps"


class Tables(NamedTuple):
    """Both tables of the results they belong to; ``why`` says why one of them is missing."""

    results: Results
    loops: int
    hand: HardyCross | None
    newton: NewtonTable | None
    why: str = ""


def tables_of(results: Results) -> Tables:
    """Return both tables of a solved vessel, Hardy-Cross where the network is not too large."""
    vessel = results.part or results.vessel
    structure = compiled_vessel(vessel).structure
    loops = structure.links - len(structure.free_nodes)
    hand, why = None, ""
    if loops > MOST_LOOPS:
        why = tr("{0} loops are too many to follow by hand; up to {1} are shown.").format(loops, MOST_LOOPS)
    else:
        try:
            hand = hardy_cross_table(vessel, SWEEPS)
        except FarcabinError as refusal:
            why = str(refusal)
    return Tables(results, loops, hand, newton_table(vessel), why)


#: Rows whose cells are measured for the width of a column.
_MEASURED_ROWS = 40


class StepTables(QWidget):
    """The table of one step, with the way through all of them and how fast both methods close in."""

    def __init__(
        self, store: ResultsStore, worker: Worker, shown: Shown, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._store, self._worker, self._shown = store, worker, shown
        self._seen = False
        self._tables: Tables | None = None
        self._asked: Results | None = None
        self._at = 0
        self.page: StepPage | None = None
        self.method = CalmComboBox(self)
        self.method.addItems([tr("Hardy-Cross"), tr("Newton")])
        self.method.setAccessibleName(tr("Method"))
        self.method.currentIndexChanged.connect(self._start)
        label = QLabel(tr("&Method"), self)
        label.setProperty("role", "soft")
        label.setBuddy(self.method)
        self.back = QPushButton(tr("&Back"), self)
        self.back.clicked.connect(lambda: self.go(-1))
        self.forward = QPushButton(tr("For&ward"), self)
        self.forward.clicked.connect(lambda: self.go(1))
        self.headline = QLabel(self)
        self.headline.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        self.table = _table(self)
        self.table.currentCellChanged.connect(self._explain)
        self.meaning = QLabel(self)
        self.meaning.setProperty("role", "soft")
        self.plot = Plot(shown.theme, self)
        self.plot.setAccessibleName(tr("Convergence of both methods"))
        self._lay_out(label)
        self._keys = [
            self._key("PgDown", lambda: self.go(1)),
            self._key("PgUp", lambda: self.go(-1)),
            self._key("Ctrl+Home", lambda: self.go(-self._count())),
            self._key("Ctrl+End", lambda: self.go(self._count())),
            self._key(QKeySequence(QKeySequence.StandardKey.Copy), self._copy),
        ]
        store.results_changed.connect(self._refresh)
        shown.units_changed.connect(self._show_page)
        shown.theme_changed.connect(self.plot.set_theme)
        worker.answered.connect(self._answered)
        self._show_page()

    def set_seen(self, seen: bool) -> None:
        """Say whether the panel can be seen; behind another's tab it works nothing out and lights nothing."""
        self._seen = seen
        self._refresh()

    def go(self, steps: int) -> None:
        """Go some steps forward, or back."""
        at = min(max(self._at + steps, 0), max(self._count() - 1, 0))
        if at != self._at:
            self._at = at
            self._show_page()

    @property
    def at(self) -> int:
        """Number of the step on show, from 0."""
        return self._at

    def _lay_out(self, label: QLabel) -> None:
        head = HeadLine((label, self.method, self.back, self.forward), self.headline, self)
        body = QHBoxLayout()
        body.addWidget(self.table, 3)
        body.addWidget(self.plot, 1)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(0)
        layout.addWidget(head)
        layout.addLayout(body, 1)
        self.meaning.setContentsMargins(8, 2, 8, 4)
        layout.addWidget(self.meaning)

    def _key(self, key: str | QKeySequence, act: object) -> QShortcut:
        shortcut = QShortcut(QKeySequence(key), self)
        shortcut.setContext(Qt.ShortcutContext.WidgetWithChildrenShortcut)
        shortcut.activated.connect(act)
        return shortcut

    def _refresh(self, *_what: object) -> None:
        results = self._store.results
        if not self._seen:
            self._shown.light(PANEL, None)
            return
        if results is None:
            self._tables = self._asked = None
        elif self._asked is not results and not self._store.behind:
            self._asked = results
            self._worker.submit(LANE, lambda: tables_of(results))
        self._show_page()

    def _answered(self, lane: str, _number: int, value: object) -> None:
        if lane == LANE and isinstance(value, Tables) and value.results is self._store.results:
            self._tables = value
            self._start()

    def _start(self, *_what: object) -> None:
        self._at = 0
        self._show_page()

    def _count(self) -> int:
        tables = self._tables
        if tables is None:
            return 0
        if self.method.currentIndex() == 0:
            return len(tables.hand.steps) if tables.hand is not None else 0
        return len(tables.newton.steps) if tables.newton is not None else 0

    def _make_page(self) -> StepPage | None:
        tables = self._tables
        if tables is None or tables.newton is None or not self._count():
            return None
        units = self._shown.units
        if self.method.currentIndex() == 0 and tables.hand is not None:
            density = dict(zip(tables.newton.tags, tables.newton.density.tolist(), strict=True))
            return hand_page(tables.hand.steps[self._at], density, units)
        return newton_page(tables.newton, self._at, units)

    def _why_none(self) -> str:
        if self._tables is not None and self._tables.why:
            return self._tables.why
        if self._tables is not None and self._tables.hand is not None:
            return tr("No loops: there is nothing to correct.")
        return self._store.reason or tr("Nothing is solved yet.")

    def _show_page(self, *_what: object) -> None:
        if self._at >= self._count():
            self._at = 0
        self.page = self._make_page()
        page, last = self.page, self._count() - 1
        self.back.setEnabled(page is not None and self._at > 0)
        self.forward.setEnabled(page is not None and self._at < last)
        behind = f"{tr('These are the steps of the last answer.')} " if self._store.behind and page else ""
        self.headline.setText(behind + (page.headline if page is not None else self._why_none()))
        self.table.setAccessibleDescription(self.headline.text())
        _fill(self.table, page)
        self._explain()
        tables = self._tables
        curves = () if tables is None else convergence(tables.hand, tables.newton)
        self.plot.show_data(
            PlotData(
                tr("Step or sweep"),
                tr("Relative change"),
                curves,
                empty_text=tr("Nothing is solved yet."),
                y_axis="decades",
            ),
            self._store.behind,
        )
        self._shown.light(PANEL, page.lit if page is not None and self._seen else None)

    def _explain(self, *_where: object) -> None:
        """Say under the table what the column of the current cell means."""
        column = max(self.table.currentColumn(), 0)
        if self.page is None or column >= len(self.page.columns):
            self.meaning.setText("")
        else:
            name, meaning = self.page.columns[column]
            self.meaning.setText(f"{name}: {meaning}.")

    def _copy(self) -> None:
        if self.page is not None:
            QGuiApplication.clipboard().setText(self.page.as_text())


def _table(parent: QWidget) -> QTableWidget:
    table = QTableWidget(0, 0, parent)
    table.setAccessibleName(tr("Links of the step"))
    table.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
    table.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
    table.verticalHeader().hide()
    table.horizontalHeader().setSectionResizeMode(QHeaderView.ResizeMode.ResizeToContents)
    table.horizontalHeader().setResizeContentsPrecision(_MEASURED_ROWS)
    table.horizontalHeader().setStretchLastSection(True)
    table.setTabKeyNavigation(False)
    return table


def _fill(table: QTableWidget, page: StepPage | None) -> None:
    columns = () if page is None else page.columns
    rows = () if page is None else page.rows
    table.setColumnCount(len(columns))
    table.setRowCount(len(rows))
    for at, (name, meaning) in enumerate(columns):
        head = QTableWidgetItem(name)
        head.setToolTip(meaning)
        table.setHorizontalHeaderItem(at, head)
    right = Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter
    for row, cells in enumerate(rows):
        for at, text in enumerate(cells):
            item = QTableWidgetItem(text)
            if at:
                item.setTextAlignment(right)
            table.setItem(row, at, item)
