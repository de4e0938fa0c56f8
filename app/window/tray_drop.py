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
    part_left : Signal
        It was dragged away again.
    """

    part_dragged = Signal(str, str)
    part_left = Signal()

    def __init__(self, view: QGraphicsView) -> None:
        super().__init__(view)
        self._port = view.viewport()
        self._port.setAcceptDrops(True)
        self._port.installEventFilter(self)
        self._is_over = False

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() == QEvent.Type.DragLeave and self._is_over:
            self._is_over = False
            self.part_left.emit()
            return True
        if not isinstance(event, QDropEvent):
            return False
        if not event.mimeData().hasFormat(PART_MIME):
            # The window takes files; the view would keep them from it and do nothing with them.
            event.ignore()
            return True
        event.acceptProposedAction()
        self._is_over = event.type() != QEvent.Type.Drop
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
