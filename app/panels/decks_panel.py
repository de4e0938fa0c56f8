# SPDX-License-Identifier: MIT
"""The decks: name, height above the waterline, how each shows; the one selected takes new parts.

Below them stand the deck plans.
"""

from __future__ import annotations

from collections.abc import Callable

import msgspec
from PySide6.QtCore import QEvent, QObject, Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import (
    QAbstractItemView,
    QHBoxLayout,
    QHeaderView,
    QLabel,
    QPushButton,
    QScrollArea,
    QTableWidget,
    QTableWidgetItem,
    QVBoxLayout,
    QWidget,
)

from app import units
from app.editing.deck_view import DECK_LAYERS, DeckLayer, DeckView
from app.editing.document import Document
from app.panels.deck_scale import DeckScale
from app.panels.rows.row import ProblemLine
from app.panels.shown import Shown
from app.panels.underlay_form import UnderlayForm
from app.translation import tr
from solver.errors import EditError
from solver.vessel.edits import add_deck, remove_deck, set_deck
from solver.vessel.parts import with_lists
from solver.vessel.takeoff import measured
from solver.vessel.vessel import Deck, Vessel

_NAME, _HEIGHT, _SHOWS = range(3)
#: Height between decks where none is known [m]; common practice for yachts.
_BETWEEN = 2.4
_MOST_ROWS = 8
#: Widths of the narrow columns [px].
_HEIGHT_PX, _SHOWS_PX = 56, 62


def layer_names() -> dict[DeckLayer, str]:
    """Return how a deck shows -> the word for it."""
    return {"shown": tr("shown"), "dimmed": tr("dimmed"), "hidden": tr("hidden")}


class DecksPanel(QScrollArea):
    """Edits the decks and says how they show.

    Attributes
    ----------
    decks : DeckView
        The current deck and how each shows.
    scale : DeckScale
        What the current deck is drawn to.
    plans : UnderlayForm
        The deck plans.
    """

    def __init__(
        self, document: Document, shown: Shown, decks: DeckView, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._document, self._shown, self.decks = document, shown, decks
        self._is_filling = False
        self.setWidgetResizable(True)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setFrameShape(QScrollArea.Shape.NoFrame)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        content = QWidget(self)
        self.table = self._make_table(content)
        self._none = QLabel(tr("No decks yet. With decks and heights, rises come by themselves."), content)
        self._none.setProperty("role", "soft")
        self._none.setWordWrap(True)
        self.problem = ProblemLine(content)
        self.buttons = self._make_buttons(content)
        self.scale = DeckScale(document, shown, decks, content)
        self.plans = UnderlayForm(document, shown, decks, content)
        layout = QVBoxLayout(content)
        layout.setContentsMargins(12, 8, 12, 12)
        layout.setSpacing(6)
        layout.addWidget(self._none)
        layout.addWidget(self.table)
        layout.addWidget(self.problem)
        for names in (("add", "remove", "up", "down"), ("dim", "all")):
            row = QHBoxLayout()
            row.setSpacing(4)
            for name in names:
                row.addWidget(self.buttons[name])
            row.addStretch(1)
            layout.addLayout(row)
        layout.addWidget(self.scale)
        layout.addWidget(self.plans)
        layout.addStretch(1)
        self.setWidget(content)
        document.changed.connect(self._refresh)
        shown.units_changed.connect(self._refresh)
        decks.changed.connect(self._fill)
        self._refresh()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Space turns how the selected deck shows; Delete removes it."""
        if event.type() == QEvent.Type.ShortcutOverride and isinstance(event, QKeyEvent):
            if event.key() in (Qt.Key.Key_Delete, Qt.Key.Key_Backspace):
                event.accept()
                return True
        elif event.type() == QEvent.Type.KeyPress and isinstance(event, QKeyEvent):
            if event.key() == Qt.Key.Key_Space:
                self._turn(self.table.currentRow())
                return True
            if event.key() == Qt.Key.Key_Delete:
                self._remove()
                return True
        return super().eventFilter(watched, event)

    def _make_table(self, parent: QWidget) -> QTableWidget:
        table = QTableWidget(0, 3, parent)
        table.setObjectName("decks")
        table.setAccessibleName(tr("Decks; the selected one takes new parts"))
        table.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        table.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        table.setTabKeyNavigation(False)
        table.verticalHeader().hide()
        header = table.horizontalHeader()
        header.setSectionResizeMode(_NAME, QHeaderView.ResizeMode.Stretch)
        for column, width in ((_HEIGHT, _HEIGHT_PX), (_SHOWS, _SHOWS_PX)):
            header.setSectionResizeMode(column, QHeaderView.ResizeMode.Fixed)
            header.resizeSection(column, width)
        header.setHighlightSections(False)
        table.itemChanged.connect(self._edited)
        table.currentCellChanged.connect(self._chosen)
        table.cellClicked.connect(lambda row, column: self._turn(row) if column == _SHOWS else None)
        table.installEventFilter(self)
        return table

    def _make_buttons(self, parent: QWidget) -> dict[str, QPushButton]:
        made: dict[str, QPushButton] = {}
        for name, text, tip, act in (
            ("add", tr("Add"), tr("Add a deck above the highest"), self._add),
            ("remove", tr("Remove"), tr("Remove the selected deck"), self._remove),
            ("up", "↑", tr("Move the deck up in the list"), lambda: self._move(-1)),
            ("down", "↓", tr("Move the deck down in the list"), lambda: self._move(1)),
            ("dim", tr("Dim the others"), tr("Dim all decks but this one"), self._dim_others),
            ("all", tr("Show all"), tr("Show all decks"), lambda: self.decks.set_others("shown")),
        ):
            button = QPushButton(text, parent)
            button.setObjectName(f"deck_{name}")
            button.setToolTip(tip)
            button.setAccessibleName(tip)
            button.clicked.connect(lambda _checked=False, act=act: act())
            made[name] = button
        for name in ("up", "down"):
            made[name].setFixedWidth(32)
        return made

    def _refresh(self, *_what: object) -> None:
        self.decks.follow(self._document.vessel)
        self._fill()

    def _fill(self) -> None:
        decks, system = self._document.vessel.decks, self._shown.units
        self._is_filling = True
        words = layer_names()
        self.table.setRowCount(len(decks))
        self.table.setHorizontalHeaderLabels(
            [tr("Deck"), f"{tr('Height')}\n{units.unit('length', system)}", tr("Shows")]
        )
        for row, deck in enumerate(decks):
            current = deck.name == self.decks.current
            name = QTableWidgetItem(deck.name)
            font = name.font()
            font.setBold(current)
            name.setFont(font)
            if current:
                name.setToolTip(tr("New parts go to this deck"))
            height = QTableWidgetItem(units.number(deck.height_m, "length", system))
            height.setTextAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
            shows = QTableWidgetItem(words[self.decks.layer(deck.name)])
            shows.setFlags(shows.flags() & ~Qt.ItemFlag.ItemIsEditable)
            shows.setToolTip(tr("Click, or press Space, to show, dim or hide"))
            for column, item in ((_NAME, name), (_HEIGHT, height), (_SHOWS, shows)):
                self.table.setItem(row, column, item)
            if current and self.table.currentRow() != row:
                self.table.setCurrentCell(row, max(self.table.currentColumn(), 0))
        self._is_filling = False
        self._none.setVisible(not decks)
        self.table.setVisible(bool(decks))
        header = self.table.horizontalHeader().sizeHint().height()
        rows = min(len(decks), _MOST_ROWS)
        self.table.setFixedHeight(header + rows * self.table.verticalHeader().defaultSectionSize() + 4)
        row = self.table.currentRow()
        self.buttons["remove"].setEnabled(bool(decks))
        self.buttons["up"].setEnabled(row > 0)
        self.buttons["down"].setEnabled(0 <= row < len(decks) - 1)
        self.buttons["dim"].setEnabled(len(decks) > 1)
        self.buttons["all"].setEnabled(bool(self.decks.layers))

    def _chosen(self, row: int, *_rest: int) -> None:
        decks = self._document.vessel.decks
        if not self._is_filling and 0 <= row < len(decks) and decks[row].name != self.decks.current:
            self.decks.set_current(decks[row].name)

    def _turn(self, row: int) -> None:
        decks = self._document.vessel.decks
        if 0 <= row < len(decks):
            name = decks[row].name
            layer = DECK_LAYERS[(DECK_LAYERS.index(self.decks.layer(name)) + 1) % len(DECK_LAYERS)]
            self.decks.set_layer(name, layer)

    def _edited(self, item: QTableWidgetItem) -> None:
        if self._is_filling:
            return
        deck = self._document.vessel.decks[item.row()]
        text = item.text().strip()
        if item.column() == _NAME:
            new = msgspec.structs.replace(deck, name=text)
            self._edit(
                tr("Rename deck {0}").format(deck.name), lambda vessel: set_deck(vessel, deck.name, new)
            )
            return
        if text == units.number(deck.height_m, "length", self._shown.units):
            return
        try:
            height = units.parse(text, "length", self._shown.units)
        except units.UnitError as error:
            # What was typed stays to be mended.
            self._tell(str(error))
            return
        new = msgspec.structs.replace(deck, height_m=height)
        self._edit(
            tr("Change the height of {0}").format(deck.name),
            lambda vessel: measured(set_deck(vessel, deck.name, new)),
        )

    def _add(self) -> None:
        decks = self._document.vessel.decks
        taken = {deck.name for deck in decks}
        number = next(n for n in range(1, len(decks) + 2) if tr("Deck {0}").format(n) not in taken)
        height = max(deck.height_m for deck in decks) + _BETWEEN if decks else 0.0
        new = Deck(name=tr("Deck {0}").format(number), height_m=height)
        if self._edit(tr("Add a deck"), lambda vessel: add_deck(vessel, new)):
            self.decks.set_current(new.name)
            self.table.setFocus()
            self.table.setCurrentCell(len(decks), _NAME)
            item = self.table.item(len(decks), _NAME)
            if item is not None:
                self.table.editItem(item)

    def _remove(self) -> None:
        name = self.decks.current
        if name:
            self._edit(tr("Remove deck {0}").format(name), lambda vessel: remove_deck(vessel, name))

    def _move(self, step: int) -> None:
        name = self.decks.current
        self._edit(tr("Move deck {0}").format(name), lambda vessel: with_deck_moved(vessel, name, step))

    def _dim_others(self) -> None:
        self.decks.set_others("dimmed")

    def _edit(self, name: str, change: Callable[[Vessel], Vessel]) -> bool:
        self._tell("")
        try:
            return self._document.edit(name, change)
        except EditError as error:
            self._tell(str(error))
            return False

    def _tell(self, text: str) -> None:
        self.problem.setText(text)
        self.problem.setVisible(bool(text))


def with_deck_moved(vessel: Vessel, name: str, step: int) -> Vessel:
    """Return the vessel with a deck so many places further in the list of decks."""
    decks = list(vessel.decks)
    at = next(index for index, deck in enumerate(decks) if deck.name == name)
    to = min(max(at + step, 0), len(decks) - 1)
    decks.insert(to, decks.pop(at))
    return vessel if to == at else with_lists(vessel, {"decks": decks})
