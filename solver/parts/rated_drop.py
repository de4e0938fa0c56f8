# SPDX-License-Identifier: MIT
"""Pressure drop of coils and heat exchangers from a rated point or from measured points.

dp = dp_rated * (Q/Q_rated)**n, with n = 1.8 unless given.  In another liquid the drop goes with
density**(n - 1) * viscosity**(2 - n) at the same volume flow, since a drop of exponent n means a
friction factor that goes with Re**(n - 2).
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from math import exp, log

from solver.errors import PartError

#: Water at 10 degC, in which drops are rated (IAPWS R6-95, R12-08).
RATED_DENSITY = 999.7
RATED_VISCOSITY = 1.306e-3


@lru_cache(maxsize=4096)
def power_law(
    rated_flow_L_s: float,
    rated_drop_kPa: float,
    exponent: float,
    points: Sequence[tuple[float, float]] = (),
) -> tuple[float, float]:
    """Return (c, n) of dp = c * Q**n in rated water, Q in m3/s and dp in Pa.

    Two or more ``points`` (L/s, kPa) replace the rated point: a straight line through their
    logarithms by least squares, its slope held between 1 and 2.

    Raises
    ------
    PartError
        All points at one flow.
    """
    if len(points) < 2:
        return rated_drop_kPa * 1e3 / (rated_flow_L_s * 1e-3) ** exponent, exponent
    logs = [(log(flow * 1e-3), log(drop * 1e3)) for flow, drop in points]
    mean_x = sum(x for x, _ in logs) / len(logs)
    mean_y = sum(y for _, y in logs) / len(logs)
    spread = sum((x - mean_x) ** 2 for x, _ in logs)
    if spread == 0.0:
        raise PartError("the points of a pressure drop must not all be at one flow")
    slope = sum((x - mean_x) * (y - mean_y) for x, y in logs) / spread
    slope = min(max(slope, 1.0), 2.0)
    return exp(mean_y - slope * mean_x), slope


def in_liquid(coefficient: float, exponent: float, density: float, viscosity: float) -> float:
    """Return c of dp = c * flow**n for a liquid, with the flow in kg/s.

    Parameters
    ----------
    coefficient, exponent : float
        From :func:`power_law`.
    density, viscosity : float [kg/m3, Pa s]
    """
    factor = (density / RATED_DENSITY) ** (exponent - 1.0) * (viscosity / RATED_VISCOSITY) ** (2.0 - exponent)
    return float(coefficient * factor / density**exponent)
