# SPDX-License-Identifier: MIT
"""What a part's results say, in lines: what matters most first.

Plain text from values, so that the property sheet and the outline say the same.
"""

from __future__ import annotations

from collections.abc import Sequence

from app.panels.heat_figures import (
    Figures,
    Line,
    cabin_figures,
    chiller_figures,
    coil_lines,
    is_heating,
    run_lines,
    water_lines,
)
from app.translation import tr
from app.units import System, show
from solver.results import AirHandlerFigures, LinkFigures, PumpFigures, Results
from solver.vessel.run import Run
from solver.vessel.vessel import Vessel
from solver.vessel.ways import ways

#: Share of a loss below which a part of it is left out.
_WORTH_SAYING = 0.005


def figures_of(vessel: Vessel, results: Results, tag: str, units: System) -> Figures | None:
    """Return what the results say of a part, None if they say nothing.

    Parameters
    ----------
    vessel : Vessel
        Its limits judge the results.
    results : Results
        Maybe of a vessel before the last edit, in which the part may be missing.
    tag : str
        A component or a run.
    units : {"si", "us"}
    """
    heat, heating = results.heat, is_heating(results.vessel)
    if tag in results.air_handlers:
        return _air_handler(vessel, results, results.air_handlers[tag], units)
    if tag in results.pumps:
        found = _pump(results.pumps[tag], units)
        return found if heat is None else _with(found, water_lines(heat, tag, units))
    if tag in vessel.run_by_tag and tag in results.links:
        found = _run(vessel, results.links[tag], units)
        return found if heat is None else _with(found, run_lines(heat, tag, units))
    if heat is not None and tag in heat.cabins:
        return cabin_figures(heat.cabins[tag], results, units, heating=heating)
    other = _other(vessel, results, tag, units)
    if heat is not None and tag in heat.chillers:
        chiller = chiller_figures(heat.chillers[tag], units, heating=heating)
        flow = () if other is None else (Line(tr("Flow"), other.headline), *other.lines)
        return _with(chiller, flow)
    if heat is not None and other is not None:
        return _with(other, water_lines(heat, tag, units))
    return other


def _with(figures: Figures, lines: Sequence[Line]) -> Figures:
    return figures._replace(lines=(*figures.lines, *lines))


def main_value(results: Results, tag: str, units: System) -> str:
    """Return a part's one value for a list."""
    if tag in results.air_handlers:
        return show(results.air_handlers[tag].share_of_design, "fraction", units)
    if tag in results.pumps:
        return show(results.pumps[tag].flow_L_s, "flow", units)
    heat = results.heat
    if heat is not None and tag in heat.chillers:
        return show(heat.chillers[tag].leaving_C, "temperature", units)
    if heat is not None and tag in heat.cabins:
        return show(heat.cabins[tag].temp_C, "temperature", units)
    if tag in results.links:
        return show(abs(results.links[tag].flow_L_s), "flow", units)
    component = results.vessel.component_by_tag.get(tag)
    if component is None:
        return ""
    for suffix, _start, _end in ways(component):
        if tag + suffix in results.links:
            return show(abs(results.links[tag + suffix].flow_L_s), "flow", units)
    pressures = (results.port_kPa.get((tag, port)) for port in component.ports)
    known = [pressure for pressure in pressures if pressure is not None]
    return show(known[0], "pressure", units) if known else ""


def _air_handler(vessel: Vessel, results: Results, handler: AirHandlerFigures, units: System) -> Figures:
    limits = vessel.limits
    share = handler.share_of_design * 100
    if share < limits.share_min_percent:
        state, judgement = (
            "warn",
            tr("Too little: at least {0} wanted").format(show(limits.share_min_percent, "percent", units)),
        )
    elif share > limits.share_max_percent:
        state, judgement = (
            "warn",
            tr("More than needed: at most {0} wanted").format(
                show(limits.share_max_percent, "percent", units)
            ),
        )
    else:
        state, judgement = "good", tr("Within limits")
    flow, design = show(handler.flow_L_s, "flow", units), show(handler.design_flow_L_s, "flow", units)
    lines = [
        Line(tr("Flow"), tr("{0} of {1}").format(flow, design)),
        *_coil(results, handler.tag, units),
        Line(tr("Pressure drop of the coil"), show(handler.drop_kPa, "pressure", units)),
    ]
    circuit = results.index_circuit
    if circuit is not None and circuit.air_handler == handler.tag:
        needed = show(circuit.needed_kPa, "pressure", units)
        lines.append(Line(tr("Index circuit"), tr("needs most: {0}").format(needed)))
    headline = tr("{0} of design flow").format(show(handler.share_of_design, "fraction", units))
    return Figures(headline, state, judgement, tuple(lines))


def _coil(results: Results, tag: str, units: System) -> list[Line]:
    coil = None if results.heat is None else results.heat.coils.get(tag)
    return [] if coil is None else coil_lines(coil, units, heating=is_heating(results.vessel))


def _pump(pump: PumpFigures, units: System) -> Figures:
    lines = [
        Line(tr("Pressure rise"), show(pump.rise_kPa, "pressure", units)),
        Line(tr("Speed"), show(pump.speed_percent, "percent", units)),
    ]
    if pump.share_of_best_flow is not None:
        share = show(pump.share_of_best_flow, "fraction", units)
        best = show(pump.best_flow_L_s, "flow", units)
        lines.append(Line(tr("Best-efficiency flow"), best))
        lines.append(Line(tr("Duty, of that flow"), share))
    if pump.efficiency is not None:
        lines.append(Line(tr("Efficiency"), show(pump.efficiency, "fraction", units)))
    if pump.shaft_power_W is not None:
        lines.append(Line(tr("Power at the shaft"), show(pump.shaft_power_W, "power", units)))
    if pump.power_W is not None:
        lines.append(Line(tr("Electrical power"), show(pump.power_W, "power", units)))
    if pump.npsh_available_m is not None:
        lines.append(Line(tr("NPSH available"), show(pump.npsh_available_m, "head", units)))
        lines.append(Line(tr("NPSH needed"), show(pump.npsh_required_m, "head", units)))
    flow, head = show(pump.flow_L_s, "flow", units), show(pump.head_m, "head", units)
    return Figures(tr("{0} at {1}").format(flow, head), "", "", tuple(lines))


def _run(vessel: Vessel, link: LinkFigures, units: System) -> Figures:
    limits = vessel.limits
    run = vessel.run_by_tag[link.tag]
    state = judgement = ""
    if link.loss_Pa_m is not None and abs(link.loss_Pa_m) > limits.loss_max_Pa_m:
        state, judgement = (
            "warn",
            tr("Loses more per length than the limit of {0}").format(
                show(limits.loss_max_Pa_m, "loss_per_length", units)
            ),
        )
    highest = limits.sea_velocity_max_m_s if run.service == "sea" else limits.velocity_max_m_s
    if link.velocity_m_s is not None and abs(link.velocity_m_s) > highest:
        state, judgement = (
            "warn",
            tr("Faster than the limit of {0}").format(show(highest, "velocity", units)),
        )
    lines = [
        Line(tr("Velocity"), show(_size(link.velocity_m_s), "velocity", units)),
        Line(tr("Loss per length"), show(_size(link.loss_Pa_m), "loss_per_length", units)),
        Line(tr("Loss"), show(abs(link.loss_kPa), "pressure", units)),
        *_split(link, units),
        Line(tr("Pressure at {0}").format(run.start.tag), show(link.start_kPa, "pressure", units)),
        Line(tr("Pressure at {0}").format(run.end.tag), show(link.end_kPa, "pressure", units)),
    ]
    return Figures(_flow_headline(link, run, units), state, judgement, tuple(lines))


def _flow_headline(link: LinkFigures, run: Run, units: System) -> str:
    flow = show(abs(link.flow_L_s), "flow", units)
    if abs(link.flow_L_s) < 1e-9:
        return tr("No flow")
    towards = run.end.tag if link.flow_L_s > 0 else run.start.tag
    return tr("{0} to {1}").format(flow, towards)


def _split(link: LinkFigures, units: System) -> list[Line]:
    """Return where a loss comes from, with each part's share."""
    total = abs(link.loss_kPa)
    parts = (
        (tr("  by the pipe"), link.pipe_kPa),
        (tr("  by fittings"), link.fittings_kPa),
        (tr("  by equipment"), link.equipment_kPa),
    )
    found = []
    for label, loss in parts:
        if total > 0 and abs(loss) > _WORTH_SAYING * total:
            share = show(abs(loss) / total, "fraction", units)
            found.append(Line(label, f"{show(abs(loss), 'pressure', units)} · {share}"))
    return found


def _size(value: float | None) -> float | None:
    return None if value is None else abs(value)


def _other(vessel: Vessel, results: Results, tag: str, units: System) -> Figures | None:
    component = vessel.component_by_tag.get(tag)
    suffixes = [way.suffix for way in ways(component)] if component is not None else []
    links = [results.links[tag + suffix] for suffix in suffixes if tag + suffix in results.links]
    lines = []
    for link in links:
        way = link.tag.partition(":")[2]
        name = tr("Loss, {0}").format(way) if way else tr("Loss")
        if way:
            lines.append(Line(tr("Flow, {0}").format(way), show(abs(link.flow_L_s), "flow", units)))
        lines.append(Line(name, show(abs(link.loss_kPa), "pressure", units)))
    lines.extend(_pressures(vessel, results, tag, units))
    if links:
        return Figures(show(abs(links[0].flow_L_s), "flow", units), "", "", tuple(lines))
    if lines:
        return Figures(lines[0].text, "", tr("pressure"), tuple(lines[1:]))
    return None


def _pressures(vessel: Vessel, results: Results, tag: str, units: System) -> list[Line]:
    component = vessel.component_by_tag.get(tag)
    if component is None:
        return []
    by_port = {port: results.port_kPa.get((tag, port)) for port in component.ports}
    known = {port: value for port, value in by_port.items() if value is not None}
    texts = {show(value, "pressure", units) for value in known.values()}
    if len(texts) == 1:
        return [Line(tr("Pressure"), texts.pop())]
    return [
        Line(tr("Pressure, {0}").format(port.replace("_", " ")), show(value, "pressure", units))
        for port, value in known.items()
    ]
