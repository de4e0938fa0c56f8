# SPDX-License-Identifier: MIT
"""Why an air handler gets too little: what takes the pressure along its branch and its circuit.

The first of these that holds: a valve of its branch that is partly shut; a clogged strainer; the
regulating valve throttled; a run that takes nearly half of its branch's pressure or is steeper than
the limit; a run on the way that takes a fifth of the pump's; others that take more than their
share; the pump.  The thresholds are ours; a later step works the shares out exactly.
"""

from __future__ import annotations

from typing import NamedTuple

from solver.circuits import Branch
from solver.errors import PartError
from solver.findings.case import Case
from solver.findings.wording import percent
from solver.parts.pipe_sizes import PipeSize, next_size
from solver.parts.valves import regulating_valve_kv
from solver.vessel.components import (
    AirHandler,
    IsolatingValve,
    RegulatingValve,
    Strainer,
    TwoWayValve,
)
from solver.vessel.run import Run

#: Share of the branch's pressure from which a valve, strainer or run is the reason.
_VALVE, _STRAINER, _RUN = 0.4, 0.2, 0.45
#: Share of the pump's pressure from which a run on the way is the reason.
_ON_THE_WAY = 0.2
#: Exponent of flow and of bore in the loss of a pipe, to estimate with.
_FLOW_POWER, _BORE_POWER = 1.9, 4.8


class Reason(NamedTuple):
    """Cause and cure with the parts they name."""

    cause: str
    cure: str
    tags: tuple[str, ...]


def reason_for_low_flow(case: Case, unit: AirHandler) -> Reason:
    """Return why an air handler in which water flows gets less than its design flow."""
    branch = case.circuits.branch(unit.tag)
    if branch is None:
        return Reason("", "", ())
    taken = {link: case.circuits.loss_kPa(link) for link in branch.links}
    whole = sum(taken.values())
    if whole > 0.0:
        for look in (_partly_shut, _clogged, _throttled, _narrow_run):
            reason = look(case, unit, branch, taken, whole)
            if reason is not None:
                return reason
    return _on_the_way(case, unit, branch) or _others_take_more(case, unit) or _weak_pump(case, unit)


def _partly_shut(
    case: Case, unit: AirHandler, branch: Branch, taken: dict[int, float], whole: float
) -> Reason | None:
    for link in branch.links:
        part = case.part_of(link)
        if taken[link] < _STRAINER * whole:
            continue
        if isinstance(part, IsolatingValve) and part.opening_percent < 100.0:
            opening, wide = part.opening_percent, (part.opening_percent / 100.0) ** 2
        elif isinstance(part, TwoWayValve) and part.position_percent < 100.0:
            opening, wide = part.position_percent, 0.1
        else:
            continue
        flow = _flow_with(case, unit, whole, taken[link], wide)
        return Reason(
            f"{part.tag} is {opening:g} % open and takes {percent(taken[link] / whole)} of the pressure "
            "across its branch.",
            f"Opening it gives about {case.say.flow(flow)}.",
            (part.tag,),
        )
    return None


def _clogged(
    case: Case, unit: AirHandler, branch: Branch, taken: dict[int, float], whole: float
) -> Reason | None:
    for link in branch.links:
        part = case.part_of(link)
        if isinstance(part, Strainer) and part.clogging_percent > 0.0 and taken[link] >= _STRAINER * whole:
            clean = (1.0 - part.clogging_percent / 100.0) ** 2
            flow = _flow_with(case, unit, whole, taken[link], clean)
            return Reason(
                f"Its strainer {part.tag} is {part.clogging_percent:g} % clogged and takes "
                f"{percent(taken[link] / whole)} of the pressure across its branch.",
                f"Cleaned, it gives about {case.say.flow(flow)}.",
                (part.tag,),
            )
    return None


def _throttled(
    case: Case, unit: AirHandler, branch: Branch, taken: dict[int, float], whole: float
) -> Reason | None:
    valves = [link for link in branch.links if isinstance(case.part_of(link), RegulatingValve)]
    if not valves:
        return None
    link = max(valves, key=taken.__getitem__)
    part = case.part_of(link)
    assert isinstance(part, RegulatingValve)
    last = part.kv_table[-1]
    if taken[link] < _VALVE * whole or part.setting >= last.setting:
        return None
    kv = regulating_valve_kv(part.kv_table, part.setting)
    flow = _flow_with(case, unit, whole, taken[link], (kv / last.kv_m3_h) ** 2)
    return Reason(
        f"{part.tag} at setting {part.setting:g} of {last.setting:g} ({case.say.kv(kv)}) takes "
        f"{percent(taken[link] / whole)} of the pressure across its branch.",
        f"Open {part.tag}; wide open gives about {case.say.flow(flow)}.",
        (part.tag,),
    )


def _narrow_run(
    case: Case, unit: AirHandler, branch: Branch, taken: dict[int, float], whole: float
) -> Reason | None:
    runs = [link for link in branch.links if link < case.joints.run_count]
    if not runs:
        return None
    link = max(runs, key=taken.__getitem__)
    run = case.vessel.runs[link]
    steep = (case.results.links[run.tag].loss_Pa_m or 0.0) > case.vessel.limits.loss_max_Pa_m
    if taken[link] < _RUN * whole and not (steep and taken[link] >= 0.25 * whole):
        return None
    place = branch.links.index(case.joints.index_of[unit.tag])
    side = "supply" if branch.links.index(link) < place else "return"
    larger = _larger(run)
    cure = f"{run.tag} is of the largest size of its series." if larger is None else ""
    if larger is not None:
        left = (case.bore_mm(run) / larger.bore_mm) ** _BORE_POWER
        flow = _flow_with(case, unit, whole, taken[link], left)
        cure = f"Next size up ({larger.size}) gives about {case.say.flow(flow)}."
    return Reason(
        f"Its {side} run {_described(case, run)} takes {percent(taken[link] / whole)} of the pressure across "
        "its branch.",
        cure,
        (run.tag,),
    )


def _described(case: Case, run: Run) -> str:
    return f"{run.tag} ({run.size}, {case.say.length(run.length_m)})"


def _larger(run: Run) -> PipeSize | None:
    try:
        return next_size(run.series, run.size)
    except PartError:
        return None


def _flow_with(case: Case, unit: AirHandler, whole: float, taken: float, share_left: float) -> float:
    """Estimate the flow [L/s] if one part took only a share of what it takes, all else as it is."""
    flow = abs(case.flow[unit.tag])
    left = whole - taken * (1.0 - share_left)
    return flow * float((whole / left) ** (1.0 / _FLOW_POWER))


def _on_the_way(case: Case, unit: AirHandler, branch: Branch) -> Reason | None:
    way = case.circuits.circuit(unit.tag)
    if way is None:
        return None
    own = {case.joints.tags[link] for link in branch.links}
    links, runs = case.results.links, case.vessel.run_by_tag
    given = sum(case.results.pumps[step.tag].rise_kPa for step in way.steps if step.tag in case.results.pumps)
    shared = [step for step in way.steps if step.tag not in own]
    clogged = [
        step.tag
        for step in shared
        if isinstance(part := case.vessel.component_by_tag.get(step.tag), Strainer)
        and part.clogging_percent > 0.0
        and abs(links[step.tag].loss_kPa) >= _ON_THE_WAY * given
    ]
    if clogged:
        part = case.vessel.component_by_tag[clogged[0]]
        assert isinstance(part, Strainer)
        return Reason(
            f"On its way {part.tag}, {part.clogging_percent:g} % clogged, takes "
            f"{percent(abs(links[part.tag].loss_kPa) / given)} of the pump's pressure.",
            "Clean it.",
            (part.tag,),
        )
    steps = [step for step in shared if step.tag in runs]
    most = max(steps, key=lambda step: abs(links[step.tag].loss_kPa), default=None)
    if most is None or given <= 0.0 or abs(links[most.tag].loss_kPa) < _ON_THE_WAY * given:
        return None
    run = runs[most.tag]
    larger = _larger(run)
    return Reason(
        f"On its way the {most.side} run {_described(case, run)} takes "
        f"{percent(abs(links[run.tag].loss_kPa) / given)} of the pump's pressure.",
        f"Next size up is {larger.size}." if larger else f"{run.tag} is of the largest size of its series.",
        (run.tag,),
    )


def _others_take_more(case: Case, unit: AirHandler) -> Reason | None:
    region = case.regions[case.point(unit.tag, "water_in")]
    over = [
        figures for figures in case.overfed if case.regions[case.point(figures.tag, "water_in")] == region
    ]
    if not over:
        return None
    most = over[0]
    return Reason(
        f"Others take more than their share: {most.tag} gets {percent(most.share_of_design)}"
        + (f", {len(over) - 1} more get too much." if len(over) > 1 else "."),
        f"Close the regulating valve of {most.tag} to its design flow"
        + (" and those of the others." if len(over) > 1 else "."),
        tuple(figures.tag for figures in over[:5]),
    )


def _weak_pump(case: Case, unit: AirHandler) -> Reason:
    way = case.circuits.circuit(unit.tag)
    pumps = [] if way is None else [step.tag for step in way.steps if step.tag in case.results.pumps]
    if way is None or not pumps:
        return Reason("No running pump drives its circuit.", "Start a pump.", ())
    given = sum(case.results.pumps[tag].rise_kPa for tag in pumps)
    return Reason(
        f"Its circuit needs {case.say.pressure(way.needed_kPa)} at design flow; {' and '.join(pumps)} "
        f"{'gives' if len(pumps) == 1 else 'give'} {case.say.pressure(given)}."
        if way.needed_kPa > given
        else f"No single part takes much: all of its circuit does, on the {case.say.pressure(given)} of "
        f"{' and '.join(pumps)}.",
        f"Raise the speed of {pumps[0]}, or take a larger pump.",
        tuple(pumps),
    )
