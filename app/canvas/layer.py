# SPDX-License-Identifier: MIT
"""One layer of the picture as an item of the scene."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QPainter
from PySide6.QtWidgets import QGraphicsItem, QStyleOptionGraphicsItem, QWidget

from solver.vessel.footprint import Rect

_EVERYWHERE = QRectF(-1e7, -1e7, 2e7, 2e7)

#: Paints what lies in an area at a zoom [px a unit].
Paint = Callable[[QPainter, Rect, float], None]


class Layer(QGraphicsItem):
    """Paints one layer of the picture over the whole scene."""

    def __init__(self, paint: Paint, z: float) -> None:
        super().__init__()
        self._paint = paint
        self.setZValue(z)
        self.setFlag(QGraphicsItem.GraphicsItemFlag.ItemUsesExtendedStyleOption)
        self.setAcceptedMouseButtons(Qt.MouseButton.NoButton)

    def boundingRect(self) -> QRectF:
        return _EVERYWHERE

    def paint(
        self, painter: QPainter, option: QStyleOptionGraphicsItem, widget: QWidget | None = None
    ) -> None:
        self._paint(painter, to_rect(option.exposedRect), painter.worldTransform().m11())


def to_rect(rect: QRectF) -> Rect:
    """Return a rectangle of Qt as the drawing's own."""
    return Rect(rect.left(), rect.top(), rect.right(), rect.bottom())


def from_rect(rect: Rect) -> QRectF:
    """Return a rectangle of the drawing as Qt's."""
    return QRectF(rect.left, rect.top, rect.right - rect.left, rect.bottom - rect.top)
