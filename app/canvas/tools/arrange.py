# SPDX-License-Identifier: MIT
"""Moves what is selected and bends runs; clicks and bands are left to the view's own selecting.

A drag shows where things would lie and becomes one edit on release.  A run alone is bent by the leg or
bend that is dragged, or led over the pointer with Shift.  Dragging from a free port begins a run.
"""

from __future__ import annotations

import math
import time
from collections.abc import Callable, Sequence

from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QKeyEvent, QPainter
from PySide6.QtWidgets import QApplication

from app.canvas.ghost import paint_dots, paint_guides
from app.canvas.grid import MODULE
from app.canvas.tools.grips import Grip, grip_at, pulled
from app.canvas.tools.guides import way_to_lines
from app.canvas.tools.preview import Preview, paint_preview, preview_of, shifted, shifted_preview
from app.canvas.tools.tool import BEND_PX, Board, Tool
from app.theme import Theme
from app.translation import tr
from solver.errors import EditError
from solver.vessel.edits import add_bend, corners, move, remove_bend, turn
from solver.vessel.edits.following import is_pinned
from solver.vessel.fields import Point
from solver.vessel.routing import way
from solver.vessel.run import End
from solver.vessel.vessel import Vessel

#: A run is dragged out of a port by a press this near [px].
_PORT_PX = 7.0
#: Of more components than this a drag shows them and the runs between them, not how others are led;
#: so too after as many steps that took longer [s].
_MANY, _SLOW_STEPS, _QUICK_S = 20, 2, 0.012
_ARROWS = {
    Qt.Key.Key_Left: (-MODULE, 0.0),
    Qt.Key.Key_Right: (MODULE, 0.0),
    Qt.Key.Key_Up: (0.0, -MODULE),
    Qt.Key.Key_Down: (0.0, MODULE),
}


class ArrangeTool(Tool):
    """Is in hand while no other tool is.

    Parameters
    ----------
    board : Board
    begin_run : callable
        Begins a run at a port, with the join tool.
    """

    has_cross = False
    own_keys = frozenset[Qt.Key]()
    cursor = Qt.CursorShape.ArrowCursor

    def __init__(self, board: Board, begin_run: Callable[[End], None]) -> None:
        super().__init__(board)
        self._begin_run = begin_run
        self._grabbed = ""
        self._grip: Grip | None = None
        self._port: End | None = None
        self._from: Point = (0.0, 0.0)
        self._slow_steps = 0
        self._change: Callable[[Vessel], Vessel] | None = None
        self._name = ""
        self._shown: tuple[object, ...] = ()
        self.preview: Preview | None = None
        self._guides: list[tuple[Point, Point]] = []

    def stop(self) -> None:
        self.give_up()

    def give_up(self) -> bool:
        begun = self.preview is not None
        self._grabbed, self._grip, self._port, self._slow_steps = "", None, None, 0
        self._change, self._shown, self.preview, self._guides = None, (), None, []
        return begun

    def vessel_changed(self) -> None:
        self.give_up()

    def press(self, at: Point, modifiers: Qt.KeyboardModifier) -> bool:
        self.give_up()
        self._from = at
        end = self.board.port_at(at, _PORT_PX)
        if end is not None and not self.board.vessel.runs_at.get((end.tag, end.port)):
            self._port = end
        tags = self.board.scene.tags_at(QPointF(*at))
        self._grabbed = tags[0] if tags else ""
        return False

    def drag(self, at: Point, modifiers: Qt.KeyboardModifier) -> bool:
        if not self._grabbed and self._port is None:
            return False
        far = math.dist(at, self._from) * self.board.scale >= QApplication.startDragDistance()
        if self.preview is None and not far:
            return True
        if self._port is not None:
            port, self._port = self._port, None
            self._begin_run(port)
            return True
        selected = self.board.scene.selected_tags()
        if self._grabbed not in selected:
            selected = (self._grabbed,)
            self.board.scene.select_tags(selected)
        try:
            if selected == (self._grabbed,) and self._grabbed in self.board.vessel.run_by_tag:
                self._bend(at, over=bool(modifiers & Qt.KeyboardModifier.ShiftModifier))
            else:
                self._move(selected, at)
        except EditError as error:
            self._change, self.preview = None, None
            self.board.refuse(str(error))
        return True

    def _bend(self, at: Point, *, over: bool) -> None:
        """Show the run bent: by what of it is grabbed, or led ``over`` the pointer."""
        vessel, run_tag, to = self.board.vessel, self._grabbed, self.board.snap(at)
        points = way(vessel, vessel.run_by_tag[run_tag])
        grip = self._grip = self._grip or grip_at(points, self._from, BEND_PX / self.board.scale)

        def change(vessel: Vessel) -> Vessel:
            return add_bend(vessel, run_tag, to) if over else pulled(vessel, run_tag, grip, to)

        name = tr("Add a bend to {0}") if over else tr("Bend {0}")
        self._show(name.format(run_tag), (to, over), change)

    def _move(self, tags: Sequence[str], at: Point) -> None:
        """Show the selection moved so that what is grabbed snaps."""
        vessel = self.board.vessel
        anchor = vessel.component_by_tag.get(self._grabbed)
        # Grabbed by a run parts still go by whole steps of the grid.
        start = anchor.at if anchor else self.board.snap(self._from)
        dx, dy = at[0] - self._from[0], at[1] - self._from[1]
        to = (start[0] + dx, start[1] + dy)
        parts = [part for tag in tags if (part := vessel.component_by_tag.get(tag)) is not None]
        self._guides = []
        if self.board.snaps and len(parts) <= _MANY:
            here = tuple(shifted(part, (dx, dy)) for part in parts)
            (sx, sy), self._guides = way_to_lines(self.board, here, to, frozenset(tags))
            to = (to[0] + sx, to[1] + sy)
        else:
            to = self.board.snap(to)
        dx, dy = round(to[0] - start[0], 6), round(to[1] - start[1], 6)
        self._name = tr("Move {0}").format(_told(tags))
        if len(parts) <= _MANY and self._slow_steps < _SLOW_STEPS:
            started, first = time.perf_counter(), self.preview is None
            self._show(self._name, (dx, dy), lambda vessel: move(vessel, tags, dx, dy))
            # The first step works out what all others use.
            self._slow_steps += not first and time.perf_counter() - started > _QUICK_S
            return
        if self.preview is None:
            # What is locked is told at once.
            move(vessel, tags, 0.0, 0.0)
        self.preview = shifted_preview(self.board.scene.picture, parts, (dx, dy))
        self._change = lambda vessel: move(vessel, tags, dx, dy)

    def _show(self, name: str, where: tuple[object, ...], change: Callable[[Vessel], Vessel]) -> None:
        """Show what an edit would change, and keep it for the release."""
        if where == self._shown and self.preview is not None:
            return
        vessel = self.board.vessel
        self._name, self._shown = name, where
        grown = change(vessel)
        self._change, self.preview = (lambda _vessel: grown), preview_of(vessel, grown)

    def release(self, at: Point, modifiers: Qt.KeyboardModifier) -> bool:
        preview, change, name = self.preview, self._change, self._name
        self.give_up()
        if preview is None or change is None:
            return False
        self.board.ask(name, change)
        return True

    def double_click(self, at: Point) -> bool:
        run_tag = self.board.run_at(at)
        tags = self.board.scene.tags_at(QPointF(*at))
        if not run_tag or tags[0] != run_tag:
            return False
        vessel = self.board.vessel
        grip = grip_at(way(vessel, vessel.run_by_tag[run_tag]), at, BEND_PX / self.board.scale)
        if grip.kind != "bend":
            return False
        self.board.scene.select_tags((run_tag,))
        self.board.ask(
            tr("Take a bend out of {0}").format(run_tag),
            lambda vessel: remove_bend(vessel, run_tag, grip.number),
        )
        return True

    def key(self, event: QKeyEvent) -> bool:
        tags = self.board.scene.selected_tags()
        key, modifiers = Qt.Key(event.key()), event.modifiers()
        if key in _ARROWS and modifiers & Qt.KeyboardModifier.ControlModifier and tags:
            dx, dy = _ARROWS[key]
            self.board.ask(tr("Move {0}").format(_told(tags)), lambda vessel: move(vessel, tags, dx, dy))
            return True
        if key == Qt.Key.Key_R and not modifiers & Qt.KeyboardModifier.ControlModifier:
            turning = [tag for tag in tags if tag in self.board.vessel.component_by_tag]
            if turning:
                back = 3 if modifiers & Qt.KeyboardModifier.ShiftModifier else 1
                self.board.ask(
                    tr("Turn {0}").format(_told(turning)), lambda vessel: turn(vessel, turning, back)
                )
            return True
        return False

    def paint(self, painter: QPainter, scale: float, theme: Theme) -> None:
        if self.preview is not None:
            paint_preview(painter, self.preview, scale, theme)
            paint_guides(painter, self._guides, scale, theme)
            return
        run_tag = self._run_alone()
        if run_tag:
            run = self.board.vessel.run_by_tag[run_tag]
            paint_dots(painter, corners(self.board.vessel, run_tag), scale, theme, filled=is_pinned(run))

    def status(self) -> str:
        run_tag = self._run_alone()
        if not run_tag:
            return ""
        words = tr(
            "{0}: drag a leg or a bend; Shift and drag leads it over a point; a double click takes a bend "
            "out. Z bends it by keys."
        )
        return words.format(run_tag)

    def _run_alone(self) -> str:
        """Return the run that alone is selected; empty if none is."""
        selected = self.board.scene.selected_tags()
        return selected[0] if len(selected) == 1 and selected[0] in self.board.vessel.run_by_tag else ""


def _told(tags: Sequence[str]) -> str:
    return tags[0] if len(tags) == 1 else tr("{0} parts").format(len(tags))
