# SPDX-License-Identifier: MIT
"""Moving and turning with runs that follow; locking, aligning and spacing evenly."""

from __future__ import annotations

from typing import Any

import msgspec
import pytest
from hypothesis import given
from hypothesis import strategies as st

from solver.vessel import edits
from solver.vessel.footprint import body, port_place
from solver.vessel.routing import legs, way
from solver.vessel.run import End, Fitting
from solver.vessel.takeoff import takeoff
from solver.vessel.vessel import Cabin, Vessel
from tests.solver.vessel.drawings import drawn, joined, leaves_ports_ahead, part, refused, untouched, with_run

ROOM = joined(
    drawn(
        part("P-1", "circulation_pump", (0, 0)),
        part("IV-1", "isolating_valve", (200, 0)),
        part("IV-2", "isolating_valve", (400, 0)),
        part("IV-3", "isolating_valve", (400, 200)),
        cabins=(Cabin(tag="C-1", deck="Main", outline=((0, 100), (100, 100), (100, 180), (0, 180))),),
    ),
    "P-1 outlet > IV-1 inlet",
    "IV-1 outlet > IV-2 inlet",
)
PINS = ((280.0, 0.0), (280.0, 60.0), (320.0, 60.0), (320.0, 0.0))
PINNED = edits.set_fields(ROOM, ["R-2"], {"bends": PINS, "routed": False})


def at(vessel: Vessel, *tags: str) -> list[tuple[float, float]]:
    return [vessel.component_by_tag[tag].at for tag in tags]


# Runs follow


def test_runs_follow_a_part_that_moves_and_their_lengths_with_them() -> None:
    vessel = edits.move(ROOM, ["IV-1"], 0, 60)
    assert at(vessel, "IV-1") == [(200, 60)]
    for run in vessel.runs:
        assert leaves_ports_ahead(vessel, run)
        assert len(run.bends) == 2
        assert run.fittings == (Fitting("elbow_90", 2),)
        assert run.length_m == takeoff(vessel, run).drawn_m
    assert untouched(ROOM, vessel, "IV-1", "R-1", "R-2")


def test_a_part_that_is_put_back_brings_all_back() -> None:
    assert edits.move(edits.move(ROOM, ["IV-1"], 30, 60), ["IV-1"], -30, -60) == ROOM


def test_typed_lengths_stay_when_their_runs_follow() -> None:
    typed = with_run(ROOM, "R-1", length_m=9.0, length_known="measured", fittings_known="typed")
    moved = edits.move(typed, ["IV-1"], 0, 60).run_by_tag["R-1"]
    assert (moved.length_m, moved.fittings) == (9.0, ())


def test_runs_between_parts_that_move_together_move_as_they_are() -> None:
    vessel = edits.move(PINNED, ["IV-1", "IV-2"], 50, 30)
    assert vessel.run_by_tag["R-2"].bends == tuple((x + 50, y + 30) for x, y in PINS)
    assert vessel.run_by_tag["R-2"].length_m == PINNED.run_by_tag["R-2"].length_m


def test_pinned_bends_stay_but_for_those_next_to_the_end_that_moved() -> None:
    vessel = edits.move(PINNED, ["IV-2"], 0, 20)
    run = vessel.run_by_tag["R-2"]
    assert run.bends == (*PINS[:3], (320.0, 20.0))
    assert not run.routed
    assert leaves_ports_ahead(vessel, run)


def test_a_run_is_led_round_a_part_that_is_put_on_it() -> None:
    vessel = edits.move(ROOM, ["IV-3"], -110, -200)
    under = vessel.run_by_tag["R-2"]
    box = body(vessel.component_by_tag["IV-3"])
    assert under.routed
    for a, b in legs(way(vessel, under)):
        assert (
            min(a[1], b[1]) >= box.bottom
            or max(a[1], b[1]) <= box.top
            or not (min(a[0], b[0]) < box.right and max(a[0], b[0]) > box.left)
        )


def test_a_pinned_or_locked_run_is_not_led_round() -> None:
    locked = edits.lock(ROOM, ["R-2"])
    for vessel in (PINNED, locked):
        moved = edits.move(vessel, ["IV-3"], -110, -200)
        assert moved.run_by_tag["R-2"] is vessel.run_by_tag["R-2"]


def test_a_run_moved_by_itself_takes_its_pins_as_far_as_its_ends_let_it() -> None:
    vessel = edits.move(PINNED, ["R-2"], 10, 20)
    assert vessel.run_by_tag["R-2"].bends == ((290.0, 0.0), (290.0, 80.0), (330.0, 80.0), (330.0, 0.0))
    assert at(vessel, "IV-1", "IV-2") == at(PINNED, "IV-1", "IV-2")


def test_a_cabin_moves_with_its_room_and_nothing_else() -> None:
    vessel = edits.move(ROOM, ["C-1"], 10, 20)
    assert vessel.cabins[0].outline[0] == (10, 120)
    assert vessel.components is ROOM.components
    assert vessel.runs is ROOM.runs


def test_moving_by_nothing_changes_nothing() -> None:
    vessel = edits.move(ROOM, ["IV-1", "R-1", "C-1"], 0, 0)
    assert vessel == ROOM


@given(steps=st.lists(st.tuples(st.integers(-9, 9), st.integers(-9, 9)), max_size=5), data=st.data())
def test_wherever_parts_go_runs_end_at_their_ports(steps: list[tuple[int, int]], data: st.DataObject) -> None:
    vessel = PINNED
    for dx, dy in steps:
        tag = data.draw(st.sampled_from(["P-1", "IV-1", "IV-2", "IV-3"]))
        vessel = edits.move(vessel, [tag], dx * 10.0, dy * 10.0)
    for run in vessel.runs:
        points = way(vessel, run)
        ends = [port_place(vessel.component_by_tag[end.tag], end.port) for end in (run.start, run.end)]
        assert [points[0], points[-1]] == ends
        assert all(a[0] == b[0] or a[1] == b[1] for a, b in legs(points))
        assert run.length_m == takeoff(vessel, run).drawn_m


# Turning


def test_a_part_turns_about_itself_and_its_runs_follow() -> None:
    vessel = edits.turn(ROOM, ["IV-1"])
    assert vessel.component_by_tag["IV-1"].turn == 1
    assert at(vessel, "IV-1") == [(200, 0)]
    assert all(leaves_ports_ahead(vessel, run) for run in vessel.runs)


def test_four_quarter_turns_are_none() -> None:
    vessel = ROOM
    for _ in range(4):
        vessel = edits.turn(vessel, ["IV-1"])
    assert vessel == ROOM
    assert edits.turn(ROOM, ["IV-1"], 4) is ROOM
    assert edits.turn(ROOM, ["IV-1"], -1) == edits.turn(ROOM, ["IV-1"], 3)


def test_only_components_turn() -> None:
    assert str(refused(edits.turn, ROOM, ["C-1"])) == "C-1 is not a component and cannot be turned"
    assert str(refused(edits.turn, ROOM, ["R-1"])) == "R-1 is not a component and cannot be turned"


# Locking


def test_what_is_locked_is_not_moved_turned_bent_or_removed() -> None:
    locked = edits.lock(ROOM, ["IV-1", "R-2", "C-1"])
    tries: list[tuple[Any, tuple[Any, ...], str]] = [
        (edits.move, (["IV-1"], 10, 0), "IV-1 is locked; unlock it before it is moved"),
        (edits.move, (["C-1"], 10, 0), "C-1 is locked; unlock it before it is moved"),
        (edits.move, (["IV-2"], 10, 0), "R-2 is locked and ends at IV-2; unlock it before IV-2 is moved"),
        (edits.turn, (["IV-1"],), "IV-1 is locked; unlock it before it is turned"),
        (edits.turn, (["IV-2"],), "R-2 is locked and ends at IV-2; unlock it before IV-2 is turned"),
        (edits.add_bend, ("R-2", (300.0, 50.0)), "R-2 is locked; unlock it before it is bent"),
        (edits.straighten, (["R-2"],), "R-2 is locked; unlock it before it is bent"),
        (edits.delete, (["C-1"],), "C-1 is locked; unlock it before it is removed"),
    ]
    for edit, arguments, words in tries:
        assert str(refused(edit, locked, *arguments)) == words


def test_unlocking_is_as_before() -> None:
    tags = [one.tag for one in (*ROOM.components, *ROOM.runs, *ROOM.cabins)]
    locked = edits.lock(ROOM, tags)
    assert all(one.locked for one in (*locked.components, *locked.runs, *locked.cabins))
    assert edits.lock(locked, tags, False) == ROOM
    assert edits.lock(ROOM, ["IV-1"]).runs is ROOM.runs


# Aligning


SCATTERED = joined(
    drawn(
        part("AH-1", "air_handler", (0, 0)),
        part("IV-1", "isolating_valve", (130, 70)),
        part("CH-1", "chiller", (310, 200)),
        cabins=(Cabin(tag="C-1", deck="Main", outline=((500, 300), (620, 300), (620, 380), (500, 380))),),
    ),
    "AH-1 water_out > IV-1 inlet",
)
FOUR = ["AH-1", "IV-1", "CH-1", "C-1"]


@pytest.mark.parametrize(
    ("side", "places"),
    [
        # Air handler 60 wide and 50 high with its ports, valve 20 by 12, chiller 100 by 60.
        ("left", [(0, 0), (-20, 70), (20, 200)]),
        ("right", [(590, 0), (610, 70), (570, 200)]),
        ("top", [(0, 0), (130, -10), (310, 10)]),
        ("bottom", [(0, 350), (130, 370), (310, 350)]),
        ("centre", [(280, 0), (280, 70), (280, 200)]),
        ("middle", [(0, 170), (130, 170), (310, 170)]),
    ],
)
def test_parts_come_into_line_with_the_outermost(side: Any, places: list[tuple[float, float]]) -> None:
    vessel = edits.align(SCATTERED, FOUR, side)
    assert at(vessel, "AH-1", "IV-1", "CH-1") == places


def test_runs_among_the_chosen_are_passed_over_and_follow() -> None:
    vessel = edits.align(SCATTERED, [*FOUR[:3], "R-1"], "middle")
    assert leaves_ports_ahead(vessel, vessel.runs[0])
    assert vessel == edits.align(SCATTERED, FOUR[:3], "middle")


def test_parts_come_into_line_with_the_locked_one() -> None:
    vessel = edits.align(edits.lock(SCATTERED, ["IV-1"]), FOUR[:3], "middle")
    assert at(vessel, *FOUR[:3]) == [(0, 70), (130, 70), (310, 70)]


def test_two_locked_parts_out_of_line() -> None:
    error = refused(edits.align, edits.lock(SCATTERED, FOUR[:2]), FOUR, "top")
    assert str(error) == "AH-1 and IV-1 are locked and not in line"
    assert error.tags == ("AH-1", "IV-1")


def test_what_is_in_line_already_is_not_touched() -> None:
    aligned = edits.align(SCATTERED, FOUR, "middle")
    assert edits.align(aligned, FOUR, "middle") is aligned


def test_distances_are_made_equal_middle_to_middle() -> None:
    vessel = edits.distribute(SCATTERED, FOUR, "across")
    # From 0 to the middle of the cabin at 560 in three steps, on the grid.
    assert [x for x, _ in at(vessel, *FOUR[:3])] == [0, 190, 370]
    assert [y for _, y in at(vessel, *FOUR[:3])] == [0, 70, 200]
    down = edits.distribute(SCATTERED, FOUR, "down")
    assert [y for _, y in at(down, *FOUR[:3])] == [0, 110, 230]


def test_arranging_that_is_refused_says_why() -> None:
    no_room = msgspec.structs.replace(SCATTERED, cabins=(Cabin(tag="C-1"),))
    tries: list[tuple[Any, Vessel, tuple[Any, ...], str]] = [
        (edits.align, SCATTERED, (FOUR, "centr"), 'no side is called "centr"; accepted: centre?'),
        (edits.align, SCATTERED, (["AH-1", "R-1"], "top"), "aligning takes two parts or more"),
        (edits.align, no_room, (FOUR, "top"), "C-1 has no room on the drawing"),
        (edits.distribute, SCATTERED, (FOUR, "up"), 'no way is called "up"'),
        (edits.distribute, SCATTERED, (FOUR[:2], "down"), "spacing evenly takes three parts or more"),
        (
            edits.distribute,
            edits.lock(SCATTERED, ["CH-1"]),
            (FOUR, "across"),
            "CH-1 is locked; unlock it before it is moved",
        ),
    ]
    for edit, vessel, arguments, words in tries:
        assert words in str(refused(edit, vessel, *arguments))


@given(
    places=st.lists(st.tuples(st.integers(-40, 40), st.integers(-40, 40)), min_size=3, max_size=8),
    across=st.booleans(),
)
def test_spaced_parts_keep_their_order_and_their_ends(places: list[tuple[int, int]], across: bool) -> None:
    parts = [part(f"IV-{n}", "isolating_valve", (x * 10.0, y * 10.0)) for n, (x, y) in enumerate(places)]
    tags = [one.tag for one in parts]
    vessel = edits.distribute(drawn(*parts), tags, "across" if across else "down")
    before = {one.tag: one.at[0 if across else 1] for one in parts}
    after = {tag: vessel.component_by_tag[tag].at[0 if across else 1] for tag in tags}
    assert (min(after.values()), max(after.values())) == (min(before.values()), max(before.values()))
    ordered = sorted(tags, key=lambda tag: (before[tag], tag))
    step = (max(before.values()) - min(before.values())) / (len(tags) - 1)
    for one, other in zip(ordered, ordered[1:], strict=False):
        assert abs(after[other] - after[one] - step) <= 10.0


def test_a_new_part_is_placed_and_runs_go_round_it() -> None:
    vessel = edits.place(ROOM, part("BT-1", "buffer_tank", (300, 0)))
    assert vessel.run_by_tag["R-2"].routed
    assert vessel.run_by_tag["R-2"].start == End("IV-1", "outlet")
    assert untouched(ROOM, vessel, "R-2")
