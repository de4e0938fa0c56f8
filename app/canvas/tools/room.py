# SPDX-License-Identifier: MIT
"""Draws the room of a cabin: a rectangle, dragged or by two corners."""

from __future__ import annotations

import math

from PySide6.QtCore import Qt
from PySide6.QtGui import QPainter

from app.canvas.ghost import paint_area
from app.canvas.tools.tool import Board, Tool, rect_between
from app.theme import Theme
from app.translation import tr
from solver.vessel.edits import add_cabin, free_tag
from solver.vessel.fields import Point
from solver.vessel.vessel import Cabin, Vessel

_CLICK_PX = 8.0


class RoomTool(Tool):
    """Asks for two corners."""

    def __init__(self, board: Board) -> None:
        super().__init__(board)
        self._first: Point | None = None

    def stop(self) -> None:
        self._first = None

    def give_up(self) -> bool:
        begun, self._first = self._first is not None, None
        return begun

    def press(self, at: Point, modifiers: Qt.KeyboardModifier) -> bool:
        at = self.board.snap(at)
        if self._first is None:
            self._first = at
        else:
            self._end(at)
        return True

    def release(self, at: Point, modifiers: Qt.KeyboardModifier) -> bool:
        if self._first is not None and math.dist(self._first, at) * self.board.scale >= _CLICK_PX:
            self._end(self.board.snap(at))
        return True

    def _end(self, at: Point) -> None:
        first = self._first
        if first is None or at[0] == first[0] or at[1] == first[1]:
            self.board.refuse(tr("A room has two corners across from each other"))
            return
        cabin = new_cabin(self.board.vessel, first, at, self.board.deck_at(first))
        self._first = None
        if self.board.ask(tr("Draw {0}").format(cabin.name), lambda vessel: add_cabin(vessel, cabin)):
            self.board.scene.tag_activated.emit(cabin.tag)

    def paint(self, painter: QPainter, scale: float, theme: Theme) -> None:
        if self._first is not None:
            here = self.board.snap(self.board.pointer)
            paint_area(painter, rect_between(self._first, here), scale, theme)

    def status(self) -> str:
        if self._first is None:
            return tr("Drag the room of a cabin, or click two corners. Escape ends.")
        return tr("Click the corner across.")


def new_cabin(vessel: Vessel, a: Point, b: Point, deck: str) -> Cabin:
    """Return a cabin between two corners, not yet in the vessel."""
    (left, right), (top, bottom) = sorted((a[0], b[0])), sorted((a[1], b[1]))
    tag = free_tag(vessel, "cabin")
    name = tr("Cabin {0}").format(tag.rpartition("-")[2])
    outline = ((left, top), (right, top), (right, bottom), (left, bottom))
    return Cabin(tag=tag, name=name, deck=deck, outline=outline)
