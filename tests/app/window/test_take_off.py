# SPDX-License-Identifier: MIT
"""Lengths and fittings of a drawn loop, against a take-off by hand."""

from __future__ import annotations

from pathlib import Path

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QColor, QImage
from pytestqt.qtbot import QtBot

from app.panels.words import choice_name
from app.window.main_window import MainWindow
from solver.vessel.components import AirHandler, CirculationPump, PumpPoint
from solver.vessel.run import End, Fitting, Run
from solver.vessel.vessel import Deck, Vessel


def _drawn_loop() -> Vessel:
    """A pump on the lower deck and an air handler on the main deck, joined by two runs with corners."""
    pipe = {"series": "copper_en1057_thin", "size": "22x0.9", "length_m": 1.0, "length_known": "drawing"}
    return Vessel(
        name="Tern",
        decks=(Deck(name="Main", height_m=2.4), Deck(name="Lower")),
        components=(
            CirculationPump(
                tag="P-1",
                deck="Lower",
                height_m=0.0,
                curve=(PumpPoint(flow_L_s=0.0, head_m=8.0), PumpPoint(flow_L_s=0.5, head_m=4.0)),
            ),
            AirHandler(
                tag="AH-1",
                at=(300.0, -100.0),
                deck="Main",
                height_m=0.0,
                design_flow_L_s=0.15,
                rated_flow_L_s=0.15,
                rated_drop_kPa=15.0,
            ),
        ),
        runs=(
            Run(
                tag="R-1",
                start=End("P-1", "outlet"),
                end=End("AH-1", "water_in"),
                bends=((280.0, 0.0),),
                fittings_known="drawing",
                **pipe,  # type: ignore[arg-type]
            ),
            Run(
                tag="R-2",
                start=End("AH-1", "water_out"),
                end=End("P-1", "inlet"),
                bends=((320.0, 60.0), (-60.0, 60.0), (-60.0, 0.0)),
                fittings_known="drawing",
                **pipe,  # type: ignore[arg-type]
            ),
        ),
    )


def test_a_drawn_loop_is_as_long_as_by_hand(window: MainWindow, qtbot: QtBot, tmp_path: Path) -> None:
    image = QImage(1200, 300, QImage.Format.Format_RGB32)
    image.fill(QColor("white"))
    assert image.save(str(tmp_path / "plan.png"))
    window.document.show(_drawn_loop())
    assert window.plans.add_path(tmp_path / "plan.png")
    window.actions_by_name["scale_plan"].trigger()
    back, _ = window.view.viewportTransform().inverted()
    ends = [back.map(float(x), 120.0) for x in (100, 400)]
    for x in (100, 400):
        qtbot.mouseClick(window.view.viewport(), Qt.MouseButton.LeftButton, pos=QPoint(x, 120))
    qtbot.keyClicks(window.plans.entry.edit, "12.5 m")
    qtbot.keyClick(window.plans.entry.edit, Qt.Key.Key_Return)
    scale = 12.5 / (ends[1][0] - ends[0][0])

    # By hand, from the coordinates above. The pump's ports lie 20 units from its middle, to which the pipe
    # is measured; the air handler's at (280, -70) and (320, -70), to which it is measured.
    supply = 20 + (280 - 20) + 70
    back_way = (60 + 70) + (320 + 60) + 60 + (60 - 20) + 20
    runs = window.document.vessel.run_by_tag
    assert runs["R-1"].length_m == pytest.approx(supply * scale + 2.4, abs=0.001)
    assert runs["R-2"].length_m == pytest.approx(back_way * scale + 2.4, abs=0.001)
    # One corner and three; a rise of 2.4 m takes an elbow at its foot and one at its head.
    assert runs["R-1"].fittings == (Fitting("elbow_90", 3),)
    assert runs["R-2"].fittings == (Fitting("elbow_90", 5),)

    panel = window.docks.decks
    panel.table.item(0, 1).setText("3.0 m")
    runs = window.document.vessel.run_by_tag
    assert runs["R-1"].length_m == pytest.approx(supply * scale + 3.0, abs=0.001)
    assert runs["R-2"].length_m == pytest.approx(back_way * scale + 3.0, abs=0.001)
    window.document.undo()
    assert window.document.vessel.run_by_tag["R-1"].length_m == pytest.approx(supply * scale + 2.4, abs=0.001)


def test_a_typed_length_wins_and_the_drawing_can_be_followed_again(window: MainWindow, qtbot: QtBot) -> None:
    window.document.show(_drawn_loop())
    window.shown.select(("R-1",))
    sheet = window.docks.properties.sheet
    assert "Bends: 1 on the drawing, 2 for the rise." in sheet._subtitle.text()
    edit = sheet.form.rows["length_m"].editor
    edit.selectAll()
    qtbot.keyClicks(edit, "9.5 m")
    qtbot.keyClick(edit, Qt.Key.Key_Return)
    run = window.document.vessel.run_by_tag["R-1"]
    assert (run.length_m, run.length_known) == (9.5, "measured")
    known = sheet.form.rows["length_known"].editor
    index = known.findText(choice_name("assumed"))
    known.setCurrentIndex(index)
    known.activated.emit(index)
    run = window.document.vessel.run_by_tag["R-1"]
    assert run.length_known == "assumed"
    assert run.length_m == pytest.approx((20 + 260 + 70) * 0.05 + 2.4, abs=0.001)
