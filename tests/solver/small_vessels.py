# SPDX-License-Identifier: MIT
"""A small sound vessel, built in a few lines, and the means to break it part by part."""

from __future__ import annotations

from dataclasses import dataclass, field
from itertools import pairwise
from typing import Any

import msgspec

from solver.results import Results
from solver.vessel.components import (
    AirHandler,
    AirSeparator,
    AirVent,
    AnyComponent,
    Chiller,
    CirculationPump,
    ExpansionVessel,
    IsolatingValve,
    KvPoint,
    Manifold,
    Overboard,
    PumpPoint,
    RegulatingValve,
    SeaWaterPump,
    Strainer,
    Tee,
    ThroughHull,
)
from solver.vessel.run import End, Insulation, Run
from solver.vessel.vessel import Vessel
from tests.solver.results_maker import make_results

SERIES = "copper_en1057_continental"
KV_TABLE = tuple(KvPoint(float(turns), kv) for turns, kv in enumerate((0.05, 0.5, 1.2, 2.2, 3.5)))
CURVE = tuple(PumpPoint(flow, 10.0 - 6.0 * flow**2, npsh_required_m=2.0) for flow in (0.0, 0.4, 0.7, 1.0))
SEA_CURVE = tuple(PumpPoint(flow, 7.0 - 2.0 * flow**2, npsh_required_m=2.0) for flow in (0.0, 0.5, 1.0, 1.4))
#: The runs of each air handler's own branch in the sound vessel.
BRANCH_RUNS = {
    "AH-1": ("R-19", "R-20", "R-21", "R-22"),
    "AH-2": ("R-23", "R-24", "R-25", "R-26"),
    "AH-3": ("R-31", "R-27", "R-28", "R-29", "R-30"),
}


@dataclass
class Sketch:
    """Components and runs gathered into a vessel."""

    components: list[AnyComponent] = field(default_factory=list)
    runs: list[Run] = field(default_factory=list)

    def add(self, *components: AnyComponent) -> None:
        self.components.extend(components)

    def run(self, start: tuple[str, str], end: tuple[str, str], size: str = "35x1.5", **more: Any) -> None:
        given = {
            "tag": f"R-{len(self.runs) + 1}",
            "series": SERIES,
            "length_m": 2.0,
            "insulation": Insulation(),
        }
        self.runs.append(Run(start=End(*start), end=End(*end), size=size, **(given | more)))

    def line(self, *stops: tuple[str, str] | str, **more: Any) -> None:
        """Join stops by runs; a bare tag is entered by its first port and left by its second."""
        ports = {part.tag: part.ports for part in self.components}
        for here, there in pairwise(stops):
            start = (here, ports[here][1]) if isinstance(here, str) else here
            end = (there, ports[there][0]) if isinstance(there, str) else there
            self.run(start, end, **more)

    def vessel(self, **more: Any) -> Vessel:
        return Vessel(
            **({"name": "Test boat", "components": tuple(self.components), "runs": tuple(self.runs)} | more)
        )


def sea_side(sketch: Sketch, chiller: str) -> None:
    """Add through-hull, seacock, strainer, sea-water pump and overboard to a chiller."""
    sketch.add(
        ThroughHull(tag="TH-1", height_m=-1.0),
        IsolatingValve(tag="V-90", height_m=-1.0),
        Strainer(tag="ST-90", kv_m3_h=12.0, height_m=-0.8),
        SeaWaterPump(tag="SP-1", curve=SEA_CURVE, height_m=-0.6),
        Overboard(tag="OB-1", height_m=0.5),
    )
    pipe = {"series": "cu_ni_90_10", "size": "38x1.5", "service": "sea"}
    sketch.run(("TH-1", "connection"), ("V-90", "inlet"), length_m=0.3, **pipe)
    sketch.line("V-90", "ST-90", "SP-1", (chiller, "sea_in"), **pipe)
    sketch.run((chiller, "sea_out"), ("OB-1", "connection"), **pipe)


def plant(sketch: Sketch) -> None:
    """Add the machinery: return at TE-1 run_1, strainer, pump, chiller, separator, supply at V-4 outlet."""
    sketch.add(
        Tee(tag="TE-1", height_m=0.0),
        ExpansionVessel(tag="EV-1", height_m=0.0, pressure_kPa=100.0),
        IsolatingValve(tag="V-1", height_m=0.0),
        Strainer(tag="ST-1", kv_m3_h=15.0, height_m=0.0),
        CirculationPump(tag="P-1", curve=CURVE, height_m=0.0),
        IsolatingValve(tag="V-2", height_m=0.0),
        IsolatingValve(tag="V-3", height_m=0.0),
        Chiller(
            tag="CH-1",
            capacity_kW=12.0,
            design_flow_L_s=0.6,
            rated_flow_L_s=0.6,
            rated_drop_kPa=20.0,
            minimum_flow_L_s=0.3,
            turn_down_percent=20.0,
            dead_band_K=4.0,
            height_m=0.0,
        ),
        IsolatingValve(tag="V-4", height_m=0.0),
        AirSeparator(tag="AS-1", kv_m3_h=15.0, height_m=0.2),
    )
    sketch.run(("TE-1", "branch"), ("EV-1", "connection"), size="15x1.0", length_m=0.5)
    sketch.line(("TE-1", "run_2"), "V-1", "ST-1", "P-1", "V-2", "V-3", "CH-1", "V-4", "AS-1", length_m=0.5)


def air_handler(tag: str, flow: float = 0.2, **more: Any) -> AirHandler:
    """Return an air handler of 15 kPa at its design flow."""
    given = {"design_flow_L_s": flow, "rated_flow_L_s": flow, "rated_drop_kPa": 15.0, "height_m": 2.0}
    return AirHandler(tag=tag, **(given | more))


def branch(sketch: Sketch, number: int, supply: tuple[str, str], back: tuple[str, str]) -> None:
    """Add air handler AH-n between two ports with its isolating and regulating valves."""
    sketch.add(
        IsolatingValve(tag=f"V-{number}1", height_m=1.5),
        RegulatingValve(tag=f"RV-{number}", kv_table=KV_TABLE, setting=2.0, height_m=1.5),
        air_handler(f"AH-{number}"),
    )
    sketch.line(supply, f"V-{number}1", f"AH-{number}", size="22x1.0", service="supply")
    sketch.line((f"AH-{number}", "water_out"), f"RV-{number}", back, size="22x1.0", service="return")


def sound_sketch() -> Sketch:
    """Return three air handlers on a direct return with everything a technician asks for."""
    sketch = Sketch()
    plant(sketch)
    sea_side(sketch, "CH-1")
    sketch.add(
        Tee(tag="TE-2", height_m=1.0),
        Tee(tag="TE-3", height_m=1.0),
        Tee(tag="TE-4", height_m=1.0),
        Tee(tag="TE-5", height_m=1.0),
        AirVent(tag="AV-1", height_m=2.6),
    )
    sketch.line(("AS-1", "outlet"), ("TE-2", "run_1"), length_m=4.0, service="supply")
    sketch.line(("TE-2", "run_2"), ("TE-3", "run_1"), length_m=4.0, service="supply")
    sketch.line(("TE-4", "run_2"), ("TE-5", "run_1"), length_m=4.0, service="return")
    sketch.line(("TE-5", "run_2"), ("TE-1", "run_1"), length_m=4.0, service="return")
    branch(sketch, 1, ("TE-2", "branch"), ("TE-5", "branch"))
    branch(sketch, 2, ("TE-3", "branch"), ("TE-4", "branch"))
    branch(sketch, 3, ("AV-1", "outlet"), ("TE-4", "run_1"))
    sketch.run(("TE-3", "run_2"), ("AV-1", "inlet"), size="22x1.0", service="supply")
    return sketch


def sound_vessel(**more: Any) -> Vessel:
    """Return the sound vessel."""
    return sound_sketch().vessel(**more)


def between_manifolds(part: AnyComponent, **more: Any) -> Vessel:
    """Return a part with a run on either side of it, each ending at a manifold; it has no answer."""
    sketch = Sketch()
    sketch.add(Manifold(tag="M-1", port_count=2), part, Manifold(tag="M-2", port_count=2))
    sketch.run(("M-1", "1"), (part.tag, part.ports[0]), size="28x1.5")
    sketch.run((part.tag, part.ports[1]), ("M-2", "1"), size="28x1.5")
    return sketch.vessel(**more)


def changed(vessel: Vessel, tag: str, **fields: Any) -> Vessel:
    """Return the vessel with fields of one component or run replaced."""
    return msgspec.structs.replace(
        vessel,
        components=tuple(
            msgspec.structs.replace(part, **fields) if part.tag == tag else part for part in vessel.components
        ),
        runs=tuple(msgspec.structs.replace(run, **fields) if run.tag == tag else run for run in vessel.runs),
    )


def without(vessel: Vessel, tag: str) -> Vessel:
    """Return the vessel without an in-line component, its neighbours joined by the run that led to it."""
    part = vessel.component_by_tag[tag]
    into, out = part.ports
    (first,), (second,) = vessel.runs_at[tag, into], vessel.runs_at[tag, out]
    end = second.end if second.start == (tag, out) else second.start
    start = first.start if first.end == (tag, into) else first.end
    joined = msgspec.structs.replace(first, start=start, end=end, length_m=first.length_m + second.length_m)
    return msgspec.structs.replace(
        vessel,
        components=tuple(one for one in vessel.components if one.tag != tag),
        runs=tuple(joined if run is first else run for run in vessel.runs if run is not second),
    )


def solved(vessel: Vessel, **more: Any) -> Results:
    """Return its results by square laws."""
    return make_results(vessel, **more)
