# SPDX-License-Identifier: MIT
"""Rules on the pressure of a closed loop: expansion vessels, and pressure at the top and at the pump."""

from __future__ import annotations

from collections.abc import Iterator
from heapq import heappop, heappush
from typing import NamedTuple

from solver.findings.case import Case, Loop, Verdict
from solver.findings.liquid import loop_density
from solver.findings.wording import counted, listed
from solver.vessel.components import (
    AirHandler,
    CheckValve,
    Chiller,
    CirculationPump,
    Component,
    ConstantFlowValve,
    ControlValve,
    DifferentialBypass,
    ExpansionVessel,
    FlexibleHose,
    Pump,
    RegulatingValve,
)

_GRAVITY = 9.80665
#: Gauge pressures above this are not below that of the air [kPa].
_NOISE = -0.05
#: Pipe between expansion vessel and pump inlet that still counts as at the suction [m].
_NEAR = 5.0
#: Parts that must not lie between the expansion vessel and the pump's inlet.
_BETWEEN = (
    AirHandler,
    Chiller,
    RegulatingValve,
    ControlValve,
    DifferentialBypass,
    ConstantFlowValve,
    CheckValve,
)


def no_expansion_vessel(case: Case) -> Iterator[Verdict]:
    """A closed loop without an expansion vessel: nothing holds its pressure.

    EN 12828 asks for one in closed heating systems (from memory); common practice for chilled water.
    """
    for loop in case.fresh_loops:
        pumps = loop.of(CirculationPump)
        if pumps and not loop.of(ExpansionVessel):
            yield Verdict(
                "bad",
                f"The loop of {listed([pump.tag for pump in pumps])} has no expansion vessel.",
                cause="Nothing holds its pressure: it rises and falls with the water's temperature.",
                cure="Join one to the return just ahead of the pump.",
                tags=tuple(pump.tag for pump in pumps),
            )


def two_expansion_vessels(case: Case) -> Iterator[Verdict]:
    """Several expansion vessels on one loop.

    Common practice: one point of the loop is held at one pressure; two draw water from each other
    when the pump starts.
    """
    for loop in case.fresh_loops:
        vessels = [vessel.tag for vessel in loop.of(ExpansionVessel)]
        if len(vessels) > 1:
            yield Verdict(
                "warn",
                f"{listed(vessels)} are on one loop.",
                cause="Each holds the pressure where it is joined; water moves between them as the pump "
                "starts and stops.",
                cure="Keep one, or join them at one point.",
                tags=tuple(vessels),
            )


class _Way(NamedTuple):
    """From an expansion vessel to a pump inlet: length [m], the parts between that should not be, pump."""

    length: float
    between: list[str]
    pump: str


def expansion_vessel_not_at_suction(case: Case) -> Iterator[Verdict]:
    """An expansion vessel that is not joined at a circulation pump's suction.

    Common practice: then every pressure in the loop rises when the pump starts, and none falls.  At
    the suction means: within 5 m of pipe of a pump's inlet, with no air handler, chiller, pump,
    regulating, control, check, bypass or constant-flow valve between.  Isolating valves, strainers
    and separators may lie between.
    """
    for loop in case.fresh_loops:
        for vessel in loop.of(ExpansionVessel):
            way = _way_to_suction(case, loop, vessel)
            if way is None or (way.length <= _NEAR and not way.between):
                continue
            what = listed(way.between) if way.between else f"{case.say.length(way.length)} of pipe"
            lie = "lies" if len(way.between) == 1 else "lie"
            yield Verdict(
                "warn",
                f"{vessel.tag} is not at the suction of {way.pump}: {what} {lie} between.",
                cause="When the pump runs, its suction pressure falls below the fill pressure, and air can "
                "be drawn in.",
                cure=f"Join {vessel.tag} to the return just ahead of {way.pump}.",
                tags=(vessel.tag, way.pump),
            )


def _way_to_suction(case: Case, loop: Loop, vessel: ExpansionVessel) -> _Way | None:
    """Return the way to the nearest pump inlet; parts that should not lie between count as very long."""
    joints = case.joints
    inlets = {case.point(pump.tag, "inlet"): pump.tag for pump in loop.of(CirculationPump)}
    start = case.point(vessel.tag, "connection")
    best = {start: 0.0}
    came: dict[int, int] = {}
    waiting = [(0.0, start)]
    while waiting:
        cost, point = heappop(waiting)
        if point in inlets:
            return _told(case, point, came, inlets[point])
        if cost > best[point]:
            continue
        for link in joints.at[point]:
            part = case.part_of(link)
            if isinstance(part, Pump):
                continue
            other = joints.other_end(link, point)
            further = cost + _length(case, link, part) + (1e6 if isinstance(part, _BETWEEN) else 0.0)
            if further < best.get(other, float("inf")):
                best[other] = further
                came[other] = link
                heappush(waiting, (further, other))
    return None


def _length(case: Case, link: int, part: Component | None) -> float:
    if part is None:
        return case.vessel.runs[link].length_m
    return part.length_m if isinstance(part, FlexibleHose) else 0.0


def _told(case: Case, point: int, came: dict[int, int], pump: str) -> _Way:
    length = 0.0
    between: list[str] = []
    while point in came:
        link = came[point]
        part = case.part_of(link)
        length += _length(case, link, part)
        if isinstance(part, _BETWEEN):
            between.append(part.tag)
        point = case.joints.other_end(link, point)
    return _Way(length, between[::-1], pump)


def low_pressure_at_top(case: Case) -> Iterator[Verdict]:
    """Too little pressure at the loop's highest point with the pump at rest.

    Common practice: fill to 0.3 to 0.5 bar there, so that no air is drawn in at vents and joints.
    The limit is the vessel's ``static_min_kPa``.
    """
    limit = case.vessel.limits.static_min_kPa
    for loop in case.fresh_loops:
        for holder in loop.of(ExpansionVessel)[:1]:
            top = max(loop.components, key=lambda part: case.height[part.tag])
            above = case.height[top.tag] - case.height[holder.tag]
            pressure = holder.pressure_kPa - loop_density(case.vessel) * _GRAVITY * above / 1e3
            if pressure >= limit:
                continue
            say = case.say
            yield Verdict(
                "bad" if pressure < 0.0 else "warn",
                f"At {top.tag}, the top of the loop, {say.pressure(pressure)} are left with the pump at "
                f"rest; at least {say.pressure(limit)} are asked for.",
                cause=f"{holder.tag} holds {say.pressure(holder.pressure_kPa)}, "
                f"{say.length(above)} lower. Vents draw air in there.",
                cure=f"Fill to {say.pressure(holder.pressure_kPa + limit - pressure)} at {holder.tag}, "
                "within what every part of the loop is rated for, and set its precharge to suit.",
                tags=(top.tag, holder.tag),
            )


def pressure_below_air(case: Case) -> Iterator[Verdict]:
    """A part of a closed loop that runs below atmospheric pressure: air is drawn in there.  Physics."""
    port_kPa = case.results.port_kPa
    region = case.regions.tolist()
    for loop in case.fresh_loops:
        lowest, place = 0.0, ""
        tags: list[str] = []
        for part in loop.components:
            for port in part.ports:
                pressure = port_kPa.get((part.tag, port))
                if pressure is None or pressure > _NOISE or region[case.point(part.tag, port)] != loop.number:
                    continue
                if tags[-1:] != [part.tag]:
                    tags.append(part.tag)
                if pressure < lowest:
                    lowest, place = pressure, part.tag
        if not tags:
            continue
        yield Verdict(
            "bad",
            f"{place} runs at {case.say.pressure(lowest)}, below the air outside.",
            cause="Air is drawn in at vents, glands and joints"
            + (f"; {counted(len(tags) - 1, 'more part', 'more parts')} likewise." if len(tags) > 1 else "."),
            cure="Raise the fill pressure, or join the expansion vessel at the pump's suction.",
            tags=tuple(tags),
        )
