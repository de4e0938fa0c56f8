# SPDX-License-Identifier: MIT
"""Compare with before: a pinned state, or a scenario, against the vessel as drawn now."""

from __future__ import annotations

from PySide6.QtCore import QObject, Qt, Signal
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

from app.editing.document import Document
from app.overlay.difference import Comparison
from app.panels.compare_words import changes_in_words, followed
from app.panels.head_line import HeadLine
from app.panels.rows.calm import CalmComboBox
from app.panels.shown import Shown
from app.solving.results import ResultsStore
from app.solving.worker import Worker
from app.translation import tr
from solver.change import Change
from solver.errors import FarcabinError
from solver.results import Results
from solver.solve import solve

LANE = "comparison"


class ComparePanel(QWidget):
    """Pins the state now, or takes a scenario, and tells what changed and what followed.

    Attributes
    ----------
    compared : Signal(Comparison or None)
        What the drawing is to show the difference of.
    """

    compared = Signal(object)

    def __init__(
        self,
        document: Document,
        store: ResultsStore,
        worker: Worker,
        shown: Shown,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._document, self._store, self._worker, self._shown = document, store, worker, shown
        self._pinned: Results | None = None
        self._scenario = ""
        self._of_scenario: tuple[Results, str, Results] | None = None
        self._asked: tuple[Results | None, str] = (None, "")
        self._refusal = ""
        self.comparison: Comparison | None = None
        self.pin = QPushButton(tr("&Pin the state now"), self)
        self.pin.clicked.connect(self.pin_now)
        self.unpin = QPushButton(tr("&Unpin"), self)
        self.unpin.clicked.connect(self.forget)
        self.scenario = CalmComboBox(self)
        self.scenario.setAccessibleName(tr("Compare with a scenario"))
        self.scenario.setMinimumContentsLength(12)
        self.scenario.activated.connect(self._choose)
        label = QLabel(tr("&Scenario"), self)
        label.setProperty("role", "soft")
        label.setBuddy(self.scenario)
        self.state = QLabel(self)
        self.changes = _table((tr("Part"), tr("What changed")), tr("What changed"), self)
        names = (
            tr("Air handler"),
            tr("Before"),
            tr("After"),
            tr("Change"),
            tr("Share of design"),
            tr("Cabin"),
        )
        self.followed = _table(names, tr("What followed for the air handlers"), self)
        for table in (self.changes, self.followed):
            table.cellActivated.connect(self._select)
            table.cellClicked.connect(self._select)
            copy = QShortcut(QKeySequence(QKeySequence.StandardKey.Copy), table)
            copy.setContext(Qt.ShortcutContext.WidgetShortcut)
            copy.activated.connect(lambda table=table: QGuiApplication.clipboard().setText(as_text(table)))
        head = HeadLine((self.pin, self.unpin, label, self.scenario), self.state, self)
        body = QHBoxLayout()
        body.addWidget(self.changes, 1)
        body.addWidget(self.followed, 1)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(0)
        layout.addWidget(head)
        layout.addLayout(body, 1)
        document.opened.connect(self.forget)
        document.changed.connect(self._fill_scenarios)
        store.results_changed.connect(self._refresh)
        shown.units_changed.connect(self._show)
        worker.answered.connect(self._answered)
        worker.refused.connect(self._refused)
        self._fill_scenarios()
        self._refresh()

    def pin_now(self) -> None:
        """Keep the results on show as the state before."""
        if self._store.results is not None and not self._store.behind:
            self._pinned, self._scenario = self._store.results, ""
            self._fill_scenarios()
            self._refresh()

    def forget(self) -> None:
        """Compare with nothing."""
        self._pinned, self._scenario, self._refusal = None, "", ""
        self._fill_scenarios()
        self._refresh()

    def _choose(self, index: int) -> None:
        self._pinned, self._refusal = None, ""
        self._scenario = self.scenario.itemText(index) if index > 0 else ""
        self._refresh()

    def _fill_scenarios(self, *_what: object) -> None:
        names = [scenario.name for scenario in self._document.vessel.scenarios]
        if self._scenario not in names:
            self._scenario = ""
        entries = [tr("none"), *names]
        if [self.scenario.itemText(row) for row in range(self.scenario.count())] != entries:
            self.scenario.clear()
            self.scenario.addItems(entries)
        self.scenario.setCurrentIndex(names.index(self._scenario) + 1 if self._scenario else 0)
        self.scenario.setEnabled(bool(names))

    def _refresh(self, *_what: object) -> None:
        results, behind = self._store.results, self._store.behind
        self.pin.setEnabled(results is not None and not behind)
        self.unpin.setEnabled(self._pinned is not None or bool(self._scenario))
        comparison = None
        if results is not None and not behind:
            if self._pinned is not None:
                comparison = Comparison(self._pinned, results, tr("pinned"), tr("now"))
            elif self._scenario:
                comparison = self._with_scenario(results)
        elif self._pinned is not None or self._scenario:
            # The last answer stays on show until the next.
            comparison = self.comparison
        if comparison != self.comparison:
            self.comparison = comparison
            self.compared.emit(comparison)
        self._show()

    def _with_scenario(self, results: Results) -> Comparison | None:
        known = self._of_scenario
        if known is not None and known[0] is results and known[1] == self._scenario:
            return Comparison(results, known[2], tr("as drawn"), self._scenario)
        if self._asked != (results, self._scenario):
            self._asked = results, self._scenario
            changes = next(
                each.changes for each in self._document.vessel.scenarios if each.name == self._scenario
            )
            name = self._scenario
            self._worker.submit(LANE, lambda: (results, name, _changed(results, changes)))
        known = self._of_scenario
        if known is not None and known[0] is results and known[1] == self._scenario:
            return Comparison(results, known[2], tr("as drawn"), self._scenario)
        return None

    def _answered(self, lane: str, _number: int, value: object) -> None:
        if lane == LANE and isinstance(value, tuple):
            self._of_scenario, self._refusal = value, ""
            self._refresh()

    def _refused(self, lane: str, _number: int, problem: Exception) -> None:
        if lane == LANE:
            told = problem if isinstance(problem, FarcabinError) else type(problem).__name__
            self._refusal = tr("{0} cannot be solved: {1}").format(self._scenario, told)
            self._refresh()

    def _show(self, *_what: object) -> None:
        comparison, units = self.comparison, self._shown.units
        if comparison is None:
            self.state.setText(
                self._refusal or tr("Pin the state now, change something, and see here what followed.")
            )
            _fill(self.changes, ())
            _fill(self.followed, ())
            return
        behind = f" {tr('Figures are behind the drawing.')}" if self._store.behind else ""
        self.state.setText(
            tr("From “{0}” to “{1}”.").format(comparison.before_name, comparison.after_name) + behind
        )
        words = changes_in_words(comparison.before.vessel, comparison.after.vessel, units)
        _fill(self.changes, words or (("", tr("Nothing has changed yet.")),))
        _fill(self.followed, followed(comparison, units))

    def _select(self, row: int, _column: int) -> None:
        table: QObject | None = self.sender()
        item = table.item(row, 0) if isinstance(table, QTableWidget) else None
        if item is not None and item.text():
            self._shown.select((item.text(),), zoom=True)


def _changed(results: Results, changes: tuple[Change, ...]) -> Results:
    return solve(results.vessel, changes=changes, warm_start=results, partial=True, heat=True)


def as_text(table: QTableWidget) -> str:
    """Return a table as tab-separated text."""
    columns = range(table.columnCount())
    heads = [item.text() if (item := table.horizontalHeaderItem(at)) else "" for at in columns]
    rows = [
        [item.text() if (item := table.item(row, at)) else "" for at in columns]
        for row in range(table.rowCount())
    ]
    return "".join("\t".join(line) + "\n" for line in (heads, *rows))


def _table(names: tuple[str, ...], title: str, parent: QWidget) -> QTableWidget:
    table = QTableWidget(0, len(names), parent)
    table.setAccessibleName(title)
    table.setHorizontalHeaderLabels(list(names))
    table.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
    table.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
    table.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
    table.setTabKeyNavigation(False)
    table.verticalHeader().hide()
    header = table.horizontalHeader()
    header.setSectionResizeMode(QHeaderView.ResizeMode.ResizeToContents)
    header.setStretchLastSection(True)
    return table


def _fill(table: QTableWidget, rows: tuple[tuple[str, ...], ...]) -> None:
    table.setRowCount(len(rows))
    right = Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter
    for row, texts in enumerate(rows):
        for at, text in enumerate(texts):
            item = QTableWidgetItem(text)
            if at and table.columnCount() > 2:
                item.setTextAlignment(right)
            table.setItem(row, at, item)
