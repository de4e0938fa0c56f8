# SPDX-License-Identifier: MIT
"""A column of rows that edits the fields of one or more structs of one type."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QGridLayout, QLabel, QWidget

from app.panels.fields import Field
from app.panels.rows.number_row import NumberRow
from app.panels.rows.other_rows import CheckRow, ChoiceRow, LongTextRow, NumbersRow, TextRow
from app.panels.rows.points_row import PointsRow
from app.panels.rows.row import Choices, Row
from app.units import System

#: What a sheet with a form needs to show labels, fields and units whole [px].
LEAST_WIDTH = 276


class Form(QWidget):
    """Rows under each other: label, editor, unit; what is wrong stands under the editor.

    Attributes
    ----------
    committed : Signal(Field, value, merge_key)
        From one of the rows.
    """

    committed = Signal(object, object, object)

    def __init__(self, system: System, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._system = system
        self.rows: dict[str, Row] = {}
        self._grid = QGridLayout(self)
        self._grid.setContentsMargins(0, 0, 0, 0)
        self._grid.setHorizontalSpacing(8)
        self._grid.setVerticalSpacing(4)
        self._grid.setColumnStretch(0, 5)
        self._grid.setColumnStretch(1, 5)
        self._grid.setColumnMinimumWidth(2, 44)

    def add_heading(self, text: str) -> QLabel:
        """Add a heading over the rows that follow."""
        heading = QLabel(text, self)
        heading.setProperty("role", "heading")
        heading.setIndent(0)
        self._grid.addWidget(heading, self._grid.rowCount(), 0, 1, 3)
        return heading

    def add_fields(
        self,
        fields: Iterable[Field],
        choices: dict[str, Choices] | None = None,
        column_choices: dict[str, Choices] | None = None,
        spans: dict[str, tuple[float, float]] | None = None,
    ) -> None:
        """Add a row for each field.

        Parameters
        ----------
        fields : iterable of Field
        choices : dict, optional
            Field's key -> (value, name on screen) to choose from, where the field itself is free text.
        column_choices : dict, optional
            Column's key -> the same for a column of a table.
        spans : dict, optional
            Field's key -> ends of its slider.
        """
        for field in fields:
            self.add_row(self._row_for(field, choices or {}, column_choices or {}, spans or {}))

    def _row_for(
        self,
        field: Field,
        choices: dict[str, Choices],
        column_choices: dict[str, Choices],
        spans: dict[str, tuple[float, float]],
    ) -> Row:
        if field.key in choices or field.kind == "choice":
            return ChoiceRow(field, self, choices.get(field.key))
        if field.kind in ("check", "part"):
            return CheckRow(field, self)
        if field.kind in ("number", "whole"):
            return NumberRow(field, self, self._system, spans.get(field.key))
        if field.kind == "points":
            return PointsRow(field, self, self._system, column_choices)
        if field.kind == "numbers":
            return NumbersRow(field, self, self._system)
        if field.kind == "long_text":
            return LongTextRow(field, self)
        return TextRow(field, self)

    def add_row(self, row: Row) -> None:
        """Add a row made elsewhere."""
        at = self._grid.rowCount()
        if row.is_wide:
            self._grid.addWidget(row.label, at, 0, 1, 3)
            self._grid.addWidget(row.editor, at + 1, 0, 1, 3)
            at += 1
        else:
            self._grid.addWidget(row.label, at, 0, Qt.AlignmentFlag.AlignVCenter)
            if row.unit.text():
                self._grid.addWidget(row.editor, at, 1)
                self._grid.addWidget(row.unit, at, 2, Qt.AlignmentFlag.AlignVCenter)
            else:
                row.unit.hide()
                self._grid.addWidget(row.editor, at, 1, 1, 2)
        if row.below is not None:
            self._grid.addWidget(row.below, at + 1, 0, 1, 3)
            at += 1
        self._grid.addWidget(row.problem, at + 1, 0, 1, 3)
        row.committed.connect(self.committed)
        row.reset.watch(row.label, row.editor)
        self.rows[row.field.key] = row

    def set_units(self, system: System) -> None:
        """Show all values in another system of units."""
        self._system = system
        for row in self.rows.values():
            row.set_units(system)

    def show_structs(self, structs: Sequence[object]) -> None:
        """Show the structs' values; fields of a part that is missing are hidden."""
        for key, row in self.rows.items():
            values = [row.field.get(struct) for struct in structs]
            if "." in key:
                row.set_shown(all(getattr(struct, key.partition(".")[0]) is not None for struct in structs))
            row.show_values(values)
            row.reset.offer(values, row.default_text)

    def show_problem(self, key: str, text: str) -> None:
        """Say under a field why its value was refused."""
        if key in self.rows:
            self.rows[key].show_problem(text)
