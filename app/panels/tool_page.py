# SPDX-License-Identifier: MIT
"""The page of a tool in hand, in the place of the property sheet: a title and forms under it."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QFrame, QLabel, QScrollArea, QVBoxLayout, QWidget

from app.theme import HALF_SPACE


class ToolPage(QScrollArea):
    """Scrolls what a tool asks for."""

    def __init__(self, title: str, *forms: QWidget) -> None:
        super().__init__()
        self.setWidgetResizable(True)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setAccessibleName(title)
        content = QWidget(self)
        layout = QVBoxLayout(content)
        layout.setContentsMargins(16, 8, 16, 16)
        layout.setSpacing(HALF_SPACE)
        heading = QLabel(title, content)
        heading.setProperty("role", "title")
        layout.addWidget(heading)
        for form in forms:
            layout.addWidget(form)
        layout.addStretch(1)
        self.setWidget(content)
