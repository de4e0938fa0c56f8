# SPDX-License-Identifier: MIT
"""How a cabin is, in words and figures, as rooms, sheets and tables say it."""

from __future__ import annotations

from app.translation import tr
from app.units import System, show
from solver.results import CabinFigures

#: A cabin this far from its set point still counts as at it: what a thermostat holds (common practice) [K].
AT_SET_POINT_K = 0.5


def is_at_set_point(cabin: CabinFigures) -> bool:
    """Return whether a cabin is as a thermostat holds it."""
    return abs(cabin.above_K) <= AT_SET_POINT_K


def off_in_words(cabin: CabinFigures, units: System, *, heating: bool) -> str:
    """Return how far a cabin is from its set point, such as ``1.9 K too warm``."""
    if is_at_set_point(cabin):
        return tr("at set point")
    figure = show(abs(cabin.above_K), "temperature_difference", units)
    short = cabin.above_K > 0
    return (tr("{0} too cold") if short == heating else tr("{0} too warm")).format(figure)


def room_lines(cabin: CabinFigures, units: System, *, heating: bool) -> tuple[str, str, str]:
    """Return what a room says of its temperature, in full, shorter and shortest."""
    temperature = show(cabin.temp_C, "temperature", units)
    off = off_in_words(cabin, units, heating=heating)
    if is_at_set_point(cabin):
        return f"{temperature}, {off}", temperature, temperature
    above = -cabin.above_K if heating else cabin.above_K
    sign = "+" if above > 0 else "−"
    figure = show(abs(above), "temperature_difference", units)
    return f"{temperature}, {off}", f"{temperature} {sign}{figure}", f"{sign}{figure}"
