# SPDX-License-Identifier: MIT
"""The ring round a widget that paints itself while it has the keyboard."""

from __future__ import annotations

from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen
from PySide6.QtWidgets import QWidget

from app.theme import HALF_SPACE, Theme

#: Width of every focus ring [px], as WCAG 2.2, 2.4.13 has it.
RING = 2.0


def paint_focus_ring(painter: QPainter, widget: QWidget, theme: Theme) -> None:
    """Paint the ring just inside a widget; nothing without the focus."""
    if widget.hasFocus():
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(QPen(QColor(theme.accent), RING))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        inside = QRectF(widget.rect()).adjusted(RING / 2, RING / 2, -RING / 2, -RING / 2)
        painter.drawRoundedRect(inside, HALF_SPACE, HALF_SPACE)
        painter.restore()
