# SPDX-License-Identifier: MIT
"""Rules on pumps: where on their curve they run, what they are asked for, their suction."""

from __future__ import annotations

from collections.abc import Iterator

from solver.findings.case import Case, Verdict
from solver.findings.wording import listed, percent
from solver.results import PumpFigures
from solver.vessel.components import CheckValve, CirculationPump, Pump, SeaWaterPump

#: Flow as a share of the curve's last flow below which a pump counts as dead-headed.
_DEAD_HEAD = 0.02
#: Preferred range about the flow of best efficiency.
_PREFERRED = (0.7, 1.2)


def _is_running(pump: Pump) -> bool:
    return pump.running and pump.speed_percent > 0.0


def _pumps(case: Case) -> list[Pump]:
    return [*case.of(CirculationPump), *case.of(SeaWaterPump)]


def _running(case: Case) -> Iterator[tuple[Pump, PumpFigures]]:
    for pump in _pumps(case):
        figures = case.results.pumps.get(pump.tag)
        if figures is not None and _is_running(pump):
            yield pump, figures


def _last_flow(pump: Pump) -> float:
    """Return the flow at which the curve ends at the pump's speed [L/s]."""
    return pump.curve[-1].flow_L_s * pump.speed_percent / 100.0


def pump_curve_with_hump(case: Case) -> Iterator[Verdict]:
    """A pump curve whose head rises somewhere with the flow.

    Such a pump can have two duty points (textbooks on pumps); the solve takes the highest falling
    curve below it.
    """
    for pump in _pumps(case):
        heads = [point.head_m for point in pump.curve]
        rising = [place for place in range(1, len(heads)) if heads[place] > heads[place - 1]]
        if rising:
            low, high = pump.curve[rising[0] - 1 : rising[0] + 1]
            say = case.say
            yield Verdict(
                "note",
                f"The head of {pump.tag} rises from {say.length(low.head_m)} at {say.flow(low.flow_L_s)} to "
                f"{say.length(high.head_m)} at {say.flow(high.flow_L_s)}.",
                cause="A pump with such a curve can settle at either of two flows.",
                cure="Check the points. The solve leaves the hump out.",
                tags=(pump.tag,),
            )


def pump_stopped(case: Case) -> Iterator[Verdict]:
    """A pump that does not run: bad if no other runs in its circuit, else worth knowing.  Physics."""
    for loop in case.loops:
        pumps = loop.of(CirculationPump, SeaWaterPump)
        stopped = [pump.tag for pump in pumps if not _is_running(pump)]
        if not stopped:
            continue
        others = [pump.tag for pump in pumps if _is_running(pump)]
        is_are = "is" if len(stopped) == 1 else "are"
        yield Verdict(
            "note" if others else "bad",
            f"{listed(stopped)} {is_are} stopped."
            + (
                f" {listed(others)} {'runs' if len(others) == 1 else 'run'}."
                if others
                else " No water flows."
            ),
            cure="" if others else f"Start {stopped[0]}.",
            tags=tuple(stopped),
        )


def pump_dead_headed(case: Case) -> Iterator[Verdict]:
    """A running pump with next to no flow: it heats what is in it.

    Makers' manuals, common practice.  Where a check valve holds it shut, another rule says so.
    """
    for pump, figures in _running(case):
        if abs(figures.flow_L_s) < _DEAD_HEAD * _last_flow(pump):
            shut = _what_stops(case, pump)
            if not shut and _is_held(case, pump):
                continue
            yield Verdict(
                "bad",
                f"{pump.tag} runs against a shut way: {case.say.flow(max(figures.flow_L_s, 0.0))} "
                f"at {case.say.length(figures.head_m)} of head.",
                cause=shut or "Another pump or a closed part holds its way shut.",
                cure="Open its way or stop it: the water in it heats up and its seal fails.",
                tags=(pump.tag,),
            )


def _is_held(case: Case, pump: Pump) -> bool:
    return any(
        isinstance(case.part_of(link), CheckValve) for side in case.branch(pump) for link in side.links
    )


def _what_stops(case: Case, pump: Pump) -> str:
    for side in case.branch(pump):
        for link in side.links:
            if link in case.is_shut:
                return f"{case.joints.tags[link]} is shut."
    return ""


def pump_reversed(case: Case) -> Iterator[Verdict]:
    """Water that runs backwards through a running pump: a stronger pump overpowers it.  Physics."""
    for pump, figures in _running(case):
        if figures.flow_L_s < -_DEAD_HEAD * _last_flow(pump):
            yield Verdict(
                "bad",
                f"{case.say.flow(-figures.flow_L_s)} run backwards through {pump.tag} while it runs.",
                cause="A stronger pump drives it backwards.",
                cure="Fit a check valve at its outlet, and see why it is weaker.",
                tags=(pump.tag,),
            )


def stopped_pump_leaks(case: Case) -> Iterator[Verdict]:
    """A pump at rest through which water runs back.  Common practice: its check valve is missing or leaks."""
    for pump in _pumps(case):
        flow = case.flow.get(pump.tag, 0.0)
        if not _is_running(pump) and flow < 0.0:
            yield Verdict(
                "warn",
                f"{case.say.flow(-flow)} run back through {pump.tag}, which is stopped.",
                cause="No check valve holds the water of the running pumps.",
                cure="Shut its isolating valve for now; fit a check valve at its outlet.",
                tags=(pump.tag,),
            )


def pump_beyond_curve(case: Case) -> Iterator[Verdict]:
    """A duty point past the last point of the curve.

    Common practice: a maker's curve ends where the pump may no longer run; power and NPSH required
    rise, and the head told here is an extrapolation.
    """
    for pump, figures in _running(case):
        last = _last_flow(pump)
        if figures.flow_L_s > last * 1.0001:
            yield Verdict(
                "warn",
                f"{pump.tag} gives {case.say.flow(figures.flow_L_s)}; "
                f"its curve ends at {case.say.flow(last)}.",
                cause="The loop asks for less head than it is made for. Its head there is extrapolated.",
                cure="Lower its speed, balance the regulating valves, or take a smaller pump.",
                tags=(pump.tag,),
            )


def pump_far_from_best(case: Case) -> Iterator[Verdict]:
    """A duty point outside 70 to 120 % of the flow of best efficiency.

    The preferred operating region of ANSI/HI 9.6.3 (from memory).
    """
    low, high = _PREFERRED
    for pump, figures in _running(case):
        share = figures.share_of_best_flow
        if share is None or low <= share <= high or share < _DEAD_HEAD:
            continue
        yield Verdict(
            "note",
            f"{pump.tag} runs at {percent(share)} of its flow of best efficiency.",
            cause=f"Efficiency is best at {case.say.flow(figures.best_flow_L_s or 0.0)}; it gives "
            f"{case.say.flow(figures.flow_L_s)}.",
            cure="Trim its speed where air handlers get too much; else it does more than its part."
            if share > high
            else "Take a smaller pump when this one is replaced.",
            tags=(pump.tag,),
        )


def suction_too_low(case: Case) -> Iterator[Verdict]:
    """Too little pressure at a pump's inlet to keep the liquid from boiling there.

    Margin of NPSH available over required (Hydraulic Institute practice, from memory); the limit is
    the vessel's ``npsh_margin_m``.
    """
    limit = case.vessel.limits.npsh_margin_m
    for pump, figures in _running(case):
        available, required = figures.npsh_available_m, figures.npsh_required_m
        if available is None or required is None or available - required >= limit:
            continue
        margin = available - required
        say = case.say.length
        is_sea = isinstance(pump, SeaWaterPump)
        yield Verdict(
            "bad" if margin < 0.0 else "warn",
            f"{pump.tag} has {say(available)} NPSH and needs {say(required)}: "
            + (
                f"{say(-margin)} short."
                if margin < 0.0
                else f"a margin of {say(margin)}, {say(limit)} asked for."
            ),
            cause="The liquid boils in its inlet: noise, loss of flow, a worn impeller.",
            cure="Clean the strainer, shorten and widen the suction, set the pump lower."
            if is_sea
            else "Raise the fill pressure, or join the expansion vessel at its suction.",
            tags=(pump.tag,),
        )


def index_needs_more(case: Case) -> Iterator[Verdict]:
    """An index circuit that needs more pressure than its pump gives, and whose air handler is short.

    ``solver.circuits`` says what a circuit needs: shared losses as solved, its own branch at design
    flow with its valve open.
    """
    index = case.index
    if index is None:
        return
    unit = case.results.air_handlers[index.air_handler]
    pumps = [step.tag for step in index.steps if step.tag in case.results.pumps]
    given = sum(case.results.pumps[tag].rise_kPa for tag in pumps)
    if index.needed_kPa <= given or unit.share_of_design * 100 >= case.vessel.limits.share_min_percent:
        return
    say = case.say.pressure
    links = case.results.links
    takers = sorted(
        (step.tag for step in index.steps if step.tag not in pumps), key=lambda tag: -abs(links[tag].loss_kPa)
    )[:3]
    yield Verdict(
        "warn",
        f"The circuit of {index.air_handler} needs {say(index.needed_kPa)} at design flow; "
        f"{listed(pumps)} {'gives' if len(pumps) == 1 else 'give'} {say(given)}.",
        cause="As it runs, most is taken by "
        + listed([f"{tag} ({say(abs(links[tag].loss_kPa))})" for tag in takers])
        + ".",
        cure="First close what gets too much; then raise the pump's speed or widen the circuit.",
        tags=tuple(dict.fromkeys((index.air_handler, *pumps, *takers))),
    )
