# SPDX-License-Identifier: MIT
"""Tees in the network: their losses, put on the runs at their legs and renewed from the last flows.

A leg's loss depends on the flows of all three legs.  It is therefore lagged: written with the split
of the last flows as a square law of the leg's own flow and a constant, so that every link law keeps
depending on its own flow alone.

Losses are signed here: the total pressure lost from the middle of the tee out through a leg, whichever
way its water runs.  So counted they hardly change where a leg's flow turns round (the branch then
feels the run's velocity head either way), though Crane has one rule for each direction; across that
place they are interpolated.  Counted along each leg's own flow they would change sign there, and a
loop could have two answers.
"""

from __future__ import annotations

from copy import copy
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy import sparse

from solver.network.compiled import CompiledNetwork
from solver.network.laws import TeeTerms
from solver.parts.tee import tee_losses, tee_losses_constant, velocity_head

Array = NDArray[np.float64]

#: Most of a leg's loss, in velocity heads of its own, that is written as a square law; the rest is a
#: constant.  With all of it as a square law, slow legs of a large main keep the solve from settling.
MOST_SQUARE = 4.0
#: Where the water in the branch is slower than this share of that in the run, losses are interpolated
#: between its two directions.
SLOW_SHARE = 0.02
#: The same where the smaller run leg carries less than this share of the branch's flow: there the
#: combined leg passes from the other run leg to the branch.
TURNING_SHARE = 0.05


class TeeTable:
    """The tees of a compiled network with their bores and coefficients.

    Arrays of legs have shape (3, ..., tees): the two run legs and the branch.
    """

    def __init__(self, compiled: CompiledNetwork):
        tees = compiled.network.tees
        self.places = compiled.structure.tees
        self.count = len(tees)
        self.links = compiled.structure.passive.stop
        self.link, self.present, self.sign = (
            table.T.copy() for table in (self.places.link, self.places.present, self.places.sign)
        )
        self.k_run = np.array([tee.k_run for tee in tees])
        self.k_branch = np.array([tee.k_branch for tee in tees])
        first = self.link[self.present.argmax(axis=0), np.arange(self.count)]
        self.density = compiled.density[first]
        given = ~(np.isnan(self.k_run) & np.isnan(self.k_branch))
        self.lagged = compiled.network.lagged_tees
        self._constant = given | (not self.lagged)
        self._any_constant, self._any_split = bool(self._constant.any()), not self._constant.all()
        self._set_bores(self._bores_of(compiled.parameters.column("bore")))

    def _bores_of(self, bore: Array) -> Array:
        """Return the legs' bores; a leg without a link has the largest of its tee."""
        present = _spread(self.present, bore)
        own: Array = self._of_links(bore) * present
        return np.where(present, own, own.max(axis=0, initial=0.0))

    def _of_links(self, values: Array) -> Array:
        """Return the legs' values from those of the links, shape (..., links)."""
        return np.asarray(np.moveaxis(values[..., self.link], -2, 0))

    def _set_bores(self, bore: Array) -> None:
        self.bore = bore
        # The body of a reducing tee has the larger bore of the run; the reducer counts with the pipe.
        self._body = np.maximum(bore[0], bore[1])
        area_ratio = np.minimum((bore[2] / np.maximum(self._body, 1e-30)) ** 2, 1.0)
        self._slow = SLOW_SHARE * area_ratio
        per_square = velocity_head(np.ones_like(bore), np.maximum(bore, 1e-30), self.density)
        self._most_square = np.where(self._constant, np.inf, MOST_SQUARE * per_square)

    def with_bores_of(self, bore: Array) -> TeeTable:
        """Return the table for other bores of the passive links, shape (..., passive links) [m]."""
        return self._with_bores(self._bores_of(bore))

    def _with_bores(self, bore: Array) -> TeeTable:
        table = copy(self)
        table._set_bores(bore)
        return table

    def signed_losses(self, into: Array) -> Array:
        """Return what is lost from the middle of each tee out through each leg [Pa].

        Parameters
        ----------
        into : array, shape (3, ..., tees)
            Flows into the legs [kg/s].
        """
        if not self._any_split:
            return self._by_constants(into)
        losses = self._by_split(into)
        return np.where(self._constant, self._by_constants(into), losses) if self._any_constant else losses

    def _by_split(self, into: Array) -> Array:
        one, two, branch = into
        size, through = np.abs(branch), 0.5 * (one - two)
        width = self._slow * np.abs(through)
        slow = size < width
        first = np.abs(one) >= np.abs(two)
        larger = np.where(first, one, two)
        turning, turn = np.abs(larger) - size, TURNING_SHARE * size
        near = (np.abs(turning) < turn) & ~slow
        if not slow.any() and not near.any():
            return self._crane(into)
        sides = np.empty((3, 5, *branch.shape))
        sides[:, 0] = into
        for side, x in ((1, width), (2, -width)):
            sides[:, side] = through - 0.5 * x, -through - 0.5 * x, x
        larger = np.copysign(size, larger)
        for side, share in ((3, TURNING_SHARE), (4, -TURNING_SHARE)):
            # The smaller run leg at this share of the branch's flow: parting from it, then meeting it.
            more, less = (1.0 + share) * larger, -share * larger
            sides[:, side] = np.where(first, more, less), np.where(first, less, more), -larger
        weights = np.empty(sides.shape[1:])
        weights[0] = ~(slow | near)
        for side, where, x, end in ((1, slow, branch, width), (3, near, turning, turn)):
            weights[side] = where * (0.5 + 0.5 * np.where(where, x, 0.0) / np.where(where, end, 1.0))
            weights[side + 1] = where - weights[side]
        return np.asarray((self._crane(sides) * weights).sum(axis=1))

    def _crane(self, into: Array) -> Array:
        one, two, branch = into
        losses = tee_losses(one, two, branch, self._body, self._body, self.bore[2], self.density)
        return _outward(into, losses)

    def _by_constants(self, into: Array) -> Array:
        flow_1, flow_2, flow_branch = into
        bore_1, bore_2, bore_branch = self.bore
        losses = tee_losses_constant(
            flow_1,
            flow_2,
            flow_branch,
            bore_1,
            bore_2,
            bore_branch,
            self.density,
            k_run=self.k_run,
            k_branch=self.k_branch,
        )
        return _outward(into, losses)

    def terms(self, flow: Array) -> TeeTerms:
        """Return the tees' terms at the split of ``flow``, shape (..., links) [kg/s]."""
        before = flow.shape[:-1]
        if not self.count:
            return TeeTerms(np.zeros((*before, self.links)), np.zeros((*before, self.links)))
        own = self._of_links(flow)
        loss = self._added(own)
        along = own * np.abs(own)
        fitting = np.maximum(loss * np.sign(own), 0.0) / np.maximum(np.abs(along), 1e-300)
        # One place more than there are legs stands for no leg, and stays zero.
        square = np.zeros((*before, 3 * self.count + 1))
        constant = np.zeros_like(square)
        part = np.minimum(fitting, _spread(self._most_square, own[0]))
        square[..., :-1] = np.moveaxis(part, 0, -2).reshape((*before, -1))
        constant[..., :-1] = np.moveaxis(loss - part * along, 0, -2).reshape((*before, -1))
        one, two = self.places.legs_of_link
        return TeeTerms(square[..., one] + square[..., two], constant[..., one] + constant[..., two])

    def _added(self, own: Array) -> Array:
        """Return what each leg adds to its link's loss [Pa], for the flows of the legs' links."""
        sign = _spread(self.sign, own[0])
        # A link whose flow goes into the tee meets the loss turned round.
        return -sign * self.signed_losses(own * sign)

    def coupling(self, flow: Array, terms: TeeTerms, links: int) -> sparse.csr_matrix:
        """Return d(loss added to links)/d(flows), less the own slopes that ``terms`` already give.

        Shape (links, links) [Pa s/kg].
        """
        own = self._of_links(flow)
        step = 1e-6 * np.maximum(np.abs(own * self.present).max(axis=0), 1e-9)
        slopes = []
        for leg in range(3):
            shift = np.zeros_like(own)
            shift[leg] = step
            slopes.append((self._added(own + shift) - self._added(own - shift)) / (2.0 * step))
        square = 2.0 * terms.square * np.abs(flow[: self.links])
        places = np.arange(self.links)
        own_slopes = sparse.csr_matrix((square, (places, places)), shape=(links, links))
        return self._between_links(slopes, links) - own_slopes

    def bore_slopes(self, flow: Array, links: int) -> sparse.csr_matrix:
        """Return d(loss added to links)/d(bore of links), shape (links, links) [Pa/m]."""
        own = self._of_links(flow)
        slopes = []
        for leg in range(3):
            step = 1e-6 * self.bore[leg]
            shift = np.zeros_like(self.bore)
            shift[leg] = step
            rise = self._with_bores(self.bore + shift)._added(own)
            rise -= self._with_bores(self.bore - shift)._added(own)
            slopes.append(rise / (2.0 * step))
        return self._between_links(slopes, links)

    def _between_links(self, slopes: list[Array], links: int) -> sparse.csr_matrix:
        """Return slopes of all legs (rows) with each leg (list) as a matrix between links."""
        rows, columns, values = [], [], []
        for leg, slope in enumerate(slopes):
            for other in range(3):
                rows.append(self.link[other])
                columns.append(self.link[leg])
                values.append(np.where(self.present[other] & self.present[leg], slope[other], 0.0))
        return sparse.csr_matrix(
            (np.concatenate(values), (np.concatenate(rows), np.concatenate(columns))), shape=(links, links)
        )


def _spread(table: NDArray[Any], like: Array) -> NDArray[Any]:
    """Return a table of shape (3, tees) with as many axes between as ``like`` has before its last."""
    return table if table.ndim > 2 else table.reshape((3, *(1,) * (like.ndim - 1), -1))


def _outward(into: Array, along: tuple[Array, Array, Array]) -> Array:
    """Return losses along the legs' own flows as losses out of the tee."""
    losses = np.array(along)
    return np.where(into < 0.0, losses, -losses)
