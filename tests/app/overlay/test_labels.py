# SPDX-License-Identifier: MIT
"""What labels say: tag, value with its unit, and a shape where something is wrong."""

from typing import Any

import pytest
from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QColor, QImage, QPainter

from app.canvas.symbols import state_of
from app.overlay.labels import (
    HEIGHT,
    Label,
    LabelPainter,
    component_label,
    component_shows,
    paint_severity,
    run_in_full,
    run_label,
)
from app.overlay.quantities import overlay_of
from app.theme import theme
from app.units import System
from solver.vessel.components import KINDS
from solver.vessel.vessel import Limits, Vessel
from tests.app.parts_drawn import part, pixels, results, run
from tests.app.small_loop import small_loop


def _label(kind: str, system: System = "si", share: float = 1.0, **fields: Any) -> Label:
    component = part(kind, **fields)
    vessel = Vessel(
        name="One part",
        components=(component, part("tee", "T-1")),
        runs=(run("R-1", ("X-1", component.ports[0]), ("T-1", "run_1")),),
    )
    found = results(vessel, {"R-1": -0.2, "X-1": 0.3}, {"X-1": share})
    return component_label(component, state_of(component).word, found, system, Limits())


@pytest.mark.parametrize(
    ("kind", "fields", "value"),
    [
        ("air_handler", {}, "100 %"),
        ("circulation_pump", {}, "24.0 L/min  58.8 kPa"),
        ("circulation_pump", {"running": False}, "stopped"),
        ("circulation_pump", {"speed_percent": 80.0}, "80 % 24.0 L/min  58.8 kPa"),
        ("chiller", {}, "18.0 L/min"),
        ("chiller", {"running": False}, "stopped"),
        ("isolating_valve", {"opening_percent": 0.0}, "shut"),
        ("regulating_valve", {"setting": 2.5}, "set 2.5"),
        ("pressure_gauge", {}, "120 kPa"),
        ("expansion_vessel", {}, "120 kPa"),
        ("flow_meter", {}, "12.0 L/min"),
        ("tee", {}, ""),
    ],
)
def test_labels_tell_the_value_that_matters(kind: str, fields: dict[str, Any], value: str) -> None:
    assert _label(kind, **fields)[:2] == ("X-1", value)


def test_figures_are_in_the_units_asked_for() -> None:
    assert _label("pressure_gauge", "us").value == "17.4 psi"
    assert _label("chiller", "us").value == "4.76 US gpm"


@pytest.mark.parametrize(
    ("share", "severity"), [(0.62, "warn"), (0.89, "warn"), (0.9, ""), (1.15, ""), (1.16, "warn")]
)
def test_an_air_handler_outside_its_limits_has_a_shape(share: float, severity: str) -> None:
    label = _label("air_handler", share=share)
    assert (label.severity, label.value) == (severity, f"{100 * share:.0f} %")
    assert label.bold


def test_a_findings_severity_outranks_the_own_one() -> None:
    component = part("air_handler")
    found = results(Vessel(name="", components=(component,)), shares={"X-1": 0.3})
    assert component_label(component, "", found, "si", Limits(), "bad").severity == "bad"


def test_without_results_there_are_tags_and_states() -> None:
    pump = part("circulation_pump", running=False)
    assert component_label(pump, "stopped", None, "si", Limits()) == Label("X-1", "stopped")
    assert component_label(part("air_handler"), "", None, "si", Limits()).value == ""


def test_runs_tell_the_overlays_value_else_their_size() -> None:
    vessel = small_loop()
    one = vessel.run_by_tag["R-2"]
    overlay = overlay_of("velocity", vessel, results(vessel), "si", dark=False)
    share = overlay_of("share", vessel, results(vessel, shares={"AH-1": 0.5}), "si", dark=False)
    assert run_label(one, None).value == "15x0.7"
    assert run_label(one, overlay).value == "0.80 m/s"
    assert run_label(one, share).value == "15x0.7"


def test_a_run_pointed_at_tells_more() -> None:
    vessel = small_loop()
    label = run_in_full(vessel.run_by_tag["R-2"], results(vessel, {"R-2": -0.1}), "si")
    assert label.value == "15x0.7  6.0 L/min  0.80 m/s"
    assert run_in_full(vessel.run_by_tag["R-2"], None, "si").value == "15x0.7"


def test_air_handlers_are_last_to_go() -> None:
    shows = {kind: component_shows(part(kind), "") for kind in KINDS}
    assert min(shows.values()) == shows["air_handler"]
    assert shows["air_handler"][1] == shows["chiller"][1] == 0.0
    assert all(least > 0 for kind, (_, least) in shows.items() if kind not in ("air_handler", "chiller"))
    # A shut valve is told from farther off than an open one.
    assert component_shows(part("isolating_valve"), "shut")[1] < shows["isolating_valve"][1]


def test_widths_come_in_steps_so_that_figures_may_change() -> None:
    assert Label("AH-1", "62 %").width == Label("AH-1", "63 %").width
    assert Label("AH-1", "162 %").width >= Label("AH-1", "62 %").width
    assert Label("AH-1", "62 %", "warn").width > Label("AH-1", "62 %").width


def _painted(label: Label, **how: Any) -> QImage:
    image = QImage(round(label.width) + 8, 24, QImage.Format.Format_RGB32)
    image.fill(QColor(theme("light").paper))
    painter = QPainter(image)
    LabelPainter(theme("light"), **how).text(painter, label, 4.0, 3.0)
    painter.end()
    return image


@pytest.mark.parametrize("as_text", [False, True])
def test_text_fits_its_plate(as_text: bool) -> None:
    for label in (
        Label("AH-12", "62 %", "bad", bold=True),
        Label("P-1", "120 L/min  84.4 kPa"),
        Label("T-9"),
    ):
        image = _painted(label, as_text=as_text)
        paper = QColor(theme("light").paper)
        margins = [(x, y) for y in range(24) for x in (0, 1, 2, 3, image.width() - 1, image.width() - 2)]
        margins += [(x, y) for x in range(image.width()) for y in (0, 1, 2, 22, 23)]
        assert all(image.pixelColor(x, y) == paper for x, y in margins), label
        assert pixels(image) != pixels(_painted(Label("")))


def test_figures_behind_the_drawing_are_dimmed() -> None:
    label = Label("AH-12", "62 %", bold=True)
    assert pixels(_painted(label)) != pixels(_painted(label, behind=True))


def test_severities_are_told_apart_by_shape_alone() -> None:
    shapes = set()
    for severity in ("bad", "warn", "note"):
        image = QImage(24, 24, QImage.Format.Format_Mono)
        image.fill(Qt.GlobalColor.color1)
        painter = QPainter(image)
        paint_severity(painter, theme("contrast_light"), severity, 2, 2, 20)
        painter.end()
        shapes.add(bytes(image.constBits()))
    assert len(shapes) == 3


def test_an_opaque_plate_hides_what_lies_below() -> None:
    found = []
    for opaque in (False, True):
        image = QImage(40, 24, QImage.Format.Format_RGB32)
        image.fill(Qt.GlobalColor.black)
        painter = QPainter(image)
        LabelPainter(theme("light"), opaque=opaque).plates(painter, [QRectF(0, 3, 40, HEIGHT)])
        painter.end()
        found.append(image.pixelColor(20, 12).value())
    assert found[0] < found[1] == QColor(theme("light").paper).value()
