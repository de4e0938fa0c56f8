# SPDX-License-Identifier: MIT
"""A rule of thumb for pipe sizes: the smallest of a series within a friction rate and a velocity."""

from __future__ import annotations

from functools import cache
from math import pi
from typing import NamedTuple

from solver.parts.pipe_sizes import pipe_series, pipe_size

#: Chilled water of about 9.5 degC [kg/m3], [m2/s].
_DENSITY = 999.7
_VISCOSITY = 1.32e-6


def loss_per_metre(flow_L_s: float, bore_mm: float) -> float:
    """Return a smooth pipe's friction [Pa/m] by Blasius' law, f = 0.3164 Re^-0.25."""
    bore = bore_mm / 1000.0
    speed = velocity(flow_L_s, bore_mm)
    reynolds = max(speed * bore / _VISCOSITY, 1.0)
    return float(0.3164 * reynolds**-0.25 / bore * _DENSITY * speed**2 / 2.0)


def velocity(flow_L_s: float, bore_mm: float) -> float:
    """Return the mean velocity [m/s]."""
    return float(flow_L_s / 1000.0 / (pi * (bore_mm / 1000.0) ** 2 / 4.0))


class SizeRule(NamedTuple):
    """Smallest size of ``series`` within both limits."""

    series: str
    loss_max_Pa_m: float = 250.0
    velocity_max_m_s: float = 1.3
    smallest_bore_mm: float = 0.0

    def size(self, flow_L_s: float) -> str:
        """Return the size for a flow, the largest of the series if none is large enough."""
        sizes = _by_bore(self.series)
        for size, bore in sizes:
            if (
                bore >= self.smallest_bore_mm
                and velocity(flow_L_s, bore) <= self.velocity_max_m_s
                and loss_per_metre(flow_L_s, bore) <= self.loss_max_Pa_m
            ):
                return size
        return sizes[-1][0]


@cache
def _by_bore(series: str) -> tuple[tuple[str, float], ...]:
    sizes = sorted(pipe_series(series).sizes, key=lambda size: size.bore_mm)
    return tuple((size.size, size.bore_mm) for size in sizes)


def bore_of(series: str, size: str) -> float:
    """Return the bore of a size [mm]."""
    return pipe_size(series, size).bore_mm
