# SPDX-License-Identifier: MIT
"""Bends one run: what of it is taken moves with the pointer or the cross, and is pinned there.

By keys: Z goes from grip to grip along the run, Shift+Z back; the arrows move it, Enter leaves it there,
Insert leads the run over the cross, Delete takes a bend out.
"""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeyEvent, QPainter

from app.canvas.ghost import paint_dots, paint_way
from app.canvas.tools.grips import Grip, grip_at, grips_of, pulled
from app.canvas.tools.preview import Preview, paint_preview, preview_of
from app.canvas.tools.tool import BEND_PX, Board, Tool
from app.theme import Theme
from app.translation import tr
from solver.errors import EditError
from solver.vessel.edits import add_bend, remove_bend
from solver.vessel.edits.following import is_pinned
from solver.vessel.fields import Point
from solver.vessel.routing import bends_of, way
from solver.vessel.vessel import Vessel


class BendTool(Tool):
    """Bends the run that is selected; a click on another run takes that.

    Attributes
    ----------
    run_tag : str
        The run; empty while there is none.
    grip : Grip or None
        What of it is taken.
    preview : Preview or None
        What would change.
    """

    own_keys = frozenset((Qt.Key.Key_Backspace, Qt.Key.Key_Delete))

    def __init__(self, board: Board) -> None:
        super().__init__(board)
        self.run_tag = ""
        self.grip: Grip | None = None
        self.preview: Preview | None = None
        self._held = False
        self._change: Callable[[Vessel], Vessel] | None = None

    def start(self) -> None:
        selected = self.board.scene.selected_tags()
        self.run_tag = next((tag for tag in selected if tag in self.board.vessel.run_by_tag), "")
        self.grip = None
        if self.run_tag:
            self._take(0)

    def stop(self) -> None:
        self.give_up()
        self.run_tag, self.grip = "", None

    def give_up(self) -> bool:
        begun = self.preview is not None
        self.preview, self._change, self._held = None, None, False
        if begun and self.grip is not None:
            self.board.pointer = self.grip.at
        return begun

    def vessel_changed(self) -> None:
        self.preview, self._change, self._held = None, None, False
        if self.run_tag not in self.board.vessel.run_by_tag:
            self.run_tag, self.grip = "", None
        else:
            # The grips are others now; the one nearest to where the work is goes on.
            points = self._points()
            self.grip = grip_at(points, self.board.pointer, BEND_PX / self.board.scale)

    def hover(self, at: Point) -> None:
        if self.run_tag and self.board.by_keys:
            self._pull(at)
        elif self.run_tag:
            self.preview, self._change = None, None
            self.grip = grip_at(self._points(), at, BEND_PX / self.board.scale)

    def press(self, at: Point, modifiers: Qt.KeyboardModifier) -> bool:
        if self.board.by_keys and self.run_tag:
            self._leave()
            return True
        run_tag = self.board.run_at(at)
        if not run_tag:
            self.board.refuse(tr("Click the run to be bent"))
            return True
        self.run_tag, self._held = run_tag, not self.board.by_keys
        self.board.scene.select_tags((run_tag,))
        self.grip = grip_at(self._points(), at, BEND_PX / self.board.scale)
        return True

    def drag(self, at: Point, modifiers: Qt.KeyboardModifier) -> bool:
        if self._held:
            self._pull(at)
        return True

    def release(self, at: Point, modifiers: Qt.KeyboardModifier) -> bool:
        if self._held:
            self._held = False
            self._leave()
        return True

    def double_click(self, at: Point) -> bool:
        if self.run_tag:
            self.hover(at)
            self._take_out()
        return True

    def key(self, event: QKeyEvent) -> bool:
        key, modifiers = Qt.Key(event.key()), event.modifiers()
        if not self.run_tag or modifiers & ~Qt.KeyboardModifier.ShiftModifier:
            return False
        if key == Qt.Key.Key_Z:
            grips = grips_of(self._points())
            now = grips.index(self.grip) if self.grip in grips else 0
            step = -1 if modifiers & Qt.KeyboardModifier.ShiftModifier else 1
            self._take((now + step) % len(grips))
        elif key == Qt.Key.Key_Insert:
            self._add(self.board.snap(self.board.pointer))
        elif key in (Qt.Key.Key_Delete, Qt.Key.Key_Backspace):
            self._take_out()
        else:
            return False
        return True

    def paint(self, painter: QPainter, scale: float, theme: Theme) -> None:
        if not self.run_tag:
            return
        if self.preview is not None:
            paint_preview(painter, self.preview, scale, theme)
        else:
            points = self._points()
            paint_way(painter, points, scale, theme)
            pinned = is_pinned(self.board.vessel.run_by_tag[self.run_tag])
            paint_dots(painter, bends_of(points), scale, theme, filled=pinned)
        if self.grip is not None and self.preview is None:
            paint_dots(painter, (self.grip.at,), scale, theme, lit=True)

    def status(self) -> str:
        if not self.run_tag:
            return tr("Click the run to be bent. Escape ends.")
        words = tr(
            "{0}: drag a leg or a bend. By keys: Z the next, arrows and Enter move it, Insert leads the run "
            "over the cross, Delete takes a bend out. Escape ends."
        )
        return words.format(self.run_tag)

    def _points(self) -> tuple[Point, ...]:
        vessel = self.board.vessel
        return way(vessel, vessel.run_by_tag[self.run_tag])

    def _take(self, number: int) -> None:
        """Take a grip by its number, with the cross on it."""
        self.give_up()
        self.grip = grips_of(self._points())[number]
        self.board.pointer, self.board.by_keys = self.grip.at, True

    def _pull(self, at: Point) -> None:
        """Show the run with its grip at a place."""
        grip, run_tag, to = self.grip, self.run_tag, self.board.snap(at)
        if grip is None:
            return
        vessel = self.board.vessel
        try:
            grown = pulled(vessel, run_tag, grip, to)
        except EditError as error:
            self.preview, self._change = None, None
            self.board.refuse(str(error))
            return
        self.preview, self._change = preview_of(vessel, grown), lambda _vessel: grown

    def _leave(self) -> None:
        """Leave the grip where it is shown."""
        if self._change is not None:
            self.board.ask(tr("Bend {0}").format(self.run_tag), self._change)

    def _add(self, at: Point) -> None:
        run_tag = self.run_tag
        self.board.ask(tr("Add a bend to {0}").format(run_tag), lambda vessel: add_bend(vessel, run_tag, at))

    def _take_out(self) -> None:
        run_tag, grip = self.run_tag, self.grip
        if grip is None or grip.kind != "bend":
            self.board.refuse(tr("Only a bend can be taken out; Z goes from one to the next"))
            return
        self.board.ask(
            tr("Take a bend out of {0}").format(run_tag),
            lambda vessel: remove_bend(vessel, run_tag, grip.number),
        )
