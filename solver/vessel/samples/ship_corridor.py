# SPDX-License-Identifier: MIT
"""A corridor of a ship: cabins on both sides over one pair of direct-return mains."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import accumulate
from typing import NamedTuple

from solver.vessel.components import AirHandler, IsolatingValve, RegulatingValve
from solver.vessel.run import End, Insulation
from solver.vessel.samples.equipment import air_handler, regulating
from solver.vessel.samples.plan import Pipe, Plan, Stop
from solver.vessel.samples.sizing import SizeRule, bore_of, loss_per_metre

#: Metres of ship to one unit of the drawing, along the ship.
SCALE = 0.02
MAINS = SizeRule("stainless_10s", loss_max_Pa_m=200.0, velocity_max_m_s=1.2, smallest_bore_mm=17.0)
BRANCHES = SizeRule("multilayer", loss_max_Pa_m=250.0, smallest_bore_mm=12.0)
FOAM = Insulation(thickness_mm=25.0)

#: Between cabins on the same side, and from the supply main to the air handlers of each side.
PITCH = 180.0
MAIN_STEP = 40.0
_TO_HANDLER, _ROOM_NEAR, _ROOM_FAR = 110.0, 50.0, 170.0
#: From an air handler to its room's walls: more on the left where its pipes come from above.
_PORT_ROOM, _STARBOARD_ROOM = (85.0, 85.0), (105.0, 65.0)
_COLUMN = 20.0
#: From the supply riser to the first cabin, and beyond the last one to the next zone.
_FIRST_CABIN, _BEYOND = 240.0, 130.0
#: From the top of a corridor to its supply main, and from corridor to corridor.
TOP_TO_MAIN, CORRIDOR_STEP = 170.0, 410.0
RISER_STEP = 40.0

BRANCH_M = 2.5
COIL_DROP_KPA = 18.0
#: Fittings and tees of the mains and branches, as a share on top of friction; for the balance only.
_FITTINGS = 1.6
_HEIGHT_M, _HANDLER_HEIGHT_M = 2.3, 1.9


class CabinPlan(NamedTuple):
    """A cabin to come."""

    number: int
    name: str
    capacity_kW: float
    flow_L_s: float


class Corridor(NamedTuple):
    """Where a corridor lies; ``riser_x`` is that of the supply riser, ``y`` that of the supply main."""

    number: int
    deck: str
    riser_x: float
    y: float
    cabins: Sequence[CabinPlan]

    @property
    def flow_L_s(self) -> float:
        """Design flow of all its air handlers."""
        return sum(cabin.flow_L_s for cabin in self.cabins)


def corridor_width(cabins: int) -> float:
    """Return the width of a corridor on the drawing, with the risers on its left."""
    return _FIRST_CABIN + (cabins - 1) * PITCH / 2 + _BEYOND


def corridor_need_kPa(corridor: Corridor) -> float:
    """Return the pressure that drives design flow through a corridor's middle cabin, roughly.

    Friction of the mains up to each cabin, averaged over the cabins, and what a branch takes.
    """
    flows = [cabin.flow_L_s for cabin in corridor.cabins]
    onward = list(accumulate(reversed(flows)))[::-1]
    along = accumulate(2 * _rate(MAINS, flow) * PITCH / 2 * SCALE for flow in onward)
    before = 2 * _rate(MAINS, onward[0]) * _FIRST_CABIN * SCALE
    mean = before + sum(along) / len(flows)
    branch = 2 * max(_rate(BRANCHES, flow) for flow in flows) * BRANCH_M
    return COIL_DROP_KPA + _FITTINGS * (mean + branch) / 1000.0


def _rate(rule: SizeRule, flow_L_s: float) -> float:
    return loss_per_metre(flow_L_s, bore_of(rule.series, rule.size(flow_L_s)))


def put_corridor(
    plan: Plan, corridor: Corridor, supply: Sequence[Stop], back: Sequence[Stop], valve: tuple[int, float]
) -> None:
    """Put a corridor down between the stops of its risers; ``valve`` is size and turns."""
    number = corridor.number
    x, y = corridor.riser_x, corridor.y
    plan.level(corridor.deck, _HEIGHT_M)
    plan.put(IsolatingValve, f"IV-{number}S", x + 120, y, "right")
    plan.put(IsolatingValve, f"IV-{number}R", x + 120, y + MAIN_STEP, "left")
    plan.put(RegulatingValve, f"RV-{number}", x + 180, y + MAIN_STEP, "left", **regulating(*valve))
    supply = [*supply, f"IV-{number}S"]
    back = [f"RV-{number}", f"IV-{number}R", *back]
    onward = corridor.flow_L_s
    last = len(corridor.cabins) - 1
    for index, cabin in enumerate(corridor.cabins):
        starboard = index % 2 == 1
        side, down = ("down", -1.0) if starboard else ("up", 1.0)
        cabin_x = x + _FIRST_CABIN + index * PITCH / 2
        to_unit, from_unit = _put_cabin(plan, corridor, cabin, cabin_x, starboard)
        size = MAINS.size(onward)
        supply_main = Pipe(MAINS.series, size, "supply", "ceiling void", FOAM)
        return_main = supply_main._replace(service="return")
        supply_x, return_x = cabin_x - down * _COLUMN, cabin_x + down * _COLUMN
        if index == last:
            length = (supply_x - x) * SCALE if index == 0 else PITCH / 2 * SCALE
            plan.string(supply_main, [*supply, to_unit], length + BRANCH_M, elbows=2)
            plan.string(return_main, [from_unit, *back], length + BRANCH_M, elbows=2)
            return
        branch = Pipe(BRANCHES.series, BRANCHES.size(cabin.flow_L_s), "supply", "ceiling void", FOAM)
        plan.level(corridor.deck, _HEIGHT_M)
        above, below = plan.tee(supply_x, y, side), plan.tee(return_x, y + MAIN_STEP, side)
        length = (_FIRST_CABIN if index == 0 else PITCH / 2) * SCALE
        plan.string(supply_main, [*supply, plan.facing(above, "left")], length)
        plan.string(branch, [plan.facing(above, side), to_unit], BRANCH_M, elbows=3)
        branch = branch._replace(service="return")
        plan.string(branch, [from_unit, plan.facing(below, side)], BRANCH_M, elbows=3)
        plan.string(return_main, [plan.facing(below, "left"), *back], length)
        supply, back = [plan.facing(above, "right")], [plan.facing(below, "right")]
        onward -= cabin.flow_L_s


def _put_cabin(
    plan: Plan, corridor: Corridor, cabin: CabinPlan, x: float, starboard: bool
) -> tuple[End, End]:
    """Put down a cabin and its air handler; return the ports it is fed at and flows out of."""
    plan.level(corridor.deck, _HANDLER_HEIGHT_M)
    main = corridor.y + (MAIN_STEP if starboard else 0.0)
    out = 1.0 if starboard else -1.0
    walls = sorted((main + out * _ROOM_NEAR, main + out * _ROOM_FAR))
    tag, handler = f"C-{cabin.number}", f"AH-{cabin.number}"
    left, right = _STARBOARD_ROOM if starboard else _PORT_ROOM
    plan.room(tag, cabin.name, x - left, walls[0], x + right, walls[1])
    fields = air_handler(cabin.capacity_kW, COIL_DROP_KPA)
    turn = 2 if starboard else 0
    plan.put(
        AirHandler, handler, x, main + out * _TO_HANDLER, turn=turn, name=cabin.name, cabins=(tag,), **fields
    )
    return End(handler, "water_in"), End(handler, "water_out")
