# SPDX-License-Identifier: MIT
"""A pull-down as tables, as CSV and as plain values."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Iterator
from typing import Any

import msgspec
import numpy as np

from app.command_line.report import findings_text, heading
from app.command_line.tables import paragraph, table
from app.units import show
from solver.change import Change
from solver.findings.cycling import pull_down_findings
from solver.heat.pulled import PullDown

#: Rows of the table of temperatures, with that of the start.
_ROWS = 13
_TRIPS = {
    "": "",
    "off": "switched off",
    "low_flow": "low flow",
    "freezing": "frost",
    "high_condensing": "high pressure",
    "sea_too_cold": "sea too cold",
}
_CAUTION = (
    "A model for choosing and teaching: furnishings by rules, thermostats that look once a step, flows that "
    "stay as solved. What compressors bear, and their switches, is the makers' and licensed people's."
)


def sections(pulled: PullDown, changes: Iterable[Change]) -> Iterator[str]:
    """Yield the report's sections, each without an empty line at its end, in the vessel's units."""
    system = pulled.vessel.units
    yield "\n".join([*heading(pulled.vessel, changes), _how(pulled)])
    if pulled.cabins:
        yield "CABINS\n" + _cabins(pulled)
    if pulled.chillers:
        yield "CHILLERS\n" + _chillers(pulled)
    energy = pulled.energy
    parts = (("compressors", energy.compressors), ("pumps", energy.pumps), ("fans", energy.fans))
    told = ", ".join(f"{name} {show(value, 'energy', system)}" for name, value in parts)
    yield "ENERGY\n" + paragraph(
        f"{show(energy.electrical, 'energy', system)} electrical: {told}; the chillers moved "
        f"{show(energy.cooling, 'energy', system)}. Heat that moved and heat that is held agree within "
        f"{max(round(100 * energy.error_share, 2), 0.01):g} %."
    )
    yield "FINDINGS\n" + findings_text(pull_down_findings(pulled))
    yield "TEMPERATURES AND POWER\n" + _rows(pulled)
    yield paragraph(_CAUTION)


def _how(pulled: PullDown) -> str:
    system = pulled.vessel.units
    step = float(pulled.time_h[1]) * 60.0
    weather = (
        "weather as it is in the conditions all the time"
        if pulled.starts_at_hour is None
        else f"weather of the day from {pulled.starts_at_hour:g} h solar time"
    )
    hours = show(float(pulled.time_h[-1]), "hours", system)
    return f"{hours} in steps of {show(step, 'time', system)}; {weather}"


def _cabins(pulled: PullDown) -> str:
    rows = [
        [cabin.tag, cabin.set_point_C, cabin.start_C, cabin.end_C, cabin.end_rh, cabin.reached_h]
        for cabin in pulled.cabins
    ]
    columns = {
        "tag": None,
        "set point": "temperature",
        "start": "temperature",
        "end": "temperature",
        "humidity": "fraction",
        "set point after": "hours",
    }
    return table(columns, rows, pulled.vessel.units)


def _chillers(pulled: PullDown) -> str:
    rows: list[list[str | float | None]] = []
    for chiller in pulled.chillers:
        trips = sorted({_TRIPS[why] for _, why in chiller.trips} | {_TRIPS[chiller.still]} - {""})
        counted = f"{len(chiller.trips)} x " if chiller.trips else ""
        rows.append(
            [
                chiller.tag,
                chiller.loop_L,
                chiller.starts,
                chiller.most_starts_h,
                chiller.starts_h,
                chiller.shortest_run_min,
                chiller.run_share,
                counted + ", ".join(trips),
            ]
        )
    columns = {
        "tag": None,
        "loop holds": "volume",
        "starts": "count",
        "most an hour": "count",
        "late an hour": "plain",
        "shortest run": "time",
        "runs": "fraction",
        "stopped by": None,
    }
    return table(columns, rows, pulled.vessel.units)


def _rows(pulled: PullDown) -> str:
    columns: dict[str, str | None] = {"after": "hours"}
    columns |= {cabin.tag: "temperature" for cabin in pulled.cabins}
    for number, _ in enumerate(pulled.loops, 1):
        suffix = f" {number}" if len(pulled.loops) > 1 else ""
        columns |= {f"supply{suffix}": "temperature", f"return{suffix}": "temperature"}
    columns |= {"duty": "capacity", "electrical": "electrical_power"}
    power, duty = pulled.power_kW, pulled.chiller_kW.sum(axis=1)
    rows = []
    for place in np.unique(np.linspace(0, len(pulled.time_h) - 1, _ROWS).round().astype(int)):
        loops = [float(of[place]) for loop in pulled.loops for of in (loop.supply_C, loop.return_C)]
        rows.append(
            [
                float(pulled.time_h[place]),
                *pulled.cabin_C[place].tolist(),
                *loops,
                float(duty[place]),
                float(power[place]),
            ]
        )
    return table(columns, rows, pulled.vessel.units)


def _columns(pulled: PullDown) -> dict[str, list[float]]:
    """Return the figures of every step, by a name with the unit of the document."""
    columns: dict[str, Any] = {"time_h": pulled.time_h}
    for place, cabin in enumerate(pulled.cabins):
        columns[f"{cabin.tag}_temp_C"] = pulled.cabin_C[:, place]
        columns[f"{cabin.tag}_rh"] = pulled.cabin_rh[:, place]
    for loop in pulled.loops:
        name = "+".join(loop.chillers)
        columns[f"{name}_supply_C"] = loop.supply_C
        columns[f"{name}_return_C"] = loop.return_C
    for place, chiller in enumerate(pulled.chillers):
        columns[f"{chiller.tag}_duty_kW"] = pulled.chiller_kW[:, place]
        columns[f"{chiller.tag}_runs"] = pulled.chiller_runs[:, place]
        columns[f"{chiller.tag}_power_kW"] = pulled.compressor_kW[:, place]
    columns |= {"pumps_kW": pulled.pump_kW, "fans_kW": pulled.fan_kW, "electrical_kW": pulled.power_kW}
    return {name: values.tolist() for name, values in columns.items()}


def csv_text(pulled: PullDown) -> str:
    """Return every step as CSV: names with their units in the first line, in the document's units."""
    columns = _columns(pulled)
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(columns)
    writer.writerows([f"{value:.6g}" for value in row] for row in zip(*columns.values(), strict=True))
    return out.getvalue()


def pull_down_json(pulled: PullDown) -> dict[str, Any]:
    """Return a pull-down as plain values, units in the keys."""
    return {
        "vessel": pulled.vessel.name,
        "conditions": pulled.vessel.current_conditions.name,
        "starts_at_hour": pulled.starts_at_hour,
        "cabins": {cabin.tag: _without_tag(cabin) for cabin in pulled.cabins},
        "chillers": {chiller.tag: _without_tag(chiller) for chiller in pulled.chillers},
        "energy_kWh": msgspec.to_builtins(pulled.energy),
        "findings": pull_down_findings(pulled),
        "steps": _columns(pulled),
    }


def _without_tag(figures: msgspec.Struct) -> dict[str, Any]:
    plain: dict[str, Any] = msgspec.to_builtins(figures)
    del plain["tag"]
    return plain
