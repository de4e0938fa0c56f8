# SPDX-License-Identifier: MIT
"""Symbols of the drawing as small pictures, for lists."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QIcon, QPainter, QPixmap

from app.canvas.pens import pen
from app.canvas.symbols import FINE_STROKE, STROKE, Symbol, symbol_of
from app.theme import Theme
from solver.vessel.components import Component

ICON_SIZE = QSize(32, 24)
#: Most symbols are no larger than this [units]; larger ones are drawn smaller.
_ICON_UNITS = 40.0


def symbol_icon(component: Component, theme: Theme) -> QIcon:
    """Return a component's symbol as a small picture."""
    symbol = symbol_of(component)
    pixmap = QPixmap(ICON_SIZE * 2)
    pixmap.setDevicePixelRatio(2.0)
    pixmap.fill(Qt.GlobalColor.transparent)
    painter = QPainter(pixmap)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    _paint(painter, symbol, theme)
    painter.end()
    return QIcon(pixmap)


def _paint(painter: QPainter, symbol: Symbol, theme: Theme) -> None:
    rect: QRectF = symbol.rect
    size = max(_ICON_UNITS, rect.width() * ICON_SIZE.height() / ICON_SIZE.width(), rect.height())
    scale = (ICON_SIZE.height() - 2) / size
    painter.translate(QPointF(ICON_SIZE.width() / 2, ICON_SIZE.height() / 2))
    painter.scale(scale, scale)
    painter.translate(-rect.center())
    painter.setPen(pen(theme.ink, STROKE, scale, least_px=1.2))
    painter.setBrush(QColor(theme.panel))
    painter.drawPath(symbol.outline)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawPath(symbol.lines)
    painter.setPen(pen(theme.ink, FINE_STROKE, scale, least_px=0.8))
    painter.drawPath(symbol.fine)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(QColor(theme.ink))
    painter.drawPath(symbol.solid)
