# SPDX-License-Identifier: MIT
"""Values of the document as text in the units shown."""

from __future__ import annotations

import math

from app.units.quantities import System, find_quantity, shown_as, to_shown, unit

#: Stands where there is no value.
NONE_TEXT = "–"

_SIGNIFICANT_GIVEN = 5
_KILOWATT_FROM = 10_000.0


def number(value: float | None, quantity: str, system: System) -> str:
    """Return a value of the document in the unit shown, without the unit.

    Three significant digits, fewer where the last ones would mean nothing; data that people type
    (lengths, bores, shares) keep what was typed.

    Parameters
    ----------
    value : float or None
        In the document's unit.
    quantity : str
        As ``quantity_of`` gives it.
    system : {"si", "us"}

    Returns
    -------
    str
        A dash for None and for what is no number.

    Raises
    ------
    UnitError
        No quantity has that name.

    Examples
    --------
    >>> number(0.205, "flow", "si"), number(None, "flow", "si")
    ('12.3', '–')
    """
    shown = shown_as(quantity, system)
    if value is None or not math.isfinite(value):
        return NONE_TEXT
    figure = to_shown(value, quantity, system)
    if find_quantity(quantity).given:
        return _shortest(figure, shown.decimals)
    if quantity == "temperature":
        return _without_sign_of_zero(f"{figure:.{shown.decimals}f}")
    return _significant(figure, shown.decimals)


def show(value: float | None, quantity: str, system: System) -> str:
    """Return a value of the document as text with its unit.

    A power from 10 kW up is written in kW.

    Raises
    ------
    UnitError
        No quantity has that name.

    Examples
    --------
    >>> show(0.205, "flow", "si"), show(0.205, "flow", "us"), show(12.0, "percent", "si")
    ('12.3 L/min', '3.25 US gpm', '12 %')
    """
    text = number(value, quantity, system)
    if text == NONE_TEXT or value is None:
        return NONE_TEXT
    if quantity == "power" and abs(value) >= _KILOWATT_FROM:
        return f"{_significant(value / 1000, 2)} kW"
    return f"{text} {unit(quantity, system)}".rstrip()


def clock(hour: float) -> str:
    """Return an hour of the day as on a clock.

    Examples
    --------
    >>> clock(9.5)
    '9:30'
    """
    minutes = round(60.0 * hour)
    return f"{minutes // 60}:{minutes % 60:02d}"


def entry(value: float | None, quantity: str, system: System) -> str:
    """Return a value for an entry field: every digit that matters, no unit, empty for None.

    Reading it back with ``parse`` gives the value to seven digits.

    Raises
    ------
    UnitError
        No quantity has that name.

    Examples
    --------
    >>> entry(14.25, "length", "si"), entry(14.25, "length", "us")
    ('14.25', '46.75197')
    """
    if value is None or not math.isfinite(value):
        return ""
    figure = to_shown(value, quantity, system)
    if figure == 0:
        return "0"
    decimals = max(0, 6 - math.floor(math.log10(abs(figure))))
    return _shortest(round(figure, decimals), decimals, 7)


def _significant(figure: float, decimals: int) -> str:
    """Return three significant digits within ``decimals``; a small one has one decimal more."""
    if abs(figure) < 0.5 * 10.0 ** -(decimals + 1):
        return "0"
    wanted = min(decimals, max(0, 2 - _magnitude(figure, 3)))
    least = min(decimals + 1, max(0, 1 - _magnitude(figure, 2)))
    return _without_sign_of_zero(f"{figure:.{max(wanted, least)}f}")


def _magnitude(figure: float, significant: int) -> int:
    """Return the power of ten of a figure's first digit, once rounded to so many digits."""
    return int(f"{figure:.{significant - 1}e}".partition("e")[2])


def _shortest(figure: float, decimals: int, significant: int = _SIGNIFICANT_GIVEN) -> str:
    """Return the figure without trailing zeros; small ones keep ``significant`` digits."""
    if figure != 0 and abs(figure) < 1:
        magnitude = math.floor(math.log10(abs(figure)))
        decimals = max(
            decimals, min(significant - 1 - magnitude, 12) if abs(figure) < 10**-decimals else decimals
        )
    text = f"{figure:.{decimals}f}"
    return _without_sign_of_zero(text.rstrip("0").rstrip(".") if "." in text else text)


def _without_sign_of_zero(text: str) -> str:
    return text.removeprefix("-") if not text.strip("-0.") else text
