# SPDX-License-Identifier: MIT
"""Valves: Kv against position, and what follows from Kv.

dp [bar] = (Q [m3/h] / Kv)**2 * density/1000 (IEC 60534-2-1).  Inherent characteristics of control
valves: linear Kv = Kvs * h, equal percentage Kv = Kvs * R**(h - 1) (IEC 60534-2-4); both are taken
to shut tight at h = 0.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from math import pi
from typing import Literal

import numpy as np

from solver.errors import PartError
from solver.parts.curves import Curve, monotone_curve

#: Pressure drop [Pa] of 1 kg/s through Kv 1 in a liquid of 1 kg/m3: 1e5 Pa * 3600**2 / 1000.
KV_SQUARE = 1.296e9


def drop_at_kv(flow: float, kv: float, density: float) -> float:
    """Return the pressure drop [Pa] of ``flow`` [kg/s] through ``kv`` [m3/h]."""
    return KV_SQUARE * flow * abs(flow) / (density * kv**2)


def kv_for(flow: float, drop: float, density: float) -> float:
    """Return the Kv [m3/h] that takes ``drop`` [Pa] at ``flow`` [kg/s]."""
    return float(abs(flow) * (KV_SQUARE / (density * drop)) ** 0.5)


def kv_to_k(kv: float, bore: float) -> float:
    """Return the loss coefficient K on the velocity head in ``bore`` [m] of a valve of ``kv`` [m3/h].

    Source: the two definitions set equal, K = 2 * 1e5 * A**2 * 3600**2 / (1000 * Kv**2).
    """
    area = pi * bore**2 / 4
    return 2.0 * KV_SQUARE * area**2 / kv**2


def control_valve_kv(
    kvs: float,
    position: float,
    characteristic: Literal["linear", "equal_percentage"],
    rangeability: float = 50.0,
) -> float:
    """Return Kv [m3/h] at ``position`` (0 shut, 1 open)."""
    if position <= 0.0:
        return 0.0
    if characteristic == "linear":
        return kvs * min(position, 1.0)
    return float(kvs * rangeability ** (min(position, 1.0) - 1.0))


@lru_cache(maxsize=1024)
def _table_curve(table: tuple[tuple[float, float], ...]) -> Curve:
    settings, kvs = zip(*table, strict=True)
    if len(table) < 2 or (np.diff(settings) <= 0).any() or (np.diff(kvs) < 0).any():
        raise PartError("a Kv table needs two or more rows with rising settings and Kv that does not fall")
    return monotone_curve(settings, kvs)


@lru_cache(maxsize=65536)
def regulating_valve_kv(table: tuple[tuple[float, float], ...], setting: float) -> float:
    """Return Kv [m3/h] at a handwheel setting, monotone between the table's rows.

    Below a table that starts above 0 the Kv falls in proportion to 0 at setting 0.

    Raises
    ------
    PartError
        The table does not rise.
    """
    first_setting, first_kv = table[0]
    if setting < first_setting:
        return first_kv * setting / first_setting
    return float(_table_curve(table)(setting)[0])


def setting_for_kv(table: Sequence[tuple[float, float]], kv: float) -> float:
    """Return the handwheel setting at which a valve has ``kv`` [m3/h], held within its table.

    Found by halving, since the curve between rows is a cubic.
    """
    rows = tuple((float(a), float(b)) for a, b in table)
    low, high = rows[0][0], rows[-1][0]
    if kv <= rows[0][1]:
        return low
    if kv >= rows[-1][1]:
        return high
    for _ in range(60):
        middle = 0.5 * (low + high)
        if regulating_valve_kv(rows, middle) < kv:
            low = middle
        else:
            high = middle
    return 0.5 * (low + high)


def throttled_kv(kv: float, opening: float) -> float:
    """Return Kv [m3/h] of an isolating valve of full-open ``kv`` at ``opening`` (0 shut, 1 open).

    Equal percentage with a rangeability of 50, shut tight at 0: about how a ball, gate or butterfly
    valve behaves when it is left part open (common practice).
    """
    return control_valve_kv(kv, opening, "equal_percentage", 50.0)
