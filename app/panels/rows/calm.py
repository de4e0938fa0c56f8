# SPDX-License-Identifier: MIT
"""Sliders and choices that leave the mouse wheel to the sheet they lie on, unless they have the focus."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QWheelEvent
from PySide6.QtWidgets import QComboBox, QSlider, QWidget

from app.theme import SPACE

#: Most width of a choice's list [px].
_WIDEST_LIST = 560


class CalmSlider(QSlider):
    """A horizontal slider that scrolling past does not move."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(Qt.Orientation.Horizontal, parent)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)

    def wheelEvent(self, event: QWheelEvent) -> None:
        if self.hasFocus():
            super().wheelEvent(event)
        else:
            event.ignore()


class CalmComboBox(QComboBox):
    """A choice that scrolling past does not change."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        self.setMinimumContentsLength(8)

    def showPopup(self) -> None:
        # The list may be wider than the field, so that what follows a long name can be read.
        wanted = self.view().sizeHintForColumn(0) + 2 * SPACE
        self.view().setMinimumWidth(min(wanted, _WIDEST_LIST))
        super().showPopup()

    def wheelEvent(self, event: QWheelEvent) -> None:
        if self.hasFocus():
            super().wheelEvent(event)
        else:
            event.ignore()
