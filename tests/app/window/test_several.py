# SPDX-License-Identifier: MIT
"""Branches for cabins, pairs of mains and return mains, by mouse and by keys: previews, one step each."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from app.panels.cabins_form import CabinsForm
from app.window.main_window import MainWindow
from solver.vessel.components import AirHandler, Tee
from solver.vessel.edits import OnRun, first_settings, place_branch, remove
from solver.vessel.run import End
from solver.vessel.vessel import Vessel
from tests.app.window.drawn_mains import (
    CONTROL,
    NONE,
    SHIFT,
    at,
    chiller,
    click,
    mains,
    move,
    press,
    show,
    with_cabins,
)

Key = Qt.Key


def _handlers(vessel: Vessel) -> dict[str, tuple[str, ...]]:
    return {part.tag: part.cabins for part in vessel.components if isinstance(part, AirHandler)}


@pytest.fixture
def cabins(window: MainWindow) -> MainWindow:
    """Four cabins along a pair of mains, the tool for their branches in hand."""
    show(window, with_cabins(mains(), 4))
    press(window, Key.Key_B, SHIFT)
    return window


def test_every_unserved_cabin_gets_a_branch_in_one_step(cabins: MainWindow) -> None:
    document, tool = cabins.document, cabins.drawing.tools.cabins_tool
    before = document.vessel
    assert tool.ghost is not None
    assert sum(isinstance(part, AirHandler) for part in tool.ghost.components) == 4
    assert document.vessel is before
    press(cabins, Key.Key_Return, CONTROL)
    assert _handlers(document.vessel) == {f"AH-{one}": (f"CAB-{one}",) for one in (1, 2, 3, 4)}
    assert [part.name for part in document.vessel.components if isinstance(part, AirHandler)] == [
        f"Cabin {one}" for one in (1, 2, 3, 4)
    ]
    assert document.undo_name == "Lay branches for 4 cabins"
    assert cabins.scene.selected_tags() == ("AH-1", "AH-2", "AH-3", "AH-4")
    document.undo()
    assert document.vessel == before


def test_a_click_takes_a_cabin_out_and_in(cabins: MainWindow) -> None:
    tool = cabins.drawing.tools.cabins_tool
    click(cabins, (300.0, 200.0))
    assert tool.cabins == ("CAB-1", "CAB-3", "CAB-4")
    click(cabins, (300.0, 200.0))
    assert tool.cabins == ("CAB-1", "CAB-2", "CAB-3", "CAB-4")


def test_the_cross_takes_a_cabin_out(cabins: MainWindow) -> None:
    cabins.drawing.tools.board.pointer = (300.0, 190.0)
    press(cabins, Key.Key_Down)
    press(cabins, Key.Key_Return)
    assert cabins.drawing.tools.cabins_tool.cabins == ("CAB-1", "CAB-3", "CAB-4")


def _form(window: MainWindow) -> CabinsForm:
    return window.branches.cabins


def test_the_list_and_the_button_do_it_too(cabins: MainWindow) -> None:
    form = _form(cabins)
    assert form.isVisible()
    form.list.item(1).setCheckState(Qt.CheckState.Unchecked)
    assert form.go.text().replace("&", "") == "Lay 3 branches"
    assert form.told.text().splitlines() == ["AH-1 for Cabin 1", "AH-2 for Cabin 3", "AH-3 for Cabin 4"]
    QTest.mouseClick(form.go, Qt.MouseButton.LeftButton)
    assert _handlers(cabins.document.vessel) == {
        "AH-1": ("CAB-1",),
        "AH-2": ("CAB-3",),
        "AH-3": ("CAB-4",),
    }
    assert form.list.item(0).text() == "Cabin 1 · has AH-1"
    assert cabins.view.hasFocus()


def test_what_is_no_main_is_refused_and_without_cabins_nothing_is_laid(cabins: MainWindow) -> None:
    board = cabins.drawing.tools.board
    press(cabins, Key.Key_Return, CONTROL)
    press(cabins, Key.Key_Return, CONTROL)
    assert board.refused == "No cabin is chosen: click cabins on the drawing or tick them in the list."
    branch = next(
        run for run in cabins.document.vessel.runs if run.end.tag == "AH-1" and run.end.port == "water_in"
    )
    cabins.drawing.tools.cabins_tool.choose_main(branch.tag)
    assert board.refused == f"{branch.tag} is part of a branch or carries sea water, not a main"


def test_without_mains_it_says_what_is_missing(window: MainWindow) -> None:
    show(window, with_cabins(chiller(), 2))
    press(window, Key.Key_B, SHIFT)
    assert window.drawing.tools.cabins_tool.reason == "No supply main is chosen: click a run of it."
    assert not _form(window).go.isEnabled()


# Pairs.


@pytest.fixture
def plant(window: MainWindow) -> MainWindow:
    """A chiller alone, the tool for pairs in hand."""
    show(window, chiller())
    window.view.zoom(0.8 / window.view.scale_now())
    window.view.centerOn(300.0, 300.0)
    press(window, Key.Key_P, SHIFT)
    return window


def _is_pair_home(vessel: Vessel) -> None:
    supply, back = vessel.runs
    assert (supply.service, back.service) == ("supply", "return")
    assert supply.start == End("CH-1", "water_out")
    assert back.end == End("CH-1", "water_in")
    assert isinstance(vessel.component_by_tag[supply.end.tag], Tee)
    assert isinstance(vessel.component_by_tag[back.start.tag], Tee)


def test_clicks_draw_a_pair_in_one_step(plant: MainWindow) -> None:
    document = plant.document
    before = document.vessel
    click(plant, (50.0, 300.0))
    move(plant, (400.0, 300.0))
    ghost = plant.drawing.tools.pair_tool.ghost
    assert ghost is not None
    assert len(ghost.ways) == 2
    assert document.vessel is before
    for _ in range(2):
        click(plant, (400.0, 300.0))
    _is_pair_home(document.vessel)
    ends = [document.vessel.component_by_tag[tag].at for tag in ("T-1", "T-2")]
    assert ends == [(400.0, 300.0), (400.0, 340.0)]
    assert document.undo_name == "Draw a supply and its return"
    document.undo()
    assert document.vessel == before


def test_keys_alone_draw_a_pair(plant: MainWindow) -> None:
    plant.drawing.tools.board.pointer = (60.0, 300.0)
    press(plant, Key.Key_Left)
    press(plant, Key.Key_Return)
    for _ in range(6):
        press(plant, Key.Key_Right, SHIFT)
    press(plant, Key.Key_Return)
    press(plant, Key.Key_Return)
    _is_pair_home(plant.document.vessel)


def test_a_bend_is_taken_back_and_the_side_changed(plant: MainWindow) -> None:
    tool = plant.drawing.tools.pair_tool
    for point in ((50.0, 300.0), (400.0, 300.0), (400.0, 150.0)):
        click(plant, point)
    press(plant, Key.Key_Backspace)
    assert tool.points == [(50.0, 300.0), (400.0, 300.0)]
    move(plant, (500.0, 300.0))
    assert tool.ghost is not None
    assert max(y for way in tool.ghost.ways for _x, y in way) == 340.0
    press(plant, Key.Key_R)
    assert tool.ghost is not None
    assert min(y for way in tool.ghost.ways for _x, y in way) == 260.0
    press(plant, Key.Key_Escape)
    assert (tool.points, plant.drawing.tools.name) == ([], "pair")


def test_the_return_goes_to_a_chosen_port(window: MainWindow) -> None:
    show(window, mains(end=400.0))
    free = next(
        End(part.tag, "run_2")
        for part in window.document.vessel.components
        if isinstance(part, Tee) and part.at[1] == 340.0
    )
    supply = next(
        End(part.tag, "run_2")
        for part in window.document.vessel.components
        if isinstance(part, Tee) and part.at[1] == 300.0
    )
    press(window, Key.Key_P, SHIFT)
    click(window, (410.0, 340.0), SHIFT)
    click(window, (410.0, 300.0))
    for _ in range(2):
        click(window, (600.0, 300.0))
    new_supply, new_return = window.document.vessel.runs[-2:]
    assert (new_supply.start, new_return.end) == (supply, free)


def test_a_taken_port_is_refused(window: MainWindow) -> None:
    show(window, mains())
    press(window, Key.Key_P, SHIFT)
    tool = window.drawing.tools.pair_tool
    assert tool._why_not(End("CH-1", "water_out")).startswith("CH-1 water out has run R-1 already")


# Return mains.


def _supply_with_branches() -> Vessel:
    """A supply main with three branches that end open, at y = 300."""
    vessel = mains()
    vessel = _without_return(vessel)
    for x in (200.0, 400.0, 600.0):
        runs = [run for run in vessel.runs if run.service == "supply" and run.end.port in ("run_1", "run_2")]
        last = max(runs, key=lambda run: vessel.component_by_tag[run.end.tag].at[0])
        vessel = place_branch(vessel, first_settings(), OnRun(last.tag, (x, 300.0)), None, (x, 120.0))
    return vessel


def _without_return(vessel: Vessel) -> Vessel:
    from_tee = next(run for run in vessel.runs if run.service == "return")
    return remove(vessel, (from_tee.tag, from_tee.start.tag))


@pytest.fixture
def supply(window: MainWindow) -> MainWindow:
    """A supply main with branches and no return."""
    return show(window, _supply_with_branches())


@pytest.mark.parametrize("kind", ["direct", "reverse"])
def test_a_supply_main_gets_its_return_in_one_step(supply: MainWindow, kind: str) -> None:
    document = supply.document
    before = document.vessel
    press(supply, Key.Key_M, SHIFT)
    move(supply, (120.0, 300.0))
    if kind == "reverse":
        press(supply, Key.Key_D)
    tool = supply.drawing.tools.mirror_tool
    assert tool.ghost is not None
    assert tool.to == End("CH-1", "water_in")
    assert document.vessel is before
    click(supply, (120.0, 300.0))
    assert document.undo_name == f"Lay a {kind} return"
    vessel = document.vessel
    home = vessel.runs_at[End("CH-1", "water_in")][0]
    tees = [part.at[0] for part in vessel.components if part.tag not in before.component_by_tag]
    last = vessel.component_by_tag[home.start.tag].at[0]
    # Home from the tee that is nearest the plant, or from that furthest away.
    assert last == (min(tees) if kind == "direct" else max(tees))
    handlers = [part for part in vessel.components if isinstance(part, AirHandler)]
    assert all((part.tag, "water_out") in vessel.runs_at for part in handlers)
    document.undo()
    assert document.vessel == before


def test_keys_and_the_page_lay_it(supply: MainWindow) -> None:
    supply.shown.select(("R-1",))
    press(supply, Key.Key_M, SHIFT)
    form = supply.branches.mirror
    assert form.isVisible()
    assert form.main.text().startswith("Supply main: R-1, ")
    form.kinds["reverse"].click()
    assert supply.drawing.tools.mirror_tool.settings.kind == "reverse"
    QTest.mouseClick(form.go, Qt.MouseButton.LeftButton)
    assert supply.document.undo_name == "Lay a reverse return"
    supply.document.undo()
    supply.shown.select(("R-1",))
    press(supply, Key.Key_V)
    press(supply, Key.Key_M, SHIFT)
    press(supply, Key.Key_Left)
    press(supply, Key.Key_Return)
    assert supply.document.undo_name == "Lay a reverse return"


def test_backspace_leaves_its_end_open_and_a_click_on_a_port_sets_it(supply: MainWindow) -> None:
    supply.shown.select(("R-1",))
    press(supply, Key.Key_M, SHIFT)
    tool = supply.drawing.tools.mirror_tool
    press(supply, Key.Key_Backspace)
    assert tool.to is None
    click(supply, (50.0, 340.0))
    assert tool.to == End("CH-1", "water_in")


def test_a_main_without_branches_is_refused_in_words(window: MainWindow) -> None:
    show(window, _without_return(mains()))
    press(window, Key.Key_M, SHIFT)
    move(window, (120.0, 300.0))
    click(window, (120.0, 300.0))
    assert window.drawing.tools.board.refused.startswith("nothing branches off R-1")


def test_distance_and_kind_are_kept(supply: MainWindow) -> None:
    supply.shown.select(("R-1",))
    press(supply, Key.Key_M, SHIFT)
    press(supply, Key.Key_D)
    assert '"kind":"reverse"' in supply.settings.text("mains")


def test_a_double_click_ends_a_pair(plant: MainWindow) -> None:
    click(plant, (50.0, 300.0))
    click(plant, (400.0, 300.0))
    # The second half of a double click.
    place = at(plant, (400.0, 300.0))
    QTest.mouseDClick(plant.view.viewport(), Qt.MouseButton.LeftButton, NONE, place)
    _is_pair_home(plant.document.vessel)


def test_a_pair_begun_on_a_main_comes_home_on_the_other(window: MainWindow) -> None:
    show(window, mains())
    press(window, Key.Key_P, SHIFT)
    for point in ((400.0, 300.0), (400.0, 100.0), (400.0, 100.0)):
        click(window, point)
    vessel = window.document.vessel
    supply, back = (vessel.run_by_tag[tag] for tag in window.scene.selected_tags())
    tees = [vessel.component_by_tag[tag].at for tag in (supply.start.tag, back.end.tag)]
    assert tees == [(400.0, 300.0), (440.0, 340.0)]
    assert (supply.start.port, back.end.port) == ("branch", "branch")
    assert window.document.undo_name == "Draw a supply and its return"
