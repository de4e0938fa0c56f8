# SPDX-License-Identifier: MIT
"""Joins ports by runs: dragged from port to port, or clicked one after the other.

Clicks on the empty sheet between pin bends.  A run may begin or end on another run: a tee comes there.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeyEvent, QPainter

from app import units
from app.canvas.ghost import paint_dots, paint_ports, paint_way, paint_words
from app.canvas.tools.preview import Preview, paint_preview, preview_of
from app.canvas.tools.tool import Board, Tool
from app.theme import Theme
from app.translation import tr
from solver.errors import EditError
from solver.vessel.edits import OnRun, RunDefaults, Where, can_connect, join, put_tee, why_not
from solver.vessel.edits.joining import port_words
from solver.vessel.fields import Point
from solver.vessel.footprint import Rect, port_place
from solver.vessel.routing import Terminal, obstacles_of, route_between, terminal
from solver.vessel.run import End
from solver.vessel.vessel import Vessel

#: A press and release closer than this are a click [px].
_CLICK_PX = 8.0
#: Ports this far beyond what is looked at are shown [px].
_SHOWN_PX = 400.0


@dataclass(frozen=True)
class Spot:
    """Where a run can begin or end: a port, or a place on a run, where a tee comes."""

    where: Where
    at: Point

    @property
    def tag(self) -> str:
        """The part that it is at."""
        return self.where.run if isinstance(self.where, OnRun) else self.where.tag

    @property
    def words(self) -> str:
        """What it is called."""
        if isinstance(self.where, OnRun):
            return tr("{0} with a tee").format(self.where.run)
        return port_words(self.where)


def run_defaults(vessel: Vessel) -> RunDefaults:
    """Return what a new run is like where its neighbours do not say: as the run drawn last."""
    if not vessel.runs:
        return RunDefaults()
    last = vessel.runs[-1]
    return RunDefaults(last.series, last.size, last.insulation, last.surroundings)


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
        Why the run cannot begin or end here.
    """

    def __init__(self, board: Board) -> None:
        super().__init__(board)
        self.begun: Spot | None = None
        self.target: Spot | None = None
        self.bends: list[Point] = []
        self.reason = ""
        self._pressed: Point | None = None
        self._grown: Vessel | None = None
        self._preview: Preview | None = None

    def stop(self) -> None:
        self.give_up()
        self.target = None

    def give_up(self) -> bool:
        begun = self.begun is not None
        self.begun, self.bends, self.reason, self._pressed = None, [], "", None
        self._grown, self._preview = None, None
        return begun

    def vessel_changed(self) -> None:
        self.give_up()
        self.hover(self.board.pointer)

    def begin(self, end: End) -> None:
        """Begin a run at a port."""
        self.give_up()
        self.begun = self._at_port(end)

    def press_began(self, end: End) -> None:
        """The button is down already at the port where the run begins."""
        self._pressed = self._at_port(end).at

    def hover(self, at: Point) -> None:
        self.target = self._spot(at)
        self.reason, self._grown, self._preview = "", None, None
        if self.target is None or self.target == self.begun:
            return
        vessel = self.board.vessel
        try:
            self._grown = self._begun_at(self.target) if self.begun is None else self._joined(vessel)
        except EditError as error:
            self.reason = str(error)
        else:
            self._preview = preview_of(vessel, self._grown)

    def _begun_at(self, spot: Spot) -> Vessel:
        """Return the vessel as it is when a run has begun at a spot: with a tee, if that is on a run."""
        vessel = self.board.vessel
        if isinstance(spot.where, OnRun):
            return put_tee(vessel, spot.where.run, spot.where.at)[0]
        if reason := why_not(vessel, spot.where):
            raise EditError(reason, (spot.tag,))
        return vessel

    def _joined(self, vessel: Vessel) -> Vessel:
        assert self.begun is not None and self.target is not None
        start, end = self.begun.where, self.target.where
        if isinstance(start, End) and isinstance(end, End) and (why := can_connect(vessel, start, end)):
            # Before anything is routed.
            raise EditError(why, (start.tag, end.tag))
        return join(vessel, start, end, like=run_defaults(vessel), via=tuple(self.bends))

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
            self.hover(self.board.pointer)
            return True
        return False

    def _end(self) -> None:
        grown = self._grown
        assert self.begun is not None and self.target is not None
        if grown is None:
            self.board.refuse(self.reason)
            return
        name = tr("Join {0} to {1}").format(self.begun.tag, self.target.tag)
        if self.board.ask(name, lambda vessel: grown):
            self.give_up()
            self.board.scene.select_tags((self.board.vessel.runs[-1].tag,))

    def _at_port(self, end: End) -> Spot:
        return Spot(end, port_place(self.board.vessel.component_by_tag[end.tag], end.port))

    def _spot(self, at: Point) -> Spot | None:
        vessel = self.board.vessel
        end = self.board.port_at(at)
        run_tag = self.board.run_at(at)
        taken = end is not None and bool(vessel.runs_at.get((end.tag, end.port)))
        if end is not None and not (taken and run_tag):
            return self._at_port(end)
        if run_tag:
            place = self.board.snap(at)
            return Spot(OnRun(run_tag, place), place)
        return None if end is None else self._at_port(end)

    def way(self) -> Sequence[Point]:
        """Return the way of the run up to the pointer, where it would not end; empty before it has begun."""
        if self.begun is None:
            return ()
        vessel, start = self.board.vessel, Terminal(self.begun.at)
        if isinstance(self.begun.where, End):
            start = terminal(vessel.component_by_tag[self.begun.tag], self.begun.where.port)
        here = self.target.at if self.target else self.board.snap(self.board.pointer)
        return route_between(start, Terminal(here), obstacles_of(vessel), self.bends)

    def paint(self, painter: QPainter, scale: float, theme: Theme) -> None:
        board, begun, target = self.board, self.begun, self.target
        if self._preview is not None:
            paint_preview(painter, self._preview, scale, theme, ports=False)
        elif begun is not None and target != begun:
            paint_way(painter, self.way(), scale, theme, bad=bool(self.reason))
        paint_ports(painter, self._free_near(scale), scale, theme)
        paint_dots(painter, self.bends, scale, theme, filled=True)
        for spot in (begun, target):
            shown = spot is not None and (isinstance(spot.where, End) or self._preview is None)
            if spot is not None and shown and not (spot is target and self.reason):
                paint_ports(painter, [spot.at], scale, theme, lit=True)
        if self.reason:
            paint_words(painter, self.reason, board.pointer, scale, theme, bad=True)
        elif target is not None and not board.refused:
            paint_words(painter, self._told(target), board.pointer, scale, theme)

    def _free_near(self, scale: float) -> list[Point]:
        """Return the places of ports without a run round the pointer."""
        board, (x, y), far = self.board, self.board.pointer, _SHOWN_PX / scale
        return [
            place
            for item in board.scene.picture.components.in_rect(Rect(x - far, y - far, x + far, y + far))
            for port, place in item.ports().items()
            if not board.vessel.runs_at.get((item.tag, port))
        ]

    def _told(self, target: Spot) -> str:
        """Return what would be joined, and with what pipe and length."""
        if self.begun is None or self._grown is None:
            return target.words
        run = self._grown.runs[-1]
        length = units.show(run.length_m, "length", self.board.scene.picture.system)
        return f"{target.words}   {run.size}   {length}"

    def status(self) -> str:
        if self.begun is None:
            return tr("Click a port or a run to start a run. Escape ends.")
        words = tr(
            "Run from {0}: click a port or a run to end it, the sheet for a bend. Backspace takes back."
        )
        return words.format(self.begun.words)
