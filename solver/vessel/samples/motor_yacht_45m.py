# SPDX-License-Identifier: MIT
"""A 45 m motor yacht on four decks: three chillers, 22 air handlers, four kinds of mains.

Sun deck: constant-flow valves.  Bridge deck: reverse return.  Main deck: a ring.  Lower deck: guest
cabins with 2-way valves and a differential bypass, crew cabins on manifolds, and the plant.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from solver.change import Change
from solver.vessel.components import AirVent, DifferentialBypass
from solver.vessel.samples.conditions import CONDITIONS
from solver.vessel.samples.mains import (
    Manifolds,
    Ring,
    direct_mains,
    manifold_mains,
    reverse_mains,
    ring_mains,
)
from solver.vessel.samples.motor_yacht_45m_plant import (
    MAINS,
    RETURN_RISER,
    SUPPLY_RISER,
    plant,
    sea_side,
)
from solver.vessel.samples.plan import Plan, Stop
from solver.vessel.samples.rooms import furnished
from solver.vessel.samples.rooms_45m import BUILT, ROOMS
from solver.vessel.samples.rows import Row, Unit
from solver.vessel.samples.sizing import SizeRule
from solver.vessel.vessel import Deck, Scenario, Vessel

_LOWER, _MAIN, _BRIDGE, _SUN = "Lower deck", "Main deck", "Bridge deck", "Sun deck"
_DECKS = (Deck(_SUN, 7.2), Deck(_BRIDGE, 4.7), Deck(_MAIN, 2.2), Deck(_LOWER, -0.7))
_BRANCHES = SizeRule("multilayer", smallest_bore_mm=12.0)


def _row(y: float, deck: str, **fields: Any) -> Row:
    return Row(y=y, deck=deck, rule=_BRANCHES, main_rule=MAINS, main_height_m=2.2, **fields)


_SUN_ROW = _row(80.0, _SUN)
_BRIDGE_ROW = _row(370.0, _BRIDGE)
_PORT_ROW, _STARBOARD_ROW = _row(700.0, _MAIN), _row(1120.0, _MAIN, turned=True)
_GUEST_ROW = _row(1300.0, _LOWER, valves=3, main_step=80.0)
_CREW_ROW = _row(1300.0, _LOWER)


def _room(number: int, cabin: str, capacity_kW: float, x: float, half: float, **fields: Any) -> Unit:
    given = {"drop_kPa": 14.0, "room_left": half, "room_right": half, **fields}
    return Unit(number=number, cabin=cabin, capacity_kW=capacity_kW, x=x, **given)


_SUN_UNITS = (
    _room(1, "Sky bar", 6.0, 330, 150, main_m=6.0, constant_flow=True),
    _room(2, "Gym", 4.0, 840, 150, main_m=5.0, constant_flow=True),
)
_BRIDGE_UNITS = (
    _room(3, "Sky lounge aft", 6.5, 840, 150, main_m=4.0, valve_size=20, turns=2.5),
    _room(4, "Sky lounge forward", 6.5, 1260, 150, main_m=5.0, valve_size=20, turns=2.5),
    _room(5, "Captain's cabin", 3.0, 1680, 150, main_m=5.0, turns=2.4),
    _room(6, "Wheelhouse", 6.0, 2100, 150, main_m=5.0, valve_size=20, turns=2.4),
)
_PORT_UNITS = (
    _room(7, "Saloon, port", 6.5, 920, 170, main_m=4.0, valve_size=20, turns=2.2),
    _room(8, "Dining room", 5.0, 1340, 170, main_m=6.0, valve_size=20, turns=1.9),
    _room(9, "Owner's study", 3.5, 1760, 170, main_m=5.0, turns=2.4),
    _room(10, "Owner's cabin", 6.0, 2180, 170, main_m=5.0, valve_size=20, turns=2.1),
)
_STARBOARD_UNITS = (
    _room(11, "Saloon, starboard", 6.5, 920, 170, main_m=4.0, valve_size=20, turns=2.2),
    _room(12, "Galley", 6.5, 1340, 170, main_m=6.0, valve_size=20, turns=2.2),
    _room(13, "Lobby", 3.0, 1760, 170, main_m=5.0, turns=2.2),
    _room(14, "Dressing room", 3.0, 2180, 170, main_m=5.0, turns=2.2),
)
_GUEST_UNITS = tuple(
    _room(
        15 + index,
        f"Guest cabin {index + 1}",
        3.2,
        740.0 + 300.0 * index,
        125,
        main_m=3.5,
        two_way_kvs=1.6,
        turns=turns,
    )
    for index, turns in enumerate((2.4, 2.4, 2.5, 2.6))
)
_CREW_UNITS = (
    _room(19, "Crew mess", 3.0, 2040, 110, room_left=75, room_right=145, main_m=4.0, branch_m=5.0, turns=2.2),
    _room(
        20, "Crew cabin 1", 1.8, 2280, 110, room_left=75, room_right=145, main_m=0.0, branch_m=7.0, turns=1.6
    ),
    _room(
        21, "Crew cabin 2", 1.8, 2520, 110, room_left=75, room_right=145, main_m=0.0, branch_m=9.0, turns=1.7
    ),
    _room(
        22, "Crew cabin 3", 1.8, 2760, 110, room_left=75, room_right=145, main_m=0.0, branch_m=11.0, turns=1.7
    ),
)
_CREW_MANIFOLDS = Manifolds(
    supply_at=(1910.0, _GUEST_ROW.near_main + 100.0),
    return_at=(1870.0, _GUEST_ROW.near_main + 220.0),
    supply_level=_GUEST_ROW.near_main,
    return_level=_GUEST_ROW.near_main + 130.0,
)


_NOTES = (
    "Four decks, four kinds of mains. Sun deck: constant-flow valves. Bridge deck: reverse return, so that "
    "all circuits are equally long. Main deck: a supply ring within a return ring. Lower deck: guest cabins "
    "with 2-way valves on direct-return mains with a differential bypass at their end, crew cabins each "
    "with pipes of its own from a pair of manifolds. Two circulation pumps run, the third stands by behind "
    "its check valve. The loop is balanced."
)
_SCENARIOS = (
    Scenario(
        "Chiller 1 off",
        (Change("CH-1", "running", 0.0), Change("IV-11", "opening_percent", 0.0)),
        "Off and shut off, so that no warm water passes it; the other two take all the flow.",
    ),
    Scenario("Pump 2 off", (Change("P-2", "running", 0.0),), "One pump alone; CK-2 shuts."),
    Scenario(
        "Pump 3 for pump 2",
        (Change("P-2", "running", 0.0), Change("P-3", "running", 1.0)),
        "The standby pump takes over.",
    ),
    Scenario(
        "Guests' valves shut",
        tuple(Change(f"CV-{number}", "position_percent", 0.0) for number in range(15, 19)),
        "The guest cabins are cool enough; all four 2-way valves are shut.",
    ),
    Scenario(
        "Sea-water pump 1 off", (Change("SP-1", "running", 0.0),), "One sea-water pump for three chillers."
    ),
)


def motor_yacht_45m() -> Vessel:
    """Return the 45 m motor yacht."""
    plan = Plan()
    plan.deck_heights = {deck.name: deck.height_m for deck in _DECKS}
    supply, back = plant(plan, _GUEST_ROW)
    sea_side(plan, _GUEST_ROW)
    _lower_deck(plan, supply, back)
    _upper_decks(plan, supply, back)
    return Vessel(
        name="Motor yacht 45 m",
        notes=_NOTES,
        conditions=CONDITIONS,
        condition=CONDITIONS[0].name,
        decks=_DECKS,
        cabins=furnished(plan.cabins, ROOMS, BUILT),
        components=tuple(plan.components.values()),
        runs=tuple(plan.runs),
        scenarios=_SCENARIOS,
    )


def _flow(units: Sequence[Unit]) -> float:
    return sum(unit.flow_L_s for unit in units)


def _lower_deck(plan: Plan, supply: str, back: str) -> None:
    """Guest cabins, the differential bypass beyond them, and the crew's manifolds."""
    crew = _flow(_CREW_UNITS)
    onward, home = direct_mains(
        plan, _GUEST_ROW, _GUEST_UNITS, [plan.facing(supply, "right")], [plan.facing(back, "right")], crew
    )
    x = 1800.0
    plan.level(_LOWER, _GUEST_ROW.main_height_m)
    above, below = plan.tee(x, _GUEST_ROW.near_main, "down"), plan.tee(x, _GUEST_ROW.far_main, "up")
    middle = (_GUEST_ROW.near_main + _GUEST_ROW.far_main) / 2
    plan.put(DifferentialBypass, "DB-1", x, middle, "down", set_kPa=55.0, band_kPa=10.0, kv_m3_h=6.3)
    plan.string(_GUEST_ROW.pipe("supply", crew), [*onward, plan.facing(above, "left")], 2.0)
    plan.string(_GUEST_ROW.pipe("return", crew), [plan.facing(below, "left"), *home], 2.0)
    pipe = _GUEST_ROW.pipe("supply", 0.5)
    plan.string(pipe, [plan.facing(above, "down"), "DB-1", plan.facing(below, "up")], 0.6)
    manifold_mains(
        plan,
        _CREW_ROW,
        _CREW_UNITS,
        _CREW_MANIFOLDS,
        plan.facing(above, "right"),
        plan.facing(below, "right"),
    )


def _upper_decks(plan: Plan, supply: str, back: str) -> None:
    """The risers, and from them the ring, the reverse-return deck and the sun deck."""
    main, bridge, sun = (*_PORT_UNITS, *_STARBOARD_UNITS), _BRIDGE_UNITS, _SUN_UNITS
    home = _BRIDGE_ROW.far_main + 40.0
    ring_supply, ring_return = _RING.supply_feed, _RING.return_feed
    plan.level(_MAIN, 2.2)
    supply_main = plan.tee(SUPPLY_RISER, ring_supply, "right")
    back_main = plan.tee(RETURN_RISER, ring_return, "right")
    plan.level(_BRIDGE, 2.2)
    supply_bridge = plan.tee(SUPPLY_RISER, _BRIDGE_ROW.near_main, "right")
    back_bridge = plan.tee(RETURN_RISER, home, "right")
    plan.level(_SUN, 2.2)
    supply_sun = plan.tee(SUPPLY_RISER, _SUN_ROW.near_main, "down")
    back_sun = plan.tee(RETURN_RISER, _SUN_ROW.far_main, "down")
    plan.put(AirVent, "AV-1", 650, _SUN_ROW.near_main)
    plan.put(AirVent, "AV-2", 670, _SUN_ROW.far_main)
    flows = (_flow([*main, *bridge, *sun]), _flow([*bridge, *sun]), _flow(sun))
    _riser(plan, "supply", (supply, supply_main, supply_bridge, supply_sun), flows)
    _riser(plan, "return", (back, back_main, back_bridge, back_sun), flows)
    ring_mains(plan, _RING, plan.facing(supply_main, "right"), plan.facing(back_main, "right"), 3.0)
    reverse_mains(
        plan,
        _BRIDGE_ROW,
        _BRIDGE_UNITS,
        plan.facing(supply_bridge, "right"),
        plan.facing(back_bridge, "right"),
        turn_x=2200.0,
        home_m=19.0,
    )
    left = [plan.facing(supply_sun, "left")], [plan.facing(back_sun, "left")]
    direct_mains(plan, _SUN_ROW, _SUN_UNITS[:1], *left)
    onward: list[Stop] = [plan.facing(supply_sun, "right"), "AV-1"]
    home_again: list[Stop] = ["AV-2", plan.facing(back_sun, "right")]
    direct_mains(plan, _SUN_ROW, _SUN_UNITS[1:], onward, home_again)


def _riser(plan: Plan, service: str, tees: Sequence[str], flows: Sequence[float]) -> None:
    """Join the tees of a riser from the lower deck up."""
    for low, high, length, flow in zip(tees, tees[1:], (4.0, 2.9, 2.9), flows, strict=False):
        ends = [plan.facing(low, "up"), plan.facing(high, "down")]
        pipe = _GUEST_ROW.pipe(service, flow)
        plan.string(pipe, ends if service == "supply" else ends[::-1], length, elbows=2)


_RING = Ring(
    upper=_PORT_ROW,
    lower=_STARBOARD_ROW,
    upper_units=_PORT_UNITS,
    lower_units=_STARBOARD_UNITS,
    supply_ends=(700.0, 2290.0),
    return_ends=(660.0, 2330.0),
    supply_feed=890.0,
    return_feed=930.0,
    size="42.4x2.0",
    closing_m=3.0,
)
