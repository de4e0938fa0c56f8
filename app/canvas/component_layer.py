# SPDX-License-Identifier: MIT
"""Paints the components: whole symbols near by, their outlines farther off, plain boxes from afar."""

from __future__ import annotations

from dataclasses import dataclass, field

from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPainterPath

from app.canvas.component_item import ComponentItem
from app.canvas.detail import DOTS_FROM, Detail, Level
from app.canvas.drawn_way import root_of
from app.canvas.pens import pen
from app.canvas.symbols import FINE_STROKE, STROKE
from app.canvas.tiles import Tile, Tiles
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
    overlay: Overlay | None,
) -> None:
    """Paint the components that reach into ``exposed``.

    Under the overlay of the share of design flow air handlers show their value's colour.
    """
    if overlay is not None and overlay.name not in OF_AIR_HANDLERS:
        overlay = None
    for tile in tiles.tiles_in(exposed, detail.level):
        if detail.level is Level.FAR:
            _paint_boxes(tile, painter, detail.scale, theme, overlay)
        else:
            _paint_symbols(tile, painter, detail, theme, overlay)


def _paint_symbols(
    tile: Tile[ComponentItem],
    painter: QPainter,
    detail: Detail,
    theme: Theme,
    overlay: Overlay | None,
) -> None:
    scale, least, whole = detail.scale, detail.least_px, detail.level is Level.WHOLE
    made = tile.made.get(_SYMBOLS)
    if made is None:
        made = tile.made[_SYMBOLS] = _joined(tile, whole=whole)
    stroke, none = pen(theme.ink, STROKE, scale, least_px=least), Qt.BrushStyle.NoBrush
    painter.setBrush(none)
    painter.setPen(pen(theme.soft, STROKE, scale, least_px=least))
    _draw(painter, made.stubs)
    painter.setPen(stroke)
    painter.setBrush(QColor(theme.paper))
    _draw(painter, made.outline)
    if overlay is not None:
        for colour, path in _values(tile, overlay, inset=_RIM_INSET if whole else STROKE / 2).items():
            painter.setPen(pen(colour, _RIM, scale) if whole else stroke)
            painter.setBrush(none if whole else QColor(colour))
            painter.drawPath(path)
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


def _paint_boxes(
    tile: Tile[ComponentItem], painter: QPainter, scale: float, theme: Theme, overlay: Overlay | None
) -> None:
    if scale >= DOTS_FROM:
        dots = tile.made.get(_SYMBOLS)
        if dots is None:
            dots = tile.made[_SYMBOLS] = [
                _box(item.body, _DOT) for item in tile.items.values() if not item.large
            ]
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(QColor(theme.soft))
        painter.drawRects(dots)
    boxes = tile.made.get(VALUES)
    if boxes is None:
        boxes = tile.made[VALUES] = {}
        for item in tile.items.values():
            if item.large:
                colour = overlay.colour(item.tag) if overlay is not None else None
                boxes.setdefault(colour or "", []).append(_box(item.body))
    # Lines of one pixel are painted many times faster than wider ones.
    painter.setPen(pen(theme.ink, 0.0, scale, least_px=1.0))
    for colour, rects in boxes.items():
        painter.setBrush(QColor(colour or theme.paper))
        painter.drawRects(rects)


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


def _values(tile: Tile[ComponentItem], overlay: Overlay, *, inset: float) -> dict[str, QPainterPath]:
    """Return colour -> rectangles inside the air handlers of that colour."""
    values: dict[str, QPainterPath] | None = tile.made.get(VALUES)
    if values is None:
        values = tile.made[VALUES] = {}
        for item in tile.items.values():
            colour = overlay.colour(item.tag) if item.kind == "air_handler" else None
            if colour is not None:
                left, top, right, bottom = item.body
                values.setdefault(colour, QPainterPath()).addRect(
                    left + inset, top + inset, right - left - 2 * inset, bottom - top - 2 * inset
                )
    return values
