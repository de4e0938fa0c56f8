# SPDX-License-Identifier: MIT
"""F6 and Shift+F6: the keyboard goes from pane to pane."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication, QWidget

from app.window.docks import Docks


class Panes:
    """The canvas and the panels that can be seen, in a circle."""

    def __init__(self, canvas: QWidget, docks: Docks) -> None:
        self._canvas, self._docks = canvas, docks

    def go(self, step: int) -> None:
        """Put the keyboard into the next pane, or the one before for ``step`` = -1."""
        panes = [pane for pane in (self._canvas, *self._docks.panes()) if pane.isVisible()]
        if not panes:
            return
        here = self._pane_of(QApplication.focusWidget(), panes)
        target = panes[(here + step) % len(panes)]
        _into(target)

    def go_to(self, pane: QWidget) -> None:
        """Put the keyboard into a pane."""
        if pane.isVisible():
            _into(pane)

    @staticmethod
    def _pane_of(widget: QWidget | None, panes: list[QWidget]) -> int:
        for index, pane in enumerate(panes):
            if widget is not None and (widget is pane or pane.isAncestorOf(widget)):
                return index
        return -1 if widget is None else 0


def _into(pane: QWidget) -> None:
    """Give the keyboard to a pane, or to the first of its widgets that takes it."""
    reason = Qt.FocusReason.TabFocusReason
    if pane.focusPolicy() & Qt.FocusPolicy.TabFocus:
        pane.setFocus(reason)
        return
    widget = pane.nextInFocusChain()
    while widget is not None and widget is not pane:
        takes_keys = bool(widget.focusPolicy() & Qt.FocusPolicy.TabFocus)
        if takes_keys and widget.isVisible() and pane.isAncestorOf(widget):
            widget.setFocus(reason)
            return
        widget = widget.nextInFocusChain()
