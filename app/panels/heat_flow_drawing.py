# SPDX-License-Identifier: MIT
"""Draws where each kW goes: plates with names and figures, streams as wide as their heat between them."""

from __future__ import annotations

from typing import NamedTuple

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFontMetricsF, QPainter, QPainterPath, QPen, QPolygonF

from app.panels.heat_balance import Box, HeatPicture, Stream
from app.panels.heat_figures import kilowatts
from app.theme import HALF_SPACE, RADIUS, SMALL_PX, SPACE, Theme, ui_font
from app.units import System

#: Height of the lowest plate, space between two, widest plate, least length of a stream [px].
_LEAST, _GAP, _WIDEST, _STREAM = 24.0, 7.0, 176.0, 28.0
_TEXT_PX = 12
#: Opacity of streams, and of everything that is behind the drawing.
_STREAM_OPACITY, _BEHIND_OPACITY = 0.45, 0.4
_COLUMNS = 4


class Plates(NamedTuple):
    """Where the boxes are: key -> rectangle, and pixels a watt."""

    rects: dict[str, QRectF]
    per_watt: float


def lay_out(picture: HeatPicture, area: QRectF) -> Plates:
    """Return where the boxes of a picture go: each column in the middle of the height."""
    columns = [[box for box in picture.boxes if box.column == column] for column in range(_COLUMNS)]
    per_watt = _scale(columns, area.height())
    width = min(_WIDEST, (area.width() - (_COLUMNS - 1) * _STREAM) / _COLUMNS)
    step = (area.width() - width) / (_COLUMNS - 1)
    rects = {}
    for number, boxes in enumerate(columns):
        heights = [max(_LEAST, per_watt * box.heat_W) for box in boxes]
        top = area.top() + (area.height() - sum(heights) - _GAP * max(len(boxes) - 1, 0)) / 2
        for box, height in zip(boxes, heights, strict=True):
            rects[box.key] = QRectF(area.left() + number * step, top, width, height)
            top += height + _GAP
    return Plates(rects, per_watt)


def _scale(columns: list[list[Box]], height: float) -> float:
    """Return the most pixels a watt at which every column fits."""
    low, high = 0.0, height / max((box.heat_W for boxes in columns for box in boxes), default=1.0)
    for _ in range(40):
        middle = (low + high) / 2
        fits = all(
            sum(max(_LEAST, middle * box.heat_W) + _GAP for box in boxes) - _GAP <= height
            for boxes in columns
        )
        low, high = (middle, high) if fits else (low, middle)
    return low


def draw_heat(
    painter: QPainter, picture: HeatPicture, area: QRectF, theme: Theme, units: System, *, behind: bool
) -> Plates:
    """Draw a picture into an area; return where its boxes are."""
    plates = lay_out(picture, area)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setOpacity(_BEHIND_OPACITY if behind else 1.0)
    _draw_streams(painter, picture.streams, plates, theme)
    for box in picture.boxes:
        _draw_box(painter, box, plates.rects[box.key], theme, units)
    painter.setOpacity(1.0)
    return plates


def _draw_streams(painter: QPainter, streams: tuple[Stream, ...], plates: Plates, theme: Theme) -> None:
    out = _edges(streams, plates, at_start=True)
    into = _edges(streams, plates, at_start=False)
    for number, stream in enumerate(streams):
        start, end = plates.rects[stream.start], plates.rects[stream.end]
        height = plates.per_watt * stream.heat_W
        colour = QColor(getattr(theme, stream.colour))
        _draw_stream(
            painter, QPointF(start.right(), out[number]), QPointF(end.left(), into[number]), height, colour
        )


def _edges(streams: tuple[Stream, ...], plates: Plates, *, at_start: bool) -> dict[int, float]:
    """Return stream's number -> the top of its end; those of a box are stacked by where they go."""
    found: dict[int, float] = {}
    keys = [stream.start if at_start else stream.end for stream in streams]
    for key in set(keys):
        mine = [number for number, each in enumerate(keys) if each == key]
        mine.sort(key=lambda number: _other(streams[number], plates, at_start=at_start))
        whole = plates.per_watt * sum(streams[number].heat_W for number in mine)
        top = plates.rects[key].center().y() - whole / 2
        for number in mine:
            found[number] = top
            top += plates.per_watt * streams[number].heat_W
    return found


def _other(stream: Stream, plates: Plates, *, at_start: bool) -> float:
    return float(plates.rects[stream.end if at_start else stream.start].center().y())


def _draw_stream(painter: QPainter, start: QPointF, end: QPointF, height: float, colour: QColor) -> None:
    bend = QPointF((end.x() - start.x()) / 2, 0.0)
    down = QPointF(0.0, height)
    path = QPainterPath(start)
    path.cubicTo(start + bend, end - bend, end)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    if height < 1.5:
        painter.setPen(QPen(colour, 1.5))
        painter.drawPath(path)
    else:
        path.lineTo(end + down)
        path.cubicTo(end + down - bend, start + down + bend, start + down)
        path.closeSubpath()
        pale = QColor(colour)
        pale.setAlphaF(_STREAM_OPACITY)
        painter.fillPath(path, pale)
    middle = (start + end + down) / 2
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(colour)
    size = 4.0
    painter.drawPolygon(
        QPolygonF(
            [
                middle + QPointF(size, 0.0),
                middle + QPointF(-size, -size),
                middle + QPointF(-size, size),
            ]
        )
    )


def _draw_box(painter: QPainter, box: Box, rect: QRectF, theme: Theme, units: System) -> None:
    painter.setPen(QPen(QColor(getattr(theme, box.colour)), 1.5))
    painter.setBrush(QColor(theme.paper))
    painter.drawRoundedRect(rect.adjusted(0.75, 0.75, -0.75, -0.75), RADIUS, RADIUS)
    inner = rect.adjusted(SPACE, 0, -SPACE, 0)
    figure = kilowatts(box.heat_W, units)
    bold, plain = ui_font(_TEXT_PX, bold=True), ui_font(SMALL_PX)
    wide = QFontMetricsF(bold).horizontalAdvance(figure)
    middle = Qt.AlignmentFlag.AlignVCenter
    painter.setFont(bold)
    painter.setPen(QColor(theme.ink))
    painter.drawText(inner, middle | Qt.AlignmentFlag.AlignRight, figure)
    painter.setFont(plain)
    painter.setPen(QColor(theme.soft))
    room = inner.width() - wide - HALF_SPACE
    name = QFontMetricsF(plain).elidedText(box.name, Qt.TextElideMode.ElideRight, room)
    painter.drawText(inner, middle | Qt.AlignmentFlag.AlignLeft, name)
