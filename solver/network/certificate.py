# SPDX-License-Identifier: MIT
"""The check after every solve, by code of its own.

It works link by link from the network's plain description, with none of the solve's arrays: pipe
friction from ``fluids``, tees from its Crane coefficients, every other law written out once more.
A solution that fails it is not shown as a result.
"""

from __future__ import annotations

from math import copysign, pi, sqrt
from typing import NamedTuple

import numpy as np
from fluids.fittings import (
    K_branch_converging_Crane,
    K_branch_diverging_Crane,
    K_run_converging_Crane,
    K_run_diverging_Crane,
    ft_Crane,
)
from fluids.friction import friction_factor

from solver.errors import UnconvergedError
from solver.network.network import (
    GRAVITY,
    Limiter,
    Link,
    Medium,
    Network,
    OneWay,
    Passive,
    PumpLink,
    TeeJoint,
)
from solver.network.solution import Solution
from solver.parts.tee import PREFERENCE

#: Largest mass imbalance accepted, as a share of the largest flow.
MASS_TOLERANCE = 1e-9
#: Largest pressure error accepted: this much [Pa] and this share of the largest loss.
PRESSURE_TOLERANCE = 0.02
PRESSURE_SHARE = 2e-6
_SLOW_SHARE = 0.02
_TURNING_SHARE = 0.05


class Certificate(NamedTuple):
    """Largest residuals [kg/s, Pa], where they are, and the loss they are measured against [Pa]."""

    mass_residual: float
    pressure_residual: float
    worst_node: str
    worst_links: tuple[str, ...]
    largest_flow: float
    largest_loss: float

    @property
    def holds(self) -> bool:
        """Whether the solution may be shown as a result."""
        mass = self.mass_residual <= MASS_TOLERANCE * max(self.largest_flow, 1e-3)
        return mass and self.pressure_residual <= PRESSURE_TOLERANCE + PRESSURE_SHARE * self.largest_loss


def certify(solution: Solution) -> Certificate:
    """Return the residuals of a solution: mass at every node, pressure along every link."""
    compiled = solution.compiled
    network, structure = compiled.network, compiled.structure
    flows = solution.flows
    total = solution.total.tolist()
    node_index = structure.node_index
    balance = [-node.outflow for node in network.nodes]
    tee_losses = added_by_tees(network, flows)
    worst: list[tuple[float, str]] = []
    largest_loss = 0.0
    for link in network.links:
        flow = flows[link.tag]
        a, b = node_index[link.start], node_index[link.end]
        balance[a] -= flow
        balance[b] += flow
        drop = total[a] - total[b]
        error, loss = _error(link, flow, drop, network.media[link.medium], tee_losses.get(link.tag, 0.0))
        largest_loss = max(largest_loss, abs(loss))
        worst.append((error, link.tag))
    free = [node.pressure is None for node in network.nodes]
    errors = [abs(value) if is_free else 0.0 for value, is_free in zip(balance, free, strict=True)]
    worst_node = int(np.argmax(errors)) if errors else 0
    worst.sort(key=lambda item: -item[0] if item[0] == item[0] else -np.inf)
    return Certificate(
        mass_residual=errors[worst_node] if errors else 0.0,
        pressure_residual=worst[0][0] if worst else 0.0,
        worst_node=network.nodes[worst_node].tag if errors else "",
        worst_links=tuple(tag for _, tag in worst[:3]),
        largest_flow=max((abs(flow) for flow in flows.values()), default=0.0),
        largest_loss=largest_loss,
    )


def require(solution: Solution) -> Certificate:
    """Return the certificate of a solution.

    Raises
    ------
    UnconvergedError
        The solution does not hold; names the parts that fail it.
    """
    certificate = certify(solution)
    if not certificate.holds:
        raise UnconvergedError(
            f"the answer found does not pass its check: {certificate.pressure_residual:.3g} Pa are left "
            f"along {', '.join(certificate.worst_links)} and {certificate.mass_residual:.3g} kg/s at "
            f"{certificate.worst_node}",
            certificate.worst_links,
            solution.iterations,
            certificate.mass_residual,
            certificate.pressure_residual,
        )
    return certificate


def _error(link: Link, flow: float, drop: float, medium: Medium, tee_loss: float) -> tuple[float, float]:
    """Return the pressure error of a link [Pa] and the loss it should have."""
    if isinstance(link, Passive):
        if not link.is_open:
            return (0.0 if flow == 0.0 else float("inf")), 0.0
        loss = passive_loss(link, flow, medium) + tee_loss
        return abs(drop - loss), loss
    if isinstance(link, PumpLink):
        head = link.curve.head(flow / medium.density, link.speed) * link.head_factor
        loss = -head * medium.density * GRAVITY
        return abs(drop - loss), loss
    if isinstance(link, OneWay):
        if flow == 0.0:
            return max(drop - link.threshold, 0.0), 0.0
        if flow < 0.0:
            return float("inf"), 0.0
        loss = _one_way_loss(link, flow, medium)
        return abs(drop - loss), loss
    return _limiter_error(link, flow, drop)


def passive_loss(link: Passive, flow: float, medium: Medium) -> float:
    """Return the loss [Pa] of a passive link at ``flow`` [kg/s], friction from ``fluids``."""
    density, viscosity = medium.density, medium.viscosity
    size = abs(flow)
    loss = 0.0
    if link.bore > 0:
        area = pi / 4 * link.bore**2
        velocity = size / (density * area)
        reynolds = density * velocity * link.bore / viscosity
        head = density * velocity**2 / 2
        k = link.k if flow >= 0 else link.k_reverse
        loss = k * head
        if link.k_reynolds and reynolds > 0:
            loss += link.k_reynolds / reynolds * head
        if link.length > 0:
            factor = link.friction_factor or darcy(reynolds, link.roughness / link.bore)
            loss += factor * link.length / link.bore * head
    if link.kv != float("inf"):
        loss += 1e5 * (density / 1000) * (size / density * 3600 / link.kv) ** 2
    if link.coefficient:
        loss += link.coefficient * size**link.exponent
    return copysign(loss * link.factor, flow)


def darcy(reynolds: float, relative_roughness: float) -> float:
    """Return the friction factor: ``fluids`` above Re 4000, 64/Re below 2000, a cubic between."""
    if reynolds <= 0.0:
        return 0.0
    if reynolds >= 4000.0:
        return float(friction_factor(Re=reynolds, eD=relative_roughness))
    if reynolds <= 2000.0:
        return 64.0 / reynolds
    step = 0.5

    def number(at: float) -> float:
        return float(friction_factor(Re=at, eD=relative_roughness)) * at * at

    # One-sided second-order slope, since the cubic meets the turbulent law at 4000 from below.
    slope = (-3 * number(4000.0) + 4 * number(4000.0 + step) - number(4000.0 + 2 * step)) / (2 * step)
    t = (reynolds - 2000.0) / 2000.0
    cubic = (
        (2 * t**3 - 3 * t**2 + 1) * 64 * 2000
        + (t**3 - 2 * t**2 + t) * 64 * 2000
        + (3 * t**2 - 2 * t**3) * number(4000.0)
        + (t**3 - t**2) * slope * 2000
    )
    return cubic / reynolds**2


def _one_way_loss(link: OneWay, flow: float, medium: Medium) -> float:
    full = link.kv * medium.density / 3600 * sqrt((link.threshold + link.band) / 1e5 * 1000 / medium.density)
    if link.band and flow < full:
        return link.threshold + link.band * flow / full
    loss = 1e5 * (medium.density / 1000) * (flow / medium.density * 3600 / link.kv) ** 2
    return loss if link.band else link.threshold + loss


def _limiter_error(link: Limiter, flow: float, drop: float) -> tuple[float, float]:
    if abs(flow / link.flow - 1) <= 1e-6:
        return max(link.low - drop, drop - link.high, 0.0) if flow > 0 else float("inf"), drop
    limit = link.low if flow < link.flow else link.high
    loss = copysign(limit * (flow / link.flow) ** 2, flow)
    # Past its range the solve's law starts from the flow at the range's end, a ten-millionth higher.
    return max(abs(drop - loss) - 1e-6 * abs(loss), 0.0), loss


def added_by_tees(network: Network, flows: dict[str, float]) -> dict[str, float]:
    """Return what tees add to the loss of the links at their legs [Pa], along the links."""
    losses: dict[str, float] = {}
    links = network.link_by_tag
    for tee in network.tees:
        bores = [links[leg].bore if leg else 0.0 for leg in tee.legs]  # type: ignore[union-attr]
        bores = [bore or max(bores) for bore in bores]
        into = [sign * flows[leg] if leg else 0.0 for leg, sign in zip(tee.legs, tee.signs, strict=True)]
        medium = network.media[links[next(leg for leg in tee.legs if leg)].medium]
        outward = _outward_losses(tee, into, bores, medium.density, network.lagged_tees)
        for leg, sign, loss in zip(tee.legs, tee.signs, outward, strict=True):
            if leg:
                losses[leg] = losses.get(leg, 0.0) - sign * loss
    return losses


def _outward_losses(
    tee: TeeJoint, into: list[float], bores: list[float], density: float, lagged: bool
) -> list[float]:
    """Return what is lost from the tee's middle out through each leg [Pa]."""
    given = tee.k_run == tee.k_run or tee.k_branch == tee.k_branch
    if not lagged or given:
        return _outward(into, _constant_losses(tee, into, bores, density))
    body = max(bores[0], bores[1])
    bores = [body, body, bores[2]]
    branch, through = into[2], (into[0] - into[1]) / 2
    slow = _SLOW_SHARE * min(bores[2] / body, 1.0) ** 2 * abs(through)
    if abs(branch) < slow:
        # The branch about to turn: between its two directions.
        sides = [[through - side * slow / 2, -through - side * slow / 2, side * slow] for side in (1, -1)]
        return _between(tee, sides, 0.5 + 0.5 * branch / slow, bores, density)
    larger = 0 if abs(into[0]) >= abs(into[1]) else 1
    turning = abs(into[larger]) / abs(branch) - 1 if branch else 1.0
    if abs(turning) < _TURNING_SHARE:
        # The smaller run leg about to turn: between its two directions.
        sides = []
        for share in (_TURNING_SHARE, -_TURNING_SHARE):
            flows = [0.0, 0.0, copysign(branch, -into[larger])]
            flows[larger] = copysign(branch * (1 + share), into[larger])
            flows[1 - larger] = copysign(branch, -into[larger]) * share
            sides.append(flows)
        return _between(tee, sides, 0.5 + 0.5 * turning / _TURNING_SHARE, bores, density)
    return _outward(into, _crane_losses(tee, into, bores, density))


def _between(
    tee: TeeJoint, sides: list[list[float]], weight: float, bores: list[float], density: float
) -> list[float]:
    one, other = (_outward(into, _crane_losses(tee, into, bores, density)) for into in sides)
    return [weight * a + (1 - weight) * b for a, b in zip(one, other, strict=True)]


def _outward(into: list[float], along: list[float]) -> list[float]:
    return [loss if flow < 0 else -loss for flow, loss in zip(into, along, strict=True)]


def _crane_losses(tee: TeeJoint, into: list[float], bores: list[float], density: float) -> list[float]:
    """Return the loss of each leg along its own flow [Pa], by the split of flow."""
    larger = 0 if abs(into[0]) >= abs(into[1]) else 1
    if abs(into[2]) > abs(into[larger]):
        return _constant_losses(tee, into, bores, density)
    other = 1 - larger
    run, branch = abs(into[other]) / density, abs(into[2]) / density
    if run + branch == 0.0:
        return [0.0, 0.0, 0.0]
    if into[larger] > 0:
        k_run = K_run_diverging_Crane(bores[larger], bores[2], run, branch)
        k_branch = K_branch_diverging_Crane(bores[larger], bores[2], run, branch)
    else:
        k_run = K_run_converging_Crane(bores[larger], bores[2], run, branch)
        k_branch = K_branch_converging_Crane(bores[larger], bores[2], run, branch)
    head = density / 2 * ((run + branch) / (pi / 4 * bores[larger] ** 2)) ** 2
    legs = [0.0, 0.0, 0.0]
    legs[other], legs[2] = k_run * head, k_branch * head
    return legs


def _constant_losses(tee: TeeJoint, into: list[float], bores: list[float], density: float) -> list[float]:
    """Return the loss of each leg along its own flow [Pa], by constant coefficients."""
    combined = max(range(3), key=lambda leg: abs(into[leg]) * PREFERENCE[leg])
    legs = [0.0, 0.0, 0.0]
    for leg in range(3):
        if leg == combined or into[leg] == 0.0:
            continue
        through_branch = leg == 2 or combined == 2
        k = tee.k_branch if through_branch else tee.k_run
        if k != k:
            k = (60 if through_branch else 20) * ft_Crane(bores[leg])
        legs[leg] = k * density / 2 * (into[leg] / density / (pi / 4 * bores[leg] ** 2)) ** 2
    return legs
