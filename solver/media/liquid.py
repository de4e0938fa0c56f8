# SPDX-License-Identifier: MIT
"""What flows: density, viscosity, specific heat, conductivity and freezing point of liquids.

Water, propylene and ethylene glycol in water, and sea water, from Chebyshev tables in ``data/``
that ``solver.media.fit_tables`` fits to CoolProp.  Temperatures are in degC; shares are by MASS,
0..1 (for sea water the salinity in kg/kg); all else is SI.  ``docs/physics/liquids.md`` names the
sources, the ranges and how well the tables fit.
"""

from __future__ import annotations

import json
import math
from collections.abc import Sequence
from difflib import get_close_matches
from functools import cache, lru_cache
from pathlib import Path
from typing import Any, Generic, NamedTuple, TypeVar, overload

import numpy as np
from numpy.typing import NDArray

from solver.errors import LiquidError

KINDS = ("water", "propylene_glycol", "ethylene_glycol", "sea_water")
ZERO_C = 273.15

#: Range of ``vapour_pressure`` [degC].
VAPOUR_RANGE = (-30.0, 95.0)

#: Densities at 20 degC [kg/m3] that turn a volume share into a mass share: CRC Handbook of Chemistry
#: and Physics (from memory) for the pure glycols, IAPWS R6-95 for water.
_PURE_DENSITY_20C = {"propylene_glycol": 1036.1, "ethylene_glycol": 1113.5}
_WATER_DENSITY_20C = 998.21

_NAMES = {
    "water": "water",
    "propylene_glycol": "propylene glycol",
    "ethylene_glycol": "ethylene glycol",
    "sea_water": "sea water",
}
_DATA = Path(__file__).parent / "data"

Array = NDArray[np.float64]
Number = TypeVar("Number", float, NDArray[np.float64])


class LiquidState(NamedTuple, Generic[Number]):
    """Properties of a liquid at a temperature; floats, or arrays of the temperature's shape.

    ``density`` [kg/m3], ``viscosity`` (dynamic) [Pa s], ``specific_heat`` [J/(kg K)], ``conductivity``
    [W/(m K)].
    """

    density: Number
    viscosity: Number
    specific_heat: Number
    conductivity: Number


class _Table(NamedTuple):
    """A liquid at one share: its range, and Chebyshev coefficients over the scaled temperature."""

    low: float
    high: float
    scale: float
    offset: float
    density: tuple[float, ...]
    log_viscosity: tuple[float, ...]
    specific_heat: tuple[float, ...]
    conductivity: tuple[float, ...]


@overload
def properties(kind: str, temp_C: float, share: float = 0.0) -> LiquidState[float]: ...
@overload
def properties(kind: str, temp_C: Array, share: float = 0.0) -> LiquidState[Array]: ...
def properties(kind: str, temp_C: float | Array, share: float = 0.0) -> LiquidState[Any]:
    """Return the properties of a liquid.

    Parameters
    ----------
    kind : {"water", "propylene_glycol", "ethylene_glycol", "sea_water"}
        The liquid.
    temp_C : float or ndarray
        Temperature [degC], from the freezing point (at least -30) to 95.
    share : float
        Mass of glycol per mass of mixture, 0 to 0.6; mass of salt per mass of sea water, 0 to 0.05.

    Returns
    -------
    LiquidState
        Floats for a float, arrays of the same shape for an array.

    Raises
    ------
    LiquidError
        If the liquid is unknown, or the temperature or share lies outside its tables.

    Notes
    -----
    A glycol of share 0 is water.  Any share above 0 follows Melinder's polynomials, which meet water
    at share 0 within 0.1 % in density, 1.7 % in viscosity, 0.3 % in specific heat and 1 % in
    conductivity: that is the step between plain water and a trace of glycol.

    Examples
    --------
    >>> round(properties("water", 10.0).density, 2)
    999.7
    >>> round(properties("propylene_glycol", 5.0, share=0.3).viscosity, 5)
    0.00557
    """
    table = _table_at(kind, float(share))
    if isinstance(temp_C, np.ndarray):
        outside = ~((temp_C >= table.low) & (temp_C <= table.high))
        if outside.any():
            raise _temperature_error(kind, share, float(temp_C[outside].flat[0]), table)
        return _evaluate(table, temp_C * table.scale + table.offset, np.exp)
    if not table.low <= temp_C <= table.high:
        raise _temperature_error(kind, share, float(temp_C), table)
    return _evaluate(table, float(temp_C) * table.scale + table.offset, math.exp)


def freezing_point(kind: str, share: float = 0.0) -> float:
    """Return the temperature [degC] where ice begins to form, at atmospheric pressure.

    Parameters
    ----------
    kind : str
        The liquid, as in ``properties``.
    share : float
        Mass share of glycol or salt.

    Raises
    ------
    LiquidError
        If the liquid is unknown or the share outside its range.

    Notes
    -----
    Glycols: Melinder 2010, as CoolProp has it.  Sea water: F. J. Millero, in UNESCO Technical Papers
    in Marine Science 28, 1978: t = -0.0575 S + 1.710523e-3 S**1.5 - 2.154996e-4 S**2 with S in g/kg
    (from memory; it meets the check value that paper prints).
    """
    _check_share(kind, share)
    if kind == "sea_water":
        salt = 1000.0 * share
        return -0.0575 * salt + 1.710523e-3 * salt * math.sqrt(salt) - 2.154996e-4 * salt * salt
    if kind == "water" or share == 0.0:
        return 0.0
    data = _data(kind)
    return float(_chebyshev(data["freezing_C"], _scaled(share, data["share"])))


def mass_share(kind: str, volume_share: float) -> float:
    """Return the mass share of a glycol from its share of the volumes that are mixed at 20 degC.

    Raises
    ------
    LiquidError
        If the liquid is no glycol or the share is not within 0..1.
    """
    if kind not in _PURE_DENSITY_20C:
        accepted = ", ".join(_PURE_DENSITY_20C)
        raise LiquidError(f'"{kind}" is not mixed by volume; accepted: {accepted}')
    if not 0.0 <= volume_share <= 1.0:
        raise LiquidError(f"{_NAMES[kind]}: volume share {volume_share:g}; accepted: 0 to 1")
    glycol = volume_share * _PURE_DENSITY_20C[kind]
    return glycol / (glycol + (1.0 - volume_share) * _WATER_DENSITY_20C)


@overload
def vapour_pressure(temp_C: float) -> float: ...
@overload
def vapour_pressure(temp_C: Array) -> Array: ...
def vapour_pressure(temp_C: float | Array) -> Any:
    """Return the vapour pressure of water [Pa, absolute].

    Parameters
    ----------
    temp_C : float or ndarray
        Temperature [degC], -30 to 95.  Below 0 the value is that of supercooled water, 0.3 % high at
        -30.

    Raises
    ------
    LiquidError
        If the temperature is outside that range.

    Notes
    -----
    W. Wagner, A. Pruss, J. Phys. Chem. Ref. Data 31 (2002) 387, equation 2.5, which is also IAPWS
    SR1-86(1992).  Sea water's is 2 % and a glycol's some per cent lower, so that water's is on the
    safe side for a pump's suction.

    Examples
    --------
    >>> round(vapour_pressure(25.0))
    3170
    """
    low, high = VAPOUR_RANGE
    inside = (temp_C >= low) & (temp_C <= high)
    if not np.all(inside):
        wrong = np.asarray(temp_C, dtype=float)[~np.asarray(inside)].flat[0]
        raise LiquidError(f"vapour pressure of water at {wrong:g} degC; accepted: {low:g} to {high:g} degC")
    kelvin = temp_C + ZERO_C
    t = 1.0 - kelvin / 647.096
    root = t**0.5
    exponent = t * (
        -7.85951783
        + 1.84408259 * root
        + t * t * (-11.7866497 + 22.6807411 * root + t * (-15.9618719 + 1.80122502 * t**3 * root))
    )
    exp = np.exp if isinstance(temp_C, np.ndarray) else math.exp
    return 22.064e6 * exp(647.096 / kelvin * exponent)


def _evaluate(table: _Table, x: Any, exp: Any) -> LiquidState[Any]:
    return LiquidState(
        _chebyshev(table.density, x),
        exp(_chebyshev(table.log_viscosity, x)),
        _chebyshev(table.specific_heat, x),
        _chebyshev(table.conductivity, x),
    )


def _chebyshev(coefficients: Sequence[float], x: Any) -> Any:
    """Return a Chebyshev sum by Clenshaw's recurrence, for a float or an array alike."""
    double = x + x
    last = before = x * 0.0
    for coefficient in coefficients[:0:-1]:
        last, before = double * last - before + coefficient, last
    return x * last - before + coefficients[0]


def _scaled(value: float, span: Sequence[float]) -> float:
    low, high = span
    return (2.0 * value - low - high) / (high - low) if high > low else 0.0


@cache
def _data(kind: str) -> dict[str, Any]:
    data: dict[str, Any] = json.loads((_DATA / f"{kind}.json").read_text(encoding="utf-8"))
    return data


def _check_share(kind: str, share: float) -> None:
    if kind not in KINDS:
        near = get_close_matches(str(kind), KINDS, n=1)
        hint = f"{near[0]}? " if near else ""
        raise LiquidError(f'unknown liquid "{kind}"; accepted: {hint}one of {", ".join(KINDS)}')
    low, high = _data(kind)["share"]
    if not low <= share <= high:
        what = "salinity [kg/kg]" if kind == "sea_water" else "mass share"
        accepted = f"{low:g} to {high:g}" if high > low else "0 only"
        raise LiquidError(f"{_NAMES[kind]}: {what} {share:.4g}; accepted: {accepted}")


@lru_cache(maxsize=256)
def _table_at(kind: str, share: float) -> _Table:
    """Return a liquid's table at one share, the sum over powers of the share done."""
    _check_share(kind, share)
    if share == 0.0 and kind != "sea_water":
        kind = "water"
    data = _data(kind)
    at = _scaled(share, data["share"])
    low, high = data["temp_C"]
    if kind == "sea_water":
        # The correlations begin at 0 degC; they are smooth, and two kelvin further the density is still
        # within 0.01 % of the international equation of state (tests).
        liquid_from = min(0.0, freezing_point(kind, share))
    else:
        liquid_from = max(low, freezing_point(kind, share))

    def over_temperature(quantity: str) -> tuple[float, ...]:
        columns = zip(*data[quantity], strict=True)
        return tuple(float(_chebyshev(column, at)) for column in columns)

    return _Table(
        liquid_from,
        high,
        2.0 / (high - low),
        -(high + low) / (high - low),
        over_temperature("density"),
        over_temperature("viscosity"),
        over_temperature("specific_heat"),
        over_temperature("conductivity"),
    )


def _temperature_error(kind: str, share: float, temp_C: float, table: _Table) -> LiquidError:
    name = _NAMES[kind] if share == 0.0 else f"{_NAMES[kind]}, share {share:.4g} by mass"
    frozen = " (it freezes there)" if temp_C < table.low and table.low > -30.0 else ""
    return LiquidError(f"{name} at {temp_C:g} degC; accepted: {table.low:.2f} to {table.high:g} degC{frozen}")
