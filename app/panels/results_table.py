# SPDX-License-Identifier: MIT
"""The results as tables that can be sorted and copied: air handlers, runs, pumps."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any, NamedTuple

from PySide6.QtCore import (
    QAbstractTableModel,
    QItemSelection,
    QItemSelectionModel,
    QModelIndex,
    QObject,
    QPersistentModelIndex,
    QSortFilterProxyModel,
    Qt,
)
from PySide6.QtGui import QAction, QGuiApplication, QKeySequence, QPaintEvent
from PySide6.QtWidgets import (
    QAbstractItemView,
    QHeaderView,
    QLabel,
    QTableView,
    QTabWidget,
    QVBoxLayout,
    QWidget,
)

from app.editing.document import Document
from app.panels.natural import natural_key, ranges
from app.panels.shown import Shown
from app.solving.results import ResultsStore
from app.translation import tr
from app.units import System, number, unit
from solver.results import Results
from solver.vessel.vessel import Vessel

Index = QModelIndex | QPersistentModelIndex
VALUE = Qt.ItemDataRole.UserRole
TAG = Qt.ItemDataRole.UserRole + 1


class Column(NamedTuple):
    """A column: its name, the quantity of its figures (empty for text), the value of a row."""

    name: str
    quantity: str
    value: Callable[[Any], object]


class Sheet(NamedTuple):
    """A table: its name, its columns, and the rows of some results."""

    name: str
    columns: tuple[Column, ...]
    rows: Callable[[Vessel, Results], Sequence[Any]]


def _size(value: float | None) -> float | None:
    return None if value is None else abs(value)


def sheets() -> tuple[Sheet, ...]:
    """Return the three tables."""
    tag = Column(tr("Tag"), "", lambda row: row.tag)
    return (
        Sheet(
            tr("Air handlers"),
            (
                tag,
                Column(tr("Share of design"), "fraction", lambda row: row.share_of_design),
                Column(tr("Flow"), "flow", lambda row: row.flow_L_s),
                Column(tr("Design flow"), "flow", lambda row: row.design_flow_L_s),
                Column(tr("Drop"), "pressure", lambda row: row.drop_kPa),
            ),
            lambda _vessel, results: list(results.air_handlers.values()),
        ),
        Sheet(
            tr("Runs"),
            (
                tag,
                Column(tr("Flow"), "flow", lambda row: abs(row.flow_L_s)),
                Column(tr("Velocity"), "velocity", lambda row: _size(row.velocity_m_s)),
                Column(tr("Loss per length"), "loss_per_length", lambda row: _size(row.loss_Pa_m)),
                Column(tr("Loss"), "pressure", lambda row: abs(row.loss_kPa)),
                Column(tr("by the pipe"), "pressure", lambda row: abs(row.pipe_kPa)),
                Column(tr("by fittings"), "pressure", lambda row: abs(row.fittings_kPa)),
            ),
            lambda vessel, results: [
                results.links[run.tag] for run in vessel.runs if run.tag in results.links
            ],
        ),
        Sheet(
            tr("Pumps"),
            (
                tag,
                Column(tr("Flow"), "flow", lambda row: row.flow_L_s),
                Column(tr("Head"), "head", lambda row: row.head_m),
                Column(tr("Pressure rise"), "pressure", lambda row: row.rise_kPa),
                Column(tr("Speed"), "percent", lambda row: row.speed_percent),
                Column(tr("Efficiency"), "fraction", lambda row: row.efficiency),
                Column(tr("Share of best-efficiency flow"), "fraction", lambda row: row.share_of_best_flow),
                Column(tr("Electrical power"), "power", lambda row: row.power_W),
            ),
            lambda _vessel, results: list(results.pumps.values()),
        ),
    )


class ResultsModel(QAbstractTableModel):
    """One table."""

    def __init__(self, sheet: Sheet, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.sheet = sheet
        self._rows: list[Any] = []
        self._row_of: dict[str, int] = {}
        self._units: System = "si"

    def show_rows(self, rows: Sequence[Any], units: System) -> None:
        """Show other figures; the rows stay where they are if their parts are the same."""
        same = [row.tag for row in rows] == [row.tag for row in self._rows]
        if not same:
            self.beginResetModel()
        self._rows, self._units = list(rows), units
        self._row_of = {row.tag: number for number, row in enumerate(rows)}
        if not same:
            self.endResetModel()
        elif rows:
            self.dataChanged.emit(self.index(0, 0), self.index(len(rows) - 1, len(self.sheet.columns) - 1))
            self.headerDataChanged.emit(Qt.Orientation.Horizontal, 0, len(self.sheet.columns) - 1)

    def rows_of(self, tags: Sequence[str]) -> list[int]:
        """Return the rows of parts, as far as they stand in this table."""
        return [self._row_of[tag] for tag in tags if tag in self._row_of]

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        return 0 if parent.isValid() else len(self._rows)

    def columnCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        return 0 if parent.isValid() else len(self.sheet.columns)

    def heading(self, section: int) -> str:
        """Return a column's name with the unit shown."""
        column = self.sheet.columns[section]
        shown = unit(column.quantity, self._units) if column.quantity else ""
        return f"{column.name}, {shown}" if shown else column.name

    def headerData(
        self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole
    ) -> object:
        if orientation != Qt.Orientation.Horizontal:
            return None
        if role == Qt.ItemDataRole.DisplayRole:
            return self.heading(section)
        if role == Qt.ItemDataRole.TextAlignmentRole:
            return int(self._alignment(section))
        return None

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        column = self.sheet.columns[index.column()]
        row = self._rows[index.row()]
        if role == TAG:
            return row.tag
        if role == VALUE:
            value = column.value(row)
            if isinstance(value, str):
                return natural_key(value)
            return -1.0 if value is None else value
        if role == Qt.ItemDataRole.DisplayRole:
            value = column.value(row)
            if isinstance(value, str):
                return value
            return number(value if isinstance(value, int | float) else None, column.quantity, self._units)
        if role == Qt.ItemDataRole.TextAlignmentRole:
            return int(self._alignment(index.column()))
        return None

    def _alignment(self, section: int) -> Qt.AlignmentFlag:
        is_figure = bool(self.sheet.columns[section].quantity)
        side = Qt.AlignmentFlag.AlignRight if is_figure else Qt.AlignmentFlag.AlignLeft
        return side | Qt.AlignmentFlag.AlignVCenter


class ResultsTable(QWidget):
    """Tables of the results, in step with the selection.

    Copying takes the rows selected, or all of them, as tab-separated text with headings and units.

    Parameters
    ----------
    tables : sequence of Sheet, optional
        Those of flows if left out.
    of_heat : bool
        They are of temperatures: dimmed with those, and told why where there are none.
    """

    def __init__(
        self,
        document: Document,
        store: ResultsStore,
        shown: Shown,
        parent: QWidget | None = None,
        *,
        tables: Sequence[Sheet] | None = None,
        of_heat: bool = False,
    ) -> None:
        super().__init__(parent)
        self._of_heat = of_heat
        self.missing = QLabel(self)
        self.missing.setProperty("role", "warn")
        self.missing.setWordWrap(True)
        self.missing.setMargin(8)
        self.missing.hide()
        self._document, self._store, self._shown = document, store, shown
        self._is_following = False
        self.tabs = QTabWidget(self)
        self.tabs.setDocumentMode(True)
        self._models: list[ResultsModel] = []
        #: Table's number -> the results and units it shows.
        self._up_to_date: dict[int, tuple[Results | None, System]] = {}
        self._proxies: list[QSortFilterProxyModel] = []
        self.views: list[QTableView] = []
        for sheet in sheets() if tables is None else tables:
            self._add(sheet)
        self.tabs.currentChanged.connect(self._bring_up_to_date)
        copy = QAction(tr("Copy as table"), self)
        copy.setShortcut(QKeySequence.StandardKey.Copy)
        copy.setShortcutContext(Qt.ShortcutContext.WidgetWithChildrenShortcut)
        copy.triggered.connect(self.copy)
        self.addAction(copy)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.addWidget(self.missing)
        layout.addWidget(self.tabs)
        store.results_changed.connect(self._refresh)
        shown.units_changed.connect(self._refresh)
        shown.selection_changed.connect(self._follow)
        self._refresh()

    def _add(self, sheet: Sheet) -> None:
        model = ResultsModel(sheet, self)
        proxy = QSortFilterProxyModel(self)
        proxy.setSourceModel(model)
        proxy.setSortRole(VALUE)
        view = QTableView(self)
        view.setAccessibleName(sheet.name)
        view.setModel(proxy)
        view.setSortingEnabled(True)
        view.sortByColumn(0, Qt.SortOrder.AscendingOrder)
        view.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        view.setShowGrid(False)
        view.setTabKeyNavigation(False)
        view.verticalHeader().hide()
        view.verticalHeader().setDefaultSectionSize(24)
        view.horizontalHeader().setSectionResizeMode(QHeaderView.ResizeMode.ResizeToContents)
        view.horizontalHeader().setResizeContentsPrecision(40)
        view.horizontalHeader().setHighlightSections(False)
        view.setContextMenuPolicy(Qt.ContextMenuPolicy.ActionsContextMenu)
        action = QAction(tr("Copy as table"), view)
        action.triggered.connect(self.copy)
        view.addAction(action)
        view.selectionModel().selectionChanged.connect(self._select)
        view.doubleClicked.connect(lambda index: self._shown.select((index.data(TAG),), zoom=True))
        self._models.append(model)
        self._proxies.append(proxy)
        self.views.append(view)
        self.tabs.addTab(view, sheet.name)

    def copy(self) -> None:
        """Put the table on the clipboard as tab-separated text."""
        QGuiApplication.clipboard().setText(self.table())

    def table(self) -> str:
        """Return the rows selected, or all, as tab-separated text."""
        view, model = self.views[self.tabs.currentIndex()], self._models[self.tabs.currentIndex()]
        proxy = view.model()
        chosen = sorted(index.row() for index in view.selectionModel().selectedRows())
        rows = chosen or range(proxy.rowCount())
        columns = range(proxy.columnCount())
        lines = ["\t".join(model.heading(column) for column in columns)]
        lines += ["\t".join(str(proxy.index(row, column).data()) for column in columns) for row in rows]
        return "\n".join(lines) + "\n"

    def paintEvent(self, event: QPaintEvent) -> None:
        """Bring the table up to date when it comes to be seen, from behind another's tab too."""
        super().paintEvent(event)
        self._bring_up_to_date()

    def _refresh(self, *_what: object) -> None:
        old = self._store.heat_is_old if self._of_heat else self._store.behind
        for view in self.views:
            view.setEnabled(not old)
        no_heat = self._store.no_heat if self._of_heat else ""
        self.missing.setText(tr("No temperatures: {0}.").format(no_heat))
        self.missing.setVisible(bool(no_heat))
        if not self.visibleRegion().isEmpty():
            self._bring_up_to_date()

    def _bring_up_to_date(self, *_what: object) -> None:
        """Show the newest figures in the table that is open; a ship's take a while to sort."""
        index = self.tabs.currentIndex()
        results, model = self._store.results, self._models[index]
        wanted = (results, self._shown.units)
        if self._up_to_date.get(index) == wanted:
            return
        self._up_to_date[index] = wanted
        self._is_following = True
        model.show_rows(
            model.sheet.rows(results.vessel, results) if results is not None else [], self._shown.units
        )
        self._is_following = False
        self._follow(self._shown.tags)

    def _select(self, *_what: object) -> None:
        if self._is_following:
            return
        view = self.views[self.tabs.currentIndex()]
        tags = [index.data(TAG) for index in view.selectionModel().selectedRows()]
        self._is_following = True
        self._shown.select(tags)
        self._is_following = False

    def _follow(self, tags: tuple[str, ...]) -> None:
        if self._is_following:
            return
        self._is_following = True
        for view, proxy, model in zip(self.views, self._proxies, self._models, strict=True):
            chosen = QItemSelection()
            last = proxy.columnCount() - 1
            rows = (proxy.mapFromSource(model.index(row, 0)).row() for row in model.rows_of(tags))
            for top, bottom in ranges(rows):
                chosen.select(proxy.index(top, 0), proxy.index(bottom, last))
            view.selectionModel().select(chosen, QItemSelectionModel.SelectionFlag.ClearAndSelect)
            if not chosen.isEmpty():
                view.scrollTo(chosen.indexes()[0])
        self._is_following = False
