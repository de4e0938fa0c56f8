# SPDX-License-Identifier: MIT
"""Lines as painter paths: round corners of the right radius, hops of the right height."""

from typing import Any

import pytest

from app.canvas.crossings import HOP
from app.canvas.run_item import RunItem
from app.canvas.strokes import FILLET, cut, fine_path, plain_path
from tests.app.parts_drawn import run

_CORNER = ((0.0, 0.0), (100.0, 0.0), (100.0, 80.0))


def test_a_corner_is_cut_by_its_fillet() -> None:
    path = fine_path(_CORNER)
    straight = 100.0 + 80.0
    assert straight - 2 * FILLET < path.length() < straight
    before, after = path.elementAt(1), path.elementAt(path.elementCount() - 2)
    assert (before.x, before.y) == (100.0 - FILLET, 0.0)
    assert (after.x, after.y) == (100.0, FILLET)
    assert not path.contains(path.boundingRect().topRight())


def test_a_short_leg_gets_a_smaller_fillet() -> None:
    path = fine_path(((0.0, 0.0), (100.0, 0.0), (100.0, 4.0), (160.0, 4.0)))
    assert path.boundingRect().height() == pytest.approx(4.0)
    assert path.currentPosition().x() == 160.0


@pytest.mark.parametrize("points", [((0.0, 0.0), (100.0, 0.0)), ((100.0, 0.0), (0.0, 0.0))])
def test_a_hop_rises_above_the_line_whichever_way_the_run_goes(points: Any) -> None:
    path = fine_path(points, ((40.0, 0.0),))
    box = path.boundingRect()
    assert (box.top(), box.bottom()) == (pytest.approx(-HOP), 0.0)
    assert path.currentPosition().x() == points[1][0]
    # Half a circle is longer than its width by a factor of pi / 2.
    assert path.length() == pytest.approx(100.0 + HOP * (3.14159 - 2), rel=0.02)


def test_hops_on_other_lines_leave_a_line_alone() -> None:
    assert fine_path(_CORNER, ((40.0, 30.0),)) == fine_path(_CORNER)


def test_two_hops_that_would_run_into_each_other_become_one() -> None:
    one = fine_path(((0.0, 0.0), (100.0, 0.0)), ((40.0, 0.0),))
    two = fine_path(((0.0, 0.0), (100.0, 0.0)), ((40.0, 0.0), (44.0, 0.0)))
    assert two == one


def test_the_bare_line_has_neither() -> None:
    assert plain_path(_CORNER).length() == pytest.approx(180.0)
    assert plain_path(_CORNER).elementCount() == 3


def test_the_first_part_of_a_way() -> None:
    assert cut(_CORNER, 30.0) == [(0.0, 0.0), (30.0, 0.0)]
    assert cut(_CORNER, 150.0) == [(0.0, 0.0), (100.0, 0.0), (100.0, 50.0)]
    assert cut(_CORNER, 999.0) == list(_CORNER)


def _item(**fields: Any) -> RunItem:
    return RunItem(run("R-1", ("T-1", "run_1"), ("T-2", "run_2"), **fields), _CORNER, "supply")


def test_the_width_of_a_line_goes_with_the_bore() -> None:
    sizes = ("15x0.7", "22x0.9", "28x0.9", "35x1.2", "54x1.2", "108x1.5")
    widths = [_item(size=size).width for size in sizes]
    assert widths == sorted(widths)
    assert widths[0] == 2.5
    assert len(set(widths)) >= 5
    assert _item(series="steel_40", size="8").width == 6.0
    assert _item(size="no such size").width == 2.5


def test_bands_cover_the_ends_only() -> None:
    item = _item()
    assert 0 < item.bands.length() <= 0.4 * 180.0 + 0.01
    ends = [item.bands.elementAt(0), item.bands.elementAt(item.bands.elementCount() - 2)]
    assert (ends[0].x, ends[0].y) == (0.0, 0.0)
    assert (ends[1].x, ends[1].y) == (100.0, 80.0)


def test_arrow_and_label_take_the_longest_leg() -> None:
    assert _item().longest_leg == ((0.0, 0.0), (100.0, 0.0))


def test_the_distance_of_a_point_from_a_run() -> None:
    item = _item()
    assert item.distance(50.0, 0.0) == 0.0
    assert item.distance(50.0, 7.0) == 7.0
    assert item.distance(130.0, 40.0) == 30.0
