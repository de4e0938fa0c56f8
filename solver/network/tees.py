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

import numpy as np
from numpy.typing import NDArray
from scipy import sparse

from solver.network.compiled import CompiledNetwork
from solver.network.laws import TeeTerms
from solver.parts.tee import tee_losses, tee_losses_constant, velocity_head

Array = NDArray[np.float64]
Legs = tuple[Array, Array, Array]

#: Where the water in the branch is slower than this share of that in the run, losses are interpolated
#: between its two directions.
SLOW_SHARE = 0.02
#: The same where the smaller run leg carries less than this share of the branch's flow: there the
#: combined leg passes from the other run leg to the branch.
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
        first = (
            self.link[np.arange(self.count), self.present.argmax(axis=1)] if self.count else self.link[:, 0]
        )
        self.density = compiled.density[first]
        self.lagged = compiled.network.lagged_tees
        given = ~(np.isnan(self.k_run) & np.isnan(self.k_branch))
        self._constant = given | (not self.lagged)
        self._any_constant, self._any_split = bool(self._constant.any()), not self._constant.all()
        self._set_bores(self._bores_of(compiled.parameters.column("bore")))

    def _bores_of(self, bore: Array) -> Array:
        """Return the legs' bores, shape (..., tees, 3); a leg without a link has the largest of them."""
        own = bore[..., self.link] * self.present if self.count else np.zeros((0, 3))
        return np.where(self.present, own, own.max(axis=-1, keepdims=True, initial=0.0))

    def _set_bores(self, bore: Array) -> None:
        self.bore = bore
        self._bores = _by_leg(bore)
        one, two, branch = self._bores
        # The body of a reducing tee has the larger bore of the run; the reducer counts with the pipe.
        self._body = np.maximum(one, two)
        area_ratio = np.minimum((branch / np.maximum(self._body, 1e-30)) ** 2, 1.0)
        self._slow = SLOW_SHARE * area_ratio
        # A loss up to the leg's own velocity head is written as a square law, the rest as a constant.
        head = velocity_head(np.ones_like(bore), np.maximum(bore, 1e-30), self.density[:, None])
        self._most_square = np.where(self._constant[:, None], np.inf, head)

    def with_bores_of(self, bore: Array) -> TeeTable:
        """Return the table for other bores of the passive links, shape (..., passive links) [m]."""
        return self._with_bores(self._bores_of(bore))

    def _with_bores(self, bore: Array) -> TeeTable:
        table = copy(self)
        table._set_bores(bore)
        return table

    def signed_losses(self, into: Array) -> Legs:
        """Return what is lost from the middle of each tee out through each leg [Pa].

        Parameters
        ----------
        into : array, shape (..., tees, 3)
            Flows into the legs [kg/s].

        Returns
        -------
        three arrays, shape (..., tees)
            Of the two run legs and the branch; the combined leg's is 0.
        """
        legs = into[..., 0], into[..., 1], into[..., 2]
        if not self._any_split:
            return self._by_constants(legs)
        losses = self._by_split(legs)
        if not self._any_constant:
            return losses
        return _where(self._constant, self._by_constants(legs), losses)

    def _by_split(self, legs: Legs) -> Legs:
        one, two, branch = legs
        losses = self._crane(legs)
        through = 0.5 * (one - two)
        width = self._slow * np.abs(through) + 1e-300
        slow = np.abs(branch) < width
        if slow.any():
            weight = 0.5 + 0.5 * np.where(slow, branch / width, 0.0)
            half = 0.5 * width
            inward = self._crane((through - half, -through - half, width))
            outward = self._crane((through + half, -through + half, -width))
            losses = _where(slow, _mean(weight, inward, outward), losses)
        size = np.abs(branch)
        turning = np.maximum(np.abs(one), np.abs(two)) / np.maximum(size, 1e-300) - 1.0
        near = (np.abs(turning) < TURNING_SHARE) & ~slow
        if near.any():
            weight = 0.5 + 0.5 * np.where(near, turning, 0.0) / TURNING_SHARE
            parting = self._crane(_turned(legs, TURNING_SHARE))
            meeting = self._crane(_turned(legs, -TURNING_SHARE))
            losses = _where(near, _mean(weight, parting, meeting), losses)
        return losses

    def _crane(self, legs: Legs) -> Legs:
        losses = tee_losses(*legs, self._body, self._body, self._bores[2], self.density)
        return _outward(legs, losses)

    def _by_constants(self, legs: Legs) -> Legs:
        losses = tee_losses_constant(
            *legs, *self._bores, self.density, k_run=self.k_run, k_branch=self.k_branch
        )
        return _outward(legs, losses)

    def terms(self, flow: Array) -> TeeTerms:
        """Return the tees' terms at the split of ``flow``, shape (..., links) [kg/s]."""
        shape = (*flow.shape[:-1], self.links)
        if not self.count:
            return TeeTerms(np.zeros(shape), np.zeros(shape))
        own = flow[..., self.link]
        # One place more than there are legs stands for no leg, and stays zero.
        square = np.zeros((*flow.shape[:-1], 3 * self.count + 1))
        constant = np.zeros_like(square)
        for leg, outward in enumerate(self.signed_losses(own * self.sign)):
            place = slice(leg * self.count, (leg + 1) * self.count)
            # Along the link: a link whose flow goes into the tee meets the loss turned round.
            loss, q = -self.sign[:, leg] * outward, own[..., leg]
            size = q * np.abs(q)
            fitting = np.maximum(loss * np.sign(q), 0.0) / np.maximum(np.abs(size), 1e-300)
            square[..., place] = np.minimum(fitting, self._most_square[..., leg])
            constant[..., place] = loss - square[..., place] * size
        one, two = self.places.legs_of_link
        return TeeTerms(square[..., one] + square[..., two], constant[..., one] + constant[..., two])

    def _added(self, own: Array) -> Array:
        """Return what each leg adds to its link's loss [Pa], shape (tees, 3), for the legs' link flows."""
        outward = np.stack(self.signed_losses(own * self.sign), axis=-1)
        return -self.sign * outward

    def coupling(self, flow: Array, terms: TeeTerms, links: int) -> sparse.csr_matrix:
        """Return d(loss added to links)/d(flows), less the own slopes that ``terms`` already give.

        Shape (links, links) [Pa s/kg].
        """
        own = flow[self.link]
        step = 1e-6 * np.maximum(np.abs(own * self.present).max(axis=-1), 1e-9)
        slopes = [
            (self._added(own + shift) - self._added(own - shift)) / (2.0 * step[:, None])
            for shift in _leg_by_leg(step)
        ]
        square = 2.0 * terms.square * np.abs(flow[: self.links])
        own_slopes = sparse.csr_matrix(
            (square, (np.arange(self.links), np.arange(self.links))), shape=(links, links)
        )
        return self._between_links(slopes, links) - own_slopes

    def bore_slopes(self, flow: Array, links: int) -> sparse.csr_matrix:
        """Return d(loss added to links)/d(bore of links), shape (links, links) [Pa/m]."""
        own = flow[self.link]
        slopes = []
        for leg in range(3):
            step = 1e-6 * self.bore[:, leg]
            shift = np.zeros_like(self.bore)
            shift[:, leg] = step
            rise = self._with_bores(self.bore + shift)._added(own)
            rise -= self._with_bores(self.bore - shift)._added(own)
            slopes.append(rise / (2.0 * step[:, None]))
        return self._between_links(slopes, links)

    def _between_links(self, slopes: list[Array], links: int) -> sparse.csr_matrix:
        """Return slopes of all legs (columns) with each leg (list) as a matrix between links."""
        rows, columns, values = [], [], []
        for leg, slope in enumerate(slopes):
            for other in range(3):
                rows.append(self.link[:, other])
                columns.append(self.link[:, leg])
                values.append(np.where(self.present[:, other] & self.present[:, leg], slope[:, other], 0.0))
        return sparse.csr_matrix(
            (np.concatenate(values), (np.concatenate(rows), np.concatenate(columns))), shape=(links, links)
        )


def _by_leg(values: Array) -> Legs:
    """Return values of shape (..., tees, 3) as three arrays, each laid out in one piece."""
    one, two, three = np.moveaxis(values, -1, 0).copy()
    return one, two, three


def _leg_by_leg(step: Array) -> list[Array]:
    """Return shifts of shape (tees, 3) that move one leg at a time."""
    return [np.outer(step, unit) for unit in np.eye(3)]


def _outward(legs: Legs, losses: Legs) -> Legs:
    """Return losses along the legs' own flows as losses out of the tee."""
    one, two, three = (np.where(flow < 0.0, loss, -loss) for flow, loss in zip(legs, losses, strict=True))
    return one, two, three


def _where(condition: NDArray[np.bool_], these: Legs, those: Legs) -> Legs:
    one, two, three = (np.where(condition, a, b) for a, b in zip(these, those, strict=True))
    return one, two, three


def _mean(weight: Array, these: Legs, those: Legs) -> Legs:
    one, two, three = (weight * a + (1.0 - weight) * b for a, b in zip(these, those, strict=True))
    return one, two, three


def _turned(legs: Legs, share: float) -> Legs:
    """Return flows into tees with the smaller run leg at ``share`` of the branch's flow, against it
    in the run (share > 0: the flow parts) or with it (share < 0: the flows meet in the branch)."""
    one, two, branch = legs
    first = np.abs(one) >= np.abs(two)
    size = np.abs(branch)
    sign = np.sign(np.where(first, one, two))
    larger, smaller = sign * size * (1.0 + share), -sign * size * share
    return np.where(first, larger, smaller), np.where(first, smaller, larger), -sign * size
