# SPDX-License-Identifier: MIT
"""Places parts: a ghost goes with the pointer, a click or Enter drops it, into a run if it is on one.

R turns the ghost; it stays in hand for the next one until Escape.
"""

from __future__ import annotations

import msgspec
from PySide6.QtCore import Qt
from PySide6.QtGui import QKeyEvent, QPainter

from app.canvas.ghost import paint_component, paint_guides, paint_way, paint_words
from app.canvas.routing import route
from app.canvas.tools.guides import aligned
from app.canvas.tools.parts_made import deck_for, new_component, on_run, placed
from app.canvas.tools.tool import Board, Tool
from app.theme import Theme
from app.translation import tr
from solver.vessel.components import KINDS, AnyComponent
from solver.vessel.fields import Point


class PlaceTool(Tool):
    """Has a kind of part in hand.

    Attributes
    ----------
    kind, model : str
        What is placed; without a model the middle one of the kind.
    ghost : Component or None
        Where it would come.
    run_tag : str
        The run it would come into, empty if into none.
    """

    def __init__(self, board: Board) -> None:
        super().__init__(board)
        self.kind, self.model, self.turn = "isolating_valve", "", 0
        self.ghost: AnyComponent | None = None
        self.run_tag = ""
        self._guides: list[tuple[Point, Point]] = []
        self._made: AnyComponent | None = None

    def choose(self, kind: str, model: str = "") -> None:
        """Take another part in hand; a part of the same kind keeps its turn."""
        if kind != self.kind:
            self.turn = 0
        self.kind, self.model, self._made = kind, model, None

    def start(self) -> None:
        self.hover(self.board.pointer)

    def stop(self) -> None:
        self.ghost, self.run_tag, self._guides = None, "", []

    def vessel_changed(self) -> None:
        self._made = None
        self.hover(self.board.pointer)

    def hover(self, at: Point) -> None:
        vessel = self.board.vessel
        if self._made is None:
            self._made = new_component(vessel, self.kind, at, model=self.model, parts=self.board.parts)
        self.ghost = msgspec.structs.replace(self._made, at=self.board.snap(at), turn=self.turn)
        self._guides, self.run_tag = [], self.board.run_at(at)
        if self.run_tag and len(self.ghost.ports) > 1:
            self.ghost, _ = on_run(vessel, self.run_tag, self.ghost)
        else:
            self.run_tag = ""
            if self.board.snaps and not self.board.by_keys:
                self.ghost, self._guides = aligned(self.board, self.ghost)

    def press(self, at: Point, modifiers: Qt.KeyboardModifier) -> bool:
        self.hover(at)
        ghost, run_tag = self.ghost, self.run_tag
        if ghost is None:
            return True
        part = msgspec.structs.replace(ghost, deck=self.board.deck or deck_for(self.board.vessel, ghost.at))
        if self.board.deck and not run_tag:
            # On its deck until another height is given, so that rises come by themselves.
            part = msgspec.structs.replace(part, height_m=0.0)
        if self.board.ask(tr("Place {0}").format(part.tag), lambda vessel: placed(vessel, part, run_tag)):
            self.board.scene.select_tags((part.tag,))
        return True

    def drag(self, at: Point, modifiers: Qt.KeyboardModifier) -> bool:
        return True

    def release(self, at: Point, modifiers: Qt.KeyboardModifier) -> bool:
        return True

    def key(self, event: QKeyEvent) -> bool:
        if event.key() != Qt.Key.Key_R or event.modifiers() & ~Qt.KeyboardModifier.ShiftModifier:
            return False
        back = event.modifiers() & Qt.KeyboardModifier.ShiftModifier
        self.turn = (self.turn + (3 if back else 1)) % 4
        self.hover(self.board.pointer)
        return True

    def paint(self, painter: QPainter, scale: float, theme: Theme) -> None:
        if self.ghost is None:
            return
        vessel = self.board.vessel
        if self.run_tag in vessel.run_by_tag:
            paint_way(painter, route(vessel, vessel.run_by_tag[self.run_tag]), scale, theme)
        paint_guides(painter, self._guides, scale, theme)
        paint_component(painter, self.ghost, scale, theme)
        if self.run_tag:
            paint_words(painter, tr("into {0}").format(self.run_tag), self.ghost.at, scale, theme)

    def status(self) -> str:
        name = KINDS[self.kind].__struct_config__.tag
        words = str(name).replace("_", " ").capitalize()
        return tr("{0}: click or Enter drops it, on a run it goes into it. R turns, Escape ends.").format(
            words
        )
