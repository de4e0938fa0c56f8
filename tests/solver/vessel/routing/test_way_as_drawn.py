# SPDX-License-Identifier: MIT
"""Ways of runs as they are drawn, from ports and bends alone."""

from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st

from solver.vessel.components import KINDS, Component
from solver.vessel.fields import Point
from solver.vessel.footprint import body, port_direction, port_place
from solver.vessel.routing import legs, tidied, way, way_between
from solver.vessel.vessel import Vessel
from tests.solver.vessel.boats import component as part
from tests.solver.vessel.boats import run

_on_grid = st.integers(-30, 30).map(lambda number: 10.0 * number)
_places = st.tuples(_on_grid, _on_grid)
_parts = st.builds(part, st.sampled_from(sorted(KINDS)), at=_places, turn=st.integers(0, 3))


@st.composite
def _ends(draw: st.DrawFn) -> tuple[Component, str, Component, str]:
    one, other = draw(_parts), draw(_parts)
    return one, draw(st.sampled_from(one.ports)), other, draw(st.sampled_from(other.ports))


def _level_or_upright(points: tuple[Point, ...]) -> bool:
    return all(a[0] == b[0] or a[1] == b[1] for a, b in legs(points))


@given(_ends())
def test_a_way_goes_from_port_to_port_at_right_angles(ends: tuple[Component, str, Component, str]) -> None:
    start, start_port, end, end_port = ends
    points = way_between(start, start_port, end, end_port)
    assert points[0] == port_place(start, start_port)
    assert points[-1] == port_place(end, end_port)
    assert _level_or_upright(points)
    directions = [(a[0] == b[0]) for a, b in legs(points)]
    assert all(one != other for one, other in pairwise(directions)) or len(points) == 2


@given(_ends())
def test_a_way_leaves_its_ports_outwards_if_parts_lie_apart(
    ends: tuple[Component, str, Component, str],
) -> None:
    start, start_port, end, end_port = ends
    left, top, right, bottom = body(start)
    other = body(end)
    apart = 45.0
    if not (
        other.left > right + apart
        or other.right < left - apart
        or other.top > bottom + apart
        or other.bottom < top - apart
    ):
        return
    points = way_between(start, start_port, end, end_port)
    out, back = port_direction(start, start_port), port_direction(end, end_port)
    (ax, ay), (bx, by) = points[0], points[1]
    assert (bx - ax) * out[0] + (by - ay) * out[1] > 0
    (ax, ay), (bx, by) = points[-1], points[-2]
    assert (bx - ax) * back[0] + (by - ay) * back[1] > 0


@given(_ends(), st.lists(_places, min_size=1, max_size=5))
def test_given_bends_are_kept_in_order(
    ends: tuple[Component, str, Component, str], bends: list[Point]
) -> None:
    start, start_port, end, end_port = ends
    points = way_between(start, start_port, end, end_port, bends)
    assert (points[0], points[-1]) == (port_place(start, start_port), port_place(end, end_port))
    assert _level_or_upright(points)
    reached = 0
    for bend in bends:
        while not _on_leg(points[reached], points[reached + 1], bend):
            reached += 1
            assert reached + 1 < len(points), (points, bend)


def _on_leg(a: Point, b: Point, point: Point) -> bool:
    return min(a[0], b[0]) <= point[0] <= max(a[0], b[0]) and min(a[1], b[1]) <= point[1] <= max(a[1], b[1])


def test_facing_ports_are_joined_by_a_straight_line() -> None:
    one, other = part("tee", "T-1"), part("circulation_pump", "P-1", at=(80.0, 0.0))
    assert way_between(one, "run_2", other, "inlet") == ((10.0, 0.0), (60.0, 0.0))


def test_a_corner_takes_one_bend() -> None:
    one, other = part("tee", "T-1"), part("isolating_valve", "V-1", at=(80.0, 90.0), turn=1)
    assert way_between(one, "run_2", other, "inlet") == ((10.0, 0.0), (80.0, 0.0), (80.0, 80.0))


def test_an_offset_takes_two_bends_in_the_middle() -> None:
    one, other = part("tee", "T-1"), part("tee", "T-2", at=(100.0, 40.0))
    assert way_between(one, "run_2", other, "run_1") == (
        (10.0, 0.0),
        (50.0, 0.0),
        (50.0, 40.0),
        (90.0, 40.0),
    )


def test_ports_that_face_away_are_joined_round_the_outside() -> None:
    one, other = part("circulation_pump", "P-1"), part("circulation_pump", "P-2", at=(100.0, 0.0))
    points = way_between(one, "inlet", other, "outlet")
    assert len(points) == 6
    assert all(not _through(leg, body(each)) for leg in legs(points) for each in (one, other))


def _through(leg: tuple[Point, Point], box: tuple[float, float, float, float]) -> bool:
    (ax, ay), (bx, by) = leg
    return min(ax, bx) < box[2] and max(ax, bx) > box[0] and min(ay, by) < box[3] and max(ay, by) > box[1]


def test_a_run_of_a_vessel_takes_its_own_bends() -> None:
    vessel = Vessel(
        name="Two tees",
        components=(part("tee", "T-1"), part("tee", "T-2", at=(100.0, 40.0))),
        runs=(run("R-1", ("T-1", "run_2"), ("T-2", "run_1"), bends=((70.0, 0.0), (70.0, 40.0))),),
    )
    assert way(vessel, vessel.runs[0])[1:3] == ((70.0, 0.0), (70.0, 40.0))


def test_tidying_keeps_the_ends_and_drops_what_is_not_a_corner() -> None:
    assert tidied([(0, 0), (0, 0), (5, 0), (9, 0), (9, 4)]) == ((0, 0), (9, 0), (9, 4))
    assert tidied([(1, 2), (1, 2)]) == ((1, 2), (1, 2))
    # A way that turns back keeps the point where it does.
    assert tidied([(0, 0), (9, 0), (5, 0)]) == ((0, 0), (9, 0), (5, 0))
