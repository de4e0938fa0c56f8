# SPDX-License-Identifier: MIT
"""The sets of conditions to design by that ship, as a menu that adds one to the vessel."""

from __future__ import annotations

from collections.abc import Iterable
from functools import partial
from itertools import count

import msgspec
from PySide6.QtWidgets import QMenu, QWidget

from app.editing.document import Document
from app.translation import tr
from app.units import System, show
from solver.vessel.design_conditions import DESIGN_CONDITIONS
from solver.vessel.edits import add_conditions, set_vessel_field
from solver.vessel.vessel import Conditions, Vessel


def design_sets_menu(document: Document, units: System, parent: QWidget) -> QMenu:
    """Return a menu of the sets with their figures; one that is chosen is added and is current."""
    menu = QMenu(parent)
    menu.setTitle(tr("Sets to design by"))
    for conditions in DESIGN_CONDITIONS:
        action = menu.addAction(f"{conditions.name}\t{set_words(conditions, units)}")
        action.triggered.connect(partial(take_set, document, conditions))
    menu.aboutToHide.connect(menu.deleteLater)
    return menu


def set_words(conditions: Conditions, units: System) -> str:
    """Return outdoor air, sea and latitude of conditions.

    Examples
    --------
    >>> set_words(Conditions(name="Gulf", sea_temp_C=34.0, latitude_deg=-26.0), "si")
    '35.0 °C, 70 %, sea 34.0 °C, 26° S'
    """
    half = tr("S") if conditions.latitude_deg < 0.0 else tr("N")
    return tr("{0}, {1}, sea {2}, {3}").format(
        show(conditions.outdoor_temp_C, "temperature", units),
        show(conditions.outdoor_rh_percent, "percent", units),
        show(conditions.sea_temp_C, "temperature", units),
        f"{abs(conditions.latitude_deg):g}° {half}",
    )


def take_set(document: Document, conditions: Conditions, *_checked: bool) -> None:
    """Make a set of conditions current, and add it first if the vessel has none like it: one step."""
    if conditions not in document.vessel.conditions:
        add_set(document, conditions)
        return
    step = tr("Change conditions to {0}").format(conditions.name)
    document.edit(step, lambda vessel: set_vessel_field(vessel, "condition", conditions.name))


def add_set(document: Document, conditions: Conditions) -> None:
    """Add conditions under a free name and make them current: one step."""
    name = free_name(conditions.name, (each.name for each in document.vessel.conditions))
    new = msgspec.structs.replace(conditions, name=name)

    def added(vessel: Vessel) -> Vessel:
        return set_vessel_field(add_conditions(vessel, new), "condition", name)

    document.edit(tr("Add conditions {0}").format(name), added)


def free_name(base: str, taken: Iterable[str]) -> str:
    """Return a name that none has: the one wished for, or with the next number.

    Examples
    --------
    >>> free_name("Summer", ("Summer", "Summer 2"))
    'Summer 3'
    """
    names = set(taken)
    if base not in names:
        return base
    return next(free for number in count(2) if (free := f"{base} {number}") not in names)
