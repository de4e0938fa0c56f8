# SPDX-License-Identifier: MIT
"""Heat loads of a ship of 4,000 cabins: at an hour, and through a day."""

from __future__ import annotations

from solver.heat.cabin_load import room_loads
from solver.heat.day import day_loads
from solver.vessel.samples import ship
from tests.benchmarks.timing import Row, median, shown

_CABINS = 4_000


def rows() -> list[Row]:
    """Return the rows of heat loads."""
    vessel = ship(_CABINS)
    hour = median(lambda: room_loads(vessel))
    day = median(lambda: day_loads(vessel))
    return [
        Row(f"room loads of {_CABINS} cabins", shown(hour), "50 ms"),
        Row(f"their loads through a day, {day / hour:.0f} times that", shown(day), "1 s"),
    ]
