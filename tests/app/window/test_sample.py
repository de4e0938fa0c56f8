# SPDX-License-Identifier: MIT
"""The job itself, in the window: the far guest cabin of the 27 m sample is starved, and is cured."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QLineEdit
from pytestqt.qtbot import QtBot

from app.shipped import shipped
from app.window.main_window import MainWindow


@pytest.fixture
def yacht(window: MainWindow) -> MainWindow:
    assert window.document.open_copy(shipped("sample_vessels") / "motor_yacht_27m.farcabin")
    return window


def findings(window: MainWindow) -> list[str]:
    model = window.docks.findings.list_view.model()
    return [str(model.index(row, 0).data()) for row in range(model.rowCount())]


def test_the_starved_cabin_is_found_selected_and_cured(yacht: MainWindow, qtbot: QtBot) -> None:
    results = yacht.store.results
    assert results is not None
    starved = min(results.air_handlers.values(), key=lambda each: each.share_of_design)
    assert starved.share_of_design < 0.7
    row = next(
        row
        for row, text in enumerate(findings(yacht))
        if text.startswith(f"Look at this: {starved.tag} gets")
    )

    view = yacht.docks.findings.list_view
    place = view.visualRect(view.model().index(row, 0)).center()
    qtbot.mouseClick(view.viewport(), Qt.MouseButton.LeftButton, pos=place)
    assert starved.tag in yacht.shown.tags
    [valve] = [tag for tag in yacht.shown.tags if tag.startswith("RV-")]

    place = yacht.view.mapFromScene(yacht.scene.place_of(valve).center())
    qtbot.mouseClick(yacht.view.viewport(), Qt.MouseButton.LeftButton, pos=place)
    assert yacht.shown.tags == (valve,)
    form = yacht.docks.properties.sheet.form
    assert form is not None
    field = form.rows["setting"].editor
    assert isinstance(field, QLineEdit)
    field.setFocus()
    field.selectAll()
    qtbot.keyClicks(field, "4")
    qtbot.keyClick(field, Qt.Key.Key_Return)

    after = yacht.store.results
    assert after is not None
    assert after.air_handlers[starved.tag].share_of_design > 0.9
    assert not any(text.startswith(f"Look at this: {starved.tag} gets") for text in findings(yacht))
    yacht.document.undo()
    assert any(text.startswith(f"Look at this: {starved.tag} gets") for text in findings(yacht))


@pytest.mark.parametrize(
    "path", sorted(shipped("sample_vessels").glob("*.farcabin")), ids=lambda path: path.stem
)
def test_every_sample_opens_solved_and_fits(window: MainWindow, path: object, qtbot: QtBot) -> None:
    assert window.document.open_copy(path)  # type: ignore[arg-type]
    assert window.store.results is not None
    assert not window.store.behind
    assert window.docks.findings.counts()["bad"] == 0
    for part in window.document.vessel.components[:60]:
        window.shown.select((part.tag,))
        sheet = window.docks.properties.sheet
        content = sheet.widget()
        assert content.minimumSizeHint().width() <= sheet.viewport().width(), part
    for run in window.document.vessel.runs[:20]:
        window.shown.select((run.tag,))
        assert window.docks.properties.sheet.form is not None
