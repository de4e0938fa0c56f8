# SPDX-License-Identifier: MIT
"""Boats for tests of temperatures: small ones by hand, and random ones of any make."""

from __future__ import annotations

from random import Random
from typing import Any

import msgspec
import numpy as np

from solver.errors import NotSolvableError
from solver.findings import findings
from solver.heat.cabin_load import RoomLoads, room_loads
from solver.heat.figures import heat_results
from solver.heat.temperatures import Found, temperatures, water_temps
from solver.media.moist_air import humidity_ratio
from solver.network.newton import newton
from solver.network.solution import Solution
from solver.results import HeatResults, Results
from solver.solve import compiled_vessel, solve
from solver.vessel.components import (
    AirHandler,
    BufferTank,
    CheckValve,
    Chiller,
    CirculationPump,
    DifferentialBypass,
    ExpansionVessel,
    IsolatingValve,
    Manifold,
    Overboard,
    PumpPoint,
    SeaWaterPump,
    ThroughHull,
)
from solver.vessel.run import Insulation
from solver.vessel.vessel import Cabin, Conditions, LoopLiquid, Vessel
from tests.solver.small_vessels import Sketch, changed, sound_vessel

#: Sizes from 10 mm to 51 mm bore of the series that the sketch draws in.
SIZES = ("12x1.0", "15x1.0", "18x1.0", "22x1.0", "28x1.5", "35x1.5", "54x2.0")
_THERMOSTATS = ("none", "fan", "fan", "two_way_valve", "three_way_valve")


def loads_of(vessel: Vessel, **columns: Any) -> RoomLoads:
    """Return loads of a vessel's cabins: those given, one value for all or one a cabin, and no others."""
    count = len(vessel.cabins)
    conditions = vessel.current_conditions
    outdoor = conditions.outdoor_temp_C
    given = {
        "gain_W": 0.0,
        "conductance_W_K": 0.0,
        "ambient_C": outdoor,
        "outdoor_air_kg_s": 0.0,
        "outdoor_C": outdoor,
        "outdoor_humidity_ratio": float(humidity_ratio(outdoor, conditions.outdoor_rh_percent / 100)),
        "moisture_kg_s": 0.0,
        **columns,
    }
    filled = {name: np.broadcast_to(np.asarray(value, float), (count,)) for name, value in given.items()}
    return room_loads(vessel)._replace(**filled)


def flows_of(vessel: Vessel) -> Solution:
    """Return the flows of a vessel, its water everywhere as the document has it."""
    return newton(compiled_vessel(vessel))


def balanced(vessel: Vessel, loads: RoomLoads | None = None, solution: Solution | None = None) -> Found:
    """Return the balance of heat at the flows of a vessel."""
    return temperatures(vessel, solution or flows_of(vessel), loads=loads)


def figures_of(vessel: Vessel, loads: RoomLoads | None = None) -> HeatResults:
    """Return the figures of the balance at the flows of a vessel, its walls as warm as their water."""
    found = balanced(vessel, loads)
    at = water_temps(vessel, found)
    found = temperatures(vessel, found.solution, at, found, loads=found.loads)
    return heat_results(vessel, found, at)


#: What the cabins of the cool vessel have: sun and people, walls, outdoor air, breath.
COOL_LOADS = {
    "gain_W": 1500.0,
    "conductance_W_K": 40.0,
    "outdoor_air_kg_s": 0.012,
    "moisture_kg_s": 8e-5,
}


def cool_vessel(**more: Any) -> Vessel:
    """Return the sound vessel with three cabins, each with an air handler that holds its set point."""
    vessel = sound_vessel(
        cabins=tuple(Cabin(tag=f"C-{number}", set_point_C=24.0) for number in (1, 2, 3)), **more
    )
    for number in (1, 2, 3):
        vessel = changed(
            vessel,
            f"AH-{number}",
            cabins=(f"C-{number}",),
            capacity_total_kW=4.2,
            fan_power_W=60.0,
            fan_speeds_percent=(40.0, 70.0, 100.0),
        )
    return vessel


def cooled(vessel: Vessel, **loads: Any) -> Results:
    """Return the results of a vessel with temperatures, under the loads of the cool vessel or others."""
    heat = figures_of(vessel, loads_of(vessel, **(COOL_LOADS | loads)))
    results = solve(vessel)
    results = msgspec.structs.replace(results, heat=heat)
    return msgspec.structs.replace(results, findings=findings(vessel, results))


class RandomBoat:
    """A boat of any make: chillers side by side or in series, air handlers of any kind, cabins or none.

    Parameters
    ----------
    seed : int
        The same boat for the same number.
    extreme : bool
        Figures as far as the document accepts them, whether they make sense or not.
    """

    def __init__(self, seed: int, extreme: bool = False):
        self.rng = Random(seed)
        self.extreme = extreme
        self.sketch = Sketch()
        self.heating = self.rng.random() < 0.25
        self.cabins = tuple(
            Cabin(tag=f"C-{number}", set_point_C=self.rng.uniform(18.0, 27.0))
            for number in range(self.rng.choice((0, 1, 2, 3, 5, 8)))
        )
        self._plant()
        self._air_handlers()
        self.conditions = self._conditions()
        self.vessel = self.sketch.vessel(
            cabins=self.cabins, conditions=(self.conditions,), loop_liquid=self._liquid()
        )
        self.loads = self._loads()

    def _log(self, low: float, high: float) -> float:
        return float(10 ** self.rng.uniform(np.log10(low), np.log10(high)))

    def _plant(self) -> None:
        rng, sketch = self.rng, self.sketch
        count = rng.choice((1, 1, 2, 2, 3))
        sketch.add(
            Manifold(tag="M-S", port_count=30),
            Manifold(tag="M-R", port_count=30),
            ExpansionVessel(tag="EV-1", pressure_kPa=150.0),
        )
        sketch.run(("M-R", "30"), ("EV-1", "connection"), size="15x1.0")
        in_series = count > 1 and rng.random() < 0.25
        self.chillers = [self._chiller(f"CH-{number + 1}") for number in range(count)]
        if in_series:
            self._pump("P-1")
            sketch.line(("M-R", "1"), "P-1", *self.chillers, ("M-S", "1"), **self._run())
        else:
            for number, chiller in enumerate(self.chillers, 1):
                pump = f"P-{number}"
                self._pump(pump)
                stops: list[tuple[str, str] | str] = [("M-R", str(number)), pump]
                if rng.random() < 0.7:
                    sketch.add(CheckValve(tag=f"CV-{number}", kv_m3_h=self._log(4.0, 40.0)))
                    stops.append(f"CV-{number}")
                sketch.line(*stops, chiller, ("M-S", str(number)), **self._run())
        if rng.random() < 0.3:
            sketch.add(BufferTank(tag="BT-1", port_count=2, heat_gain_W_K=rng.choice((0.0, 2.0, 40.0))))
            sketch.line(("M-S", "20"), "BT-1", ("M-R", "20"), size="15x1.0")
        if rng.random() < 0.3:
            sketch.add(DifferentialBypass(tag="DB-1", set_kPa=rng.uniform(5.0, 120.0), kv_m3_h=3.0))
            sketch.line(("M-S", "21"), "DB-1", ("M-R", "21"), size="22x1.0")
        self._sea_side()

    def _pump(self, tag: str) -> None:
        head, last = self.rng.uniform(4.0, 25.0), self._log(0.1, 5.0)
        curve = tuple(
            PumpPoint(last * share, head * part, efficiency_percent=self.rng.choice((None, 45.0)))
            for share, part in ((0.0, 1.0), (0.4, 0.95), (0.7, 0.8), (1.0, 0.5))
        )
        self.sketch.add(
            CirculationPump(
                tag=tag,
                curve=curve,
                speed_percent=self.rng.choice((100.0, 100.0, 70.0, 0.0 if self.extreme else 50.0)),
                running=self.rng.random() < 0.92,
                motor_in_water=self.rng.random() < 0.5,
            )
        )

    def _chiller(self, tag: str) -> str:
        rng = self.rng
        capacity = self._log(1.0, 80.0) if not self.extreme else self._log(0.02, 2000.0)
        more: dict[str, Any] = {}
        if self.extreme:
            more = {
                "capacity_per_leaving_percent_K": rng.uniform(0.0, 20.0),
                "capacity_per_sea_percent_K": rng.uniform(-20.0, 0.0),
                "power_per_leaving_percent_K": rng.uniform(-20.0, 20.0),
                "power_per_sea_percent_K": rng.uniform(-20.0, 20.0),
                "freezing_trip_C": rng.uniform(-40.0, 20.0),
                "power_kW": capacity / rng.uniform(1.0, 15.0),
            }
        self.sketch.add(
            Chiller(
                tag=tag,
                capacity_kW=capacity,
                design_flow_L_s=capacity / 21.0,
                rated_flow_L_s=capacity / 21.0,
                rated_drop_kPa=rng.uniform(5.0, 60.0),
                minimum_flow_L_s=rng.choice((0.0, capacity / 60.0)),
                sea_rated_flow_L_s=capacity / rng.uniform(10.0, 25.0),
                set_point_C=rng.uniform(3.0, 14.0) if not self.extreme else rng.uniform(-20.0, 30.0),
                heating_set_point_C=rng.uniform(35.0, 55.0),
                running=rng.random() < 0.85,
                turn_down_percent=rng.choice((100.0, 50.0, 25.0)),
                compressor_speed_percent=rng.choice((100.0, 100.0, 60.0, 120.0)),
                condenser_fouling_percent=rng.choice((0.0, 0.0, 30.0, 80.0)),
                heating_capacity_kW=rng.choice((None, None, 0.0, 1.1 * capacity)),
                **more,
            )
        )
        return tag

    def _sea_side(self) -> None:
        """One pump through the condensers of some chillers, side by side, their valves perhaps shut."""
        rng, sketch = self.rng, self.sketch
        drawn = [tag for tag in self.chillers if rng.random() < 0.6]
        if not drawn:
            return
        capacity = sum(part.capacity_kW for part in sketch.components if isinstance(part, Chiller))
        last = max(capacity / 10.0, 0.1)
        sketch.add(
            ThroughHull(tag="TH-1", height_m=-1.0, bore_mm=60.0),
            SeaWaterPump(
                tag="SP-1",
                height_m=-0.8,
                running=rng.random() < 0.9,
                curve=tuple(
                    PumpPoint(last * share, head) for share, head in ((0.0, 12.0), (0.5, 10.0), (1.0, 6.0))
                ),
            ),
            Manifold(tag="M-T", port_count=5, height_m=0.0),
            Manifold(tag="M-O", port_count=5, height_m=0.0),
            Overboard(tag="OB-1", height_m=0.3),
        )
        pipe = {"series": "cu_ni_90_10", "size": "57x1.5", "service": "sea"}
        sketch.line(("TH-1", "connection"), "SP-1", ("M-T", "5"), **pipe)
        for number, tag in enumerate(drawn, 1):
            valve = f"V-9{number}"
            sketch.add(IsolatingValve(tag=valve, opening_percent=rng.choice((100.0, 100.0, 30.0, 0.0))))
            sketch.line(("M-T", str(number)), valve, (tag, "sea_in"), **pipe)
            sketch.run((tag, "sea_out"), ("M-O", str(number)), **pipe)
        sketch.run(("M-O", "5"), ("OB-1", "connection"), **pipe)

    def _air_handlers(self) -> None:
        rng, sketch = self.rng, self.sketch
        self.units: list[str] = []
        for number in range(1, rng.choice((1, 2, 3, 4, 6, 9)) + 1):
            tag, valve = f"AH-{number}", f"V-{number}"
            sketch.add(
                self._air_handler(tag),
                IsolatingValve(tag=valve, opening_percent=rng.choice((100.0, 100.0, 100.0, 40.0, 0.0))),
            )
            self.units.append(tag)
            ways = [("M-S", str(number + 3)), valve, tag, ("M-R", str(number + 3))]
            if rng.random() < 0.08:
                # Supply and return crossed: the water enters by the outlet.
                ways = [("M-R", str(number + 3)), tag, valve, ("M-S", str(number + 3))]
            sketch.line(*ways, **self._run(branch=True))

    def _air_handler(self, tag: str) -> AirHandler:
        rng = self.rng
        total = self._log(0.8, 12.0)
        flow = total / rng.uniform(16.0, 28.0)
        tags = [cabin.tag for cabin in self.cabins]
        return AirHandler(
            tag=tag,
            design_flow_L_s=flow,
            rated_flow_L_s=flow,
            rated_drop_kPa=rng.uniform(3.0, 40.0),
            capacity_total_kW=total,
            capacity_sensible_kW=total * rng.uniform(0.73, 0.755) if rng.random() < 0.5 else 0.0,
            cabins=tuple(rng.sample(tags, min(len(tags), rng.choice((0, 1, 1, 1, 2, 3))))),
            rated_air_temp_C=rng.uniform(26.0, 28.0),
            rated_air_rh_percent=rng.uniform(45.0, 50.0),
            rated_water_temp_C=rng.uniform(5.0, 8.0),
            thermostat=rng.choice(_THERMOSTATS),
            fan_running=rng.random() < 0.92,
            fan_speeds_percent=rng.choice(((100.0,), (40.0, 70.0, 100.0), (30.0, 100.0), (55.0,))),
            fan_power_W=rng.choice((0.0, 40.0, 300.0)),
            filter_clogging_percent=rng.choice((0.0, 0.0, 50.0, 99.0 if self.extreme else 80.0)),
            coil_fouling_percent=rng.choice((0.0, 0.0, 40.0, 99.0 if self.extreme else 80.0)),
        )

    def _run(self, branch: bool = False) -> dict[str, Any]:
        rng = self.rng
        return {
            "size": rng.choice(SIZES[:4] if branch else SIZES[3:]),
            "length_m": self._log(0.05, 60.0),
            "insulation": rng.choice((None, Insulation(), Insulation(thickness_mm=32.0))),
            "surroundings": rng.choice(("", "engine room")),
        }

    def _conditions(self) -> Conditions:
        rng = self.rng
        if self.heating:
            outdoor, sea = rng.uniform(-15.0, 15.0), rng.uniform(-1.0, 18.0)
        else:
            outdoor, sea = rng.uniform(15.0, 45.0), rng.uniform(5.0, 38.0)
        salinity = rng.choice((0.0, 35.0))
        return Conditions(
            name="Any day",
            outdoor_temp_C=outdoor,
            outdoor_rh_percent=rng.uniform(5.0, 95.0),
            sea_temp_C=sea if salinity else max(sea, 0.5),
            sea_salinity_g_kg=salinity,
            mode="heating" if self.heating else "cooling",
        )

    def _liquid(self) -> LoopLiquid:
        kind = self.rng.choice(("water", "water", "propylene_glycol", "ethylene_glycol"))
        return LoopLiquid(kind=kind, share_percent=0.0 if kind == "water" else self.rng.uniform(20.0, 50.0))

    def _loads(self) -> RoomLoads:
        rng, count = self.rng, len(self.cabins)

        def each(low: float, high: float) -> list[float]:
            return [rng.choice((0.0, 1.0, 1.0)) * rng.uniform(low, high) for _ in range(count)]

        return loads_of(
            self.vessel,
            gain_W=each(0.0, 300.0 if self.heating else 6000.0),
            conductance_W_K=each(0.0, 150.0),
            outdoor_air_kg_s=each(0.0, 0.05),
            moisture_kg_s=each(0.0, 5e-4),
        )


def refused_in_words(boat: RandomBoat) -> Found | None:
    """Return a random boat's balance, or None where it is refused; a refusal names its parts or says why."""
    try:
        return balanced(boat.vessel, boat.loads)
    except NotSolvableError as error:
        assert len(str(error)) > 10
        return None
