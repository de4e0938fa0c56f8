# SPDX-License-Identifier: MIT
"""A network's solution as figures by tag, in the units of the document."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from math import isnan, pi

import numpy as np

from solver.network.laws import losses
from solver.network.network import GRAVITY, PumpLink
from solver.network.solution import Solution
from solver.parts.pipe import friction_number
from solver.results import AirHandlerFigures, LinkFigures, PumpFigures
from solver.vessel.components import AirHandler, Pump
from solver.vessel.vessel import Vessel

#: Standard atmosphere [Pa] (ISO 2533).
ATMOSPHERE = 101325.0


def link_figures(solution: Solution) -> dict[str, LinkFigures]:
    """Return tag -> figures of every link."""
    compiled, structure = solution.compiled, solution.compiled.structure
    c = solution.laws
    flow = solution.flow
    count, passive = len(flow), structure.passive
    own = flow[passive]
    size = np.abs(own)
    density, viscosity = compiled.density, compiled.viscosity

    total_loss, _ = losses(flow, c, solution.tees, solution.states)
    shut = np.zeros(count, dtype=bool)
    shut[passive] = ~c.is_open
    shut[structure.one_ways] = ~solution.states.one_way_open
    drop = solution.total[structure.start] - solution.total[structure.end]
    total_loss = np.where(shut, drop, total_loss)
    pipe_loss, fitting_loss = np.zeros(count), np.zeros(count)
    pipe_loss[passive] = c.fixed * own * size
    pipes = structure.pipes
    number, _ = friction_number(size[:pipes] * c.reynolds_per_flow, c.relative_roughness, c.between)
    pipe_loss[:pipes] += np.copysign(c.scale * number, own[:pipes])
    fittings = np.where(own >= 0, c.fitting_forward, c.fitting_reverse) + solution.tees.square
    fitting_loss[passive] = fittings * own * size + c.linear * own + solution.tees.constant
    equipment = total_loss - pipe_loss - fitting_loss

    bore = np.zeros(count)
    bore[passive] = compiled.parameters.column("bore")
    length = np.zeros(count)
    length[passive] = compiled.parameters.column("length")
    with np.errstate(divide="ignore", invalid="ignore"):
        velocity = np.abs(flow) / (density * pi / 4 * bore**2)
        reynolds = density * velocity * bore / viscosity
        per_metre = np.abs(pipe_loss) / length
        friction = np.zeros(count)
        friction[:pipes] = np.where(reynolds[:pipes] > 0, number / reynolds[:pipes] ** 2, np.nan)
    pressure = solution.pressures / 1e3
    columns = (
        structure.order,
        (flow / density * 1e3).tolist(),
        _blank(velocity, bore > 0),
        _blank(reynolds, bore > 0),
        _blank(friction, (np.arange(count) < pipes) & (flow != 0)),
        (total_loss / 1e3).tolist(),
        (pipe_loss / 1e3).tolist(),
        (fitting_loss / 1e3).tolist(),
        (equipment / 1e3).tolist(),
        _blank(per_metre, (length > 0) & (bore > 0)),
        _blank(pressure[structure.start], ~np.isnan(pressure[structure.start])),
        _blank(pressure[structure.end], ~np.isnan(pressure[structure.end])),
    )
    return dict(zip(structure.order, map(LinkFigures, *columns), strict=True))


def _blank(values: np.ndarray, where: np.ndarray) -> list[float | None]:
    """Return values as a list with None where they do not apply."""
    return [value if told else None for value, told in zip(values.tolist(), where.tolist(), strict=True)]


def air_handler_figures(vessel: Vessel, links: Mapping[str, LinkFigures]) -> dict[str, AirHandlerFigures]:
    """Return tag -> figures of every air handler; one that no run reaches has no flow."""
    found = {}
    for component in vessel.components:
        if isinstance(component, AirHandler):
            link = links.get(component.tag)
            flow = link.flow_L_s if link else 0.0
            found[component.tag] = AirHandlerFigures(
                component.tag,
                flow,
                component.design_flow_L_s,
                flow / component.design_flow_L_s,
                link.loss_kPa if link else 0.0,
            )
    return found


def pump_figures(vessel: Vessel, solution: Solution) -> dict[str, PumpFigures]:
    """Return tag -> duty of every pump that runs join."""
    structure = solution.compiled.structure
    pressures = solution.pressures
    found = {}
    for link in solution.compiled.ordered[structure.pumps]:
        component = vessel.component_by_tag[link.tag]
        if isinstance(link, PumpLink) and isinstance(component, Pump):
            inlet = float(pressures[structure.node_index[link.start]])
            found[link.tag] = _duty(component, link, solution, inlet)
    return found


def _duty(component: Pump, link: PumpLink, solution: Solution, inlet: float) -> PumpFigures:
    medium = solution.compiled.network.media[link.medium]
    flow = solution.flow_of(link.tag)
    volume = flow / medium.density
    rise = -solution.loss_of(link.tag)
    curve, speed = link.curve, link.speed
    efficiency = curve.efficiency_at(volume, speed)
    best = curve.best_flow
    best_flow = None if best is None or speed == 0 else best * speed * 1e3
    # Below a twentieth of full efficiency the quotient says nothing; shut-off power is not known.
    shaft = volume * rise / efficiency if efficiency and efficiency > 0.02 else None
    available = (inlet + ATMOSPHERE - medium.vapour_pressure) / (medium.density * GRAVITY)
    return PumpFigures(
        tag=link.tag,
        flow_L_s=volume * 1e3,
        head_m=rise / (medium.density * GRAVITY),
        rise_kPa=rise / 1e3,
        speed_percent=speed * 100,
        shaft_power_W=0.0 if speed == 0 else shaft,
        power_W=0.0
        if speed == 0
        else None
        if shaft is None
        else shaft / (component.motor_efficiency_percent / 100),
        efficiency=efficiency,
        best_flow_L_s=best_flow,
        share_of_best_flow=None if not best_flow else volume * 1e3 / best_flow,
        npsh_available_m=None if isnan(available) else available,
        npsh_required_m=curve.npsh_required_at(volume, speed),
    )


class PortPressures(Mapping[tuple[str, str], float | None]):
    """(tag, port) -> gauge pressure [kPa]; None in a part cut off or not joined to anything."""

    def __init__(self, vessel: Vessel, by_point: list[float | None]):
        self._points = vessel.joints.point_of
        self._by_point = by_point

    def __getitem__(self, port: tuple[str, str]) -> float | None:
        return self._by_point[self._points[port]]

    def __iter__(self) -> Iterator[tuple[str, str]]:
        return iter(self._points)

    def __len__(self) -> int:
        return len(self._points)


def port_pressures(vessel: Vessel, solution: Solution) -> PortPressures:
    """Return the gauge pressure at every port."""
    index = solution.compiled.structure.node_index
    pressure = (solution.pressures / 1e3).tolist()
    by_point: list[float | None] = [None] * vessel.joints.point_count
    for (tag, port), point in vessel.joints.point_of.items():
        node = index.get(f"{tag}/{port}")
        if node is not None:
            by_point[point] = None if isnan(pressure[node]) else pressure[node]
    return PortPressures(vessel, by_point)
