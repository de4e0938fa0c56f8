# SPDX-License-Identifier: MIT
"""The published schema accepts what the reader accepts and refuses what it refuses, field by field."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import jsonschema
import pytest
from hypothesis import given

from solver.errors import FileError
from solver.vessel.file import format_vessel, parse_vessel
from solver.vessel.schema import schema, structs
from solver.vessel.vessel import Vessel
from tests.solver.vessel.boats import every_kind
from tests.solver.vessel.test_file import changed, index_of, without
from tests.strategies import vessels

VALIDATOR = jsonschema.Draft202012Validator(schema())
SAMPLES = sorted((Path(__file__).parents[3] / "sample_vessels").glob("*.farcabin"))


def test_it_is_a_schema() -> None:
    jsonschema.Draft202012Validator.check_schema(schema())
    assert schema()["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    assert schema()["title"] == "Farcabin vessel, format 1"
    assert "$id" not in schema()
    assert json.loads(json.dumps(schema())) == schema()


def test_every_key_is_described() -> None:
    definitions = schema()["$defs"]
    assert set(structs()) <= set(definitions)
    for name in structs():
        assert definitions[name]["description"]
        for key, known in definitions[name].get("properties", {}).items():
            assert known["description"].endswith("."), (name, key)


@given(vessels())
def test_it_accepts_every_vessel(vessel: Vessel) -> None:
    VALIDATOR.validate(json.loads(format_vessel(vessel)))


def test_it_accepts_every_kind() -> None:
    VALIDATOR.validate(json.loads(format_vessel(every_kind())))


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_it_accepts_the_samples_that_ship(path: Path) -> None:
    VALIDATOR.validate(json.loads(path.read_bytes()))


@pytest.mark.parametrize(
    "data",
    [
        b"[]",
        b"{}",
        without("format"),
        without("name"),
        changed("format", to=2),
        changed("format", to="1"),
        changed("units", to="imperial"),
        changed("conditions", to=[]),
        changed("speed", to=1),
        changed("components", 0, "kind", to="pump"),
        without("components", 0, "kind"),
        without("components", 0, "curve"),
        changed("components", 0, "curve", to=[]),
        changed("components", 0, "speed_percent", to=151),
        changed("components", 0, "running", to=1),
        changed("components", 0, "tag", to=" P"),
        changed("components", 0, "tag", to="P:1"),
        changed("components", 0, "tag", to="P\n"),
        changed("components", 0, "at", to=[1.0]),
        changed("components", 0, "at", to=[1.0, 2e9]),
        changed("components", 0, "at", to=[1.0, -2e9]),
        changed("components", 0, "turn", to=4),
        changed("components", 0, "length_m", to=4),
        changed("components", index_of("manifold"), "port_count", to=1),
        changed("components", index_of("buffer_tank"), "port_count", to=3),
        changed("runs", 0, "start", to=["P-1"]),
        changed("runs", 0, "length_m", to=0),
        changed("runs", 0, "length_m", to=2e9),
        changed("runs", 0, "length_m", to="2"),
        changed("runs", 0, "rise_m", to="2"),
        changed("runs", 0, "fittings", to=[{"count": 1}]),
        changed("readings", 0, "date", to="yesterday"),
        changed("scenarios", 0, "changes", 0, "how", to="divide"),
    ],
)
def test_it_refuses_what_the_reader_refuses(data: bytes) -> None:
    values: Any = json.loads(data)
    assert not VALIDATOR.is_valid(values)
    with pytest.raises(FileError):
        parse_vessel(data, "x")


def test_it_is_new_each_time_so_that_nobody_can_spoil_it() -> None:
    schema()["$defs"].clear()
    assert schema()["$defs"]
