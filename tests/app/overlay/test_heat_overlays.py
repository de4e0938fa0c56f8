# SPDX-License-Identifier: MIT
"""Overlays of temperature and condensation: values, fixed ends, words, and what is told without values."""

from __future__ import annotations

import msgspec
import pytest

from app.overlay.cabin_words import off_in_words, room_lines
from app.overlay.colour_scale import ColourScale, contrast
from app.overlay.difference import Comparison
from app.overlay.heat_difference import heat_difference_overlay
from app.overlay.legend import Legend, _beyond_text
from app.overlay.quantities import Overlay, overlay_of
from app.theme import theme
from app.units import System
from solver.results import CabinFigures, Results
from solver.solve import solve
from solver.vessel.edits import set_field
from solver.vessel.vessel import Conditions, Vessel
from tests.app.cooled_loop import cooled_loop
from tests.app.small_loop import small_loop


@pytest.fixture(scope="module")
def cooled() -> Results:
    return solve(cooled_loop(), heat=True)


def overlay(name: str, results: Results, system: System = "si") -> Overlay:
    found = overlay_of(name, results.vessel, results, system, dark=False)
    assert found is not None
    return found


def test_water_is_shown_by_the_middle_of_a_run_between_fixed_ends(cooled: Results) -> None:
    assert cooled.heat is not None
    found, water = overlay("temperature", cooled), cooled.heat.water["R-7"]
    assert found.values["R-7"] == pytest.approx((water.in_C + water.out_C) / 2)
    assert (found.scale.low, found.scale.high) == (5.0, 15.0)
    assert found.text("R-7") == f"{found.values['R-7']:.1f} °C"
    assert overlay("temperature", cooled, "us").text("R-7").endswith(" °F")
    # The return is warmer than the supply, and stands further from the blue end.
    assert found.steps["R-8"] > found.steps["R-11"]


def test_in_heating_the_ends_are_those_of_warm_water() -> None:
    winter = Conditions(name="Winter", mode="heating", outdoor_temp_C=0.0, sea_temp_C=8.0)
    warm = solve(msgspec.structs.replace(cooled_loop(), conditions=(winter,)), heat=True)
    found = overlay("temperature", warm)
    assert (found.scale.low, found.scale.high) == (35.0, 50.0)
    assert found.values["R-11"] > 40.0


def test_bare_cold_pipe_in_warm_air_drips_and_says_so(cooled: Results) -> None:
    found = overlay("condensation", cooled)
    assert found.values["R-11"] < 0
    assert "R-11" in found.beyond
    assert found.text("R-11").startswith("drips -")
    assert overlay("condensation", cooled, "us").text("R-11").endswith(" °F")
    assert _beyond_text(found) == "below the dew point: water drips"


@pytest.mark.parametrize("name", ["temperature", "condensation"])
def test_without_temperatures_the_legend_says_so(name: str) -> None:
    results = solve(small_loop(), heat=True)
    found = overlay(name, results)
    assert found.values == {}
    legend = Legend(found, theme("light"))
    assert ("behind", "no temperatures were found") in legend._notes()


def test_cold_and_wet_are_blue_on_both_papers() -> None:
    for dark, paper in ((False, theme("light").paper), (True, theme("dark").paper)):
        for kind in ("cold_to_warm", "wet_to_dry"):
            scale = ColourScale(kind, 0.0, 1.0, dark=dark)  # type: ignore[arg-type]
            cold, warm = scale.colours[0], scale.colours[-1]
            assert int(cold[5:7], 16) - int(cold[1:3], 16) > int(warm[5:7], 16) - int(warm[1:3], 16)
            assert all(contrast(colour, paper) >= 3.0 for colour in scale.colours)


def cabin(temp_C: float, set_point_C: float = 23.0, *, heating: bool = False) -> CabinFigures:
    above = (temp_C - set_point_C) * (-1.0 if heating else 1.0)
    return CabinFigures("C-1", temp_C, 0.5, set_point_C, above, 900.0, 200.0, ("AH-1",), False)


@pytest.mark.parametrize(
    ("temp_C", "heating", "words"),
    [
        (24.9, False, "1.9 K too warm"),
        (23.4, False, "at set point"),
        (21.5, False, "1.5 K too cold"),
        (20.0, True, "3.0 K too cold"),
        (25.0, True, "2.0 K too warm"),
    ],
)
def test_how_far_a_cabin_is_off_in_words(temp_C: float, heating: bool, words: str) -> None:
    assert off_in_words(cabin(temp_C, heating=heating), "si", heating=heating) == words


def test_a_room_s_line_gets_shorter_and_keeps_its_figure() -> None:
    lines = room_lines(cabin(24.9), "si", heating=False)
    assert lines == ("24.9 °C, 1.9 K too warm", "24.9 °C +1.9 K", "+1.9 K")
    assert room_lines(cabin(20.0, heating=True), "si", heating=True)[1] == "20.0 °C −3.0 K"
    assert room_lines(cabin(23.1), "us", heating=False) == ("73.6 °F, at set point", "73.6 °F", "73.6 °F")


def opened(vessel: Vessel) -> Vessel:
    return set_field(vessel, ("RV-2",), "setting", 4.0)


def test_the_difference_of_two_states_in_kelvin(cooled: Results) -> None:
    after = solve(opened(cooled.vessel), heat=True, warm_start=cooled)
    found = heat_difference_overlay(Comparison(cooled, after, "a", "b"), after.vessel, "si", dark=False)
    assert cooled.heat is not None
    assert after.heat is not None
    was, now = cooled.heat.water["R-6"], after.heat.water["R-6"]
    assert found.values["R-6"] == pytest.approx((now.in_C + now.out_C - was.in_C - was.out_C) / 2)
    assert found.values["R-6"] < -1.0
    assert found.text("R-6").startswith("-")
    assert found.scale.low == -found.scale.high


def test_a_difference_without_temperatures_says_so(cooled: Results) -> None:
    flows = solve(cooled.vessel)
    found = heat_difference_overlay(Comparison(cooled, flows, "a", "b"), flows.vessel, "si", dark=True)
    assert found.values == {}
    assert found.missing
