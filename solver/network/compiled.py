# SPDX-License-Identifier: MIT
"""A network made ready to solve: its structure once, its parameters as arrays.

Links are ordered by law, so that each law works on a slice: pipes with friction, other passive
links, pumps, one-way links, limiters.  A changed link changes parameters only; the structure, with
the pattern of the nodal matrix and its symbolic factorisation, is shared.
"""

from __future__ import annotations

import threading
from collections.abc import Iterable
from functools import cached_property

import numpy as np
import qdldl
from msgspec.structs import astuple
from numpy.typing import NDArray
from scipy import sparse

from solver.change import Change
from solver.errors import PartError
from solver.network.network import (
    GRAVITY,
    PASSIVE_FIELDS,
    Link,
    Network,
    OneWay,
    Passive,
    PumpLink,
    changed_links,
)
from solver.network.tee_places import TeePlaces
from solver.parts.curves import CurveBank

Array = NDArray[np.float64]
Indices = NDArray[np.int64]

_COLUMN = {name: index for index, name in enumerate(PASSIVE_FIELDS)}


class Structure:
    """How links join nodes; shared by every set of parameters of one topology.

    Attributes
    ----------
    start, end : array, shape (links,)
        Node index at either end of each link, in compiled order.
    pipes, passive, pumps, one_ways, limiters : int or slice
        ``pipes`` counts the pipes with friction, which come first among the passive links.
    free : array, shape (nodes,)
        Index of the unknown pressure of a node, -1 where it is held.
    """

    def __init__(self, network: Network):
        ordered, sizes = _in_law_order(network.links)
        self.order: tuple[str, ...] = tuple(link.tag for link in ordered)
        self.index = {tag: index for index, tag in enumerate(self.order)}
        if len(self.index) != len(self.order):
            twice = sorted({tag for tag in self.order if self.order.count(tag) > 1})
            raise PartError(f"two links share the tag {twice[0]}", tuple(twice))
        self.node_tags = tuple(node.tag for node in network.nodes)
        self.node_index = {tag: index for index, tag in enumerate(self.node_tags)}
        try:
            self.start = np.array([self.node_index[link.start] for link in ordered], dtype=np.int64)
            self.end = np.array([self.node_index[link.end] for link in ordered], dtype=np.int64)
        except KeyError as missing:
            raise PartError(f"a link names the node {missing}, which does not exist") from None
        self.pipes = sizes[0]
        bounds = np.cumsum([sizes[0] + sizes[1], *sizes[2:]])
        self.passive = slice(0, int(bounds[0]))
        self.pumps = slice(int(bounds[0]), int(bounds[1]))
        self.one_ways = slice(int(bounds[1]), int(bounds[2]))
        self.limiters = slice(int(bounds[2]), int(bounds[3]))
        held = np.array([node.pressure is not None for node in network.nodes], dtype=bool)
        self.free = np.where(held, -1, np.cumsum(~held) - 1)
        self.free_nodes = np.flatnonzero(~held)
        self.tees = TeePlaces(network.tees, self.index, self.passive.stop)
        #: Whether every part was found to have a held pressure; looked at once, before the first solve.
        self.referenced = False
        #: Loop matrices by the links in use, kept by ``topology.loop_matrix``.
        self.loop_matrices: dict[bytes, Array] = {}
        self._local = threading.local()

    @property
    def links(self) -> int:
        """Number of links."""
        return len(self.order)

    def same_as(self, network: Network) -> bool:
        """Whether ``network`` has this topology (same tags, ends, laws and held nodes)."""
        ordered, sizes = _in_law_order(network.links)
        return (
            tuple(link.tag for link in ordered) == self.order
            and sizes[0] == self.pipes
            and self.passive.stop == sizes[0] + sizes[1]
            and tuple(node.tag for node in network.nodes) == self.node_tags
            and self.tees.same_as(network.tees)
            and all(
                (node.pressure is not None) == (free < 0)
                for node, free in zip(network.nodes, self.free.tolist(), strict=True)
            )
            and all(
                self.node_index[link.start] == a and self.node_index[link.end] == b
                for link, a, b in zip(ordered, self.start.tolist(), self.end.tolist(), strict=True)
            )
        )

    @cached_property
    def _pattern(self) -> tuple[sparse.csc_matrix, sparse.csr_matrix, Indices]:
        """Upper triangle of the nodal matrix, the map from conductances to its data, its diagonal."""
        a, b = self.free[self.start], self.free[self.end]
        link = np.arange(self.links)
        both = (a >= 0) & (b >= 0) & (a != b)
        at_a, at_b = (a >= 0) & (a != b), (b >= 0) & (a != b)
        count = len(self.free_nodes)
        rows = np.concatenate([np.minimum(a, b)[both], a[at_a], b[at_b], np.arange(count)])
        columns = np.concatenate([np.maximum(a, b)[both], a[at_a], b[at_b], np.arange(count)])
        sources = np.concatenate([link[both], link[at_a], link[at_b], np.full(count, -1)])
        signs = np.concatenate([np.full(both.sum(), -1.0), np.ones(at_a.sum() + at_b.sum()), np.zeros(count)])
        keys, place = np.unique(columns * count + rows, return_inverse=True)
        spread = sparse.csr_matrix((signs, (place, np.maximum(sources, 0))), shape=(len(keys), self.links))
        columns_of_keys, rows_of_keys = np.divmod(keys, max(count, 1))
        pointers = np.searchsorted(columns_of_keys, np.arange(count + 1))
        matrix = sparse.csc_matrix((np.ones(len(keys)), rows_of_keys, pointers), shape=(count, count))
        diagonal = np.searchsorted(keys, np.arange(count) * (count + 1))
        return matrix, spread, diagonal

    @cached_property
    def incidence(self) -> sparse.csr_matrix:
        """Flows into free nodes per link flow, shape (free nodes, links)."""
        a, b = self.free[self.start], self.free[self.end]
        link = np.arange(self.links)
        at_a, at_b = a >= 0, b >= 0
        return sparse.csr_matrix(
            (
                np.concatenate([-np.ones(at_a.sum()), np.ones(at_b.sum())]),
                (np.concatenate([a[at_a], b[at_b]]), np.concatenate([link[at_a], link[at_b]])),
            ),
            shape=(len(self.free_nodes), self.links),
        )

    def nodal_data(self, conductance: Array, grounded: Indices) -> Array:
        """Return the data of the nodal matrix for the links' conductances [kg/s/Pa].

        ``grounded`` are indices of free nodes whose pressure is held at its guess.
        """
        _, spread, diagonal = self._pattern
        data: Array = spread @ conductance
        if len(grounded):
            data[diagonal[grounded]] += max(float(conductance.max(initial=0.0)), 1e-30)
        return data

    def factorised(self, conductance: Array, grounded: Indices) -> qdldl.Solver:
        """Return the factorised nodal matrix, good until the next call in this thread.

        The factoriser keeps its symbolic part, made once a thread, and overwrites its last factors.
        """
        if not len(self.free_nodes):
            return _NothingToSolve()
        data, local = self.nodal_data(conductance, grounded), self._local
        if not hasattr(local, "factors"):
            local.matrix = self._matrix(data)
            local.factors = qdldl.Solver(local.matrix, upper=True)
        else:
            local.matrix.data[:] = data
            local.factors.update(local.matrix, upper=True)
        return local.factors

    def factorised_to_keep(self, conductance: Array, grounded: Indices) -> qdldl.Solver:
        """Return the factorised nodal matrix in a factoriser of its own."""
        if not len(self.free_nodes):
            return _NothingToSolve()
        return qdldl.Solver(self._matrix(self.nodal_data(conductance, grounded)), upper=True)

    def _matrix(self, data: Array) -> sparse.csc_matrix:
        matrix = self._pattern[0]
        return sparse.csc_matrix((data, matrix.indices, matrix.indptr), shape=matrix.shape)


class _NothingToSolve:
    """The factors of a network in which every node's pressure is held."""

    def solve(self, right: Array) -> Array:
        """Return ``right``, which is empty."""
        return right


class Parameters:
    """The links' quantities as arrays, in compiled order within each law.

    Attributes
    ----------
    passive : array, shape (passive links, 13)
        Columns named by ``PASSIVE_FIELDS``.
    pump : array, shape (pumps, 2)
        Speed and head factor.
    one_way : array, shape (one-way links, 3)
        Kv, threshold, band.
    limiter : array, shape (limiters, 3)
        Flow, low and high drop.
    """

    __slots__ = ("limiter", "one_way", "passive", "pump")

    def __init__(self, passive: Array, pump: Array, one_way: Array, limiter: Array):
        self.passive, self.pump, self.one_way, self.limiter = passive, pump, one_way, limiter

    def column(self, name: str) -> Array:
        """Return one quantity of all passive links."""
        return self.passive[:, _COLUMN[name]]


class NodeValues:
    """What is given at the nodes.

    Attributes
    ----------
    static : array, shape (nodes,) [Pa]
        density * g * height of the liquid at each node: total less gauge pressure.
    held : array, shape (nodes,) [Pa]
        Total pressure where it is held, 0 elsewhere.
    outflow : array, shape (free nodes,) [kg/s]
    """

    __slots__ = ("held", "outflow", "static")

    def __init__(self, network: Network, structure: Structure, link_density: Array):
        density = np.full(len(structure.node_tags), network.media[0].density)
        density[structure.start] = link_density
        density[structure.end] = link_density
        self.static = density * GRAVITY * np.array([node.height for node in network.nodes])
        pressure = np.array([node.pressure or 0.0 for node in network.nodes])
        self.held = np.where(structure.free < 0, pressure + self.static, 0.0)
        self.outflow = np.array([node.outflow for node in network.nodes])[structure.free_nodes]


class CompiledNetwork:
    """A network with its structure and parameters.

    Attributes
    ----------
    medium, density, viscosity : array, shape (links,)
        Which liquid is in each link, and its properties [kg/m3, Pa s].
    nodes : NodeValues
    curves : CurveBank
        The pumps' head curves.

    Parameters
    ----------
    network : Network
    structure : Structure, optional
        Reused if it has the network's topology.
    """

    def __init__(self, network: Network, structure: Structure | None = None):
        self.network = network
        self.structure = structure if structure and structure.same_as(network) else Structure(network)
        ordered, _ = _in_law_order(network.links)
        self.ordered: list[Link] = ordered
        self.parameters = _parameters(ordered, self.structure)
        self.curves = CurveBank([link.curve.head_curve for link in ordered[self.structure.pumps]])  # type: ignore[union-attr]
        self.medium = _media_of_links(ordered, self.structure, self.parameters)
        self.density = np.array([medium.density for medium in network.media])[self.medium]
        self.viscosity = np.array([medium.viscosity for medium in network.media])[self.medium]
        self.nodes = NodeValues(network, self.structure, self.density)

    def changed(self, changes: Iterable[Change]) -> CompiledNetwork:
        """Return the compiled network with changes made, its structure shared where it still fits.

        Raises
        ------
        PartError
            No link of that tag, or it has no such quantity.
        """
        return self.with_links(changed_links(self.network.link_by_tag, tuple(changes)))

    def with_links(self, links: dict[str, Link]) -> CompiledNetwork:
        """Return the compiled network with some links replaced by others of the same ends.

        It is compiled anew where a link changes its law (a fitting that becomes a pipe), its liquid
        or its pump curve.
        """
        network = Network(
            nodes=self.network.nodes,
            links=tuple(links.get(link.tag, link) for link in self.network.links),
            media=self.network.media,
            tees=self.network.tees,
            lagged_tees=self.network.lagged_tees,
        )
        if not all(self._takes(self.structure.index[tag], link) for tag, link in links.items()):
            return CompiledNetwork(network, self.structure)
        new = object.__new__(CompiledNetwork)
        new.structure, new.curves, new.nodes = self.structure, self.curves, self.nodes
        new.medium, new.density, new.viscosity = self.medium, self.density, self.viscosity
        new.ordered = list(self.ordered)
        for tag, link in links.items():
            new.ordered[self.structure.index[tag]] = link
        old = self.parameters
        new.parameters = Parameters(
            old.passive.copy(), old.pump.copy(), old.one_way.copy(), old.limiter.copy()
        )
        for tag, link in links.items():
            _write_row(new.parameters, self.structure, self.structure.index[tag], link)
        new.network = network
        return new

    def _takes(self, index: int, link: Link) -> bool:
        """Whether a link fits the place of another with nothing but its row of parameters."""
        old = self.ordered[index]
        if type(link) is not type(old) or link.medium != old.medium:
            return False
        if isinstance(link, Passive):
            return _has_friction(link) == (index < self.structure.pipes)
        return not isinstance(link, PumpLink) or link.curve is old.curve  # type: ignore[union-attr]


def _in_law_order(links: Iterable[Link]) -> tuple[list[Link], tuple[int, int, int, int, int]]:
    pipes: list[Link] = []
    others: list[Link] = []
    pumps: list[Link] = []
    one_ways: list[Link] = []
    limiters: list[Link] = []
    for link in links:
        kind = type(link)
        if kind is Passive:
            (pipes if _has_friction(link) else others).append(link)  # type: ignore[arg-type]
        elif kind is PumpLink:
            pumps.append(link)
        elif kind is OneWay:
            one_ways.append(link)
        else:
            limiters.append(link)
    sizes = (len(pipes), len(others), len(pumps), len(one_ways), len(limiters))
    return pipes + others + pumps + one_ways + limiters, sizes


def _has_friction(link: Passive) -> bool:
    """Whether a link takes friction by Colebrook; its law stands among those of the pipes."""
    return link.length != 0 and link.friction_factor == 0


def _row(link: Link) -> tuple[float, ...]:
    if isinstance(link, Passive):
        return astuple(link)[: len(PASSIVE_FIELDS)]
    if isinstance(link, PumpLink):
        return link.speed, link.head_factor
    if isinstance(link, OneWay):
        return link.kv, link.threshold, link.band
    return link.flow, link.low, link.high


def _parameters(ordered: list[Link], structure: Structure) -> Parameters:
    def table(part: slice, width: int) -> Array:
        rows = [_row(link) for link in ordered[part]]
        return np.array(rows, dtype=float).reshape(len(rows), width)

    return Parameters(
        table(structure.passive, len(PASSIVE_FIELDS)),
        table(structure.pumps, 2),
        table(structure.one_ways, 3),
        table(structure.limiters, 3),
    )


def _write_row(parameters: Parameters, structure: Structure, index: int, link: Link) -> None:
    tables = (
        (structure.passive, parameters.passive),
        (structure.pumps, parameters.pump),
        (structure.one_ways, parameters.one_way),
        (structure.limiters, parameters.limiter),
    )
    for part, table in tables:
        if part.start <= index < part.stop:
            table[index - part.start] = _row(link)


def _media_of_links(ordered: list[Link], structure: Structure, parameters: Parameters) -> Indices:
    passive = parameters.column("medium").astype(np.int64)
    rest = [link.medium for link in ordered[structure.passive.stop :]]
    return np.concatenate([passive, np.array(rest, dtype=np.int64)])
