# SPDX-License-Identifier: MIT
"""Deleting: runs close again where parts stood in them, and tees that branch nothing go."""

from __future__ import annotations

import msgspec
import pytest
from hypothesis import given
from hypothesis import strategies as st

from solver.change import Change
from solver.vessel import edits
from solver.vessel.run import End, Fitting
from solver.vessel.vessel import Cabin, Reading, ReadingSet, Scenario, Vessel
from tests.solver.vessel.boats import line
from tests.solver.vessel.drawings import drawn, joined, part, refused, untouched, with_run

#: Pump, strainer and valve in one pipe, an air handler on a tee between.
ROOM = joined(
    drawn(
        part("P-1", "circulation_pump", (0, 0)),
        part("STR-1", "strainer", (120, 0)),
        part("T-1", "tee", (240, 0), 2),
        part("IV-1", "isolating_valve", (360, 0)),
        part("AH-1", "air_handler", (260, -120)),
    ),
    "P-1 outlet > STR-1 inlet",
    "STR-1 outlet > T-1 run_2",
    "T-1 run_1 > IV-1 inlet",
    "T-1 branch > AH-1 water_in",
)


def tags(vessel: Vessel) -> list[str]:
    return [one.tag for one in (*vessel.components, *vessel.runs)]


# Runs close again


def test_a_part_in_line_goes_and_its_runs_become_one() -> None:
    vessel = edits.delete(ROOM, ["STR-1"])
    assert tags(vessel) == ["P-1", "T-1", "IV-1", "AH-1", "R-1", "R-3", "R-4"]
    healed = vessel.run_by_tag["R-1"]
    assert (healed.start, healed.end) == (End("P-1", "outlet"), End("T-1", "run_2"))
    assert healed.bends == ()
    assert untouched(ROOM, vessel, "STR-1", "R-1", "R-2")


def test_typed_lengths_and_fittings_add_up() -> None:
    more = {"length_known": "measured", "fittings_known": "typed"}
    typed = with_run(ROOM, "R-1", length_m=3.0, fittings=(Fitting("elbow_90", 2),), extra_k=0.5, **more)
    typed = with_run(typed, "R-2", length_m=4.5, fittings=(Fitting("elbow_90"), Fitting("elbow_45")), **more)
    healed = edits.delete(typed, ["STR-1"]).run_by_tag["R-1"]
    assert healed.length_m == pytest.approx(7.5)
    assert healed.fittings == (Fitting("elbow_90", 3), Fitting("elbow_45", 1))
    assert healed.extra_k == 0.5


def test_a_length_is_known_as_well_as_the_worse_of_the_two() -> None:
    typed = with_run(ROOM, "R-1", length_m=2.0, length_known="measured", length_plus_minus_percent=0.0)
    typed = with_run(typed, "R-2", length_m=6.0, length_known="guessed", length_plus_minus_percent=20.0)
    healed = edits.delete(typed, ["STR-1"]).run_by_tag["R-1"]
    assert healed.length_known == "guessed"
    # 20 % of 6 m on 8 m.
    assert healed.length_plus_minus_percent == pytest.approx(15.0)


def test_lengths_off_the_drawing_are_those_of_the_drawing() -> None:
    before = ROOM.run_by_tag["R-1"].length_m + ROOM.run_by_tag["R-2"].length_m
    assert edits.delete(ROOM, ["STR-1"]).run_by_tag["R-1"].length_m == pytest.approx(before, abs=0.002)


def test_dropping_and_deleting_is_as_before() -> None:
    dropped = edits.drop_on_run(ROOM, "regulating_valve", "R-3", (300, 0))
    again = edits.delete(dropped, [dropped.components[-1].tag])
    assert again == ROOM


def test_two_sizes_of_pipe_are_told() -> None:
    sized = with_run(ROOM, "R-2", size="32x3.0")
    error = refused(edits.delete, sized, ["STR-1"])
    assert str(error) == (
        "STR-1 stands between R-1 (26x3.0) and R-2 (32x3.0), and one run has one size; make them alike "
        "first, or delete one of them with it"
    )
    assert error.tags == ("STR-1", "R-1", "R-2")


def test_with_one_of_its_runs_a_part_in_line_just_goes() -> None:
    sized = with_run(ROOM, "R-2", size="32x3.0")
    vessel = edits.delete(sized, ["STR-1", "R-2"])
    # The tee is left with two runs and goes as well.
    assert tags(vessel) == ["P-1", "IV-1", "AH-1", "R-4"]


def test_several_in_one_pipe_leave_one_run() -> None:
    row = line(6)
    vessel = edits.delete(row, [one.tag for one in row.components[1:-1]])
    (left,) = vessel.runs
    assert (left.start.tag, left.end.tag) == (row.components[0].tag, row.components[-1].tag)
    assert left.length_m == pytest.approx(sum(run.length_m for run in row.runs))


def test_a_part_in_a_ring_of_its_own_goes_with_the_run() -> None:
    ring = joined(
        drawn(part("IV-1", "isolating_valve", (0, 0)), part("IV-2", "isolating_valve", (100, 0))),
        "IV-1 outlet > IV-2 inlet",
        "IV-2 outlet > IV-1 inlet",
    )
    assert tags(edits.delete(ring, ["IV-1", "IV-2"])) == []


# Branches and tees


def test_a_branch_that_goes_takes_its_tee_along() -> None:
    for gone in ("AH-1", "R-4"):
        vessel = edits.delete(ROOM, [gone])
        assert "T-1" not in vessel.component_by_tag
        main = vessel.run_by_tag["R-2"]
        assert (main.start, main.end) == (End("STR-1", "outlet"), End("IV-1", "inlet"))


def test_a_tee_between_two_sizes_stays() -> None:
    vessel = edits.delete(with_run(ROOM, "R-3", size="20x2.0"), ["AH-1"])
    assert tags(vessel) == ["P-1", "STR-1", "T-1", "IV-1", "R-1", "R-2", "R-3"]


def test_a_locked_tee_stays() -> None:
    assert "T-1" in edits.delete(edits.lock(ROOM, ["T-1"]), ["AH-1"]).component_by_tag


def test_a_tee_that_has_no_run_left_goes() -> None:
    assert tags(edits.delete(ROOM, ["R-2", "R-3", "R-4"])) == ["P-1", "STR-1", "IV-1", "AH-1", "R-1"]


def test_a_tee_that_is_deleted_takes_its_three_runs_along() -> None:
    assert tags(edits.delete(ROOM, ["T-1"])) == ["P-1", "STR-1", "IV-1", "AH-1", "R-1"]


def test_a_whole_branch_of_valves_and_air_handler_leaves_the_main_alone() -> None:
    settings = edits.first_settings()
    bare = edits.delete(ROOM, ["AH-1"])
    grown = edits.place_branch(bare, settings, edits.OnRun("R-2", (240, 0)), None, (240, -150), deck="Main")
    new = [one.tag for one in grown.components if one.tag not in bare.component_by_tag and one.tag != "T-1"]
    assert len(new) == 4
    assert edits.delete(grown, new) == bare


# What names the parts


def test_readings_and_changes_go_with_what_they_name() -> None:
    told = msgspec.structs.replace(
        ROOM,
        readings=(
            ReadingSet("2026-05-01", (Reading("STR-1", "drop_kPa", 9.0), Reading("R-2", "flow_L_s", 0.4))),
        ),
        scenarios=(
            Scenario(
                "Dirty", (Change("STR-1", "clogging_percent", 60.0), Change("P-1", "speed_percent", 80.0))
            ),
        ),
    )
    vessel = edits.delete(told, ["STR-1"])
    assert vessel.readings[0].readings == ()
    assert vessel.scenarios[0].changes == (Change("P-1", "speed_percent", 80.0),)


def test_a_cabin_goes_and_its_air_handler_forgets_it() -> None:
    cabins = (Cabin(tag="C-1", deck="Main"), Cabin(tag="C-2", deck="Main"))
    vessel = msgspec.structs.replace(ROOM, cabins=cabins)
    vessel = edits.set_fields(vessel, ["AH-1"], {"cabins": ("C-1", "C-2")})
    vessel = edits.delete(vessel, ["C-1"])
    assert [cabin.tag for cabin in vessel.cabins] == ["C-2"]
    assert vessel.component_by_tag["AH-1"].cabins == ("C-2",)  # type: ignore[union-attr]


# What is refused


def test_what_is_locked_or_ends_at_a_locked_run_stays() -> None:
    cases = {
        "STR-1": (["STR-1"], "STR-1 is locked; unlock it before it is removed"),
        "R-4": (["AH-1"], "R-4 is locked and ends at AH-1; unlock it before AH-1 is removed"),
        "P-1": (["STR-1", "P-1"], "P-1 is locked; unlock it before it is removed"),
    }
    for locked, (chosen, words) in cases.items():
        assert str(refused(edits.delete, edits.lock(ROOM, [locked]), chosen)) == words


def test_a_tag_that_is_not_there() -> None:
    assert str(refused(edits.delete, ROOM, ["STR-2"])) == 'no part has the tag "STR-2"; STR-1?'


def test_the_last_branch_of_a_main_leaves_a_tee_that_waits_for_more() -> None:
    at_end = edits.delete(ROOM, ["IV-1", "AH-1"])
    assert tags(at_end) == ["P-1", "STR-1", "T-1", "R-1", "R-2"]


@given(data=st.data())
def test_in_what_order_parts_were_chosen_does_not_matter(data: st.DataObject) -> None:
    chosen = data.draw(st.lists(st.sampled_from(tags(ROOM)), unique=True))
    again = data.draw(st.permutations(chosen))
    assert edits.delete(ROOM, chosen) == edits.delete(ROOM, again)
