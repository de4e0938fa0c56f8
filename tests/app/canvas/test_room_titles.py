# SPDX-License-Identifier: MIT
"""What stands in the rooms: temperature in words, shorter where there is less room, never on a symbol."""

from __future__ import annotations

import msgspec
import pytest

from app.canvas.picture import Picture
from app.canvas.tiles import touches
from solver.results import CabinFigures, Results
from solver.solve import solve
from solver.vessel.edits import set_fields
from solver.vessel.footprint import Rect
from tests.app.cooled_loop import cooled_loop

_EVERYWHERE = Rect(-1000.0, -1000.0, 1000.0, 1000.0)


@pytest.fixture(scope="module")
def solved() -> Results:
    room = ((280.0, -120.0), (480.0, -120.0), (480.0, 60.0), (280.0, 60.0))
    return solve(set_fields(cooled_loop(), ("C-2",), {"outline": room}), heat=True)


def cabin(solved: Results) -> CabinFigures:
    assert solved.heat is not None
    return solved.heat.cabins["C-2"]


def above(solved: Results) -> str:
    assert cabin(solved).above_K > 1.0
    return f"{cabin(solved).above_K:.1f} K"


def picture_of(results: Results, **how: bool) -> Picture:
    picture = Picture()
    picture.show_vessel(results.vessel)
    picture.show_results(results, **how)
    return picture


def test_a_room_says_its_temperature_and_how_far_off(solved: Results) -> None:
    picture = picture_of(solved)
    picture.lay_out_labels(1.0, _EVERYWHERE)
    title = picture.titles["C-2"]
    assert title.lines == ("Guest cabin", f"{cabin(solved).temp_C:.1f} °C, {above(solved)} too warm")
    assert title.warns
    assert not title.dim
    assert not touches(title.box, picture.components.items["AH-2"].body)


def test_with_less_room_it_says_less_and_keeps_the_figure(solved: Results) -> None:
    picture = picture_of(solved)
    said = []
    for scale in (0.6, 0.5, 0.35, 0.25):
        picture.lay_out_labels(scale, _EVERYWHERE)
        said.append(picture.titles["C-2"].lines if "C-2" in picture.titles else ())
    assert all(above(solved) in " ".join(lines) for lines in said if lines)
    lengths = [sum(map(len, lines)) for lines in said]
    assert lengths == sorted(lengths, reverse=True)
    assert lengths[0] > lengths[-1]


def test_old_temperatures_are_dim_and_none_leaves_the_name(solved: Results) -> None:
    picture = picture_of(solved, heat_behind=True)
    picture.lay_out_labels(1.0, _EVERYWHERE)
    assert picture.titles["C-2"].dim
    picture.show_results(msgspec.structs.replace(solved, heat=None))
    picture.lay_out_labels(1.0, _EVERYWHERE)
    assert picture.titles["C-2"].lines == ("Guest cabin",)


def test_labels_say_what_air_handlers_cool_from_near_by(solved: Results) -> None:
    picture = picture_of(solved)
    assert "ΔT" not in _value(picture, 1.0)
    assert "ΔT" in _value(picture, 1.5)
    picture.cooling = "far"
    assert "ΔT" in _value(picture, 1.0)
    picture.cooling = "never"
    assert "ΔT" not in _value(picture, 3.0)


def _value(picture: Picture, scale: float) -> str:
    picture.lay_out_labels(scale, _EVERYWHERE)
    return picture.labels.shown()["AH-2"][0].value
