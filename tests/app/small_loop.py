# SPDX-License-Identifier: MIT
"""A small loop for tests of the window: a pump, two air handlers with a regulating valve each."""

from __future__ import annotations

from typing import Any

from solver.vessel.components import (
    AirHandler,
    CirculationPump,
    ExpansionVessel,
    KvPoint,
    PumpPoint,
    RegulatingValve,
    Tee,
)
from solver.vessel.edits import remove
from solver.vessel.run import End, Run
from solver.vessel.vessel import Cabin, Deck, Vessel

_KV = tuple(KvPoint(float(turns), kv) for turns, kv in enumerate((0.0, 0.4, 0.9, 1.6, 2.5)))


def _pump(tag: str, **fields: Any) -> CirculationPump:
    points = ((0.0, 8.0, 0.0), (0.3, 7.2, 40.0), (0.6, 5.0, 48.0), (0.9, 1.5, 30.0))
    curve = tuple(
        PumpPoint(flow_L_s=flow, head_m=head, efficiency_percent=efficiency)
        for flow, head, efficiency in points
    )
    return CirculationPump(tag=tag, curve=curve, **fields)


def _air_handler(tag: str, name: str, x: float, cabin: str) -> AirHandler:
    return AirHandler(
        tag=tag,
        name=name,
        at=(x, 0.0),
        deck="Lower deck",
        design_flow_L_s=0.15,
        rated_flow_L_s=0.15,
        rated_drop_kPa=15.0,
        cabins=(cabin,),
    )


def _run(tag: str, start: tuple[str, str], end: tuple[str, str], length: float, **fields: Any) -> Run:
    return Run(
        tag=tag,
        start=End(*start),
        end=End(*end),
        series="copper_en1057_thin",
        size=fields.pop("size", "22x0.9"),
        length_m=length,
        **fields,
    )


def small_loop() -> Vessel:
    """Return the loop; AH-2 lies far away and its valve is nearly shut."""
    valve = {"kv_table": _KV}
    return Vessel(
        name="Test boat",
        decks=(Deck(name="Lower deck", height_m=0.0), Deck(name="Main deck", height_m=2.4)),
        cabins=(Cabin(tag="C-1", name="Aft cabin"), Cabin(tag="C-2", name="Guest cabin")),
        components=(
            _pump("P-1", at=(0.0, 200.0), name="Loop pump"),
            ExpansionVessel(tag="EX-1", at=(-60.0, 120.0)),
            Tee(tag="T-0", at=(-60.0, 200.0)),
            Tee(tag="T-1", at=(100.0, 200.0)),
            Tee(tag="T-2", at=(100.0, 280.0)),
            RegulatingValve(tag="RV-1", at=(140.0, 100.0), setting=3.0, **valve),
            RegulatingValve(tag="RV-2", at=(340.0, 100.0), setting=1.0, **valve),
            _air_handler("AH-1", "Aft", 140.0, "C-1"),
            _air_handler("AH-2", "Guest", 340.0, "C-2"),
        ),
        runs=(
            _run("R-1", ("P-1", "outlet"), ("T-1", "run_1"), 4.0, service="supply"),
            _run("R-2", ("T-1", "branch"), ("AH-1", "water_in"), 2.0, size="15x0.7", service="supply"),
            _run("R-3", ("AH-1", "water_out"), ("RV-1", "inlet"), 1.0, size="15x0.7", service="return"),
            _run("R-4", ("RV-1", "outlet"), ("T-2", "branch"), 2.0, size="15x0.7", service="return"),
            _run("R-5", ("T-1", "run_2"), ("AH-2", "water_in"), 14.0, size="15x0.7", service="supply"),
            _run("R-6", ("AH-2", "water_out"), ("RV-2", "inlet"), 1.0, size="15x0.7", service="return"),
            _run("R-7", ("RV-2", "outlet"), ("T-2", "run_1"), 14.0, size="15x0.7", service="return"),
            _run("R-8", ("T-2", "run_2"), ("T-0", "run_1"), 4.0, service="return"),
            _run("R-9", ("T-0", "run_2"), ("P-1", "inlet"), 1.0, service="return"),
            _run("R-10", ("T-0", "branch"), ("EX-1", "connection"), 1.0),
        ),
    )


def unsolvable_loop() -> Vessel:
    """Return the loop without its expansion vessel: nothing sets its pressure."""
    return remove(small_loop(), ("EX-1",))
