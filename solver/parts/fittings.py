# SPDX-License-Identifier: MIT
"""Loss coefficients of fittings, valves standing open, entrances, exits and changes of size.

K = constant + by_reynolds/Re on the velocity head of the bore, by one of three methods: Crane (K = n fT),
Hooper's two constants or Darby's three.  The constants and their sources stand in
``data/fittings.csv``.  The ``fluids`` library has the same relations, but loading it would lengthen every
start by about as much as numpy does; they are written out here, and the tests hold them to that library.
"""

from __future__ import annotations

import csv
import math
from bisect import bisect_right
from collections.abc import Mapping
from difflib import get_close_matches
from functools import cache, lru_cache
from pathlib import Path
from typing import Any, NamedTuple, overload

import numpy as np
from numpy.typing import NDArray

from solver.errors import PartError
from solver.parts.pipe_sizes import leading_number, pipe_series

_TABLE = Path(__file__).parent / "data" / "fittings.csv"

METHODS = ("crane", "hooper", "darby")

#: Entrance from a tank or manifold into a pipe, flush and sharp, on its velocity head: TP-410 A-29.
NOZZLE_ENTRANCE_K = 0.5
#: Exit from a pipe into a tank, a manifold or the sea: its whole velocity head.
EXIT_K = 1.0

#: Included angle [degrees] below which a change of size counts as gradual: TP-410 chapter 2.
_GRADUAL_BELOW = 45.0
_INCH = 0.0254

Array = NDArray[np.float64]


class FittingKind(NamedTuple):
    """A row of the fittings table; None where the source has no figure.

    ``crane_n`` holds (bore from which it counts [m], n) in order of bore; ``hooper`` K1 and Kinf;
    ``darby`` K1, Ki and Kd (for the nominal size in inches).
    """

    kind: str
    name: str
    group: str
    crane_n: tuple[tuple[float, float], ...]
    fixed_k: float | None
    hooper: tuple[float, float] | None
    darby: tuple[float, float, float] | None
    note: str


def _read() -> dict[str, FittingKind]:
    lines = _TABLE.read_text(encoding="utf-8").splitlines()
    found = {}
    for row in csv.DictReader(line for line in lines if not line.startswith("#")):
        steps = [step.rpartition(":") for step in row["crane_n"].split(";") if step]
        hooper = [float(row[key]) for key in ("hooper_k1", "hooper_kinf") if row[key]]
        darby = [float(row[key]) for key in ("darby_k1", "darby_ki", "darby_kd") if row[key]]
        found[row["kind"]] = FittingKind(
            row["kind"],
            row["name"],
            row["group"],
            tuple((float(above or 0.0) * 1e-3, float(n)) for above, _, n in steps),
            float(row["fixed_k"]) if row["fixed_k"] else None,
            (hooper[0], hooper[1]) if hooper else None,
            (darby[0], darby[1], darby[2]) if darby else None,
            row["note"],
        )
    return found


#: Kind's name in the vessel file -> its constants.
FITTING_KINDS: Mapping[str, FittingKind] = _read()


@lru_cache(maxsize=4096)
def fitting_loss(kind: str, method: str, bore: float) -> tuple[float, float]:
    """Return a fitting's loss coefficient as a constant and a part that goes with 1/Re.

    Parameters
    ----------
    kind : str
        A name of the fittings table.
    method : {"crane", "hooper", "darby"}
        The method; where its source has no constants for this kind, Crane's are taken.
    bore : float
        Bore of the pipe [m].

    Returns
    -------
    constant, by_reynolds : float
        K = constant + by_reynolds/Re on the velocity head of the bore.

    Raises
    ------
    PartError
        If the kind or method is unknown, or the bore is not above 0.

    Notes
    -----
    Crane: K = n fT.  Hooper 1981: K = K1/Re + Kinf (1 + 1/bore[inch]).  Darby 2001: K = K1/Re + Ki (1 +
    Kd/D[inch]**0.3), D the nominal size of the schedule 40 pipe of that bore, interpolated.

    Examples
    --------
    >>> fitting_loss("elbow_90", "hooper", 0.0254)
    (0.8, 800.0)
    """
    fitting = _of_kind(kind)
    if method not in METHODS:
        raise PartError(f'unknown method "{method}" for fittings; accepted: one of {", ".join(METHODS)}')
    if not bore > 0.0:
        raise PartError(f"{kind} in a bore of {bore:g} m; accepted: a bore above 0")
    if fitting.fixed_k is not None:
        return fitting.fixed_k, 0.0
    if method == "hooper" and fitting.hooper:
        k1, at_infinity = fitting.hooper
        return at_infinity * (1.0 + _INCH / bore), k1
    if method == "darby" and fitting.darby:
        k1, ki, kd = fitting.darby
        return ki * (1.0 + kd / nominal_inches(bore) ** 0.3), k1
    place = bisect_right(fitting.crane_n, (bore, math.inf)) - 1
    return fitting.crane_n[place][1] * friction_factor_turbulent(bore), 0.0


def method_used(kind: str, method: str) -> str:
    """Return whose constants ``fitting_loss`` takes: the method itself, ``crane`` or ``fixed``.

    Raises
    ------
    PartError
        If the kind is unknown.
    """
    fitting = _of_kind(kind)
    if fitting.fixed_k is not None:
        return "fixed"
    if (method == "hooper" and fitting.hooper) or (method == "darby" and fitting.darby):
        return method
    return "crane"


@overload
def friction_factor_turbulent(bore: float) -> float: ...
@overload
def friction_factor_turbulent(bore: Array) -> Array: ...
def friction_factor_turbulent(bore: float | Array) -> Any:
    """Return Crane's fT: the friction factor of clean commercial steel pipe in full turbulence.

    Parameters
    ----------
    bore : float or array
        Bore [m], whatever the pipe is made of.

    Notes
    -----
    TP-410 prints fT by nominal size, rounded.  ``fluids.fittings.ft_Crane`` found what meets every
    printed value: Colebrook at Re = 7.5e6 bore with the roughness of bare steel by F. F. Farshad, H. H.
    Rieke (SPE Production & Operations 21, 2006, 197).  This is that function for arrays, with its one
    step of Clamond's iteration from 10 mm on (within 3e-6 of Colebrook) and two below.
    """
    size = np.asarray(bore, dtype=float)
    reynolds = 7.5e6 * size
    x1 = 3.4126825352925e-5 * size**-1.0112 * reynolds * 0.1239681863354175460
    x2 = np.log(reynolds) - 0.7793974884556819406
    guess = x2 - 0.2
    once = _clamond_step(guess, x1, x2)
    root = np.where(size < 1e-2, _clamond_step(once, x1, x2), once)
    factor = 1.325474527619599503 / (root * root)
    return factor if isinstance(bore, np.ndarray) else float(factor)


def reducer(bore_1: float, bore_2: float, angle_degrees: float = 180.0) -> tuple[float, float]:
    """Return the loss coefficients of a change of size, on the velocity head of the SMALLER bore.

    Parameters
    ----------
    bore_1, bore_2 : float
        Bores [m] on either side; forward is from 1 to 2.
    angle_degrees : float
        Included angle of the cone; 180 is a sudden change.

    Returns
    -------
    k_forward, k_reverse : float

    Notes
    -----
    TP-410 chapter 2, b the smaller bore over the larger.  Contraction: 0.8 sin(angle/2) (1 - b**2) below
    45 degrees, 0.5 sqrt(sin(angle/2)) (1 - b**2) above.  Enlargement: 2.6 sin(angle/2) (1 - b**2)**2
    below 45 degrees, (1 - b**2)**2 above.
    """
    small, large = sorted((bore_1, bore_2))
    narrowing = 1.0 - (small / large) ** 2
    half = math.sin(math.radians(angle_degrees) / 2.0)
    if angle_degrees < _GRADUAL_BELOW:
        contraction, enlargement = 0.8 * half * narrowing, 2.6 * half * narrowing**2
    else:
        contraction, enlargement = 0.5 * math.sqrt(half) * narrowing, narrowing**2
    return (contraction, enlargement) if bore_1 > bore_2 else (enlargement, contraction)


def nominal_inches(bore: float) -> float:
    """Return the nominal pipe size [inch] of a bore [m], between and beyond those of schedule 40 steel."""
    bores, sizes = _schedule_40()
    place = min(max(bisect_right(bores, bore), 1), len(bores) - 1)
    part = (bore - bores[place - 1]) / (bores[place] - bores[place - 1])
    return sizes[place - 1] + part * (sizes[place] - sizes[place - 1])


@cache
def _schedule_40() -> tuple[list[float], list[float]]:
    sizes = pipe_series("steel_40").sizes
    return [each.bore_mm * 1e-3 for each in sizes], [leading_number(each.size) or 0.0 for each in sizes]


def _clamond_step(root: Array, x1: Array, x2: Array) -> Array:
    s = x1 + root
    e = (np.log(s) + root - x2) / (1.0 + s)
    after: Array = root - (1.0 + s + 0.5 * e) * e * s / (1.0 + s + e * (1.0 + e / 3.0))
    return after


def _of_kind(kind: str) -> FittingKind:
    try:
        return FITTING_KINDS[kind]
    except KeyError:
        near = get_close_matches(kind, FITTING_KINDS, n=1)
        hint = f"{near[0]}? " if near else ""
        accepted = f"{hint}one of {', '.join(FITTING_KINDS)}"
        raise PartError(f'unknown fitting "{kind}"; accepted: {accepted}') from None
