# SPDX-License-Identifier: MIT
"""Round figures along an axis."""

from __future__ import annotations

import math
from typing import NamedTuple


class Scale(NamedTuple):
    """An axis from ``low`` to ``high`` with its ticks and their texts."""

    low: float
    high: float
    ticks: tuple[float, ...]
    texts: tuple[str, ...]


def fitted_scale(lowest: float, highest: float, most_ticks: int) -> Scale:
    """Return an axis with round ends about ``lowest`` to ``highest``, which need not be near 0.

    Examples
    --------
    >>> fitted_scale(147.0, 208.0, 5).texts
    ('140', '160', '180', '200', '220')
    """
    if not (math.isfinite(lowest) and math.isfinite(highest)):
        lowest, highest = 0.0, 1.0
    spread = max(highest - lowest, 1e-9 * max(1.0, abs(highest)))
    power = 10.0 ** math.floor(math.log10(spread / max(2, most_ticks - 1)))
    for factor in (1, 2, 5, 10, 20):
        step = factor * power
        first, last = math.floor(lowest / step + 1e-9), math.ceil(highest / step - 1e-9)
        if last - first < max(2, most_ticks):
            break
    last = max(last, first + 1)
    ticks = tuple(index * step for index in range(first, last + 1))
    decimals = max(0, -math.floor(math.log10(step) + 1e-9))
    return Scale(ticks[0], ticks[-1], ticks, tuple(f"{tick:.{decimals}f}" for tick in ticks))


def decades_scale(lowest: float, highest: float) -> Scale:
    """Return an axis of powers of ten for values that are logarithms; its texts are the powers."""
    first, last = math.floor(lowest), max(math.ceil(highest), math.floor(lowest) + 1)
    every = max(1, round((last - first) / 5))
    ticks = tuple(float(power) for power in range(first, last + 1, every))
    return Scale(float(first), float(last), ticks, tuple(f"1e{power:.0f}" for power in ticks))


def hours_scale(most_ticks: int) -> Scale:
    """Return an axis of the hours of a day with ticks that divide it.

    Examples
    --------
    >>> hours_scale(10).texts
    ('0', '3', '6', '9', '12', '15', '18', '21', '24')
    """
    step = next((step for step in (1, 2, 3, 4, 6) if 24 // step < max(5, most_ticks)), 6)
    ticks = tuple(float(hour) for hour in range(0, 25, step))
    return Scale(0.0, 24.0, ticks, tuple(f"{tick:.0f}" for tick in ticks))


def nice_scale(highest: float, most_ticks: int) -> Scale:
    """Return an axis from 0 to ``highest`` with steps of 1, 2 or 5 times a power of ten.

    Examples
    --------
    >>> nice_scale(47.0, 6).texts
    ('0', '10', '20', '30', '40')
    """
    highest = highest if math.isfinite(highest) and highest > 0 else 1.0
    wanted = highest / max(2, most_ticks - 1)
    power = 10.0 ** math.floor(math.log10(wanted))
    step = next(factor * power for factor in (1, 2, 5, 10) if factor * power >= wanted * (1 - 1e-9))
    count = math.floor(highest / step + 1e-9)
    ticks = tuple(index * step for index in range(count + 1))
    decimals = max(0, -math.floor(math.log10(step) + 1e-9))
    return Scale(0.0, highest, ticks, tuple(f"{tick:.{decimals}f}" for tick in ticks))
