# SPDX-License-Identifier: MIT
"""The title of a dock: its name, and two quiet buttons to float it and to close it."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QSize
from PySide6.QtGui import QIcon
from PySide6.QtWidgets import QDockWidget, QHBoxLayout, QLabel, QToolButton, QWidget

from app.translation import tr

_ICONS = Path(__file__).parent / "icons"


class TitleBar(QWidget):
    """Drags like any title of a dock; what it does not take goes to the dock."""

    def __init__(self, dock: QDockWidget) -> None:
        super().__init__(dock)
        label = QLabel(dock.windowTitle(), self)
        label.setProperty("role", "dock")
        layout = QHBoxLayout(self)
        layout.setContentsMargins(16, 4, 8, 0)
        layout.setSpacing(0)
        layout.addWidget(label, 1)
        for icon, text, act in (
            ("window.svg", tr("Float or dock this panel"), lambda: dock.setFloating(not dock.isFloating())),
            ("cross.svg", tr("Close this panel"), dock.close),
        ):
            button = QToolButton(self)
            button.setIcon(QIcon(str(_ICONS / icon)))
            button.setIconSize(QSize(12, 12))
            button.setProperty("role", "quiet")
            button.setToolTip(text)
            button.setAccessibleName(f"{text}: {dock.windowTitle()}")
            button.clicked.connect(lambda _checked=False, act=act: act())
            layout.addWidget(button)
