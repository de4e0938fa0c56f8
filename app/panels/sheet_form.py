# SPDX-License-Identifier: MIT
"""A part's tag and main value, edited beside it on the sheet."""

from __future__ import annotations

from collections.abc import Hashable

from PySide6.QtCore import QPoint, QRect, Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QApplication, QFrame, QLineEdit, QVBoxLayout, QWidget

from app.editing.document import Document
from app.panels.fields import Field, fields_of
from app.panels.form import Form
from app.panels.part_edits import parts_of, slider_spans, with_field
from app.panels.shown import Shown
from app.theme import HALF_SPACE, SPACE
from app.translation import tr
from app.units import System
from solver.errors import EditError
from solver.vessel.components import Component, kind_name
from solver.vessel.edits import retag
from solver.vessel.parts import Part
from solver.vessel.run import Run

_TAG = Field("tag", "text")
#: Kind -> the value that is turned or typed most; of other kinds it is the name.
_MAIN = {
    "run": "length_m",
    "circulation_pump": "speed_percent",
    "sea_water_pump": "speed_percent",
    "chiller": "capacity_kW",
    "air_handler": "design_flow_L_s",
    "isolating_valve": "opening_percent",
    "regulating_valve": "setting",
    "check_valve": "kv_m3_h",
    "two_way_valve": "position_percent",
    "three_way_valve": "position_percent",
    "differential_bypass": "set_kPa",
    "constant_flow_valve": "flow_L_s",
    "strainer": "clogging_percent",
    "expansion_vessel": "pressure_kPa",
    "air_separator": "kv_m3_h",
    "buffer_tank": "volume_L",
    "flexible_hose": "length_m",
    "through_hull": "bore_mm",
    "flow_meter": "kv_m3_h",
}
#: Width of the card, and its distance from what it belongs to [px].
_WIDTH, _APART = 304, 6


def main_field(part: Part) -> Field | None:
    """Return the field of a part's main value; None for a kind that has none."""
    kind = "run" if isinstance(part, Run) else kind_name(part) if isinstance(part, Component) else "cabin"
    key = _MAIN.get(kind, "name")
    return next((field for field in fields_of(type(part)) if field.key == key), None)


class SheetForm(QFrame):
    """A small card over the canvas: Enter takes what is typed, Escape leaves it.

    Attributes
    ----------
    closed : Signal
        It was closed by a key, so the canvas wants the keyboard back.
    """

    closed = Signal()

    def __init__(self, document: Document, shown: Shown, parent: QWidget) -> None:
        super().__init__(parent)
        self._document, self._shown, self._over = document, shown, parent
        self._tag = ""
        self.form: Form | None = None
        self.setObjectName("sheet_form")
        self._layout = QVBoxLayout(self)
        self._layout.setContentsMargins(SPACE, SPACE, SPACE, SPACE)
        self.hide()
        document.changed.connect(self._show_values)
        shown.units_changed.connect(self._set_units)
        application = QApplication.instance()
        if isinstance(application, QApplication):
            application.focusChanged.connect(self._focus_went)

    @property
    def tag(self) -> str:
        """The part that is edited, empty while the card is closed."""
        return self._tag

    def edit(self, tag: str, around: QRect, *, on_tag: bool = False) -> bool:
        """Edit a part; the card comes beside ``around`` [px], the keyboard into its value or its tag.

        Returns
        -------
        bool
            False if there is no such part.
        """
        parts = parts_of(self._document.vessel, (tag,))
        if not parts:
            return False
        self._build(parts[0])
        self._tag = tag
        self._show_values()
        self._fit()
        self.move(self._place(around))
        self.show()
        self.raise_()
        key = "tag" if on_tag or self.form is None or len(self.form.rows) == 1 else self._value_key()
        editor = self.form.rows[key].editor if self.form is not None else self
        editor.setFocus(Qt.FocusReason.TabFocusReason)
        if isinstance(editor, QLineEdit):
            editor.selectAll()
        return True

    def close_card(self) -> None:
        """Close it; what is typed and not taken is forgotten."""
        if self._tag:
            self._tag = ""
            self.hide()
            self.closed.emit()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        # The fields have had the key before: Enter has taken the value, Escape has taken typing back.
        if event.key() == Qt.Key.Key_Escape:
            self.close_card()
        elif event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            if not self._problem():
                self.close_card()
        else:
            super().keyPressEvent(event)
            # Arrows and letters are not to reach the canvas below.
            event.accept()

    def _build(self, part: Part) -> None:
        if self.form is not None:
            self._layout.removeWidget(self.form)
            self.form.hide()
            self.form.deleteLater()
        form = Form(self._shown.units, self)
        field = main_field(part)
        form.add_fields([_TAG])
        if field is not None:
            form.add_fields([field], spans=slider_spans((part,), [field]))
        form.committed.connect(self._commit)
        self._layout.addWidget(form)
        self.form = form

    def _set_units(self, units: System) -> None:
        if self.form is not None:
            self.form.set_units(units)

    def _show_values(self, *_what: object) -> None:
        if not self._tag or self.form is None:
            return
        parts = parts_of(self._document.vessel, (self._tag,))
        if parts:
            self.form.show_structs(parts)
        else:
            self.close_card()

    def _commit(self, field: Field, value: object, merge_key: Hashable) -> None:
        tag = self._tag
        try:
            if field is _TAG:
                self._rename(tag, str(value))
                return
            name = tr("Change {0} of {1}").format(field.label.lower(), tag)
            key = None if merge_key is None else ((tag,), merge_key)
            self._document.edit(name, lambda vessel: with_field(vessel, (tag,), field, value), key)
        except EditError as error:
            if self.form is not None:
                self.form.show_problem(field.key, str(error))

    def _rename(self, old: str, new: str) -> None:
        was, self._tag = self._tag, ""
        try:
            renamed = self._document.edit(
                tr("Rename {0}").format(old), lambda vessel: retag(vessel, old, new)
            )
        except EditError:
            self._tag = was
            raise
        self._tag = new if renamed else old
        if renamed:
            self._shown.select((new,))
        self._show_values()

    def _value_key(self) -> str:
        assert self.form is not None
        return next(key for key in self.form.rows if key != "tag")

    def _problem(self) -> bool:
        rows = [] if self.form is None else list(self.form.rows.values())
        self._fit()
        return any(row.problem.text() for row in rows)

    def _fit(self) -> None:
        """Take the height that the fields and what is wrong with them need."""
        self._layout.activate()
        # Text that wraps wants a little more than the layout counts.
        self.resize(_WIDTH, self._layout.heightForWidth(_WIDTH) + HALF_SPACE)

    def _place(self, around: QRect) -> QPoint:
        """Return where the card stands: under what it belongs to, above it where there is no room."""
        room, size = self._over.rect(), self.size()
        x = min(max(around.left(), room.left() + _APART), room.right() - size.width() - _APART)
        below = around.bottom() + _APART
        y = below if below + size.height() <= room.bottom() else around.top() - size.height() - _APART
        return QPoint(max(x, room.left()), max(y, room.top()))

    def _focus_went(self, _old: QWidget | None, new: QWidget | None) -> None:
        """Close where the keyboard went elsewhere, unless something typed is still to be mended."""
        if self._tag and new is not None and not self.isAncestorOf(new) and not self._problem():
            self._tag = ""
            self.hide()
