# SPDX-License-Identifier: MIT
"""Moves what is selected and bends runs; clicks and bands are left to the view's own selecting.

A drag shows where things would lie and becomes one edit on release.  Dragging from a free port
begins a run.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QKeyEvent, QPainter
from PySide6.QtWidgets import QApplication

from app.canvas.ghost import paint_component, paint_dots, paint_guides, paint_way
from app.canvas.grid import MODULE
from app.canvas.routing import route
from app.canvas.tools.guides import shift_to_ports
from app.canvas.tools.parts_made import nearest_on
from app.canvas.tools.tool import Board, Tool
from app.theme import Theme
from app.translation import tr
from solver.errors import EditError
from solver.vessel.edits import move, set_field, turn
from solver.vessel.fields import Point
from solver.vessel.run import End
from solver.vessel.vessel import Vessel

#: A bend is taken by a press this near [px]; a port too, where a run is dragged out of it.
_BEND_PX, _PORT_PX = 9.0, 7.0
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
    cursor = Qt.CursorShape.ArrowCursor

    def __init__(self, board: Board, begin_run: Callable[[End], None]) -> None:
        super().__init__(board)
        self._begin_run = begin_run
        self._grabbed = ""
        self._port: End | None = None
        self._from: Point = (0.0, 0.0)
        self.preview: Vessel | None = None
        self._guides: list[tuple[Point, Point]] = []

    def stop(self) -> None:
        self.give_up()

    def give_up(self) -> bool:
        begun = self.preview is not None
        self._grabbed, self._port, self.preview, self._guides = "", None, None, []
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
                self.preview = bent(self.board.vessel, self._grabbed, self._from, at, self.board)
            else:
                self.preview = self._moved(selected, at)
        except EditError as error:
            self.board.refuse(str(error))
        return True

    def _moved(self, tags: Sequence[str], at: Point) -> Vessel:
        """Return the vessel with the selection moved so that what is grabbed snaps."""
        vessel = self.board.vessel
        anchor = vessel.component_by_tag.get(self._grabbed)
        start = anchor.at if anchor else self._from
        to = self.board.snap((start[0] + at[0] - self._from[0], start[1] + at[1] - self._from[1]))
        dx, dy = to[0] - start[0], to[1] - start[1]
        moved = move(vessel, tags, dx, dy)
        self._guides = []
        parts = tuple(moved.component_by_tag[tag] for tag in tags if tag in moved.component_by_tag)
        if self.board.snaps and len(parts) < 20:
            (sx, sy), self._guides = shift_to_ports(self.board, parts, frozenset(tags))
            if sx or sy:
                moved = move(vessel, tags, dx + sx, dy + sy)
        return moved

    def release(self, at: Point, modifiers: Qt.KeyboardModifier) -> bool:
        preview, grabbed = self.preview, self._grabbed
        selected = self.board.scene.selected_tags()
        self.give_up()
        if preview is None:
            return False
        before = self.board.vessel
        bends = grabbed in before.run_by_tag and selected == (grabbed,)
        words = tr("Bend {0}") if bends else tr("Move {0}")
        self.board.ask(words.format(_told(selected)), lambda vessel: preview)
        return True

    def double_click(self, at: Point) -> bool:
        run_tag = self.board.run_at(at)
        tags = self.board.scene.tags_at(QPointF(*at))
        if not run_tag or tags[0] != run_tag:
            return False
        self.board.scene.select_tags((run_tag,))
        self.board.ask(tr("Add a bend to {0}").format(run_tag), lambda vessel: with_bend(vessel, run_tag, at))
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
        before, after = self.board.vessel, self.preview
        if after is None:
            selected = self.board.scene.selected_tags()
            if len(selected) == 1 and selected[0] in before.run_by_tag:
                paint_dots(painter, before.run_by_tag[selected[0]].bends, scale, theme)
            return
        moved = {
            tag for tag, part in after.component_by_tag.items() if before.component_by_tag[tag] is not part
        }
        old = before.run_by_tag
        for run in after.runs:
            if run is not old[run.tag] or run.start.tag in moved or run.end.tag in moved:
                paint_way(painter, route(after, run), scale, theme)
                paint_dots(painter, run.bends, scale, theme)
        for tag in moved:
            paint_component(painter, after.component_by_tag[tag], scale, theme)
        paint_guides(painter, self._guides, scale, theme)


def _told(tags: Sequence[str]) -> str:
    return tags[0] if len(tags) == 1 else tr("{0} parts").format(len(tags))


def with_bend(vessel: Vessel, run_tag: str, at: Point) -> Vessel:
    """Return the vessel with the way of a run pinned, and a bend in it near a point."""
    run = vessel.run_by_tag[run_tag]
    way = route(vessel, run)
    place, _, leg = nearest_on(way, at)
    corners = [*way[1 : leg + 1], (round(place[0], 1), round(place[1], 1)), *way[leg + 1 : -1]]
    return set_field(vessel, (run_tag,), "bends", corners)


def bent(vessel: Vessel, run_tag: str, grabbed: Point, to: Point, board: Board) -> Vessel:
    """Return the vessel with a bend of a run, or the leg grabbed, dragged to another place."""
    run = vessel.run_by_tag[run_tag]
    way = route(vessel, run)
    corners = list(run.bends) or way[1:-1]
    reach = _BEND_PX / board.scale
    near = [index for index, corner in enumerate(corners) if math.dist(corner, grabbed) <= reach]
    to = board.snap(to)
    if near:
        corners = _corner_moved(corners, near[0], to)
    else:
        _, _, leg = nearest_on(way, grabbed)
        corners = _leg_moved(way, leg, to)
    return set_field(vessel, (run_tag,), "bends", corners)


def _corner_moved(corners: list[Point], index: int, to: Point) -> list[Point]:
    """Move one corner; its neighbours go along so that the legs stay straight."""
    old, moved = corners[index], list(corners)
    moved[index] = to
    for other in (index - 1, index + 1):
        if 0 <= other < len(corners):
            x, y = corners[other]
            if x == old[0]:
                moved[other] = (to[0], y)
            elif y == old[1]:
                moved[other] = (x, to[1])
    return moved


def _leg_moved(way: list[Point], leg: int, to: Point) -> list[Point]:
    """Move one leg across; where it ends at a port, a short piece stays there."""
    a, b = way[leg], way[leg + 1]
    level = a[1] == b[1]
    along = math.copysign(MODULE, b[0] - a[0] if level else b[1] - a[1])
    if leg == 0:
        a = (a[0] + along, a[1]) if level else (a[0], a[1] + along)
    if leg == len(way) - 2:
        b = (b[0] - along, b[1]) if level else (b[0], b[1] - along)
    new_a, new_b = ((a[0], to[1]), (b[0], to[1])) if level else ((to[0], a[1]), (to[0], b[1]))
    before = [*way[1:leg], *([a] if leg == 0 else [])]
    after = [*([b] if leg == len(way) - 2 else []), *way[leg + 2 : -1]]
    return [*before, new_a, new_b, *after]
