# SPDX-License-Identifier: MIT
"""Friction of a straight pipe: the Darcy-Weisbach law with one friction factor for every flow.

Laminar below Reynolds 2000 (64/Re), Colebrook above 4000, and between them a cubic in f*Re**2 that
continues value and slope at both ends.  A jump there would make the network solve fail.

References
----------
Colebrook, C. F. (1939). Turbulent flow in pipes. J. Inst. Civ. Eng. 11, 133-156.
Clamond, D. (2009). Efficient resolution of the Colebrook equation. Ind. Eng. Chem. Res. 48(7),
3665-3671. The two-step iteration below is the one of that paper.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

#: Reynolds number up to which flow is laminar.
LAMINAR_END = 2000.0
#: Reynolds number from which the Colebrook equation holds.
TURBULENT_START = 4000.0

_TWO_OVER_LN10 = 2.0 / np.log(10.0)
_HALF_LN10 = 0.5 * np.log(10.0)

Array = NDArray[np.float64]


class Blend(NamedTuple):
    """Cubic in t = (Re - 2000)/2000 for f*Re**2 between laminar and turbulent flow."""

    c0: Array
    c1: Array
    c2: Array
    c3: Array


def colebrook(reynolds: Array, relative_roughness: Array) -> tuple[Array, Array]:
    """Return the Darcy friction factor and the logarithmic slope term of turbulent flow.

    Parameters
    ----------
    reynolds, relative_roughness : array, any shapes that broadcast [-]

    Returns
    -------
    friction_factor : array [-]
    stiffness : array [-]
        g with d(f*Re**2)/dRe = 2*f*Re/(1 + g), from the derivative of the Colebrook equation.
    """
    x1 = relative_roughness * reynolds * 0.123968186335417556
    x2 = np.log(reynolds) - 0.779397488455682028
    y = x2 - 0.2
    for _ in range(2):
        s = x1 + y
        e = (np.log(s) + y - x2) / (1.0 + s)
        y = y - (1.0 + s + 0.5 * e) * e * s / (1.0 + s + e * (1.0 + e / 3.0))
    inverse_root = y / _HALF_LN10  # 1/sqrt(f)
    argument = relative_roughness / 3.7 + 2.51 * inverse_root / reynolds
    stiffness = _TWO_OVER_LN10 * 2.51 / (reynolds * argument)
    return inverse_root**-2.0, stiffness


def blend(relative_roughness: Array) -> Blend:
    """Return the cubic between laminar and turbulent flow for pipes of a roughness.

    Parameters
    ----------
    relative_roughness : array, shape (pipes,) [-]
    """
    at_start = np.full_like(relative_roughness, TURBULENT_START)
    factor, stiffness = colebrook(at_start, relative_roughness)
    width = TURBULENT_START - LAMINAR_END
    left, left_slope = 64.0 * LAMINAR_END, 64.0 * width
    right = factor * TURBULENT_START**2
    right_slope = 2.0 * factor * TURBULENT_START / (1.0 + stiffness) * width
    rise = right - left
    return Blend(
        np.full_like(right, left),
        np.full_like(right, left_slope),
        3.0 * rise - 2.0 * left_slope - right_slope,
        left_slope + right_slope - 2.0 * rise,
    )


def friction_number(reynolds: Array, relative_roughness: Array, between: Blend) -> tuple[Array, Array]:
    """Return f*Re**2 and its slope with Re, for every Reynolds number from zero.

    The pressure drop of a pipe is f*Re**2 * viscosity**2 * length / (2 * density * bore**3), which
    has no singular point at rest.

    Parameters
    ----------
    reynolds : array, shape (..., pipes) [-]
    relative_roughness : array, shape (pipes,) or (..., pipes) [-]
    between : Blend
        From :func:`blend` for the same roughness.

    Returns
    -------
    number, slope : array, shape (..., pipes) [-]
    """
    turbulent_re = np.maximum(reynolds, TURBULENT_START)
    factor, stiffness = colebrook(turbulent_re, relative_roughness)
    slope = 2.0 * factor * turbulent_re / (1.0 + stiffness)
    number = factor * turbulent_re * turbulent_re
    below = reynolds < TURBULENT_START
    if below.any():
        width = TURBULENT_START - LAMINAR_END
        t = np.clip((reynolds - LAMINAR_END) / width, 0.0, 1.0)
        cubic = between.c0 + t * (between.c1 + t * (between.c2 + t * between.c3))
        cubic_slope = (between.c1 + t * (2.0 * between.c2 + t * 3.0 * between.c3)) / width
        laminar = reynolds <= LAMINAR_END
        number = np.where(below, np.where(laminar, 64.0 * reynolds, cubic), number)
        slope = np.where(below, np.where(laminar, 64.0, cubic_slope), slope)
    return number, slope
