# SPDX-License-Identifier: MIT
"""Roots of many functions of one unknown at once, each held between two sides.

References
----------
Chandrupatla, T. R. (1997). A new hybrid quadratic/bisection algorithm for finding the zero of a nonlinear
function without using derivatives. Advances in Engineering Software 28(3), 145-149.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
#: What vectorised laws take: a float, or an array.
Values: TypeAlias = float | Array

_MOST_STEPS = 100


def bracketed_root(
    function: Callable[[Array], Array],
    low: Array,
    high: Array,
    first: Array | None = None,
    tolerance: float = 1e-11,
    flat: float = 0.0,
) -> Array:
    """Return x between ``low`` and ``high`` where ``function`` is 0, element by element.

    Inverse quadratic interpolation where it is safe, halving where it is not: about 10 evaluations of a
    smooth function.

    Parameters
    ----------
    function : callable
        Takes an array of x and gives the values, each depending on its own x alone.
    low, high : array
        Same shape.  Where the function has the same sign at both, the side nearer to 0 is the answer.
    first : array, optional
        Where to look first, between the two; the chord's root if left out.
    tolerance : float
        Width of the bracket at the end relative to that at the start.
    flat : float
        Values of the function as near to 0 as this end the search too.
    """
    a, b = np.asarray(high, dtype=float) * 1.0, np.asarray(low, dtype=float) * 1.0
    fa, fb = function(a), function(b)
    open_ = (fa * fb < 0.0) & (a != b)
    best = np.where(np.abs(fa) < np.abs(fb), a, b)
    if not open_.any():
        return np.asarray(best)
    least = tolerance * np.abs(a - b) + 4.0 * np.finfo(float).eps * np.maximum(np.abs(a), np.abs(b))
    # The chord first: most laws here are nearly straight.
    with np.errstate(divide="ignore", invalid="ignore"):
        share = np.where(open_, fa / (fa - fb) if first is None else (first - a) / (b - a), 0.5)
    for _ in range(_MOST_STEPS):
        x = np.where(open_, a + share * (b - a), best)
        fx = function(x)
        same = np.sign(fx) == np.sign(fa)
        # c is the point that was thrown away, b the far side, a the newest.
        c, fc = np.where(same, a, b), np.where(same, fa, fb)
        b, fb = np.where(same, b, a), np.where(same, fb, fa)
        a, fa = x, fx
        closer = np.abs(fa) < np.abs(fb)
        best = np.where(open_, np.where(closer, a, b), best)
        width = np.abs(b - a)
        open_ = open_ & (width > least) & (np.abs(fa) > flat) & (np.abs(fb) > flat)
        if not open_.any():
            break
        share = _next_share(a, b, c, fa, fb, fc, least)
    return np.asarray(best)


def _next_share(a: Array, b: Array, c: Array, fa: Array, fb: Array, fc: Array, least: Array) -> Array:
    """Return how far from a towards b to look next."""
    with np.errstate(divide="ignore", invalid="ignore"):
        xi, ratio = (a - b) / (c - b), (fa - fb) / (fc - fb)
        quadratic = fa / (fb - fa) * fc / (fb - fc) + (c - a) / (b - a) * fa / (fc - fa) * fb / (fc - fb)
        safe = (1.0 - np.sqrt(np.maximum(1.0 - xi, 0.0)) < ratio) & (ratio < np.sqrt(np.maximum(xi, 0.0)))
        edge = np.minimum(0.5 * least / np.abs(b - a), 0.5)
    share = np.where(safe & np.isfinite(quadratic), quadratic, 0.5)
    edge = np.where(np.isfinite(edge), edge, 0.5)
    return np.clip(share, edge, 1.0 - edge)
