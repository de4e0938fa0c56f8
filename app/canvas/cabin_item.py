# SPDX-License-Identifier: MIT
"""One cabin as it is drawn: a pale room with its name."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import NamedTuple

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFontMetricsF, QPainter, QPainterPath, QPolygonF

from app.canvas.detail import Detail, Level
from app.canvas.pens import pen
from app.canvas.tiles import Tile, Tiles
from app.theme import SMALL_PX, Theme, ui_font
from solver.vessel.footprint import Rect
from solver.vessel.vessel import Cabin

#: Space between a room's wall and its name [px].
_MARGIN = 7.0
#: Name of what is made for tiles.
_ROOMS = "rooms"


class RoomTitle(NamedTuple):
    """The lines in a room and the area they take; ``warns`` marks its temperature, ``dim`` greys it."""

    box: Rect
    lines: tuple[str, ...]
    warns: bool = False
    dim: bool = False


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

    def title_boxes(self, scale: float, lines: Sequence[str]) -> list[Rect]:
        """Return the areas that lines may take at a zoom: the corners of the room, if they fit."""
        metrics = QFontMetricsF(ui_font(SMALL_PX))
        unit = _text_unit(scale)
        margin = _MARGIN * unit
        left, top, right, bottom = self.rect
        width = max(metrics.horizontalAdvance(line) for line in lines) * unit
        height = metrics.height() * len(lines) * unit
        if width + 2 * margin > right - left or height + 2 * margin > bottom - top:
            return []
        lefts, tops = (left + margin, right - margin - width), (top + margin, bottom - margin - height)
        return [Rect(x, y, x + width, y + height) for x in lefts for y in tops]

    def drawn_as(self) -> tuple[object, ...]:
        """Return all that its look depends on."""
        return (self.tag, self.cabin.outline, self.title)


def paint_cabins(
    tiles: Tiles[CabinItem],
    painter: QPainter,
    exposed: Rect,
    detail: Detail,
    theme: Theme,
    titles: Mapping[str, RoomTitle],
) -> None:
    """Paint the rooms that reach into ``exposed``, then the names that ``titles`` has a place for."""
    scale, level, least = detail
    painter.setBrush(QColor(theme.room))
    painter.setPen(pen(theme.grid, 1.5, scale, least_px=least))
    if level is Level.FAR:
        painter.setPen(Qt.PenStyle.NoPen)
    visible = tiles.tiles_in(exposed, level)
    for tile in visible:
        made = tile.made.get(_ROOMS)
        if made is None:
            made = tile.made[_ROOMS] = _rooms(tile)
        squares, others = made
        # Squares on the grid need no smoothing, which costs most of the time.
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, False)
        painter.drawRects(squares)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        if not others.isEmpty():
            painter.drawPath(others)
    unit = _text_unit(scale)
    for item in (item for tile in visible for item in tile.items.values() if item.tag in titles):
        title = titles[item.tag]
        painter.save()
        painter.translate(title.box.left, title.box.top)
        painter.scale(unit, unit)
        _paint_title(painter, title, item.title, theme)
        painter.restore()


def _paint_title(painter: QPainter, title: RoomTitle, name: str, theme: Theme) -> None:
    """Paint the lines of a room: its name soft, its temperature in ink, or as a warning with its words."""
    font = ui_font(SMALL_PX)
    metrics = QFontMetricsF(font)
    painter.setFont(font)
    for number, line in enumerate(title.lines):
        is_value = line != name and not title.dim
        painter.setPen(QColor((theme.warn if title.warns else theme.ink) if is_value else theme.soft))
        painter.drawText(QPointF(0, metrics.ascent() + number * metrics.height()), line)


def _rooms(tile: Tile[CabinItem]) -> tuple[list[QRectF], QPainterPath]:
    """Return the rooms of a tile that are level rectangles, and the others as one path."""
    squares: list[QRectF] = []
    others = QPainterPath()
    others.setFillRule(Qt.FillRule.WindingFill)
    for item in tile.items.values():
        corners = item.cabin.outline
        xs, ys = {x for x, _ in corners}, {y for _, y in corners}
        if len(set(corners)) == len(corners) == 4 and len(xs) == len(ys) == 2:
            squares.append(QRectF(QPointF(min(xs), min(ys)), QPointF(max(xs), max(ys))))
        else:
            others.addPath(item.path)
    return squares, others


def _text_unit(scale: float) -> float:
    """Return the size of a pixel of text [units]: names grow with the zoom but stay readable."""
    return max(1.0, 1 / scale)
