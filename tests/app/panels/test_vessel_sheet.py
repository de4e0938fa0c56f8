# SPDX-License-Identifier: MIT
"""The vessel's own page."""

from __future__ import annotations

from typing import Any

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QComboBox, QLineEdit
from pytestqt.qtbot import QtBot

from app.panels.form import Form
from app.panels.vessel_sheet import VesselSheet, liquid_cautions
from solver.vessel.edits import add_conditions
from solver.vessel.vessel import Conditions, LoopLiquid


@pytest.fixture
def sheet(desk: Any, qtbot: QtBot) -> VesselSheet:
    sheet = VesselSheet(desk.document, desk.shown)
    qtbot.addWidget(sheet)
    sheet.resize(340, 1200)
    sheet.show()
    return sheet


def form_with(sheet: VesselSheet, key: str) -> Form:
    return next(form for form in sheet.forms if key in form.rows)


def type_into(sheet: VesselSheet, key: str, text: str, qtbot: QtBot) -> QLineEdit:
    field = form_with(sheet, key).rows[key].editor
    assert isinstance(field, QLineEdit)
    field.setFocus()
    field.selectAll()
    qtbot.keyClicks(field, text)
    qtbot.keyClick(field, Qt.Key.Key_Return)
    return field


def choose(sheet: VesselSheet, key: str, text: str) -> None:
    combo = form_with(sheet, key).rows[key].editor
    assert isinstance(combo, QComboBox)
    index = combo.findText(text)
    assert index >= 0
    combo.setCurrentIndex(index)
    combo.activated.emit(index)


def test_name_limits_and_temperature_are_edited(sheet: VesselSheet, desk: Any, qtbot: QtBot) -> None:
    type_into(sheet, "velocity_max_m_s", "4 ft/s", qtbot)
    assert desk.document.vessel.limits.velocity_max_m_s == pytest.approx(1.2192)
    type_into(sheet, "temp_C", "45 °F", qtbot)
    assert desk.document.vessel.loop_liquid.temp_C == pytest.approx(7.2222, abs=1e-4)
    assert desk.document.undo_name == "Change temperature of the vessel"


def test_glycol_is_solved_and_carries_its_cautions(sheet: VesselSheet, desk: Any, qtbot: QtBot) -> None:
    water = desk.store.results.pumps["P-1"].flow_L_s
    assert sheet.caution == ""
    assert not form_with(sheet, "share_percent").rows["share_percent"].editor.isVisible()
    choose(sheet, "kind", "ethylene glycol")
    assert desk.document.vessel.loop_liquid.share_percent == 30.0
    assert "poisonous" in sheet.caution
    assert desk.store.results.pumps["P-1"].flow_L_s < water
    type_into(sheet, "share_percent", "15", qtbot)
    assert "too little" in sheet.caution
    choose(sheet, "kind", "water")
    assert desk.document.vessel.loop_liquid == LoopLiquid()
    assert sheet.caution == ""


@pytest.mark.parametrize(
    ("liquid", "words"),
    [
        (LoopLiquid(), []),
        (LoopLiquid(kind="propylene_glycol", share_percent=30.0), []),
        (LoopLiquid(kind="propylene_glycol", share_percent=10.0), ["too little"]),
        (LoopLiquid(kind="propylene_glycol", share_percent=50.0), ["seldom needed"]),
        (LoopLiquid(kind="ethylene_glycol", share_percent=20.0), ["poisonous", "too little"]),
    ],
)
def test_cautions(liquid: LoopLiquid, words: list[str], qtbot: QtBot) -> None:
    found = liquid_cautions(liquid, "si")
    assert len(found) == len(words)
    assert all(word in text for word, text in zip(words, found, strict=True))


def test_the_current_conditions_are_chosen_and_edited(sheet: VesselSheet, desk: Any, qtbot: QtBot) -> None:
    row = form_with(sheet, "condition").rows["condition"]
    assert not row.editor.isVisible()
    desk.document.edit(
        "Add", lambda vessel: add_conditions(vessel, Conditions(name="Winter", sea_temp_C=8.0))
    )
    assert row.editor.isVisible()
    choose(sheet, "condition", "Winter")
    assert desk.document.vessel.current_conditions.name == "Winter"
    type_into(sheet, "sea_temp_C", "6", qtbot)
    assert [each.sea_temp_C for each in desk.document.vessel.conditions] == [32.0, 6.0]


def test_what_is_refused_is_told_in_place(sheet: VesselSheet, desk: Any, qtbot: QtBot) -> None:
    field = type_into(sheet, "temp_C", "200", qtbot)
    assert field.text() == "200"
    problem = form_with(sheet, "temp_C").rows["temp_C"].problem
    assert "too high" in problem.text()
    assert desk.document.is_clean


def test_units_change_every_figure(sheet: VesselSheet, desk: Any) -> None:
    form = form_with(sheet, "velocity_max_m_s")
    before = [row.editor.text() for row in form.rows.values()]
    desk.shown.set_units("us")
    units = [row.unit.text() for row in form.rows.values()]
    assert [row.editor.text() for row in form.rows.values()] != before
    assert units[:3] == ["ft/s", "ft/s", "ft/s"]
