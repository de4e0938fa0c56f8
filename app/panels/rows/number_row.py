# SPDX-License-Identifier: MIT
"""A number with its unit beside it; takes any unit of its quantity, and a slider where one helps."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Qt
from PySide6.QtGui import QFocusEvent, QKeyEvent
from PySide6.QtWidgets import QLineEdit, QWidget

from app import units
from app.panels.fields import Field
from app.panels.rows.calm import CalmSlider
from app.panels.rows.row import Row, common, mixed
from app.panels.words import empty_meaning
from app.translation import tr

#: Steps of a slider from end to end.
_STEPS = 200


class NumberEdit(QLineEdit):
    """A line of text for a number: selected on entry, Esc takes back what was typed."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.setAlignment(Qt.AlignmentFlag.AlignRight)
        self.setMinimumWidth(72)
        self.settled = ""
        self._rounded, self._all_digits = "", ""

    def settle(self, text: str, all_digits: str) -> None:
        """Show the value as it is in the vessel: rounded, and with all its digits while it has the focus."""
        self._rounded, self._all_digits = text, all_digits
        self._show_settled(all_digits if self.hasFocus() else text)

    def _show_settled(self, text: str) -> None:
        self.settled = text
        if self.text() != text:
            self.setText(text)
        self.setModified(False)

    def focusOutEvent(self, event: QFocusEvent) -> None:
        super().focusOutEvent(event)
        if not self.isModified():
            self._show_settled(self._rounded)

    def focusInEvent(self, event: QFocusEvent) -> None:
        super().focusInEvent(event)
        if not self.isModified():
            self._show_settled(self._all_digits)
        if event.reason() in (Qt.FocusReason.TabFocusReason, Qt.FocusReason.BacktabFocusReason):
            self.selectAll()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Escape and (self.isModified() or self.text() != self.settled):
            self._show_settled(self.settled)
            self.editingFinished.emit()
            return
        super().keyPressEvent(event)


class NumberRow(Row):
    """A number, whole or not.

    Parameters
    ----------
    field : Field
        Its range is what the row accepts.
    parent : QWidget
        The sheet.
    system : str
        System of units shown.
    span : (float, float), optional
        Ends of a slider, in the field's own unit; none without.
    """

    def __init__(
        self, field: Field, parent: QWidget, system: units.System, span: tuple[float, float] | None = None
    ) -> None:
        super().__init__(field, parent)
        self._system: units.System = system
        self._values: tuple[object, ...] = ()
        self._span = span
        self._drag = 0
        self._edit = NumberEdit(parent)
        self._edit.setObjectName(field.key)
        self._edit.setAccessibleName(field.label)
        self._edit.editingFinished.connect(self._commit)
        self._edit.textEdited.connect(self._typing)
        self.label.setBuddy(self._edit)
        self._slider = self._make_slider(parent) if span is not None else None
        self.set_units(system)

    @property
    def editor(self) -> NumberEdit:
        return self._edit

    @property
    def below(self) -> CalmSlider | None:
        return self._slider

    def set_span(self, span: tuple[float, float]) -> None:
        """Move the slider's ends."""
        self._span = span
        self.show_values(self._values)

    def set_units(self, system: units.System) -> None:
        self._system = system
        self.unit.setText(units.unit(self.field.quantity, system))
        if self._values:
            self._edit.setModified(False)
            self.show_values(self._values)

    def show_values(self, values: Sequence[object]) -> None:
        self._values = tuple(values)
        value, same = common(values)
        # What the user is typing, or typed wrong, is theirs; it stays until they settle it.
        if not self._edit.isModified():
            self._edit.settle(self._text(value), self._entry(value))
            self._edit.setPlaceholderText(empty_meaning(self.field.key) if same else mixed())
            self.show_problem("")
        self._show_on_slider(value)

    def _text(self, value: object) -> str:
        if not isinstance(value, int | float):
            return ""
        return units.number(value, self.field.quantity, self._system)

    def _entry(self, value: object) -> str:
        if not isinstance(value, int | float):
            return ""
        return units.entry(value, self.field.quantity, self._system)

    def default_text(self) -> str:
        if self.field.default is None:
            return empty_meaning(self.field.key)
        return f"{self._text(self.field.default)} {self.unit.text()}".strip()

    def go_back(self) -> None:
        self._edit.setModified(False)
        super().go_back()

    def _typing(self) -> None:
        if self.problem.isVisible():
            self.show_problem("")

    def _commit(self) -> None:
        text = self._edit.text().strip()
        if not self._edit.isModified() or text == self._edit.settled:
            self._edit.setModified(False)
            self.show_problem("")
            return
        if not text and self.field.optional:
            self._give(None, "")
            return
        try:
            value = self._read(text)
        except ValueError as error:
            self.show_problem(str(error))
            return
        self._give(value, text)

    def _give(self, value: float | None, typed: str) -> None:
        self._edit.setModified(False)
        self._edit.setToolTip(tr("Typed: {0}").format(typed) if typed else "")
        self.show_problem("")
        self.committed.emit(self.field, value, None)
        if self.problem.text():
            # The edit was refused; what was typed is still to be mended.
            self._edit.setModified(True)
        else:
            # The vessel may hold the value already; show it as it is written there.
            self.show_values(self._values)

    def _read(self, text: str) -> float:
        value = units.parse(text, self.field.quantity, self._system)
        if self.field.kind == "whole":
            value = int(value)
        self._check_range(value, text)
        return value

    def _check_range(self, value: float, text: str) -> None:
        field = self.field
        low, high = field.low, field.high
        too_low = low is not None and (value <= low if field.low_open else value < low)
        too_high = high is not None and (value >= high if field.high_open else value > high)
        if too_low or too_high:
            word = tr("too low") if too_low else tr("too high")
            raise ValueError(tr("{0} is {1}. Accepted: {2}.").format(text, word, self.accepted()))

    def accepted(self) -> str:
        """Return the range the field accepts, in words, in the units shown."""
        field = self.field
        unit = f" {self.unit.text()}" if self.unit.text() else ""
        low = None if field.low is None else self._text(field.low)
        high = None if field.high is None else self._text(field.high)
        if low is None and high is None:
            return tr("a number")
        if high is None:
            return (tr("more than {0}") if field.low_open else tr("{0} or more")).format(f"{low}{unit}")
        if low is None:
            return (tr("less than {0}") if field.high_open else tr("up to {0}")).format(f"{high}{unit}")
        if field.low_open:
            return tr("more than {0}, up to {1}").format(low, f"{high}{unit}")
        return tr("{0} to {1}").format(low, f"{high}{unit}")

    def _make_slider(self, parent: QWidget) -> CalmSlider:
        slider = CalmSlider(parent)
        slider.setObjectName(f"{self.field.key}.slider")
        slider.setAccessibleName(self.field.label)
        slider.setRange(0, _STEPS)
        slider.setPageStep(_STEPS // 10)
        slider.valueChanged.connect(self._slid)
        slider.sliderPressed.connect(self._new_drag)
        return slider

    def _new_drag(self) -> None:
        self._drag += 1

    def _slid(self, step: int) -> None:
        if self._span is None:
            return
        low, high = self._span
        value = _tidy(low + (high - low) * step / _STEPS, (high - low) / _STEPS)
        self._edit.setModified(False)
        self.committed.emit(self.field, value, (self.field.key, id(self), self._drag))

    def _show_on_slider(self, value: object) -> None:
        if self._slider is None or self._span is None or self._slider.isSliderDown():
            return
        low, high = self._span
        share = (float(value) - low) / (high - low) if isinstance(value, int | float) and high > low else 0.0
        was = self._slider.blockSignals(True)
        self._slider.setValue(round(share * _STEPS))
        self._slider.blockSignals(was)


def _tidy(value: float, step: float) -> float:
    """Round to what a step of the slider can tell apart, so that 61.000000000000004 reads 61."""
    decimals = 0
    while step < 1 and decimals < 6:
        step *= 10
        decimals += 1
    return round(value, decimals)
