# SPDX-License-Identifier: MIT
"""Overlays: which value a part has, the range of the map, what is beyond its limits."""

from __future__ import annotations

import msgspec
import pytest

from app.overlay.quantities import FLOW_STEPS, NAMES, Overlay, overlay_of
from app.overlay.series import runs_in_series
from app.units import System
from solver.errors import FarcabinError
from solver.results import Results
from solver.vessel.vessel import Limits, Vessel
from tests.app.parts_drawn import part, results, run
from tests.app.small_loop import small_loop


def _overlay(name: str, found: Results | None, system: System = "si", **more: object) -> Overlay:
    vessel = small_loop() if found is None else found.vessel
    overlay = overlay_of(name, vessel, found, system, dark=False, **more)  # type: ignore[arg-type]
    assert overlay is not None
    return overlay


def test_flow_is_shown_without_its_sign() -> None:
    overlay = _overlay("flow", results(small_loop(), {"R-1": -0.31}))
    assert overlay.values["R-1"] == 0.31
    assert overlay.text("R-1") == "18.6 L/min"
    assert _overlay("flow", results(small_loop(), {"R-1": -0.31}), "us").text("R-1") == "4.91 US gpm"


def test_pressure_is_that_of_the_middle_of_a_run() -> None:
    overlay = _overlay("pressure", results(small_loop(), start_kPa=150.0, end_kPa=140.0))
    assert set(overlay.values.values()) == {145.0}


def test_parts_without_a_value_have_no_colour() -> None:
    overlay = _overlay("velocity", results(small_loop()))
    assert overlay.colour("P-1") is None
    assert overlay.text("P-1") == ""
    assert overlay.colour("R-1") in overlay.scale.colours


@pytest.mark.parametrize("name", NAMES)
def test_there_is_no_overlay_without_results(name: str) -> None:
    assert overlay_of(name, small_loop(), None, "si", dark=False) is None


def test_an_unknown_overlay_is_refused_with_the_known_ones() -> None:
    with pytest.raises(FarcabinError, match="no overlay 'colour'; accepted: none, flow, share"):
        overlay_of("colour", small_loop(), None, "si", dark=False)


@pytest.mark.parametrize("system", ["si", "us"])
@pytest.mark.parametrize("name", ["flow", "velocity", "loss", "pressure"])
def test_the_range_holds_all_values_and_ends_at_round_figures(name: str, system: System) -> None:
    found = results(
        small_loop(), {"R-1": 0.437}, velocity_m_s=1.23, loss_Pa_m=311.0, start_kPa=183.0, end_kPa=181.0
    )
    low = msgspec.structs.replace(found.links["R-2"], start_kPa=61.0, end_kPa=59.0)
    found = msgspec.structs.replace(found, links={**found.links, "R-2": low})
    overlay = _overlay(name, found, system)
    assert overlay.scale.low <= min(overlay.values.values())
    assert overlay.scale.high >= max(overlay.values.values())
    for end in (overlay.scale.low, overlay.scale.high):
        figure = overlay.figure(end).lstrip("0.").rstrip("0.")
        assert len(figure.replace(".", "")) <= 2, figure


def test_the_range_of_velocity_reaches_its_limit() -> None:
    assert _overlay("velocity", results(small_loop(), velocity_m_s=0.1)).scale.high >= 1.5


def test_runs_beyond_limits_are_known() -> None:
    assert _overlay("velocity", results(small_loop(), velocity_m_s=1.6)).beyond == {
        each.tag for each in small_loop().runs
    }
    assert _overlay("velocity", results(small_loop(), velocity_m_s=1.5)).beyond == frozenset()
    assert _overlay("pressure", results(small_loop(), start_kPa=20.0, end_kPa=10.0)).beyond
    assert _overlay("loss", results(small_loop(), loss_Pa_m=401.0)).beyond


def test_sea_water_runs_have_their_own_limit() -> None:
    found = results(small_loop(), velocity_m_s=2.0)
    assert _overlay("velocity", found, sea={"R-1"}).beyond == {
        each.tag for each in small_loop().runs if each.tag != "R-1"
    }


def test_limits_are_the_vessels() -> None:
    vessel = msgspec.structs.replace(small_loop(), limits=Limits(velocity_max_m_s=3.0))
    assert _overlay("velocity", results(vessel, velocity_m_s=2.5)).beyond == frozenset()


def test_lines_widen_with_the_root_of_the_flow() -> None:
    overlay = _overlay("velocity", results(small_loop(), {"R-1": 0.8, "R-2": 0.2, "R-3": 0.0}))
    assert overlay.looks["R-1"][1] == FLOW_STEPS
    assert overlay.looks["R-2"][1] == round(FLOW_STEPS / 2)
    assert overlay.looks["R-3"][1] == 0


def test_the_share_of_an_air_handler_is_that_of_the_runs_in_series_with_it() -> None:
    found = results(small_loop(), shares={"AH-1": 1.2, "AH-2": 0.4})
    overlay = _overlay("share", found)
    assert {tag for tag, value in overlay.values.items() if value == 1.2} == {"AH-1", "R-2", "R-3", "R-4"}
    # The far branch carries its flow from the tee to where a tee of its two used ports passes it on.
    assert {tag for tag, value in overlay.values.items() if value == 0.4} == {"AH-2", "R-5", "R-6", "R-7"}
    assert overlay.text("AH-2") == "40 %"
    assert "AH-2" in overlay.beyond
    assert overlay.scale.steps([1.0])[0] in (11, 12)


def test_a_tee_with_an_unused_port_passes_the_flow_on() -> None:
    vessel = Vessel(
        name="Two valves",
        components=(
            part("air_handler", "AH-1"),
            part("tee", "T-1"),
            part("two_way_valve", "V-1"),
            part("three_way_valve", "V-2"),
        ),
        runs=(
            run("R-1", ("AH-1", "water_in"), ("T-1", "run_1")),
            run("R-2", ("T-1", "branch"), ("V-1", "outlet")),
            run("R-3", ("V-1", "inlet"), ("V-2", "through")),
        ),
    )
    assert runs_in_series(vessel) == {"AH-1": ("R-1", "R-2", "R-3")}


def test_air_handlers_in_series_show_the_smallest_share() -> None:
    vessel = Vessel(
        name="In series",
        components=(part("air_handler", "AH-1"), part("air_handler", "AH-2")),
        runs=(run("R-1", ("AH-1", "water_out"), ("AH-2", "water_in")),),
    )
    overlay = _overlay("share", results(vessel, shares={"AH-1": 1.1, "AH-2": 0.7}))
    assert overlay.values == {"AH-1": 1.1, "AH-2": 0.7, "R-1": 0.7}


def test_a_ring_of_runs_ends() -> None:
    vessel = Vessel(
        name="Ring",
        components=(part("air_handler", "AH-1"), part("isolating_valve", "V-1")),
        runs=(
            run("R-1", ("AH-1", "water_out"), ("V-1", "inlet")),
            run("R-2", ("V-1", "outlet"), ("AH-1", "water_in")),
        ),
    )
    assert runs_in_series(vessel) == {"AH-1": ("R-1", "R-2")}
