# SPDX-License-Identifier: MIT
"""What every row has: a label, an editor, and a line under it for what is wrong."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QObject, QRectF, Qt, Signal
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QLabel, QWidget

from app.panels.fields import Field
from app.panels.rows.reset import Reset
from app.panels.severity import draw_severity
from app.translation import tr
from app.units import System

#: (value, name on screen) of what a field may be.
Choices = Sequence[tuple[object, str]]


def mixed() -> str:
    """Return the word for values that differ."""
    return tr("mixed")


def common(values: Sequence[object]) -> tuple[object, bool]:
    """Return the one value and True, or None and False where the values differ."""
    first = values[0] if values else None
    same = all(value == first for value in values)
    return (first if same else None, same)


class ProblemLine(QLabel):
    """What is wrong with a field, behind an octagon; hidden while nothing is."""

    _ICON = 14

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.setProperty("role", "bad")
        self.setWordWrap(True)
        self.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        self.setContentsMargins(self._ICON + 4, 0, 0, 0)
        self.hide()

    def paintEvent(self, event: QPaintEvent) -> None:
        super().paintEvent(event)
        painter = QPainter(self)
        draw_severity(
            painter, QRectF(0, 1, self._ICON, self._ICON), "bad", self.palette().windowText().color()
        )
        painter.end()


class Row(QObject):
    """One field on a sheet.

    Attributes
    ----------
    committed : Signal(Field, value, merge_key)
        The user gave a value; steps that follow each other under one key are one step.
    """

    committed = Signal(object, object, object)

    def __init__(self, field: Field, parent: QWidget) -> None:
        super().__init__(parent)
        self.field = field
        self.label = QLabel(field.label, parent)
        self.label.setWordWrap(True)
        self.label.setProperty("role", "soft")
        self.unit = QLabel(parent)
        self.unit.setProperty("role", "unit")
        self.problem = ProblemLine(parent)
        self.reset = Reset(field, self)
        self.reset.asked.connect(self.go_back)

    @property
    def editor(self) -> QWidget:
        """The widget that takes the value."""
        raise NotImplementedError

    @property
    def below(self) -> QWidget | None:
        """A widget under the editor over the whole width, such as a slider."""
        return None

    @property
    def is_wide(self) -> bool:
        """Whether the editor takes the whole width under its label."""
        return False

    def widgets(self) -> list[QWidget]:
        """Return all the row's widgets."""
        found = [self.label, self.editor, self.unit, self.problem]
        return found if self.below is None else [*found, self.below]

    def set_shown(self, shown: bool) -> None:
        """Show or hide the whole row."""
        for widget in self.widgets():
            widget.setVisible(shown and (widget is not self.problem or bool(self.problem.text())))

    def set_units(self, system: System) -> None:
        """Show the value in another system of units."""

    def show_values(self, values: Sequence[object]) -> None:
        """Show the field's value of each struct selected."""
        raise NotImplementedError

    def default_text(self) -> str:
        """Return the field's default as the row shows it; empty where that is nothing."""
        return str(self.field.default or "")

    def go_back(self) -> None:
        """Give the field its default."""
        self.committed.emit(self.field, self.field.default, None)

    def show_problem(self, text: str) -> None:
        """Say under the field what is wrong with what was typed; empty text takes it back."""
        if text == self.problem.text():
            # Styling anew costs much, and every edit comes by here for every row.
            return
        self.problem.setText(text)
        self.problem.setVisible(bool(text))
        self.editor.setProperty("state", "bad" if text else "")
        self.editor.style().unpolish(self.editor)
        self.editor.style().polish(self.editor)
        self.editor.setAccessibleDescription(text)
