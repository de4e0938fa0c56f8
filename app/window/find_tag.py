# SPDX-License-Identifier: MIT
"""A field that finds a part by its tag or name."""

from __future__ import annotations

from difflib import get_close_matches

from PySide6.QtCore import QStringListModel, Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QCompleter, QLineEdit, QWidget

from app.editing.document import Document
from app.panels.part_edits import parts_of
from app.panels.shown import Shown
from app.translation import tr
from solver.vessel.finding import find_tags
from solver.vessel.parts import all_tags

#: No more than these are offered.
_MOST = 50
#: Between a tag and a name in the list.
_GAP = "  "


class FindTag(QLineEdit):
    """Enter selects the best part for what is typed and zooms to it; Esc goes back to the canvas.

    Attributes
    ----------
    left : Signal
        The keyboard is to go back to the canvas.
    not_found : Signal(str)
        No part fits; the text says which tag is near.
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
        # The list holds what fits, the best first; nothing is left for the completer to choose.
        completer.setCompletionMode(QCompleter.CompletionMode.UnfilteredPopupCompletion)
        completer.activated.connect(self._find)
        self.setCompleter(completer)
        self.textEdited.connect(self._offer)
        self.returnPressed.connect(lambda: self._find(self.text()))

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Escape:
            self.clear()
            self.left.emit()
            return
        super().keyPressEvent(event)

    def _offer(self, text: str) -> None:
        vessel = self._document.vessel
        parts = parts_of(vessel, find_tags(vessel, text)[:_MOST])
        self._tags.setStringList(
            [f"{part.tag}{_GAP}{name}" if (name := getattr(part, "name", "")) else part.tag for part in parts]
        )

    def _find(self, text: str) -> None:
        wanted = text.split(_GAP)[0].strip()
        if not wanted:
            return
        found = find_tags(self._document.vessel, wanted)
        if not found:
            tags = {tag.casefold(): tag for tag in all_tags(self._document.vessel)}
            near = get_close_matches(wanted.casefold(), tags, n=1)
            hint = tr(" {0}?").format(tags[near[0]]) if near else ""
            self.not_found.emit(tr("No part fits {0}.").format(wanted) + hint)
            return
        self._shown.select(found[:1], zoom=True)
        self.selectAll()
        self.left.emit()
