# SPDX-License-Identifier: MIT
"""Rules on the share each air handler gets of its design flow."""

from __future__ import annotations

from collections.abc import Iterator
from statistics import median

from solver.findings.case import Case, Verdict, each_of
from solver.findings.reasons import reason_for_low_flow, reason_for_short_loop
from solver.findings.wording import counted, listed, percent
from solver.results import AirHandlerFigures
from solver.vessel.components import (
    AirHandler,
    CheckValve,
    ConstantFlowValve,
    Pump,
    RegulatingValve,
    TwoWayValve,
)

#: Shares are told in whole percent; what rounds to the limit is within it.
_ROUNDING = 0.005
#: A loop is short as a whole if this share of its air handlers is short, and at least a few are.
_MOST, _FEW = 0.8, 3
#: Air handlers are short alike down to this share of the middle one's share.
_ALIKE = 0.85
#: Below this share of design flow a coil gives little more than two thirds of its output.
_HALF = 0.5


def air_handler_low(case: Case) -> Iterator[Verdict]:
    """An air handler below its least share of design flow.

    The limit is the vessel's ``share_min_percent``; +-10 % is commonly assumed (CIBSE Journal CPD on
    commissioning; common practice).  The cause is what ``solver.findings.reasons`` finds.  Where most
    of a loop is short alike, that is told once.
    """
    limit = case.vessel.limits.share_min_percent / 100.0
    low = [one for one in _served(case) if one.share_of_design < limit - _ROUNDING]
    low.sort(key=lambda figures: figures.share_of_design)
    together: set[str] = set()
    for members in _short_alike(case, low):
        together.update(one.tag for one in members)
        yield _judged_together(case, members)

    def judge(figures: AirHandlerFigures) -> Verdict:
        reason = reason_for_low_flow(case, _unit(case, figures.tag))
        return Verdict(
            "bad" if figures.share_of_design < _HALF else "warn",
            f"{figures.tag} gets {case.say.flow_of(figures.flow_L_s, figures.design_flow_L_s)} "
            f"({percent(figures.share_of_design)}).",
            cause=reason.cause,
            cure=reason.cure,
            tags=(figures.tag, *reason.tags),
        )

    yield from each_of(
        [one for one in low if one.tag not in together],
        judge,
        lambda figures: figures.tag,
        lambda left: (
            f"{counted(left, 'more air handler gets', 'more air handlers get')} less than "
            f"{percent(limit)} of the design flow."
        ),
    )


def _unit(case: Case, tag: str) -> AirHandler:
    unit = case.vessel.component_by_tag[tag]
    assert isinstance(unit, AirHandler)
    return unit


def _served(case: Case) -> list[AirHandlerFigures]:
    """Return the air handlers in which water flows the right way."""
    return [one for one in case.results.air_handlers.values() if case.flow.get(one.tag, 0.0) > 0.0]


def _short_alike(case: Case, low: list[AirHandlerFigures]) -> Iterator[list[AirHandlerFigures]]:
    """Yield, for each loop that is short as a whole, its air handlers that are short alike."""
    shares: dict[int, list[float]] = {}
    members: dict[int, list[AirHandlerFigures]] = {}
    for one in _served(case):
        shares.setdefault(case.loop_number(_unit(case, one.tag)), []).append(one.share_of_design)
    for one in low:
        members.setdefault(case.loop_number(_unit(case, one.tag)), []).append(one)
    for number, short in members.items():
        if len(short) >= max(_FEW, _MOST * len(shares[number])):
            middle = median(shares[number])
            yield [one for one in short if one.share_of_design >= _ALIKE * middle]


def _judged_together(case: Case, members: list[AirHandlerFigures]) -> Verdict:
    reason = reason_for_short_loop(case, _unit(case, members[0].tag))
    least, most = members[0].share_of_design, members[-1].share_of_design
    tags = [one.tag for one in members]
    return Verdict(
        "bad" if most < _HALF else "warn",
        f"{counted(len(tags), 'air handler gets', 'air handlers get')} too little alike, {percent(least)} "
        f"to {percent(most)} of the design flow: {listed(tags)}.",
        cause=reason.cause,
        cure=reason.cure,
        tags=tuple(dict.fromkeys((*tags, *reason.tags))),
    )


def air_handler_high(case: Case) -> Iterator[Verdict]:
    """An air handler above its largest share of design flow: others lack it.

    The limit is the vessel's ``share_max_percent`` (common practice).  Where several get too much and
    none too little, that is told once.
    """
    high = case.overfed
    limit = case.vessel.limits.share_min_percent / 100.0
    lacking = any(one.share_of_design < limit - _ROUNDING for one in _served(case))

    if len(high) >= _FEW and not lacking:
        tags = [one.tag for one in high]
        yield Verdict(
            "note",
            f"{len(tags)} air handlers get too much, up to {percent(high[0].share_of_design)} of the design "
            f"flow: {listed(tags)}.",
            cure="None lacks flow: the pump may run slower.",
            tags=tuple(tags),
        )
        return

    def judge(figures: AirHandlerFigures) -> Verdict:
        valve = _valve_of(case, figures.tag)
        if isinstance(valve, RegulatingValve):
            cause = f"{valve.tag} stands at setting {valve.setting:g} of {valve.kv_table[-1].setting:g}."
            cure = f"Close {valve.tag} to the design flow."
        elif isinstance(valve, ConstantFlowValve):
            cause = f"{valve.tag} is made for {case.say.flow(valve.flow_L_s)}."
            cure = f"Take a cartridge of {case.say.flow(figures.design_flow_L_s)}."
        else:
            cause, cure = "Its branch has no regulating valve.", "Fit one and set it to the design flow."
        return Verdict(
            "warn" if lacking else "note",
            f"{figures.tag} gets {case.say.flow_of(figures.flow_L_s, figures.design_flow_L_s)} "
            f"({percent(figures.share_of_design)}).",
            cause=cause,
            cure=cure,
            tags=(figures.tag,) if valve is None else (figures.tag, valve.tag),
        )

    yield from each_of(
        high,
        judge,
        lambda figures: figures.tag,
        lambda left: (
            f"{counted(left, 'more air handler gets', 'more air handlers get')} more than "
            f"{case.vessel.limits.share_max_percent:g} % of the design flow."
        ),
    )


def _valve_of(case: Case, tag: str) -> RegulatingValve | ConstantFlowValve | None:
    branch = case.circuits.branch(tag)
    for link in branch.links if branch else ():
        part = case.part_of(link)
        if isinstance(part, RegulatingValve | ConstantFlowValve):
            return part
    return None


def air_handler_reversed(case: Case) -> Iterator[Verdict]:
    """Water that runs backwards through an air handler.

    Common practice: supply and return are crossed, and the coil loses 5 to 10 % of its output for
    want of counter-flow.
    """
    for figures in case.results.air_handlers.values():
        flow = case.flow.get(figures.tag, 0.0)
        if flow < 0.0:
            yield Verdict(
                "warn",
                f"Water runs backwards through {figures.tag}: {case.say.flow(-flow)}.",
                cause="Its supply and return are crossed, or the flow turns in its part of the loop.",
                cure="Touch both pipes: the colder one is the supply. Swap them.",
                tags=(figures.tag,),
            )


def air_handler_without_flow(case: Case) -> Iterator[Verdict]:
    """An air handler that gets no water, and what shuts it off.

    Physics.  Air handlers whose own branch is shut are told of one by one, all others together; those
    off by their control valves are only noted.
    """
    dry = [
        figures.tag
        for figures in case.results.air_handlers.values()
        if case.flow.get(figures.tag, 0.0) == 0.0 and (figures.tag, "water_in") in case.vessel.runs_at
    ]
    shut = {tag: valve for tag in dry if (valve := _own_shut_valve(case, tag))}
    off = [tag for tag, valve in shut.items() if isinstance(case.vessel.component_by_tag[valve], TwoWayValve)]
    if off:
        valves = [shut.pop(tag) for tag in off]
        yield Verdict(
            "note",
            f"{listed(off)} {'gets' if len(off) == 1 else 'get'} no water.",
            cause=f"{listed(valves)} {'is' if len(off) == 1 else 'are'} at 0 %.",
            tags=(*off, *valves),
        )

    def judge(tag: str) -> Verdict:
        return Verdict(
            "bad",
            f"{tag} gets no water.",
            cause=f"{shut[tag]} is shut.",
            cure=f"Open {shut[tag]}.",
            tags=(tag, shut[tag]),
        )

    yield from each_of(
        list(shut),
        judge,
        str,
        lambda left: f"{counted(left, 'more air handler', 'more air handlers')} behind shut valves.",
    )
    others = [tag for tag in dry if tag not in shut and tag not in off]
    if others:
        closed = _closed_on_the_way(case, others)
        yield Verdict(
            "bad",
            f"{listed(others)} {'gets' if len(others) == 1 else 'get'} no water.",
            cause=f"No water passes {listed(closed)}."
            if closed
            else "Nothing drives water through; both ends are at one pressure.",
            cure="Open the valve or start the pump among them." if closed else "",
            tags=(*others, *closed),
        )


def _own_shut_valve(case: Case, tag: str) -> str:
    unit = case.vessel.component_by_tag[tag]
    for side in case.branch(unit):
        for link in side.links:
            if link in case.is_shut:
                return case.joints.tags[link]
    return ""


def _closed_on_the_way(case: Case, units: list[str]) -> list[str]:
    """Return the shut valves, check valves and pumps in the standing water about air handlers."""
    standing = case.standing([case.joints.index_of[tag] for tag in units])
    return [
        case.joints.tags[link]
        for link in sorted(standing)
        if link in case.is_shut or isinstance(case.part_of(link), CheckValve | Pump)
    ]
