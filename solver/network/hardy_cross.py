# SPDX-License-Identifier: MIT
"""Hardy-Cross: flows corrected loop by loop, for teaching and as a cross-check of Newton.

It starts from flows that balance at every node and adds one correction a loop, minus the loop's
pressure error over the sum of its links' slopes, taking the newest flows for the next loop.  Held
pressures are joined in one ground, so that a way between two of them counts as a loop.

Where a check valve is shut or a limiter acts, it runs on the network as Newton left it: that link
out, or at its limit.

References
----------
Cross, H. (1936). Analysis of flow in networks of conduits or conductors. University of Illinois
Engineering Experiment Station Bulletin 286.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from solver.errors import UnconvergedError
from solver.network.compiled import CompiledNetwork
from solver.network.laws import (
    Coefficients,
    States,
    TeeTerms,
    coefficients,
    losses,
    no_tee_terms,
    subset,
)
from solver.network.newton import first_guess, newton
from solver.network.solution import Solution
from solver.network.tees import TeeTable
from solver.network.topology import Loops, fundamental_loops, reach

Array = NDArray[np.float64]

MOST_SWEEPS = 5000
#: Share of the largest flow below which a sweep's corrections count as none.
TOLERANCE = 1e-10


class StepLink(NamedTuple):
    """A link's line in the table: loss = k * flow**n near this flow, both as seen along the loop."""

    tag: str
    sign: int
    flow: float
    k: float
    n: float
    loss: float
    slope: float


class Step(NamedTuple):
    """One correction: the loop, its links, the sum of losses [Pa], of slopes, the correction [kg/s]."""

    sweep: int
    loop: int
    chord: str
    links: tuple[StepLink, ...]
    sum_of_losses: float
    sum_of_slopes: float
    correction: float


@dataclass(frozen=True, slots=True)
class HardyCross:
    """The solution and the table of its steps (empty unless asked for)."""

    solution: Solution
    loops: tuple[tuple[tuple[str, int], ...], ...]
    steps: tuple[Step, ...]
    sweeps: int


class _Loop:
    """A loop's links, the signs they run with, and their laws."""

    def __init__(self, c: Coefficients, links: NDArray[np.int64], sign: Array, drive: float, states: States):
        order = np.argsort(links)
        self.links, self.sign, self.drive = links[order], sign[order], drive
        self.laws, self.states = subset(c, self.links, states)
        self.passive = self.links[: self.laws.structure.passive.stop]

    def correction(self, flow: Array, terms: TeeTerms) -> tuple[Array, Array, float, float]:
        """Return losses and slopes of the loop's links, their sum along it and the sum of slopes."""
        own = TeeTerms(terms.square[self.passive], terms.constant[self.passive])
        loss, slope = losses(flow[self.links], self.laws, own, self.states)
        return loss, slope, float(self.sign @ loss) - self.drive, float(slope.sum())


def hardy_cross(compiled: CompiledNetwork, *, record: bool = False, record_sweeps: int = 30) -> HardyCross:
    """Solve a compiled network by Hardy-Cross.

    Parameters
    ----------
    compiled : CompiledNetwork
    record : bool
        Keep the table of steps.
    record_sweeps : int
        Sweeps of which the table is kept.

    Raises
    ------
    NotSolvableError
        As for Newton.
    UnconvergedError
        No answer within the sweeps allowed.
    """
    structure = compiled.structure
    c = coefficients(compiled)
    reached = reach(compiled, c.is_open)
    states, fixed, known = _states(compiled, c)
    used = np.ones(structure.links, dtype=bool)
    used[structure.passive] = c.is_open
    used[structure.one_ways] = states.one_way_open
    used &= np.isnan(fixed)
    guess = np.where(np.isnan(fixed), first_guess(compiled, c), fixed)
    _, slope = losses(guess, c, no_tee_terms(structure), states)
    loops = fundamental_loops(structure, used, slope)
    held = compiled.nodes.held
    flow = _balanced(compiled, loops, np.where(used, 0.5 * guess, np.nan_to_num(fixed)))
    drive = loops.matrix @ (held[structure.start] - held[structure.end])
    rows = [
        _Loop(
            c,
            loops.matrix.indices[loops.matrix.indptr[row] : loops.matrix.indptr[row + 1]].astype(np.int64),
            loops.matrix.data[loops.matrix.indptr[row] : loops.matrix.indptr[row + 1]],
            float(drive[row]),
            states,
        )
        for row in range(len(loops.chords))
    ]
    tees = TeeTable(compiled)
    flow, terms, sweeps, steps = _sweep(compiled, rows, loops, flow, tees, record_sweeps if record else 0)
    # What is left by rounding is no flow; a check valve would be seen to pass it backwards.
    flow[np.abs(flow) < TOLERANCE * max(float(np.abs(flow).max(initial=0.0)), 1e-3)] = 0.0
    total = _totals(compiled, c, loops, flow, terms, states, np.where(structure.free < 0, held, known))
    solution = Solution(compiled, c, flow, total, reached.cut_off, states, terms, sweeps)
    names = tuple(
        tuple((structure.order[link], int(sign)) for link, sign in zip(row.links, row.sign, strict=True))
        for row in rows
    )
    return HardyCross(solution, names, tuple(steps), sweeps)


def _states(compiled: CompiledNetwork, c: Coefficients) -> tuple[States, Array, Array]:
    """Return the states of one-way links and limiters, the flows of limiters at their limit, and total
    pressures for parts that only such links join to the rest."""
    structure = compiled.structure
    fixed = np.full(structure.links, np.nan)
    if not (len(c.threshold) or len(c.limit)):
        none = States(np.zeros(0, dtype=bool), np.zeros(0, dtype=np.int8))
        return none, fixed, np.zeros(len(structure.node_tags))
    left = newton(compiled)
    at_limit = np.zeros(structure.links, dtype=bool)
    at_limit[structure.limiters] = left.states.limiter == 1
    fixed[at_limit] = left.flow[at_limit]
    return left.states, fixed, left.total


def _balanced(compiled: CompiledNetwork, loops: Loops, flow: Array) -> Array:
    """Return flows that balance at every free node: chords as given, the tree's from its leaves."""
    structure = compiled.structure
    flow = flow.copy()
    flow[loops.tree] = 0.0
    ground = len(structure.node_tags)
    surplus = np.zeros(ground + 1)
    surplus[structure.free_nodes] = -compiled.nodes.outflow
    np.subtract.at(surplus, structure.start, flow)
    np.add.at(surplus, structure.end, flow)
    surplus[np.flatnonzero(structure.free < 0)] = 0.0
    for node in loops.order[::-1].tolist():
        link = int(loops.parent_link[node])
        if link < 0:
            continue
        start = ground if structure.free[structure.start[link]] < 0 else int(structure.start[link])
        # What a node has too much leaves it on its way to the root.
        flow[link] = surplus[node] if start == node else -surplus[node]
        surplus[loops.parent_node[node]] += surplus[node]
    return flow


def _sweep(
    compiled: CompiledNetwork,
    rows: list[_Loop],
    loops: Loops,
    flow: Array,
    tees: TeeTable,
    record_sweeps: int,
) -> tuple[Array, TeeTerms, int, list[Step]]:
    structure = compiled.structure
    steps: list[Step] = []
    terms = no_tee_terms(structure)
    worst = 0
    for sweep in range(1, MOST_SWEEPS + 1):
        if tees.count:
            renewed = tees.terms(flow)
            share = 1.0 if sweep < 40 else 0.5
            terms = TeeTerms(
                terms.square + share * (renewed.square - terms.square),
                terms.constant + share * (renewed.constant - terms.constant),
            )
        largest_step = 0.0
        for number, row in enumerate(rows):
            loss, slope, error, stiffness = row.correction(flow, terms)
            correction = -error / stiffness
            if sweep <= record_sweeps:
                steps.append(
                    _step(structure.order, sweep, number, loops, row, flow, loss, slope, error, correction)
                )
            flow[row.links] += row.sign * correction
            if abs(correction) > largest_step:
                largest_step, worst = abs(correction), number
        if largest_step <= TOLERANCE * max(float(np.abs(flow).max(initial=0.0)), 1e-3):
            return flow, terms, sweep, steps
    chord = structure.order[int(loops.chords[worst])]
    raise UnconvergedError(
        f"Hardy-Cross found no steady flow in {MOST_SWEEPS} sweeps; "
        f"the loop closed by {chord} does not settle",
        (chord,),
        MOST_SWEEPS,
    )


def _step(
    order: tuple[str, ...],
    sweep: int,
    number: int,
    loops: Loops,
    row: _Loop,
    flow: Array,
    loss: Array,
    slope: Array,
    error: float,
    correction: float,
) -> Step:
    lines = []
    for link, sign, q, h, s in zip(
        row.links.tolist(),
        row.sign.tolist(),
        flow[row.links].tolist(),
        loss.tolist(),
        slope.tolist(),
        strict=True,
    ):
        n = abs(q * s / h) if h else 1.0
        k = abs(h) / abs(q) ** n if q else s
        lines.append(StepLink(order[link], int(sign), q * sign, k, n, h * sign, s))
    chord = order[int(loops.chords[number])]
    return Step(sweep, number + 1, chord, tuple(lines), error, float(slope.sum()), correction)


def _totals(
    compiled: CompiledNetwork,
    c: Coefficients,
    loops: Loops,
    flow: Array,
    terms: TeeTerms,
    states: States,
    known: Array,
) -> Array:
    """Return total pressures, worked out along the tree from those known at its roots."""
    structure = compiled.structure
    loss, _ = losses(flow, c, terms, states)
    total = known.copy()
    for node in loops.order.tolist():
        link = int(loops.parent_link[node])
        if link < 0:
            continue
        start, end = int(structure.start[link]), int(structure.end[link])
        if start == node:
            total[node] = total[end] + loss[link]
        else:
            total[node] = total[start] - loss[link]
    return total
