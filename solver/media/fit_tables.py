# SPDX-License-Identifier: MIT
"""Fit the tables of ``solver.media.liquid`` to CoolProp; run as ``python -m solver.media.fit_tables``.

CoolProp takes seconds to import, so the program never loads it: its values are kept as Chebyshev
coefficients in ``data/``.  This script, run by hand, makes those files, and prints how far each
table is from CoolProp between the points it was fitted at.
"""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any, NamedTuple

import numpy as np
from CoolProp.CoolProp import PropsSI
from numpy.polynomial import chebyshev
from numpy.typing import NDArray

DATA = Path(__file__).parent / "data"
ZERO_C = 273.15
PRESSURE = 101_325.0
#: CoolProp's letter for each property.  Viscosity is fitted by its logarithm.
LETTERS = {"density": "D", "viscosity": "V", "specific_heat": "C", "conductivity": "L"}


class Recipe(NamedTuple):
    """How one liquid is fitted: its name in CoolProp, the box of the table and the degrees used."""

    kind: str
    fluid: str
    source: str
    temp_C: tuple[float, float]
    share: tuple[float, float]
    temp_degree: int
    share_degree: int
    freezing_degree: int

    def name(self, share: float) -> str:
        """Return the fluid's name for CoolProp at this mass share."""
        return f"INCOMP::{self.fluid}[{share}]" if self.share[1] > 0 else self.fluid


IAPWS = "IAPWS R6-95(2018) density and specific heat, R12-08 viscosity, R15-11 conductivity, at 101.325 kPa"
MELINDER = (
    "A. Melinder, Properties of Secondary Working Fluids for Indirect Systems, IIR, 2010 (pure glycol and"
    " water, no inhibitor)"
)
SHARQAWY = (
    "M. H. Sharqawy, J. H. Lienhard, S. M. Zubair, Thermophysical properties of seawater, Desalination and"
    " Water Treatment 16, 2010"
)
# CoolProp's own polynomials of solutions are of degree 3 in temperature and 5 in share: those fits are
# exact to rounding.
RECIPES = (
    Recipe("water", "Water", IAPWS, (0.0, 95.0), (0.0, 0.0), 12, 0, 0),
    Recipe("propylene_glycol", "MPG", MELINDER, (-30.0, 95.0), (0.0, 0.6), 3, 5, 5),
    Recipe("ethylene_glycol", "MEG", MELINDER, (-30.0, 95.0), (0.0, 0.6), 3, 5, 5),
    Recipe("sea_water", "MITSW", SHARQAWY, (0.0, 95.0), (0.0, 0.05), 3, 5, 0),
)


def nodes(low: float, high: float, count: int) -> NDArray[np.float64]:
    """Return Chebyshev nodes over a range; one node for a range of no width."""
    if low == high:
        return np.array([low])
    return low + (1.0 - np.cos(np.pi * (np.arange(count) + 0.5) / count)) / 2.0 * (high - low)


def scaled(values: NDArray[np.float64], low: float, high: float) -> NDArray[np.float64]:
    """Return values brought from ``low..high`` to ``-1..1``; all zero for a range of no width."""
    return (2.0 * values - low - high) / (high - low) if high > low else np.zeros_like(values)


def freezing(recipe: Recipe, share: float) -> float:
    """Return CoolProp's freezing point [degC] of a glycol."""
    return float(PropsSI("T_FREEZE", "T", 300.0, "P", PRESSURE, recipe.name(share))) - ZERO_C


def samples(recipe: Recipe, counts: tuple[int, int]) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return temperatures and shares inside the liquid's range, a cloud of Chebyshev nodes."""
    temps, shares = [], []
    for share in nodes(*recipe.share, counts[1]):
        low = recipe.temp_C[0]
        if recipe.freezing_degree:
            low = max(low, freezing(recipe, share) + 1e-6)
        column = nodes(low, recipe.temp_C[1], counts[0])
        temps.append(column)
        shares.append(np.full_like(column, share))
    return np.concatenate(temps), np.concatenate(shares)


def reference(
    recipe: Recipe, letter: str, temps: NDArray[np.float64], shares: NDArray[np.float64]
) -> NDArray[np.float64]:
    """Return CoolProp's values at these temperatures [degC] and shares."""
    # CoolProp knows no water below the triple point at 0.01 degC.
    points = zip(np.maximum(temps, 0.01) if recipe.kind == "water" else temps, shares, strict=True)
    return np.array([PropsSI(letter, "T", t + ZERO_C, "P", PRESSURE, recipe.name(x)) for t, x in points])


def fit(recipe: Recipe, quantity: str) -> list[list[float]]:
    """Return Chebyshev coefficients of one property, ``[power of share][power of temperature]``."""
    degrees = (recipe.share_degree, recipe.temp_degree)
    temps, shares = samples(recipe, (4 * degrees[1] + 8, 4 * degrees[0] + 8))
    values = reference(recipe, LETTERS[quantity], temps, shares)
    if quantity == "viscosity":
        values = np.log(values)
    basis = chebyshev.chebvander2d(scaled(shares, *recipe.share), scaled(temps, *recipe.temp_C), degrees)
    coefficients = np.linalg.lstsq(basis, values, rcond=None)[0]
    rows: list[list[float]] = coefficients.reshape(degrees[0] + 1, degrees[1] + 1).tolist()
    return rows


def fit_freezing(recipe: Recipe) -> list[float]:
    """Return Chebyshev coefficients of the freezing point [degC] over the share."""
    shares = nodes(*recipe.share, 4 * recipe.freezing_degree)
    points = [freezing(recipe, share) for share in shares]
    row: list[float] = chebyshev.chebfit(
        scaled(shares, *recipe.share), points, recipe.freezing_degree
    ).tolist()
    return row


def largest_difference(recipe: Recipe, quantity: str, table: dict[str, Any]) -> float:
    """Return the largest relative difference from CoolProp, away from the points of the fit."""
    temps, shares = samples(recipe, (23, 11))
    values = chebyshev.chebval2d(
        scaled(shares, *recipe.share), scaled(temps, *recipe.temp_C), np.array(table[quantity])
    )
    if quantity == "viscosity":
        values = np.exp(values)
    return float(np.max(np.abs(values / reference(recipe, LETTERS[quantity], temps, shares) - 1.0)))


def make(recipe: Recipe, report: Callable[[str], None] = print) -> dict[str, Any]:
    """Return one liquid's table as it is kept, and report how well it fits."""
    table: dict[str, Any] = {
        "liquid": recipe.kind,
        "source": recipe.source,
        "fitted_to": f"CoolProp, fluid {recipe.fluid}",
        "form": "sum of c[i][j] T_i(share) T_j(temp), both scaled to -1..1; viscosity: its logarithm",
        "temp_C": list(recipe.temp_C),
        "share": list(recipe.share),
    }
    for quantity in LETTERS:
        table[quantity] = fit(recipe, quantity)
        report(f"{recipe.kind} {quantity}: {largest_difference(recipe, quantity, table):.1e}")
    if recipe.freezing_degree:
        table["freezing_C"] = fit_freezing(recipe)
    return table


def main() -> None:
    """Make all tables."""
    DATA.mkdir(exist_ok=True)
    for recipe in RECIPES:
        text = json.dumps(make(recipe), indent=1)
        (DATA / f"{recipe.kind}.json").write_text(text + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
