# SPDX-License-Identifier: MIT
"""A run's pipe and its size as choices, each size with its bore."""

from __future__ import annotations

from collections.abc import Sequence

from app.translation import tr
from app.units import System, show
from solver.parts.pipe_sizes import pipe_series, series
from solver.vessel.edits import RunDefaults
from solver.vessel.run import Run


def series_choices() -> list[tuple[object, str]]:
    """Return (series, its name) of all series."""
    return [(each.id, each.name) for each in series()]


def size_choices(runs: Sequence[Run | RunDefaults], units: System) -> list[tuple[object, str]]:
    """Return (size, size with its bore) of the runs' series; empty where they have several."""
    used = {run.series for run in runs}
    if len(used) != 1:
        return []
    words = tr("{0} (bore {1})")
    return [
        (each.size, words.format(each.size, show(each.bore_mm, "bore", units)))
        for each in pipe_series(used.pop()).sizes
    ]
