# SPDX-License-Identifier: MIT
"""Loops that have flows and no temperatures, and why."""

from __future__ import annotations

import msgspec
import pytest

from solver.errors import NotSolvableError, PartError
from solver.solve import solve
from solver.vessel.run import End
from tests.heat_boats import cool_vessel, cooled
from tests.solver.findings.broken import removed, run_between
from tests.solver.small_vessels import changed, sound_vessel


def test_a_loop_without_a_chiller_has_flows_and_no_temperatures() -> None:
    vessel = removed(sound_vessel(), "TH-1", "V-90", "ST-90", "SP-1", "OB-1")
    runs = {run_between(vessel, "V-3", "CH-1").tag, run_between(vessel, "CH-1", "V-4").tag}
    kept = run_between(vessel, "V-3", "CH-1")
    joined = msgspec.structs.replace(kept, end=End("V-4", "inlet"))
    vessel = msgspec.structs.replace(
        vessel,
        components=tuple(part for part in vessel.components if part.tag != "CH-1"),
        runs=(*(run for run in vessel.runs if run.tag not in runs), joined),
    )
    results = solve(vessel, heat=True)
    assert results.heat is None
    assert results.no_heat is None
    assert results.links["AH-1"].flow_L_s > 0.0


def test_a_coil_no_one_could_build_leaves_the_flows_and_says_why() -> None:
    vessel = changed(cool_vessel(), "AH-1", capacity_total_kW=30.0)
    results = solve(vessel, heat=True)
    assert results.heat is None
    assert results.no_heat is not None
    assert results.no_heat.tags == ("AH-1",)
    assert "AH-1" in results.no_heat.problem
    assert results.findings[0] == results.no_heat
    assert results.links["AH-1"].flow_L_s > 0.0


def test_what_makes_no_sense_is_refused_by_name() -> None:
    with pytest.raises(NotSolvableError, match="CH-1") as caught:
        cooled(changed(cool_vessel(), "CH-1", power_kW=0.5))
    assert caught.value.tags == ("CH-1",)
    assert not isinstance(caught.value, PartError)
