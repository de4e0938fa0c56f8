# SPDX-License-Identifier: MIT
"""A chiller with mains and cabins for tests of the tools that place several parts at once."""

from __future__ import annotations

from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtTest import QTest

from app.window.main_window import MainWindow
from solver.vessel.edits import add, add_cabin, pair
from solver.vessel.fields import Point
from solver.vessel.run import End
from solver.vessel.vessel import Cabin, Vessel
from tests.app.parts_drawn import part
from tests.app.pointer import move_mouse

NONE, SHIFT, CONTROL = (
    Qt.KeyboardModifier.NoModifier,
    Qt.KeyboardModifier.ShiftModifier,
    Qt.KeyboardModifier.ControlModifier,
)
_LEFT = Qt.MouseButton.LeftButton


def chiller() -> Vessel:
    """A chiller whose ports are at (50, 300) and (50, 340)."""
    return add(Vessel(name="Test"), components=(part("chiller", "CH-1", at=(0.0, 320.0)),))


def mains(end: float = 1000.0) -> Vessel:
    """A chiller and a pair of mains across the sheet: supply at y = 300, return 40 below it."""
    ends = (End("CH-1", "water_out"), End("CH-1", "water_in"))
    return pair(chiller(), ((60.0, 300.0), (end, 300.0)), start=ends, gap=40.0)


def with_cabins(vessel: Vessel, count: int) -> Vessel:
    """Some cabins in a row above the mains."""
    for number in range(count):
        left = 120.0 + 160.0 * number
        outline = ((left, 20.0), (left + 140.0, 20.0), (left + 140.0, 220.0), (left, 220.0))
        tag = f"CAB-{number + 1}"
        vessel = add_cabin(vessel, Cabin(tag=tag, name=f"Cabin {number + 1}", outline=outline))
    return vessel


def show(window: MainWindow, vessel: Vessel) -> MainWindow:
    """Show a vessel whole, with the keyboard on the canvas."""
    window.document.show(vessel)
    window.view.fit()
    window.view.setFocus()
    return window


def at(window: MainWindow, point: Point) -> QPoint:
    """Return where a point of the drawing is on the viewport."""
    return window.view.mapFromScene(QPointF(*point))


def move(window: MainWindow, point: Point) -> None:
    """Move the pointer there."""
    move_mouse(window.view.viewport(), at(window, point))


def click(window: MainWindow, point: Point, modifiers: Qt.KeyboardModifier = NONE) -> None:
    """Move the pointer there and click."""
    move(window, point)
    QTest.mouseClick(window.view.viewport(), _LEFT, modifiers, at(window, point))


def press(window: MainWindow, key: Qt.Key, modifiers: Qt.KeyboardModifier = NONE) -> None:
    """Press a key on the canvas."""
    QTest.keyClick(window.view, key, modifiers)
