# SPDX-License-Identifier: MIT
"""Asks for two ports: a list of the free ones, narrowed down by typing; one end, then the other."""

from __future__ import annotations

from collections.abc import Iterable

from PySide6.QtCore import QEvent, QObject, Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QFrame, QLabel, QLineEdit, QListWidget, QListWidgetItem, QVBoxLayout, QWidget

from app.theme import HALF_SPACE
from app.translation import tr
from solver.vessel.run import End

_WIDTH, _HEIGHT = 320, 300
_END = Qt.ItemDataRole.UserRole
_LIST_KEYS = (Qt.Key.Key_Up, Qt.Key.Key_Down, Qt.Key.Key_PageUp, Qt.Key.Key_PageDown)


class ConnectList(QFrame):
    """Asks for the two ends of a run.

    Attributes
    ----------
    chosen : Signal(object, object)
        The two ends.
    given_up : Signal
        Escape was pressed.
    """

    chosen = Signal(object, object)
    given_up = Signal()

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.setObjectName("connect_list")
        self.setAutoFillBackground(True)
        self.setFrameShape(QFrame.Shape.StyledPanel)
        self._free: list[End] = []
        self._start: End | None = None
        self._line = QLabel(self)
        self.edit = QLineEdit(self)
        self.edit.setPlaceholderText(tr("Tag or port"))
        self.list = QListWidget(self)
        self.list.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        layout = QVBoxLayout(self)
        layout.setSpacing(HALF_SPACE)
        for widget in (self._line, self.edit, self.list):
            layout.addWidget(widget)
        self._line.setBuddy(self.edit)
        self.edit.textChanged.connect(self._fill)
        self.edit.installEventFilter(self)
        self.list.itemClicked.connect(lambda _item: self._enter())
        self.hide()

    def ask(self, free: Iterable[End], start: Iterable[End] = ()) -> None:
        """Ask for both ends among free ports, or for the second if there is one ``start`` only."""
        self._free = list(free)
        starts = list(start)
        self._start = starts[0] if len(starts) == 1 else None
        if not self._start and starts:
            self._free = [*starts, *(end for end in self._free if end not in starts)]
        parent = self.parentWidget()
        assert parent is not None
        self.setGeometry((parent.width() - _WIDTH) // 2, 40, _WIDTH, min(_HEIGHT, parent.height() - 60))
        self.show()
        self.raise_()
        self._next()
        self.edit.setFocus(Qt.FocusReason.ShortcutFocusReason)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if isinstance(event, QKeyEvent) and event.type() == QEvent.Type.KeyPress:
            if event.key() == Qt.Key.Key_Escape:
                self.hide()
                self.given_up.emit()
                return True
            if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
                # A line edit lets Enter through, and the canvas would open what is selected.
                self._enter()
                return True
            if Qt.Key(event.key()) in _LIST_KEYS:
                self.list.event(event)
                return True
        return super().eventFilter(watched, event)

    def _next(self) -> None:
        if self._start is None:
            self._line.setText(tr("Connect from"))
        else:
            self._line.setText(tr("Connect {0} to").format(_words(self._start)))
        self.edit.setAccessibleName(self._line.text())
        self.edit.clear()
        self._fill()

    def _fill(self, *_what: object) -> None:
        words = self.edit.text().lower().split()
        self.list.clear()
        for end in self._free:
            if self._start is not None and end.tag == self._start.tag:
                continue
            text = _words(end)
            parts = text.lower().split()
            if all(any(part.startswith(word) for part in parts) for word in words):
                item = QListWidgetItem(text)
                item.setData(_END, tuple(end))
                self.list.addItem(item)
        # A whole tag typed means that part, not those whose tags begin like it.
        exact_rows = [row for row in range(self.list.count()) if self._is_exact(row, words)]
        self.list.setCurrentRow(exact_rows[0] if exact_rows else 0)

    def _is_exact(self, row: int, words: list[str]) -> bool:
        return bool(words) and self.list.item(row).text().lower().split()[0] == words[0]

    def _enter(self) -> None:
        if self.list.currentRow() < 0:
            return
        item = self.list.currentItem()
        end = End(*item.data(_END))
        if self._start is None:
            self._start = end
            self._next()
            return
        self.hide()
        self.chosen.emit(self._start, end)


def _words(end: End) -> str:
    return f"{end.tag}  {end.port.replace('_', ' ')}"
