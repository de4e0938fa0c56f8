# SPDX-License-Identifier: MIT
"""Which cabins get a branch, along which mains, and what would be laid."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import (
    QGridLayout,
    QLabel,
    QListWidget,
    QListWidgetItem,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from app.canvas.tools.cabins import CabinsTool
from app.canvas.tools.near_mains import SIDES, Side, mains_of, whole_mains
from app.panels.rows.calm import CalmComboBox
from app.panels.rows.row import ProblemLine
from app.theme import HALF_SPACE
from app.translation import tr
from solver.vessel.components import AirHandler
from solver.vessel.vessel import Cabin, Vessel

_TAG = Qt.ItemDataRole.UserRole
#: Rows of the list that are seen at once, at most and at least.
_MOST_ROWS, _LEAST_ROWS = 10, 3


class CabinsForm(QWidget):
    """Chooses cabins and mains for the tool; shows what the tool has.

    Attributes
    ----------
    lay_asked : Signal
        The branches are to be laid.
    """

    lay_asked = Signal()

    def __init__(self, tool: CabinsTool) -> None:
        super().__init__()
        self._tool = tool
        self._vessel: Vessel | None = None
        self._mains: dict[Side, list[tuple[str, ...]]] = {}
        tool.chosen_changed = self._show
        self.list = QListWidget(self)
        self.list.setObjectName("cabins")
        self.list.setAccessibleName(tr("Cabins that get a branch"))
        self.list.itemChanged.connect(self._tick)
        self.list.itemClicked.connect(lambda item: self.list.setCurrentItem(item))
        heading = QLabel(tr("&Cabins"), self)
        heading.setProperty("role", "heading")
        heading.setIndent(0)
        heading.setBuddy(self.list)
        self.mains: dict[Side, CalmComboBox] = {}
        grid = QGridLayout()
        grid.setHorizontalSpacing(8)
        grid.setVerticalSpacing(HALF_SPACE)
        grid.setColumnStretch(1, 1)
        for row, (side, text) in enumerate(zip(SIDES, (tr("&Supply main"), tr("&Return main")), strict=True)):
            combo = CalmComboBox(self)
            combo.setObjectName(f"main_{side}")
            combo.activated.connect(
                lambda _index, combo=combo: self._tool.choose_main(str(combo.currentData()))
            )
            label = QLabel(text, self)
            label.setProperty("role", "soft")
            label.setBuddy(combo)
            grid.addWidget(label, row, 0)
            grid.addWidget(combo, row, 1)
            self.mains[side] = combo
        self.told = QLabel(self)
        self.told.setProperty("role", "soft")
        self.told.setWordWrap(True)
        self.problem = ProblemLine(self)
        self.go = QPushButton(self)
        self.go.setObjectName("lay_branches")
        self.go.setToolTip(tr("Ctrl+Enter on the canvas"))
        self.go.clicked.connect(self.lay_asked)
        box = QVBoxLayout(self)
        box.setContentsMargins(0, 0, 0, 0)
        box.setSpacing(HALF_SPACE)
        box.addWidget(heading)
        box.addWidget(self.list)
        box.addLayout(grid)
        for widget in (self.told, self.problem, self.go):
            box.addWidget(widget)
        self._show()

    # Details.

    def _tick(self, _item: QListWidgetItem) -> None:
        items = (self.list.item(row) for row in range(self.list.count()))
        self._tool.choose([item.data(_TAG) for item in items if item.checkState() == Qt.CheckState.Checked])

    def _show(self) -> None:
        vessel, tool = self._tool.board.vessel, self._tool
        self._show_list(vessel)
        if vessel is not self._vessel:
            self._vessel, runs = vessel, mains_of(vessel).runs
            self._mains = {side: whole_mains(vessel, runs[side]) for side in SIDES}
        for side in SIDES:
            self._show_mains(side, vessel, self._mains[side])
        count = len(tool.cabins)
        words = {0: tr("&Lay the branches"), 1: tr("&Lay 1 branch")}
        self.go.setText(words.get(count, tr("&Lay {0} branches").format(count)))
        self.go.setEnabled(tool.ghost is not None)
        self.problem.setText(tool.reason if tool.cabins else "")
        self.problem.setVisible(bool(self.problem.text()))
        self.told.setText(_told(vessel, tool) if tool.cabins else tool.reason)
        self.told.setVisible(bool(self.told.text()))

    def _show_list(self, vessel: Vessel) -> None:
        self.list.blockSignals(True)
        cabins = {cabin.tag: _row(vessel, cabin) for cabin in vessel.cabins}
        items = [self.list.item(row) for row in range(self.list.count())]
        if {item.data(_TAG): item.text() for item in items} != cabins:
            self.list.clear()
            for tag, words in cabins.items():
                item = QListWidgetItem(words, self.list)
                item.setData(_TAG, tag)
                item.setFlags(Qt.ItemFlag.ItemIsUserCheckable | Qt.ItemFlag.ItemIsSelectable)
            rows = min(max(self.list.count(), _LEAST_ROWS), _MOST_ROWS)
            height = self.list.sizeHintForRow(0) if self.list.count() else self.fontMetrics().height() + 4
            self.list.setFixedHeight(rows * height + 2 * self.list.frameWidth() + 4)
        for cabin, item in zip(
            vessel.cabins, (self.list.item(row) for row in range(self.list.count())), strict=True
        ):
            # Without a room on the drawing there is no place for its air handler.
            enabled = Qt.ItemFlag.ItemIsEnabled
            item.setFlags(item.flags() | enabled if cabin.outline else item.flags() & ~enabled)
            chosen = cabin.tag in self._tool.cabins
            item.setCheckState(Qt.CheckState.Checked if chosen else Qt.CheckState.Unchecked)
        self.list.blockSignals(False)

    def _show_mains(self, side: Side, vessel: Vessel, mains: Sequence[tuple[str, ...]]) -> None:
        combo = self.mains[side]
        combo.clear()
        for main in mains:
            combo.addItem(_main_words(vessel, main), main[0])
        chosen = set(self._tool.mains[side])
        combo.setCurrentIndex(next((row for row, main in enumerate(mains) if chosen & set(main)), -1))
        combo.setEnabled(bool(mains))
        combo.setPlaceholderText("" if mains else tr("none on the drawing"))


def _row(vessel: Vessel, cabin: Cabin) -> str:
    """Return a cabin in words: its name and deck, and what cools it already or why it cannot be chosen."""
    said = [cabin.name or cabin.tag]
    if cabin.deck:
        said.append(cabin.deck)
    served = [
        part.tag for part in vessel.components if isinstance(part, AirHandler) and cabin.tag in part.cabins
    ]
    if served:
        said.append(tr("has {0}").format(", ".join(served[:2])))
    elif not cabin.outline:
        said.append(tr("no room drawn"))
    return " · ".join(said)


def _main_words(vessel: Vessel, main: Sequence[str]) -> str:
    """Return a main by where it begins and ends."""
    first, last = vessel.run_by_tag[main[0]], vessel.run_by_tag[main[-1]]
    runs = first.tag if len(main) == 1 else tr("{0} to {1}").format(first.tag, last.tag)
    return tr("{0}, from {1}").format(runs, first.start.tag)


def _told(vessel: Vessel, tool: CabinsTool) -> str:
    """Return which air handler would come for which cabin."""
    if tool.ghost is None:
        return ""
    names = {cabin.tag: cabin.name or cabin.tag for cabin in vessel.cabins}
    handlers = [part for part in tool.ghost.components if isinstance(part, AirHandler)]
    return "\n".join(
        tr("{0} for {1}").format(part.tag, ", ".join(names[tag] for tag in part.cabins)) for part in handlers
    )
