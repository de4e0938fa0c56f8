# SPDX-License-Identifier: MIT
"""Places a whole branch: an air handler with its valves and pipe, joined to the mains near it.

The ghost shows every part and where it would tee in; a click or Enter drops it in one step.  R turns it,
back to where the mains are at the end.  It stays in hand for the next one.
"""

from __future__ import annotations

from typing import Any

import msgspec
from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QKeyEvent, QPainter

from app.canvas.ghost import paint_refused_area, paint_words
from app.canvas.tools.growth import Growth, growth, paint_growth
from app.canvas.tools.near_mains import SIDES, Side, cabin_at, main_through, mains_of
from app.canvas.tools.tool import Board, Tool
from app.theme import Theme
from app.translation import tr
from solver.errors import FarcabinError
from solver.vessel.components import AirHandler, Tee
from solver.vessel.edits import BranchSettings, Where, first_settings, place_branch
from solver.vessel.edits.branch_layout import area
from solver.vessel.fields import Point
from solver.vessel.footprint import body
from solver.vessel.routing import obstacles_of
from solver.vessel.run import End
from solver.vessel.vessel import Cabin, Vessel


class BranchTool(Tool):
    """Has a branch in hand.

    Attributes
    ----------
    settings : BranchSettings
        What it is made of.
    turn : int or None
        The air handler's turn; None turns its ports to the mains.
    ghost : Growth or None
        What a click would add.
    reason : str
        Why it cannot stand at the pointer.
    """

    def __init__(self, board: Board) -> None:
        super().__init__(board)
        self.settings: BranchSettings = first_settings(board.parts)
        self.turn: int | None = None
        self.ghost: Growth | None = None
        self.reason = ""
        self._wheres: tuple[Where | None, Where | None] = (None, None)
        self._chosen: dict[Side, tuple[str, ...]] = {}
        self._after: Vessel | None = None
        self._made_for: tuple[object, ...] = ()
        self._cabin: Cabin | None = None
        self._turned = 0
        self._dropped_at: Point | None = None

    def set_settings(self, settings: BranchSettings) -> None:
        """Make the next branches of other parts."""
        self.settings = settings
        self.hover(self.board.pointer)
        self.board.changed.emit()

    def start(self) -> None:
        selected, runs = self.board.scene.selected_tags(), mains_of(self.board.vessel).runs
        self._chosen = {side: tuple(tag for tag in selected if tag in runs[side]) for side in SIDES}
        self.hover(self.board.pointer)

    def stop(self) -> None:
        self.ghost, self._after, self._made_for, self.reason = None, None, (), ""

    def vessel_changed(self) -> None:
        vessel, self._dropped_at = self.board.vessel, None
        for side, tags in self._chosen.items():
            # Runs chosen may have been cut: their pieces are the main as well.
            left = [tag for tag in tags if tag in mains_of(vessel).runs[side]]
            mains = (main_through(vessel, tag) for tag in left)
            self._chosen[side] = tuple(dict.fromkeys(tag for main in mains for tag in main))
        self.hover(self.board.pointer)

    def hover(self, at: Point) -> None:
        at = self.board.snap(at)
        wanted = (self.board.vessel, at, self.turn, self.settings, self.board.deck)
        made = self._made_for
        if made and wanted[0] is made[0] and wanted[1:] == made[1:]:
            return
        self._made_for = wanted
        if at != self._dropped_at:
            self._dropped_at = None
        self._wheres = mains_of(self.board.vessel).near(at, self._chosen)
        self._cabin = cabin_at(self.board.vessel, at, self.board.deck)
        try:
            self._after = self._placed(self.board.vessel, at)
        except FarcabinError as error:
            self._after, self.ghost, self.reason = None, None, str(error)
            return
        self.ghost = growth(self.board.vessel, self._after)
        self.reason = self._in_the_way(self.ghost)
        self._turned = self._air_handler().turn

    def press(self, at: Point, modifiers: Qt.KeyboardModifier) -> bool:
        self.hover(at)
        after = self._after
        if after is None or self.reason:
            self.board.refuse(self.reason)
            return True
        tag = self._air_handler().tag
        if self.board.ask(tr("Place the branch of {0}").format(tag), lambda _vessel: after):
            self.board.scene.select_tags((tag,))
            self._dropped_at = self.board.snap(at)
        return True

    def key(self, event: QKeyEvent) -> bool:
        if event.key() != Qt.Key.Key_R or event.modifiers() & ~Qt.KeyboardModifier.ShiftModifier:
            return False
        step = 3 if event.modifiers() & Qt.KeyboardModifier.ShiftModifier else 1
        turn = ((self._turned if self.turn is None else self.turn) + step) % 4
        self.turn = None
        self.hover(self.board.pointer)
        # Where the mains ask for that turn anyway, they are followed again.
        if turn != self._turned:
            self.turn = turn
            self.hover(self.board.pointer)
        return True

    def paint(self, painter: QPainter, scale: float, theme: Theme) -> None:
        board = self.board
        at = board.snap(board.pointer)
        if at == self._dropped_at:
            # Not in its own way before the pointer moves on.
            return
        box = area(self.settings, at, self._turned)
        if self.reason:
            outline = QRectF(box.left, box.top, box.right - box.left, box.bottom - box.top)
            paint_refused_area(painter, outline, scale, theme)
            if not board.refused:
                paint_words(painter, self.reason, board.pointer, scale, theme, bad=True)
        elif self.ghost is not None:
            paint_growth(painter, self.ghost, scale, theme)
            if not board.refused:
                paint_words(painter, self.words(), (box.right, box.top), scale, theme)

    def words(self) -> str:
        """Return which air handler it would be, for which cabin, and on what mains."""
        said = [self._air_handler().tag]
        if self._cabin is not None:
            said.append(tr("for {0}").format(self._cabin.name or self._cabin.tag))
        ends = [
            words.format(where.tag if isinstance(where, End) else where.run)
            for words, where in zip((tr("from {0}"), tr("to {0}")), self._wheres, strict=True)
            if where is not None
        ]
        said += ends or [tr("no main near, its ends stay open")]
        if len(ends) == 1:
            said.append(tr("no return main near") if self._wheres[0] else tr("no supply main near"))
        return "   ".join(said)

    def status(self) -> str:
        if self.reason and self.board.snap(self.board.pointer) != self._dropped_at:
            return self.reason
        keys = tr("Click or Enter drops it, R turns it, F6 goes to what it is made of, Escape ends.")
        return f"{self.words()}.  {keys}" if self.ghost is not None and not self.reason else keys

    # Details.

    def _placed(self, vessel: Vessel, at: Point) -> Vessel:
        cabin, settings = self._cabin, self.settings
        if self.board.deck and settings.height_m is None:
            # On its deck until another height is given, so that rises come by themselves.
            settings = msgspec.structs.replace(settings, height_m=0.0)
        own: dict[str, Any] = {"deck": self.board.deck_at(at), "turn": self.turn}
        if cabin is not None:
            own |= {"deck": cabin.deck, "name": cabin.name, "cabins": (cabin.tag,)}
        return place_branch(vessel, settings, *self._wheres, at, **own)

    def _in_the_way(self, ghost: Growth) -> str:
        """Return why the parts of a ghost have no room, empty if they have."""
        obstacles = obstacles_of(self.board.vessel)
        for part in ghost.components:
            met = [] if isinstance(part, Tee) else obstacles.bodies_in(body(part))
            if met:
                return tr("{0} stands in the way").format(met[0])
        return ""

    def _air_handler(self) -> AirHandler:
        assert self.ghost is not None
        return next(part for part in self.ghost.components if isinstance(part, AirHandler))
