# SPDX-License-Identifier: MIT
"""A part dragged from the tray onto the canvas: the drag becomes the pointer of the placing tool."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QObject, QPointF, Qt, Signal
from PySide6.QtGui import QDropEvent, QMouseEvent
from PySide6.QtWidgets import QApplication, QGraphicsView

from app.panels.parts_tray import PART_MIME

_NONE, _LEFT = Qt.MouseButton.NoButton, Qt.MouseButton.LeftButton


class TrayDrop(QObject):
    """Takes what is dragged over a view.

    Attributes
    ----------
    part_dragged : Signal(str, str)
        Kind and model of the part that has come over the view.
    """

    part_dragged = Signal(str, str)

    def __init__(self, view: QGraphicsView) -> None:
        super().__init__(view)
        self._port = view.viewport()
        self._port.setAcceptDrops(True)
        self._port.installEventFilter(self)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if not isinstance(event, QDropEvent) or not event.mimeData().hasFormat(PART_MIME):
            return False
        event.acceptProposedAction()
        if event.type() == QEvent.Type.DragEnter:
            text = bytes(event.mimeData().data(PART_MIME).data()).decode()
            kind, _, model = text.partition("\n")
            self.part_dragged.emit(kind, model)
        elif event.type() == QEvent.Type.DragMove:
            self._send(QEvent.Type.MouseMove, event.position(), _NONE, _NONE)
        elif event.type() == QEvent.Type.Drop:
            self._send(QEvent.Type.MouseMove, event.position(), _NONE, _NONE)
            self._send(QEvent.Type.MouseButtonPress, event.position(), _LEFT, _LEFT)
            self._send(QEvent.Type.MouseButtonRelease, event.position(), _LEFT, _NONE)
        return True

    def _send(self, kind: QEvent.Type, at: QPointF, button: Qt.MouseButton, buttons: Qt.MouseButton) -> None:
        place = QPointF(self._port.mapToGlobal(at))
        QApplication.sendEvent(
            self._port, QMouseEvent(kind, at, place, button, buttons, Qt.KeyboardModifier.NoModifier)
        )
