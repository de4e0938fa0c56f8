# SPDX-License-Identifier: MIT
"""What a branch is made of: its coil, valves and pipe; the next branches are made so until it is changed."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import msgspec
from PySide6.QtCore import Signal
from PySide6.QtWidgets import QLabel, QVBoxLayout, QWidget

from app.panels.fields import Field, fields_of
from app.panels.form import Form
from app.panels.pipe_form import PipeForm
from app.panels.rows.other_rows import ChoiceRow
from app.panels.rows.row import Choices
from app.panels.shown import Shown
from app.panels.words import kind_names, plural_names
from app.theme import HALF_SPACE
from app.translation import tr
from app.units import System
from solver.errors import EditError
from solver.vessel.components import AirHandler
from solver.vessel.edits import BranchSettings
from solver.vessel.edits.branch_layout import PIECES, layout
from solver.vessel.parts_list import PartsList

#: Part of a branch -> the kinds that it can be of.
_KINDS_OF: dict[str, tuple[str, ...]] = {
    "isolating": ("isolating_valve",),
    "strainer": ("strainer",),
    "hose": ("flexible_hose",),
    "two_way": ("two_way_valve",),
    "regulating": ("regulating_valve", "constant_flow_valve"),
}
_COIL = ("capacity_total_kW", "design_flow_L_s", "rated_flow_L_s", "rated_drop_kPa")
#: Width of a list of models [px].
_LIST_WIDTH = 220
#: Steps of the grid from part to part [units].
_SPACINGS = (0.0, 10.0, 20.0, 30.0, 40.0)


class _Models(msgspec.Struct):
    """The models chosen; "" where the part is left out."""

    air_handler: str
    isolating: str
    strainer: str
    hose: str
    two_way: str
    regulating: str


class _NarrowChoice(ChoiceRow):
    """A choice beside its label whatever the length of its names."""

    @property
    def is_wide(self) -> bool:
        return False


class BranchForm(QWidget):
    """Edits the settings of the branches to come.

    Attributes
    ----------
    changed : Signal(BranchSettings)
        Another setting was chosen.
    settings : BranchSettings
        As they are.
    """

    changed = Signal(object)

    def __init__(self, settings: BranchSettings, parts: PartsList, shown: Shown) -> None:
        super().__init__()
        self.settings, self._parts = settings, parts
        self._shown = shown
        # In the order in which Tab goes through them.
        self.coil, self.valves = self._coil(), self._valves()
        self.pipe, self.place = PipeForm(settings.pipe, shown, self), self._place()
        self.line = QLabel(self)
        self.line.setProperty("role", "soft")
        self.line.setWordWrap(True)
        self.coil.committed.connect(self._commit_coil)
        self.valves.committed.connect(self._commit_piece)
        self.pipe.changed.connect(lambda pipe: self._take(self.pipe, "size", {"pipe": pipe}))
        self.place.committed.connect(
            lambda field, value, _key: self._take(self.place, field.key, {field.key: value})
        )
        box = QVBoxLayout(self)
        box.setContentsMargins(0, 0, 0, 0)
        box.setSpacing(HALF_SPACE)
        for widget in (self.coil, self.valves, self.line, self.pipe, self.place):
            box.addWidget(widget)
        shown.units_changed.connect(self._set_units)
        self._show()

    @property
    def forms(self) -> tuple[Form, ...]:
        """The forms from top to bottom."""
        return (self.coil, self.valves, self.pipe, self.place)

    def set_parts(self, parts: PartsList) -> None:
        """Offer the models of another parts list."""
        self._parts = parts
        for piece in ("air_handler", *PIECES):
            form = self.coil if piece == "air_handler" else self.valves
            row = form.rows[piece]
            assert isinstance(row, ChoiceRow)
            row.set_choices(self._models_of(piece))
        self._show()

    def set_settings(self, settings: BranchSettings) -> None:
        """Show other settings."""
        self.settings = settings
        self._show()

    # Details.

    def _coil(self) -> Form:
        form, fields = Form(self._shown.units, self), {field.key: field for field in fields_of(AirHandler)}
        form.add_heading(kind_names()["air_handler"])
        models = self._models_of("air_handler")
        form.add_row(self._choice(form, Field("air_handler", "choice"), tr("Model"), models))
        form.add_fields(fields[key] for key in _COIL)
        return form

    def _valves(self) -> Form:
        form = Form(self._shown.units, self)
        form.add_heading(tr("Parts of the branch"))
        for piece in PIECES:
            models = self._models_of(piece)
            form.add_row(self._choice(form, Field(piece, "choice"), _names()[piece], models))
        return form

    def _place(self) -> Form:
        form, fields = (
            Form(self._shown.units, self),
            {field.key: field for field in fields_of(BranchSettings)},
        )
        form.add_heading(tr("Lengths and place"))
        form.add_fields((fields["length_m"], fields["height_m"]))
        form.rows["length_m"].label.setText(tr("Pipe each way"))
        spacings = [(each, tr("{0} units").format(f"{each:g}")) for each in _SPACINGS]
        form.add_row(self._choice(form, Field("spacing", "choice"), tr("Between parts"), spacings))
        return form

    def _choice(self, form: Form, field: Field, label: str, choices: Choices) -> ChoiceRow:
        row = _NarrowChoice(field, form, choices)
        row.label.setText(label)
        row.editor.setAccessibleName(label)
        # Names are cut short in the row, not in its list.
        row.editor.view().setMinimumWidth(_LIST_WIDTH)
        return row

    def _models_of(self, piece: str) -> list[tuple[object, str]]:
        kinds = ("air_handler",) if piece == "air_handler" else _KINDS_OF[piece]
        found: list[tuple[object, str]] = [] if piece == "air_handler" else [("", tr("none"))]
        for kind in kinds:
            models = [row.model for row in self._parts.of_kind(kind)]
            short = shortened(models)
            if kind != kinds[0]:
                first_word = kind_names()[kind].split()[0]
                short = [f"{first_word} {name}" for name in short]
            found += zip(models, short, strict=True)
        return found

    def _show(self) -> None:
        settings = self.settings
        models = {
            piece: "" if pattern is None else pattern.model
            for piece in ("air_handler", *PIECES)
            for pattern in (getattr(settings, piece),)
        }
        shown = _Models(**models)
        for key, row in self.coil.rows.items():
            row.show_values([models[key] if key == "air_handler" else row.field.get(settings.air_handler)])
        self.valves.show_structs((shown,))
        self.pipe.show_pipe(settings.pipe)
        self.place.show_structs((settings,))
        self.line.setText(in_words(settings))

    def _set_units(self, system: System) -> None:
        for form in self.forms:
            form.set_units(system)
        self._show()

    def _commit_coil(self, field: Field, value: object, _key: object) -> None:
        if field.key == "air_handler":
            pattern = self._pattern(str(value))
        else:
            pattern = msgspec.structs.replace(self.settings.air_handler, **{field.key: value})
        self._take(self.coil, field.key, {"air_handler": pattern})

    def _commit_piece(self, field: Field, value: object, _key: object) -> None:
        self._take(self.valves, field.key, {field.key: self._pattern(str(value)) if value else None})

    def _pattern(self, model: str) -> Any:
        return self._parts.make(model, model[:1])

    def _take(self, form: Form, key: str, values: dict[str, Any]) -> None:
        settings = msgspec.structs.replace(self.settings, **values)
        try:
            layout(settings)
        except EditError as error:
            form.show_problem(key, str(error))
            return
        self.settings = settings
        self._show()
        self.changed.emit(settings)


def shortened(models: Sequence[str]) -> list[str]:
    """Return the names of models without the words that all begin with: ``DN 15`` of ``Strainer DN 15``."""
    words = [model.split() for model in models]
    alike = 0
    if len(words) > 1:
        first = words[0]
        while alike < min(map(len, words)) - 1 and first[alike] != "DN":
            if any(each[alike] != first[alike] for each in words):
                break
            alike += 1
    return [" ".join(each[alike:]) for each in words]


def in_words(settings: BranchSettings) -> str:
    """Return the parts of a branch in the direction of flow, in words."""
    names = {piece: name[:1].lower() + name[1:] for piece, name in _one_name().items()}
    supply = [names[piece] for piece in settings.supply_order if getattr(settings, piece) is not None]
    back = [names[piece] for piece in settings.return_order if getattr(settings, piece) is not None]
    coil = kind_names()["air_handler"].lower()
    return " → ".join((tr("Supply"), *supply, coil, *back, tr("return")))


def _names() -> dict[str, str]:
    """Return part of a branch -> its name where a model is chosen for all of them."""
    return {
        "isolating": plural_names()["isolating_valve"],
        "strainer": kind_names()["strainer"],
        "hose": plural_names()["flexible_hose"],
        "two_way": tr("2-way valve"),
        "regulating": kind_names()["regulating_valve"],
    }


def _one_name() -> dict[str, str]:
    return {piece: kind_names()[kinds[0]] for piece, kinds in _KINDS_OF.items()}
