# SPDX-License-Identifier: MIT
"""The library's edits in the window: what a gesture shows is what it makes; refusals are told in words."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtTest import QTest

from app.canvas.tools.preview import preview_of
from app.panels.renumber_form import digits_of, lowest_number, prefix_of
from app.window.main_window import MainWindow
from solver.vessel.edits import lock, move, set_run_size
from solver.vessel.fields import Point
from solver.vessel.footprint import port_place
from solver.vessel.routing import length_of, way
from solver.vessel.takeoff import takeoff
from solver.vessel.vessel import Deck, Vessel
from tests.app.pointer import NO_BUTTON, move_mouse

_NONE, _LEFT = Qt.KeyboardModifier.NoModifier, Qt.MouseButton.LeftButton


def _at(window: MainWindow, point: Point) -> QPoint:
    return window.view.mapFromScene(QPointF(*point))


def _move(window: MainWindow, point: Point, held: Qt.MouseButton = NO_BUTTON) -> None:
    move_mouse(window.view.viewport(), _at(window, point), held)


def _click(window: MainWindow, point: Point) -> None:
    QTest.mouseClick(window.view.viewport(), _LEFT, _NONE, _at(window, point))


@pytest.fixture
def drawing(shown: MainWindow) -> MainWindow:
    """The window with the small loop, the keyboard on the canvas."""
    shown.view.setFocus()
    return shown


def test_the_run_shown_while_joining_is_the_one_that_is_made(drawing: MainWindow) -> None:
    tools = drawing.drawing.tools
    tools.take("join")
    _click(drawing, (50.0, 200.0))
    _move(drawing, (20.0, 240.0))
    tool = tools.join_tool
    assert tool.begun is not None
    before = drawing.document.vessel
    assert tool._preview is not None
    shown_ways = tool._preview.ways
    _click(drawing, (20.0, 240.0))
    vessel = drawing.document.vessel
    assert drawing.document.undo_name == "Join R-1 to R-8"
    assert preview_of(before, vessel).ways == shown_ways
    run = vessel.runs[-1]
    assert {kind.port for kind in (run.start, run.end)} == {"branch"}
    # Its length and elbows are the drawing's, until something is typed.
    assert (run.length_known, run.fittings_known) == ("assumed", "drawing")
    found = takeoff(vessel, run)
    assert (run.length_m, run.fittings) == (found.drawn_m, found.drawn_fittings)
    drawing.document.undo()
    assert drawing.document.vessel == before


def test_a_new_run_measures_the_drawing_until_its_length_is_typed(window: MainWindow) -> None:
    document = window.document
    document.show(Vessel(name="Tern", decks=(Deck(name="Main", metres_per_unit=0.02),)))
    window.drawing.take_part("buffer_tank")
    window.view.zoom(1 / window.view.scale_now())
    window.view.centerOn(150.0, 0.0)
    _click(window, (0.0, 0.0))
    window.drawing.take_part("expansion_vessel")
    _click(window, (300.0, 150.0))
    vessel = document.vessel
    tank, expansion = vessel.components
    ends = [
        port_place(part, port) for part, port in ((tank, tank.ports[-1]), (expansion, expansion.ports[0]))
    ]
    window.drawing.tools.take("join")
    for place in ends:
        _click(window, place)
    run = document.vessel.runs[-1]
    drawn = length_of(way(document.vessel, run)) * 0.02
    assert (run.length_known, run.length_m) == ("drawing", pytest.approx(drawn, abs=1e-3))
    window.drawing.tools.put_down()
    document.edit("Move", lambda vessel: move(vessel, (expansion.tag,), 200.0, 0.0))
    moved = document.vessel.runs[-1]
    assert moved.length_m == pytest.approx(length_of(way(document.vessel, moved)) * 0.02, abs=1e-3)
    assert moved.length_m > run.length_m
    # Through the sheet, as a user types it.
    window.shown.select((run.tag,))
    edit = window.docks.properties.sheet.form.rows["length_m"].editor
    edit.selectAll()
    QTest.keyClicks(edit, "7 m")
    QTest.keyClick(edit, Qt.Key.Key_Return)
    document.edit("Move", lambda vessel: move(vessel, (expansion.tag,), 200.0, 0.0))
    typed = document.vessel.runs[-1]
    assert (typed.length_m, typed.length_known) == (7.0, "measured")
    assert "By the drawing" in window.docks.properties.sheet._subtitle.text()


def test_a_run_is_not_joined_with_itself_and_the_reason_is_there_before_the_click(
    drawing: MainWindow,
) -> None:
    tools = drawing.drawing.tools
    tools.take("join")
    _click(drawing, (50.0, 200.0))
    _move(drawing, (70.0, 200.0))
    assert "both ends are on R-1" in tools.join_tool.reason
    before = drawing.document.vessel
    _click(drawing, (70.0, 200.0))
    assert drawing.document.vessel is before
    assert "both ends are on R-1" in tools.board.refused


def test_a_new_run_is_like_the_one_drawn_last(drawing: MainWindow) -> None:
    drawing.document.edit(
        "Size", lambda vessel: set_run_size(vessel, ("R-10",), "copper_en1057_thin", "35x1.2")
    )
    QTest.keyClicks(drawing.view, "a")
    _click(drawing, (240.0, 0.0))
    QTest.keyClicks(drawing.view, "e")
    _click(drawing, (240.0, 80.0))
    drawing.drawing.tools.take("join")
    _click(drawing, (220.0, 30.0))
    _click(drawing, (240.0, 90.0))
    assert drawing.document.vessel.runs[-1].size == "35x1.2"


def test_a_valve_dropped_on_a_run_is_of_its_size(drawing: MainWindow) -> None:
    drawing.drawing.take_part("regulating_valve")
    for place, size in (((50.0, 200.0), "20"), ((200.0, 200.0), "15")):
        _click(drawing, place)
        valve = drawing.document.vessel.components[-1]
        assert valve.model == f"Regulating valve DN {size}"


def test_a_run_too_short_says_so_before_the_click(drawing: MainWindow) -> None:
    drawing.document.edit("Move", lambda vessel: move(vessel, ("T-1",), -70.0, 0.0))
    drawing.drawing.take_part("isolating_valve")
    before = drawing.document.vessel
    _click(drawing, (20.0, 200.0))
    assert drawing.document.vessel is before
    assert "R-1 is drawn too short for one more isolating valve" in drawing.drawing.tools.board.refused


def test_many_parts_are_dragged_together(drawing: MainWindow) -> None:
    for _ in range(3):
        drawing.shown.select(drawing.document.vessel.component_by_tag)
        drawing.actions_by_name["duplicate"].trigger()
    vessel = drawing.document.vessel
    drawing.shown.select(vessel.component_by_tag)
    assert len(drawing.scene.selected_tags()) > 20
    start = vessel.component_by_tag["AH-1"].at
    viewport = drawing.view.viewport()
    QTest.mousePress(viewport, _LEFT, _NONE, _at(drawing, start))
    for share in (10.0, 20.0):
        _move(drawing, (start[0] + share, start[1] - share), _LEFT)
    tool = drawing.drawing.tools.tool
    assert len(tool.preview.components) == len(vessel.components)
    assert drawing.document.vessel is vessel
    QTest.mouseRelease(viewport, _LEFT, _NONE, _at(drawing, (start[0] + 20.0, start[1] - 20.0)))
    moved = drawing.document.vessel
    assert [part.at for part in moved.components] == [
        (part.at[0] + 20.0, part.at[1] - 20.0) for part in vessel.components
    ]
    drawing.document.undo()
    drawing.document.edit("Lock", lambda vessel: lock(vessel, ("AH-2",)))
    QTest.mousePress(viewport, _LEFT, _NONE, _at(drawing, start))
    _move(drawing, (start[0] + 20.0, start[1] - 20.0), _LEFT)
    assert "AH-2 is locked" in drawing.drawing.tools.board.refused


def test_parts_grabbed_by_a_run_stay_on_the_grid(drawing: MainWindow) -> None:
    drawing.shown.select(("AH-1", "RV-1", "R-3"))
    (ax, ay), (bx, by) = drawing.scene.picture.runs.items["R-3"].longest_leg
    place = ((ax + bx) / 2 + 1.3, (ay + by) / 2 + 2.7)
    viewport = drawing.view.viewport()
    QTest.mousePress(viewport, _LEFT, _NONE, _at(drawing, place))
    for share in (13.0, 26.4):
        _move(drawing, (place[0] + share, place[1] - share), _LEFT)
    QTest.mouseRelease(viewport, _LEFT, _NONE, _at(drawing, (place[0] + 26.4, place[1] - 26.4)))
    assert drawing.document.undo_name == "Move 3 parts"
    for tag in ("AH-1", "RV-1"):
        x, y = drawing.document.vessel.component_by_tag[tag].at
        assert (x % 10, y % 10) == (0.0, 0.0)


def test_what_is_left_open_by_a_paste_is_told(drawing: MainWindow) -> None:
    drawing.scene.select_tags(("AH-1", "RV-1"))
    drawing.actions_by_name["copy"].trigger()
    drawing.document.new()
    drawing.actions_by_name["paste"].trigger()
    told = [notice.text for notice in drawing.notices.notices()]
    assert any("AH-1 water in" in text and "RV-1 outlet" in text for text in told)
    assert any("Lower deck" in text and "C-1" in text for text in told)


def test_cabins_are_copied_and_cut_with_the_parts(drawing: MainWindow) -> None:
    drawing.actions_by_name["select_all"].trigger()
    count = len(drawing.shown.tags)
    drawing.actions_by_name["copy"].trigger()
    assert len(drawing.shown.tags) == count
    drawing.document.new()
    drawing.actions_by_name["paste"].trigger()
    vessel = drawing.document.vessel
    assert [cabin.name for cabin in vessel.cabins] == ["Aft cabin", "Guest cabin"]
    assert vessel.component_by_tag["AH-2"].cabins == ("C-2",)
    assert len(drawing.shown.tags) == count


def test_what_is_so_already_is_told(drawing: MainWindow) -> None:
    drawing.shown.select(("RV-1", "RV-2"))
    drawing.actions_by_name["align_top"].trigger()
    assert drawing.notices.notices()[0].text == "Align 2 parts: it is so already."
    assert drawing.document.undo_name == ""


def test_runs_alone_are_not_copied_and_that_is_told(drawing: MainWindow) -> None:
    before = drawing.document.vessel
    drawing.scene.select_tags(("R-1",))
    drawing.actions_by_name["cut"].trigger()
    assert "nothing to copy" in drawing.notices.notices()[0].text
    assert drawing.document.vessel is before


def test_delete_refuses_in_words_where_two_sizes_meet(drawing: MainWindow) -> None:
    drawing.document.edit(
        "Size", lambda vessel: set_run_size(vessel, ("R-3",), "copper_en1057_thin", "22x0.9")
    )
    before = drawing.document.vessel
    drawing.shown.select(("RV-1",))
    drawing.actions_by_name["delete"].trigger()
    assert drawing.document.vessel is before
    assert "one run has one size" in drawing.notices.notices()[0].text


@pytest.mark.qt_log_ignore("does not support grabbing the keyboard", extend=True)
def test_parts_are_found_by_name_kind_and_a_piece_of_a_tag(drawing: MainWindow) -> None:
    find = drawing.find_tag
    for typed, wanted in (
        ("guest c", "C-2"),
        ("loop", "P-1"),
        ("ah2", "AH-2"),
        ("rv 1", "RV-1"),
        ("ex", "EX-1"),
    ):
        find.setText(typed)
        QTest.keyClick(find, Qt.Key.Key_Return)
        assert drawing.shown.tags == (wanted,)
    find.clear()
    QTest.keyClicks(find, "regulating")
    offered = find.completer().model()
    assert [offered.data(offered.index(row, 0)) for row in range(offered.rowCount())] == ["RV-1", "RV-2"]


def test_new_tags_begin_and_are_as_long_as_the_old() -> None:
    tags = ("AH-03", "AH-12")
    assert (prefix_of(tags), lowest_number(tags), digits_of(tags)) == ("AH-", 3, 2)
    assert (prefix_of(("AH-1", "T-1")), digits_of(("AH-1", "AH-20"))) == ("", 1)
