# SPDX-License-Identifier: MIT
"""Equipment of the sample vessels: invented figures of plausible size, of no maker.

Water flow is that of 5.6 K between supply and return (water's specific heat): 2.58 L/min per kW.
"""

from __future__ import annotations

from typing import Any

from solver.vessel.components import KvPoint, PumpPoint

#: Water flow that carries one kilowatt at 5.6 K [L/s].
FLOW_PER_KW = 2.58 / 60.0

#: Kv of regulating valves, wide open, by nominal size [m3/h].
FULL_KV = {15: 2.4, 20: 4.9, 25: 8.0, 32: 13.5, 40: 19.5, 50: 32.0, 65: 68.0, 80: 105.0, 100: 170.0}
_TURNS = (0.1, 0.5, 1.0, 1.5, 2.0, 2.5, 3.0, 4.0)
_SHARE_OF_FULL = (0.02, 0.07, 0.14, 0.24, 0.38, 0.55, 0.73, 1.0)

#: Head of a pump as a share of the head at its best flow: at no flow, and its fall with the square.
_SHUT_OFF = 1.28
_PUMP_POINTS = (0.0, 0.3, 0.6, 0.8, 1.0, 1.2, 1.5)


def kv_table(size: int) -> tuple[KvPoint, ...]:
    """Return Kv against turns of the handwheel of a regulating valve of nominal ``size``."""
    full = FULL_KV[size]
    return tuple(
        KvPoint(turns, round(full * share, 3)) for turns, share in zip(_TURNS, _SHARE_OF_FULL, strict=True)
    )


def regulating(size: int, turns: float) -> dict[str, Any]:
    """Return a regulating valve's fields."""
    return {"kv_table": kv_table(size), "setting": turns}


def turns_for(size: int, kv: float) -> float:
    """Return the setting of a regulating valve for a Kv [m3/h], to a tenth of a turn."""
    wanted = kv / FULL_KV[size]
    points = list(zip(_TURNS, _SHARE_OF_FULL, strict=True))
    for (turns_1, share_1), (turns_2, share_2) in zip(points, points[1:], strict=False):
        if wanted <= share_2:
            part = max(0.0, (wanted - share_1) / (share_2 - share_1))
            return round(turns_1 + part * (turns_2 - turns_1), 1)
    return _TURNS[-1]


def pump_curve(
    best_flow_L_s: float, head_m: float, efficiency_percent: float, npsh_required_m: float
) -> tuple[PumpPoint, ...]:
    """Return a pump's curve from its flow, head, efficiency and NPSH required at best efficiency."""
    return tuple(
        PumpPoint(
            flow_L_s=round(best_flow_L_s * share, 3),
            head_m=round(head_m * (_SHUT_OFF - (_SHUT_OFF - 1.0) * share**2), 2),
            efficiency_percent=round(efficiency_percent * (1.0 - (1.0 - share) ** 2), 1),
            npsh_required_m=round(npsh_required_m * (0.6 + 0.4 * share**2), 2),
        )
        for share in _PUMP_POINTS
    )


def air_handler(capacity_kW: float, drop_kPa: float) -> dict[str, Any]:
    """Return an air handler's fields; its design flow is its rated flow."""
    flow = round(capacity_kW * FLOW_PER_KW, 4)
    return {
        "design_flow_L_s": flow,
        "rated_flow_L_s": flow,
        "rated_drop_kPa": drop_kPa,
        "capacity_total_kW": capacity_kW,
        "capacity_sensible_kW": round(0.74 * capacity_kW, 2),
    }


def chiller(
    capacity_kW: float, flow_L_s: float, drop_kPa: float, sea_flow_L_s: float, sea_drop_kPa: float
) -> dict[str, Any]:
    """Return the fields of a chiller with a compressor of variable speed.

    It trips below 60 % of its rated flow (common practice).
    """
    return {
        "capacity_kW": capacity_kW,
        "design_flow_L_s": flow_L_s,
        "rated_flow_L_s": flow_L_s,
        "rated_drop_kPa": drop_kPa,
        "minimum_flow_L_s": round(0.6 * flow_L_s, 3),
        "sea_rated_flow_L_s": sea_flow_L_s,
        "sea_rated_drop_kPa": sea_drop_kPa,
        "set_point_C": 7.0,
        "turn_down_percent": 25.0,
        "dead_band_K": 3.0,
    }
