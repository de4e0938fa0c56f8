# SPDX-License-Identifier: MIT
"""An 18 m motor yacht: one chiller, four air handlers, direct return, and its sea-water side."""

from __future__ import annotations

from solver.change import Change
from solver.vessel.components import (
    AirSeparator,
    AirVent,
    Chiller,
    CirculationPump,
    Drain,
    ExpansionVessel,
    FillPoint,
    FlowMeter,
    IsolatingValve,
    Overboard,
    PressureGauge,
    SeaWaterPump,
    Strainer,
    TemperatureGauge,
    ThroughHull,
)
from solver.vessel.run import End, Insulation
from solver.vessel.samples.conditions import CONDITIONS
from solver.vessel.samples.equipment import chiller, pump_curve
from solver.vessel.samples.mains import direct_mains
from solver.vessel.samples.plan import Pipe, Plan
from solver.vessel.samples.rooms import furnished
from solver.vessel.samples.rooms_18m import BUILT, ROOMS
from solver.vessel.samples.rows import Row, Unit
from solver.vessel.samples.sizing import SizeRule
from solver.vessel.vessel import Deck, Scenario, Vessel

_LOWER, _MAIN = "Lower deck", "Main deck"
_DECKS = (Deck(_MAIN, 1.4), Deck(_LOWER, -0.6))
_RULE = SizeRule("multilayer")
_FOAM = Insulation(thickness_mm=19.0)
_PLANT = Pipe("multilayer", "40x4.0", "supply", "engine room", _FOAM)
_PLANT_RETURN = _PLANT._replace(service="return")
_SEA = Pipe("rubber_hose", "32", "sea", "engine room", None)

_UNITS = (
    Unit(
        number=1,
        cabin="Saloon",
        capacity_kW=4.1,
        drop_kPa=14.0,
        x=450,
        main_m=4.0,
        turns=2.4,
        valve_size=20,
        room_left=150,
        room_right=150,
    ),
    Unit(number=2, cabin="Wheelhouse", capacity_kW=3.0, drop_kPa=12.0, x=850, main_m=3.5, turns=3.0),
    Unit(number=3, cabin="Owner's cabin", capacity_kW=2.6, drop_kPa=13.0, x=850, main_m=2.5, turns=2.5),
    Unit(number=4, cabin="Guest cabin", capacity_kW=1.7, drop_kPa=12.0, x=1060, main_m=3.5, turns=2.0),
)
_SUPPLY_RISER, _RETURN_RISER = 640.0, 680.0
_TOP = Row(y=80.0, deck=_MAIN, main_height_m=2.1, rule=_RULE)
_LOW = Row(y=370.0, deck=_LOWER, main_height_m=2.0, rule=_RULE)
#: The line of pump and strainer, and that of the sea-water pump.
_PUMP_LINE, _SEA_LINE = _LOW.near_main + 120.0, _LOW.near_main + 220.0


def motor_yacht_18m() -> Vessel:
    """Return the 18 m motor yacht."""
    plan = Plan()
    plan.deck_heights = {deck.name: deck.height_m for deck in _DECKS}
    _plant(plan)
    _risers(plan)
    _cabins(plan)
    _sea_side(plan)
    return Vessel(
        name="Motor yacht 18 m",
        notes="One chiller and four air handlers on two decks, direct return. The loop is balanced: "
        "every air handler gets its design flow within a tenth.",
        conditions=CONDITIONS,
        condition=CONDITIONS[0].name,
        decks=_DECKS,
        cabins=furnished(plan.cabins, ROOMS, BUILT),
        components=tuple(plan.components.values()),
        runs=tuple(plan.runs),
        scenarios=(
            Scenario(
                "Pump at 80 %",
                (Change("P-1", "speed_percent", 80.0),),
                "Every air handler loses about a fifth of its flow.",
            ),
            Scenario(
                "Guest cabin shut off",
                (Change("IV-4S", "opening_percent", 0.0),),
                "The guests are ashore; the supply valve of their air handler is shut.",
            ),
            Scenario(
                "Sea strainer half blocked",
                (Change("SS-1", "clogging_percent", 50.0),),
                "Weed in the basket: the chiller's condenser gets less sea water.",
            ),
        ),
    )


def _plant(plan: Plan) -> None:
    supply, line = _LOW.near_main, _PUMP_LINE
    plan.level(_LOWER, 0.4)
    plan.put(Chiller, "CH-1", 90, supply + 20, name="Chiller", **chiller(10.0, 0.49, 22.0, 0.6, 18.0))
    plan.put(TemperatureGauge, "TI-1", 210, supply)
    plan.put(IsolatingValve, "IV-5", 270, supply, "right", name="Chiller outlet")
    plan.put(FlowMeter, "FI-1", 340, supply, "right")
    plan.level(_LOWER, 0.3)
    plan.put(IsolatingValve, "IV-8", 640, line, "left", name="Plant return")
    plan.put(Drain, "DR-1", 590, line, "right", name="Loop drain")
    plan.put(AirSeparator, "AS-1", 530, line, "left", kv_m3_h=14.0)
    plan.put(Strainer, "ST-1", 470, line, "left", kv_m3_h=11.0, name="Pump strainer")
    expansion, fill = plan.tee(420, line, "up"), plan.tee(370, line, "up")
    plan.put(ExpansionVessel, "EV-1", 420, line - 50, pressure_kPa=130.0, volume_L=8.0, precharge_kPa=110.0)
    plan.put(FillPoint, "FP-1", 370, line - 30)
    plan.put(PressureGauge, "PI-1", 320, line)
    curve = pump_curve(0.5, 5.3, 42.0, 1.2)
    plan.put(CirculationPump, "P-1", 260, line, "left", curve=curve, name="Circulation pump")
    plan.put(PressureGauge, "PI-2", 200, line)
    plan.put(TemperatureGauge, "TI-2", 160, line - 30, "up")
    small = _PLANT_RETURN._replace(size="20x2.0")
    plan.string(small, [plan.facing(expansion, "up"), plan.facing("EV-1", "down")], 0.5)
    plan.string(small, [plan.facing(fill, "up"), plan.facing("FP-1", "down")], 0.3)


def _risers(plan: Plan) -> None:
    plan.level(_LOWER, _LOW.main_height_m)
    supply_tee = plan.tee(_SUPPLY_RISER, _LOW.near_main, "up")
    return_tee = plan.tee(_RETURN_RISER, _LOW.far_main, "right")
    plan.level(_MAIN, _TOP.main_height_m)
    top_supply = plan.tee(_SUPPLY_RISER, _TOP.near_main, "down")
    top_return = plan.tee(_RETURN_RISER, _TOP.far_main, "down")
    plan.put(AirVent, "AV-1", 720, _TOP.near_main)
    plan.put(AirVent, "AV-2", 740, _TOP.far_main)
    plan.string(
        _PLANT,
        [End("CH-1", "water_out"), "TI-1", "IV-5", "FI-1", plan.facing(supply_tee, "left")],
        5.0,
        elbows=2,
    )
    plan.string(
        _PLANT_RETURN,
        [
            plan.facing(return_tee, "down"),
            "IV-8",
            "DR-1",
            "AS-1",
            "ST-1",
            plan.across("T-1", "right", "left"),
            plan.across("T-2", "right", "left"),
            "PI-1",
            "P-1",
            "PI-2",
            "TI-2",
            End("CH-1", "water_in"),
        ],
        6.0,
        elbows=3,
    )
    riser = _TOP.pipe("supply", _UNITS[0].flow_L_s + _UNITS[1].flow_L_s)
    plan.string(riser, [plan.facing(supply_tee, "up"), plan.facing(top_supply, "down")], 3.0, elbows=2)
    riser = riser._replace(service="return")
    plan.string(riser, [plan.facing(top_return, "down"), plan.facing(return_tee, "up")], 3.0, elbows=2)


def _cabins(plan: Plan) -> None:
    saloon, wheelhouse, owner, guest = _UNITS
    left = [plan.facing(tag, "left") for tag in ("T-5", "T-6")]
    direct_mains(plan, _TOP, [saloon], left[:1], left[1:])
    right = [plan.facing(tag, "right") for tag in ("T-5", "T-6")]
    direct_mains(plan, _TOP, [wheelhouse], [right[0], "AV-1"], ["AV-2", right[1]])
    right = [plan.facing(tag, "right") for tag in ("T-3", "T-4")]
    direct_mains(plan, _LOW, [owner, guest], right[:1], right[1:])


def _sea_side(plan: Plan) -> None:
    line, sea_out = _SEA_LINE, _LOW.near_main
    plan.level(_LOWER, 0.1)
    plan.put(ThroughHull, "TH-1", 430, line, "left", height_m=-0.2, bore_mm=32.0, name="Sea inlet")
    plan.put(IsolatingValve, "SC-1", 370, line, "left", height_m=-0.1, name="Seacock")
    plan.put(Strainer, "SS-1", 300, line, "left", height_m=0.0, kv_m3_h=16.0, name="Sea strainer")
    plan.put(PressureGauge, "PI-3", 240, line)
    curve = pump_curve(0.62, 2.8, 38.0, 1.5)
    plan.put(SeaWaterPump, "SP-1", 180, line, "left", height_m=0.0, curve=curve, name="Sea-water pump")
    plan.put(PressureGauge, "PI-4", 120, line)
    plan.level(_LOWER, 0.9)
    plan.put(TemperatureGauge, "TI-3", 0, sea_out - 50, "up")
    plan.put(IsolatingValve, "SC-2", 0, sea_out - 100, "up", name="Overboard valve")
    plan.put(Overboard, "OB-1", 0, sea_out - 160, "up", name="Sea-water overboard")
    plan.string(
        _SEA,
        [End("TH-1", "connection"), "SC-1", "SS-1", "PI-3", "SP-1", "PI-4", End("CH-1", "sea_in")],
        3.5,
        via=[0.0],
        elbows=1,
    )
    plan.string(_SEA, [End("CH-1", "sea_out"), "TI-3", "SC-2", End("OB-1", "connection")], 2.5, elbows=2)
