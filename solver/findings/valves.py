# SPDX-License-Identifier: MIT
"""Rules on valves at work: bypass open, constant-flow valves out of range, check valves, parts cut off."""

from __future__ import annotations

from collections.abc import Iterator

from solver.findings.case import Case, Verdict, each_of
from solver.findings.wording import counted, listed, percent
from solver.vessel.components import (
    CheckValve,
    CirculationPump,
    ConstantFlowValve,
    DifferentialBypass,
    Pump,
    SeaWaterPump,
)

#: A constant-flow valve holds its flow within this share of its limits; nearer is no finding.
_WORKING = 0.02


def bypass_open(case: Case) -> Iterator[Verdict]:
    """A differential bypass that lets water round.  Common practice: fine with valves shut, a loss else."""
    for valve in case.of(DifferentialBypass):
        flow = abs(case.flow.get(valve.tag, 0.0))
        if flow == 0.0:
            continue
        total = sum(abs(case.flow.get(pump.tag, 0.0)) for pump in case.of(CirculationPump))
        yield Verdict(
            "note",
            f"{valve.tag} is open: {case.say.flow(flow)} go round"
            + (f", {percent(flow / total)} of the pumps' flow." if total > 0.0 else "."),
            cause=f"The pressure across it is above its setting of {case.say.pressure(valve.set_kPa)}.",
            cure="With all air handlers open it should be shut: raise its setting or lower the pump's speed.",
            tags=(valve.tag,),
        )


def constant_flow_below_range(case: Case) -> Iterator[Verdict]:
    """A constant-flow valve with too little pressure across it to hold its flow (maker's range)."""
    low = [
        valve
        for valve in _solved_constant_flow(case)
        if 0.0 < abs(case.results.links[valve.tag].loss_kPa) < valve.minimum_drop_kPa * (1 - _WORKING)
        and abs(case.flow.get(valve.tag, 0.0)) < valve.flow_L_s * (1 - _WORKING)
    ]
    low.sort(key=lambda valve: case.results.links[valve.tag].loss_kPa / valve.minimum_drop_kPa)

    def judge(valve: ConstantFlowValve) -> Verdict:
        say = case.say
        flow = abs(case.flow[valve.tag])
        return Verdict(
            "warn",
            f"{valve.tag} passes {say.flow_of(flow, valve.flow_L_s)}.",
            cause=f"{say.pressure(abs(case.results.links[valve.tag].loss_kPa))} lie across it; it works from "
            f"{say.pressure(valve.minimum_drop_kPa)}.",
            cure="Raise the pump's speed, or take losses out of its circuit.",
            tags=(valve.tag,),
        )

    return each_of(
        low,
        judge,
        lambda valve: valve.tag,
        lambda left: (
            f"{counted(left, 'more constant-flow valve is', 'more constant-flow valves are')} "
            "below the working range."
        ),
    )


def constant_flow_above_range(case: Case) -> Iterator[Verdict]:
    """A constant-flow valve with more pressure across it than it is made for (maker's range)."""
    high = [
        valve
        for valve in _solved_constant_flow(case)
        if abs(case.results.links[valve.tag].loss_kPa) > valve.maximum_drop_kPa * (1 + _WORKING)
    ]
    high.sort(key=lambda valve: -abs(case.results.links[valve.tag].loss_kPa))

    def judge(valve: ConstantFlowValve) -> Verdict:
        say = case.say.pressure
        return Verdict(
            "warn",
            f"{say(abs(case.results.links[valve.tag].loss_kPa))} lie across {valve.tag}; it works up to "
            f"{say(valve.maximum_drop_kPa)}.",
            cause="Its spring is at its stop: it passes more than its flow, and is heard.",
            cure="Lower the pump's speed.",
            tags=(valve.tag,),
        )

    return each_of(
        high,
        judge,
        lambda valve: valve.tag,
        lambda left: (
            f"{counted(left, 'more constant-flow valve is', 'more constant-flow valves are')} "
            "above the working range."
        ),
    )


def constant_flow_in_series(case: Case) -> Iterator[Verdict]:
    """Two constant-flow valves one behind the other: the smaller rules, the other only takes pressure.

    Physics; what each of them takes is then undetermined within its range.
    """
    told: set[str] = set()
    for valve in case.of(ConstantFlowValve):
        if valve.tag in told:
            continue
        links = {link for side in case.branch(valve) for link in side.links}
        parts = {
            part.tag: part for link in links if isinstance(part := case.part_of(link), ConstantFlowValve)
        }
        parts[valve.tag] = valve
        if len(parts) > 1:
            told |= parts.keys()
            row = sorted(parts.values(), key=lambda one: one.flow_L_s)
            yield Verdict(
                "warn",
                f"{listed([one.tag for one in row])} are one behind the other.",
                cause=f"{row[0].tag} holds {case.say.flow(row[0].flow_L_s)}; what is behind or ahead of it "
                "only takes pressure.",
                cure="Keep one of them.",
                tags=tuple(one.tag for one in row),
            )


def check_valve_held_shut(case: Case) -> Iterator[Verdict]:
    """A check valve that stays shut although the pump in its leg runs.

    Physics: the other pumps' pressure is above what this pump can give.
    """
    for valve in case.of(CheckValve):
        if case.flow.get(valve.tag, 0.0) != 0.0:
            continue
        links = [link for side in case.branch(valve) for link in side.links]
        if any(link in case.is_shut for link in links):
            continue
        running = [
            part.tag
            for link in links
            if isinstance(part := case.part_of(link), Pump) and part.running and part.speed_percent > 0.0
        ]
        if running:
            others = _other_pumps(case, running[0])
            yield Verdict(
                "bad",
                f"{valve.tag} is held shut though {running[0]} runs.",
                cause=f"{listed(others)} {'gives' if len(others) == 1 else 'give'} more pressure than "
                f"{running[0]} can."
                if others
                else "It points against the flow.",
                cure="Bring the pumps to one speed, or see which way the valve is fitted.",
                tags=(valve.tag, running[0]),
            )


def _solved_constant_flow(case: Case) -> list[ConstantFlowValve]:
    """Return the constant-flow valves that water can reach; of one that is not joined nothing is known."""
    return [valve for valve in case.of(ConstantFlowValve) if valve.tag in case.results.links]


def _other_pumps(case: Case, tag: str) -> list[str]:
    pumps = (*case.of(CirculationPump), *case.of(SeaWaterPump))
    region = case.regions[case.point(tag, "inlet")]
    return [
        pump.tag
        for pump in pumps
        if pump.tag != tag
        and case.flow.get(pump.tag)
        and case.regions[case.point(pump.tag, "inlet")] == region
    ]


def cut_off_parts(case: Case) -> Iterator[Verdict]:
    """Parts between shut valves, out of reach of everything that holds a pressure.

    Physics: their pressure is unknown and rises with their temperature (trapped cold water that warms
    up can burst a part; common practice).
    """
    port_kPa, joints = case.results.port_kPa, case.joints
    unknown = [port in port_kPa and port_kPa[port] is None for port in joints.point_of]
    if not any(unknown):
        return
    labels = joints.regions(case.is_shut | set(_closed(case)))
    groups: dict[int, list[str]] = {}
    piped: set[int] = set()
    for (port, point), is_cut in zip(joints.point_of.items(), unknown, strict=True):
        if is_cut:
            groups.setdefault(int(labels[point]), []).append(port[0])
            if port in case.vessel.runs_at:
                piped.add(int(labels[point]))
    for region, tags in groups.items():
        # What is not piped at all, as the sea side of a chiller may be, is not cut off.
        if region not in piped:
            continue
        parts = list(dict.fromkeys(tags))
        shut = [
            joints.tags[link]
            for link in sorted(case.is_shut)
            if region in (int(labels[joints.start[link]]), int(labels[joints.end[link]]))
        ]
        parts = [tag for tag in parts if tag not in shut] or parts
        yield Verdict(
            "warn",
            f"{listed(parts)} {'is' if len(parts) == 1 else 'are'} cut off.",
            cause=f"{listed(shut)} {'is' if len(shut) == 1 else 'are'} shut."
            if shut
            else "Nothing joins them to the expansion vessel or the sea.",
            cure="Open one of them: cold water shut in on all sides bursts parts as it warms."
            if shut
            else "Join them, or take them out.",
            tags=(*parts, *shut),
        )


def _closed(case: Case) -> list[int]:
    """Return the links through check valves and bypasses that pass nothing."""
    return [
        link
        for link in case.links_of(CheckValve, DifferentialBypass)
        if not case.flow.get(case.joints.tags[link])
    ]
