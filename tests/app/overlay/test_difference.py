# SPDX-License-Identifier: MIT
"""The difference of two states: figures, signs, ends of the map, what has no before."""

from __future__ import annotations

import pytest

from app.canvas.picture import Picture
from app.overlay.difference import Comparison, change_of, difference_overlay
from solver.change import Change
from solver.results import Results
from solver.solve import solve
from solver.vessel.changes import apply
from tests.app.small_loop import small_loop


@pytest.fixture
def comparison() -> Comparison:
    before = solve(small_loop())
    return Comparison(before, opened(before), "pinned", "now")


def opened(before: Results) -> Results:
    return solve(apply(before.vessel, [Change("RV-2", "setting", 4.0)]))


def test_values_are_changes_of_flow_as_a_share_of_before(comparison: Comparison) -> None:
    overlay = difference_overlay(comparison, comparison.after.vessel, "si", dark=False)
    before, after = comparison.before.links, comparison.after.links
    for tag in ("R-2", "R-5", "AH-2"):
        expected = after[tag].flow_L_s / before[tag].flow_L_s - 1
        assert overlay.values[tag] == pytest.approx(expected)
    assert overlay.values["R-5"] > 0 > overlay.values["R-2"]


def test_an_air_handler_s_text_tells_both_shares(comparison: Comparison) -> None:
    overlay = difference_overlay(comparison, comparison.after.vessel, "si", dark=False)
    text = overlay.text("AH-2")
    before = round(100 * comparison.before.air_handlers["AH-2"].share_of_design)
    after = round(100 * comparison.after.air_handlers["AH-2"].share_of_design)
    assert text.startswith("+")
    assert text.endswith(f"{before} → {after} %")


def test_the_map_is_even_about_no_change(comparison: Comparison) -> None:
    for dark in (False, True):
        scale = difference_overlay(comparison, comparison.after.vessel, "si", dark=dark).scale
        assert scale.kind == "deviation"
        assert scale.low == -scale.high
        assert 0.1 <= scale.high <= 1.0


def test_what_stood_before_has_no_change() -> None:
    assert change_of(0.0, 0.2) is None
    assert change_of(0.2, 0.0) == -1.0
    # A turned flow is judged by its size; the arrows tell the way.
    assert change_of(0.2, -0.2) == 0.0


def test_the_picture_shows_it_only_with_two_states(comparison: Comparison) -> None:
    picture = Picture()
    picture.show_vessel(comparison.after.vessel)
    picture.show_results(comparison.after)
    picture.set_overlay("difference")
    assert picture.overlay is None
    picture.set_comparison(comparison)
    assert picture.overlay is not None
    assert picture.overlay.name == "difference"
    picture.set_comparison(None)
    assert picture.overlay is None
