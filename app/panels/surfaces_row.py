# SPDX-License-Identifier: MIT
"""The surfaces of a cabin: a list, and the fields of the one chosen under it."""

from __future__ import annotations

from collections.abc import Sequence

import msgspec
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QHBoxLayout, QListWidget, QPushButton, QVBoxLayout, QWidget

from app.panels.fields import Field, fields_of
from app.panels.form import Form
from app.panels.rows.calm import CalmComboBox
from app.panels.rows.row import Choices, Row, common, mixed
from app.panels.words import choice_name
from app.translation import tr
from app.units import System, show
from solver.vessel.cabin import Surface

_LIST_HEIGHT = 132
#: Area of a new surface [m2].
_FIRST_AREA = 4.0


class SurfacesRow(Row):
    """Edits the list of surfaces; each change gives the whole new list.

    Parameters
    ----------
    choices : mapping
        Field of a surface -> its choices.
    """

    def __init__(self, field: Field, parent: QWidget, system: System, choices: dict[str, Choices]) -> None:
        super().__init__(field, parent)
        self._system = system
        self._surfaces: tuple[Surface, ...] = ()
        self._box = QWidget(parent)
        self.list = QListWidget(self._box)
        self.list.setObjectName(field.key)
        self.list.setAccessibleName(field.label)
        self.list.setFixedHeight(_LIST_HEIGHT)
        self.list.currentRowChanged.connect(self._show_one)
        self.label.setBuddy(self.list)
        self.kind = CalmComboBox(self._box)
        self.kind.setAccessibleName(tr("Kind of surface to add"))
        for kind, name in choices["kind"]:
            self.kind.addItem(name, kind)
        self.add = QPushButton(tr("Add surface"), self._box)
        self.add.clicked.connect(self._add)
        self.remove = QPushButton(tr("Remove the surface"), self._box)
        self.remove.clicked.connect(self._remove)
        self.form = Form(system, self._box)
        self.form.add_fields(fields_of(Surface), choices)
        self.form.committed.connect(self._commit)
        adding, removing = QHBoxLayout(), QHBoxLayout()
        adding.addWidget(self.kind, 1)
        adding.addWidget(self.add)
        removing.addWidget(self.remove)
        removing.addStretch()
        layout = QVBoxLayout(self._box)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(4)
        layout.addWidget(self.list)
        layout.addLayout(adding)
        layout.addLayout(removing)
        layout.addWidget(self.form)

    @property
    def editor(self) -> QWidget:
        return self._box

    @property
    def is_wide(self) -> bool:
        return True

    def default_text(self) -> str:
        return tr("none")

    def set_units(self, system: System) -> None:
        self._system = system
        self.form.set_units(system)
        self._fill()

    def show_values(self, values: Sequence[object]) -> None:
        value, same = common(values)
        self._surfaces = value if isinstance(value, tuple) else ()
        self._box.setEnabled(same)
        self._fill("" if same else mixed())
        self.show_problem("")

    def _fill(self, instead: str = "") -> None:
        """Write the list anew; the surface chosen stays so."""
        chosen = self.list.currentRow()
        self.list.blockSignals(True)
        self.list.clear()
        self.list.addItems([instead] if instead else [self._text(each) for each in self._surfaces])
        self.list.setCurrentRow(min(max(chosen, 0), len(self._surfaces) - 1))
        self.list.blockSignals(False)
        self._show_one()

    def _text(self, surface: Surface) -> str:
        name = surface.name or choice_name(surface.kind)
        return f"{name}  {show(surface.area_m2, 'area', self._system)}"

    def _show_one(self, *_what: object) -> None:
        row = self.list.currentRow()
        known = 0 <= row < len(self._surfaces)
        self.form.setVisible(known)
        self.remove.setEnabled(known)
        if known:
            self.form.show_structs([self._surfaces[row]])

    def _add(self) -> None:
        new = Surface(kind=self.kind.currentData(Qt.ItemDataRole.UserRole), area_m2=_FIRST_AREA)
        self.list.setCurrentRow(-1)
        self.committed.emit(self.field, (*self._surfaces, new), None)
        self.list.setCurrentRow(len(self._surfaces) - 1)

    def _remove(self) -> None:
        row = self.list.currentRow()
        self.committed.emit(self.field, self._surfaces[:row] + self._surfaces[row + 1 :], None)

    def _commit(self, field: Field, value: object, merge_key: object) -> None:
        row = self.list.currentRow()
        new = msgspec.structs.replace(self._surfaces[row], **{field.key: value})
        key = None if merge_key is None else (row, merge_key)
        self.committed.emit(self.field, (*self._surfaces[:row], new, *self._surfaces[row + 1 :]), key)
