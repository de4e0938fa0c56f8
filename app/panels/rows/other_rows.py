# SPDX-License-Identifier: MIT
"""Rows for text, choices and yes or no."""

from __future__ import annotations

import re
from collections.abc import Sequence

from PySide6.QtCore import QEvent, QObject, Qt
from PySide6.QtWidgets import QCheckBox, QLineEdit, QPlainTextEdit, QWidget

from app.panels.fields import Field
from app.panels.rows.calm import CalmComboBox
from app.panels.rows.row import Choices, Row, common, mixed
from app.panels.words import choice_name
from app.translation import tr
from app.units import System, UnitError, number, parse, unit

#: Longest name that fits beside its label, in characters.
_SHORT = 18


class TextRow(Row):
    """A line of text; several names are parted by commas."""

    def __init__(self, field: Field, parent: QWidget) -> None:
        super().__init__(field, parent)
        self._edit = QLineEdit(parent)
        self._edit.setObjectName(field.key)
        self._edit.setAccessibleName(field.label)
        self._edit.editingFinished.connect(self._commit)
        self.label.setBuddy(self._edit)

    @property
    def editor(self) -> QLineEdit:
        return self._edit

    def show_values(self, values: Sequence[object]) -> None:
        value, same = common(values)
        if self._edit.isModified():
            return
        self._edit.setText(_joined(value) if same else "")
        self._edit.setPlaceholderText("" if same else mixed())
        self._edit.setCursorPosition(0)
        self.show_problem("")

    def default_text(self) -> str:
        return _joined(self.field.default)

    def go_back(self) -> None:
        self._edit.setModified(False)
        super().go_back()

    def _commit(self) -> None:
        if not self._edit.isModified():
            return
        self._edit.setModified(False)
        text = self._edit.text().strip()
        value: object = text
        if self.field.kind == "names":
            value = tuple(name.strip() for name in text.split(",") if name.strip())
        self.committed.emit(self.field, value, None)


class NumbersRow(TextRow):
    """A few numbers of one quantity, parted by commas or semicolons, in the unit shown."""

    def __init__(self, field: Field, parent: QWidget, system: System) -> None:
        super().__init__(field, parent)
        self._system = system
        self._values: Sequence[object] = ()
        self.unit.setText(unit(field.quantity, system))

    def set_units(self, system: System) -> None:
        self._system = system
        self.unit.setText(unit(self.field.quantity, system))
        self.show_values(self._values)

    def show_values(self, values: Sequence[object]) -> None:
        self._values = values
        super().show_values([self._text(value) for value in values])

    def default_text(self) -> str:
        return f"{self._text(self.field.default)} {self.unit.text()}".strip()

    def _text(self, value: object) -> str:
        figures = value if isinstance(value, tuple) else ()
        return "; ".join(number(figure, self.field.quantity, self._system) for figure in figures)

    def _commit(self) -> None:
        if not self._edit.isModified():
            return
        texts = [text.strip() for text in re.split(r"[;,]\s+|;", self._edit.text()) if text.strip()]
        try:
            value = tuple(parse(text, self.field.quantity, self._system) for text in texts)
        except UnitError as error:
            self.show_problem(str(error))
            return
        self._edit.setModified(False)
        self.committed.emit(self.field, value, None)


def _joined(value: object) -> str:
    return ", ".join(value) if isinstance(value, tuple) else str(value or "")


class LongTextRow(Row):
    """Several lines of text, committed when the focus leaves."""

    def __init__(self, field: Field, parent: QWidget) -> None:
        super().__init__(field, parent)
        self._edit = QPlainTextEdit(parent)
        self._edit.setObjectName(field.key)
        self._edit.setAccessibleName(field.label)
        self._edit.setTabChangesFocus(True)
        self._edit.setFixedHeight(72)
        self._edit.installEventFilter(self)
        self.label.setBuddy(self._edit)

    @property
    def editor(self) -> QPlainTextEdit:
        return self._edit

    @property
    def is_wide(self) -> bool:
        return True

    def show_values(self, values: Sequence[object]) -> None:
        value, same = common(values)
        if self._edit.hasFocus() and self._edit.document().isModified():
            return
        text = str(value or "") if same else ""
        if text != self._edit.toPlainText():
            self._edit.setPlainText(text)
        self._edit.document().setModified(False)
        self._edit.setPlaceholderText("" if same else mixed())

    def go_back(self) -> None:
        self._edit.document().setModified(False)
        super().go_back()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() == QEvent.Type.FocusOut and self._edit.document().isModified():
            self._edit.document().setModified(False)
            self.committed.emit(self.field, self._edit.toPlainText(), None)
        return super().eventFilter(watched, event)


class ChoiceRow(Row):
    """One of a few values.

    Parameters
    ----------
    choices : sequence of (value, name on screen), optional
        Instead of the field's own.
    """

    def __init__(self, field: Field, parent: QWidget, choices: Choices | None = None) -> None:
        super().__init__(field, parent)
        self._choices = (
            list(choices) if choices is not None else [(each, choice_name(each)) for each in field.choices]
        )
        self._combo = CalmComboBox(parent)
        self._combo.setObjectName(field.key)
        self._combo.setAccessibleName(field.label)
        self._combo.addItems([name for _value, name in self._choices])
        self._combo.activated.connect(self._commit)
        self.label.setBuddy(self._combo)

    @property
    def editor(self) -> CalmComboBox:
        return self._combo

    @property
    def is_wide(self) -> bool:
        # Names that come later may be long.
        return not self._choices or any(len(name) > _SHORT for _value, name in self._choices)

    def show_values(self, values: Sequence[object]) -> None:
        value, same = common(values)
        known = [each for each, _name in self._choices]
        if same and value not in known:
            self._choices.append((value, str(value)))
            self._combo.addItem(str(value))
            known.append(value)
        self._combo.setPlaceholderText("" if same else mixed())
        self._combo.setCurrentIndex(known.index(value) if same else -1)

    def default_text(self) -> str:
        names = dict(self._choices)
        return names.get(self.field.default, str(self.field.default))

    def set_choices(self, choices: Choices) -> None:
        """Offer other values."""
        if list(choices) != self._choices:
            self._choices = list(choices)
            self._combo.clear()
            self._combo.addItems([name for _value, name in self._choices])

    def _commit(self, index: int) -> None:
        self.committed.emit(self.field, self._choices[index][0], None)


class CheckRow(Row):
    """Yes or no; of an optional part, whether it is there."""

    def __init__(self, field: Field, parent: QWidget) -> None:
        super().__init__(field, parent)
        self._box = QCheckBox(parent)
        self._box.setObjectName(field.key)
        self._box.setAccessibleName(field.label)
        self._box.clicked.connect(self._commit)
        self.label.setBuddy(self._box)

    @property
    def editor(self) -> QCheckBox:
        return self._box

    def show_values(self, values: Sequence[object]) -> None:
        if self.field.kind == "part":
            values = [value is not None for value in values]
        value, same = common(values)
        self._box.setTristate(not same)
        if same:
            self._box.setChecked(bool(value))
            self._box.setText("")
        else:
            self._box.setCheckState(Qt.CheckState.PartiallyChecked)
            self._box.setText(mixed())

    def default_text(self) -> str:
        if self.field.kind == "part":
            return tr("without") if self.field.default is None else tr("with")
        return tr("yes") if self.field.default else tr("no")

    def _commit(self) -> None:
        checked = self._box.checkState() != Qt.CheckState.Unchecked
        self._box.setTristate(False)
        self._box.setChecked(checked)
        value: object = checked
        if self.field.kind == "part":
            value = self.field.item() if checked and self.field.item is not None else None
        self.committed.emit(self.field, value, None)
