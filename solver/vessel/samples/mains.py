# SPDX-License-Identifier: MIT
"""Mains that feed a row of cabins: direct return, reverse return, a ring, a pair of manifolds."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from solver.vessel.components import Manifold
from solver.vessel.run import End
from solver.vessel.samples.plan import Pipe, Plan, Stop
from solver.vessel.samples.rows import COLUMN, Row, Unit, put_unit

#: Between neighbouring pipes of a manifold.
_PIPE_STEP = 20.0


def _flow(units: Sequence[Unit]) -> float:
    return sum(unit.flow_L_s for unit in units)


def direct_mains(
    plan: Plan,
    row: Row,
    units: Sequence[Unit],
    supply_from: Sequence[Stop],
    return_to: Sequence[Stop],
    beyond_L_s: float = 0.0,
) -> tuple[list[Stop], list[Stop]]:
    """Put down units, in order from the plant outwards, on direct-return mains.

    The supply main is the one nearer to the cabins.  ``supply_from`` are the stops at which it
    starts, ``return_to`` those at which the return main ends, both in the order of flow.  With a
    flow ``beyond_L_s`` the mains go on: the stops at which they do so are returned.
    """
    outward, inward = ("left", "right") if units[-1].x < units[0].x else ("right", "left")
    supply, back = list(supply_from), list(return_to)
    for index, unit in enumerate(units):
        to_unit, from_unit = put_unit(plan, row, unit)
        flow = _flow(units[index:]) + beyond_L_s
        supply_main = row.pipe("supply", flow, unit.main_size)
        return_main = row.pipe("return", flow, unit.return_size or unit.main_size)
        if index == len(units) - 1 and beyond_L_s == 0.0:
            _last(plan, row, unit, [*supply, *to_unit], supply_main)
            _last(plan, row, unit, [*from_unit, *back], return_main)
            return [], []
        plan.level(row.deck, row.main_height_m)
        supply_tee = plan.tee(unit.x - COLUMN, row.near_main, "up")
        return_tee = plan.tee(unit.x + COLUMN, row.far_main, "up")
        plan.string(supply_main, [*supply, plan.facing(supply_tee, inward)], unit.main_m)
        to_unit = [plan.facing(supply_tee, "up"), *to_unit]
        _branches(plan, row, unit, to_unit, [*from_unit, plan.facing(return_tee, "up")])
        plan.string(return_main, [plan.facing(return_tee, inward), *back], unit.main_m)
        supply, back = [plan.facing(supply_tee, outward)], [plan.facing(return_tee, outward)]
    return supply, back


def _last(plan: Plan, row: Row, unit: Unit, stops: Sequence[Stop], main: Pipe) -> None:
    """Join the last unit of a row: the main as far as the isolating valve, the branch beyond."""
    valve = f"IV-{unit.number}{'S' if main.service == 'supply' else 'R'}"
    place = list(stops).index(valve)
    before, after = [*stops[:place], End(valve, "inlet")], [End(valve, "outlet"), *stops[place + 1 :]]
    branch = row.branch_pipe(main.service, unit)
    near, far = (main, branch) if main.service == "supply" else (branch, main)
    length, short = unit.main_m + 0.6 * unit.branch_m, 0.4 * unit.branch_m
    plan.string(near, before, length if near is main else short, elbows=2 if near is main else 1)
    plan.string(far, after, length if far is main else short, elbows=2 if far is main else 1)


def _branches(plan: Plan, row: Row, unit: Unit, supply: Sequence[Stop], back: Sequence[Stop]) -> None:
    plan.string(row.branch_pipe("supply", unit), supply, unit.branch_m, elbows=2)
    plan.string(row.branch_pipe("return", unit), back, unit.branch_m, elbows=2)


def reverse_mains(
    plan: Plan,
    row: Row,
    units: Sequence[Unit],
    supply_from: End,
    return_to: End,
    turn_x: float,
    home_m: float,
) -> None:
    """Put down units from left to right on reverse-return mains.

    The return main starts at the first unit, passes the last one, turns at ``turn_x`` and comes
    home below itself over ``home_m`` metres.
    """
    supply: Stop = supply_from
    back: list[Stop] = []
    for index, unit in enumerate(units):
        to_unit, from_unit = put_unit(plan, row, unit)
        plan.level(row.deck, row.main_height_m)
        main, branch = row.pipe("supply", _flow(units[index:])), row.branch_pipe("supply", unit)
        if index < len(units) - 1:
            tee = plan.tee(unit.x - COLUMN, row.near_main, "up")
            plan.string(main, [supply, plan.facing(tee, "left")], unit.main_m)
            plan.string(branch, [plan.facing(tee, "up"), *to_unit], unit.branch_m, elbows=2)
            supply = plan.facing(tee, "right")
        else:
            plan.string(main, [supply, *to_unit], unit.main_m + unit.branch_m, elbows=2)
        if index == 0:
            back = from_unit
            continue
        tee = plan.tee(unit.x + COLUMN, row.far_main, "up")
        first = units[0].branch_m if index == 1 else 0.0
        main = row.pipe("return", _flow(units[:index]))
        plan.string(main, [*back, plan.facing(tee, "left")], unit.main_m + first)
        branch = row.branch_pipe("return", unit)
        plan.string(branch, [*from_unit, plan.facing(tee, "up")], unit.branch_m, elbows=2)
        back = [plan.facing(tee, "right")]
    plan.string(row.pipe("return", _flow(units)), [*back, return_to], home_m, via=[turn_x], elbows=2)


@dataclass(frozen=True, kw_only=True)
class Ring:
    """A supply ring within a return ring, between a row of cabins above and one below.

    ``supply_ends`` and ``return_ends`` are the places of the rings' left and right sides;
    ``supply_feed`` and ``return_feed`` say at which height of the drawing they are fed on the left.
    """

    upper: Row
    lower: Row
    upper_units: Sequence[Unit]
    lower_units: Sequence[Unit]
    supply_ends: tuple[float, float]
    return_ends: tuple[float, float]
    supply_feed: float
    return_feed: float
    size: str
    closing_m: float


def ring_mains(plan: Plan, ring: Ring, supply_from: End, return_to: End, feed_m: float) -> None:
    """Put down a ring; ``feed_m`` is the length of each pipe between riser and ring."""
    plan.level(ring.upper.deck, ring.upper.main_height_m)
    supply_feed = plan.tee(ring.supply_ends[0], ring.supply_feed, "left")
    return_feed = plan.tee(ring.return_ends[0], ring.return_feed, "left")
    flow = _flow([*ring.upper_units, *ring.lower_units])
    feed = [supply_from, plan.facing(supply_feed, "left")]
    plan.string(ring.upper.pipe("supply", flow), feed, feed_m, elbows=2)
    feed = [plan.facing(return_feed, "left"), return_to]
    plan.string(ring.upper.pipe("return", flow), feed, feed_m, elbows=2)
    far = [
        _ring_leg(plan, row, units, plan.facing(supply_feed, side), plan.facing(return_feed, side), ring.size)
        for row, units, side in (
            (ring.upper, ring.upper_units, "up"),
            (ring.lower, ring.lower_units, "down"),
        )
    ]
    for service, number in (("supply", 0), ("return", 1)):
        ends = [far[0][number], far[1][number]]
        side = (ring.supply_ends, ring.return_ends)[number][1]
        pipe = ring.upper.pipe(service, flow, ring.size)
        plan.string(pipe, ends, ring.closing_m, via=[side], elbows=2)


def _ring_leg(
    plan: Plan, row: Row, units: Sequence[Unit], supply: End, back: End, size: str
) -> tuple[End, End]:
    """Put down one side of a ring from left to right; return the ends of supply and return."""
    side = "down" if row.turned else "up"
    for unit in units:
        to_unit, from_unit = put_unit(plan, row, unit)
        plan.level(row.deck, row.main_height_m)
        supply_tee = plan.tee(unit.x - row.down * COLUMN, row.far_main, side)
        return_tee = plan.tee(unit.x + row.down * COLUMN, row.near_main, side)
        pipe = row.pipe("supply", unit.flow_L_s, size)
        plan.string(pipe, [supply, plan.facing(supply_tee, "left")], unit.main_m)
        to_unit = [plan.facing(supply_tee, side), *to_unit]
        _branches(plan, row, unit, to_unit, [*from_unit, plan.facing(return_tee, side)])
        pipe = row.pipe("return", unit.flow_L_s, size)
        plan.string(pipe, [plan.facing(return_tee, "left"), back], unit.main_m)
        supply, back = plan.facing(supply_tee, "right"), plan.facing(return_tee, "right")
    return supply, back


@dataclass(frozen=True, kw_only=True)
class Manifolds:
    """Where a supply and a return manifold lie, ports up, and the highest pipe to each."""

    supply_at: tuple[float, float]
    return_at: tuple[float, float]
    supply_level: float
    return_level: float


def manifold_mains(
    plan: Plan, row: Row, units: Sequence[Unit], place: Manifolds, supply_from: End, return_to: End
) -> None:
    """Put down units from left to right, each with a pipe of its own from and to a manifold.

    Each unit's ``branch_m`` is the length of each of its two pipes; the first ``main_m`` is that of
    the mains up to the manifolds.
    """
    count = len(units) + 1
    plan.level(row.deck, row.unit_height_m)
    for tag, at in (("SM-1", place.supply_at), ("RM-1", place.return_at)):
        plan.put(Manifold, tag, *at, turn=2, port_count=count)
    # Ports up, the highest number stands on the left.
    ports = [str(number) for number in range(count, 0, -1)]
    flow = _flow(units)
    main_m = units[0].main_m
    plan.string(row.pipe("supply", flow), [supply_from, End("SM-1", ports[0])], main_m, elbows=2)
    plan.string(row.pipe("return", flow), [End("RM-1", ports[0]), return_to], main_m, elbows=2)
    for index, (unit, port) in enumerate(zip(units, ports[1:], strict=True)):
        to_unit, from_unit = put_unit(plan, row, unit)
        step = index * _PIPE_STEP
        supply: list[Stop] = [End("SM-1", port), *to_unit]
        back: list[Stop] = [*from_unit, End("RM-1", port)]
        pipe = row.branch_pipe("supply", unit)
        plan.string(pipe, supply, unit.branch_m, via=[place.supply_level + step], elbows=2)
        pipe = row.branch_pipe("return", unit)
        plan.string(pipe, back, unit.branch_m, via=[place.return_level + step], elbows=2)
