# SPDX-License-Identifier: MIT
"""Paints the components: whole symbols near by, their outlines farther off, plain boxes from afar."""

from __future__ import annotations

from dataclasses import dataclass, field

from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPainterPath, QPen

from app.canvas.component_item import ComponentItem
from app.canvas.detail import DOTS_FROM, Detail, Level
from app.canvas.drawn_way import root_of
from app.canvas.layer import from_rect
from app.canvas.pens import pen
from app.canvas.symbols import FINE_STROKE, STROKE
from app.canvas.tiles import Tile, Tiles, grown
from app.overlay.difference import NAME as DIFFERENCE
from app.overlay.quantities import Overlay
from app.theme import Theme
from solver.vessel.footprint import Rect, port_place

#: Width of the coloured rim inside an air handler, and how far its middle lies inside the body [units].
_RIM, _RIM_INSET = 3.5, 3.75
#: Least width of a fine stroke, as a share of that of others.
_FINER = 2 / 3
#: Share of a small part's body that its dot covers from afar.
_DOT = 0.7
#: Names of what is made for tiles: from the symbols, and from the values over them.
_SYMBOLS, VALUES = "symbols", "values"
#: Overlays that colour the air handlers too.
OF_AIR_HANDLERS = frozenset(("share", DIFFERENCE))


@dataclass
class _Joined:
    """The joined paths of a tile."""

    outline: QPainterPath = field(default_factory=QPainterPath)
    lines: QPainterPath = field(default_factory=QPainterPath)
    fine: QPainterPath = field(default_factory=QPainterPath)
    solid: QPainterPath = field(default_factory=QPainterPath)
    stubs: QPainterPath = field(default_factory=QPainterPath)


def paint_components(
    tiles: Tiles[ComponentItem],
    painter: QPainter,
    exposed: Rect,
    detail: Detail,
    theme: Theme,
) -> None:
    """Paint the components that reach into ``exposed``."""
    for tile in tiles.tiles_in(exposed, detail.level):
        if detail.level is Level.FAR:
            _paint_boxes(tile, painter, detail.scale, theme)
        else:
            _paint_symbols(tile, painter, detail, theme)


def paint_values(
    tiles: Tiles[ComponentItem],
    painter: QPainter,
    exposed: Rect,
    detail: Detail,
    theme: Theme,
    overlay: Overlay | None,
) -> None:
    """Colour the air handlers in ``exposed`` by value where the overlay is of them: rims, from afar all."""
    if overlay is None or overlay.name not in OF_AIR_HANDLERS:
        return
    scale, level, least = detail
    inset = {Level.WHOLE: _RIM_INSET, Level.PLAIN: STROKE / 2, Level.FAR: 0.0}[level]
    for tile in tiles.tiles_in(exposed, level):
        for colour, rects in _values(tile, overlay, inset=inset).items():
            if level is Level.WHOLE:
                painter.setPen(pen(colour, _RIM, scale))
                painter.setBrush(Qt.BrushStyle.NoBrush)
            else:
                painter.setPen(_far_pen(theme, scale) if level is Level.FAR else _stroke(theme, scale, least))
                painter.setBrush(QColor(colour))
            painter.drawRects(rects)


def _stroke(theme: Theme, scale: float, least: float) -> QPen:
    return pen(theme.ink, STROKE, scale, least_px=least)


def _far_pen(theme: Theme, scale: float) -> QPen:
    # Lines of one pixel are painted many times faster than wider ones.
    return pen(theme.ink, 0.0, scale, least_px=1.0)


def _paint_symbols(tile: Tile[ComponentItem], painter: QPainter, detail: Detail, theme: Theme) -> None:
    scale, least, whole = detail.scale, detail.least_px, detail.level is Level.WHOLE
    made = tile.made.get(_SYMBOLS)
    if made is None:
        made = tile.made[_SYMBOLS] = _joined(tile, whole=whole)
    stroke, none = _stroke(theme, scale, least), Qt.BrushStyle.NoBrush
    painter.setBrush(none)
    painter.setPen(pen(theme.soft, STROKE, scale, least_px=least))
    _draw(painter, made.stubs)
    painter.setPen(stroke)
    painter.setBrush(QColor(theme.paper))
    _draw(painter, made.outline)
    if whole:
        painter.setBrush(none)
        painter.setPen(stroke)
        _draw(painter, made.lines)
        painter.setPen(pen(theme.ink, FINE_STROKE, scale, least_px=least * _FINER))
        _draw(painter, made.fine)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(QColor(theme.ink))
    _draw(painter, made.solid)


def _draw(painter: QPainter, path: QPainterPath) -> None:
    # An empty path is nothing on a screen but an error in an svg file.
    if not path.isEmpty():
        painter.drawPath(path)


def _paint_boxes(tile: Tile[ComponentItem], painter: QPainter, scale: float, theme: Theme) -> None:
    made = tile.made.get(_SYMBOLS)
    if made is None:
        boxes: tuple[list[QRectF], list[QRectF]] = ([], [])
        for item in tile.items.values():
            boxes[item.large].append(_box(item.body, 1.0 if item.large else _DOT))
        made = tile.made[_SYMBOLS] = boxes
    dots, large = made
    if scale >= DOTS_FROM:
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(QColor(theme.soft))
        painter.drawRects(dots)
    painter.setPen(_far_pen(theme, scale))
    painter.setBrush(QColor(theme.paper))
    painter.drawRects(large)


def _box(rect: Rect, share: float = 1.0) -> QRectF:
    """Return a rectangle, or the middle ``share`` of it."""
    left, top, right, bottom = rect
    width, height = (right - left) * share, (bottom - top) * share
    return QRectF((left + right - width) / 2, (top + bottom - height) / 2, width, height)


def _joined(tile: Tile[ComponentItem], *, whole: bool) -> _Joined:
    made = _Joined()
    for item in tile.items.values():
        x, y = item.component.at
        symbol = item.symbol
        made.outline.addPath(symbol.outline.translated(x, y))
        if whole or not item.large:
            made.solid.addPath(symbol.solid.translated(x, y))
        if whole:
            made.lines.addPath(symbol.lines.translated(x, y))
            made.fine.addPath(symbol.fine.translated(x, y))
        for port in item.open_ports:
            made.stubs.moveTo(*root_of(item.component, port))
            made.stubs.lineTo(*port_place(item.component, port))
    for path in (made.outline, made.solid):
        path.setFillRule(Qt.FillRule.WindingFill)
    return made


def _values(tile: Tile[ComponentItem], overlay: Overlay, *, inset: float) -> dict[str, list[QRectF]]:
    """Return colour -> rectangles inside the air handlers of that colour."""
    values: dict[str, list[QRectF]] | None = tile.made.get(VALUES)
    if values is None:
        values = tile.made[VALUES] = {}
        for item in tile.items.values():
            colour = overlay.colour(item.tag) if item.kind == "air_handler" else None
            if colour is not None:
                values.setdefault(colour, []).append(from_rect(grown(item.body, -inset)))
    return values
