# SPDX-License-Identifier: MIT
"""What must hold for any network: two methods agree, invariants, sensitivities, batches.

Networks are random closed loops of five shapes with pumps of any size, check valves, limiters, shut
valves, bypasses, bores from 6 to 400 mm, runs from 1 mm to 100 m, water or cold glycol.
"""

from __future__ import annotations

from random import Random

import msgspec
import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from solver.change import Change
from solver.network.batch import columns_of, solve_batch
from solver.network.certificate import certify
from solver.network.compiled import CompiledNetwork
from solver.network.hardy_cross import hardy_cross
from solver.network.network import Limiter, Link, Network, OneWay, Passive, PumpLink, TeeJoint, valve
from solver.network.newton import newton
from solver.network.sensitivity import PASSIVE_QUANTITIES, PUMP_QUANTITIES, Sensitivities
from solver.network.solution import Solution
from tests.networks import SHAPES, random_network

SEEDS = st.integers(0, 100_000)
BRANCHES = st.integers(2, 18)
shapes = st.sampled_from(SHAPES)


def solved(network: Network) -> Solution:
    return newton(CompiledNetwork(network))


def largest_flow(solution: Solution) -> float:
    return max(float(np.abs(solution.flow).max()), 1e-3)


def network_of_seed(seed: int) -> tuple[Network, Random]:
    """Return a random network of any shape and size, and the generator to choose its parts with."""
    rng = Random(seed)
    network = random_network(seed, rng.choice(SHAPES), rng.randint(2, 18), tees=rng.random() < 0.6)
    return network, rng


@settings(max_examples=max(200, settings().max_examples))
@given(seed=SEEDS, shape=shapes, branches=BRANCHES, tees=st.booleans())
def test_newton_and_hardy_cross_agree(seed: int, shape: str, branches: int, tees: bool) -> None:
    compiled = CompiledNetwork(random_network(seed, shape, branches, tees=tees))
    solution = newton(compiled)
    crossed = hardy_cross(compiled).solution
    largest = largest_flow(solution)
    assert np.abs(solution.flow - crossed.flow).max() <= 1e-6 * largest
    certificate = certify(solution)
    assert certificate.mass_residual <= 1e-9 * largest
    assert certificate.holds
    assert certify(crossed).holds


@given(seed=SEEDS, shape=shapes, branches=BRANCHES, tees=st.booleans())
def test_a_flipped_link_flips_its_flow(seed: int, shape: str, branches: int, tees: bool) -> None:
    network = random_network(seed, shape, branches, tees=tees)
    passive = [link for link in network.links if isinstance(link, Passive)]
    link = Random(seed).choice(passive)
    flipped = msgspec.structs.replace(
        link, start=link.end, end=link.start, k=link.k_reverse, k_reverse=link.k
    )
    other = msgspec.structs.replace(
        network,
        links=tuple(flipped if one is link else one for one in network.links),
        tees=tuple(_with_sign_turned(tee, link.tag) for tee in network.tees),
    )
    before, after = solved(network), solved(other)
    signs = np.array([-1.0 if tag == link.tag else 1.0 for tag in before.compiled.structure.order])
    assert np.abs(before.flow * signs - after.flow).max() <= 1e-8 * largest_flow(before)


def _with_sign_turned(tee: TeeJoint, tag: str) -> TeeJoint:
    one, two, three = (-sign if leg == tag else sign for leg, sign in zip(tee.legs, tee.signs, strict=True))
    return msgspec.structs.replace(tee, signs=(one, two, three))


@given(seed=SEEDS, shape=shapes, branches=BRANCHES, tees=st.booleans())
def test_the_order_of_nodes_and_links_does_not_matter(
    seed: int, shape: str, branches: int, tees: bool
) -> None:
    network = random_network(seed, shape, branches, tees=tees)
    rng = Random(seed)
    other = msgspec.structs.replace(
        network,
        nodes=tuple(rng.sample(network.nodes, len(network.nodes))),
        links=tuple(rng.sample(network.links, len(network.links))),
        tees=tuple(rng.sample(network.tees, len(network.tees))),
    )
    before, after = solved(network), solved(other)
    largest = largest_flow(before)
    for tag, flow in before.flows.items():
        assert abs(after.flow_of(tag) - flow) <= 1e-9 * largest, tag
    drop = max(abs(before.loss_of(link.tag)) for link in network.links)
    for node in network.nodes:
        here, there = before.pressure_at(node.tag), after.pressure_at(node.tag)
        assert np.isnan(here) == np.isnan(there), node.tag
        assert np.isnan(here) or abs(here - there) <= 1e-6 + 1e-7 * drop, node.tag


@given(seed=SEEDS, shape=shapes, branches=BRANCHES, tees=st.booleans())
def test_twice_the_reference_pressure_shifts_pressures_only(
    seed: int, shape: str, branches: int, tees: bool
) -> None:
    network = random_network(seed, shape, branches, tees=tees)
    (reference,) = (node.pressure for node in network.nodes if node.pressure is not None)
    other = msgspec.structs.replace(
        network,
        nodes=tuple(
            node if node.pressure is None else msgspec.structs.replace(node, pressure=2 * node.pressure)
            for node in network.nodes
        ),
    )
    before, after = solved(network), solved(other)
    assert np.abs(before.flow - after.flow).max() <= 1e-9 * largest_flow(before)
    rise = after.pressures - before.pressures
    np.testing.assert_allclose(rise[~before.cut_off], reference, rtol=1e-9, atol=1e-3)
    assert (before.cut_off == after.cut_off).all()


@given(seed=SEEDS, shape=shapes, branches=BRANCHES, more=st.floats(1.01, 5.0))
def test_a_valve_that_opens_never_passes_less(seed: int, shape: str, branches: int, more: float) -> None:
    network = random_network(seed, shape, branches, tees=False)
    valves = [link for link in network.links if isinstance(link, Passive) and np.isfinite(link.kv)]
    if not valves:
        return
    tag = Random(seed).choice(valves).tag
    compiled = CompiledNetwork(network)
    before = newton(compiled)
    after = newton(compiled.changed([Change(tag, "kv", more, "scale")]))
    assert abs(after.flow_of(tag)) >= abs(before.flow_of(tag)) - 1e-9 * largest_flow(before)


@given(seed=SEEDS, shape=shapes, branches=BRANCHES, tees=st.booleans(), speed=st.floats(0.3, 1.5))
def test_flows_go_with_speed_where_losses_are_square(
    seed: int, shape: str, branches: int, tees: bool, speed: float
) -> None:
    """Affinity: with a fixed friction factor and no threshold anywhere, flow goes with pump speed.

    Heads and losses are ten thousand times those of a boat, so that hardly a link takes less than a
    hundredth of a pascal, where no loss is square.
    """
    network = _square_laws(random_network(seed, shape, branches, tees=tees))
    compiled = CompiledNetwork(network)
    pumps = [link.tag for link in network.links if isinstance(link, PumpLink)]
    before = newton(compiled)
    after = newton(compiled.changed([Change(tag, "speed", speed, "scale") for tag in pumps]))
    assert np.abs(after.flow - speed * before.flow).max() <= 1e-6 * largest_flow(before)


def _square_laws(network: Network) -> Network:
    return msgspec.structs.replace(network, links=tuple(_square_law(link) for link in network.links))


def _square_law(link: Link) -> Link:
    if isinstance(link, Passive):
        factor = 0.02 if link.length > 0 else 0.0
        return msgspec.structs.replace(link, friction_factor=factor, exponent=2.0, factor=1e4)
    if isinstance(link, PumpLink):
        return msgspec.structs.replace(link, head_factor=1e4)
    if isinstance(link, OneWay):
        return msgspec.structs.replace(link, threshold=0.0, band=0.0, kv=link.kv / 100)
    if isinstance(link, Limiter):
        return valve(link.tag, link.start, link.end, kv=0.02)
    return link


def states(solution: Solution) -> tuple[bytes, bytes]:
    return solution.states.one_way_open.tobytes(), solution.states.limiter.tobytes()


def _finite_difference(base: Solution, flow_of: str, part: Passive | PumpLink, quantity: str) -> float | None:
    """Return d(flow)/d(ln quantity) by central differences extrapolated to step 0 (Richardson).

    None where a state changes on the way, or where two pairs of steps disagree (a kink between).
    """
    value = getattr(part, quantity)
    found = []
    for step in (0.01, 0.005, 0.0025):
        flows = []
        for sign in (1, -1):
            changes = [Change(part.tag, quantity, value * (1 + sign * step))]
            if quantity == "k":
                # K in either direction is one coefficient here.
                changes.append(Change(part.tag, "k_reverse", sign * step * value, "add"))
            solution = newton(base.compiled.changed(changes), base)
            if states(solution) != states(base):
                return None
            flows.append(solution.flow_of(flow_of))
        found.append((flows[0] - flows[1]) / (2 * step))
    rough, fine = (4 * found[1] - found[0]) / 3, (4 * found[2] - found[1]) / 3
    agree = abs(rough - fine) <= 2e-5 * abs(fine) + 1e-7 * largest_flow(base)
    return fine if agree else None


def test_sensitivities_are_those_of_finite_differences() -> None:
    """Every quantity on 60 networks, to 1e-4 and 1e-7 of the largest flow."""
    checked = dict.fromkeys(PASSIVE_QUANTITIES + PUMP_QUANTITIES, 0)
    for seed in range(60):
        network, rng = network_of_seed(seed)
        base = solved(network)
        sensitivities = Sensitivities(base)
        flow_of = rng.choice([link.tag for link in network.links if link.tag.startswith("B")])
        for quantity in checked:
            slopes = sensitivities.of_flow(flow_of, quantity)
            parts = [
                link
                for link in network.links
                if link.tag in slopes and 0 < getattr(link, quantity) < float("inf")
            ]
            part = rng.choice(parts)
            assert isinstance(part, Passive | PumpLink)
            wanted = _finite_difference(base, flow_of, part, quantity)
            if wanted is None:
                continue
            found = slopes[part.tag] * getattr(part, quantity)
            place = f"seed {seed}: {flow_of} by {quantity} of {part.tag}: {found} and {wanted}"
            assert abs(found - wanted) <= 1e-4 * abs(wanted) + 1e-7 * largest_flow(base), place
            checked[quantity] += 1
    assert min(checked.values()) >= 45, checked


def test_all_sensitivities_at_once_are_those_one_by_one() -> None:
    for seed in range(20):
        network, rng = network_of_seed(seed)
        base = solved(network)
        sensitivities = Sensitivities(base)
        together = sensitivities.matrix
        for tag in rng.sample([link.tag for link in network.links], 5):
            place = base.compiled.structure.index[tag]
            alone = sensitivities.by_loss(tag)
            np.testing.assert_allclose(together[place], alone, rtol=1e-6, atol=1e-8 * np.abs(together).max())


def _random_changes(network: Network, rng: Random) -> list[Change]:
    """Return changes as a study would make them: shut valves, pumps slowed or stopped, other parts."""
    passive = [link for link in network.links if isinstance(link, Passive)]
    valves = [link for link in passive if np.isfinite(link.kv)]
    pumps = [link for link in network.links if isinstance(link, PumpLink)]
    others = [link for link in network.links if isinstance(link, OneWay | Limiter)]
    changes = []
    kind = rng.randrange(5)
    if kind == 0 and valves:
        changes.append(Change(rng.choice(valves).tag, "is_open", 0.0))
    elif kind == 1:
        changes.append(Change(rng.choice(pumps).tag, "speed", rng.choice([0.0, 0.3, 0.7, 1.1])))
    elif kind == 2 and others:
        part = rng.choice(others)
        quantity = "kv" if isinstance(part, OneWay) else "flow"
        changes.append(Change(part.tag, quantity, rng.uniform(0.3, 3), "scale"))
    for _ in range(rng.randint(1, 3)):
        part = rng.choice(passive)
        quantity = rng.choice(PASSIVE_QUANTITIES)
        if 0 < getattr(part, quantity) < float("inf"):
            changes.append(Change(part.tag, quantity, rng.uniform(0.5, 2), "scale"))
    return changes


def test_a_batch_is_its_single_solves() -> None:
    """Rows solved together and rows solved by themselves, in 60 networks, to 1e-7 of the largest flow."""
    together = singly = changed_states = 0
    for seed in range(60):
        network, rng = network_of_seed(seed)
        base = solved(network)
        variations = [_random_changes(network, rng) for _ in range(8)]
        batch = solve_batch(base, columns_of(base, variations))
        singly += len(batch.solved_singly)
        together += len(variations) - len(batch.solved_singly)
        for row, changes in enumerate(variations):
            alone = newton(base.compiled.changed(changes))
            changed_states += states(alone) != states(base)
            difference = np.abs(batch.flow[row] - alone.flow).max()
            assert difference <= 1e-7 * largest_flow(alone), f"seed {seed}, row {row}: {changes}"
    assert together >= 150
    assert singly >= 50
    assert changed_states >= 10
