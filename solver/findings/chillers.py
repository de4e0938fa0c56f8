# SPDX-License-Identifier: MIT
"""Rules on the flow through chillers."""

from __future__ import annotations

from collections.abc import Iterator

from solver.findings.case import Case, Verdict
from solver.findings.wording import percent
from solver.vessel.components import Chiller, TwoWayValve


def chiller_without_flow(case: Case) -> Iterator[Verdict]:
    """A running chiller through which no water flows.  Common practice: its flow switch stops it."""
    for chiller in case.of(Chiller):
        is_piped = (chiller.tag, "water_in") in case.vessel.runs_at
        if is_piped and chiller.running and case.flow.get(chiller.tag, 0.0) == 0.0:
            yield Verdict(
                "bad",
                f"No water flows through {chiller.tag}.",
                cause=_stopped_by(case, chiller),
                cure="Open its way before it is started. Never bridge its flow switch: the evaporator "
                "freezes and bursts.",
                tags=(chiller.tag,),
            )


def _stopped_by(case: Case, chiller: Chiller) -> str:
    for side in case.branch(chiller):
        for link in side.links:
            if link in case.is_shut:
                return f"{case.joints.tags[link]} is shut."
    return "No pump drives its way."


def chiller_below_minimum(case: Case) -> Iterator[Verdict]:
    """A running chiller with less than its least flow.

    The maker's figure; flow switches trip at 50 to 70 % of rated flow (common practice).
    """
    for chiller in case.of(Chiller):
        flow = abs(case.flow.get(chiller.tag, 0.0))
        if not chiller.running or not 0.0 < flow < chiller.minimum_flow_L_s:
            continue
        closed = [valve for valve in case.of(TwoWayValve) if valve.position_percent < 50.0]
        yield Verdict(
            "bad",
            f"{chiller.tag} gets {case.say.flow(flow)}, "
            f"{percent(flow / chiller.minimum_flow_L_s)} of its least flow "
            f"{case.say.flow(chiller.minimum_flow_L_s)}.",
            cause="Its flow switch trips; without one the evaporator freezes."
            + (
                f" {len(closed)} of {len(case.of(TwoWayValve))} 2-way valves are nearly shut."
                if closed
                else ""
            ),
            cure="Fit or set a differential bypass, or raise the pump's flow."
            if closed
            else "Raise the pump's speed, or take losses out of its circuit.",
            tags=(chiller.tag, *(valve.tag for valve in closed)),
        )


def chiller_reversed(case: Case) -> Iterator[Verdict]:
    """Water that enters a chiller by its outlet.  Common practice: sensors and switch read nonsense then."""
    for chiller in case.of(Chiller):
        if case.flow.get(chiller.tag, 0.0) < 0.0:
            yield Verdict(
                "warn",
                f"Water flows backwards through {chiller.tag}.",
                cause="It enters at the outlet, where the leaving-water sensor sits.",
                cure="Swap its supply and return, or look for a pump that drives it the wrong way.",
                tags=(chiller.tag,),
            )
