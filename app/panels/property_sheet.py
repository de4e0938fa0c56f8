# SPDX-License-Identifier: MIT
"""The selection's fields and results: results on top, then what can be set, then ratings and the rest.

The fields are read from the parts' structs.  With several parts selected it shows the fields they have
in common, and an edit goes to all of them in one step.
"""

from __future__ import annotations

from collections.abc import Hashable, Sequence

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QFrame, QLabel, QScrollArea, QVBoxLayout, QWidget

from app.editing.document import Document
from app.editing.underlays import picture_path
from app.panels.fields import Field, fields_of
from app.panels.figures import figures_of, main_value
from app.panels.form import LEAST_WIDTH, Form
from app.panels.heat_figures import Figures, Line
from app.panels.part_edits import parts_of, slider_spans, with_field, with_model
from app.panels.results_block import ResultsBlock
from app.panels.rows.row import Choices
from app.panels.run_size import series_choices, size_choices
from app.panels.shown import Shown
from app.panels.surfaces_row import SurfacesRow
from app.panels.takeoff_words import takeoff_words
from app.panels.words import kind_names, port_name
from app.solving.results import ResultsStore
from app.translation import tr
from app.units import System
from solver.errors import EditError, FileError
from solver.parts.fittings import FITTING_KINDS
from solver.vessel.components import AirHandler, Chiller, Component, kind_name
from solver.vessel.edits import retag
from solver.vessel.parts import Part
from solver.vessel.parts_list import PartsList, read_parts_list
from solver.vessel.run import Run
from solver.vessel.vessel import Cabin, Vessel

_SET = (
    "running",
    "fan_running",
    "speed_percent",
    "opening_percent",
    "setting",
    "position_percent",
    "clogging_percent",
    "set_point_C",
    "heating_set_point_C",
    "compressor_speed_percent",
    "filter_clogging_percent",
    "coil_fouling_percent",
    "condenser_fouling_percent",
)
_LOAD = (
    "rh_percent",
    "people",
    "activity",
    "lights_W",
    "equipment_W",
    "equipment_latent_W",
    "outdoor_air_L_s",
    "floor_area_m2",
    "ceiling_m",
    "surfaces",
    "load_sensible_W",
    "load_latent_W",
)
_PLACE = ("deck", "height_m", "rise_m", "surroundings", "surroundings_temp_C")
_ABOUT = ("tag", "name", "model", "notes")
_TAG = Field("tag", "text")
#: How many of a selection's parts are listed with their figures.
_MOST_LISTED = 12


class PropertySheet(QScrollArea):
    """Shows and edits what is selected."""

    def __init__(
        self, document: Document, store: ResultsStore, shown: Shown, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._document, self._store, self._shown = document, store, shown
        self._parts: tuple[Part, ...] = ()
        self._shape: Hashable = None
        self._form: Form | None = None
        self.setWidgetResizable(True)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setMinimumWidth(LEAST_WIDTH)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self._content = QWidget(self)
        self._title = QLabel(self._content)
        self._title.setProperty("role", "title")
        self._title.setWordWrap(True)
        self._subtitle = QLabel(self._content)
        self._subtitle.setProperty("role", "soft")
        self._subtitle.setWordWrap(True)
        self.results_block = ResultsBlock(self._content)
        self._layout = QVBoxLayout(self._content)
        self._layout.setContentsMargins(16, 8, 16, 16)
        self._layout.setSpacing(4)
        for widget in (self._title, self._subtitle, self.results_block):
            self._layout.addWidget(widget)
        self._layout.addStretch(1)
        self.setWidget(self._content)
        document.changed.connect(self._refresh)
        store.results_changed.connect(self._show_results)
        shown.selection_changed.connect(self._refresh)
        shown.units_changed.connect(self._set_units)

    @property
    def form(self) -> Form | None:
        """The rows, None while nothing is selected."""
        return self._form

    @property
    def parts(self) -> tuple[Part, ...]:
        """The parts shown."""
        return self._parts

    def _refresh(self, *_what: object) -> None:
        vessel = self._document.vessel
        self._parts = parts_of(vessel, self._shown.tags)
        # Rows are made anew only for other parts, or they would lose the focus at every edit.
        shape = (
            tuple((part.tag, type(part)) for part in self._parts),
            tuple(deck.name for deck in vessel.decks),
            # The sizes on offer are those of the series, their bores in the units shown.
            frozenset(part.series for part in self._parts if isinstance(part, Run)),
            vessel.parts_list,
            self._shown.units if any(isinstance(part, Run) for part in self._parts) else "",
        )
        if shape != self._shape:
            self._shape = shape
            self._build(vessel)
        if self._form is not None:
            surfaces = self._form.rows.get("surfaces")
            if isinstance(surfaces, SurfacesRow):
                surfaces.follow(vessel, [part.tag for part in self._parts])
            self._form.show_structs(self._parts)
        self._show_titles()
        self._show_results()

    def _build(self, vessel: Vessel) -> None:
        if self._form is not None:
            self._layout.removeWidget(self._form)
            self._form.hide()
            self._form.deleteLater()
            self._form = None
        if not self._parts:
            return
        form = Form(self._shown.units, self._content)
        fields = common_fields([*dict.fromkeys(type(part) for part in self._parts)])
        if len(self._parts) == 1:
            fields.append(_TAG)
        else:
            # A name is one part's own.
            fields = [field for field in fields if field.key != "name"]
        runs = [part for part in self._parts if isinstance(part, Run)]
        choices: dict[str, Choices] = {
            "deck": [("", tr("not said")), *((deck.name, deck.name) for deck in vessel.decks)],
            "series": series_choices(),
            "size": size_choices(runs, self._shown.units),
        }
        models = self._models()
        if models:
            choices["model"] = [("", tr("none")), *((model, model) for model in models)]
        fittings = [(kind, entry.name) for kind, entry in FITTING_KINDS.items()]
        for heading, group in grouped(fields):
            form.add_heading(heading)
            surfaces = [field for field in group if field.key == "surfaces"]
            others = [field for field in group if field not in surfaces]
            form.add_fields(others, choices, {"kind": fittings}, slider_spans(self._parts, others))
            for field in surfaces:
                form.add_row(SurfacesRow(field, form, self._shown.units))
        form.committed.connect(self._commit)
        self._layout.insertWidget(3, form)
        self._form = form
        form.show()
        self.verticalScrollBar().setValue(0)

    def _show_titles(self) -> None:
        parts = self._parts
        if not parts:
            self._title.setText("")
            self._subtitle.setText("")
        elif len(parts) > 1:
            self._title.setText(tr("{0} parts").format(len(parts)))
            self._subtitle.setText(", ".join(part.tag for part in parts[:_MOST_LISTED]))
        else:
            part = parts[0]
            name = getattr(part, "name", "")
            self._title.setText(f"{part.tag} · {name}" if name else part.tag)
            words = described(part)
            if isinstance(part, Run):
                words += "\n" + takeoff_words(self._document.vessel, part, self._shown.units)
            self._subtitle.setText(words)

    def _show_results(self, *_what: object) -> None:
        if not self._parts:
            self.results_block.setVisible(False)
            return
        store = self._store
        figures = None
        if store.results is not None:
            figures = figures_for(self._document.vessel, store, self._parts, self._shown.units)
        no_heat = store.no_heat if any(_has_heat(part) for part in self._parts) else ""
        self.results_block.show_figures(figures, store.behind, store.reason, store.heat_is_old, no_heat)

    def _set_units(self, system: System) -> None:
        if self._form is not None:
            self._form.set_units(system)
        self._refresh()

    def _commit(self, field: Field, value: object, merge_key: Hashable) -> None:
        tags = tuple(part.tag for part in self._parts)
        whose = tags[0] if len(tags) == 1 else tr("{0} parts").format(len(tags))
        name = tr("Change {0} of {1}").format(field.label.lower(), whose)
        key = None if merge_key is None else (tags, merge_key)
        try:
            if field is _TAG:
                self._rename(tags[0], str(value))
            elif field.key == "model" and self._models():
                parts, model = self._parts_list(), str(value)
                name = tr("Use {0} for {1}").format(model, whose) if model else name
                self._document.edit(name, lambda vessel: with_model(vessel, tags, model, parts))
            else:
                self._document.edit(name, lambda vessel: with_field(vessel, tags, field, value), key)
        except EditError as error:
            if self._form is not None:
                self._form.show_problem(field.key, str(error))

    def _parts_list(self) -> PartsList:
        """Return the vessel's parts list; the one that ships where it cannot be read."""
        name = self._document.vessel.parts_list
        try:
            return read_parts_list(picture_path(name, self._document.path) if name else None)
        except FileError:
            return read_parts_list()

    def _models(self) -> list[str]:
        """Return the models the parts can all be of; none where they are of several kinds."""
        kinds = {kind_name(part) if isinstance(part, Component) else "" for part in self._parts}
        if len(kinds) != 1 or "" in kinds:
            return []
        return [row.model for row in self._parts_list().of_kind(kinds.pop())]

    def _rename(self, old: str, new: str) -> None:
        """Give a part another tag, everywhere it is named, and keep it selected."""
        if self._document.edit(tr("Rename {0}").format(old), lambda vessel: retag(vessel, old, new)):
            self._shown.select((new,))


def _has_heat(part: Part) -> bool:
    """Return whether a part's sheet is not whole without temperatures."""
    return isinstance(part, AirHandler | Chiller | Cabin)


def common_fields(kinds: Sequence[type]) -> list[Field]:
    """Return the fields that all kinds have, in the order of the first."""
    others = [{field.key: field.kind for field in fields_of(kind)} for kind in kinds[1:]]
    return [
        field for field in fields_of(kinds[0]) if all(other.get(field.key) == field.kind for other in others)
    ]


def grouped(fields: Sequence[Field]) -> list[tuple[str, list[Field]]]:
    """Return (heading, fields), what is turned in use first."""
    groups = {
        tr("Setting"): [field for field in fields if field.key in _SET],
        tr("Data"): [field for field in fields if field.key not in (*_SET, *_LOAD, *_PLACE, *_ABOUT)],
        tr("Heat load"): [field for field in fields if field.key in _LOAD],
        tr("Place"): [field for field in fields if field.key in _PLACE],
        tr("About"): [field for field in fields if field.key in _ABOUT],
    }
    return [(heading, group) for heading, group in groups.items() if group]


def described(part: Part) -> str:
    """Return what a part is, in words."""
    if isinstance(part, Run):
        ends = tr("from {0} {1} to {2} {3}").format(
            part.start.tag, port_name(part.start.port), part.end.tag, port_name(part.end.port)
        )
        return f"{kind_names()['run']} {ends}"
    if isinstance(part, Component):
        return kind_names().get(kind_name(part), kind_name(part))
    return tr("Cabin")


def figures_for(vessel: Vessel, store: ResultsStore, parts: Sequence[Part], units: System) -> Figures | None:
    """Return the figures of one part, or a list of each part's main value."""
    if store.results is None:
        return None
    if len(parts) == 1:
        return figures_of(vessel, store.results, parts[0].tag, units)
    listed = [Line(part.tag, main_value(store.results, part.tag, units)) for part in parts[:_MOST_LISTED]]
    if len(parts) > _MOST_LISTED:
        listed.append(Line(tr("and {0} more").format(len(parts) - _MOST_LISTED), ""))
    return Figures("", lines=tuple(line for line in listed if line.text or line.label))
