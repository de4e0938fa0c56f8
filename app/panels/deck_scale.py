# SPDX-License-Identifier: MIT
"""The scale the current deck is drawn to: typed, or set by two points; no deck plan is needed."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QVBoxLayout, QWidget

from app.editing.deck_view import DeckView
from app.editing.document import Document
from app.editing.underlays import with_deck_scale
from app.panels.fields import Field
from app.panels.form import Form
from app.panels.rows.number_row import NumberRow
from app.panels.shown import Shown
from app.translation import tr
from solver.errors import EditError
from solver.vessel.takeoff import ASSUMED_METRES_PER_UNIT

#: People measure a hundred units more easily than one.
_UNITS = 100
_FIELD = Field("metres_per_100", "number", "length", low=0.0, low_open=True, optional=True, default=None)


class DeckScale(QWidget):
    """A field and a button.

    Attributes
    ----------
    scale_asked : Signal
        The scale is to be set by two points of the drawing.
    """

    scale_asked = Signal()

    def __init__(
        self, document: Document, shown: Shown, decks: DeckView, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._document, self._decks = document, decks
        self.form = Form(shown.units, self)
        self.row = NumberRow(_FIELD, self.form, shown.units)
        self.row.label.setText(tr("{0} units are").format(_UNITS))
        self.row.editor.setAccessibleName(tr("Length of {0} units of the deck").format(_UNITS))
        self.form.add_row(self.row)
        self.button = QPushButton(tr("Set by two points…"), self)
        self.button.setToolTip(tr("Click two points of the drawing whose distance you know"))
        self.button.clicked.connect(lambda: self.scale_asked.emit())
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.addWidget(self.form)
        row = QHBoxLayout()
        row.addWidget(self.button)
        row.addStretch(1)
        layout.addLayout(row)
        self.form.committed.connect(self._commit)
        document.changed.connect(self._show)
        decks.changed.connect(self._show)
        shown.units_changed.connect(self.form.set_units)
        self._show()

    def _show(self, *_what: object) -> None:
        scale = next(
            (
                deck.metres_per_unit
                for deck in self._document.vessel.decks
                if deck.name == self._decks.current
            ),
            None,
        )
        self.row.show_values((None if scale is None else round(scale * _UNITS, 9),))
        self.row.editor.setPlaceholderText(tr("not set") if scale is None else "")
        self.row.reset.offer((scale,), self.row.default_text)
        assumed = tr("Until it is set, {0} m are assumed for {1} units.")
        self.row.editor.setToolTip(
            "" if scale is not None else assumed.format(f"{ASSUMED_METRES_PER_UNIT * _UNITS:g}", _UNITS)
        )

    def _commit(self, field: Field, value: object, _key: object) -> None:
        deck = self._decks.current
        scale = value / _UNITS if isinstance(value, int | float) else None
        name = tr("Set the scale of {0}").format(deck or tr("the drawing"))
        try:
            self._document.edit(name, lambda vessel: with_deck_scale(vessel, deck, scale))
        except EditError as error:
            self.row.show_problem(str(error))
