# SPDX-License-Identifier: MIT
"""For each rule a vessel that breaks it: the sound one with one thing wrong."""

from __future__ import annotations

from collections.abc import Callable
from types import MappingProxyType
from typing import Any

import msgspec

from solver.results import Results
from solver.solve import solve
from solver.vessel.components import (
    AnyComponent,
    CheckValve,
    CirculationPump,
    ConstantFlowValve,
    DifferentialBypass,
    Drain,
    ExpansionVessel,
    FlowMeter,
    KvPoint,
    Manifold,
    PumpPoint,
    Tee,
)
from solver.vessel.run import End, Run
from solver.vessel.vessel import Cabin, Conditions, LoopLiquid, Vessel
from tests.heat_boats import cool_vessel, cooled
from tests.solver.small_vessels import CURVE, changed, solved, sound_sketch, sound_vessel, without

Judged = tuple[Vessel, Results | None]


def swapped(vessel: Vessel, tag: str, part: AnyComponent) -> Vessel:
    """Return the vessel with another component in the place of one."""
    return msgspec.structs.replace(
        vessel, components=tuple(part if one.tag == tag else one for one in vessel.components)
    )


def removed(vessel: Vessel, *tags: str) -> Vessel:
    """Return the vessel without some parts and the runs that end at them."""
    return msgspec.structs.replace(
        vessel,
        components=tuple(part for part in vessel.components if part.tag not in tags),
        runs=tuple(
            run
            for run in vessel.runs
            if run.tag not in tags and run.start.tag not in tags and run.end.tag not in tags
        ),
    )


def added(vessel: Vessel, *parts: AnyComponent, runs: tuple[Run, ...] = ()) -> Vessel:
    """Return the vessel with more parts."""
    return msgspec.structs.replace(
        vessel, components=(*vessel.components, *parts), runs=(*vessel.runs, *runs)
    )


def every_run(vessel: Vessel, **fields: Any) -> Vessel:
    """Return the vessel with fields of all its runs replaced."""
    return msgspec.structs.replace(
        vessel, runs=tuple(msgspec.structs.replace(run, **fields) for run in vessel.runs)
    )


def run_between(vessel: Vessel, start: str, end: str) -> Run:
    """Return the run from one component to another, as drawn."""
    return next(run for run in vessel.runs if (run.start.tag, run.end.tag) == (start, end))


def with_figures(results: Results, kind: str, tag: str, **fields: Any) -> Results:
    """Return results with figures of one link, pump or air handler replaced."""
    table = dict(getattr(results, kind))
    table[tag] = msgspec.structs.replace(table[tag], **fields)
    return msgspec.structs.replace(results, **{kind: MappingProxyType(table)})


def inserted(vessel: Vessel, run_tag: str, part: AnyComponent) -> Vessel:
    """Return the vessel with an in-line part put into a run."""
    run = vessel.run_by_tag[run_tag]
    into, out = part.ports[:2]
    first = msgspec.structs.replace(run, end=End(part.tag, into))
    second = msgspec.structs.replace(run, tag=f"{run_tag}b", start=End(part.tag, out))
    kept = tuple(first if one is run else one for one in vessel.runs)
    return msgspec.structs.replace(vessel, components=(*vessel.components, part), runs=(*kept, second))


def parallel_pumps(*, checked: bool = True, speeds: tuple[float, float] = (100.0, 100.0)) -> Vessel:
    """Return the sound vessel with two pumps side by side."""
    vessel = without(sound_vessel(), "P-1")
    main = run_between(vessel, "ST-1", "V-2")
    vessel = removed(vessel, main.tag)
    parts: list[AnyComponent] = [Tee(tag="TE-8", height_m=0.0), Tee(tag="TE-9", height_m=0.0)]
    ends = [
        (("ST-1", "outlet"), ("TE-8", "run_1")),
        (("TE-9", "run_2"), ("V-2", "inlet")),
    ]
    for number, port, port_out in ((1, "run_2", "run_1"), (2, "branch", "branch")):
        pump = f"P-{number}"
        parts.append(CirculationPump(tag=pump, curve=CURVE, speed_percent=speeds[number - 1], height_m=0.0))
        ends.append((("TE-8", port), (pump, "inlet")))
        if checked:
            parts.append(CheckValve(tag=f"CV-{number}", kv_m3_h=15.0, height_m=0.0))
            ends.append(((pump, "outlet"), (f"CV-{number}", "inlet")))
            ends.append(((f"CV-{number}", "outlet"), ("TE-9", port_out)))
        else:
            ends.append(((pump, "outlet"), ("TE-9", port_out)))
    runs = tuple(
        msgspec.structs.replace(main, tag=f"R-9{place}", start=End(*start), end=End(*end), length_m=0.5)
        for place, (start, end) in enumerate(ends)
    )
    return added(vessel, *parts, runs=runs)


def with_bypass(set_kPa: float) -> Vessel:
    """Return the sound vessel with a differential bypass between supply and return."""
    sketch = sound_sketch()
    supply = next(run for run in sketch.runs if run.start == ("AS-1", "outlet"))
    back = next(run for run in sketch.runs if run.end == ("TE-1", "run_1"))
    sketch.runs.remove(supply)
    sketch.runs.remove(back)
    sketch.add(
        Tee(tag="TE-6", height_m=0.2),
        Tee(tag="TE-7", height_m=0.2),
        DifferentialBypass(tag="DB-1", set_kPa=set_kPa, kv_m3_h=2.0, height_m=0.2),
    )
    for place, (start, end) in enumerate(
        (
            (("AS-1", "outlet"), ("TE-6", "run_1")),
            (("TE-6", "run_2"), supply.end),
            (back.start, ("TE-7", "run_1")),
            (("TE-7", "run_2"), ("TE-1", "run_1")),
            (("TE-6", "branch"), ("DB-1", "inlet")),
            (("DB-1", "outlet"), ("TE-7", "branch")),
        )
    ):
        sketch.run(start, end, tag=f"R-9{place}")
    return sketch.vessel()


def constant_flow(flow_L_s: float, **more: float) -> Vessel:
    """Return the sound vessel with a constant-flow valve instead of RV-1."""
    return swapped(
        sound_vessel(),
        "RV-1",
        ConstantFlowValve(tag="RV-1", flow_L_s=flow_L_s, height_m=1.5, **more),
    )


def _plain(vessel: Vessel) -> Judged:
    return vessel, None


def _solved(vessel: Vessel) -> Judged:
    return vessel, solved(vessel)


def _really_solved(vessel: Vessel) -> Judged:
    return vessel, solve(vessel)


def _altered(kind: str, tag: str, **fields: Any) -> Judged:
    results = with_figures(solved(sound_vessel()), kind, tag, **fields)
    return results.vessel, results


def _glycol(kind: str, share: float) -> Judged:
    return _plain(sound_vessel(loop_liquid=LoopLiquid(kind=kind, share_percent=share)))  # type: ignore[arg-type]


def _hull_hose() -> Judged:
    vessel = sound_vessel()
    return _plain(changed(vessel, run_between(vessel, "TH-1", "V-90").tag, length_m=3.0))


def hung_on(vessel: Vessel, start: str, end: str, part: AnyComponent, length_m: float = 0.5) -> Vessel:
    """Return the vessel with a part on a new tee in the run between two components."""
    run = run_between(vessel, start, end)
    vessel = inserted(vessel, run.tag, Tee(tag="TE-7", height_m=part.height_m))
    leg = msgspec.structs.replace(
        run, tag="R-99", start=End("TE-7", "branch"), end=End(part.tag, part.ports[0]), length_m=length_m
    )
    return added(vessel, part, runs=(leg,))


def _without_flow(start: str, end: str) -> Judged:
    vessel = sound_vessel()
    return vessel, with_figures(solved(vessel), "links", run_between(vessel, start, end).tag, flow_L_s=0.0)


def with_manifold(port_count: int) -> Vessel:
    """Return the sound vessel with a manifold instead of TE-2."""
    vessel = swapped(sound_vessel(), "TE-2", Manifold(tag="TE-2", port_count=port_count, height_m=1.0))
    port = {"run_1": "1", "run_2": "2", "branch": "3"}
    return msgspec.structs.replace(
        vessel,
        runs=tuple(
            msgspec.structs.replace(
                run,
                start=End("TE-2", port[run.start.port]) if run.start.tag == "TE-2" else run.start,
                end=End("TE-2", port[run.end.port]) if run.end.tag == "TE-2" else run.end,
            )
            for run in vessel.runs
        ),
    )


def vessel_on_supply() -> Vessel:
    """Return the sound vessel with its expansion vessel behind the chiller."""
    vessel = sound_vessel()
    holder = vessel.component_by_tag["EV-1"]
    vessel = removed(vessel, "EV-1")
    return hung_on(vessel, "AS-1", "TE-2", holder)


def _trapped() -> Judged:
    vessel = changed(sound_vessel(), "V-11", opening_percent=0.0)
    vessel = changed(vessel, "RV-1", kv_table=(KvPoint(0.0, 0.0), KvPoint(4.0, 3.5)), setting=0.0)
    return _really_solved(vessel)


def _starved(**fields: Any) -> Judged:
    return _solved(changed(sound_vessel(), "AH-2", **fields))


def _humped() -> Judged:
    points = (PumpPoint(0.0, 9.0), PumpPoint(0.3, 10.0), PumpPoint(0.7, 7.0), PumpPoint(1.0, 4.0))
    return _plain(changed(sound_vessel(), "P-1", curve=points))


def _cooled(tag: str = "", loads: dict[str, Any] | None = None, **fields: Any) -> Judged:
    """Return the cool vessel, perhaps with one part changed, and its temperatures under loads."""
    vessel = changed(cool_vessel(), tag, **fields)
    return vessel, cooled(vessel, **(loads or {}))


def _heated(outdoor_C: float, sea_C: float, **chiller: Any) -> Judged:
    """Return the cool vessel on a cold day, with fields of its chiller changed."""
    day = Conditions(name="Winter", outdoor_temp_C=outdoor_C, sea_temp_C=sea_C, mode="heating")
    vessel = changed(cool_vessel(conditions=(day,)), "CH-1", **chiller)
    return vessel, cooled(vessel, gain_W=0.0)


def _glycol_in_coils() -> Judged:
    vessel = cool_vessel(loop_liquid=LoopLiquid(kind="propylene_glycol", share_percent=40.0))
    return vessel, cooled(vessel)


def _extra_cabin() -> Judged:
    vessel = cool_vessel()
    return _plain(msgspec.structs.replace(vessel, cabins=(*vessel.cabins, Cabin(tag="C-4"))))


#: Rule -> what breaks it.
BROKEN: dict[str, Callable[[], Judged]] = {
    "no_circulation_pump": lambda: _plain(without(sound_vessel(), "P-1")),
    "pump_stopped": lambda: _plain(changed(sound_vessel(), "P-1", running=False)),
    "no_expansion_vessel": lambda: _plain(removed(sound_vessel(), "EV-1")),
    "pump_dead_headed": lambda: _solved(changed(sound_vessel(), "V-2", opening_percent=0.0)),
    "pump_reversed": lambda: _altered("pumps", "P-1", flow_L_s=-0.1),
    "check_valve_held_shut": lambda: _really_solved(parallel_pumps(speeds=(100.0, 50.0))),
    "chiller_without_flow": lambda: _solved(changed(sound_vessel(), "V-4", opening_percent=0.0)),
    "chiller_below_minimum": lambda: _solved(changed(sound_vessel(), "CH-1", minimum_flow_L_s=0.7)),
    "loop_volume_low": lambda: (changed(sound_vessel(), "CH-1", turn_down_percent=100.0), None),
    "short_cycling": lambda: (changed(sound_vessel(), "CH-1", turn_down_percent=100.0), None),
    "chiller_reversed": lambda: _altered("links", "CH-1", flow_L_s=-0.5),
    "no_chiller_runs": lambda: _cooled("CH-1", running=False),
    "chiller_high_condensing": lambda: _cooled("CH-1", condenser_fouling_percent=95.0),
    "chiller_freezing": lambda: _cooled("CH-1", set_point_C=5.0, freezing_trip_C=6.0),
    "chiller_sea_too_cold": lambda: _heated(-15.0, -0.5),
    "chiller_cannot_heat": lambda: _heated(5.0, 12.0, heating_capacity_kW=0.0),
    "chiller_short": lambda: _cooled("CH-1", capacity_kW=6.0),
    "cabin_off_set_point": lambda: _cooled(loads={"gain_W": 5000.0}),
    "air_handler_without_flow": lambda: _solved(changed(sound_vessel(), "V-11", opening_percent=0.0)),
    "air_handler_low": lambda: _solved(changed(sound_vessel(), "RV-2", setting=0.6)),
    "air_handler_reversed": lambda: _altered("links", "AH-1", flow_L_s=-0.2),
    "air_handler_high": lambda: _solved(changed(sound_vessel(), "RV-1", setting=4.0)),
    "index_needs_more": lambda: _starved(rated_drop_kPa=200.0),
    "sea_flow_low": lambda: _cooled("CH-1", sea_rated_flow_L_s=2.0),
    "condenser_approach": lambda: _cooled("CH-1", condenser_fouling_percent=60.0),
    "chiller_outside_figures": lambda: _cooled("CH-1", set_point_C=24.0),
    "condensation": lambda: _cooled("R-17", insulation=None),
    "pump_beyond_curve": lambda: _altered("pumps", "P-1", flow_L_s=1.2),
    "stopped_pump_leaks": lambda: _solved(changed(parallel_pumps(checked=False), "P-2", running=False)),
    "suction_too_low": lambda: _altered("pumps", "SP-1", npsh_available_m=2.2),
    "pressure_below_air": lambda: _solved(changed(sound_vessel(), "EV-1", pressure_kPa=0.0)),
    "low_pressure_at_top": lambda: _plain(changed(sound_vessel(), "EV-1", pressure_kPa=40.0)),
    "two_expansion_vessels": lambda: _plain(
        hung_on(sound_vessel(), "AS-1", "TE-2", ExpansionVessel(tag="EV-2", height_m=1.0))
    ),
    "expansion_vessel_not_at_suction": lambda: _plain(vessel_on_supply()),
    "no_vent_at_high_point": lambda: _plain(
        swapped(sound_vessel(), "AV-1", FlowMeter(tag="AV-1", height_m=2.6))
    ),
    "no_air_separator": lambda: _plain(without(sound_vessel(), "AS-1")),
    "cut_off_parts": _trapped,
    "constant_flow_below_range": lambda: _really_solved(constant_flow(0.6)),
    "constant_flow_above_range": lambda: _really_solved(
        constant_flow(0.1, minimum_drop_kPa=5.0, maximum_drop_kPa=20.0)
    ),
    "constant_flow_in_series": lambda: _plain(
        swapped(constant_flow(0.2), "V-11", ConstantFlowValve(tag="V-11", flow_L_s=0.15, height_m=1.5))
    ),
    "bypass_open": lambda: _really_solved(with_bypass(20.0)),
    "no_seacock": _hull_hose,
    "no_sea_strainer": lambda: _plain(without(sound_vessel(), "ST-90")),
    "sea_pump_above_waterline": lambda: _plain(changed(sound_vessel(), "SP-1", height_m=0.4)),
    "sea_velocity_high": lambda: _solved(
        changed(sound_vessel(), run_between(sound_vessel(), "SP-1", "CH-1").tag, size="25x1.5")
    ),
    "velocity_high": lambda: _solved(
        changed(sound_vessel(), run_between(sound_vessel(), "P-1", "V-2").tag, size="22x1.0")
    ),
    "velocity_low": lambda: _solved(
        changed(sound_vessel(), run_between(sound_vessel(), "V-11", "AH-1").tag, size="42x1.5")
    ),
    "loss_per_metre_high": lambda: _solved(
        changed(sound_vessel(), run_between(sound_vessel(), "V-11", "AH-1").tag, size="15x1.0")
    ),
    "run_without_flow": lambda: _without_flow("TE-2", "TE-3"),
    "no_strainer": lambda: _plain(without(sound_vessel(), "ST-1")),
    "no_check_valve": lambda: _plain(parallel_pumps(checked=False)),
    "no_regulating_valve": lambda: _plain(without(sound_vessel(), "RV-1")),
    "no_isolating_valve": lambda: _plain(without(sound_vessel(), "V-11")),
    "return_smaller_than_supply": lambda: _plain(
        changed(sound_vessel(), run_between(sound_vessel(), "AH-1", "RV-1").tag, size="15x1.0")
    ),
    "frost_in_evaporator": lambda: _plain(changed(sound_vessel(), "CH-1", set_point_C=3.0)),
    "glycol_too_weak": lambda: _glycol("propylene_glycol", 15.0),
    "glycol_too_strong": lambda: _glycol("propylene_glycol", 50.0),
    "ethylene_glycol": lambda: _glycol("ethylene_glycol", 30.0),
    "pump_far_from_best": lambda: _altered("pumps", "P-1", share_of_best_flow=0.4),
    "pump_curve_with_hump": _humped,
    "over_pumped": lambda: _cooled("CH-1", {"gain_W": 300.0}, capacity_kW=8.0),
    "coil_laminar": _glycol_in_coils,
    "cabin_damp": lambda: _cooled(loads={"moisture_kg_s": 5e-4}),
    "cabin_without_air_handler": _extra_cabin,
    "air_handler_without_cabin": lambda: _plain(changed(cool_vessel(), "AH-2", cabins=())),
    "unconnected_part": lambda: _plain(added(sound_vessel(), Tee(tag="TE-20"))),
    "open_port": lambda: _plain(removed(sound_vessel(), run_between(sound_vessel(), "AH-1", "RV-1").tag)),
    "spare_manifold_port": lambda: _plain(with_manifold(5)),
    "dead_leg": lambda: _plain(
        hung_on(sound_vessel(), "TE-5", "TE-1", Drain(tag="DR-1", height_m=0.0), length_m=8.0)
    ),
    "rises_do_not_close": lambda: _plain(
        changed(sound_vessel(), run_between(sound_vessel(), "TE-2", "TE-3").tag, rise_m=1.0)
    ),
    "supply_without_insulation": lambda: _plain(
        changed(sound_vessel(), run_between(sound_vessel(), "TE-2", "TE-3").tag, insulation=None)
    ),
    "guessed_lengths": lambda: _plain(
        changed(sound_vessel(), run_between(sound_vessel(), "TE-2", "TE-3").tag, length_known="guessed")
    ),
}
