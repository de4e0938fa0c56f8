# SPDX-License-Identifier: MIT
"""A row of cabins over the supply and return mains of their deck.

Each air handler stands in its room with its ports down.  Supply comes up on its left, return goes
down on its right; valves stand in these columns, mains run below the rooms.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from solver.vessel.components import (
    AirHandler,
    ConstantFlowValve,
    IsolatingValve,
    RegulatingValve,
    TwoWayValve,
)
from solver.vessel.run import End, Insulation
from solver.vessel.samples.equipment import air_handler, regulating
from solver.vessel.samples.plan import Pipe, Plan, Stop
from solver.vessel.samples.sizing import SizeRule

#: From an air handler's centre to the first valve below it, and from valve to valve.
_FIRST_VALVE, _VALVE_STEP = 60.0, 30.0
#: From the lowest valve to the upper main, and between the mains.
_TO_MAIN, MAIN_STEP = 40.0, 40.0
#: From an air handler's centre to its port columns, and to its room's walls.
COLUMN, _ROOM_LEFT, _ROOM_RIGHT, _ROOM_TOP, _ROOM_END = 20.0, 85.0, 115.0, 80.0, 20.0


@dataclass(frozen=True, kw_only=True)
class Unit:
    """An air handler in its cabin with its branch.

    ``main_m`` is the length of each main from the neighbour nearer to the plant, ``branch_m`` that
    of each branch pipe.  ``two_way_kvs`` adds a 2-way control valve, ``constant_flow`` takes a
    constant-flow valve for the regulating valve.
    """

    number: int
    cabin: str
    capacity_kW: float
    drop_kPa: float
    x: float
    main_m: float
    branch_m: float = 3.0
    valve_size: int = 15
    turns: float = 2.0
    two_way_kvs: float | None = None
    constant_flow: bool = False
    room_left: float = _ROOM_LEFT
    room_right: float = _ROOM_RIGHT
    branch_size: str = ""
    main_size: str = ""
    return_size: str = ""

    @property
    def flow_L_s(self) -> float:
        """Design flow."""
        return float(air_handler(self.capacity_kW, self.drop_kPa)["design_flow_L_s"])


@dataclass(frozen=True, kw_only=True)
class Row:
    """Where a row of cabins lies and what its pipes are.

    ``y`` is that of the air handlers; ``valves`` counts the valves in a return column.  A row that
    is ``turned`` hangs below its mains, upside down.
    """

    y: float
    deck: str
    main_height_m: float
    rule: SizeRule
    valves: int = 2
    main_rule: SizeRule | None = None
    unit_height_m: float = 1.2
    main_step: float = MAIN_STEP
    turned: bool = False
    known: str = "measured"
    plus_minus_percent: float = 0.0
    insulation: Insulation = field(default_factory=lambda: Insulation(thickness_mm=19.0))

    @property
    def down(self) -> float:
        """Direction from the air handlers to the mains: 1 down the drawing, -1 up."""
        return -1.0 if self.turned else 1.0

    @property
    def lowest_valve(self) -> float:
        """Where the isolating valves stand."""
        return self.y + self.down * (_FIRST_VALVE + (self.valves - 1) * _VALVE_STEP)

    @property
    def near_main(self) -> float:
        """Where the main nearer to the cabins runs."""
        return self.lowest_valve + self.down * _TO_MAIN

    @property
    def far_main(self) -> float:
        """Where the other main runs."""
        return self.near_main + self.down * self.main_step

    def pipe(self, service: str, flow_L_s: float, size: str = "") -> Pipe:
        """Return the pipe of a main for a flow; ``size`` overrides the rule's."""
        rule = self.main_rule or self.rule
        return self._pipe(rule.series, size or rule.size(flow_L_s), service)

    def branch_pipe(self, service: str, unit: Unit) -> Pipe:
        """Return the pipe of a unit's branch."""
        return self._pipe(self.rule.series, unit.branch_size or self.rule.size(unit.flow_L_s), service)

    def _pipe(self, series: str, size: str, service: str) -> Pipe:
        return Pipe(
            series, size, service, "ceiling void", self.insulation, self.known, self.plus_minus_percent
        )


def put_unit(plan: Plan, row: Row, unit: Unit) -> tuple[list[Stop], list[Stop]]:
    """Put down a unit's room, air handler and valves; return the stops of its two columns.

    The supply stops end at the air handler, the return stops begin there.
    """
    number, x, y = unit.number, unit.x, row.y
    supply_x, return_x = x - row.down * COLUMN, x + row.down * COLUMN
    to_unit, from_unit = ("down", "up") if row.turned else ("up", "down")
    plan.level(row.deck, row.unit_height_m)
    walls = sorted((y - row.down * _ROOM_TOP, row.lowest_valve + row.down * _ROOM_END))
    left, right = x - unit.room_left, x + unit.room_right
    cabin = plan.room(f"C-{number}", unit.cabin, left, walls[0], right, walls[1])
    handler = air_handler(unit.capacity_kW, unit.drop_kPa)
    turn = 2 if row.turned else 0
    plan.put(AirHandler, f"AH-{number}", x, y, turn=turn, name=unit.cabin, cabins=(cabin,), **handler)
    plan.put(IsolatingValve, f"IV-{number}S", supply_x, row.lowest_valve, to_unit)
    column: list[tuple[Any, str, dict[str, Any]]] = [(IsolatingValve, f"IV-{number}R", {})]
    if unit.constant_flow:
        column.append((ConstantFlowValve, f"CF-{number}", {"flow_L_s": unit.flow_L_s}))
    else:
        column.append((RegulatingValve, f"RV-{number}", regulating(unit.valve_size, unit.turns)))
    if unit.two_way_kvs is not None:
        column.append((TwoWayValve, f"CV-{number}", {"kvs_m3_h": unit.two_way_kvs}))
    for place, (kind, tag, fields) in enumerate(column):
        valve_y = row.lowest_valve - row.down * place * _VALVE_STEP
        plan.put(kind, tag, return_x, valve_y, from_unit, **fields)
    supply: list[Stop] = [f"IV-{number}S", End(f"AH-{number}", "water_in")]
    back: list[Stop] = [End(f"AH-{number}", "water_out"), *(tag for _, tag, _ in reversed(column))]
    return supply, back
