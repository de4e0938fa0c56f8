# SPDX-License-Identifier: MIT
"""Moves of the mouse that reach their widget whatever else is on the screen.

``QTest.mouseMove`` moves the one pointer of the screen: no event comes where it rests already, and a
window left on top by another test takes it.
"""

from __future__ import annotations

from PySide6.QtCore import QCoreApplication, QPoint, QPointF, Qt
from PySide6.QtGui import QMouseEvent
from PySide6.QtWidgets import QWidget

NO_BUTTON = Qt.MouseButton.NoButton


def move_mouse(
    widget: QWidget,
    place: QPoint,
    held: Qt.MouseButton = NO_BUTTON,
    modifiers: Qt.KeyboardModifier = Qt.KeyboardModifier.NoModifier,
) -> None:
    """Send a move of the mouse to a place in a widget, with a button and keys held or none."""
    event = QMouseEvent(
        QMouseEvent.Type.MouseMove,
        QPointF(place),
        QPointF(widget.mapToGlobal(place)),
        NO_BUTTON,
        held,
        modifiers,
    )
    QCoreApplication.sendEvent(widget, event)
