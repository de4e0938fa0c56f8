# SPDX-License-Identifier: MIT
"""Solve a vessel: its drawing to a network, the network to flows, the flows to figures by tag."""

from __future__ import annotations

import gc
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from typing import Literal

import msgspec

from solver.change import Change
from solver.circuits import Circuits
from solver.errors import NotSolvableError, PartError
from solver.figures import air_handler_figures, link_figures, port_pressures, pump_figures
from solver.findings import findings
from solver.network.certificate import require
from solver.network.compiled import CompiledNetwork
from solver.network.hardy_cross import HardyCross, hardy_cross
from solver.network.newton import newton
from solver.network.solution import Solution
from solver.results import Results
from solver.vessel.changes import apply
from solver.vessel.solvable import require_solvable
from solver.vessel.to_network import Drawing
from solver.vessel.vessel import Vessel


def solve(
    vessel: Vessel,
    method: Literal["newton", "hardy-cross"] = "newton",
    changes: Iterable[Change] = (),
    warm_start: Results | None = None,
) -> Results:
    """Return flows, pressures and duties of a vessel.

    Parameters
    ----------
    vessel : Vessel
    method : {"newton", "hardy-cross"}
        Hardy-Cross is for teaching and as a cross-check.
    changes : iterable of Change
        Made to the vessel first; the results then belong to the changed vessel.
    warm_start : Results, optional
        Results of a like vessel, to start from and to share the compiled structure with.

    Raises
    ------
    EditError
        A change does not fit the vessel.
    NotSolvableError
        The vessel has no answer, or none that passes the check (UnconvergedError); names the parts.
    """
    vessel = apply(vessel, changes)
    compiled = compiled_vessel(vessel, warm_start)
    if method == "hardy-cross":
        solution = hardy_cross(compiled).solution
    else:
        solution = newton(compiled, warm_start.solution if warm_start else None)
    return results_of(vessel, solution, method)


def compiled_vessel(vessel: Vessel, like: Results | None = None) -> CompiledNetwork:
    """Return a vessel's network, compiled; ``like`` lends its structure where the topology is the same.

    Raises
    ------
    NotSolvableError
        A circuit has no pressure reference or no pump, or a part makes no sense.
    """
    with _collector_paused():
        try:
            network = Drawing(vessel).network()
        except PartError as error:
            raise NotSolvableError(str(error), error.tags) from None
        require_solvable(vessel, network)
        return CompiledNetwork(network, like.solution.compiled.structure if like else None)


@contextmanager
def _collector_paused() -> Iterator[None]:
    """Pause the garbage collector: a ship makes 100,000 objects at once, none of them garbage."""
    was_running = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_running:
            gc.enable()


def hardy_cross_table(vessel: Vessel, sweeps: int = 10) -> HardyCross:
    """Return the Hardy-Cross solution of a vessel with its table of steps.

    Parameters
    ----------
    sweeps : int
        Sweeps of which the table is kept.

    Raises
    ------
    NotSolvableError
        As for :func:`solve`.
    """
    return hardy_cross(compiled_vessel(vessel), record=True, record_sweeps=sweeps)


def results_of(
    vessel: Vessel, solution: Solution, method: Literal["newton", "hardy-cross"] = "newton"
) -> Results:
    """Return a solution's figures by tag, after the check.

    Raises
    ------
    UnconvergedError
        The solution does not pass the check.
    """
    certificate = require(solution)
    links = link_figures(solution)
    port_kPa = port_pressures(vessel, solution)
    circuits = Circuits(vessel, links, port_kPa)
    results = Results(
        vessel=vessel,
        solution=solution,
        method=method,
        converged=True,
        iterations=solution.iterations,
        mass_residual_kg_s=certificate.mass_residual,
        pressure_residual_Pa=certificate.pressure_residual,
        links=links,
        pumps=pump_figures(vessel, solution),
        air_handlers=air_handler_figures(vessel, links),
        port_kPa=port_kPa,
        index_circuit=circuits.index(),
        findings=(),
    )
    return msgspec.structs.replace(results, findings=findings(vessel, results, circuits))


__all__ = ["NotSolvableError", "compiled_vessel", "hardy_cross_table", "results_of", "solve"]
