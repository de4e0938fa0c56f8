# SPDX-License-Identifier: MIT
"""The property sheet, worked with the keyboard and the mouse."""

from __future__ import annotations

from typing import Any

import pytest
from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtGui import QContextMenuEvent, QWheelEvent
from PySide6.QtWidgets import (
    QApplication,
    QComboBox,
    QLabel,
    QLineEdit,
    QMenu,
    QPlainTextEdit,
    QSlider,
    QWidget,
)
from pytestqt.qtbot import QtBot

from app.panels.property_sheet import PropertySheet
from app.panels.rows.number_row import NumberRow
from app.panels.rows.points_row import PointsRow
from app.panels.rows.reset import Reset
from app.panels.rows.row import Row
from solver.vessel.edits import remove, set_field, set_fields
from solver.vessel.run import Fitting


class Sheet:
    """The sheet on screen, and hands for it."""

    def __init__(self, desk: Any, qtbot: QtBot) -> None:
        self.desk, self.qtbot = desk, qtbot
        self.widget = PropertySheet(desk.document, desk.store, desk.shown)
        qtbot.addWidget(self.widget)
        self.widget.resize(340, 900)
        self.widget.show()

    def select(self, *tags: str) -> None:
        self.desk.shown.select(tags)

    def row(self, key: str) -> Row:
        assert self.widget.form is not None
        return self.widget.form.rows[key]

    def field(self, key: str) -> QLineEdit:
        editor = self.row(key).editor
        assert isinstance(editor, QLineEdit)
        return editor

    def type(self, key: str, text: str, enter: bool = True) -> None:
        field = self.field(key)
        field.setFocus()
        field.selectAll()
        self.qtbot.keyClicks(field, text)
        if enter:
            self.qtbot.keyClick(field, Qt.Key.Key_Return)

    def problem(self, key: str) -> str:
        problem = self.row(key).problem
        return problem.text() if problem.isVisible() else ""


@pytest.fixture
def sheet(desk: Any, qtbot: QtBot) -> Sheet:
    return Sheet(desk, qtbot)


def test_what_matters_most_stands_first(sheet: Sheet) -> None:
    sheet.select("AH-2")
    figures = sheet.desk.store.results.air_handlers["AH-2"]
    block = sheet.widget.results_block
    assert block.headline == f"{figures.share_of_design * 100:.0f} % of design flow"
    assert block.judgement.startswith("Too little")
    [flow, drop] = block.texts()[:2]
    assert flow == ("Flow", f"{figures.flow_L_s * 60:.1f} L/min of 9.0 L/min")
    assert drop[0] == "Pressure drop of the coil"


def test_a_pump_shows_its_duty_and_a_run_where_its_loss_comes_from(sheet: Sheet) -> None:
    sheet.select("P-1")
    assert " at " in sheet.widget.results_block.headline
    assert "Efficiency" in [label for label, _text in sheet.widget.results_block.texts()]
    sheet.select("R-5")
    lines = dict(sheet.widget.results_block.texts())
    assert lines["Velocity"].endswith("m/s")
    assert lines["Loss per length"].endswith("Pa/m")
    assert lines["  by the pipe"].endswith("%")


def test_a_setting_typed_is_solved_and_undone(sheet: Sheet) -> None:
    sheet.select("RV-2")
    before = sheet.widget.results_block.headline
    sheet.type("setting", "3.5")
    assert sheet.desk.part("RV-2").setting == 3.5
    after = sheet.widget.results_block.headline
    assert after != before
    assert sheet.desk.document.undo_name == "Change handwheel setting of RV-2"
    sheet.desk.document.undo()
    assert sheet.widget.results_block.headline == before
    assert sheet.field("setting").text() == "1"
    sheet.desk.document.redo()
    assert sheet.widget.results_block.headline == after


@pytest.mark.parametrize(
    ("typed", "value"),
    [("10", 10 / 60), ("10 L/min", 10 / 60), ("0.2 L/s", 0.2), ("3.2 gpm", 0.201889), ("9,5", 9.5 / 60)],
)
def test_any_unit_of_the_quantity_is_taken(sheet: Sheet, typed: str, value: float) -> None:
    sheet.select("AH-1")
    sheet.type("design_flow_L_s", typed)
    assert sheet.desk.part("AH-1").design_flow_L_s == pytest.approx(value, rel=1e-5)
    assert sheet.problem("design_flow_L_s") == ""
    assert typed in sheet.field("design_flow_L_s").toolTip()


@pytest.mark.parametrize(
    ("typed", "why"), [("3 bar", "a flow is expected"), ("fast", "not understood"), ("-2", "more than 0")]
)
def test_what_is_wrong_is_explained_in_place_and_kept(sheet: Sheet, typed: str, why: str) -> None:
    sheet.select("AH-1")
    sheet.type("design_flow_L_s", typed)
    assert why in sheet.problem("design_flow_L_s")
    assert sheet.field("design_flow_L_s").text() == typed
    assert sheet.desk.part("AH-1").design_flow_L_s == 0.15
    assert sheet.desk.document.is_clean
    # It stays through what happens elsewhere, until it is mended or given up.
    sheet.desk.edit("RV-2", "setting", 2.0)
    assert sheet.field("design_flow_L_s").text() == typed
    sheet.qtbot.keyClick(sheet.field("design_flow_L_s"), Qt.Key.Key_Escape)
    assert sheet.problem("design_flow_L_s") == ""
    assert float(sheet.field("design_flow_L_s").text()) == 9.0


def test_the_range_is_told_in_the_units_shown(sheet: Sheet) -> None:
    sheet.select("P-1")
    sheet.type("speed_percent", "900")
    assert "too high" in sheet.problem("speed_percent")
    assert "0 to 150 %" in sheet.problem("speed_percent")


def test_what_the_edit_itself_refuses_is_told_at_the_field(sheet: Sheet) -> None:
    sheet.select("RV-1")
    sheet.type("setting", "9")
    assert "setting" in sheet.problem("setting")
    assert sheet.desk.part("RV-1").setting == 3.0


def test_leaving_a_field_commits_it(sheet: Sheet) -> None:
    sheet.select("RV-2")
    sheet.type("setting", "2", enter=False)
    assert sheet.desk.part("RV-2").setting == 1.0
    sheet.field("name").setFocus()
    assert sheet.desk.part("RV-2").setting == 2.0


def test_entering_and_leaving_a_field_changes_nothing(sheet: Sheet) -> None:
    sheet.select("AH-1")
    for key in ("design_flow_L_s", "rated_drop_kPa", "name"):
        sheet.field(key).setFocus()
    assert sheet.desk.document.is_clean


def drag(qtbot: QtBot, slider: QSlider, to: float) -> None:
    """Drag a slider's handle with the mouse."""
    y = slider.height() // 2
    start = round(8 + (slider.width() - 16) * slider.value() / slider.maximum())
    end = round(8 + (slider.width() - 16) * to)
    qtbot.mousePress(slider, Qt.MouseButton.LeftButton, pos=QPoint(start, y))
    for step in range(1, 11):
        qtbot.mouseMove(slider, QPoint(start + (end - start) * step // 10, y))
    qtbot.mouseRelease(slider, Qt.MouseButton.LeftButton, pos=QPoint(end, y))


def slider_of(row: Row) -> QSlider:
    assert isinstance(row, NumberRow)
    assert row.below is not None
    return row.below


def test_dragging_a_slider_solves_as_it_goes_and_is_one_step(sheet: Sheet) -> None:
    sheet.select("RV-2")
    flows: list[float] = []
    sheet.desk.store.results_changed.connect(
        lambda results, behind, *_rest: (
            None if behind else flows.append(results.air_handlers["AH-2"].flow_L_s)
        )
    )
    drag(sheet.qtbot, slider_of(sheet.row("setting")), 0.9)
    first = sheet.desk.part("RV-2").setting
    assert first == pytest.approx(3.6, abs=0.2)
    assert len(flows) >= 5
    assert flows == sorted(flows)
    assert sheet.field("setting").text() == f"{first:g}"
    drag(sheet.qtbot, slider_of(sheet.row("setting")), 0.5)
    second = sheet.desk.part("RV-2").setting
    sheet.desk.document.undo()
    assert sheet.desk.part("RV-2").setting == first
    sheet.desk.document.undo()
    assert sheet.desk.part("RV-2").setting == 1.0
    assert sheet.desk.document.is_clean
    assert second < first


def test_the_wheel_over_a_slider_that_has_no_focus_scrolls_the_sheet(sheet: Sheet, qtbot: QtBot) -> None:

    sheet.select("RV-2")
    slider = slider_of(sheet.row("setting"))
    here = QPointF(20, 8)
    event = QWheelEvent(
        here,
        slider.mapToGlobal(here),
        QPoint(0, 0),
        QPoint(0, 120),
        Qt.MouseButton.NoButton,
        Qt.KeyboardModifier.NoModifier,
        Qt.ScrollPhase.NoScrollPhase,
        False,
    )
    sheet.widget.setFocus()
    QApplication.sendEvent(slider, event)
    assert sheet.desk.part("RV-2").setting == 1.0


def test_a_check_box_and_a_choice(sheet: Sheet) -> None:
    sheet.select("P-1")
    box = sheet.row("running").editor
    sheet.qtbot.mouseClick(box, Qt.MouseButton.LeftButton, pos=QPoint(8, box.height() // 2))
    assert sheet.desk.part("P-1").running is False
    sheet.desk.document.undo()
    assert sheet.desk.part("P-1").running is True
    combo = sheet.row("deck").editor
    combo.setFocus()
    sheet.qtbot.keyClick(combo, Qt.Key.Key_Down)
    assert sheet.desk.part("P-1").deck == "Lower deck"


def test_sizes_are_offered_with_their_bores(sheet: Sheet) -> None:
    sheet.select("R-5")
    size = sheet.row("size").editor
    texts = [size.itemText(index) for index in range(size.count())]
    assert "15x0.7 (bore 13.6 mm)" in texts
    before = sheet.desk.store.results.air_handlers["AH-2"].flow_L_s
    size.setFocus()
    sheet.qtbot.keyClick(size, Qt.Key.Key_Down)
    assert sheet.desk.part("R-5").size != "15x0.7"
    assert sheet.desk.store.results.air_handlers["AH-2"].flow_L_s != before


def test_another_series_takes_the_size_of_the_nearest_bore(sheet: Sheet) -> None:
    sheet.select("R-5")
    series = sheet.row("series").editor
    names = [series.itemText(index) for index in range(series.count())]
    hose = next(index for index, name in enumerate(names) if "hose" in name.lower())
    series.setCurrentIndex(hose)
    series.activated.emit(hose)
    assert sheet.desk.part("R-5").series == "rubber_hose"
    assert sheet.desk.part("R-5").size == "13"
    assert sheet.desk.document.undo_name == "Change pipe of R-5"


def test_several_parts_show_what_they_have_in_common(sheet: Sheet) -> None:
    sheet.select("RV-1", "RV-2")
    field = sheet.field("setting")
    assert field.text() == ""
    assert field.placeholderText() == "mixed"
    sheet.type("setting", "2.5")
    assert (sheet.desk.part("RV-1").setting, sheet.desk.part("RV-2").setting) == (2.5, 2.5)
    sheet.desk.document.undo()
    assert (sheet.desk.part("RV-1").setting, sheet.desk.part("RV-2").setting) == (3.0, 1.0)


def test_parts_of_different_kinds_share_their_common_fields(sheet: Sheet) -> None:
    sheet.select("RV-1", "AH-1")
    assert sheet.widget.form is not None
    keys = set(sheet.widget.form.rows)
    assert "deck" in keys
    assert "notes" in keys
    assert "setting" not in keys
    assert "name" not in keys


def test_an_optional_field_may_be_emptied(sheet: Sheet) -> None:
    sheet.select("R-5")
    sheet.type("rise_m", "1.5")
    assert sheet.desk.part("R-5").rise_m == 1.5
    field = sheet.field("rise_m")
    field.selectAll()
    sheet.qtbot.keyClick(field, Qt.Key.Key_Delete)
    sheet.qtbot.keyClick(field, Qt.Key.Key_Return)
    assert sheet.desk.part("R-5").rise_m is None
    assert field.placeholderText() == "from heights"


def test_a_field_can_go_back_to_its_default(sheet: Sheet) -> None:
    sheet.select("AH-1")
    row = sheet.row("drop_exponent")
    assert isinstance(row, NumberRow)
    assert not row.reset.action.isVisible()
    sheet.type("drop_exponent", "1.9")
    assert row.reset.action.isVisible()
    assert "1.8" in row.reset.action.text()
    row.reset.action.trigger()
    assert sheet.desk.part("AH-1").drop_exponent == 1.8


@pytest.mark.parametrize(
    ("tag", "key", "other"),
    [
        ("AH-1", "name", "Saloon"),
        ("AH-1", "notes", "two lines\nof text"),
        ("P-1", "running", False),
        ("P-1", "speed_percent", 80.0),
        ("R-1", "service", "return"),
        ("R-1", "fittings", (Fitting(kind="elbow_90", count=2),)),
    ],
)
def test_every_sort_of_field_goes_back_to_its_default(
    sheet: Sheet, tag: str, key: str, other: object
) -> None:
    sheet.select(tag)
    row = sheet.row(key)
    default = row.field.default
    sheet.desk.document.edit("Other", lambda vessel: set_field(vessel, (tag,), key, other))
    assert row.reset.action.isVisible()
    row.reset.action.trigger()
    assert getattr(sheet.desk.part(tag), key) == default
    assert not row.reset.action.isVisible()
    sheet.desk.document.undo()
    assert getattr(sheet.desk.part(tag), key) == other


@pytest.mark.parametrize("key", ["name", "notes", "drop_exponent"])
def test_the_default_is_in_the_menus_of_label_and_editor(
    sheet: Sheet, monkeypatch: pytest.MonkeyPatch, key: str
) -> None:
    shown: list[list[str]] = []

    def note(_reset: Reset, menu: QMenu, _at: QPoint) -> None:
        shown.append([action.text() for action in menu.actions()])

    monkeypatch.setattr(Reset, "open", note)
    sheet.select("AH-1")
    others = {"name": "A", "notes": "b", "drop_exponent": 1.9}
    sheet.desk.document.edit("Other", lambda vessel: set_fields(vessel, ("AH-1",), others))
    row = sheet.row(key)
    editor = row.editor.viewport() if isinstance(row.editor, QPlainTextEdit) else row.editor
    for widget in (row.label, editor):
        event = QContextMenuEvent(QContextMenuEvent.Reason.Keyboard, QPoint(3, 3), QPoint(3, 3))
        QApplication.sendEvent(widget, event)
    assert [texts[0] for texts in shown] == [row.reset.action.text()] * 2
    assert len(shown[1]) > 2


def test_insulation_can_be_put_on_and_changed(sheet: Sheet) -> None:
    sheet.select("R-5")
    assert not sheet.row("insulation.thickness_mm").editor.isVisible()
    box = sheet.row("insulation").editor
    sheet.qtbot.mouseClick(box, Qt.MouseButton.LeftButton, pos=QPoint(8, box.height() // 2))
    assert sheet.desk.part("R-5").insulation is not None
    assert sheet.row("insulation.thickness_mm").editor.isVisible()
    sheet.type("insulation.thickness_mm", "3/4 in")
    assert sheet.desk.part("R-5").insulation.thickness_mm == pytest.approx(19.05)


def test_a_point_of_the_curve_is_edited_in_its_table(sheet: Sheet) -> None:
    sheet.select("P-1")
    row = sheet.row("curve")
    assert isinstance(row, PointsRow)
    row.table.item(1, 1).setText("7.0")
    assert sheet.desk.part("P-1").curve[1].head_m == 7.0
    row.table.item(1, 0).setText("nothing")
    assert "not understood" in sheet.problem("curve")
    assert sheet.desk.part("P-1").curve[1].flow_L_s == 0.3


def test_units_change_every_figure_of_the_sheet(sheet: Sheet) -> None:
    for tag in ("AH-2", "P-1", "R-5"):
        sheet.select(tag)
        before = figures_on(sheet.widget)
        sheet.desk.shown.set_units("us")
        after = figures_on(sheet.widget)
        assert after != before
        for unit in ("L/min", "kPa", "Pa/m", "m/s"):
            assert not any(text.endswith(f" {unit}") or text == unit for text in after), (unit, after)
        sheet.desk.shown.set_units("si")
        assert figures_on(sheet.widget) == before


def figures_on(widget: QWidget) -> list[str]:
    """Return every text that can be seen."""

    texts = [label.text() for label in widget.findChildren(QLabel) if label.isVisible()]
    texts += [edit.text() for edit in widget.findChildren(QLineEdit) if edit.isVisible()]
    texts += [combo.currentText() for combo in widget.findChildren(QComboBox) if combo.isVisible()]
    return texts


def test_without_an_answer_the_old_figures_stay_and_the_reason_stands_there(sheet: Sheet) -> None:

    sheet.select("AH-2")
    before = sheet.widget.results_block.headline
    sheet.desk.document.edit("Remove EX-1", lambda vessel: remove(vessel, ("EX-1",)))
    assert sheet.widget.results_block.headline == before

    notes = [label.text() for label in sheet.widget.results_block.findChildren(QLabel)]
    assert any(note.startswith("Not solved: ") for note in notes)


def test_a_part_that_goes_takes_its_sheet_with_it(sheet: Sheet) -> None:

    sheet.select("AH-2")
    sheet.desk.document.edit("Remove AH-2", lambda vessel: remove(vessel, ("AH-2",)))
    assert sheet.widget.parts == ()
    assert sheet.widget.form is None


def test_the_sheet_is_not_made_anew_by_an_edit(sheet: Sheet) -> None:
    sheet.select("RV-2")
    form = sheet.widget.form
    sheet.type("setting", "2")
    assert sheet.widget.form is form


def test_a_part_can_be_given_another_tag(sheet: Sheet) -> None:
    sheet.select("AH-2")
    sheet.type("tag", "AH-9")
    assert sheet.desk.shown.tags == ("AH-9",)
    assert sheet.desk.part("R-5").end.tag == "AH-9"
    sheet.type("tag", "AH-1")
    assert "AH-1" in sheet.problem("tag")
    assert sheet.desk.shown.tags == ("AH-9",)
