# SPDX-License-Identifier: MIT
"""Heat exchangers by effectiveness and number of transfer units.

``capacity rate`` is mass flow times specific heat [W/K]; NTU = UA / smaller rate; ratio = smaller rate /
larger rate.  Every relation is written so that a ratio of 0 and of 1, and flows of 0, need no exception:
with phi(x) = (1 - exp(-x))/x, which is 1 at x = 0.

References
----------
Kays, W. M., London, A. L. (1984). Compact Heat Exchangers, 3rd edition.
Incropera, F. P. and others (2007). Fundamentals of Heat and Mass Transfer, 6th edition, table 11.3.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Literal, TypeAlias

import numpy as np

from solver.errors import PartError
from solver.parts.roots import Array, Values, bracketed_root

Arrangement: TypeAlias = Literal[
    "counterflow", "parallel", "crossflow_unmixed", "crossflow_larger_mixed", "crossflow_smaller_mixed"
]

#: More transfer units than this change no digit.
_MOST_NTU = 1e6
#: Where the search for transfer units ends; far above what is ever built.
_MOST_FOUND = 200.0


def effectiveness(ntu: Values, ratio: Values, arrangement: Arrangement = "counterflow") -> Array:
    """Return the share of the greatest possible heat that an exchanger transfers.

    Parameters
    ----------
    ntu : array
        Number of transfer units, 0 or more.
    ratio : array
        Smaller capacity rate over larger, 0..1.
    arrangement : str
        ``crossflow_unmixed`` (both fluids) is Kays and London's approximation; ``crossflow_larger_mixed``
        and ``crossflow_smaller_mixed`` say which of the rates belongs to the mixed fluid.

    Raises
    ------
    PartError
        If the arrangement is unknown, or a ratio or number is outside its range.

    Examples
    --------
    >>> round(float(effectiveness(2.0, 1.0)), 6)
    0.666667
    """
    try:
        law = _LAWS[arrangement]
    except KeyError:
        accepted = ", ".join(_LAWS)
        raise PartError(f'unknown arrangement "{arrangement}"; accepted: {accepted}') from None
    units, r = np.asarray(ntu, dtype=float), np.asarray(ratio, dtype=float)
    if not (units >= 0.0).all():
        raise PartError(f"transfer units {units[~(units >= 0.0)].flat[0]:.4g}; accepted: 0 or more")
    if not ((r >= 0.0) & (r <= 1.0)).all():
        bad = r[~((r >= 0.0) & (r <= 1.0))].flat[0]
        raise PartError(f"ratio of capacity rates {bad:.4g}; accepted: 0 to 1")
    return law(np.minimum(units, _MOST_NTU), r)


def transfer_units(
    effectiveness_wanted: Values, ratio: Values, arrangement: Arrangement = "counterflow"
) -> Array:
    """Return the number of transfer units that reach an effectiveness.

    Raises
    ------
    PartError
        If no exchanger of that arrangement reaches it.

    Notes
    -----
    Counterflow and a ratio of 0 in closed form, the others by root finding.

    Examples
    --------
    >>> round(float(transfer_units(0.75, 0.45, "crossflow_unmixed")), 2)
    1.99
    """
    wanted, r = np.broadcast_arrays(np.asarray(effectiveness_wanted, dtype=float), np.asarray(ratio, float))
    most = effectiveness(np.where(arrangement == "counterflow", _MOST_NTU, _MOST_FOUND), r, arrangement)
    if not ((wanted >= 0.0) & (wanted < most)).all():
        bad = wanted[~((wanted >= 0.0) & (wanted < most))].flat[0]
        raise PartError(f"{arrangement}: effectiveness {bad:.4g}; accepted: 0 to below {most.max():.4g}")
    if arrangement == "counterflow":
        return counterflow_units(wanted, r)
    high = np.full(r.shape, _MOST_FOUND)
    return bracketed_root(lambda ntu: effectiveness(ntu, r, arrangement) - wanted, 0.0 * high, high)


def counterflow_units(wanted: Array, ratio: Array) -> Array:
    """Return the transfer units of a counterflow exchanger for an effectiveness below 1; infinite at 1.

    From e = N/(1 + r N) with N = phi NTU: N = e/(1 - r e), and NTU = -ln(1 - (1 - r) N)/(1 - r).
    """
    n = wanted / np.maximum(1.0 - ratio * wanted, 1e-300)
    gap = 1.0 - ratio
    x = np.minimum(gap * n, 1.0)
    with np.errstate(divide="ignore"):
        log = -np.log1p(-x)
    # -ln(1 - x)/x is 1 at x = 0.
    return np.asarray(n * np.where(x > 1e-8, log / np.maximum(x, 1e-8), 1.0 + 0.5 * x))


def counterflow_conductance(ua: Values, rate_a: Values, rate_b: Values) -> Array:
    """Return heat per kelvin between the two inlets [W/K] of a counterflow exchanger.

    It is effectiveness times the smaller capacity rate, and 0 where either flow stands still.

    Parameters
    ----------
    ua : array [W/K]
    rate_a, rate_b : array [W/K]
        Capacity rates, in either order.
    """
    smaller, larger = np.minimum(rate_a, rate_b), np.maximum(rate_a, rate_b)
    safe = np.maximum(smaller, TINY_RATE)
    ntu = np.minimum(ua / safe, _MOST_NTU)
    ratio = safe / np.maximum(larger, TINY_RATE)
    return np.asarray(np.where(smaller > 0.0, smaller * _counterflow(ntu, ratio), 0.0))


#: Capacity rate below which a flow counts as standing still [W/K].
TINY_RATE = 1e-12


def phi(x: Array) -> Array:
    """Return (1 - exp(-x))/x, 1 at 0."""
    safe = np.where(np.abs(x) > 1e-8, x, 1.0)
    return np.where(np.abs(x) > 1e-8, -np.expm1(-safe) / safe, 1.0 - 0.5 * x)


def _counterflow(ntu: Array, ratio: Array) -> Array:
    n = ntu * phi(ntu * (1.0 - ratio))
    return n / (1.0 + ratio * n)


def _parallel(ntu: Array, ratio: Array) -> Array:
    return ntu * phi(ntu * (1.0 + ratio))


def _crossflow_unmixed(ntu: Array, ratio: Array) -> Array:
    return np.asarray(-np.expm1(-ntu * phi(ratio * ntu**0.78)))


def _crossflow_larger_mixed(ntu: Array, ratio: Array) -> Array:
    single = -np.expm1(-ntu)
    return np.asarray(single * phi(ratio * single))


def _crossflow_smaller_mixed(ntu: Array, ratio: Array) -> Array:
    return np.asarray(-np.expm1(-ntu * phi(ratio * ntu)))


_LAWS: dict[str, Callable[[Array, Array], Array]] = {
    "counterflow": _counterflow,
    "parallel": _parallel,
    "crossflow_unmixed": _crossflow_unmixed,
    "crossflow_larger_mixed": _crossflow_larger_mixed,
    "crossflow_smaller_mixed": _crossflow_smaller_mixed,
}
