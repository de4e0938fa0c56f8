# SPDX-License-Identifier: MIT
"""Alignment: what is placed or moved finds the lines of ports near it.  Pure functions of board and parts."""

from __future__ import annotations

import msgspec

from app.canvas.tools.tool import Board
from solver.vessel.components import AnyComponent
from solver.vessel.fields import Point
from solver.vessel.footprint import Rect, port_place

#: A port this near a line goes onto it [px]; ports are looked for this far away [px].
_NEAR_PX, _FAR_PX = 6.0, 500.0
#: Less than half a step of the grid, so that a part off the grid's own line is never pulled along it [units].
_MOST = 4.9

_Guides = list[tuple[Point, Point]]


def aligned(board: Board, part: AnyComponent) -> tuple[AnyComponent, _Guides]:
    """Return a part moved so that one of its ports is level with or above another port near it.

    With it come the lines to show, from port to port.
    """
    (dx, dy), guides = shift_to_ports(board, (part,), frozenset((part.tag,)))
    return msgspec.structs.replace(part, at=(part.at[0] + dx, part.at[1] + dy)), guides


def shift_to_ports(
    board: Board, parts: tuple[AnyComponent, ...], without: frozenset[str]
) -> tuple[Point, _Guides]:
    """Return the small way that brings a port of ``parts`` in line with another port, and the lines."""
    reach, far = min(_NEAR_PX / board.scale, _MOST), _FAR_PX / board.scale
    mine = [port_place(part, port) for part in parts for port in part.ports]
    if not mine:
        return (0.0, 0.0), []
    xs, ys = [x for x, _ in mine], [y for _, y in mine]
    area = Rect(min(xs) - far, min(ys) - far, max(xs) + far, max(ys) + far)
    others = [
        place
        for item in board.scene.picture.components.in_rect(area)
        if item.tag not in without
        for place in item.ports().values()
    ]
    shift, guides = [0.0, 0.0], []
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
            guides.append((axis, port, other))
    way = (shift[0], shift[1])
    return way, [((port[0] + way[0], port[1] + way[1]), other) for _, port, other in guides]
