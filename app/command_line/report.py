# SPDX-License-Identifier: MIT
"""The tables of a solved vessel, as a technician reads them: what matters most comes first."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from app.command_line.heat_report import heat_sections
from app.command_line.plain import in_order
from app.command_line.tables import paragraph, table
from app.units import System, quantity_of, show
from solver.change import Change
from solver.results import Circuit, Finding, LinkFigures, Results
from solver.vessel.vessel import LoopLiquid, Vessel

_LIQUIDS = {"water": "water", "propylene_glycol": "propylene glycol", "ethylene_glycol": "ethylene glycol"}
_METHODS = {"newton": "Newton", "hardy-cross": "Hardy-Cross"}
_SEVERITIES = {"bad": "BAD", "warn": "LOOK", "note": "note"}
_HOW = {"set": "=", "scale": "times", "add": "plus"}


def sections(results: Results, changes: Iterable[Change]) -> Iterator[str]:
    """Yield the report's sections, each without an empty line at its end, in the vessel's units."""
    vessel, system = results.vessel, results.vessel.units
    yield "\n".join(heading(vessel, changes, at_one_temp=results.heat is None))
    yield _how_solved(results)
    if results.air_handlers:
        yield "AIR HANDLERS\n" + _air_handlers(results, system)
    if results.heat is not None:
        yield from heat_sections(vessel, results.heat, system)
    if results.pumps:
        yield "PUMPS\n" + _pumps(results, system)
    yield "FINDINGS\n" + findings_text(results.findings)
    if results.index_circuit:
        yield _index_circuit(results.index_circuit, results, system)
    runs = [figures for tag, figures in results.links.items() if tag in vessel.run_by_tag]
    others = [figures for tag, figures in results.links.items() if tag not in vessel.run_by_tag]
    if runs:
        yield "RUNS (a flow below 0 goes from the second end to the first)\n" + _runs(runs, results, system)
    if others:
        yield "OTHER PARTS\n" + _parts(others, vessel, system)


def heading(vessel: Vessel, changes: Iterable[Change], at_one_temp: bool = True) -> list[str]:
    """Return the lines that say which vessel, conditions, liquid and changes the figures belong to.

    ``at_one_temp``: all of the liquid is as warm as the vessel's file has it.
    """
    conditions, system = vessel.current_conditions, vessel.units
    lines = [
        f"{vessel.name}",
        f"{conditions.name}: outdoors {show(conditions.outdoor_temp_C, 'temperature', system)}, "
        f"sea {show(conditions.sea_temp_C, 'temperature', system)}; "
        f"loop: {liquid_text(vessel.loop_liquid, system, at_one_temp)}",
    ]
    told = [change_text(change, system) for change in changes]
    if told:
        lines.append(paragraph("changed: " + "; ".join(told), "         "))
    return lines


def change_text(change: Change, system: System) -> str:
    """Return a change as it is typed, such as ``R-31 length_m = 12 m``."""
    value, quantity = change.value, quantity_of(change.quantity)
    if change.how == "add" and quantity == "temperature":
        quantity = "temperature_difference"
    if not isinstance(value, str):
        value = f"{value:g}" if change.how == "scale" else show(value, quantity, system)
    return f"{change.tag} {change.quantity} {_HOW[change.how]} {value}"


def liquid_text(liquid: LoopLiquid, system: System, with_temp: bool = True) -> str:
    """Return what is in the loop, such as ``propylene glycol 30 % by volume, 9.5 °C``."""
    name = _LIQUIDS[liquid.kind]
    if liquid.kind != "water":
        name += f" {show(liquid.share_percent, 'percent', system)} by {liquid.share_by}"
    return f"{name}, {show(liquid.temp_C, 'temperature', system)}" if with_temp else name


def findings_text(findings: Iterable[Finding]) -> str:
    """Return findings one below the other: severity in words, problem, cause, cure."""
    lines = []
    for finding in findings:
        mark = _SEVERITIES[finding.severity]
        indent = " " * 6
        lines.append(paragraph(f"{mark:<6}{finding.problem}", indent))
        lines += [paragraph(f"{indent}{text}", indent) for text in (finding.cause, finding.cure) if text]
    return "\n".join(lines) if lines else "none"


def _how_solved(results: Results) -> str:
    heat = ""
    if results.heat is not None:
        rounds = f"{results.heat.rounds} round{'s' * (results.heat.rounds != 1)}"
        heat = (
            f" Flows and temperatures agree after {rounds}; heat into the water and out of it within "
            f"{100 * results.heat.energy_balance.error_share:.1e} %."
        )
    return paragraph(
        f"Solved by {_METHODS[results.method]} in {results.iterations} steps. Checked afterwards: mass "
        f"balances within {results.mass_residual_kg_s:.1e} kg/s at every point, pressure within "
        f"{results.pressure_residual_Pa:.1e} Pa along every part.{heat}"
    )


def _air_handlers(results: Results, system: System) -> str:
    limits = results.vessel.limits
    heads = {"tag": None, "name": None, "flow": "flow", "design": "flow", "share": "fraction"}
    rows = []
    for tag, unit in sorted(results.air_handlers.items(), key=in_order):
        percent = 100 * unit.share_of_design
        low, high = percent < limits.share_min_percent, percent > limits.share_max_percent
        name = results.vessel.component_by_tag[tag].name
        word = "low" if low else "high" if high else ""
        rows.append(
            (tag, name, unit.flow_L_s, unit.design_flow_L_s, unit.share_of_design, unit.drop_kPa, word)
        )
    return table({**heads, "coil drop": "pressure", "": None}, rows, system)


#: Head -> quantity and field of a pump's figures.
_PUMP = {
    "flow": ("flow", "flow_L_s"),
    "head": ("head", "head_m"),
    "rise": ("pressure", "rise_kPa"),
    "speed": ("percent", "speed_percent"),
    "power": ("power", "power_W"),
    "efficiency": ("fraction", "efficiency"),
    "of best flow": ("fraction", "share_of_best_flow"),
    "NPSH there": ("head", "npsh_available_m"),
    "NPSH needed": ("head", "npsh_required_m"),
}


def _pumps(results: Results, system: System) -> str:
    heads = {head: quantity for head, (quantity, _) in _PUMP.items()}
    rows = [
        (tag, *(getattr(pump, field) for _, field in _PUMP.values()))
        for tag, pump in sorted(results.pumps.items(), key=in_order)
    ]
    return table({"tag": None, **heads}, rows, system) + "\n(head is in metres or feet of the liquid pumped)"


def _index_circuit(circuit: Circuit, results: Results, system: System) -> str:
    heads = {"part": None, "side": None, "distance": "length", "loss": "pressure", "gauge": "pressure"}
    rows = []
    for step in circuit.steps:
        loss = results.links[step.tag].loss_kPa if step.tag in results.links else None
        rows.append((step.tag, step.side, step.distance_m, loss, step.pressure_kPa))
    title = (
        f"INDEX CIRCUIT: through {circuit.air_handler}, which needs "
        f"{show(circuit.needed_kPa, 'pressure', system)} for its design flow, the most of all"
    )
    return f"{title}\n{table(heads, rows, system)}"


def _runs(runs: Iterable[LinkFigures], results: Results, system: System) -> str:
    vessel, heat = results.vessel, results.heat
    heads = {"tag": None, "from": None, "to": None, "size": None, "length": "length", "flow": "flow"}
    more = {"velocity": "velocity", "loss": "pressure", "per length": "loss_per_length"}
    rows = []
    for link in runs:
        run = vessel.run_by_tag[link.tag]
        drawn = (run.tag, run.start.tag, run.end.tag, run.size, run.length_m)
        row = (*drawn, link.flow_L_s, link.velocity_m_s, link.loss_kPa, link.loss_Pa_m)
        water = () if heat is None else (heat.water[link.tag].in_C, heat.water[link.tag].out_C)
        rows.append((*row, *water))
    temps = {} if heat is None else {"water in": "temperature", "water out": "temperature"}
    return table({**heads, **more, **temps}, rows, system)


def _parts(others: Iterable[LinkFigures], vessel: Vessel, system: System) -> str:
    rows = []
    for link in others:
        component = vessel.component_by_tag[link.tag.split(":")[0]]
        rows.append((link.tag, component.name, link.flow_L_s, link.loss_kPa))
    return table({"tag": None, "name": None, "flow": "flow", "loss": "pressure"}, rows, system)
