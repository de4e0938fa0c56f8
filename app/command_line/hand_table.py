# SPDX-License-Identifier: MIT
"""The Hardy-Cross table, correction by correction, as it is done by hand."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import takewhile

from app.command_line.tables import table
from app.units import System, show
from solver.network.compiled import CompiledNetwork
from solver.network.hardy_cross import Step, hardy_cross


def hand_table(compiled: CompiledNetwork, sweeps: int, system: System) -> Iterator[str]:
    """Yield the table's parts: what its signs mean, then one table a correction.

    Parameters
    ----------
    compiled : CompiledNetwork
    sweeps : int
        How many sweeps through all loops are shown.
    system : {"si", "us"}
        Units shown.

    Raises
    ------
    NotSolvableError
        As for the solve.
    """
    found = hardy_cross(compiled, record=True, record_sweeps=sweeps)
    density = {
        tag: compiled.network.media[link.medium].density
        for tag, link in zip(compiled.structure.order, compiled.ordered, strict=True)
    }
    shown = min(sweeps, found.sweeps)
    yield (
        f"HARDY-CROSS: {len(found.loops)} loops, {found.sweeps} sweeps, {shown} of them below\n"
        "Flows and losses count in the loop's direction; each link loses k * flow^n (k in Pa and kg/s). The\n"
        "correction, the sum of losses over the sum of slopes and against it, is added to every link's flow."
    )
    for step in takewhile(lambda step: step.sweep <= sweeps, found.steps):
        yield _one(step, density, system)


def _one(step: Step, density: dict[str, float], system: System) -> str:
    heads = {"link": None, "flow": "flow", "k": None, "n": None, "loss": "pressure", "slope": None}
    rows = []
    for link in step.links:
        flow = link.flow / density[link.tag] * 1000
        k, n, slope = f"{link.k:11.4e}", f"{link.n:5.3f}", f"{link.slope:11.4e}"
        rows.append((link.tag, flow, k, n, link.loss / 1000, slope))
    correction = show(step.correction / density[step.chord] * 1000, "flow", system)
    return (
        f"Sweep {step.sweep}, loop {step.loop}, closed by {step.chord}\n{table(heads, rows, system)}\n"
        f"sum of losses {show(step.sum_of_losses / 1000, 'pressure', system)}, sum of slopes "
        f"{step.sum_of_slopes:.4e} Pa/(kg/s), correction {correction}"
    )
