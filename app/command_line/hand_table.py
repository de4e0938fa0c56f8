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
        "Flows and losses count in the loop's direction; each link loses k q^n, q in kg/s. The correction\n"
        "is the sum of losses over the sum of slopes, its sign turned; it is added to every flow of the loop."
    )
    for step in takewhile(lambda step: step.sweep <= sweeps, found.steps):
        yield _one(step, density, system)


def _one(step: Step, density: dict[str, float], system: System) -> str:
    heads = {"link": None, "flow": "flow", "q kg/s": None, "k": None, "n": None, "loss Pa": None}
    rows = []
    for link in step.links:
        flow = link.flow / density[link.tag] * 1000
        hand = (f"{link.flow:9.5f}", f"{link.k:11.4e}", f"{link.n:6.3f}", f"{link.loss:10.2f}")
        rows.append((link.tag, flow, *hand, f"{link.slope:11.4e}"))
    correction = show(step.correction / density[step.chord] * 1000, "flow", system)
    return (
        f"Sweep {step.sweep}, loop {step.loop}, closed by {step.chord}\n"
        f"{table({**heads, 'slope Pa s/kg': None}, rows, system)}\n"
        f"sum of losses {step.sum_of_losses:.2f} Pa, sum of slopes {step.sum_of_slopes:.4e} Pa s/kg, "
        f"correction {step.correction:.5f} kg/s ({correction})"
    )
