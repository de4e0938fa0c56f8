# SPDX-License-Identifier: MIT
"""Where tees lie in a network: the links at their legs, as arrays; part of the network's structure."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

from solver.errors import PartError
from solver.network.network import TeeJoint


class TeePlaces:
    """The links at each tee's legs, and the legs at each link's ends.

    Attributes
    ----------
    link : array, shape (tees, 3)
        Compiled index of the link at each leg; 0 with ``present`` False where there is none.
    sign : array, shape (tees, 3)
        +1 where positive flow of the link goes into the tee, 0 where there is none.
    legs_of_link : two arrays, shape (passive links,)
        The legs at either end of each link, counted leg by leg; the place after the last for none.

    Raises
    ------
    PartError
        A leg is no passive link.
    """

    def __init__(self, tees: tuple[TeeJoint, ...], index: Mapping[str, int], links: int):
        self.key = tuple((tee.legs, tee.signs) for tee in tees)
        count = len(tees)
        places = [[_place(tee, leg, index, links) for leg in tee.legs] for tee in tees]
        link = np.array(places, dtype=np.int64).reshape(-1, 3)
        self.present: NDArray[np.bool_] = link >= 0
        self.link: NDArray[np.int64] = np.maximum(link, 0)
        signs = np.array([tee.signs for tee in tees], dtype=float).reshape(-1, 3)
        self.sign: NDArray[np.float64] = np.where(self.present, signs, 0.0)
        legs = np.full((2, links), 3 * count, dtype=np.int64)
        # Legs in the order of their links: the second of two alike is at the link's other end.
        place = np.flatnonzero(self.present.T.ravel())
        at = self.link.T.ravel()[place]
        order = np.argsort(at, kind="stable")
        place, at = place[order], at[order]
        second = np.zeros(len(at), dtype=np.int64)
        second[1:] = at[1:] == at[:-1]
        legs[second, at] = place
        self.legs_of_link = legs[0], legs[1]

    def same_as(self, tees: tuple[TeeJoint, ...]) -> bool:
        """Whether ``tees`` have these legs."""
        return tuple((tee.legs, tee.signs) for tee in tees) == self.key


def _place(tee: TeeJoint, leg: str, index: Mapping[str, int], links: int) -> int:
    """Return the compiled index of the link at a leg, -1 where there is none.

    Raises
    ------
    PartError
        The leg is no link, or one that has no bore (a pump).
    """
    place = index.get(leg, -1) if leg else -1
    if leg and not 0 <= place < links:
        raise PartError(f"tee {tee.tag} has the leg {leg}, which is no pipe", (tee.tag, leg))
    return place
