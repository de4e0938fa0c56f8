# SPDX-License-Identifier: MIT
"""A small table: the points of a curve, the Kv of each setting, the fittings of a run."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import msgspec
from PySide6.QtCore import QModelIndex, QPersistentModelIndex, Qt
from PySide6.QtWidgets import (
    QAbstractItemView,
    QHBoxLayout,
    QHeaderView,
    QPushButton,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QTableWidget,
    QTableWidgetItem,
    QVBoxLayout,
    QWidget,
)

from app import units
from app.panels.fields import Field
from app.panels.rows.calm import CalmComboBox
from app.panels.rows.row import Choices, Row, common, mixed
from app.translation import tr

_ROW_HEIGHT = 24
_MOST_ROWS_SHOWN = 12


class _Choices(QStyledItemDelegate):
    """Edits a column by choosing from a list."""

    def __init__(self, choices: Choices, parent: QWidget) -> None:
        super().__init__(parent)
        self._choices = choices

    def createEditor(
        self, parent: QWidget, _option: QStyleOptionViewItem, _index: QModelIndex | QPersistentModelIndex
    ) -> QWidget:
        combo = CalmComboBox(parent)
        combo.addItems([name for _value, name in self._choices])
        return combo

    def setEditorData(self, editor: QWidget, index: QModelIndex | QPersistentModelIndex) -> None:
        if isinstance(editor, CalmComboBox):
            editor.setCurrentText(str(index.data()))

    def setModelData(
        self, editor: QWidget, model: object, index: QModelIndex | QPersistentModelIndex
    ) -> None:
        if isinstance(editor, CalmComboBox):
            model.setData(index, editor.currentText())  # type: ignore[attr-defined]


class PointsRow(Row):
    """Rows of a few numbers each.

    Parameters
    ----------
    choices : dict, optional
        Column's key -> (value, name on screen) to choose from.
    """

    def __init__(
        self,
        field: Field,
        parent: QWidget,
        system: units.System,
        choices: dict[str, Choices] | None = None,
    ) -> None:
        super().__init__(field, parent)
        self._system = system
        self._choices = choices or {}
        self._rows: tuple[object, ...] = ()
        self._is_filling = False
        self._box = QWidget(parent)
        self._table = QTableWidget(0, len(field.columns), self._box)
        self._table.setObjectName(field.key)
        self._table.setAccessibleName(field.label)
        self._table.verticalHeader().hide()
        self._table.verticalHeader().setDefaultSectionSize(_ROW_HEIGHT)
        self._table.horizontalHeader().setSectionResizeMode(QHeaderView.ResizeMode.Stretch)
        self._table.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self._table.setTabKeyNavigation(False)
        self._table.itemChanged.connect(self._cell_changed)
        for column, each in enumerate(field.columns):
            if each.key in self._choices:
                self._table.setItemDelegateForColumn(column, _Choices(self._choices[each.key], self._table))
        self._add = QPushButton(tr("Add row"), self._box)
        self._add.clicked.connect(self._add_row)
        self._remove = QPushButton(tr("Remove row"), self._box)
        self._remove.clicked.connect(self._remove_row)
        self._table.currentCellChanged.connect(self._enable)
        buttons = QHBoxLayout()
        buttons.setContentsMargins(0, 0, 0, 0)
        buttons.addWidget(self._add)
        buttons.addWidget(self._remove)
        buttons.addStretch()
        layout = QVBoxLayout(self._box)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(4)
        layout.addWidget(self._table)
        layout.addLayout(buttons)
        self.set_units(system)

    @property
    def editor(self) -> QWidget:
        return self._box

    @property
    def table(self) -> QTableWidget:
        """The table itself."""
        return self._table

    @property
    def is_wide(self) -> bool:
        return True

    def set_units(self, system: units.System) -> None:
        self._system = system
        heads = []
        for column in self.field.columns:
            unit = units.unit(column.quantity, system) if column.quantity else ""
            words = column.label.replace(" ", "\n")
            heads.append(f"{words}\n{unit}" if unit else words)
        self._table.setHorizontalHeaderLabels(heads)
        self._fill()

    def show_values(self, values: Sequence[object]) -> None:
        value, same = common(values)
        self._rows = tuple(value) if isinstance(value, tuple) else ()
        self._box.setEnabled(same)
        self.show_problem("")
        self.unit.setText("" if same else mixed())
        self._fill()

    def default_text(self) -> str:
        count = len(self.field.default) if isinstance(self.field.default, tuple) else 0
        return tr("{0} lines").format(count) if count else tr("none")

    def _fill(self) -> None:
        self._is_filling = True
        self._table.setRowCount(len(self._rows))
        for row, entry in enumerate(self._rows):
            for column, field in enumerate(self.field.columns):
                item = QTableWidgetItem(self._text(field, getattr(entry, field.key)))
                if field.kind in ("number", "whole"):
                    item.setTextAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
                self._table.setItem(row, column, item)
        shown = min(len(self._rows), _MOST_ROWS_SHOWN)
        self._table.setVisible(bool(self._rows))
        self._remove.setVisible(bool(self._rows))
        for column, field in enumerate(self.field.columns):
            # A column that no row uses says nothing; power or efficiency, say, where the other is given.
            used = not field.optional or any(getattr(row, field.key) is not None for row in self._rows)
            self._table.setColumnHidden(column, not used)
        self._table.ensurePolished()
        self._table.horizontalHeader().ensurePolished()
        header = self._table.horizontalHeader().sizeHint().height()
        self._table.setFixedHeight(header + shown * _ROW_HEIGHT + 2 * self._table.frameWidth() + 2)
        self._is_filling = False
        self._enable()

    def _enable(self, *_cell: int) -> None:
        self._remove.setEnabled(self._table.currentRow() >= 0 and len(self._rows) > self.field.least_rows)

    def _text(self, field: Field, value: object) -> str:
        if value is None:
            return ""
        if isinstance(value, int | float):
            return units.number(value, field.quantity, self._system)
        return dict(self._choices.get(field.key, ())).get(value, str(value))

    def _cell_changed(self, item: QTableWidgetItem) -> None:
        if self._is_filling:
            return
        field = self.field.columns[item.column()]
        try:
            value = self._read(field, item.text().strip())
        except ValueError as error:
            self.show_problem(f"{field.label}: {error}")
            return
        rows = list(self._rows)
        rows[item.row()] = self._replaced(rows[item.row()], field.key, value)
        self._give(rows)

    def _read(self, field: Field, text: str) -> object:
        if field.key in self._choices:
            for value, name in self._choices[field.key]:
                if name == text:
                    return value
            raise ValueError(tr("“{0}” is not in the list.").format(text))
        if not text and field.optional:
            return None
        number = units.parse(text, field.quantity, self._system)
        return int(number) if field.kind == "whole" else number

    @staticmethod
    def _replaced(entry: Any, key: str, value: object) -> object:
        if isinstance(entry, tuple):
            return entry._replace(**{key: value})  # type: ignore[attr-defined]
        return msgspec.structs.replace(entry, **{key: value})

    def _add_row(self) -> None:
        rows = list(self._rows)
        if rows:
            rows.append(rows[-1])
        elif self.field.item is not None:
            needed = [each for each in self.field.columns if each.default is msgspec.NODEFAULT]
            rows.append(self.field.item(**{each.key: self._first_value(each) for each in needed}))
        self._give(rows)

    def _first_value(self, column: Field) -> object:
        if column.key in self._choices:
            return self._choices[column.key][0][0]
        if column.kind == "text":
            return ""
        return (column.low or 0) + (1 if column.low_open else 0)

    def _remove_row(self) -> None:
        rows = list(self._rows)
        del rows[self._table.currentRow()]
        self._give(rows)

    def _give(self, rows: list[object]) -> None:
        self.show_problem("")
        self.committed.emit(self.field, tuple(rows), None)
