# SPDX-License-Identifier: MIT
"""Temperatures as tables: cabins, air handlers, chillers."""

from __future__ import annotations

from typing import Any, NamedTuple

from app.overlay.cabin_words import is_at_set_point
from app.panels.heat_figures import is_heating
from app.panels.results_table import Column, Sheet
from app.translation import tr
from solver.results import CabinFigures, ChillerFigures, CoilFigures, Results
from solver.vessel.vessel import Vessel


class CabinRow(NamedTuple):
    """A cabin with what serves it; ``share`` is the least share of design flow of its air handlers."""

    tag: str
    name: str
    found: CabinFigures
    heating: bool
    share: float | None


def _cabins(vessel: Vessel, results: Results) -> list[CabinRow]:
    if results.heat is None:
        return []
    names = {cabin.tag: cabin.name for cabin in vessel.cabins}
    heating = is_heating(vessel)
    rows = []
    for tag, cabin in results.heat.cabins.items():
        shares = [
            results.air_handlers[each].share_of_design
            for each in cabin.air_handlers
            if each in results.air_handlers
        ]
        rows.append(CabinRow(tag, names.get(tag, ""), cabin, heating, min(shares, default=None)))
    return rows


def verdict(row: CabinRow) -> str:
    """Return in a word how a cabin's temperature is."""
    if is_at_set_point(row.found):
        return tr("at set point")
    return tr("too cold") if (row.found.above_K > 0) == row.heating else tr("too warm")


def chiller_state(chiller: ChillerFigures) -> str:
    """Return in a few words how a chiller does."""
    if chiller.tripped:
        return {
            "off": tr("off"),
            "low_flow": tr("stopped: low flow"),
            "freezing": tr("stopped: near freezing"),
            "high_condensing": tr("stopped: high pressure"),
            "sea_too_cold": tr("stopped: sea too cold"),
        }[chiller.tripped]
    if not chiller.at_set_point:
        return tr("all it can, short")
    return tr("starts and stops") if chiller.cycles else tr("holds set point")


def cabin_sheet() -> Sheet:
    """Return the table of cabins."""
    return Sheet(
        tr("Cabins"),
        (
            Column(tr("Tag"), "", lambda row: row.tag),
            Column(tr("Cabin"), "", lambda row: row.name),
            Column(tr("Temperature"), "temperature", lambda row: row.found.temp_C),
            Column(
                tr("Above"),
                "temperature_difference",
                lambda row: -row.found.above_K if row.heating else row.found.above_K,
            ),
            Column(tr("Is"), "", verdict),
            Column(tr("Set point"), "temperature", lambda row: row.found.set_point_C),
            Column(tr("Humidity"), "fraction", lambda row: row.found.rh),
            Column(tr("Sensible load"), "capacity", lambda row: row.found.load_sensible_W / 1000),
            Column(tr("Latent load"), "capacity", lambda row: row.found.load_latent_W / 1000),
            Column(tr("Air handler"), "", lambda row: ", ".join(row.found.air_handlers)),
            Column(tr("Share of design flow"), "fraction", lambda row: row.share),
            Column(tr("Load is"), "", lambda row: tr("estimate") if row.found.estimated else tr("sum")),
        ),
        _cabins,
    )


def coil_sheet() -> Sheet:
    """Return the table of air handlers by heat."""

    def rows(_vessel: Vessel, results: Results) -> list[CoilFigures]:
        return [] if results.heat is None else list(results.heat.coils.values())

    def fall(row: Any) -> float:
        return abs(float(row.water_out_C - row.water_in_C))

    return Sheet(
        tr("Air handlers"),
        (
            Column(tr("Tag"), "", lambda row: row.tag),
            Column(tr("Total"), "capacity", lambda row: row.total_W / 1000),
            Column(tr("Sensible"), "capacity", lambda row: row.sensible_W / 1000),
            Column(tr("Latent"), "capacity", lambda row: row.latent_W / 1000),
            Column(tr("Rated"), "capacity", lambda row: row.rated_total_W / 1000),
            Column(tr("Runs"), "fraction", lambda row: row.run_share),
            Column(tr("Fan"), "percent", lambda row: row.fan_percent),
            Column(tr("Water in"), "temperature", lambda row: row.water_in_C),
            Column(tr("Water out"), "temperature", lambda row: row.water_out_C),
            Column(tr("ΔT"), "temperature_difference", fall),
            Column(tr("Air in"), "temperature", lambda row: row.air_in_C),
            Column(tr("Air out"), "temperature", lambda row: row.air_out_C),
            Column(tr("Condensate"), "condensate", lambda row: row.condensate_L_h),
        ),
        rows,
    )


def chiller_sheet() -> Sheet:
    """Return the table of chillers."""

    def rows(_vessel: Vessel, results: Results) -> list[ChillerFigures]:
        return [] if results.heat is None else list(results.heat.chillers.values())

    def rise(row: Any) -> float:
        return float(row.sea_out_C - row.sea_in_C)

    return Sheet(
        tr("Chillers"),
        (
            Column(tr("Tag"), "", lambda row: row.tag),
            Column(tr("Does"), "", chiller_state),
            Column(tr("Leaving"), "temperature", lambda row: row.leaving_C),
            Column(tr("Entering"), "temperature", lambda row: row.entering_C),
            Column(tr("Set point"), "temperature", lambda row: row.set_point_C),
            Column(tr("Duty"), "capacity", lambda row: row.duty_kW),
            Column(tr("Capacity now"), "capacity", lambda row: row.capacity_kW),
            Column(tr("Load"), "fraction", lambda row: row.load_share),
            Column(tr("Compressor"), "power", lambda row: row.power_kW * 1000),
            Column(tr("Sea in"), "temperature", lambda row: row.sea_in_C),
            Column(tr("ΔT of the sea"), "temperature_difference", rise),
            Column(tr("Sea flow"), "flow", lambda row: row.sea_flow_L_s),
            Column(tr("Into the sea"), "capacity", lambda row: row.into_sea_kW),
            Column(tr("Refrigerant"), "temperature", lambda row: row.refrigerant_C),
        ),
        rows,
    )


def heat_sheets() -> tuple[Sheet, ...]:
    """Return the three tables."""
    return (cabin_sheet(), coil_sheet(), chiller_sheet())
