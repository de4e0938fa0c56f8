# SPDX-License-Identifier: MIT
"""The tab bars that Qt makes for docks which share a place."""

from __future__ import annotations

from PySide6.QtCore import QObject, Qt, QTimer
from PySide6.QtWidgets import QDockWidget, QMainWindow, QTabBar

from app.translation import tr

#: What a dock lies below its tabs by, at most [px].
_NEAR = 4


class TabBars(QObject):
    """Gives the tab bars a name and the keyboard, and hides those that Qt has left over.

    It lives as long as the window's docks do, which tell of themselves until they are gone.
    """

    def __init__(self, window: QMainWindow) -> None:
        super().__init__(window)
        self._window = window
        self._watched: list[QDockWidget] = []

    def name(self) -> None:
        """Give every tab bar there is now its name and the keyboard."""
        for bar in self._window.findChildren(QTabBar):
            if not bar.accessibleName():
                bar.setAccessibleName(tr("Panels"))
                bar.setDocumentMode(True)
                bar.setExpanding(False)
                bar.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        for dock in self._window.findChildren(QDockWidget):
            if dock not in self._watched:
                self._watched.append(dock)
                dock.visibilityChanged.connect(self._hide_leftovers_soon)
        self._hide_leftovers_soon()

    def _hide_leftovers_soon(self, *_what: object) -> None:
        QTimer.singleShot(0, self, self._hide_leftovers)

    def _hide_leftovers(self) -> None:
        """Hide tab bars that Qt made while panels were put together and left below them.

        Nobody sees them, but the keyboard would come to them.
        """
        tops = [dock.geometry().topLeft() for dock in self._window.findChildren(QDockWidget)]
        for bar in self._window.findChildren(QTabBar):
            if bar.parent() is self._window and self._window.isVisible():
                below = bar.geometry().bottomLeft()
                bar.setVisible(
                    any(abs(top.x() - below.x()) + abs(top.y() - below.y()) < _NEAR for top in tops)
                )
