# SPDX-License-Identifier: MIT
"""Places parts: a ghost goes with the pointer, a click or Enter drops it, into a run if it is on one.

R turns the ghost; it stays in hand for the next one until Escape.
"""

from __future__ import annotations

import msgspec
from PySide6.QtCore import Qt
from PySide6.QtGui import QKeyEvent, QPainter

from app.canvas.ghost import paint_component, paint_guides, paint_words
from app.canvas.tools.guides import aligned
from app.canvas.tools.preview import Preview, paint_preview, preview_of
from app.canvas.tools.tool import Board, Tool
from app.theme import Theme
from app.translation import tr
from solver.errors import EditError
from solver.parts.pipe_sizes import pipe_size
from solver.vessel.components import KINDS, AnyComponent
from solver.vessel.edits import drop_on_run, new_component, place
from solver.vessel.edits.cutting import deck_on
from solver.vessel.fields import Point
from solver.vessel.vessel import Vessel


class PlaceTool(Tool):
    """Has a kind of part in hand.

    Attributes
    ----------
    kind, model : str
        What is placed; without a model the middle one of the kind, in a run the one of its size.
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
        self._split: Preview | None = None
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
        self.ghost, self.run_tag, self._split, self._guides = None, "", None, []

    def vessel_changed(self) -> None:
        self._made = None
        self.hover(self.board.pointer)

    def hover(self, at: Point) -> None:
        self._guides, self._split, self.run_tag = [], None, ""
        if self._made is None:
            self._made = new_component(
                self.board.vessel, self.kind, at, model=self.model, parts=self.board.parts
            )
        self.ghost = msgspec.structs.replace(self._made, at=self.board.snap(at), turn=self.turn)
        run_tag = self.board.run_at(at)
        if run_tag and len(self.ghost.ports) > 1:
            self.run_tag = run_tag
            self._hover_on_run(at)
        elif self.board.snaps and not self.board.by_keys:
            at_pointer = msgspec.structs.replace(self.ghost, at=at)
            self.ghost, self._guides = aligned(self.board, at_pointer)

    def _hover_on_run(self, at: Point) -> None:
        vessel = self.board.vessel
        run = vessel.run_by_tag[self.run_tag]
        bore = pipe_size(run.series, run.size).bore_mm
        deck = deck_on(vessel, run, at)
        part = new_component(
            vessel, self.kind, at, deck=deck, model=self.model, bore_mm=bore, parts=self.board.parts
        )
        # What has no way straight through is not turned along the run.
        part = msgspec.structs.replace(part, at=self.board.snap(at), turn=self.turn)
        try:
            split = drop_on_run(vessel, part, self.run_tag, at)
        except EditError as error:
            self.board.refuse(str(error))
            return
        self.ghost, self._split = split.component_by_tag[part.tag], preview_of(vessel, split)

    def press(self, at: Point, modifiers: Qt.KeyboardModifier) -> bool:
        self.hover(at)
        ghost, run_tag = self.ghost, self.run_tag
        if ghost is None or (run_tag and self._split is None):
            return True
        if not run_tag:
            # On its deck until another height is given, so that rises come by themselves.
            height = 0.0 if self.board.deck else ghost.height_m
            ghost = msgspec.structs.replace(ghost, deck=self.board.deck_at(ghost.at), height_m=height)
        part = ghost

        def change(vessel: Vessel) -> Vessel:
            return drop_on_run(vessel, part, run_tag, at) if run_tag else place(vessel, part)

        if self.board.ask(tr("Place {0}").format(part.tag), change):
            self.board.scene.select_tags((part.tag,))
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
        if self._split is not None:
            paint_preview(painter, self._split, scale, theme)
            paint_words(painter, tr("into {0}").format(self.run_tag), self.ghost.at, scale, theme)
            return
        paint_guides(painter, self._guides, scale, theme)
        paint_component(painter, self.ghost, scale, theme)

    def status(self) -> str:
        name = KINDS[self.kind].__struct_config__.tag
        words = str(name).replace("_", " ").capitalize()
        return tr("{0}: click or Enter drops it, on a run it goes into it. R turns, Escape ends.").format(
            words
        )
