# SPDX-License-Identifier: MIT
"""The link laws, all links at once: pressure loss and its slope for given flows.

Every law depends on its own flow alone, and its loss never falls with flow; that keeps the nodal
matrix symmetric and positive definite.  Arrays may carry leading axes of variations: the last axis
is always links in compiled order.

Where a square or power law takes less than ``SMALL_DROP`` it is replaced by the odd cubic of equal
value and slope there, since a slope of zero at rest has no conductance.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from solver.network.compiled import CompiledNetwork, Structure
from solver.network.network import GRAVITY, PASSIVE_FIELDS
from solver.parts.curves import CurveBank
from solver.parts.pipe import Blend, blend, friction_number
from solver.parts.pump_curve import SMALLEST_SPEED
from solver.parts.valves import KV_SQUARE

Array = NDArray[np.float64]

#: Below this loss [Pa] square and power laws are replaced by a cubic through rest.
SMALL_DROP = 0.01
#: Least slope [Pa s/kg] of a passive link: one without any loss (K 0) still needs a conductance.
LEAST_SLOPE = 1e-6
#: A limiter lets this share of its flow through on top over its working range, so that its law has
#: a slope.
LIMITER_RISE = 1e-7
#: Resistance [Pa s/kg] of a shut one-way link: its trickle tells where pressure lies behind it.
SHUT_RESISTANCE = 1e17
#: Least slope [Pa s/kg] of a pump's falling curve.
LEAST_PUMP_SLOPE = 1e-3


class States(NamedTuple):
    """What one-way links and limiters do: open or shut; 0 below, 1 at, 2 above their limit."""

    one_way_open: NDArray[np.bool_]
    limiter: NDArray[np.int8]


class TeeTerms(NamedTuple):
    """What tees add to the links at their legs: a square coefficient and a constant [Pa]."""

    square: Array
    constant: Array


class _Part(NamedTuple):
    """The slices of some links, in place of a structure."""

    pipes: int
    passive: slice
    pumps: slice
    one_ways: slice
    limiters: slice


@dataclass(frozen=True, slots=True)
class Coefficients:
    """Everything the laws need, worked out from the parameters once.

    ``scale`` and ``reynolds_per_flow`` belong to the pipes with friction, ``linear``, ``forward``
    and ``reverse`` to all passive links [Pa/(kg/s), Pa/(kg/s)2]; ``fitting_*`` are the parts of the
    latter that belong to fittings, ``fixed`` that of pipes with a given friction factor.
    """

    structure: Structure | _Part
    scale: Array
    reynolds_per_flow: Array
    relative_roughness: Array
    between: Blend
    linear: Array
    forward: Array
    reverse: Array
    fitting_forward: Array
    fitting_reverse: Array
    fixed: Array
    power_index: NDArray[np.int64]
    power: Array
    exponent: Array
    is_open: NDArray[np.bool_]
    speed: Array
    head_to_pressure: Array
    pump_density: Array
    pump_square: Array
    curves: CurveBank
    one_way_square: Array
    threshold: Array
    band: Array
    full_flow: Array
    limit: Array
    low: Array
    high: Array


def coefficients(compiled: CompiledNetwork, passive: dict[str, Array] | None = None) -> Coefficients:
    """Return the laws' coefficients.

    Parameters
    ----------
    compiled : CompiledNetwork
    passive : dict of str -> array, shape (..., passive links), optional
        Columns that replace the compiled ones, with leading axes of variations.
    """
    structure, parameters = compiled.structure, compiled.parameters
    columns = {name: parameters.column(name) for name in PASSIVE_FIELDS}
    columns.update(passive or {})
    density, viscosity = compiled.density, compiled.viscosity
    passive_density, passive_viscosity = density[structure.passive], viscosity[structure.passive]

    with np.errstate(divide="ignore", invalid="ignore"):
        bore = np.where(columns["bore"] != 0, columns["bore"], np.inf)
        area = 0.25 * np.pi * bore**2
        head = 1.0 / (2.0 * passive_density * area**2)
        kv_square = KV_SQUARE / (passive_density * columns["kv"] ** 2)
        fixed = np.where(
            columns["friction_factor"] > 0, columns["friction_factor"] * columns["length"] / bore, 0.0
        )
    factor = columns["factor"]
    fixed = fixed * head * factor
    fitting_forward = columns["k"] * head * factor
    fitting_reverse = columns["k_reverse"] * head * factor
    linear = (
        columns["k_reynolds"] * np.pi * np.where(np.isfinite(bore), bore, 0.0) * passive_viscosity * head / 4
    )
    common = kv_square * factor + fixed

    pipes = structure.pipes
    pipe_bore = bore[..., :pipes]
    rough = columns["roughness"][..., :pipes] / pipe_bore
    viscosity_of_pipes, density_of_pipes = passive_viscosity[:pipes], passive_density[:pipes]
    scale = (
        factor[..., :pipes]
        * columns["length"][..., :pipes]
        * viscosity_of_pipes**2
        / (2.0 * density_of_pipes * pipe_bore**3)
    )
    coefficient = columns["coefficient"]
    power_index = np.flatnonzero(np.any(coefficient > 0, axis=tuple(range(coefficient.ndim - 1))))
    speed, head_factor = parameters.pump.T
    one_way_kv, threshold, band = parameters.one_way.T
    one_way_square = KV_SQUARE / (density[structure.one_ways] * one_way_kv**2) if len(band) else band
    pump_links = compiled.ordered[structure.pumps]
    return Coefficients(
        structure=structure,
        scale=scale,
        reynolds_per_flow=4.0 / (np.pi * pipe_bore * viscosity_of_pipes),
        relative_roughness=rough,
        between=blend(rough),
        linear=linear * factor,
        forward=fitting_forward + common,
        reverse=fitting_reverse + common,
        fitting_forward=fitting_forward,
        fitting_reverse=fitting_reverse,
        fixed=fixed,
        power_index=power_index,
        power=(coefficient * factor)[..., power_index],
        exponent=columns["exponent"][..., power_index],
        is_open=columns["is_open"] > 0.5,
        speed=speed,
        head_to_pressure=head_factor * density[structure.pumps] * GRAVITY,
        pump_density=density[structure.pumps],
        pump_square=np.array([link.curve.square for link in pump_links]),  # type: ignore[union-attr]
        curves=compiled.curves,
        one_way_square=one_way_square,
        threshold=threshold,
        band=band,
        full_flow=np.sqrt((threshold + band) / one_way_square) if len(band) else band,
        limit=parameters.limiter[:, 0],
        low=parameters.limiter[:, 1],
        high=parameters.limiter[:, 2],
    )


def subset(c: Coefficients, links: NDArray[np.int64], states: States) -> tuple[Coefficients, States]:
    """Return the laws and states of some links, given by rising compiled index."""
    structure = c.structure
    bounds = [structure.passive.stop, structure.pumps.stop, structure.one_ways.stop, structure.limiters.stop]
    cuts = np.searchsorted(links, [structure.pipes, *bounds]).tolist()
    passive, pipes = links[: cuts[1]], links[: cuts[0]]
    pumps = links[cuts[1] : cuts[2]] - structure.passive.stop
    one_ways = links[cuts[2] : cuts[3]] - structure.pumps.stop
    limiters = links[cuts[3] : cuts[4]] - structure.one_ways.stop
    by_power = np.isin(c.power_index, passive)
    part = Coefficients(
        structure=_Part(
            cuts[0],
            slice(0, cuts[1]),
            slice(cuts[1], cuts[2]),
            slice(cuts[2], cuts[3]),
            slice(cuts[3], cuts[4]),
        ),
        scale=c.scale[pipes],
        reynolds_per_flow=c.reynolds_per_flow[pipes],
        relative_roughness=c.relative_roughness[pipes],
        between=Blend(*(array[pipes] for array in c.between)),
        linear=c.linear[passive],
        forward=c.forward[passive],
        reverse=c.reverse[passive],
        fitting_forward=c.fitting_forward[passive],
        fitting_reverse=c.fitting_reverse[passive],
        fixed=c.fixed[passive],
        power_index=np.searchsorted(passive, c.power_index[by_power]),
        power=c.power[by_power],
        exponent=c.exponent[by_power],
        is_open=c.is_open[passive],
        speed=c.speed[pumps],
        head_to_pressure=c.head_to_pressure[pumps],
        pump_density=c.pump_density[pumps],
        pump_square=c.pump_square[pumps],
        curves=c.curves.only(pumps),
        one_way_square=c.one_way_square[one_ways],
        threshold=c.threshold[one_ways],
        band=c.band[one_ways],
        full_flow=c.full_flow[one_ways],
        limit=c.limit[limiters],
        low=c.low[limiters],
        high=c.high[limiters],
    )
    return part, States(states.one_way_open[one_ways], states.limiter[limiters])


def no_tee_terms(structure: Structure) -> TeeTerms:
    """Return tee terms of zero."""
    zeros = np.zeros(structure.passive.stop)
    return TeeTerms(zeros, zeros)


def losses(flow: Array, c: Coefficients, tees: TeeTerms, states: States) -> tuple[Array, Array]:
    """Return pressure loss [Pa] and its slope [Pa s/kg] of every link.

    Parameters
    ----------
    flow : array, shape (..., links) [kg/s]
    """
    structure = c.structure
    loss, slope = np.empty_like(flow), np.empty_like(flow)
    passive = structure.passive
    loss[..., passive], slope[..., passive] = passive_losses(flow[..., passive], c, tees)
    if structure.pumps.stop > structure.pumps.start:
        loss[..., structure.pumps], slope[..., structure.pumps] = _pump_losses(flow[..., structure.pumps], c)
    if structure.one_ways.stop > structure.one_ways.start:
        part = _one_way_losses(flow[..., structure.one_ways], c, states.one_way_open)
        loss[..., structure.one_ways], slope[..., structure.one_ways] = part
    if structure.limiters.stop > structure.limiters.start:
        part = _limiter_losses(flow[..., structure.limiters], c, states.limiter)
        loss[..., structure.limiters], slope[..., structure.limiters] = part
    return loss, slope


def passive_losses(flow: Array, c: Coefficients, tees: TeeTerms) -> tuple[Array, Array]:
    """Return loss and slope of the passive links, flow of shape (..., passive links)."""
    size = np.abs(flow)
    square = np.where(flow >= 0, c.forward, c.reverse) + tees.square
    loss, slope = _square_law(flow, size, square)
    loss += c.linear * flow + tees.constant
    slope += c.linear
    pipes = c.structure.pipes
    if pipes:
        number, rise = friction_number(
            size[..., :pipes] * c.reynolds_per_flow, c.relative_roughness, c.between
        )
        loss[..., :pipes] += np.copysign(c.scale * number, flow[..., :pipes])
        slope[..., :pipes] += c.scale * rise * c.reynolds_per_flow
    if len(c.power_index):
        part, rise = _power_law(flow[..., c.power_index], size[..., c.power_index], c.power, c.exponent)
        loss[..., c.power_index] += part
        slope[..., c.power_index] += rise
    return loss, np.maximum(slope, LEAST_SLOPE)


def _square_law(flow: Array, size: Array, square: Array) -> tuple[Array, Array]:
    once = square * size
    loss, slope = once * flow, 2.0 * once
    small = once * size < SMALL_DROP
    if small.any():
        edge = np.sqrt(SMALL_DROP / np.maximum(square, 1e-300))
        linear = 0.5 * square * edge
        with np.errstate(invalid="ignore", over="ignore"):
            ratio = np.where(small, (size / edge) ** 2, 0.0)
        loss = np.where(small, linear * flow * (1.0 + ratio), loss)
        slope = np.where(small, linear * (1.0 + 3.0 * ratio), slope)
    return loss, slope


def _power_law(flow: Array, size: Array, coefficient: Array, exponent: Array) -> tuple[Array, Array]:
    raised = coefficient * np.power(np.maximum(size, 1e-150), exponent - 1.0)
    loss, slope = raised * flow, exponent * raised
    small = raised * size < SMALL_DROP
    if small.any():
        edge = (SMALL_DROP / np.maximum(coefficient, 1e-300)) ** (1.0 / exponent)
        per_flow = SMALL_DROP / edge
        ratio = np.where(small, (size / edge) ** 2, 0.0)
        linear, cubic = 0.5 * (3.0 - exponent) * per_flow, 0.5 * (exponent - 1.0) * per_flow
        loss = np.where(small, flow * (linear + cubic * ratio), loss)
        slope = np.where(small, linear + 3.0 * cubic * ratio, slope)
    return loss, slope


def _pump_losses(flow: Array, c: Coefficients) -> tuple[Array, Array]:
    volume = flow / c.pump_density
    turning = c.speed > SMALLEST_SPEED
    speed = np.where(turning, c.speed, 1.0)
    head, rise = c.curves(volume / speed)
    head, rise = speed**2 * head, speed * rise
    head = np.where(turning, head, -c.pump_square * volume * np.abs(volume))
    rise = np.where(turning, rise, -2.0 * c.pump_square * np.abs(volume))
    slope = np.maximum(-c.head_to_pressure * rise / c.pump_density, LEAST_PUMP_SLOPE)
    return -c.head_to_pressure * head, slope


def _one_way_losses(flow: Array, c: Coefficients, is_open: NDArray[np.bool_]) -> tuple[Array, Array]:
    loss, slope = _square_law(flow, np.abs(flow), c.one_way_square)
    banded = c.band > 0
    if banded.any():
        # A proportional bypass lifts with flow and is fully open at the end of its band.
        lift = np.where(banded, c.band / np.maximum(c.full_flow, 1e-300), 0.0)
        lifting = banded & (flow < c.full_flow)
        loss = np.where(lifting, c.threshold + lift * flow, np.where(banded, loss, loss + c.threshold))
        slope = np.where(lifting, lift, slope)
    else:
        loss = loss + c.threshold
    loss = np.where(is_open, loss, SHUT_RESISTANCE * flow)
    return loss, np.where(is_open, slope, SHUT_RESISTANCE)


def _limiter_losses(flow: Array, c: Coefficients, state: NDArray[np.int8]) -> tuple[Array, Array]:
    below, below_slope = _square_law(flow, np.abs(flow), c.low / c.limit**2)
    upper = c.limit * (1.0 + LIMITER_RISE)
    above = c.high / upper**2
    steep = (c.high - c.low) / (c.limit * LIMITER_RISE)
    loss = np.select(
        [state == 0, state == 1], [below, c.low + steep * (flow - c.limit)], above * flow * np.abs(flow)
    )
    slope = np.select([state == 0, state == 1], [below_slope, steep], 2.0 * above * np.abs(flow))
    return loss, slope
