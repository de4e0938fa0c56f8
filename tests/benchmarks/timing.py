# SPDX-License-Identifier: MIT
"""Medians of repeated runs, and rows of the benchmarks' table."""

from __future__ import annotations

import statistics
import time
from collections.abc import Callable
from typing import NamedTuple


class Row(NamedTuple):
    """One line: what was measured, the figure, the figure to reach, and a ratio measured beside it."""

    name: str
    figure: str
    to_reach: str = ""
    ratio: str = ""


def median(work: Callable[[], object], seconds: float = 1.0, least: int = 5) -> float:
    """Return the median time of ``work`` [s], after one run that does not count."""
    work()
    times: list[float] = []
    until = time.perf_counter() + seconds
    while len(times) < least or time.perf_counter() < until:
        start = time.perf_counter()
        work()
        times.append(time.perf_counter() - start)
    return statistics.median(times)


def once(work: Callable[[], object]) -> float:
    """Return the time of one run [s]."""
    start = time.perf_counter()
    work()
    return time.perf_counter() - start


def shown(seconds: float) -> str:
    """Return a time in words a table can hold."""
    return f"{seconds * 1e3:.3g} ms" if seconds < 1 else f"{seconds:.3g} s"


def table(title: str, rows: list[Row]) -> str:
    """Return rows as a text table."""
    cells = [("measured", "figure", "to reach", "ratio"), *[tuple(row) for row in rows]]
    widths = [max(len(row[column]) for row in cells) for column in range(4)]
    lines = ["  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)) for row in cells]
    return "\n".join([title, "-" * len(title), *[line.rstrip() for line in lines], ""])
