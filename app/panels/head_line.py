# SPDX-License-Identifier: MIT
"""A panel's head: some widgets in a row with a text beside them, or below them where it is narrow."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QGridLayout, QLabel, QSizePolicy, QWidget

from app.theme import HALF_SPACE, SPACE

#: Less width than this beside the widgets, and the text goes below them [px].
_LEAST_TEXT = 260


class HeadLine(QWidget):
    """Holds the widgets and the text, a label that wraps."""

    def __init__(self, widgets: Sequence[QWidget], text: QLabel, parent: QWidget) -> None:
        super().__init__(parent)
        self._widgets, self._text, self._is_below = tuple(widgets), text, False
        text.setWordWrap(True)
        text.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Preferred)
        self._grid = QGridLayout(self)
        self._grid.setContentsMargins(SPACE, HALF_SPACE, SPACE, HALF_SPACE)
        self._grid.setSpacing(SPACE)
        for column, widget in enumerate(self._widgets):
            self._grid.addWidget(widget, 0, column)
        self._grid.addWidget(text, 0, len(self._widgets))
        self._grid.setColumnStretch(len(self._widgets), 1)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        taken = sum(widget.sizeHint().width() + SPACE for widget in self._widgets if not widget.isHidden())
        below = self.width() - taken < _LEAST_TEXT
        if below != self._is_below:
            self._is_below = below
            self._grid.removeWidget(self._text)
            if below:
                self._grid.addWidget(self._text, 1, 0, 1, len(self._widgets) + 1)
            else:
                self._grid.addWidget(self._text, 0, len(self._widgets))
