# SPDX-License-Identifier: MIT
"""Rules on solved runs: velocity, loss per metre, no flow."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from solver.findings.case import Case, Verdict
from solver.findings.wording import counted, listed
from solver.parts.pipe_sizes import pipe_series
from solver.vessel.components import (
    AirHandler,
    CheckValve,
    ConstantFlowValve,
    DifferentialBypass,
    Pump,
    ThreeWayValve,
)
from solver.vessel.run import Run

#: What is told with three digits as the limit itself is within it.
_ROUNDING = 0.005
#: Sea water wears copper above this [m/s] (from memory; copper-nickel stands more, see below).
_COPPER_IN_SEA = 1.0


class _Off(NamedTuple):
    """A run off its limit."""

    run: Run
    value: float
    limit: float

    @property
    def excess(self) -> float:
        """How far above its limit, as it is shown: what looks alike stays in file order."""
        return float(f"{self.value / self.limit:.2e}")


def velocity_low(case: Case) -> Iterator[Verdict]:
    """Runs too slow to carry air along.

    0.6 m/s moves air down a pipe (trade discussion of plumbers), 0.45 to 0.6 by the ASHRAE handbook
    (from memory); the limit is the vessel's ``velocity_min_m_s``.
    """
    limit = case.vessel.limits.velocity_min_m_s
    slow = sorted(
        (
            _Off(run, velocity, limit)
            for run, velocity, _ in case.moving_runs
            if velocity < limit * (1 - _ROUNDING)
        ),
        key=lambda one: one.excess,
    )
    if slow:
        say = case.say.velocity
        yield Verdict(
            "note",
            f"{counted(len(slow), 'run is', 'runs are')} slower than {say(limit)}: "
            + listed(slow, lambda one: f"{one.run.tag} {say(one.value)}")
            + ".",
            cause="Air and dirt settle there.",
            cure="Vent and flush them well; a smaller bore carries air along.",
            tags=tuple(one.run.tag for one in slow),
        )


def velocity_high(case: Case) -> Iterator[Verdict]:
    """Fresh-water runs that are too fast: noise and wear.

    1.2 m/s up to DN 50 by the ASHRAE handbook (from memory); the limit is the vessel's
    ``velocity_max_m_s``.
    """
    limit = case.vessel.limits.velocity_max_m_s
    fast = [
        _Off(run, velocity, limit)
        for run, velocity, _ in case.moving_runs
        if velocity > limit * (1 + _ROUNDING)
    ]
    if fast:
        yield _too_fast(case, fast, "It can be heard in cabins, and wears bends.")


def sea_velocity_high(case: Case) -> Iterator[Verdict]:
    """Sea-water runs that are too fast for their material.

    Copper-nickel 90/10 up to 25 mm stands 2.5 m/s of clean and 2.0 m/s of sandy water (copper trade
    body); copper about 1.0 m/s (from memory).  Other materials are held to the vessel's
    ``sea_velocity_max_m_s``, which no material may pass.
    """
    limit = case.vessel.limits.sea_velocity_max_m_s
    fast = []
    for run, velocity, _ in case.moving_sea_runs:
        is_copper = pipe_series(run.series).material == "copper"
        most = min(limit, _COPPER_IN_SEA) if is_copper else limit
        if velocity > most * (1 + _ROUNDING):
            fast.append(_Off(run, velocity, most))
    if fast:
        yield _too_fast(case, fast, "Fast sea water wears the pipe through at bends and ends.")


def _too_fast(case: Case, fast: list[_Off], cause: str) -> Verdict:
    fast.sort(key=lambda one: -one.excess)
    say = case.say.velocity
    limits = sorted({one.limit for one in fast}, reverse=True)
    return Verdict(
        "warn",
        f"{counted(len(fast), 'run is', 'runs are')} faster than {listed(limits, say)}: "
        f"{listed(fast, lambda one: f'{case.run_name(one.run)} {say(one.value)}')}.",
        cause=cause,
        cure="Take the next size up, or less flow.",
        tags=tuple(one.run.tag for one in fast),
    )


def loss_per_metre_high(case: Case) -> Iterator[Verdict]:
    """Runs that lose too much per metre.

    100 to 400 Pa/m by the ASHRAE handbook (from memory), 4 ft/100 ft = 392 Pa/m in a pump handbook
    (Rishel, Durkin and Kincaid 2006); the limit is the vessel's ``loss_max_Pa_m``.
    """
    limit = case.vessel.limits.loss_max_Pa_m
    steep = [_Off(run, loss, limit) for run, _, loss in case.moving_runs if loss > limit * (1 + _ROUNDING)]
    if steep:
        steep.sort(key=lambda one: -one.excess)
        say = case.say.gradient
        yield Verdict(
            "note",
            f"{counted(len(steep), 'run loses', 'runs lose')} more than {say(limit)}: "
            f"{listed(steep, lambda one: f'{case.run_name(one.run)} {say(one.value)}')}.",
            cause="Narrow pipe is paid for in pump power for as long as the boat sails.",
            cure="On the index circuit take the next size up; elsewhere it does a regulating valve's work.",
            tags=tuple(one.run.tag for one in steep),
        )


def run_without_flow(case: Case) -> Iterator[Verdict]:
    """Runs in which water stands although nothing is shut.

    Physics: both ends are at one pressure, as at the middle of a ring main.  Runs behind a shut
    valve, a closed check valve or bypass or a stopped pump are told of by other rules.
    """
    joints, live = case.joints, case.is_live
    still = [
        number
        for number, run in enumerate(case.vessel.runs)
        if live[number] and case.flow.get(run.tag) == 0.0 and case.results.port_kPa.get(run.start) is not None
    ]
    if not still:
        return
    closing = (CheckValve, DifferentialBypass, Pump, AirHandler, ThreeWayValve, ConstantFlowValve)
    stopped = [
        link
        for link, tag in enumerate(joints.tags)
        if not case.flow.get(tag) and (link in case.is_shut or isinstance(case.part_of(link), closing))
    ]
    explained = case.standing(stopped)
    tags = [case.vessel.runs[number].tag for number in still if number not in explained]
    if tags:
        yield Verdict(
            "note",
            f"No water flows in {listed(tags)}.",
            cause="Both ends are at the same pressure.",
            cure="Where it should flow, look for a valve that makes both ways alike.",
            tags=tuple(tags),
        )
