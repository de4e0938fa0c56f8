# SPDX-License-Identifier: MIT
"""Thousands of variations of one network at once, in loop form.

From one solved network the flows of all variations are the solved ones plus circulations in its
independent loops; each Newton step solves a small dense system a variation, all together.  A
variation in which a one-way link or limiter would change its state, or that does not settle, is
solved by itself afterwards.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import ArrayLike, NDArray

from solver.change import Change
from solver.errors import NotSolvableError, PartError
from solver.network.laws import Coefficients, States, coefficients, losses, no_tee_terms
from solver.network.network import PASSIVE_FIELDS, Passive, PumpLink
from solver.network.newton import newton
from solver.network.solution import Solution
from solver.network.tees import TeeTable
from solver.network.topology import Loops, fundamental_loops

Array = NDArray[np.float64]

#: Variations worked on together: enough to spread the cost of a step, few enough to stay in cache.
CHUNK = 128
#: Loops above which variations are solved one at a time: the dense systems no longer pay.
MOST_LOOPS = 120
MOST_ITERATIONS = 40
TOLERANCE = 1e-9


@dataclass(frozen=True, slots=True, eq=False)
class Batch:
    """Flows of all variations.

    Attributes
    ----------
    tags : tuple of str
        Links in compiled order.
    flow : array, shape (variations, links) [kg/s]
        NaN in a row that has no answer.
    solved_singly : array of int
        Rows that were solved by themselves.
    """

    tags: tuple[str, ...]
    flow: Array
    solved_singly: NDArray[np.int64]

    def of(self, tag: str) -> Array:
        """Return one link's flow in every variation, shape (variations,) [kg/s]."""
        return self.flow[:, self.tags.index(tag)]


def columns_of(solution: Solution, variations: Sequence[Sequence[Change]]) -> dict[tuple[str, str], Array]:
    """Return variations given as changes as columns of values, for :func:`solve_batch`.

    Raises
    ------
    PartError
        No link of that tag, or it has no such quantity.
    """
    links = solution.compiled.network.link_by_tag
    columns: dict[tuple[str, str], Array] = {}
    for row, changes in enumerate(variations):
        for change in changes:
            key = change.tag, change.quantity
            if key not in columns:
                columns[key] = np.full(len(variations), _value(links, *key))
            columns[key][row] = change.applied_to(float(columns[key][row]))
    return columns


def _value(links: Mapping[str, object], tag: str, quantity: str) -> float:
    if tag not in links:
        raise PartError(f"no link is tagged {tag}", (tag,))
    value = getattr(links[tag], quantity, None)
    if not isinstance(value, bool | int | float):
        raise PartError(f"{tag} has no quantity {quantity!r}", (tag,))
    return float(value)


def solve_batch(solution: Solution, columns: Mapping[tuple[str, str], ArrayLike]) -> Batch:
    """Solve variations of a solved network.

    Parameters
    ----------
    solution : Solution
        The network as it is.
    columns : mapping of (tag, quantity) -> array, shape (variations,)
        Values of links' quantities (SI, the fields of the links) in each variation.

    Raises
    ------
    PartError
        No link of that tag, it has no such quantity, or the columns differ in length.
    """
    values = {key: np.asarray(column, dtype=float) for key, column in columns.items()}
    lengths = {len(column) for column in values.values()}
    if len(lengths) != 1:
        raise PartError(f"the columns of a batch must be of one length; found {sorted(lengths)}")
    for key in values:
        _value(solution.compiled.network.link_by_tag, *key)
    count = lengths.pop()
    structure = solution.compiled.structure
    flow = np.full((count, structure.links), np.nan)
    singly = _out_of_loop_form(solution, values, count)
    solver = _LoopForm(solution)
    together = np.flatnonzero(~singly) if solver.fits else np.zeros(0, dtype=np.int64)
    singly[np.setdiff1d(np.arange(count), together)] = True
    for first in range(0, len(together), CHUNK):
        rows = together[first : first + CHUNK]
        part, settled = solver.solve({key: column[rows] for key, column in values.items()}, len(rows))
        flow[rows] = part
        singly[rows[~settled]] = True
    for row in np.flatnonzero(singly):
        flow[row] = _alone(solution, values, int(row))
    return Batch(structure.order, flow, np.flatnonzero(singly))


def _out_of_loop_form(
    solution: Solution, values: Mapping[tuple[str, str], Array], count: int
) -> NDArray[np.bool_]:
    """Return the rows that change more than passive quantities and pump speeds."""
    links = solution.compiled.network.link_by_tag
    outside = np.zeros(count, dtype=bool)
    for (tag, quantity), column in values.items():
        link = links[tag]
        plain = (
            isinstance(link, Passive) and quantity in PASSIVE_FIELDS and quantity not in ("is_open", "medium")
        )
        if plain and quantity not in ("length", "friction_factor"):
            continue
        if plain and quantity == "length" and link.length > 0:  # type: ignore[union-attr]
            continue
        if isinstance(link, PumpLink) and quantity in ("speed", "head_factor"):
            continue
        outside |= column != _value(links, tag, quantity)
    return outside


def _alone(solution: Solution, values: Mapping[tuple[str, str], Array], row: int) -> Array:
    changes = [Change(tag, quantity, float(column[row])) for (tag, quantity), column in values.items()]
    order = solution.compiled.structure.order
    try:
        flows = newton(solution.compiled.changed(changes), solution).flows
    except NotSolvableError:
        return np.full(len(order), np.nan)
    return np.array([flows[tag] for tag in order])


class _LoopForm:
    """The loop equations of a solved network."""

    def __init__(self, solution: Solution):
        compiled = solution.compiled
        structure = compiled.structure
        self.compiled, self.structure, self.solution = compiled, structure, solution
        c = solution.laws
        used = np.ones(structure.links, dtype=bool)
        used[structure.passive] = c.is_open
        used[structure.one_ways] = solution.states.one_way_open
        used[structure.limiters] = solution.states.limiter != 1
        _, slope = losses(solution.flow, c, solution.tees, solution.states)
        self.loops: Loops = fundamental_loops(structure, used, slope)
        count = len(self.loops.chords)
        self.fits = count <= MOST_LOOPS
        if not self.fits:
            return
        self.matrix = self.loops.matrix.toarray()
        held = np.where(structure.free < 0, solution.total, 0.0)
        self.drive = self.matrix @ (held[structure.start] - held[structure.end])
        self.rows, self.columns = np.tril_indices(count)
        # Each entry of the loop matrix is a sum of slopes over the links two loops share.
        self.products = np.ascontiguousarray((self.matrix[self.rows] * self.matrix[self.columns]).T)
        self.tees = TeeTable(compiled)
        self.count = count

    def solve(self, values: Mapping[tuple[str, str], Array], count: int) -> tuple[Array, NDArray[np.bool_]]:
        """Return flows and which rows settled in the states of the solved network."""
        passive = self._passive_columns(values, count)
        c = self._coefficients(values, passive, count)
        tees = self.tees.with_bores_of(passive["bore"]) if "bore" in passive else self.tees
        states = self.solution.states
        flow = np.repeat(self.solution.flow[None, :], count, axis=0)
        terms = tees.terms(flow) if tees.count else no_tee_terms(self.structure)
        settled = np.zeros(count, dtype=bool)
        scale = max(float(np.abs(self.solution.flow).max(initial=0.0)), 1e-3)
        upper = self.columns, self.rows
        for _ in range(MOST_ITERATIONS):
            loss, slope = losses(flow, c, terms, states)
            matrix = np.empty((count, self.count, self.count))
            shared = slope @ self.products
            matrix[:, self.rows, self.columns] = shared
            matrix[:, upper[0], upper[1]] = shared
            error = loss @ self.matrix.T - self.drive
            step = np.linalg.solve(matrix, error[..., None])[..., 0] @ self.matrix
            flow = flow - step
            settled = np.abs(step).max(axis=1) <= TOLERANCE * scale
            if settled.all():
                break
            if tees.count:
                terms = tees.terms(flow)
        return flow, settled & self._states_hold(flow, c, terms, states)

    def _passive_columns(self, values: Mapping[tuple[str, str], Array], count: int) -> dict[str, Array]:
        """Return the quantities of passive links that vary, shape (variations, passive links)."""
        structure = self.structure
        passive: dict[str, Array] = {}
        for (tag, quantity), column in values.items():
            place = structure.index[tag]
            if place < structure.passive.stop:
                if quantity not in passive:
                    own = self.compiled.parameters.column(quantity)
                    passive[quantity] = np.repeat(own[None, :], count, axis=0)
                passive[quantity][:, place] = column
        return passive

    def _coefficients(
        self, values: Mapping[tuple[str, str], Array], passive: dict[str, Array], count: int
    ) -> Coefficients:
        structure = self.structure
        pumps = {
            name: np.repeat(self.compiled.parameters.pump[None, :, place], count, axis=0)
            for place, name in enumerate(("speed", "head_factor"))
        }
        for (tag, quantity), column in values.items():
            place = structure.index[tag]
            if structure.pumps.start <= place < structure.pumps.stop:
                pumps[quantity][:, place - structure.pumps.start] = column
        c = coefficients(self.compiled, passive)
        if structure.pumps.stop == structure.pumps.start:
            return c
        head = c.head_to_pressure / self.compiled.parameters.pump[:, 1]
        return replace(c, speed=pumps["speed"], head_to_pressure=pumps["head_factor"] * head)

    def _states_hold(self, flow: Array, c: Coefficients, terms: object, states: States) -> NDArray[np.bool_]:
        """Return the rows in which one-way links and limiters keep their states.

        Pressures across links that carry nothing are not known in loop form, so a network with a
        shut one-way link or a limiter at its limit counts as held only where nothing is near.
        """
        structure = self.structure
        holds = np.ones(len(flow), dtype=bool)
        if structure.one_ways.stop > structure.one_ways.start:
            open_flow = flow[:, structure.one_ways]
            holds &= np.where(states.one_way_open, open_flow >= 0.0, True).all(axis=1)
            if not states.one_way_open.all():
                holds &= self._shut_stay_shut(flow, c, terms, states)
        if structure.limiters.stop > structure.limiters.start:
            if (states.limiter == 1).any():
                holds &= self._limits_stay(flow, c, terms, states)
            own = flow[:, structure.limiters]
            holds &= np.where(states.limiter == 0, own <= c.limit, True).all(axis=1)
            holds &= np.where(states.limiter == 2, own >= c.limit, True).all(axis=1)
        return holds

    def _drops(self, flow: Array, c: Coefficients, terms: object, states: States) -> Array:
        """Return the total pressure difference over every link, worked out along the tree."""
        structure, loops = self.structure, self.loops
        loss, _ = losses(flow, c, terms, states)  # type: ignore[arg-type]
        total = np.repeat(self.solution.total[None, :], len(flow), axis=0)
        for node in loops.order.tolist():
            link = int(loops.parent_link[node])
            if link >= 0:
                start, end = int(structure.start[link]), int(structure.end[link])
                total[:, node] = (
                    total[:, end] + loss[:, link] if start == node else total[:, start] - loss[:, link]
                )
        return total[:, structure.start] - total[:, structure.end]

    def _shut_stay_shut(
        self, flow: Array, c: Coefficients, terms: object, states: States
    ) -> NDArray[np.bool_]:
        drop = self._drops(flow, c, terms, states)[:, self.structure.one_ways]
        stays = states.one_way_open | (drop <= c.threshold + 1e-6)
        return np.asarray(stays.all(axis=1))

    def _limits_stay(self, flow: Array, c: Coefficients, terms: object, states: States) -> NDArray[np.bool_]:
        drop = self._drops(flow, c, terms, states)[:, self.structure.limiters]
        stays = (states.limiter != 1) | ((drop >= c.low) & (drop <= c.high))
        return np.asarray(stays.all(axis=1))
