# SPDX-License-Identifier: MIT
"""Paints the runs: by what they carry, or by value under an overlay; then the flow arrows."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, NamedTuple

from PySide6.QtCore import Qt
from PySide6.QtGui import QColor, QPainter, QPainterPath, QPen

from app.canvas.detail import Detail, Level
from app.canvas.pens import pen
from app.canvas.run_item import RunItem
from app.canvas.strokes import Strokes
from app.canvas.tiles import Tile, Tiles
from app.overlay.flow_arrows import arrow
from app.overlay.quantities import FLOW_STEPS, Overlay
from app.theme import Theme
from solver.results import LinkFigures
from solver.vessel.footprint import Rect

#: How far the casing of a coloured run shows on each side, and strokes across it stand out [units].
_CASING, _TICK = 0.9, 2.0
#: Width of a coloured run at no flow and at the largest [units].
_THIN, _THICK = 2.5, 6.0
#: Width of a run without a value while others have one [units].
_PLAIN = 3.0
_ARROW_EDGE = 1.0
#: Names of what is made for tiles: from the lines, and from what flows in them.
LINES, BANDS, ARROWS = "lines", "bands", "arrows"


class _Look(NamedTuple):
    """What runs painted together have in common; ``beyond``: outside limits, ``cased``: has a value."""

    colour: str
    width: float
    dashed: bool
    cased: bool = False
    beyond: bool = False

    def pen(self, scale: float, least_px: float) -> QPen:
        """Return the pen for the lines."""
        return pen(self.colour, self.width, scale, "dashed" if self.dashed else "solid", least_px)


def paint_runs(
    tiles: Tiles[RunItem],
    painter: QPainter,
    exposed: Rect,
    detail: Detail,
    theme: Theme,
    overlay: Overlay | None,
) -> None:
    """Paint the lines of the runs that reach into ``exposed``: casings below all lines, marks above."""
    scale, level, least = detail
    visible = tiles.tiles_in(exposed, level)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    made = [_lines(tile, theme, overlay, whole=level is Level.WHOLE) for tile in visible]
    groups = [group for one in made for group in one.items()]
    if level is not Level.FAR:
        for look, strokes in groups:
            if look.cased:
                painter.setPen(pen(theme.ink, look.width + 2 * _CASING, scale, "solid", least + 1.2))
                strokes.paint(painter)
    for look, strokes in groups:
        painter.setPen(look.pen(scale, least))
        strokes.paint(painter)
    if level is not Level.FAR:
        for look, strokes in groups:
            if look.beyond:
                painter.setPen(pen(theme.ink, look.width + 2 * _TICK, scale, "ticks", least))
                strokes.paint(painter)
    if level is Level.WHOLE and overlay is not None:
        for tile in visible:
            for band, path in _bands(tile, theme, overlay).items():
                painter.setPen(band.pen(scale, least))
                painter.drawPath(path)


def paint_arrows(
    tiles: Tiles[RunItem],
    painter: QPainter,
    exposed: Rect,
    level: Level,
    theme: Theme,
    links: Mapping[str, LinkFigures],
    *,
    coloured: bool,
    drift: float = 0.0,
) -> None:
    """Paint the flow arrows of the runs that reach into ``exposed``; ``drift`` as ``arrow`` takes it."""
    # On a coloured line an arrow needs an edge to stand out.
    painter.setPen(QPen(QColor(theme.paper), _ARROW_EDGE) if coloured else Qt.PenStyle.NoPen)
    for tile in tiles.tiles_in(exposed, level):
        groups = tile.made.get(ARROWS) if drift == 0 else None
        if groups is None:
            groups = _arrows(tile, links, drift)
            if drift == 0:
                tile.made[ARROWS] = groups
        for service, path in groups.items():
            painter.setBrush(QColor(theme.ink if coloured else service_colour(theme, service)))
            painter.drawPath(path)


def service_colour(theme: Theme, service: str) -> str:
    """Return the colour that tells what a run carries."""
    return theme.sea if service == "sea" else theme.fresh


def _lines(
    tile: Tile[RunItem], theme: Theme, overlay: Overlay | None, *, whole: bool
) -> dict[_Look, Strokes]:
    """Return the joined lines of a tile by look."""
    made: dict[_Look, Strokes] | None = tile.made.get(LINES)
    if made is None:
        # Grouped by plain keys first: of thousands of runs only a few looks come out.
        joined: dict[tuple[Any, ...], Strokes] = {}
        looks = {} if overlay is None else overlay.looks
        for item in tile.items.values():
            key = looks.get(item.tag) or (item.service, item.width)
            strokes = joined.get(key)
            if strokes is None:
                strokes = joined[key] = Strokes()
            if item.straight is not None and not (whole and item.hops):
                strokes.lines.append(item.straight)
            else:
                strokes.path.addPath(item.fine if whole else item.plain)
        made = tile.made[LINES] = {}
        for key, strokes in joined.items():
            look = _look(key, theme, overlay)
            if look in made:
                made[look].join(strokes)
            else:
                made[look] = strokes
    return made


def _look(key: tuple[Any, ...], theme: Theme, overlay: Overlay | None) -> _Look:
    """Return the look for a key of ``_lines``: what a run carries and its width, or a look of the overlay."""
    if len(key) == 2:
        service, width = key
        if overlay is None:
            return _Look(service_colour(theme, service), width, service == "return")
        return _Look(theme.soft, _PLAIN, service == "return")
    step, flow_step, beyond = key
    colour = theme.soft if overlay is None else overlay.scale.colours[step]
    return _Look(colour, _width(flow_step), False, True, beyond)


def _bands(tile: Tile[RunItem], theme: Theme, overlay: Overlay) -> dict[_Look, QPainterPath]:
    """Return the bands that tell what runs carry while colours tell their values."""
    made: dict[_Look, QPainterPath] | None = tile.made.get(BANDS)
    if made is None:
        made = tile.made[BANDS] = {}
        for item in tile.items.values():
            own, dashed = service_colour(theme, item.service), item.service == "return"
            found = overlay.looks.get(item.tag)
            look = _Look(own, _PLAIN if found is None else _width(found[1]), dashed)
            made.setdefault(look, QPainterPath()).addPath(item.bands)
    return made


def _width(flow_step: int) -> float:
    return _THIN + (_THICK - _THIN) * flow_step / FLOW_STEPS


def _arrows(tile: Tile[RunItem], links: Mapping[str, LinkFigures], drift: float) -> dict[str, QPainterPath]:
    """Return the joined arrows of a tile by what the runs carry."""
    groups: dict[str, QPainterPath] = {}
    for item in tile.items.values():
        link = links.get(item.tag)
        if link is None:
            continue
        found = arrow(item.longest_leg, link.flow_L_s, link.velocity_m_s, item.width, drift)
        if found is not None:
            path = groups.get(item.service)
            if path is None:
                path = groups[item.service] = QPainterPath()
            path.moveTo(*found.tip)
            path.lineTo(*found.left)
            path.lineTo(*found.right)
            path.closeSubpath()
    return groups
