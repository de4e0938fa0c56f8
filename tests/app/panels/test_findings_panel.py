# SPDX-License-Identifier: MIT
"""The list of findings: order, click, mute."""

from __future__ import annotations

from typing import Any

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QLineEdit
from pytestqt.qtbot import QtBot

from app.panels.findings_panel import FindingsPanel
from solver.results import Finding

NOTE = Finding("dead_leg", "note", "R-10 carries no water.", tags=("R-10",))
WARN = Finding(
    "low_flow", "warn", "AH-2 gets 2.1 L/min of 9.0.", "RV-2 takes 71 %.", "Open RV-2.", ("AH-2", "RV-2")
)
BAD = Finding("no_reference", "bad", "Nothing sets the pressure.", tags=("P-1",))


@pytest.fixture
def panel(desk: Any, qtbot: QtBot) -> FindingsPanel:
    panel = FindingsPanel(desk.shown)
    qtbot.addWidget(panel)
    panel.resize(600, 300)
    panel.show()
    panel.show_findings((NOTE, WARN, BAD))
    return panel


def texts(panel: FindingsPanel) -> list[str]:
    model = panel.list_view.model()
    return [str(model.index(row, 0).data()) for row in range(model.rowCount())]


def click(panel: FindingsPanel, row: int, qtbot: QtBot) -> None:
    index = panel.list_view.model().index(row, 0)
    place = panel.list_view.visualRect(index).center()
    qtbot.mouseClick(panel.list_view.viewport(), Qt.MouseButton.LeftButton, pos=place)


def test_the_worst_stands_first_with_a_word_for_its_severity(panel: FindingsPanel) -> None:
    assert [text.split(":")[0] for text in texts(panel)] == ["Will not work", "Look at this", "Note"]
    assert texts(panel)[1] == "Look at this: AH-2 gets 2.1 L/min of 9.0. RV-2 takes 71 %. Open RV-2."


def test_counts(panel: FindingsPanel) -> None:
    assert panel.counts() == {"bad": 1, "warn": 1, "note": 1}


def test_a_click_selects_the_parts_and_zooms_to_them(panel: FindingsPanel, desk: Any, qtbot: QtBot) -> None:
    zoomed: list[tuple[str, ...]] = []
    desk.shown.zoom_asked.connect(zoomed.append)
    click(panel, 1, qtbot)
    assert desk.shown.tags == ("AH-2", "RV-2")
    assert zoomed == [("AH-2", "RV-2")]


def test_enter_does_what_a_click_does(panel: FindingsPanel, desk: Any, qtbot: QtBot) -> None:
    panel.list_view.setFocus()
    panel.list_view.setCurrentIndex(panel.list_view.model().index(0, 0))
    qtbot.keyClick(panel.list_view, Qt.Key.Key_Return)
    assert desk.shown.tags == ("P-1",)


def test_a_muted_finding_is_gone_with_its_reason_kept(panel: FindingsPanel, qtbot: QtBot) -> None:
    told: list[dict[str, int]] = []
    panel.counts_changed.connect(told.append)
    click(panel, 1, qtbot)
    panel._mute_button.click()
    reason = panel.findChild(QLineEdit, "mute_reason")
    assert isinstance(reason, QLineEdit)
    assert reason.isVisible()
    qtbot.keyClicks(reason, "owner wants it so")
    qtbot.keyClick(reason, Qt.Key.Key_Return)
    assert len(texts(panel)) == 2
    assert told[-1] == {"bad": 1, "warn": 0, "note": 1}
    panel._show_muted.setChecked(True)
    assert len(texts(panel)) == 3
    # It stays muted when the numbers in its words change.
    panel.show_findings(
        (NOTE, BAD, Finding("low_flow", "warn", "AH-2 gets 2.2 L/min", tags=("AH-2", "RV-2")))
    )
    assert panel.counts()["warn"] == 0
    panel.forget_muted()
    assert panel.counts()["warn"] == 1


def test_muting_can_be_given_up_and_taken_back(panel: FindingsPanel, qtbot: QtBot) -> None:
    click(panel, 0, qtbot)
    panel._mute_button.click()
    reason = panel.findChild(QLineEdit, "mute_reason")
    qtbot.keyClick(reason, Qt.Key.Key_Escape)
    assert not panel._reason_bar.isVisible()
    assert len(texts(panel)) == 3
    panel._mute_button.click()
    qtbot.keyClick(reason, Qt.Key.Key_Return)
    assert len(texts(panel)) == 2
    panel._show_muted.setChecked(True)
    click(panel, 2, qtbot)
    panel._mute_button.click()
    assert panel.counts() == {"bad": 1, "warn": 1, "note": 1}


def test_nothing_found_is_said_only_of_a_vessel_that_was_judged(panel: FindingsPanel) -> None:
    panel.show_findings(())
    assert panel._summary.text() == "Nothing found wrong."
    panel.show_findings((), judged=False)
    assert panel._summary.text() == ""


def test_long_findings_wrap_and_the_list_grows_with_them(panel: FindingsPanel, qtbot: QtBot) -> None:
    panel.show_findings((Finding("long", "warn", "AH-2 " + "gets far too little water " * 20),))
    index = panel.list_view.model().index(0, 0)
    wide = panel.list_view.visualRect(index).height()
    panel.resize(300, 300)
    qtbot.waitUntil(lambda: panel.list_view.visualRect(index).height() > wide)
