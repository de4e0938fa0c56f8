# SPDX-License-Identifier: MIT
"""Published pipe networks as books put them: heads of the flowing liquid, volume flows, the book's own g.

A head of the book becomes a pressure of density * g(book) * head; nodes keep height 0, so that our own
g never enters.  Only a pump's head is in metres in our network: it is scaled by g(book)/g(ours).
"""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

import numpy as np

from solver.network.certificate import require
from solver.network.compiled import CompiledNetwork
from solver.network.hardy_cross import hardy_cross
from solver.network.network import GRAVITY, Link, Medium, Network, Node, pipe, power_law, pump
from solver.network.newton import newton
from solver.parts.pump_curve import PumpCurve

REFERENCES = Path(__file__).parents[2] / "references"

FOOT = 0.3048
INCH = 0.0254
US_GALLON_PER_MINUTE = 3.785411784e-3 / 60
POUND_PER_SQUARE_INCH = 6894.757293168
HORSEPOWER = 745.6998715822702
SLUG_PER_CUBIC_FOOT = 515.378818


def load(name: str) -> dict[str, Any]:
    """Return the published case whose file name starts with ``name``."""
    (path,) = REFERENCES.glob(f"{name}_*.json")
    return json.loads(path.read_text(encoding="utf-8"))


class HeadNetwork:
    """Nodes and links gathered in heads [m], volume flows [m3/s] and the book's g [m/s2]."""

    def __init__(self, g: float = 9.81, density: float = 1000.0, kinematic_viscosity: float = 1e-6):
        self.g, self.density = g, density
        self.medium = Medium(density, density * kinematic_viscosity)
        self.nodes: list[Node] = []
        self.links: list[Link] = []

    def fixed(self, **heads: float) -> None:
        self.nodes += [Node(tag, pressure=self.density * self.g * head) for tag, head in heads.items()]

    def free(self, *tags: str, **outflows: float) -> None:
        self.nodes += [Node(tag) for tag in tags]
        self.nodes += [Node(tag, outflow=self.density * flow) for tag, flow in outflows.items()]

    def pipe(
        self, tag: str, a: str, b: str, L: float, D: float, eps: float = 0.0, f: float = 0.0, K: float = 0.0
    ) -> None:
        self.links.append(pipe(tag, a, b, length=L, bore=D, roughness=eps, friction_factor=f, k=K))

    def square(self, tag: str, a: str, b: str, k: float) -> None:
        """Add a link with head loss k Q|Q|."""
        self.links.append(power_law(tag, a, b, coefficient=self.g * k / self.density, exponent=2.0))

    def quadratic_pump(
        self, tag: str, a: str, b: str, shut_off: float, fall: float, speed: float = 1
    ) -> None:
        scale = self.g / GRAVITY
        curve = PumpCurve.quadratic(shut_off * scale, fall * scale, 0.99 * (shut_off / fall) ** 0.5)
        self.links.append(pump(tag, a, b, curve, speed=speed))

    def tabulated_pump(
        self, tag: str, a: str, b: str, flow: Any, head: Any, efficiency: Any = None, speed: float = 1.0
    ) -> None:
        heads = np.asarray(head) * self.g / GRAVITY
        self.links.append(pump(tag, a, b, PumpCurve(flow, heads, efficiency), speed=speed))

    def solve(self) -> Heads:
        """Solve by Newton, hold the answer to the check and to Hardy-Cross, and return it in heads."""
        network = Network(nodes=tuple(self.nodes), links=tuple(self.links), media=(self.medium,))
        compiled = CompiledNetwork(network)
        solution = newton(compiled)
        require(solution)
        crossed = hardy_cross(compiled).solution
        largest = np.abs(solution.flow).max()
        np.testing.assert_allclose(crossed.flow, solution.flow, rtol=0, atol=1e-6 * largest)
        return Heads(self, solution)


class Heads:
    """A solution in the book's units."""

    def __init__(self, network: HeadNetwork, solution: Any):
        self._network, self._solution = network, solution
        self._weight = network.density * network.g

    def flow(self, tag: str) -> float:
        """Return a link's flow [m3/s]."""
        return self._solution.flow_of(tag) / self._network.density

    def head(self, node: str) -> float:
        """Return the head at a node [m]."""
        return self._solution.pressure_at(node) / self._weight

    def loss(self, tag: str) -> float:
        """Return the head lost along a link [m]; a pump's is negative."""
        return self._solution.loss_of(tag) / self._weight

    def velocity(self, tag: str) -> float:
        """Return the mean velocity in a pipe [m/s]."""
        bore = self._solution.compiled.network.link_by_tag[tag].bore
        return self.flow(tag) / (np.pi / 4 * bore**2)

    def friction_factor(self, tag: str) -> float:
        """Return the Darcy friction factor of a pipe without fittings, from its loss."""
        link = self._solution.compiled.network.link_by_tag[tag]
        return self.loss(tag) * 2 * self._network.g * link.bore / (link.length * self.velocity(tag) ** 2)


def by_lists(case: dict[str, Any], **given: float) -> HeadNetwork:
    """Return the network of a case that lists its nodes and links."""
    network = HeadNetwork(**given)
    for node in case["nodes"]:
        if "fixed_head_m" in node:
            network.fixed(**{node["id"]: node["fixed_head_m"]})
        else:
            network.free(**{node["id"]: node.get("demand_m3_per_s", 0.0)})
    for link in case["links"]:
        ends = link["id"], link["a"], link["b"]
        if link["kind"] == "darcy":
            network.pipe(*ends, **{key: link[key] for key in ("L", "D", "eps", "f", "K") if key in link})
        elif link["kind"] == "kq2":
            network.square(*ends, link["k"])
        else:
            shut_off, fall = re.fullmatch(r"H = ([\d.e+]+) - ([\d.e+]+) Q\^2", link["curve"]).groups()
            network.quadratic_pump(*ends, float(shut_off), float(fall))
    return network
