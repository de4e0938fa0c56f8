# SPDX-License-Identifier: MIT
"""Fields read from the structs: every field of every kind can be shown, named and given a unit."""

from __future__ import annotations

import msgspec
import pytest

from app.panels.fields import fields_of
from app.panels.words import choice_name, field_name, kind_names, plural_names
from solver.vessel.components import KINDS, AirHandler, CirculationPump, RegulatingValve
from solver.vessel.run import Run
from solver.vessel.vessel import Cabin, Conditions, Limits, LoopLiquid, Method

STRUCTS = (*KINDS.values(), Run, Cabin, Conditions, Limits, LoopLiquid, Method)
#: What the canvas or the title of a sheet takes care of.
ELSEWHERE = {"tag", "at", "turn", "bends", "routed", "outline", "start", "end"}


@pytest.mark.parametrize("struct", STRUCTS, ids=lambda struct: struct.__name__)
def test_every_field_has_a_row(struct: type[msgspec.Struct]) -> None:
    shown = {field.key.partition(".")[0] for field in fields_of(struct)}
    assert shown == set(struct.__struct_fields__) - ELSEWHERE


@pytest.mark.parametrize("struct", STRUCTS, ids=lambda struct: struct.__name__)
def test_every_field_has_a_name_of_its_own(struct: type[msgspec.Struct]) -> None:
    for field in fields_of(struct):
        assert field.label
        assert "_" not in field.label
        for column in field.columns:
            assert "_" not in column.label


def test_every_kind_has_names() -> None:
    assert set(kind_names()) == {*KINDS, "run"}
    assert set(plural_names()) == {*KINDS, "run"}


def test_ranges_defaults_and_quantities_are_the_structs() -> None:
    speed = next(field for field in fields_of(CirculationPump) if field.key == "speed_percent")
    assert (speed.kind, speed.quantity, speed.low, speed.high) == ("number", "percent", 0, 150)
    assert speed.default == 100.0
    flow = next(field for field in fields_of(AirHandler) if field.key == "design_flow_L_s")
    assert (flow.quantity, flow.low, flow.low_open) == ("flow", 0, True)
    assert flow.default is msgspec.NODEFAULT
    rise = next(field for field in fields_of(Run) if field.key == "rise_m")
    assert rise.optional


def test_points_and_optional_parts() -> None:
    table = next(field for field in fields_of(RegulatingValve) if field.key == "kv_table")
    assert (table.kind, table.least_rows) == ("points", 2)
    assert [column.key for column in table.columns] == ["setting", "kv_m3_h"]
    keys = [field.key for field in fields_of(Run) if field.key.startswith("insulation")]
    assert keys[0] == "insulation"
    assert "insulation.thickness_mm" in keys


def test_an_unknown_key_gets_a_name_made_from_it() -> None:
    assert field_name("wet_weight_kg") == "Wet weight kg"
    assert choice_name("cut_groove") == "cut groove"
