# SPDX-License-Identifier: MIT
"""Rules on the drawing itself: open ends, dead legs, heights, lengths, sizes, insulation."""

from __future__ import annotations

from collections.abc import Iterator

from solver.findings.case import Case, Side, Verdict, each_of
from solver.findings.wording import counted, listed, percent
from solver.vessel.components import (
    AirHandler,
    AirVent,
    Component,
    Drain,
    FillPoint,
    Manifold,
    PressureGauge,
    TemperatureGauge,
)
from solver.vessel.run import Run

#: A stagnant leg longer than this is told of [m].
_LONGEST_DEAD_LEG = 3.0
#: A return bore smaller than its supply's by more than this share is told of.
_SAME_BORE = 0.03


def unconnected_part(case: Case) -> Iterator[Verdict]:
    """A component that no run reaches.  Common practice: what is drawn is meant to be piped."""
    reached = {end.tag for run in case.vessel.runs for end in (run.start, run.end)}
    loose = [part.tag for part in case.vessel.components if part.tag not in reached]
    if loose:
        yield Verdict(
            "warn",
            f"{listed(loose)} {'is' if len(loose) == 1 else 'are'} not connected.",
            cure="Draw a run to it." if len(loose) == 1 else "Draw a run to each.",
            tags=tuple(loose),
        )


def open_port(case: Case) -> Iterator[Verdict]:
    """A port without a run on a component that is piped otherwise.  Common practice: water would run out."""
    joined = case.vessel.runs_at
    found: list[tuple[Component, list[str]]] = []
    for part in case.vessel.components:
        if isinstance(part, Manifold):
            continue
        spare = set(part.MAY_BE_OPEN)
        used = {port for port in part.ports if (part.tag, port) in joined}
        # A gauge or vent may hang on either of its ports.
        if not used or len(used) == len(part.ports) or spare == {"outlet"}:
            continue
        # A chiller may go without its sea side, though not with half of it.
        if not spare & used:
            used |= spare
        open_ports = [port for port in part.ports if port not in used]
        if open_ports:
            found.append((part, open_ports))

    def judge(item: tuple[Component, list[str]]) -> Verdict:
        part, ports = item
        names = listed([port.replace("_", " ") for port in ports])
        return Verdict(
            "warn",
            f"{part.tag} has an open end: {names}.",
            cure="Draw a run from it, or take the part out.",
            tags=(part.tag,),
        )

    return each_of(
        found,
        judge,
        lambda item: item[0].tag,
        lambda left: f"{counted(left, 'more part has', 'more parts have')} an open end.",
    )


def spare_manifold_port(case: Case) -> Iterator[Verdict]:
    """Manifold ports without a run.  Common practice: spare ports are capped."""
    for part in case.of(Manifold):
        spare = [port for port in part.ports if (part.tag, port) not in case.vessel.runs_at]
        if spare and len(spare) < len(part.ports):
            yield Verdict(
                "note",
                f"{part.tag} has {counted(len(spare), 'spare port', 'spare ports')}: {listed(spare)}.",
                cure="Cap what stays spare.",
                tags=(part.tag,),
            )


def dead_leg(case: Case) -> Iterator[Verdict]:
    """A long leg to a drain, fill point, vent or gauge, in which water stands.

    Common practice: keep stagnant legs short; they breed bacteria and hold air.
    """
    ends = (FillPoint, Drain, AirVent, PressureGauge, TemperatureGauge)
    for kind in ends:
        for part in case.of(kind):
            runs = _leg_to(case, part)
            length = sum(run.length_m for run in runs)
            if length > _LONGEST_DEAD_LEG:
                yield Verdict(
                    "note",
                    f"Water stands in the {case.say.length(length)} of {listed([run.tag for run in runs])} "
                    f"to {part.tag}.",
                    cure="Bring the branch-off nearer to it.",
                    tags=(part.tag, *(run.tag for run in runs)),
                )


def _leg_to(case: Case, part: Component) -> list[Run]:
    """Return the runs from a dead end back to where water passes."""
    joints, live = case.joints, case.is_live
    runs: list[Run] = []
    point, came = case.point(part.tag, part.ports[0]), -1
    while True:
        links = [link for link in joints.at[point] if link != came]
        if len(links) != 1 or live[links[0]]:
            return runs
        came = links[0]
        if came < joints.run_count:
            runs.append(case.vessel.runs[came])
        point = joints.other_end(came, point)


def rises_do_not_close(case: Case) -> Iterator[Verdict]:
    """A run whose rise contradicts the heights at its ends.  Geometry; pressures there are uncertain."""
    for conflict in case.height_conflicts:
        say = case.say.length
        yield Verdict(
            "warn",
            f"{conflict.run} is said to rise {say(conflict.said_m)}, but its ends differ by "
            f"{say(conflict.found_m)}.",
            cause=f"The heights of {conflict.tags[1]} and {conflict.tags[2]} and the rises between disagree.",
            cure="Mend a height, or leave the rise open. Gauge pressures depend on it, flows do not.",
            tags=conflict.tags,
        )


def guessed_lengths(case: Case) -> Iterator[Verdict]:
    """How much of the pipe's length is a guess.  Common practice: survey lengths are often guesses."""
    guessed = [run for run in case.vessel.runs if run.length_known in ("guessed", "assumed")]
    if guessed:
        length = sum(run.length_m for run in guessed)
        total = sum(run.length_m for run in case.vessel.runs)
        longest = sorted(guessed, key=lambda run: -run.length_m)[:3]
        say = case.say.length
        yield Verdict(
            "note",
            f"{say(length)} of {say(total)} of pipe are guessed ({percent(length / total)}).",
            cure="Measure the longest first: "
            + listed([f"{run.tag} ({say(run.length_m)})" for run in longest])
            + ".",
            tags=tuple(run.tag for run in guessed),
        )


def supply_without_insulation(case: Case) -> Iterator[Verdict]:
    """Supply runs without insulation.

    Common practice (insulation trade): the outer surface must stay above the dew point, or it drips.
    """
    supply = [run for run in case.vessel.runs if run.service == "supply"]
    bare = [run for run in supply if run.insulation is None or run.insulation.thickness_mm <= 0.0]
    if bare:
        yield Verdict(
            "note",
            f"{len(bare)} of {counted(len(supply), 'supply run has', 'supply runs have')} no insulation: "
            f"{listed([run.tag for run in bare])}.",
            cause="Cold pipe drips where its surface is below the dew point.",
            cure="Insulate with closed cells and an unbroken vapour seal.",
            tags=tuple(run.tag for run in bare),
        )


def return_smaller_than_supply(case: Case) -> Iterator[Verdict]:
    """A return of less bore than the supply that carries the same water.

    Common practice: supply and return of one flow have one size.  Looked at are the two sides of each
    air handler's branch, and, once solved, the runs of equal flow along the index circuit.
    """
    pairs = [pair for unit in case.of(AirHandler) if (pair := _branch_pair(case, unit)) is not None]
    seen = {back.tag for _, _, back in pairs}
    pairs += [pair for pair in _main_pairs(case) if pair[2].tag not in seen]

    def judge(pair: tuple[str, Run, Run]) -> Verdict:
        unit, supply, back = pair
        return Verdict(
            "warn",
            f"The return of {unit} is smaller than its supply: {case.run_name(back)} against "
            f"{case.run_name(supply)}.",
            cause="Both carry the same water; the narrow one takes the more pressure.",
            cure=f"Make {back.tag} the size of {supply.tag}.",
            tags=(back.tag, supply.tag),
        )

    return each_of(
        pairs,
        judge,
        lambda pair: pair[2].tag,
        lambda left: f"{counted(left, 'more return is', 'more returns are')} smaller than the supply.",
    )


def _smallest(case: Case, side: Side) -> Run | None:
    runs = [case.vessel.runs[link] for link in side.links if link < case.joints.run_count]
    return min(runs, key=case.bore_mm, default=None)


def _branch_pair(case: Case, unit: AirHandler) -> tuple[str, Run, Run] | None:
    """Return an air handler with the narrowest run of its supply and its return, if that is narrower."""
    sides = case.branch(unit)
    if sides[0].comes_back or sides[1].comes_back:
        return None
    supply, back = (_smallest(case, side) for side in sides)
    if supply is None or back is None or not _is_narrower(case, back, supply):
        return None
    return unit.tag, supply, back


def _is_narrower(case: Case, back: Run, supply: Run) -> bool:
    return case.bore_mm(back) < (1.0 - _SAME_BORE) * case.bore_mm(supply)


def _main_pairs(case: Case) -> Iterator[tuple[str, Run, Run]]:
    """Yield supply and return runs of one flow along the index circuit, the return narrower."""
    index = case.index if case.has_results else None
    if index is None:
        return
    runs = case.vessel.run_by_tag
    supply: dict[float, Run] = {}
    for step in index.steps:
        run = runs.get(step.tag)
        if run is None:
            continue
        flow = float(f"{abs(case.flow[step.tag]):.6g}")
        if step.side == "supply":
            if flow not in supply or case.bore_mm(run) < case.bore_mm(supply[flow]):
                supply[flow] = run
        elif flow in supply and _is_narrower(case, run, supply[flow]):
            yield index.air_handler, supply[flow], run
