# SPDX-License-Identifier: MIT
"""The plot of pump and loop, and the loop's curve itself."""

from __future__ import annotations

from typing import Any

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QGuiApplication, QKeySequence
from pytestqt.qtbot import QtBot

from app.panels.duty_point_plot import DutyPointPlot, smooth
from app.panels.plot import interpolated
from app.panels.plot_scale import nice_scale
from solver.change import Change
from solver.solve import solve
from solver.vessel.edits import remove


@pytest.fixture
def panel(desk: Any, qtbot: QtBot) -> DutyPointPlot:
    panel = DutyPointPlot(desk.document, desk.store, desk.worker, desk.shown)
    qtbot.addWidget(panel)
    panel.resize(640, 300)
    panel.show()
    qtbot.waitUntil(lambda: len(panel.plot.data.curves) == 2)
    return panel


def curve(panel: DutyPointPlot, name: str) -> tuple[tuple[float, float], ...]:
    return next(each.points for each in panel.plot.data.curves if each.name == name)


def test_the_ring_stands_where_the_pump_works(panel: DutyPointPlot, desk: Any) -> None:
    duty = desk.store.results.pumps["P-1"]
    assert panel.plot.data.ring == pytest.approx((duty.flow_L_s * 60, duty.head_m))
    assert "kPa" in panel.plot.data.ring_text
    flow, head = panel.plot.data.ring or (0, 0)
    for name in ("P-1", "loop"):
        assert interpolated(curve(panel, name), flow) == pytest.approx(head, rel=2e-3)


def test_the_loop_s_curve_goes_through_duties_at_other_speeds(panel: DutyPointPlot, desk: Any) -> None:
    slow = solve(desk.document.vessel, changes=[Change("P-1", "speed_percent", 62.0)]).pumps["P-1"]
    head = interpolated(curve(panel, "loop"), slow.flow_L_s * 60)
    assert head == pytest.approx(slow.head_m, rel=0.02)


def test_axis_titles_and_figures_follow_the_units(panel: DutyPointPlot, desk: Any) -> None:
    assert (panel.plot.data.x_title, panel.plot.data.y_title) == ("Flow, L/min", "Head, m")
    si = panel.plot.data.ring
    desk.shown.set_units("us")
    assert (panel.plot.data.x_title, panel.plot.data.y_title) == ("Flow, US gpm", "Head, ft")
    us = panel.plot.data.ring
    assert si is not None
    assert us is not None
    assert us[0] == pytest.approx(si[0] / 3.785412, rel=1e-6)
    assert us[1] == pytest.approx(si[1] / 0.3048, rel=1e-6)


def test_best_efficiency_and_end_of_the_curve_are_marked(panel: DutyPointPlot, desk: Any) -> None:
    marks = {each.name: each.x for each in panel.plot.data.uprights}
    assert marks["curve ends"] == pytest.approx(0.9 * 60)
    assert marks["best efficiency"] == pytest.approx(desk.store.results.pumps["P-1"].best_flow_L_s * 60)


def test_at_another_speed_the_rated_curve_stays_for_comparison(panel: DutyPointPlot, desk: Any) -> None:
    desk.edit("P-1", "speed_percent", 80.0)
    names = [each.name for each in panel.plot.data.curves]
    assert names == ["P-1", "at rated speed", "loop"]
    assert curve(panel, "P-1")[0][1] == pytest.approx(8.0 * 0.8**2)


def test_values_are_read_under_the_mouse_and_by_the_arrow_keys(panel: DutyPointPlot, qtbot: QtBot) -> None:
    assert panel.plot.reading() == ""
    qtbot.mouseMove(panel.plot, QPoint(panel.plot.width() // 2, panel.plot.height() // 2))
    reading = panel.plot.reading()
    assert "L/min" in reading
    assert "P-1" in reading
    panel.plot.setFocus()
    qtbot.keyClick(panel.plot, Qt.Key.Key_Right)
    assert panel.plot.reading() != reading
    qtbot.keyClick(panel.plot, Qt.Key.Key_Escape)
    assert panel.plot.reading() == ""


def test_copy_as_table_and_as_picture(panel: DutyPointPlot, qtbot: QtBot) -> None:
    panel.plot.setFocus()
    qtbot.keySequence(panel.plot, QKeySequence(QKeySequence.StandardKey.Copy))
    text = QGuiApplication.clipboard().text()
    assert "P-1: Flow, L/min\tHead, m" in text
    assert "loop: Flow, L/min\tHead, m" in text
    panel.copy_picture.trigger()
    assert QGuiApplication.clipboard().pixmap().width() == 2 * panel.plot.width()


def test_without_a_pump_it_says_so(panel: DutyPointPlot, desk: Any) -> None:
    desk.document.edit("Remove", lambda vessel: remove(vessel, ("P-1",)))
    assert panel.pump == ""
    assert panel.plot.data.empty_text == "No pump on the drawing."


def test_without_an_answer_the_pump_s_own_curve_stays(panel: DutyPointPlot, desk: Any) -> None:
    desk.document.show(remove(desk.document.vessel, ("EX-1",)))
    assert panel.plot.data.ring is None
    assert [each.name for each in panel.plot.data.curves] == ["P-1"]


def test_a_hidden_plot_asks_for_nothing(desk: Any, qtbot: QtBot) -> None:
    panel = DutyPointPlot(desk.document, desk.store, desk.worker, desk.shown)
    qtbot.addWidget(panel)
    assert [each.name for each in panel.plot.data.curves] == ["P-1"]
    panel.show()
    qtbot.waitUntil(lambda: [each.name for each in panel.plot.data.curves] == ["P-1", "loop"])


def test_a_curve_through_points_passes_through_them() -> None:
    points = ((1.0, 2.0), (2.0, 5.0), (4.0, 17.0))
    drawn = smooth(points)
    assert all(point in drawn for point in points)
    # Head = 1 + flow**2 is what the rule between points keeps exactly.
    assert all(y == pytest.approx(1 + x**2) for x, y in drawn)


@pytest.mark.parametrize("highest", [0.003, 0.47, 1.0, 8.4, 99.0, 1234.0, 0.0, float("nan")])
def test_an_axis_has_round_figures_up_to_its_end(highest: float) -> None:
    scale = nice_scale(highest, 6)
    assert scale.ticks[0] == 0.0
    assert scale.ticks[-1] <= scale.high
    assert 2 <= len(scale.ticks) <= 7
    assert len(set(scale.texts)) == len(scale.texts)
