# SPDX-License-Identifier: MIT
"""The loop of the 18 m sample drawn from an empty canvas, by mouse and by keyboard alone.

Parts are placed and joined, and rooms drawn, by real events.  The values of each part are then put in
through the document, one step a part: typing each of some five hundred would take minutes and is tested
with the property sheet.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from app.canvas.part_keys import PART_KEYS
from app.window.main_window import MainWindow
from solver.solve import solve
from solver.vessel.components import kind_name
from solver.vessel.edits import (
    add_conditions,
    add_deck,
    add_scenario,
    remove_conditions,
    retag,
    set_field,
    set_run_size,
    set_vessel_field,
)
from solver.vessel.fields import Point
from solver.vessel.file import read_vessel
from solver.vessel.footprint import port_place
from solver.vessel.run import End
from solver.vessel.vessel import Vessel
from tests.app.pointer import move_mouse

_SAMPLE = Path(__file__).parents[3] / "sample_vessels" / "motor_yacht_18m.farcabin"
_NONE = Qt.KeyboardModifier.NoModifier
_LEFT = Qt.MouseButton.LeftButton


class _Mouse:
    """Draws with the mouse."""

    def __init__(self, window: MainWindow) -> None:
        self.window = window

    def _at(self, point: Point) -> QPoint:
        return self.window.view.mapFromScene(QPointF(*point))

    def start(self) -> None:
        self.window.actions_by_name["draw_select"].trigger()

    def place(self, kind: str, at: Point, turns: int) -> None:
        window = self.window
        window.actions_by_name[f"place_{kind}"].trigger()
        viewport = window.view.viewport()
        move_mouse(viewport, self._at(at))
        for _ in range((turns - window.drawing.tools.place_tool.turn) % 4):
            QTest.keyClick(window.view, Qt.Key.Key_R)
        QTest.mouseClick(viewport, _LEFT, _NONE, self._at(at))

    def join(self, start: End, end: End) -> None:
        window, vessel = self.window, self.window.document.vessel
        window.actions_by_name["draw_join"].trigger()
        for one in (start, end):
            place = port_place(vessel.component_by_tag[one.tag], one.port)
            QTest.mouseClick(window.view.viewport(), _LEFT, _NONE, self._at(place))

    def room(self, a: Point, b: Point) -> None:
        window = self.window
        window.actions_by_name["draw_room"].trigger()
        viewport = window.view.viewport()
        QTest.mousePress(viewport, _LEFT, _NONE, self._at(a))
        move_mouse(viewport, self._at(b), _LEFT)
        QTest.mouseRelease(viewport, _LEFT, _NONE, self._at(b))


class _Keys:
    """Draws with keys alone: single keys, the cross, and the list of ports."""

    def __init__(self, window: MainWindow) -> None:
        self.window = window

    def _press(self, key: Qt.Key, modifiers: Qt.KeyboardModifier = _NONE) -> None:
        QTest.keyClick(QApplication.focusWidget() or self.window.view, key, modifiers)

    def start(self) -> None:
        # As from the Draw menu; on the empty state there is no canvas to hear a key.
        self.window.actions_by_name["draw_join"].trigger()

    def _lead(self, to: Point) -> None:
        """Lead the cross to the grid point at or next to a point."""
        board = self.window.drawing.tools.board
        for axis, (less, more) in enumerate(
            ((Qt.Key.Key_Left, Qt.Key.Key_Right), (Qt.Key.Key_Up, Qt.Key.Key_Down))
        ):
            while abs(way := to[axis] - board.snap(board.pointer)[axis]) >= 10:
                key = more if way > 0 else less
                self._press(key, Qt.KeyboardModifier.ShiftModifier if abs(way) >= 50 else _NONE)

    def _to_canvas(self) -> None:
        for _ in range(12):
            if QApplication.focusWidget() is self.window.view:
                return
            self._press(Qt.Key.Key_F6)
        raise AssertionError("F6 does not lead to the canvas")

    def place(self, kind: str, at: Point, turns: int) -> None:
        self._to_canvas()
        QTest.keyClicks(self.window.view, PART_KEYS[kind].lower())
        for _ in range((turns - self.window.drawing.tools.place_tool.turn) % 4):
            self._press(Qt.Key.Key_R)
        self._lead(at)
        self._press(Qt.Key.Key_Return)

    def join(self, start: End, end: End) -> None:
        QTest.keyClicks(self.window.view, "v")
        self._press(Qt.Key.Key_Escape)
        self._press(Qt.Key.Key_J, Qt.KeyboardModifier.ControlModifier)
        for one in (start, end):
            edit = self.window.drawing.connect_list.edit
            assert QApplication.focusWidget() is edit
            QTest.keyClicks(edit, f"{one.tag} {one.port.replace('_', ' ')}")
            self._press(Qt.Key.Key_Return)

    def room(self, a: Point, b: Point) -> None:
        self._to_canvas()
        QTest.keyClick(self.window.view, Qt.Key.Key_C, Qt.KeyboardModifier.ShiftModifier)
        for corner in (a, b):
            self._lead(corner)
            self._press(Qt.Key.Key_Return)


def _fields(part: Any) -> dict[str, Any]:
    return {
        name: getattr(part, name) for name in part.__struct_fields__ if name not in ("tag", "start", "end")
    }


def _like(vessel: Vessel, tag: str, wanted: Any) -> Vessel:
    """Give a part the tag and the values of another."""
    values = _fields(wanted)
    if "series" in values:
        vessel = set_run_size(vessel, (tag,), values.pop("series"), values.pop("size"))
    for name, value in values.items():
        vessel = set_field(vessel, (tag,), name, value)
    return vessel if tag == wanted.tag else retag(vessel, tag, wanted.tag)


def _draw(window: MainWindow, wanted: Vessel, hand: _Mouse | _Keys) -> None:
    document = window.document
    for name in ("name", "notes", "loop_liquid", "limits", "method", "units"):
        document.edit(name, lambda vessel, name=name: set_vessel_field(vessel, name, getattr(wanted, name)))
    document.edit("Conditions", lambda vessel: _conditions(vessel, wanted))
    for deck in wanted.decks:
        document.edit("Deck", lambda vessel, deck=deck: add_deck(vessel, deck))
    hand.start()
    view = window.view
    view.zoom(0.55 / view.scale_now())
    view.centerOn(580.0, 380.0)
    for cabin in wanted.cabins:
        before = len(document.vessel.cabins)
        hand.room(cabin.outline[0], cabin.outline[2])
        assert len(document.vessel.cabins) == before + 1
        new = document.vessel.cabins[-1].tag
        # Tags that a later part will need are free only once they are given.
        document.edit("Values", lambda vessel, tag=new, part=cabin: _like(vessel, tag, part))
    for part in wanted.components:
        before = len(document.vessel.components)
        hand.place(kind_name(part), part.at, part.turn)
        assert len(document.vessel.components) == before + 1, part.tag
        new_part = document.vessel.components[-1]
        assert (kind_name(new_part), new_part.at, new_part.turn) == (kind_name(part), part.at, part.turn)
        document.edit("Values", lambda vessel, tag=new_part.tag, part=part: _like(vessel, tag, part))
    for run in wanted.runs:
        before = len(document.vessel.runs)
        hand.join(run.start, run.end)
        assert len(document.vessel.runs) == before + 1, run.tag
        new_run = document.vessel.runs[-1]
        assert (new_run.start, new_run.end) == (run.start, run.end)
        document.edit("Values", lambda vessel, tag=new_run.tag, run=run: _like(vessel, tag, run))
    for scenario in wanted.scenarios:
        document.edit("Scenario", lambda vessel, scenario=scenario: add_scenario(vessel, scenario))


def _conditions(vessel: Vessel, wanted: Vessel) -> Vessel:
    old = [conditions.name for conditions in vessel.conditions]
    new = {conditions.name for conditions in wanted.conditions}
    for conditions in wanted.conditions:
        if conditions.name not in old:
            vessel = add_conditions(vessel, conditions)
    for name in old:
        if name not in new:
            vessel = remove_conditions(vessel, name)
    return set_vessel_field(vessel, "condition", wanted.condition)


@pytest.mark.parametrize("hand", [_Mouse, _Keys], ids=["mouse", "keys"])
def test_the_18_m_sample_is_drawn_from_an_empty_canvas(
    window: MainWindow, hand: type[_Mouse] | type[_Keys]
) -> None:
    wanted = read_vessel(_SAMPLE)
    document = window.document
    empty = document.vessel
    _draw(window, wanted, hand(window))
    drawn = document.vessel
    for name in wanted.__struct_fields__:
        assert getattr(drawn, name) == getattr(wanted, name), name
    for figures in ("links", "pumps", "air_handlers", "port_kPa"):
        assert dict(getattr(solve(drawn), figures)) == dict(getattr(solve(wanted), figures))
    while document.undo_name:
        document.undo()
    assert document.vessel == empty
    while document.redo_name:
        document.redo()
    assert document.vessel == drawn
    assert window.scene.picture.vessel == drawn
