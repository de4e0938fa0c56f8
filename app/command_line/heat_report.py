# SPDX-License-Identifier: MIT
"""The tables of temperatures, as a technician reads them: cabins, chillers, coils, where the heat goes."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from app.command_line.plain import in_order, without_tags
from app.command_line.tables import paragraph, table
from app.units import System, show
from solver.results import CabinFigures, ChillerFigures, EnergyBalance, HeatOf, HeatResults
from solver.vessel.vessel import Vessel

#: A cabin further off its set point than this is marked [K].
_OFF_K = 1.0
_TRIPS = {
    "off": "off",
    "low_flow": "tripped: low flow",
    "freezing": "tripped: frost",
    "high_condensing": "tripped: high pressure",
    "sea_too_cold": "stopped: sea too cold",
}
_ITEMS: dict[HeatOf, str] = {
    "cabins": "cabins",
    "fans": "fans",
    "rated_air": "air handlers without a cabin",
    "pipes": "pipes and hoses",
    "pumps": "pumps",
    "tanks": "tanks",
    "chillers": "chillers",
}


def heat_sections(vessel: Vessel, heat: HeatResults, system: System) -> Iterator[str]:
    """Yield the sections on temperatures, each without an empty line at its end."""
    if heat.cabins:
        yield "CABINS\n" + _cabins(vessel, heat, system)
    if heat.chillers:
        yield "CHILLERS\n" + _chillers(vessel, heat, system)
    if heat.coils:
        yield "COILS (totals over time; water and air as they are while the fan runs)\n" + _coils(
            heat, system
        )
    yield "HEAT INTO THE WATER\n" + _balance(heat.energy_balance, system)


def heat_json(heat: HeatResults) -> dict[str, Any]:
    """Return temperatures as plain values, units in the keys."""
    balance = heat.energy_balance
    return {
        "water": without_tags(heat.water),
        "chillers": without_tags(heat.chillers),
        "coils": without_tags(heat.coils),
        "cabins": without_tags(heat.cabins),
        "surfaces": without_tags(heat.surfaces),
        "energy_balance": {
            "flows_W": {flow.name: flow.heat_W for flow in balance.flows},
            "into_water_W": balance.into_water_W,
            "out_of_water_W": balance.out_of_water_W,
            "compressors_W": balance.compressors_W,
            "into_sea_W": balance.into_sea_W,
            "error_share": balance.error_share,
        },
    }


def _cabins(vessel: Vessel, heat: HeatResults, system: System) -> str:
    names = {cabin.tag: cabin.name for cabin in vessel.cabins}
    heads = {
        "tag": None,
        "name": None,
        "air": "temperature",
        "set point": "temperature",
        "humidity": "fraction",
        "sensible": "capacity",
        "latent": "capacity",
        "air handlers": None,
        "": None,
    }
    cooler_is_off = vessel.current_conditions.mode == "heating"
    rows = [
        (
            tag,
            names[tag],
            cabin.temp_C,
            cabin.set_point_C,
            cabin.rh,
            cabin.load_sensible_W / 1e3,
            cabin.load_latent_W / 1e3,
            ", ".join(cabin.air_handlers) or "none",
            _word(cabin, cooler_is_off),
        )
        for tag, cabin in sorted(heat.cabins.items(), key=in_order)
    ]
    told = table(heads, rows, system)
    if any(cabin.estimated for cabin in heat.cabins.values()):
        told += "\n" + paragraph("estimate: a rule of thumb stands in for walls and people of that cabin")
    return told


def _word(cabin: CabinFigures, cooler_is_off: bool) -> str:
    words = []
    if cabin.air_handlers and cabin.above_K > _OFF_K:
        words.append("cold" if cooler_is_off else "warm")
    if cabin.estimated:
        words.append("estimate")
    return ", ".join(words)


def _chillers(vessel: Vessel, heat: HeatResults, system: System) -> str:
    heads = {
        "tag": None,
        "name": None,
        "capacity": "capacity",
        "duty": "capacity",
        "power": "power",
        "water in": "temperature",
        "leaving": "temperature",
        "set point": "temperature",
        "sea in": "temperature",
        "sea out": "temperature",
        "": None,
    }
    rows = [
        (
            tag,
            vessel.component_by_tag[tag].name,
            one.capacity_kW,
            one.duty_kW,
            one.power_kW * 1e3,
            one.entering_C,
            one.leaving_C,
            one.set_point_C,
            one.sea_in_C,
            one.sea_out_C,
            _state(one),
        )
        for tag, one in sorted(heat.chillers.items(), key=in_order)
    ]
    return table(heads, rows, system)


def _state(one: ChillerFigures) -> str:
    if one.tripped:
        return _TRIPS[one.tripped]
    if not one.at_set_point:
        return "short"
    return "starts and stops" if one.cycles else ""


def _coils(heat: HeatResults, system: System) -> str:
    heads = {
        "tag": None,
        "total": "capacity",
        "latent": "capacity",
        "rated": "capacity",
        "water in": "temperature",
        "water out": "temperature",
        "air in": "temperature",
        "air out": "temperature",
        "fan": "percent",
        "of the time": "fraction",
    }
    rows = [
        (
            tag,
            coil.total_W / 1e3,
            coil.latent_W / 1e3,
            coil.rated_total_W / 1e3,
            coil.water_in_C,
            coil.water_out_C,
            coil.air_in_C,
            coil.air_out_C,
            coil.fan_percent,
            coil.run_share,
        )
        for tag, coil in sorted(heat.coils.items(), key=in_order)
    ]
    return table(heads, rows, system)


def _balance(balance: EnergyBalance, system: System) -> str:
    rows = [(_ITEMS[flow.name], flow.heat_W / 1e3) for flow in balance.flows if abs(flow.heat_W) > 0.5]
    told = table({"from": None, "heat": "capacity"}, rows, system)
    sea = show(balance.into_sea_W / 1e3, "capacity", system)
    power = show(balance.compressors_W, "power", system)
    return told + "\n" + paragraph(f"Compressors take {power}; {sea} go into the sea.")
