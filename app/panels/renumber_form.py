# SPDX-License-Identifier: MIT
"""Renumbers tags: prefix, first number and order, with a table of old and new before anything is done."""

from __future__ import annotations

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

from app.editing.arranging import Order, lowest_number, prefix_of, renumber, renumbered
from app.editing.document import Document
from app.panels.rows.calm import CalmComboBox
from app.panels.rows.row import ProblemLine
from app.panels.shown import Shown
from app.translation import tr
from solver.errors import EditError

_MOST = 100_000


def orders() -> dict[Order, str]:
    """Return the orders parts can be numbered in -> their names."""
    return {
        "across": tr("from left to right"),
        "down": tr("from top to bottom"),
        "deck": tr("by deck, the highest first"),
        "tag": tr("as their tags are now"),
    }


class RenumberForm(QDialog):
    """Renumbers the selected parts in one step."""

    def __init__(self, document: Document, shown: Shown, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._document, self._tags = document, shown.tags
        self._pairs: list[tuple[str, str]] = []
        self.setWindowTitle(tr("Renumber {0} parts").format(len(self._tags)))
        self.prefix = QLineEdit(prefix_of(self._tags), self)
        self.prefix.setMaxLength(30)
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
        leave = QPushButton(tr("Leave them"), self)
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
        return tuple(new for _old, new in self._pairs)

    def _show(self, *_what: object) -> None:
        self._tell("")
        try:
            self._pairs = renumbered(
                self._document.vessel,
                self._tags,
                self.prefix.text(),
                self.start.value(),
                list(orders())[self.order.currentIndex()],
            )
            # Tried on the vessel, so that what is no tag is told before anything is done.
            renumber(self._document.vessel, self._pairs)
        except EditError as error:
            self._tell(str(error))
        changed = sum(old != new for old, new in self._pairs)
        self.go.setText(tr("Renumber {0} tags").format(changed))
        self.go.setEnabled(changed > 0 and not self.problem.text())
        self.table.setRowCount(len(self._pairs))
        for row, pair in enumerate(self._pairs):
            for column, text in enumerate(pair):
                item = QTableWidgetItem(text)
                item.setFlags(item.flags() & ~Qt.ItemFlag.ItemIsEditable)
                self.table.setItem(row, column, item)

    def _renumber(self) -> None:
        pairs = self._pairs
        try:
            self._document.edit(
                tr("Renumber {0} tags").format(len(pairs)), lambda vessel: renumber(vessel, pairs)
            )
        except EditError as error:
            self._tell(str(error))
            return
        self.accept()

    def _tell(self, text: str) -> None:
        self.problem.setText(text)
        self.problem.setVisible(bool(text))
