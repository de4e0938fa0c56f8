# SPDX-License-Identifier: MIT
"""Ways of runs by hand: bends added, moved, taken out, segments moved, runs given back to the program."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from solver.vessel import edits
from solver.vessel.fields import Point
from solver.vessel.footprint import port_place
from solver.vessel.routing import legs, nearest_on, way
from solver.vessel.run import Fitting
from solver.vessel.takeoff import takeoff
from solver.vessel.vessel import Vessel
from tests.solver.vessel.drawings import SCALE, drawn, joined, leaves_ports_ahead, part, refused, untouched

#: 370 units of pipe straight to the right.
STRAIGHT = joined(
    drawn(part("P-1", "circulation_pump", (0, 0)), part("IV-1", "isolating_valve", (400, 0))),
    "P-1 outlet > IV-1 inlet",
)
#: Right, down at 200, right.
STEP = joined(
    drawn(part("P-1", "circulation_pump", (0, 0)), part("IV-1", "isolating_valve", (400, 150))),
    "P-1 outlet > IV-1 inlet",
)


def bends(vessel: Vessel) -> tuple[Point, ...]:
    return vessel.runs[0].bends


def test_a_bend_added_aside_leads_the_run_over_it() -> None:
    vessel = edits.add_bend(STRAIGHT, "R-1", (200, 60))
    run = vessel.runs[0]
    assert not run.routed
    assert nearest_on(way(vessel, run), (200, 60)).at == (200, 60)
    assert leaves_ports_ahead(vessel, run)
    assert run.length_m == pytest.approx(((20 + 370 + 10) + 2 * 60) * SCALE)
    assert untouched(STRAIGHT, vessel, "R-1")


def test_a_second_bend_keeps_the_first() -> None:
    vessel = edits.add_bend(STRAIGHT, "R-1", (120, 60))
    vessel = edits.add_bend(vessel, "R-1", (300, -60))
    points = way(vessel, vessel.runs[0])
    for pin in ((120.0, 60.0), (300.0, -60.0)):
        assert nearest_on(points, pin).at == pin


def test_a_segment_between_two_bends_moves_sideways() -> None:
    vessel = edits.move_segment(STEP, "R-1", 1, (260, 77))
    assert bends(vessel) == ((260, 0), (260, 150))
    assert not vessel.runs[0].routed
    assert vessel.runs[0].length_m == STEP.runs[0].length_m


def test_a_segment_at_a_port_keeps_a_short_piece_there() -> None:
    vessel = edits.move_segment(STEP, "R-1", 0, (100, -40))
    assert bends(vessel) == ((30, 0), (30, -40), (200, -40), (200, 150))
    assert vessel.runs[0].fittings == (Fitting("elbow_90", 4),)
    assert leaves_ports_ahead(vessel, vessel.runs[0])


def test_a_straight_run_steps_aside_between_its_ports() -> None:
    vessel = edits.move_segment(STRAIGHT, "R-1", 0, (200, 50))
    assert bends(vessel) == ((30, 0), (30, 50), (380, 50), (380, 0))


def test_a_segment_moved_to_where_it_is_changes_nothing() -> None:
    assert edits.move_segment(STEP, "R-1", 1, (200, 300)) is STEP


def test_a_bend_moves_with_the_legs_at_it() -> None:
    four = edits.move_segment(STRAIGHT, "R-1", 0, (200, 50))
    vessel = edits.bend(four, "R-1", 1, (80, 70))
    assert bends(vessel) == ((80, 0), (80, 70), (380, 70), (380, 0))


def test_a_bend_next_to_a_port_steps_aside_there() -> None:
    vessel = edits.bend(STEP, "R-1", 0, (240, 30))
    points = way(vessel, vessel.runs[0])
    assert (240, 30) in points
    assert leaves_ports_ahead(vessel, vessel.runs[0])


def test_a_bend_taken_out_takes_a_neighbour_along() -> None:
    four = edits.move_segment(STRAIGHT, "R-1", 0, (200, 50))
    vessel = edits.remove_bend(four, "R-1", 1)
    assert bends(vessel) == ()
    assert vessel.runs[0].length_m == STRAIGHT.runs[0].length_m


def test_a_bend_that_a_run_needs_stays() -> None:
    for index in (0, 1):
        error = refused(edits.remove_bend, STEP, "R-1", index)
        assert "R-1 needs this bend" in str(error)
        assert error.tags == ("R-1",)


def test_a_run_given_back_to_the_program_is_as_it_was() -> None:
    assert edits.straighten(edits.add_bend(STRAIGHT, "R-1", (200, 60)), ["R-1"]) == STRAIGHT
    assert edits.straighten(edits.move_segment(STEP, "R-1", 1, (260, 77)), "R-1") == STEP


def test_corners_are_those_that_are_drawn() -> None:
    assert edits.corners(STEP, "R-1") == ((200, 0), (200, 150))
    assert edits.corners(STRAIGHT, "R-1") == ()


def test_bends_and_segments_that_are_not_there() -> None:
    tries: list[tuple[Any, Vessel, tuple[Any, ...], str]] = [
        (edits.bend, STEP, ("R-1", 2, (0, 0)), "R-1 has no bend 2; accepted: 0 to 1"),
        (
            edits.bend,
            STRAIGHT,
            ("R-1", 0, (0, 0)),
            "R-1 has no bend 0; accepted: none, since the run goes straight",
        ),
        (edits.remove_bend, STEP, ("R-1", -1), "R-1 has no bend -1; accepted: 0 to 1"),
        (edits.move_segment, STRAIGHT, ("R-1", 1, (0, 50)), "R-1 has no segment 1; accepted: 0"),
        (edits.add_bend, STEP, ("P-1", (0, 0)), "P-1 is not a run"),
        (edits.straighten, STEP, (["P-1"],), "P-1 is not a run"),
    ]
    for edit, vessel, arguments, words in tries:
        assert str(refused(edit, vessel, *arguments)) == words


def test_a_point_beyond_the_drawing_is_refused() -> None:
    for edit, arguments in ((edits.add_bend, ((1e99, 0.0),)), (edits.move_segment, (0, (0.0, 1e99)))):
        error = refused(edit, STRAIGHT, "R-1", *arguments)
        assert "bends" in str(error)


@given(
    points=st.lists(
        st.tuples(st.integers(-10, 50), st.integers(-20, 30)).map(lambda p: (p[0] * 10.0, p[1] * 10.0)),
        min_size=1,
        max_size=5,
    ),
    data=st.data(),
)
def test_however_a_run_is_bent_it_ends_at_its_ports_and_has_one_elbow_a_corner(
    points: list[Point], data: st.DataObject
) -> None:
    vessel = STEP
    for to in points:
        count = len(edits.corners(vessel, "R-1"))
        what = data.draw(st.sampled_from(["add", "segment", "bend"] if count else ["add", "segment"]))
        if what == "add":
            vessel = edits.add_bend(vessel, "R-1", to)
        elif what == "segment":
            vessel = edits.move_segment(vessel, "R-1", data.draw(st.integers(0, count)), to)
        else:
            vessel = edits.bend(vessel, "R-1", data.draw(st.integers(0, count - 1)), to)
        (run,) = vessel.runs
        drawn_way = way(vessel, run)
        assert drawn_way[0] == port_place(vessel.components[0], "outlet")
        assert drawn_way[-1] == port_place(vessel.components[1], "inlet")
        assert all((a[0] == b[0]) != (a[1] == b[1]) for a, b in legs(drawn_way))
        assert sum(fitting.count for fitting in run.fittings) == len(drawn_way) - 2
        assert run.length_m == takeoff(vessel, run).drawn_m
