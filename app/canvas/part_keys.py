# SPDX-License-Identifier: MIT
"""The single keys that take a tool or a part in hand while the canvas has the keyboard."""

from __future__ import annotations

#: Tool -> key.  R turns what is in hand.
TOOL_KEYS: dict[str, str] = {
    "arrange": "V",
    "join": "P",
    "room": "Shift+C",
    "branch": "B",
    "cabins": "Shift+B",
    "pair": "Shift+P",
    "mirror": "Shift+M",
    "bend": "Z",
}

#: Kind -> key; those of the tools are taken.
PART_KEYS: dict[str, str] = {
    "air_handler": "A",
    "chiller": "C",
    "circulation_pump": "U",
    "expansion_vessel": "E",
    "air_separator": "J",
    "buffer_tank": "O",
    "fill_point": "F",
    "isolating_valve": "I",
    "regulating_valve": "G",
    "two_way_valve": "2",
    "three_way_valve": "3",
    "constant_flow_valve": "N",
    "differential_bypass": "Y",
    "check_valve": "K",
    "tee": "T",
    "manifold": "M",
    "strainer": "S",
    "flexible_hose": "H",
    "air_vent": "X",
    "drain": "D",
    "through_hull": "L",
    "sea_water_pump": "W",
    "overboard": "Q",
    "pressure_gauge": "5",
    "temperature_gauge": "6",
    "flow_meter": "7",
}
