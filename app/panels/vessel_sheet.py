# SPDX-License-Identifier: MIT
"""The vessel's own page: name and notes, what flows in the loop, conditions, spaces, limits, method."""

from __future__ import annotations

from collections.abc import Callable, Hashable

import msgspec
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QFrame, QLabel, QScrollArea, QVBoxLayout, QWidget

from app.editing.document import Document
from app.panels.conditions_block import ConditionsBlock
from app.panels.fields import Field, fields_of
from app.panels.form import LEAST_WIDTH, Form
from app.panels.shown import Shown
from app.panels.spaces_block import SpacesBlock
from app.translation import tr
from app.units import System, show
from solver.errors import EditError, LiquidError
from solver.vessel.edits import set_vessel_field
from solver.vessel.vessel import Limits, LoopLiquid, Method, Vessel

#: A part of the vessel: reads it from the vessel, and puts another in its place.
_Reader = Callable[[Vessel], msgspec.Struct]
_Writer = Callable[[Vessel, Field, object], Vessel]


class VesselSheet(QScrollArea):
    """Shows and edits what belongs to the whole vessel."""

    def __init__(self, document: Document, shown: Shown, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._document, self._shown = document, shown
        self._forms: list[tuple[Form, _Reader]] = []
        self.setWidgetResizable(True)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setMinimumWidth(LEAST_WIDTH)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self._content = QWidget(self)
        self._layout = QVBoxLayout(self._content)
        self._layout.setContentsMargins(16, 8, 16, 16)
        self._layout.setSpacing(4)
        own = tuple(field for field in fields_of(Vessel) if field.key in ("name", "notes", "units"))
        self._own = self._add(tr("Vessel"), own, lambda vessel: vessel, _set_own)
        self._liquid = self._add(
            tr("In the loop"), fields_of(LoopLiquid), lambda vessel: vessel.loop_liquid, _set_liquid
        )
        self._caution = QLabel(self._content)
        self._caution.setProperty("role", "warn")
        self._caution.setWordWrap(True)
        self._caution.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        self._layout.addWidget(self._caution)
        self.conditions = ConditionsBlock(document, shown, self._content)
        self.spaces = SpacesBlock(document, shown, self._content)
        self._layout.addWidget(self.conditions)
        self._layout.addWidget(self.spaces)
        self._add(tr("Limits"), fields_of(Limits), lambda vessel: vessel.limits, _set_limits)
        self._add(tr("Method"), fields_of(Method), lambda vessel: vessel.method, _set_method)
        self._layout.addStretch(1)
        self.setWidget(self._content)
        document.changed.connect(self._refresh)
        shown.units_changed.connect(self._set_units)
        self._refresh()

    @property
    def forms(self) -> list[Form]:
        """The forms: its own, those of the conditions, that of the space chosen."""
        own = [form for form, _reader in self._forms]
        return [*own, *self.conditions.forms, self.spaces.form]

    @property
    def caution(self) -> str:
        """The cautions shown for the liquid."""
        return self._caution.text()

    def go_to_conditions(self) -> None:
        """Show this page, the conditions in view and the keyboard at their name."""
        self._shown.select(())
        name = self.conditions.form.rows["name"].editor
        self.ensureWidgetVisible(self.conditions.remove, 0)
        self.ensureWidgetVisible(name, 0)
        name.setFocus(Qt.FocusReason.ShortcutFocusReason)
        # A page that was just brought to the front has its width only later.
        self.horizontalScrollBar().setValue(0)

    def _add(self, heading: str, fields: tuple[Field, ...], reader: _Reader, writer: _Writer) -> Form:
        form = Form(self._shown.units, self._content)
        if heading:
            form.add_heading(heading)
        form.add_fields(fields)
        form.committed.connect(lambda field, value, key: self._commit(form, writer, field, value, key))
        self._layout.addWidget(form)
        self._forms.append((form, reader))
        return form

    def _refresh(self, *_what: object) -> None:
        vessel = self._document.vessel
        for form, reader in self._forms:
            form.show_structs([reader(vessel)])
        self.conditions.show_vessel()
        self.spaces.show_vessel()
        for key in ("share_percent", "share_by"):
            self._liquid.rows[key].set_shown(vessel.loop_liquid.kind != "water")
        cautions = liquid_cautions(vessel.loop_liquid, self._shown.units)
        self._caution.setText("\n\n".join(cautions))
        self._caution.setVisible(bool(cautions))

    def _set_units(self, system: System) -> None:
        for form, _reader in self._forms:
            form.set_units(system)
        self.conditions.set_units(system)
        self.spaces.set_units(system)
        self._refresh()

    def _commit(self, form: Form, writer: _Writer, field: Field, value: object, merge_key: Hashable) -> None:
        name = tr("Change {0} of the vessel").format(field.label.lower())
        try:
            self._document.edit(name, lambda vessel: writer(vessel, field, value), merge_key)
        except (EditError, LiquidError) as error:
            form.show_problem(field.key, str(error))


def _set_own(vessel: Vessel, field: Field, value: object) -> Vessel:
    return set_vessel_field(vessel, field.key, value)


def _set_liquid(vessel: Vessel, field: Field, value: object) -> Vessel:
    liquid = msgspec.structs.replace(vessel.loop_liquid, **{field.key: value})
    if liquid.kind != "water" and liquid.share_percent == 0:
        # A glycol of 0 % is water; 30 % is the usual first choice (common practice).
        liquid = msgspec.structs.replace(liquid, share_percent=30.0)
    if liquid.kind == "water" and liquid.share_percent:
        liquid = msgspec.structs.replace(liquid, share_percent=0.0)
    return set_vessel_field(vessel, "loop_liquid", liquid)


def _set_limits(vessel: Vessel, field: Field, value: object) -> Vessel:
    return set_vessel_field(vessel, "limits", msgspec.structs.replace(vessel.limits, **{field.key: value}))


def _set_method(vessel: Vessel, field: Field, value: object) -> Vessel:
    return set_vessel_field(vessel, "method", msgspec.structs.replace(vessel.method, **{field.key: value}))


def liquid_cautions(liquid: LoopLiquid, units: System) -> list[str]:
    """Return what must be said beside a liquid.

    Glycol below about 25 % by volume carries too little inhibitor and feeds bacteria (glycol suppliers'
    notes); ethylene glycol is poisonous when swallowed.
    """
    found = []
    if liquid.kind == "ethylene_glycol":
        found.append(
            tr(
                "Ethylene glycol is poisonous when swallowed, for people and animals, and tastes sweet. "
                "Where a leak could reach drinking water, use propylene glycol. Follow the safety data sheet "
                "and local rules; leave filling and disposal to those trained for it."
            )
        )
    if liquid.kind != "water" and 0 < liquid.share_percent < 25:
        found.append(
            tr(
                "{0} of glycol is too little: bacteria live on it and the metal is not protected. Use none, "
                "or at least 25 % by volume of an inhibited glycol, as its supplier says."
            ).format(show(liquid.share_percent, "percent", units))
        )
    if liquid.kind != "water" and liquid.share_percent > 40:
        found.append(
            tr("{0} of glycol costs much flow and cooling; more than 40 % is seldom needed.").format(
                show(liquid.share_percent, "percent", units)
            )
        )
    return found
