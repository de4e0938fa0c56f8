# SPDX-License-Identifier: MIT
"""The switch of conditions in the tool bar: weather, sea, cooling or heating, by name."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QPoint
from PySide6.QtWidgets import QWidget

from app.editing.document import Document
from app.panels.design_sets import design_sets_menu
from app.panels.rows.calm import CalmComboBox
from app.panels.shown import Shown
from app.translation import tr
from solver.vessel.edits import set_vessel_field
from solver.vessel.vessel import Conditions

#: Characters shown before a name is cut short.
_SHOWN = 17


class ConditionsChoice(CalmComboBox):
    """Shows the current conditions; choosing others is one step that can be undone.

    Parameters
    ----------
    document : Document
    shown : Shown
    edit : callable
        Called for the last entry, which leads to where conditions are edited.
    """

    def __init__(self, document: Document, shown: Shown, edit: Callable[[], None], parent: QWidget) -> None:
        super().__init__(parent)
        self._document, self._shown, self._edit = document, shown, edit
        self.setObjectName("conditions")
        self.setAccessibleName(tr("Conditions"))
        self.setMinimumContentsLength(_SHOWN)
        self.setSizeAdjustPolicy(CalmComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        self.activated.connect(self._choose)
        document.changed.connect(self._follow)
        self._follow()

    def _follow(self, *_what: object) -> None:
        vessel = self._document.vessel
        current = vessel.current_conditions
        texts = [
            *map(described, vessel.conditions),
            tr("Add a set to design by…"),
            tr("Edit conditions…"),
        ]
        if texts != [self.itemText(index) for index in range(self.count())]:
            self.clear()
            self.addItems(texts)
            self.insertSeparator(len(texts) - 2)
        self.setCurrentIndex(vessel.conditions.index(current))
        self.setToolTip(tr("Conditions: {0}. All temperatures are for these").format(described(current)))

    def _choose(self, index: int) -> None:
        conditions = self._document.vessel.conditions
        if index >= len(conditions):
            self._follow()
            if index == self.count() - 1:
                self._edit()
            else:
                menu = design_sets_menu(self._document, self._shown.units, self)
                menu.popup(self.mapToGlobal(QPoint(0, self.height())))
            return
        name = conditions[index].name
        step = tr("Change conditions to {0}").format(name)
        self._document.edit(step, lambda vessel: set_vessel_field(vessel, "condition", name))


def described(conditions: Conditions) -> str:
    """Return the name of conditions, with a word where they are for heating."""
    return tr("{0} · heating").format(conditions.name) if conditions.mode == "heating" else conditions.name
