# SPDX-License-Identifier: MIT
"""Pump curves: head, efficiency and NPSH required against flow, and their change with speed.

A monotone curve through the given points.  Before its first point (reverse flow) and past its last
one it goes on with value and slope and a square term, so that a pump dead-headed, run out, stopped
or driven backwards always has one head.  A curve with a hump is replaced by the highest falling
curve below it, since a hump lets parallel pumps have several answers.

Affinity laws: at speed ratio n, head = n**2 H(Q/n), power = n**3 P(Q/n); efficiency goes with Q/n
(Crane TP-410, 2013, chapter 7).  The square term past the ends is common practice: the resistance
of a stopped pump is that of its shut-off head at its last flow.
"""

from __future__ import annotations

from functools import cached_property

import numpy as np
from numpy.typing import ArrayLike, NDArray

from solver.errors import PartError
from solver.parts.curves import Curve, monotone_curve, monotone_pieces

Array = NDArray[np.float64]

#: Fall of head that is kept between two points, as a share of shut-off head over the whole range.
_LEAST_FALL = 1e-5
_LEAST_END_SLOPE = 0.05


class PumpCurve:
    """Head against flow at rated speed, with efficiency and NPSH required where known.

    Parameters
    ----------
    flow : array, shape (points,) [m3/s]
        Strictly increasing, first value >= 0, at least 3 points.
    head : array, shape (points,) [m]
        Metres of the liquid pumped.
    efficiency : array, shape (points,), optional [-]
    npsh_required : array, shape (points,), optional [m]

    Attributes
    ----------
    humped : bool
        Whether the given points had a hump that was cut off.

    Raises
    ------
    PartError
        Too few points, flows not increasing, or no head at the first point.
    """

    def __init__(
        self,
        flow: ArrayLike,
        head: ArrayLike,
        efficiency: ArrayLike | None = None,
        npsh_required: ArrayLike | None = None,
    ):
        self.flow = np.asarray(flow, dtype=float)
        self.given_head = np.asarray(head, dtype=float)
        self._check()
        self.head_points, self.humped = _falling(self.flow, self.given_head)
        self.efficiency = None if efficiency is None else np.asarray(efficiency, dtype=float)
        self.npsh_required = None if npsh_required is None else np.asarray(npsh_required, dtype=float)
        #: Square term past both ends [m/(m3/s)2], and the resistance of the stopped pump.
        self.square = float(self.head_points[0] / self.flow[-1] ** 2)
        self.head_curve = self._through_points()

    def _check(self) -> None:
        if len(self.flow) < 3 or len(self.flow) != len(self.given_head):
            raise PartError(f"a pump curve needs at least 3 points of flow and head; found {len(self.flow)}")
        if not (np.isfinite(self.flow).all() and np.isfinite(self.given_head).all()):
            raise PartError("a pump curve has a point that is not a finite number")
        if self.flow[0] < 0 or (np.diff(self.flow) <= 0).any():
            raise PartError("the flows of a pump curve must rise from point to point, from 0 or more")
        if self.given_head[0] <= 0:
            raise PartError(
                f"a pump's head at its first point must be above 0; found {self.given_head[0]:g} m"
            )

    @classmethod
    def quadratic(cls, shut_off_head: float, fall: float, last_flow: float) -> PumpCurve:
        """Return the exact curve head = shut_off_head - fall * flow**2 up to ``last_flow`` [m, m3/s]."""
        flow = np.linspace(0.0, last_flow, 3)
        curve = cls(flow, shut_off_head - fall * flow**2)
        curve.square = fall
        curve.head_curve = Curve(
            [0.0], [[shut_off_head, 0.0, fall, 0.0], [shut_off_head, 0.0, -fall, 0.0]], [0.0, 0.0]
        )
        return curve

    def _through_points(self) -> Curve:
        x, y = self.flow, self.head_points
        inner, slopes = monotone_pieces(x, y, _LEAST_END_SLOPE)
        reverse = [y[0], slopes[0], self.square, 0.0]
        beyond = [y[-1], slopes[-1], -self.square, 0.0]
        return Curve(x, np.vstack([reverse, inner, beyond]), np.concatenate([[x[0]], x[:-1], [x[-1]]]))

    @cached_property
    def _efficiency_curve(self) -> Curve | None:
        return None if self.efficiency is None else monotone_curve(self.flow, self.efficiency)

    @cached_property
    def _npsh_curve(self) -> Curve | None:
        return None if self.npsh_required is None else monotone_curve(self.flow, self.npsh_required)

    @property
    def last_flow(self) -> float:
        """The last point's flow at rated speed [m3/s]."""
        return float(self.flow[-1])

    @cached_property
    def best_flow(self) -> float | None:
        """Flow of best efficiency at rated speed [m3/s], None if no efficiency is known."""
        if self._efficiency_curve is None:
            return None
        flows = np.linspace(self.flow[0], self.flow[-1], 401)
        return float(flows[np.argmax(self._efficiency_curve(flows)[0])])

    def head(self, flow: float, speed: float = 1.0) -> float:
        """Return head [m] at ``flow`` [m3/s] and ``speed`` (ratio to rated)."""
        if speed < SMALLEST_SPEED:
            return -self.square * flow * abs(flow)
        return float(speed**2 * self.head_curve(flow / speed)[0])

    def efficiency_at(self, flow: float, speed: float = 1.0) -> float | None:
        """Return the hydraulic efficiency [-], None if not known or the pump does not run."""
        if self._efficiency_curve is None or speed < SMALLEST_SPEED or flow <= 0:
            return None
        return float(self._efficiency_curve(flow / speed)[0])

    def npsh_required_at(self, flow: float, speed: float = 1.0) -> float | None:
        """Return NPSH required [m], which goes with the square of speed; None if not known."""
        if self._npsh_curve is None or speed < SMALLEST_SPEED:
            return None
        return float(speed**2 * self._npsh_curve(max(flow, 0.0) / speed)[0])


#: Speed ratio below which a pump counts as stopped.
SMALLEST_SPEED = 1e-6


def _falling(flow: Array, head: Array) -> tuple[Array, bool]:
    """Return heads that fall from point to point, and whether the given ones did not."""
    falling = np.minimum.accumulate(head)
    humped = bool((falling < head).any())
    least = _LEAST_FALL * head[0] * np.diff(flow) / (flow[-1] - flow[0])
    for index, fall in enumerate(least, start=1):
        falling[index] = min(falling[index], falling[index - 1] - fall)
    return falling, humped
