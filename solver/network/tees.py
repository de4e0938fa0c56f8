# SPDX-License-Identifier: MIT
"""Tees in the network: their losses, put on the runs at their legs and renewed from the last flows.

A leg's loss depends on the flows of all three legs.  It is therefore lagged: written as a square
law of the leg's own flow (a constant where it is a gain) with the split of the last flows, so that
every link law keeps depending on its own flow alone.
"""

from __future__ import annotations

from copy import copy

import numpy as np
from numpy.typing import NDArray
from scipy import sparse

from solver.network.compiled import CompiledNetwork, link_medium
from solver.network.laws import TeeTerms
from solver.parts.tee import tee_losses, tee_losses_constant

Array = NDArray[np.float64]

#: Below this share of the tee's largest flow a leg's loss falls to nothing with its flow, so that a
#: leg whose flow turns round does not jump from one coefficient to another.
SMALL_SHARE = 0.02
#: Where the smaller run leg carries less than this share of the branch's flow, losses are interpolated
#: between its two directions: Crane has one rule for each, and they do not meet at rest.
TURNING_SHARE = 0.05


class TeeTable:
    """The tees of a compiled network as arrays.

    Attributes
    ----------
    link : array, shape (tees, 3)
        Compiled index of the link at each leg; 0 with ``present`` False where there is none.
    sign : array, shape (tees, 3)
        +1 where positive flow of the link goes into the tee.
    """

    def __init__(self, compiled: CompiledNetwork):
        tees = compiled.network.tees
        index = compiled.structure.index
        self.count = len(tees)
        self.tags = tuple(tee.tag for tee in tees)
        self.links = compiled.structure.passive.stop
        places = [[index[leg] if leg else -1 for leg in tee.legs] for tee in tees]
        self.link = np.array(places, dtype=np.int64).reshape(-1, 3)
        self.present = self.link >= 0
        self.link = np.maximum(self.link, 0)
        self.sign = np.where(self.present, np.array([tee.signs for tee in tees]).reshape(-1, 3), 0.0)
        self.k_run = np.array([tee.k_run for tee in tees])
        self.k_branch = np.array([tee.k_branch for tee in tees])
        bore = compiled.parameters.column("bore")[self.link] * self.present if self.count else np.zeros((0, 3))
        self.bore = np.where(self.present, bore, bore.max(axis=1, keepdims=True, initial=0.0))
        density = np.array([medium.density for medium in compiled.network.media])
        first = self.link[np.arange(self.count), self.present.argmax(axis=1)] if self.count else self.link[:, 0]
        self.density = density[link_medium(compiled)[first]]
        self.lagged = compiled.network.lagged_tees

    def leg_losses(self, flow: Array) -> Array:
        """Return each leg's loss [Pa] along its own flow, shape (..., tees, 3), for link flows [kg/s]."""
        into = flow[..., self.link] * self.sign
        if not self.lagged:
            return self._constant_losses(into)
        return self._with_given_coefficients(self._split_losses(into), into)

    def _split_losses(self, into: Array) -> Array:
        losses = self._crane(into)
        size = np.abs(into)
        branch = np.maximum(size[..., 2], 1e-30)
        turning = (np.maximum(size[..., 0], size[..., 1]) - branch) / branch
        near = np.abs(turning) < TURNING_SHARE
        if near.any():
            weight = np.where(near, 0.5 + 0.5 * turning / TURNING_SHARE, 0.0)[..., None]
            parting, meeting = (self._crane(_turned(into, side)) for side in (TURNING_SHARE, -TURNING_SHARE))
            losses = np.where(near[..., None], weight * parting + (1.0 - weight) * meeting, losses)
        return losses

    def _crane(self, into: Array) -> Array:
        return np.stack(tee_losses(*np.moveaxis(into, -1, 0), *self.bore.T, self.density), axis=-1)

    def _constant_losses(self, into: Array) -> Array:
        legs = np.moveaxis(into, -1, 0)
        return np.stack(
            tee_losses_constant(*legs, *self.bore.T, self.density, k_run=self.k_run, k_branch=self.k_branch),
            axis=-1,
        )

    def _with_given_coefficients(self, computed: Array, into: Array) -> Array:
        given = ~(np.isnan(self.k_run) & np.isnan(self.k_branch))
        if not given.any():
            return computed
        constant = self._constant_losses(into)
        return np.where(given[:, None], constant, computed)

    def terms(self, flow: Array) -> TeeTerms:
        """Return the tees' terms at the split of ``flow``, shape (..., links) [kg/s]."""
        shape = (*flow.shape[:-1], self.links)
        square, constant = np.zeros(shape), np.zeros(shape)
        if not self.count:
            return TeeTerms(square, constant)
        loss = self.leg_losses(flow)
        own = flow[..., self.link]
        largest = np.abs(own * self.present).max(axis=-1, keepdims=True)
        least = SMALL_SHARE * largest + 1e-12
        held = np.maximum(np.abs(own), least)
        square_of_leg = np.where(self.present, np.maximum(loss, 0.0) / held**2, 0.0)
        constant_of_leg = np.where(self.present, np.minimum(loss, 0.0) * np.clip(own / least, -1.0, 1.0), 0.0)
        for leg in range(3):
            # A link has at most one tee at either end, so at most two legs meet on it: add twice.
            np.add.at(square, (..., self.link[:, leg]), square_of_leg[..., leg])
            np.add.at(constant, (..., self.link[:, leg]), constant_of_leg[..., leg])
        return TeeTerms(square, constant)

    def _added(self, own: Array, bore: Array | None = None) -> Array:
        """Return what each leg adds to its link's loss [Pa], shape (tees, 3), for the legs' link flows."""
        table = self if bore is None else self._with_bores(bore)
        into = own * self.sign
        loss = table._split_losses(into) if self.lagged else table._constant_losses(into)
        loss = table._with_given_coefficients(loss, into) if self.lagged else loss
        largest = np.abs(own * self.present).max(axis=-1, keepdims=True)
        share = np.clip(own / (SMALL_SHARE * largest + 1e-12), -1.0, 1.0)
        return np.where(self.present, np.where(loss > 0, loss * share * np.abs(share), loss * share), 0.0)

    def _with_bores(self, bore: Array) -> TeeTable:
        table = copy(self)
        table.bore = bore
        return table

    def coupling(self, flow: Array, terms: TeeTerms, links: int) -> sparse.csr_matrix:
        """Return d(loss added to links)/d(flows), less the own slopes that ``terms`` already give.

        Shape (links, links) [Pa s/kg].
        """
        own = flow[self.link]
        step = 1e-6 * np.maximum(np.abs(own * self.present).max(axis=-1), 1e-9)
        rows, columns, values = [], [], []
        for leg in range(3):
            shift = np.zeros_like(own)
            shift[:, leg] = step
            slope = (self._added(own + shift) - self._added(own - shift)) / (2.0 * step[:, None])
            for other in range(3):
                rows.append(self.link[:, other])
                columns.append(self.link[:, leg])
                values.append(np.where(self.present[:, other] & self.present[:, leg], slope[:, other], 0.0))
        square = 2.0 * terms.square * np.abs(flow[: self.links])
        rows.append(np.arange(self.links))
        columns.append(np.arange(self.links))
        values.append(-square)
        return sparse.csr_matrix(
            (np.concatenate(values), (np.concatenate(rows), np.concatenate(columns))), shape=(links, links)
        )

    def bore_slopes(self, flow: Array, links: int) -> sparse.csr_matrix:
        """Return d(loss added to links)/d(bore of links), shape (links, links) [Pa/m]."""
        own = flow[self.link]
        rows, columns, values = [], [], []
        for leg in range(3):
            step = 1e-6 * self.bore[:, leg]
            shift = np.zeros_like(self.bore)
            shift[:, leg] = step
            slope = self._added(own, self.bore + shift) - self._added(own, self.bore - shift)
            slope /= 2.0 * step[:, None]
            for other in range(3):
                rows.append(self.link[:, other])
                columns.append(self.link[:, leg])
                values.append(np.where(self.present[:, other] & self.present[:, leg], slope[:, other], 0.0))
        return sparse.csr_matrix(
            (np.concatenate(values), (np.concatenate(rows), np.concatenate(columns))), shape=(links, links)
        )


def _turned(into: Array, share: float) -> Array:
    """Return flows into tees with the smaller run leg at ``share`` of the branch's flow, against it
    in the run (share > 0: the flow parts) or with it (share < 0: the flows meet in the branch)."""
    first = np.abs(into[..., 0]) >= np.abs(into[..., 1])
    branch = np.abs(into[..., 2])
    sign = np.sign(np.where(first, into[..., 0], into[..., 1]))
    larger, smaller = sign * branch * (1.0 + share), -sign * branch * share
    return np.stack([np.where(first, larger, smaller), np.where(first, smaller, larger), -sign * branch], axis=-1)
