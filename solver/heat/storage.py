# SPDX-License-Identifier: MIT
"""What holds heat and moisture while temperatures change: the water, the air of cabins, their furnishings.

A cabin is two nodes: its air, and joinery, linings and bedding.  The water in a link stands at the node it
flows to, mixed; still water at both its ends.  ``docs/physics/pull_down.md`` has the equations.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from solver.heat.estimate import floor_area
from solver.heat.temperatures import Prepared
from solver.media.moist_air import dry_air_flow
from solver.network.solution import Solution
from solver.parts.roots import Array
from solver.vessel.components import Component
from solver.vessel.vessel import Vessel
from solver.vessel.water_content import water_content_L
from solver.vessel.ways import one_point, ways

Indices = NDArray[np.int64]

#: Air with what is as quick as it, per m2 of floor: EN ISO 52016-1, default for air and furniture (from
#: memory) [J/(m2 K)].
AIR_J_M2K = 10e3
#: Joinery, linings, bedding: the lightest class of ISO 13790:2008, table 12 (from memory); 40 kg of wood to a
#: square metre of floor are as much [J/(m2 K)].
FURNISHING_J_M2K = 80e3
#: Heat between air and furnishings: 3.45 W/(m2 K) over surfaces of 4.5 times the floor in a row with
#: 9.1 over 2.5 times, by ISO 13790 (from memory) [W/(m2 K)].
EXCHANGE_W_M2K = 1.0 / (1.0 / (3.45 * 4.5) + 1.0 / (9.1 * 2.5))
#: What a cabin holds of moisture, over what its air holds: bedding and linings (common practice).
MOISTURE_SHARE = 5.0
#: A capacity that no node is without, so that nothing is divided by 0 [J/K].
_LEAST_J_K = 1.0
#: Flow below which water stands [W/K].
STANDS = 1e-6


class Storage(NamedTuple):
    """Capacities: ``node_J_K`` of the water at nodes; of cabins ``air_J_K``, ``furnishing_J_K``, between the
    two ``exchange_W_K``, and ``moisture_kg`` of dry air.

    ``wall_W_K`` and ``wall_gain_W`` are what still water at nodes takes from the air round its pipes: a
    conductance, and that times the air's temperature.
    """

    node_J_K: Array
    air_J_K: Array
    furnishing_J_K: Array
    exchange_W_K: Array
    moisture_kg: Array
    wall_W_K: Array
    wall_gain_W: Array


def storage(vessel: Vessel, solution: Solution, made: Prepared) -> Storage:
    """Return the capacities of a vessel, for the flows of a solution.

    Raises
    ------
    PartError
        A run has a size that is in no series.
    """
    structure = solution.compiled.structure
    content = water_content_L(vessel)
    heat_m3 = np.array([rho * cp for rho, cp in zip(made.densities, made.heats, strict=True)])
    per_m3 = heat_m3[made.sea_links.astype(int)]
    of_link = per_m3 * np.array([content.get(tag, 0.0) * 1e-3 for tag in structure.order])
    stream = made.case.water
    nodes = np.zeros(len(structure.node_tags))
    still = stream.rate < STANDS
    np.add.at(nodes, stream.down, np.where(still, 0.5, 1.0) * of_link)
    np.add.at(nodes, stream.up, np.where(still, 0.5, 0.0) * of_link)
    node_of = nodes_of_points(vessel, structure.node_index)
    for part in vessel.components:
        node = _still_part(vessel, part, node_of)
        if node is not None and part.tag in content:
            nodes[node] += content[part.tag] * 1e-3 * heat_m3[0]

    area = np.array([floor_area(vessel, cabin)[0] for cabin in vessel.cabins], dtype=float)
    volume = area * np.array([cabin.ceiling_m for cabin in vessel.cabins], dtype=float)
    wall, gain = _still_walls(made, still, len(nodes))
    return Storage(
        np.maximum(nodes, _LEAST_J_K),
        area * AIR_J_M2K,
        area * FURNISHING_J_M2K,
        area * EXCHANGE_W_M2K,
        MOISTURE_SHARE * np.asarray(dry_air_flow(volume, 25.0, 0.010)),
        wall,
        gain,
    )


def nodes_of_points(vessel: Vessel, node_index: dict[str, int]) -> dict[int, int]:
    """Return point of the drawing -> node of the network."""
    found: dict[int, int] = {}
    for (tag, port), point in vessel.joints.point_of.items():
        node = node_index.get(f"{tag}/{port}")
        if node is not None:
            found[point] = node
    return found


def _still_part(vessel: Vessel, part: Component, node_of: dict[int, int]) -> int | None:
    """Return the node of a part that is one point, such as a tank; None where water passes in a link."""
    if ways(part) or not one_point(part):
        return None
    return node_of.get(vessel.joints.point_of[part.tag, part.ports[0]])


def _still_walls(made: Prepared, still: NDArray[np.bool_], nodes: int) -> tuple[Array, Array]:
    """Return conductance and its product with the air's temperature for pipes whose water stands, by node."""
    walls, stream = made.walls, made.case.water
    half = np.where(still[walls.link], made.wall_heat.conductance * walls.length / 2.0, 0.0)
    conductance, gain = np.zeros(nodes), np.zeros(nodes)
    for ends in (stream.up, stream.down):
        np.add.at(conductance, ends[walls.link], half)
        np.add.at(gain, ends[walls.link], half * walls.air_C)
    return conductance, gain
