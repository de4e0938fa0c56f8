# SPDX-License-Identifier: MIT
"""Each drawing tool under real events: one gesture, one step; a preview leaves no trace; Escape gives up."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtTest import QTest

from app.window.main_window import MainWindow
from solver.vessel.components import kind_name
from solver.vessel.fields import Point
from solver.vessel.routing import nearest_on, way
from tests.app.pointer import NO_BUTTON, move_mouse
from tests.app.small_loop import small_loop

_NONE, _LEFT = Qt.KeyboardModifier.NoModifier, Qt.MouseButton.LeftButton
_CONTROL = Qt.KeyboardModifier.ControlModifier


def _at(window: MainWindow, point: Point) -> QPoint:
    return window.view.mapFromScene(QPointF(*point))


def _move(window: MainWindow, point: Point, held: Qt.MouseButton = NO_BUTTON) -> None:
    move_mouse(window.view.viewport(), _at(window, point), held)


def _click(window: MainWindow, point: Point) -> None:
    QTest.mouseClick(window.view.viewport(), _LEFT, _NONE, _at(window, point))


def _press(window: MainWindow, key: Qt.Key, modifiers: Qt.KeyboardModifier = _NONE) -> None:
    QTest.keyClick(window.view, key, modifiers)


def _drag(window: MainWindow, start: Point, end: Point, *, drop: bool = True) -> None:
    viewport = window.view.viewport()
    QTest.mousePress(viewport, _LEFT, _NONE, _at(window, start))
    # Two moves: the first goes far enough to mean a drag.
    for share in (0.5, 1.0):
        here = (start[0] + share * (end[0] - start[0]), start[1] + share * (end[1] - start[1]))
        _move(window, here, _LEFT)
    if drop:
        QTest.mouseRelease(viewport, _LEFT, _NONE, _at(window, end))


@pytest.fixture
def drawing(shown: MainWindow) -> MainWindow:
    """The window with the small loop, the keyboard on the canvas."""
    shown.view.setFocus()
    return shown


def test_a_ghost_leaves_no_trace_and_a_click_drops_it(drawing: MainWindow) -> None:
    before = drawing.document.vessel
    QTest.keyClicks(drawing.view, "a")
    _move(drawing, (243.0, 2.0))
    ghost = drawing.drawing.tools.place_tool.ghost
    assert ghost is not None
    assert ghost.at == (240.0, 0.0)
    assert drawing.document.vessel is before
    _click(drawing, (243.0, 2.0))
    part = drawing.document.vessel.components[-1]
    assert (kind_name(part), part.tag, part.at) == ("air_handler", "AH-3", (240.0, 0.0))
    assert drawing.document.undo_name == "Place AH-3"
    assert drawing.scene.selected_tags() == ("AH-3",)
    assert drawing.drawing.tools.name == "place"
    _click(drawing, (243.0, 2.0))
    assert "AH-3 stands there already" in drawing.drawing.tools.board.refused
    drawing.document.undo()
    assert drawing.document.vessel == before
    _press(drawing, Qt.Key.Key_Escape)
    assert drawing.drawing.tools.name == "arrange"


def test_r_turns_the_ghost(drawing: MainWindow) -> None:
    QTest.keyClicks(drawing.view, "a")
    _press(drawing, Qt.Key.Key_R)
    _click(drawing, (240.0, 0.0))
    assert drawing.document.vessel.component_by_tag["AH-3"].turn == 1


def test_a_drop_on_a_run_splits_it_in_one_step(drawing: MainWindow) -> None:
    before = drawing.document.vessel
    QTest.keyClicks(drawing.view, "i")
    _move(drawing, (50.0, 202.0))
    assert drawing.drawing.tools.place_tool.run_tag == "R-1"
    _click(drawing, (50.0, 202.0))
    vessel = drawing.document.vessel
    valve = vessel.components[-1]
    assert valve.at == (50.0, 200.0)
    assert vessel.run_by_tag["R-1"].end == (valve.tag, "inlet")
    new = vessel.run_by_tag["R-11"]
    assert (new.start, new.end) == ((valve.tag, "outlet"), ("T-1", "run_1"))
    assert new.length_m + vessel.run_by_tag["R-1"].length_m == pytest.approx(4.0)
    drawing.document.undo()
    assert drawing.document.vessel == before


def test_the_cross_places_without_a_mouse(drawing: MainWindow) -> None:
    QTest.keyClicks(drawing.view, "s")
    board = drawing.drawing.tools.board
    x, y = board.snap(board.pointer)
    _press(drawing, Qt.Key.Key_Left)
    _press(drawing, Qt.Key.Key_Down, Qt.KeyboardModifier.ShiftModifier)
    assert board.pointer == (x - 10.0, y + 50.0)
    _press(drawing, Qt.Key.Key_Return)
    assert len(drawing.document.vessel.components) == len(small_loop().components) + 1


def _with_handler(window: MainWindow) -> None:
    QTest.keyClicks(window.view, "a")
    _click(window, (240.0, 0.0))
    QTest.keyClicks(window.view, "p")


def test_ports_are_joined_by_clicks_with_bends_between(drawing: MainWindow) -> None:
    _with_handler(drawing)
    _click(drawing, (220.0, 30.0))
    _click(drawing, (220.0, 60.0))
    _click(drawing, (260.0, 60.0))
    assert drawing.document.undo_name == "Place AH-3"
    _press(drawing, Qt.Key.Key_Backspace)
    assert drawing.drawing.tools.join_tool.bends == [(220.0, 60.0)]
    before = len(drawing.document.vessel.runs)
    _click(drawing, (200.0, 200.0))
    vessel = drawing.document.vessel
    # The run it ended on is two now, with a tee between.
    assert len(vessel.runs) == before + 2
    run = vessel.runs[-1]
    assert run.start == ("AH-3", "water_in")
    assert kind_name(vessel.component_by_tag[run.end.tag]) == "tee"
    assert run.end.port == "branch"
    assert run.bends[0] == (220.0, 60.0)
    assert not run.routed
    assert drawing.document.undo_name == "Join AH-3 to R-5"


def test_a_run_to_its_own_part_is_refused_with_the_reason(drawing: MainWindow) -> None:
    _with_handler(drawing)
    before = drawing.document.vessel
    _click(drawing, (220.0, 30.0))
    _click(drawing, (260.0, 30.0))
    assert drawing.drawing.tools.board.refused == "both ends are at AH-3; a run joins two parts"
    assert drawing.document.vessel is before
    _press(drawing, Qt.Key.Key_Escape)
    assert drawing.drawing.tools.join_tool.begun is None
    assert drawing.drawing.tools.name == "join"


def test_a_drag_out_of_a_free_port_lays_one_run(drawing: MainWindow) -> None:
    QTest.keyClicks(drawing.view, "a")
    _click(drawing, (240.0, 0.0))
    QTest.keyClicks(drawing.view, "v")
    _drag(drawing, (220.0, 30.0), (200.0, 200.0))
    assert drawing.document.undo_name == "Join AH-3 to R-5"
    assert drawing.drawing.tools.name == "arrange"


def test_a_drag_moves_in_one_step_and_escape_gives_it_up(drawing: MainWindow) -> None:
    before = drawing.document.vessel
    _drag(drawing, (340.0, 0.0), (400.0, -40.0), drop=False)
    assert drawing.document.vessel is before
    _press(drawing, Qt.Key.Key_Escape)
    QTest.mouseRelease(drawing.view.viewport(), _LEFT, _NONE, _at(drawing, (400.0, -40.0)))
    assert drawing.document.vessel is before
    _drag(drawing, (340.0, 0.0), (400.0, -40.0))
    assert drawing.document.vessel.component_by_tag["AH-2"].at == (400.0, -40.0)
    assert drawing.document.undo_name == "Move AH-2"
    drawing.document.undo()
    assert drawing.document.vessel == before
    assert drawing.document.undo_name == ""


def test_a_leg_of_a_run_is_dragged_aside(drawing: MainWindow) -> None:
    _drag(drawing, (50.0, 200.0), (50.0, 160.0))
    run = drawing.document.vessel.run_by_tag["R-1"]
    assert drawing.document.undo_name == "Bend R-1"
    assert {y for _, y in run.bends} == {200.0, 160.0}


def test_a_double_click_takes_a_bend_out(drawing: MainWindow) -> None:
    before = drawing.document.vessel
    _drag(drawing, (50.0, 200.0), (50.0, 160.0))
    corner = drawing.document.vessel.run_by_tag["R-1"].bends[1]
    QTest.mouseDClick(drawing.view.viewport(), _LEFT, _NONE, _at(drawing, corner))
    assert drawing.document.undo_name == "Take a bend out of R-1"
    assert drawing.document.vessel.run_by_tag["R-1"].bends == ()
    drawing.document.undo()
    drawing.document.undo()
    assert drawing.document.vessel == before


def test_shift_and_drag_leads_a_run_over_a_point(drawing: MainWindow) -> None:
    shift = Qt.KeyboardModifier.ShiftModifier
    viewport = drawing.view.viewport()
    QTest.mousePress(viewport, _LEFT, shift, _at(drawing, (50.0, 200.0)))
    for place in ((50.0, 220.0), (50.0, 240.0)):
        move_mouse(viewport, _at(drawing, place), _LEFT, shift)
    QTest.mouseRelease(viewport, _LEFT, shift, _at(drawing, (50.0, 240.0)))
    run = drawing.document.vessel.run_by_tag["R-1"]
    assert drawing.document.undo_name == "Add a bend to R-1"
    assert not run.routed
    points = way(drawing.document.vessel, run)
    assert nearest_on(points, (50.0, 240.0)).at == (50.0, 240.0)


def test_keys_nudge_and_turn_the_selection(drawing: MainWindow) -> None:
    drawing.scene.select_tags(("RV-1",))
    _press(drawing, Qt.Key.Key_Right, _CONTROL)
    assert drawing.document.vessel.component_by_tag["RV-1"].at == (150.0, 100.0)
    _press(drawing, Qt.Key.Key_R)
    assert drawing.document.vessel.component_by_tag["RV-1"].turn == 1


def test_a_room_is_dragged(drawing: MainWindow) -> None:
    _press(drawing, Qt.Key.Key_C, Qt.KeyboardModifier.ShiftModifier)
    _drag(drawing, (200.0, 40.0), (300.0, 90.0))
    cabin = drawing.document.vessel.cabins[-1]
    assert cabin.outline == ((200.0, 40.0), (300.0, 40.0), (300.0, 90.0), (200.0, 90.0))
    assert drawing.document.undo_name == "Draw Cabin 3"


def test_copied_parts_are_pasted_at_the_pointer_with_new_tags(drawing: MainWindow) -> None:
    drawing.scene.select_tags(("AH-1", "RV-1"))
    _press(drawing, Qt.Key.Key_C, _CONTROL)
    data = QGuiApplication.clipboard().mimeData()
    assert "AH-1\tair_handler\tAft" in data.text()
    assert b"<svg" in data.data("image/svg+xml").data()
    _move(drawing, (240.0, 100.0))
    _press(drawing, Qt.Key.Key_V, _CONTROL)
    vessel = drawing.document.vessel
    assert set(drawing.scene.selected_tags()) == {"AH-3", "RV-3", "R-11"}
    assert vessel.run_by_tag["R-11"].start == ("AH-3", "water_out")
    assert drawing.document.undo_name == "Paste 2 parts"
    drawing.document.undo()
    assert drawing.document.vessel == small_loop()


def test_cut_parts_can_be_put_into_another_vessel(drawing: MainWindow) -> None:
    drawing.scene.select_tags(("AH-1", "RV-1"))
    _press(drawing, Qt.Key.Key_X, _CONTROL)
    assert "AH-1" not in drawing.document.vessel.component_by_tag
    drawing.document.new()
    drawing.actions_by_name["paste"].trigger()
    assert [part.tag for part in drawing.document.vessel.components] == ["RV-1", "AH-1"]
    # Its deck and cabin stayed behind.
    assert drawing.document.vessel.component_by_tag["AH-1"].deck == ""


def test_a_run_is_bent_by_keys_alone(drawing: MainWindow) -> None:
    before = drawing.document.vessel
    drawing.scene.select_tags(("R-1",))
    QTest.keyClicks(drawing.view, "z")
    tools = drawing.drawing.tools
    assert tools.name == "bend"
    # R-1 goes straight: its one leg is taken, and moves up by two steps.
    for _ in range(2):
        _press(drawing, Qt.Key.Key_Up)
    assert drawing.document.vessel is before
    _press(drawing, Qt.Key.Key_Return)
    run = drawing.document.vessel.run_by_tag["R-1"]
    assert drawing.document.undo_name == "Bend R-1"
    assert {y for _, y in run.bends} == {200.0, 180.0}
    assert not run.routed
    # Back along the run to a bend, and out with it.
    tool = tools.tool
    while tool.grip.kind != "bend":
        _press(drawing, Qt.Key.Key_Z)
    _press(drawing, Qt.Key.Key_Delete)
    assert drawing.document.undo_name == "Take a bend out of R-1"
    assert drawing.document.vessel.run_by_tag["R-1"].bends == ()
    assert "R-1" in drawing.document.vessel.run_by_tag
    _press(drawing, Qt.Key.Key_Down, Qt.KeyboardModifier.ShiftModifier)
    _press(drawing, Qt.Key.Key_Insert)
    assert drawing.document.undo_name == "Add a bend to R-1"
    _press(drawing, Qt.Key.Key_Up)
    bent = drawing.document.vessel
    _press(drawing, Qt.Key.Key_Escape)
    assert (tools.name, drawing.document.vessel is bent) == ("bend", True)
    _press(drawing, Qt.Key.Key_Escape)
    assert tools.name == "arrange"
    for _ in range(3):
        drawing.document.undo()
    assert drawing.document.vessel == before


def test_a_run_is_bent_with_the_bend_tool_and_the_mouse(drawing: MainWindow) -> None:
    drawing.actions_by_name["draw_bend"].trigger()
    _click(drawing, (300.0, 250.0))
    assert drawing.drawing.tools.board.refused == "Click the run to be bent"
    _drag(drawing, (50.0, 200.0), (50.0, 160.0))
    assert drawing.document.undo_name == "Bend R-1"
    corner = drawing.document.vessel.run_by_tag["R-1"].bends[1]
    QTest.mouseDClick(drawing.view.viewport(), _LEFT, _NONE, _at(drawing, corner))
    assert drawing.document.vessel.run_by_tag["R-1"].bends == ()


def test_what_is_bent_by_hand_stays_until_it_is_straightened(drawing: MainWindow) -> None:
    _drag(drawing, (50.0, 200.0), (50.0, 160.0))
    bends = drawing.document.vessel.run_by_tag["R-1"].bends
    # A valve put right on it does not push it away.
    QTest.keyClicks(drawing.view, "e")
    _click(drawing, (50.0, 230.0))
    assert drawing.document.vessel.run_by_tag["R-1"].bends == bends
    QTest.keyClicks(drawing.view, "v")
    drawing.scene.select_tags(("R-1",))
    action = drawing.actions_by_name["straighten"]
    assert action.isEnabled()
    action.trigger()
    assert drawing.document.undo_name == "Straighten R-1"
    run = drawing.document.vessel.run_by_tag["R-1"]
    assert run.bends != bends
    assert run.routed or not run.bends


def test_a_locked_part_is_not_moved_and_says_so(drawing: MainWindow) -> None:
    drawing.scene.select_tags(("R-1",))
    drawing.actions_by_name["lock"].trigger()
    before = drawing.document.vessel
    _drag(drawing, (50.0, 200.0), (50.0, 160.0), drop=False)
    assert "R-1 is locked" in drawing.drawing.tools.board.refused
    QTest.mouseRelease(drawing.view.viewport(), _LEFT, _NONE, _at(drawing, (50.0, 160.0)))
    _drag(drawing, (0.0, 200.0), (0.0, 260.0))
    assert "R-1 is locked and ends at P-1" in drawing.drawing.tools.board.refused
    assert drawing.document.vessel is before
