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

from solver.network.compiled import CompiledNetwork
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
    """The tees of a compiled network with their bores and coefficients."""

    def __init__(self, compiled: CompiledNetwork):
        tees = compiled.network.tees
        self.places = compiled.structure.tees
        self.count = len(tees)
        self.links = compiled.structure.passive.stop
        self.link, self.present, self.sign = self.places.link, self.places.present, self.places.sign
        self.k_run = np.array([tee.k_run for tee in tees])
        self.k_branch = np.array([tee.k_branch for tee in tees])
        self._set_bores(compiled.parameters.column("bore"))
        first = (
            self.link[np.arange(self.count), self.present.argmax(axis=1)] if self.count else self.link[:, 0]
        )
        self.density = compiled.density[first]
        self.lagged = compiled.network.lagged_tees
        self._given = ~(np.isnan(self.k_run) & np.isnan(self.k_branch))
        self._any_given = bool(self._given.any())

    def _set_bores(self, bore: Array) -> None:
        """Take the legs' bores from those of the passive links, shape (..., passive links) [m]."""
        own = bore[..., self.link] * self.present if self.count else np.zeros((0, 3))
        self.bore = np.where(self.present, own, own.max(axis=-1, keepdims=True, initial=0.0))
        self.bores = _by_leg(self.bore)

    def with_bores_of(self, bore: Array) -> TeeTable:
        """Return the table for other bores of the passive links, shape (..., passive links) [m]."""
        table = copy(self)
        table._set_bores(bore)
        return table

    def leg_losses(self, into: Array) -> tuple[Array, Array, Array]:
        """Return each leg's loss [Pa] along its own flow, for flows [kg/s] into the legs.

        Parameters
        ----------
        into : array, shape (..., tees, 3)

        Returns
        -------
        three arrays, shape (..., tees)
            Of the two run legs and the branch.
        """
        legs = into[..., 0], into[..., 1], into[..., 2]
        if not self.lagged:
            return self._constant_losses(*legs)
        losses = self._split_losses(*legs)
        if not self._any_given:
            return losses
        constant = self._constant_losses(*legs)
        one, two, three = (np.where(self._given, k, split) for k, split in zip(constant, losses, strict=True))
        return one, two, three

    def _split_losses(self, one: Array, two: Array, branch: Array) -> tuple[Array, Array, Array]:
        losses = self._crane(one, two, branch)
        size = np.maximum(np.abs(branch), 1e-30)
        turning = np.maximum(np.abs(one), np.abs(two)) / size - 1.0
        near = np.abs(turning) < TURNING_SHARE
        if not near.any():
            return losses
        weight = 0.5 + 0.5 * np.where(near, turning, 0.0) / TURNING_SHARE
        parting = self._crane(*_turned(one, two, branch, TURNING_SHARE))
        meeting = self._crane(*_turned(one, two, branch, -TURNING_SHARE))
        first, second, third = (
            np.where(near, weight * a + (1.0 - weight) * b, loss)
            for a, b, loss in zip(parting, meeting, losses, strict=True)
        )
        return first, second, third

    def _crane(self, one: Array, two: Array, branch: Array) -> tuple[Array, Array, Array]:
        return tee_losses(one, two, branch, *self.bores, self.density)

    def _constant_losses(self, one: Array, two: Array, branch: Array) -> tuple[Array, Array, Array]:
        return tee_losses_constant(
            one, two, branch, *self.bores, self.density, k_run=self.k_run, k_branch=self.k_branch
        )

    def terms(self, flow: Array) -> TeeTerms:
        """Return the tees' terms at the split of ``flow``, shape (..., links) [kg/s]."""
        shape = (*flow.shape[:-1], self.links)
        if not self.count:
            return TeeTerms(np.zeros(shape), np.zeros(shape))
        own = flow[..., self.link]
        size = np.abs(own) * self.present
        least = SMALL_SHARE * size.max(axis=-1, keepdims=True) + 1e-12
        # One place more than there are legs stands for no leg, and stays zero.
        square = np.zeros((*flow.shape[:-1], 3 * self.count + 1))
        constant = np.zeros_like(square)
        for leg, loss in enumerate(self.leg_losses(own * self.sign)):
            place = slice(leg * self.count, (leg + 1) * self.count)
            held = np.maximum(size[..., leg], least[..., 0])
            square[..., place] = np.maximum(loss, 0.0) / (held * held)
            constant[..., place] = np.minimum(loss, 0.0) * np.clip(own[..., leg] / least[..., 0], -1.0, 1.0)
        one, two = self.places.legs_of_link
        return TeeTerms(square[..., one] + square[..., two], constant[..., one] + constant[..., two])

    def _added(self, own: Array, bore: Array | None = None) -> Array:
        """Return what each leg adds to its link's loss [Pa], shape (tees, 3), for the legs' link flows."""
        table = self if bore is None else self._with_bores(bore)
        loss = np.stack(table.leg_losses(own * self.sign), axis=-1)
        largest = np.abs(own * self.present).max(axis=-1, keepdims=True)
        share = np.clip(own / (SMALL_SHARE * largest + 1e-12), -1.0, 1.0)
        return np.where(self.present, np.where(loss > 0, loss * share * np.abs(share), loss * share), 0.0)

    def _with_bores(self, bore: Array) -> TeeTable:
        table = copy(self)
        table.bore, table.bores = bore, _by_leg(bore)
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


def _by_leg(values: Array) -> tuple[Array, Array, Array]:
    """Return values of shape (..., tees, 3) as three arrays, each laid out in one piece."""
    one, two, three = np.moveaxis(values, -1, 0).copy()
    return one, two, three


def _turned(one: Array, two: Array, branch: Array, share: float) -> tuple[Array, Array, Array]:
    """Return flows into tees with the smaller run leg at ``share`` of the branch's flow, against it
    in the run (share > 0: the flow parts) or with it (share < 0: the flows meet in the branch)."""
    first = np.abs(one) >= np.abs(two)
    size = np.abs(branch)
    sign = np.sign(np.where(first, one, two))
    larger, smaller = sign * size * (1.0 + share), -sign * size * share
    return np.where(first, larger, smaller), np.where(first, smaller, larger), -sign * size
