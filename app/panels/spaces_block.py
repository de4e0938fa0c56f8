# SPDX-License-Identifier: MIT
"""The spaces on the vessel's page: those known by name with their usual values, and the vessel's own."""

from __future__ import annotations

from collections.abc import Hashable

import msgspec
from PySide6.QtCore import Qt
from PySide6.QtGui import QBrush, QColor, QKeySequence, QShortcut
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
from app.panels.design_sets import free_name
from app.panels.fields import Field, fields_of
from app.panels.form import Form
from app.panels.rows.number_row import NumberRow
from app.panels.rows.row import ProblemLine
from app.panels.shown import Shown
from app.translation import tr
from app.units import System, number, unit
from solver.errors import EditError
from solver.vessel.cabin import OUTDOORS
from solver.vessel.edits import add_space, remove_space, set_space
from solver.vessel.spaces import Space, known_spaces, plain_name, space_of
from solver.vessel.vessel import Vessel

_ROW_HEIGHT, _ROWS = 24, 6


class SpacesBlock(QWidget):
    """Lists spaces with what holds there for the current conditions; the vessel's own can be edited."""

    def __init__(self, document: Document, shown: Shown, parent: QWidget) -> None:
        super().__init__(parent)
        self._document, self._shown = document, shown
        self._names: tuple[str, ...] = ()
        heading = QLabel(tr("Spaces"), self)
        heading.setProperty("role", "heading")
        heading.setIndent(0)
        self.table = self._make_table()
        heading.setBuddy(self.table)
        self.note = QLabel(
            tr(
                "Beyond a bulkhead, or where a run passes. Pale ones are as usual; measured values beat them."
            ),
            self,
        )
        self.note.setProperty("role", "unit")
        self.note.setWordWrap(True)
        self.form = Form(shown.units, self)
        self.form.add_fields(fields_of(Space))
        self.form.committed.connect(self._commit)
        self.problem = ProblemLine(self)
        self.add = QPushButton(tr("Add a space"), self)
        self.add.clicked.connect(self._add)
        self.own = QPushButton(tr("Type own values"), self)
        self.own.clicked.connect(self._take_own)
        self.remove = QPushButton(tr("Remove"), self)
        self.remove.setAccessibleName(tr("Remove the space"))
        self.remove.clicked.connect(self._remove)
        QShortcut(
            QKeySequence.StandardKey.Delete,
            self.table,
            self._remove,
            context=Qt.ShortcutContext.WidgetShortcut,
        )
        buttons = QHBoxLayout()
        buttons.setSpacing(4)
        for button in (self.add, self.own, self.remove):
            buttons.addWidget(button)
        buttons.addStretch(1)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(4)
        for widget in (heading, self.table, self.note, self.form, self.problem):
            layout.addWidget(widget)
        layout.addLayout(buttons)
        shown.theme_changed.connect(self.show_vessel)

    def _make_table(self) -> QTableWidget:
        table = QTableWidget(0, 3, self)
        table.setObjectName("spaces")
        table.setAccessibleName(tr("Spaces"))
        table.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        table.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        table.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        table.setTabKeyNavigation(False)
        table.setShowGrid(False)
        table.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        table.verticalHeader().hide()
        table.verticalHeader().setDefaultSectionSize(_ROW_HEIGHT)
        header = table.horizontalHeader()
        header.setMinimumSectionSize(24)
        header.setSectionResizeMode(QHeaderView.ResizeMode.ResizeToContents)
        header.setSectionResizeMode(0, QHeaderView.ResizeMode.Stretch)
        table.currentCellChanged.connect(self._show_one)
        return table

    @property
    def chosen(self) -> str:
        """Name of the space chosen in the table, empty for none."""
        row = self.table.currentRow()
        return self._names[row] if 0 <= row < len(self._names) else ""

    def show_vessel(self, *_what: object) -> None:
        """Show the spaces of the vessel as it is now; the one chosen stays so."""
        vessel, units, table = self._document.vessel, self._shown.units, self.table
        chosen = self.chosen
        self._names = tuple(name for name in known_spaces(vessel) if name != OUTDOORS)
        own = {space.name for space in vessel.spaces}
        table.blockSignals(True)
        table.setHorizontalHeaderLabels([tr("Space"), unit("temperature", units), unit("percent", units)])
        table.setRowCount(len(self._names))
        for row, name in enumerate(self._names):
            space = space_of(vessel, name) or Space(name)
            cells = (name, number(space.temp_C, "temperature", units), f"{space.rh_percent or 0.0:.0f}")
            for column, text in enumerate(cells):
                item = QTableWidgetItem(text)
                if name not in own:
                    item.setForeground(QBrush(QColor(self._shown.theme.soft)))
                    item.setToolTip(tr("Usual values, which follow weather and sea"))
                if column:
                    item.setTextAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
                table.setItem(row, column, item)
        self._choose(chosen)
        table.blockSignals(False)
        table.ensurePolished()
        header = table.horizontalHeader().sizeHint().height()
        table.setFixedHeight(header + _ROWS * _ROW_HEIGHT + 2 * table.frameWidth())
        self.problem.setVisible(False)
        self._show_one()

    def set_units(self, system: System) -> None:
        """Show all values in another system of units."""
        self.form.set_units(system)

    def _choose(self, name: str) -> None:
        """Choose a space by its name, else none."""
        row = self._names.index(name) if name in self._names else -1
        self.table.setCurrentCell(row, 0)

    def _own(self) -> Space | None:
        return next((space for space in self._document.vessel.spaces if space.name == self.chosen), None)

    def _show_one(self, *_what: object) -> None:
        space, name, units = self._own(), self.chosen, self._shown.units
        self.form.setVisible(space is not None)
        self.remove.setVisible(space is not None)
        self.own.setVisible(space is None and bool(name))
        if space is None:
            return
        self.form.show_structs([space])
        # What holds where nothing is typed: the same space without its own figures.
        bare = msgspec.structs.replace(space, temp_C=None, rh_percent=None)
        vessel = msgspec.structs.replace(self._document.vessel, spaces=(bare,))
        usual = space_of(vessel, space.name) or bare
        for key, quantity, value in (
            ("temp_C", "temperature", usual.temp_C),
            ("rh_percent", "percent", None if usual.rh_percent is None else round(usual.rh_percent)),
        ):
            row = self.form.rows[key]
            if isinstance(row, NumberRow):
                row.editor.setPlaceholderText(tr("{0} usual").format(number(value, quantity, units)))

    def _commit(self, field: Field, value: object, merge_key: Hashable) -> None:
        old = self._own()
        if old is None:
            return
        new = msgspec.structs.replace(old, **{field.key: value})
        step = tr("Change {0} of space {1}").format(field.label.lower(), old.name)
        if field.key == "name":
            step = tr("Rename space {0}").format(old.name)
        try:
            self._document.edit(step, lambda vessel: set_space(vessel, old.name, new), merge_key)
            self._choose(new.name)
        except EditError as error:
            self.form.show_problem(field.key, str(error))

    def _add(self) -> None:
        taken = known_spaces(self._document.vessel)
        name = free_name(tr("Space"), [*taken, *map(plain_name, taken)])
        self._give(Space(name))
        self.form.rows["name"].editor.setFocus(Qt.FocusReason.TabFocusReason)

    def _take_own(self) -> None:
        """Give a usual space a place in the vessel, so that its values can be typed."""
        usual = space_of(self._document.vessel, self.chosen)
        if usual is not None:
            self._give(Space(usual.name, air_m_s=usual.air_m_s))
            self.form.rows["temp_C"].editor.setFocus(Qt.FocusReason.TabFocusReason)

    def _give(self, space: Space) -> None:
        def added(vessel: Vessel) -> Vessel:
            return add_space(vessel, space)

        self._document.edit(tr("Add space {0}").format(space.name), added)
        self._choose(space.name)
        self._show_one()

    def _remove(self) -> None:
        space = self._own()
        if space is None:
            return
        step = tr("Remove space {0}").format(space.name)
        try:
            self._document.edit(step, lambda vessel: remove_space(vessel, space.name))
        except EditError as error:
            self.problem.setText(str(error))
            self.problem.setVisible(True)
