# SPDX-License-Identifier: MIT
"""A field that finds a part by its tag or name."""

from __future__ import annotations

from difflib import get_close_matches

from PySide6.QtCore import QStringListModel, Qt, Signal
from PySide6.QtGui import QFocusEvent, QKeyEvent
from PySide6.QtWidgets import QCompleter, QLineEdit, QWidget

from app.editing.document import Document
from app.panels.shown import Shown
from app.translation import tr
from solver.vessel.parts import all_tags


class FindTag(QLineEdit):
    """Enter selects the part and zooms to it; Esc goes back to the canvas.

    Attributes
    ----------
    left : Signal
        The keyboard is to go back to the canvas.
    not_found : Signal(str)
        No part has this tag; the text says which is near.
    """

    left = Signal()
    not_found = Signal(str)

    def __init__(self, document: Document, shown: Shown, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._document, self._shown = document, shown
        self._tags = QStringListModel(self)
        self.setPlaceholderText(tr("Find a tag"))
        self.setAccessibleName(tr("Find a part by its tag or name"))
        self.setClearButtonEnabled(True)
        self.setFixedWidth(160)
        completer = QCompleter(self._tags, self)
        completer.setCaseSensitivity(Qt.CaseSensitivity.CaseInsensitive)
        completer.setFilterMode(Qt.MatchFlag.MatchContains)
        completer.activated.connect(self._find)
        self.setCompleter(completer)
        self.returnPressed.connect(lambda: self._find(self.text()))

    def focusInEvent(self, event: QFocusEvent) -> None:
        super().focusInEvent(event)
        # The tags are read when they are wanted; a ship has thousands.
        self._tags.setStringList(self._entries())

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Escape:
            self.clear()
            self.left.emit()
            return
        super().keyPressEvent(event)

    def _entries(self) -> list[str]:
        vessel = self._document.vessel
        parts = (*vessel.components, *vessel.cabins)
        named = [f"{part.tag}  {part.name}" if part.name else part.tag for part in parts]
        return named + [run.tag for run in vessel.runs]

    def _named(self, wanted: str) -> str | None:
        """Return the tag of the first part whose name holds what was typed."""
        vessel = self._document.vessel
        for part in (*vessel.components, *vessel.cabins):
            if wanted.casefold() in part.name.casefold():
                return part.tag
        return None

    def _find(self, text: str) -> None:
        wanted = text.split("  ")[0].strip()
        if not wanted:
            return
        tags = {tag.casefold(): tag for tag in all_tags(self._document.vessel)}
        tag = tags.get(wanted.casefold()) or self._named(wanted)
        if tag is None:
            near = get_close_matches(wanted.casefold(), tags, n=1)
            hint = tr(" {0}?").format(tags[near[0]]) if near else ""
            self.not_found.emit(tr("No part has the tag {0}.").format(wanted) + hint)
            return
        self._shown.select((tag,), zoom=True)
        self.selectAll()
        self.left.emit()
