# SPDX-License-Identifier: MIT
"""The small loop with a chiller on the sea and cabins with typed loads, for tests of temperatures."""

from __future__ import annotations

import msgspec

from solver.vessel.components import Chiller
from solver.vessel.edits import set_field, set_fields
from solver.vessel.run import End, Run
from solver.vessel.vessel import Vessel
from tests.app.small_loop import small_loop


def cooled_loop() -> Vessel:
    """Return the loop with CH-1 behind the pump; AH-2, nearly shut, leaves its cabin warm."""
    vessel = small_loop()
    chiller = Chiller(
        tag="CH-1",
        at=(40.0, 200.0),
        capacity_kW=8.0,
        design_flow_L_s=0.3,
        rated_flow_L_s=0.3,
        rated_drop_kPa=10.0,
        turn_down_percent=20.0,
    )
    runs = [run for run in vessel.runs if run.tag != "R-1"]
    supply = {"series": "copper_en1057_thin", "size": "22x0.9", "service": "supply"}
    runs += [
        Run(tag="R-1", start=End("P-1", "outlet"), end=End("CH-1", "water_in"), length_m=2.0, **supply),
        Run(tag="R-11", start=End("CH-1", "water_out"), end=End("T-1", "run_1"), length_m=2.0, **supply),
    ]
    vessel = msgspec.structs.replace(vessel, components=(*vessel.components, chiller), runs=tuple(runs))
    vessel = set_fields(
        vessel, ("AH-1", "AH-2"), {"capacity_total_kW": 3.2, "capacity_sensible_kW": 2.4, "fan_power_W": 60.0}
    )
    return set_fields(vessel, ("C-1", "C-2"), {"load_sensible_W": 1900.0, "load_latent_W": 400.0})


def stopped_loop() -> Vessel:
    """Return the loop with too little water for its chiller, which trips."""
    return set_field(cooled_loop(), ("CH-1",), "minimum_flow_L_s", 2.0)
