# SPDX-License-Identifier: MIT
"""The load by hour: plot, figures beside it, what it follows."""

from __future__ import annotations

from typing import Any

import msgspec
import pytest
from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QGuiApplication
from pytestqt.qtbot import QtBot

from app.panels.day_figures import Day, day_figures, day_plot, heading_words
from app.panels.day_panel import LANE, DayPanel
from app.panels.design_sets import take_set
from app.panels.plot_data import Curve
from solver.errors import AirError
from solver.heat.day import day_loads
from solver.heat.estimate import estimate
from solver.heat.installed import Installed, installed
from solver.vessel.cabin import Surface
from solver.vessel.design_conditions import DESIGN_CONDITIONS
from solver.vessel.edits import add_component, new_component, set_conditions, set_field, set_fields
from solver.vessel.vessel import Vessel

STARBOARD = (Surface(kind="window", area_m2=4.0, facing_deg=90.0), Surface(kind="side", area_m2=9.0))
PORT = (Surface(kind="window", area_m2=4.0, facing_deg=-90.0),)


@pytest.fixture
def day_desk(desk: Any) -> Any:
    """The desk, with the sun to one cabin in the morning and to the other in the evening."""

    def surfaces(vessel: Vessel) -> Vessel:
        vessel = set_fields(vessel, ("C-1",), {"surfaces": STARBOARD, "people": 2.0})
        return set_field(vessel, ("C-2",), "surfaces", PORT)

    desk.document.edit("Surfaces", surfaces)
    heading(desk, 0.0)
    return desk


def heading(desk: Any, degrees: float | None) -> None:
    old = desk.document.vessel.current_conditions
    new = msgspec.structs.replace(old, heading_deg=degrees)
    desk.document.edit("Heading", lambda vessel: set_conditions(vessel, old.name, new))


@pytest.fixture
def panel(day_desk: Any, qtbot: QtBot) -> DayPanel:
    panel = DayPanel(day_desk.document, day_desk.worker, day_desk.shown)
    qtbot.addWidget(panel)
    panel.resize(900, 300)
    panel.show()
    qtbot.waitUntil(lambda: panel.day is not None)
    return panel


def curve(panel: DayPanel, name: str) -> Curve:
    return next(each for each in panel.plot.data.curves if each.name == name)


def line(panel: DayPanel, label: str) -> str:
    return next(text for name, text in panel.figures.texts() if name.strip() == label)


def test_the_block_load_is_drawn_by_hour_and_its_peak_ringed(panel: DayPanel, day_desk: Any) -> None:
    loads = day_loads(day_desk.document.vessel)
    points = curve(panel, "all cabins").points
    assert [hour for hour, _kW in points] == [float(hour) for hour in range(25)]
    assert [kW for _hour, kW in points[:-1]] == pytest.approx(loads.block_W / 1000)
    assert points[-1][1] == points[0][1]
    assert panel.plot.data.ring == pytest.approx((loads.block_hour, loads.block_load_W / 1000))
    assert panel.figures.headline == panel.plot.data.ring_text
    assert panel.figures.headline.endswith(f" at {loads.block_hour:.0f}:00")
    sensible, latent = (of[loads.block_at].sum() / 1000 for of in (loads.sensible_W, loads.latent_W))
    assert line(panel, "sensible + latent") == f"{sensible:.2f} + {latent:.2f} kW"


def test_what_is_installed_stands_beside_it(panel: DayPanel, day_desk: Any) -> None:
    assert "no chiller is drawn" in panel.figures.judgement
    chiller = new_component(day_desk.document.vessel, "chiller", (0.0, 900.0))
    day_desk.document.edit("Chiller", lambda vessel: add_component(vessel, chiller))
    vessel = day_desk.document.vessel
    loads, able = day_loads(vessel), installed(vessel)
    assert line(panel, "Sum of peaks") == f"{loads.sum_of_peaks_W / 1000:.2f} kW"
    assert loads.sum_of_peaks_W > 1.1 * loads.block_load_W
    level = curve(panel, "chillers").points
    assert [kW for _hour, kW in level] == [pytest.approx(able.total_W / 1000)] * 25
    share = 100 * able.total_W / loads.block_load_W
    assert line(panel, "Chillers, sea 32.0 °C").endswith(f"{share:.0f} %")
    rule = sum(estimate(vessel, cabin).usual_W for cabin in vessel.cabins)
    assert line(panel, "Estimate by volume").startswith(f"{rule / 1000:.2f} kW (")
    assert line(panel, "Estimate for chillers").endswith("80 % of air handlers")


def test_the_largest_chiller_out_and_too_little(day_desk: Any) -> None:
    vessel = day_desk.document.vessel
    loads = day_loads(vessel)
    block = loads.block_load_W
    two = Installed(9000.0, {"CH-1": 0.7 * block, "CH-2": 0.5 * block})
    lines = {each.label.strip(): each.text for each in day_figures(Day(vessel, loads, two), "si").lines}
    assert lines["without CH-1"].endswith(", 50 %")
    names = [each.name for each in day_plot(Day(vessel, loads, two), (), "si", alone=False).curves]
    assert {"air handlers", "chillers", "without CH-1", "sum of peaks"} <= set(names)
    few = Installed(9000.0, {"CH-1": 0.5 * block}, ("CH-1",))
    found = day_figures(Day(vessel, loads, few), "si")
    assert (found.state, "more than the chillers have" in found.judgement) == ("warn", True)
    assert "CH-1 were not given for a sea of 32.0 °C" in found.caution
    spare = Installed(9000.0, {"CH-1": 2.0 * block, "CH-2": 1.5 * block})
    assert "without CH-1" in day_figures(Day(vessel, loads, spare), "si").judgement
    assert day_figures(Day(vessel, loads, None), "si").state == ""


def test_the_heading_is_said_in_words(panel: DayPanel, day_desk: Any) -> None:
    assert panel.words.text().endswith("Heading 0°, set in the conditions.")
    heading(day_desk, None)
    assert "Worst heading taken: " in panel.words.text()
    assert "of 16 tried" in panel.words.text()
    take_set(day_desk.document, DESIGN_CONDITIONS[1])
    assert "heading does not matter" in panel.words.text()
    assert panel.words.text().startswith("ISO 7547 winter")


def test_heating_is_shown_as_heat_that_is_wanted(panel: DayPanel, day_desk: Any) -> None:
    take_set(day_desk.document, DESIGN_CONDITIONS[1])
    loads = day_loads(day_desk.document.vessel)
    assert loads.block_load_W < 0.0
    assert panel.plot.data.y_title == "Heat wanted, kW"
    assert panel.plot.data.ring is not None
    assert panel.plot.data.ring[1] == pytest.approx(-loads.block_load_W / 1000)
    # Without a daily range and without sun no hour is worse than another.
    assert panel.figures.headline.endswith(" kW all day")
    labels = [label for label, _text in panel.figures.texts()]
    assert not any("Estimate" in label or "Air handlers" in label for label in labels)


def test_cabins_selected_have_their_own_curves_and_can_stand_alone(
    panel: DayPanel, day_desk: Any, qtbot: QtBot
) -> None:
    assert not panel.alone.isEnabled()
    day_desk.shown.select(("AH-2",))
    assert panel.chosen == ("C-2",)
    loads = day_loads(day_desk.document.vessel)
    whole = (loads.sensible_W + loads.latent_W)[:, 1] / 1000
    assert [kW for _hour, kW in curve(panel, "C-2").points[:-1]] == pytest.approx(whole)
    qtbot.keyClick(panel.alone, Qt.Key.Key_Space)
    assert [each.name for each in panel.plot.data.curves] == ["C-2", "sensible"]
    assert panel.plot.data.ring == pytest.approx((float(whole.argmax()), whole.max()))
    day_desk.shown.select(("C-1", "C-2"))
    assert [each.name for each in panel.plot.data.curves] == ["cabins selected", "sensible", "C-1", "C-2"]
    day_desk.shown.select(())
    assert "all cabins" in [each.name for each in panel.plot.data.curves]


def test_it_follows_edits_undo_conditions_and_units(panel: DayPanel, day_desk: Any) -> None:
    before = panel.figures.headline
    day_desk.edit("C-1", "people", 12.0)
    assert panel.figures.headline != before
    day_desk.document.undo()
    assert panel.figures.headline == before
    take_set(day_desk.document, DESIGN_CONDITIONS[3])
    assert panel.figures.headline != before
    day_desk.document.undo()
    day_desk.shown.set_units("us")
    assert " tons at " in panel.figures.headline
    assert panel.plot.data.y_title == "Load, tons"


def test_what_no_load_follows_from_is_not_worked_out_again(
    panel: DayPanel, day_desk: Any, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    lanes: list[str] = []
    monkeypatch.setattr(day_desk.worker, "submit", lambda lane, _work: lanes.append(lane))

    def asked() -> int:
        return lanes.count(LANE)

    day_desk.document.edit("Move", lambda vessel: set_field(vessel, ("R-1",), "length_m", 9.0))
    assert asked() == 0
    day_desk.edit("C-1", "people", 3.0)
    assert asked() == 1
    panel.hide()
    day_desk.edit("C-1", "people", 4.0)
    assert asked() == 1
    panel.show()
    qtbot.waitUntil(lambda: asked() == 2)


def test_values_are_read_hour_by_hour_with_mouse_and_keys(panel: DayPanel, qtbot: QtBot) -> None:
    plot = panel.plot
    assert plot.data.ring is not None
    plot.setFocus()
    qtbot.keyClick(plot, Qt.Key.Key_Right)
    peak = int(plot.data.ring[0])
    assert plot.reading().startswith(f"{peak}:00 · all cabins {plot.data.ring[1]:.3g} · sensible ")
    assert plot.reading().endswith(" kW")
    assert "chillers" not in plot.reading()
    assert "sum of peaks" not in plot.reading()
    qtbot.keyClick(plot, Qt.Key.Key_Left)
    assert plot.reading().startswith(f"{peak - 1}:00 · ")
    panel.resize(640, 300)
    plot.repaint()
    qtbot.keyClick(plot, Qt.Key.Key_Escape)
    assert plot.reading() == ""
    place = plot._place()
    middle = QPointF(place.left() + place.width() * 9.2 / 24, place.center().y())
    qtbot.mouseMove(plot, middle.toPoint())
    assert plot.reading().startswith("9:00 · ")


def test_copies_as_table_and_as_picture(panel: DayPanel, day_desk: Any) -> None:
    day_desk.shown.select(("C-2",))
    panel.copy_table.trigger()
    lines = QGuiApplication.clipboard().text().splitlines()
    assert lines[1] == f"Block load\t{panel.figures.headline}"
    head = lines.index("Solar time\tSensible, kW\tLatent, kW\tAll cabins, kW\tC-2, kW")
    assert len(lines) == head + 25
    loads = day_loads(day_desk.document.vessel)
    row = lines[head + 1 + loads.block_at].split("\t")
    assert float(row[3]) == pytest.approx(loads.block_load_W / 1000, rel=1e-5)
    assert float(row[1]) + float(row[2]) == pytest.approx(float(row[3]), rel=1e-5)
    panel.copy_picture.trigger()
    assert QGuiApplication.clipboard().pixmap().width() == 2 * panel.plot.width()


def test_without_cabins_it_says_so_and_the_same_boat_is_worked_out_again(
    panel: DayPanel, day_desk: Any
) -> None:
    boat, before = day_desk.document.vessel, panel.figures.headline
    day_desk.document.new()
    assert "No cabins yet" in panel.plot.data.empty_text
    assert panel.table() == ""
    assert not panel.alone.isEnabled()
    day_desk.document.show(boat)
    assert panel.figures.headline == before
    assert panel.plot.data.curves


def test_air_beyond_the_formulas_is_told(
    panel: DayPanel, day_desk: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuse(_vessel: Vessel) -> object:
        raise AirError("95 °C is too warm; accepted: -60 to 90 °C")

    monkeypatch.setattr("app.panels.day_panel.day_loads", refuse)
    day_desk.edit("C-1", "people", 5.0)
    assert panel.day is None
    assert "too warm" in panel.plot.data.empty_text
    monkeypatch.undo()
    day_desk.document.undo()
    assert panel.day is not None


def test_estimated_cabins_are_named(desk: Any, qtbot: QtBot) -> None:
    vessel = desk.document.vessel
    found = day_figures(Day(vessel, day_loads(vessel), installed(vessel)), "si")
    assert "By rule of thumb only" in found.caution
    assert "C-1, C-2" in found.caution
    assert "Worst heading" in heading_words(Day(vessel, day_loads(vessel), None), "si")
