# SPDX-License-Identifier: MIT
"""Random closed loops for property tests: ladders, rings, trees and meshes with pumps and valves."""

from __future__ import annotations

from random import Random

from solver.network.network import (
    Limiter,
    Link,
    Medium,
    Network,
    Node,
    OneWay,
    Passive,
    TeeJoint,
    check_valve,
    fitting,
    pipe,
    power_law,
    pump,
    valve,
)
from solver.parts.pump_curve import PumpCurve

WATER = Medium(999.9, 1.35e-3)
GLYCOL = Medium(1033.0, 4.3e-3)
SHAPES = ("ladder", "reverse return", "ring", "tree", "mesh")
BORES = (0.006, 0.010, 0.013, 0.016, 0.020, 0.026, 0.032, 0.041, 0.051, 0.064, 0.1, 0.2, 0.4)


def random_pump(rng: Random, tag: str, start: str, end: str) -> Link:
    """Return a pump of random size; one in five has a hump in its curve."""
    head, last = rng.uniform(4, 25), rng.uniform(0.3e-3, 20e-3)
    flows = [last * share for share in (0, 0.25, 0.5, 0.75, 1.0)]
    shape = [1.0, rng.choice([0.97, 0.97, 0.97, 0.97, 1.04]), 0.86, 0.66, 0.38]
    return pump(
        tag, start, end, PumpCurve(flows, [head * s for s in shape]), speed=rng.choice([1.0, 1.0, 0.8, 0.5])
    )


def random_branch(rng: Random, tag: str, start: str, end: str) -> tuple[list[Node], list[Link]]:
    """Return an air-handler branch: pipe, coil, valve, sometimes shut, one-way or limited."""
    names = [f"{tag}.{number}" for number in range(3)]
    bore = rng.choice(BORES[:7])
    kv = rng.uniform(0.3, 6.0)
    shut = rng.random() < 0.08
    extra: Link
    kind = rng.random()
    if kind < 0.12:
        extra = check_valve(f"{tag}.c", names[2], end, kv=kv, cracking=rng.choice([0.0, 500.0, 3000.0]))
    elif kind < 0.2:
        extra = Limiter(
            tag=f"{tag}.f", start=names[2], end=end, flow=rng.uniform(0.02, 0.4), low=12e3, high=150e3
        )
    else:
        extra = valve(f"{tag}.v", names[2], end, kv=0.0 if shut else kv)
    coil = power_law(
        f"{tag}.a", names[0], names[1], coefficient=rng.uniform(3e4, 9e5), exponent=rng.uniform(1.6, 2.0)
    )
    return [Node(name, height=rng.uniform(-2, 8)) for name in names], [
        pipe(
            f"{tag}.p",
            start,
            names[0],
            length=rng.uniform(0.001, 30),
            bore=bore,
            roughness=rng.choice([0, 1.5e-6, 4.5e-5]),
            k=rng.uniform(0, 8),
        ),
        coil,
        pipe(f"{tag}.r", names[1], names[2], length=rng.uniform(0.5, 100), bore=bore, k=rng.uniform(0, 5)),
        extra,
    ]


def random_main(rng: Random, tag: str, start: str, end: str) -> Passive:
    """Return a piece of main, of any length and bore."""
    return pipe(
        tag,
        start,
        end,
        length=10 ** rng.uniform(-3, 2),
        bore=rng.choice(BORES[4:]),
        roughness=rng.choice([1.5e-6, 4.5e-5]),
        k=rng.uniform(0, 3),
    )


def random_network(seed: int, shape: str, branches: int, *, tees: bool = True) -> Network:
    """Return a closed network with a held pressure at its suction header."""
    rng = Random(seed)
    supply = [f"S{i}" for i in range(branches)]
    back = [f"R{i}" for i in range(branches)]
    nodes = [Node("suction", pressure=rng.uniform(50e3, 200e3)), Node("header", height=rng.uniform(-1, 1))]
    nodes += [Node(name, height=rng.uniform(-2, 8)) for name in (*supply, *back)]
    links: list[Link] = []
    for number in range(rng.choice([1, 1, 2, 3])):
        middle, name = f"pump{number}", f"P{number}"
        nodes.append(Node(middle))
        links.append(random_pump(rng, name, "suction", middle))
        if number or rng.random() < 0.5:
            links.append(
                check_valve(
                    f"{name}.c", middle, "header", kv=rng.uniform(5, 60), cracking=rng.choice([0, 1000.0])
                )
            )
        else:
            links.append(
                fitting(f"{name}.k", middle, "header", k=rng.uniform(0.1, 5), bore=rng.choice(BORES[5:]))
            )
    parents = _parents(rng, shape, branches)
    for i in range(branches):
        links.append(random_main(rng, f"s{i}", "header" if parents[i] < 0 else supply[parents[i]], supply[i]))
        towards = "suction" if parents[i] < 0 else back[parents[i]]
        if shape == "reverse return":
            towards = "suction" if i == branches - 1 else back[i + 1]
        links.append(random_main(rng, f"r{i}", back[i], towards))
        inner, branch = random_branch(rng, f"B{i}", supply[i], back[i])
        nodes += inner
        links += branch
    if shape in ("ring", "mesh") and branches > 2:
        links.append(random_main(rng, "s-ring", supply[-1], "header"))
        links.append(random_main(rng, "r-ring", back[-1], "suction"))
    if shape == "mesh":
        for number in range(branches // 2):
            a, b = rng.sample(range(branches), 2)
            links.append(random_main(rng, f"m{number}", supply[a], supply[b]))
    if rng.random() < 0.3:
        links.append(
            OneWay(
                tag="bypass",
                start="header",
                end="suction",
                kv=rng.uniform(2, 20),
                threshold=rng.uniform(1e4, 8e4),
                band=rng.choice([0.0, 5e3]),
            )
        )
    medium = rng.choice([WATER, GLYCOL])
    network = Network(nodes=tuple(nodes), links=tuple(links), media=(medium,))
    return (
        Network(nodes=network.nodes, links=network.links, media=(medium,), tees=_tees(network))
        if tees
        else network
    )


def _parents(rng: Random, shape: str, branches: int) -> list[int]:
    if shape == "tree":
        return [rng.randrange(-1, i) if i else -1 for i in range(branches)]
    return list(range(-1, branches - 1))


def _tees(network: Network) -> tuple[TeeJoint, ...]:
    """Return a tee wherever three pipes of some length meet, its branch the smallest of them.

    Between pipes of a few bores a tee could take most of the pressure, and a narrow branch that feeds
    both run legs could then have two answers (Crane has no rule for it); such places stay junctions.
    """
    at: dict[str, list[tuple[float, str, int]]] = {}
    for link in network.links:
        for node, sign in ((link.start, -1), (link.end, 1)):
            plain = isinstance(link, Passive) and link.length > 5 * link.bore and link.start != link.end
            at.setdefault(node, []).append((link.bore if plain else 0.0, link.tag, sign))
    tees = []
    for node, legs in at.items():
        if len(legs) == 3 and all(bore for bore, _, _ in legs):
            _, tags, signs = zip(*sorted(legs, reverse=True), strict=True)
            tees.append(TeeJoint(node, tags, signs))
    return tuple(tees)


def regular_loop(branches: int, *, tees: bool = True, zones: int = 1) -> Network:
    """Return a plain direct-return loop of like branches in ``zones`` parallel mains: for benchmarks.

    Five links a branch: supply main, branch pipe with its coil's tails, coil, valve, return main.
    """
    nodes = [Node("suction", pressure=100e3), Node("header")]
    links: list[Link] = [
        pump("P-1", "suction", "header", PumpCurve([0, branches * 0.15e-3, branches * 0.45e-3], [22, 20, 8]))
    ]
    each = -(-branches // zones)
    for i in range(branches):
        zone, place = divmod(i, each)
        left = min(each, branches - zone * each) - place
        bore = 0.02 * left**0.4
        before = ("header", "suction") if place == 0 else (f"S{i - 1}", f"R{i - 1}")
        nodes += [Node(f"{kind}{i}") for kind in ("S", "R", "a", "b")]
        links += [
            pipe(f"s{i}", before[0], f"S{i}", length=3.0, bore=bore, roughness=1.5e-6, k=0.3),
            pipe(f"p{i}", f"S{i}", f"a{i}", length=4.0, bore=0.0162, roughness=7e-6, k=4.0),
            power_law(f"c{i}", f"a{i}", f"b{i}", coefficient=2.5e5, exponent=1.8),
            valve(f"v{i}", f"b{i}", f"R{i}", kv=1.0 + 2.0 * place / each),
            pipe(f"r{i}", f"R{i}", before[1], length=3.0, bore=bore, roughness=1.5e-6, k=0.3),
        ]
    network = Network(nodes=tuple(nodes), links=tuple(links), media=(WATER,))
    return (
        Network(nodes=network.nodes, links=network.links, media=(WATER,), tees=_tees(network))
        if tees
        else network
    )
