# SPDX-License-Identifier: MIT
"""What every drawing tool is: it hears the pointer and the keys in drawing coordinates and asks for edits.

A tool never edits: ``Board.ask`` hands an edit on.  What it shows before that is painted over the
scene and leaves no trace in the document.
"""

from __future__ import annotations

import math
from collections.abc import Callable

from PySide6.QtCore import QObject, QPointF, QRectF, Qt, Signal
from PySide6.QtGui import QKeyEvent, QPainter

from app.canvas.grid import MODULE
from app.canvas.scene import VesselScene
from app.theme import Theme
from solver.vessel.fields import Point
from solver.vessel.footprint import Rect
from solver.vessel.parts_list import PartsList, read_parts_list
from solver.vessel.run import End
from solver.vessel.vessel import Vessel

#: Size of what a pointer must hit at a port [px].
TARGET_PX = 24.0
#: A bend is taken by a press this near [px].
BEND_PX = 9.0


class Board(QObject):
    """What the tools share: the scene, the pointer, and the way to the document.

    Attributes
    ----------
    edit_asked : Signal(str, object)
        Name of the step, and the function from vessel to vessel.
    said : Signal(str)
        What to do next.
    changed : Signal
        What the tool shows has changed.
    deck : str
        The deck that new parts go to; empty for that of what is near.
    parts : PartsList
        Where models come from.
    """

    edit_asked = Signal(str, object)
    said = Signal(str)
    changed = Signal()

    def __init__(self, scene: VesselScene, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.scene = scene
        self.scale = 1.0
        self.snaps = True
        self.pointer: Point = (0.0, 0.0)
        self.by_keys = False
        self.refused = ""
        self.deck = ""
        self.parts: PartsList = read_parts_list()

    @property
    def vessel(self) -> Vessel:
        """The vessel shown."""
        return self.scene.picture.vessel

    def ask(self, name: str, change: Callable[[Vessel], Vessel]) -> bool:
        """Ask for an edit; return whether it was made."""
        before = self.vessel
        self.refused = ""
        self.edit_asked.emit(name, change)
        self.changed.emit()
        return self.vessel is not before

    def refuse(self, reason: str) -> None:
        """Say at the pointer why something cannot be."""
        self.refused = reason
        self.changed.emit()

    def deck_at(self, point: Point) -> str:
        """Return the deck for a new part: the current one, else that of the nearest part, else none."""
        parts = self.vessel.components
        if self.deck or not parts:
            return self.deck
        return min(parts, key=lambda part: math.dist(part.at, point)).deck

    def snap(self, point: Point) -> Point:
        """Return the grid point nearest to a point, or the point itself while snapping is off."""
        if not self.snaps:
            return point
        return (round(point[0] / MODULE) * MODULE, round(point[1] / MODULE) * MODULE)

    def port_at(self, point: Point, within_px: float = TARGET_PX / 2) -> End | None:
        """Return the port at a point, the nearest; of ports at one place the one without a run."""
        reach = within_px / self.scale
        x, y = point
        area = Rect(x - reach - 60, y - reach - 60, x + reach + 60, y + reach + 60)
        found = [
            (
                round(math.dist(place, point), 6),
                bool(self.vessel.runs_at.get((item.tag, port))),
                item.tag,
                port,
            )
            for item in self.scene.picture.components.in_rect(area)
            for port, place in item.ports().items()
            if math.dist(place, point) <= reach
        ]
        return End(*min(found)[2:]) if found else None

    def run_at(self, point: Point) -> str:
        """Return the tag of the run at a point; empty if there is none."""
        tags = self.scene.tags_at(QPointF(*point))
        return next((tag for tag in tags if tag in self.vessel.run_by_tag), "")


class Tool:
    """One tool; what it does not want it leaves to the view by returning False."""

    #: Whether arrows lead a cross over the sheet, and Enter acts there.
    has_cross = True
    #: Keys it wants although a menu knows them.
    own_keys: frozenset[Qt.Key] = frozenset((Qt.Key.Key_Backspace,))
    cursor = Qt.CursorShape.CrossCursor

    def __init__(self, board: Board) -> None:
        self.board = board

    def start(self) -> None:
        """Be taken in hand."""

    def stop(self) -> None:
        """Be put down; forget what was begun."""

    def give_up(self) -> bool:
        """Forget what was begun; False if nothing was."""
        return False

    def hover(self, at: Point) -> None:
        """The pointer or the cross moved, no button down."""

    def press(self, at: Point, modifiers: Qt.KeyboardModifier) -> bool:
        """The left button went down, or Enter was pressed at the cross."""
        return False

    def drag(self, at: Point, modifiers: Qt.KeyboardModifier) -> bool:
        """The pointer moved with the left button down; a drawing tool keeps it from the view."""
        return self.has_cross

    def release(self, at: Point, modifiers: Qt.KeyboardModifier) -> bool:
        """The left button went up; a drawing tool keeps it from the view."""
        return self.has_cross

    def double_click(self, at: Point) -> bool:
        """The second press of a double click."""
        return self.press(at, Qt.KeyboardModifier.NoModifier)

    def key(self, event: QKeyEvent) -> bool:
        """A key was pressed."""
        return False

    def vessel_changed(self) -> None:
        """The document shows another vessel."""

    def paint(self, painter: QPainter, scale: float, theme: Theme) -> None:
        """Paint what is shown before the edit."""

    def status(self) -> str:
        """Return what to do next."""
        return ""


def rect_between(a: Point, b: Point) -> QRectF:
    """Return the rectangle between two corners."""
    return QRectF(QPointF(*a), QPointF(*b)).normalized()
