# SPDX-License-Identifier: MIT
"""Lays a branch for each of some cabins along a supply and a return main, all in one step.

A click, or Enter at the cross, takes a cabin in or leaves it out, and on a main takes that main.  The
ghost shows every branch; Ctrl+Enter, or the button of the page, lays them.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeyEvent, QPainter

from app.canvas.ghost import paint_band, paint_room, paint_words
from app.canvas.tools.growth import Growth, growth, paint_growth
from app.canvas.tools.near_mains import SIDES, Side, cabin_at, longest_main, main_through, mains_of
from app.canvas.tools.tool import Board, Tool
from app.theme import Theme
from app.translation import tr
from solver.errors import FarcabinError
from solver.vessel.components import AirHandler
from solver.vessel.edits import BranchSettings, first_settings, repeat_for_cabins
from solver.vessel.fields import Point
from solver.vessel.routing import way
from solver.vessel.vessel import Cabin, Vessel

_ENTER = (Qt.Key.Key_Return, Qt.Key.Key_Enter)


class CabinsTool(Tool):
    """Has branches for several cabins in hand.

    Parameters
    ----------
    board : Board
    chosen_changed : callable
        Told when other cabins or mains are chosen, or the ghost is another.

    Attributes
    ----------
    settings : BranchSettings
        What the branches are made of.
    cabins : tuple of str
        Tags of the cabins chosen.
    mains : dict
        ``supply`` and ``return`` -> the runs of the main chosen.
    ghost : Growth or None
        What would be laid.
    reason : str
        Why nothing can be laid.
    """

    def __init__(self, board: Board, chosen_changed: Callable[[], None] = lambda: None) -> None:
        super().__init__(board)
        self.chosen_changed = chosen_changed
        self.settings: BranchSettings = first_settings(board.parts)
        self.cabins: tuple[str, ...] = ()
        self.mains: dict[Side, tuple[str, ...]] = dict.fromkeys(SIDES, ())
        self.ghost: Growth | None = None
        self.reason = ""
        self._after: Vessel | None = None
        self._under: Cabin | None = None

    def set_settings(self, settings: BranchSettings) -> None:
        """Make the branches of other parts."""
        self.settings = settings
        if self.cabins:
            self._work_out()

    def choose(self, cabins: Sequence[str]) -> None:
        """Take these cabins and no others, in the order of the vessel."""
        self.cabins = tuple(cabin.tag for cabin in self.board.vessel.cabins if cabin.tag in cabins)
        self._work_out()

    def choose_main(self, tag: str) -> None:
        """Take the main that a run belongs to."""
        mains = mains_of(self.board.vessel).runs
        if not any(tag in mains[side] for side in SIDES):
            self.board.refuse(tr("{0} is part of a branch or carries sea water, not a main").format(tag))
            return
        others = [self.mains[side][0] for side in SIDES if tag not in mains[side] and self.mains[side]]
        self._take_mains([tag, *others])
        self._work_out()

    def lay(self) -> bool:
        """Lay the branches; return whether they were."""
        after, count = self._after, len(self.cabins)
        if after is None:
            self.board.refuse(self.reason)
            return False
        tags = (
            [part.tag for part in self.ghost.components if isinstance(part, AirHandler)] if self.ghost else []
        )
        self.cabins = ()
        if self.board.ask(tr("Lay branches for {0} cabins").format(count), lambda _vessel: after):
            self.board.scene.select_tags(tags)
            return True
        return False

    def start(self) -> None:
        vessel, selected = self.board.vessel, self.board.scene.selected_tags()
        self._take_mains(selected)
        chosen = [tag for tag in selected if any(tag == cabin.tag for cabin in vessel.cabins)]
        self.choose(chosen or unserved(vessel, self.board.deck))

    def stop(self) -> None:
        self.cabins, self.ghost, self._after, self._under, self.reason = (), None, None, None, ""

    def vessel_changed(self) -> None:
        self._take_mains([tag for side in SIDES for tag in self.mains[side]])
        self.choose(self.cabins)

    def hover(self, at: Point) -> None:
        self._under = cabin_at(self.board.vessel, at, self.board.deck)

    def press(self, at: Point, modifiers: Qt.KeyboardModifier) -> bool:
        run_tag, cabin = self.board.run_at(at), cabin_at(self.board.vessel, at, self.board.deck)
        if run_tag:
            self.choose_main(run_tag)
        elif cabin is not None:
            others = tuple(tag for tag in self.cabins if tag != cabin.tag)
            self.choose(others if cabin.tag in self.cabins else (*others, cabin.tag))
        else:
            self.board.refuse(tr("Click a cabin or a main; Ctrl+Enter lays the branches"))
        return True

    def key(self, event: QKeyEvent) -> bool:
        if event.key() in _ENTER and event.modifiers() & Qt.KeyboardModifier.ControlModifier:
            self.lay()
            return True
        return False

    def paint(self, painter: QPainter, scale: float, theme: Theme) -> None:
        vessel, board = self.board.vessel, self.board
        for side in SIDES:
            for tag in self.mains[side]:
                if tag in vessel.run_by_tag:
                    paint_band(painter, way(vessel, vessel.run_by_tag[tag]), scale, theme)
        for cabin in vessel.cabins:
            if cabin.tag in self.cabins and cabin.outline:
                paint_room(painter, cabin.outline, scale, theme)
        if self.ghost is not None:
            paint_growth(painter, self.ghost._replace(cut=()), scale, theme)
        if not board.refused and self._under is not None:
            chosen = self._under.tag in self.cabins
            words = tr("leave out {0}") if chosen else tr("take in {0}")
            name = self._under.name or self._under.tag
            paint_words(painter, words.format(name), board.pointer, scale, theme)

    def status(self) -> str:
        if self.reason:
            return self.reason
        return tr(
            "Branches for {0} cabins: click cabins and mains to choose them, Ctrl+Enter lays the branches. "
            "F6 goes to the list, Escape ends."
        ).format(len(self.cabins))

    def _take_mains(self, tags: Sequence[str]) -> None:
        """Take the mains that some runs belong to, whole; without any the longest there are."""
        vessel = self.board.vessel
        runs = mains_of(vessel).runs
        for side in SIDES:
            meant = next((tag for tag in tags if tag in runs[side]), "")
            through = main_through(vessel, meant) if meant else longest_main(vessel, runs[side])
            self.mains[side] = tuple(tag for tag in through if tag in runs[side])

    def _work_out(self) -> None:
        """Make the ghost, or the reason why there is none."""
        self.ghost, self._after, self.reason = None, None, self._missing()
        if not self.reason:
            supply, back = (self.mains[side] for side in SIDES)
            try:
                after = repeat_for_cabins(self.board.vessel, self.settings, self.cabins, supply, back)
                self._after, self.ghost = after, growth(self.board.vessel, after)
            except FarcabinError as error:
                self.reason = str(error)
        self.chosen_changed()
        self.board.changed.emit()

    def _missing(self) -> str:
        if not self.cabins:
            return tr("No cabin is chosen: click cabins on the drawing or tick them in the list.")
        if not self.mains["supply"]:
            return tr("No supply main is chosen: click a run of it.")
        if not self.mains["return"]:
            return tr("No return main is chosen: click a run of it.")
        return ""


def unserved(vessel: Vessel, deck: str = "") -> tuple[str, ...]:
    """Return the cabins with a room that no air handler cools, of a deck if one is given."""
    served = {tag for part in vessel.components if isinstance(part, AirHandler) for tag in part.cabins}
    return tuple(
        cabin.tag
        for cabin in vessel.cabins
        if cabin.outline and cabin.tag not in served and (not deck or cabin.deck == deck)
    )
