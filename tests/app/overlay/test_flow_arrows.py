# SPDX-License-Identifier: MIT
"""Flow arrows follow the sign of the flow and grow with its speed."""

import math

from hypothesis import given
from hypothesis import strategies as st

from app.overlay.flow_arrows import Arrow, arrow
from solver.vessel.fields import Point

_LEVEL = ((0.0, 0.0), (100.0, 0.0))


def _length(one: Arrow) -> float:
    middle = ((one.left[0] + one.right[0]) / 2, (one.left[1] + one.right[1]) / 2)
    return math.dist(one.tip, middle)


def _found(flow: float, velocity: float | None = 0.8, leg: tuple[Point, Point] = _LEVEL) -> Arrow:
    one = arrow(leg, flow, velocity, 3.0)
    assert one is not None
    return one


def test_the_arrow_points_where_the_water_goes() -> None:
    there, back = _found(0.2), _found(-0.2)
    assert there.tip[0] > there.left[0] == there.right[0]
    assert back.tip[0] < back.left[0] == back.right[0]
    down = _found(0.2, leg=((5.0, 0.0), (5.0, 80.0)))
    assert down.tip[1] > down.left[1] == down.right[1]


@given(st.floats(0.001, 5), st.floats(0, 4))
def test_reversed_flow_mirrors_the_arrow(flow: float, velocity: float) -> None:
    there, back = _found(flow, velocity), _found(-flow, velocity)
    for one, other in ((there.tip, back.tip), (there.left, back.left), (there.right, back.right)):
        assert math.isclose(one[0] + other[0], 100.0, abs_tol=1e-9)
        assert math.isclose(one[1] + other[1], 0.0, abs_tol=1e-9)


def test_faster_water_has_a_longer_arrow() -> None:
    lengths = [_length(_found(0.2, velocity)) for velocity in (None, 0.2, 0.8, 1.6)]
    assert lengths == sorted(lengths)
    assert lengths[0] < lengths[-1]
    assert _length(_found(0.2, 9.0)) == _length(_found(0.2, 2.0))


def test_still_water_and_short_legs_have_none() -> None:
    assert arrow(_LEVEL, 0.0, 0.0, 3.0) is None
    assert arrow(((0.0, 0.0), (4.0, 0.0)), 0.2, 0.8, 3.0) is None


@given(st.floats(0, 1e4), st.floats(0, 4), st.booleans(), st.floats(12, 500))
def test_a_drifting_arrow_stays_on_its_leg(drift: float, velocity: float, back: bool, length: float) -> None:
    one = arrow(((0.0, 0.0), (length, 0.0)), -0.2 if back else 0.2, velocity, 3.0, drift)
    assert one is not None
    assert all(0 <= x <= length for x, _ in one)


def test_an_arrow_drifts_ahead() -> None:
    first, later = arrow(_LEVEL, 0.2, 1.0, 3.0, 0.0), arrow(_LEVEL, 0.2, 1.0, 3.0, 5.0)
    assert first is not None
    assert later is not None
    assert math.isclose(later.tip[0] - first.tip[0], 5.0)
