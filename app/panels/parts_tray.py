# SPDX-License-Identifier: MIT
"""The parts tray: every kind that can be placed, with its symbol, its key and the models of the parts list.

A click, Enter or a drag takes a part in hand; placing it is the canvas' work.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path

from PySide6.QtCore import QMimeData, Qt, QTimer, Signal
from PySide6.QtGui import QDrag, QIcon, QKeyEvent
from PySide6.QtWidgets import (
    QAbstractItemView,
    QFileDialog,
    QHBoxLayout,
    QHeaderView,
    QLabel,
    QLineEdit,
    QPushButton,
    QTreeWidget,
    QTreeWidgetItem,
    QVBoxLayout,
    QWidget,
)

from app.editing.document import Document
from app.editing.underlays import picture_name, picture_path
from app.panels.part_groups import groups, tool_names
from app.panels.rows.row import ProblemLine
from app.panels.shown import Shown
from app.panels.symbol_icons import ICON_SIZE, symbol_icon
from app.panels.tool_icons import tool_icon
from app.panels.words import kind_names
from app.translation import tr
from solver.errors import FileError
from solver.vessel.components import KINDS, Component
from solver.vessel.edits import set_vessel_field
from solver.vessel.parts_list import PartRow, PartsList, read_parts_list

#: What a drag from the tray carries: kind and model on two lines.
PART_MIME = "application/x-farcabin-part"
#: Parts chosen last that are listed on top.
_MOST_RECENT = 5
_KIND, _MODEL = Qt.ItemDataRole.UserRole, Qt.ItemDataRole.UserRole + 1


class _Tree(QTreeWidget):
    """The list of parts; a drag takes the part along.

    Attributes
    ----------
    drag_begun : Signal(str, str)
        Kind and model of what is dragged.
    """

    drag_begun = Signal(str, str)

    def startDrag(self, actions: Qt.DropAction) -> None:
        item = self.currentItem()
        if item is None or not item.data(0, _KIND):
            return
        kind, model = str(item.data(0, _KIND)), str(item.data(0, _MODEL))
        data = QMimeData()
        data.setData(PART_MIME, f"{kind}\n{model}".encode())
        drag = QDrag(self)
        drag.setMimeData(data)
        drag.setPixmap(item.icon(0).pixmap(ICON_SIZE))
        self.drag_begun.emit(kind, model)
        drag.exec(Qt.DropAction.CopyAction)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        # Enter chooses on every system; letters go to the filter, not to a search of the tree's own.
        item = self.currentItem()
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and item is not None:
            self.itemActivated.emit(item, 0)
            return
        super().keyPressEvent(event)

    def keyboardSearch(self, search: str) -> None:
        """Nothing: the filter field searches better."""


class PartsTray(QWidget):
    """Chooses what is placed next.

    Attributes
    ----------
    part_chosen : Signal(str, str)
        Kind and model; the model is empty for kinds that the parts list does not have.
    list_changed : Signal
        Models come from another list.
    recent_changed : Signal(list of str)
        What was used last, as ``set_recent`` takes it.
    parts : PartsList
        The list in use.
    """

    part_chosen = Signal(str, str)
    list_changed = Signal()
    recent_changed = Signal(list)

    def __init__(
        self,
        document: Document,
        shown: Shown,
        keys: Mapping[str, str] | None = None,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._document, self._shown, self._keys = document, shown, dict(keys or {})
        self.parts: PartsList = read_parts_list()
        self._source: Path | None = None
        self._recent: list[tuple[str, str]] = []
        # A list is not made anew while its own click or drag is under way.
        self._soon = QTimer(self, singleShot=True, interval=0)
        self._soon.timeout.connect(self._fill_recent)
        self.filter = QLineEdit(self)
        self.filter.setPlaceholderText(tr("Filter parts and models"))
        self.filter.setAccessibleName(tr("Filter parts and models"))
        self.filter.setClearButtonEnabled(True)
        self.tree = self._make_tree()
        self.none_found = QLabel(self)
        self.none_found.setProperty("role", "soft")
        self.none_found.setWordWrap(True)
        self.none_found.hide()
        self.problem = ProblemLine(self)
        self.list_button = QPushButton(tr("Choose a parts list…"), self)
        self.list_button.setToolTip(tr("Take the models from a CSV file of your own"))
        self.own_button = QPushButton(tr("Shipped list"), self)
        self.own_button.setToolTip(tr("Take the models from the list that comes with the program"))
        self.list_name = QLabel(self)
        self.list_name.setProperty("role", "unit")
        self.list_name.setWordWrap(True)
        self._lay_out()
        self.filter.textChanged.connect(self._filter)
        self.filter.returnPressed.connect(self._choose_first)
        self.list_button.clicked.connect(self._choose_list)
        self.own_button.clicked.connect(lambda: self._set_list(""))
        document.changed.connect(self._read_list)
        document.path_changed.connect(self._read_list)
        shown.theme_changed.connect(self._fill)
        self._fill()
        self._read_list()

    def model_for(self, kind: str) -> str:
        """Return the model a kind is placed with: the last one used, else the first of the list."""
        for used_kind, model in self._recent:
            if used_kind == kind:
                return model
        models = self._models_of(kind)
        return models[0].model if models else ""

    def _models_of(self, kind: str) -> tuple[PartRow, ...]:
        return self.parts.of_kind(kind) if kind in KINDS else ()

    def choose(self, kind: str, model: str = "") -> None:
        """Take a part in hand, as a click on it does."""
        model = model or self.model_for(kind)
        self.remember(kind, model)
        self.part_chosen.emit(kind, model)

    def remember(self, kind: str, model: str = "") -> None:
        """List a part among those used last, on top."""
        before = list(self._recent)
        self._recent = [(kind, model), *(each for each in before if each != (kind, model))]
        del self._recent[_MOST_RECENT:]
        if self._recent != before:
            self._soon.start()
            self.recent_changed.emit(["\t".join(each) for each in self._recent])

    def set_recent(self, texts: Sequence[str]) -> None:
        """Take what was used last, newest first: kind, tab, model.  What is not known is left out."""
        pairs = [(kind, model) for kind, _, model in (text.partition("\t") for text in texts)]
        self._recent = [pair for pair in dict.fromkeys(pairs) if self._has(*pair)][:_MOST_RECENT]
        self._fill_recent()

    def ask_path(self) -> str:
        """Ask for a parts list; empty if none is chosen."""
        folder = str(self._document.path.parent) if self._document.path else ""
        return QFileDialog.getOpenFileName(self, tr("Choose a parts list"), folder, "CSV (*.csv)")[0]

    def _make_tree(self) -> _Tree:
        tree = _Tree(self)
        tree.setObjectName("parts_tray")
        tree.setAccessibleName(tr("Parts to place"))
        tree.setColumnCount(2)
        tree.setHeaderHidden(True)
        tree.setIconSize(ICON_SIZE)
        tree.setIndentation(10)
        tree.setDragEnabled(True)
        tree.setDragDropMode(QAbstractItemView.DragDropMode.DragOnly)
        tree.setExpandsOnDoubleClick(False)
        tree.setTextElideMode(Qt.TextElideMode.ElideRight)
        tree.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        header = tree.header()
        header.setStretchLastSection(False)
        header.setSectionResizeMode(0, QHeaderView.ResizeMode.Stretch)
        header.setSectionResizeMode(1, QHeaderView.ResizeMode.Fixed)
        header.resizeSection(1, 42)
        tree.itemClicked.connect(self._chosen)
        tree.itemActivated.connect(self._chosen)
        tree.drag_begun.connect(self.remember)
        return tree

    def _lay_out(self) -> None:
        layout = QVBoxLayout(self)
        layout.setContentsMargins(8, 8, 8, 8)
        layout.setSpacing(6)
        layout.addWidget(self.filter)
        layout.addWidget(self.tree, 1)
        layout.addWidget(self.none_found)
        layout.addWidget(self.problem)
        layout.addWidget(self.list_name)
        row = QHBoxLayout()
        row.setSpacing(4)
        row.addWidget(self.list_button)
        row.addWidget(self.own_button)
        row.addStretch(1)
        layout.addLayout(row)

    def _fill(self, *_what: object) -> None:
        opened = {
            str(item.data(0, _KIND))
            for group in self._groups()
            for item in _children(group)
            if item.isExpanded()
        }
        self.tree.clear()
        names = kind_names() | tool_names()
        self._used = self._add_group(tr("Used last"))
        for heading, kinds in ({tr("Several at once"): tuple(tool_names())} | groups()).items():
            group = self._add_group(heading)
            for kind in kinds:
                item = self._add_part(group, kind, names[kind], "")
                item.setText(1, self._keys.get(kind, "").replace("Shift+", "⇧"))
                item.setTextAlignment(1, Qt.AlignmentFlag.AlignCenter)
                for row in self._models_of(kind):
                    self._add_part(item, kind, row.model, row.model).setFirstColumnSpanned(True)
                item.setExpanded(kind in opened)
        self._fill_recent()

    def _fill_recent(self) -> None:
        """List what was used last on top; nothing else of the list is touched."""
        names = kind_names() | tool_names()
        self._used.takeChildren()
        for kind, model in self._recent:
            self._add_part(self._used, kind, model or names[kind], model)
        self._filter()

    def _groups(self) -> list[QTreeWidgetItem]:
        found = (self.tree.topLevelItem(row) for row in range(self.tree.topLevelItemCount()))
        return [item for item in found if item is not None]

    def _add_group(self, heading: str) -> QTreeWidgetItem:
        item = QTreeWidgetItem(self.tree, [heading])
        item.setFlags(Qt.ItemFlag.ItemIsEnabled)
        font = item.font(0)
        font.setBold(True)
        item.setFont(0, font)
        item.setFirstColumnSpanned(True)
        item.setExpanded(True)
        return item

    def _add_part(self, above: QTreeWidgetItem, kind: str, text: str, model: str) -> QTreeWidgetItem:
        item = QTreeWidgetItem(above, [text])
        item.setData(0, _KIND, kind)
        item.setData(0, _MODEL, model)
        key = self._keys.get(kind, "")
        words = tr("{0}, key {1}").format(text, key) if key and not model else text
        item.setData(0, Qt.ItemDataRole.AccessibleTextRole, words)
        item.setToolTip(0, text if model else tr("{0}: {1}").format(text, self.model_for(kind)).rstrip(": "))
        if not (model and above.data(0, _KIND)):
            item.setIcon(0, self._icon(kind, model))
        return item

    def _icon(self, kind: str, model: str) -> QIcon:
        theme = self._shown.theme
        return symbol_icon(self._example(kind, model), theme) if kind in KINDS else tool_icon(kind, theme)

    def _example(self, kind: str, model: str) -> Component:
        """Return some component of a kind, for its symbol."""
        name = model or self.model_for(kind)
        if name:
            return self.parts.model(name).component
        # The list of the user's own may lack the kind.
        shipped = read_parts_list().of_kind(kind)
        return shipped[0].component if shipped else KINDS[kind](tag="X")

    def _filter(self, *_what: object) -> None:
        """Show the kinds and models whose names hold every word typed."""
        words = self.filter.text().casefold().split()
        any_shown = False
        for group in self._groups():
            shown_below = False
            for item in _children(group):
                own = _holds(item, words)
                models = _children(item)
                fitting = [model for model in models if own or _holds(model, words)]
                for model in models:
                    model.setHidden(model not in fitting)
                item.setHidden(not own and not fitting)
                if words:
                    item.setExpanded(bool(fitting) and not own)
                shown_below = shown_below or not item.isHidden()
            group.setHidden(not shown_below)
            any_shown = any_shown or shown_below
        self.none_found.setVisible(not any_shown)
        self.none_found.setText(tr("No part or model has “{0}” in its name.").format(self.filter.text()))

    def _choose_first(self) -> None:
        """Take the first part that the filter leaves."""
        for group in self._groups():
            for item in _children(group):
                if not item.isHidden():
                    models = [model for model in _children(item) if not model.isHidden()]
                    self._chosen(models[0] if item.isExpanded() and models else item)
                    return

    def _chosen(self, item: QTreeWidgetItem, _column: int = 0) -> None:
        kind = item.data(0, _KIND)
        if kind:
            self.choose(str(kind), str(item.data(0, _MODEL)))
        else:
            item.setExpanded(not item.isExpanded())

    def _choose_list(self) -> None:
        path = self.ask_path()
        if path:
            self._set_list(picture_name(Path(path), self._document.path))

    def _set_list(self, name: str) -> None:
        if name:
            try:
                read_parts_list(picture_path(name, self._document.path))
            except FileError as error:
                self._tell(str(error))
                return
        self._tell("")
        self._document.edit(
            tr("Choose a parts list"), lambda vessel: set_vessel_field(vessel, "parts_list", name)
        )

    def _read_list(self, *_what: object) -> None:
        """Take the vessel's own list, or the one that ships; what is wrong with it is told."""
        name = self._document.vessel.parts_list
        source = picture_path(name, self._document.path) if name else None
        if source == self._source and self.list_name.text():
            return
        self._source = source
        self._tell("")
        try:
            self.parts = read_parts_list(source)
        except FileError as error:
            self._tell(str(error))
            self.parts = read_parts_list()
            source = None
        self._recent = [(kind, model) for kind, model in self._recent if self._has(kind, model)]
        self.list_name.setText(
            tr("Models from {0}").format(source.name) if source else tr("Models from the shipped list")
        )
        self.own_button.setVisible(bool(name))
        self._fill()
        self.list_changed.emit()

    def _has(self, kind: str, model: str) -> bool:
        known = kind in KINDS or kind in tool_names()
        return known and (not model or any(row.model == model for row in self._models_of(kind)))

    def _tell(self, text: str) -> None:
        self.problem.setText(text)
        self.problem.setVisible(bool(text))


def _children(item: QTreeWidgetItem) -> list[QTreeWidgetItem]:
    found = (item.child(row) for row in range(item.childCount()))
    return [child for child in found if child is not None]


def _holds(item: QTreeWidgetItem, words: list[str]) -> bool:
    text = item.text(0).casefold()
    return all(word in text for word in words)
