# SPDX-License-Identifier: MIT
"""One layer of the picture as an item of the scene."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QRectF, QSize, Qt
from PySide6.QtGui import QPainter, QPixmap, QTransform
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


class KeptLayer(Layer):
    """A layer that seldom changes: where neither it nor the view did, it is painted from a picture."""

    def __init__(self, paint: Paint, z: float) -> None:
        super().__init__(paint, z)
        self._seen: tuple[QTransform, QSize, float] | None = None
        self._picture: QPixmap | None = None

    def changed(self) -> None:
        """Forget the picture: what the layer shows is another thing now."""
        self._seen = self._picture = None

    def paint(
        self, painter: QPainter, option: QStyleOptionGraphicsItem, widget: QWidget | None = None
    ) -> None:
        if widget is None:
            super().paint(painter, option, widget)
            return
        sees = (painter.worldTransform(), widget.size(), widget.devicePixelRatioF())
        if sees != self._seen:
            # While the view moves each frame is another, and a picture would cost more than it saves.
            self._seen, self._picture = sees, None
            super().paint(painter, option, widget)
            return
        if self._picture is None:
            self._picture = self._painted(painter, *sees)
        painter.save()
        painter.resetTransform()
        painter.drawPixmap(0, 0, self._picture)
        painter.restore()

    def _painted(self, like: QPainter, transform: QTransform, size: QSize, ratio: float) -> QPixmap:
        """Return the layer as a picture of the whole view."""
        picture = QPixmap(size * ratio)
        picture.setDevicePixelRatio(ratio)
        picture.fill(Qt.GlobalColor.transparent)
        painter = QPainter(picture)
        painter.setRenderHints(like.renderHints())
        painter.setTransform(transform)
        back, _ = transform.inverted()
        self._paint(
            painter, to_rect(back.mapRect(QRectF(0, 0, size.width(), size.height()))), transform.m11()
        )
        painter.end()
        return picture


def to_rect(rect: QRectF) -> Rect:
    """Return a rectangle of Qt as the drawing's own."""
    return Rect(rect.left(), rect.top(), rect.right(), rect.bottom())


def from_rect(rect: Rect) -> QRectF:
    """Return a rectangle of the drawing as Qt's."""
    return QRectF(rect.left, rect.top, rect.right - rect.left, rect.bottom - rect.top)
