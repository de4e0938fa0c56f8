# SPDX-License-Identifier: MIT
"""The conditions on the vessel's page: which are current, their fields, sets to design by."""

from __future__ import annotations

from collections.abc import Hashable

import msgspec
from PySide6.QtCore import QPoint, Qt
from PySide6.QtWidgets import QCheckBox, QGridLayout, QPushButton, QVBoxLayout, QWidget

from app.editing.document import Document
from app.panels.design_sets import add_set, design_sets_menu
from app.panels.fields import Field, fields_of
from app.panels.form import Form
from app.panels.rows.other_rows import ChoiceRow
from app.panels.rows.row import Choices
from app.panels.shown import Shown
from app.translation import tr
from app.units import System
from solver.errors import EditError
from solver.vessel.edits import remove_conditions, set_conditions, set_vessel_field
from solver.vessel.vessel import Conditions

_HEADING = "heading_deg"
#: Heading that a box unticked begins with [degrees]: north.
_FIRST_HEADING = 0.0
#: The fields in the order they are thought of: weather, sea, sun.
_ORDER = (
    "name",
    "mode",
    "outdoor_temp_C",
    "outdoor_rh_percent",
    "daily_range_K",
    "sea_temp_C",
    "sea_salinity_g_kg",
    "latitude_deg",
    "month",
    "day",
    "hour",
    "cloud_percent",
)


class _Current(msgspec.Struct):
    """Which of the conditions is the current one."""

    condition: str


class ConditionsBlock(QWidget):
    """Chooses, edits, adds and removes conditions; each is one step."""

    def __init__(self, document: Document, shown: Shown, parent: QWidget) -> None:
        super().__init__(parent)
        self._document, self._shown = document, shown
        fields = {field.key: field for field in fields_of(Conditions)}
        first = [fields.pop(key) for key in _ORDER]
        heading = fields.pop(_HEADING)
        self.current = Form(shown.units, self)
        self.current.add_heading(tr("Conditions"))
        self.current.add_fields((Field("condition", "choice"),))
        self.current.committed.connect(self._choose)
        self.form = Form(shown.units, self)
        # A new field of the struct stands behind those known here.
        self.form.add_fields([*first, *fields.values()], {"month": _months()})
        self.form.committed.connect(self._commit)
        self.worst = QCheckBox(tr("Take the worst &heading"), self)
        self.worst.setToolTip(
            tr("As for a boat at anchor: each cabin is reckoned on the heading worst for it")
        )
        self.worst.clicked.connect(self._take_worst)
        self.heading = Form(shown.units, self)
        self.heading.add_fields((heading,))
        self.heading.committed.connect(self._commit)
        self.add_set = QPushButton(tr("Add a &set to design by…"), self)
        self.add_set.clicked.connect(self._offer_sets)
        self.twice = QPushButton(tr("D&uplicate"), self)
        self.twice.setAccessibleName(tr("Duplicate the conditions"))
        self.twice.clicked.connect(self._duplicate)
        self.remove = QPushButton(tr("&Remove"), self)
        self.remove.setAccessibleName(tr("Remove the conditions"))
        self.remove.clicked.connect(self._remove)
        buttons = QGridLayout()
        buttons.setSpacing(4)
        buttons.addWidget(self.add_set, 0, 0, 1, 3)
        buttons.addWidget(self.twice, 1, 0)
        buttons.addWidget(self.remove, 1, 1)
        buttons.setColumnStretch(2, 1)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(4)
        for widget in (self.current, self.form, self.worst, self.heading):
            layout.addWidget(widget)
        layout.addLayout(buttons)

    @property
    def forms(self) -> tuple[Form, ...]:
        """The forms, from top to bottom."""
        return (self.current, self.form, self.heading)

    def show_vessel(self) -> None:
        """Show the conditions of the vessel as it is now."""
        vessel = self._document.vessel
        names = [conditions.name for conditions in vessel.conditions]
        row = self.current.rows["condition"]
        if isinstance(row, ChoiceRow):
            row.set_choices([(name, name) for name in names])
        row.set_shown(len(names) > 1)
        self.remove.setEnabled(len(names) > 1)
        conditions = vessel.current_conditions
        self.current.show_structs([_Current(conditions.name)])
        for form in (self.form, self.heading):
            form.show_structs([conditions])
        self.worst.setChecked(conditions.heading_deg is None)
        # Where no sun is counted on, no heading is worse than another.
        self.worst.setVisible(conditions.mode == "cooling")
        self.heading.setVisible(conditions.heading_deg is not None and conditions.mode == "cooling")

    def set_units(self, system: System) -> None:
        """Show all values in another system of units."""
        for form in self.forms:
            form.set_units(system)

    def _choose(self, _field: Field, name: object, _merge_key: Hashable) -> None:
        self._document.edit(
            tr("Change conditions to {0}").format(name),
            lambda vessel: set_vessel_field(vessel, "condition", name),
        )

    def _commit(self, field: Field, value: object, merge_key: Hashable) -> None:
        old = self._document.vessel.current_conditions
        new = msgspec.structs.replace(old, **{field.key: value})
        step = tr("Change {0} of conditions {1}").format(field.label.lower(), old.name)
        if field.key == "name":
            step = tr("Rename conditions {0}").format(old.name)
        try:
            self._document.edit(step, lambda vessel: set_conditions(vessel, old.name, new), merge_key)
        except EditError as error:
            form = self.heading if field.key == _HEADING else self.form
            form.show_problem(field.key, str(error))

    def _take_worst(self, worst: bool) -> None:
        field = self.heading.rows[_HEADING].field
        self._commit(field, None if worst else _FIRST_HEADING, None)
        if not worst:
            self.heading.rows[_HEADING].editor.setFocus(Qt.FocusReason.TabFocusReason)

    def _offer_sets(self) -> None:
        menu = design_sets_menu(self._document, self._shown.units, self)
        menu.popup(self.add_set.mapToGlobal(QPoint(0, self.add_set.height())))

    def _duplicate(self) -> None:
        """Add a copy of the current conditions under a free name, for another hour or another sea."""
        add_set(self._document, self._document.vessel.current_conditions)
        self.form.rows["name"].editor.setFocus(Qt.FocusReason.TabFocusReason)

    def _remove(self) -> None:
        name = self._document.vessel.current_conditions.name
        self._document.edit(
            tr("Remove conditions {0}").format(name), lambda vessel: remove_conditions(vessel, name)
        )


def _months() -> Choices:
    names = (
        tr("January"),
        tr("February"),
        tr("March"),
        tr("April"),
        tr("May"),
        tr("June"),
        tr("July"),
        tr("August"),
        tr("September"),
        tr("October"),
        tr("November"),
        tr("December"),
    )
    return list(enumerate(names, 1))
