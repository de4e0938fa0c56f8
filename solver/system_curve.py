# SPDX-License-Identifier: MIT
"""What a loop asks of one of its pumps: head against flow, the others running as they are.

The duty points of the pump at several speeds lie on the curve of the loop as this pump meets it, so a
few warm solves give it exactly: check valves, parallel pumps, static heights and bypasses included.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from solver.change import Change
from solver.errors import NotSolvableError
from solver.results import Results
from solver.solve import solve

#: Speeds at which the curve is found, as shares of the present one.
SHARES = (0.25, 0.5, 0.7, 0.85, 1.15, 1.3)
#: Highest speed a pump may be set to [%].
_HIGHEST_SPEED = 150.0


class CurvePoint(NamedTuple):
    """A flow through the pump and the head the loop asks there."""

    flow_L_s: float
    head_m: float


def system_curve(results: Results, pump: str, shares: Sequence[float] = SHARES) -> tuple[CurvePoint, ...]:
    """Return points of the system curve that a pump meets, in order of flow.

    Parameters
    ----------
    results : Results
        A solve of the vessel; its duty point is one of the points.
    pump : str
        Tag of a pump.
    shares : sequence of float
        Speeds to solve at, as shares of the present speed.  A speed at which the loop has no answer
        is left out.

    Returns
    -------
    tuple of CurvePoint
        Empty if the pump stands still, is not in the results, or moves no water.
    """
    duty = results.pumps.get(pump)
    if duty is None or duty.speed_percent <= 0 or duty.flow_L_s <= 0:
        return ()
    points = {CurvePoint(duty.flow_L_s, duty.head_m)}
    for share in shares:
        speed = duty.speed_percent * share
        if speed > _HIGHEST_SPEED:
            continue
        try:
            other = solve(
                results.vessel, changes=(Change(pump, "speed_percent", speed),), warm_start=results
            ).pumps[pump]
        except NotSolvableError:
            continue
        if other.flow_L_s > 0:
            points.add(CurvePoint(other.flow_L_s, other.head_m))
    return tuple(sorted(points))
