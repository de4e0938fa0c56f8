# SPDX-License-Identifier: MIT
"""Rules on what a loop should have: pump, strainer, valves to shut, to check and to balance."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from solver.findings.case import Case, Side, Verdict
from solver.findings.wording import counted, listed
from solver.vessel.components import (
    AirHandler,
    CheckValve,
    Chiller,
    CirculationPump,
    Component,
    ConstantFlowValve,
    DifferentialBypass,
    IsolatingValve,
    RegulatingValve,
    Strainer,
    ThreeWayValve,
)


def no_circulation_pump(case: Case) -> Iterator[Verdict]:
    """A loop with air handlers or chillers and nothing to move its water.  Physics."""
    for loop in case.fresh_loops:
        if not loop.of(CirculationPump):
            tags = [part.tag for part in loop.of(AirHandler, Chiller)]
            yield Verdict(
                "bad",
                f"The loop of {listed(tags)} has no circulation pump.",
                cure="Draw a circulation pump in its return, ahead of the chiller.",
                tags=tuple(tags),
            )


def no_strainer(case: Case) -> Iterator[Verdict]:
    """Water that reaches a circulation pump from an air handler without passing a strainer.

    Common practice: one strainer protects the pump and the chiller; a strainer at each air handler
    does not.
    """
    pumps = case.of(CirculationPump)
    if not pumps:
        return
    labels = case.joints.regions(case.links_of(Strainer, CirculationPump, DifferentialBypass))
    units = {int(labels[case.point(part.tag, "water_out")]) for part in case.of(AirHandler)}
    bare = [pump.tag for pump in pumps if int(labels[case.point(pump.tag, "inlet")]) in units]
    if bare:
        yield Verdict(
            "warn",
            f"No strainer ahead of {listed(bare)}.",
            cause="Dirt of the first fill ends in the pump and in the chiller's evaporator.",
            cure="Fit a strainer in the return, with an isolating valve either side of it.",
            tags=tuple(bare),
        )


def no_isolating_valve(case: Case) -> Iterator[Verdict]:
    """An air handler, chiller or circulation pump that cannot be shut off on both sides.

    Common practice.  Looked at is the way from each port to the first junction; regulating valves
    count, since they shut.
    """
    for kind, name in ((CirculationPump, "pump"), (Chiller, "chiller"), (AirHandler, "air handler")):
        open_sides: list[tuple[str, str]] = []
        for part in case.of(kind):
            missing = [
                port
                for port, side in zip(part.ports[:2], case.branch(part), strict=True)
                if side.links and not _has(case, side, IsolatingValve, RegulatingValve)
            ]
            if missing:
                where = "either side" if len(missing) == 2 else _side_name(part, missing[0])
                open_sides.append((part.tag, where))
        if open_sides:
            yield Verdict(
                "note",
                f"{counted(len(open_sides), f'{name} has', f'{name}s have')} no isolating valve: "
                + listed(open_sides, lambda one: f"{one[0]} ({one[1]})")
                + ".",
                cause="The loop has to be drained to work on it.",
                cure="Fit an isolating valve on both sides.",
                tags=tuple(tag for tag, _ in open_sides),
            )


def _has(case: Case, side: Side, *kinds: type[Component]) -> bool:
    return any(isinstance(case.part_of(link), kinds) for link in side.links)


def _side_name(part: Component, port: str) -> str:
    if isinstance(part, AirHandler):
        return "supply side" if port == "water_in" else "return side"
    return "inlet side" if port.endswith("in") or port == "inlet" else "outlet side"


def no_regulating_valve(case: Case) -> Iterator[Verdict]:
    """An air handler's branch that cannot be balanced.

    Common practice: every branch of several has a regulating or a constant-flow valve.  Once solved,
    a branch that gets its share without one (as on a reverse return) is left in peace.
    """
    bare: list[str] = []
    limits = case.vessel.limits
    for loop in case.fresh_loops:
        units = loop.of(AirHandler)
        if len(units) < 2:
            continue
        for unit in units:
            sides = case.branch(unit)
            if any(_has(case, side, RegulatingValve, ConstantFlowValve) for side in sides):
                continue
            if case.has_results and unit.tag in case.results.air_handlers:
                share = case.results.air_handlers[unit.tag].share_of_design * 100
                if limits.share_min_percent <= share <= limits.share_max_percent:
                    continue
            bare.append(unit.tag)
    if bare:
        yield Verdict(
            "warn" if case.has_results else "note",
            f"{counted(len(bare), 'branch has', 'branches have')} no regulating valve: {listed(bare)}.",
            cause="Their flow cannot be set: near branches take what far ones lack.",
            cure="Fit a regulating or constant-flow valve in each branch.",
            tags=tuple(bare),
        )


def no_check_valve(case: Case) -> Iterator[Verdict]:
    """Parallel pumps without a check valve each: the one at rest is driven backwards.

    Common practice.  Pumps are parallel if their inlets hang together, and their outlets, by ways
    that pass no pump and no air handler.
    """
    pumps = case.of(CirculationPump)
    if len(pumps) < 2:
        return
    through = case.links_of(CirculationPump, AirHandler, DifferentialBypass)
    through += [case.joints.index_of[f"{valve.tag}:bypass"] for valve in case.of(ThreeWayValve)]
    through += case.is_shut
    ends = case.joints.regions(through)
    checked = case.joints.regions([*through, *case.links_of(CheckValve)])
    groups: dict[tuple[int, int], list[CirculationPump]] = {}
    for pump in pumps:
        inlet, outlet = (int(ends[case.point(pump.tag, port)]) for port in pump.ports)
        if inlet != outlet:
            groups.setdefault((inlet, outlet), []).append(pump)
    served = {
        port: {int(checked[case.point(unit.tag, port)]) for unit in case.of(AirHandler)}
        for port in ("water_in", "water_out")
    }
    for group in groups.values():
        bare = [
            pump.tag
            for pump in group
            if len(group) > 1 and not _is_checked(case, pump, group, checked, served)
        ]
        if bare:
            yield Verdict(
                "warn",
                f"{listed([pump.tag for pump in group])} run in parallel"
                + (
                    " without check valves."
                    if len(bare) == len(group)
                    else f"; {listed(bare)} without a check valve."
                ),
                cause="A pump at rest lets water back to the suction and turns backwards.",
                cure="Fit a check valve at each pump's outlet.",
                tags=tuple(bare),
            )


def _is_checked(
    case: Case,
    pump: CirculationPump,
    group: list[CirculationPump],
    checked: np.ndarray[tuple[int], np.dtype[np.int32]],
    served: dict[str, set[int]],
) -> bool:
    """Return whether a check valve stands between one of a pump's ports and all other parts."""
    for port, unit_port in (("inlet", "water_out"), ("outlet", "water_in")):
        region = int(checked[case.point(pump.tag, port)])
        others = {int(checked[case.point(other.tag, port)]) for other in group if other is not pump}
        if region not in others and region not in served[unit_port]:
            return True
    return False
