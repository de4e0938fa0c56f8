# SPDX-License-Identifier: MIT
"""Changes on a vessel, and what differs between two."""

from __future__ import annotations

from typing import Any

import msgspec
import pytest
from hypothesis import given
from hypothesis import strategies as st

from solver.change import Change
from solver.errors import EditError
from solver.parts.pipe_sizes import next_size
from solver.vessel import edits
from solver.vessel.cabin import Surface
from solver.vessel.changes import Difference, PartsDifference, apply, difference, quantities
from solver.vessel.components import KINDS
from solver.vessel.file import format_vessel, parse_vessel
from solver.vessel.run import Insulation
from solver.vessel.vessel import Cabin, Deck, Limits, LoopLiquid, Scenario, Vessel
from tests.solver.vessel.boats import component, every_kind, line, run
from tests.strategies import changes, vessels

TERN = every_kind()


def part(vessel: Vessel, tag: str) -> Any:
    return next(p for p in (*vessel.components, *vessel.runs, *vessel.cabins) if p.tag == tag)


# Changes


@pytest.mark.parametrize(
    ("change", "value"),
    [
        (Change("P-1", "speed_percent", 80.0), 80.0),
        (Change("P-1", "speed_percent", 0.5, "scale"), 50.0),
        (Change("P-1", "speed_percent", -30.0, "add"), 70.0),
        (Change("P-1", "running", 0.0), False),
        (Change("P-1", "running", "false"), False),
        (Change("CH-1", "running", 1.0), True),
        (Change("CH-1", "running", "true"), True),
        (Change("RV-1", "setting", 3.5), 3.5),
        (Change("IV-1", "style", "globe"), "globe"),
        (Change("IV-1", "kv_m3_h", 4.0), 4.0),
        (Change("V2-1", "characteristic", "linear"), "linear"),
        (Change("STR-1", "clogging_percent", 60.0), 60.0),
        (Change("R-1", "length_m", 1.15, "scale"), 2.3),
        (Change("R-1", "size", "28x0.9"), "28x0.9"),
        (Change("R-1", "size", 1.0, "add"), "28x0.9"),
        (Change("R-1", "size", -1.0, "add"), next_size("copper_en1057_thin", "22x0.9", -1).size),
        (Change("R-1", "rise_m", 0.6, "add"), 1.0),
        (Change("C-1", "set_point_C", 21.0), 21.0),
        (Change("EV-1", "height_m", -0.3), -0.3),
    ],
)
def test_a_change_changes_one_field_of_one_part(change: Change, value: object) -> None:
    new = apply(TERN, [change])
    got = getattr(part(new, change.tag), change.quantity)
    assert got == (pytest.approx(value) if isinstance(value, float) else value)
    assert type(got) is type(value)
    restored = msgspec.structs.replace(
        part(new, change.tag), **{change.quantity: getattr(part(TERN, change.tag), change.quantity)}
    )
    assert restored == part(TERN, change.tag)
    others = [p for p in (*new.components, *new.runs, *new.cabins) if p.tag != change.tag]
    assert all(p is part(TERN, p.tag) for p in others)


def test_changes_follow_each_other() -> None:
    twice = [Change("R-1", "length_m", 2.0, "scale"), Change("R-1", "length_m", 1.0, "add")]
    assert part(apply(TERN, twice), "R-1").length_m == 5.0
    assert part(apply(TERN, reversed(twice)), "R-1").length_m == 6.0


def test_series_and_size_change_together_in_either_order() -> None:
    both = [Change("R-1", "series", "pex_s5"), Change("R-1", "size", "20x1.9")]
    for order in (both, both[::-1]):
        new = part(apply(TERN, order), "R-1")
        assert (new.series, new.size) == ("pex_s5", "20x1.9")


def test_no_changes_give_the_same_value() -> None:
    assert apply(TERN, []) is TERN


@pytest.mark.parametrize(
    ("change", "reason"),
    [
        (Change("P-2", "speed_percent", 80.0), 'no part has the tag "P-2"; '),
        (Change("zzz", "speed_percent", 80.0), 'no part has the tag "zzz"'),
        (Change("P-1", "speed", 80.0), 'P-1 has no quantity "speed"; accepted: speed_percent? one of '),
        (Change("P-1", "turn", 1.0), 'P-1 has no quantity "turn"'),
        (Change("P-1", "name", "x"), 'P-1 has no quantity "name"'),
        (Change("P-1", "curve", 1.0), 'P-1 has no quantity "curve"'),
        (Change("M-1", "port_count", 3.0), 'M-1 has no quantity "port_count"'),
        (
            Change("P-1", "speed_percent", 151.0),
            "speed_percent of P-1: out of range; found 151.0; accepted: a number from 0 to 150",
        ),
        (Change("P-1", "speed_percent", 2.0, "scale"), "speed_percent of P-1: out of range; found 200.0"),
        (
            Change("P-1", "speed_percent", float("nan")),
            "speed_percent of P-1: not a finite number; found NaN",
        ),
        (Change("R-1", "length_m", 1e300, "scale"), "length_m of R-1: the number is too large"),
        (Change("P-1", "speed_percent", "80"), 'speed_percent of P-1: found "80"; accepted: a number'),
        (Change("P-1", "running", 2.0), "running of P-1: found 2.0; accepted: true (1) or false (0)"),
        (Change("P-1", "running", "off"), 'running of P-1: found "off"'),
        (Change("P-1", "running", 1.0, "add"), "running of P-1 is no number; it can be set only"),
        (
            Change("IV-1", "style", "glob"),
            'style of IV-1: unknown choice; found "glob"; accepted: globe? one of',
        ),
        (Change("IV-1", "style", 1.0), "style of IV-1: unknown choice; found 1.0"),
        (Change("IV-1", "style", 2.0, "scale"), "style of IV-1 is no number; it can be set only"),
        (
            Change("IV-1", "kv_m3_h", 2.0, "scale"),
            "kv_m3_h of IV-1 is not given, so there is nothing to scale",
        ),
        (Change("R-2", "rise_m", 2.0, "add"), "rise_m of R-2 is not given, so there is nothing to add to"),
        (Change("R-1", "size", "22"), 'size of R-1: no size of copper_en1057_thin; found "22"'),
        (Change("R-1", "series", "pex_s5"), 'size of R-1: no size of pex_s5; found "22x0.9"'),
        (Change("R-1", "series", "pex"), 'series of R-1: unknown series of pipe; found "pex"'),
        (
            Change("R-1", "size", 99.0, "add"),
            "size of R-1: copper_en1057_thin 22x0.9",
        ),
        (Change("R-1", "size", 0.5, "add"), "size of R-1: found 0.5; accepted: a whole number of steps"),
        (Change("R-1", "size", "1", "add"), 'size of R-1: found "1"; accepted: a whole number of steps'),
        (Change("R-1", "size", float("inf"), "add"), "size of R-1: found Infinity"),
        (Change("R-1", "size", 1.1, "scale"), "size of R-1 is no number; it can be set only"),
        (Change("R-1", "size", 22.0), "size of R-1: not text; found 22.0"),
        (Change("RV-1", "setting", 4.1), "setting of RV-1: beyond the table; found 4.1"),
    ],
)
def test_a_change_that_makes_no_sense(change: Change, reason: str) -> None:
    with pytest.raises(EditError) as caught:
        apply(TERN, [Change("STR-1", "clogging_percent", 1.0), change])
    assert str(caught.value).startswith(reason)
    assert caught.value.tags == (change.tag,)


@given(st.data())
def test_every_quantity_can_be_set_to_what_its_range_allows(data: st.DataObject) -> None:
    vessel = data.draw(vessels().filter(lambda v: v.components or v.runs))
    one = data.draw(st.sampled_from((*vessel.components, *vessel.runs, *vessel.cabins)))
    change = data.draw(changes(one))
    try:
        new = apply(vessel, [change])
    except EditError:
        # A setting beyond its own table, a working range turned round.
        assert change.quantity in ("setting", "minimum_drop_kPa", "maximum_drop_kPa")
        return
    assert getattr(part(new, one.tag), change.quantity) == change.value
    assert parse_vessel(format_vessel(new), "x") == new


def test_quantities_of_every_kind_are_numbers_choices_or_yes_and_no() -> None:
    for kind in KINDS:
        one = component(kind)
        assert set(quantities(one)) <= set(one.__struct_fields__)
        assert {"tag", "name", "notes", "at", "turn", "deck", "model"}.isdisjoint(quantities(one))
        assert "height_m" in quantities(one)
    assert quantities(component("regulating_valve")) == ("height_m", "setting")
    assert quantities(run("R-1", ("A", "x"), ("B", "y"))) == (
        "series",
        "size",
        "length_m",
        "length_known",
        "length_plus_minus_percent",
        "rise_m",
        "extra_k",
        "surroundings_temp_C",
        "service",
    )
    assert quantities(Cabin(tag="C-1")) == (
        "set_point_C",
        "rh_percent",
        "floor_area_m2",
        "ceiling_m",
        "people",
        "activity",
        "lights_W",
        "equipment_W",
        "equipment_latent_W",
        "outdoor_air_L_s",
        "load_sensible_W",
        "load_latent_W",
    )


# Differences

NOTHING = PartsDifference()


def test_equal_vessels_differ_in_nothing() -> None:
    nothing = Difference(NOTHING, NOTHING, NOTHING, (), frozenset())
    assert difference(TERN, TERN) == nothing
    assert difference(TERN, parse_vessel(format_vessel(TERN), "x")) == nothing


def _with_field(tag: str, field: str, value: object) -> Vessel:
    """Return the vessel with one field of one part changed and nothing else, as no edit leaves it."""

    def changed(parts: tuple[Any, ...]) -> tuple[Any, ...]:
        return tuple(msgspec.structs.replace(p, **{field: value}) if p.tag == tag else p for p in parts)

    return msgspec.structs.replace(
        TERN,
        components=changed(TERN.components),
        runs=changed(TERN.runs),
        cabins=changed(TERN.cabins),
    )


@pytest.mark.parametrize(
    ("tag", "field", "value", "kinds"),
    [
        ("P-1", "at", (5.0, 5.0), {"layout"}),
        ("P-1", "turn", 2, {"layout"}),
        ("R-1", "bends", (), {"layout"}),
        ("C-1", "outline", (), {"layout"}),
        ("P-1", "name", "main pump", {"text"}),
        ("R-1", "notes", "", {"text"}),
        ("P-1", "model", "x", {"text"}),
        ("R-1", "insulation", Insulation(thickness_mm=9.0), {"heat"}),
        ("R-1", "surroundings", "bilge", {"heat"}),
        ("R-1", "surroundings_temp_C", 30.0, {"heat"}),
        ("CH-1", "set_point_C", 6.0, {"heat"}),
        ("C-1", "set_point_C", 22.0, {"heat"}),
        ("C-1", "people", 3.0, {"heat"}),
        ("C-1", "surfaces", (Surface(kind="deck", area_m2=4.0),), {"heat"}),
        ("AH-1", "cabins", (), {"heat"}),
        ("P-1", "speed_percent", 90.0, {"hydraulic"}),
        ("P-1", "height_m", 1.0, {"hydraulic"}),
        ("P-1", "deck", "Main", {"hydraulic"}),
        ("R-1", "length_m", 9.0, {"hydraulic"}),
        ("R-1", "fittings", (), {"hydraulic"}),
    ],
)
def test_the_kind_of_a_change_of_a_part(tag: str, field: str, value: object, kinds: set[str]) -> None:
    new = _with_field(tag, field, value)
    found = difference(TERN, new)
    assert found.kinds == kinds
    assert [*found.components.changed, *found.runs.changed, *found.cabins.changed] == [tag]
    assert difference(new, TERN) == found


@pytest.mark.parametrize(
    ("field", "value", "kinds"),
    [
        ("name", "Eider", {"text"}),
        ("units", "si", {"text"}),
        ("scenarios", (), {"text"}),
        ("readings", (), {"text"}),
        ("underlays", (), {"layout"}),
        ("limits", Limits(), {"hydraulic"}),
        ("loop_liquid", LoopLiquid(), {"hydraulic", "heat"}),
        ("condition", "Summer", {"hydraulic", "heat"}),
    ],
)
def test_the_kind_of_a_change_of_the_vessel(field: str, value: object, kinds: set[str]) -> None:
    new = edits.set_vessel_field(TERN, field, value)
    found = difference(TERN, new)
    assert (found.fields, found.kinds) == ((field,), kinds)
    assert found.components == found.runs == found.cabins == NOTHING


def test_decks_count_as_hydraulic_since_heights_hang_on_them() -> None:
    new = edits.set_deck(TERN, "Main", Deck("Main", 2.4))
    assert difference(TERN, new).kinds == {"hydraulic"}


def test_parts_that_came_and_went() -> None:
    new = edits.remove(TERN, ["AH-1", "C-2"])
    new = edits.add_component(new, component("tee", "T-9"))
    found = difference(TERN, new)
    assert found.components == PartsDifference(("T-9",), ("AH-1",), ())
    assert found.runs == PartsDifference((), ("R-3", "R-4"), ())
    assert found.cabins == PartsDifference((), ("C-2",), ())
    assert found.kinds == {"layout", "hydraulic", "heat"}
    back = difference(new, TERN)
    assert back.components == PartsDifference(("AH-1",), ("T-9",), ())


def test_a_part_that_became_another_kind_is_changed_in_every_way() -> None:
    new = edits.replace_component(TERN, "STR-1", component("check_valve"))
    found = difference(TERN, new)
    assert found.components == PartsDifference((), (), ("STR-1",))
    assert {"layout", "hydraulic", "heat"} <= found.kinds


def test_a_cabin_more_is_no_matter_of_hydraulics() -> None:
    found = difference(TERN, edits.add_cabin(TERN, Cabin(tag="C-3")))
    assert (found.cabins.added, found.kinds) == (("C-3",), {"layout", "heat"})


@given(vessels(), vessels())
def test_differences_count_every_part_once(old: Vessel, new: Vessel) -> None:
    found = difference(old, new)
    for key, parts in (("components", found.components), ("runs", found.runs), ("cabins", found.cabins)):
        before = {part.tag: part for part in getattr(old, key)}
        after = {part.tag: part for part in getattr(new, key)}
        assert set(parts.added) == after.keys() - before.keys()
        assert set(parts.removed) == before.keys() - after.keys()
        assert set(parts.changed) == {
            tag for tag in after.keys() & before.keys() if before[tag] != after[tag]
        }
    same = {name for name in Vessel.__struct_fields__ if getattr(old, name) == getattr(new, name)}
    assert set(found.fields) == set(Vessel.__struct_fields__) - same - {"components", "runs", "cabins"}
    if not found.kinds:
        assert sorted(old.components, key=repr) == sorted(new.components, key=repr)


def test_a_difference_in_the_middle_of_many() -> None:
    vessel = line(50)
    new = edits.remove(edits.set_field(vessel, ["IV-20"], "opening_percent", 5.0), ["IV-30"])
    found = difference(vessel, new)
    assert found.components == PartsDifference((), ("IV-30",), ("IV-20",))
    assert found.runs == PartsDifference((), ("R-29", "R-30"), ())


def test_a_scenario_more_is_text() -> None:
    new = edits.add_scenario(TERN, Scenario("Shut", (Change("IV-1", "opening_percent", 0.0),)))
    assert difference(TERN, new).kinds == {"text"}
