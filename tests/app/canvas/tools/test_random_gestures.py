# SPDX-License-Identifier: MIT
"""Random gestures of mouse and keys: nothing is raised, and the drawing is always that of the document."""

from __future__ import annotations

import random
from collections.abc import Callable

import pytest
from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from app.canvas.part_keys import PART_KEYS, TOOL_KEYS
from app.canvas.picture import Picture
from app.canvas.scene import VesselScene
from app.canvas.tools.toolbox import ToolBox
from app.canvas.view import VesselView
from app.editing.document import Document
from solver.errors import EditError
from solver.vessel.fields import Point
from solver.vessel.footprint import port_place
from solver.vessel.routing import way
from solver.vessel.vessel import Vessel
from tests.app.pointer import move_mouse
from tests.app.small_loop import small_loop

_LEFT = Qt.MouseButton.LeftButton
_MODIFIERS = (
    *[Qt.KeyboardModifier.NoModifier] * 6,
    Qt.KeyboardModifier.ShiftModifier,
    Qt.KeyboardModifier.ControlModifier,
    Qt.KeyboardModifier.AltModifier,
)
_KEYS = (
    *[Qt.Key.Key_Up, Qt.Key.Key_Down, Qt.Key.Key_Left, Qt.Key.Key_Right] * 4,
    *[Qt.Key.Key_Return, Qt.Key.Key_Escape, Qt.Key.Key_R] * 2,
    Qt.Key.Key_Insert,
    Qt.Key.Key_Delete,
    Qt.Key.Key_Backspace,
)
_LETTERS = [key[-1].lower() for key in (*TOOL_KEYS.values(), *list(PART_KEYS.values())[:6])]
#: A drawing with more components begins anew.
_MOST = 60


class _Hand:
    """Draws at random.

    Attributes
    ----------
    done : str
        The last gesture, for a test that fails.
    """

    def __init__(self, seed: int, scene: VesselScene, view: VesselView) -> None:
        self.random = random.Random(seed)
        self.document = Document(small_loop())
        self.scene, self.view = scene, view
        self.scene.show_vessel(self.document.vessel)
        self.document.changed.connect(lambda _old, new, _kinds: self.scene.show_vessel(new))
        self.tools = ToolBox(self.scene, self.view)
        self.tools.edit_asked.connect(self._edit)
        self.done = ""

    def _edit(self, name: str, change: Callable[[Vessel], Vessel]) -> None:
        before = self.document.vessel
        try:
            self.document.edit(name, change)
        except EditError as refusal:
            assert str(refusal)
            assert self.document.vessel is before
            self.tools.refuse(str(refusal))

    def gesture(self) -> None:
        """Make one gesture."""
        chance, modifiers = self.random.random(), self.random.choice(_MODIFIERS)
        port = self.view.viewport()
        if chance < 0.15:
            letter = self.random.choice(_LETTERS)
            self.done = f"letter {letter}"
            QTest.keyClicks(self.view, letter)
        elif chance < 0.4:
            key = self.random.choice(_KEYS)
            self.done = f"key {key} {modifiers}"
            QTest.keyClick(self.view, key, modifiers)
        elif chance < 0.65:
            place = self._place()
            self.done = f"click {place} {modifiers}"
            move_mouse(port, place)
            QTest.mouseClick(port, _LEFT, modifiers, place)
        elif chance < 0.7:
            place = self._place()
            self.done = f"double click {place}"
            QTest.mouseDClick(port, _LEFT, Qt.KeyboardModifier.NoModifier, place)
        elif chance < 0.92:
            self._drag(self._place(), self._place(), modifiers)
        else:
            self.done = "undo or redo"
            for _ in range(self.random.randint(1, 3)):
                self.random.choice([self.document.undo, self.document.undo, self.document.redo])()

    def _drag(self, start: QPoint, end: QPoint, modifiers: Qt.KeyboardModifier) -> None:
        self.done = f"drag {start} to {end} {modifiers}"
        port = self.view.viewport()
        QTest.mousePress(port, _LEFT, modifiers, start)
        for share in (0.3, 0.7, 1.0):
            move_mouse(port, start + (end - start) * share, _LEFT, modifiers)
        if self.random.random() < 0.15:
            QTest.keyClick(self.view, Qt.Key.Key_Escape)
        QTest.mouseRelease(port, _LEFT, modifiers, end)

    def _place(self) -> QPoint:
        """Return a place of the view: on a component, a port or a run mostly, or beside it."""
        vessel, chance = self.document.vessel, self.random.random()
        if vessel.components and chance < 0.6:
            part = self.random.choice(vessel.components)
            place = self.random.choice([part.at, *(port_place(part, port) for port in part.ports)])
        elif vessel.runs and chance < 0.85:
            points = way(vessel, self.random.choice(vessel.runs))
            leg, share = self.random.randrange(len(points) - 1), self.random.random()
            (ax, ay), (bx, by) = points[leg], points[leg + 1]
            place = (ax + share * (bx - ax), ay + share * (by - ay))
        else:
            place = (self.random.uniform(-100, 420), self.random.uniform(-60, 320))
        beside: Point = (self.random.choice([0, 0, 10, -33.3]), self.random.choice([0, 0, -20, 7.7]))
        return self.view.mapFromScene(QPointF(place[0] + beside[0], place[1] + beside[1]))


@pytest.mark.parametrize("seed", [1, 2])
def test_the_drawing_is_that_of_the_document_whatever_is_done(
    seed: int, scene: VesselScene, view: VesselView
) -> None:
    hand = _Hand(seed, scene, view)
    steps = 0
    for number in range(300):
        before = hand.document.vessel
        hand.gesture()
        steps += hand.document.vessel is not before
        assert hand.scene.picture.vessel is hand.document.vessel, hand.done
        if number % 10 == 0:
            QApplication.processEvents()
            fresh = Picture()
            fresh.show_vessel(hand.document.vessel)
            assert hand.scene.picture.drawn_as() == fresh.drawn_as(), hand.done
        if len(hand.document.vessel.components) > _MOST:
            hand.document.show(small_loop())
    assert steps > 30, "hardly anything was done"
