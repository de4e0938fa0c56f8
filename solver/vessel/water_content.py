# SPDX-License-Identifier: MIT
"""How much water the parts of a vessel hold, and the loop of each chiller."""

from __future__ import annotations

import math

from solver.parts.pipe_sizes import pipe_size
from solver.vessel.components import (
    AirHandler,
    AirSeparator,
    BufferTank,
    Chiller,
    Component,
    FlexibleHose,
    Strainer,
)
from solver.vessel.run import Run
from solver.vessel.vessel import Vessel

#: Water in the coil of an air handler and in the evaporator and condenser of a chiller, per kW of capacity
#: (common practice: finned coils of two to four rows; coaxial and brazed-plate heat exchangers) [L/kW].
COIL_L_KW = 0.3
EXCHANGER_L_KW = 0.15
#: Rise by which an air handler that does not tell its capacity is taken [K], and its water's heat [kJ/(L K)].
_RISE = 5.0
_HEAT = 4.19
#: Water in a strainer or an air separator, per m3/h of its Kv (common practice) [L].
_L_PER_KV = 0.05


def water_content_L(vessel: Vessel) -> dict[str, float]:
    """Return the water [L] in every part that holds any, by tag; a chiller's sea side is ``TAG:sea``.

    An expansion vessel's share is left out: it stands beside the stream and does not mix with it.

    Raises
    ------
    PartError
        A run has a size that is in no series.

    Examples
    --------
    >>> tank = BufferTank(tag="BT-1", volume_L=80.0)
    >>> water_content_L(Vessel(name="Tern", components=(tank,)))
    {'BT-1': 80.0}
    """
    found = {run.tag: run_content_L(run) for run in vessel.runs}
    for part in vessel.components:
        content = _of_component(part)
        if content:
            found[part.tag] = content
        if isinstance(part, Chiller):
            found[f"{part.tag}:sea"] = content
    return found


def run_content_L(run: Run) -> float:
    """Return the water in a run [L]: its bore by its length.

    Raises
    ------
    PartError
        There is no such size.
    """
    return _cylinder_L(pipe_size(run.series, run.size).bore_mm, run.length_m)


def _cylinder_L(bore_mm: float, length_m: float) -> float:
    return math.pi / 4 * bore_mm**2 * 1e-6 * length_m * 1e3


def _of_component(part: Component) -> float:
    if isinstance(part, BufferTank):
        return part.volume_L
    if isinstance(part, AirHandler):
        return COIL_L_KW * (part.capacity_total_kW or part.design_flow_L_s * _HEAT * _RISE)
    if isinstance(part, Chiller):
        return EXCHANGER_L_KW * part.capacity_kW
    if isinstance(part, FlexibleHose):
        return _cylinder_L(part.bore_mm, part.length_m)
    if isinstance(part, (Strainer, AirSeparator)):
        return _L_PER_KV * part.kv_m3_h
    return 0.0


def loop_volumes_L(vessel: Vessel) -> dict[str, float]:
    """Return the water [L] in the loop of every chiller that is piped, by the chiller's tag.

    A loop is all that hangs together, whether or not a valve in it is shut.

    Raises
    ------
    PartError
        A run has a size that is in no series.
    """
    joints = vessel.joints
    circuit = joints.circuits
    volumes: dict[int, float] = {}
    for tag, content in water_content_L(vessel).items():
        own = tag.removesuffix(":sea")
        run = vessel.run_by_tag.get(own)
        if run is not None:
            port = (run.start.tag, run.start.port)
        else:
            part = vessel.component_by_tag[own]
            port = (own, "sea_in" if tag.endswith(":sea") else part.ports[0])
        number = int(circuit[joints.point_of[port]])
        volumes[number] = volumes.get(number, 0.0) + content
    return {
        part.tag: volumes[int(circuit[joints.point_of[part.tag, "water_in"]])]
        for part in vessel.components
        if isinstance(part, Chiller) and (part.tag, "water_in") in vessel.runs_at
    }


def least_loop_volume_L(capacity_kW: float, minutes: float, dead_band_K: float) -> float:
    """Return the water [L] with which a chiller's least stage runs ``minutes`` without any load.

    ``V = kW * 60 * minutes / (4.19 * dead band)``: the stage takes the dead band out of the whole loop in
    that time (common practice; 5 min at 2 K is 36 L/kW, a rule for machines that start and stop).

    Examples
    --------
    >>> round(least_loop_volume_L(1.0, 5.0, 2.0))
    36
    """
    return capacity_kW * 60.0 * minutes / (_HEAT * dead_band_K)


def most_starts_h(capacity_kW: float, volume_L: float, dead_band_K: float) -> float:
    """Return the most starts an hour of a stage on a loop, which come at half its load.

    The load L warms the loop through the dead band, what the stage Q has over it cools it again:
    ``t = V c band / L + V c band / (Q - L)``, shortest at ``L = Q / 2``, where it is ``4 V c band / Q``.

    Examples
    --------
    >>> round(most_starts_h(10.0, 360.0, 2.0), 1)
    3.0
    """
    return 3600.0 * capacity_kW / (4.0 * volume_L * _HEAT * dead_band_K)
