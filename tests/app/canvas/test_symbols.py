# SPDX-License-Identifier: MIT
"""Symbols: every kind is drawn inside its body, and states look different."""

from typing import Any

import pytest
from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QColor, QImage, QPainter

from app.canvas.drawn_way import root_of
from app.canvas.symbols import DRAWERS, state_of, symbol_of
from solver.vessel.components import KINDS, Component
from solver.vessel.footprint import body, port_direction, port_offsets, port_place
from tests.app.parts_drawn import part, pixels

_STATES: list[tuple[str, list[dict[str, Any]]]] = [
    ("circulation_pump", [{}, {"running": False}]),
    ("sea_water_pump", [{}, {"running": False}]),
    ("chiller", [{}, {"running": False}]),
    ("isolating_valve", [{}, {"opening_percent": 0.0}, {"opening_percent": 40.0}]),
    ("isolating_valve", [{"style": style} for style in ("ball", "gate", "butterfly", "globe")]),
    ("regulating_valve", [{}, {"setting": 0.0}]),
    ("two_way_valve", [{}, {"position_percent": 0.0}, {"position_percent": 55.0}]),
    ("three_way_valve", [{}, {"position_percent": 0.0}, {"position_percent": 50.0}]),
    ("strainer", [{}, {"clogging_percent": 30.0}]),
    ("manifold", [{"port_count": 2}, {"port_count": 9}]),
]


def _painted(component: Component) -> QImage:
    image = QImage(320, 320, QImage.Format.Format_RGB32)
    image.fill(Qt.GlobalColor.white)
    symbol = symbol_of(component)
    painter = QPainter(image)
    painter.translate(160, 160)
    painter.setBrush(QColor("white"))
    painter.drawPath(symbol.outline)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawPath(symbol.lines)
    painter.drawPath(symbol.fine)
    painter.fillPath(symbol.solid, QColor("black"))
    painter.end()
    return image


def _body(component: Component) -> QRectF:
    left, top, right, bottom = body(component)
    return QRectF(left, top, right - left, bottom - top)


def _variants() -> list[Component]:
    plain = [part(kind) for kind in KINDS]
    return plain + [part(kind, **fields) for kind, states in _STATES for fields in states]


def test_every_kind_has_a_symbol() -> None:
    assert DRAWERS.keys() == KINDS.keys()


@pytest.mark.parametrize("turn", range(4))
def test_symbols_stay_inside_their_bodies(turn: int) -> None:
    for variant in _variants():
        component = type(variant)(**{**_fields(variant), "turn": turn})
        painted = symbol_of(component).rect
        # Half a unit for the round ends that a path's bounding box leaves room for.
        assert _body(component).adjusted(-0.5, -0.5, 0.5, 0.5).contains(painted), component
        assert painted.width() > 5
        assert painted.height() > 5


def _fields(component: Component) -> dict[str, Any]:
    return {name: getattr(component, name) for name in component.__struct_fields__}


def test_every_symbol_paints_something() -> None:
    blank = QImage(320, 320, QImage.Format.Format_RGB32)
    blank.fill(Qt.GlobalColor.white)
    for variant in _variants():
        assert pixels(_painted(variant)) != pixels(blank), variant


@pytest.mark.parametrize(("kind", "states"), _STATES)
def test_states_look_different(kind: str, states: list[dict[str, Any]]) -> None:
    pictures = {pixels(_painted(part(kind, **fields))) for fields in states}
    assert len(pictures) == len(states)


def test_a_running_pump_is_filled_and_a_shut_valve_too() -> None:
    def dark(component: Component) -> int:
        image = _painted(component)
        return sum(image.pixelColor(x, y).value() < 128 for x in range(140, 180) for y in range(140, 180))

    assert dark(part("circulation_pump")) > 1.5 * dark(part("circulation_pump", running=False))
    assert dark(part("isolating_valve", opening_percent=0.0)) > 1.5 * dark(part("isolating_valve"))


@pytest.mark.parametrize(
    ("kind", "fields", "word"),
    [
        ("isolating_valve", {"opening_percent": 0.0}, "shut"),
        ("isolating_valve", {"opening_percent": 40.0}, "40 %"),
        ("isolating_valve", {}, ""),
        ("two_way_valve", {"position_percent": 0.0}, "shut"),
        ("three_way_valve", {"position_percent": 0.0}, "bypass"),
        ("three_way_valve", {}, "through"),
        ("three_way_valve", {"position_percent": 62.5}, "62.5 %"),
        ("regulating_valve", {"setting": 0.0}, "shut"),
        ("regulating_valve", {"setting": 2.5}, "set 2.5"),
        ("circulation_pump", {"running": False}, "stopped"),
        ("circulation_pump", {"speed_percent": 0.0}, "stopped"),
        ("circulation_pump", {"speed_percent": 80.0}, "80 %"),
        ("circulation_pump", {}, ""),
        ("chiller", {"running": False}, "stopped"),
        ("strainer", {"clogging_percent": 60.0}, "60 % clogged"),
        ("tee", {}, ""),
    ],
)
def test_states_are_told_in_words(kind: str, fields: dict[str, Any], word: str) -> None:
    assert state_of(part(kind, **fields)).word == word


def test_the_same_state_is_drawn_once() -> None:
    assert symbol_of(part("tee", "T-1")) is symbol_of(part("tee", "T-2", at=(50.0, 60.0)))
    assert symbol_of(part("tee")) is not symbol_of(part("tee", turn=1))


@pytest.mark.parametrize("turn", range(4))
def test_ports_lie_on_the_grid_outside_or_at_the_edge_of_the_body(turn: int) -> None:
    for variant in [*_variants(), part("buffer_tank", port_count=4)]:
        component = type(variant)(**{**_fields(variant), "turn": turn})
        area = _body(component)
        for port in component.ports:
            x, y = port_place(component, port)
            assert (x % 10, y % 10) == (0, 0), (component, port)
            out_x, out_y = port_direction(component, port)
            assert abs(out_x) + abs(out_y) == 1
            beyond = area.translated(-0.01 * out_x, -0.01 * out_y)
            assert not beyond.contains(x, y), (component, port)


def test_a_pipe_ends_at_the_body_or_in_the_middle_of_what_sits_on_it() -> None:
    pump = part("circulation_pump", at=(100.0, 50.0))
    assert root_of(pump, "inlet") == (86.0, 50.0)
    assert root_of(pump, "outlet") == (114.0, 50.0)
    gauge = part("pressure_gauge", at=(30.0, 40.0), turn=1)
    assert {root_of(gauge, port) for port in gauge.ports} == {(30.0, 40.0)}
    for kind in KINDS:
        component = part(kind)
        for port in component.ports:
            assert _body(component).adjusted(-1e-9, -1e-9, 1e-9, 1e-9).contains(*root_of(component, port))


def test_every_port_has_its_place() -> None:
    for kind in KINDS:
        component = part(kind)
        assert set(port_offsets(component)) == set(component.ports)
