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
