# SPDX-License-Identifier: MIT
"""The way back to a field's default: an entry in the context menu of its label and its editor."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import msgspec
from PySide6.QtCore import QEvent, QObject, QPoint, Signal
from PySide6.QtGui import QAction, QContextMenuEvent
from PySide6.QtWidgets import QAbstractScrollArea, QLineEdit, QMenu, QPlainTextEdit, QWidget

from app.panels.fields import Field
from app.translation import tr


class Reset(QObject):
    """Offers the default where a field has one and its value is another.

    Attributes
    ----------
    asked : Signal
        The default is wanted.
    action : QAction
        What the menus show.
    """

    asked = Signal()

    def __init__(self, field: Field, parent: QObject) -> None:
        super().__init__(parent)
        self._default = field.default
        self.action = QAction(self)
        self.action.setVisible(False)
        self.action.triggered.connect(lambda: self.asked.emit())

    def offer(self, values: Sequence[object], text: Callable[[], str]) -> None:
        """Offer the default, which ``text`` writes, if any of the values is another."""
        differs = self._default is not msgspec.NODEFAULT and any(value != self._default for value in values)
        self.action.setVisible(differs)
        if differs:
            self.action.setText(tr("Back to the &default ({0})").format(text() or tr("empty")))

    def watch(self, *widgets: QWidget) -> None:
        """Put the entry into the context menus of widgets."""
        for widget in widgets:
            widget.installEventFilter(self)
            if isinstance(widget, QAbstractScrollArea):
                widget.viewport().installEventFilter(self)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if not isinstance(event, QContextMenuEvent) or not self.action.isVisible():
            return False
        editor = watched.parent() if isinstance(watched.parent(), QPlainTextEdit) else watched
        menu = (
            editor.createStandardContextMenu() if isinstance(editor, QLineEdit | QPlainTextEdit) else QMenu()
        )
        before = menu.actions()
        if before:
            menu.insertAction(before[0], self.action)
            menu.insertSeparator(before[0])
        else:
            menu.addAction(self.action)
        self.open(menu, event.globalPos())
        menu.deleteLater()
        return True

    def open(self, menu: QMenu, at: QPoint) -> None:
        """Open a menu and wait until it is closed."""
        menu.exec(at)
