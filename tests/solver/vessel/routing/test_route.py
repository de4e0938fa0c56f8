# SPDX-License-Identifier: MIT
"""Runs go round equipment, beside other runs, straight out of their ports, and the same way every time."""

from __future__ import annotations

from collections import deque
from collections.abc import Iterable, Iterator

import msgspec
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from solver.vessel import edits
from solver.vessel.components import AnyComponent
from solver.vessel.fields import Point
from solver.vessel.footprint import Rect, body, port_direction, port_place
from solver.vessel.routing import legs, length_of, nearest_on, obstacles_of, route, route_between, way
from solver.vessel.routing.obstacles import Obstacles, blocked
from solver.vessel.routing.route import Terminal
from solver.vessel.run import End, Run
from solver.vessel.vessel import Vessel
from tests.solver.vessel.boats import run
from tests.solver.vessel.drawings import drawn, joined, leaves_ports_ahead, part

#: The room is this many lines of the grid wide and high.
WIDE, HIGH = 30, 24
STEP = 10.0


def _places(left: int, right: int) -> st.SearchStrategy[Point]:
    lines = st.tuples(st.integers(left, right), st.integers(4, HIGH - 4))
    return lines.map(lambda place: (place[0] * STEP, place[1] * STEP))


#: One valve stands in the left of the room, the other in the right, equipment mostly between.
_LEFT, _PLACES, _RIGHT = _places(3, 7), _places(6, WIDE - 6), _places(WIDE - 7, WIDE - 3)
_EQUIPMENT = (
    "chiller",
    "air_handler",
    "buffer_tank",
    "circulation_pump",
    "expansion_vessel",
    "isolating_valve",
)

PUMP_AND_VALVE = drawn(part("P-1", "circulation_pump", (0, 0)), part("IV-1", "isolating_valve", (300, 0)))
ONE = run("R-1", ("P-1", "outlet"), ("IV-1", "inlet"))


def in_the_room(*more: AnyComponent) -> Vessel:
    return msgspec.structs.replace(PUMP_AND_VALVE, components=(*PUMP_AND_VALVE.components, *more))


def crossed(points: Iterable[Point], box: Rect) -> bool:
    """Whether a way goes through the inside of a rectangle; worked out here by itself."""
    corners = list(points)
    return any(
        min(a[0], b[0]) < box.right
        and max(a[0], b[0]) > box.left
        and min(a[1], b[1]) < box.bottom
        and max(a[1], b[1]) > box.top
        for a, b in zip(corners, corners[1:], strict=False)
    )


# Plain ways


def test_ports_that_face_each_other_are_joined_straight() -> None:
    assert route(PUMP_AND_VALVE, ONE) == ((20, 0), (290, 0))


def test_one_bend_where_one_will_do() -> None:
    vessel = drawn(part("P-1", "circulation_pump", (0, 0)), part("IV-1", "isolating_valve", (300, 100), 1))
    assert route(vessel, ONE) == ((20, 0), (300, 0), (300, 90))


def test_two_bends_half_way_where_the_ports_are_not_in_line() -> None:
    vessel = drawn(part("P-1", "circulation_pump", (0, 0)), part("IV-1", "isolating_valve", (310, 100)))
    assert route(vessel, ONE) == ((20, 0), (160, 0), (160, 100), (300, 100))


def test_a_port_that_looks_away_is_left_straight_out_first() -> None:
    vessel = drawn(part("P-1", "circulation_pump", (0, 0), 2), part("IV-1", "isolating_valve", (300, 0)))
    points = route(vessel, ONE)
    assert points[0] == (-20, 0)
    assert points[1][0] < -20
    assert not crossed(points[1:], body(vessel.component_by_tag["P-1"]))


def test_ports_at_one_place_make_a_run_of_no_length() -> None:
    vessel = drawn(part("IV-1", "isolating_valve", (0, 0)), part("IV-2", "isolating_valve", (20, 0)))
    assert route(vessel, run("R-1", ("IV-1", "outlet"), ("IV-2", "inlet"))) == ((10, 0), (10, 0))


def test_nothing_of_that_name_is_a_fault_of_the_caller() -> None:
    with pytest.raises(KeyError):
        route(PUMP_AND_VALVE, run("R-1", ("P-1", "outlet"), ("IV-9", "inlet")))


# Round equipment


def test_a_tank_in_the_way_is_passed_with_clearance() -> None:
    vessel = in_the_room(part("BT-1", "buffer_tank", (150, 0)))
    points = route(vessel, ONE)
    assert not crossed(points, blocked(vessel.component_by_tag["BT-1"]))
    assert len(points) == 6


def test_the_shorter_side_is_taken() -> None:
    below = in_the_room(part("BT-1", "buffer_tank", (150, -20)))
    above = in_the_room(part("BT-1", "buffer_tank", (150, 20)))
    assert max(y for _, y in route(below, ONE)) > 0
    assert min(y for _, y in route(above, ONE)) < 0


def test_a_run_goes_through_only_where_it_is_shut_in() -> None:
    # A ring of tanks without a gap round the valve.
    ring = [(240, -60), (300, -60), (360, -60), (240, 60), (300, 60), (360, 60), (240, 0), (360, 0)]
    vessel = in_the_room(*(part(f"BT-{n}", "buffer_tank", at) for n, at in enumerate(ring)))
    points = route(vessel, ONE)
    assert (points[0], points[-1]) == ((20, 0), (290, 0))
    assert any(crossed(points, body(tank)) for tank in vessel.components[2:])


def test_the_same_room_gives_the_same_way_in_any_order_of_its_parts() -> None:
    tanks = [part(f"BT-{n}", "buffer_tank", (120.0 + 40 * n, 30.0 * (-1) ** n)) for n in range(4)]
    there, back = in_the_room(*tanks), in_the_room(*reversed(tanks))
    assert route(there, ONE) == route(back, ONE) == route(in_the_room(*tanks), ONE)


# Beside other runs


def test_a_run_is_drawn_beside_another_not_on_it() -> None:
    vessel = in_the_room(
        part("IV-2", "isolating_valve", (100, 0), 1), part("IV-3", "isolating_valve", (200, 0), 3)
    )
    # Both would go on the level half way below.
    vessel = joined(vessel, "IV-2 outlet > IV-3 inlet", "P-1 outlet > IV-1 inlet")
    first, second = (way(vessel, one) for one in vessel.runs)
    lying = [(a[1], min(a[0], b[0]), max(a[0], b[0])) for a, b in legs(first) if a[1] == b[1]]
    for a, b in legs(second):
        if a[1] == b[1]:
            for level, low, high in lying:
                together = min(high, max(a[0], b[0])) - max(low, min(a[0], b[0]))
                assert level != a[1] or together <= 6


def test_runs_cross_at_right_angles_rather_than_go_far_round() -> None:
    vessel = in_the_room(
        part("IV-2", "isolating_valve", (150, -500), 1), part("IV-3", "isolating_valve", (150, 500), 1)
    )
    vessel = joined(vessel, "IV-2 outlet > IV-3 inlet")
    assert route(vessel, ONE) == ((20, 0), (290, 0))


def test_a_run_does_not_stand_in_its_own_way() -> None:
    vessel = joined(PUMP_AND_VALVE, "P-1 outlet > IV-1 inlet")
    assert route(vessel, vessel.runs[0]) == way(vessel, vessel.runs[0])


# Through pins, and free ends


def test_pins_are_passed_in_their_order() -> None:
    pinned = msgspec.structs.replace(ONE, bends=((100.0, 80.0), (200.0, -60.0)))
    points = route(PUMP_AND_VALVE, pinned)
    spots = [nearest_on(points, pin) for pin in pinned.bends]
    assert [spot.at for spot in spots] == list(pinned.bends)
    assert spots[0].along < spots[1].along


def test_the_bends_that_the_program_found_are_no_pins() -> None:
    found = msgspec.structs.replace(ONE, bends=((100.0, 0.0), (100.0, 50.0), (200.0, 50.0)), routed=True)
    assert route(PUMP_AND_VALVE, found) == ((20, 0), (290, 0))


def test_pins_on_one_line_are_joined_straight_whatever_is_between() -> None:
    vessel = in_the_room(part("BT-1", "buffer_tank", (150, 80)))
    pinned = msgspec.structs.replace(ONE, bends=((50.0, 80.0), (250.0, 80.0)))
    assert ((50.0, 80.0), (250.0, 80.0)) in list(legs(route(vessel, pinned)))


def test_a_way_to_the_pointer_ends_where_it_is() -> None:
    start = Terminal((20.0, 0.0), (1.0, 0.0))
    points = route_between(start, Terminal((133.0, 77.0)), Obstacles.of(PUMP_AND_VALVE))
    assert points == ((20.0, 0.0), (133.0, 0.0), (133.0, 77.0))


# Any room


A_TO_B = run("R-1", ("IV-A", "outlet"), ("IV-B", "inlet"))
ENDS = (A_TO_B.start, A_TO_B.end)


@st.composite
def rooms(draw: st.DrawFn) -> Vessel:
    """Return two valves to be joined, and equipment anywhere in the room but on their ports."""
    turns = st.integers(0, 3)
    valves = (("IV-A", _LEFT), ("IV-B", _RIGHT))
    vessel = drawn(*(part(tag, "isolating_valve", draw(place), draw(turns)) for tag, place in valves))
    ports = [(port_place(vessel.component_by_tag[end.tag], end.port), before(vessel, end)) for end in ENDS]
    equipment = []
    for number in range(draw(st.integers(2, 9))):
        kind = draw(st.sampled_from(_EQUIPMENT))
        one = part(f"X-{number}", kind, draw(_PLACES), draw(turns))
        if not any(crossed(port, blocked(one)) for port in ports):
            equipment.append(one)
    return msgspec.structs.replace(vessel, components=(*vessel.components, *equipment))


def before(vessel: Vessel, end: End) -> Point:
    """The point one step out of a port."""
    one = vessel.component_by_tag[end.tag]
    (x, y), (dx, dy) = port_place(one, end.port), port_direction(one, end.port)
    return (x + STEP * dx, y + STEP * dy)


def is_there_a_way(vessel: Vessel) -> bool:
    """Flood the grid from the one port: whether the other is reached outside all boxes."""
    start, goal = (before(vessel, end) for end in ENDS)
    boxes = [blocked(one) for one in vessel.components]
    waiting, seen = deque([start]), {start}
    while waiting:
        here = waiting.popleft()
        if here == goal:
            return True
        for there in _neighbours(here):
            if there not in seen and not any(crossed((here, there), box) for box in boxes):
                seen.add(there)
                waiting.append(there)
    return False


def _neighbours(point: Point) -> Iterator[Point]:
    x, y = point
    for dx, dy in ((STEP, 0.0), (-STEP, 0.0), (0.0, STEP), (0.0, -STEP)):
        if -50 <= x + dx <= WIDE * STEP + 50 and -50 <= y + dy <= HIGH * STEP + 50:
            yield (x + dx, y + dy)


@given(vessel=rooms())
def test_no_run_passes_through_equipment_where_there_is_a_way_round(vessel: Vessel) -> None:
    points = route(vessel, A_TO_B)
    assume(is_there_a_way(vessel))
    for other in vessel.components[2:]:
        assert not crossed(points, blocked(other)), other.tag
    # Its own valves it leaves by the port, and does not come back to.
    for valve, inner in ((vessel.components[0], points[1:]), (vessel.components[1], points[:-1])):
        assert not crossed(inner, body(valve))


@given(vessel=rooms())
def test_every_run_leaves_its_ports_straight_out_and_goes_at_right_angles(vessel: Vessel) -> None:
    assume(is_there_a_way(vessel))
    connected = edits.connect(vessel, A_TO_B.start, A_TO_B.end)
    assert leaves_ports_ahead(connected, connected.runs[0])
    for a, b in legs(way(connected, connected.runs[0])):
        assert (a[0] == b[0]) != (a[1] == b[1])


@given(vessel=rooms())
def test_the_way_is_the_same_every_time_and_no_shorter_than_straight(vessel: Vessel) -> None:
    points = route(vessel, A_TO_B)
    other_order = msgspec.structs.replace(vessel, components=vessel.components[::-1])
    assert route(other_order, A_TO_B) == points
    assert route(vessel, A_TO_B, Obstacles.of(vessel)) == points
    a, b = points[0], points[-1]
    assert length_of(points) >= abs(a[0] - b[0]) + abs(a[1] - b[1])


@given(vessel=rooms(), moves=st.lists(st.tuples(st.integers(0, 9), _PLACES), max_size=4))
def test_pinned_bends_stay_whatever_is_put_on_them(vessel: Vessel, moves: list[tuple[int, Point]]) -> None:
    pins = ((150.0, 40.0), (150.0, 200.0))
    vessel = edits.connect(vessel, A_TO_B.start, A_TO_B.end, via=pins)
    (pinned,) = vessel.runs
    others = [one.tag for one in vessel.components[2:]]
    for number, (dx, dy) in moves:
        if others:
            vessel = edits.move(vessel, [others[number % len(others)]], dx - 150, dy - 120)
    assert vessel.runs[0].bends is pinned.bends


# What is in the way, kept from edit to edit


@given(vessel=rooms(), step=_PLACES)
def test_obstacles_after_an_edit_are_those_worked_out_from_nothing(vessel: Vessel, step: Point) -> None:
    obstacles_of(vessel)
    vessel = edits.connect(vessel, A_TO_B.start, A_TO_B.end)
    for changed in (vessel, edits.move(vessel, ["IV-A"], *step), edits.delete(vessel, ["IV-B"])):
        kept, fresh = obstacles_of(changed), Obstacles.of(changed)
        assert (kept.boxes, kept.ways) == (fresh.boxes, fresh.ways)
        everywhere = Rect(-1e4, -1e4, 1e4, 1e4)
        assert sorted(kept.bodies_in(everywhere)) == sorted(one.tag for one in changed.components)
        assert kept.runs_through(everywhere) == {one.tag for one in changed.runs}


def test_what_is_taken_out_is_in_nobodys_way() -> None:
    vessel = in_the_room(part("BT-1", "buffer_tank", (150, 0)))
    kept = obstacles_of(vessel).changed(gone=["BT-1"])
    assert route(vessel, ONE, kept) == ((20, 0), (290, 0))
    assert len(route(vessel, ONE)) > 2


def test_a_run_may_join_a_part_to_itself() -> None:
    vessel = drawn(part("CH-1", "chiller", (0, 0)))
    own = Run(
        tag="R-1", start=End("CH-1", "sea_out"), end=End("CH-1", "water_in"), series="x", size="x", length_m=1
    )
    points = route(vessel, own)
    assert (points[0], points[-1]) == ((-50, -20), (50, 20))
    assert not crossed(points[1:-1], body(vessel.components[0]))
