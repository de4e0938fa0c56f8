# SPDX-License-Identifier: MIT
"""Monotone smooth curves through given points, one at a time or a bank of them at once.

References
----------
Fritsch, F. N., Carlson, R. E. (1980). Monotone piecewise cubic interpolation. SIAM J. Numer. Anal.
17(2), 238-246.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]


class Curve:
    """A piecewise cubic y(x) with a quadratic or linear piece continued at either end.

    Parameters
    ----------
    breaks : array, shape (pieces - 1,)
        Where one piece ends and the next begins.
    coefficients : array, shape (pieces, 4)
        Rising powers of (x - origin) of each piece.
    origins : array, shape (pieces,)
        Where each piece measures x from.
    """

    __slots__ = ("breaks", "coefficients", "origins")

    def __init__(self, breaks: ArrayLike, coefficients: ArrayLike, origins: ArrayLike):
        self.breaks = np.asarray(breaks, dtype=float)
        self.coefficients = np.asarray(coefficients, dtype=float)
        self.origins = np.asarray(origins, dtype=float)

    def __call__(self, x: ArrayLike) -> tuple[Array, Array]:
        """Return y and dy/dx, in the shape of ``x``."""
        x = np.asarray(x, dtype=float)
        piece = np.searchsorted(self.breaks, x, side="right")
        c0, c1, c2, c3 = np.moveaxis(self.coefficients[piece], -1, 0)
        d = x - self.origins[piece]
        return c0 + d * (c1 + d * (c2 + d * c3)), c1 + d * (2.0 * c2 + d * 3.0 * c3)


class CurveBank:
    """Several curves, each evaluated at its own x, in a handful of array operations."""

    __slots__ = ("_breaks", "_coefficients", "_origins", "_rows", "curves")

    def __init__(self, curves: Sequence[Curve]):
        self.curves = tuple(curves)
        pieces = max((len(curve.origins) for curve in curves), default=1)
        count = len(curves)
        self._breaks = np.full((count, pieces - 1), np.inf)
        self._coefficients = np.zeros((count, pieces, 4))
        self._origins = np.zeros((count, pieces))
        self._rows = np.arange(count)
        for row, curve in enumerate(curves):
            self._breaks[row, : len(curve.breaks)] = curve.breaks
            self._coefficients[row, : len(curve.origins)] = curve.coefficients
            self._origins[row, : len(curve.origins)] = curve.origins

    def only(self, rows: Sequence[int] | NDArray[np.int64]) -> CurveBank:
        """Return the bank of some of the curves."""
        return CurveBank([self.curves[row] for row in rows])

    def __call__(self, x: Array) -> tuple[Array, Array]:
        """Return y and dy/dx of every curve.

        Parameters
        ----------
        x : array, shape (..., curves)
        """
        piece = (x[..., None] >= self._breaks).sum(axis=-1)
        c = self._coefficients[self._rows, piece]
        d = x - self._origins[self._rows, piece]
        c0, c1, c2, c3 = c[..., 0], c[..., 1], c[..., 2], c[..., 3]
        return c0 + d * (c1 + d * (c2 + d * c3)), c1 + d * (2.0 * c2 + d * 3.0 * c3)


def monotone_pieces(x: Array, y: Array, least_end_slope: float = 0.0) -> tuple[Array, Array]:
    """Return the cubics through points and the slopes at them, monotone between points.

    Parameters
    ----------
    x, y : array, shape (points,)
        ``x`` strictly increasing.
    least_end_slope : float
        Share of the outermost chords' slopes that the curve keeps at its two ends.

    Returns
    -------
    coefficients : array, shape (points - 1, 4)
        Rising powers of (x - x[i]).
    slopes : array, shape (points,)
    """
    chord = np.diff(y) / np.diff(x)
    slopes = _slopes(np.diff(x), chord) if len(x) > 2 else np.repeat(chord, 2)
    for end, side in ((0, 0), (-1, -1)):
        least = least_end_slope * chord[side]
        if abs(slopes[end]) < abs(least):
            slopes[end] = least
    width = np.diff(x)
    left, right = slopes[:-1], slopes[1:]
    c2 = (3.0 * chord - 2.0 * left - right) / width
    c3 = (left + right - 2.0 * chord) / width**2
    return np.column_stack([y[:-1], left, c2, c3]), slopes


def _slopes(width: Array, chord: Array) -> Array:
    """Return the slopes at points: a weighted harmonic mean of the chords beside each, 0 at a turn.

    The same as scipy.interpolate.PchipInterpolator's, whose import takes longer than the window's first
    picture; a test compares the two.
    """
    left, right = chord[:-1], chord[1:]
    near_left, near_right = 2.0 * width[1:] + width[:-1], width[1:] + 2.0 * width[:-1]
    same_way = left * right > 0
    with np.errstate(divide="ignore", invalid="ignore"):
        mean = (near_left + near_right) / (near_left / left + near_right / right)
    inner = np.where(same_way, mean, 0.0)
    first = _end_slope(width[0], width[1], chord[0], chord[1])
    last = _end_slope(width[-1], width[-2], chord[-1], chord[-2])
    return np.concatenate([[first], inner, [last]])


def _end_slope(near_width: float, far_width: float, near: float, far: float) -> float:
    """Return the slope at an end from its two chords: of the parabola, kept monotone."""
    slope = ((2.0 * near_width + far_width) * near - near_width * far) / (near_width + far_width)
    if slope * near <= 0:
        return 0.0
    if near * far <= 0 and abs(slope) > 3.0 * abs(near):
        return 3.0 * near
    return slope


def monotone_curve(x: ArrayLike, y: ArrayLike) -> Curve:
    """Return a monotone curve through points, held at its end values outside them."""
    x, y = np.asarray(x, dtype=float), np.asarray(y, dtype=float)
    inner, _ = monotone_pieces(x, y)
    flat = [[y[0], 0.0, 0.0, 0.0]], [[y[-1], 0.0, 0.0, 0.0]]
    return Curve(x, np.vstack([flat[0], inner, flat[1]]), np.concatenate([[x[0]], x[:-1], [x[-1]]]))
