# SPDX-License-Identifier: MIT
"""A 27 m motor yacht on three decks: two chillers, nine air handlers, and one guest cabin too warm.

The loop stands as found on board, not as it should be: the forward guest cabin is starved.
"""

from __future__ import annotations

from solver.change import Change
from solver.vessel.components import (
    AirSeparator,
    AirVent,
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
    SeaWaterPump,
    Strainer,
    TemperatureGauge,
    ThroughHull,
)
from solver.vessel.run import End, Insulation
from solver.vessel.samples.conditions import CONDITIONS
from solver.vessel.samples.equipment import chiller, pump_curve
from solver.vessel.samples.mains import direct_mains
from solver.vessel.samples.plan import Pipe, Plan, Stop
from solver.vessel.samples.rooms import furnished
from solver.vessel.samples.rooms_27m import BUILT, ROOMS
from solver.vessel.samples.rows import Row, Unit
from solver.vessel.samples.sizing import SizeRule
from solver.vessel.vessel import Deck, Scenario, Vessel

_LOWER, _MAIN, _UPPER = "Lower deck", "Main deck", "Upper deck"
_DECKS = (Deck(_UPPER, 4.1), Deck(_MAIN, 1.7), Deck(_LOWER, -0.8))
_COPPER = "copper_en1057_thin"
_RULE = SizeRule(_COPPER, smallest_bore_mm=13.0)
_FOAM = Insulation(thickness_mm=19.0)
_COMMON = Pipe(_COPPER, "54x1.2", "return", "engine room", _FOAM)
_CHILLER_OUT = Pipe(_COPPER, "42x1.2", "supply", "engine room", _FOAM)
_CHILLER_IN = _CHILLER_OUT._replace(service="return")
_SMALL = Pipe(_COPPER, "22x0.9", "return", "engine room", _FOAM)
_SEA = Pipe("cu_ni_90_10", "57x1.5", "sea", "engine room", None)
_SEA_BRANCH = _SEA._replace(size="44.5x1.5")

_TOP = Row(y=80.0, deck=_UPPER, main_height_m=2.1, rule=_RULE, known="drawing")
_MIDDLE = Row(y=370.0, deck=_MAIN, main_height_m=2.1, rule=_RULE, known="drawing")
_LOW = Row(y=660.0, deck=_LOWER, main_height_m=2.1, rule=_RULE, known="guessed", plus_minus_percent=15.0)
#: Risers from the plant to the main deck, and from there to the upper deck.
_SUPPLY_RISER, _RETURN_RISER = 800.0, 840.0
_UPPER_SUPPLY, _UPPER_RETURN = 690.0, 730.0

_CHILLER_X, _CHILLER_STEP = 90.0, 190.0
#: From a chiller's outlet down to the line of its pump.
_PUMP_LINE = 100.0
_SUPPLY_HEADER, _RETURN_HEADER = 470.0, 510.0
_SEA_HEADER, _OVERBOARD_HEADER = -60.0, -110.0

_SKY = Unit(
    number=1,
    cabin="Sky lounge",
    capacity_kW=5.0,
    drop_kPa=14.0,
    x=450,
    main_m=5.0,
    valve_size=20,
    turns=2.6,
    room_left=145,
    room_right=145,
)
_WHEELHOUSE = Unit(
    number=2, cabin="Wheelhouse", capacity_kW=4.0, drop_kPa=13.0, x=950, main_m=4.5, valve_size=20, turns=2.2
)
_SALOON = Unit(
    number=3,
    cabin="Saloon",
    capacity_kW=7.0,
    drop_kPa=15.0,
    x=250,
    main_m=4.5,
    valve_size=20,
    turns=3.2,
    room_left=145,
    room_right=145,
)
_GALLEY = Unit(
    number=4,
    cabin="Galley and dining",
    capacity_kW=4.5,
    drop_kPa=14.0,
    x=510,
    main_m=2.5,
    valve_size=20,
    turns=2.4,
)
_OWNER = Unit(
    number=5,
    cabin="Owner's cabin",
    capacity_kW=5.0,
    drop_kPa=14.0,
    x=1010,
    main_m=5.0,
    valve_size=20,
    turns=2.5,
    room_left=145,
    room_right=145,
)
_LOWER_UNITS = (
    Unit(number=6, cabin="Guest cabin aft", capacity_kW=2.6, drop_kPa=20.0, x=970, main_m=2.5, turns=4.0),
    Unit(
        number=7, cabin="Guest cabin midships", capacity_kW=2.6, drop_kPa=20.0, x=1180, main_m=3.0, turns=4.0
    ),
    Unit(number=8, cabin="Crew cabin", capacity_kW=2.0, drop_kPa=22.0, x=1390, main_m=3.5, turns=4.0),
    Unit(
        number=9,
        cabin="Guest cabin forward",
        capacity_kW=2.6,
        drop_kPa=16.0,
        x=1600,
        main_m=6.5,
        branch_m=5.0,
        turns=1.4,
        return_size="15x0.7",
    ),
)


_NOTES = (
    "As found on board: the guests in the forward cabin complain that it never gets cool. AH-9 is the "
    "last of four on the lower deck's direct-return mains. Its regulating valve RV-9 was left at 1.4 of 4 "
    "turns and its return run is one size smaller than its supply, while the valves of the three cabins "
    "before it stand wide open. Everything else gets its design flow or more."
)
_SCENARIOS = (
    Scenario(
        "Chiller 1 off",
        (Change("CH-1", "running", 0.0), Change("P-1", "running", 0.0)),
        "Its pump stops with it and CK-1 shuts; chiller 2 alone feeds the loop.",
    ),
    Scenario(
        "Forward cabin opened up",
        (Change("RV-9", "setting", 4.0),),
        "The first thing to try: the regulating valve of the warm cabin wide open.",
    ),
    Scenario(
        "Lower deck set right",
        (
            Change("RV-6", "setting", 2.3),
            Change("RV-7", "setting", 2.4),
            Change("RV-8", "setting", 2.2),
            Change("RV-9", "setting", 3.0),
        ),
        "The wide open valves of the near cabins turned in, that of the far one opened.",
    ),
    Scenario(
        "Forward return one size up",
        (Change("R-58", "size", "22x0.9"),),
        "The return run of the forward cabin in the size of its supply.",
    ),
    Scenario(
        "Guests ashore",
        tuple(Change(f"IV-{number}S", "opening_percent", 0.0) for number in (6, 7, 9)),
        "The supply valves of the guest cabins are shut.",
    ),
)


def motor_yacht_27m() -> Vessel:
    """Return the 27 m motor yacht."""
    plan = Plan()
    plan.deck_heights = {deck.name: deck.height_m for deck in _DECKS}
    _chillers(plan)
    header_in, header_out = _headers(plan)
    joined = _common_return(plan, header_out)
    split = _lower_deck(plan, header_in, joined)
    _upper_decks(plan, split, joined)
    _sea_side(plan)
    return Vessel(
        name="Motor yacht 27 m",
        notes=_NOTES,
        conditions=CONDITIONS,
        condition=CONDITIONS[0].name,
        decks=_DECKS,
        cabins=furnished(plan.cabins, ROOMS, BUILT),
        components=tuple(plan.components.values()),
        runs=tuple(plan.runs),
        scenarios=_SCENARIOS,
    )


def _chillers(plan: Plan) -> None:
    """Both chillers with their pumps, each on a line of its own."""
    supply = _LOW.near_main
    first_line = supply + _PUMP_LINE
    for number in (1, 2):
        shift = (number - 1) * _CHILLER_STEP
        out, line = supply + shift, first_line + shift
        plan.level(_LOWER, 0.5)
        plan.put(
            Chiller,
            f"CH-{number}",
            _CHILLER_X,
            out + 20,
            name=f"Chiller {number}",
            **chiller(15.0, 0.763, 25.0, 0.85, 20.0),
        )
        plan.put(TemperatureGauge, f"TI-{number}", 210, out)
        plan.put(FlowMeter, f"FI-{number}", 290, out, "right")
        plan.put(IsolatingValve, f"IV-{number}1", 380, out, "right", name=f"Chiller {number} outlet")
        plan.level(_LOWER, 0.3)
        plan.put(IsolatingValve, f"IV-{number}2", 420, line, "left", name=f"Pump {number} suction")
        plan.put(PressureGauge, f"PI-{number}1", 370, line)
        plan.put(
            CirculationPump,
            f"P-{number}",
            320,
            line,
            "left",
            curve=pump_curve(0.79, 7.6, 48.0, 1.4),
            name=f"Circulation pump {number}",
        )
        plan.put(PressureGauge, f"PI-{number}2", 270, line)
        plan.put(CheckValve, f"CK-{number}", 220, line, "left", kv_m3_h=18.0, cracking_kPa=1.0)
        plan.put(IsolatingValve, f"IV-{number}3", 160, line - 30, "up", name=f"Chiller {number} inlet")


def _headers(plan: Plan) -> tuple[str, str]:
    """Join both chillers to the supply and the return header; return the tees on the headers."""
    supply = _LOW.near_main
    plan.level(_LOWER, 0.8)
    header_in = plan.tee(_SUPPLY_HEADER, supply, "down")
    plan.level(_LOWER, 0.3)
    header_out = plan.tee(_RETURN_HEADER, supply + _PUMP_LINE, "down")
    for number, joins, leaves in ((1, "left", "left"), (2, "down", "down")):
        plan.string(
            _CHILLER_OUT,
            [
                End(f"CH-{number}", "water_out"),
                f"TI-{number}",
                f"FI-{number}",
                f"IV-{number}1",
                plan.facing(header_in, joins),
            ],
            2.5 + number,
            elbows=2,
        )
        plan.string(
            _CHILLER_IN,
            [
                plan.facing(header_out, leaves),
                f"IV-{number}2",
                f"PI-{number}1",
                f"P-{number}",
                f"PI-{number}2",
                f"CK-{number}",
                f"IV-{number}3",
                End(f"CH-{number}", "water_in"),
            ],
            2.0 + number,
            elbows=2,
        )
    return header_in, header_out


def _common_return(plan: Plan, header_out: str) -> str:
    """From the return riser to the return header, with what the whole loop shares."""
    line = _LOW.near_main + _PUMP_LINE
    plan.level(_LOWER, 0.3)
    plan.put(IsolatingValve, "IV-31", 800, line, "left", name="Plant return")
    plan.put(AirSeparator, "AS-1", 740, line, "left", kv_m3_h=42.0)
    plan.put(Strainer, "ST-1", 680, line, "left", kv_m3_h=30.0, name="Loop strainer")
    plan.put(Drain, "DR-1", 640, line, name="Loop drain")
    expansion, fill = plan.tee(600, line, "up"), plan.tee(560, line, "up")
    plan.put(ExpansionVessel, "EV-1", 600, line - 50, pressure_kPa=140.0, volume_L=18.0, precharge_kPa=120.0)
    plan.put(FillPoint, "FP-1", 560, line - 30)
    plan.string(_SMALL, [plan.facing(expansion, "up"), plan.facing("EV-1", "down")], 0.6)
    plan.string(_SMALL, [plan.facing(fill, "up"), plan.facing("FP-1", "down")], 0.4)
    plan.level(_LOWER, _LOW.main_height_m)
    joined = plan.tee(_RETURN_RISER, _LOW.far_main, "right")
    plan.string(
        _COMMON,
        [
            plan.facing(joined, "down"),
            "IV-31",
            "AS-1",
            "ST-1",
            "DR-1",
            plan.across(expansion, "right", "left"),
            plan.across(fill, "right", "left"),
            plan.facing(header_out, "right"),
        ],
        6.0,
        elbows=2,
    )
    return joined


def _lower_deck(plan: Plan, header_in: str, joined: str) -> str:
    plan.level(_LOWER, _LOW.main_height_m)
    split = plan.tee(_SUPPLY_RISER, _LOW.near_main, "up")
    supply = _COMMON._replace(service="supply")
    plan.string(supply, [plan.facing(header_in, "right"), plan.facing(split, "left")], 5.0, elbows=2)
    direct_mains(plan, _LOW, _LOWER_UNITS, [plan.facing(split, "right")], [plan.facing(joined, "right")])
    return split


def _upper_decks(plan: Plan, split: str, joined: str) -> None:
    """Risers to the main deck, and from its after main to the upper deck."""
    above = sum(unit.flow_L_s for unit in (_SKY, _WHEELHOUSE))
    after = above + sum(unit.flow_L_s for unit in (_SALOON, _GALLEY))
    plan.level(_MAIN, _MIDDLE.main_height_m)
    supply = plan.tee(_SUPPLY_RISER, _MIDDLE.near_main, "down")
    back = plan.tee(_RETURN_RISER, _MIDDLE.far_main, "down")
    supply_up = plan.tee(_UPPER_SUPPLY, _MIDDLE.near_main, "up")
    back_up = plan.tee(_UPPER_RETURN, _MIDDLE.far_main, "up")
    plan.level(_UPPER, _TOP.main_height_m)
    supply_top = plan.tee(_UPPER_SUPPLY, _TOP.near_main, "down")
    back_top = plan.tee(_UPPER_RETURN, _TOP.far_main, "down")
    plan.put(AirVent, "AV-1", 790, _TOP.near_main)
    plan.put(AirVent, "AV-2", 810, _TOP.far_main)
    for service, low, middle, turning, top in (
        ("supply", split, supply, supply_up, supply_top),
        ("return", joined, back, back_up, back_top),
    ):
        risers = (
            (plan.facing(low, "up"), plan.facing(middle, "down"), after + _OWNER.flow_L_s, 3.0, 2),
            (plan.facing(middle, "left"), plan.facing(turning, "right"), after, 1.5, 0),
            (plan.facing(turning, "up"), plan.facing(top, "down"), above, 2.9, 2),
        )
        for start, end, flow, length, elbows in risers:
            ends = (start, end) if service == "supply" else (end, start)
            plan.string(_MIDDLE.pipe(service, flow), ends, length, elbows=elbows)
    direct_mains(
        plan, _MIDDLE, [_GALLEY, _SALOON], [plan.facing(supply_up, "left")], [plan.facing(back_up, "left")]
    )
    direct_mains(plan, _MIDDLE, [_OWNER], [plan.facing(supply, "right")], [plan.facing(back, "right")])
    direct_mains(plan, _TOP, [_SKY], [plan.facing(supply_top, "left")], [plan.facing(back_top, "left")])
    direct_mains(
        plan,
        _TOP,
        [_WHEELHOUSE],
        [plan.facing(supply_top, "right"), "AV-1"],
        ["AV-2", plan.facing(back_top, "right")],
    )


def _sea_side(plan: Plan) -> None:
    """Sea inlet, strainer and pump, both condensers, overboard outlet above the waterline."""
    line = _LOW.near_main + _PUMP_LINE + _CHILLER_STEP + 90
    plan.level(_LOWER, -0.1)
    plan.put(ThroughHull, "TH-1", 430, line, "left", height_m=-0.3, bore_mm=54.0, name="Sea inlet")
    plan.put(IsolatingValve, "SC-1", 360, line, "left", height_m=-0.2, name="Seacock")
    plan.put(Strainer, "SS-1", 290, line, "left", kv_m3_h=45.0, name="Sea strainer")
    plan.put(PressureGauge, "PI-3", 230, line)
    curve = pump_curve(1.75, 3.0, 50.0, 1.8)
    plan.put(SeaWaterPump, "SP-1", 170, line, "left", curve=curve, name="Sea-water pump")
    plan.put(PressureGauge, "PI-4", 110, line)
    plan.level(_LOWER, 0.5)
    first_out = _LOW.near_main
    second_out = first_out + _CHILLER_STEP
    plan.put(IsolatingValve, "IV-14", -10, first_out + 40, "right", name="Chiller 1 sea inlet")
    plan.put(IsolatingValve, "IV-24", -10, second_out + 40, "right", name="Chiller 2 sea inlet")
    inlet = plan.tee(_SEA_HEADER, second_out + 40, "right")
    plan.put(TemperatureGauge, "TI-3", -10, first_out)
    plan.put(TemperatureGauge, "TI-4", -10, second_out)
    outlet = plan.tee(_OVERBOARD_HEADER, first_out, "right")
    plan.level(_LOWER, 1.2)
    plan.put(IsolatingValve, "SC-2", _OVERBOARD_HEADER, first_out - 60, "up", name="Overboard valve")
    plan.put(Overboard, "OB-1", _OVERBOARD_HEADER, first_out - 130, "up", name="Sea-water overboard")
    inward: list[Stop] = [End("TH-1", "connection"), "SC-1", "SS-1", "PI-3", "SP-1", "PI-4"]
    plan.string(_SEA, [*inward, plan.facing(inlet, "down")], 4.5, elbows=2)
    second: list[Stop] = [plan.facing(inlet, "right"), "IV-24", End("CH-2", "sea_in")]
    plan.string(_SEA_BRANCH, second, 1.0, elbows=1)
    first: list[Stop] = [plan.facing(inlet, "up"), "IV-14", End("CH-1", "sea_in")]
    plan.string(_SEA_BRANCH, first, 2.0, elbows=1)
    plan.string(_SEA_BRANCH, [End("CH-1", "sea_out"), "TI-3", plan.facing(outlet, "right")], 1.0, elbows=1)
    plan.string(_SEA_BRANCH, [End("CH-2", "sea_out"), "TI-4", plan.facing(outlet, "down")], 2.0, elbows=1)
    plan.string(_SEA, [plan.facing(outlet, "up"), "SC-2", End("OB-1", "connection")], 2.5, elbows=2)
