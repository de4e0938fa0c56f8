# SPDX-License-Identifier: MIT
"""The ends of mains: a tee waits there until the last branch comes."""

from __future__ import annotations

import math
from collections.abc import Iterable

from solver.vessel.components import Tee
from solver.vessel.edits.cutting import OnRun, run_of
from solver.vessel.edits.healing import heal
from solver.vessel.edits.joining import Where
from solver.vessel.edits.setting import retag, set_run_size
from solver.vessel.run import End
from solver.vessel.vessel import Vessel

#: A branch this near to the end of a main is its last [units].
TO_END = 60.0


def ending_mains(vessel: Vessel, ends: Iterable[End | None]) -> Vessel:
    """Return the vessel with mains that a branch has joined at their end leading on to it, without a tee."""
    for end in ends:
        tee = None if end is None else vessel.component_by_tag[end.tag]
        if end is None or not isinstance(tee, Tee):
            continue
        runs = {run.tag: run for port in tee.ports for run in vessel.runs_at.get((tee.tag, port), ())}
        if len(runs) == 2:
            own = vessel.runs_at[end][0].tag
            main = next(run for tag, run in runs.items() if tag != own)
            vessel = heal(set_run_size(vessel, (own,), main.series, main.size), tee.tag)
            vessel = vessel if main.tag in vessel.run_by_tag else retag(vessel, own, main.tag)
    return vessel


def or_its_end(vessel: Vessel, where: OnRun) -> Where:
    """Return the tee that waits at the end of a run if that is near a place on it, else the place."""
    run = run_of(vessel, where.run)
    for end in (run.start, run.end):
        tee = vessel.component_by_tag[end.tag]
        joined = sum((tee.tag, port) in vessel.runs_at for port in tee.ports)
        if isinstance(tee, Tee) and joined == 1 and math.dist(tee.at, where.at) <= TO_END:
            return End(tee.tag, "branch")
    return where
