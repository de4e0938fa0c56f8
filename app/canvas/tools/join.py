# SPDX-License-Identifier: MIT
"""Joins ports by runs: dragged from port to port, or clicked one after the other.

Clicks on the empty sheet between pin bends.  A run may begin or end on another run: a tee comes there.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeyEvent, QPainter

from app.canvas.ghost import paint_component, paint_dots, paint_ports, paint_way, paint_words
from app.canvas.routing import route, tidied
from app.canvas.tools.parts_made import joined, new_run, place_of, port_words, why_not, with_tee
from app.canvas.tools.tool import Board, Tool
from app.theme import Theme
from app.translation import tr
from solver.errors import EditError
from solver.vessel.fields import Point
from solver.vessel.footprint import Rect
from solver.vessel.run import End
from solver.vessel.vessel import Vessel

#: A press and release closer than this are a click [px].
_CLICK_PX = 8.0
#: Ports this far beyond what is looked at are shown [px].
_SHOWN_PX = 400.0


@dataclass(frozen=True)
class Spot:
    """Where a run can begin or end: a port, or a place on a run (``end`` is its tag)."""

    end: End | str
    at: Point

    @property
    def words(self) -> str:
        """What it is called."""
        return tr("{0} with a tee").format(self.end) if isinstance(self.end, str) else port_words(self.end)


class JoinTool(Tool):
    """Draws runs.

    Attributes
    ----------
    begun : Spot or None
        Where the run begins.
    target : Spot or None
        What is under the pointer.
    bends : list of points
        Bends pinned so far.
    reason : str
        Why the run cannot end here.
    """

    def __init__(self, board: Board) -> None:
        super().__init__(board)
        self.begun: Spot | None = None
        self.target: Spot | None = None
        self.bends: list[Point] = []
        self.reason = ""
        self._pressed: Point | None = None

    def stop(self) -> None:
        self.give_up()
        self.target = None

    def give_up(self) -> bool:
        begun = self.begun is not None
        self.begun, self.bends, self.reason, self._pressed = None, [], "", None
        return begun

    def vessel_changed(self) -> None:
        self.give_up()
        self.hover(self.board.pointer)

    def begin(self, end: End) -> None:
        """Begin a run at a port."""
        self.give_up()
        self.begun = Spot(end, place_of(self.board.vessel, end))

    def press_began(self, end: End) -> None:
        """The button is down already at the port where the run begins."""
        self._pressed = place_of(self.board.vessel, end)

    def hover(self, at: Point) -> None:
        self.target = self._spot(at)
        self.reason = ""
        if self.target is None:
            return
        begun = self.begun.end if self.begun else None
        if isinstance(self.target.end, End):
            start = begun if isinstance(begun, End) else None
            self.reason = why_not(self.board.vessel, start, self.target.end)
        elif begun == self.target.end:
            self.reason = tr("{0} cannot be joined with itself").format(begun)

    def press(self, at: Point, modifiers: Qt.KeyboardModifier) -> bool:
        self.hover(at)
        self._pressed = at
        if self.begun is None:
            if self.target is None:
                self.board.refuse(tr("A run begins at a port or on a run"))
            elif self.reason:
                self.board.refuse(self.reason)
            else:
                self.begun = self.target
        elif self.target is None:
            self.bends.append(self.board.snap(at))
        elif self.target != self.begun:
            self._end()
        return True

    def drag(self, at: Point, modifiers: Qt.KeyboardModifier) -> bool:
        self.hover(at)
        return True

    def release(self, at: Point, modifiers: Qt.KeyboardModifier) -> bool:
        pressed, self._pressed = self._pressed, None
        if pressed is None or math.dist(pressed, at) * self.board.scale < _CLICK_PX:
            return True
        self.hover(at)
        if self.begun is not None and self.target is not None and self.target != self.begun:
            self._end()
        elif self.begun is not None and self.target is None:
            self.board.refuse(tr("A run ends at a port or on a run"))
        return True

    def key(self, event: QKeyEvent) -> bool:
        if event.key() == Qt.Key.Key_Backspace and self.begun is not None:
            if self.bends:
                self.bends.pop()
            else:
                self.give_up()
            return True
        return False

    def _end(self) -> None:
        begun, target, bends = self.begun, self.target, tuple(self.bends)
        assert begun is not None and target is not None
        if self.reason:
            self.board.refuse(self.reason)
            return
        name = tr("Join {0} to {1}").format(_tag(begun), _tag(target))

        def change(vessel: Vessel) -> Vessel:
            return joined(vessel, begun.end, target.end, (begun.at, target.at), bends)

        if self.board.ask(name, change):
            self.give_up()
            self.board.scene.select_tags((self.board.vessel.runs[-1].tag,))

    def _spot(self, at: Point) -> Spot | None:
        vessel = self.board.vessel
        end = self.board.port_at(at)
        run_tag = self.board.run_at(at)
        taken = end is not None and bool(vessel.runs_at.get((end.tag, end.port)))
        if end is not None and not (taken and run_tag):
            return Spot(end, place_of(vessel, end))
        if run_tag:
            return Spot(run_tag, self.board.snap(at))
        return None if end is None else Spot(end, place_of(vessel, end))

    def way(self) -> list[Point]:
        """Return the way of the run as it would be; empty before it has begun."""
        if self.begun is None:
            return []
        vessel, begun, target = self.board.vessel, self.begun, self.target
        if target is None:
            return self._way_to_pointer()
        try:
            grown = joined(vessel, begun.end, target.end, (begun.at, target.at), self.bends)
        except EditError:
            return self._way_to_pointer()
        return route(grown, grown.runs[-1])

    def _way_to_pointer(self) -> list[Point]:
        assert self.begun is not None
        here = self.target.at if self.target else self.board.snap(self.board.pointer)
        way = [self.begun.at]
        for x, y in (*self.bends, here):
            way += [(x, way[-1][1]), (x, y)]
        return tidied(way)

    def paint(self, painter: QPainter, scale: float, theme: Theme) -> None:
        board = self.board
        vessel, (x, y), far = board.vessel, board.pointer, _SHOWN_PX / scale
        shown = [
            place
            for item in board.scene.picture.components.in_rect(Rect(x - far, y - far, x + far, y + far))
            for port, place in item.ports().items()
            if not vessel.runs_at.get((item.tag, port))
        ]
        if self.begun is not None:
            paint_way(painter, self.way(), scale, theme, bad=bool(self.reason))
        paint_ports(painter, shown, scale, theme)
        paint_dots(painter, self.bends, scale, theme)
        for spot in (self.begun, self.target):
            if spot is not None and not (spot is self.target and self.reason):
                self._paint_spot(painter, spot, scale, theme)
        if self.reason:
            paint_words(painter, self.reason, board.pointer, scale, theme, bad=True)
        elif self.target is not None and not board.refused:
            paint_words(painter, self._told(), board.pointer, scale, theme)

    def _told(self) -> str:
        """Return what would be joined, and with what pipe and length."""
        assert self.target is not None
        if self.begun is None or self.begun == self.target:
            return self.target.words
        ends = (self.begun.end, self.target.end)
        if not (isinstance(ends[0], End) and isinstance(ends[1], End)):
            return self.target.words
        run = new_run(self.board.vessel, ends[0], ends[1], self.bends)
        return f"{self.target.words}   {run.size}"

    def _paint_spot(self, painter: QPainter, spot: Spot, scale: float, theme: Theme) -> None:
        if isinstance(spot.end, str) and spot.end in self.board.vessel.run_by_tag:
            grown, end = with_tee(self.board.vessel, spot.end, spot.at, self.board.pointer)
            paint_component(painter, grown.component_by_tag[end.tag], scale, theme, ports=False)
        else:
            paint_ports(painter, [spot.at], scale, theme, lit=True)

    def status(self) -> str:
        if self.begun is None:
            return tr("Click a port or a run to start a run. Escape ends.")
        words = tr(
            "Run from {0}: click a port or a run to end it, the sheet for a bend. Backspace takes back."
        )
        return words.format(self.begun.words)


def _tag(spot: Spot) -> str:
    return spot.end if isinstance(spot.end, str) else spot.end.tag
