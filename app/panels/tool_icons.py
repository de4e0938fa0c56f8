# SPDX-License-Identifier: MIT
"""Small pictures of the tools that place several parts at once, for lists: supply solid, return dashed."""

from __future__ import annotations

from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QColor, QIcon, QPainter, QPen, QPixmap

from app.panels.symbol_icons import ICON_SIZE
from app.theme import Theme
from solver.vessel.fields import Point

#: Lines of each picture, solid then dashed [px of the icon]; a line that closes is filled as a box.
_Lines = tuple[tuple[Point, ...], ...]
_PICTURES: dict[str, tuple[_Lines, _Lines]] = {
    "branch": (
        (((9, 2), (23, 2), (23, 9), (9, 9), (9, 2)), ((12, 9), (12, 17)), ((4, 17), (28, 17))),
        (((20, 9), (20, 22)), ((4, 22), (28, 22))),
    ),
    "cabins": (
        (
            ((3, 3), (9, 3), (9, 8), (3, 8), (3, 3)),
            ((13, 3), (19, 3), (19, 8), (13, 8), (13, 3)),
            ((23, 3), (29, 3), (29, 8), (23, 8), (23, 3)),
            ((4.5, 8), (4.5, 16)),
            ((14.5, 8), (14.5, 16)),
            ((24.5, 8), (24.5, 16)),
            ((1, 16), (31, 16)),
        ),
        (((7.5, 8), (7.5, 21)), ((17.5, 8), (17.5, 21)), ((27.5, 8), (27.5, 21)), ((1, 21), (31, 21))),
    ),
    "pair": ((((3, 8), (20, 8), (20, 2)),), (((3, 15), (27, 15), (27, 2)),)),
    "mirror": (
        (((3, 6), (28, 6)), ((10, 6), (10, 2)), ((19, 6), (19, 2)), ((6, 15), (3, 18), (6, 21))),
        (((28, 18), (4, 18)),),
    ),
}


def tool_icon(tool: str, theme: Theme) -> QIcon:
    """Return the picture of a tool."""
    pixmap = QPixmap(ICON_SIZE * 2)
    pixmap.setDevicePixelRatio(2.0)
    pixmap.fill(Qt.GlobalColor.transparent)
    painter = QPainter(pixmap)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    ink, panel = QColor(theme.ink), QColor(theme.panel)
    for lines, style in zip(_PICTURES[tool], (Qt.PenStyle.SolidLine, Qt.PenStyle.DashLine), strict=True):
        pen = QPen(ink, 1.3, style)
        if style == Qt.PenStyle.DashLine:
            pen.setDashPattern([2.0, 1.5])
        painter.setPen(pen)
        for line in lines:
            points = [QPointF(*point) for point in line]
            if line[0] == line[-1]:
                painter.setBrush(panel)
                painter.drawPolygon(points)
            else:
                painter.drawPolyline(points)
    painter.end()
    return QIcon(pixmap)
