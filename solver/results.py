# SPDX-License-Identifier: MIT
"""What a solve of a vessel found, by tag and in the units of the document.

A value that names the vessel it belongs to, so that a stale one is never shown as current.
Differences of pressure are in kPa, flows in L/s, heights in m.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Literal

from msgspec import Struct

if TYPE_CHECKING:
    from solver.network.solution import Solution
    from solver.vessel.vessel import Vessel


class LinkFigures(Struct, frozen=True, gc=False):
    """One link: a run, or the way through a component.

    ``loss_kPa`` is lost to friction from start to end in the direction of positive flow, without
    elevation; it is the sum of the three parts below it.  A pump's is negative.  ``velocity_m_s``
    and ``reynolds`` are None where the part has no bore of its own.
    """

    tag: str
    flow_L_s: float
    velocity_m_s: float | None
    reynolds: float | None
    friction_factor: float | None
    loss_kPa: float
    pipe_kPa: float
    fittings_kPa: float
    equipment_kPa: float
    loss_Pa_m: float | None
    start_kPa: float | None
    end_kPa: float | None


class PumpFigures(Struct, frozen=True):
    """A pump's duty.  ``best_flow_L_s`` is the flow of best efficiency at this speed."""

    tag: str
    flow_L_s: float
    head_m: float
    rise_kPa: float
    speed_percent: float
    shaft_power_W: float | None
    power_W: float | None
    efficiency: float | None
    best_flow_L_s: float | None
    share_of_best_flow: float | None
    npsh_available_m: float | None
    npsh_required_m: float | None


class AirHandlerFigures(Struct, frozen=True, gc=False):
    """An air handler's flow against its design flow."""

    tag: str
    flow_L_s: float
    design_flow_L_s: float
    share_of_design: float
    drop_kPa: float


class CircuitStep(Struct, frozen=True, gc=False):
    """One part along a circuit: pressure and total pressure where water leaves it."""

    tag: str
    distance_m: float
    pressure_kPa: float
    total_kPa: float
    side: Literal["supply", "unit", "return"]


class Circuit(Struct, frozen=True):
    """The way of water from a pump through one air handler and back, in order of flow."""

    air_handler: str
    needed_kPa: float
    steps: tuple[CircuitStep, ...]


class Finding(Struct, frozen=True):
    """A rule's judgement: what is wrong, why, and what would cure it."""

    rule: str
    severity: Literal["bad", "warn", "note"]
    problem: str
    cause: str = ""
    cure: str = ""
    tags: tuple[str, ...] = ()


class Results(Struct, frozen=True, kw_only=True, dict=True):
    """All results of one solve.

    ``links`` and the others are read-only mappings by tag; a component with two ways has two
    links, as in ``CH-1`` and ``CH-1:sea`` or ``V-3:through`` and ``V-3:bypass``.
    ``port_kPa`` maps (tag, port) to the gauge pressure there, None in a part cut off.

    Where circuits were left out because they cannot be solved yet, ``part`` is the vessel without them
    and ``left_out`` says why; nothing of them is in the mappings.
    """

    vessel: Vessel
    solution: Solution
    method: Literal["newton", "hardy-cross"]
    converged: bool
    iterations: int
    mass_residual_kg_s: float
    pressure_residual_Pa: float
    links: Mapping[str, LinkFigures]
    pumps: Mapping[str, PumpFigures]
    air_handlers: Mapping[str, AirHandlerFigures]
    port_kPa: Mapping[tuple[str, str], float | None]
    index_circuit: Circuit | None
    findings: tuple[Finding, ...]
    part: Vessel | None = None
    left_out: tuple[Finding, ...] = ()
