# SPDX-License-Identifier: MIT
"""A small vessel with every kind of component and every key of the file in use.

Invented; it is for the document and need not make sense as a loop.
"""

from __future__ import annotations

import msgspec

from solver.change import Change
from solver.vessel.cabin import Surface
from solver.vessel.components import (
    KINDS,
    AnyComponent,
    Component,
    DropPoint,
    KvPoint,
    PumpPoint,
)
from solver.vessel.edits import PREFIXES
from solver.vessel.run import End, Fitting, Insulation, Run
from solver.vessel.vessel import (
    Cabin,
    Conditions,
    Deck,
    Limits,
    LoopLiquid,
    Method,
    Reading,
    ReadingSet,
    Scenario,
    Space,
    Underlay,
    Vessel,
)

CURVE = tuple(PumpPoint(flow, 12.0 - 2.0 * flow**2, efficiency_percent=50.0) for flow in (0.0, 1.0, 2.0))
KV_TABLE = (KvPoint(0.0, 0.1), KvPoint(2.0, 1.5), KvPoint(4.0, 3.0))
_NEEDED = {"curve": CURVE, "kv_table": KV_TABLE, "setting": 2.0, "flow_L_s": 0.2}


def component(kind: str, tag: str = "", **fields: object) -> AnyComponent:
    """Return a component of a kind, tagged with its prefix and 1, required numbers set to 1."""
    struct: type[Component] = KINDS[kind]
    required = {
        field.name: _NEEDED.get(field.name, 1.0)
        for field in msgspec.structs.fields(struct)
        if field.required and field.name != "tag"
    }
    return struct(**{**required, "tag": tag or PREFIXES[kind] + "1", **fields})  # type: ignore[return-value]


def run(tag: str, start: tuple[str, str], end: tuple[str, str], **fields: object) -> Run:
    """Return a copper run of 2 m between two ports."""
    given: dict[str, object] = {"series": "copper_en1057_thin", "size": "22x0.9", "length_m": 2.0, **fields}
    return Run(tag=tag, start=End(*start), end=End(*end), **given)  # type: ignore[arg-type]


def every_kind() -> Vessel:
    """Return a vessel with all kinds of component, all in line where they can be."""
    parts = [
        component(kind, at=(60.0 * number, 0.0), name=kind.replace("_", " "))
        for number, kind in enumerate(KINDS)
    ]
    parts = [_with_more(part) for part in parts]
    in_line = [part for part in parts if len(part.ports) > 1]
    runs = [
        run(f"R-{number}", (one.tag, one.ports[1]), (next_one.tag, next_one.ports[0]))
        for number, (one, next_one) in enumerate(
            zip(in_line, in_line[1:] + in_line[:1], strict=True), start=1
        )
    ]
    runs[0] = msgspec.structs.replace(
        runs[0],
        length_known="guessed",
        length_plus_minus_percent=15.0,
        rise_m=0.4,
        fittings=(Fitting("elbow_90", 2), Fitting("elbow_45")),
        extra_k=0.5,
        insulation=Insulation(thickness_mm=19.0),
        surroundings="engine room",
        surroundings_temp_C=45.0,
        service="supply",
        bends=((30.0, 10.0), (30.0, 0.0)),
        notes="behind the ladder\nhard to reach",
    )
    return Vessel(
        name="Tern",
        notes="invented",
        units="us",
        loop_liquid=LoopLiquid("propylene_glycol", 30.0, "volume", 8.0),
        conditions=(Conditions(name="Summer"), Conditions(name="Winter", mode="heating", sea_temp_C=8.0)),
        condition="Winter",
        spaces=(Space("Paint locker", 38.0), Space("engine room", 45.0, 40.0, 0.6)),
        decks=(Deck("Lower", -0.5), Deck("Main", 1.9)),
        cabins=(
            Cabin(
                tag="C-1",
                name="Owner",
                deck="Main",
                outline=((0.0, 0.0), (90.0, 0.0), (90.0, 80.0)),
                floor_area_m2=14.0,
                surfaces=(
                    Surface(kind="side", area_m2=8.0, construction="grp_single", facing_deg=-90.0),
                    Surface(kind="window", area_m2=1.2, solar_gain=0.4, shaded_percent=20.0),
                    Surface(kind="bulkhead", area_m2=6.0, u_W_m2K=1.1, other_side="Paint locker"),
                ),
                people=2.0,
                activity="sleeping",
                outdoor_air_L_s=16.0,
                load_latent_W=150.0,
            ),
            Cabin(tag="C-2"),
        ),
        components=tuple(parts),
        runs=tuple(runs),
        readings=(
            ReadingSet(
                "2025-06-14",
                (Reading("PI-1", "pressure_kPa", 152.5, 2.0), Reading("R-1", "temp_C", 7.1)),
                "alongside",
            ),
        ),
        scenarios=(
            Scenario(
                "Pump slow", (Change("P-1", "speed_percent", 80.0), Change("STR-1", "clogging_percent", 60.0))
            ),
            Scenario("Longer", (Change("R-1", "length_m", 1.15, "scale"),), "as measured"),
        ),
        underlays=(Underlay(file="plan.png", deck="Lower"),),
        limits=Limits(velocity_max_m_s=1.2),
        method=Method(fittings="darby"),
        parts_list="parts.csv",
    )


def _with_more(part: AnyComponent) -> AnyComponent:
    more: dict[str, object] = {}
    if part.tag == "AH-1":
        more = {"cabins": ("C-1", "C-2"), "deck": "Lower", "height_m": 1.2, "model": "invented 4"}
    if part.tag == "CH-1":
        more = {"drop_points": (DropPoint(1.0, 20.0), DropPoint(2.0, 71.0)), "turn": 1, "running": False}
    return msgspec.structs.replace(part, **more)


def line(count: int = 3) -> Vessel:
    """Return a vessel of ``count`` isolating valves in a row, R-1 between IV-1 and IV-2 and so on."""
    valves = tuple(component("isolating_valve", f"IV-{n}", at=(100.0 * n, 0.0)) for n in range(1, count + 1))
    runs = tuple(run(f"R-{n}", (f"IV-{n}", "outlet"), (f"IV-{n + 1}", "inlet")) for n in range(1, count))
    return Vessel(name="Line", components=valves, runs=runs)
