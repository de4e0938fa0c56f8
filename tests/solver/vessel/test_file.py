# SPDX-License-Identifier: MIT
"""Reading and writing vessels: nothing is lost, and every refusal says where, what and what else."""

from __future__ import annotations

import json
import os
from pathlib import Path
from typing import Any

import msgspec
import pytest
from hypothesis import given

from solver.errors import FileError
from solver.vessel import file as vessel_file
from solver.vessel.components import KINDS
from solver.vessel.file import format_vessel, parse_vessel, read_vessel, write_vessel
from solver.vessel.vessel import FORMAT, Vessel
from tests.solver.vessel.boats import component, every_kind, line, run
from tests.strategies import vessels

TERN = json.loads(format_vessel(every_kind()))


def refusal(data: bytes) -> FileError:
    with pytest.raises(FileError) as caught:
        parse_vessel(data, "tern.farcabin")
    assert caught.value.path == "tern.farcabin"
    return caught.value


def changed(*path: Any, to: Any) -> bytes:
    """Return the sample's file with one value replaced."""
    values = json.loads(json.dumps(TERN))
    inner = values
    for key in path[:-1]:
        inner = inner[key]
    inner[path[-1]] = to
    return json.dumps(values).encode()


def without(*path: Any) -> bytes:
    values = json.loads(json.dumps(TERN))
    inner = values
    for key in path[:-1]:
        inner = inner[key]
    del inner[path[-1]]
    return json.dumps(values).encode()


def index_of(kind: str) -> int:
    return list(KINDS).index(kind)


def facts(error: FileError) -> tuple[str, str, str, str]:
    return (error.place, error.problem, error.value, error.accepted)


# Nothing is lost


@given(vessels())
def test_every_vessel_reads_back_equal_and_writes_the_same_bytes(vessel: Vessel) -> None:
    data = format_vessel(vessel)
    read = parse_vessel(data, "x")
    assert read == vessel
    assert format_vessel(read) == data


def test_every_kind_of_component_reads_back(tmp_path: Path) -> None:
    vessel = every_kind()
    assert {type(part) for part in vessel.components} == set(KINDS.values())
    path = tmp_path / "tern.farcabin"
    write_vessel(vessel, path)
    assert read_vessel(path) == vessel
    assert path.read_bytes() == format_vessel(vessel)


def test_numbers_keep_every_digit() -> None:
    for number in (0.1 + 0.2, 1e-300, 123456789.12345678, 1 / 3, 5e-324, -0.0):
        vessel = Vessel(name="x", components=(component("flow_meter", height_m=number),))
        assert parse_vessel(format_vessel(vessel), "x") == vessel


def test_one_part_takes_one_line_so_that_changes_read_well() -> None:
    vessel = every_kind()
    lines = format_vessel(vessel).decode().split("\n")
    for part in (*vessel.components, *vessel.runs, *vessel.cabins):
        assert (
            sum(f'"tag": "{part.tag}", ' in text or f'"tag": "{part.tag}"}}' in text for text in lines) >= 1
        )
    slower = msgspec.structs.replace(vessel.components[0], speed_percent=90.0)
    changed_lines = format_vessel(
        msgspec.structs.replace(vessel, components=(slower, *vessel.components[1:]))
    ).decode()
    assert sum(a != b for a, b in zip(lines, changed_lines.split("\n"), strict=True)) == 1


def test_keys_come_in_the_order_of_the_structs() -> None:
    assert tuple(TERN) == Vessel.__struct_fields__
    assert list(TERN["runs"][0])[:4] == ["tag", "start", "end", "series"]
    assert list(TERN["components"][0])[:2] == ["kind", "tag"]


def test_text_of_any_script_is_kept() -> None:
    vessel = Vessel(name="Ø¥ 船 \U0001f6a4 \u2028", notes='"\\/\n\t')
    data = format_vessel(vessel)
    assert "船".encode() in data
    assert parse_vessel(data, "x") == vessel


def test_any_layout_of_the_json_reads() -> None:
    assert parse_vessel(json.dumps(TERN, indent=3, sort_keys=True).encode(), "x") == every_kind()
    assert parse_vessel(b"\xef\xbb\xbf" + json.dumps(TERN).encode() + b"\r\n", "x") == every_kind()


def test_whole_numbers_read_where_numbers_are_meant() -> None:
    vessel = parse_vessel(changed("runs", 1, "length_m", to=3), "x")
    assert vessel.runs[1].length_m == 3.0
    assert b'"length_m": 3.0' in format_vessel(vessel)


# Bytes and JSON


@pytest.mark.parametrize("data", [b"", b"  \n\t"])
def test_an_empty_file(data: bytes) -> None:
    error = refusal(data)
    assert error.problem == "the file is empty"
    assert error.place == "whole file"
    assert "JSON" in error.accepted


def test_text_that_is_not_utf8() -> None:
    error = refusal(b'{"format": 1,\n"name": "caf\xe9"}')
    assert facts(error)[:3] == ("line 2, byte 26", "the text is not UTF-8", "byte 0xe9")


def test_utf16_is_named() -> None:
    assert refusal('{"format": 1}'.encode("utf-16")).problem == "the text is UTF-16"


@pytest.mark.parametrize(
    ("text", "place", "problem", "value"),
    [
        ('{"format": 1,\n "name" "x"}', "line 2, column 9", "a colon is missing after the key", '"x"}'),
        (
            '{"format": 1\n "name": "x"}',
            "line 2, column 2",
            "a comma or a closing bracket is missing",
            '"name": "x"}',
        ),
        (
            '{"format": 1',
            "line 1, column 13",
            "a comma or a closing bracket is missing",
            "the end of the line",
        ),
        ('{"format": }', "line 1, column 12", "a value is missing or misspelt", "}"),
        ("{format: 1}", "line 1, column 2", "a key in double quotes is missing", "format: 1}"),
        ('{"name": "x', "line 1, column 10", "a text is not ended by a double quote", '"x'),
        ('{"format": 1} {}', "line 1, column 15", "something follows the end of the vessel", "{}"),
        ('{"name": "a\tb"}', "line 1, column 12", "a text is broken by a control character", '\\tb"}'),
    ],
)
def test_text_that_is_not_json(text: str, place: str, problem: str, value: str) -> None:
    error = refusal(text.encode())
    assert facts(error)[:3] == (place, "not JSON: " + problem, value)


def test_a_key_given_twice() -> None:
    text = '{"format": 1, "name": "x", "components": [{"kind": "tee", "tag": "T-1", "tag": "T-2"}]}'
    error = refusal(text.encode())
    assert facts(error) == ("components[0] (T-2).tag", "the key is given twice", '"T-2"', "each key once")


@pytest.mark.parametrize(
    ("number", "problem"),
    [
        ("NaN", "not a finite number"),
        ("Infinity", "not a finite number"),
        ("-Infinity", "not a finite number"),
        ("1e999", "not a finite number"),
        ("1e10", "the number is too large"),
        ("-2000000000", "the number is too large"),
        ("9" * 5000, "not a finite number"),
        ("9" * 30, "the number is too large"),
    ],
)
def test_numbers_no_boat_has(number: str, problem: str) -> None:
    text = f'{{"format": 1, "name": "x", "decks": [{{"name": "Main", "height_m": {number}}}]}}'
    error = refusal(text.encode())
    assert (error.place, error.problem) == ("decks[0] (Main).height_m", problem)
    assert error.accepted == "a number from -1e+09 to 1e+09"
    assert error.value


def test_lists_within_lists_without_end() -> None:
    for depth in (40, 5_000, 500_000):
        error = refusal(b'{"format": 1, "name": ' + b"[" * depth + b"]" * depth + b"}")
        assert error.problem == "lists and objects nest too deeply"
        error = refusal(b'{"a":' * depth + b"1" + b"}" * depth)
        assert error.problem == "lists and objects nest too deeply"


@pytest.mark.parametrize("text", ['"\\ud800"', '"a\\u0000"', '"\\u001b[31m"'])
def test_text_that_could_not_be_written_or_drawn(text: str) -> None:
    error = refusal(f'{{"format": 1, "name": {text}}}'.encode())
    assert error.place == "name"
    assert error.problem == "the text has a control character or half a character in it"
    assert str(error).isprintable()
    str(error).encode()


@pytest.mark.parametrize("text", ["[]", "1", "null", '"x"', "[1]"])
def test_json_that_is_no_vessel(text: str) -> None:
    error = refusal(text.encode())
    assert (error.place, error.problem) == ("whole file", "not an object")
    assert error.accepted


# Format


def test_a_newer_format_is_refused_by_name() -> None:
    error = refusal(changed("format", to=7))
    assert error.place == "format"
    assert error.problem == f"written by a newer Farcabin (format 7; this one reads up to {FORMAT})"


@pytest.mark.parametrize("number", ["1", 1.0, True, None, [1]])
def test_a_format_that_is_no_whole_number(number: object) -> None:
    error = refusal(changed("format", to=number))
    assert (error.place, error.problem) == ("format", "not a whole number")
    assert error.value == json.dumps(number)


def test_a_missing_format() -> None:
    assert facts(refusal(without("format"))) == ("format", "missing", "", "a whole number from 1 to 1")


@pytest.mark.parametrize("number", [0, -1, -(10**8)])
def test_a_format_that_never_was(number: int) -> None:
    assert refusal(changed("format", to=number)).problem == "no Farcabin wrote this format"


# Fields

AH = index_of("air_handler")


@pytest.mark.parametrize(
    ("path", "to", "place", "problem", "value", "accepted"),
    [
        (("name",), 3, "name", "not text", "3", "text"),
        (("units",), "imperial", "units", "unknown choice", '"imperial"', "one of si, us"),
        (
            ("components", 0, "speed_percent"),
            170,
            "components[0] (P-1).speed_percent",
            "out of range",
            "170",
            "a number from 0 to 150",
        ),
        (
            ("components", 0, "speed_percent"),
            "80",
            "components[0] (P-1).speed_percent",
            "not a number",
            '"80"',
            "a number from 0 to 150",
        ),
        (
            ("components", 0, "running"),
            1,
            "components[0] (P-1).running",
            "neither true nor false",
            "1",
            "true or false",
        ),
        (
            ("components", AH, "rated_drop_kPa"),
            -3.5,
            f"components[{AH}] (AH-1).rated_drop_kPa",
            "out of range",
            "-3.5",
            "a number above 0",
        ),
        (
            ("components", AH, "rated_drop_kPa"),
            None,
            f"components[{AH}] (AH-1).rated_drop_kPa",
            "not a number",
            "null",
            "a number above 0",
        ),
        (
            ("components", AH, "turn"),
            1.5,
            f"components[{AH}] (AH-1).turn",
            "not a whole number",
            "1.5",
            "a whole number from 0 to 3",
        ),
        (
            ("components", AH, "at"),
            [1.0],
            f"components[{AH}] (AH-1).at",
            "not a list of 2",
            "[1.0]",
            "[a number, a number]",
        ),
        (
            ("components", AH, "at"),
            [1.0, "2"],
            f"components[{AH}] (AH-1).at[1]",
            "not a number",
            '"2"',
            "a number",
        ),
        (
            ("components", 0, "curve"),
            [{"flow_L_s": 0.0, "head_m": 3.0}] * 2,
            "components[0] (P-1).curve",
            "too few in the list",
            "a list of 2",
            "a list of at least 3, each an object with keys flow_L_s, head_m, efficiency_percent, power_W, "
            "npsh_required_m",
        ),
        (
            ("components", 0, "curve", 1, "efficiency_percent"),
            "good",
            "components[0] (P-1).curve[1].efficiency_percent",
            "not a number",
            '"good"',
            "a number from 0 to 100 or null",
        ),
        (("components", 0), "pump", "components[0]", "not an object", '"pump"', "an object whose kind is "),
        (("components",), {}, "components", "not a list", "an object with no keys", "a list, each an object"),
        (
            ("runs", 0, "start"),
            {"tag": "P-1", "port": "outlet"},
            "runs[0] (R-1).start",
            "not a list of 2",
            "an object with tag, port",
            "[tag, port]",
        ),
        (
            ("runs", 0, "length_known"),
            "guess",
            "runs[0] (R-1).length_known",
            "unknown choice",
            '"guess"',
            "guessed? one of assumed, drawing, guessed, measured",
        ),
        (
            ("runs", 0, "fittings", 1, "count"),
            0,
            "runs[0] (R-1).fittings[1].count",
            "out of range",
            "0",
            "a whole number from 1 to 1000",
        ),
        (
            ("runs", 0, "insulation", "thickness_mm"),
            -1,
            "runs[0] (R-1).insulation.thickness_mm",
            "out of range",
            "-1",
            "a number of at least 0",
        ),
        (
            ("scenarios", 0, "changes", 0, "value"),
            None,
            "scenarios[0] (Pump slow).changes[0] (P-1).value",
            "not a number",
            "null",
            "a number or text",
        ),
        (
            ("readings", 0, "date"),
            "14.6.2025",
            "readings[0] (14.6.2025).date",
            "the text has the wrong form",
            '"14.6.2025"',
            "a date as YYYY-MM-DD",
        ),
    ],
)
def test_a_field_out_of_its_range(
    path: tuple[Any, ...], to: object, place: str, problem: str, value: str, accepted: str
) -> None:
    error = refusal(changed(*path, to=to))
    assert facts(error)[:3] == (place, problem, value)
    assert error.accepted.startswith(accepted)
    assert not error.others


@pytest.mark.parametrize("tag", ["", "A:B", "A/B", "A[0]", " A", "A ", "A\n", "x" * 41])
def test_tags_that_could_be_mistaken(tag: str) -> None:
    error = refusal(changed("components", AH, "tag", to=tag))
    assert error.place.endswith(".tag")
    assert error.accepted.startswith("a tag of 1 to 40 characters")


def test_an_unknown_kind_and_the_nearest() -> None:
    error = refusal(changed("components", AH, "kind", to="air_handlers"))
    assert facts(error)[:3] == (f"components[{AH}] (AH-1).kind", "unknown kind", '"air_handlers"')
    assert error.accepted.startswith("air_handler? one of circulation_pump, sea_water_pump")


def test_a_missing_key() -> None:
    assert facts(refusal(without("components", AH, "rated_drop_kPa"))) == (
        f"components[{AH}] (AH-1).rated_drop_kPa",
        "missing",
        "",
        "a number above 0 (at least 1e-06)",
    )
    assert refusal(without("components", AH, "kind")).place == f"components[{AH}] (AH-1).kind"
    assert refusal(without("components", AH, "tag")).place == f"components[{AH}] (air handler).tag"


def test_an_unknown_key_and_the_nearest() -> None:
    error = refusal(changed("runs", 0, "lenght_m", to=4))
    assert facts(error)[:3] == ("runs[0] (R-1).lenght_m", "unknown key", "4")
    assert error.accepted.startswith("the keys here: length_m? one of tag, start, end")


def test_all_fields_out_of_range_are_told_at_once() -> None:
    values = json.loads(json.dumps(TERN))
    values["components"][0]["speed_percent"] = 1000
    values["components"][AH]["rated_flow_L_s"] = 0
    values["runs"][2]["length_m"] = -1
    error = refusal(json.dumps(values).encode())
    places = [error.place, *(other.place for other in error.others)]
    assert places == [
        "components[0] (P-1).speed_percent",
        f"components[{AH}] (AH-1).rated_flow_L_s",
        "runs[2] (R-3).length_m",
    ]
    assert all(place in str(error) for place in places)
    assert str(error).count("\n") == 2


def test_a_file_full_of_problems_is_told_in_part() -> None:
    values = {"format": 1, "name": "x", "cabins": [{"tag": 0}] * 250}
    error = refusal(json.dumps(values).encode())
    assert len(error.others) == 100
    assert error.others[-1].problem == "150 more problems"


# Between the parts


STR = index_of("strainer")


@pytest.mark.parametrize(
    ("data", "place", "problem", "value", "accepted"),
    [
        (
            changed("components", index_of("fill_point"), "tag", to="AH-1"),
            f"components[{index_of('fill_point')}] (AH-1).tag",
            f"components[{AH}] has this tag already",
            '"AH-1"',
            "each tag once",
        ),
        (
            changed("runs", 4, "tag", to="C-2"),
            "runs[4] (C-2).tag",
            "cabins[1] has this tag already",
            '"C-2"',
            "each tag once",
        ),
        (
            changed("runs", 2, "end", to=["AH-11", "water_in"]),
            "runs[2] (R-3).end[0]",
            "no component has this tag",
            '"AH-11"',
            "AH-1?",
        ),
        (
            changed("runs", 2, "end", to=["AH-1", "waterin"]),
            "runs[2] (R-3).end[1]",
            "AH-1 has no such port",
            '"waterin"',
            "water_in? one of water_in, water_out",
        ),
        (
            changed("runs", 5, "start", to=["M-1", "5"]),
            "runs[5] (R-6).start[1]",
            "M-1 has no such port",
            '"5"',
            "one of 1, 2, 3, 4",
        ),
        (
            changed("runs", 3, "start", to=["AH-1", "water_in"]),
            "runs[3] (R-4).start",
            "R-3 is at this port already",
            '["AH-1", "water_in"]',
            "a port without a run",
        ),
        (
            changed("runs", 3, "end", to=["AH-1", "water_out"]),
            "runs[3] (R-4).end",
            "the run ends at the port it starts at",
            '["AH-1", "water_out"]',
            "another port",
        ),
        (
            changed("runs", 0, "series", to="copper_en1057"),
            "runs[0] (R-1).series",
            "unknown series of pipe",
            '"copper_en1057"',
            "copper_en1057_thin? one of ",
        ),
        (
            changed("runs", 0, "size", to="22"),
            "runs[0] (R-1).size",
            "no size of copper_en1057_thin",
            '"22"',
            "one of ",
        ),
        (
            changed("runs", 0, "fittings", 1, "kind", to="elbow"),
            "runs[0] (R-1).fittings[1].kind",
            "unknown fitting",
            '"elbow"',
            "elbow_90? one of ",
        ),
        (
            changed("components", AH, "deck", to="lower"),
            f"components[{AH}] (AH-1).deck",
            "no deck has this name",
            '"lower"',
            "Lower? one of Lower, Main",
        ),
        (
            changed("cabins", 0, "deck", to="Sun"),
            "cabins[0] (C-1).deck",
            "no deck has this name",
            '"Sun"',
            "one of Lower, Main",
        ),
        (
            changed("underlays", 0, "deck", to="Sun"),
            "underlays[0].deck",
            "no deck has this name",
            '"Sun"',
            "one of Lower, Main",
        ),
        (
            changed("components", AH, "cabins", to=["C-1", "C-9"]),
            f"components[{AH}] (AH-1).cabins[1]",
            "no cabin has this tag",
            '"C-9"',
            "C-2? one of C-1, C-2",
        ),
        (
            changed("components", AH, "cabins", to=["C-1", "C-1"]),
            f"components[{AH}] (AH-1).cabins[1]",
            "the cabin is given twice",
            '"C-1"',
            "each cabin once",
        ),
        (
            changed("condition", to="Spring"),
            "condition",
            "no conditions have this name",
            '"Spring"',
            'one of Summer, Winter, or "" for the first',
        ),
        (
            changed("conditions", 0, "name", to="Winter"),
            "conditions[1] (Winter).name",
            "conditions[0] has this name already",
            '"Winter"',
            "each name once",
        ),
        (changed("scenarios", 1, "name", to=""), "scenarios[1].name", "the name is empty", '""', "a name"),
        (
            changed("components", 0, "curve", 2, "flow_L_s", to=1.0),
            "components[0] (P-1).curve[2].flow_L_s",
            "the flows do not rise",
            "1.0",
            "a flow above 1.0, the one before",
        ),
        (
            changed("components", 0, "curve", 0, "head_m", to=0),
            "components[0] (P-1).curve[0].head_m",
            "the first head is not above 0",
            "0.0",
            "a number above 0",
        ),
        (
            changed("components", index_of("regulating_valve"), "kv_table", 1, 0, to=0.0),
            f"components[{index_of('regulating_valve')}] (RV-1).kv_table[1][0]",
            "the settings do not rise",
            "0.0",
            "a setting above 0.0, the one before",
        ),
        (
            changed("components", index_of("regulating_valve"), "kv_table", 1, 1, to=0.05),
            f"components[{index_of('regulating_valve')}] (RV-1).kv_table[1][1]",
            "the Kv falls",
            "0.05",
            "a Kv of at least 0.1, the one before",
        ),
        (
            changed("components", index_of("regulating_valve"), "kv_table", 0, 1, to=-0.05),
            f"components[{index_of('regulating_valve')}] (RV-1).kv_table[0][1]",
            "below 0",
            "-0.05",
            "a number of at least 0",
        ),
        (
            changed("components", index_of("regulating_valve"), "kv_table", to=[[0, 0], [4, 0]]),
            f"components[{index_of('regulating_valve')}] (RV-1).kv_table[1][1]",
            "the last Kv is not above 0",
            "0.0",
            "a number above 0",
        ),
        (
            changed("components", index_of("regulating_valve"), "setting", to=4.5),
            f"components[{index_of('regulating_valve')}] (RV-1).setting",
            "beyond the table",
            "4.5",
            "a number from 0 to 4.0, the last of the table",
        ),
        (
            changed("components", index_of("chiller"), "drop_points", 1, "flow_L_s", to=1.0),
            f"components[{index_of('chiller')}] (CH-1).drop_points[1].flow_L_s",
            "the flow is given twice",
            "1.0",
            "each flow once",
        ),
        (
            changed("components", index_of("constant_flow_valve"), "maximum_drop_kPa", to=15),
            f"components[{index_of('constant_flow_valve')}] (CF-1).maximum_drop_kPa",
            "no working range",
            "15.0",
            "a number above minimum_drop_kPa, 15.0",
        ),
        (
            changed("readings", 0, "date", to="2025-02-30"),
            "readings[0] (2025-02-30).date",
            "no such day",
            '"2025-02-30"',
            "a date as YYYY-MM-DD",
        ),
        (
            changed("readings", 0, "readings", 0, "tag", to="PI-2"),
            "readings[0] (2025-06-14).readings[0] (PI-2).tag",
            "no part has this tag",
            '"PI-2"',
            "PI-1?",
        ),
        (
            changed("scenarios", 0, "changes", 1, "tag", to="zzz"),
            "scenarios[0] (Pump slow).changes[1] (zzz).tag",
            "no part has this tag",
            '"zzz"',
            "the tag of a part",
        ),
        (
            changed("scenarios", 0, "changes", 1, "quantity", to="clogging"),
            "scenarios[0] (Pump slow).changes[1] (STR-1).quantity",
            "STR-1 has no such quantity",
            '"clogging"',
            "clogging_percent? one of height_m, kv_m3_h, clogging_percent",
        ),
    ],
)
def test_parts_that_contradict_each_other(
    data: bytes, place: str, problem: str, value: str, accepted: str
) -> None:
    error = refusal(data)
    assert facts(error)[:3] == (place, problem, value)
    assert error.accepted.startswith(accepted)
    assert not error.others


def test_all_contradictions_are_told_at_once() -> None:
    values = json.loads(json.dumps(TERN))
    values["condition"] = "Spring"
    values["components"][STR]["tag"] = "AH-1"
    values["runs"][0]["size"] = "9"
    error = refusal(json.dumps(values).encode())
    problems = [error.problem, *(other.problem for other in error.others)]
    assert problems == [
        "no conditions have this name",
        f"components[{AH}] has this tag already",
        "no size of copper_en1057_thin",
        # What named the strainer names nothing now.
        "no component has this tag",
        "no component has this tag",
        "no part has this tag",
    ]


# The disk


def test_files_that_cannot_be_read(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def why(path: os.PathLike[str] | str) -> str:
        with pytest.raises(FileError) as caught:
            read_vessel(path)
        assert caught.value.path == os.fspath(path)
        assert caught.value.place
        assert caught.value.accepted
        return caught.value.problem

    assert why(tmp_path / "missing.farcabin") == "there is no such file"
    assert why(tmp_path / "missing" / "x.farcabin") == "there is no such file"
    assert why(tmp_path) == "this is a folder"
    assert why("a\0b") == "the name has a zero byte in it"
    large = tmp_path / "large.farcabin"
    large.write_bytes(b" " * 1000)
    monkeypatch.setattr(vessel_file, "LARGEST_FILE", 999)
    assert why(large) == "the file is too large"


def test_a_pipe_is_not_waited_for(tmp_path: Path) -> None:
    if not hasattr(os, "mkfifo"):
        return
    os.mkfifo(tmp_path / "pipe")
    with pytest.raises(FileError, match="not an ordinary file"):
        read_vessel(tmp_path / "pipe")


def test_a_file_that_may_not_be_read(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(*_: object) -> None:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(vessel_file.os, "stat", refuse)
    with pytest.raises(FileError, match="you may not read this file"):
        read_vessel("locked.farcabin")


@pytest.mark.parametrize(
    ("vessel", "place"),
    [
        (msgspec.structs.replace(every_kind(), name="half \ud800"), "name"),
        (Vessel(name="x", components=(component("flow_meter", kv_m3_h=float("nan")),)), "components"),
        (Vessel(name="x", components=(component("flow_meter", kv_m3_h=-1.0),)), "components"),
        (Vessel(name="x", runs=(run("R-1", ("A", "x"), ("B", "y")),)), "runs"),
        (Vessel(name="x", format=7), "format"),
    ],
)
def test_what_would_not_read_back_is_not_written(vessel: Vessel, place: str, tmp_path: Path) -> None:
    path = tmp_path / "x.farcabin"
    write_vessel(line(), path)
    before = path.read_bytes()
    with pytest.raises(FileError) as caught:
        write_vessel(vessel, path)
    assert caught.value.path == str(path)
    assert caught.value.place.startswith(place)
    assert path.read_bytes() == before
    assert os.listdir(tmp_path) == ["x.farcabin"]
