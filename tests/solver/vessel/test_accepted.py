# SPDX-License-Identifier: MIT
"""What a field accepts in words, and that the words' rules are those of the reader."""

from __future__ import annotations

import json
import random
from typing import Any

import msgspec
import pytest
from hypothesis import given
from hypothesis import strategies as st

from solver.errors import FileError
from solver.vessel.accepted import accepts, fields_of, number_problem, plain, refusals, shown, text_problem
from solver.vessel.components import KINDS
from solver.vessel.file import format_vessel
from solver.vessel.json_text import refuse_strange_values
from solver.vessel.run import Run
from solver.vessel.schema import structs
from solver.vessel.vessel import Vessel
from tests.solver.vessel.boats import component, every_kind
from tests.solver.vessel.test_file_mutations import TREE_DAMAGE, copied

VESSEL = msgspec.inspect.type_info(Vessel)


@pytest.mark.parametrize(
    ("kind", "field", "words"),
    [
        ("circulation_pump", "speed_percent", "a number from 0 to 150"),
        ("circulation_pump", "motor_efficiency_percent", "a number from 1 to 100"),
        ("circulation_pump", "running", "true or false"),
        ("chiller", "minimum_flow_L_s", "a number of at least 0"),
        ("chiller", "capacity_kW", "a number above 0 (at least 1e-06)"),
        ("two_way_valve", "rangeability", "a number above 1 and at most 1000"),
        ("tee", "k_run", "a number of at least 0 or null"),
        ("tee", "turn", "a whole number from 0 to 3"),
        ("tee", "height_m", "a number or null"),
        ("tee", "at", "[a number, a number]"),
        ("buffer_tank", "port_count", "one of 2, 4"),
        ("regulating_valve", "kv_table", "a list of at least 2, each [setting, kv_m3_h]"),
        ("air_handler", "cabins", "a list, each text"),
    ],
)
def test_the_words(kind: str, field: str, words: str) -> None:
    assert accepts(fields_of(KINDS[kind])[field]) == words


def test_every_field_of_the_file_has_words() -> None:
    for kind in structs().values():
        for name, known in fields_of(kind).items():
            assert accepts(known), (kind, name)


def test_words_for_the_fields_of_a_run() -> None:
    fields = fields_of(Run)
    assert accepts(fields["service"]) == 'one of "", return, sea, supply'
    assert accepts(fields["start"]) == "[tag, port]"
    assert (
        accepts(fields["insulation"])
        == "an object with keys material, thickness_mm, conductivity_W_mK or null"
    )


@pytest.mark.parametrize("seed", range(8))
def test_a_tree_has_refusals_just_when_the_reader_refuses_it(seed: int) -> None:
    """The reader converts at C speed; the words are worked out by separate code.  They must agree."""
    rng = random.Random(seed)
    sound = json.loads(format_vessel(every_kind()))
    refused = 0
    for _ in range(150):
        values = copied(sound)
        rng.choice(TREE_DAMAGE)(values, rng)
        if not isinstance(values, dict) or _is_strange(values):
            continue
        found = list(refusals(VESSEL, values))
        try:
            msgspec.convert(values, Vessel)
        except msgspec.ValidationError as error:
            assert found, error
            refused += 1
        else:
            assert not found
    assert 20 < refused < 150


def _is_strange(values: Any) -> bool:
    try:
        refuse_strange_values(values, "x")
    except FileError:
        return True
    return False


def test_a_struct_built_in_code_is_looked_at_as_the_file_would_give_it() -> None:
    built = component("flow_meter", kv_m3_h=-1.0, at=(1, 2), turn=9)
    found = list(refusals(msgspec.inspect.type_info(type(built)), plain(built)))
    assert [problem.path for problem in found] == [("turn",), ("kv_m3_h",)]


def test_numbers_of_other_libraries_count_as_numbers() -> None:
    class Reading:
        def __float__(self) -> float:
            return 1.5

    assert plain(Reading()) == 1.5
    assert plain([Reading(), (1, "a")]) == [1.5, (1, "a")]
    with pytest.raises(TypeError):
        plain(object())


@pytest.mark.parametrize(
    "value", [float("nan"), float("inf"), -float("inf"), 1e9 * 1.001, -(10**30), 10**400]
)
def test_numbers_no_field_takes(value: Any) -> None:
    assert number_problem(value)


@given(st.floats(-1e9, 1e9) | st.integers(-(10**9), 10**9))
def test_all_other_numbers_pass(value: float) -> None:
    assert not number_problem(value)


@given(st.text())
def test_text_passes_just_when_it_can_be_written_and_drawn(text: str) -> None:
    can = not any(
        (ord(c) < 32 and c not in "\t\n\r") or c == "\x7f" or "\ud800" <= c <= "\udfff" for c in text
    )
    assert (text_problem(text) == "") == can


@given(
    st.recursive(
        st.none() | st.booleans() | st.integers() | st.floats() | st.text(),
        lambda inner: st.lists(inner) | st.dictionaries(st.text(), inner),
        max_leaves=8,
    )
)
def test_whatever_is_shown_is_one_short_printable_line(value: Any) -> None:
    assert shown(value).isprintable()
    assert 0 < len(shown(value)) <= 700


def test_values_are_shown_as_the_file_writes_them() -> None:
    assert shown(170) == "170"
    assert shown("x") == '"x"'
    assert shown(None) == "null"
    assert shown(True) == "true"
    assert shown([1.0, "a"]) == '[1.0, "a"]'
    assert shown([1] * 9) == "a list of 9"
    assert shown({"a": 1, "b": 2}) == "an object with a, b"
    assert shown("x" * 1000).endswith("...")
    assert shown(10**5000) == "a whole number of 16610 bits"
