# SPDX-License-Identifier: MIT
"""Draws a supply and its return as a pair: the way of the supply by clicks, the return beside it.

A click on a port, a run, or twice on one place ends it; a tee waits where an end is open.  The return goes
to the port beside that of the supply; Shift and a click, or Shift+Enter, choose another.  R changes sides.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from msgspec import Struct, field
from PySide6.QtCore import Qt
from PySide6.QtGui import QKeyEvent, QPainter

from app.canvas.ghost import paint_dots, paint_ports, paint_way, paint_words
from app.canvas.tools.growth import Growth, growth, paint_growth
from app.canvas.tools.near_mains import mains_of
from app.canvas.tools.tool import Board, Tool
from app.theme import Theme
from app.translation import tr
from solver.errors import FarcabinError
from solver.vessel.edits import OnRun, RunDefaults, Where, pair, why_not
from solver.vessel.edits.joining import port_words
from solver.vessel.edits.mains import MAIN_GAP, ReturnKind, offset
from solver.vessel.fields import Point
from solver.vessel.footprint import port_place
from solver.vessel.routing import nearest_on, tidied, way
from solver.vessel.routing.way import through
from solver.vessel.run import End
from solver.vessel.vessel import Vessel

#: A port or run of the return this near to where it would end is meant [units].
_NEAR = 60.0
#: Ports of plant -> that through which the same water comes back.
_OTHER_PORT = {"water_out": "water_in", "water_in": "water_out", "outlet": "inlet", "inlet": "outlet"}


class MainSettings(Struct, frozen=True):
    """How mains are drawn; kept until they are changed.

    Parameters
    ----------
    pipe : RunDefaults
        Pipe and insulation.
    gap : float
        Distance between supply and return [units].
    kind : {"direct", "reverse"}
        What return main a supply main gets.
    """

    pipe: RunDefaults = field(default_factory=RunDefaults)
    gap: float = MAIN_GAP
    kind: ReturnKind = "direct"


class PairTool(Tool):
    """Draws pairs of mains.

    Attributes
    ----------
    settings : MainSettings
    points : list of points
        The way of the supply so far.
    side : {1, -1} or None
        1 if the return is right of the supply, -1 if it is left; None on the side of its port.
    ghost : Growth or None
        What a click here would draw.
    reason : str
        Why it cannot be drawn.
    """

    def __init__(self, board: Board) -> None:
        super().__init__(board)
        self.settings = MainSettings()
        self.points: list[Point] = []
        self.side: int | None = None
        self.ghost: Growth | None = None
        self.reason = ""
        self._start: Where | None = None
        self._chosen: list[Where | None] = [None, None]
        self._after: Vessel | None = None
        self._side_now = 1
        self._ends: tuple[Where | None, Where | None] = (None, None)

    def set_settings(self, settings: MainSettings) -> None:
        """Draw the next pair with another pipe or gap."""
        self.settings = settings
        self.hover(self.board.pointer)
        self.board.changed.emit()

    def start(self) -> None:
        self.give_up()

    def stop(self) -> None:
        self.give_up()
        self.side = None

    def give_up(self) -> bool:
        begun = bool(self.points)
        self.points, self._start, self._chosen = [], None, [None, None]
        self.ghost, self._after, self.reason = None, None, ""
        return begun

    def vessel_changed(self) -> None:
        self.give_up()
        self.hover(self.board.pointer)

    def hover(self, at: Point) -> None:
        where, place = self._target(at)
        self.ghost, self._after, self.reason = None, None, self._why_not(where)
        if not self.points or self.reason or place == self.points[-1]:
            return
        self._work_out([*self.points, place], where)

    def press(self, at: Point, modifiers: Qt.KeyboardModifier) -> bool:
        where, place = self._target(at)
        if reason := self._why_not(where):
            self.board.refuse(reason)
        elif modifiers & Qt.KeyboardModifier.ShiftModifier:
            self._choose_return(where)
        elif not self.points:
            self._start, self.points = where, [place]
        elif where is not None or place == self.points[-1]:
            self._finish(where, place)
        else:
            self.points.append(place)
        self.hover(at)
        return True

    def drag(self, at: Point, modifiers: Qt.KeyboardModifier) -> bool:
        self.hover(at)
        return True

    def key(self, event: QKeyEvent) -> bool:
        if event.modifiers() & ~Qt.KeyboardModifier.ShiftModifier:
            return False
        if event.key() == Qt.Key.Key_R:
            self.side = -self._side_now
        elif event.key() == Qt.Key.Key_Backspace and self.points:
            self.points.pop()
            if not self.points:
                self.give_up()
        else:
            return False
        self.hover(self.board.pointer)
        return True

    def paint(self, painter: QPainter, scale: float, theme: Theme) -> None:
        board = self.board
        where, place = self._target(board.pointer)
        if self.ghost is not None:
            paint_growth(painter, self.ghost, scale, theme)
        elif self.points:
            paint_way(painter, [*self.points, place], scale, theme, bad=bool(self.reason))
        paint_dots(painter, self.points, scale, theme)
        lit = [place] if where is not None and not self.reason else []
        lit += [self._place_of(end) for end in self._ends if end is not None and self.points]
        paint_ports(painter, lit, scale, theme, lit=True)
        if self.reason and not board.refused:
            paint_words(painter, self.reason, board.pointer, scale, theme, bad=True)
        elif not board.refused and (where is not None or self.points):
            paint_words(painter, self.words(where), board.pointer, scale, theme)

    def words(self, where: Where | None) -> str:
        """Return what is under the pointer, and where the return would come from and go."""
        said = [] if where is None else [_told(where)]
        if self.points:
            home, from_ = self._ends
            said.append(tr("return from {0} to {1}").format(_told(from_), _told(home)))
        return "   ".join(said)

    def status(self) -> str:
        if not self.points:
            return tr("Supply and return: click where the supply begins, a port or the sheet. Escape ends.")
        return tr(
            "Click bends; a port, a run or a second click ends the pair. R: the return on the other side. "
            "Shift and a click: the return's own port. Backspace takes back."
        )

    # Details.

    def _target(self, at: Point) -> tuple[Where | None, Point]:
        """Return the free port or the run under a point and where it is; else the place on the grid."""
        vessel, end = self.board.vessel, self.board.port_at(at)
        run_tag = self.board.run_at(at)
        if end is not None and (end not in vessel.runs_at or not run_tag):
            return end, self._place_of(end)
        if run_tag:
            spot = nearest_on(way(vessel, vessel.run_by_tag[run_tag]), self.board.snap(at)).at
            return OnRun(run_tag, spot), spot
        return None, self.board.snap(at)

    def _place_of(self, where: Where) -> Point:
        if isinstance(where, OnRun):
            return where.at
        return port_place(self.board.vessel.component_by_tag[where.tag], where.port)

    def _why_not(self, where: Where | None) -> str:
        if not isinstance(where, End):
            return ""
        return why_not(self.board.vessel, where) or ""

    def _choose_return(self, where: Where | None) -> None:
        """Take a port or run for the return: at the beginning of the pair, once that is begun at its end."""
        if where is None:
            self.board.refuse(tr("The return ends at a port or on a run"))
        else:
            # Chosen before the pair is begun, it is where the return comes home.
            self._chosen[1 if self.points else 0] = where

    def _work_out(self, points: Sequence[Point], where: Where | None) -> None:
        laid = tidied(through(points[0], None, list(points[1:-1]), points[-1]))
        if len(laid) < 2:
            self.reason = tr("The pair comes back to where it was")
            return
        self._side_now = self.side or self._side_of_port(laid)
        beside = offset(laid, self._side_now * self.settings.gap)
        supply = (self._start, where)
        home, from_ = (
            self._chosen[number] or self._partner(supply[number], beside[-number]) for number in (0, 1)
        )
        self._ends = (home, from_)
        try:
            after = pair(
                self.board.vessel,
                points,
                start=(self._start, home),
                end=(where, from_),
                like=self.settings.pipe,
                deck=self.board.deck_at(points[0]),
                gap=self._side_now * self.settings.gap,
            )
        except FarcabinError as error:
            self.reason = str(error)
            return
        self._after, self.ghost = after, growth(self.board.vessel, after)

    def _side_of_port(self, points: Sequence[Point]) -> int:
        """Return the side on which the return's port lies at the beginning."""
        home = self._chosen[0] or self._partner(self._start, points[0])
        if home is None:
            return 1
        place = self._place_of(home)
        gaps = {side: offset(points, side * self.settings.gap)[0] for side in (1, -1)}
        return min(gaps, key=lambda side: math.dist(gaps[side], place))

    def _partner(self, where: Where | None, beside: Point) -> Where | None:
        """Return where the return goes if the supply goes somewhere: the other port, or the other main."""
        vessel = self.board.vessel
        if isinstance(where, End):
            component = vessel.component_by_tag[where.tag]
            other = _OTHER_PORT.get(where.port, "")
            if other in component.ports and (where.tag, other) not in vessel.runs_at:
                return End(where.tag, other)
        if where is not None:
            near = mains_of(vessel).near(beside)[1]
            if near is not None and math.dist(self._place_of(near), beside) <= _NEAR:
                return near
        return None

    def _finish(self, where: Where | None, place: Point) -> None:
        points = self.points if place == self.points[-1] else [*self.points, place]
        self.reason = ""
        self._work_out(points, where)
        after, ghost = self._after, self.ghost
        if after is None or ghost is None:
            self.board.refuse(self.reason)
            return
        if self.board.ask(tr("Draw a supply and its return"), lambda _vessel: after):
            self.board.scene.select_tags(ghost.runs)


def _told(where: Where | None) -> str:
    if where is None:
        return tr("an open end")
    return where.run if isinstance(where, OnRun) else port_words(where)
