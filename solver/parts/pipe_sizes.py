# SPDX-License-Identifier: MIT
"""Pipe series and their sizes, from the tables in ``data/pipe_sizes/``.

Each table is one series: its material, roughness and source stand in comment lines on top, then
one row a size.  Bore, content and mass follow from outside diameter, wall and density.
"""

from __future__ import annotations

import csv
import math
from collections.abc import Sequence
from difflib import get_close_matches
from functools import cache
from pathlib import Path
from typing import NamedTuple

from solver.errors import PartError

_DATA = Path(__file__).parent / "data" / "pipe_sizes"

#: The series that ship, in the order they are offered.
SERIES = (
    "copper_en1057_thin",
    "copper_en1057_thick",
    "copper_en1057_continental",
    "copper_b88_l",
    "copper_b88_k",
    "multilayer",
    "pex_s5",
    "pex_s3_2",
    "ppr_s5",
    "ppr_s3_2",
    "ppr_s2_5",
    "stainless_iso1127",
    "stainless_10s",
    "stainless_40s",
    "steel_40",
    "pvc_80",
    "cpvc_80",
    "cu_ni_90_10",
    "rubber_hose",
)


class PipeSize(NamedTuple):
    """One size of a series.

    ``size`` is the name used in the vessel file.  ``roughness_mm`` and ``conductivity_W_mK`` are the
    series'.  ``mass_kg_m`` is of the empty pipe, None where the wall is of several materials.
    """

    series: str
    size: str
    outside_mm: float
    wall_mm: float
    bore_mm: float
    roughness_mm: float
    conductivity_W_mK: float
    content_L_m: float
    mass_kg_m: float | None


class PipeSeries(NamedTuple):
    """A series of pipe.

    ``source`` is where the sizes come from, ``from_memory`` what of the table was recalled and not
    read in a source, ``notes`` what else is worth knowing.
    """

    id: str
    name: str
    material: str
    source: str
    from_memory: str
    roughness_mm: float
    roughness_source: str
    conductivity_W_mK: float
    density_kg_m3: float | None
    notes: tuple[str, ...]
    sizes: tuple[PipeSize, ...]


class _Tables(NamedTuple):
    series: dict[str, PipeSeries]
    sizes: dict[tuple[str, str], PipeSize]


def series() -> tuple[PipeSeries, ...]:
    """Return all series, in the order they are offered."""
    return tuple(_tables().series.values())


def pipe_series(series_id: str) -> PipeSeries:
    """Return a series by its id.

    Raises
    ------
    PartError
        If there is no such series; the nearest is named.

    Examples
    --------
    >>> pipe_series("rubber_hose").name
    'Rubber hose, by inside diameter'
    """
    try:
        return _tables().series[series_id]
    except KeyError:
        near = get_close_matches(series_id, SERIES, n=1)
        hint = f"{near[0]}? " if near else ""
        raise PartError(
            f'unknown pipe series "{series_id}"; accepted: {hint}one of {", ".join(SERIES)}'
        ) from None


def pipe_size(series_id: str, size: str) -> PipeSize:
    """Return a size of a series.

    Raises
    ------
    PartError
        If there is no such series or size; the nearest are named.

    Examples
    --------
    >>> pipe_size("copper_en1057_thin", "22x0.9").bore_mm
    20.2
    """
    try:
        return _tables().sizes[series_id, size]
    except KeyError:
        found = pipe_series(series_id)
        names = [each.size for each in found.sizes]
        near = _nearest(size, names)
        hint = f"nearest {', '.join(near)}; " if near else ""
        raise PartError(f'{series_id} has no size "{size}"; accepted: {hint}all {", ".join(names)}') from None


def next_size(series_id: str, size: str, steps: int = 1) -> PipeSize:
    """Return the size so many outside diameters larger, or smaller if ``steps`` is negative.

    Where an outside diameter comes with several walls, the wall nearest to the present one is taken.

    Raises
    ------
    PartError
        If there is no such series or size, or the series ends before.

    Examples
    --------
    >>> next_size("copper_b88_l", "3/4").size
    '1'
    """
    present = pipe_size(series_id, size)
    sizes = pipe_series(series_id).sizes
    diameters = sorted({each.outside_mm for each in sizes})
    place = diameters.index(present.outside_mm) + steps
    if not 0 <= place < len(diameters):
        last = diameters[-1] if steps > 0 else diameters[0]
        names = " and ".join(each.size for each in sizes if each.outside_mm == last)
        way = "up" if steps > 0 else "down"
        raise PartError(f"{series_id} {size} cannot go {abs(steps)} {way}; accepted: as far as {names}")
    choices = [each for each in sizes if each.outside_mm == diameters[place]]
    return min(choices, key=lambda each: abs(each.wall_mm - present.wall_mm))


@cache
def _tables() -> _Tables:
    found = {name: _read(name) for name in SERIES}
    return _Tables(
        found, {(name, size.size): size for name, series in found.items() for size in series.sizes}
    )


def _read(series_id: str) -> PipeSeries:
    """Read one table; ``# key: value`` lines on top describe the series."""
    lines = (_DATA / f"{series_id}.csv").read_text(encoding="utf-8").splitlines()
    comments = [line[1:].strip().partition(": ") for line in lines if line.startswith("#")]
    about = {key: value for key, _, value in comments}
    roughness = float(about["roughness_mm"])
    conductivity = float(about["conductivity_W_mK"])
    density = None if about["density_kg_m3"] == "none" else float(about["density_kg_m3"])
    sizes = []
    for row in csv.DictReader(line for line in lines if not line.startswith("#")):
        outside, wall = float(row["outside_mm"]), float(row["wall_mm"])
        bore = round(outside - 2.0 * wall, 6)
        mass = None if density is None else density * math.pi / 4e6 * (outside**2 - bore**2)
        content = math.pi / 4e3 * bore**2
        sizes.append(
            PipeSize(series_id, row["size"], outside, wall, bore, roughness, conductivity, content, mass)
        )
    return PipeSeries(
        id=series_id,
        name=about["name"],
        material=about["material"],
        source=about["source"],
        from_memory=about["from memory"],
        roughness_mm=roughness,
        roughness_source=about["roughness source"],
        conductivity_W_mK=conductivity,
        density_kg_m3=density,
        notes=tuple(value for key, _, value in comments if key == "note"),
        sizes=tuple(sizes),
    )


def _nearest(size: str, names: Sequence[str]) -> list[str]:
    """Return up to three names that begin with the nearest number, nearest first."""
    wanted = leading_number(size)
    if wanted is None:
        return []
    numbers = {name: leading_number(name) or 0.0 for name in names}
    return sorted(names, key=lambda name: abs(numbers[name] - wanted))[:3]


def leading_number(size: str) -> float | None:
    """Return the number a size's name begins with: 22 of ``22x0.9``, 1.25 of ``1 1/4``; None without one."""
    total = None
    for word in size.lower().replace("mm", "").replace('"', "").split("x")[0].split():
        above, slash, below = word.partition("/")
        try:
            value = float(above) / float(below) if slash else float(above)
        except (ValueError, ZeroDivisionError):
            return None
        if not math.isfinite(value):
            return None
        total = value if total is None else total + value
    return total
