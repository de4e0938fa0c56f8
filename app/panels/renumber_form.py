# SPDX-License-Identifier: MIT
"""Renumbers tags: prefix, first number and order, with a table of old and new before anything is done."""

from __future__ import annotations

import re
from collections.abc import Sequence

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QDialog,
    QFormLayout,
    QHBoxLayout,
    QHeaderView,
    QLineEdit,
    QPushButton,
    QSpinBox,
    QTableWidget,
    QTableWidgetItem,
    QVBoxLayout,
    QWidget,
)

from app.editing.document import Document
from app.panels.rows.calm import CalmComboBox
from app.panels.rows.row import ProblemLine
from app.panels.shown import Shown
from app.translation import tr
from solver.errors import EditError
from solver.vessel.edits import numbering, renumber
from solver.vessel.edits.numbering import Order

_MOST = 100_000


def orders() -> dict[Order, str]:
    """Return the orders parts can be numbered in -> their names."""
    return {
        "across": tr("row by row"),
        "down": tr("column by column"),
        "deck": tr("by deck, the highest first"),
        "tag": tr("as their tags are now"),
    }


class RenumberForm(QDialog):
    """Renumbers the selected parts in one step."""

    def __init__(self, document: Document, shown: Shown, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._document, self._tags = document, shown.tags
        self._new: dict[str, str] = {}
        self.setWindowTitle(tr("Renumber {0} parts").format(len(self._tags)))
        self.prefix = QLineEdit(prefix_of(self._tags), self)
        self.prefix.setMaxLength(30)
        self.prefix.setPlaceholderText(tr("that of each kind"))
        self.start = QSpinBox(self)
        self.start.setRange(0, _MOST)
        self.start.setValue(lowest_number(self._tags))
        self.order = CalmComboBox(self)
        self.order.addItems(list(orders().values()))
        self.table = QTableWidget(0, 2, self)
        self.table.setAccessibleName(tr("Old and new tags"))
        self.table.setHorizontalHeaderLabels([tr("Now"), tr("Then")])
        self.table.verticalHeader().hide()
        self.table.horizontalHeader().setSectionResizeMode(QHeaderView.ResizeMode.Stretch)
        self.table.setEditTriggers(QTableWidget.EditTrigger.NoEditTriggers)
        self.problem = ProblemLine(self)
        self.go = QPushButton(self)
        self.go.setDefault(True)
        leave = QPushButton(tr("&Leave them"), self)
        form = QFormLayout()
        for label, widget in (
            (tr("&Prefix"), self.prefix),
            (tr("&First number"), self.start),
            (tr("&Order"), self.order),
        ):
            form.addRow(label, widget)
        buttons = QHBoxLayout()
        buttons.addStretch(1)
        buttons.addWidget(leave)
        buttons.addWidget(self.go)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(16, 16, 16, 16)
        layout.addLayout(form)
        layout.addWidget(self.table, 1)
        layout.addWidget(self.problem)
        layout.addLayout(buttons)
        self.resize(360, 480)
        self.prefix.textChanged.connect(self._show)
        self.start.valueChanged.connect(self._show)
        self.order.currentIndexChanged.connect(self._show)
        self.go.clicked.connect(self._renumber)
        leave.clicked.connect(self.reject)
        self._show()

    def new_tags(self) -> tuple[str, ...]:
        """Return the tags as they are after renumbering."""
        return tuple(self._new.values())

    def _show(self, *_what: object) -> None:
        self._tell("")
        self._new = dict.fromkeys(self._tags, "")
        try:
            self._new = numbering(
                self._document.vessel,
                self._tags,
                prefix=self.prefix.text() or None,
                start=self.start.value(),
                order=list(orders())[self.order.currentIndex()],
                digits=digits_of(self._tags),
            )
            # Tried on the vessel, so that what is no tag is told before anything is done.
            renumber(self._document.vessel, self._new)
        except EditError as error:
            self._tell(str(error))
        changed = sum(old != new for old, new in self._new.items())
        self.go.setText(tr("&Renumber {0} tags").format(changed))
        self.go.setEnabled(changed > 0 and not self.problem.text())
        self.table.setRowCount(len(self._new))
        for row, pair in enumerate(self._new.items()):
            for column, text in enumerate(pair):
                item = QTableWidgetItem(text)
                item.setFlags(item.flags() & ~Qt.ItemFlag.ItemIsEditable)
                self.table.setItem(row, column, item)

    def _renumber(self) -> None:
        new = self._new
        try:
            self._document.edit(
                tr("Renumber {0} tags").format(len(new)), lambda vessel: renumber(vessel, new)
            )
        except EditError as error:
            self._tell(str(error))
            return
        self.accept()

    def _tell(self, text: str) -> None:
        self.problem.setText(text)
        self.problem.setVisible(bool(text))


def prefix_of(tags: Sequence[str]) -> str:
    """Return what some tags begin with before their number: "AH-" of AH-3 and AH-12; empty if they differ."""
    found = {re.sub(r"\d+$", "", tag) for tag in tags}
    return found.pop() if len(found) == 1 else ""


def lowest_number(tags: Sequence[str]) -> int:
    """Return the lowest number at the end of some tags; 1 if none has one."""
    found = [int(match[0]) for tag in tags if (match := re.search(r"\d{1,6}$", tag))]
    return min(found, default=1)


def digits_of(tags: Sequence[str]) -> int:
    """Return how many digits numbers have at least: those of tags with leading noughts, else 1."""
    numbers = [match[0] for tag in tags if (match := re.search(r"\d{1,6}$", tag))]
    return max((len(number) for number in numbers if number.startswith("0")), default=1)
