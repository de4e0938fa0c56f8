# SPDX-License-Identifier: MIT
"""Rules on the share each air handler gets of its design flow."""

from __future__ import annotations

from collections.abc import Iterator

from solver.findings.case import Case, Verdict, each_of
from solver.findings.reasons import reason_for_low_flow
from solver.findings.wording import counted, listed, percent
from solver.results import AirHandlerFigures
from solver.vessel.components import (
    AirHandler,
    CheckValve,
    ConstantFlowValve,
    Pump,
    RegulatingValve,
)

#: Below this share of design flow a coil gives little more than two thirds of its output.
_HALF = 0.5


def air_handler_low(case: Case) -> Iterator[Verdict]:
    """An air handler below its least share of design flow.

    The limit is the vessel's ``share_min_percent``; +-10 % is commonly assumed (CIBSE Journal CPD on
    commissioning; common practice).  The cause is what ``solver.findings.reasons`` finds.
    """
    limit = case.vessel.limits.share_min_percent / 100.0
    low = [
        figures
        for figures in case.results.air_handlers.values()
        if case.flow.get(figures.tag, 0.0) > 0.0 and figures.share_of_design < limit
    ]
    low.sort(key=lambda figures: figures.share_of_design)

    def judge(figures: AirHandlerFigures) -> Verdict:
        unit = case.vessel.component_by_tag[figures.tag]
        assert isinstance(unit, AirHandler)
        reason = reason_for_low_flow(case, unit)
        return Verdict(
            "bad" if figures.share_of_design < _HALF else "warn",
            f"{figures.tag} gets {case.say.flow_of(figures.flow_L_s, figures.design_flow_L_s)} "
            f"({percent(figures.share_of_design)}).",
            cause=reason.cause,
            cure=reason.cure,
            tags=(figures.tag, *reason.tags),
        )

    return each_of(
        low,
        judge,
        lambda figures: figures.tag,
        lambda left: (
            f"{counted(left, 'more air handler gets', 'more air handlers get')} less than "
            f"{percent(limit)} of the design flow."
        ),
    )


def air_handler_high(case: Case) -> Iterator[Verdict]:
    """An air handler above its largest share of design flow: others lack it.

    The limit is the vessel's ``share_max_percent`` (common practice).
    """
    high = case.overfed
    lacking = any(
        figures.share_of_design * 100 < case.vessel.limits.share_min_percent
        for figures in case.results.air_handlers.values()
    )

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
        if not lacking:
            cure += " No air handler lacks flow, so the pump may run slower."
        return Verdict(
            "warn" if lacking else "note",
            f"{figures.tag} gets {case.say.flow_of(figures.flow_L_s, figures.design_flow_L_s)} "
            f"({percent(figures.share_of_design)}).",
            cause=cause,
            cure=cure,
            tags=(figures.tag,) if valve is None else (figures.tag, valve.tag),
        )

    return each_of(
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

    Physics.  Air handlers whose own branch is shut are told of one by one, all others together.
    """
    dry = [
        figures.tag
        for figures in case.results.air_handlers.values()
        if case.flow.get(figures.tag, 0.0) == 0.0 and (figures.tag, "water_in") in case.vessel.runs_at
    ]
    shut = {tag: valve for tag in dry if (valve := _own_shut_valve(case, tag))}

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
    others = [tag for tag in dry if tag not in shut]
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
