# SPDX-License-Identifier: MIT
"""Small networks for tests, and their solve with every check made."""

from __future__ import annotations

import numpy as np
import pytest

from solver.network.certificate import require
from solver.network.compiled import CompiledNetwork
from solver.network.hardy_cross import hardy_cross
from solver.network.network import (
    Link,
    Medium,
    Network,
    Node,
    TeeJoint,
    pipe,
    power_law,
    pump,
    valve,
)
from solver.network.newton import newton
from solver.network.solution import Solution
from solver.parts.pump_curve import PumpCurve

WATER = Medium(1000.0, 1.3e-3)
GLYCOL = Medium(1045.0, 8.0e-3)
GRAVITY = 9.80665
#: Head 10 m at rest, 6 m at 2 L/s, falling as the square of flow.
SQUARE_PUMP = PumpCurve.quadratic(10.0, 1e6, 3e-3)
#: The same by points.
PUMP = PumpCurve([0.0, 1e-3, 2e-3, 3e-3], [10.0, 9.0, 6.0, 1.0])


def network(
    *links: Link,
    held: dict[str, float] | None = None,
    outflow: dict[str, float] | None = None,
    height: dict[str, float] | None = None,
    media: tuple[Medium, ...] = (WATER,),
    tees: tuple[TeeJoint, ...] = (),
) -> Network:
    """Return a network of links; their nodes follow from them, "suction" is held at 100 kPa."""
    held = {"suction": 100e3} if held is None else held
    outflow, height = outflow or {}, height or {}
    tags = dict.fromkeys(tag for link in links for tag in (link.start, link.end))
    nodes = [Node(tag, height.get(tag, 0.0), held.get(tag), outflow.get(tag, 0.0)) for tag in tags]
    return Network(nodes=tuple(nodes), links=links, media=media, tees=tees)


def solved(given: Network, warm_start: Solution | None = None) -> Solution:
    """Return Newton's answer, held to the check and to Hardy-Cross."""
    compiled = CompiledNetwork(given, warm_start.compiled.structure if warm_start else None)
    solution = newton(compiled, warm_start)
    certificate = require(solution)
    largest = max(certificate.largest_flow, 1e-3)
    assert certificate.mass_residual <= 1e-9 * largest
    crossed = hardy_cross(compiled).solution
    require(crossed)
    np.testing.assert_allclose(crossed.flow, solution.flow, rtol=0, atol=1e-6 * largest)
    return solution


def coil(tag: str, start: str, end: str, coefficient: float = 4e5, exponent: float = 1.8) -> Link:
    return power_law(tag, start, end, coefficient=coefficient, exponent=exponent)


def square(tag: str, start: str, end: str, coefficient: float) -> Link:
    return power_law(tag, start, end, coefficient=coefficient, exponent=2.0)


def two_branches(kv_1: float = 3.0, kv_2: float = 3.0) -> tuple[Link, ...]:
    """Return a pump with a main and two branches of a coil and a valve each."""
    return (
        pump("P-1", "suction", "header", PUMP),
        pipe("R-1", "header", "S", length=10, bore=0.032, roughness=1.5e-6, k=3),
        coil("AH-1", "S", "a"),
        valve("V-1", "a", "R", kv=kv_1),
        coil("AH-2", "S", "b"),
        valve("V-2", "b", "R", kv=kv_2),
        pipe("R-2", "R", "suction", length=10, bore=0.032, roughness=1.5e-6, k=3),
    )


def same_flows(one: Solution, other: Solution, share: float = 1e-9) -> None:
    """Check that links of both have the same flows."""
    largest = np.abs(one.flow).max()
    for tag in set(one.flows) & set(other.flows):
        assert one.flow_of(tag) == pytest.approx(other.flow_of(tag), abs=share * largest), tag
