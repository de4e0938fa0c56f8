# SPDX-License-Identifier: MIT
"""What a solve of a network found, in SI units and compiled order."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from solver.network.compiled import CompiledNetwork
from solver.network.laws import Coefficients, States, TeeTerms

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Solution:
    """Flows and pressures of one solve.

    Attributes
    ----------
    compiled : CompiledNetwork
        What was solved.
    laws : Coefficients
        The links' laws it was solved with.
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
    laws: Coefficients
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
        return np.where(self.cut_off, np.nan, self.total - self.compiled.nodes.static)

    def pressure_at(self, node: str) -> float:
        """Return the gauge pressure [Pa] at a node, NaN where cut off."""
        return float(self.pressures[self.compiled.structure.node_index[node]])
