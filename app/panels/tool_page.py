# SPDX-License-Identifier: MIT
"""The page of a tool in hand, in the place of the property sheet: a title and forms under it."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QFrame, QLabel, QScrollArea, QVBoxLayout, QWidget

from app.theme import HALF_SPACE


class ToolPage(QScrollArea):
    """Scrolls what a tool asks for."""

    def __init__(self, *forms: QWidget) -> None:
        super().__init__()
        self.setWidgetResizable(True)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        # The keyboard goes to its fields.
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        content = QWidget(self)
        layout = QVBoxLayout(content)
        layout.setContentsMargins(16, 8, 16, 16)
        layout.setSpacing(HALF_SPACE)
        self._title = QLabel(content)
        self._title.setProperty("role", "title")
        layout.addWidget(self._title)
        for form in forms:
            layout.addWidget(form)
        layout.addStretch(1)
        self.setWidget(content)

    def set_title(self, title: str) -> None:
        """Say what tool is in hand."""
        self._title.setText(title)
        self.setAccessibleName(title)
