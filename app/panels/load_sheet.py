# SPDX-License-Identifier: MIT
"""The heat load of one cabin row by row, adding up, live while the cabin is edited."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QAction, QGuiApplication, QKeySequence
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
from app.panels.compare_panel import as_text
from app.panels.rows.calm import CalmComboBox
from app.panels.shown import Shown
from app.translation import tr
from app.units import System, number, show, unit
from solver.heat.estimate import estimate
from solver.heat.sheet import SheetRow, cabin_sheet
from solver.vessel.cabin import Cabin
from solver.vessel.components import AirHandler
from solver.vessel.vessel import Vessel


class LoadSheet(QWidget):
    """Shows how a cabin's load at its set point comes about; its fields are in the properties."""

    def __init__(self, document: Document, shown: Shown, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._document, self._shown = document, shown
        self._tag = ""
        self._is_filling = False
        self.cabin = CalmComboBox(self)
        self.cabin.setAccessibleName(tr("Cabin"))
        self.cabin.setMinimumContentsLength(14)
        self.cabin.setSizeAdjustPolicy(CalmComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        self.cabin.activated.connect(self._choose)
        self.edit = QPushButton(tr("Edi&t"), self)
        self.edit.setToolTip(tr("Go to its surfaces, people and lights in the properties"))
        self.edit.clicked.connect(self._edit)
        self.total = QLabel(self)
        self.total.setProperty("role", "headline")
        self.total.setWordWrap(True)
        self.notes = QLabel(self)
        self.notes.setProperty("role", "soft")
        self.notes.setWordWrap(True)
        self.notes.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        self.table = QTableWidget(0, 7, self)
        self.table.setAccessibleName(tr("Heat load of the cabin"))
        self.table.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.table.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.table.setTabKeyNavigation(False)
        self.table.setShowGrid(False)
        self.table.verticalHeader().hide()
        self.table.verticalHeader().setDefaultSectionSize(24)
        self.table.horizontalHeader().setSectionResizeMode(QHeaderView.ResizeMode.ResizeToContents)
        self.table.horizontalHeader().setStretchLastSection(True)
        self.table.setContextMenuPolicy(Qt.ContextMenuPolicy.ActionsContextMenu)
        self.copy_action = QAction(tr("Copy as &table"), self.table)
        self.copy_action.setShortcut(QKeySequence.StandardKey.Copy)
        self.copy_action.setShortcutContext(Qt.ShortcutContext.WidgetWithChildrenShortcut)
        self.copy_action.triggered.connect(lambda: QGuiApplication.clipboard().setText(as_text(self.table)))
        self.table.addAction(self.copy_action)
        self._lay_out()
        document.changed.connect(self._refresh)
        shown.units_changed.connect(self._refresh)
        shown.selection_changed.connect(self._follow)
        self._refresh()

    def _lay_out(self) -> None:
        top = QHBoxLayout()
        top.addWidget(self.cabin)
        top.addWidget(self.total, 1)
        top.addWidget(self.edit)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(8, 8, 8, 4)
        layout.setSpacing(4)
        layout.addLayout(top)
        layout.addWidget(self.table, 1)
        layout.addWidget(self.notes)

    def _follow(self, tags: tuple[str, ...]) -> None:
        """Show the cabin selected, or that of the air handler selected."""
        vessel = self._document.vessel
        known = {cabin.tag for cabin in vessel.cabins}
        for tag in tags:
            part = vessel.component_by_tag.get(tag)
            served = part.cabins if isinstance(part, AirHandler) else (tag,)
            found = next((each for each in served if each in known), None)
            if found is not None:
                self._tag = found
                self._refresh()
                return

    def _choose(self, index: int) -> None:
        self._tag = self.cabin.itemData(index)
        self._refresh()

    def _edit(self) -> None:
        self._shown.select((self._tag,))

    def _refresh(self, *_what: object) -> None:
        vessel = self._document.vessel
        cabins = {cabin.tag: cabin for cabin in vessel.cabins}
        if self._tag not in cabins:
            self._tag = next(iter(cabins), "")
        names = [(f"{tag} · {cabin.name}" if cabin.name else tag, tag) for tag, cabin in cabins.items()]
        shown = [(self.cabin.itemText(at), self.cabin.itemData(at)) for at in range(self.cabin.count())]
        if names != shown:
            self.cabin.clear()
            for name, tag in names:
                self.cabin.addItem(name, tag)
        self.cabin.setCurrentIndex(list(cabins).index(self._tag) if cabins else -1)
        for widget in (self.cabin, self.edit, self.table):
            widget.setEnabled(bool(cabins))
        if not cabins:
            self.table.setRowCount(0)
            self.total.setText("")
            self.notes.setText(tr("No cabins yet: draw one with the cabin tool."))
            return
        self._show(vessel, cabins[self._tag])

    def _show(self, vessel: Vessel, cabin: Cabin) -> None:
        units = self._shown.units
        rows = cabin_sheet(vessel, cabin.tag)
        self.table.setHorizontalHeaderLabels(headings(units))
        self.table.setRowCount(len(rows) + 1)
        for at, row in enumerate(rows):
            self._fill(at, texts_of(row, units))
        sensible, latent = sum(row.sensible_W for row in rows), sum(row.latent_W for row in rows)
        sums = (number(sensible, "heat", units), number(latent, "heat", units))
        self._fill(len(rows), (tr("Sum"), "", "", "", *sums, ""), bold=True)
        whole = show(sensible + latent, "heat", units)
        self.total.setText(tr("{0} = {1} sensible + {2} latent").format(whole, *sums))
        rule = estimate(vessel, cabin)
        conditions = vessel.current_conditions
        self.notes.setText(
            tr(
                "At its set point of {0}, {1}, {2} h solar time. Rule of thumb by volume: {3} to {4}. For "
                "choosing and checking equipment; class and flag rules on ventilation come first."
            ).format(
                show(cabin.set_point_C, "temperature", units),
                conditions.name,
                f"{conditions.hour:g}",
                number(rule.low_W, "heat", units),
                show(rule.high_W, "heat", units),
            )
        )

    def _fill(self, row: int, texts: tuple[str, ...], *, bold: bool = False) -> None:
        for column, text in enumerate(texts):
            item = QTableWidgetItem(text)
            if 0 < column < len(texts) - 1:
                item.setTextAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
            if bold:
                font = item.font()
                font.setBold(True)
                item.setFont(font)
            self.table.setItem(row, column, item)


def headings(units: System) -> list[str]:
    """Return the names of the columns with their units."""
    heat = unit("heat", units)
    return [
        tr("What"),
        tr("How much"),
        tr("Each"),
        tr("Difference"),
        tr("Sensible, {0}").format(heat),
        tr("Latent, {0}").format(heat),
        tr("Source"),
    ]


def texts_of(row: SheetRow, units: System) -> tuple[str, ...]:
    """Return a row's cells; amounts and rates carry their own units, since rows differ in them."""
    amount, rate = _quantities(row)
    return (
        row.what[:1].upper() + row.what[1:],
        _cell(row.amount, amount, units),
        _cell(row.rate, rate, units),
        _cell(row.difference_K, "temperature_difference", units),
        number(row.sensible_W, "heat", units),
        number(row.latent_W, "heat", units),
        row.source,
    )


def _quantities(row: SheetRow) -> tuple[str, str]:
    """Return of which quantities a row's amount and rate are; empty for those without a unit shown."""
    if row.what.startswith("people"):
        return "plain", "heat"
    if row.what == "outdoor air":
        return "mass_flow", ""
    if row.what.startswith("estimate"):
        return "", ""
    return ("area", "transmittance") if row.difference_K is not None else ("area", "heat_flux")


def _cell(value: float | None, quantity: str, units: System) -> str:
    return "" if value is None or not quantity else show(value, quantity, units)
