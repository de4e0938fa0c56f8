# SPDX-License-Identifier: MIT
"""Lengths and elbows off the drawing, against a take-off by hand of a small loop on two decks.

The drawing is to 0.05 m a unit.  By hand, as a fitter takes it off a plan: pipe along the axes from
middle to middle of valves, pumps and tees, to the connection of an air handler, plus the rise between
decks; one elbow a corner, and two for a rise, which the plan does not show (common practice).
"""

from __future__ import annotations

import math
from typing import Any

import msgspec
import pytest
from hypothesis import given
from hypothesis import strategies as st

from solver.vessel import edits
from solver.vessel.routing import way
from solver.vessel.run import MOST_FITTINGS, End, Fitting, Run
from solver.vessel.takeoff import (
    ASSUMED_METRES_PER_UNIT,
    ASSUMED_PLUS_MINUS_PERCENT,
    LEAST_RISE_WITH_ELBOWS_M,
    follows_drawing,
    measured,
    scale_by_two_points,
    takeoff,
)
from solver.vessel.vessel import Deck, Underlay, Vessel
from tests.solver.vessel.drawings import drawn, part, refused, untouched, with_run

DECKS = (Deck("Lower", -0.5, 0.05), Deck("Main", 1.9, 0.05))


def loop() -> Vessel:
    """A pump on the lower deck, an air handler and its valve on the main deck."""
    vessel = drawn(
        part("P-1", "circulation_pump", (0, 0), deck="Lower", height_m=0.4),
        part("AH-1", "air_handler", (200, -150), height_m=1.1),
        part("IV-1", "isolating_valve", (220, -40), 1, height_m=1.1),
        decks=DECKS,
    )
    pins = ((220.0, 60.0), (-60.0, 60.0), (-60.0, 0.0))
    vessel = edits.connect(vessel, End("P-1", "outlet"), End("AH-1", "water_in"), via=[(180, 0)])
    vessel = edits.connect(vessel, End("AH-1", "water_out"), End("IV-1", "inlet"))
    return edits.connect(vessel, End("IV-1", "outlet"), End("P-1", "inlet"), via=pins)


LOOP = loop()


def test_the_drawing_is_the_one_that_was_taken_off_by_hand() -> None:
    assert [way(LOOP, run) for run in LOOP.runs] == [
        ((20, 0), (180, 0), (180, -120)),
        ((220, -120), (220, -50)),
        ((220, -30), (220, 60), (-60, 60), (-60, 0), (-20, 0)),
    ]


@pytest.mark.parametrize(
    ("tag", "metres", "elbows"),
    [
        # 20 in the pump, 160, 120: 300 units are 15.0 m; from -0.1 m up to 3.0 m are 3.1 m.
        ("R-1", 15.0 + 3.1, 1 + 2),
        # 70, and 10 to the middle of the valve: 80 units are 4.0 m; no rise.
        ("R-2", 4.0, 0),
        # 10 in the valve, 90, 280, 60, 40, 20 in the pump: 500 units are 25.0 m; 3.1 m down.
        ("R-3", 25.0 + 3.1, 3 + 2),
    ],
)
def test_lengths_and_elbows_are_those_taken_off_by_hand(tag: str, metres: float, elbows: int) -> None:
    run = LOOP.run_by_tag[tag]
    assert run.length_m == pytest.approx(metres, abs=1e-9)
    assert run.fittings == ((Fitting("elbow_90", elbows),) if elbows else ())
    assert (run.length_known, run.fittings_known) == ("drawing", "drawing")


def test_the_whole_loop_is_as_long_as_taken_off_by_hand() -> None:
    assert sum(run.length_m for run in LOOP.runs) == pytest.approx(50.2)
    assert sum(fitting.count for run in LOOP.runs for fitting in run.fittings) == 8


def test_what_a_takeoff_tells() -> None:
    found = takeoff(LOOP, LOOP.runs[0])
    assert (found.run, found.bends, found.rise_elbows) == ("R-1", 1, 2)
    assert (found.level_m, found.rise_m) == (pytest.approx(15.0), pytest.approx(3.1))
    assert found.drawn_m == found.length_m == pytest.approx(18.1)
    assert (found.metres_per_unit, found.scale_from) == (0.05, "Lower, Main")
    assert found.drawn_fittings == found.fittings == (Fitting("elbow_90", 3),)
    assert found.tees == ()
    assert takeoff(LOOP, LOOP.runs[2]).rise_m == pytest.approx(-3.1)


def test_tees_are_named_and_never_counted_among_the_fittings() -> None:
    vessel = edits.join(
        edits.place(LOOP, part("FP-1", "fill_point", (150, 150), 2)),
        End("FP-1", "connection"),
        edits.OnRun("R-3", (150, 60)),
    )
    run = vessel.run_by_tag["R-3"]
    assert takeoff(vessel, run).tees == ("T-1",)
    assert {fitting.kind for one in vessel.runs for fitting in one.fittings} == {"elbow_90"}


# Rises


def test_a_deck_that_is_moved_up_lengthens_the_rises_to_it() -> None:
    vessel = edits.set_deck(LOOP, "Main", msgspec.structs.replace(DECKS[1], height_m=2.9))
    lengths = [after.length_m - before.length_m for before, after in zip(LOOP.runs, vessel.runs, strict=True)]
    assert lengths == pytest.approx([1.0, 0.0, 1.0])
    assert vessel.runs[1] is LOOP.runs[1]


def test_two_elbows_come_with_a_rise_and_go_without() -> None:
    level = edits.set_fields(LOOP, ["AH-1", "IV-1"], {"height_m": -2.0})
    assert [takeoff(level, run).rise_elbows for run in level.runs] == [0, 0, 0]
    assert level.runs[0].fittings == (Fitting("elbow_90", 1),)
    for rise, elbows in ((LEAST_RISE_WITH_ELBOWS_M - 0.01, 0), (LEAST_RISE_WITH_ELBOWS_M, 2), (-0.5, 2)):
        run = edits.set_fields(LOOP, ["R-2"], {"rise_m": rise}).run_by_tag["R-2"]
        assert sum(fitting.count for fitting in run.fittings) == elbows
        assert run.length_m == pytest.approx(4.0 + abs(rise))


def test_the_rise_of_a_run_itself_counts_before_that_of_its_ends() -> None:
    run = edits.set_fields(LOOP, ["R-1"], {"rise_m": 1.0}).run_by_tag["R-1"]
    assert run.length_m == pytest.approx(16.0)


# What is typed, what is assumed


def test_typed_lengths_and_fittings_stay_as_they_are() -> None:
    typed = edits.set_fields(LOOP, ["R-1"], {"length_m": 20.0, "fittings": (Fitting("elbow_45", 3),)})
    run = typed.run_by_tag["R-1"]
    assert (run.length_known, run.fittings_known) == ("measured", "typed")
    moved = edits.move(typed, ["AH-1"], 0, -100).run_by_tag["R-1"]
    assert (moved.length_m, moved.fittings) == (20.0, (Fitting("elbow_45", 3),))
    found = takeoff(typed, run)
    assert (found.length_from, found.fittings_from) == ("measured", "typed")
    assert found.drawn_m == pytest.approx(18.1)
    assert not follows_drawing(run)


def test_other_fittings_stay_beside_the_elbows_of_the_drawing() -> None:
    given = (Fitting("elbow_45", 2), Fitting("bend_90_r3", 9), Fitting("ball_valve", 1))
    run = measured(with_run(LOOP, "R-1", fittings=given)).run_by_tag["R-1"]
    # Corners are bends of the kind that the run has.
    assert run.fittings == (Fitting("bend_90_r3", 3), Fitting("elbow_45", 2), Fitting("ball_valve", 1))


def without_scale(vessel: Vessel) -> Vessel:
    decks = tuple(msgspec.structs.replace(deck, metres_per_unit=None) for deck in vessel.decks)
    return measured(msgspec.structs.replace(vessel, decks=decks))


def test_without_a_scale_a_length_off_the_drawing_stays() -> None:
    assert [run.length_m for run in without_scale(LOOP).runs] == [run.length_m for run in LOOP.runs]


def test_an_assumed_length_is_one_off_the_drawing_as_soon_as_there_is_a_scale() -> None:
    bare = without_scale(LOOP)
    bare = edits.set_fields(
        bare,
        ["R-2"],
        {"length_known": "assumed", "length_plus_minus_percent": ASSUMED_PLUS_MINUS_PERCENT},
    )
    assert bare.run_by_tag["R-2"].length_m == pytest.approx(80 * ASSUMED_METRES_PER_UNIT)
    scaled = scale_by_two_points(bare, "", (0, 0), (100, 0), 10.0).run_by_tag["R-2"]
    assert scaled.length_m == pytest.approx(8.0)
    assert (scaled.length_known, scaled.length_plus_minus_percent) == ("drawing", 0.0)


def test_between_two_scales_it_is_their_mean() -> None:
    vessel = scale_by_two_points(LOOP, "Main", (0, 0), (30, 40), 5.0)
    # 0.05 on the lower deck, 0.1 on the main deck.
    assert takeoff(vessel, vessel.runs[0]).metres_per_unit == pytest.approx(0.075)
    assert vessel.runs[0].length_m == pytest.approx(300 * 0.075 + 3.1)
    assert takeoff(vessel, vessel.runs[1]).scale_from == "Main"


def test_parts_on_no_deck_go_by_the_deck_of_the_other_end() -> None:
    vessel = scale_by_two_points(LOOP, "Main", (0, 0), (100, 0), 10.0)
    off = edits.set_fields(vessel, ["P-1"], {"deck": ""})
    assert takeoff(off, off.runs[0]).scale_from == "Main"
    off = edits.set_fields(off, ["AH-1"], {"deck": ""})
    assert takeoff(off, off.runs[0]).scale_from == "Lower"


# Scale by two points


def test_two_points_and_their_distance_scale_deck_underlay_and_lengths() -> None:
    underlays = (Underlay(file="plan.png", deck="Main"), Underlay(file="lower.png", deck="Lower"))
    vessel = msgspec.structs.replace(LOOP, underlays=underlays)
    scaled = scale_by_two_points(vessel, "Main", (100, 50), (100, 250), 20.0)
    assert [deck.metres_per_unit for deck in scaled.decks] == [0.05, 0.1]
    assert [underlay.metres_per_unit for underlay in scaled.underlays] == [0.1, underlays[1].metres_per_unit]
    assert scaled.runs[1].length_m == pytest.approx(8.0)
    assert untouched(vessel, scaled, "R-1", "R-2", "R-3")


def test_a_vessel_without_decks_gets_one() -> None:
    bare = Vessel(name="Tern")
    assert scale_by_two_points(bare, "", (0, 0), (100, 0), 4.0).decks == (Deck("Deck", 0.0, 0.04),)


def test_scales_that_make_no_sense_are_refused() -> None:
    tries: list[tuple[tuple[Any, ...], str]] = [
        (("Sun", (0, 0), (9, 0), 1.0), 'no deck is called "Sun"; accepted: one of Lower, Main'),
        (("Main", (5, 5), (5, 5.5), 1.0), "the two points are one"),
        (("Main", (0, 0), (math.nan, 0), 1.0), "the two points are one"),
        (("Main", (0, 0), (9, 0), 0.0), "found 0.0; accepted: a number of metres above 0"),
        (("Main", (0, 0), (9, 0), math.inf), "accepted: a number of metres above 0"),
        (("Main", (0, 0), (1e9, 0), 1e-9), "metres_per_unit of deck"),
    ]
    for arguments, words in tries:
        assert words in str(refused(scale_by_two_points, LOOP, *arguments)), arguments


# Limits


def test_more_corners_than_a_file_holds_in_one_line_are_two_lines() -> None:
    zigzag = tuple((30.0 + 10 * (n // 2), 10.0 * (n % 4 in (1, 2))) for n in range(MOST_FITTINGS + 200))
    run = measured(with_run(LOOP, "R-1", bends=zigzag, routed=False)).run_by_tag["R-1"]
    assert run.fittings[0] == Fitting("elbow_90", MOST_FITTINGS)
    assert sum(fitting.count for fitting in run.fittings) == len(way(LOOP, run)) - 2 + 2


def test_only_the_runs_asked_for_are_measured() -> None:
    off = with_run(with_run(LOOP, "R-1", length_m=1.0), "R-2", length_m=1.0)
    lengths = [run.length_m for run in measured(off, ["R-2", "P-1"]).runs]
    assert lengths[:2] == [1.0, pytest.approx(4.0)]


def test_measuring_what_is_up_to_date_gives_the_same_vessel() -> None:
    assert measured(LOOP) is LOOP


@given(dx=st.integers(-30, 30), dy=st.integers(-8, 8), scale=st.floats(0.005, 0.5))
def test_lengths_are_in_proportion_to_the_scale(dx: int, dy: int, scale: float) -> None:
    moved = edits.move(LOOP, ["AH-1", "IV-1"], dx * 10.0, dy * 10.0)
    scaled = scale_by_two_points(moved, "", (0, 0), (1000, 0), 1000 * scale)

    def level(run: Run) -> float:
        return run.length_m - abs(takeoff(moved, run).rise_m)

    for before, after in zip(moved.runs, scaled.runs, strict=True):
        assert level(after) / scale == pytest.approx(level(before) / 0.05, abs=0.001 / scale + 0.02)
