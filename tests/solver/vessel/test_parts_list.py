# SPDX-License-Identifier: MIT
"""The parts list that ships, a user's own, and what is refused."""

import string
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from solver.errors import FileError, PartError
from solver.vessel.checks import own_problems
from solver.vessel.components import (
    AirHandler,
    BufferTank,
    CirculationPump,
    KvPoint,
    PumpPoint,
    RegulatingValve,
)
from solver.vessel.parts_list import SHIPPED, PartsList, read_parts_list

HEADER = "kind,model,fields\n"
GOOD_PUMP = "circulation_pump,P 1,curve=0:9.5:0;0.5:9:40;1:7:30"


@pytest.fixture
def read(tmp_path):
    """Read a list from its text."""

    def read(text: str | bytes) -> PartsList:
        path = tmp_path / "list.csv"
        path.write_bytes(text if isinstance(text, bytes) else text.encode())
        return read_parts_list(path)

    return read


def test_the_list_that_ships_has_several_of_each_kind():
    shipped = read_parts_list()
    wanted = {
        "circulation_pump": 8,
        "sea_water_pump": 8,
        "chiller": 10,
        "air_handler": 10,
        "regulating_valve": 8,
        "two_way_valve": 8,
        "three_way_valve": 5,
        "differential_bypass": 4,
        "constant_flow_valve": 10,
        "check_valve": 6,
        "strainer": 10,
        "expansion_vessel": 8,
        "air_separator": 5,
        "buffer_tank": 5,
    }
    for kind, at_least in wanted.items():
        assert len(shipped.of_kind(kind)) >= at_least, kind
    assert sum(len(shipped.of_kind(kind)) for kind in {row.kind for row in shipped.rows}) == len(shipped.rows)


@pytest.mark.parametrize("row", read_parts_list().rows, ids=lambda row: row.model)
def test_every_model_that_ships_makes_a_whole_component(row):
    made = read_parts_list().make(row.model, "X-1", at=(10.0, 20.0), turn=1)
    assert (made.tag, made.model, made.at, made.turn) == ("X-1", row.model, (10.0, 20.0), 1)
    assert not list(own_problems(made))


@pytest.mark.parametrize("kind", ["circulation_pump", "sea_water_pump"])
def test_pumps_that_ship_have_whole_curves(kind):
    for row in read_parts_list().of_kind(kind):
        curve = row.component.curve
        assert len(curve) >= 5
        heads = [point.head_m for point in curve]
        assert heads == sorted(heads, reverse=True)
        efficiency = [point.efficiency_percent for point in curve]
        assert 0 < efficiency.index(max(efficiency)) < len(curve) - 1
        assert 25 < max(efficiency) < 80
        needed = [point.npsh_required_m for point in curve]
        if kind == "sea_water_pump":
            assert needed == sorted(needed)
            assert 0.5 < needed[0] < needed[-1] < 6
        else:
            assert needed == [None] * len(curve)


def test_chillers_and_air_handlers_that_ship_are_plausible():
    shipped = read_parts_list()
    chillers = [row.component for row in shipped.of_kind("chiller")]
    assert [min(c.capacity_kW for c in chillers), max(c.capacity_kW for c in chillers)] == [5, 200]
    for chiller in chillers:
        # 5.6 K over the loop is common practice: 4.19 kJ/kgK and 1 kg/L.
        assert chiller.capacity_kW / (4.19 * chiller.rated_flow_L_s) == pytest.approx(5.55, abs=0.1)
        assert 0.5 <= chiller.minimum_flow_L_s / chiller.rated_flow_L_s <= 0.7
        # Heat rejected is about 1.25 times the cooling; sea water warms by 5 to 6 K (3.99 kJ/kgK, 1.02 kg/L).
        assert 5 < 1.25 * chiller.capacity_kW / (4.08 * chiller.sea_rated_flow_L_s) < 6
    handlers = [row.component for row in shipped.of_kind("air_handler")]
    assert [min(a.capacity_total_kW for a in handlers), max(a.capacity_total_kW for a in handlers)] == [
        1.5,
        20,
    ]
    for handler in handlers:
        assert handler.capacity_total_kW / (4.19 * handler.rated_flow_L_s) == pytest.approx(5.55, abs=0.1)
        assert 0.65 < handler.capacity_sensible_kW / handler.capacity_total_kW < 0.8
        assert 5 <= handler.rated_drop_kPa <= 30


def test_regulating_valves_that_ship_open_steadily():
    valves = [row.component for row in read_parts_list().of_kind("regulating_valve")]
    assert [row.model[-2:] for row in read_parts_list().of_kind("regulating_valve")] == [
        "10", "15", "20", "25", "32", "40", "50", "65"
    ]  # fmt: skip
    for valve in valves:
        kvs = [point.kv_m3_h for point in valve.kv_table]
        assert kvs == sorted(set(kvs))
        assert valve.setting == valve.kv_table[-1].setting
    full = [valve.kv_table[-1].kv_m3_h for valve in valves]
    assert full == sorted(full)


def test_a_users_list_in_the_forms_a_spreadsheet_saves(read):
    text = (
        "\ufeff# my list\r\n\r\nKind,Model,fields,,\r\n"
        "circulation_pump, P 1 , curve = 0:9.5 ; 0.5:9::60 ; 1:7:30:80:1.5 ,running=TRUE,,\r\n"
        ",,,,\r\n"
        "# a note, with \"quotes and commas\r\n"
        '"regulating_valve","V, 15","kv_table=0.5:0.18;4:2.4","setting=2"\r\n'
        "buffer_tank,T,port_count=4,volume_L=1e2,name=Tank of steel\r\n"
        "isolating_valve,Gate,style=gate\r\n"
        "flow_meter,Meter,kv_m3_h=4\r\n"
        "manifold,M 6,port_count=6\r\n"
    )  # fmt: skip
    found = read(text)
    assert [(row.model, row.line) for row in found.rows] == [
        ("P 1", 4), ("V, 15", 7), ("T", 8), ("Gate", 9), ("Meter", 10), ("M 6", 11)
    ]  # fmt: skip
    pump = found.model("P 1").component
    assert isinstance(pump, CirculationPump)
    assert pump.curve == (PumpPoint(0, 9.5), PumpPoint(0.5, 9, None, 60), PumpPoint(1, 7, 30, 80, 1.5))
    valve = found.model("V, 15").component
    assert isinstance(valve, RegulatingValve)
    assert valve.kv_table == (KvPoint(0.5, 0.18), KvPoint(4.0, 2.4))
    tank = found.model("T").component
    assert isinstance(tank, BufferTank)
    assert (tank.port_count, tank.volume_L, tank.name) == (4, 100.0, "Tank of steel")
    assert found.model("M 6").component.ports == ("1", "2", "3", "4", "5", "6")
    assert found.of_kind("chiller") == ()


@pytest.mark.parametrize(
    ("row", "place", "problem", "value", "accepted"),
    [
        ("air_handlr,A", "line 2, column 1 (kind)", "unknown kind", '"air_handlr"', "air_handler? one of"),
        ("strainer", "line 2, column 2 (model)", "no name", "", "a name"),
        ("strainer,S\x00,kv_m3_h=4", "line 2, column 2 (model)", "control character", '"S', "text"),
        ("strainer,S,kv_m3_h=4,name=a\x0bb", "line 2, column 4 (name)", "control character", '"a', "text"),
        ("strainer,S,kv_m3_h=4,40 %", "line 2, column 4", "not a field", '"40 %"', "field=value"),
        ("strainer,S,kv_m3_h=4,kv=4", "line 2, column 4", "no such field", '"kv"', "kv_m3_h"),
        ("strainer,S,kv_m3_h=4,tag=S-1", "line 2, column 4", "no such field", '"tag"', "kv_m3_h"),
        ("strainer,S", "line 2, column 3 (kv_m3_h)", "missing", "", "kv_m3_h=a number above 0"),
        ("strainer,S,kv_m3_h=", "line 2, column 3 (kv_m3_h)", "value is missing", '""', "a number above 0"),
        ("strainer,S,kv_m3_h=4 m3", "line 2, column 3 (kv_m3_h)", "not a number", '"4 m3"', "above 0"),
        ("strainer,S,kv_m3_h=nan", "line 2, column 3 (kv_m3_h)", "not a number", '"nan"', "above 0"),
        ("strainer,S,kv_m3_h=1e999", "line 2, column 3 (kv_m3_h)", "not a finite", "", "a number above 0"),
        ("strainer,S,kv_m3_h=-4", "line 2, column 3 (kv_m3_h)", "out of range", "-4", "a number above 0"),
        ("strainer,S,kv_m3_h=4,,kv_m3_h=5", "line 2, column 5 (kv_m3_h)", "in column 3", '"5"', "once"),
        ('strainer,S,"kv_m3_h=1,5"', "line 2, column 3 (kv_m3_h)", "not a number", '"1,5"', "above 0"),
        ("buffer_tank,T,port_count=3", "line 2, column 3 (port_count)", "unknown choice", '"3"', "2, 4"),
        ("manifold,M,port_count=4.5", "line 2, column 3 (port_count)", "not a whole", "4.5", "from 2 to 60"),
        (
            GOOD_PUMP + ",running=maybe",
            "line 2, column 4 (running)",
            "neither true nor false",
            '"maybe"',
            "true or false",
        ),
        (
            "circulation_pump,P,curve=0:9;1:7",
            "line 2, column 3 (curve)",
            "too few",
            "a list of 2",
            "at least 3",
        ),
        (
            "circulation_pump,P,curve=0:9;1:7:x;2:5",
            "line 2, column 3 (curve)",
            '"x" is not a number',
            "0:9;1:7:x;2:5",
            "at least 3 points of flow_L_s:head_m:efficiency_percent:power_W:npsh_required_m, semicolons",
        ),
        (
            "circulation_pump,P,curve=0:9;1:7:40:80:2:5;2:5",
            "line 2, column 3 (curve)",
            '"1:7:40:80:2:5" has more numbers than a point',
            "0:9;",
            "npsh_required_m",
        ),
        (
            "circulation_pump,P,curve=0:9;1;2:5",
            "line 2, column 3 (curve, point 2, head_m)",
            "missing",
            "",
            "a number",
        ),
        (
            "circulation_pump,P,curve=0:9;1:7:140;2:5",
            "line 2, column 3 (curve, point 2, efficiency_percent)",
            "out of range",
            "140",
            "from 0 to 100",
        ),
        (
            "circulation_pump,P,curve=0:9;1:7;1:5",
            "line 2, column 3 (curve, point 3, flow_L_s)",
            "do not rise",
            "1",
            "above 1",
        ),
        (
            "regulating_valve,V,setting=1,kv_table=1:2;2",
            "line 2, column 4 (kv_table, point 2)",
            "not a list of 2",
            "[2]",
            "setting, kv_m3_h",
        ),
        (
            "regulating_valve,V,setting=1,kv_table=1:2;2:1",
            "line 2, column 4 (kv_table, point 2, number 2)",
            "the Kv falls",
            "1.0",
            "at least 2.0",
        ),
        (
            "regulating_valve,V,setting=3,kv_table=1:2;2:3",
            "line 2, column 3 (setting)",
            "beyond the table",
            "3.0",
            "from 0 to 2.0",
        ),
        (
            "strainer,S,kv_m3_h=4\nstrainer,S,kv_m3_h=5",
            "line 3, column 2 (model)",
            "line 2 has this model already",
            '"S"',
            "each model once",
        ),
        ('strainer,"S,kv_m3_h=4', "line 2", "not a row of cells", "strainer", "commas between"),
    ],
)
def test_a_bad_row_is_refused_by_line_and_column(read, tmp_path, row, place, problem, value, accepted):
    with pytest.raises(FileError) as refused:
        read(HEADER + row + "\n")
    error = refused.value
    assert error.path == str(tmp_path / "list.csv")
    assert error.place == place
    assert problem in error.problem
    assert value in error.value
    assert accepted in error.accepted
    assert error.others == ()


def test_a_refusal_reads_as_the_documentation_shows_it(read, tmp_path):
    with pytest.raises(FileError) as refused:
        read(HEADER + "circulation_pump,P,curve=0:9;1:7:140;2:5\n")
    page = (Path(__file__).parents[3] / "docs" / "parts_list.md").read_text(encoding="utf-8")
    shown = str(refused.value).replace(str(tmp_path / "list.csv"), "my_list.csv").replace("line 2", "line 14")
    assert shown.replace("column 3", "column 5") in page


def test_all_problems_of_a_list_are_told_at_once(read):
    with pytest.raises(FileError) as refused:
        read(HEADER + "strainer,S,kv_m3_h=x,clogging_percent=120\nchiler,C\n" + GOOD_PUMP + "\n")
    places = [refused.value.place, *(other.place for other in refused.value.others)]
    assert places == [
        "line 2, column 3 (kv_m3_h)",
        "line 2, column 4 (clogging_percent)",
        "line 3, column 1 (kind)",
    ]


@pytest.mark.parametrize(
    ("content", "place", "problem"),
    [
        (b"", "whole file", "nothing in it"),
        (b"# only a note\n", "whole file", "nothing in it"),
        (b"kind;model;fields\n", "line 1", "no header before it"),
        (b"strainer,S,kv_m3_h=4\n", "line 1", "no header before it"),
        (b"kind,model\nstrainer,S\xff,kv_m3_h=4\n", "line 2", "not UTF-8"),
    ],
)
def test_a_file_of_another_form_is_refused(read, content, place, problem):
    with pytest.raises(FileError) as refused:
        read(content)
    assert (refused.value.place, problem in refused.value.problem) == (place, True)
    assert "kind,model" in refused.value.accepted or "CSV" in refused.value.accepted


def test_a_file_that_is_not_there_is_refused(tmp_path):
    with pytest.raises(FileError, match=r"none\.csv: file name: cannot be read"):
        read_parts_list(tmp_path / "none.csv")
    with pytest.raises(FileError, match="cannot be read"):
        read_parts_list(tmp_path)


@given(
    line=st.integers(0, 220),
    place=st.integers(0, 200),
    text=st.text(st.sampled_from(string.printable + "°\x00é"), max_size=6),
    cut=st.integers(0, 8),
)
def test_a_list_with_a_slip_in_it_is_read_or_refused(tmp_path_factory, line, place, text, cut):
    lines = SHIPPED.read_text(encoding="utf-8").splitlines()
    old = lines[line % len(lines)]
    lines[line % len(lines)] = old[: place % (len(old) + 1)] + text + old[place % (len(old) + 1) + cut :]
    path = tmp_path_factory.getbasetemp() / "slip.csv"
    path.write_text("\n".join(lines), encoding="utf-8", newline="")
    try:
        assert len(read_parts_list(path).rows) > 150
    except FileError as error:
        assert error.place.startswith("line ")
        assert error.accepted


def test_making_a_component_refuses_what_no_component_takes():
    shipped = read_parts_list()
    made = shipped.make("Regulating valve DN 20", "V-3", setting=1.5, height_m=-0.4, deck="Lower")
    assert (made.setting, made.height_m, made.deck, made.tag) == (1.5, -0.4, "Lower", "V-3")
    with pytest.raises(
        PartError, match=r'no model "Air handler 3 kW" .*; accepted: Air handler [0-9.]+ kW\?'
    ):
        shipped.make("Air handler 3 kW", "AH-1")
    with pytest.raises(
        PartError, match=r"AH-1: Air handler 3\.5 kW has no field hight_m; accepted: height_m[?]"
    ):
        shipped.make("Air handler 3.5 kW", "AH-1", hight_m=1.0)
    with pytest.raises(PartError, match=r"AH:1 .*: tag: the text has the wrong form"):
        shipped.make("Air handler 3.5 kW", "AH:1")
    with pytest.raises(
        PartError, match=r"V-3 .*: setting: beyond the table; found 9.0; accepted: a number from"
    ):
        shipped.make("Regulating valve DN 20", "V-3", setting=9.0)
    with pytest.raises(PartError, match=r"AH-1 .*: turn: out of range; found 4"):
        shipped.make("Air handler 3.5 kW", "AH-1", turn=4)
    with pytest.raises(PartError, match='unknown kind "pump"'):
        shipped.of_kind("pump")
    assert isinstance(shipped.make("Air handler 3.5 kW", "AH-1"), AirHandler)


def test_the_list_in_the_documentation_is_read(read):
    page = (Path(__file__).parents[3] / "docs" / "parts_list.md").read_text(encoding="utf-8")
    found = read(page.split("```csv\n")[1].split("```")[0])
    assert [row.kind for row in found.rows] == [
        "air_handler", "circulation_pump", "sea_water_pump", "regulating_valve", "strainer", "buffer_tank"
    ]  # fmt: skip
    points = found.model("Sea pump A").component.curve
    assert [point.npsh_required_m for point in points] == [1.2, 1.6, 2.6]
    namespace: dict = {}
    exec(page.split("```python\n")[1].split("```")[0], namespace)
    assert namespace["handler"].at == (120.0, 80.0)
