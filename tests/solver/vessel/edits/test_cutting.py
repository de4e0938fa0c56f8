# SPDX-License-Identifier: MIT
"""Parts dropped on runs: where they stand, and what each half of the run is afterwards."""

from __future__ import annotations

import msgspec
import pytest
from hypothesis import given
from hypothesis import strategies as st

from solver.parts.pipe_sizes import pipe_size
from solver.vessel import edits
from solver.vessel.components import KINDS
from solver.vessel.fields import Point
from solver.vessel.footprint import port_place
from solver.vessel.routing import legs, length_of, way
from solver.vessel.run import End, Fitting, Insulation
from solver.vessel.vessel import Vessel
from tests.solver.vessel.boats import component
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

#: A pump and a valve 400 units apart, joined straight: 370 units of pipe.
STRAIGHT = joined(
    drawn(part("P-1", "circulation_pump", (0, 0)), part("IV-1", "isolating_valve", (400, 0))),
    "P-1 outlet > IV-1 inlet",
)
#: The same with typed figures.
TYPED = with_run(
    STRAIGHT,
    "R-1",
    length_m=12.0,
    length_known="measured",
    rise_m=1.0,
    fittings=(Fitting("elbow_90", 4), Fitting("elbow_45", 2)),
    fittings_known="typed",
    extra_k=2.0,
    insulation=Insulation(thickness_mm=19.0),
    surroundings="bilge",
    service="supply",
    notes="behind the ladder",
)
#: Round three corners: right, down, right.
CORNERS: tuple[Point, ...] = ((200, 0), (200, 150))
BENT = joined(
    drawn(part("P-1", "circulation_pump", (0, 0)), part("IV-1", "isolating_valve", (400, 150))),
    "P-1 outlet > IV-1 inlet",
)


def test_a_part_stands_on_the_run_and_on_the_grid() -> None:
    vessel = edits.drop_on_run(STRAIGHT, "isolating_valve", "R-1", (193, 24))
    assert vessel.components[-1].at == (190, 0)
    assert vessel.components[-1].deck == "Main"


def test_its_first_port_looks_to_where_the_run_begins() -> None:
    vessel = edits.drop_on_run(STRAIGHT, "strainer", "R-1", (190, 0))
    before, after = vessel.runs
    strainer = vessel.components[-1].tag
    assert (before.start, before.end) == (End("P-1", "outlet"), End(strainer, "inlet"))
    assert (after.start, after.end) == (End(strainer, "outlet"), End("IV-1", "inlet"))


@pytest.mark.parametrize(("at", "turn"), [((100, 0), 0), ((205, 70), 1), ((300, 150), 0)])
def test_a_part_turns_along_the_piece_it_is_dropped_on(at: Point, turn: int) -> None:
    vessel = edits.drop_on_run(BENT, "isolating_valve", "R-1", at)
    assert vessel.components[-1].turn == turn
    assert all(leaves_ports_ahead(vessel, run) for run in vessel.runs)


def test_typed_figures_are_shared_by_place_and_their_totals_kept() -> None:
    vessel = edits.drop_on_run(TYPED, "isolating_valve", "R-1", (110, 0))
    before, after = vessel.runs
    # The valve's middle lies 90 of the 370 units of pipe from the pump.
    assert before.length_m == pytest.approx(12.0 * 90 / 370)
    assert before.length_m + after.length_m == pytest.approx(12.0)
    assert before.rise_m is not None and after.rise_m is not None
    assert before.rise_m + after.rise_m == pytest.approx(1.0)
    assert before.extra_k + after.extra_k == pytest.approx(2.0)
    counts: dict[str, int] = {}
    for fitting in (*before.fittings, *after.fittings):
        counts[fitting.kind] = counts.get(fitting.kind, 0) + fitting.count
    assert counts == {"elbow_90": 4, "elbow_45": 2}
    assert (before.length_known, after.length_known) == ("measured", "measured")


def test_both_halves_inherit_what_the_run_was() -> None:
    vessel = edits.drop_on_run(TYPED, "isolating_valve", "R-1", (110, 0))
    for half in vessel.runs:
        assert (half.series, half.size) == (TYPED.runs[0].series, TYPED.runs[0].size)
        assert half.insulation == Insulation(thickness_mm=19.0)
        assert (half.surroundings, half.service, half.notes) == ("bilge", "supply", "behind the ladder")


def test_lengths_off_the_drawing_add_up_to_that_of_the_run() -> None:
    vessel = edits.drop_on_run(BENT, "isolating_valve", "R-1", (200, 70))
    before, after = vessel.runs
    assert before.length_m + after.length_m == pytest.approx(BENT.runs[0].length_m, abs=0.002)
    # To the valve's middle, 70 units down.
    assert before.length_m == pytest.approx((200 + 70) * SCALE)


def test_corners_and_their_elbows_stay_where_they_are_drawn() -> None:
    assert BENT.runs[0].bends == CORNERS
    vessel = edits.drop_on_run(BENT, "isolating_valve", "R-1", (200, 70))
    assert [run.bends for run in vessel.runs] == [CORNERS[:1], CORNERS[1:]]
    assert [run.fittings for run in vessel.runs] == [(Fitting("elbow_90", 1),)] * 2


def test_pinned_bends_stay_pinned() -> None:
    pinned = with_run(BENT, "R-1", routed=False)
    vessel = edits.drop_on_run(pinned, "isolating_valve", "R-1", (200, 70))
    assert [(run.bends, run.routed) for run in vessel.runs] == [(CORNERS[:1], False), (CORNERS[1:], False)]


def test_a_valve_comes_in_the_size_of_the_run() -> None:
    for size in ("15x0.7", "42x1.2"):
        vessel = with_run(STRAIGHT, "R-1", series="copper_en1057_thin", size=size)
        valve = edits.drop_on_run(vessel, "regulating_valve", "R-1", (190, 0)).components[-1]
        nominal = int(valve.model.split("DN ")[1].split()[0])
        assert abs(nominal - pipe_size("copper_en1057_thin", size).bore_mm) <= 4.0


def test_a_component_of_ones_own_keeps_its_figures() -> None:
    own = component("strainer", "STR-7", kv_m3_h=3.3, name="Duplex")
    vessel = edits.drop_on_run(STRAIGHT, own, "R-1", (190, 0))
    dropped = vessel.component_by_tag["STR-7"]
    assert dropped == msgspec.structs.replace(own, at=(190.0, 0.0))


@pytest.mark.parametrize("kind", [kind for kind in KINDS if len(component(kind).ports) > 1])
def test_every_kind_with_two_ports_can_be_dropped(kind: str) -> None:
    vessel = edits.drop_on_run(STRAIGHT, kind, "R-1", (190, 0))
    assert len(vessel.runs) == 2
    assert untouched(STRAIGHT, vessel, "R-1")
    dropped = vessel.components[-1]
    for run, end in ((vessel.runs[0], vessel.runs[0].end), (vessel.runs[1], vessel.runs[1].start)):
        assert end.tag == dropped.tag
        assert port_place(dropped, end.port) in (way(vessel, run)[0], way(vessel, run)[-1])


def test_an_air_handler_dropped_on_a_pipe_has_it_led_to_its_ports() -> None:
    vessel = edits.drop_on_run(STRAIGHT, "air_handler", "R-1", (190, -60))
    assert vessel.components[-1].at == (190, -60)
    assert all(leaves_ports_ahead(vessel, run) for run in vessel.runs)


def test_a_part_with_one_port_cannot_stand_in_a_run() -> None:
    error = refused(edits.drop_on_run, STRAIGHT, "expansion_vessel", "R-1", (190, 0))
    assert "has one port and cannot stand in a run; put a tee there" in str(error)


def test_a_run_drawn_too_short_says_how_much_it_takes() -> None:
    near = joined(
        drawn(part("P-1", "circulation_pump", (0, 0)), part("IV-1", "isolating_valve", (60, 0))),
        "P-1 outlet > IV-1 inlet",
    )
    error = refused(edits.drop_on_run, near, "flexible_hose", "R-1", (35, 0))
    assert str(error) == (
        "R-1 is drawn too short for one more flexible hose: its longest straight piece is 30 units, and it "
        "takes 40; move the ends of R-1 apart"
    )


def test_a_kind_or_run_that_is_not_there() -> None:
    assert "no kind of component is called" in str(
        refused(edits.drop_on_run, STRAIGHT, "isolating_valv", "R-1", (0, 0))
    )
    assert "no part has the tag" in str(refused(edits.drop_on_run, STRAIGHT, "tee", "R-7", (0, 0)))


def test_a_tee_put_on_a_run_looks_towards_what_will_be_joined() -> None:
    for y, port in ((-50.0, -10.0), (50.0, 10.0)):
        vessel, tag = edits.put_tee(STRAIGHT, "R-1", (150, 0), (150, y))
        assert port_place(vessel.component_by_tag[tag], "branch") == (150, port)
        assert way(vessel, vessel.runs[0]) == ((20, 0), (140, 0))
        assert way(vessel, vessel.runs[1]) == ((160, 0), (390, 0))


@given(at=st.tuples(st.floats(-50, 450), st.floats(-60, 200)))
def test_wherever_a_part_is_dropped_the_pipe_is_drawn_as_before(at: Point) -> None:
    vessel = edits.drop_on_run(BENT, "isolating_valve", "R-1", at)
    total = sum(length_of(way(vessel, run)) for run in vessel.runs)
    assert total == pytest.approx(length_of(way(BENT, BENT.runs[0])) - 20)
    for run in vessel.runs:
        for leg in legs(way(vessel, run)):
            assert _lies_on_one(leg, list(legs(way(BENT, BENT.runs[0]))))


def _lies_on_one(leg: tuple[Point, Point], others: list[tuple[Point, Point]]) -> bool:
    return any(
        all(min(a[k], b[k]) <= point[k] <= max(a[k], b[k]) for point in leg for k in (0, 1))
        for a, b in others
    )


def test_many_drops_keep_the_length_of_the_pipe() -> None:
    vessel: Vessel = TYPED
    for x in (60.0, 120.0, 180.0, 240.0, 300.0):
        run = next(one for one in vessel.runs if one.end.tag == "IV-1")
        vessel = edits.drop_on_run(vessel, "isolating_valve", run.tag, (x, 0))
    assert len(vessel.runs) == 6
    assert sum(run.length_m for run in vessel.runs) == pytest.approx(12.0)
