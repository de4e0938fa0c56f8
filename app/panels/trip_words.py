# SPDX-License-Identifier: MIT
"""Why a chiller stands still and what to check, in the order a technician would (common practice)."""

from __future__ import annotations

from app.translation import tr
from solver.results import Trip


def trip_words(trip: Trip) -> str:
    """Return why a chiller stands still."""
    return {
        "": "",
        "off": tr("Off"),
        "low_flow": tr("Stands still: too little loop water through it"),
        "freezing": tr("Stands still: its leaving water came too near freezing"),
        "high_condensing": tr("Stands still: its refrigerant got too hot (high pressure)"),
        "sea_too_cold": tr("Stands still: the sea is too cold to take heat from"),
    }[trip]


def trip_check(trip: Trip) -> str:
    """Return what to check first."""
    return {
        "": "",
        "off": "",
        "low_flow": tr(
            "Check: circulation pump runs, isolating valves open, strainer clean, air let out, enough air "
            "handlers open."
        ),
        "freezing": tr(
            "Check: flow through it, its set point, how many air handlers are open, glycol in the loop."
        ),
        "high_condensing": tr(
            "Check: overboard flow, seacock open, sea strainer clean, sea-water pump, condenser fouled, sea "
            "temperature."
        ),
        "sea_too_cold": tr("Check: sea temperature, sea-water flow; another source of heat may be needed."),
    }[trip]
