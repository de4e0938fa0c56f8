# SPDX-License-Identifier: MIT
"""A ship of any size: one air handler to thousands, laid out, sized and roughly balanced.

Cabins stand on both sides of corridors.  A corridor's mains are direct return and hang, with one
regulating valve, on the pair of risers of its zone; the risers stand on a supply and a return
header along the ship, which chillers with their pumps join from below.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil, log, sqrt
from random import Random
from typing import NamedTuple

from solver.change import Change
from solver.errors import PartError
from solver.vessel.components import AirVent, Drain, FillPoint
from solver.vessel.run import End
from solver.vessel.samples.conditions import CONDITIONS
from solver.vessel.samples.equipment import FLOW_PER_KW, FULL_KV, turns_for
from solver.vessel.samples.plan import Pipe, Plan
from solver.vessel.samples.rooms import furnished
from solver.vessel.samples.rooms_ship import BUILT, rooms
from solver.vessel.samples.ship_corridor import (
    CORRIDOR_STEP,
    FOAM,
    MAIN_STEP,
    RISER_STEP,
    TOP_TO_MAIN,
    CabinPlan,
    Corridor,
    corridor_need_kPa,
    corridor_width,
    put_corridor,
)
from solver.vessel.samples.ship_plant import (
    DROP,
    HEADER_STEP,
    RISE,
    UNIT_DROP_KPA,
    UNIT_STEP,
    Joint,
    Unit,
    put_header,
    put_unit,
)
from solver.vessel.samples.sizing import SizeRule, bore_of, loss_per_metre
from solver.vessel.vessel import Deck, Scenario, Vessel

_RISERS = SizeRule("stainless_10s", loss_max_Pa_m=150.0, velocity_max_m_s=1.3, smallest_bore_mm=26.0)
_SMALL = Pipe("stainless_10s", "3/4", "supply", "riser shaft", FOAM)

#: Capacity of an air handler [kW], name of its cabin, and how many in a hundred there are.
_CABIN_KINDS = ((1.8, "Cabin", 40), (2.2, "Cabin", 48), (3.4, "Suite", 12))
_MOST_IN_CORRIDOR, _MOST_CORRIDORS_UP = 16, 40
_SHEET_ASPECT = 1.6
_PLANT_HEIGHT = 330.0
_LARGEST_UNIT_L_S = 40.0
_FEW = 6
#: More corridors above each other than this lie two to a deck.
_ONE_A_DECK = 10

_TANK_DECK, _TANK_DECK_M, _FIRST_DECK_M, _DECK_M = "Tank deck", -3.5, 0.5, 2.8
_PLANT_HEIGHT_M, _HEADER_HEIGHT_M = 0.5, 2.6
_TO_NEXT_DECK_M, _SAME_DECK_M = 3.4, 6.0
_FIRST_UNIT_X = 130.0
_LEAST_VALVE_KPA, _FITTINGS = 4.0, 1.5
_OVER_TOP_KPA = 60.0
_LEAST_VESSEL_L, _VESSEL_L_PER_FLOW = 8.0, 4.0


class _Zone(NamedTuple):
    """Risers at ``x`` and the corridors on them, from the top down."""

    x: float
    corridors: tuple[Corridor, ...]

    def flow_below(self, row: int) -> float:
        """Design flow in the risers below a corridor."""
        return sum(corridor.flow_L_s for corridor in self.corridors[: row + 1])


def ship(air_handlers: int, seed: int = 0) -> Vessel:
    """Return a ship.

    Parameters
    ----------
    air_handlers : int
        How many air handlers, each with a cabin of its own; 1 or more.
    seed : int
        Decides which cabins are large.

    Raises
    ------
    PartError
        Fewer than one air handler.
    """
    if air_handlers < 1:
        raise PartError(f"a ship of {air_handlers} air handlers; accepted: 1 or more")
    zones = _zones(air_handlers, Random(seed))
    rows = len(zones[0].corridors)
    plan = Plan()
    decks = _decks(rows)
    plan.deck_heights = {deck.name: deck.height_m for deck in decks}
    total = sum(zone.flow_below(rows - 1) for zone in zones)
    units = 1 if air_handlers <= _FEW else max(2, ceil(total / _LARGEST_UNIT_L_S))
    needed = max(_need(zone, row) for zone in zones for row in range(rows)) + _LEAST_VALVE_KPA
    supply, back = _plant(plan, zones, units, total, needed, decks)
    for zone in zones:
        _put_zone(plan, zone, needed, supply[zone.x], back[zone.x + RISER_STEP])
    return Vessel(
        name=f"Ship of {air_handlers} air handlers",
        notes="Made by rule: direct-return corridors on risers, one regulating valve a corridor.",
        conditions=CONDITIONS,
        condition=CONDITIONS[0].name,
        decks=decks,
        cabins=furnished(plan.cabins, rooms(plan.components.values()), BUILT),
        components=tuple(plan.components.values()),
        runs=tuple(plan.runs),
        scenarios=_scenarios(units),
    )


def _scenarios(units: int) -> tuple[Scenario, ...]:
    if units == 1:
        return ()
    off = tuple(Change(tag, "running", 0.0) for tag in ("CH-1", "P-1"))
    return (Scenario("Chiller 1 and its pump off", off),)


def _arrangement(air_handlers: int) -> tuple[int, int]:
    """Return corridors above each other and zones along the ship, for a sheet near 16:10."""
    best, found = float("inf"), (1, 1)
    for rows in range(1, _MOST_CORRIDORS_UP + 1):
        zones = ceil(air_handlers / (rows * _MOST_IN_CORRIDOR))
        while zones * rows <= air_handlers:
            cabins = ceil(air_handlers / (rows * zones))
            width = zones * corridor_width(cabins)
            off = abs(log(width / (rows * CORRIDOR_STEP + _PLANT_HEIGHT) / _SHEET_ASPECT))
            # Long corridors need fewer valves and risers.
            off += 0.03 * (_MOST_IN_CORRIDOR - cabins)
            if off < best:
                best, found = off, (rows, zones)
            if cabins < _MOST_IN_CORRIDOR / 2:
                break
            zones += 1
    return found


def _decks(rows: int) -> tuple[Deck, ...]:
    count = ceil(rows / _corridors_a_deck(rows))
    above = [
        Deck(f"Deck {number}", round(_FIRST_DECK_M + (number - 1) * _DECK_M, 2))
        for number in range(count, 0, -1)
    ]
    return (*above, Deck(_TANK_DECK, _TANK_DECK_M))


def _corridors_a_deck(rows: int) -> int:
    return 1 if rows <= _ONE_A_DECK else 2


def _zones(air_handlers: int, random: Random) -> list[_Zone]:
    """Share the cabins out over zones and corridors, as evenly as they go."""
    rows, count = _arrangement(air_handlers)
    each, over = divmod(air_handlers, rows * count)
    step = corridor_width(each + (over > 0))
    kinds, weights = [kind[:2] for kind in _CABIN_KINDS], [kind[2] for kind in _CABIN_KINDS]
    on_deck: dict[int, int] = {}
    zones, number = [], 0
    for zone in range(count):
        corridors = []
        for row in range(rows):
            deck = (rows - 1 - row) // _corridors_a_deck(rows) + 1
            place = zone * rows + row
            cabins = []
            for capacity, name in random.choices(kinds, weights, k=each + (place < over)):
                number += 1
                on_deck[deck] = on_deck.get(deck, 0) + 1
                flow = round(capacity * FLOW_PER_KW, 4)
                cabins.append(CabinPlan(number, f"{name} {deck}{on_deck[deck]:03d}", capacity, flow))
            y = TOP_TO_MAIN + row * CORRIDOR_STEP
            corridors.append(Corridor(place + 1, f"Deck {deck}", zone * step, y, tuple(cabins)))
        zones.append(_Zone(zone * step, tuple(corridors)))
    return zones


def _riser_m(zone: _Zone, row: int) -> float:
    """Return the length of riser below a corridor."""
    below = zone.corridors[row + 1 :]
    return _SAME_DECK_M if below and below[0].deck == zone.corridors[row].deck else _TO_NEXT_DECK_M


def _need(zone: _Zone, row: int) -> float:
    """Return what a corridor needs at the foot of its risers [kPa], its valve not counted."""
    need = corridor_need_kPa(zone.corridors[row])
    for below in range(row, len(zone.corridors)):
        flow = zone.flow_below(below)
        rate = loss_per_metre(flow, bore_of(_RISERS.series, _RISERS.size(flow)))
        need += 2 * _FITTINGS * rate * _riser_m(zone, below) / 1000.0
    return need


def _valve(flow_L_s: float, drop_kPa: float) -> tuple[int, float]:
    """Return size and turns of a regulating valve that takes a drop; it is never wide open."""
    kv = flow_L_s * 3.6 / sqrt(drop_kPa / 100.0)
    size = next((size for size, full in FULL_KV.items() if kv <= 0.75 * full), max(FULL_KV))
    return size, turns_for(size, kv)


def _plant(
    plan: Plan, zones: Sequence[_Zone], units: int, total: float, needed_kPa: float, decks: Sequence[Deck]
) -> tuple[dict[float, tuple[End, float]], dict[float, tuple[End, float]]]:
    """Put headers and chillers down; return the joints of supply and return header by place."""
    rows = len(zones[0].corridors)
    y = zones[0].corridors[-1].y + CORRIDOR_STEP - 130.0
    flow = total / units
    places, taken = [], [0] * len(zones)
    for index in range(units):
        zone = int((index + 0.5) * len(zones) / units)
        places.append(zones[zone].x + _FIRST_UNIT_X + taken[zone] * UNIT_STEP)
        taken[zone] += 1
    supply_joints = [Joint(x + RISE, "down", flow) for x in places]
    return_joints = [Joint(x + DROP, "down", flow) for x in places]
    for each in zones:
        wanted = each.flow_below(rows - 1)
        supply_joints.append(Joint(each.x, "up", -wanted))
        return_joints.append(Joint(each.x + RISER_STEP, "up", -wanted))
    plan.level(_TANK_DECK, _HEADER_HEIGHT_M)
    right = max(joint.x for joint in (*supply_joints, *return_joints)) + 60.0
    plan.put(Drain, "DR-1", right, y)
    plan.put(FillPoint, "FP-1", right + 40.0, y + HEADER_STEP, turn=1)
    supply = put_header(plan, y, "supply", supply_joints, plan.facing("DR-1", "left"))
    back = put_header(plan, y + HEADER_STEP, "return", return_joints, plan.facing("FP-1", "left"))
    plan.level(_TANK_DECK, _PLANT_HEIGHT_M)
    head = round((needed_kPa + UNIT_DROP_KPA) / 9.81, 2)
    pressure = round(9.81 * (decks[0].height_m - _TANK_DECK_M) + _OVER_TOP_KPA, -1)
    expansion = {
        "pressure_kPa": pressure,
        "precharge_kPa": pressure - 20.0,
        "volume_L": round(max(_LEAST_VESSEL_L, _VESSEL_L_PER_FLOW * total)),
    }
    for number, x in enumerate(places, start=1):
        unit = Unit(number, x, y, round(flow, 3), head)
        put_unit(plan, unit, supply[x + RISE][0], back[x + DROP][0], expansion if number == 1 else None)
    return supply, back


def _put_zone(
    plan: Plan,
    zone: _Zone,
    needed_kPa: float,
    supply_foot: tuple[End, float],
    return_foot: tuple[End, float],
) -> None:
    """Put a zone's risers and corridors down, from the headers up."""
    (supply, supply_off), (back, return_off) = supply_foot, return_foot
    for row in range(len(zone.corridors) - 1, -1, -1):
        corridor = zone.corridors[row]
        plan.level(corridor.deck, 2.3)
        above = plan.tee(zone.x, corridor.y, "right")
        below = plan.tee(zone.x + RISER_STEP, corridor.y + MAIN_STEP, "right")
        flow = zone.flow_below(row)
        riser = Pipe(_RISERS.series, _RISERS.size(flow), "supply", "riser shaft", FOAM)
        length = _riser_m(zone, row)
        plan.string(riser, [supply, plan.facing(above, "down")], length + supply_off)
        plan.string(riser._replace(service="return"), [plan.facing(below, "down"), back], length + return_off)
        supply_off = return_off = 0.0
        valve = _valve(corridor.flow_L_s, needed_kPa - _need(zone, row))
        put_corridor(plan, corridor, [plan.facing(above, "right")], [plan.facing(below, "right")], valve)
        supply, back = plan.facing(above, "up"), plan.facing(below, "up")
    number = zone.corridors[0].number
    top = zone.corridors[0]
    plan.level(top.deck, 2.4)
    for tag, service, x, y, end in (
        (f"AV-{number}S", "supply", zone.x + 20.0, top.y - 60.0, supply),
        (f"AV-{number}R", "return", zone.x + RISER_STEP + 20.0, top.y - 30.0, back),
    ):
        plan.put(AirVent, tag, x, y)
        plan.string(_SMALL._replace(service=service), [end, End(tag, "inlet")], 0.3)
