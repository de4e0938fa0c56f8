# SPDX-License-Identifier: MIT
"""What stands in the canvas's place while there is nothing on the drawing: one line, three buttons."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QPainter, QPainterPath, QPaintEvent, QPen
from PySide6.QtWidgets import QHBoxLayout, QLabel, QPushButton, QVBoxLayout, QWidget

from app.panels.shown import Shown
from app.translation import tr
from app.window.actions import Actions


class _Boat(QWidget):
    """A hull with a loop in it, in the drawing's own strokes."""

    def __init__(self, shown: Shown, parent: QWidget) -> None:
        super().__init__(parent)
        self._shown = shown
        self.setFixedSize(QSize(280, 120))
        shown.theme_changed.connect(self.update)

    def paintEvent(self, _event: QPaintEvent) -> None:
        theme = self._shown.theme
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        hull = QPainterPath(QPointF(10, 46))
        hull.cubicTo(QPointF(120, 50), QPointF(220, 44), QPointF(270, 28))
        hull.cubicTo(QPointF(250, 74), QPointF(226, 96), QPointF(196, 98))
        hull.lineTo(36, 98)
        hull.cubicTo(QPointF(20, 92), QPointF(12, 72), QPointF(10, 46))
        painter.setPen(QPen(QColor(theme.soft), 2))
        painter.setBrush(QColor(theme.room))
        painter.drawPath(hull)
        painter.setPen(QPen(QColor(theme.sea), 1.5))
        painter.drawLine(QPointF(0, 80), QPointF(17, 80))
        painter.drawLine(QPointF(239, 80), QPointF(280, 80))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.setPen(QPen(QColor(theme.fresh), 2.5))
        painter.drawRoundedRect(QRectF(60, 62, 130, 24), 4, 4)
        painter.setPen(QPen(QColor(theme.ink), 2))
        painter.setBrush(QColor(theme.panel))
        painter.drawEllipse(QPointF(84, 86), 8, 8)
        for x in (100, 134, 168):
            painter.drawRect(QRectF(x - 10, 54, 20, 14))
        painter.end()


class EmptyState(QWidget):
    """One line and three buttons; it goes when there is something on the drawing."""

    def __init__(
        self,
        shown: Shown,
        actions: Actions,
        open_sample: Callable[[], None],
        begin: Callable[[], None],
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self.setObjectName("empty")
        self.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        line = QLabel(tr("Draw a loop, or open a vessel, and see what every cabin gets."), self)
        line.setObjectName("empty_line")
        line.setWordWrap(True)
        line.setAlignment(Qt.AlignmentFlag.AlignHCenter)
        self.buttons: list[QPushButton] = []
        row = QHBoxLayout()
        row.addStretch()
        for text, act in (
            (tr("Start from the sample"), open_sample),
            (tr("Open a vessel…"), actions["open"].trigger),
            (tr("Draw a new vessel"), begin),
        ):
            button = QPushButton(text, self)
            button.clicked.connect(lambda _checked=False, act=act: act())
            row.addWidget(button)
            self.buttons.append(button)
        self.buttons[0].setDefault(True)
        row.addStretch()
        layout = QVBoxLayout(self)
        layout.setSpacing(16)
        layout.addStretch(2)
        layout.addWidget(_Boat(shown, self), 0, Qt.AlignmentFlag.AlignHCenter)
        layout.addWidget(line)
        layout.addLayout(row)
        layout.addStretch(3)
