# SPDX-License-Identifier: MIT
"""Solve a vessel: its drawing to a network, the network to flows, the flows to figures by tag."""

from __future__ import annotations

import gc
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from typing import Literal, NamedTuple, TypeAlias

import msgspec
import numpy as np
from numpy.typing import NDArray

from solver.change import Change
from solver.circuits import Circuits
from solver.errors import NotSolvableError, PartError
from solver.figures import air_handler_figures, link_figures, port_pressures, pump_figures
from solver.findings import findings
from solver.heat.figures import heat_results
from solver.heat.temperatures import temperatures, water_temps
from solver.network.certificate import require
from solver.network.compiled import CompiledNetwork
from solver.network.hardy_cross import HardyCross, hardy_cross
from solver.network.newton import NewtonStep, newton
from solver.network.solution import Solution
from solver.results import Finding, HeatResults, Results
from solver.vessel.changes import apply
from solver.vessel.components import Chiller
from solver.vessel.solvable import SolvablePart, require_solvable, solvable_part
from solver.vessel.to_network import Drawing, Temperatures
from solver.vessel.vessel import Vessel

#: Rounds of flows and temperatures; two or three are usual.
_MOST_ROUNDS = 20
#: Rounds after which a chiller that trips stays off: warm water may give it the flow that cold does not.
_FREE_ROUNDS = 4
#: They are in step when no link's water has changed by more: 0.05 K of water is 0.03 % of its flow [K].
_SETTLED_K = 0.05

Method: TypeAlias = Literal["newton", "hardy-cross"]


def solve(
    vessel: Vessel,
    method: Method = "newton",
    changes: Iterable[Change] = (),
    warm_start: Results | None = None,
    *,
    partial: bool = False,
    heat: bool | Literal["as_before"] = False,
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
    partial : bool
        Leave out circuits that cannot be solved (no pump or no pressure reference yet) where others
        can; ``left_out`` of the results tells of them.  For a drawing that is being made.
    heat : bool or "as_before"
        Temperatures, chillers, coils and cabins too, in step with the flows: each part has the viscosity of
        its own water.  Without, the water is everywhere as the document's ``loop_liquid`` has it, and so
        it is where no chiller is in the network.  "as_before" finds the flows alone, with the water as warm
        as in ``warm_start``: for a screen on which temperatures follow a moment later.

    Raises
    ------
    EditError
        A change does not fit the vessel.
    NotSolvableError
        The vessel has no answer, or none that passes the check (UnconvergedError); names the parts.
    """
    vessel = apply(vessel, changes)
    at = warm_start.heat.start.water if heat and warm_start and warm_start.heat else None
    part = None
    try:
        compiled = compiled_vessel(vessel, warm_start, at)
    except NotSolvableError:
        part = _solvable_part(vessel) if partial else None
        if part is None:
            raise
        compiled = compiled_vessel(part.vessel, warm_start, at)
    drawn = vessel if part is None else part.vessel
    solved = _solved(compiled, method, warm_start.solution if warm_start else None)
    if heat is True:
        results = _with_heat(drawn, solved, method, at, warm_start)
    else:
        results = results_of(drawn, solved, method)
    return results if part is None else _of_whole(vessel, part, results)


def _solved(compiled: CompiledNetwork, method: Method, start: Solution | None) -> Solution:
    return hardy_cross(compiled).solution if method == "hardy-cross" else newton(compiled, start)


def _with_heat(
    vessel: Vessel, solution: Solution, method: Method, at: Temperatures | None, warm_start: Results | None
) -> Results:
    """Return flows and temperatures in step, or the flows alone and why there are no temperatures.

    ``at`` is what the solution was found with.
    """
    found = warm_start.heat.start.found if warm_start and warm_start.heat else None
    structure = solution.compiled.structure
    cold = solution if at is None else None
    try:
        if not any(isinstance(part, Chiller) and part.tag in structure.index for part in vessel.components):
            return results_of(vessel, _as_documented(vessel, solution, cold, method), method)
        for rounds in range(1, _MOST_ROUNDS + 1):
            found = temperatures(vessel, solution, at, found, hold=rounds > _FREE_ROUNDS)
            new = water_temps(vessel, found)
            if at is not None and new.apart(at) <= _SETTLED_K:
                return results_of(vessel, solution, method, heat_results(vessel, found, at, rounds))
            at = new
            network = Drawing(vessel, at).network()
            solution = _solved(CompiledNetwork(network, structure), method, solution)
        reason = f"flows and temperatures did not settle in {_MOST_ROUNDS} rounds"
        problem = NotSolvableError(reason)
    except NotSolvableError as error:
        problem = error
    flows = results_of(vessel, _as_documented(vessel, solution, cold, method), method)
    told = Finding(
        "no_temperatures",
        "bad",
        f"No temperatures: {problem}.",
        cause="Flows and pressures are solved, with the water as warm as the vessel says.",
        tags=problem.tags,
    )
    return msgspec.structs.replace(flows, no_heat=told, findings=(told, *flows.findings))


def _as_documented(vessel: Vessel, like: Solution, cold: Solution | None, method: Method) -> Solution:
    """Return the solution with the water as the document has it: ``cold`` if it is there already."""
    if cold is not None:
        return cold
    network = Drawing(vessel).network()
    return _solved(CompiledNetwork(network, like.compiled.structure), method, like)


def _solvable_part(vessel: Vessel) -> SolvablePart | None:
    """Return what can be solved of a vessel that cannot be solved whole; None if no circuit can."""
    try:
        part = solvable_part(vessel, Drawing(vessel).network())
    except (PartError, NotSolvableError):
        return None
    return part if part is not None and part.problems else None


def _of_whole(vessel: Vessel, part: SolvablePart, results: Results) -> Results:
    """Return the results of a part of a vessel as the whole vessel's, with what was left out told."""
    left_out = tuple(
        Finding(
            "not_solved",
            "bad",
            f"Not solved: {problem.reason}.",
            cause="The other circuits are solved without this one.",
            tags=problem.tags,
        )
        for problem in part.problems
    )
    whole = msgspec.structs.replace(
        results,
        vessel=vessel,
        port_kPa=port_pressures(vessel, results.solution),
        part=part.vessel,
        left_out=left_out,
        findings=(),
    )
    return msgspec.structs.replace(whole, findings=findings(vessel, whole))


def compiled_vessel(
    vessel: Vessel, like: Results | None = None, at: Temperatures | None = None
) -> CompiledNetwork:
    """Return a vessel's network, compiled; ``like`` lends its structure where the topology is the same.

    ``at`` has the water's temperatures; without, they are the document's.

    Raises
    ------
    NotSolvableError
        A circuit has no pressure reference or no pump, or a part makes no sense.
    """
    with _collector_paused():
        try:
            network = Drawing(vessel, at).network()
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


class NewtonTable(NamedTuple):
    """Newton's steps on a vessel.

    Attributes
    ----------
    tags : tuple of str
        Links in the order of the steps' arrays.
    density : array, shape (links,) [kg/m3]
        Of the liquid in each link.
    steps : tuple of NewtonStep
    """

    tags: tuple[str, ...]
    density: NDArray[np.float64]
    steps: tuple[NewtonStep, ...]


def newton_table(vessel: Vessel) -> NewtonTable:
    """Return the steps of a cold Newton solve of a vessel.

    Raises
    ------
    NotSolvableError
        As for :func:`solve`.
    """
    compiled = compiled_vessel(vessel)
    steps: list[NewtonStep] = []
    newton(compiled, record=steps)
    return NewtonTable(compiled.structure.order, compiled.density, tuple(steps))


def results_of(
    vessel: Vessel, solution: Solution, method: Method = "newton", heat: HeatResults | None = None
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
        heat=heat,
    )
    return msgspec.structs.replace(results, findings=findings(vessel, results, circuits))


__all__ = [
    "NewtonTable",
    "NotSolvableError",
    "compiled_vessel",
    "hardy_cross_table",
    "newton_table",
    "results_of",
    "solve",
]
