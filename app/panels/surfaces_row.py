# SPDX-License-Identifier: MIT
"""The surfaces of a cabin: a short table, and the fields of the one chosen under it."""

from __future__ import annotations

from collections.abc import Sequence

import msgspec
from PySide6.QtCore import Qt
from PySide6.QtGui import QKeySequence, QShortcut
from PySide6.QtWidgets import (
    QAbstractItemView,
    QGridLayout,
    QHBoxLayout,
    QHeaderView,
    QLabel,
    QPushButton,
    QTableWidget,
    QTableWidgetItem,
    QVBoxLayout,
    QWidget,
)

from app.panels.fields import Field, fields_of
from app.panels.form import Form
from app.panels.rows.calm import CalmComboBox
from app.panels.rows.number_row import NumberRow
from app.panels.rows.other_rows import ChoiceRow
from app.panels.rows.row import Row, common, mixed
from app.panels.surface_words import beyond_choices, construction_choices, side_for, surface_text
from app.panels.words import choice_name
from app.translation import tr
from app.units import System, number, unit
from solver.vessel.cabin import GLASS, USUAL, Surface
from solver.vessel.edits import mirror_surface
from solver.vessel.vessel import Vessel

_ROW_HEIGHT, _MOST_ROWS = 24, 8
#: Area of a new surface [m2].
_FIRST_AREA = 4.0
#: Fields that count only where weather and sun are beyond the surface.
_OUTDOORS_ONLY = ("facing_deg", "tilt_deg", "shaded_percent")


class SurfacesRow(Row):
    """Edits the surfaces; each change gives the whole new tuple."""

    def __init__(self, field: Field, parent: QWidget, system: System) -> None:
        super().__init__(field, parent)
        self._system = system
        self._vessel = Vessel(name="")
        self._surfaces: tuple[Surface, ...] = ()
        self._box = QWidget(parent)
        self.table = self._make_table(field)
        self.label.setBuddy(self.table)
        self.kind = CalmComboBox(self._box)
        self.kind.setAccessibleName(tr("Kind of surface to add"))
        for kind in USUAL:
            self.kind.addItem(choice_name(kind), kind)
        self.add = QPushButton(tr("Add"), self._box)
        self.add.setAccessibleName(tr("Add a surface of this kind"))
        self.add.clicked.connect(self._add)
        self.twice = QPushButton(tr("Duplicate"), self._box)
        self.twice.setAccessibleName(tr("Duplicate the surface"))
        self.twice.clicked.connect(self._duplicate)
        self.remove = QPushButton(tr("Remove"), self._box)
        self.remove.setAccessibleName(tr("Remove the surface"))
        self.remove.clicked.connect(self._remove)
        QShortcut(
            QKeySequence.StandardKey.Delete,
            self.table,
            self._remove,
            context=Qt.ShortcutContext.WidgetShortcut,
        )
        self.form = Form(system, self._box)
        self.form.add_fields(fields_of(Surface), {"construction": [], "other_side": []})
        self.form.committed.connect(self._commit)
        self.hint = QLabel(
            tr("Faces 0 to the bow, 90 to starboard, -90 to port. Tilt 0 looks up, 90 is upright."), self._box
        )
        self.hint.setProperty("role", "unit")
        self.hint.setWordWrap(True)
        self.like = CalmComboBox(self._box)
        self.like.setAccessibleName(tr("Cabin to copy surfaces from"))
        self.copy = QPushButton(tr("Copy them"), self._box)
        self.copy.setToolTip(tr("They take the place of the surfaces here"))
        self.copy.clicked.connect(lambda: self._copy(mirrored=False))
        self.mirror = QPushButton(tr("Copy mirrored"), self._box)
        self.mirror.setToolTip(tr("As from a cabin across the boat: port for starboard"))
        self.mirror.clicked.connect(lambda: self._copy(mirrored=True))
        self._lay_out()

    def _make_table(self, field: Field) -> QTableWidget:
        table = QTableWidget(0, 3, self._box)
        table.setObjectName(field.key)
        table.setAccessibleName(field.label)
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

    def _lay_out(self) -> None:
        buttons = QGridLayout()
        buttons.setSpacing(4)
        buttons.addWidget(self.kind, 0, 0, 1, 2)
        buttons.addWidget(self.add, 0, 2)
        buttons.addWidget(self.twice, 1, 1)
        buttons.addWidget(self.remove, 1, 2)
        buttons.setColumnStretch(0, 1)
        like = QLabel(tr("Surfaces as in cabin"), self._box)
        like.setProperty("role", "soft")
        like.setBuddy(self.like)
        copying = QHBoxLayout()
        copying.setSpacing(4)
        copying.addWidget(self.copy)
        copying.addWidget(self.mirror)
        copying.addStretch(1)
        layout = QVBoxLayout(self._box)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(4)
        for widget in (self.table, buttons, self.form, self.hint, like, self.like, copying):
            if isinstance(widget, QWidget):
                layout.addWidget(widget)
            else:
                layout.addLayout(widget)

    @property
    def editor(self) -> QWidget:
        return self._box

    @property
    def is_wide(self) -> bool:
        return True

    def default_text(self) -> str:
        return tr("none")

    def follow(self, vessel: Vessel, tags: Sequence[str]) -> None:
        """Take spaces, conditions and the other cabins from a vessel; ``tags`` are the cabins shown."""
        self._vessel = vessel
        others = [
            (f"{cabin.tag} {cabin.name}".strip(), cabin.tag)
            for cabin in vessel.cabins
            if cabin.surfaces and cabin.tag not in tags
        ]
        listed = [(self.like.itemText(at), self.like.itemData(at)) for at in range(self.like.count())]
        if others != listed:
            self.like.clear()
            for text, tag in others:
                self.like.addItem(text, tag)
        for widget in (self.like, self.copy, self.mirror):
            widget.setEnabled(bool(others))

    def set_units(self, system: System) -> None:
        self._system = system
        self.form.set_units(system)
        self._fill()

    def show_values(self, values: Sequence[object]) -> None:
        value, same = common(values)
        self._surfaces = value if isinstance(value, tuple) else ()
        for widget in (self.table, self.kind, self.add):
            widget.setEnabled(same)
        self._fill("" if same else mixed())
        self.show_problem("")

    def _fill(self, instead: str = "") -> None:
        """Write the table anew; the surface chosen stays so."""
        chosen = self.table.currentRow()
        table, units = self.table, self._system
        heads = tr("What"), unit("area", units), unit("transmittance", units)
        texts = [surface_text(self._vessel, each, units) for each in self._surfaces]
        table.blockSignals(True)
        table.setHorizontalHeaderLabels(heads)
        table.setRowCount(1 if instead else len(texts))
        for row, cells in enumerate([(instead, "", "")] if instead else texts):
            for column, text in enumerate(cells):
                item = QTableWidgetItem(text)
                item.setToolTip(text)
                if column:
                    item.setTextAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
                table.setItem(row, column, item)
        table.setCurrentCell(min(max(chosen, 0), len(texts) - 1), 0)
        table.blockSignals(False)
        table.setVisible(bool(instead or texts))
        table.ensurePolished()
        header = table.horizontalHeader().sizeHint().height()
        table.setFixedHeight(
            header + min(table.rowCount(), _MOST_ROWS) * _ROW_HEIGHT + 2 * table.frameWidth()
        )
        self._show_one()

    def _show_one(self, *_what: object) -> None:
        row = self.table.currentRow()
        known = 0 <= row < len(self._surfaces)
        self.form.setVisible(known)
        self.hint.setVisible(known and side_for(self._vessel, self._surfaces[row]).outdoors)
        self.twice.setVisible(known)
        self.remove.setVisible(known)
        if known:
            self._show_fields(self._surfaces[row])

    def _show_fields(self, surface: Surface) -> None:
        rows, units, side = self.form.rows, self._system, side_for(self._vessel, surface)
        for key, choices in (
            ("construction", construction_choices(self._vessel, surface, units)),
            ("other_side", beyond_choices(self._vessel, surface, units)),
        ):
            choice = rows[key]
            if isinstance(choice, ChoiceRow):
                choice.set_choices(choices)
        self.form.show_structs([surface])
        for combo in self._combos():
            combo.setToolTip(combo.currentText())
        for key in _OUTDOORS_ONLY:
            rows[key].set_shown(side.outdoors)
        rows["absorptance"].set_shown(side.outdoors and not side.glass)
        rows["solar_gain"].set_shown(side.outdoors and side.glass)
        for key, usual in (
            ("u_W_m2K", side.u_W_m2K),
            ("tilt_deg", side.tilt_deg),
            ("absorptance", side.construction.absorptance),
            ("solar_gain", side.construction.solar_gain),
        ):
            number_row = rows[key]
            if isinstance(number_row, NumberRow):
                figure = number(usual, number_row.field.quantity, units)
                number_row.editor.setPlaceholderText(tr("{0} usual").format(figure))

    def _combos(self) -> list[CalmComboBox]:
        return [row.editor for row in self.form.rows.values() if isinstance(row, ChoiceRow)]

    def _add(self) -> None:
        self._give_with(Surface(kind=self.kind.currentData(Qt.ItemDataRole.UserRole), area_m2=_FIRST_AREA))
        area = self.form.rows["area_m2"].editor
        area.setFocus(Qt.FocusReason.TabFocusReason)

    def _duplicate(self) -> None:
        self._give_with(self._surfaces[self.table.currentRow()])

    def _give_with(self, new: Surface) -> None:
        """Add a surface behind the others and choose it."""
        self.committed.emit(self.field, (*self._surfaces, new), None)
        self.table.setCurrentCell(len(self._surfaces) - 1, 0)

    def _remove(self) -> None:
        row = self.table.currentRow()
        if 0 <= row < len(self._surfaces):
            self.committed.emit(self.field, self._surfaces[:row] + self._surfaces[row + 1 :], None)

    def _copy(self, *, mirrored: bool) -> None:
        tag = self.like.currentData(Qt.ItemDataRole.UserRole)
        surfaces = next(cabin.surfaces for cabin in self._vessel.cabins if cabin.tag == tag)
        if mirrored:
            surfaces = tuple(map(mirror_surface, surfaces))
        self.committed.emit(self.field, surfaces, None)

    def _commit(self, field: Field, value: object, merge_key: object) -> None:
        row = self.table.currentRow()
        old = self._surfaces[row]
        new = msgspec.structs.replace(old, **{field.key: value})
        if (new.kind in GLASS) != (old.kind in GLASS):
            # A pane is not built as a wall is, nor the other way round.
            new = msgspec.structs.replace(new, construction="", absorptance=None, solar_gain=None)
        key = None if merge_key is None else (row, merge_key)
        self.committed.emit(self.field, (*self._surfaces[:row], new, *self._surfaces[row + 1 :]), key)
