# SPDX-License-Identifier: MIT
"""Losses of tees from the flows of their three legs, for whole arrays of tees at once.

The leg with the largest flow is the combined leg: the other two part from it (diverging) or meet in
it (converging).  Losses are of total pressure, on the way between the combined leg and each other
leg; the combined leg itself has none.

References
----------
Crane Co., Flow of Fluids Through Valves, Fittings and Pipe, TP-410, 2009, with its errata of 2012:
chapter 2, tees and wyes (here at 90 degrees), and appendix A, standard tees.
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np
from numpy.typing import ArrayLike, NDArray

from solver.parts.fittings import friction_factor_turbulent

#: Crane's multipliers of fT for a standard tee of constant coefficients.
THROUGH_RUN = 20.0
THROUGH_BRANCH = 60.0

#: What the legs' flows are weighted with when the combined leg is sought: where a leg is at rest the
#: two others are equal but for rounding, and the answer must not change with it.
PREFERENCE = (1.0 + 2e-9, 1.0 + 1e-9, 1.0)

Array = NDArray[np.float64]

_EIGHT_OVER_PI_SQUARED = 8.0 / np.pi**2
_TINY = 1e-300


def tee_losses(
    flow_1: ArrayLike,
    flow_2: ArrayLike,
    flow_branch: ArrayLike,
    bore_1: ArrayLike,
    bore_2: ArrayLike,
    bore_branch: ArrayLike,
    density: ArrayLike,
) -> tuple[Array, Array, Array]:
    """Return each leg's loss by Crane's coefficients for the actual split of the flow.

    Parameters
    ----------
    flow_1, flow_2, flow_branch : array, any shapes that broadcast
        Flows at the two ports of the run and at the branch [kg/s], positive INTO the tee.
    bore_1, bore_2, bore_branch : array
        Bores of the pipes there [m].
    density : array
        Density of the liquid [kg/m3].

    Returns
    -------
    loss_1, loss_2, loss_branch : array
        Total pressure lost in each leg along its own direction of flow [Pa]; the combined leg's is
        0, a gain is negative.

    Notes
    -----
    With y the branch's share of the combined flow and b its bore over that of the combined leg, on the
    velocity head of the combined leg:

    - diverging: K_branch = G (1 + H (y/b**2)**2), K_run = M y**2;
    - converging: K_branch = C (1 + (y/b**2)**2 - 2 (1 - y)**2), K_run = 1.55 y - y**2.

    H = 1 for b <= 2/3, else 0.3; G = 1 for b**2 <= 2/3, else 1 + 0.3 y**2; M = 0.4 for b**2 <= 0.4, else
    2 (2 y - 1) up to y = 0.5 and 0.3 (2 y - 1) above; C = 1 for b**2 <= 0.35, else 0.9 (1 - y) up to y =
    0.4 and 0.55 above.  Where the branch is the combined leg (bullhead) Crane gives no split: each leg
    of the run takes 60 fT, the flow through the branch of a standard tee, on its own velocity head.

    A leg that comes to rest keeps a finite loss: the velocity head it faces.
    """
    f1, f2, fb = _array(flow_1), _array(flow_2), _array(flow_branch)
    d1, d2, db = _array(bore_1), _array(bore_2), _array(bore_branch)
    m1, m2, mb = np.abs(f1), np.abs(f2), np.abs(fb)
    first = m1 >= m2
    bore = np.where(first, d1, d2)
    diverging = np.where(first, f1, f2) > 0.0
    combined, other = np.maximum(m1, m2), np.minimum(m1, m2)

    whole = other + mb
    y = mb / (whole + _TINY)
    square = y * y
    area_ratio = db / bore
    area_ratio = area_ratio * area_ratio
    jet = y / area_ratio
    jet = jet * jet
    step = 2.0 * y - 1.0
    rest = 1.0 - y
    k_run = np.where(
        diverging,
        np.where(area_ratio <= 0.4, 0.4, np.minimum(2.0 * step, 0.3 * step)) * square,
        (1.55 - y) * y,
    )
    k_branch = np.where(
        diverging,
        np.where(area_ratio <= 2.0 / 3.0, 1.0, 1.0 + 0.3 * square)
        * (1.0 + np.where(db / bore <= 2.0 / 3.0, 1.0, 0.3) * jet),
        np.where(area_ratio <= 0.35, 1.0, np.where(y <= 0.4, 0.9 * rest, 0.55))
        * (1.0 + jet - 2.0 * rest * rest),
    )
    head = velocity_head(whole, bore, density)
    run = k_run * head
    loss_1, loss_2, loss_branch = np.where(first, 0.0, run), np.where(first, run, 0.0), k_branch * head
    bullhead = mb > combined
    if bullhead.any():
        loss_1 = np.where(bullhead, THROUGH_BRANCH * _turbulent(d1) * velocity_head(m1, d1, density), loss_1)
        loss_2 = np.where(bullhead, THROUGH_BRANCH * _turbulent(d2) * velocity_head(m2, d2, density), loss_2)
        loss_branch = np.where(bullhead, 0.0, loss_branch)
    return loss_1, loss_2, loss_branch


def tee_losses_constant(
    flow_1: ArrayLike,
    flow_2: ArrayLike,
    flow_branch: ArrayLike,
    bore_1: ArrayLike,
    bore_2: ArrayLike,
    bore_branch: ArrayLike,
    density: ArrayLike,
    k_run: ArrayLike = np.nan,
    k_branch: ArrayLike = np.nan,
) -> tuple[Array, Array, Array]:
    """Return each leg's loss by constant coefficients on the leg's own velocity head.

    Crane's standard tee: 20 fT through the run, 60 fT through the branch; where the branch is the
    combined leg, each leg of the run is on the way through the branch.  Of two legs with equal flow
    (the third at rest) the run's first is the combined one, then the run's second.

    Parameters
    ----------
    flow_1, flow_2, flow_branch, bore_1, bore_2, bore_branch, density : array
        As in :func:`tee_losses`.
    k_run, k_branch : array
        Coefficients [-] in place of Crane's; NaN where Crane's is wanted.

    Returns
    -------
    loss_1, loss_2, loss_branch : array
        As in :func:`tee_losses`.
    """
    d1, d2, db = _array(bore_1), _array(bore_2), _array(bore_branch)
    m1, m2, mb = np.abs(_array(flow_1)), np.abs(_array(flow_2)), np.abs(_array(flow_branch))
    w1, w2 = m1 * PREFERENCE[0], m2 * PREFERENCE[1]
    combined_1 = (w1 >= w2) & (w1 >= mb)
    combined_2 = (w2 > w1) & (w2 >= mb)
    bullhead = ~(combined_1 | combined_2)
    k_run, k_branch = _array(k_run), _array(k_branch)
    run_given, branch_given = ~np.isnan(k_run), ~np.isnan(k_branch)
    losses = []
    for flow, bore, is_combined in ((m1, d1, combined_1), (m2, d2, combined_2), (mb, db, bullhead)):
        turbulent = _turbulent(bore)
        k = np.where(branch_given, k_branch, THROUGH_BRANCH * turbulent)
        if bore is not db:
            k = np.where(bullhead, k, np.where(run_given, k_run, THROUGH_RUN * turbulent))
        losses.append(np.where(is_combined, 0.0, k * velocity_head(flow, bore, density)))
    return losses[0], losses[1], losses[2]


def velocity_head(flow: Array, bore: Array, density: ArrayLike) -> Array:
    """Return density/2 * velocity**2 [Pa] of a flow [kg/s] in a bore [m]."""
    square = bore * bore
    return _EIGHT_OVER_PI_SQUARED * flow * flow / (_array(density) * (square * square))


def _array(values: ArrayLike) -> Array:
    return np.asarray(values, dtype=np.float64)


def _turbulent(bore: Array) -> Array:
    # Bores stay while flows change from solve to solve: half the cost of a call is saved by keeping fT.
    return _turbulent_of_bytes(bore.tobytes()).reshape(bore.shape)


@lru_cache(maxsize=32)
def _turbulent_of_bytes(bores: bytes) -> Array:
    return friction_factor_turbulent(np.frombuffer(bores))
