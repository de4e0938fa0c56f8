# SPDX-License-Identifier: MIT
"""The solve step by step: the figures of each table add up, the keys step, the drawing follows."""

from __future__ import annotations

from typing import Any

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication, QKeySequence
from pytestqt.qtbot import QtBot

from app.panels import step_tables
from app.panels.step_tables import StepTables, tables_of


@pytest.fixture
def panel(desk: Any, qtbot: QtBot) -> StepTables:
    panel = StepTables(desk.store, desk.worker, desk.shown)
    qtbot.addWidget(panel)
    panel.resize(1000, 320)
    panel.show()
    panel.set_seen(True)
    return panel


def cells(panel: StepTables, column: int) -> list[str]:
    found = []
    for row in range(panel.table.rowCount()):
        item = panel.table.item(row, column)
        assert item is not None
        found.append(item.text())
    return found


def test_a_correction_is_minus_losses_over_slopes(desk: Any) -> None:
    tables = tables_of(desk.store.results)
    assert tables.hand is not None
    for step in tables.hand.steps:
        assert step.correction == pytest.approx(-step.sum_of_losses / step.sum_of_slopes)
        # Held pressures drive nothing in a closed loop: what the links lose is the whole sum.
        assert step.sum_of_losses == pytest.approx(sum(link.loss for link in step.links), abs=1e-6)


def test_both_methods_close_in_on_the_same_flows(desk: Any) -> None:
    tables = tables_of(desk.store.results)
    assert tables.hand is not None
    assert tables.newton is not None
    last = tables.newton.steps[-1]
    newton = dict(zip(tables.newton.tags, (last.flow + last.change).tolist(), strict=True))
    largest = max(abs(flow) for flow in newton.values())
    for tag, flow in tables.hand.solution.flows.items():
        assert flow == pytest.approx(newton[tag], abs=1e-6 * largest)


def test_the_keys_go_forward_and_back_and_the_loop_is_lit(panel: StepTables, desk: Any, qtbot: QtBot) -> None:
    first = panel.page
    assert first is not None
    assert desk.shown.lit == first.lit
    assert set(desk.shown.lit.ways.values()) <= {1, -1}
    panel.table.setFocus()
    qtbot.keyClick(panel.table, Qt.Key.Key_PageDown)
    assert panel.at == 1
    assert panel.page is not None
    assert panel.page != first
    assert desk.shown.lit == panel.page.lit
    qtbot.keyClick(panel.table, Qt.Key.Key_PageUp)
    assert panel.page == first
    qtbot.keyClick(panel.table, Qt.Key.Key_End, Qt.KeyboardModifier.ControlModifier)
    assert not panel.forward.isEnabled()
    qtbot.keyClick(panel.table, Qt.Key.Key_Home, Qt.KeyboardModifier.ControlModifier)
    assert panel.at == 0
    assert not panel.back.isEnabled()
    qtbot.mouseClick(panel.forward, Qt.MouseButton.LeftButton)
    assert panel.at == 1


def test_newton_s_table_and_units(panel: StepTables, desk: Any) -> None:
    panel.method.setCurrentIndex(1)
    assert "Step 1" in panel.headline.text()
    si = [float(text) for text in cells(panel, 1)]
    desk.shown.set_units("us")
    us = [float(text) for text in cells(panel, 1)]
    assert us == pytest.approx([value / 3.785412 for value in si], rel=0.02, abs=0.01)
    assert "US gpm" in panel.headline.text()


def test_each_column_is_explained(panel: StepTables) -> None:
    for method in (0, 1):
        panel.method.setCurrentIndex(method)
        assert panel.page is not None
        for column, (name, meaning) in enumerate(panel.page.columns):
            panel.table.setCurrentCell(0, column)
            assert panel.meaning.text() == f"{name}: {meaning}."


def test_the_step_is_copied_as_tab_separated_text(panel: StepTables, qtbot: QtBot) -> None:
    panel.table.setFocus()
    qtbot.keySequence(panel.table, QKeySequence(QKeySequence.StandardKey.Copy))
    lines = QGuiApplication.clipboard().text().splitlines()
    assert lines[0] == panel.headline.text()
    assert len(lines) == 2 + panel.table.rowCount()


def test_convergence_of_both_is_drawn(panel: StepTables) -> None:
    names = [curve.name for curve in panel.plot.data.curves]
    assert names == ["Newton", "Hardy-Cross"]
    for curve in panel.plot.data.curves:
        assert curve.points[-1][1] < curve.points[0][1] - 2


def test_a_large_network_is_refused_kindly_by_hand_only(desk: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(step_tables, "MOST_LOOPS", 1)
    tables = tables_of(desk.store.results)
    assert tables.hand is None
    assert "too many" in tables.why
    assert tables.newton is not None


def test_without_an_answer_it_says_so_and_lights_nothing(panel: StepTables, desk: Any) -> None:
    desk.document.new()
    assert panel.page is None
    assert panel.headline.text() == "Nothing is solved yet."
    assert desk.shown.lit is None
