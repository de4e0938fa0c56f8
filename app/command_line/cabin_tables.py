# SPDX-License-Identifier: MIT
"""The heat load of cabins as tables and as plain values."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from app.command_line.report import heading
from app.command_line.tables import paragraph, table
from app.units import System, clock, show
from solver.heat.cabin_load import loads_at_set_point, room_loads
from solver.heat.day import DayLoads, day_loads
from solver.heat.estimate import estimate
from solver.heat.installed import installed
from solver.heat.sheet import cabin_sheet
from solver.vessel.cabin import Cabin
from solver.vessel.components import Chiller
from solver.vessel.vessel import Vessel

_ESTIMATED = (
    "estimate: the cabin has neither surfaces nor a typed load, so its load is the rule of thumb by volume."
)
_HEATING = (
    "heating: neither sun nor people nor equipment are counted on; heat lost is below 0. The rule by volume "
    "is one for cooling."
)
_CAUTION = (
    "Loads are for choosing and checking equipment, steady at every hour. Class, flag and local rules on "
    "ventilation and design conditions come first, and those licensed for it decide."
)


def hour_sections(vessel: Vessel, hour: float | None) -> Iterator[str]:
    """Yield the sections of one hour: each cabin's load, all together, the rule of thumb beside it."""
    system = vessel.units
    loads = room_loads(vessel, hour)
    found = loads_at_set_point(vessel, loads)
    rules = [estimate(vessel, cabin) for cabin in vessel.cabins]
    rows: list[list[str | float | None]] = []
    for index, (cabin, rule) in enumerate(zip(vessel.cabins, rules, strict=True)):
        sensible, latent = float(found.sensible_W[index]), float(found.latent_W[index])
        rows.append(
            [
                cabin.tag,
                cabin.name,
                rule.floor_area_m2,
                cabin.set_point_C,
                sensible,
                latent,
                sensible + latent,
                rule.usual_W,
                _source(cabin, bool(loads.estimated[index])),
            ]
        )
    sums = [float(found.sensible_W.sum()), float(found.latent_W.sum()), float(found.total_W.sum())]
    rows.append(
        ["all", "", sum(rule.floor_area_m2 for rule in rules), None, *sums, sum(r.usual_W for r in rules), ""]
    )
    columns = {
        "tag": None,
        "cabin": None,
        "floor": "area",
        "set point": "temperature",
        "sensible": "heat",
        "latent": "heat",
        "total": "heat",
        "by volume": "heat",
        "from": None,
    }
    yield "\n".join([*heading(vessel, ()), _when(vessel, hour)])
    yield "CABINS AT SET POINT\n" + table(columns, rows, system)
    yield "\n".join(_notes(vessel, bool(loads.estimated.any())))


def day_sections(vessel: Vessel) -> Iterator[str]:
    """Yield the sections of a day: each cabin's peak, their sum, the block load by hour, the equipment."""
    system = vessel.units
    day = day_loads(vessel)
    rows: list[list[str | float | None]] = []
    for index, cabin in enumerate(vessel.cabins):
        rule = estimate(vessel, cabin)
        rows.append(
            [
                cabin.tag,
                cabin.name,
                clock(float(day.peak_hour[index])),
                float(day.peak_heading_deg[index]),
                float(day.peak_sensible_W[index]),
                float(day.peak_latent_W[index]),
                float(day.peak_W[index]),
                rule.low_W,
                rule.high_W,
                _source(cabin, bool(day.estimated[index])),
            ]
        )
    columns = {
        "tag": None,
        "cabin": None,
        "at": None,
        "heading": "angle",
        "sensible": "heat",
        "latent": "heat",
        "peak": "heat",
        "by volume from": "heat",
        "to": "heat",
        "from": None,
    }
    yield "\n".join([*heading(vessel, ()), _day(vessel)])
    yield "PEAK OF EACH CABIN\n" + table(columns, rows, system)
    yield "ALL CABINS\n" + _together(vessel, day, system)
    hours: list[list[str | float | None]] = [
        [clock(float(hour)), float(block)] for hour, block in zip(day.hours, day.block_W, strict=True)
    ]
    yield "BLOCK LOAD BY HOUR\n" + table({"at": None, "all cabins": "heat"}, hours, system)
    yield "\n".join(_notes(vessel, bool(day.estimated.any())))


def sheet_section(vessel: Vessel, tag: str, hour: float | None) -> str:
    """Return the load of one cabin row by row.

    Raises
    ------
    EditError
        No cabin has that tag.
    """
    system = vessel.units
    found = cabin_sheet(vessel, tag, hour)
    rows: list[list[str | float | None]] = [
        [
            row.what,
            _four_digits(row.amount),
            _four_digits(row.rate),
            row.difference_K,
            row.sensible_W,
            row.latent_W,
            row.source,
        ]
        for row in found
    ]
    sums = [sum(row.sensible_W for row in found), sum(row.latent_W for row in found)]
    rows.append(["sum", None, None, None, *sums, ""])
    columns = {
        "what": None,
        "amount": "plain",
        "rate": "plain",
        "difference": "temperature_difference",
        "sensible": "heat",
        "latent": "heat",
        "source": None,
    }
    cabin = next(cabin for cabin in vessel.cabins if cabin.tag == tag)
    name = f"{cabin.tag} {cabin.name}".strip()
    wanted = f"{show(cabin.set_point_C, 'temperature', system)}, {show(cabin.rh_percent, 'percent', system)}"
    head = [*heading(vessel, ()), _when(vessel, hour), f"{name} at {wanted} relative humidity"]
    units = (
        "Amount and rate are in SI: m² and W/m²K or W/m², people and W each, kg/s of dry air and J/kgK; "
        "for a volume m³ and W/m³."
    )
    return "\n\n".join(["\n".join(head), table(columns, rows, system), paragraph(units)])


def hour_json(vessel: Vessel, hour: float | None, tag: str | None) -> dict[str, Any]:
    """Return the loads of one hour as plain values, units in the keys; rows for one cabin if asked for.

    Raises
    ------
    EditError
        No cabin has that tag.
    """
    loads = room_loads(vessel, hour)
    found = loads_at_set_point(vessel, loads)
    cabins = {}
    for index, cabin in enumerate(vessel.cabins):
        cabins[cabin.tag] = {
            "name": cabin.name,
            "sensible_W": float(found.sensible_W[index]),
            "latent_W": float(found.latent_W[index]),
            "total_W": float(found.total_W[index]),
            "gain_W": float(loads.gain_W[index]),
            "conductance_W_K": float(loads.conductance_W_K[index]),
            "ambient_C": float(loads.ambient_C[index]),
            "outdoor_air_kg_s": float(loads.outdoor_air_kg_s[index]),
            "moisture_kg_s": float(loads.moisture_kg_s[index]),
            "heading_deg": float(loads.heading_deg[index]),
            "estimated": bool(loads.estimated[index]),
            "by_volume": estimate(vessel, cabin)._asdict(),
        }
    conditions = vessel.current_conditions
    answer: dict[str, Any] = {
        "vessel": vessel.name,
        "conditions": conditions.name,
        "hour": conditions.hour if hour is None else hour,
        "total_W": float(found.total_W.sum()),
        "cabins": cabins if tag is None else {tag: cabins.get(tag)},
    }
    if tag is not None:
        answer["rows"] = [row._asdict() for row in cabin_sheet(vessel, tag, hour)]
    return answer


def day_json(vessel: Vessel) -> dict[str, Any]:
    """Return the loads of a day as plain values, units in the keys.

    Raises
    ------
    PartError
        A chiller's figures make no sense.
    """
    day, able = day_loads(vessel), installed(vessel)
    cabins = {
        cabin.tag: {
            "name": cabin.name,
            "peak_hour": float(day.peak_hour[index]),
            "peak_heading_deg": float(day.peak_heading_deg[index]),
            "peak_sensible_W": float(day.peak_sensible_W[index]),
            "peak_latent_W": float(day.peak_latent_W[index]),
            "peak_W": float(day.peak_W[index]),
            "sensible_W": day.sensible_W[:, index].tolist(),
            "latent_W": day.latent_W[:, index].tolist(),
            "estimated": bool(day.estimated[index]),
            "by_volume": estimate(vessel, cabin)._asdict(),
        }
        for index, cabin in enumerate(vessel.cabins)
    }
    return {
        "vessel": vessel.name,
        "conditions": vessel.current_conditions.name,
        "hours": day.hours.tolist(),
        "heading_deg": day.heading_deg,
        "block_W": day.block_W.tolist(),
        "block_load_W": day.block_load_W,
        "block_hour": day.block_hour,
        "sum_of_peaks_W": day.sum_of_peaks_W,
        "air_handlers_kW": able.air_handlers_W / 1000.0,
        "chillers_kW": sum(part.capacity_kW for part in vessel.components if isinstance(part, Chiller)),
        "chillers_at_sea_kW": able.total_W / 1000.0,
        "chillers_largest_out_kW": able.largest_out_W / 1000.0,
        "cabins": cabins,
    }


def _together(vessel: Vessel, day: DayLoads, system: System) -> str:
    """Return sum of peaks and block load beside what is installed."""
    able = installed(vessel)
    sea = show(vessel.current_conditions.sea_temp_C, "temperature", system)
    block = f"block load, {clock(day.block_hour)}, heading {show(day.heading_deg, 'angle', system)}"
    rows: list[list[str | float | None]] = [
        ["sum of the cabins' peaks", day.sum_of_peaks_W / 1000.0],
        [block, day.block_load_W / 1000.0],
    ]
    if vessel.current_conditions.mode == "cooling":
        rows.append(["air handlers, rated total", able.air_handlers_W / 1000.0])
    rows.append([f"chillers, sea water of {sea}", able.total_W / 1000.0])
    if len(able.chillers_W) > 1:
        rows.append([f"chillers without {able.largest}, the largest", able.largest_out_W / 1000.0])
    return table({"what": None, "load or capacity": "capacity"}, rows, system)


def _four_digits(value: float | None) -> float | None:
    return None if value is None else float(f"{value:.4g}")


def _source(cabin: Cabin, estimated: bool) -> str:
    if estimated:
        return "estimate"
    return "typed" if cabin.load_sensible_W is not None else "surfaces"


def _when(vessel: Vessel, hour: float | None) -> str:
    at = vessel.current_conditions.hour if hour is None else hour
    return f"{_day(vessel)}, {clock(at)} solar time"


def _day(vessel: Vessel) -> str:
    conditions, system = vessel.current_conditions, vessel.units
    where = "the worst for each cabin"
    if conditions.heading_deg is not None:
        where = show(conditions.heading_deg, "angle", system)
    latitude = f"{abs(conditions.latitude_deg):g}° {'S' if conditions.latitude_deg < 0.0 else 'N'}"
    clouds = show(conditions.cloud_percent, "percent", system)
    return (
        f"latitude {latitude}, day {conditions.day} of month {conditions.month}, clouds {clouds}; "
        f"heading: {where}"
    )


def _notes(vessel: Vessel, estimated: bool) -> list[str]:
    notes = [paragraph(_ESTIMATED)] if estimated else []
    if vessel.current_conditions.mode == "heating":
        notes.append(paragraph(_HEATING))
    return [*notes, paragraph(_CAUTION)]
