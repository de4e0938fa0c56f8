# SPDX-License-Identifier: MIT
"""Newton's method on flows and pressures: the global gradient form of the network equations.

Each step solves one symmetric positive definite system for the *increment* of the nodes' total
pressures, which keeps the mass balance exact to rounding (solving for the pressures themselves
does not), and updates every flow from it.  One-way links and limiters keep a state that is looked
at after each step.

References
----------
Todini, E., Pilati, S. (1988). A gradient algorithm for the analysis of pipe networks. In: Computer
Applications in Water Supply, vol. 1, 1-20.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from solver.errors import UnconvergedError
from solver.network.compiled import CompiledNetwork, Structure
from solver.network.laws import (
    Coefficients,
    States,
    TeeTerms,
    coefficients,
    losses,
    no_tee_terms,
)
from solver.network.solution import Solution
from solver.network.tees import TeeTable
from solver.network.topology import reach

Array = NDArray[np.float64]

MOST_ITERATIONS = 200
#: Share of the largest flow below which a last step counts as none.
TOLERANCE = 1e-9
#: Share of the largest flow below which a link rests: what trickles through a shut check valve.
NO_FLOW = 1e-11
#: Flow [kg/s] that stands for the largest one in a network at rest.
FLOOR_FLOW = 1e-3
#: Switches of one link after which links switch one at a time, and only once the flows have settled
#: to this share of the largest one: switching on the way can go round in circles.
MANY_SWITCHES = 4
SETTLED = 1e-4


class NewtonStep(NamedTuple):
    """One step: where it starts, how far the links' laws are missed there, and what it changes.

    Attributes
    ----------
    iteration : int
        1 for the first.
    flow : array, shape (links,) [kg/s]
        Before the step.
    loss : array, shape (links,) [Pa]
        What each link takes at that flow.
    error : array, shape (links,) [Pa]
        Total pressure lost between the link's ends, minus ``loss``; 0 where the link is shut.
    change : array, shape (links,) [kg/s]
        What the step adds to the flow.
    largest_error, largest_change : float [Pa, kg/s]
    """

    iteration: int
    flow: Array
    loss: Array
    error: Array
    change: Array
    largest_error: float
    largest_change: float


def newton(
    compiled: CompiledNetwork,
    warm_start: Solution | None = None,
    *,
    record: list[NewtonStep] | None = None,
) -> Solution:
    """Solve a compiled network.

    Parameters
    ----------
    compiled : CompiledNetwork
    warm_start : Solution, optional
        A solution of the same topology to start from.
    record : list of NewtonStep, optional
        Takes every step, for the table of steps.

    Raises
    ------
    NotSolvableError
        No pressure reference, or an imposed flow with nowhere to go.
    UnconvergedError
        No answer within the iterations allowed; names the links that still move.
    """
    structure = compiled.structure
    c = coefficients(compiled)
    tees = TeeTable(compiled)
    reached = reach(compiled, c.is_open)
    flow, total, states = _start(compiled, c, warm_start)
    outflow = compiled.nodes.outflow
    shut = np.flatnonzero(~c.is_open)
    flow[shut] = 0.0
    lag = _Lag(tees, tees.terms(flow) if tees.count else no_tee_terms(structure))
    terms = lag.terms
    switches = np.zeros(structure.links, dtype=np.int64)
    step = np.inf
    for iteration in range(1, MOST_ITERATIONS + 1):
        loss, slope = losses(flow, c, terms, states)
        conductance = 1.0 / slope
        conductance[shut] = 0.0
        guess = flow + conductance * (total[structure.start] - total[structure.end] - loss)
        surplus = structure.incidence @ guess - outflow
        rise = structure.factorised(conductance, reached.grounded).solve(surplus)
        drop = total[structure.start] - total[structure.end] if record is not None else None
        total[structure.free_nodes] += rise
        moved = np.zeros(len(total))
        moved[structure.free_nodes] = rise
        new = guess + conductance * (moved[structure.start] - moved[structure.end])
        step = float(np.abs(new - flow).max(initial=0.0))
        if record is not None and drop is not None:
            shut_now = np.concatenate((shut, _held_shut(structure, states)))
            record.append(_recorded(iteration, flow, loss, drop - loss, new - flow, shut_now))
        flow = new
        scale = max(float(np.abs(flow).max(initial=0.0)), FLOOR_FLOW)
        switched = False
        if switches.max(initial=0) < MANY_SWITCHES or step <= SETTLED * scale:
            states, switched = _switch(structure, flow, total, c, states, switches)
        if not np.isfinite(step):
            break
        unsettled = lag.renew(flow, conductance) if tees.count else 0.0
        if max(step, unsettled) <= TOLERANCE * scale and not switched:
            flow[structure.one_ways] *= states.one_way_open
            flow[np.abs(flow) < NO_FLOW * scale] = 0.0
            return Solution(compiled, c, flow, total, reached.cut_off, states, terms, iteration)
        terms = lag.terms
    moving = np.argsort(-np.abs(new - flow) if np.isfinite(step) else np.arange(structure.links))[:3]
    tags = tuple(structure.order[index] for index in moving)
    raise UnconvergedError(
        f"no steady flow found in {iteration} steps; the flows of {', '.join(tags)} do not settle",
        tags,
        iteration,
    )


def _held_shut(structure: Structure, states: States) -> NDArray[np.int64]:
    """Return the one-way links that are shut."""
    return np.asarray(structure.one_ways.start + np.flatnonzero(~states.one_way_open), dtype=np.int64)


def _recorded(
    iteration: int, flow: Array, loss: Array, error: Array, change: Array, shut: NDArray[np.int64]
) -> NewtonStep:
    error[shut] = 0.0
    largest = float(np.abs(error).max(initial=0.0)), float(np.abs(change).max(initial=0.0))
    return NewtonStep(iteration, flow.copy(), loss.copy(), error, change, *largest)


class _Lag:
    """The tees' terms, renewed from the last flows; where a term swings its steps are halved."""

    def __init__(self, tees: TeeTable, terms: TeeTerms):
        self.tees, self.terms = tees, terms
        self._share = np.ones(len(terms.square))
        self._last = np.zeros(len(terms.square))

    def renew(self, flow: Array, conductance: Array) -> float:
        """Renew the terms; return the flow [kg/s] by which links would still move for it."""
        new, old = self.tees.terms(flow), self.terms
        own = flow[: len(old.square)]
        change = (new.square - old.square) * own * np.abs(own) + new.constant - old.constant
        swings = change * self._last < 0.0
        self._share = np.where(swings, 0.5 * self._share, np.minimum(1.4 * self._share, 1.0))
        self._last = change
        self.terms = TeeTerms(
            old.square + self._share * (new.square - old.square),
            old.constant + self._share * (new.constant - old.constant),
        )
        return float((np.abs(change) * conductance[: len(change)]).max(initial=0.0))


def _start(compiled: CompiledNetwork, c: Coefficients, warm: Solution | None) -> tuple[Array, Array, States]:
    structure, held = compiled.structure, compiled.nodes.held
    if warm is not None and warm.compiled.structure is structure:
        total = np.where(structure.free < 0, held, warm.total)
        return warm.flow.copy(), total, States(warm.states.one_way_open.copy(), warm.states.limiter.copy())
    states = States(
        np.ones(len(c.threshold), dtype=bool),
        np.zeros(len(c.limit), dtype=np.int8),
    )
    return first_guess(compiled, c), held.copy(), states


def first_guess(compiled: CompiledNetwork, c: Coefficients) -> Array:
    """Return flows to start from: 1 m/s in a bore, 10 kPa over a valve or coil, a pump's middle."""
    structure, parameters = compiled.structure, compiled.parameters
    flow = np.full(structure.links, 0.1)
    bore = parameters.column("bore")
    square = np.maximum(c.forward, 1e-30)
    passive = np.where(bore > 0, 785.0 * bore**2, np.sqrt(1e4 / square))
    by_power = np.full(len(passive), np.inf)
    by_power[c.power_index] = (1e4 / c.power) ** (1.0 / c.exponent)
    flow[structure.passive] = np.minimum(np.minimum(passive, by_power), 1e3)
    flow[structure.pumps] = [
        0.6 * link.curve.last_flow * max(link.speed, 0.1) * rho  # type: ignore[union-attr]
        for link, rho in zip(compiled.ordered[structure.pumps], c.pump_density.tolist(), strict=True)
    ]
    flow[structure.one_ways] = np.sqrt(1e4 / c.one_way_square)
    flow[structure.limiters] = c.limit
    return flow


def _switch(
    structure: Structure,
    flow: Array,
    total: Array,
    c: Coefficients,
    states: States,
    switches: NDArray[np.int64],
) -> tuple[States, bool]:
    """Return the states after a step; flows of links that switched are set to where they start."""
    one_way, limiter = structure.one_ways, structure.limiters
    if one_way.stop == one_way.start and limiter.stop == limiter.start:
        return states, False
    drop = total[structure.start] - total[structure.end]
    is_open, excess = states.one_way_open, drop[one_way] - c.threshold
    wrong = np.where(is_open, flow[one_way] < 0.0, excess > 1e-6)
    state = states.limiter
    if not (wrong.any() or len(state)):
        return states, False
    over = flow[limiter] > c.limit
    new_state = np.select(
        [
            (state == 0) & over,
            (state == 1) & (drop[limiter] < c.low),
            (state == 1) & (drop[limiter] > c.high),
        ],
        [1, 0, 2],
        np.where((state == 2) & ~over, 1, state),
    ).astype(np.int8)
    wrong_all = np.zeros(len(flow), dtype=bool)
    wrong_all[one_way], wrong_all[limiter] = wrong, new_state != state
    if not wrong_all.any():
        return states, False
    if switches.max() >= MANY_SWITCHES:
        only = np.flatnonzero(wrong_all)[np.argmin(switches[wrong_all])]
        wrong_all[:] = False
        wrong_all[only] = True
    switches += wrong_all
    now_open = is_open ^ wrong_all[one_way]
    opened = now_open & ~is_open
    flow[one_way] = np.where(
        opened, np.sqrt(np.maximum(excess, 0.0) / c.one_way_square), np.where(now_open, flow[one_way], 0.0)
    )
    now_limit = np.where(wrong_all[limiter], new_state, state)
    flow[limiter] = np.where((now_limit == 1) & (state != 1), c.limit, flow[limiter])
    return States(now_open, now_limit), True
