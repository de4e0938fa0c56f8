# SPDX-License-Identifier: MIT
"""A pull-down as two plots, one of temperatures and one of power, and in a few words."""

from __future__ import annotations

from collections.abc import Collection

import msgspec

from app.panels.plot_data import Curve, PlotData, Upright
from app.solving.live_solver import in_units
from app.translation import tr
from app.units import System, show, to_shown, unit
from solver.findings.cycling import pull_down_findings
from solver.heat.pulled import PullDown
from solver.parts.roots import Array

#: A plot draws at most so many points of a curve; between them nothing is lost that can be seen.
_MOST_POINTS = 1500


def temperatures_data(pulled: PullDown, units: System, chosen: Collection[str] = ()) -> PlotData:
    """Return the plot of temperatures; chosen cabins, else the one furthest from its set point, stand out."""
    curves = []
    standing = {cabin.tag for cabin in pulled.cabins} & set(chosen)
    if pulled.cabins and not standing:
        standing = {max(pulled.cabins, key=lambda cabin: abs(cabin.end_C - cabin.set_point_C)).tag}
    for place, cabin in enumerate(pulled.cabins):
        stands = cabin.tag in standing
        points = _points(pulled.time_h, pulled.cabin_C[:, place], "temperature", units)
        # Names of all would lie on each other; a click on a cabin makes it stand out.
        curves.append(Curve(cabin.tag if stands else "", points, "accent" if stands else "soft"))
    # What stands out is drawn last, on top.
    curves.sort(key=lambda curve: curve.colour == "accent")
    for loop in pulled.loops:
        whose = f" {', '.join(loop.chillers)}" if len(pulled.loops) > 1 else ""
        for name, values, dashed in (
            (tr("supply"), loop.supply_C, False),
            (tr("return"), loop.return_C, True),
        ):
            points = _points(pulled.time_h, values, "temperature", units)
            curves.append(Curve(name + whose, points, "fresh", dashed))
    uprights = []
    reached = [cabin.reached_h for cabin in pulled.cabins]
    known = [hours for hours in reached if hours is not None]
    if known and len(known) == len(reached):
        uprights.append(Upright(tr("all at set point"), max(known), "good"))
    titles = tr("Time, {0}").format(unit("hours", units)), _title(tr("Temperature"), "temperature", units)
    return PlotData(*titles, tuple(curves), tuple(uprights), y_axis="fitted")


def power_data(pulled: PullDown, units: System) -> PlotData:
    """Return the plot of the chillers' duty and of all electrical power."""
    kilowatts = tr("Power, {0}").format(unit("electrical_power", units))
    duty = abs(pulled.chiller_kW.sum(axis=1))
    name = tr("heating") if pulled.heating else tr("cooling")
    curves = (
        Curve(name, _points(pulled.time_h, duty, "electrical_power", units), "fresh"),
        Curve(tr("electrical"), _points(pulled.time_h, pulled.power_kW, "electrical_power", units), "accent"),
    )
    return PlotData(tr("Time, {0}").format(unit("hours", units)), kilowatts, curves)


def _title(name: str, quantity: str, units: System) -> str:
    return f"{name}, {unit(quantity, units)}"


def _points(hours: Array, values: Array, quantity: str, units: System) -> tuple[tuple[float, float], ...]:
    every = -(-len(hours) // _MOST_POINTS)
    return tuple(
        (hour, to_shown(value, quantity, units))
        for hour, value in zip(hours[::every].tolist(), values[::every].tolist(), strict=True)
    )


def in_words(pulled: PullDown, units: System) -> str:
    """Return what came of a run: energy, starts, and what there is to say against it."""
    energy = pulled.energy
    lines = [
        tr("Electrical {0}: compressors {1}, pumps {2}, fans {3}.").format(
            *(
                show(value, "energy", units)
                for value in (energy.electrical, energy.compressors, energy.pumps, energy.fans)
            )
        )
    ]
    for chiller in pulled.chillers:
        if chiller.starts:
            told = tr("{0}: starts {1}, most in an hour {2}, runs {3} of the time").format(
                chiller.tag, chiller.starts, chiller.most_starts_h, show(chiller.run_share, "fraction", units)
            )
            shortest = chiller.shortest_run_min
            if shortest is not None:
                told += tr(", shortest run {0}").format(show(shortest, "time", units))
            lines.append(f"{told}.")
    words = {"bad": tr("Bad"), "warn": tr("Look"), "note": tr("Note")}
    worded = msgspec.structs.replace(pulled, vessel=in_units(pulled.vessel, units))
    lines += [f"{words[one.severity]}: {one.problem} {one.cause}" for one in pull_down_findings(worded)]
    return "\n".join(line.strip() for line in lines)


def table_text(pulled: PullDown, units: System) -> str:
    """Return every step as tab-separated text, in the units shown."""
    columns: list[tuple[str, list[float]]] = [
        (_title(tr("Time"), "hours", units), pulled.time_h.tolist()),
    ]

    def add(name: str, values: Array, quantity: str) -> None:
        shown = [to_shown(value, quantity, units) for value in values.tolist()]
        columns.append((_title(name, quantity, units), shown))

    for place, cabin in enumerate(pulled.cabins):
        add(cabin.tag, pulled.cabin_C[:, place], "temperature")
        add(tr("{0} humidity").format(cabin.tag), pulled.cabin_rh[:, place], "fraction")
    for loop in pulled.loops:
        whose = ", ".join(loop.chillers)
        add(tr("supply of {0}").format(whose), loop.supply_C, "temperature")
        add(tr("return of {0}").format(whose), loop.return_C, "temperature")
    for place, chiller in enumerate(pulled.chillers):
        add(tr("{0} duty").format(chiller.tag), pulled.chiller_kW[:, place], "electrical_power")
        add(tr("{0} runs").format(chiller.tag), pulled.chiller_runs[:, place], "fraction")
    add(tr("electrical"), pulled.power_kW, "electrical_power")
    lines = ["\t".join(name for name, _ in columns)]
    rows = zip(*(values for _, values in columns), strict=True)
    lines += ["\t".join(f"{value:.6g}" for value in row) for row in rows]
    return "\n".join(lines) + "\n"
