# SPDX-License-Identifier: MIT
"""A balance of heat as figures by tag, in the units of the document."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import cast

import numpy as np

from solver.errors import UnconvergedError
from solver.heat.machines import rated_total
from solver.heat.rooms import Rooms
from solver.heat.temperatures import Found, Start
from solver.media import moist_air
from solver.parts import chiller_law
from solver.parts.coil import reynolds
from solver.results import (
    CabinFigures,
    ChillerFigures,
    CoilFigures,
    EnergyBalance,
    HeatFlow,
    HeatOf,
    HeatResults,
    SurfaceFigures,
    Trip,
    WaterFigures,
)
from solver.vessel.components import AirHandler
from solver.vessel.to_network import Temperatures
from solver.vessel.vessel import Vessel

#: Most that the balance may be apart by, over its larger side.
MOST_ERROR = 1e-3
#: Below this the balance is not worth a share [W].
_LEAST_HEAT = 1.0
TRIPS: dict[int, Trip] = {
    chiller_law.Trip.NONE: "",
    chiller_law.Trip.OFF: "off",
    chiller_law.Trip.LOW_FLOW: "low_flow",
    chiller_law.Trip.FREEZING: "freezing",
    chiller_law.Trip.HIGH_CONDENSING: "high_condensing",
    chiller_law.Trip.SEA_TOO_COLD: "sea_too_cold",
}


def heat_results(vessel: Vessel, found: Found, at: Temperatures, rounds: int = 1) -> HeatResults:
    """Return the figures of a balance, after the check of its sum.

    Parameters
    ----------
    at : Temperatures
        The water's, as the flows were found with.
    rounds : int
        Of flows and temperatures.

    Raises
    ------
    UnconvergedError
        What goes into the water and out of it differ by more than ``MOST_ERROR``.
    """
    balance = energy_balance(found)
    if balance.error_share > MOST_ERROR:
        raise UnconvergedError(
            f"heat into the water and out of it are {balance.error_share:.2%} apart; at most "
            f"{MOST_ERROR:.1%} is accepted"
        )
    return HeatResults(
        water=_water(found),
        surfaces=_surfaces(found),
        chillers=_chillers(found),
        coils=_coils(vessel, found),
        cabins=_cabins(vessel, found),
        port_C=PortTemperatures(vessel, found),
        energy_balance=balance,
        steps=found.balance.steps,
        rounds=rounds,
        start=Start(at, found),
    )


def _water(found: Found) -> dict[str, WaterFigures]:
    heat = found.water.rate * (found.link_out_C - found.link_in_C)
    columns = (found.link_in_C.tolist(), found.link_out_C.tolist(), heat.tolist())
    order = found.solution.compiled.structure.order
    return dict(zip(order, map(WaterFigures, order, *columns), strict=True))


def _surfaces(found: Found) -> dict[str, SurfaceFigures]:
    """Return the surfaces where they are coldest: the share of the whole fall is the same all along."""
    walls, heat = found.walls, found.wall_heat
    order = found.solution.compiled.structure.order
    mean, coldest = found.link_C[walls.link], np.minimum(found.link_in_C, found.link_out_C)[walls.link]
    fall = walls.air_C - mean
    share = np.divide(walls.air_C - heat.surface_C, fall, out=np.zeros_like(fall), where=np.abs(fall) > 1e-9)
    surface = walls.air_C - share * (walls.air_C - coldest)
    tags = [order[place] for place in walls.link.tolist()]
    columns = (walls.air_C, walls.dew_point_C, surface, surface - walls.dew_point_C)
    rows = map(SurfaceFigures, tags, *(column.tolist() for column in columns))
    return dict(zip(tags, rows, strict=True))


def _chillers(found: Found) -> dict[str, ChillerFigures]:
    plant, water, into = found.plant, found.water, found.link_in_C
    figures = {}
    for place, tag in enumerate(plant.tags):
        state, link, sea = found.balance.plant.each[place], plant.links[place], plant.sea_links[place]
        drawn = bool(sea >= 0)
        sea_flow = water.rate[sea] / plant.heats[1] if drawn else plant.laws[place].sea_flow
        figures[tag] = ChillerFigures(
            tag=tag,
            capacity_kW=float(state.capacity) / 1e3,
            duty_kW=float(state.duty) / 1e3,
            power_kW=float(state.power) / 1e3,
            entering_C=float(into[link]),
            leaving_C=float(state.leaving_C),
            set_point_C=float(plant.set_point[place]),
            load_share=float(state.load_share),
            at_set_point=bool(state.at_set_point),
            cycles=bool(state.cycles),
            tripped=TRIPS[int(found.balance.plant.trip[place])],
            sea_in_C=float(into[sea]) if drawn else plant.sea_C,
            sea_out_C=float(state.sea_out_C),
            sea_flow_L_s=float(sea_flow) / plant.sea_density * 1e3,
            sea_drawn=drawn,
            into_sea_kW=float(state.into_sea) / 1e3,
            refrigerant_C=float(state.refrigerant_C),
            covered=bool(state.covered),
        )
    return figures


def _coils(vessel: Vessel, found: Found) -> dict[str, CoilFigures]:
    units, means, water = found.units, found.balance.coils, found.water
    rate = water.rate[found.unit_links]
    run = means.running
    numbers = reynolds(units.model, rate / units.specific_heat, units.liquid)
    humid = moist_air.relative_humidity(means.air_in_C, means.humidity_in)
    figures = {}
    for row, tag in enumerate(units.tags):
        share = float(means.part[row] if means.stage[row] == 1 else 1.0)
        handler = cast("AirHandler", vessel.component_by_tag[tag])
        figures[tag] = CoilFigures(
            tag=tag,
            total_W=float(means.total[row]),
            sensible_W=float(means.sensible[row]),
            latent_W=float(means.total[row] - means.sensible[row]),
            running_W=float(run.total[row]),
            run_share=share,
            fan_percent=100.0 * float(units.fan[row, means.stage[row]]),
            demand=float(means.demand[row]),
            water_in_C=float(found.link_in_C[found.unit_links[row]]),
            water_out_C=float(run.water_out_C[row]),
            air_in_C=float(means.air_in_C[row]),
            air_in_rh=min(float(humid[row]), 1.0),
            air_out_C=float(run.air_out_C[row]),
            condensate_L_h=float(means.condensate[row]) * 3600.0,
            is_wet=bool(run.is_wet[row]),
            reynolds=float(numbers[row]),
            rated_total_W=rated_total(handler),
            fan_heat_W=float(means.fan_heat[row]),
        )
    return figures


def _cabins(vessel: Vessel, found: Found) -> dict[str, CabinFigures]:
    rooms, state = found.rooms, found.balance.state
    if not rooms.tags:
        return {}
    sensible, moisture = rooms.loads_at(state.cabin_C, state.humidity_ratio)
    rh = np.minimum(moist_air.relative_humidity(state.cabin_C, state.humidity_ratio), 1.0)
    off = (state.cabin_C - rooms.set_point) * (-1.0 if found.heating else 1.0)
    by_cabin = _air_handlers(found, rooms)
    columns = (state.cabin_C, rh, rooms.set_point, off, sensible, moisture * moist_air.EVAPORATION)
    rows = map(
        CabinFigures,
        rooms.tags,
        *(column.tolist() for column in columns),
        by_cabin,
        np.asarray(rooms.loads.estimated).tolist(),
    )
    return dict(zip(rooms.tags, rows, strict=True))


def _air_handlers(found: Found, rooms: Rooms) -> list[tuple[str, ...]]:
    serving: list[list[str]] = [[] for _ in rooms.tags]
    for unit, cabin in zip(rooms.unit.tolist(), rooms.cabin.tolist(), strict=True):
        serving[cabin].append(found.units.tags[unit])
    return [tuple(tags) for tags in serving]


def energy_balance(found: Found) -> EnergyBalance:
    """Return where the heat comes from and where it goes, and how well the sums meet."""
    water, plant, means, units = found.water, found.plant, found.balance.coils, found.units
    structure = found.solution.compiled.structure
    sea = np.zeros(len(water.rate), dtype=bool)
    sea[found.sea_links] = True
    heat = np.where(sea, 0.0, water.rate * (found.link_out_C - found.link_in_C))
    serves = units.group >= 0
    coils = heat[found.unit_links]
    pumped, _ = water.pumped(found.balance.state.node_C)
    pumps = np.where(sea, 0.0, pumped)
    walls = np.zeros(len(heat))
    walls[found.walls.link] = heat[found.walls.link]
    in_loop = np.ones(len(structure.node_tags), dtype=bool)
    in_loop[structure.start[sea]] = in_loop[structure.end[sea]] = False
    tanks = float((water.node_gain * (water.node_air_C - found.balance.state.node_C))[in_loop].sum())
    chillers = heat[plant.links]
    fans = means.fan_heat[serves]
    flows: dict[HeatOf, float] = {
        "cabins": float(coils[serves].sum() - fans.sum()),
        "fans": float(fans.sum()),
        "rated_air": float(coils[~serves].sum()),
        "pipes": float(walls.sum()),
        "pumps": float(pumps.sum()),
        "tanks": tanks,
        "chillers": float(chillers.sum()),
    }
    into = sum(max(value, 0.0) for value in flows.values())
    out = -sum(min(value, 0.0) for value in flows.values())
    wet = plant.sea_links[plant.sea_links >= 0]
    by_water = water.rate[wet] * (found.link_out_C[wet] - found.link_in_C[wet])
    power = float(sum(float(state.power) for state in found.balance.plant.each))
    into_sea = float(found.balance.plant.into_sea.sum())
    undrawn = float(found.balance.plant.into_sea[plant.sea_links < 0].sum())
    apart = max(abs(into - out), abs(float(by_water.sum()) + undrawn - power + float(chillers.sum())))
    largest = max(into, out, abs(into_sea))
    return EnergyBalance(
        flows=tuple(HeatFlow(name, value) for name, value in flows.items()),
        into_water_W=into,
        out_of_water_W=out,
        compressors_W=power,
        into_sea_W=into_sea,
        error_share=apart / largest if largest > _LEAST_HEAT else 0.0,
    )


class PortTemperatures(Mapping[tuple[str, str], float]):
    """(tag, port) -> temperature of the water there [degC], of the ports that water may reach."""

    def __init__(self, vessel: Vessel, found: Found):
        index = found.solution.compiled.structure.node_index
        node_C = found.balance.state.node_C.tolist()
        self._points = vessel.joints.point_of
        self._by_point: list[float | None] = [None] * vessel.joints.point_count
        for (tag, port), point in self._points.items():
            node = index.get(f"{tag}/{port}")
            if node is not None:
                self._by_point[point] = node_C[node]

    def __getitem__(self, port: tuple[str, str]) -> float:
        found = self._by_point[self._points[port]]
        if found is None:
            raise KeyError(port)
        return found

    def __iter__(self) -> Iterator[tuple[str, str]]:
        return (port for port, point in self._points.items() if self._by_point[point] is not None)

    def __len__(self) -> int:
        return sum(1 for _ in self)
