# SPDX-License-Identifier: MIT
"""Compare with before: pin, change, read what followed; scenarios; unpin."""

from __future__ import annotations

from typing import Any

import msgspec
import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QTableWidget
from pytestqt.qtbot import QtBot

from app.panels.compare_panel import ComparePanel, as_text
from app.panels.compare_words import changes_in_words
from solver.change import Change
from solver.vessel.changes import apply
from solver.vessel.edits import remove
from solver.vessel.vessel import Scenario, Vessel
from tests.app.small_loop import small_loop


@pytest.fixture
def panel(desk: Any, qtbot: QtBot) -> ComparePanel:
    panel = ComparePanel(desk.document, desk.store, desk.worker, desk.shown)
    qtbot.addWidget(panel)
    panel.resize(900, 300)
    panel.show()
    return panel


def rows(table: QTableWidget) -> list[list[str]]:
    return [line.split("\t") for line in as_text(table).splitlines()[1:]]


def pin(panel: ComparePanel, qtbot: QtBot) -> None:
    qtbot.mouseClick(panel.pin, Qt.MouseButton.LeftButton)


def test_after_a_change_both_tables_tell_it(panel: ComparePanel, desk: Any, qtbot: QtBot) -> None:
    pin(panel, qtbot)
    assert rows(panel.changes) == [["", "Nothing has changed yet."]]
    desk.edit("RV-2", "setting", 4.0)
    assert [row[0] for row in rows(panel.changes)] == ["RV-2"]
    assert rows(panel.changes)[0][1].endswith("setting 1 → 4")
    followed = {row[0]: row for row in rows(panel.followed)}
    assert list(followed) == ["AH-1", "AH-2"]
    assert followed["AH-2"][3].startswith("+")
    assert "→" in followed["AH-2"][4]
    assert panel.comparison is not None
    assert panel.comparison.after is desk.store.results


def test_unpin_and_another_vessel_end_it(panel: ComparePanel, desk: Any, qtbot: QtBot) -> None:
    told: list[object] = []
    panel.compared.connect(told.append)
    pin(panel, qtbot)
    assert told[-1] is not None
    qtbot.mouseClick(panel.unpin, Qt.MouseButton.LeftButton)
    assert told[-1] is None
    assert not panel.unpin.isEnabled()
    pin(panel, qtbot)
    desk.document.show(small_loop())
    assert told[-1] is None


def test_nothing_can_be_pinned_without_current_results(panel: ComparePanel, desk: Any) -> None:
    assert panel.pin.isEnabled()
    desk.document.edit("Remove", lambda vessel: remove(vessel, ("EX-1",)))
    assert not panel.pin.isEnabled()


def test_while_there_is_no_answer_the_last_comparison_is_told_as_behind(
    panel: ComparePanel, desk: Any, qtbot: QtBot
) -> None:
    pin(panel, qtbot)
    desk.document.edit("Remove", lambda vessel: remove(vessel, ("EX-1",)))
    assert "behind" in panel.state.text()


def with_scenarios(vessel: Vessel) -> Vessel:
    slow = Scenario(name="Pump slow", changes=(Change("P-1", "speed_percent", 60.0),))
    no_pump = Scenario(name="Pump off", changes=(Change("P-1", "running", 0.0),))
    return msgspec.structs.replace(vessel, scenarios=(slow, no_pump))


def test_a_scenario_is_compared_with_the_vessel_as_drawn(panel: ComparePanel, desk: Any) -> None:
    desk.document.show(with_scenarios(small_loop()))
    panel.scenario.setCurrentIndex(1)
    panel.scenario.activated.emit(1)
    assert panel.comparison is not None
    assert panel.comparison.before is desk.store.results
    flow = panel.comparison.after.pumps["P-1"].flow_L_s
    assert flow < 0.7 * desk.store.results.pumps["P-1"].flow_L_s
    assert [row[0] for row in rows(panel.changes)] == ["P-1"]
    # It follows the drawing.
    desk.edit("RV-2", "setting", 4.0)
    assert panel.comparison.before is desk.store.results


def test_a_row_selects_its_part(panel: ComparePanel, desk: Any, qtbot: QtBot) -> None:
    pin(panel, qtbot)
    item = panel.followed.item(1, 0)
    assert item is not None
    place = panel.followed.visualItemRect(item).center()
    qtbot.mouseClick(panel.followed.viewport(), Qt.MouseButton.LeftButton, pos=place)
    assert desk.shown.tags == ("AH-2",)


def test_changes_are_told_in_words_and_in_the_units_shown() -> None:
    old = small_loop()
    new = apply(old, [Change("R-5", "length_m", 20.0), Change("P-1", "running", 0.0)])
    new = remove(new, ("RV-1",))
    words = dict(changes_in_words(old, new, "us"))
    assert words["RV-1"] == "removed"
    assert words["R-5"].endswith("ft")
    assert "→" in words["R-5"]
    assert words["P-1"].endswith("yes → no")
    moved = msgspec.structs.replace(old.components[0], at=(10.0, 10.0))
    assert (
        changes_in_words(old, msgspec.structs.replace(old, components=(moved, *old.components[1:])), "si")
        == ()
    )
