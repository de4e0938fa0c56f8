# SPDX-License-Identifier: MIT
"""What a solve of a network found, in SI units and compiled order."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from solver.network.compiled import CompiledNetwork
from solver.network.laws import States, TeeTerms
from solver.network.network import GRAVITY

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Solution:
    """Flows and pressures of one solve.

    Attributes
    ----------
    compiled : CompiledNetwork
        What was solved.
    flow : array, shape (links,) [kg/s]
    total : array, shape (nodes,) [Pa]
        Gauge pressure plus density * g * height; only differences count in a cut-off part.
    cut_off : array of bool, shape (nodes,)
        Nodes without a pressure reference in reach.
    states : States
    tees : TeeTerms
        Terms the flows were found with.
    iterations : int
    mass_residual, pressure_residual : float [kg/s, Pa]
        From the certificate, by separate code.
    """

    compiled: CompiledNetwork
    flow: Array
    total: Array
    cut_off: NDArray[np.bool_]
    states: States
    tees: TeeTerms
    iterations: int
    mass_residual: float = float("nan")
    pressure_residual: float = float("nan")

    @property
    def flows(self) -> dict[str, float]:
        """Tag -> flow [kg/s]."""
        return dict(zip(self.compiled.structure.order, self.flow.tolist(), strict=True))

    def flow_of(self, tag: str) -> float:
        """Return the flow [kg/s] of a link."""
        return float(self.flow[self.compiled.structure.index[tag]])

    def loss_of(self, tag: str) -> float:
        """Return the total pressure lost [Pa] from a link's start to its end; negative for a pump."""
        structure = self.compiled.structure
        index = structure.index[tag]
        return float(self.total[structure.start[index]] - self.total[structure.end[index]])

    @property
    def pressures(self) -> Array:
        """Gauge pressure [Pa] of every node, NaN where cut off."""
        structure, network = self.compiled.structure, self.compiled.network
        height = np.array([node.height for node in network.nodes])
        pressure = self.total - node_density(self.compiled) * GRAVITY * height
        return np.where(self.cut_off, np.nan, pressure) if structure.links else pressure

    def pressure_at(self, node: str) -> float:
        """Return the gauge pressure [Pa] at a node, NaN where cut off."""
        return float(self.pressures[self.compiled.structure.node_index[node]])


def node_density(compiled: CompiledNetwork) -> Array:
    """Return the density [kg/m3] of the liquid at every node."""
    structure, media = compiled.structure, compiled.network.media
    density = np.full(len(structure.node_tags), media[0].density)
    if len(media) > 1:
        of_link = np.array([media[link.medium].density for link in compiled.ordered])
        density[structure.start] = of_link
        density[structure.end] = of_link
    return density
