# SPDX-License-Identifier: MIT
"""A room with mains and cabins for tests of branches, and what to read off a branch."""

from __future__ import annotations

from typing import Any

from solver.vessel.components import AirHandler, kind_name
from solver.vessel.edits import BranchSettings, RunDefaults
from solver.vessel.run import End, Insulation, Run
from solver.vessel.vessel import Cabin, Vessel
from tests.solver.vessel.boats import component
from tests.solver.vessel.drawings import drawn, joined, part

FOAM = Insulation(thickness_mm=19.0)


def branch_settings(**values: Any) -> BranchSettings:
    """Every part of a branch, each with a figure of its own to be known by."""
    everything: dict[str, Any] = {
        "air_handler": component("air_handler", design_flow_L_s=0.21, model="Air handler 3.5 kW"),
        "isolating": component("isolating_valve", opening_percent=90.0),
        "strainer": component("strainer", kv_m3_h=4.4),
        "hose": component("flexible_hose", bore_mm=13.0, length_m=0.7),
        "two_way": component("two_way_valve", kvs_m3_h=1.6),
        "regulating": component("regulating_valve", setting=2.5),
        "pipe": RunDefaults("multilayer", "20x2.0", FOAM, "ceiling"),
        "height_m": 2.0,
    }
    return BranchSettings(**{**everything, **values})


FULL = branch_settings()
PLAIN = branch_settings(strainer=None, hose=None, two_way=None)

#: A supply main 300 units below the cabins and a return main 40 below that, each with a pump's port free.
ROOM = drawn(
    part("P-1", "circulation_pump", (0, 300), height_m=0.0),
    part("IV-1", "isolating_valve", (900, 300)),
    part("IV-2", "isolating_valve", (900, 340), 2),
    part("IV-3", "isolating_valve", (0, 340), 2),
    cabins=tuple(
        Cabin(
            tag=f"C-{number}",
            name=f"Cabin {number}",
            deck="Main",
            outline=((left, 0.0), (left + 200.0, 0.0), (left + 200.0, 220.0), (left, 220.0)),
        )
        for number, left in enumerate((60.0, 280.0, 500.0), start=1)
    ),
)
MAINS = joined(ROOM, "P-1 outlet > IV-1 inlet", "IV-2 outlet > IV-3 inlet")


def chain(vessel: Vessel, start: End) -> list[str]:
    """The kinds passed from a port on, down the pipe, to the part that ends it."""
    kinds = []
    end = start
    while runs := vessel.runs_at.get((end.tag, end.port)):
        (run,) = runs
        into = run.end if run.start == end else run.start
        reached = vessel.component_by_tag[into.tag]
        kinds.append(kind_name(reached))
        if len(reached.ports) != 2 or isinstance(reached, AirHandler):
            break
        end = End(into.tag, next(port for port in reached.ports if port != into.port))
    return kinds


def new_runs(before: Vessel, after: Vessel) -> list[Run]:
    return [run for run in after.runs if run.tag not in before.run_by_tag]


def air_handler(vessel: Vessel, tag: str) -> AirHandler:
    found = vessel.component_by_tag[tag]
    assert isinstance(found, AirHandler)
    return found
