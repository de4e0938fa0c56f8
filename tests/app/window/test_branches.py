# SPDX-License-Identifier: MIT
"""Whole branches by mouse and by keys: where they tee in, one step each, refusals, settings kept."""

from __future__ import annotations

from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from app.canvas.tools.branch import BranchTool
from app.canvas.tools.near_mains import main_through
from app.editing.document import Document
from app.panels.rows.number_row import NumberRow
from app.panels.rows.other_rows import ChoiceRow
from app.settings import Settings
from app.window.main_window import MainWindow
from solver.vessel.components import AirHandler, IsolatingValve, RegulatingValve, Strainer, Tee
from solver.vessel.edits import OnRun, add_cabin, pair
from solver.vessel.edits.joining import free_ports
from solver.vessel.vessel import Cabin
from tests.app.window.drawn_mains import click, mains, move, show

_ROOM = ((500.0, 60.0), (640.0, 60.0), (640.0, 180.0), (500.0, 180.0))


def _tool(window: MainWindow) -> BranchTool:
    return window.drawing.tools.branch_tool


@pytest.fixture
def drawing(window: MainWindow) -> MainWindow:
    """The window with a chiller, its mains and a cabin, the keyboard on the canvas."""
    return show(window, add_cabin(mains(), Cabin(tag="CAB-1", name="Saloon", outline=_ROOM)))


def test_a_click_drops_a_branch_in_one_step_where_the_ghost_was(drawing: MainWindow) -> None:
    document = drawing.document
    before = document.vessel
    QTest.keyClicks(drawing.view, "b")
    move(drawing, (302.0, 118.0))
    ghost = _tool(drawing).ghost
    assert ghost is not None
    assert document.vessel is before
    assert [part.at[1] for part in ghost.tees] == [300.0, 340.0]
    click(drawing, (302.0, 118.0))
    assert document.undo_name == "Place the branch of AH-1"
    new = {part.tag: part for part in document.vessel.components if part.tag not in before.component_by_tag}
    assert tuple(new) == ghost.tags
    kinds = [type(part) for part in new.values()]
    for kind, count in ((AirHandler, 1), (IsolatingValve, 2), (RegulatingValve, 1), (Tee, 2)):
        assert kinds.count(kind) == count, kind
    assert document.vessel.component_by_tag["AH-1"].at == (300.0, 120.0)
    assert drawing.scene.selected_tags() == ("AH-1",)
    document.undo()
    assert document.vessel == before


def test_it_stays_in_hand_for_the_next_one(drawing: MainWindow) -> None:
    QTest.keyClicks(drawing.view, "b")
    for x in (200.0, 400.0):
        click(drawing, (x, 120.0))
    handlers = [part for part in drawing.document.vessel.components if isinstance(part, AirHandler)]
    assert [(one.tag, one.at) for one in handlers] == [("AH-1", (200.0, 120.0)), ("AH-2", (400.0, 120.0))]
    assert drawing.drawing.tools.name == "branch"
    QTest.keyClick(drawing.view, Qt.Key.Key_Escape)
    assert drawing.drawing.tools.name == "arrange"


def test_keys_alone_place_and_turn(drawing: MainWindow) -> None:
    QTest.keyClicks(drawing.view, "b")
    board = drawing.drawing.tools.board
    board.pointer = (300.0, 120.0)
    QTest.keyClick(drawing.view, Qt.Key.Key_Right)
    QTest.keyClick(drawing.view, Qt.Key.Key_R)
    QTest.keyClick(drawing.view, Qt.Key.Key_Return)
    placed = drawing.document.vessel.component_by_tag["AH-1"]
    assert (placed.at, placed.turn) == ((310.0, 120.0), 1)


def test_four_turns_lead_back_to_where_the_mains_are(drawing: MainWindow) -> None:
    QTest.keyClicks(drawing.view, "b")
    move(drawing, (300.0, 120.0))
    tool = _tool(drawing)
    turns = []
    for _ in range(4):
        QTest.keyClick(drawing.view, Qt.Key.Key_R)
        turns.append(tool.turn)
    assert turns == [1, 2, 3, None]
    QTest.keyClick(drawing.view, Qt.Key.Key_R, Qt.KeyboardModifier.ShiftModifier)
    assert tool.turn == 3


def test_below_the_mains_it_looks_up(drawing: MainWindow) -> None:
    QTest.keyClicks(drawing.view, "b")
    click(drawing, (300.0, 520.0))
    assert drawing.document.vessel.component_by_tag["AH-1"].turn == 2


def test_in_a_cabin_it_cools_that_cabin(drawing: MainWindow) -> None:
    QTest.keyClicks(drawing.view, "b")
    move(drawing, (570.0, 100.0))
    assert "for Saloon" in _tool(drawing).words()
    # Said in the status bar too, for whoever does not see the pointer.
    assert "for Saloon" in drawing.status.currentMessage()
    click(drawing, (570.0, 100.0))
    placed = drawing.document.vessel.component_by_tag["AH-1"]
    assert isinstance(placed, AirHandler)
    assert (placed.cabins, placed.name) == (("CAB-1",), "Saloon")


def test_what_stands_there_is_refused_in_words(drawing: MainWindow) -> None:
    QTest.keyClicks(drawing.view, "b")
    click(drawing, (300.0, 120.0))
    once = drawing.document.vessel
    move(drawing, (310.0, 120.0))
    click(drawing, (310.0, 120.0))
    assert drawing.drawing.tools.board.refused == "AH-1 stands in the way"
    assert drawing.document.vessel is once


def test_away_from_all_mains_its_ends_stay_open(drawing: MainWindow) -> None:
    QTest.keyClicks(drawing.view, "b")
    drawing.drawing.tools.board.pointer = (300.0, 2000.0)
    QTest.keyClick(drawing.view, Qt.Key.Key_Down)
    assert "its ends stay open" in _tool(drawing).words()
    QTest.keyClick(drawing.view, Qt.Key.Key_Return)
    vessel = drawing.document.vessel
    assert not any(
        isinstance(part, Tee) and part.tag not in mains().component_by_tag for part in vessel.components
    )
    assert isinstance(vessel.component_by_tag["AH-1"], AirHandler)


def test_selected_runs_are_the_mains_though_others_are_nearer(drawing: MainWindow) -> None:
    vessel = pair(drawing.document.vessel, ((60.0, 900.0), (1000.0, 900.0)), gap=40.0)
    drawing.document.show(vessel)
    far = {run.service: run.tag for run in vessel.runs[-2:]}
    drawing.shown.select(tuple(far.values()))
    QTest.keyClicks(drawing.view, "b")
    move(drawing, (300.0, 520.0))
    assert _tool(drawing).words() == f"AH-1   from {far['supply']}   to {far['return']}"
    click(drawing, (300.0, 520.0))
    # The pieces they were cut into are chosen for the next one.
    move(drawing, (500.0, 520.0))
    mains_now = {main_through(drawing.document.vessel, tag) for tag in far.values()}
    assert {run for main in mains_now for run in main} >= {
        where.run for where in _tool(drawing)._wheres if isinstance(where, OnRun)
    }


def test_its_page_stands_beside_the_canvas_while_it_is_in_hand(drawing: MainWindow) -> None:
    drawing.actions_by_name["draw_branch"].trigger()
    form = drawing.branches.form
    assert form.isVisible()
    QTest.keyClick(drawing.view, Qt.Key.Key_Escape)
    assert not form.isVisible()


def test_the_tray_takes_it_in_hand(drawing: MainWindow) -> None:
    drawing.docks.parts.choose("branch")
    assert drawing.drawing.tools.name == "branch"


def _choose(row: object, text: str) -> None:
    assert isinstance(row, ChoiceRow)
    index = row.editor.findText(text)
    assert index >= 0, [row.editor.itemText(each) for each in range(row.editor.count())]
    row.editor.setCurrentIndex(index)
    row.editor.activated.emit(index)


def test_what_is_chosen_is_in_the_next_branch_and_in_the_next_session(
    drawing: MainWindow, settings: Settings, tmp_path: Path
) -> None:
    drawing.actions_by_name["draw_branch"].trigger()
    form = drawing.branches.form
    _choose(form.coil.rows["air_handler"], "7 kW")
    _choose(form.valves.rows["strainer"], "Strainer DN 20")
    _choose(form.valves.rows["regulating"], "none")
    flow = form.coil.rows["design_flow_L_s"]
    assert isinstance(flow, NumberRow)
    flow.editor.setFocus()
    flow.editor.selectAll()
    QTest.keyClicks(flow.editor, "5 gpm")
    QTest.keyClick(flow.editor, Qt.Key.Key_Return)
    assert form.line.text() == "Supply → isolating valve → strainer → air handler → isolating valve → return"
    drawing.view.setFocus()
    click(drawing, (300.0, 120.0))
    vessel = drawing.document.vessel
    placed = vessel.component_by_tag["AH-1"]
    assert isinstance(placed, AirHandler)
    assert placed.model == "Air handler 7 kW"
    # 1 US gpm is 0.06309 L/s (231 cubic inches of 16.387 mL, 60 s).
    assert placed.design_flow_L_s == pytest.approx(5 * 231 * 0.016387064 / 60, rel=1e-4)
    kinds = [type(part) for part in vessel.components]
    assert (kinds.count(Strainer), kinds.count(RegulatingValve)) == (1, 0)
    again = MainWindow(Document(), settings, tmp_path / "others", force_sync=True)
    assert again.branches.form.settings == form.settings
    again.close()
    again.deleteLater()


def test_settings_that_cannot_be_read_are_the_first_ones(
    settings: Settings, tmp_path: Path, window: MainWindow
) -> None:
    settings.set("branch", '{"air_handler": 3}')
    again = MainWindow(Document(), settings, tmp_path / "others", force_sync=True)
    assert again.branches.form.settings.air_handler.model == "Air handler 3.5 kW"
    again.close()
    again.deleteLater()


def test_the_last_branch_takes_the_place_of_the_tee_that_waits(drawing: MainWindow) -> None:
    waiting = {part.tag for part in drawing.document.vessel.components if isinstance(part, Tee)}
    QTest.keyClicks(drawing.view, "b")
    click(drawing, (970.0, 120.0))
    vessel = drawing.document.vessel
    assert not waiting & set(vessel.component_by_tag)
    assert {"R-1", "R-2"} <= set(vessel.run_by_tag)
    assert {vessel.run_by_tag[tag].size for tag in ("R-1", "R-2")} == {"26x3.0"}
    open_ports = [end for end in free_ports(vessel) if end.tag != "CH-1"]
    assert open_ports == []


def test_the_page_is_reached_and_left_by_keys(drawing: MainWindow) -> None:
    QTest.keyClicks(drawing.view, "b")
    form = drawing.branches.form
    for _ in range(8):
        QTest.keyClick(QApplication.focusWidget(), Qt.Key.Key_F6)
        focused = QApplication.focusWidget()
        if form.isAncestorOf(focused):
            break
    assert focused is form.coil.rows["air_handler"].editor
    QTest.keyClick(focused, Qt.Key.Key_Down)
    assert form.settings.air_handler.model == "Air handler 4.5 kW"
    ghost = _tool(drawing).ghost
    assert ghost is not None
    assert (
        next(part for part in ghost.components if isinstance(part, AirHandler)).model == "Air handler 4.5 kW"
    )
    assert drawing.drawing.tools.name == "branch"


def test_tab_goes_through_the_page_from_top_to_bottom(drawing: MainWindow) -> None:
    drawing.actions_by_name["draw_branch"].trigger()
    form = drawing.branches.form
    rows = [row.editor for each in form.forms for row in each.rows.values() if row.editor.isVisible()]
    rows[0].setFocus()
    seen = [rows[0]]
    for _ in rows[1:]:
        QTest.keyClick(QApplication.focusWidget(), Qt.Key.Key_Tab)
        seen.append(QApplication.focusWidget())
    assert [widget.objectName() for widget in seen] == [widget.objectName() for widget in rows]
