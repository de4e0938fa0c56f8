# SPDX-License-Identifier: MIT
"""Temperatures and cabins: after an edit, and a ship of 4,000 cabins."""

from __future__ import annotations

from functools import partial
from pathlib import Path

import numpy as np

from solver.change import Change
from solver.results import Results
from solver.solve import solve
from solver.vessel.changes import apply
from solver.vessel.components import RegulatingValve
from solver.vessel.file import read_vessel
from solver.vessel.samples import ship
from tests.benchmarks.timing import Row, median, once, shown

_SAMPLE = Path(__file__).parents[2] / "sample_vessels" / "motor_yacht_27m.farcabin"


def rows() -> list[Row]:
    """Return the rows of temperatures."""
    return [*after_an_edit(), *a_ship()]


def after_an_edit() -> list[Row]:
    """One valve of the 27 m sample turned, from the results before: flows alone, and with temperatures."""
    vessel = read_vessel(_SAMPLE)
    results = solve(vessel, heat=True)
    valve = next(part.tag for part in vessel.components if isinstance(part, RegulatingValve))
    settings = iter(np.linspace(0.8, 1.0, 100_000))

    def edit(heat: bool) -> Results:
        changed = apply(vessel, [Change(valve, "setting", float(next(settings)), "scale")])
        return solve(changed, warm_start=results, heat=heat)

    flows, both = median(partial(edit, False)), median(partial(edit, True))
    return [
        Row(
            f"edited vessel to figures with temperatures and cabins, {len(results.links)} links",
            shown(both),
            "30 ms",
            f"{both / flows:.1f} x flows alone",
        )
    ]


def a_ship() -> list[Row]:
    """A ship from its vessel, cold."""
    vessel = ship(4000)
    flows = once(partial(solve, vessel))
    both = once(partial(solve, vessel, heat=True))
    return [
        Row(
            "ship of 4000 cabins with temperatures, cold",
            shown(both),
            "",
            f"{both / flows:.1f} x flows alone",
        )
    ]
