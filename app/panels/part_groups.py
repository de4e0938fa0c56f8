# SPDX-License-Identifier: MIT
"""What the parts tray lists, under which headings."""

from __future__ import annotations

from app.translation import tr


def groups() -> dict[str, tuple[str, ...]]:
    """Return heading -> kinds, in the order of the tray."""
    return {
        tr("Plant"): (
            "chiller",
            "circulation_pump",
            "expansion_vessel",
            "air_separator",
            "buffer_tank",
            "fill_point",
        ),
        tr("Air handlers"): ("air_handler",),
        tr("Valves"): (
            "isolating_valve",
            "regulating_valve",
            "two_way_valve",
            "three_way_valve",
            "constant_flow_valve",
            "differential_bypass",
            "check_valve",
        ),
        tr("Pipe line parts"): ("tee", "manifold", "strainer", "flexible_hose", "air_vent", "drain"),
        tr("Sea water"): ("through_hull", "sea_water_pump", "overboard"),
        tr("Gauges"): ("pressure_gauge", "temperature_gauge", "flow_meter"),
    }


def tool_names() -> dict[str, str]:
    """Return tool that places several parts at once -> its name."""
    return {
        "branch": tr("Whole branch"),
        "cabins": tr("Cabin branches"),
        "pair": tr("Supply and return"),
        "mirror": tr("Return main"),
    }
