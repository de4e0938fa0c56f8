# SPDX-License-Identifier: MIT
"""Flow arrows: one per run, on its longest leg, longer with speed, pointing where the water goes.

Pure, no Qt.
"""

from __future__ import annotations

from typing import NamedTuple

from solver.vessel.fields import Point

#: Length of an arrow at rest and at ``_FAST`` and above [units].
_SHORT, _LONG = 6.0, 16.0
_FAST_M_S = 2.0
#: Flow below which there is no arrow [L/s].
STILL_L_S = 1e-5
#: Straight pipe that must stay free before and behind an arrow [units].
_CLEAR = 2.0


class Arrow(NamedTuple):
    """A filled triangle: its tip and the two corners behind it."""

    tip: Point
    left: Point
    right: Point


def arrow(
    leg: tuple[Point, Point],
    flow_L_s: float,
    velocity_m_s: float | None,
    width: float,
    drift: float = 0.0,
) -> Arrow | None:
    """Return the arrow on a leg, None where the water stands or the leg is too short.

    Parameters
    ----------
    leg : pair of (x, y)
        Positive flow goes from the first to the second.
    flow_L_s : float
    velocity_m_s : float or None
        Its size counts; None draws the shortest arrow.
    width : float
        Width of the run's line [units].
    drift : float
        How far an arrow at 1 m/s has gone from the middle of its leg [units]; it starts again at the end.
    """
    if abs(flow_L_s) < STILL_L_S:
        return None
    (ax, ay), (bx, by) = leg if flow_L_s > 0 else (leg[1], leg[0])
    along = abs(bx - ax) + abs(by - ay)
    speed = min(abs(velocity_m_s or 0.0) / _FAST_M_S, 1.0)
    length = min(_SHORT + (_LONG - _SHORT) * speed, along - 2 * _CLEAR)
    if length < _SHORT * 0.75:
        return None
    dx, dy = (bx - ax) / along, (by - ay) / along
    free = along - length - 2 * _CLEAR
    back = _CLEAR + (free / 2 + drift * abs(velocity_m_s or 0.0)) % max(free, 1e-9)
    half = 2.6 + width / 2
    x, y = ax + dx * back, ay + dy * back
    return Arrow(
        (x + dx * length, y + dy * length),
        (x - dy * half, y + dx * half),
        (x + dy * half, y - dx * half),
    )
