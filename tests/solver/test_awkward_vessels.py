# SPDX-License-Identifier: MIT
"""The awkward cases told of a vessel, by the tags in its drawing."""

from __future__ import annotations

import msgspec
import pytest

from solver.errors import NotSolvableError
from solver.solve import solve
from solver.vessel.components import ExpansionVessel, IsolatingValve, KvPoint, Tee
from solver.vessel.run import End
from solver.vessel.vessel import Vessel
from tests.solver.small_vessels import KV_TABLE, changed, sound_sketch, sound_vessel, without


def refusal(vessel: Vessel) -> NotSolvableError:
    with pytest.raises(NotSolvableError) as told:
        solve(vessel)
    return told.value


def second_expansion_vessel(opening_percent: float) -> Vessel:
    """Return the sound vessel with EV-2 behind an isolating valve, on a tee in place of the air vent."""
    sketch = sound_sketch()
    sketch.add(
        ExpansionVessel(tag="EV-2", height_m=0.0, pressure_kPa=60.0),
        IsolatingValve(tag="V-9", opening_percent=opening_percent),
    )
    sketch.components = [Tee(tag="AV-1") if part.tag == "AV-1" else part for part in sketch.components]
    ports = {("AV-1", "inlet"): End("AV-1", "run_1"), ("AV-1", "outlet"): End("AV-1", "run_2")}
    sketch.runs = [
        msgspec.structs.replace(run, start=ports.get(run.start, run.start), end=ports.get(run.end, run.end))
        for run in sketch.runs
    ]
    sketch.run(("AV-1", "branch"), ("V-9", "inlet"), size="15x1.0", length_m=0.5)
    sketch.run(("V-9", "outlet"), ("EV-2", "connection"), size="15x1.0", length_m=0.5)
    return sketch.vessel()


def test_two_expansion_vessels() -> None:
    told = refusal(second_expansion_vessel(100.0))
    assert "two pressure references fight: EV-1 and EV-2" in told.reason
    assert {"EV-1", "EV-2"} <= set(told.tags)


def test_two_expansion_vessels_with_a_shut_valve_between_them() -> None:
    results = solve(second_expansion_vessel(0.0))
    assert results.port_kPa["EV-1", "connection"] == pytest.approx(100.0)
    assert results.port_kPa["EV-2", "connection"] == pytest.approx(60.0)
    assert results.links["V-9"].flow_L_s == 0.0


def test_an_expansion_vessel_in_the_sea_circuit() -> None:
    sketch = sound_sketch()
    sketch.add(ExpansionVessel(tag="EV-2"), Tee(tag="TE-9"))
    last = next(run for run in sketch.runs if run.end.tag == "OB-1")
    sketch.runs = [run for run in sketch.runs if run is not last]
    sketch.run(last.start, ("TE-9", "run_1"), size="35x1.5")
    sketch.run(("TE-9", "run_2"), last.end, size="35x1.5")
    sketch.run(("TE-9", "branch"), ("EV-2", "connection"), size="15x1.0")
    told = refusal(sketch.vessel())
    assert "two pressure references fight: EV-2, TH-1, OB-1 are in one circuit" in told.reason
    assert told.tags == ("EV-2", "TH-1", "OB-1")


def test_nothing_drawn() -> None:
    assert refusal(Vessel(name="Empty")).reason == "nothing to solve: no runs are drawn"


def test_no_expansion_vessel() -> None:
    vessel = sound_vessel()
    bare = msgspec.structs.replace(
        vessel,
        components=tuple(part for part in vessel.components if part.tag != "EV-1"),
        runs=tuple(run for run in vessel.runs if "EV-1" not in (run.start.tag, run.end.tag)),
    )
    told = refusal(bare)
    assert "no pressure reference: the circuit of P-1, CH-1 has no expansion vessel" in told.reason
    assert {"P-1", "CH-1"} <= set(told.tags)


def test_no_pump() -> None:
    told = refusal(without(sound_vessel(), "P-1"))
    assert "no pump: the circuit of CH-1 has none" in told.reason
    assert "CH-1" in told.tags


def test_a_part_of_a_vessel_cut_off_has_no_pressure_and_no_flow() -> None:
    tight = tuple(KvPoint(point.setting, point.kv_m3_h if point.setting else 0.0) for point in KV_TABLE)
    vessel = changed(sound_vessel(), "V-11", opening_percent=0.0)
    vessel = changed(vessel, "RV-1", setting=0.0, kv_table=tight)
    results = solve(vessel)
    assert results.links["AH-1"].flow_L_s == 0.0
    assert results.port_kPa["AH-1", "water_in"] is None
    assert results.links["AH-1"].start_kPa is None
    assert results.port_kPa["AH-2", "water_in"] is not None
