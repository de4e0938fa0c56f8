# SPDX-License-Identifier: MIT
"""Alignment: what is placed or moved goes into line with ports near it, else onto the grid.

Pure functions of board and parts.
"""

from __future__ import annotations

import msgspec

from app.canvas.tools.tool import Board
from solver.vessel.components import AnyComponent
from solver.vessel.fields import Point
from solver.vessel.footprint import Rect, port_place

#: A port this near a line goes onto it; ports are looked for this far away [px].
_NEAR_PX, _FAR_PX = 8.0, 500.0
#: From afar a line reaches less, for the grid's places beside it must be within reach too [units].
_MOST = 8.0
#: Places are whole to this many digits; a pointer's are not [units].
_DIGITS = 6

_Guides = list[tuple[Point, Point]]


def aligned(board: Board, part: AnyComponent) -> tuple[AnyComponent, _Guides]:
    """Return a part at the pointer moved to where it snaps, and the lines to show, from port to port."""
    (dx, dy), guides = way_to_lines(board, (part,), part.at, frozenset((part.tag,)))
    at = (round(part.at[0] + dx, _DIGITS), round(part.at[1] + dy, _DIGITS))
    return msgspec.structs.replace(part, at=at), guides


def way_to_lines(
    board: Board, parts: tuple[AnyComponent, ...], anchor: Point, without: frozenset[str]
) -> tuple[Point, _Guides]:
    """Return the small way to where parts snap, and the lines to show.

    Across and down by itself: onto the line of another port where one of theirs is near it, else so that
    ``anchor`` comes onto the grid.  Ports of parts in ``without`` draw no lines.
    """
    reach, far = min(_NEAR_PX / board.scale, _MOST), _FAR_PX / board.scale
    on_grid = board.snap(anchor)
    to_grid = (on_grid[0] - anchor[0], on_grid[1] - anchor[1])
    mine = [port_place(part, port) for part in parts for port in part.ports]
    if not mine:
        return to_grid, []
    xs, ys = [x for x, _ in mine], [y for _, y in mine]
    area = Rect(min(xs) - far, min(ys) - far, max(xs) + far, max(ys) + far)
    others = [
        place
        for item in board.scene.picture.components.in_rect(area)
        if item.tag not in without
        for place in item.ports().values()
    ]
    shift = list(to_grid)
    guides: _Guides = []
    for axis in (0, 1):
        pairs = [
            (abs(other[axis] - port[axis]), abs(other[1 - axis] - port[1 - axis]), port, other)
            for port in mine
            for other in others
            if abs(other[axis] - port[axis]) <= reach and other != port
        ]
        if pairs:
            _, _, port, other = min(pairs)
            shift[axis] = other[axis] - port[axis]
            guides.append((port, other))
    way = (shift[0], shift[1])
    return way, [((port[0] + way[0], port[1] + way[1]), other) for port, other in guides]
