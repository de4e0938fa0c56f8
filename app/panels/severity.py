# SPDX-License-Identifier: MIT
"""How bad a finding is: a word, a shape and a colour; never the colour alone."""

from __future__ import annotations

import math

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFont, QPainter, QPen, QPolygonF

from app.theme import Theme
from app.translation import tr

#: From the worst to the mildest.
SEVERITIES = ("bad", "warn", "note")


def severity_word(severity: str) -> str:
    """Return the word for a severity."""
    return {
        "bad": tr("Will not work"),
        "warn": tr("Look at this"),
        "note": tr("Note"),
    }.get(severity, severity)


def severity_count(severity: str, number: int) -> str:
    """Return how many findings there are of a severity, in words."""
    one, several = {
        "bad": (tr("1 will not work"), tr("{0} will not work")),
        "warn": (tr("1 to look at"), tr("{0} to look at")),
        "note": (tr("1 note"), tr("{0} notes")),
    }[severity]
    return one if number == 1 else several.format(number)


def severity_colour(severity: str, theme: Theme) -> QColor:
    """Return the colour that goes with a severity."""
    return QColor({"bad": theme.bad, "warn": theme.warn}.get(severity, theme.soft))


def draw_severity(painter: QPainter, place: QRectF, severity: str, colour: QColor) -> None:
    """Draw a severity's shape: octagon, triangle or circle, with a mark inside."""
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setPen(QPen(colour, 1.5))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    inside = place.adjusted(1, 1, -1, -1)
    centre = inside.center()
    if severity == "bad":
        radius = inside.width() / 2
        corners = [
            QPointF(
                centre.x() + radius * math.cos(math.pi * (2 * corner + 1) / 8),
                centre.y() + radius * math.sin(math.pi * (2 * corner + 1) / 8),
            )
            for corner in range(8)
        ]
        painter.drawPolygon(QPolygonF(corners))
        mark = "!"
    elif severity == "warn":
        painter.drawPolygon(
            QPolygonF([QPointF(centre.x(), inside.top()), inside.bottomRight(), inside.bottomLeft()])
        )
        inside.moveTop(inside.top() + inside.height() * 0.12)
        mark = "!"
    else:
        painter.drawEllipse(inside)
        mark = "i"
    font = QFont(painter.font())
    font.setPixelSize(max(8, round(place.height() * 0.62)))
    font.setWeight(QFont.Weight.Bold)
    painter.setFont(font)
    painter.drawText(inside, Qt.AlignmentFlag.AlignCenter, mark)
    painter.restore()
