# SPDX-License-Identifier: MIT
"""What a plot shows, as a value."""

from __future__ import annotations

from typing import Literal, NamedTuple


class Curve(NamedTuple):
    """A line through points; ``colour`` is a name of the theme, ``dashed`` tells it apart in grey print."""

    name: str
    points: tuple[tuple[float, float], ...]
    colour: str
    dashed: bool = False


class Upright(NamedTuple):
    """A dashed line across the plot at a value of x, its name beside it."""

    name: str
    x: float
    colour: str


class Note(NamedTuple):
    """A few words at a point of a curve, with a dot."""

    text: str
    x: float
    y: float
    colour: str


class PlotData(NamedTuple):
    """Everything a plot shows, in the units shown.

    ``y_axis`` is "zero" for an axis from 0, "fitted" for one about the values, "decades" where the
    curves hold logarithms to the base 10.  ``x_axis`` is "hours" for the hours of a day, 0 to 24.
    """

    x_title: str
    y_title: str
    curves: tuple[Curve, ...] = ()
    uprights: tuple[Upright, ...] = ()
    ring: tuple[float, float] | None = None
    ring_text: str = ""
    empty_text: str = ""
    notes: tuple[Note, ...] = ()
    y_axis: Literal["zero", "fitted", "decades"] = "zero"
    x_axis: Literal["round", "hours"] = "round"
