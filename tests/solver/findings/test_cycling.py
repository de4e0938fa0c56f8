# SPDX-License-Identifier: MIT
"""Rules on chillers that start and stop: by the water in their loop, and after a pull-down."""

from __future__ import annotations

import msgspec
import pytest

from solver.findings.cycling import pull_down_findings
from solver.heat.pull_down import Span, pull_down
from solver.heat.pulled import CabinPulled, ChillerPulled, PullDown
from solver.solve import solve
from solver.vessel.vessel import Limits
from solver.vessel.water_content import least_loop_volume_L, loop_volumes_L, most_starts_h
from tests.solver.findings.judged import only, told
from tests.solver.small_vessels import changed, sound_vessel


def test_little_water_is_told_with_what_it_should_be() -> None:
    vessel = changed(sound_vessel(), "CH-1", turn_down_percent=50.0, dead_band_K=2.0)
    needed = least_loop_volume_L(6.0, 3.0, 2.0)
    volume = loop_volumes_L(vessel)["CH-1"]
    found = only("loop_volume_low", vessel)
    assert found.severity == "warn" and found.tags == ("CH-1",)
    assert f"holds {volume:.0f} L" in found.problem and f"{needed:.0f} L" in found.problem
    assert f"{100 * volume / needed:.0f} %" in found.problem and "2.0 K" in found.cause
    us = only("loop_volume_low", msgspec.structs.replace(vessel, units="us"))
    assert f"holds {volume / 3.785412:.1f} US gal" in us.problem
    assert "3.6 °F" in us.cause
    # Room for it, a wider band or a shorter least run each cure it.
    assert not told("loop_volume_low", changed(vessel, "CH-1", dead_band_K=20.0))
    assert not told("loop_volume_low", changed(vessel, "CH-1", minimum_run_min=0.1))


def test_starts_are_those_at_half_load_and_least_times_bound_them() -> None:
    vessel = changed(sound_vessel(), "CH-1", turn_down_percent=100.0, dead_band_K=2.0)
    # Six minutes a cycle are ten starts an hour, though the loop alone would have more.
    assert most_starts_h(12.0, loop_volumes_L(vessel)["CH-1"], 2.0) > 10.0
    assert "up to 10.0 times an hour; at most 6" in only("short_cycling", vessel).problem
    slow = changed(vessel, "CH-1", minimum_run_min=5.0, minimum_stop_min=5.0)
    assert not told("short_cycling", slow)
    patient = msgspec.structs.replace(vessel, limits=Limits(starts_max_h=12.0))
    assert not told("short_cycling", patient)
    assert not told("short_cycling", changed(vessel, "CH-1", running=False))


def _pulled(**chiller: object) -> PullDown:
    pulled = pull_down(solve(sound_vessel()), Span(0.1))
    base = ChillerPulled("CH-1", 31.0, 1, 0.0, 1, None, 1.0, (), "")
    return msgspec.structs.replace(pulled, cabins=(), chillers=(msgspec.structs.replace(base, **chiller),))


def test_a_run_without_fault_has_nothing_to_say() -> None:
    assert pull_down_findings(_pulled()) == ()


@pytest.mark.parametrize(
    ("chiller", "rule", "severity", "words"),
    [
        ({"still": "off", "starts": 0}, "chiller_stood", "bad", "switched off"),
        ({"still": "low_flow", "starts": 0}, "chiller_stood", "bad", "flow switch holds it"),
        ({"still": "high_condensing", "starts": 0}, "chiller_stood", "bad", "No sea water"),
        (
            {"still": "freezing", "starts": 3, "trips": ((0.1, "freezing"),) * 3},
            "chiller_locked_out",
            "bad",
            "frost switch",
        ),
        ({"trips": ((0.5, "high_condensing"),)}, "chiller_tripped", "warn", "high-pressure switch"),
        ({"most_starts_h": 9, "shortest_run_min": 3.2}, "short_cycled", "warn", "shortest run was 3.2 min"),
    ],
)
def test_what_a_run_shows_is_told(chiller: dict[str, object], rule: str, severity: str, words: str) -> None:
    (found,) = pull_down_findings(_pulled(**chiller))
    assert (found.rule, found.severity, found.tags) == (rule, severity, ("CH-1",))
    assert words in f"{found.problem} {found.cause}"


def test_cabins_that_stay_warm_are_told_the_furthest_by_its_temperature() -> None:
    cabins = (
        CabinPulled("C-1", 23.0, 35.0, 23.1, 0.5, 2.0),
        CabinPulled("C-2", 23.0, 35.0, 25.0, 0.5, None),
        CabinPulled("C-3", 23.0, 35.0, 27.0, 0.5, None),
    )
    (found,) = pull_down_findings(msgspec.structs.replace(_pulled(), cabins=cabins))
    assert found.rule == "set_point_not_reached" and found.tags == ("C-2", "C-3")
    assert "C-2 and C-3 did not reach" in found.problem and "C-3 ended at 27.0 °C" in found.problem
