# SPDX-License-Identifier: MIT
"""What ties decks and deck plans to the window: how decks show, placing, moving and scaling plans."""

from __future__ import annotations

from itertools import count
from pathlib import Path

from PySide6.QtCore import QObject, QPoint, QPointF
from PySide6.QtWidgets import QFileDialog

from app.canvas.scene import VesselScene
from app.canvas.tools.scale_tool import MoveTool, ScaleTool
from app.canvas.view import VesselView
from app.editing.document import Document
from app.editing.underlays import (
    SUFFIXES,
    PictureError,
    add_underlay,
    new_underlay,
    scale_underlay,
    set_underlay,
)
from app.panels.decks_panel import DecksPanel
from app.panels.shown import Shown
from app.panels.underlay_form import DistanceEntry
from app.translation import tr
from app.window.notice_bar import NoticeBar
from app.window.status_bar import StatusBar
from solver.errors import EditError
from solver.vessel.fields import Point
from solver.vessel.takeoff import scale_by_two_points
from solver.vessel.vessel import Vessel

#: How long a word about what to do next stays in the status bar; 0 is until it is done.
_UNTIL_DONE = 0
#: Room between a point and the field beside it [px].
_BESIDE = 16


class PlanSide(QObject):
    """Keeps deck plans on the scene in step with vessel, decks and theme, and edits them.

    Attributes
    ----------
    scale_tool : ScaleTool
    move_tool : MoveTool
    entry : DistanceEntry
        Takes the distance between two points.
    """

    def __init__(
        self,
        document: Document,
        scene: VesselScene,
        view: VesselView,
        shown: Shown,
        panel: DecksPanel,
        notices: NoticeBar,
        status: StatusBar,
    ) -> None:
        super().__init__(view)
        self._document, self._scene, self._view = document, scene, view
        self._panel, self._notices, self._status = panel, notices, status
        self._told: tuple[str, ...] = ()
        self._points: tuple[Point, Point] | None = None
        self._index = -1
        self._drags = count()
        self._drag = next(self._drags)
        self.scale_tool = ScaleTool(scene, view)
        self.move_tool = MoveTool(scene, view)
        self.entry = DistanceEntry(shown, view.viewport())
        panel.plans.add_asked.connect(self.add)
        panel.plans.scale_asked.connect(self.start_scale)
        panel.scale.scale_asked.connect(self.start_deck_scale)
        panel.plans.move_asked.connect(self.start_move)
        self.scale_tool.measured.connect(self._ask_distance)
        self.scale_tool.given_up.connect(self._end)
        self.move_tool.dragged.connect(self._move)
        self.move_tool.given_up.connect(self._end)
        self.move_tool.ended.connect(self._end)
        self.entry.given.connect(self._scale)
        self.entry.given_up.connect(self.scale_tool.give_up)
        document.opened.connect(self._opened)
        document.changed.connect(self.refresh)
        document.path_changed.connect(self.refresh)
        panel.decks.changed.connect(self.refresh)
        shown.theme_changed.connect(self.refresh)
        self.refresh()

    def refresh(self, *_what: object) -> None:
        """Show decks and deck plans as they are now."""
        layers = self._panel.decks.layers
        self._scene.set_decks(layers)
        problems = self._scene.show_underlays(self._document.path, layers)
        if problems != self._told:
            self._told = problems
            for text in problems:
                self._notices.tell(text, "warn")

    def add(self) -> None:
        """Ask for a picture and put it under the drawing, in the middle of what is seen."""
        path = self.ask_path()
        if path:
            self.add_path(Path(path))

    def add_path(self, path: Path) -> bool:
        """Put a picture under the drawing; what is wrong with it is told."""
        empty = self._document.is_empty and not self._document.vessel.underlays
        try:
            plan = new_underlay(path, self._document.path, self._panel.decks.current, self._place())
            self._document.edit(tr("Add a deck plan"), lambda vessel: add_underlay(vessel, plan))
        except (PictureError, EditError) as error:
            self._panel.plans.tell(str(error))
            self._notices.tell(str(error), "bad")
            return False
        self._panel.plans.tell("")
        self._panel.plans.choose(len(self._document.vessel.underlays) - 1)
        if empty:
            self._view.fit()
        return True

    def start_scale(self, index: int | None = None) -> None:
        """Ask for two points on a deck plan; on the drawing itself where there is none."""
        self._begin(index)
        self._ask_points()

    def start_deck_scale(self) -> None:
        """Ask for two points of the drawing, for the scale of the current deck."""
        self._begin(-1)
        self._ask_points()

    def _ask_points(self) -> None:
        self.scale_tool.start()
        self._say(tr("Click two points whose distance you know, or use the arrow keys and Enter."))

    def start_move(self, index: int | None = None) -> None:
        """Let the deck plan be dragged."""
        self._begin(index)
        if self._index >= 0:
            self.move_tool.start()
            self._say(tr("Drag the deck plan, or use the arrow keys; Enter or Esc ends it."))

    def ask_path(self) -> str:
        """Ask for a picture; empty if none is chosen."""
        folder = str(self._document.path.parent) if self._document.path else ""
        kinds = tr("Deck plans") + " (" + " ".join(f"*{suffix}" for suffix in SUFFIXES) + ")"
        return QFileDialog.getOpenFileName(self._view, tr("Add a deck plan"), folder, kinds)[0]

    def _place(self) -> Point:
        """Return where the top left corner of a new plan goes: that of the drawing, on the grid."""
        area = self._scene.extent()
        if area.isEmpty():
            return (0.0, 0.0)
        return (round(area.left() / 10) * 10.0, round(area.top() / 10) * 10.0)

    def _begin(self, index: int | None) -> None:
        self.scale_tool.give_up()
        self.move_tool.give_up()
        self._index = self._panel.plans.index if index is None else index

    def _ask_distance(self, first: QPointF, second: QPointF) -> None:
        self._points = ((first.x(), first.y()), (second.x(), second.y()))
        self.entry.ask()
        place = self._view.mapFromScene(second) + QPoint(_BESIDE, _BESIDE)
        port = self._view.viewport().rect()
        left = min(max(place.x(), 0), max(port.width() - self.entry.width() - _BESIDE, 0))
        top = min(max(place.y(), 0), max(port.height() - self.entry.height() - _BESIDE, 0))
        self.entry.move(left, top)

    def _scale(self, distance: float) -> None:
        if self._points is None:
            return
        index, deck, (first, second) = self._index, self._panel.decks.current, self._points
        name = tr("Set the scale of the deck plan") if index >= 0 else tr("Set the scale of the drawing")

        def change(vessel: Vessel) -> Vessel:
            if index >= 0:
                return scale_underlay(vessel, index, first, second, distance)
            return scale_by_two_points(vessel, deck, first, second, distance)

        try:
            self._document.edit(name, change)
        except EditError as error:
            self.entry.tell(str(error))
            return
        self.scale_tool.done()
        self._end()

    def _move(self, dx: float, dy: float, last: bool) -> None:
        index = self._index
        x, y = self._document.vessel.underlays[index].at
        self._document.edit(
            tr("Move the deck plan"),
            lambda vessel: set_underlay(vessel, index, at=(x + dx, y + dy)),
            ("plan", index, self._drag),
        )
        if last:
            self._drag = next(self._drags)

    def _opened(self) -> None:
        self.scale_tool.give_up()
        self.move_tool.give_up()
        self._told = ()

    def _end(self) -> None:
        self._points = None
        self.entry.hide()
        self._status.clearMessage()
        self._view.setFocus()

    def _say(self, text: str) -> None:
        self._status.showMessage(text, _UNTIL_DONE)
