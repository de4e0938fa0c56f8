# SPDX-License-Identifier: MIT
"""Edits that add, remove, replace, set, retag, move and turn parts."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any

import msgspec
import pytest

from solver.change import Change
from solver.errors import EditError
from solver.vessel import edits
from solver.vessel.checks import problems
from solver.vessel.components import KINDS, KvPoint
from solver.vessel.run import End, Fitting, Insulation
from solver.vessel.vessel import Cabin, Deck, Reading, ReadingSet, Scenario, Vessel
from tests.solver.vessel.boats import component, every_kind, line, run

TERN = every_kind()
LINE = line(3)


def refused(edit: Callable[..., Vessel], vessel: Vessel, *arguments: Any) -> EditError:
    before = msgspec.json.encode(vessel)
    with pytest.raises(EditError) as caught:
        edit(vessel, *arguments)
    assert msgspec.json.encode(vessel) == before
    return caught.value


def tags(parts: tuple[Any, ...]) -> list[str]:
    return [part.tag for part in parts]


# Adding


def test_a_component_comes_last_and_the_rest_is_shared() -> None:
    new = edits.add_component(TERN, component("tee", "T-2", deck="Main"))
    assert new.components[-1].tag == "T-2"
    assert all(a is b for a, b in zip(new.components, TERN.components, strict=False))
    assert new.runs is TERN.runs
    assert new.limits is TERN.limits


def test_what_is_added_becomes_what_the_file_would_give() -> None:
    given = component("tee", "T-2", at=[1, 2], height_m=3)
    new = edits.add_component(TERN, given)
    assert new.components[-1].at == (1.0, 2.0)
    assert type(new.components[-1].height_m) is float


def test_a_run_joins_two_free_ports() -> None:
    new = edits.add_run(TERN, run("R-30", ("T-1", "branch"), ("M-1", "3")))
    assert new.runs[-1].start == End("T-1", "branch")
    assert new.components is TERN.components


def test_parts_that_hang_together_are_added_at_once() -> None:
    new = edits.add(
        LINE,
        components=[component("air_handler", "AH-1", cabins=("C-1",))],
        runs=[run("R-9", ("IV-3", "outlet"), ("AH-1", "water_in"))],
        cabins=[Cabin(tag="C-1")],
    )
    assert not problems(new)
    assert (tags(new.cabins), new.runs[-1].tag) == (["C-1"], "R-9")


@pytest.mark.parametrize(
    ("parts", "reason", "marked"),
    [
        (
            {"components": [component("tee", "R-1")]},
            "R-1 is taken already; each part has its own tag",
            ("R-1",),
        ),
        ({"cabins": [Cabin(tag="IV-1")]}, "IV-1 is taken already", ("IV-1",)),
        (
            {"components": [component("tee", "T"), component("drain", "T")]},
            '"T" is given to two parts',
            ("T",),
        ),
        ({"components": [component("tee", "a:b")]}, "tag of a:b: the text has the wrong form", ("a:b",)),
        ({"components": [component("tee", "T", turn=9)]}, "turn of T: out of range; found 9", ("T",)),
        (
            {"components": [component("tee", "T", at=(math.nan, 0.0))]},
            "at[0] of T: not a finite number",
            ("T",),
        ),
        (
            {"components": [component("tee", "T", notes=object())]},
            "T: object has no place in a vessel",
            ("T",),
        ),
        ({"components": [component("tee", "T", deck="Sun")]}, "deck of T: no deck has this name", ("T",)),
        (
            {"components": [component("air_handler", "AH", cabins=("C-1",))]},
            "cabins[0] of AH: no cabin has this tag",
            ("AH",),
        ),
        (
            {"components": [component("regulating_valve", "RV", setting=9.0)]},
            "setting of RV: beyond the table",
            ("RV",),
        ),
        (
            {"runs": [run("R-9", ("IV-3", "outlet"), ("IV-4", "inlet"))]},
            'end of R-9: no component has this tag; found "IV-4"; accepted: IV-3?',
            ("R-9",),
        ),
        (
            {"runs": [run("R-9", ("IV-3", "out"), ("IV-1", "inlet"))]},
            'start of R-9: IV-3 has no such port; found "out"; accepted: outlet?',
            ("IV-3",),
        ),
        (
            {"runs": [run("R-9", ("IV-3", "outlet"), ("IV-3", "outlet"))]},
            "end of R-9: the run ends at the port it starts at",
            ("R-9",),
        ),
        (
            {"runs": [run("R-9", ("IV-3", "outlet"), ("IV-2", "inlet"))]},
            "port inlet of IV-2 has run R-1; a port takes one run",
            ("IV-2", "R-1"),
        ),
        (
            {"runs": [run(tag, ("IV-3", "outlet"), ("IV-1", "inlet")) for tag in ("R-8", "R-9")]},
            "port outlet of IV-3 has run R-8; a port takes one run",
            ("IV-3", "R-8"),
        ),
        (
            {"runs": [run("R-9", ("IV-3", "outlet"), ("IV-1", "inlet"), size="22")]},
            "size of R-9: no size of copper_en1057_thin",
            ("R-9",),
        ),
    ],
)
def test_what_cannot_be_added(parts: dict[str, Any], reason: str, marked: tuple[str, ...]) -> None:
    with pytest.raises(EditError) as caught:
        edits.add(LINE, **parts)
    assert str(caught.value).startswith(reason)
    assert caught.value.tags == marked
    assert line(3) == LINE


# Removing


def test_runs_go_with_the_component_they_end_at() -> None:
    new = edits.remove(LINE, ["IV-2"])
    assert (tags(new.components), new.runs) == (["IV-1", "IV-3"], ())
    assert new.components[0] is LINE.components[0]


def test_a_run_goes_alone() -> None:
    new = edits.remove(LINE, ["R-1"])
    assert tags(new.runs) == ["R-2"]
    assert new.components is LINE.components


def test_all_at_once() -> None:
    assert edits.remove(LINE, ["IV-1", "R-1", "IV-2", "IV-3"]).components == ()


def test_what_names_a_removed_part_goes_with_it() -> None:
    new = edits.remove(TERN, ["P-1"])
    # end at the pump.
    assert tags(new.readings[0].readings) == ["PI-1"]
    assert [tags(scenario.changes) for scenario in new.scenarios] == [["STR-1"], []]
    assert new.readings[0].notes == "alongside"
    assert not problems(new)


def test_air_handlers_forget_a_removed_cabin() -> None:
    new = edits.remove(TERN, ["C-2"])
    assert tags(new.cabins) == ["C-1"]
    assert new.component_by_tag["AH-1"].cabins == ("C-1",)
    assert new.component_by_tag["CH-1"] is TERN.component_by_tag["CH-1"]


def test_a_part_that_is_not_there_cannot_be_removed() -> None:
    error = refused(edits.remove, LINE, ["IV-1", "IV-9"])
    assert str(error).startswith('no part has the tag "IV-9"; IV-')
    assert error.tags == ("IV-9",)


# Replacing


def test_another_kind_takes_the_place_and_the_runs() -> None:
    old = msgspec.structs.replace(LINE.components[1], turn=1, height_m=0.5, notes="port side", name="near")
    vessel = msgspec.structs.replace(LINE, components=(LINE.components[0], old, LINE.components[2]))
    new = edits.replace_component(vessel, "IV-2", component("strainer", "STR-7", name="fine", at=(9.0, 9.0)))
    placed = new.components[1]
    assert (placed.tag, placed.at, placed.turn, placed.height_m) == ("IV-2", (200.0, 0.0), 1, 0.5)
    assert (placed.notes, placed.name) == ("port side", "fine")
    assert isinstance(placed, KINDS["strainer"])
    assert new.runs == LINE.runs


def test_ports_of_other_names_are_taken_in_order() -> None:
    new = edits.replace_component(LINE, "IV-2", component("air_handler"))
    assert (new.runs[0].end, new.runs[1].start) == (End("IV-2", "water_in"), End("IV-2", "water_out"))
    assert not problems(new)


def test_a_manifold_may_grow_under_its_runs() -> None:
    new = edits.replace_component(TERN, "M-1", component("manifold", port_count=9))
    assert [(run.start, run.end) for run in new.runs] == [(run.start, run.end) for run in TERN.runs]


def test_a_run_is_not_left_without_a_port() -> None:
    error = refused(edits.replace_component, LINE, "IV-2", component("tee"))
    assert str(error) == "R-1 ends at port inlet of IV-2, which a tee does not have; remove the run first"
    assert error.tags == ("IV-2", "R-1")


def test_changes_go_that_the_new_kind_does_not_have() -> None:
    scenario = Scenario(
        "Both", (Change("STR-1", "clogging_percent", 10.0), Change("STR-1", "kv_m3_h", 2.0, "scale"))
    )
    new = edits.replace_component(edits.add_scenario(TERN, scenario), "STR-1", component("check_valve"))
    assert new.scenarios[2].changes == (Change("STR-1", "kv_m3_h", 2.0, "scale"),)
    assert tags(new.scenarios[0].changes) == ["P-1"]
    assert not problems(new)


def test_only_a_component_is_replaced() -> None:
    assert str(refused(edits.replace_component, LINE, "R-1", component("tee"))) == "R-1 is not a component"
    clogged = component("strainer", clogging_percent=100.0)
    assert str(refused(edits.replace_component, LINE, "IV-1", clogged)).startswith(
        "clogging_percent of IV-1: out"
    )


# Setting


@pytest.mark.parametrize(
    ("tag", "field", "value", "stored"),
    [
        ("P-1", "speed_percent", 80, 80.0),
        ("IV-1", "style", "globe", "globe"),
        ("IV-1", "kv_m3_h", None, None),
        ("AH-1", "deck", "Main", "Main"),
        ("AH-1", "cabins", ["C-2"], ("C-2",)),
        ("RV-1", "kv_table", [[0, 1], [3, 2]], (KvPoint(0.0, 1.0), KvPoint(3.0, 2.0))),
        ("R-2", "fittings", (Fitting("elbow_90", 3),), (Fitting("elbow_90", 3),)),
        ("R-2", "fittings", [{"kind": "elbow_90"}], (Fitting("elbow_90"),)),
        ("R-2", "insulation", Insulation("foam", 9.0), Insulation("foam", 9.0)),
        ("R-2", "bends", [[1, 2]], ((1.0, 2.0),)),
        ("R-5", "end", ("M-1", "4"), End("M-1", "4")),
        ("C-1", "set_point_C", 22, 22.0),
        ("M-1", "port_count", 2, 2),
        ("BT-1", "volume_L", 80.0, 80.0),
    ],
)
def test_a_field_is_set(tag: str, field: str, value: object, stored: object) -> None:
    new = edits.set_field(TERN, [tag], field, value)
    part = next(p for p in (*new.components, *new.runs, *new.cabins) if p.tag == tag)
    assert getattr(part, field) == stored
    assert type(getattr(part, field)) is type(stored)
    assert not problems(new)


def test_one_value_for_several_parts() -> None:
    new = edits.set_field(TERN, ["P-1", "SP-1"], "speed_percent", 70.0)
    assert [new.components[n].speed_percent for n in (0, 1)] == [70.0, 70.0]
    assert new.components[2] is TERN.components[2]
    assert edits.set_field(TERN, "P-1", "running", False).components[0].running is False


@pytest.mark.parametrize(
    ("tag", "field", "value", "reason"),
    [
        ("P-9", "speed_percent", 80, 'no part has the tag "P-9"; '),
        ("P-1", "speed", 80, 'P-1 has no field "speed"; accepted: speed_percent? one of tag, name'),
        ("P-1", "tag", "P-2", "tag is changed with retag, one part at a time"),
        ("P-1", "kind", "tee", 'P-1 has no field "kind"'),
        (
            "P-1",
            "speed_percent",
            170,
            "speed_percent of P-1: out of range; found 170; accepted: a number from 0 to 150",
        ),
        ("P-1", "speed_percent", "80", 'speed_percent of P-1: not a number; found "80"'),
        ("P-1", "speed_percent", math.inf, "speed_percent of P-1: not a finite number; found Infinity"),
        ("P-1", "speed_percent", None, "speed_percent of P-1: not a number; found null"),
        ("P-1", "speed_percent", object(), "speed_percent of P-1: object has no place in a vessel"),
        ("P-1", "name", "\ud800", "name of P-1: the text has a control character or half a character in it"),
        ("P-1", "at", (1e300, 0), "at[0] of P-1: the number is too large; found 1e+300"),
        (
            "P-1",
            "curve",
            [{"flow_L_s": 1.0, "head_m": 1.0}] * 3,
            "curve[1].flow_L_s of P-1: the flows do not rise; found 1.0",
        ),
        ("RV-1", "setting", 5, "setting of RV-1: beyond the table; found 5.0"),
        ("R-1", "size", "22", "size of R-1: no size of copper_en1057_thin"),
        ("R-1", "fittings", [{"kind": "elbow"}], "fittings[0].kind of R-1: unknown fitting"),
        ("R-1", "end", ["M-1", "1"], "port 1 of M-1 has run R-5; a port takes one run"),
        ("R-1", "end", ["M-1", "5"], "end of R-1: M-1 has no such port"),
        ("R-1", "end", ["P-1", "outlet"], "end of R-1: the run ends at the port it starts at"),
        ("AH-1", "deck", "Sun", "deck of AH-1: no deck has this name"),
        ("AH-1", "cabins", ["C-9"], "cabins[0] of AH-1: no cabin has this tag"),
        ("BT-1", "port_count", 4, "port inlet of BT-1 has run R-16 and would be gone; remove the run first"),
        ("BT-1", "port_count", 3, "port_count of BT-1: unknown choice; found 3; accepted: one of 2, 4"),
    ],
)
def test_a_value_that_is_not_accepted(tag: str, field: str, value: object, reason: str) -> None:
    assert str(refused(edits.set_field, TERN, [tag], field, value)).startswith(reason)


def test_no_part_changes_if_one_does_not_accept() -> None:
    error = refused(edits.set_field, TERN, ["P-1", "STR-1"], "speed_percent", 70.0)
    assert str(error).startswith('STR-1 has no field "speed_percent"')
    assert error.tags == ("STR-1",)


def test_two_runs_are_not_set_to_one_port() -> None:
    error = refused(edits.set_field, LINE, ["R-1", "R-2"], "end", ("IV-1", "inlet"))
    assert "a port takes one run" in str(error)


def test_the_pipe_of_runs_is_set_series_and_size_together() -> None:
    new = edits.set_run_size(LINE, ["R-1", "R-2"], "pex_s5", "25x2.3")
    assert [(pipe.series, pipe.size) for pipe in new.runs] == [("pex_s5", "25x2.3")] * 2
    assert new.components is LINE.components
    assert str(refused(edits.set_run_size, LINE, ["R-1"], "pex_s5", "7")).startswith(
        "size of R-1: no size of pex_s5"
    )
    assert str(refused(edits.set_run_size, LINE, ["IV-1"], "pex_s5", "7")).startswith(
        'IV-1 has no field "series"'
    )


# Retagging


def test_a_new_tag_is_followed_by_all_that_name_the_part() -> None:
    new = edits.retag(TERN, "P-1", "P-7")
    assert new.components[0].tag == "P-7"
    assert (new.runs[0].start, new.runs[-1].end) == (End("P-7", "outlet"), End("P-7", "inlet"))
    assert new.scenarios[0].changes[0].tag == "P-7"
    assert new.runs[5] is TERN.runs[5]
    assert edits.retag(new, "P-7", "P-1") == TERN


@pytest.mark.parametrize("tag", ["R-1", "PI-1", "C-2", "M-1", "CH-1"])
def test_a_tag_and_back_is_the_same_vessel(tag: str) -> None:
    new = edits.retag(TERN, tag, "Z-1")
    assert not problems(new)
    assert f"'{tag}'" not in repr(new)
    assert edits.retag(new, "Z-1", tag) == TERN


def test_the_same_tag_again_changes_nothing() -> None:
    assert edits.retag(TERN, "P-1", "P-1") is TERN


@pytest.mark.parametrize(
    ("old", "new", "reason"),
    [
        ("P-9", "P-8", 'no part has the tag "P-9"'),
        ("P-1", "R-1", "R-1 is taken already; each part has its own tag"),
        ("P-1", "C-1", "C-1 is taken already"),
        ("P-1", "", "tag of P-1: the text is too short"),
        ("P-1", "a/b", "tag of P-1: the text has the wrong form"),
        ("P-1", "x" * 41, "tag of P-1: the text is too long (41 characters)"),
        ("P-1", 3, "tag of P-1: not text"),
    ],
)
def test_a_tag_that_is_not_accepted(old: str, new: Any, reason: str) -> None:
    assert str(refused(edits.retag, TERN, old, new)).startswith(reason)


# Placing


def test_parts_move_with_the_bends_between_them() -> None:
    pinned = ((150.0, 0.0), (150.0, 50.0), (170.0, 50.0), (170.0, 0.0))
    bent = msgspec.structs.replace(LINE.runs[0], bends=pinned)
    vessel = msgspec.structs.replace(LINE, runs=(bent, LINE.runs[1]))
    new = edits.move(vessel, ["IV-1", "IV-2"], 10.0, -5.0)
    assert [part.at for part in new.components] == [(110.0, -5.0), (210.0, -5.0), (300.0, 0.0)]
    assert new.runs[0].bends == tuple((x + 10.0, y - 5.0) for x, y in pinned)
    assert edits.move(vessel, ["IV-1"], 10.0, 0.0).runs[0] is bent
    by_hand = edits.move(vessel, ["R-1"], 1.0, 1.0)
    assert by_hand.runs[0].bends == ((151.0, 0.0), (151.0, 51.0), (171.0, 51.0), (171.0, 0.0))
    assert by_hand.components is vessel.components


def test_a_cabin_moves_with_its_outline() -> None:
    new = edits.move(TERN, ["C-1"], 5.0, 6.0)
    assert new.cabins[0].outline == ((5.0, 6.0), (95.0, 6.0), (95.0, 86.0))


def test_parts_turn_about_themselves() -> None:
    new = edits.turn(LINE, ["IV-1", "IV-2"])
    assert [part.turn for part in new.components] == [1, 1, 0]
    assert [part.at for part in new.components] == [part.at for part in LINE.components]
    assert edits.turn(new, ["IV-1"], 3).components[0].turn == 0
    assert edits.turn(new, ["IV-1"], -1).components[0].turn == 0


def test_placing_that_is_refused() -> None:
    assert str(refused(edits.move, LINE, ["IV-1"], 1e12, 0.0)).startswith(
        "at[0] of IV-1: the number is too large"
    )
    assert str(refused(edits.move, LINE, ["IV-1"], math.nan, 0.0)).startswith(
        "at[0] of IV-1: not a finite number"
    )
    assert str(refused(edits.move, LINE, ["IV-9"], 1.0, 0.0)).startswith('no part has the tag "IV-9"')
    assert str(refused(edits.turn, LINE, ["R-1"])) == "R-1 is not a component and cannot be turned"


# Tags


def test_every_kind_has_a_prefix_of_its_own() -> None:
    assert set(edits.PREFIXES) == {*KINDS, "run", "cabin"}
    assert len(set(edits.PREFIXES.values())) == len(edits.PREFIXES)


@pytest.mark.parametrize(
    ("taken", "tag"),
    [
        ([], "AH-1"),
        (["AH-1", "AH-2"], "AH-3"),
        (["AH-7", "AH-2"], "AH-8"),
        (["AH-9"], "AH-10"),
        (["AH-03"], "AH-04"),
        (["AH-099"], "AH-100"),
        (["AH-9", "AH-10"], "AH-11"),
        (["AH-x", "AH-", "AH-2b", "ah-5", "SAH-7", "AH-²"], "AH-1"),
        (["AH-123456789012"], "AH-1"),
        (["AH-003", "AH-12"], "AH-004"),
    ],
)
def test_the_next_free_tag(taken: list[str], tag: str) -> None:
    for order in (taken, taken[::-1]):
        vessel = Vessel(name="x", components=tuple(component("tee", name) for name in order))
        assert edits.free_tag(vessel, "air_handler") == tag
        edits.add_component(vessel, component("air_handler", tag))


def test_runs_and_cabins_have_tags_too() -> None:
    assert edits.free_tag(TERN, "run") == "R-23"
    assert edits.free_tag(TERN, "cabin") == "C-3"
    assert str(refused(edits.free_tag, TERN, "pump")).startswith(
        'no kind of part is called "pump"; accepted: one of'
    )


# Together


def test_readings_of_another_day_are_not_touched() -> None:
    days = (*TERN.readings, ReadingSet("2025-06-15", (Reading("FI-1", "flow_L_s", 0.4),)))
    vessel = edits.set_vessel_field(TERN, "readings", days)
    new = edits.remove(vessel, ["R-1"])
    assert new.readings[1] is vessel.readings[1]
    assert tags(new.readings[0].readings) == ["PI-1"]


def test_a_deck_for_new_parts() -> None:
    vessel = edits.add_deck(LINE, Deck("Main", 1.0))
    assert edits.set_field(vessel, ["IV-1"], "deck", "Main").components[0].deck == "Main"
