# SPDX-License-Identifier: MIT
"""Why an air handler gets too little, from the losses of its solved branch and circuit.

Asked in turn: is a valve or strainer of its branch partly shut; is its branch tighter than those of
the other air handlers, and by which part; does a bypass or a pump at rest let water back; does one
run on the way take much; do others take more than their share; is the pump too weak.  The
thresholds are ours (common practice gives none).
"""

from __future__ import annotations

from statistics import median
from typing import NamedTuple

from solver.errors import PartError
from solver.findings.case import Case
from solver.findings.wording import listed, percent
from solver.parts.pipe_sizes import PipeSize, next_size
from solver.parts.valves import regulating_valve_kv
from solver.results import Circuit
from solver.vessel.components import (
    AirHandler,
    CirculationPump,
    Component,
    ConstantFlowValve,
    DifferentialBypass,
    IsolatingValve,
    RegulatingValve,
    Strainer,
    TwoWayValve,
)
from solver.vessel.run import Run

#: Share of the branch's pressure from which a part is the reason.
_HINDRANCE, _VALVE, _RUN, _COIL = 0.2, 0.4, 0.45, 0.6
#: Share of the pump's pressure from which a part on the way is the reason.
_ON_THE_WAY = 0.2
#: A branch is tight if it needs this much more than the middle one at design flow.
_TIGHT = 1.3
#: Exponents of flow and of bore in the loss of a pipe, to estimate with.
_FLOW_POWER, _BORE_POWER = 1.9, 4.8


class Reason(NamedTuple):
    """Cause and cure with the parts they name."""

    cause: str
    cure: str
    tags: tuple[str, ...]


def reason_for_low_flow(case: Case, unit: AirHandler) -> Reason:
    """Return why an air handler in which water flows gets less than its design flow."""
    branch = _BranchLook(case, unit)
    way = case.circuits.circuit(unit.tag)
    found = branch.hindrance() or (branch.tight_part() if branch.is_tight() else None)
    if found is None and way is not None:
        found = _let_back(case, unit) or _on_the_way(case, way, branch.tags) or _others_take_more(case, unit)
        if found is None and way.needed_kPa <= _given(case, way):
            found = branch.throttled(0.0)
    return found or _weak_pump(case, unit, way)


def reason_for_short_loop(case: Case, worst: AirHandler) -> Reason:
    """Return why most air handlers of a loop get too little alike, from the worst one's circuit."""
    way = case.circuits.circuit(worst.tag)
    found = None
    if way is not None:
        own = _BranchLook(case, worst).tags
        found = _let_back(case, worst) or _on_the_way(case, way, own) or _resting_pumps(case, worst)
    return found or _weak_pump(case, worst, way)


class _BranchLook:
    """The parts of an air handler's branch and what each takes of its pressure."""

    def __init__(self, case: Case, unit: AirHandler):
        self.case, self.unit = case, unit
        branch = case.circuits.branch(unit.tag)
        self.links = branch.links if branch else []
        self.taken = {link: case.circuits.loss_kPa(link) for link in self.links}
        self.whole = max(sum(self.taken.values()), 1e-9)
        self.tags = {case.joints.tags[link] for link in self.links}

    def share(self, link: int) -> float:
        """Return the share of the branch's pressure that one part takes."""
        return self.taken[link] / self.whole

    def flow_with(self, link: int, share_left: float) -> str:
        """Return the flow if one part took only a share of what it takes, the branch's pressure as it is."""
        flow = abs(self.case.flow[self.unit.tag])
        left = self.whole - self.taken[link] * (1.0 - share_left)
        return self.case.say.flow(flow * float((self.whole / left) ** (1.0 / _FLOW_POWER)))

    def parts(self) -> list[tuple[int, Component | None]]:
        """Return links and the components they lead through, those that take most first."""
        return [
            (link, self.case.part_of(link)) for link in sorted(self.links, key=lambda one: -self.taken[one])
        ]

    def is_tight(self) -> bool:
        """Return whether the branch takes far more at design flow than the loop's middle one, or is alone."""
        region, own = self.case.branch_at_design[self.unit.tag]
        needs = [need for number, need in self.case.branch_at_design.values() if number == region]
        return len(needs) == 1 or own > _TIGHT * median(needs)

    def hindrance(self) -> Reason | None:
        """Return a valve or strainer that is partly shut, or a constant-flow valve set too low."""
        across = "of the pressure across its branch."
        for link, part in self.parts():
            if isinstance(part, ConstantFlowValve) and part.flow_L_s < 0.98 * self.unit.design_flow_L_s:
                return Reason(
                    f"{part.tag} holds the flow at {self.case.say.flow(part.flow_L_s)}.",
                    f"Take a cartridge of {self.case.say.flow(self.unit.design_flow_L_s)}.",
                    (part.tag,),
                )
            if self.share(link) < _HINDRANCE:
                continue
            if isinstance(part, IsolatingValve) and part.opening_percent < 100.0:
                opening, left = part.opening_percent, (part.opening_percent / 100.0) ** 2
            elif isinstance(part, TwoWayValve) and part.position_percent < 100.0:
                opening, left = part.position_percent, self.case.circuits.open_share(link)
            elif isinstance(part, Strainer) and part.clogging_percent > 0.0:
                return Reason(
                    f"Its strainer {part.tag} is {part.clogging_percent:g} % clogged and takes "
                    f"{percent(self.share(link))} {across}",
                    f"Cleaned, it lets about "
                    f"{self.flow_with(link, (1.0 - part.clogging_percent / 100.0) ** 2)} pass.",
                    (part.tag,),
                )
            else:
                continue
            return Reason(
                f"{part.tag} is {opening:g} % open and takes {percent(self.share(link))} {across}",
                f"Opening it gives about {self.flow_with(link, left)}.",
                (part.tag,),
            )
        return None

    def tight_part(self) -> Reason | None:
        """Return the part that makes the branch tight."""
        return self.throttled(_VALVE) or self.narrow_run() or self.tight_coil()

    def throttled(self, from_share: float) -> Reason | None:
        """Return the regulating valve if it is not wide open and takes a share of the pressure."""
        for link, part in self.parts():
            if not isinstance(part, RegulatingValve) or self.share(link) < from_share:
                continue
            last = part.kv_table[-1]
            if part.setting >= last.setting:
                continue
            kv = regulating_valve_kv(part.kv_table, part.setting)
            return Reason(
                f"{part.tag} at setting {part.setting:g} of {last.setting:g} ({self.case.say.kv(kv)}) takes "
                f"{percent(self.share(link))} of the pressure across its branch.",
                f"Open {part.tag}; wide open gives about "
                f"{self.flow_with(link, self.case.circuits.open_share(link))}.",
                (part.tag,),
            )
        return None

    def narrow_run(self) -> Reason | None:
        """Return the run that takes most, if it takes much or is steeper than the limit."""
        runs = [link for link in self.links if link < self.case.joints.run_count]
        if not runs:
            return None
        link = max(runs, key=self.taken.__getitem__)
        run = self.case.vessel.runs[link]
        steep = (self.case.results.links[run.tag].loss_Pa_m or 0.0) > self.case.vessel.limits.loss_max_Pa_m
        if self.share(link) < (_HINDRANCE if steep else _RUN):
            return None
        place = self.links.index(self.case.joints.index_of[self.unit.tag])
        side = "supply" if self.links.index(link) < place else "return"
        larger = _larger(run)
        if larger is None:
            cure = f"{run.tag} is of the largest size of its series."
        else:
            left = (self.case.bore_mm(run) / larger.bore_mm) ** _BORE_POWER
            cure = f"Next size up ({larger.size}) gives about {self.flow_with(link, left)}."
        return Reason(
            f"Its {side} run {_described(self.case, run)} takes {percent(self.share(link))} of the pressure "
            "across its branch.",
            cure,
            (run.tag,),
        )

    def tight_coil(self) -> Reason | None:
        """Return the coil itself if it takes most."""
        share = self.share(self.case.joints.index_of[self.unit.tag])
        if share < _COIL:
            return None
        return Reason(
            f"Its coil takes {percent(share)} of the pressure across its branch, more than the others' do.",
            "Check its rated drop, flush it, or take a coil of less drop.",
            (),
        )


def _described(case: Case, run: Run) -> str:
    return f"{run.tag} ({run.size}, {case.say.length(run.length_m)})"


def _larger(run: Run) -> PipeSize | None:
    try:
        return next_size(run.series, run.size)
    except PartError:
        return None


def _given(case: Case, way: Circuit) -> float:
    """Return what the pumps of a circuit give [kPa]."""
    pumps = case.results.pumps
    return sum(pumps[step.tag].rise_kPa for step in way.steps if step.tag in pumps)


def _let_back(case: Case, unit: AirHandler) -> Reason | None:
    """Return the bypass or the pump at rest through which most water of the loop goes back."""
    region = case.loop_number(unit)
    total = sum(
        max(case.flow.get(pump.tag, 0.0), 0.0)
        for pump in case.of(CirculationPump)
        if case.loop_number(pump) == region
    )
    for part in (*case.of(DifferentialBypass), *case.of(CirculationPump)):
        flow = case.flow.get(part.tag, 0.0)
        is_bypass = isinstance(part, DifferentialBypass)
        back = abs(flow) if is_bypass else -flow
        if case.loop_number(part) == region and total > 0.0 and back > 0.1 * total:
            return Reason(
                f"{case.say.flow(back)} of the pumps' {case.say.flow(total)} go back through {part.tag}.",
                f"Raise the setting of {part.tag}." if is_bypass else f"Shut off {part.tag}.",
                (part.tag,),
            )
    return None


def _on_the_way(case: Case, way: Circuit, own: set[str]) -> Reason | None:
    """Return the run or clogged strainer outside its branch that takes much of the pump's pressure."""
    given = _given(case, way)
    links = case.results.links
    for step in sorted(way.steps, key=lambda one: -abs(links[one.tag].loss_kPa)):
        share = abs(links[step.tag].loss_kPa) / given if given > 0.0 else 0.0
        if step.tag in own or share < _ON_THE_WAY:
            continue
        part = case.vessel.component_by_tag.get(step.tag)
        if isinstance(part, Strainer) and part.clogging_percent > 0.0:
            return Reason(
                f"On its way {part.tag}, {part.clogging_percent:g} % clogged, takes {percent(share)} of the "
                "pump's pressure.",
                "Clean it.",
                (part.tag,),
            )
        run = case.vessel.run_by_tag.get(step.tag)
        if run is not None:
            larger = _larger(run)
            return Reason(
                f"On its way the {step.side} run {_described(case, run)} takes {percent(share)} of the "
                "pump's pressure.",
                f"Next size up is {larger.size}." if larger else "It is of the largest size of its series.",
                (run.tag,),
            )
    return None


def _others_take_more(case: Case, unit: AirHandler) -> Reason | None:
    region = case.loop_number(unit)
    over = [one for one in case.overfed if case.loop_number(case.vessel.component_by_tag[one.tag]) == region]
    if not over:
        return None
    more = f", and {len(over) - 1} more get too much." if len(over) > 1 else "."
    return Reason(
        f"Others take more than their share: {over[0].tag} gets {percent(over[0].share_of_design)}{more}",
        "Close their regulating valves to the design flow.",
        tuple(one.tag for one in over[:5]),
    )


def _resting_pumps(case: Case, unit: AirHandler) -> Reason | None:
    """Return the pumps at rest of a loop in which others run."""
    region = case.loop_number(unit)
    pumps = [pump for pump in case.of(CirculationPump) if case.loop_number(pump) == region]
    resting = [pump.tag for pump in pumps if not pump.running or pump.speed_percent <= 0.0]
    others = [pump.tag for pump in pumps if pump.tag not in resting]
    if not resting or not others:
        return None
    return Reason(
        f"{listed(others)} {'runs' if len(others) == 1 else 'run'} alone: {listed(resting)} "
        f"{'is' if len(resting) == 1 else 'are'} stopped.",
        f"Start {resting[0]}." if len(resting) == 1 else "Start another.",
        tuple(resting),
    )


def _weak_pump(case: Case, unit: AirHandler, way: Circuit | None) -> Reason:
    if way is None:
        return Reason(f"No running pump drives the circuit of {unit.tag}.", "Start a pump.", ())
    pumps = [step.tag for step in way.steps if step.tag in case.results.pumps]
    given, say = _given(case, way), case.say.pressure
    gives = f"{listed(pumps)} {'gives' if len(pumps) == 1 else 'give'} {say(given)}"
    if way.needed_kPa > given:
        cause = f"The circuit of {unit.tag} needs {say(way.needed_kPa)} at design flow; {gives}."
    else:
        cause = f"{gives}, and no single part of its circuit takes much of it."
    slow = [tag for tag in pumps if case.results.pumps[tag].speed_percent < 100.0]
    if slow:
        cure = f"Raise the speed of {slow[0]}, now {case.results.pumps[slow[0]].speed_percent:g} %."
    else:
        cure = "Take a larger pump, or widen what takes most."
    return Reason(cause, cure, tuple(pumps))
