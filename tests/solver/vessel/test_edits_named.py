# SPDX-License-Identifier: MIT
"""Edits of decks, spaces, surfaces, conditions, scenarios and the vessel's own fields."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from solver.change import Change
from solver.errors import EditError
from solver.vessel import edits
from solver.vessel.cabin import Surface
from solver.vessel.checks import problems
from solver.vessel.vessel import (
    Conditions,
    Deck,
    Limits,
    LoopLiquid,
    Method,
    Reading,
    ReadingSet,
    Scenario,
    Space,
    Underlay,
    Vessel,
)
from tests.solver.vessel.boats import every_kind

TERN = every_kind()


def reason(edit: Callable[..., Vessel], *arguments: Any) -> str:
    with pytest.raises(EditError) as caught:
        edit(TERN, *arguments)
    assert every_kind() == TERN
    return str(caught.value)


def test_spaces_are_added_changed_and_removed() -> None:
    new = edits.add_space(TERN, Space("Chain locker"))
    assert new.spaces[-1] == Space("Chain locker")
    assert edits.set_space(new, "Chain locker", Space("Chain locker", 25)).spaces[-1].temp_C == 25.0
    assert edits.remove_space(new, "Chain locker") == TERN
    assert 'the name "Paint locker" is taken' in reason(edits.add_space, Space("Paint locker"))
    assert reason(edits.remove_space, "Nowhere").startswith("no space is called")


@pytest.mark.parametrize(
    ("name", "told"),
    [
        (" PAINT  locker", "Paint locker is the same name"),
        ("Outdoors", "the name stands for the weather"),
        ("  ", "the name is blank"),
    ],
)
def test_names_of_spaces_that_are_not_accepted(name: str, told: str) -> None:
    assert told in reason(edits.add_space, Space(name))
    assert told in reason(edits.set_space, "engine room", Space(name))
    assert told in reason(edits.set_vessel_field, "spaces", (*TERN.spaces, Space(name)))


def test_surfaces_and_runs_follow_the_name_of_a_space() -> None:
    new = edits.set_space(TERN, "Paint locker", Space("Store", 38.0))
    assert new.cabins[0].surfaces[2].other_side == "Store"
    assert new.cabins[1] is TERN.cabins[1]
    new = edits.set_space(TERN, "engine room", Space("Machinery flat"))
    assert new.run_by_tag["R-1"].surroundings == "Machinery flat"
    assert new.run_by_tag["R-2"] is TERN.run_by_tag["R-2"]
    assert not problems(new)


def test_a_space_beyond_a_surface_stays() -> None:
    assert (
        reason(edits.remove_space, "Paint locker")
        == "1 cabins have space Paint locker beyond a surface (C-1); change them first"
    )
    # One of a usual name may go: what is usual takes its place.
    assert not problems(edits.remove_space(TERN, "engine room"))


def test_spaces_as_a_whole_keep_what_surfaces_name() -> None:
    assert "no such space" in reason(edits.set_vessel_field, "spaces", ())
    assert edits.set_vessel_field(TERN, "spaces", TERN.spaces[:1]).spaces == TERN.spaces[:1]


def test_surfaces_one_at_a_time() -> None:
    deck = Surface(kind="deck", area_m2=5.0)
    new = edits.add_surface(TERN, "C-2", deck)
    assert new.cabins[1].surfaces == (deck,)
    larger = Surface(kind="deck", area_m2=6.0)
    assert edits.set_surface(new, "C-2", 0, larger).cabins[1].surfaces == (larger,)
    assert edits.remove_surface(new, "C-2", 0) == TERN
    assert reason(edits.set_surface, "C-1", 3, deck) == "C-1 has no surface 3; accepted: 0 to 2"
    assert (
        reason(edits.remove_surface, "C-2", 0)
        == "C-2 has no surface 0; accepted: none, since it has no surfaces"
    )
    assert reason(edits.add_surface, "P-1", deck) == "P-1 is no cabin and has no surfaces"


@pytest.mark.parametrize(
    ("surface", "told"),
    [
        (Surface(kind="side", area_m2=0.0), "area_m2"),
        (Surface(kind="side", area_m2=1.0, construction="glass_single_clear"), "no construction of a side"),
        (Surface(kind="window", area_m2=1.0, construction="grp_single"), "no construction of a window"),
        (Surface(kind="side", area_m2=1.0, construction="grp_singel"), "grp_single? one of"),
        (Surface(kind="side", area_m2=1.0, other_side="engin room"), "engine room? one of"),
        (Surface(kind="side", area_m2=1.0, absorptance=1.5), "a number from 0 to 1"),
    ],
)
def test_surfaces_that_are_not_accepted(surface: Surface, told: str) -> None:
    assert told in reason(edits.add_surface, "C-2", surface)


def test_conditions_name_a_day_that_is_there() -> None:
    told = reason(edits.add_conditions, Conditions(name="Odd", month=4, day=31))
    assert "month 4 has no such day; found 31; accepted: a whole number from 1 to 30" in told
    assert edits.add_conditions(TERN, Conditions(name="Leap", month=2, day=29)).conditions[-1].day == 29


def test_decks_are_added_changed_and_removed() -> None:
    new = edits.add_deck(TERN, Deck("Sun", 4))
    assert new.decks[-1] == Deck("Sun", 4.0)
    assert edits.set_deck(new, "Sun", Deck("Sun", 4.5)).decks[-1].height_m == 4.5
    assert edits.remove_deck(new, "Sun") == TERN


def test_what_is_on_a_deck_follows_its_name() -> None:
    new = edits.set_deck(TERN, "Lower", Deck("Tank deck", -0.5))
    assert new.component_by_tag["AH-1"].deck == "Tank deck"
    assert new.underlays[0].deck == "Tank deck"
    assert new.component_by_tag["P-1"] is TERN.component_by_tag["P-1"]
    new = edits.set_deck(TERN, "Main", Deck("Upper", 1.9))
    assert new.cabins[0].deck == "Upper"
    assert not problems(new)


def test_a_deck_in_use_stays() -> None:
    assert reason(edits.remove_deck, "Lower") == "1 parts are on deck Lower (AH-1); move them first"
    only_underlay = edits.set_field(TERN, ["AH-1"], "deck", "")
    with pytest.raises(EditError, match="deck Lower has an underlay; remove it first"):
        edits.remove_deck(only_underlay, "Lower")
    crowded = edits.set_field(TERN, [part.tag for part in TERN.components[:6]], "deck", "Main")
    with pytest.raises(
        EditError, match=r"7 parts are on deck Main \(P-1, SP-1, CH-1 \.\.\.\); move them first"
    ):
        edits.remove_deck(crowded, "Main")


def test_conditions_are_added_changed_and_removed() -> None:
    new = edits.add_conditions(TERN, Conditions(name="Tropics", sea_temp_C=34))
    assert new.conditions[-1].sea_temp_C == 34.0
    assert edits.remove_conditions(new, "Tropics") == TERN
    new = edits.set_conditions(TERN, "Winter", Conditions(name="North", mode="heating"))
    assert (new.condition, new.current_conditions.name) == ("North", "North")
    new = edits.set_conditions(TERN, "Summer", Conditions(name="South"))
    assert new.condition == "Winter"


def test_removed_conditions_are_no_longer_current() -> None:
    new = edits.remove_conditions(TERN, "Winter")
    assert (new.condition, new.current_conditions.name) == ("", "Summer")
    assert not problems(new)
    with pytest.raises(EditError, match="Summer are the only conditions"):
        edits.remove_conditions(new, "Summer")


def test_scenarios_are_added_changed_and_removed() -> None:
    shut = Scenario("Shut", (Change("IV-1", "opening_percent", 0.0),))
    new = edits.add_scenario(TERN, shut)
    assert new.scenarios[-1] == shut
    assert edits.set_scenario(new, "Shut", Scenario("Open")).scenarios[-1] == Scenario("Open")
    assert edits.remove_scenario(new, "Shut") == TERN


@pytest.mark.parametrize(
    ("edit", "arguments", "why"),
    [
        (edits.add_deck, [Deck("Main")], 'the name "Main" is taken; each deck has its own'),
        (edits.add_deck, [Deck("")], "a deck needs a name"),
        (
            edits.add_deck,
            [Deck("Sun", float("nan"))],
            'height_m of deck "Sun": not a finite number; found NaN',
        ),
        (edits.set_deck, ["Sun", Deck("Sun")], 'no deck is called "Sun"; accepted: one of Lower, Main'),
        (edits.set_deck, ["Main", Deck("Lower")], 'the name "Lower" is taken'),
        (edits.remove_deck, ["main"], 'no deck is called "main"; accepted: Main? one of Lower, Main'),
        (edits.add_conditions, [Conditions(name="Summer")], 'the name "Summer" is taken'),
        (
            edits.add_conditions,
            [Conditions(name="Hot", sea_temp_C=99.0)],
            'sea_temp_C of conditions "Hot": out of range; found 99.0; accepted: a number from -2 to 40',
        ),
        (edits.set_conditions, ["Spring", Conditions(name="x")], 'no conditions is called "Spring"'),
        (edits.remove_conditions, ["Spring"], 'no conditions is called "Spring"'),
        (edits.add_scenario, [Scenario("Longer")], 'the name "Longer" is taken'),
        (
            edits.add_scenario,
            [Scenario("x", (Change("P-99", "speed_percent", 1.0),))],
            'scenarios[2].changes[0].tag of the vessel: no part has this tag; found "P-99"',
        ),
        (
            edits.set_scenario,
            ["Longer", Scenario("x", (Change("P-1", "speed", 1.0),))],
            "scenarios[1].changes[0].quantity of the vessel: P-1 has no such quantity",
        ),
        (edits.remove_scenario, ["x"], 'no scenario is called "x"; accepted: one of Pump slow, Longer'),
    ],
)
def test_names_and_values_that_are_not_accepted(edit: Any, arguments: list[Any], why: str) -> None:
    assert reason(edit, *arguments).startswith(why)


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("name", "Eider"),
        ("notes", "a\nb"),
        ("units", "si"),
        ("loop_liquid", LoopLiquid("water")),
        ("limits", Limits(velocity_max_m_s=2.0)),
        ("method", Method(tees="constant")),
        ("condition", ""),
        ("parts_list", ""),
        ("underlays", (Underlay(file="b.png", deck="Main"),)),
        ("readings", (ReadingSet("2025-01-02", (Reading("P-1", "head_m", 9.0),)),)),
        ("conditions", (Conditions(name="Winter"),)),
        ("scenarios", ()),
    ],
)
def test_a_field_of_the_vessel_is_set(field: str, value: Any) -> None:
    new = edits.set_vessel_field(TERN, field, value)
    assert getattr(new, field) == value
    assert new.components is TERN.components
    assert not problems(new)


@pytest.mark.parametrize(
    ("field", "value", "why"),
    [
        ("nme", "x", 'the vessel has no field "nme"; accepted: name? one of name, notes'),
        ("format", 2, "format of the vessel is not set as a whole: it is the program's"),
        ("components", (), "components of the vessel is not set as a whole: use add, remove, set_field"),
        ("decks", (), "decks of the vessel is not set as a whole: use add_deck, set_deck, remove_deck"),
        ("units", "imperial", "units of the vessel: unknown choice"),
        ("condition", "Spring", "condition of the vessel: no conditions have this name"),
        ("conditions", (), "conditions of the vessel: too few in the list"),
        ("conditions", (Conditions(name="Summer"),), "condition of the vessel: no conditions have this name"),
        ("loop_liquid", {"kind": "brine"}, "loop_liquid.kind of the vessel: unknown choice"),
        (
            "limits",
            {"velocity_max_m_s": 0},
            "limits.velocity_max_m_s of the vessel: out of range; found 0; accepted: a number above 0",
        ),
        ("readings", (ReadingSet("2025-13-02"),), "readings[0].date of the vessel: no such day"),
        (
            "readings",
            (ReadingSet("2025-01-02", (Reading("zzz", "head_m", 9.0),)),),
            "readings[0].readings[0].tag of the vessel: no part has this tag",
        ),
        (
            "scenarios",
            (Scenario("a"), Scenario("a")),
            "scenarios[1].name of the vessel: scenarios[0] has this name",
        ),
        (
            "underlays",
            (Underlay(file="b.png", deck="Sun"),),
            "underlays[0].deck of the vessel: no deck has this name",
        ),
    ],
)
def test_a_field_of_the_vessel_that_is_not_accepted(field: str, value: Any, why: str) -> None:
    assert reason(edits.set_vessel_field, field, value).startswith(why)


def test_a_cabin_pasted_elsewhere_forgets_spaces_not_there() -> None:
    elsewhere = Vessel(name="Gull", spaces=(Space("engine room", 44.0),))
    pasted = edits.paste(elsewhere, edits.clip(TERN, ["C-1"]), (0.0, 0.0))
    assert pasted.vessel.cabins[0].surfaces[2].other_side == ""
    assert "space Paint locker, which this vessel has not" in pasted.dropped
    assert not problems(pasted.vessel)
