# SPDX-License-Identifier: MIT
"""The hydraulic solve: after an edit, cold from a vessel, batches, sensitivities, and beside a peer.

``splu`` is SciPy's sparse factorisation of the same nodal matrix: the yardstick of each size.
"""

from __future__ import annotations

import statistics
from functools import partial
from math import log

import numpy as np
from msgspec.structs import replace
from scipy import sparse
from scipy.sparse.linalg import splu

from solver.change import Change
from solver.network.batch import solve_batch
from solver.network.certificate import certify
from solver.network.compiled import CompiledNetwork
from solver.network.laws import losses
from solver.network.network import Network
from solver.network.newton import newton
from solver.network.sensitivity import Sensitivities
from solver.network.solution import Solution
from solver.results import Results
from solver.solve import compiled_vessel, solve
from solver.vessel.changes import apply
from solver.vessel.samples import ship
from solver.vessel.vessel import Vessel
from tests.benchmarks.timing import Row, median, once, shown
from tests.networks import regular_loop


def rows() -> list[Row]:
    """Return the hydraulics rows."""
    return [*after_an_edit(), *batches(), *sensitivities(), *ships(), *size_sweep()]


def factorisation(solution: Solution) -> float:
    """Return the time SciPy's splu takes for the nodal matrix of a solution [s]."""
    structure = solution.compiled.structure
    _, slope = losses(solution.flow, solution.laws, solution.tees, solution.states)
    weights = sparse.diags(1.0 / slope)
    matrix = sparse.csc_matrix(structure.incidence @ weights @ structure.incidence.T)
    matrix = matrix + sparse.identity(matrix.shape[0], format="csc") * 1e-12
    unit = np.ones(matrix.shape[0])
    return median(lambda: splu(matrix).solve(unit), 0.3)


def after_an_edit() -> list[Row]:
    """The compiled network of 150 links, warm; and the whole way from an edited vessel."""
    compiled = CompiledNetwork(regular_loop(30))
    before = newton(compiled)
    edited = compiled.changed([Change("v5", "kv", 0.8)])
    warm = median(lambda: newton(edited, before))
    yardstick = factorisation(before)
    vessel = ship(17)
    results = solve(vessel)
    valve = next(c.tag for c in vessel.components if type(c).__name__ == "RegulatingValve")
    settings = iter(np.linspace(0.99, 1.01, 100_000))

    def edit() -> Results:
        changed = apply(vessel, [Change(valve, "setting", float(next(settings)), "scale")])
        return solve(changed, warm_start=results)

    whole = median(edit)
    return [
        Row(
            f"solve, {compiled.structure.links} links, one edit, compiled and warm",
            shown(warm),
            "2 ms",
            f"{warm / yardstick:.0f} x splu",
        ),
        Row(
            f"edited vessel to figures and findings, {len(results.links)} links",
            shown(whole),
            "10 ms",
            f"{whole / warm:.1f} x solve",
        ),
    ]


def batches() -> list[Row]:
    """Random valves of a 150-link loop, solved together."""
    solution = newton(CompiledNetwork(regular_loop(30)))
    plain = newton(CompiledNetwork(regular_loop(30, tees=False)))
    rng = np.random.default_rng(1)
    count = 2048
    columns = {(f"v{i}", "kv"): rng.uniform(0.5, 3.0, count) for i in range(30)}
    one = median(lambda: newton(solution.compiled.changed([Change("v3", "kv", 0.9)]), solution))
    with_tees = count / median(lambda: solve_batch(solution, columns))
    without = count / median(lambda: solve_batch(plain, columns))
    return [
        Row(
            "batch of variations, 150 links, constant losses",
            f"{without:.0f} /s",
            "8000 /s",
            f"{without * one:.1f} x one by one",
        ),
        Row(
            "batch of variations, 150 links, tees by flow split",
            f"{with_tees:.0f} /s",
            "",
            f"{with_tees * one:.1f} x one by one",
        ),
    ]


def sensitivities() -> list[Row]:
    """All flows with all losses put on any link, and all quantities."""
    compiled = CompiledNetwork(regular_loop(30))
    solution = newton(compiled)
    solved = median(lambda: newton(compiled))
    links = compiled.structure.links
    every = median(lambda: Sensitivities(solution).matrix)
    one = median(lambda: Sensitivities(solution).by_loss("c29"))
    return [
        Row(
            f"all {links} x {links} sensitivities, tees by flow split",
            shown(every),
            "one solve",
            f"{every / solved:.2f} x cold solve",
        ),
        Row("one air handler's, by adjoint", shown(one), "", f"{one / solved:.2f} x cold solve"),
    ]


def ships() -> list[Row]:
    """Ships from their vessel values, cold: drawing to network, compiled, solved and checked."""
    found = []
    times = {}
    for air_handlers, reach in ((400, ""), (4000, "0.25 s"), (20000, "1.5 s")):
        vessel = ship(air_handlers)
        links = len(compiled_vessel(vessel).structure.order)

        times[links] = statistics.median(once(partial(_cold, replace(vessel))) for _ in range(3))
        checked = once(partial(certify, _cold(vessel)))
        found.append(
            Row(
                f"ship of {links} links from its vessel, cold",
                shown(times[links]),
                reach,
                f"check {shown(checked)}",
            )
        )
    (small, t_small), (_, _), (large, t_large) = times.items()
    power = log(t_large / t_small) / log(large / small)
    found.append(Row("growth of that time with links", f"n^{power:.2f}", "n^1.1"))
    return found


def _cold(vessel: Vessel) -> Solution:
    return newton(compiled_vessel(vessel))


def size_sweep() -> list[Row]:
    """Warm solves from 150 to 20,000 links beside splu and pandapipes."""
    from tests.benchmarks.peer import pandapipes_time

    found = []
    for branches in (30, 400, 4000):
        network: Network = regular_loop(branches, tees=False, zones=max(1, branches // 40))
        compiled = CompiledNetwork(network)
        solution = newton(compiled)
        edited = compiled.changed([Change("v5", "kv", 0.8)])
        warm = median(lambda c=edited, s=solution: newton(c, s))  # type: ignore[misc]
        peer = pandapipes_time(network)
        beside = (
            f"{warm / factorisation(solution):.1f} x splu; {warm / peer:.3f} of pandapipes ({shown(peer)})"
        )
        found.append(
            Row(f"warm solve, {compiled.structure.links} links", shown(warm), "0.10 of pandapipes", beside)
        )
    return found
