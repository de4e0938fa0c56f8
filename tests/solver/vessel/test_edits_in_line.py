# SPDX-License-Identifier: MIT
"""Putting a component into a run and taking one out again."""

from __future__ import annotations

from typing import Any

import msgspec
import pytest
from hypothesis import given
from hypothesis import strategies as st

from solver.change import Change
from solver.errors import EditError
from solver.vessel import edits
from solver.vessel.checks import problems
from solver.vessel.components import KINDS
from solver.vessel.heights import heights
from solver.vessel.run import End, Fitting, Insulation, Run
from solver.vessel.vessel import Reading, ReadingSet, Scenario, Vessel
from tests.solver.vessel.boats import component, every_kind, line, run

TERN = every_kind()


def bent(**fields: Any) -> Vessel:
    """Return two valves 100 apart with one run between, drawn up, across and down."""
    vessel = line(2)
    full = {
        "length_m": 10.0,
        "rise_m": 2.0,
        "fittings": (Fitting("elbow_90", 4), Fitting("coupling", 1)),
        "extra_k": 3.0,
        "insulation": Insulation(),
        "service": "supply",
        "surroundings": "bilge",
        "length_known": "drawing",
        "length_plus_minus_percent": 10.0,
        "bends": ((110.0, -100.0), (190.0, -100.0)),
        "notes": "lagged",
        **fields,
    }
    return msgspec.structs.replace(vessel, runs=(msgspec.structs.replace(vessel.runs[0], **full),))


def reason(edit: Any, *arguments: Any) -> str:
    with pytest.raises(EditError) as caught:
        edit(*arguments)
    return str(caught.value)


# Splitting


def test_a_component_is_put_into_a_run() -> None:
    vessel = bent()
    new = edits.split_run(vessel, "R-1", 0.25, component("strainer", at=(110.0, -30.0)))
    assert new.components[:2] == vessel.components
    assert new.components[2].at == (110.0, -30.0)
    first, second = new.runs
    assert (first.tag, first.start, first.end) == ("R-1", End("IV-1", "outlet"), End("STR-1", "inlet"))
    assert (second.tag, second.start, second.end) == ("R-2", End("STR-1", "outlet"), End("IV-2", "inlet"))
    assert (first.length_m, second.length_m) == (2.5, 7.5)
    assert (first.rise_m, second.rise_m) == (0.5, 1.5)
    assert (first.extra_k, second.extra_k) == (0.75, 2.25)
    assert first.fittings == (Fitting("elbow_90", 1),)
    assert second.fittings == (Fitting("elbow_90", 3), Fitting("coupling", 1))
    # A quarter of the drawn way of 280 is on the way up.
    assert (first.bends, second.bends) == ((), vessel.runs[0].bends)
    for half in new.runs:
        assert (half.series, half.size, half.service, half.notes) == (
            "copper_en1057_thin",
            "22x0.9",
            "supply",
            "lagged",
        )
        assert (half.insulation, half.surroundings) == (Insulation(), "bilge")
        assert (half.length_known, half.length_plus_minus_percent) == ("drawing", 10.0)
    assert not problems(new)


@pytest.mark.parametrize(
    ("fraction", "before"), [(0.1, 0), (0.35, 0), (0.36, 1), (0.64, 1), (0.65, 2), (0.9, 2)]
)
def test_bends_stay_on_the_side_where_they_are_drawn(fraction: float, before: int) -> None:
    vessel = bent()
    first, second = edits.split_run(vessel, "R-1", fraction, component("strainer")).runs
    assert first.bends + second.bends == vessel.runs[0].bends
    assert len(first.bends) == before


@given(st.floats(0.001, 0.999), st.floats(0.01, 500), st.floats(-20, 20), st.integers(0, 50))
def test_totals_are_kept(fraction: float, length: float, rise: float, elbows: int) -> None:
    fittings = (Fitting("elbow_90", elbows),) if elbows else ()
    vessel = bent(length_m=length, rise_m=rise, fittings=fittings)
    new = edits.split_run(vessel, "R-1", fraction, component("strainer"))
    first, second = new.runs
    assert first.length_m + second.length_m == pytest.approx(length, rel=1e-15)
    assert first.rise_m is not None
    assert second.rise_m is not None
    assert first.rise_m + second.rise_m == pytest.approx(rise, rel=1e-12, abs=1e-12)
    assert first.extra_k + second.extra_k == pytest.approx(3.0, rel=1e-15)
    assert sum(fitting.count for half in new.runs for fitting in half.fittings) == elbows
    assert heights(new).by_tag["IV-2"] - heights(new).by_tag["IV-1"] == pytest.approx(rise, abs=1e-12)


def test_an_unknown_rise_stays_unknown() -> None:
    new = edits.split_run(bent(rise_m=None), "R-1", 0.5, component("strainer"))
    assert [half.rise_m for half in new.runs] == [None, None]


@pytest.mark.parametrize("kind", [kind for kind in KINDS if len(component(kind).ports) > 1])
def test_every_kind_with_two_ports_or_more_can_stand_in_a_run(kind: str) -> None:
    new = edits.split_run(bent(), "R-1", 0.5, component(kind, "NEW"))
    into, out = component(kind).ports[:2]
    assert (new.runs[0].end, new.runs[1].start) == (End("NEW", into), End("NEW", out))
    assert not problems(new)


@pytest.mark.parametrize("kind", [kind for kind in KINDS if len(component(kind).ports) == 1])
def test_a_kind_with_one_port_cannot(kind: str) -> None:
    assert reason(edits.split_run, bent(), "R-1", 0.5, component(kind)).endswith(
        "has one port and cannot stand in a run; put a tee there"
    )


def test_the_new_run_has_a_tag_that_the_component_does_not_take() -> None:
    new = edits.split_run(bent(), "R-1", 0.5, component("strainer", "R-2"))
    assert [half.tag for half in new.runs] == ["R-1", "R-3"]


def test_the_halves_stand_beside_each_other_in_the_file() -> None:
    new = edits.split_run(TERN, "R-5", 0.5, component("strainer", "STR-2"))
    assert [pipe.tag for pipe in new.runs[3:7]] == ["R-4", "R-5", "R-23", "R-6"]


@pytest.mark.parametrize("fraction", [0.0, 1.0, -0.5, 2.0, float("nan")])
def test_a_run_is_split_between_its_ends(fraction: float) -> None:
    assert reason(edits.split_run, bent(), "R-1", fraction, component("strainer")).startswith(
        "a run is split between its ends"
    )


@pytest.mark.parametrize(("fraction", "half"), [(1e-9, "R-1"), (1 - 1e-9, "R-2"), (1e-320, "R-1")])
def test_something_is_left_of_both_halves(fraction: float, half: str) -> None:
    assert reason(edits.split_run, bent(), "R-1", fraction, component("strainer")).startswith(
        f"length_m of {half}: out of range"
    )


def test_splitting_that_is_refused() -> None:
    assert reason(edits.split_run, bent(), "IV-1", 0.5, component("strainer")) == "IV-1 is not a run"
    assert reason(edits.split_run, bent(), "R-9", 0.5, component("strainer")).startswith(
        'no part has the tag "R-9"'
    )
    assert reason(edits.split_run, bent(), "R-1", 0.5, component("strainer", "IV-1")).startswith(
        "IV-1 is taken"
    )


# Healing


@pytest.mark.parametrize("fraction", [0.2, 0.5, 0.77])
def test_what_was_split_heals(fraction: float) -> None:
    vessel = bent()
    new = edits.heal(edits.split_run(vessel, "R-1", fraction, component("strainer")), "STR-1")
    assert new.components == vessel.components
    (joined,) = new.runs
    (old,) = vessel.runs
    for key in ("length_m", "rise_m", "extra_k", "length_plus_minus_percent"):
        assert getattr(joined, key) == pytest.approx(getattr(old, key), rel=1e-12)
    same = (
        "tag",
        "start",
        "end",
        "series",
        "size",
        "length_known",
        "fittings",
        "insulation",
        "service",
        "bends",
    )
    for key in same:
        assert getattr(joined, key) == getattr(old, key)


def two_runs(first: dict[str, Any], second: dict[str, Any], **middle: Any) -> Vessel:
    vessel = line(3)
    one, two = vessel.runs
    parts = list(vessel.components)
    parts[1] = msgspec.structs.replace(parts[1], **middle)
    return msgspec.structs.replace(
        vessel,
        components=tuple(parts),
        runs=(msgspec.structs.replace(one, **first), msgspec.structs.replace(two, **second)),
    )


def healed(first: dict[str, Any], second: dict[str, Any], **middle: Any) -> Run:
    (joined,) = edits.heal(two_runs(first, second, **middle), "IV-2").runs
    return joined


def test_two_runs_become_one() -> None:
    joined = healed(
        {
            "length_m": 3.0,
            "length_plus_minus_percent": 20.0,
            "extra_k": 1.0,
            "notes": "a",
            "service": "supply",
        },
        {
            "length_m": 1.0,
            "length_known": "guessed",
            "notes": "b",
            "bends": ((1.0, 2.0),),
            "insulation": Insulation(),
        },
    )
    assert (joined.tag, joined.start, joined.end) == ("R-1", End("IV-1", "outlet"), End("IV-3", "inlet"))
    assert (joined.length_m, joined.extra_k, joined.notes, joined.service) == (4.0, 1.0, "a\nb", "")
    assert (joined.length_known, joined.length_plus_minus_percent) == ("guessed", 15.0)
    assert (joined.insulation, joined.bends) == (None, ((1.0, 2.0),))


@pytest.mark.parametrize(
    ("first", "second", "height", "joined"),
    [
        (1.0, -0.25, None, 0.75),
        (1.0, -0.25, 7.0, 0.75),
        (None, None, None, None),
        (1.0, None, None, 1.0),
        (None, 1.0, None, 1.0),
        (1.0, None, 7.0, None),
    ],
)
def test_rises_add_up_where_both_are_known(
    first: float | None, second: float | None, height: float | None, joined: float | None
) -> None:
    assert healed({"rise_m": first}, {"rise_m": second}, height_m=height).rise_m == joined


def test_runs_that_point_at_each_other_are_joined_in_the_sense_of_the_first() -> None:
    second = {
        "start": End("IV-3", "inlet"),
        "end": End("IV-2", "outlet"),
        "rise_m": 0.5,
        "bends": ((1.0, 1.0), (2.0, 2.0)),
    }
    joined = healed({"rise_m": 2.0}, second)
    assert (joined.tag, joined.start, joined.end) == ("R-1", End("IV-1", "outlet"), End("IV-3", "inlet"))
    assert joined.rise_m == 1.5
    assert joined.bends == ((2.0, 2.0), (1.0, 1.0))


def test_runs_that_point_away_from_each_other_are_joined_too() -> None:
    first = {"start": End("IV-2", "inlet"), "end": End("IV-1", "outlet"), "rise_m": -2.0}
    joined = healed(first, {"rise_m": 0.5})
    heights_apart = joined.rise_m if joined.end.tag == "IV-3" else -(joined.rise_m or 0.0)
    assert {joined.start.tag, joined.end.tag} == {"IV-1", "IV-3"}
    assert heights_apart == 2.5


def test_what_named_the_gone_parts_goes() -> None:
    vessel = msgspec.structs.replace(
        line(3),
        scenarios=(Scenario("x", (Change("IV-2", "opening_percent", 5.0), Change("R-1", "length_m", 5.0))),),
        readings=(
            ReadingSet("2025-01-01", (Reading("R-2", "flow_L_s", 1.0), Reading("IV-1", "flow_L_s", 1.0))),
        ),
    )
    new = edits.heal(vessel, "IV-2")
    assert [change.tag for change in new.scenarios[0].changes] == ["R-1"]
    assert [reading.tag for reading in new.readings[0].readings] == ["IV-1"]
    assert not problems(new)


def test_healing_that_is_refused() -> None:
    vessel = line(3)
    assert reason(edits.heal, vessel, "R-1") == "R-1 is not a component"
    assert (
        reason(edits.heal, vessel, "IV-1") == "IV-1 does not stand between two runs (it has 2 ports, 1 runs)"
    )
    assert reason(edits.heal, TERN, "M-1").startswith(
        "M-1 does not stand between two runs (it has 4 ports, 2 runs)"
    )
    assert reason(edits.heal, two_runs({}, {"size": "28x0.9"}), "IV-2") == (
        "one run has one size: R-1 is copper_en1057_thin 22x0.9, R-2 copper_en1057_thin 28x0.9; "
        "make them alike first"
    )
    many = {"fittings": (Fitting("elbow_90", 700),)}
    assert reason(edits.heal, two_runs(many, many), "IV-2").startswith(
        "fittings[0].count of R-1: out of range"
    )


def test_a_run_round_one_component_is_no_line() -> None:
    vessel = line(1)
    ring = edits.add_run(vessel, run("R-1", ("IV-1", "outlet"), ("IV-1", "inlet")))
    assert "does not stand between two runs" in reason(edits.heal, ring, "IV-1")


def test_a_ring_of_two_heals_into_a_ring_of_one() -> None:
    vessel = edits.add_run(line(2), run("R-2", ("IV-2", "outlet"), ("IV-1", "inlet")))
    new = edits.heal(vessel, "IV-2")
    assert (new.runs[0].start, new.runs[0].end) == (End("IV-1", "outlet"), End("IV-1", "inlet"))
    assert not problems(new)
