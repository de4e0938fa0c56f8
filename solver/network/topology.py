# SPDX-License-Identifier: MIT
"""Questions about how a network hangs together, asked before it is solved."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray
from scipy import sparse
from scipy.sparse.csgraph import breadth_first_order, connected_components, minimum_spanning_tree

from solver.errors import NotSolvableError
from solver.network.compiled import CompiledNetwork, Structure

Indices = NDArray[np.int64]


class Reach(NamedTuple):
    """What shut links leave connected.

    ``cut_off`` marks the nodes without a held pressure in reach, ``grounded`` are the free nodes
    (one in each cut-off part) that are held so that the part's flows can be solved.
    """

    cut_off: NDArray[np.bool_]
    grounded: Indices


def parts(structure: Structure, through: NDArray[np.bool_]) -> tuple[int, Indices]:
    """Return the number of connected parts and the part of each node, over links in ``through``."""
    count = len(structure.node_tags)
    start, end = structure.start[through], structure.end[through]
    graph = sparse.coo_matrix((np.ones(len(start), dtype=np.int8), (start, end)), shape=(count, count))
    number, label = connected_components(graph, directed=False)
    return int(number), label


def reach(compiled: CompiledNetwork, is_open: NDArray[np.bool_]) -> Reach:
    """Return which nodes are cut off from every held pressure by shut links.

    Parameters
    ----------
    is_open : array of bool, shape (passive links,)

    Raises
    ------
    NotSolvableError
        A part has no held pressure even with every link open, or a cut-off part has an imposed
        flow that has nowhere to go.
    """
    structure = compiled.structure
    if not structure.referenced:
        _require_reference(structure)
        structure.referenced = True
    if is_open.all():
        return Reach(np.zeros(len(structure.node_tags), dtype=bool), np.zeros(0, dtype=np.int64))
    through = np.ones(structure.links, dtype=bool)
    through[structure.passive] = is_open
    number, label = parts(structure, through)
    held = np.zeros(number, dtype=bool)
    held[label[structure.free < 0]] = True
    cut_off = ~held[label]
    _check_outflows(compiled, label, cut_off)
    _, first = np.unique(label[cut_off], return_index=True)
    grounded = structure.free[np.flatnonzero(cut_off)[first]]
    return Reach(cut_off, grounded)


def _require_reference(structure: Structure) -> None:
    number, label = parts(structure, np.ones(structure.links, dtype=bool))
    held = np.zeros(number, dtype=bool)
    held[label[structure.free < 0]] = True
    if held.all():
        return
    lost = ~held[label[structure.start]]
    tags = tuple(tag for tag, without in zip(structure.order, lost.tolist(), strict=True) if without)
    named = ", ".join(tags[:5]) + (f" and {len(tags) - 5} more" if len(tags) > 5 else "")
    if tags:
        raise NotSolvableError(f"no pressure reference: nothing holds the pressure of {named}", tags)
    alone = structure.node_tags[int(np.flatnonzero(~held[label])[0])]
    raise NotSolvableError(f"node {alone} is joined to nothing", (alone,))


def _check_outflows(compiled: CompiledNetwork, label: Indices, cut_off: NDArray[np.bool_]) -> None:
    outflow = np.array([node.outflow for node in compiled.network.nodes])
    if not outflow[cut_off].any():
        return
    total = np.bincount(label, weights=outflow * cut_off)
    worst = int(np.argmax(np.abs(total)))
    if abs(total[worst]) > 1e-12:
        tags = tuple(
            compiled.structure.node_tags[i] for i in np.flatnonzero((label == worst) & (outflow != 0))
        )
        raise NotSolvableError(
            f"{tags[0]} must deliver {total[worst]:.4g} kg/s, but shut valves cut it off", tags
        )


class Loops(NamedTuple):
    """Independent loops from a breadth-first tree.

    ``matrix`` has a row a loop, +1 where the loop runs with a link, -1 against it; ``chords`` is the
    link that closes each loop, ``tree`` the links of the tree.  Held nodes are joined in one ground
    (the last node index), so a row may be a path between two held pressures.  ``order`` lists nodes
    from the roots outward, ``parent_node`` and ``parent_link`` their way to the root (-1 at roots).
    """

    matrix: sparse.csr_matrix
    chords: Indices
    tree: Indices
    order: Indices
    parent_node: Indices
    parent_link: Indices


def fundamental_loops(
    structure: Structure, used: NDArray[np.bool_], weight: NDArray[np.float64] | None = None
) -> Loops:
    """Return the loops over the links in ``used``.

    Without ``weight`` the tree is breadth-first; with it, the tree of least weight, so that loops
    overlap on links of little weight only.  A minimum cycle basis would have shorter loops, but
    finding it costs far more than a solve.

    Parameters
    ----------
    used : array of bool, shape (links,)
    weight : array, shape (links,), optional
        Positive.
    """
    ground = len(structure.node_tags)
    start = np.where(structure.free[structure.start] < 0, ground, structure.start)
    end = np.where(structure.free[structure.end] < 0, ground, structure.end)
    links = np.flatnonzero(used)
    order, parent_node, parent_link = _tree(ground + 1, start, end, links, weight)
    in_tree = np.zeros(structure.links, dtype=bool)
    in_tree[parent_link[parent_link >= 0]] = True
    chords = links[~in_tree[links]]
    depth = [0] * (ground + 1)
    for node in order.tolist():
        if parent_node[node] >= 0:
            depth[node] = depth[parent_node[node]] + 1
    rows: list[int] = []
    columns: list[int] = []
    signs: list[float] = []
    for row, chord in enumerate(chords.tolist()):
        rows.append(row)
        columns.append(chord)
        signs.append(1.0)
        # The loop runs along the chord, then back through the tree from its end to its start.
        a, b = int(end[chord]), int(start[chord])
        while a != b:
            if depth[a] >= depth[b]:
                link, a, forward = int(parent_link[a]), int(parent_node[a]), start[parent_link[a]] == a
            else:
                link, b, forward = int(parent_link[b]), int(parent_node[b]), end[parent_link[b]] == b
            rows.append(row)
            columns.append(link)
            signs.append(1.0 if forward else -1.0)
    matrix = sparse.csr_matrix((signs, (rows, columns)), shape=(len(chords), structure.links))
    return Loops(matrix, chords, np.flatnonzero(in_tree), order, parent_node, parent_link)


def loop_matrix(structure: Structure, used: NDArray[np.bool_]) -> NDArray[np.float64]:
    """Return the loops of the breadth-first tree over the links in ``used``, shape (loops, links).

    Kept with the structure, since it is the same for all parameters.
    """
    key = used.tobytes()
    if key not in structure.loop_matrices:
        structure.loop_matrices[key] = fundamental_loops(structure, used).matrix.toarray()
    return structure.loop_matrices[key]


def _tree(
    count: int, start: Indices, end: Indices, links: Indices, weight: NDArray[np.float64] | None
) -> tuple[Indices, Indices, Indices]:
    """Return the order of nodes from the roots, and each node's way to its root."""
    a, b = start[links], end[links]
    rank = np.ones(len(links)) if weight is None else np.argsort(np.argsort(weight[links])) + 1.0
    low, high = np.minimum(a, b), np.maximum(a, b)
    proper = np.flatnonzero(low != high)
    # Of parallel links keep the one of least weight.
    proper = proper[np.argsort(rank[proper], kind="stable")]
    _, first = np.unique(low[proper] * count + high[proper], return_index=True)
    kept = proper[first]
    graph = sparse.csr_matrix((rank[kept], (low[kept], high[kept])), shape=(count, count))
    if weight is not None:
        graph = minimum_spanning_tree(graph)
    between: dict[tuple[int, int], int] = {}
    for x, y, link in zip(low[kept].tolist(), high[kept].tolist(), links[kept].tolist(), strict=True):
        between[x, y] = between[y, x] = link
    _, label = connected_components(graph, directed=False)
    parent_node = np.full(count, -1, dtype=np.int64)
    parent_link = np.full(count, -1, dtype=np.int64)
    _, roots = np.unique(label[::-1], return_index=True)
    orders = []
    # Counted from the back, so that the ground, the last node, is the root of its part.
    for root in (count - 1 - roots).tolist():
        order, before = breadth_first_order(graph, root, directed=False, return_predecessors=True)
        for node in order[1:].tolist():
            parent_node[node] = before[node]
            parent_link[node] = between[node, int(before[node])]
        orders.append(order)
    return np.concatenate(orders).astype(np.int64), parent_node, parent_link
