# SPDX-License-Identifier: MIT
"""Fits a coil's two conductances to a rating: total and sensible heat at given air and water.

The more conductance inside, the colder the surface and the more of the heat is latent; so the two heats
fix the two conductances.  A rating that no coil could meet is refused with the reason.
"""

from __future__ import annotations

from functools import lru_cache
from typing import NamedTuple

import numpy as np

from solver.errors import PartError
from solver.media import moist_air
from solver.parts.coil import (
    AIR_EXPONENT,
    RATED_REYNOLDS,
    RATED_WATER,
    CoilModel,
    CoilState,
    coil_state,
    laminar_share,
)
from solver.parts.effectiveness import transfer_units
from solver.parts.roots import Array, bracketed_root

#: Inside over outside conductance where a rating does not tell (common practice: the air side has about
#: three quarters of the resistance).
INSIDE_OVER_OUTSIDE = 3.0
#: A latent share below this counts as none.
_NO_LATENT = 1e-3
#: Conductances are looked for up to this many times the capacity rate of the air.
_MOST_UNITS = 40.0
_BOUNDLESS = 1e7
_STEPS = 12
_TRIED = 25
_CLOSE = 1e-9


class CoilRating(NamedTuple):
    """A coil's rated heat [W] and the air and water it is rated with.

    ``sensible`` None leaves the split to common practice.  ``air_flow`` is of dry air and ``water_flow`` of
    water [kg/s]; ``specific_heat`` [J/(kg K)].
    """

    total: float
    sensible: float | None
    air_flow: float
    air_C: float
    humidity_ratio: float
    water_flow: float
    water_C: float
    specific_heat: float = RATED_WATER[0]
    air_exponent: float = AIR_EXPONENT
    rated_reynolds: float = RATED_REYNOLDS


def fit_coil(rating: CoilRating) -> CoilModel:
    """Return the coil that gives its rated total and sensible heat at its rated state.

    Parameters
    ----------
    rating : CoilRating
        For cooling: the water is colder than the air.

    Raises
    ------
    PartError
        If no coil could meet the rating; the reason has the figures.

    Examples
    --------
    >>> w = float(moist_air.humidity_ratio_at_wet_bulb(27.0, 19.0))
    >>> coil = fit_coil(CoilRating(3500.0, 2620.0, 0.22, 27.0, w, 0.151, 7.0))
    >>> state = coil_state(coil, 0.22, 27.0, w, 0.151 / 2, 7.0)
    >>> round(float(state.total) / 3500.0, 2)
    0.77
    """
    found = _fitted(rating)
    if isinstance(found, str):
        raise PartError(found)
    return found


@lru_cache(maxsize=4096)
def _fitted(rating: CoilRating) -> CoilModel | str:
    """Return the coil or why there is none; both are kept, since a document asks again at every edit."""
    try:
        _check(rating)
        if rating.sensible is None:
            return _with_common_split(rating)
        if rating.total - rating.sensible < _NO_LATENT * rating.total:
            return _dry(rating)
        return _newton(rating) or _searched(rating, rating.sensible)
    except PartError as refused:
        return str(refused)


def rated_state(rating: CoilRating, model: CoilModel) -> CoilState:
    """Return what a coil does at the state of a rating."""
    return coil_state(
        model,
        rating.air_flow,
        rating.air_C,
        rating.humidity_ratio,
        rating.water_flow,
        rating.water_C,
        rating.specific_heat,
    )


def _check(rating: CoilRating) -> None:
    """Refuse what the balances of heat alone rule out."""
    total, sensible = rating.total, rating.total if rating.sensible is None else rating.sensible
    for name in ("total", "air_flow", "water_flow", "specific_heat", "rated_reynolds"):
        value = getattr(rating, name)
        if not (value > 0.0 and np.isfinite(value)):
            raise PartError(f"rated {name.replace('_', ' ')} {value:g}; accepted: more than 0")
    if not 0.0 < sensible <= total:
        raise PartError(
            f"rated sensible heat {sensible:g} W; accepted: more than 0, up to the total of {total:g} W"
        )
    if not rating.water_C < rating.air_C:
        raise PartError(
            f"rated water enters at {rating.water_C:g} degC, air at {rating.air_C:g}; accepted: water "
            "colder than the air"
        )
    water_out = rating.water_C + total / (rating.water_flow * rating.specific_heat)
    if water_out >= rating.air_C:
        raise PartError(
            f"with {total:g} W the rated water would leave at {water_out:.1f} degC, "
            f"warmer than the air that enters at {rating.air_C:g}: more water, or less heat"
        )
    heat = float(moist_air.specific_heat(rating.humidity_ratio))
    air_out = rating.air_C - sensible / (rating.air_flow * heat)
    if rating.sensible is not None and air_out <= rating.water_C:
        raise PartError(
            f"with {sensible:g} W sensible the rated air would leave at {air_out:.1f} degC, "
            f"colder than the water that enters at {rating.water_C:g}: more air, or less heat"
        )


def _model(rating: CoilRating, outside: Array | float, inside: Array | float) -> CoilModel:
    return CoilModel(
        outside,
        inside,
        rating.air_flow,
        rating.water_flow,
        rating.air_exponent,
        laminar_share(rating.rated_reynolds),
        rating.rated_reynolds,
    )


def _plain(model: CoilModel) -> CoilModel:
    return CoilModel(*(float(value) for value in model))


def _air_rate(rating: CoilRating) -> float:
    return rating.air_flow * float(moist_air.specific_heat(rating.humidity_ratio))


def _newton(rating: CoilRating) -> CoilModel | None:
    """Return the coil by Newton's method on the logarithms of its conductances, None if it strays."""
    wanted = np.array([rating.total, rating.sensible])
    rate = _air_rate(rating)
    x = np.log([1.5 * rate, 1.5 * INSIDE_OVER_OUTSIDE * rate])
    nudge = 1e-4
    for _ in range(_STEPS):
        tried = x + nudge * np.array([(0.0, 0.0), (1.0, 0.0), (0.0, 1.0)])
        state = rated_state(rating, _model(rating, np.exp(tried[:, 0]), np.exp(tried[:, 1])))
        found = np.array([state.total, state.sensible])
        off = found[:, 0] - wanted
        if np.abs(off).max() < _CLOSE * rating.total:
            return _plain(_model(rating, np.exp(x[0]), np.exp(x[1])))
        slopes = (found[:, 1:] - found[:, :1]) / nudge
        if abs(np.linalg.det(slopes)) < 1e-9 * rating.total**2:
            return None
        x = x - np.clip(np.linalg.solve(slopes, off), -1.0, 1.0)
        if not (np.abs(x - np.log(rate)) < 7.0).all():
            return None
    return None


def _searched(rating: CoilRating, wanted: float) -> CoilModel:
    """Return the coil by search along those of the right total heat, from the wettest to the driest."""
    rate = _air_rate(rating)
    most = np.array(np.log(_MOST_UNITS * rate))
    least = _least_outside(rating, most)

    def inside(log_outside: Array) -> Array:
        """Return the logarithm of the inside conductance that gives the total heat."""
        low = np.full(np.shape(log_outside), np.log(1e-3 * rate))
        high = np.full(np.shape(log_outside), np.log(_BOUNDLESS * rate))
        return bracketed_root(lambda x: _total(rating, log_outside, x) - rating.total, low, high)

    def sensible(log_outside: Array) -> Array:
        model = _model(rating, np.exp(log_outside), np.exp(inside(log_outside)))
        return rated_state(rating, model).sensible

    tried = np.linspace(float(least), float(most), _TRIED)
    found = sensible(tried)
    for most_or_least, limit, refused in (
        ("at least", found.min(), wanted < found.min() * (1.0 - 1e-6)),
        ("at most", found.max(), wanted > found.max() * (1.0 + 1e-6)),
    ):
        if refused:
            drying = "much" if most_or_least == "at least" else "little"
            raise PartError(
                f"of {rating.total:g} W, {wanted:g} W sensible leaves too {drying} for drying; with this "
                f"air and water a coil has {most_or_least} {limit:.0f} W sensible"
            )
    # Where air is very moist two coils can do the same; the one of more surface outside is meant.
    below = min(int(np.flatnonzero(found <= max(wanted, found.min()))[-1]), _TRIED - 2)
    outside = bracketed_root(
        lambda x: sensible(x) - wanted, tried[below : below + 1], tried[below + 1 : below + 2]
    )
    return _plain(_model(rating, np.exp(outside[0]), np.exp(inside(outside)[0])))


def _total(rating: CoilRating, log_outside: Array, log_inside: Array) -> Array:
    return rated_state(rating, _model(rating, np.exp(log_outside), np.exp(log_inside))).total


def _least_outside(rating: CoilRating, most: Array) -> Array:
    """Return the logarithm of the outside conductance below which even cold surface is too little."""
    rate = _air_rate(rating)
    boundless = np.array(np.log(_BOUNDLESS * rate))
    greatest = float(_total(rating, most, boundless))
    if rating.total > greatest * (1.0 - 1e-9):
        raise PartError(
            f"rated total {rating.total:g} W; this air can give this water at most {greatest:.0f} W, "
            "however large the coil"
        )
    low = np.array(np.log(1e-3 * rate))
    return bracketed_root(lambda x: _total(rating, x, boundless) - rating.total, low, most)


def _with_common_split(rating: CoilRating) -> CoilModel:
    """Return the coil of the common ratio of conductances that gives the total heat."""
    ratio = np.log(INSIDE_OVER_OUTSIDE)
    most = np.array(np.log(_MOST_UNITS * _air_rate(rating)))
    greatest = float(_total(rating, most, most + ratio))
    if rating.total > greatest:
        raise PartError(
            f"rated total {rating.total:g} W; this air can give this water at most {greatest:.0f} W, "
            "however large the coil"
        )
    low = np.array(np.log(1e-3 * _air_rate(rating)))
    outside = bracketed_root(lambda x: _total(rating, x, x + ratio) - rating.total, low, most)
    return _plain(_model(rating, np.exp(outside), np.exp(outside + ratio)))


def _dry(rating: CoilRating) -> CoilModel:
    """Return a coil that stays dry at its rating: of the common ratio, or warmer outside if it must."""
    rate, water = _air_rate(rating), rating.water_flow * rating.specific_heat
    smaller, larger = min(rate, water), max(rate, water)
    wanted = rating.total / (smaller * (rating.air_C - rating.water_C))
    ua = float(transfer_units(wanted, smaller / larger)) * smaller
    air_out = rating.air_C - rating.total / rate
    dew = float(moist_air.dew_point(rating.humidity_ratio))
    if air_out <= dew:
        raise PartError(
            f"all of {rating.total:g} W sensible cools the air to {air_out:.1f} degC, below its dew point "
            f"of {dew:.1f}: water would condense, so the sensible heat must be less than the total"
        )
    # Outside over all resistance: at least what keeps the coldest surface at the dew point.
    least_inside = (dew - rating.water_C) / (air_out - rating.water_C)
    inside_share = max(1.0 / (1.0 + INSIDE_OVER_OUTSIDE), least_inside * (1.0 + 1e-9))
    return _plain(_model(rating, ua / (1.0 - inside_share), ua / inside_share))
