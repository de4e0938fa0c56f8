# SPDX-License-Identifier: MIT
"""Heat loads of a ship of 4,000 cabins, at an hour and through a day; a day of pull-down."""

from __future__ import annotations

from solver.heat.cabin_load import room_loads
from solver.heat.day import day_loads
from solver.heat.pull_down import Span, pull_down
from solver.solve import solve
from solver.vessel.samples import motor_yacht_27m, ship
from tests.benchmarks.timing import Row, median, shown

_CABINS = 4_000


def rows() -> list[Row]:
    """Return the rows of heat loads."""
    vessel = ship(_CABINS)
    hour = median(lambda: room_loads(vessel))
    day = median(lambda: day_loads(vessel))
    results = solve(motor_yacht_27m(), heat=True)
    pulled = median(lambda: pull_down(results, Span(24.0, 1.0, starts_at_hour=6.0)))
    return [
        Row(f"room loads of {_CABINS} cabins", shown(hour), "50 ms"),
        Row(f"their loads through a day, {day / hour:.0f} times that", shown(day), "1 s"),
        Row("24 h of the 27 m sample in steps of 1 min", shown(pulled), "5 s"),
    ]
