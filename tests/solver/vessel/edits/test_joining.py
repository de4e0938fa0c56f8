# SPDX-License-Identifier: MIT
"""Runs between ports, from runs and to runs; what they inherit; what cannot be joined and why."""

from __future__ import annotations

import msgspec
import pytest

from solver.vessel import edits
from solver.vessel.edits import OnRun, RunDefaults
from solver.vessel.fields import Point
from solver.vessel.footprint import port_place
from solver.vessel.run import End, Insulation
from solver.vessel.takeoff import ASSUMED_PLUS_MINUS_PERCENT
from solver.vessel.vessel import Vessel
from tests.solver.vessel.drawings import (
    SCALE,
    drawn,
    joined,
    leaves_ports_ahead,
    part,
    refused,
    untouched,
    with_run,
)

FOAM = Insulation(thickness_mm=19.0)

#: A pump, a valve 300 units to its right and an air handler above the pipe between.
ROOM = drawn(
    part("P-1", "circulation_pump", (0, 0)),
    part("IV-1", "isolating_valve", (310, 0)),
    part("AH-1", "air_handler", (160, -120)),
)
WITH_RUN = joined(ROOM, "P-1 outlet > IV-1 inlet")


def end(text: str) -> End:
    return End(*text.split())


# Port to port


def test_a_new_run_is_measured_on_the_drawing() -> None:
    (run,) = WITH_RUN.runs
    # From the middle of the pump, through 280 units of pipe, to the middle of the valve.
    assert run.length_m == pytest.approx((20 + 280 + 10) * SCALE)
    assert (run.length_known, run.fittings_known, run.fittings) == ("drawing", "drawing", ())
    assert run.length_plus_minus_percent == 0.0
    assert untouched(ROOM, WITH_RUN)


def test_without_a_scale_the_length_is_assumed_and_says_how_well_it_is_known() -> None:
    room = msgspec.structs.replace(
        ROOM, decks=(msgspec.structs.replace(ROOM.decks[0], metres_per_unit=None),)
    )
    (run,) = joined(room, "P-1 outlet > IV-1 inlet").runs
    assert run.length_known == "assumed"
    assert run.length_plus_minus_percent == ASSUMED_PLUS_MINUS_PERCENT


def test_a_run_takes_its_pipe_from_the_run_it_goes_on_from() -> None:
    vessel = with_run(WITH_RUN, "R-1", series="copper_en1057_thin", size="28x0.9", insulation=FOAM)
    vessel = with_run(vessel, "R-1", surroundings="engine room", service="supply")
    vessel = edits.place(vessel, part("IV-2", "isolating_valve", (500, 0)))
    run = joined(vessel, "IV-1 outlet > IV-2 inlet").runs[-1]
    assert (run.series, run.size, run.insulation) == ("copper_en1057_thin", "28x0.9", FOAM)
    assert (run.surroundings, run.service) == ("engine room", "supply")


def test_where_no_neighbour_says_more_the_defaults_hold() -> None:
    like = RunDefaults("copper_en1057_thin", "15x0.7", FOAM, "bilge", "return")
    (run,) = edits.connect(ROOM, end("P-1 outlet"), end("IV-1 inlet"), like=like).runs
    assert (run.series, run.size, run.insulation) == ("copper_en1057_thin", "15x0.7", FOAM)
    assert (run.surroundings, run.service) == ("bilge", "return")


def test_a_branch_has_the_pipe_of_its_main_in_the_size_of_a_branch() -> None:
    vessel = with_run(WITH_RUN, "R-1", series="copper_en1057_thin", size="54x1.2")
    like = RunDefaults("multilayer", "20x2.0")
    vessel = edits.join(vessel, end("AH-1 water_in"), OnRun("R-1", (140, 0)), like=like)
    branch = vessel.runs[-1]
    # Multilayer 20x2.0 has a bore of 16 mm; the nearest of thin copper are 15x0.7 (13.6) and 22x0.9 (20.2).
    assert (branch.series, branch.size) == ("copper_en1057_thin", "15x0.7")


def test_pipes_at_an_air_handler_are_supply_and_return() -> None:
    vessel = joined(ROOM, "P-1 outlet > AH-1 water_in", "AH-1 water_out > IV-1 inlet")
    assert [run.service for run in vessel.runs] == ["supply", "return"]


def test_pipes_at_a_sea_connection_carry_sea_water() -> None:
    room = drawn(
        part("TH-1", "through_hull", (0, 0)),
        part("SP-1", "sea_water_pump", (100, 0)),
        part("CH-1", "chiller", (300, -20), 0),
    )
    vessel = joined(room, "TH-1 connection > SP-1 inlet", "SP-1 outlet > CH-1 sea_in")
    assert [run.service for run in vessel.runs] == ["sea", "sea"]


def test_pins_are_kept_as_given() -> None:
    pins: list[Point] = [(100, 0), (100, 60), (200, 60), (200, 0)]
    (run,) = edits.connect(ROOM, end("P-1 outlet"), end("IV-1 inlet"), via=pins).runs
    assert run.bends == tuple(pins)
    assert not run.routed
    assert [(one.kind, one.count) for one in run.fittings] == [("elbow_90", 4)]


def test_a_run_may_have_a_tag_of_its_own() -> None:
    vessel = edits.connect(ROOM, end("P-1 outlet"), end("IV-1 inlet"), tag="Main 1")
    assert [run.tag for run in vessel.runs] == ["Main 1"]


# Onto runs


def test_a_run_that_ends_on_a_run_makes_a_tee_there() -> None:
    vessel = edits.join(WITH_RUN, end("AH-1 water_in"), OnRun("R-1", (140, 3)))
    tee = vessel.component_by_tag["T-1"]
    assert (tee.at, tee.deck) == ((140, 0), "Main")
    branch = vessel.runs[-1]
    assert (branch.start, branch.end) == (End("AH-1", "water_in"), End("T-1", "branch"))
    # The air handler stands above the pipe, so the branch looks up and goes straight.
    assert branch.bends == ()
    assert leaves_ports_ahead(vessel, branch)


def test_the_main_keeps_its_length_and_is_the_same_pipe_on_both_sides_of_the_tee() -> None:
    typed = with_run(
        WITH_RUN, "R-1", length_m=9.0, length_known="measured", insulation=FOAM, service="supply"
    )
    vessel = edits.join(typed, end("AH-1 water_in"), OnRun("R-1", (80, 0)))
    first, second = vessel.runs[:2]
    assert first.length_m + second.length_m == pytest.approx(9.0)
    # 60 of the 280 units drawn lie before the tee.
    assert first.length_m == pytest.approx(9.0 * 60 / 280)
    for half in (first, second):
        assert (half.size, half.insulation, half.service) == (typed.runs[0].size, FOAM, "supply")
        assert half.length_known == "measured"


def test_a_run_may_begin_on_a_run() -> None:
    vessel = edits.join(WITH_RUN, OnRun("R-1", (180, 0)), end("AH-1 water_in"))
    assert vessel.runs[-1].start == End("T-1", "branch")
    assert vessel.runs[-1].end == End("AH-1", "water_in")


def test_a_run_between_two_runs_gets_a_tee_at_both() -> None:
    vessel = edits.place(ROOM, part("IV-2", "isolating_valve", (310, 200)))
    vessel = edits.place(vessel, part("P-2", "circulation_pump", (0, 200)))
    vessel = joined(vessel, "P-1 outlet > IV-1 inlet", "P-2 outlet > IV-2 inlet")
    vessel = edits.join(vessel, OnRun("R-1", (150, 0)), OnRun("R-2", (150, 200)))
    across = vessel.runs[-1]
    assert {across.start.port, across.end.port} == {"branch"}
    assert across.bends == ()


@pytest.mark.parametrize("at", [(140.0, 0.0), (100.0, -50.0), (222.0, 40.0)])
def test_the_tee_stands_on_the_grid_on_the_run(at: Point) -> None:
    vessel = edits.join(WITH_RUN, end("AH-1 water_in"), OnRun("R-1", at))
    tee = vessel.component_by_tag["T-1"]
    assert tee.at == (round(at[0] / 10) * 10, 0)


def test_the_tee_looks_to_the_side_that_is_joined() -> None:
    below = edits.move(WITH_RUN, ["AH-1"], 0, 240)
    below = edits.turn(below, ["AH-1"], 2)
    for vessel in (WITH_RUN, below):
        x, _ = port_place(vessel.component_by_tag["AH-1"], "water_in")
        branched = edits.join(vessel, end("AH-1 water_in"), OnRun("R-1", (x, 0)))
        assert branched.runs[-1].bends == ()
        # Water goes through the tee along the main, whichever way its branch looks.
        tee = {one.end for one in branched.runs[:2]} | {one.start for one in branched.runs[:2]}
        assert {End("T-1", "run_1"), End("T-1", "run_2")} <= tee


# What cannot be joined


def test_each_refusal_says_why_and_marks_the_parts() -> None:
    cases = {
        ("P-1 outlet", "P-1 outlet"): "P-1 outlet is both ends; a run joins two ports",
        ("P-1 inlet", "P-1 outlet"): "both ends are at P-1; a run joins two parts",
        ("P-2 inlet", "IV-1 outlet"): 'no component has the tag "P-2"; P-1?',
        ("P-1 in", "IV-1 outlet"): 'P-1 has no port "in"; accepted: one of inlet, outlet',
        ("P-1 outlet", "IV-1 outlet"): ("P-1 outlet has run R-1 already; end on R-1 to make a tee there"),
    }
    for (start, stop), words in cases.items():
        error = refused(edits.connect, WITH_RUN, end(start), end(stop))
        assert words in str(error), str(error)
        assert set(error.tags) == {end(start).tag, end(stop).tag}
        assert edits.can_connect(WITH_RUN, end(start), end(stop)) == str(error)


def test_two_free_ports_can_be_joined() -> None:
    assert edits.can_connect(WITH_RUN, end("AH-1 water_in"), end("IV-1 outlet")) is None
    assert edits.why_not(WITH_RUN, end("AH-1 water_in")) is None


def test_a_run_does_not_join_another_with_itself() -> None:
    error = refused(edits.join, WITH_RUN, OnRun("R-1", (60, 0)), OnRun("R-1", (200, 0)))
    assert str(error) == "both ends are on R-1; a run does not join another with itself"
    assert error.tags == ("R-1",)


def test_a_run_that_is_not_there_has_no_tee() -> None:
    assert 'no part has the tag "R-9"' in str(
        refused(edits.join, WITH_RUN, end("AH-1 water_in"), OnRun("R-9", (0, 0)))
    )
    assert str(refused(edits.join, WITH_RUN, end("AH-1 water_in"), OnRun("P-1", (0, 0)))) == (
        "P-1 is not a run"
    )


def test_a_tee_takes_room_on_the_run() -> None:
    near = drawn(
        part("P-1", "circulation_pump", (0, 0)),
        part("IV-1", "isolating_valve", (40, 0)),
        part("AH-1", "air_handler", (20, -120)),
    )
    near = joined(near, "P-1 outlet > IV-1 inlet")
    error = refused(edits.join, near, end("AH-1 water_in"), OnRun("R-1", (25, 0)))
    assert "R-1 is drawn too short for one more tee" in str(error)
    assert "its longest straight piece is 10 units, and it takes 20" in str(error)
    assert error.tags == ("R-1",)


def test_pipe_of_a_series_that_is_not_known_is_refused() -> None:
    vessel: Vessel = with_run(WITH_RUN, "R-1", series="copper_en1057_thin", size="28x0.9")
    like = RunDefaults("multilayer", "21x9")
    error = refused(edits.join, vessel, end("AH-1 water_in"), OnRun("R-1", (140, 0)), like=like)
    assert "21x9" in str(error)
