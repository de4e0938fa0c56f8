# SPDX-License-Identifier: MIT
"""Points, links and connected regions of a vessel."""

from __future__ import annotations

import msgspec
import networkx
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from solver.errors import PartError
from solver.vessel.joints import connected
from solver.vessel.run import End
from tests.solver.small_vessels import changed, sound_vessel


def groups(labels: np.ndarray) -> set[frozenset[int]]:
    return {frozenset(np.flatnonzero(labels == label).tolist()) for label in set(labels.tolist())}


@given(
    st.integers(1, 30).flatmap(
        lambda count: st.tuples(
            st.just(count),
            st.lists(st.tuples(st.integers(0, count - 1), st.integers(0, count - 1)), max_size=60),
        )
    ),
    st.sampled_from([1, 20]),
)
def test_regions_are_those_of_an_outside_graph_library(drawn, repeated: int) -> None:
    # Repeating the links 20 times takes the way by the sparse matrix, which must agree.
    count, links = drawn
    links = links * (repeated if repeated == 1 else 1 + 1000 // max(len(links), 1))
    start = np.array([link[0] for link in links], dtype=np.int32)
    end = np.array([link[1] for link in links], dtype=np.int32)
    labels = connected(count, start, end)
    graph = networkx.Graph()
    graph.add_nodes_from(range(count))
    graph.add_edges_from(links)
    assert groups(labels) == {frozenset(part) for part in networkx.connected_components(graph)}
    assert sorted(set(labels.tolist())) == list(range(labels.max() + 1))


def test_a_tee_is_one_point_and_a_valve_has_two() -> None:
    joints = sound_vessel().joints
    assert len({joints.point_of["TE-2", port] for port in ("run_1", "run_2", "branch")}) == 1
    assert joints.point_of["V-1", "inlet"] != joints.point_of["V-1", "outlet"]


def test_links_are_the_runs_and_then_the_ways() -> None:
    vessel = sound_vessel()
    joints = vessel.joints
    assert joints.tags[: joints.run_count] == [run.tag for run in vessel.runs]
    assert {"P-1", "CH-1", "CH-1:sea", "AH-1"} <= set(joints.tags[joints.run_count :])
    assert len(set(joints.tags)) == len(joints.tags)


def test_loop_and_sea_side_do_not_hang_together() -> None:
    joints = sound_vessel().joints
    regions = joints.circuits
    assert regions[joints.point_of["CH-1", "water_in"]] != regions[joints.point_of["CH-1", "sea_in"]]
    assert regions[joints.point_of["CH-1", "water_in"]] == regions[joints.point_of["AH-3", "water_out"]]


def test_cutting_the_pump_and_the_air_handlers_parts_supply_from_return() -> None:
    joints = sound_vessel().joints
    regions = joints.regions([joints.index_of[tag] for tag in ("P-1", "AH-1", "AH-2", "AH-3")])
    assert regions[joints.point_of["P-1", "inlet"]] == regions[joints.point_of["AH-2", "water_out"]]
    assert regions[joints.point_of["P-1", "outlet"]] == regions[joints.point_of["AH-2", "water_in"]]
    assert regions[joints.point_of["P-1", "inlet"]] != regions[joints.point_of["P-1", "outlet"]]


def test_joints_are_those_of_their_own_vessel() -> None:
    vessel = sound_vessel()
    assert vessel.joints is vessel.joints
    other = msgspec.structs.replace(vessel, components=vessel.components[:-1], runs=())
    assert other.joints.run_count == 0


def test_a_run_to_a_port_that_is_not_there_is_told_by_tag() -> None:
    vessel = changed(sound_vessel(), "R-2", end=End("V-1", "side"))
    with pytest.raises(PartError, match="R-2 ends at V-1 side") as caught:
        _ = vessel.joints
    assert caught.value.tags == ("R-2", "V-1")
