# SPDX-License-Identifier: MIT
"""Each kind of component as a link of the network: one small function a kind, one table of them.

A function takes the component, the link's ends, the liquid in it and the bores of the runs at the
component's ports.  Document units become SI here.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import lru_cache
from typing import Any, NamedTuple

from solver.network.network import GRAVITY, Limiter, Link, Medium, OneWay, Passive, PumpLink
from solver.parts.fittings import fitting_loss
from solver.parts.pump_curve import PumpCurve
from solver.parts.rated_drop import in_liquid, power_law
from solver.parts.valves import control_valve_kv, kv_to_k, regulating_valve_kv, throttled_kv
from solver.vessel.components import (
    AirHandler,
    AirSeparator,
    CheckValve,
    Chiller,
    CirculationPump,
    Component,
    ConstantFlowValve,
    DifferentialBypass,
    FlexibleHose,
    FlowMeter,
    IsolatingValve,
    Pump,
    PumpPoint,
    RegulatingValve,
    SeaWaterPump,
    Strainer,
    ThreeWayValve,
    TwoWayValve,
)

Bores = Mapping[tuple[str, str], float]

_STYLE_FITTING = {
    "ball": "ball_valve",
    "gate": "gate_valve",
    "butterfly": "butterfly_valve",
    "globe": "globe_valve",
}


class Ends(NamedTuple):
    """A link's tag, its nodes and the index of its liquid."""

    tag: str
    start: str
    end: str
    medium: int


def component_link(component: Component, ends: Ends, liquid: Medium, bores: Bores) -> Link:
    """Return one way through a component as a link.

    Raises
    ------
    PartError
        The component's data make no sense.
    """
    return _LINKS[type(component)](component, ends, liquid, bores)


def _pump(pump: Pump, ends: Ends, liquid: Medium, _: Bores) -> Link:
    speed = pump.speed_percent / 100 if pump.running else 0.0
    curve = pump_curve(pump.curve, liquid.density)
    return PumpLink(**ends._asdict(), curve=curve, speed=speed)


def _check_valve(valve: CheckValve, ends: Ends, _: Medium, __: Bores) -> Link:
    return OneWay(**ends._asdict(), kv=valve.kv_m3_h, threshold=valve.cracking_kPa * 1e3)


def _bypass(valve: DifferentialBypass, ends: Ends, _: Medium, __: Bores) -> Link:
    return OneWay(
        **ends._asdict(), kv=valve.kv_m3_h, threshold=valve.set_kPa * 1e3, band=valve.band_kPa * 1e3
    )


def _constant_flow(valve: ConstantFlowValve, ends: Ends, liquid: Medium, _: Bores) -> Link:
    low = valve.minimum_drop_kPa * 1e3
    return Limiter(
        **ends._asdict(),
        flow=valve.flow_L_s * 1e-3 * liquid.density,
        low=low,
        high=max(valve.maximum_drop_kPa * 1e3, low * 1.01),
    )


def _air_handler(unit: AirHandler, ends: Ends, liquid: Medium, _: Bores) -> Link:
    points = tuple((point.flow_L_s, point.drop_kPa) for point in unit.drop_points)
    law = power_law(unit.rated_flow_L_s, unit.rated_drop_kPa, unit.drop_exponent, points)
    return _by_law(law, ends, liquid)


def _chiller(chiller: Chiller, ends: Ends, liquid: Medium, _: Bores) -> Link:
    if ends.tag.endswith(":sea"):
        law = power_law(chiller.sea_rated_flow_L_s, chiller.sea_rated_drop_kPa, chiller.sea_drop_exponent)
    else:
        points = tuple((point.flow_L_s, point.drop_kPa) for point in chiller.drop_points)
        law = power_law(chiller.rated_flow_L_s, chiller.rated_drop_kPa, chiller.drop_exponent, points)
    return _by_law(law, ends, liquid)


def _by_law(law: tuple[float, float], ends: Ends, liquid: Medium) -> Link:
    coefficient, exponent = law
    in_this = in_liquid(coefficient, exponent, liquid.density, liquid.viscosity)
    return Passive(**ends._asdict(), coefficient=in_this, exponent=exponent)


def _by_kv(kv: float, ends: Ends) -> Link:
    return Passive(**ends._asdict(), kv=kv) if kv > 0 else Passive(**ends._asdict(), kv=1.0, is_open=False)


def _isolating_valve(valve: IsolatingValve, ends: Ends, _: Medium, bores: Bores) -> Link:
    kv = valve.kv_m3_h or _full_kv(valve, bores)
    return _by_kv(throttled_kv(kv, valve.opening_percent / 100), ends)


def _full_kv(valve: IsolatingValve, bores: Bores) -> float:
    places = [(valve.tag, port) for port in valve.PORTS]
    bore = min(bores[place] for place in places if place in bores)
    k, _ = fitting_loss(_STYLE_FITTING[valve.style], "crane", bore)
    # K and Kv are two names of one loss: kv_to_k(1, bore)/Kv**2 = K.
    return float((kv_to_k(1.0, bore) / k) ** 0.5)


def _regulating_valve(valve: RegulatingValve, ends: Ends, _: Medium, __: Bores) -> Link:
    return _by_kv(regulating_valve_kv(valve.kv_table, valve.setting), ends)


def _control_valve(valve: TwoWayValve | ThreeWayValve, ends: Ends, _: Medium, __: Bores) -> Link:
    position = valve.position_percent / 100
    if ends.tag.endswith(":bypass"):
        position = 1.0 - position
    return _by_kv(control_valve_kv(valve.kvs_m3_h, position, valve.characteristic, valve.rangeability), ends)


def _strainer(strainer: Strainer, ends: Ends, _: Medium, __: Bores) -> Link:
    return _by_kv(strainer.kv_m3_h * (1 - strainer.clogging_percent / 100), ends)


def _plain_kv(part: AirSeparator | FlowMeter, ends: Ends, _: Medium, __: Bores) -> Link:
    return _by_kv(part.kv_m3_h or float("inf"), ends)


def _hose(hose: FlexibleHose, ends: Ends, _: Medium, __: Bores) -> Link:
    return Passive(
        **ends._asdict(),
        length=hose.length_m,
        bore=hose.bore_mm * 1e-3,
        roughness=hose.roughness_mm * 1e-3,
        k=hose.k,
        k_reverse=hose.k,
    )


_LINKS: dict[type[Component], Callable[[Any, Ends, Medium, Bores], Link]] = {
    CirculationPump: _pump,
    SeaWaterPump: _pump,
    Chiller: _chiller,
    AirHandler: _air_handler,
    IsolatingValve: _isolating_valve,
    RegulatingValve: _regulating_valve,
    CheckValve: _check_valve,
    TwoWayValve: _control_valve,
    ThreeWayValve: _control_valve,
    DifferentialBypass: _bypass,
    ConstantFlowValve: _constant_flow,
    Strainer: _strainer,
    AirSeparator: _plain_kv,
    FlexibleHose: _hose,
    FlowMeter: _plain_kv,
}


@lru_cache(maxsize=1024)
def pump_curve(points: tuple[PumpPoint, ...], density: float) -> PumpCurve:
    """Return a pump's curve from the document's points; ``density`` turns power into efficiency.

    Raises
    ------
    PartError
        The points make no curve.
    """
    flow = [point.flow_L_s * 1e-3 for point in points]
    head = [point.head_m for point in points]
    efficiency = [share for point in points if (share := _efficiency(point, density)) is not None]
    npsh = [point.npsh_required_m for point in points if point.npsh_required_m is not None]
    return PumpCurve(
        flow,
        head,
        efficiency if len(efficiency) == len(points) else None,
        npsh if len(npsh) == len(points) else None,
    )


def _efficiency(point: PumpPoint, density: float) -> float | None:
    if point.efficiency_percent is not None:
        return point.efficiency_percent / 100
    if point.power_W is None:
        return None
    hydraulic = density * GRAVITY * point.flow_L_s * 1e-3 * point.head_m
    return hydraulic / point.power_W if point.power_W > 0 else 0.0
