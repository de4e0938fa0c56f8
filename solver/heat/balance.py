# SPDX-License-Identifier: MIT
"""The steady balance of heat: water, coils, cabins, thermostats and chillers at once, by Newton's method.

Unknown are the temperature of every node of the network, temperature and humidity ratio of every cabin,
and the demand of every group of cabins (``solver.heat.rooms``).  They hold

- at a node: what flows in, with what each link adds, leaves as warm as the node (upwind, mixed);
- in a cabin: load = what its air handlers take out, of heat and of moisture;
- in a group: in step with its set point, or as far as its air handlers go;
- at a chiller: leaving water at set point, or where its capacity ends.

Coils and chillers are taken by their slopes, from the laws evaluated beside each state; thermostats by the
active set (semismooth Newton).  Where that does not settle, the steps are those of a boat that warms up and
cools down in ever longer intervals of time (pseudo-transient continuation; C. T. Kelley, D. E. Keyes, SIAM J.
Numer. Anal. 35 (1998) 508-523), which no kink of a law can throw back.  A chiller that its switches stop
stays off, as on board, and the balance is found again without it.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from scipy.sparse import csc_matrix
from scipy.sparse.linalg import splu

from solver.errors import UnconvergedError
from solver.heat.coils import CoilMeans
from solver.heat.plant import PlantState, plant_state
from solver.heat.system import Case, State, System
from solver.parts.roots import Array

#: Plain steps of Newton's method, and those in intervals of time after them.
_PLAIN_STEPS = 20
_TIMED_STEPS = 300
_TOLERANCE = 1e-6
#: The first interval of time over that in which a node or cabin changes by itself; how much longer the next
#: is where the step brought the balance no further, shorter where it lost some, and the most it may be.
#: It is never shorter than the first: on the way to rest a boat may well be further from it for a while.
_FIRST_INTERVAL = 0.3
_LONGER, _SHORTER, _MOST = 1.2, 0.5, 4.0
_NO_LOSS = 0.98
#: After a loss the intervals stay this much below the one that lost, a limit that fades by so much a step.
_BELOW, _FADES = 0.7, 1.05


class Balance(NamedTuple):
    """What was found."""

    state: State
    coils: CoilMeans
    plant: PlantState
    steps: int


def balance(case: Case, start: State) -> Balance:
    """Return the balance.

    Raises
    ------
    UnconvergedError
        No balance was found; names the parts that are furthest from it.
    """
    stopped = case.plant.stopped.copy()
    while True:
        system = System(case, stopped)
        x, coils, steps, residual = _steps(system, system.packed(start))
        if residual is not None:
            tags = system.named(int(np.argmax(np.abs(residual))))
            raise UnconvergedError(f"no balance of heat was found in {steps} steps", tags)
        start = system.unpacked(x)
        plant = plant_state(case.plant, start.node_C, case.water, case.heating, stopped)
        newly = (plant.trip > 0) & (stopped == 0)
        if not newly.any():
            return Balance(start, coils, plant, steps)
        stopped = np.where(newly, plant.trip, stopped)


def _steps(system: System, x: Array) -> tuple[Array, CoilMeans, int, Array | None]:
    """Return the unknowns with the coils there, the steps taken, and a residual that does not vanish."""
    interval, before, limit = np.inf, np.inf, np.inf
    step, start = 0, x
    while True:
        step += 1
        residual, jacobian, coils = system.at(x)
        left = float(np.linalg.norm(residual))
        if step == _PLAIN_STEPS:
            # Where the plain steps have led to may lie far from anything that makes sense.
            interval, x, before = _FIRST_INTERVAL, start, np.inf
            continue
        if step > _PLAIN_STEPS:
            gained = before / max(left, 1e-30)
            limit = limit * _FADES if gained > _NO_LOSS else interval * _BELOW
            interval *= min(_LONGER * gained, _MOST) if gained > _NO_LOSS else _SHORTER * gained
            interval = max(min(interval, limit), _FIRST_INTERVAL)
        before = left
        change = -_solved(system, jacobian, residual, 1.0 / interval)
        if np.max(np.abs(change), initial=0.0) * (1.0 + 1.0 / interval) < _TOLERANCE:
            return x, coils, step, None
        if step == _PLAIN_STEPS + _TIMED_STEPS:
            return x, coils, step, residual
        x = system.moved(x, change)


def _solved(system: System, jacobian: csc_matrix, residual: Array, inertia: float) -> Array:
    """Return the step's solve, each unknown held back by its inertia."""
    if inertia:
        jacobian.data[system.diagonal] += inertia
    return np.asarray(splu(jacobian).solve(residual))
