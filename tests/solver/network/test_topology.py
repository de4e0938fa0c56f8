# SPDX-License-Identifier: MIT
"""Connected parts, what shut links cut off, and independent loops."""

from __future__ import annotations

import networkx as nx
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from solver.errors import NotSolvableError
from solver.network.compiled import CompiledNetwork, Structure
from solver.network.network import Link, Network, Node, TeeJoint, pipe, pump, valve
from solver.network.topology import Loops, fundamental_loops, loop_matrix, parts, reach
from tests.networks import SHAPES, random_network
from tests.solver.network.loops import PUMP, WATER, network


def chain(*names: str, tag: str = "R") -> tuple[Link, ...]:
    return tuple(
        pipe(f"{tag}-{number}", start, end, length=1, bore=0.02)
        for number, (start, end) in enumerate(zip(names[:-1], names[1:], strict=True), start=1)
    )


def open_but(compiled: CompiledNetwork, *shut: str) -> np.ndarray:
    structure = compiled.structure
    return np.array([tag not in shut for tag in structure.order[structure.passive]])


def test_parts_are_counted() -> None:
    structure = CompiledNetwork(network(*chain("suction", "a", "b"), *chain("x", "y", tag="Q"))).structure
    number, label = parts(structure, np.ones(structure.links, dtype=bool))
    assert number == 2
    assert label[structure.node_index["a"]] == label[structure.node_index["suction"]]
    assert label[structure.node_index["x"]] != label[structure.node_index["a"]]


def test_all_open_cuts_nothing_off() -> None:
    compiled = CompiledNetwork(network(*chain("suction", "a", "b")))
    reached = reach(compiled, open_but(compiled))
    assert not reached.cut_off.any()
    assert len(reached.grounded) == 0


def test_shut_links_cut_off_what_lies_behind_them() -> None:
    compiled = CompiledNetwork(network(*chain("suction", "a", "b", "c", "d", "e")))
    reached = reach(compiled, open_but(compiled, "R-2", "R-4"))
    cut = {compiled.structure.node_tags[node] for node in np.flatnonzero(reached.cut_off)}
    assert cut == {"b", "c", "d", "e"}
    # One node of each part is held, so that the part's own flows can be found.
    held = {compiled.structure.node_tags[compiled.structure.free_nodes[at]] for at in reached.grounded}
    assert len(held) == 2
    assert len(held & {"b", "c"}) == 1


def test_a_part_with_its_own_reference_is_not_cut_off() -> None:
    links = chain("suction", "a", "b", "c")
    compiled = CompiledNetwork(network(*links, held={"suction": 0.0, "c": 5e3}))
    assert not reach(compiled, open_but(compiled, "R-2")).cut_off.any()


def test_a_part_without_a_reference_is_refused() -> None:
    lost = tuple(pipe(f"Q-{number}", f"q{number}", "x", length=1, bore=0.02) for number in range(7))
    compiled = CompiledNetwork(network(*chain("suction", "a"), *lost))
    with pytest.raises(NotSolvableError) as told:
        reach(compiled, open_but(compiled))
    assert told.value.reason == (
        "no pressure reference: nothing holds the pressure of Q-0, Q-1, Q-2, Q-3, Q-4 and 2 more"
    )
    assert told.value.tags == tuple(f"Q-{number}" for number in range(7))


def test_a_lone_node_is_refused() -> None:
    given_ = Network(
        nodes=(Node("suction", pressure=0.0), Node("a"), Node("lone")),
        links=chain("suction", "a"),
        media=(WATER,),
    )
    compiled = CompiledNetwork(given_)
    with pytest.raises(NotSolvableError, match="node lone is joined to nothing"):
        reach(compiled, open_but(compiled))


def test_flow_that_balances_within_a_part_cut_off_is_accepted() -> None:
    compiled = CompiledNetwork(network(*chain("suction", "a", "b", "c"), outflow={"b": 0.2, "c": -0.2}))
    assert reach(compiled, open_but(compiled, "R-2")).cut_off.sum() == 2


def test_flow_cut_off_is_refused() -> None:
    compiled = CompiledNetwork(network(*chain("suction", "a", "b", "c"), outflow={"b": 0.2, "c": -0.1}))
    with pytest.raises(NotSolvableError, match=r"b must deliver 0\.1 kg/s") as told:
        reach(compiled, open_but(compiled, "R-2"))
    assert told.value.tags == ("b", "c")


def closed(structure: Structure, loops: Loops) -> None:
    """Check that each loop is closed, counting held pressures as one ground."""
    assert not (loops.matrix @ structure.incidence.T).toarray().any()


@pytest.mark.parametrize("weighted", [False, True])
@given(seed=st.integers(0, 5000), shape=st.sampled_from(SHAPES), branches=st.integers(2, 12))
def test_loops_are_closed_independent_and_all(weighted: bool, seed: int, shape: str, branches: int) -> None:
    structure = CompiledNetwork(random_network(seed, shape, branches, tees=False)).structure
    rng = np.random.default_rng(seed)
    used = rng.random(structure.links) < 0.9
    weight = rng.uniform(0.1, 10, structure.links) if weighted else None
    loops = fundamental_loops(structure, used, weight)
    closed(structure, loops)
    matrix = loops.matrix.toarray()
    assert not matrix[:, ~used].any()
    # Each chord is in its own loop only, so the loops are independent; and none is missing.
    np.testing.assert_array_equal(matrix[:, loops.chords], np.eye(len(loops.chords)))
    graph = nx.MultiGraph()
    graph.add_nodes_from(range(len(structure.node_tags)))
    graph.add_edges_from((int(structure.start[x]), int(structure.end[x])) for x in np.flatnonzero(used))
    count = used.sum() - graph.number_of_nodes() + nx.number_connected_components(graph)
    assert len(loops.chords) == count
    assert len(loops.tree) + len(loops.chords) == used.sum()


@given(seed=st.integers(0, 5000), branches=st.integers(2, 12))
def test_a_weighted_tree_is_a_least_one(seed: int, branches: int) -> None:
    structure = CompiledNetwork(random_network(seed, "mesh", branches, tees=False)).structure
    weight = np.random.default_rng(seed).uniform(0.1, 10, structure.links)
    loops = fundamental_loops(structure, np.ones(structure.links, dtype=bool), weight)
    graph = nx.MultiGraph()
    graph.add_weighted_edges_from(zip(structure.start.tolist(), structure.end.tolist(), weight, strict=True))
    least = sum(data["weight"] for *_, data in nx.minimum_spanning_edges(graph, data=True))
    assert weight[loops.tree].sum() == pytest.approx(least)


def test_ways_between_held_pressures_count_as_loops() -> None:
    links = (*chain("A", "J"), *chain("J", "B", tag="Q"), *chain("J", "C", tag="S"))
    structure = CompiledNetwork(network(*links, held={"A": 3.0, "B": 2.0, "C": 1.0})).structure
    loops = fundamental_loops(structure, np.ones(3, dtype=bool))
    assert len(loops.chords) == 2
    closed(structure, loops)


def test_a_link_from_a_node_to_itself_is_a_loop_of_its_own() -> None:
    links = (*chain("suction", "a"), pump("P-1", "a", "a", PUMP))
    structure = CompiledNetwork(network(*links)).structure
    loops = fundamental_loops(structure, np.ones(2, dtype=bool))
    assert [structure.order[chord] for chord in loops.chords] == ["P-1"]
    assert loops.matrix.toarray().tolist() == [[0.0, 1.0]]


def test_nodes_are_ordered_from_the_roots_outward() -> None:
    structure = CompiledNetwork(random_network(5, "mesh", 9, tees=False)).structure
    loops = fundamental_loops(structure, np.ones(structure.links, dtype=bool))
    seen: set[int] = set()
    for node in loops.order.tolist():
        parent = int(loops.parent_node[node])
        assert parent == -1 or parent in seen
        seen.add(node)
    assert loops.parent_node[len(structure.node_tags)] == -1  # the ground is a root


def test_loop_matrices_are_kept_with_the_structure() -> None:
    structure = CompiledNetwork(random_network(5, "ring", 6, tees=False)).structure
    used = np.ones(structure.links, dtype=bool)
    first = loop_matrix(structure, used)
    assert loop_matrix(structure, used) is first
    np.testing.assert_array_equal(first, fundamental_loops(structure, used).matrix.toarray())
    fewer = used.copy()
    fewer[0] = False
    assert not loop_matrix(structure, fewer)[:, 0].any()


def test_a_valve_that_opens_is_seen_by_the_same_structure() -> None:
    links = (*chain("suction", "a"), valve("V-1", "a", "b", kv=0.0))
    compiled = CompiledNetwork(network(*links, tees=(TeeJoint("T", ("R-1", "V-1", ""), (1, -1, 1)),)))
    assert reach(compiled, open_but(compiled, "V-1")).cut_off.sum() == 1
    assert reach(compiled, open_but(compiled)).cut_off.sum() == 0
