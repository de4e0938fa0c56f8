# SPDX-License-Identifier: MIT
"""What of a run can be taken, and what an edit would change, told before it is made."""

from __future__ import annotations

from app.canvas.drawn_way import drawn_points
from app.canvas.picture import Picture
from app.canvas.tools.grips import Grip, grip_at, grips_of, pulled
from app.canvas.tools.preview import preview_of, shifted_preview
from solver.vessel.edits import corners, drop_on_run, move, move_segment, set_field
from solver.vessel.routing import way
from tests.app.small_loop import small_loop

_WAY = ((0.0, 0.0), (40.0, 0.0), (40.0, 60.0), (100.0, 60.0))


def test_grips_go_along_the_run_from_its_start() -> None:
    assert grips_of(_WAY) == [
        Grip("segment", 0, (20.0, 0.0)),
        Grip("bend", 0, (40.0, 0.0)),
        Grip("segment", 1, (40.0, 30.0)),
        Grip("bend", 1, (40.0, 60.0)),
        Grip("segment", 2, (70.0, 60.0)),
    ]


def test_a_bend_within_reach_is_taken_before_its_legs() -> None:
    assert grip_at(_WAY, (37.0, 3.0), 9.0) == Grip("bend", 0, (40.0, 0.0))
    assert grip_at(_WAY, (37.0, 3.0), 2.0).kind == "segment"
    assert grip_at(_WAY, (39.0, 40.0), 9.0) == Grip("segment", 1, (40.0, 30.0))


def test_a_grip_is_pulled_as_the_edit_of_its_kind() -> None:
    vessel = small_loop()
    bent = pulled(vessel, "R-1", Grip("segment", 0, (55.0, 200.0)), (55.0, 170.0))
    assert bent == move_segment(vessel, "R-1", 0, (55.0, 170.0))
    again = pulled(bent, "R-1", Grip("bend", 1, corners(bent, "R-1")[1]), (60.0, 150.0))
    assert (60.0, 150.0) in corners(again, "R-1")


def test_a_preview_shows_what_moves_and_the_runs_that_follow() -> None:
    vessel = small_loop()
    after = move(vessel, ("RV-1",), 30.0, 20.0)
    shown = preview_of(vessel, after)
    assert [part.tag for part in shown.components] == ["RV-1"]
    assert shown.ways.keys() >= {"R-3", "R-4"}
    for tag, points in shown.ways.items():
        run = after.run_by_tag[tag]
        assert points == drawn_points(after, run, way(after, run))


def test_a_preview_shows_new_parts_and_runs_cut_in_two() -> None:
    vessel = small_loop()
    shown = preview_of(vessel, drop_on_run(vessel, "isolating_valve", "R-1", (50.0, 200.0)))
    assert [part.tag for part in shown.components] == ["IV-1"]
    assert shown.ways.keys() == {"R-1", "R-11"}
    assert shown.pins == ()


def test_a_preview_tells_bends_by_hand() -> None:
    vessel = small_loop()
    after = move_segment(vessel, "R-1", 0, (50.0, 160.0))
    assert preview_of(vessel, after).pins == after.run_by_tag["R-1"].bends


def test_what_is_drawn_alike_is_no_preview() -> None:
    vessel = small_loop()
    after = set_field(set_field(vessel, ("R-1",), "length_m", 9.0), ("RV-1",), "setting", 2.0)
    assert preview_of(vessel, after) == ((), {}, ())


def test_many_parts_are_shown_moved_without_leading_runs_anew() -> None:
    vessel, picture = small_loop(), Picture()
    picture.show_vessel(vessel)
    parts = [vessel.component_by_tag[tag] for tag in ("AH-1", "RV-1")]
    shown = shifted_preview(picture, parts, (100.0, 20.0))
    assert [part.at for part in shown.components] == [(240.0, 20.0), (240.0, 120.0)]
    inner = picture.runs.items["R-3"].points
    assert shown.ways["R-3"] == tuple((x + 100.0, y + 20.0) for x, y in inner)
    assert shown.ways.keys() == {"R-2", "R-3", "R-4"}
    # The end that stays is where it was.
    assert shown.ways["R-2"][0] == way(vessel, vessel.run_by_tag["R-2"])[0]
