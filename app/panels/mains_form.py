# SPDX-License-Identifier: MIT
"""How mains are drawn: their distance and pipe; and for a return main, which kind and where it ends."""

from __future__ import annotations

import msgspec
from PySide6.QtCore import Signal
from PySide6.QtWidgets import QButtonGroup, QLabel, QPushButton, QRadioButton, QVBoxLayout, QWidget

from app.canvas.tools.mirror import MirrorTool
from app.canvas.tools.pair import MainSettings
from app.panels.fields import Field
from app.panels.form import Form
from app.panels.pipe_form import PipeForm
from app.panels.rows.calm import CalmComboBox
from app.panels.rows.other_rows import ChoiceRow
from app.panels.rows.row import ProblemLine
from app.panels.shown import Shown
from app.theme import HALF_SPACE
from app.translation import tr
from solver.vessel.edits.joining import free_ports, port_words
from solver.vessel.edits.mains import KINDS_OF_RETURN
from solver.vessel.run import End

#: What tells of a choice stands under its words [px].
_INDENT = 24
#: Distances between the two [units].
_GAPS = (20.0, 30.0, 40.0, 60.0, 80.0)


class GapForm(Form):
    """One row: the distance between a supply and its return.

    Attributes
    ----------
    changed : Signal(float)
    """

    changed = Signal(float)

    def __init__(self, shown: Shown, parent: QWidget) -> None:
        super().__init__(shown.units, parent)
        row = ChoiceRow(
            Field("gap", "choice"), self, [(gap, tr("{0} units").format(f"{gap:g}")) for gap in _GAPS]
        )
        row.label.setText(tr("Distance"))
        row.editor.setAccessibleName(tr("Distance between supply and return"))
        self.add_row(row)
        self.committed.connect(lambda _field, value, _key: self.changed.emit(value))


class PairForm(QWidget):
    """Edits how the next pair is drawn.

    Attributes
    ----------
    changed : Signal(MainSettings)
    """

    changed = Signal(object)

    def __init__(self, settings: MainSettings, shown: Shown) -> None:
        super().__init__()
        self.settings = settings
        self.gap, self.pipe = GapForm(shown, self), PipeForm(settings.pipe, shown, self)
        told = QLabel(
            tr(
                "Click the way of the supply; the return comes beside it. A click on a port, on a run or "
                "twice on one place ends the pair.\n\n"
                "R puts the return on the other side. Shift and a click, or Shift+Enter, on a port chooses "
                "where the return goes: before the pair is begun for its end at the plant, then for the "
                "far end."
            ),
            self,
        )
        told.setProperty("role", "soft")
        told.setWordWrap(True)
        box = QVBoxLayout(self)
        box.setContentsMargins(0, 0, 0, 0)
        box.setSpacing(HALF_SPACE)
        for widget in (told, self.gap, self.pipe):
            box.addWidget(widget)
        self.gap.changed.connect(lambda gap: self._take(gap=gap))
        self.pipe.changed.connect(lambda pipe: self._take(pipe=pipe))
        shown.units_changed.connect(self.pipe.set_units)
        self.show_settings(settings)

    def show_settings(self, settings: MainSettings) -> None:
        """Show other settings."""
        self.settings = settings
        self.gap.show_structs((settings,))
        self.pipe.show_pipe(settings.pipe)

    def _take(self, **values: object) -> None:
        self.show_settings(msgspec.structs.replace(self.settings, **values))
        self.changed.emit(self.settings)


class MirrorForm(QWidget):
    """Edits what return main a supply main gets.

    Attributes
    ----------
    changed : Signal(MainSettings)
    lay_asked : Signal
        The return main is to be laid.
    """

    changed = Signal(object)
    lay_asked = Signal()

    def __init__(self, tool: MirrorTool, shown: Shown) -> None:
        super().__init__()
        self._tool, self._settings = tool, tool.settings
        tool.chosen_changed = self._show
        self.kinds = {kind: QRadioButton(text, self) for kind, text in _kind_words().items()}
        group = QButtonGroup(self)
        box = QVBoxLayout(self)
        box.setContentsMargins(0, 0, 0, 0)
        box.setSpacing(HALF_SPACE)
        self.main = QLabel(self)
        self.main.setWordWrap(True)
        box.addWidget(self.main)
        box.addSpacing(HALF_SPACE)
        for kind, about in zip(KINDS_OF_RETURN, _kinds_told(), strict=True):
            button = self.kinds[kind]
            button.setObjectName(f"return_{kind}")
            button.clicked.connect(lambda _checked=False, kind=kind: self._take(kind=kind))
            group.addButton(button)
            box.addWidget(button)
            line = QLabel(about, self)
            line.setProperty("role", "soft")
            line.setWordWrap(True)
            line.setIndent(_INDENT)
            box.addWidget(line)
        self.gap = GapForm(shown, self)
        self.gap.changed.connect(lambda gap: self._take(gap=gap))
        self.end = CalmComboBox(self)
        self.end.setObjectName("return_ends_at")
        self.end.activated.connect(lambda _index: self._tool.end_at(self.end.currentData()))
        label = QLabel(tr("E&nds at"), self)
        label.setProperty("role", "soft")
        label.setBuddy(self.end)
        self.problem = ProblemLine(self)
        self.go = QPushButton(tr("&Lay the return main"), self)
        self.go.setObjectName("lay_return")
        self.go.clicked.connect(self.lay_asked)
        box.addSpacing(HALF_SPACE)
        for widget in (self.gap, label, self.end, self.problem, self.go):
            box.addWidget(widget)
        self._show()

    def _show(self) -> None:
        tool = self._tool
        self.kinds[tool.settings.kind].setChecked(True)
        self.gap.show_structs((tool.settings,))
        self.main.setText(
            tr("Supply main: {0}").format(", ".join(tool.main))
            if tool.main
            else tr("Point at a supply main, or select one of its runs first.")
        )
        ends: list[End | None] = [None, *free_ports(tool.board.vessel)]
        self.end.clear()
        for end in ends:
            self.end.addItem(tr("an open end, where a tee waits") if end is None else port_words(end), end)
        self.end.setCurrentIndex(ends.index(tool.to) if tool.to in ends else 0)
        told = tool.reason if tool.main else ""
        self.problem.setText(told)
        self.problem.setVisible(bool(told))
        self.go.setEnabled(tool.ghost is not None)
        # A key on the canvas may have changed them.
        if tool.settings != self._settings:
            self._settings = tool.settings
            self.changed.emit(tool.settings)

    def _take(self, **values: object) -> None:
        self._tool.set_settings(msgspec.structs.replace(self._tool.settings, **values))


def _kind_words() -> dict[str, str]:
    return {"direct": tr("D&irect return"), "reverse": tr("Rever&se return")}


def _kinds_told() -> tuple[str, str]:
    return (
        tr("The branch nearest the plant has the shortest way there and back: less pipe, more to balance."),
        tr("The branch with the shortest supply has the longest return: more pipe, all ways about as long."),
    )
