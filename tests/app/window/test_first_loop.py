# SPDX-License-Identifier: MIT
"""The steps of a first loop tick themselves, and the strip stays away where it is not wanted."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import Qt
from pytestqt.qtbot import QtBot

from app.window.first_loop import loop_steps
from app.window.main_window import MainWindow
from solver.solve import solve
from solver.vessel.components import Chiller, CirculationPump, PumpPoint
from solver.vessel.edits import add_component, remove
from solver.vessel.vessel import Vessel
from tests.app.small_loop import small_loop
from tests.solver.small_vessels import sound_vessel


def test_nothing_is_done_on_an_empty_vessel() -> None:
    assert not any(step.done for step in loop_steps(Vessel(name="New"), None, False))


def test_everything_is_done_on_a_sound_vessel() -> None:
    vessel = sound_vessel()
    assert all(step.done for step in loop_steps(vessel, solve(vessel), False))
    behind = loop_steps(vessel, solve(vessel), True)
    assert [step.done for step in behind] == [True, True, True, True, True, False]


def test_each_part_ticks_its_step() -> None:
    vessel = small_loop()
    without = remove(vessel, ("EX-1",))
    done = {step.text: step.done for step in loop_steps(without, None, False)}
    assert done == {
        "circulation pump": True,
        "chiller": False,
        "expansion vessel": False,
        "air handler": True,
        "joined by runs": False,
        "water flows": False,
    }


def test_the_strip_follows_the_document(window: MainWindow) -> None:
    strip = window.first_loop
    assert strip.isVisible()
    assert "✓" not in strip.line.text()
    curve = (PumpPoint(0.0, 8.0), PumpPoint(0.4, 6.0), PumpPoint(0.8, 2.0))
    pump = CirculationPump(tag="P-1", curve=curve)
    window.document.edit("Add P-1", lambda vessel: add_component(vessel, pump))
    assert "✓\u00a0circulation pump" in strip.line.text()
    assert "circulation pump: done" in strip.line.accessibleName()
    chiller = Chiller(
        tag="CH-1", capacity_kW=10.0, design_flow_L_s=0.4, rated_flow_L_s=0.4, rated_drop_kPa=20.0
    )
    window.document.edit("Add CH-1", lambda vessel: add_component(vessel, chiller))
    assert strip.line.text().count("✓") == 2
    window.document.undo()
    assert strip.line.text().count("✓") == 1


def test_it_is_closed_for_good_and_comes_back_by_the_menu(window: MainWindow, qtbot: QtBot) -> None:
    qtbot.mouseClick(window.first_loop.close_button, Qt.MouseButton.LeftButton)
    assert not window.first_loop.isVisible()
    window.document.new()
    assert not window.first_loop.isVisible()
    window.actions_by_name["first_loop"].trigger()
    assert window.first_loop.isVisible()


def test_it_does_not_show_over_a_vessel_from_a_file(window: MainWindow, boat: Path) -> None:
    window.document.open(boat)
    assert not window.first_loop.isVisible()
    window.document.new()
    assert window.first_loop.isVisible()


def test_it_shows_how(window: MainWindow, qtbot: QtBot) -> None:
    qtbot.mouseClick(window.first_loop.how, Qt.MouseButton.LeftButton)
    assert window.help.panel.spot.page == "first_loop.md"
    assert window.help.dock.isVisible()
