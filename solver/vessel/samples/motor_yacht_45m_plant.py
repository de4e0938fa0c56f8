# SPDX-License-Identifier: MIT
"""Plant of the 45 m motor yacht: three chillers, three circulation pumps, two sea-water pumps."""

from __future__ import annotations

from typing import Any

from solver.vessel.components import (
    AirSeparator,
    BufferTank,
    CheckValve,
    Chiller,
    CirculationPump,
    Drain,
    ExpansionVessel,
    FillPoint,
    FlowMeter,
    IsolatingValve,
    Overboard,
    PressureGauge,
    RegulatingValve,
    SeaWaterPump,
    Strainer,
    TemperatureGauge,
    ThroughHull,
)
from solver.vessel.run import End, Insulation
from solver.vessel.samples.equipment import chiller, pump_curve, regulating
from solver.vessel.samples.plan import Pipe, Plan, Stop
from solver.vessel.samples.rows import Row
from solver.vessel.samples.sizing import SizeRule

MAINS = SizeRule("stainless_iso1127", smallest_bore_mm=18.0)
SUPPLY_RISER, RETURN_RISER = 540.0, 580.0

_LOWER = "Lower deck"
_FOAM = Insulation(thickness_mm=25.0)
_LOOP = Pipe("stainless_iso1127", "76.1x2.0", "return", "engine room", _FOAM)
_PUMP = _LOOP._replace(size="60.3x2.0")
_CHILLER = _LOOP._replace(size="48.3x2.0")
_SMALL = _LOOP._replace(size="21.3x1.6")
_SEA = Pipe("cu_ni_90_10", "88.9x2.0", "sea", "engine room", None)
_SEA_PUMP = _SEA._replace(size="57x1.5")
_SEA_CHILLER = _SEA._replace(size="44.5x1.5")

#: From the first chiller's outlet to the next one's; the headers beside the chillers.
_CHILLER_STEP = 150.0
_CHILLER_IN, _CHILLER_OUT = 330.0, 380.0
_PUMP_STEP = 90.0
_PUMP_OUT, _PUMP_IN = 640.0, 1010.0
_SEA_IN, _OVERBOARD = -60.0, -110.0
_SEA_PUMP_OUT, _SEA_PUMP_IN = 1090.0, 1460.0


def plant(plan: Plan, row: Row) -> tuple[str, str]:
    """Put down the fresh-water plant below the mains of ``row``; return the tees of the risers."""
    supply = row.near_main
    common, pumps = supply + 190.0, supply + 290.0
    outlets, inlet = _chillers(plan, supply - 40.0)
    header = _pumps(plan, pumps)
    plan.level(_LOWER, row.main_height_m)
    supply_tee = plan.tee(SUPPLY_RISER, supply, "up")
    return_tee = plan.tee(RETURN_RISER, row.far_main, "right")
    plan.level(_LOWER, 0.6)
    plan.put(
        BufferTank,
        "BT-1",
        470,
        supply - 20,
        name="Buffer tank",
        volume_L=300.0,
        port_count=2,
        nozzle_kv_m3_h=70.0,
    )
    pipe = _LOOP._replace(service="supply")
    plan.string(pipe, [plan.facing(outlets, "right"), "BT-1", plan.facing(supply_tee, "left")], 3.5, elbows=2)
    down = [plan.facing(header[1], "down"), plan.facing(inlet, "down")]
    plan.string(_LOOP, down, 3.0, via=[pumps + 2 * _PUMP_STEP + 70.0], elbows=2)
    plan.put(IsolatingValve, "IV-90", 630, common, "right", name="Plant return")
    plan.put(Drain, "DR-1", 680, common, name="Loop drain")
    plan.put(AirSeparator, "AS-1", 740, common, "right", kv_m3_h=80.0)
    plan.put(Strainer, "ST-1", 800, common, "right", kv_m3_h=65.0, name="Loop strainer")
    plan.put(FlowMeter, "FI-1", 860, common, "right")
    expansion, fill = plan.tee(910, common, "up"), plan.tee(960, common, "up")
    vessel: dict[str, Any] = {"pressure_kPa": 170.0, "volume_L": 50.0, "precharge_kPa": 150.0}
    plan.put(ExpansionVessel, "EV-1", 910, common - 50, **vessel)
    plan.put(FillPoint, "FP-1", 960, common - 30)
    plan.string(_SMALL, [plan.facing(expansion, "up"), plan.facing("EV-1", "down")], 0.8)
    plan.string(_SMALL, [plan.facing(fill, "up"), plan.facing("FP-1", "down")], 0.4)
    stops: list[Stop] = [plan.facing(return_tee, "down"), "IV-90", "DR-1", "AS-1", "ST-1", "FI-1"]
    stops += [plan.across(tee, "left", "right") for tee in (expansion, fill)]
    plan.string(_LOOP, [*stops, plan.facing(header[0], "up")], 7.0, elbows=2)
    return supply_tee, return_tee


def _chillers(plan: Plan, first_out: float) -> tuple[str, str]:
    """Three chillers between their headers; return the top of the outlet and the foot of the inlet."""
    for number in (1, 2, 3):
        out = first_out + (number - 1) * _CHILLER_STEP
        plan.level(_LOWER, 0.6)
        plan.put(
            Chiller,
            f"CH-{number}",
            90,
            out + 20,
            name=f"Chiller {number}",
            **chiller(28.0, 1.343, 26.0, 1.6, 22.0),
        )
        plan.put(TemperatureGauge, f"TI-{number}", 200, out)
        plan.put(IsolatingValve, f"IV-{number}1", 270, out, "right", name=f"Chiller {number} outlet")
        plan.put(
            RegulatingValve,
            f"RV-C{number}",
            270,
            out + 40,
            "left",
            name=f"Chiller {number} flow",
            **regulating(40, 3.0),
        )
        plan.put(IsolatingValve, f"IV-{number}2", 200, out + 40, "left", name=f"Chiller {number} inlet")
    second_out = first_out + _CHILLER_STEP
    outs = [plan.tee(_CHILLER_OUT, first_out, "down"), plan.tee(_CHILLER_OUT, second_out, "left")]
    ins = [plan.tee(_CHILLER_IN, second_out + step * _CHILLER_STEP + 40, "left") for step in (0, 1)]
    supply = _CHILLER._replace(service="supply")
    leaves = (plan.facing(outs[0], "left"), plan.facing(outs[1], "left"), plan.facing(outs[1], "down"))
    enters = (plan.facing(ins[0], "up"), plan.facing(ins[0], "left"), plan.facing(ins[1], "left"))
    for number, leave, enter in zip((1, 2, 3), leaves, enters, strict=True):
        stops: list[Stop] = [End(f"CH-{number}", "water_out"), f"TI-{number}", f"IV-{number}1", leave]
        plan.string(supply, stops, 2.0, elbows=1)
        stops = [enter, f"RV-C{number}", f"IV-{number}2", End(f"CH-{number}", "water_in")]
        plan.string(_CHILLER, stops, 2.0, elbows=1)
    header = _PUMP._replace(service="supply")
    plan.string(header, [plan.facing(outs[1], "up"), plan.facing(outs[0], "down")], 1.2)
    plan.string(_PUMP, [plan.facing(ins[1], "up"), plan.facing(ins[0], "down")], 1.2)
    return outs[0], ins[1]


def _pumps(plan: Plan, first: float) -> tuple[str, str]:
    """Three circulation pumps, the third one standing by; return the heads of both headers."""
    plan.level(_LOWER, 0.3)
    for number in (1, 2, 3):
        y = first + (number - 1) * _PUMP_STEP
        plan.put(IsolatingValve, f"IV-P{number}1", 960, y, "left", name=f"Pump {number} suction")
        plan.put(PressureGauge, f"PI-{number}1", 910, y)
        plan.put(
            CirculationPump,
            f"P-{number}",
            850,
            y,
            "left",
            name=f"Circulation pump {number}" + (", standby" if number == 3 else ""),
            curve=pump_curve(2.05, 11.1, 60.0, 1.6),
            running=number != 3,
        )
        plan.put(PressureGauge, f"PI-{number}2", 790, y)
        plan.put(CheckValve, f"CK-{number}", 740, y, "left", kv_m3_h=46.0, cracking_kPa=1.0)
        plan.put(IsolatingValve, f"IV-P{number}2", 690, y, "left", name=f"Pump {number} discharge")
    ins = [plan.tee(_PUMP_IN, first + step * _PUMP_STEP, "left") for step in (0, 1)]
    outs = [plan.tee(_PUMP_OUT, first + step * _PUMP_STEP, "right") for step in (1, 2)]
    enters = (plan.facing(ins[0], "left"), plan.facing(ins[1], "left"), plan.facing(ins[1], "down"))
    leaves = (plan.facing(outs[0], "up"), plan.facing(outs[0], "right"), plan.facing(outs[1], "right"))
    for number, enter, leave in zip((1, 2, 3), enters, leaves, strict=True):
        parts = [f"IV-P{number}1", f"PI-{number}1", f"P-{number}", f"PI-{number}2", f"CK-{number}"]
        plan.string(_PUMP, [enter, *parts, f"IV-P{number}2", leave], 2.5, elbows=1)
    plan.string(_LOOP, [plan.facing(ins[0], "down"), plan.facing(ins[1], "up")], 0.6)
    plan.string(_LOOP, [plan.facing(outs[0], "down"), plan.facing(outs[1], "up")], 0.6)
    return ins[0], outs[1]


def sea_side(plan: Plan, row: Row) -> None:
    """Put down the sea-water side: one inlet, two pumps, three condensers, one overboard outlet."""
    first = row.near_main + 280.0
    plan.level(_LOWER, -0.4)
    plan.put(ThroughHull, "TH-1", 1660, first, "left", bore_mm=85.0, name="Sea inlet")
    plan.put(IsolatingValve, "SC-1", 1600, first, "left", style="butterfly", name="Seacock")
    plan.put(Strainer, "SS-1", 1530, first, "left", kv_m3_h=130.0, name="Sea strainer")
    for number in (1, 2):
        y = first + (number - 1) * _PUMP_STEP
        plan.put(IsolatingValve, f"IV-S{number}1", 1410, y, "left", name=f"Sea pump {number} suction")
        plan.put(PressureGauge, f"PI-S{number}1", 1360, y)
        plan.put(
            SeaWaterPump,
            f"SP-{number}",
            1300,
            y,
            "left",
            name=f"Sea-water pump {number}",
            curve=pump_curve(2.45, 4.0, 55.0, 1.9),
        )
        plan.put(PressureGauge, f"PI-S{number}2", 1240, y)
        plan.put(CheckValve, f"CK-S{number}", 1190, y, "left", kv_m3_h=46.0, cracking_kPa=1.0)
        plan.put(IsolatingValve, f"IV-S{number}2", 1140, y, "left", name=f"Sea pump {number} discharge")
    suction = plan.tee(_SEA_PUMP_IN, first, "down")
    discharge = plan.tee(_SEA_PUMP_OUT, first + _PUMP_STEP, "right")
    inward: list[Stop] = [End("TH-1", "connection"), "SC-1", "SS-1", plan.facing(suction, "right")]
    plan.string(_SEA, inward, 2.5, elbows=1)
    for number, enter, leave in ((1, "left", "up"), (2, "down", "right")):
        parts = [f"IV-S{number}1", f"PI-S{number}1", f"SP-{number}", f"PI-S{number}2", f"CK-S{number}"]
        parts += [f"IV-S{number}2"]
        stops: list[Stop] = [plan.facing(suction, enter), *parts, plan.facing(discharge, leave)]
        plan.string(_SEA_PUMP, stops, 2.5, elbows=1)
    _condensers(plan, row.near_main - 40.0, discharge, first + 310.0)


def _condensers(plan: Plan, first_out: float, discharge: str, line: float) -> None:
    plan.level(_LOWER, 0.6)
    outs = [first_out + step * _CHILLER_STEP for step in (0, 1, 2)]
    inlets = [plan.tee(_SEA_IN, out + 40, "right") for out in outs[1:]]
    outlets = [plan.tee(_OVERBOARD, out, "right") for out in outs[:2]]
    for number, out in enumerate(outs, start=1):
        plan.put(IsolatingValve, f"IV-{number}3", -10, out + 40, "right", name=f"Chiller {number} sea inlet")
        plan.put(TemperatureGauge, f"TI-S{number}", -10, out)
    plan.level(_LOWER, 1.1)
    valve: dict[str, Any] = {"style": "butterfly", "name": "Overboard valve"}
    plan.put(IsolatingValve, "SC-2", _OVERBOARD, first_out - 60, "up", **valve)
    plan.put(Overboard, "OB-1", _OVERBOARD, first_out - 130, "up", name="Sea-water overboard")
    plan.string(
        _SEA, [plan.facing(discharge, "down"), plan.facing(inlets[1], "down")], 9.0, via=[line], elbows=2
    )
    plan.string(_SEA, [plan.facing(inlets[1], "up"), plan.facing(inlets[0], "down")], 1.2)
    plan.string(_SEA, [plan.facing(outlets[1], "up"), plan.facing(outlets[0], "down")], 1.2)
    enters = [plan.facing(inlets[place], side) for place, side in ((0, "up"), (0, "right"), (1, "right"))]
    leaves = [plan.facing(outlets[place], side) for place, side in ((0, "right"), (1, "right"), (1, "down"))]
    for number, enter, leave in zip((1, 2, 3), enters, leaves, strict=True):
        plan.string(_SEA_CHILLER, [enter, f"IV-{number}3", End(f"CH-{number}", "sea_in")], 1.2, elbows=1)
        plan.string(_SEA_CHILLER, [End(f"CH-{number}", "sea_out"), f"TI-S{number}", leave], 1.2, elbows=1)
    plan.string(_SEA, [plan.facing(outlets[0], "up"), "SC-2", End("OB-1", "connection")], 2.5, elbows=2)
