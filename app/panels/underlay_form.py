# SPDX-License-Identifier: MIT
"""The deck plans under the drawing: which there are, their place, strength and scale."""

from __future__ import annotations

from collections.abc import Callable, Hashable

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import (
    QFrame,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from app import units
from app.editing.deck_view import DeckView
from app.editing.document import Document
from app.editing.underlays import remove_underlay, set_underlay
from app.panels.fields import Field, fields_of
from app.panels.form import Form
from app.panels.rows.calm import CalmComboBox
from app.panels.rows.row import ProblemLine
from app.panels.shown import Shown
from app.translation import tr
from app.units import System
from solver.errors import EditError
from solver.vessel.vessel import Underlay, Vessel

_FIELDS = ("deck", "page", "opacity_percent", "units_per_pixel", "metres_per_unit")


class UnderlayForm(QWidget):
    """Shows one deck plan at a time and edits it.

    Attributes
    ----------
    add_asked : Signal
        A picture is to be chosen and placed.
    scale_asked, move_asked : Signal(int)
        The scale of a deck plan is to be set by two points; it is to be moved.
    """

    add_asked = Signal()
    scale_asked = Signal(int)
    move_asked = Signal(int)

    def __init__(
        self, document: Document, shown: Shown, decks: DeckView, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._document, self._shown, self._decks = document, shown, decks
        self._form: Form | None = None
        self._shape: Hashable = None
        heading = QLabel(tr("Deck plans"), self)
        heading.setProperty("role", "heading")
        self.choice = CalmComboBox(self)
        self.choice.setObjectName("plan")
        self.choice.setAccessibleName(tr("Deck plan"))
        self.choice.activated.connect(self._show)
        self.scale_line = QLabel(self)
        self.scale_line.setProperty("role", "soft")
        self.scale_line.setWordWrap(True)
        self.problem = ProblemLine(self)
        self.buttons: dict[str, QPushButton] = {}
        for name, text, tip, act in (
            ("add", tr("Add a plan…"), tr("Put a deck plan under the drawing"), self.add_asked.emit),
            ("remove", tr("Remove"), tr("Take this deck plan away"), self._remove),
            (
                "scale",
                tr("Set the scale…"),
                tr("Click two points and type their distance"),
                lambda: self.scale_asked.emit(self.index),
            ),
            (
                "move",
                tr("Move"),
                tr("Drag the deck plan, or move it with the arrow keys"),
                lambda: self.move_asked.emit(self.index),
            ),
        ):
            button = QPushButton(text, self)
            button.setObjectName(f"plan_{name}")
            button.setToolTip(tip)
            button.clicked.connect(lambda _checked=False, act=act: act())
            self.buttons[name] = button
        self._layout = QVBoxLayout(self)
        self._layout.setContentsMargins(0, 0, 0, 0)
        self._layout.setSpacing(6)
        for widget in (heading, self.choice, self.scale_line):
            self._layout.addWidget(widget)
        for names in (("add", "remove"), ("scale", "move")):
            row = QHBoxLayout()
            row.setSpacing(4)
            for name in names:
                row.addWidget(self.buttons[name])
            row.addStretch(1)
            self._layout.addLayout(row)
        self._layout.addWidget(self.problem)
        document.changed.connect(self._refresh)
        shown.units_changed.connect(self._set_units)
        self._refresh()

    @property
    def index(self) -> int:
        """Which of the vessel's deck plans is shown; -1 without any."""
        return self.choice.currentIndex()

    @property
    def form(self) -> Form | None:
        """The rows of the plan shown; None without any."""
        return self._form

    def choose(self, index: int) -> None:
        """Show one of the deck plans."""
        self.choice.setCurrentIndex(index)
        self._show()

    def tell(self, text: str) -> None:
        """Say what is wrong."""
        self.problem.setText(text)
        self.problem.setVisible(bool(text))

    def _refresh(self, *_what: object) -> None:
        plans = self._document.vessel.underlays
        index = self.index
        names = [
            f"{plan.file.rpartition('/')[2]}" + (f" · {plan.deck}" if plan.deck else "") for plan in plans
        ]
        if names != [self.choice.itemText(each) for each in range(self.choice.count())]:
            added = len(names) > self.choice.count() > 0
            self.choice.clear()
            self.choice.addItems(names)
            self.choice.setCurrentIndex(len(names) - 1 if added else min(max(index, 0), len(names) - 1))
        self._show()

    def _show(self, *_what: object) -> None:
        vessel = self._document.vessel
        has = 0 <= self.index < len(vessel.underlays)
        self.choice.setVisible(len(vessel.underlays) > 0)
        for name in ("remove", "scale", "move"):
            self.buttons[name].setVisible(has)
        if not has:
            self.scale_line.setText(
                tr("None. A deck plan (PNG, JPEG, SVG, PDF) gives runs their lengths once its scale is set.")
            )
            self._drop_form()
            return
        plan = vessel.underlays[self.index]
        self.scale_line.setText(self._scale_words(plan))
        pdf = plan.file.lower().endswith(".pdf")
        shape = (tuple(deck.name for deck in vessel.decks), pdf)
        if shape != self._shape or self._form is None:
            self._drop_form()
            self._shape = shape
            self._form = self._make_form(vessel, pdf)
            self._layout.insertWidget(3, self._form)
        self._form.show_structs((plan,))

    def _scale_words(self, plan: Underlay) -> str:
        hundred = units.show(100 * plan.metres_per_unit, "length", self._shown.units)
        return tr("100 units of the drawing are {0}.").format(hundred)

    def _make_form(self, vessel: Vessel, pdf: bool) -> Form:
        by_key = {field.key: field for field in fields_of(Underlay)}
        fields = [by_key[key] for key in _FIELDS if key != "page" or pdf]
        decks = [("", tr("not said")), *((deck.name, deck.name) for deck in vessel.decks)]
        form = Form(self._shown.units, self)
        form.add_fields(fields, {"deck": decks}, {}, {"opacity_percent": (0.0, 100.0)})
        form.committed.connect(self._commit)
        return form

    def _drop_form(self) -> None:
        if self._form is not None:
            self._layout.removeWidget(self._form)
            self._form.hide()
            self._form.deleteLater()
            self._form = None

    def _set_units(self, system: System) -> None:
        if self._form is not None:
            self._form.set_units(system)
        self._show()

    def _commit(self, field: Field, value: object, merge_key: Hashable) -> None:
        index = self.index
        name = tr("Change {0} of the deck plan").format(field.label.lower())
        key = None if merge_key is None else ("plan", index, merge_key)
        try:
            self._document.edit(name, lambda vessel: set_underlay(vessel, index, **{field.key: value}), key)
        except EditError as error:
            if self._form is not None:
                self._form.show_problem(field.key, str(error))

    def _remove(self) -> None:
        index = self.index
        self._edit(tr("Remove the deck plan"), lambda vessel: remove_underlay(vessel, index))

    def _edit(self, name: str, change: Callable[[Vessel], Vessel]) -> None:
        self.tell("")
        try:
            self._document.edit(name, change)
        except EditError as error:
            self.tell(str(error))


class _DistanceEdit(QLineEdit):
    """Takes the distance; Escape gives up."""

    given_up = Signal()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Escape:
            self.given_up.emit()
            return
        super().keyPressEvent(event)


class DistanceEntry(QFrame):
    """Asks for the distance between two points, beside the second; what was typed wrong stays.

    Attributes
    ----------
    given : Signal(float)
        The distance [m].
    given_up : Signal
    """

    given = Signal(float)
    given_up = Signal()

    def __init__(self, shown: Shown, parent: QWidget) -> None:
        super().__init__(parent)
        self._shown = shown
        self.setObjectName("distance_entry")
        label = QLabel(tr("Distance between the two points"), self)
        self.edit = _DistanceEdit(self)
        self.edit.setAccessibleName(label.text())
        self.edit.setAlignment(Qt.AlignmentFlag.AlignRight)
        self.edit.setFixedWidth(110)
        label.setBuddy(self.edit)
        self.unit = QLabel(self)
        self.unit.setProperty("role", "unit")
        self.problem = ProblemLine(self)
        self.problem.setMaximumWidth(280)
        self.button = QPushButton(tr("Set the scale"), self)
        self.button.clicked.connect(self._commit)
        self.edit.returnPressed.connect(self._commit)
        self.edit.given_up.connect(self._give_up)
        row = QHBoxLayout()
        row.addWidget(self.edit)
        row.addWidget(self.unit)
        row.addWidget(self.button)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(12, 8, 12, 8)
        layout.setSpacing(4)
        layout.addWidget(label)
        layout.addLayout(row)
        layout.addWidget(self.problem)
        self.hide()

    def ask(self) -> None:
        """Show the field, empty, with the keyboard in it."""
        self.edit.clear()
        self.tell("")
        self.unit.setText(units.unit("length", self._shown.units))
        self.adjustSize()
        self.show()
        self.raise_()
        self.edit.setFocus(Qt.FocusReason.OtherFocusReason)

    def tell(self, text: str) -> None:
        """Say what is wrong with what was typed."""
        self.problem.setText(text)
        self.problem.setVisible(bool(text))
        self.adjustSize()

    def _commit(self) -> None:
        try:
            distance = units.parse(self.edit.text(), "length", self._shown.units)
        except units.UnitError as error:
            self.tell(str(error))
            return
        if distance <= 0:
            self.tell(tr("The distance must be more than 0."))
            return
        self.given.emit(distance)

    def _give_up(self) -> None:
        self.hide()
        self.given_up.emit()
