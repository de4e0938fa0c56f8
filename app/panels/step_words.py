# SPDX-License-Identifier: MIT
"""The step tables of Hardy-Cross and Newton as rows of text, and the curves of their convergence."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from app.overlay.lit import Lit, part_of
from app.panels.plot_data import Curve
from app.translation import tr
from app.units import System, number, show, unit
from solver.network.hardy_cross import HardyCross, Step
from solver.solve import NewtonTable

#: Most loops of a network whose Hardy-Cross table is made; sweeps of it that are kept.
MOST_LOOPS, SWEEPS = 60, 12
#: Links in a table of a Newton step, those that change most.
MOST_LINKS = 40


@dataclass(frozen=True)
class StepPage:
    """One step as it is shown: headline, columns with what they mean, rows, and what is lit."""

    headline: str
    columns: tuple[tuple[str, str], ...]
    rows: tuple[tuple[str, ...], ...]
    lit: Lit

    def as_text(self) -> str:
        """Return the page as tab-separated text."""
        lines = [self.headline, "\t".join(name for name, _ in self.columns)]
        return "\n".join([*lines, *("\t".join(row) for row in self.rows)]) + "\n"


def hand_page(step: Step, density: Mapping[str, float], units: System) -> StepPage:
    """Return one correction of Hardy-Cross.

    Parameters
    ----------
    step : Step
    density : mapping
        Tag of a link -> density [kg/m3] of what flows in it.
    units : {"si", "us"}
    """
    flow, pressure = unit("flow", units), unit("pressure", units)
    columns = (
        (tr("Link"), tr("A run or component of the loop")),
        (tr("Way"), tr("Along the link as drawn, or against it")),
        (f"{tr('Flow')} {flow}", tr("Before the correction, counted along the loop")),
        ("k", tr("Loss = k · flow^n near this flow, in Pa and kg/s")),
        ("n", tr("2 for turbulent water and fittings, 1 for laminar flow")),
        (f"{tr('Loss')} {pressure}", tr("What the link takes along the loop; a pump's is negative")),
        (tr("Slope"), tr("n · loss / flow, Pa per kg/s")),
    )
    rows = [
        (
            link.tag,
            tr("along") if link.sign > 0 else tr("against"),
            number(_volume(link.flow, density[link.tag]), "flow", units),
            f"{link.k:.3g}",
            f"{link.n:.2f}",
            number(link.loss / 1e3, "pressure", units),
            f"{link.slope:.4g}",
        )
        for link in step.links
    ]
    correction = _volume(step.correction, density[step.chord])
    headline = tr(
        "Sweep {0}, loop {1} (closed by {2}): losses add up to {3}, slopes to {4}; correction {5}"
    ).format(
        step.sweep,
        step.loop,
        step.chord,
        show(step.sum_of_losses / 1e3, "pressure", units),
        f"{step.sum_of_slopes:.4g} Pa/(kg/s)",
        _signed(correction, units),
    )
    rows.append((tr("Sum"), "", "", "", "", number(step.sum_of_losses / 1e3, "pressure", units), ""))
    rows[-1] = (*rows[-1][:6], f"{step.sum_of_slopes:.4g}")
    ways = {part_of(link.tag): link.sign for link in step.links}
    texts = {
        part_of(link.tag): show(_volume(link.flow, density[link.tag]), "flow", units) for link in step.links
    }
    return StepPage(headline, columns, tuple(rows), Lit(ways, texts))


def newton_page(table: NewtonTable, index: int, units: System) -> StepPage:
    """Return one step of Newton: the links that change most, the most first."""
    step = table.steps[index]
    flow, pressure = unit("flow", units), unit("pressure", units)
    columns = (
        (tr("Link"), tr("A run or component")),
        (f"{tr('Flow')} {flow}", tr("Before the step")),
        (f"{tr('Loss')} {pressure}", tr("What the link takes at that flow")),
        (f"{tr('Pressure error')} {pressure}", tr("Pressure between its ends, minus its loss")),
        (f"{tr('Change')} {flow}", tr("What the step adds to the flow")),
        (f"{tr('New flow')} {flow}", tr("After the step")),
    )
    order = np.argsort(-np.abs(step.change), kind="stable")[:MOST_LINKS].tolist()
    rows = []
    texts = {}
    for at in order:
        density = float(table.density[at])
        old, change = _volume(float(step.flow[at]), density), _volume(float(step.change[at]), density)
        rows.append(
            (
                table.tags[at],
                number(old, "flow", units),
                number(float(step.loss[at]) / 1e3, "pressure", units),
                number(float(step.error[at]) / 1e3, "pressure", units),
                number(change, "flow", units),
                number(old + change, "flow", units),
            )
        )
        texts[part_of(table.tags[at])] = show(old + change, "flow", units)
    headline = tr("Step {0} of {1}: largest pressure error {2}, largest change of flow {3}").format(
        step.iteration,
        len(table.steps),
        show(step.largest_error / 1e3, "pressure", units),
        show(_volume(step.largest_change, float(table.density[order[0]])), "flow", units),
    )
    lit = list(texts)[:12]
    shown = Lit(dict.fromkeys(lit, 0), {tag: texts[tag] for tag in lit})
    return StepPage(headline, columns, tuple(rows), shown)


def convergence(hand: HardyCross | None, newton: NewtonTable | None) -> tuple[Curve, ...]:
    """Return the largest change of a flow against the step, as a share of the largest flow, in decades."""
    curves = []
    if newton is not None and newton.steps:
        largest = max(float(np.abs(newton.steps[-1].flow).max(initial=0.0)), 1e-12)
        changes = [step.largest_change / largest for step in newton.steps]
        curves.append(Curve(tr("Newton"), _decades(changes), "fresh"))
    if hand is not None and hand.steps:
        largest = max(float(np.abs(hand.solution.flow).max(initial=0.0)), 1e-12)
        worst: dict[int, float] = {}
        for one in hand.steps:
            worst[one.sweep] = max(worst.get(one.sweep, 0.0), abs(one.correction) / largest)
        curves.append(Curve(tr("Hardy-Cross"), _decades(list(worst.values())), "accent", dashed=True))
    return tuple(curves)


def _decades(values: list[float]) -> tuple[tuple[float, float], ...]:
    return tuple((float(at), math.log10(max(value, 1e-15))) for at, value in enumerate(values, start=1))


def _volume(flow: float, density: float) -> float:
    """Return a flow [kg/s] in the document's unit [L/s]."""
    return flow / density * 1e3


def _signed(flow_L_s: float, units: System) -> str:
    text = show(flow_L_s, "flow", units)
    return f"+{text}" if flow_L_s > 0 else text
