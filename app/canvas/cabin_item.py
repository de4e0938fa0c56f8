# SPDX-License-Identifier: MIT
"""One cabin as it is drawn: a pale room with its name."""

from __future__ import annotations

from collections.abc import Iterable

from PySide6.QtCore import QPointF
from PySide6.QtGui import QColor, QFontMetricsF, QPainter, QPainterPath, QPolygonF

from app.canvas.pens import pen
from app.theme import SMALL_PX, Theme, ui_font
from solver.vessel.footprint import Rect
from solver.vessel.vessel import Cabin

#: Space between a room's wall and its name [px].
_MARGIN = 7.0


class CabinItem:
    """A cabin's outline; ``cabin.outline`` has at least three points."""

    __slots__ = ("cabin", "path", "rect", "tag")

    def __init__(self, cabin: Cabin) -> None:
        self.cabin, self.tag = cabin, cabin.tag
        self.path = QPainterPath()
        self.path.addPolygon(QPolygonF([QPointF(*point) for point in (*cabin.outline, cabin.outline[0])]))
        xs, ys = [x for x, _ in cabin.outline], [y for _, y in cabin.outline]
        self.rect = Rect(min(xs) - 1, min(ys) - 1, max(xs) + 1, max(ys) + 1)

    @property
    def title(self) -> str:
        """The name that stands in the room."""
        return self.cabin.name or self.tag

    def title_box(self, scale: float) -> Rect | None:
        """Return the area of the name at a zoom; None where it does not fit into the room."""
        metrics = QFontMetricsF(ui_font(SMALL_PX))
        unit = max(1.0, 1 / scale)
        margin = _MARGIN * unit
        left, top, right, bottom = self.rect
        width, height = metrics.horizontalAdvance(self.title) * unit, metrics.height() * unit
        if width + 2 * margin > right - left or height + 2 * margin > bottom - top:
            return None
        return Rect(left + margin, top + margin, left + margin + width, top + margin + height)

    def drawn_as(self) -> tuple[object, ...]:
        """Return all that its look depends on."""
        return (self.tag, self.cabin.outline, self.title)


def paint_cabins(painter: QPainter, cabins: Iterable[CabinItem], scale: float, theme: Theme) -> None:
    """Paint rooms and then their names, which never fall below what can be read."""
    visible = list(cabins)
    painter.setBrush(QColor(theme.room))
    painter.setPen(pen(theme.grid, 1.5, scale))
    for item in visible:
        painter.drawPath(item.path)
    font = ui_font(SMALL_PX)
    ascent = QFontMetricsF(font).ascent()
    painter.setPen(QColor(theme.soft))
    for item in visible:
        box = item.title_box(scale)
        if box is None:
            continue
        painter.save()
        painter.translate(box.left, box.top)
        unit = max(1.0, 1 / scale)
        painter.scale(unit, unit)
        painter.setFont(font)
        painter.drawText(QPointF(0, ascent), item.title)
        painter.restore()
