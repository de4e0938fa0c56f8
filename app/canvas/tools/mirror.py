# SPDX-License-Identifier: MIT
"""Gives a supply main its return main: the ghost shows it, a click on the main or Enter lays it.

D changes between a direct and a reverse return.  A click on a free port, or Enter at it, makes the return
end there; Backspace leaves its end open.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator

import msgspec
from PySide6.QtCore import Qt
from PySide6.QtGui import QKeyEvent, QPainter

from app.canvas.ghost import paint_band, paint_ports, paint_words
from app.canvas.tools.growth import Growth, growth, paint_growth
from app.canvas.tools.near_mains import main_through, mains_of
from app.canvas.tools.pair import MainSettings
from app.canvas.tools.tool import Board, Tool
from app.theme import Theme
from app.translation import tr
from solver.errors import FarcabinError
from solver.vessel.components import AirHandler, Chiller, CirculationPump
from solver.vessel.edits import mirror_main
from solver.vessel.edits.joining import port_words
from solver.vessel.fields import Point
from solver.vessel.footprint import port_place
from solver.vessel.routing import way
from solver.vessel.run import End
from solver.vessel.vessel import Vessel


class MirrorTool(Tool):
    """Has the return main of a supply main in hand.

    Parameters
    ----------
    board : Board
    chosen_changed : callable
        Told when another main, kind or end is chosen.

    Attributes
    ----------
    settings : MainSettings
        Its kind, and its distance from the supply main.
    main : tuple of str
        The runs of the supply main.
    to : End or None
        Where the return main ends.
    ghost : Growth or None
        What would be laid.
    reason : str
        Why nothing can be laid.
    """

    def __init__(self, board: Board, chosen_changed: Callable[[], None] = lambda: None) -> None:
        super().__init__(board)
        self.chosen_changed = chosen_changed
        self.settings = MainSettings()
        self.main: tuple[str, ...] = ()
        self.to: End | None = None
        self.ghost: Growth | None = None
        self.reason = ""
        self._after: Vessel | None = None

    def set_settings(self, settings: MainSettings) -> None:
        """Make it of another kind, or at another distance."""
        self.settings = settings
        if self.main:
            self._work_out()
        self.chosen_changed()

    def start(self) -> None:
        tags = [tag for tag in self.board.scene.selected_tags() if tag in self._supply_runs()]
        self._take(tags[0] if tags else "")

    def stop(self) -> None:
        self.main, self.to, self.ghost, self._after, self.reason = (), None, None, None, ""

    def vessel_changed(self) -> None:
        left = [tag for tag in self.main if tag in self._supply_runs()]
        self._take(left[0] if left else "")

    def hover(self, at: Point) -> None:
        tag = self.board.run_at(at)
        if tag and tag not in self.main and tag in self._supply_runs():
            self._take(tag)

    def press(self, at: Point, modifiers: Qt.KeyboardModifier) -> bool:
        self.hover(at)
        end, run_tag = self.board.port_at(at), self.board.run_at(at)
        if end is not None and end not in self.board.vessel.runs_at:
            self.end_at(None if end == self.to else end)
        elif run_tag in self.main or self.board.by_keys:
            self.lay()
        elif run_tag:
            self.board.refuse(tr("{0} is no run of a supply main").format(run_tag))
        else:
            self.board.refuse(tr("Click the supply main to lay its return, or a free port for its end"))
        return True

    def key(self, event: QKeyEvent) -> bool:
        if event.modifiers() & ~Qt.KeyboardModifier.ShiftModifier:
            return False
        if event.key() == Qt.Key.Key_D:
            kind = "direct" if self.settings.kind == "reverse" else "reverse"
            self.set_settings(msgspec.structs.replace(self.settings, kind=kind))
        elif event.key() == Qt.Key.Key_Backspace:
            self.end_at(None)
        else:
            return False
        return True

    def end_at(self, end: End | None) -> None:
        """Make the return main end at a port, or open."""
        self.to = end
        self._work_out()

    def lay(self) -> bool:
        """Lay the return main; return whether it was."""
        after, ghost = self._after, self.ghost
        if after is None or ghost is None:
            self.board.refuse(self.reason)
            return False
        words = tr("Lay a reverse return") if self.settings.kind == "reverse" else tr("Lay a direct return")
        if not self.board.ask(words, lambda _vessel: after):
            return False
        self.stop()
        self.chosen_changed()
        self.board.scene.select_tags(ghost.runs)
        return True

    def paint(self, painter: QPainter, scale: float, theme: Theme) -> None:
        vessel, board = self.board.vessel, self.board
        for tag in self.main:
            if tag in vessel.run_by_tag:
                paint_band(painter, way(vessel, vessel.run_by_tag[tag]), scale, theme)
        if self.ghost is not None:
            paint_growth(painter, self.ghost, scale, theme)
        if self.to is not None and self.main:
            paint_ports(painter, [_place(vessel, self.to)], scale, theme, lit=True)
        if board.refused:
            return
        if self.reason:
            paint_words(painter, self.reason, board.pointer, scale, theme, bad=bool(self.main))
        elif self.main:
            paint_words(painter, self.words(), board.pointer, scale, theme)

    def words(self) -> str:
        """Return what return main it would be, and where it ends."""
        kind = tr("reverse return") if self.settings.kind == "reverse" else tr("direct return")
        return tr("{0} to {1}").format(kind, port_words(self.to) if self.to else tr("an open end"))

    def status(self) -> str:
        if not self.main:
            return tr("Return main: point at a supply main. Escape ends.")
        if self.reason:
            return self.reason
        keys = tr(
            "Click the supply main or Enter lays it, D changes the kind, a click on a free port its end."
        )
        words = self.words()
        return f"{words[:1].upper()}{words[1:]}.  {keys}"

    # Details.

    def _supply_runs(self) -> list[str]:
        return mains_of(self.board.vessel).runs["supply"]

    def _take(self, tag: str) -> None:
        vessel = self.board.vessel
        supply = set(self._supply_runs())
        self.main = tuple(each for each in main_through(vessel, tag) if each in supply) if tag else ()
        ends = list(dict.fromkeys(open_return_ends(vessel)))
        start = way(vessel, vessel.run_by_tag[self.main[0]])[0] if self.main else (0.0, 0.0)
        self.to = min(ends, key=lambda end: math.dist(_place(vessel, end), start), default=None)
        self._work_out()

    def _work_out(self) -> None:
        self.ghost, self._after, self.reason = None, None, ""
        if not self.main:
            self.reason = tr("Point at a supply main")
        else:
            try:
                after = mirror_main(
                    self.board.vessel, self.main, self.settings.kind, to=self.to, gap=self.settings.gap
                )
                self._after, self.ghost = after, growth(self.board.vessel, after)
            except FarcabinError as error:
                self.reason = str(error)
        self.chosen_changed()
        self.board.changed.emit()


def open_return_ends(vessel: Vessel) -> Iterator[End]:
    """Yield the free ports at which water comes home: a chiller's or a pump's, or of what leads to one."""
    for component in vessel.components:
        if isinstance(component, Chiller | CirculationPump):
            port = "water_in" if isinstance(component, Chiller) else "inlet"
            end = _open_before(vessel, End(component.tag, port))
            if end is not None:
                yield end


def _open_before(vessel: Vessel, end: End) -> End | None:
    """Return the free port in which the pipe to a port begins, through parts in line."""
    seen: set[str] = set()
    while runs := vessel.runs_at.get(end):
        run = runs[0]
        if run.tag in seen:
            return None
        seen.add(run.tag)
        into = run.end if run.start == end else run.start
        component = vessel.component_by_tag[into.tag]
        if len(component.ports) != 2 or isinstance(component, AirHandler):
            return None
        end = End(into.tag, next(port for port in component.ports if port != into.port))
    return end


def _place(vessel: Vessel, end: End) -> Point:
    return port_place(vessel.component_by_tag[end.tag], end.port)
