# SPDX-License-Identifier: MIT
"""How much a flow moves with any quantity of any link, from the solved network, without solving again.

With S the change of all flows with a loss put on each link (from the factorised nodal matrix), the
change of one flow is one adjoint solve: g = S (I - C S)^-1 e, where C is what tees add to a link's
loss through the flows of their other legs.  Each quantity then enters through its own law alone.

References
----------
Todini, E., Pilati, S. (1988), as in ``newton``; the adjoint is the transpose of its last step.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import cached_property

import numpy as np
import qdldl
from numpy.typing import NDArray
from scipy import sparse

from solver.errors import PartError
from solver.network.laws import coefficients, losses, no_tee_terms, passive_losses
from solver.network.solution import Solution
from solver.network.tees import TeeTable
from solver.network.topology import loop_matrix, reach

Array = NDArray[np.float64]

#: Quantities of passive links and of pumps that sensitivities are known for.
PASSIVE_QUANTITIES = ("length", "bore", "roughness", "k", "kv", "coefficient", "factor")
PUMP_QUANTITIES = ("speed", "head_factor")
_STEP = 1e-6
_MOST_ROUNDS = 60


class Sensitivities:
    """Changes of flows with quantities at one solution.

    Parameters
    ----------
    solution : Solution

    Notes
    -----
    A one-way link that is shut, and a limiter at its limit, stay so: what is found holds for small
    changes.
    """

    def __init__(self, solution: Solution):
        self._solution = solution
        self._compiled = solution.compiled
        self._structure = solution.compiled.structure
        self._c = solution.laws
        self._tees = TeeTable(solution.compiled)
        _, slope = losses(solution.flow, self._c, solution.tees, solution.states)
        self._conductance = 1.0 / slope
        self._conductance[np.flatnonzero(~self._c.is_open)] = 0.0
        self._conductance[self._structure.one_ways] *= solution.states.one_way_open

    def _moved(self, losses_on: Array) -> Array:
        """Return the change of all flows with given losses put on the links (S is symmetric)."""
        structure, conductance = self._structure, self._conductance
        push = conductance * losses_on
        rise = np.zeros(len(structure.node_tags))
        rise[structure.free_nodes] = self._factors.solve(-(structure.incidence @ push))
        return conductance * (rise[structure.start] - rise[structure.end]) - push

    @cached_property
    def _factors(self) -> qdldl.Solver:
        grounded = reach(self._compiled, self._c.is_open).grounded
        return self._structure.factorised_to_keep(np.maximum(self._conductance, 1e-18), grounded)

    def by_loss(self, tag: str) -> Array:
        """Return d(flow of ``tag``)/d(loss put on each link), shape (links,) [kg/s/Pa].

        Raises
        ------
        PartError
            No link of that tag.
        """
        index = self._structure.index.get(tag)
        if index is None:
            raise PartError(f"no link is tagged {tag}", (tag,))
        unit = np.zeros(self._structure.links)
        unit[index] = 1.0
        if not self._tees.count or not self._tees.lagged:
            return self._moved(unit)
        adjoint = unit
        coupling = self._coupling.T
        for _ in range(_MOST_ROUNDS):
            renewed = unit + coupling @ self._moved(adjoint)
            settled = np.abs(renewed - adjoint).max() <= 1e-11
            adjoint = renewed
            if settled:
                break
        return self._moved(adjoint)

    @cached_property
    def matrix(self) -> Array:
        """d(flow of each link)/d(loss put on each link), all at once, shape (links, links) [kg/s/Pa].

        In loop form: S = -M (M' R M)^-1 M', with M the loops' links and R the links' slopes, so that
        the dense system has a row a loop.  For small networks; :meth:`by_loss` serves any size.
        """
        structure = self._structure
        used = self._conductance > 0.0
        slope = 1.0 / np.where(used, self._conductance, 1.0)
        loops = loop_matrix(structure, used)
        shared = (loops * slope) @ loops.T
        moved = -loops.T @ np.linalg.solve(shared, loops)
        if not self._tees.count or not self._tees.lagged:
            return moved
        return np.linalg.solve(np.eye(structure.links) - moved @ self._coupling.toarray(), moved)

    @cached_property
    def _coupling(self) -> sparse.csr_matrix:
        """What tees add to links' losses per flow of the tees' legs, beyond the links' own slopes."""
        return self._tees.coupling(self._solution.flow, self._solution.tees, self._structure.links)

    @cached_property
    def by_quantity(self) -> dict[str, sparse.csr_matrix]:
        """Quantity -> matrix of d(loss of each link)/d(quantity of each link), by compiled index."""
        found = {name: self._passive_slopes(name) for name in PASSIVE_QUANTITIES}
        found.update({name: self._pump_slopes(name) for name in PUMP_QUANTITIES})
        return found

    def of_flow(self, tag: str, quantity: str) -> dict[str, float]:
        """Return link -> d(flow of ``tag``)/d(``quantity`` of the link), in SI units.

        Raises
        ------
        PartError
            No link of that tag, or no such quantity.

        Examples
        --------
        ``sensitivities.of_flow("AH-7", "length")["R-31"]`` is how many kg/s a metre more of R-31
        gives AH-7.
        """
        if quantity not in PASSIVE_QUANTITIES + PUMP_QUANTITIES:
            accepted = ", ".join(PASSIVE_QUANTITIES + PUMP_QUANTITIES)
            raise PartError(f"no sensitivity to {quantity!r}; accepted: {accepted}")
        slopes = self.by_loss(tag) @ self.by_quantity[quantity]
        structure = self._structure
        part = structure.passive if quantity in PASSIVE_QUANTITIES else structure.pumps
        return dict(zip(structure.order[part], slopes[part].tolist(), strict=True))

    def _passive_slopes(self, name: str) -> sparse.csr_matrix:
        """Losses' slopes with a quantity of their own links, by a small step of every link's at once."""
        structure, flow = self._structure, self._solution.flow[self._structure.passive]
        values = self._compiled.parameters.column(name)
        step = _STEP * np.where((values > 0) & np.isfinite(values), values, 1.0)
        if name == "roughness":
            step = np.maximum(step, 1e-10)
        none = no_tee_terms(structure)

        def loss_at(shift: Array) -> Array:
            columns = {name: values + shift}
            if name == "k":
                columns["k_reverse"] = self._compiled.parameters.column("k_reverse") + shift
            return passive_losses(flow, coefficients(self._compiled, columns), none)[0]

        low = np.where(values - step >= 0, step, 0.0)
        slopes = (loss_at(step) - loss_at(-low)) / (step + low)
        slopes = np.where(np.isfinite(slopes), slopes, 0.0)
        if name == "kv":
            slopes = np.where(np.isfinite(values), slopes, 0.0)
        matrix = sparse.csr_matrix(
            (slopes, (np.arange(len(slopes)), np.arange(len(slopes)))),
            shape=(structure.links, structure.links),
        )
        if name == "bore" and self._tees.count:
            matrix = matrix + self._tees.bore_slopes(self._solution.flow, structure.links)
        return matrix

    def _pump_slopes(self, name: str) -> sparse.csr_matrix:
        structure, c = self._structure, self._c
        pumps = np.arange(structure.pumps.start, structure.pumps.stop)
        values = {"speed": c.speed, "head_factor": self._compiled.parameters.pump[:, 1]}[name]
        loss_at = self._pump_loss(name)
        slopes = (loss_at(values + _STEP) - loss_at(values - _STEP)) / (2 * _STEP)
        return sparse.csr_matrix((slopes, (pumps, pumps)), shape=(structure.links, structure.links))

    def _pump_loss(self, name: str) -> Callable[[Array], Array]:
        c, flow = self._c, self._solution.flow[self._structure.pumps]
        scale = c.head_to_pressure
        volume = flow / c.pump_density

        def by_speed(speed: Array) -> Array:
            return np.array(
                [
                    -link.curve.head(q, n) * s  # type: ignore[union-attr]
                    for link, q, n, s in zip(
                        self._compiled.ordered[self._structure.pumps],
                        volume,
                        np.maximum(speed, 0.0),
                        scale,
                        strict=True,
                    )
                ]
            )

        def by_factor(factor: Array) -> Array:
            return by_speed(c.speed) * factor / self._compiled.parameters.pump[:, 1]

        return by_speed if name == "speed" else by_factor
