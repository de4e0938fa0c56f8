# SPDX-License-Identifier: MIT
"""What a solve of a vessel found, by tag and in the units of the document.

A value that names the vessel it belongs to, so that a stale one is never shown as current.
Differences of pressure are in kPa, flows in L/s, heights in m.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Literal, TypeAlias

from msgspec import Struct

#: Why a chiller stands still; empty where it does not.
Trip: TypeAlias = Literal["", "off", "low_flow", "freezing", "high_condensing", "sea_too_cold"]

if TYPE_CHECKING:
    from solver.heat.temperatures import Start
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


class WaterFigures(Struct, frozen=True, gc=False):
    """Water through one link, in the direction it flows; ``heat_W`` is what it takes up on the way."""

    tag: str
    in_C: float
    out_C: float
    heat_W: float


class SurfaceFigures(Struct, frozen=True, gc=False):
    """The outermost surface of a run or hose where it is coldest, and the dew point round it."""

    tag: str
    air_C: float
    dew_point_C: float
    surface_C: float
    margin_K: float


class ChillerFigures(Struct, frozen=True):
    """A chiller.  ``tripped`` is empty, or why it stands still; in heating ``duty_kW`` is negative."""

    tag: str
    capacity_kW: float
    duty_kW: float
    power_kW: float
    entering_C: float
    leaving_C: float
    set_point_C: float
    load_share: float
    at_set_point: bool
    cycles: bool
    tripped: Trip
    sea_in_C: float
    sea_out_C: float
    sea_flow_L_s: float
    sea_drawn: bool
    into_sea_kW: float
    refrigerant_C: float
    covered: bool


class CoilFigures(Struct, frozen=True, gc=False):
    """An air handler's coil and fan.

    ``total_W``, ``sensible_W``, ``latent_W`` and ``condensate_L_h`` are means over time; ``running_W`` is
    its total while it runs at ``fan_percent``, for ``run_share`` of the time.  ``reynolds`` is that in its
    tubes.  Air and water leave at ``air_out_C`` and ``water_out_C`` while it runs.
    """

    tag: str
    total_W: float
    sensible_W: float
    latent_W: float
    running_W: float
    run_share: float
    fan_percent: float
    demand: float
    water_in_C: float
    water_out_C: float
    air_in_C: float
    air_in_rh: float
    air_out_C: float
    condensate_L_h: float
    is_wet: bool
    reynolds: float
    rated_total_W: float
    fan_heat_W: float


class CabinFigures(Struct, frozen=True, gc=False):
    """A cabin.  ``above_K`` is over its set point, in heating below it; loads are those it has then.

    ``load_sensible_W`` and ``load_latent_W`` at the temperature found; ``estimated`` where they come from a
    rule of thumb.
    """

    tag: str
    temp_C: float
    rh: float
    set_point_C: float
    above_K: float
    load_sensible_W: float
    load_latent_W: float
    air_handlers: tuple[str, ...]
    estimated: bool


#: What heat comes from or goes to; ``rated_air`` is that of air handlers that serve no cabin.
HeatOf: TypeAlias = Literal["cabins", "fans", "rated_air", "pipes", "pumps", "tanks", "chillers"]


class HeatFlow(Struct, frozen=True):
    """One item of the balance of heat [W], positive into the water."""

    name: HeatOf
    heat_W: float


class EnergyBalance(Struct, frozen=True):
    """Where each kW goes: into the loop's water and out of it, then into the sea.

    ``error_share`` is what the items are apart by, over the larger side: a check by other code than that
    which found the temperatures.
    """

    flows: tuple[HeatFlow, ...]
    into_water_W: float
    out_of_water_W: float
    compressors_W: float
    into_sea_W: float
    error_share: float


class HeatResults(Struct, frozen=True, kw_only=True, dict=True):
    """Temperatures, chillers, coils and cabins, by tag; ``port_C`` is the water's at each port.

    ``start`` is what a next solve starts from.
    """

    water: Mapping[str, WaterFigures]
    surfaces: Mapping[str, SurfaceFigures]
    chillers: Mapping[str, ChillerFigures]
    coils: Mapping[str, CoilFigures]
    cabins: Mapping[str, CabinFigures]
    port_C: Mapping[tuple[str, str], float]
    energy_balance: EnergyBalance
    steps: int
    rounds: int
    start: Start


class Results(Struct, frozen=True, kw_only=True, dict=True):
    """All results of one solve.

    ``links`` and the others are read-only mappings by tag; a component with two ways has two
    links, as in ``CH-1`` and ``CH-1:sea`` or ``V-3:through`` and ``V-3:bypass``.
    ``port_kPa`` maps (tag, port) to the gauge pressure there, None in a part cut off.

    ``heat`` has temperatures and cabins, None where they were not asked for, where no
    chiller is in the network, or where none were found: ``no_heat`` then says why.

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
    heat: HeatResults | None = None
    no_heat: Finding | None = None
    part: Vessel | None = None
    left_out: tuple[Finding, ...] = ()
