# SPDX-License-Identifier: MIT
"""F1: the help panel in its dock, opened at what tells of the panel that has the keyboard."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication, QDockWidget, QMainWindow, QTabWidget, QWidget

from app.panels.help_pages import HelpPages
from app.panels.help_panel import HelpPanel
from app.panels.shown import Shown
from app.shipped import shipped
from app.translation import tr
from app.window.title_bar import TitleBar

#: Width that tables of the pages need [px].
_WIDTH = 480


class Help:
    """The dock, closed at first; it works without a network."""

    def __init__(self, window: QMainWindow, beside: QDockWidget, shown: Shown) -> None:
        self._window = window
        self.panel = HelpPanel(HelpPages(shipped("docs")), shown)
        self.dock = QDockWidget(tr("Help"), window)
        self.dock.setObjectName("help")
        self.dock.setWidget(self.panel)
        self.dock.setTitleBarWidget(TitleBar(self.dock))
        window.addDockWidget(Qt.DockWidgetArea.RightDockWidgetArea, self.dock)
        window.setTabPosition(Qt.DockWidgetArea.RightDockWidgetArea, QTabWidget.TabPosition.North)
        window.tabifyDockWidget(beside, self.dock)
        self.dock.hide()

    def show_here(self) -> None:
        """Open help at what tells of where the keyboard is."""
        self.show_context(context_of(QApplication.focusWidget()))

    def show_context(self, name: str) -> None:
        """Open help at what tells of a panel or tool."""
        self.panel.show_context(name)
        if not self.dock.isVisible():
            self.dock.show()
            self._window.resizeDocks([self.dock], [_WIDTH], Qt.Orientation.Horizontal)
        self.dock.raise_()
        self.panel.browser.setFocus(Qt.FocusReason.ShortcutFocusReason)


def context_of(widget: QWidget | None) -> str:
    """Return the name of the panel a widget is in; the drawing's outside all of them."""
    while widget is not None:
        if isinstance(widget, QDockWidget) or widget.objectName() in ("empty", "first_loop"):
            return widget.objectName()
        widget = widget.parentWidget()
    return "canvas"
