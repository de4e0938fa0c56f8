# SPDX-License-Identifier: MIT
"""Results of small vessels by plain square laws, for tests that need a solved vessel but no solver.

Every loss goes with the square of its flow (friction factor 0.025), pumps follow the parabola
through their first and last point, and the balance is found by a dense Newton iteration.  Good for
a few dozen links.
"""

from __future__ import annotations

from types import MappingProxyType
from typing import Any

import numpy as np

from solver.parts.pipe_sizes import pipe_size
from solver.parts.valves import control_valve_kv, regulating_valve_kv
from solver.results import AirHandlerFigures, LinkFigures, PumpFigures, Results
from solver.vessel.components import (
    AirHandler,
    CheckValve,
    Chiller,
    ConstantFlowValve,
    DifferentialBypass,
    ExpansionVessel,
    FlexibleHose,
    IsolatingValve,
    Overboard,
    Pump,
    RegulatingValve,
    ThreeWayValve,
    ThroughHull,
    TwoWayValve,
)
from solver.vessel.joints import Joints
from solver.vessel.vessel import Vessel

DENSITY, GRAVITY, FRICTION = 1000.0, 9.80665, 0.025
SHUT = 1e16


def make_results(vessel: Vessel, **changed: Any) -> Results:
    """Return results; ``changed`` replaces fields of them."""
    joints = Joints(vessel)
    laws = [_law(vessel, joints, link) for link in range(len(joints.tags))]
    while True:
        flow, total = _solve(vessel, joints, laws)
        reversed_checks = [
            link
            for link, tag in enumerate(joints.tags)
            if isinstance(vessel.component_by_tag.get(tag), CheckValve)
            and flow[link] < 0.0
            and laws[link][0] < SHUT
        ]
        if not reversed_checks:
            break
        for link in reversed_checks:
            laws[link] = (SHUT, 0.0)
    # A shut part leaks a little here; what only leaks stands still.
    flow = np.where(np.abs(flow) < 1e-6, 0.0, flow)
    height = {c.tag: c.height_m or 0.0 for c in vessel.components}
    port_kPa = {
        port: float(total[point] - DENSITY * GRAVITY * height[port[0]] / 1e3)
        for port, point in joints.point_of.items()
    }
    links = {
        tag: _figures(vessel, joints, link, flow[link], laws[link], port_kPa)
        for link, tag in enumerate(joints.tags)
    }
    made: dict[str, Any] = {
        "vessel": vessel,
        "solution": None,
        "method": "newton",
        "converged": True,
        "iterations": 1,
        "mass_residual_kg_s": 0.0,
        "pressure_residual_Pa": 0.0,
        "links": MappingProxyType(links),
        "pumps": MappingProxyType(
            {c.tag: _pump(c, links[c.tag]) for c in vessel.components if isinstance(c, Pump)}
        ),
        "air_handlers": MappingProxyType(
            {
                c.tag: AirHandlerFigures(
                    c.tag,
                    links[c.tag].flow_L_s,
                    c.design_flow_L_s,
                    links[c.tag].flow_L_s / c.design_flow_L_s,
                    links[c.tag].loss_kPa,
                )
                for c in vessel.components
                if isinstance(c, AirHandler)
            }
        ),
        "port_kPa": MappingProxyType(port_kPa),
        "index_circuit": None,
        "findings": (),
    }
    return Results(**(made | changed))


def _by_kv(kv: float) -> float:
    return SHUT if kv <= 0.0 else 100.0 * 3.6**2 / kv**2


def _law(vessel: Vessel, joints: Joints, link: int) -> tuple[float, float]:
    """Return (square coefficient [kPa/(L/s)2], rise [kPa]) of a link."""
    if link < joints.run_count:
        run = vessel.runs[link]
        return _tube(run.length_m, pipe_size(run.series, run.size).bore_mm, run.extra_k), 0.0
    part, suffix = vessel.component_by_tag[joints.end_port[link][0]], joints.tags[link].partition(":")[2]
    match part:
        case Pump():
            first, last, speed = part.curve[0], part.curve[-1], part.speed_percent / 100.0 * part.running
            fall = (first.head_m - last.head_m) * DENSITY * GRAVITY / 1e3 / last.flow_L_s**2
            return fall, first.head_m * speed**2 * DENSITY * GRAVITY / 1e3
        case Chiller() if suffix:
            return part.sea_rated_drop_kPa / part.sea_rated_flow_L_s**2, 0.0
        case Chiller() | AirHandler():
            return part.rated_drop_kPa / part.rated_flow_L_s**2, 0.0
        case IsolatingValve():
            return (0.2 / (part.opening_percent / 100.0) ** 2 if part.opening_percent else SHUT), 0.0
        case RegulatingValve():
            return _by_kv(regulating_valve_kv(part.kv_table, part.setting)), 0.0
        case TwoWayValve():
            kv = control_valve_kv(part.kvs_m3_h, part.position_percent / 100, part.characteristic)
            return _by_kv(kv), 0.0
        case ThreeWayValve():
            opening = part.position_percent / 100.0
            return _by_kv(part.kvs_m3_h * (opening if suffix == "through" else 1.0 - opening)), 0.0
        case FlexibleHose():
            return _tube(part.length_m, part.bore_mm, part.k), 0.0
        case DifferentialBypass():
            return SHUT, 0.0
        case ConstantFlowValve():
            return part.minimum_drop_kPa / part.flow_L_s**2, 0.0
    return _by_kv(part.kv_m3_h), 0.0


def _tube(length_m: float, bore_mm: float, k: float) -> float:
    area = np.pi * (bore_mm / 1e3) ** 2 / 4
    k += FRICTION * length_m / (bore_mm / 1e3)
    return float(k * DENSITY / 2 * (1e-3 / area) ** 2 / 1e3)


def _solve(
    vessel: Vessel, joints: Joints, laws: list[tuple[float, float]]
) -> tuple[np.ndarray[Any, Any], np.ndarray[Any, Any]]:
    """Return flow of every link [L/s] and pressure of every point brought to height 0 [kPa]."""
    fixed = {}
    for part in vessel.components:
        if isinstance(part, ExpansionVessel):
            static = DENSITY * GRAVITY * (part.height_m or 0.0) / 1e3
            fixed[joints.point_of[part.tag, "connection"]] = part.pressure_kPa + static
        if isinstance(part, ThroughHull | Overboard):
            above = max(part.height_m or 0.0, 0.0)
            fixed[joints.point_of[part.tag, "connection"]] = DENSITY * GRAVITY * above / 1e3
    labels = joints.circuits
    for label in range(int(labels.max()) + 1):
        points = np.flatnonzero(labels == label)
        if not any(int(point) in fixed for point in points):
            fixed[int(points[0])] = 0.0
    square = np.array([law[0] for law in laws])
    rise = np.array([law[1] for law in laws])
    count, links = joints.point_count, len(laws)
    start, end = np.array(joints.start), np.array(joints.end)
    incidence = np.zeros((links, count))
    incidence[np.arange(links), start] += 1.0
    incidence[np.arange(links), end] -= 1.0
    total = np.zeros(count)
    for point, pressure in fixed.items():
        total[point] = pressure
    free = [point for point in range(count) if point not in fixed]
    flow = np.full(links, 0.3)
    for _ in range(300):
        weight = 1.0 / (2.0 * square * np.maximum(np.abs(flow), 1e-9))
        target = flow - weight * (square * flow * np.abs(flow) - rise)
        matrix = incidence[:, free].T @ (weight[:, None] * incidence[:, free])
        side = -incidence[:, free].T @ (
            target + weight * (incidence @ np.where(np.isin(np.arange(count), free), 0, total))
        )
        total[free] = np.linalg.lstsq(matrix, side, rcond=None)[0]
        new = target + weight * (incidence @ total)
        step = np.abs(new - flow).max()
        flow = 0.5 * (flow + new) if step > 1e-3 else new
        if step < 1e-12:
            break
    return flow, total


def _figures(
    vessel: Vessel,
    joints: Joints,
    link: int,
    flow: float,
    law: tuple[float, float],
    port_kPa: dict[tuple[str, str], float],
) -> LinkFigures:
    loss = float(law[0] * flow * abs(flow) - law[1]) if law[0] < SHUT else 0.0
    run = vessel.runs[link] if link < joints.run_count else None
    velocity = reynolds = per_metre = None
    pipe = 0.0
    if run is not None:
        bore = pipe_size(run.series, run.size).bore_mm / 1e3
        velocity = float(flow) * 1e-3 / (np.pi * bore**2 / 4)
        reynolds = abs(velocity) * bore / 1.3e-6
        pipe = float(_tube(run.length_m, bore * 1e3, 0.0) * flow * abs(flow))
        per_metre = abs(pipe) * 1e3 / run.length_m
    return LinkFigures(
        tag=joints.tags[link],
        flow_L_s=float(flow),
        velocity_m_s=velocity,
        reynolds=reynolds,
        friction_factor=FRICTION if run is not None else None,
        loss_kPa=loss,
        pipe_kPa=pipe,
        fittings_kPa=loss - pipe if run is not None else 0.0,
        equipment_kPa=0.0 if run is not None else loss,
        loss_Pa_m=per_metre,
        start_kPa=port_kPa[joints.start_port[link]],
        end_kPa=port_kPa[joints.end_port[link]],
    )


def _pump(pump: Pump, figures: LinkFigures) -> PumpFigures:
    best = pump.curve[-1].flow_L_s * 0.7 * pump.speed_percent / 100.0
    return PumpFigures(
        tag=pump.tag,
        flow_L_s=figures.flow_L_s,
        head_m=-figures.loss_kPa * 1e3 / DENSITY / GRAVITY,
        rise_kPa=-figures.loss_kPa,
        speed_percent=pump.speed_percent,
        shaft_power_W=None,
        power_W=None,
        efficiency=None,
        best_flow_L_s=best,
        share_of_best_flow=figures.flow_L_s / best if best else None,
        npsh_available_m=8.0,
        npsh_required_m=2.0,
    )
