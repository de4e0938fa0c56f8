# SPDX-License-Identifier: MIT
"""The loads of a day as a plot, as figures and as a table, in the units shown.

In heating the loads are below 0; they are shown as the heat that is wanted, above 0.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import NamedTuple

import numpy as np

from app.panels.heat_figures import Figures, Line, kilowatts
from app.panels.plot_data import Curve, PlotData
from app.translation import tr
from app.units import System, clock, number, show, to_shown, unit
from solver.heat.day import DayLoads
from solver.heat.estimate import estimate
from solver.heat.installed import DIVERSITY, Installed
from solver.heat.weather import ALL_HEADINGS
from solver.parts.roots import Array
from solver.vessel.vessel import Conditions, Vessel

#: Most cabins that have a curve of their own beside that of all.
_MOST_CURVES = 4
#: Share of a load that it may change through a day and still counts as steady.
_STEADY = 0.002
#: Colours of the lines across the plot, which are read beside it.
LEVEL_COLOURS = ("soft", "warn")


class Day(NamedTuple):
    """What the panel shows: the loads of a day of a vessel; ``installed`` None where it is not known."""

    vessel: Vessel
    loads: DayLoads
    installed: Installed | None

    @property
    def conditions(self) -> Conditions:
        """Those that the loads are of."""
        return self.vessel.current_conditions

    @property
    def heating(self) -> bool:
        """Whether the loads are of heating."""
        return self.conditions.mode == "heating"

    @property
    def sign(self) -> float:
        """What makes a load of the mode count above 0."""
        return -1.0 if self.heating else 1.0

    def columns(self, tags: Sequence[str]) -> list[int]:
        """Return the places of cabins by their tags."""
        return [place for place, tag in enumerate(self.loads.tags) if tag in tags]


def day_plot(day: Day, chosen: Sequence[str], units: System, *, alone: bool) -> PlotData:
    """Return the plot: all cabins with what is installed, or those chosen ``alone``."""
    loads, columns = day.loads, day.columns(chosen)
    total, sensible = loads.sensible_W + loads.latent_W, loads.sensible_W
    if alone:
        total, sensible = total[:, columns], sensible[:, columns]
    whole = day.sign * total.sum(axis=1)
    name = tr("cabins selected") if alone and len(columns) > 1 else tr("all cabins")
    if alone and len(columns) == 1:
        name = loads.tags[columns[0]]
    curves = [Curve(name, _by_hour(loads.hours, whole, units), "fresh")]
    if not day.heating:
        curves.append(
            Curve(tr("sensible"), _by_hour(loads.hours, sensible.sum(axis=1), units), "fresh", dashed=True)
        )
    if not alone or len(columns) > 1:
        of_cabin = loads.sensible_W + loads.latent_W
        curves += [
            Curve(loads.tags[place], _by_hour(loads.hours, day.sign * of_cabin[:, place], units), "accent")
            for place in columns[:_MOST_CURVES]
        ]
    if not alone:
        curves += _levels(day, units)
    peak = int(whole.argmax())
    lowest = min(y for curve in curves for _x, y in curve.points)
    return PlotData(
        tr("Solar time, {0}").format(tr("h")),
        (tr("Heat wanted, {0}") if day.heating else tr("Load, {0}")).format(unit("capacity", units)),
        tuple(curves),
        ring=(float(loads.hours[peak]), to_shown(float(whole[peak]) / 1000.0, "capacity", units)),
        ring_text=_peak_words(whole, loads.hours, units),
        y_axis="fitted" if lowest < 0.0 else "zero",
        x_axis="hours",
    )


def _peak_words(whole: Array, hours: Array, units: System) -> str:
    """Return the largest load and its hour, which is none in particular where the load hardly changes."""
    peak = int(whole.argmax())
    load = kilowatts(float(whole[peak]), units)
    if float(np.ptp(whole)) <= _STEADY * abs(float(whole[peak])):
        return tr("{0} all day").format(load)
    return tr("{0} at {1}").format(load, clock(float(hours[peak])))


def _by_hour(hours: Array, watts: Array, units: System) -> tuple[tuple[float, float], ...]:
    """Return the points of a curve; the day ends as it began."""
    points = [
        (float(hour), to_shown(float(load) / 1000.0, "capacity", units))
        for hour, load in zip(hours, watts, strict=True)
    ]
    return (*points, (24.0, points[0][1]))


def _levels(day: Day, units: System) -> Iterator[Curve]:
    """Yield the lines across the plot from top to bottom, each with its name."""
    lines = [(tr("sum of peaks"), day.sign * day.loads.sum_of_peaks_W, "soft")]
    able = day.installed
    if able is not None and able.air_handlers_W and not day.heating:
        lines.append((tr("air handlers"), able.air_handlers_W, "soft"))
    if able is not None and able.chillers_W:
        lines.append((tr("chillers"), able.total_W, "warn"))
    if able is not None and len(able.chillers_W) > 1:
        lines.append((tr("without {0}").format(able.largest), able.largest_out_W, "warn"))
    for name, watts, colour in sorted(lines, key=lambda line: -line[1]):
        height = to_shown(watts / 1000.0, "capacity", units)
        yield Curve(name, tuple((float(hour), height) for hour in range(25)), colour, dashed=True)


def day_figures(day: Day, units: System) -> Figures:
    """Return the figures beside the plot."""
    loads, able = day.loads, day.installed
    block = day.sign * loads.block_load_W
    state, judgement = _judged(block, able, units)
    return Figures(
        _peak_words(day.sign * loads.block_W, loads.hours, units),
        state,
        judgement,
        tuple(Line(label, text) for label, text in _lines(day, block, units)),
        "\n".join(_cautions(day, units)),
    )


def _judged(block: float, able: Installed | None, units: System) -> tuple[str, str]:
    if able is None or not able.chillers_W:
        return "", tr("Block load; no chiller is drawn.")
    short = block - able.total_W
    if short > 0.0:
        return "warn", tr("Block load, {0} more than the chillers have.").format(kilowatts(short, units))
    if len(able.chillers_W) > 1 and block <= able.largest_out_W:
        return "good", tr("Block load; the chillers carry it without {0}.").format(able.largest)
    return "good", tr("Block load; the chillers carry it.")


def _lines(day: Day, block: float, units: System) -> Iterator[tuple[str, str]]:
    loads, able, at = day.loads, day.installed, day.loads.block_at
    if not day.heating:
        parts = (float(loads.sensible_W[at].sum()), float(loads.latent_W[at].sum()))
        yield (
            tr("  sensible + latent"),
            f"{number(parts[0] / 1000, 'capacity', units)} + {kilowatts(parts[1], units)}",
        )
    yield tr("Sum of peaks"), kilowatts(day.sign * loads.sum_of_peaks_W, units)
    if able is not None and not day.heating:
        yield tr("Air handlers, rated"), kilowatts(able.air_handlers_W, units)
    if able is not None and able.chillers_W:
        sea = show(day.conditions.sea_temp_C, "temperature", units)
        yield tr("Chillers, sea {0}").format(sea), _of_block(able.total_W, block, units)
        if len(able.chillers_W) > 1:
            yield tr("  without {0}").format(able.largest), _of_block(able.largest_out_W, block, units)
    if not day.heating:
        usual, low, high = _by_volume(day.vessel)
        band = f"{number(low / 1000, 'capacity', units)} – {kilowatts(high, units)}"
        yield tr("Estimate by volume"), tr("{0} ({1})").format(kilowatts(usual, units), band)
        if able is not None and able.air_handlers_W:
            share = show(DIVERSITY, "fraction", units)
            words = tr("{0}, {1} of air handlers")
            yield (
                tr("Estimate for chillers"),
                words.format(kilowatts(DIVERSITY * able.air_handlers_W, units), share),
            )


def _of_block(watts: float, block: float, units: System) -> str:
    if block <= 0.0:
        return kilowatts(watts, units)
    return tr("{0}, {1}").format(kilowatts(watts, units), show(watts / block, "fraction", units))


def _by_volume(vessel: Vessel) -> tuple[float, float, float]:
    """Return the rule by volume for all cabins together: usual, from, to [W]."""
    rules = [estimate(vessel, cabin) for cabin in vessel.cabins]
    return sum(r.usual_W for r in rules), sum(r.low_W for r in rules), sum(r.high_W for r in rules)


def _cautions(day: Day, units: System) -> Iterator[str]:
    guessed = [tag for tag, is_guess in zip(day.loads.tags, day.loads.estimated, strict=True) if is_guess]
    if guessed and not day.heating:
        yield tr("By rule of thumb only, without surfaces or a typed load: {0}.").format(_some(guessed))
    if day.installed is not None and day.installed.beyond:
        sea = show(day.conditions.sea_temp_C, "temperature", units)
        yield tr("Figures of {0} were not given for a sea of {1}.").format(_some(day.installed.beyond), sea)


def _some(tags: Sequence[str]) -> str:
    return ", ".join(tags[:4]) + (tr(" and {0} more").format(len(tags) - 4) if len(tags) > 4 else "")


def heading_words(day: Day, units: System) -> str:
    """Return which heading the loads are for."""
    if day.heating:
        return tr("{0}. No sun is counted on, so the heading does not matter.").format(day.conditions.name)
    heading = f"{number(day.loads.heading_deg, 'angle', units)}°"
    if day.conditions.heading_deg is not None:
        return tr("{0}. Heading {1}, set in the conditions.").format(day.conditions.name, heading)
    words = tr("{0}. Worst heading taken: {1}, of {2} tried.")
    return words.format(day.conditions.name, heading, len(ALL_HEADINGS))


def day_table(day: Day, chosen: Sequence[str], units: System) -> str:
    """Return figures and hours as tab-separated text, a column for each cabin chosen."""
    loads, columns = day.loads, day.columns(chosen)
    figures = day_figures(day, units)
    lines = [heading_words(day, units), f"{tr('Block load')}\t{figures.headline}"]
    lines += [f"{line.label.strip()}\t{line.text}" for line in figures.lines]
    load = unit("capacity", units)
    heads = [tr("Sensible"), tr("Latent"), tr("All cabins"), *(loads.tags[place] for place in columns)]
    lines += ["", "\t".join([tr("Solar time"), *(f"{head}, {load}" for head in heads)])]
    for at, hour in enumerate(loads.hours):
        sensible, latent = loads.sensible_W[at], loads.latent_W[at]
        row = [sensible.sum(), latent.sum(), loads.block_W[at], *(sensible + latent)[columns]]
        shown = (f"{to_shown(day.sign * float(each) / 1000.0, 'capacity', units):.6g}" for each in row)
        lines.append("\t".join([clock(float(hour)), *shown]))
    return "\n".join(lines) + "\n"
