# SPDX-License-Identifier: MIT
"""The same networks in pandapipes, a general-purpose pipe-network library, for comparison only."""

from __future__ import annotations

import pandapipes
import pandapipes.pipeflow

from solver.network.network import Network, Passive, PumpLink
from tests.benchmarks.timing import median


def pandapipes_net(network: Network) -> pandapipes.pandapipesNet:
    """Return a loop of pipes, valves and coils in pandapipes: each link as a pipe of like loss."""
    net = pandapipes.create_empty_network(fluid="water")
    junctions = {
        node.tag: pandapipes.create_junction(net, pn_bar=3.0, tfluid_k=283.0) for node in network.nodes
    }
    for link in network.links:
        ends = junctions[link.start], junctions[link.end]
        if isinstance(link, PumpLink):
            pandapipes.create_circ_pump_const_pressure(
                net, ends[0], ends[1], p_flow_bar=3.0, plift_bar=2.0, t_flow_k=283.0
            )
        elif isinstance(link, Passive):
            bore = link.bore or 0.016
            pandapipes.create_pipe_from_parameters(
                net,
                ends[0],
                ends[1],
                length_km=max(link.length, 0.5) / 1e3,
                inner_diameter_mm=bore * 1e3,
                k_mm=max(link.roughness, 1e-6) * 1e3,
                loss_coefficient=link.k + (20.0 if link.bore == 0 else 0.0),
            )
    return net


def pandapipes_time(network: Network) -> float:
    """Return the median time of a pipe flow in pandapipes, whole call [s]."""
    net = pandapipes_net(network)

    def flow() -> None:
        pandapipes.pipeflow(net, friction_model="colebrook", max_iter_hyd=100, tol_p=1e-6, tol_m=1e-6)

    return median(flow, 1.0, 2)
