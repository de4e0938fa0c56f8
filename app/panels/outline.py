# SPDX-License-Identifier: MIT
"""The tree of circuits, kinds and parts: the way through the vessel without a mouse or without sight.

It is in step with the selection, whichever way that is made.
"""

from __future__ import annotations

from PySide6.QtCore import QItemSelectionModel, QModelIndex, Qt
from PySide6.QtWidgets import QAbstractItemView, QHeaderView, QTreeView, QVBoxLayout, QWidget

from app.editing.document import Document
from app.panels.outline_model import TAG, OutlineModel
from app.panels.shown import Shown
from app.solving.results import ResultsStore
from app.translation import tr
from solver.vessel.changes import difference
from solver.vessel.vessel import Vessel

#: Less would leave no room for tags [px].
_LEAST_WIDTH = 210
#: What the values' column has room for; measuring thousands of values at every solve would take too long.
_WIDEST_VALUE = "10.0 US gpm"
#: Trees up to this many parts are shown open.
_OPEN_UP_TO = 400


class Outline(QWidget):
    """Shows the tree and selects."""

    def __init__(
        self, document: Document, store: ResultsStore, shown: Shown, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._document, self._store, self._shown = document, store, shown
        self._is_following = False
        self._model = OutlineModel(self)
        self.tree = QTreeView(self)
        self.tree.setObjectName("outline")
        self.tree.setAccessibleName(tr("Parts of the vessel"))
        self.tree.setModel(self._model)
        self.tree.setUniformRowHeights(True)
        self.tree.setMinimumWidth(_LEAST_WIDTH)
        self.tree.setSelectionMode(QAbstractItemView.SelectionMode.ExtendedSelection)
        self.tree.setHeaderHidden(True)
        self.tree.setIndentation(11)
        header = self.tree.header()
        header.setStretchLastSection(False)
        header.setSectionResizeMode(0, QHeaderView.ResizeMode.Stretch)
        header.setSectionResizeMode(1, QHeaderView.ResizeMode.Fixed)
        header.resizeSection(1, self.tree.fontMetrics().horizontalAdvance(_WIDEST_VALUE) + 6)
        self.tree.setTextElideMode(Qt.TextElideMode.ElideRight)
        self.tree.selectionModel().selectionChanged.connect(self._select)
        self.tree.activated.connect(self._go_to)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.addWidget(self.tree)
        document.changed.connect(self._changed)
        store.results_changed.connect(self._show_values)
        shown.units_changed.connect(self._show_values)
        shown.selection_changed.connect(self._follow)
        self._rebuild(document.vessel)
        self._show_values()

    def _changed(self, old: Vessel, new: Vessel, _kinds: frozenset[str]) -> None:
        found = difference(old, new)
        came_or_went = any(
            each.added or each.removed for each in (found.components, found.runs, found.cabins)
        )
        names = any(
            getattr(old.component_by_tag[tag], "name", "") != getattr(new.component_by_tag[tag], "name", "")
            for tag in found.components.changed
            if tag in old.component_by_tag and tag in new.component_by_tag
        )
        if came_or_went or names or found.cabins.changed or found.runs.changed:
            self._rebuild(new)

    def _rebuild(self, vessel: Vessel) -> None:
        self._is_following = True
        self._model.show_vessel(vessel)
        for row in range(self._model.rowCount()):
            branch = self._model.index(row, 0)
            self.tree.expand(branch)
            self.tree.setFirstColumnSpanned(row, QModelIndex(), True)
            for below in range(self._model.rowCount(branch)):
                has_value = bool(self._model.index(below, 0, branch).data(TAG))
                self.tree.setFirstColumnSpanned(below, branch, not has_value)
            if len(vessel.components) <= _OPEN_UP_TO and self._model.rowCount(branch):
                self.tree.expand(self._model.index(0, 0, branch))
        self._is_following = False
        self._follow(self._shown.tags)

    def _show_values(self, *_what: object) -> None:
        self._model.show_values(self._store.results, self._shown.units)
        self.tree.viewport().update()

    def _select(self, *_what: object) -> None:
        if self._is_following:
            return
        tags: list[str] = []
        for index in self.tree.selectionModel().selectedRows():
            tags.extend(self._model.node(index).all_tags())
        self._is_following = True
        self._shown.select(tags)
        self._is_following = False

    def _follow(self, tags: tuple[str, ...]) -> None:
        if self._is_following:
            return
        self._is_following = True
        chosen = self._model.selection_of(tags)
        first = next((index for index in map(self._model.index_of, tags) if index.isValid()), QModelIndex())
        model = self.tree.selectionModel()
        model.select(chosen, QItemSelectionModel.SelectionFlag.ClearAndSelect)
        if first.isValid():
            model.setCurrentIndex(first, QItemSelectionModel.SelectionFlag.NoUpdate)
            self.tree.scrollTo(first)
        self._is_following = False

    def _go_to(self, index: QModelIndex) -> None:
        tag = index.siblingAtColumn(0).data(TAG)
        if tag:
            self._shown.select((tag,), zoom=True)
