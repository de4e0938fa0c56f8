# SPDX-License-Identifier: MIT
"""Crossings found through the index are those that comparing every pair of legs finds."""

from hypothesis import given
from hypothesis import strategies as st

from app.canvas.crossings import HOP, Crossings
from solver.vessel.fields import Point
from solver.vessel.routing import legs

_Way = tuple[Point, ...]


@st.composite
def _ways(draw: st.DrawFn) -> dict[str, _Way]:
    ways = {}
    for number in range(draw(st.integers(1, 8))):
        way = [(10.0 * draw(st.integers(-80, 80)), 10.0 * draw(st.integers(-80, 80)))]
        level = draw(st.booleans())
        for step in draw(st.lists(st.integers(-60, 60).filter(bool), min_size=1, max_size=5)):
            x, y = way[-1]
            way.append((x + 10.0 * step, y) if level else (x, y + 10.0 * step))
            level = not level
        ways[f"R-{number}"] = tuple(way)
    return ways


def _by_pairs(ways: dict[str, _Way], tag: str) -> set[Point]:
    found = set()
    for a, b in legs(ways[tag]):
        for other, way in ways.items():
            for c, d in legs(way):
                level, upright = a[1] == b[1], c[0] == d[0]
                if other != tag and level and upright:
                    inside = min(a[0], b[0]) + HOP < c[0] < max(a[0], b[0]) - HOP
                    if inside and min(c[1], d[1]) + HOP < a[1] < max(c[1], d[1]) - HOP:
                        found.add((c[0], a[1]))
    return found


def _index(ways: dict[str, _Way]) -> Crossings:
    index = Crossings()
    for tag, way in ways.items():
        index.add(tag, way)
    return index


@given(_ways())
def test_every_crossing_is_found_once(ways: dict[str, _Way]) -> None:
    index = _index(ways)
    for tag in ways:
        hops = index.hops(tag)
        assert set(hops) == _by_pairs(ways, tag)
        assert len(hops) == len(set(hops))


@given(_ways())
def test_runs_that_cross_know_of_each_other(ways: dict[str, _Way]) -> None:
    index = _index(ways)
    for tag in ways:
        for other in index.crossed_by(tag):
            assert tag in index.crossed_by(other)
        assert bool(index.hops(tag)) <= bool(index.crossed_by(tag))


@given(_ways(), st.data())
def test_a_changed_run_leaves_nothing_behind(ways: dict[str, _Way], data: st.DataObject) -> None:
    index = _index(ways)
    tag = data.draw(st.sampled_from(sorted(ways)))
    other = data.draw(_ways())
    index.add(tag, other["R-0"])
    ways[tag] = other["R-0"]
    for each in ways:
        assert set(index.hops(each)) == _by_pairs(ways, each)
    index.remove(tag)
    index.remove(tag)
    assert index.hops(tag) == ()
    assert all(tag not in index.crossed_by(each) for each in ways)


def test_a_joint_is_no_crossing() -> None:
    index = _index({"R-1": ((0.0, 0.0), (100.0, 0.0)), "R-2": ((50.0, 0.0), (50.0, 80.0))})
    assert index.hops("R-1") == ()


def test_legs_from_end_to_end_of_the_world_take_no_time() -> None:
    index = _index({"R-1": ((-1e9, 5.0), (1e9, 5.0)), "R-2": ((0.0, -50.0), (0.0, 50.0))})
    assert index.hops("R-1") == ()
