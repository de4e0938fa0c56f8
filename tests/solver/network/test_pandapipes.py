# SPDX-License-Identifier: MIT
"""The same closed loops in pandapipes, a general-purpose pipe-network library, used here only.

Lohmeier, D. et al. (2020). pandapipes: an open-source piping grid calculation package. Sustainability
12(23), 9899.  Both get the same constant density and viscosity, the same pump curve (a quadratic, which
its polynomial of degree 2 meets exactly) and Colebrook friction; its Colebrook constant is 3.71 where
ours is 3.7, so flows agree to about 1e-4.  It applies Colebrook at every Reynolds number: no pipe here is
laminar.
"""

from __future__ import annotations

import warnings
from collections.abc import Iterator
from typing import NamedTuple

import numpy as np
import pytest

from solver.network.compiled import CompiledNetwork
from solver.network.network import GRAVITY, Medium, Network, Node, pipe, pump
from solver.network.newton import newton
from solver.parts.pump_curve import PumpCurve

DENSITY, VISCOSITY = 999.7, 1.306e-3
ROUGHNESS = 4.5e-5
HEAD, FALL, LAST_FLOW = 10.0, 2.0e6, 8.0 / 3600.0


class Piece(NamedTuple):
    """A pipe: its nodes, length and bore [m], and the loss coefficient of its fittings."""

    start: str
    end: str
    length: float
    bore: float
    k: float


def direct_return(branches: int) -> list[Piece]:
    """A direct-return loop: mains that narrow, branches with a large loss coefficient."""
    pieces = []
    for number in range(branches):
        bore = 0.020 + 0.004 * (branches - number)
        before = ("out", "in") if number == 0 else (f"s{number - 1}", f"r{number - 1}")
        pieces += [
            Piece(before[0], f"s{number}", 6.0, bore, 1.0),
            Piece(f"s{number}", f"r{number}", 8.0, 0.016, 30.0 - 3.0 * number),
            Piece(f"r{number}", before[1], 6.0, bore, 1.0),
        ]
    return pieces


TWO_WAYS = [
    Piece("out", "c", 10.0, 0.032, 2.0),
    Piece("c", "d", 8.0, 0.026, 1.0),
    Piece("c", "e", 6.0, 0.020, 12.0),
    Piece("d", "f", 6.0, 0.020, 15.0),
    Piece("f", "e", 8.0, 0.026, 1.0),
    Piece("e", "in", 10.0, 0.032, 2.0),
]
RING = [
    Piece("out", "a", 5.0, 0.04, 1.0),
    Piece("a", "b", 12.0, 0.026, 1.0),
    Piece("b", "c", 12.0, 0.026, 1.0),
    Piece("a", "c", 20.0, 0.020, 1.0),
    Piece("b", "in", 6.0, 0.016, 20.0),
    Piece("c", "in", 6.0, 0.016, 8.0),
]


@pytest.fixture(autouse=True)
def _quiet() -> Iterator[None]:
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        yield


def flows_in_pandapipes(pieces: list[Piece]) -> np.ndarray:
    import pandapipes
    from pandapipes.properties.fluids import _add_fluid_to_net, create_constant_fluid

    net = pandapipes.create_empty_network()
    properties = {"density": DENSITY, "viscosity": VISCOSITY, "heat_capacity": 4190.0, "molar_mass": 18.0}
    fluid = create_constant_fluid(
        "loop", "liquid", compressibility=1.0, der_compressibility=0.0, **properties
    )
    _add_fluid_to_net(net, fluid)
    nodes = sorted({"in", "out"} | {end for piece in pieces for end in (piece.start, piece.end)})
    at = {node: pandapipes.create_junction(net, pn_bar=2.0, tfluid_k=283.15) for node in nodes}
    pandapipes.create_ext_grid(net, at["in"], p_bar=2.0, t_k=283.15)
    flow = np.linspace(0.0, LAST_FLOW, 9)
    rise = (HEAD - FALL * flow**2) * DENSITY * GRAVITY / 1e5
    pandapipes.create_pump_from_parameters(
        net,
        at["in"],
        at["out"],
        "quadratic",
        pressure_list=rise.tolist(),
        flowrate_list=(flow * 3600.0).tolist(),
        reg_polynomial_degree=2,
    )
    for piece in pieces:
        pandapipes.create_pipe_from_parameters(
            net,
            at[piece.start],
            at[piece.end],
            length_km=piece.length / 1e3,
            inner_diameter_mm=piece.bore * 1e3,
            k_mm=ROUGHNESS * 1e3,
            loss_coefficient=piece.k,
        )
    pandapipes.pipeflow(
        net, friction_model="colebrook", tol_p=1e-8, tol_m=1e-8, max_iter_hyd=200, max_iter_colebrook=100
    )
    assert net.res_pipe["reynolds"].abs().min() > 4000.0
    return net.res_pipe["mdot_from_kg_per_s"].to_numpy()


def flows_here(pieces: list[Piece]) -> np.ndarray:
    links = [
        pump("P-1", "in", "out", PumpCurve.quadratic(HEAD, FALL, LAST_FLOW)),
        *(
            pipe(
                f"R-{number}",
                piece.start,
                piece.end,
                length=piece.length,
                bore=piece.bore,
                roughness=ROUGHNESS,
                k=piece.k,
            )
            for number, piece in enumerate(pieces)
        ),
    ]
    names = sorted({end for link in links for end in (link.start, link.end)})
    nodes = tuple(Node(name, pressure=2e5 if name == "in" else None) for name in names)
    network = Network(nodes=nodes, links=tuple(links), media=(Medium(DENSITY, VISCOSITY),))
    solution = newton(CompiledNetwork(network))
    return np.array([solution.flow_of(f"R-{number}") for number in range(len(pieces))])


@pytest.mark.parametrize(
    "pieces", [TWO_WAYS, RING, direct_return(4)], ids=["two ways", "ring", "direct return"]
)
def test_flows_of_a_closed_loop_agree_within_half_a_percent(pieces: list[Piece]) -> None:
    theirs, ours = flows_in_pandapipes(pieces), flows_here(pieces)
    np.testing.assert_allclose(ours, theirs, rtol=5e-3)
    # Much closer in fact: what is left is the Colebrook constant.
    assert np.abs(ours / theirs - 1.0).max() < 5e-4
