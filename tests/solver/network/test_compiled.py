# SPDX-License-Identifier: MIT
"""A compiled network: its order and matrix, changes without compiling again, threads that share it."""

from __future__ import annotations

from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from random import Random

import msgspec
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from solver.change import Change
from solver.errors import PartError
from solver.network.compiled import CompiledNetwork, Structure
from solver.network.network import (
    PASSIVE_FIELDS,
    Limiter,
    Link,
    Medium,
    Network,
    Node,
    OneWay,
    Passive,
    PumpLink,
    TeeJoint,
    check_valve,
    fitting,
    pipe,
    pump,
    valve,
)
from solver.network.newton import newton
from solver.parts.pump_curve import PumpCurve
from tests.networks import SHAPES, random_network
from tests.solver.network.loops import GLYCOL, GRAVITY, PUMP, SQUARE_PUMP, WATER, network


def every_law() -> tuple[Link, ...]:
    """Return links of every law, in no order."""
    return (
        Limiter(tag="CF-1", start="c", end="suction", flow=0.1, low=1e3, high=1e5),
        check_valve("CV-1", "d", "a", kv=10.0, cracking=500.0),
        valve("V-1", "b", "c", kv=2.0),
        pump("P-1", "suction", "d", PUMP),
        pipe("R-1", "a", "b", length=5, bore=0.02),
        pipe("R-2", "b", "suction", length=5, bore=0.02, friction_factor=0.03),
    )


def test_links_are_ordered_by_law() -> None:
    structure = CompiledNetwork(network(*every_law())).structure
    assert structure.order == ("R-1", "V-1", "R-2", "P-1", "CV-1", "CF-1")
    assert structure.pipes == 1
    parts = structure.passive, structure.pumps, structure.one_ways, structure.limiters
    assert [structure.order[part] for part in parts] == [
        ("R-1", "V-1", "R-2"),
        ("P-1",),
        ("CV-1",),
        ("CF-1",),
    ]
    assert structure.links == 6
    assert [structure.node_tags[node] for node in structure.start] == ["a", "b", "b", "suction", "d", "c"]


def test_numeric_fields_are_rows() -> None:
    link = Passive(
        tag="R-1", start="a", end="b", length=1, bore=2, roughness=3, friction_factor=0, k=5, k_reverse=6,
        k_reynolds=7, kv=8, coefficient=9, exponent=1.9, factor=11, is_open=False, medium=0,
    )  # fmt: skip
    compiled = CompiledNetwork(network(link, held={"a": 0.0}))
    row = {name: compiled.parameters.column(name)[0] for name in PASSIVE_FIELDS}
    assert row == {name: float(getattr(link, name)) for name in PASSIVE_FIELDS}


def test_two_links_of_one_tag_are_refused() -> None:
    with pytest.raises(PartError, match="two links share the tag R-1") as told:
        CompiledNetwork(network(*every_law(), pipe("R-1", "a", "c", length=1, bore=0.02)))
    assert told.value.tags == ("R-1",)


def test_a_link_to_nowhere_is_refused() -> None:
    lost = Network(nodes=(Node("a", pressure=0.0),), links=(valve("V-1", "a", "b", kv=1.0),), media=(WATER,))
    with pytest.raises(PartError, match="a link names the node 'b', which does not exist"):
        CompiledNetwork(lost)


@pytest.mark.parametrize("leg", ["R-9", "P-1"])
def test_a_tee_of_no_pipe_is_refused(leg: str) -> None:
    tee = TeeJoint("TE-1", ("R-1", leg, "R-2"), (1, -1, -1))
    with pytest.raises(PartError, match=f"tee TE-1 has the leg {leg}, which is no pipe") as told:
        CompiledNetwork(network(*every_law(), tees=(tee,)))
    assert told.value.tags == ("TE-1", leg)


def test_what_is_given_at_nodes() -> None:
    links = (
        pipe("R-1", "a", "b", length=1, bore=0.02),
        pipe("R-2", "x", "y", length=1, bore=0.02, medium=1),
    )
    given_ = network(
        *links,
        held={"a": 5e3, "x": 7e3},
        outflow={"b": 0.25},
        height={"a": 2.0, "b": 3.0, "x": -1.0, "y": 4.0},
        media=(WATER, GLYCOL),
    )
    values = CompiledNetwork(given_).nodes
    weights = np.array([1000.0, 1000.0, 1045.0, 1045.0]) * GRAVITY
    np.testing.assert_allclose(values.static, weights * [2.0, 3.0, -1.0, 4.0])
    np.testing.assert_allclose(values.held, [5e3 + weights[0] * 2, 0.0, 7e3 - weights[2], 0.0])
    np.testing.assert_allclose(values.outflow, [0.25, 0.0])


@given(seed=st.integers(0, 5000), shape=st.sampled_from(SHAPES), branches=st.integers(2, 10))
def test_the_nodal_matrix_is_that_of_the_incidence(seed: int, shape: str, branches: int) -> None:
    structure = CompiledNetwork(random_network(seed, shape, branches, tees=False)).structure
    conductance = 10.0 ** np.random.default_rng(seed).uniform(-6, 0, structure.links)
    incidence = structure.incidence.toarray()
    wanted = incidence @ np.diag(conductance) @ incidence.T
    right = np.linspace(-1.0, 1.0, len(structure.free_nodes))
    nobody = np.zeros(0, dtype=np.int64)
    for factors in (
        structure.factorised(conductance, nobody),
        structure.factorised_to_keep(conductance, nobody),
    ):
        np.testing.assert_allclose(wanted @ factors.solve(right), right, rtol=0, atol=1e-7)


def test_a_grounded_node_stays_at_its_guess() -> None:
    links = (valve("V-1", "suction", "a", kv=1.0), pipe("R-1", "a", "b", length=1, bore=0.02))
    structure = CompiledNetwork(network(*links)).structure
    # The valve conducts nothing, so nodes a and b hang on nothing but the grounded one.
    conductance = np.array([2.0, 0.0])
    assert structure.order == ("R-1", "V-1")
    rise = structure.factorised(conductance, np.array([0])).solve(np.array([0.5, -0.5]))
    assert abs(rise[0]) < 1e-12
    assert rise[1] == pytest.approx(-0.25)


def test_all_pressures_held() -> None:
    found = newton(CompiledNetwork(network(valve("V-1", "a", "b", kv=3.6), held={"a": 1e5, "b": 0.0})))
    assert found.flow_of("V-1") == pytest.approx(1.0)


BASE = network(*every_law(), tees=(TeeJoint("TE-1", ("R-1", "V-1", "R-2"), (1, -1, -1)),))


def _replaced(**fields: object) -> Network:
    return msgspec.structs.replace(BASE, **fields)


def _with_link(tag: str, /, **fields: object) -> Network:
    return _replaced(
        links=tuple(
            msgspec.structs.replace(link, **fields) if link.tag == tag else link for link in BASE.links
        )
    )


@pytest.mark.parametrize(
    ("other", "same"),
    [
        (BASE, True),
        (_replaced(media=(GLYCOL,)), True),
        (_replaced(lagged_tees=False), True),
        (_with_link("R-1", length=50.0, k=3.0), True),
        (_with_link("P-1", speed=0.5), True),
        (_with_link("P-1", tag="P-9"), False),
        (_with_link("R-1", end="c"), False),
        (_with_link("R-1", friction_factor=0.02), False),
        (_with_link("V-1", length=2.0, bore=0.02), False),
        (_replaced(links=BASE.links[1:]), False),
        (_replaced(links=BASE.links[::-1]), False),
        (_replaced(nodes=BASE.nodes[::-1]), False),
        (_replaced(nodes=(*BASE.nodes, Node("lone", pressure=0.0))), False),
        (
            _replaced(
                nodes=tuple(Node(node.tag, pressure=1.0) if node.tag == "d" else node for node in BASE.nodes)
            ),
            False,
        ),
        (_replaced(tees=()), False),
        (_replaced(tees=(TeeJoint("TE-1", ("R-1", "V-1", "R-2"), (1, -1, 1)),)), False),
    ],
)
def test_a_structure_is_shared_by_networks_of_its_topology(other: Network, same: bool) -> None:
    structure = Structure(BASE)
    assert structure.same_as(other) is same
    assert (CompiledNetwork(other, structure).structure is structure) is same


def _assert_alike(one: CompiledNetwork, other: CompiledNetwork) -> None:
    assert one.structure.order == other.structure.order
    assert one.ordered == other.ordered
    assert one.network.links == other.network.links
    for name in ("passive", "pump", "one_way", "limiter"):
        np.testing.assert_array_equal(getattr(one.parameters, name), getattr(other.parameters, name))
    for name in ("medium", "density", "viscosity"):
        np.testing.assert_array_equal(getattr(one, name), getattr(other, name))
    np.testing.assert_array_equal(one.nodes.held, other.nodes.held)


@given(seed=st.integers(0, 5000), shape=st.sampled_from(SHAPES), branches=st.integers(2, 10))
def test_changing_is_compiling_the_changed(seed: int, shape: str, branches: int) -> None:
    given_ = random_network(seed, shape, branches)
    rng = Random(seed)
    changes = []
    for link in rng.sample(given_.links, min(6, len(given_.links))):
        quantity = {
            Passive: rng.choice(["length", "bore", "k", "kv", "coefficient", "factor", "is_open"]),
            PumpLink: rng.choice(["speed", "head_factor"]),
            OneWay: rng.choice(["kv", "threshold", "band"]),
            Limiter: rng.choice(["flow", "low", "high"]),
        }[type(link)]
        how = "set" if quantity == "is_open" else rng.choice(["scale", "add"])
        changes.append(Change(link.tag, quantity, 0.0 if how == "set" else rng.uniform(0.5, 2.0), how))
    compiled = CompiledNetwork(given_)
    _assert_alike(compiled.changed(changes), CompiledNetwork(given_.changed(tuple(changes))))
    _assert_alike(compiled, CompiledNetwork(given_))  # and what was changed is as it was


def test_a_change_keeps_the_structure() -> None:
    compiled = CompiledNetwork(BASE)
    assert compiled.changed([Change("R-1", "length", 7.0)]).structure is compiled.structure


@pytest.mark.parametrize(
    "change",
    [
        Change("V-1", "length", 30.0),  # becomes a pipe with friction
        Change("R-1", "friction_factor", 0.02),  # has Colebrook no more
        Change("R-1", "length", 0.0),
        Change("R-1", "medium", 1.0),
    ],
)
def test_a_link_that_changes_its_law_or_liquid_is_compiled_anew(change: Change) -> None:
    links = list(every_law())
    links[2] = fitting("V-1", "b", "c", k=30.0, bore=0.02)
    given_ = network(*links, media=(WATER, GLYCOL))
    changed = CompiledNetwork(given_).changed([change])
    anew = CompiledNetwork(given_.changed((change,)))
    _assert_alike(changed, anew)
    np.testing.assert_array_equal(newton(changed).flow, newton(anew).flow)


def test_another_pump_curve_is_compiled_anew() -> None:
    compiled = CompiledNetwork(BASE)
    link = compiled.network.link_by_tag["P-1"]
    assert isinstance(link, PumpLink)
    changed = compiled.with_links({"P-1": msgspec.structs.replace(link, curve=SQUARE_PUMP)})
    volume = newton(changed).flow_of("P-1") / 1000
    rise = -newton(changed).loss_of("P-1")
    assert rise == pytest.approx(1000 * GRAVITY * SQUARE_PUMP.head(volume), rel=1e-6)


@pytest.mark.parametrize(
    ("change", "problem"),
    [
        (Change("X-9", "length", 1.0), "no link is tagged X-9"),
        (Change("R-1", "colour", 1.0), "R-1 has no quantity 'colour'"),
        (Change("R-1", "tag", 1.0), "R-1 has no quantity 'tag'"),
        (Change("P-1", "curve", 1.0), "P-1 has no quantity 'curve'"),
        (Change("P-1", "length", 1.0), "P-1 has no quantity 'length'"),
        (Change("CF-1", "kv", 1.0), "CF-1 has no quantity 'kv'"),
    ],
)
def test_changes_that_do_not_fit_are_refused(change: Change, problem: str) -> None:
    ways: list[Callable[[], object]] = [
        lambda: BASE.changed((change,)),
        lambda: CompiledNetwork(BASE).changed([change]),
    ]
    for way in ways:
        with pytest.raises(PartError, match=problem) as told:
            way()
        assert told.value.tags == (change.tag,)


def test_changes_of_one_link_add_up() -> None:
    changed = BASE.changed(
        (Change("R-1", "length", 2.0, "scale"), Change("R-1", "length", 1.5, "add"), Change("R-1", "k", 4.0))
    )
    link = changed.link_by_tag["R-1"]
    assert isinstance(link, Passive)
    assert (link.length, link.k) == (11.5, 4.0)
    assert changed.link_by_tag["V-1"] is BASE.link_by_tag["V-1"]


def test_threads_share_a_structure() -> None:
    """Two threads solve different networks of one structure at once, as a warm window and a study do."""
    compiled = CompiledNetwork(random_network(7, "ladder", 14))
    valves = [link.tag for link in compiled.network.links if isinstance(link, Passive) and link.kv < 1e9]
    variants = [
        compiled.changed([Change(tag, "kv", factor, "scale")]) for tag in valves[:8] for factor in (0.5, 2.0)
    ]
    wanted = [newton(variant).flow for variant in variants]
    with ThreadPoolExecutor(4) as pool:
        for _ in range(4):
            found = list(pool.map(lambda variant: newton(variant).flow, variants))
            for flow, alone in zip(found, wanted, strict=True):
                np.testing.assert_array_equal(flow, alone)


def test_a_medium_without_vapour_pressure_is_cold_water() -> None:
    assert Medium(1000.0, 1e-3).vapour_pressure == pytest.approx(1.2e3)


def test_curves_of_pumps_are_in_compiled_order() -> None:
    steep = PumpCurve([0.0, 1e-3, 2e-3], [20.0, 10.0, 0.5])
    links = (
        pump("P-2", "suction", "a", steep),
        pump("P-1", "suction", "a", PUMP),
        pipe("R-1", "a", "suction", length=10, bore=0.03),
    )
    compiled = CompiledNetwork(network(*links))
    heads, _ = compiled.curves(np.array([1e-3, 1e-3]))
    np.testing.assert_allclose(heads, [10.0, 9.0])
