# SPDX-License-Identifier: MIT
"""Conditions and spaces on the vessel's page."""

from __future__ import annotations

from typing import Any

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtWidgets import QApplication, QComboBox, QLineEdit, QMenu, QPushButton
from pytestqt.qtbot import QtBot

from app.panels.conditions_block import ConditionsBlock
from app.panels.design_sets import design_sets_menu, set_words, take_set
from app.panels.form import Form
from app.panels.spaces_block import SpacesBlock
from app.panels.vessel_sheet import VesselSheet
from solver.vessel.cabin import Surface
from solver.vessel.design_conditions import DESIGN_CONDITIONS
from solver.vessel.edits import set_field
from solver.vessel.spaces import Space, space_of
from solver.vessel.vessel import Conditions

#: The offscreen platform says so of every menu.
pytestmark = pytest.mark.qt_log_ignore("This plugin does not support grabbing the keyboard", extend=True)


@pytest.fixture
def sheet(desk: Any, qtbot: QtBot) -> VesselSheet:
    sheet = VesselSheet(desk.document, desk.shown)
    qtbot.addWidget(sheet)
    sheet.resize(320, 1800)
    sheet.show()
    return sheet


@pytest.fixture
def block(sheet: VesselSheet) -> ConditionsBlock:
    return sheet.conditions


@pytest.fixture
def spaces(sheet: VesselSheet) -> SpacesBlock:
    return sheet.spaces


def type_into(form: Form, key: str, text: str, qtbot: QtBot) -> None:
    field = form.rows[key].editor
    assert isinstance(field, QLineEdit)
    field.setFocus()
    field.selectAll()
    if text:
        qtbot.keyClicks(field, text)
    else:
        qtbot.keyClick(field, Qt.Key.Key_Delete)
    qtbot.keyClick(field, Qt.Key.Key_Return)


def click(button: QPushButton, qtbot: QtBot) -> None:
    qtbot.mouseClick(button, Qt.MouseButton.LeftButton)


def names(desk: Any) -> list[str]:
    return [each.name for each in desk.document.vessel.conditions]


def open_menu() -> QMenu:
    menu = QApplication.activePopupWidget()
    assert isinstance(menu, QMenu)
    return menu


def test_a_set_is_added_from_the_list_by_keyboard_and_is_current(
    block: ConditionsBlock, desk: Any, qtbot: QtBot
) -> None:
    before = names(desk)
    block.add_set.setFocus()
    qtbot.keyClick(block.add_set, Qt.Key.Key_Space)
    menu = open_menu()
    assert [action.text().partition("\t")[0] for action in menu.actions()] == [
        each.name for each in DESIGN_CONDITIONS
    ]
    for _ in range(3):
        qtbot.keyClick(menu, Qt.Key.Key_Down)
    qtbot.keyClick(menu, Qt.Key.Key_Return)
    assert names(desk) == [*before, "Tropical"]
    assert desk.document.vessel.current_conditions == DESIGN_CONDITIONS[2]
    assert desk.document.undo_name == "Add conditions Tropical"
    desk.document.undo()
    assert names(desk) == before


def test_a_set_is_added_by_mouse(block: ConditionsBlock, desk: Any, qtbot: QtBot) -> None:
    click(block.add_set, qtbot)
    menu = open_menu()
    place = menu.actionGeometry(menu.actions()[3]).center()
    qtbot.mouseClick(menu, Qt.MouseButton.LeftButton, pos=QPoint(place))
    assert desk.document.vessel.current_conditions.name == "Gulf summer"


def test_the_same_set_is_not_added_twice_but_an_edited_one_is(desk: Any) -> None:
    take_set(desk.document, DESIGN_CONDITIONS[0])
    take_set(desk.document, DESIGN_CONDITIONS[2])
    take_set(desk.document, DESIGN_CONDITIONS[0])
    assert desk.document.undo_name == "Change conditions to ISO 7547 summer"
    assert names(desk).count("ISO 7547 summer") == 1
    assert "ISO 7547 summer 2" not in names(desk)


def test_the_list_shows_figures_in_the_units_shown(desk: Any, block: ConditionsBlock) -> None:
    assert set_words(DESIGN_CONDITIONS[2], "us") == "91.4 °F, 80 %, sea 87.8 °F, 10° N"
    menu = design_sets_menu(desk.document, "us", block)
    assert menu.actions()[0].text() == "ISO 7547 summer\t95.0 °F, 70 %, sea 89.6 °F, 25° N"
    menu.deleteLater()


@pytest.mark.parametrize(
    ("key", "typed", "value"),
    [
        ("latitude_deg", "-33", -33.0),
        ("day", "5", 5),
        ("hour", "9.5", 9.5),
        ("cloud_percent", "40", 40.0),
        ("daily_range_K", "9 °F", 5.0),
        ("outdoor_temp_C", "86 °F", 30.0),
        ("sea_temp_C", "25", 25.0),
        ("name", "Sydney", "Sydney"),
    ],
)
def test_every_field_is_one_step(
    block: ConditionsBlock, desk: Any, qtbot: QtBot, key: str, typed: str, value: object
) -> None:
    old = desk.document.vessel.current_conditions
    type_into(block.form, key, typed, qtbot)
    assert getattr(desk.document.vessel.current_conditions, key) == pytest.approx(value)
    assert old.name in desk.document.undo_name
    desk.document.undo()
    assert desk.document.vessel.current_conditions == old


def test_month_and_mode_are_chosen_by_name(block: ConditionsBlock, desk: Any, qtbot: QtBot) -> None:
    month = block.form.rows["month"].editor
    assert isinstance(month, QComboBox)
    month.setFocus()
    qtbot.keyClicks(month, "Jan")
    assert desk.document.vessel.current_conditions.month == 1
    mode = block.form.rows["mode"].editor
    assert isinstance(mode, QComboBox)
    mode.setFocus()
    qtbot.keyClick(mode, Qt.Key.Key_Down)
    assert desk.document.vessel.current_conditions.mode == "heating"
    assert not block.worst.isVisible()


def test_the_heading_is_the_worst_or_typed(block: ConditionsBlock, desk: Any, qtbot: QtBot) -> None:
    assert block.worst.isChecked()
    assert not block.heading.isVisible()
    block.worst.setFocus()
    qtbot.keyClick(block.worst, Qt.Key.Key_Space)
    assert desk.document.vessel.current_conditions.heading_deg == 0.0
    assert block.heading.rows["heading_deg"].editor.hasFocus()
    type_into(block.heading, "heading_deg", "135", qtbot)
    assert desk.document.vessel.current_conditions.heading_deg == 135.0
    qtbot.keyClick(block.worst, Qt.Key.Key_Space)
    assert desk.document.vessel.current_conditions.heading_deg is None
    desk.document.undo()
    assert not block.worst.isChecked()
    assert block.heading.isVisible()


def test_a_day_that_no_month_has_and_a_taken_name_are_refused(
    block: ConditionsBlock, desk: Any, qtbot: QtBot
) -> None:
    take_set(desk.document, DESIGN_CONDITIONS[2])
    type_into(block.form, "day", "31", qtbot)
    assert desk.document.vessel.current_conditions.day == DESIGN_CONDITIONS[2].day
    assert "30" in block.form.rows["day"].problem.text()
    type_into(block.form, "name", names(desk)[0], qtbot)
    assert "taken" in block.form.rows["name"].problem.text()


def test_conditions_are_duplicated_and_removed(block: ConditionsBlock, desk: Any, qtbot: QtBot) -> None:
    first = desk.document.vessel.current_conditions
    assert not block.remove.isEnabled()
    click(block.twice, qtbot)
    assert names(desk) == [first.name, f"{first.name} 2"]
    assert block.form.rows["name"].editor.hasFocus()
    click(block.remove, qtbot)
    assert names(desk) == [first.name]
    assert desk.document.undo_name == f"Remove conditions {first.name} 2"
    desk.document.undo()
    assert len(names(desk)) == 2


def row_of(spaces: SpacesBlock, name: str) -> list[str]:
    table = spaces.table
    rows = [[table.item(at, column) for column in range(3)] for at in range(table.rowCount())]
    texts = [[item.text() for item in row if item is not None] for row in rows]
    return next(row for row in texts if row[0] == name)


def press(spaces: SpacesBlock, name: str, qtbot: QtBot) -> None:
    [item] = spaces.table.findItems(name, Qt.MatchFlag.MatchExactly)
    spaces.table.scrollToItem(item)
    place = spaces.table.visualItemRect(item).center()
    qtbot.mouseClick(spaces.table.viewport(), Qt.MouseButton.LeftButton, pos=place)


def test_usual_spaces_show_their_values_and_take_own_ones(
    spaces: SpacesBlock, desk: Any, qtbot: QtBot
) -> None:
    usual = space_of(desk.document.vessel, "engine room")
    assert usual is not None
    # Outdoor air of 35 degC and the rise of a machinery space by ISO 8861 (from memory), 12.5 K.
    assert row_of(spaces, "engine room")[1] == "47.5"
    press(spaces, "engine room", qtbot)
    assert not spaces.form.isVisible()
    click(spaces.own, qtbot)
    assert desk.document.vessel.spaces == (Space("engine room", air_m_s=usual.air_m_s),)
    field = spaces.form.rows["temp_C"].editor
    assert isinstance(field, QLineEdit)
    assert field.hasFocus()
    assert field.placeholderText() == "47.5 usual"
    type_into(spaces.form, "temp_C", "122 °F", qtbot)
    assert desk.document.vessel.spaces[0].temp_C == pytest.approx(50.0)
    assert desk.document.undo_name == "Change temperature of space engine room"
    assert row_of(spaces, "engine room")[1] == "50.0"
    type_into(spaces.form, "temp_C", "", qtbot)
    assert desk.document.vessel.spaces[0].temp_C is None
    click(spaces.remove, qtbot)
    assert desk.document.vessel.spaces == ()
    assert row_of(spaces, "engine room")[1] == "47.5"


def test_a_space_is_added_renamed_and_kept_while_a_surface_needs_it(
    spaces: SpacesBlock, desk: Any, qtbot: QtBot
) -> None:
    click(spaces.add, qtbot)
    assert spaces.form.rows["name"].editor.hasFocus()
    type_into(spaces.form, "name", "Battery locker", qtbot)
    assert spaces.chosen == "Battery locker"
    wall = (Surface(kind="bulkhead", area_m2=3.0, other_side="Battery locker"),)
    desk.document.edit("Wall", lambda vessel: set_field(vessel, ("C-1",), "surfaces", wall))
    spaces.table.setFocus()
    qtbot.keyClick(spaces.table, Qt.Key.Key_Delete)
    assert [space.name for space in desk.document.vessel.spaces] == ["Battery locker"]
    assert "C-1" in spaces.problem.text()
    type_into(spaces.form, "name", "outdoors", qtbot)
    assert "weather" in spaces.form.rows["name"].problem.text()
    assert desk.document.vessel.spaces[0].name == "Battery locker"


def test_spaces_follow_the_conditions_and_the_units(spaces: SpacesBlock, desk: Any) -> None:
    take_set(desk.document, Conditions(name="Cool", outdoor_temp_C=20.0))
    assert row_of(spaces, "engine room")[1] == "32.5"
    desk.shown.set_units("us")
    assert row_of(spaces, "engine room")[1] == "90.5"
