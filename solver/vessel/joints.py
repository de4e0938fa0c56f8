# SPDX-License-Identifier: MIT
"""How the parts of a vessel hang together: points and the links between them.

A point is a port, or several ports without a loss between them.  A link is a run or a way through
a component, by the tag that the results use.
"""

from __future__ import annotations

from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import coo_array
from scipy.sparse.csgraph import connected_components

from solver.errors import PartError
from solver.vessel.ways import one_point, ways

if TYPE_CHECKING:
    from collections.abc import Iterable

    from solver.vessel.vessel import Vessel


class Joints:
    """Points and links of a vessel; runs first, then the ways, both in file order.

    Attributes
    ----------
    point_of : dict
        (tag, port) -> number of its point.
    point_count : int
        How many points there are.
    run_count : int
        How many of the links are runs.
    tags : list of str
        Tag of each link.
    start, end : list of int
        Its two points; positive flow goes from start to end.
    start_port, end_port : list of (tag, port)
        The ports it starts and ends at.

    Raises
    ------
    PartError
        A run ends at a port that is not there.
    """

    def __init__(self, vessel: Vessel):
        self.point_of, self.point_count = _points(vessel)
        self.run_count = len(vessel.runs)
        passed = [(part.tag, way) for part in vessel.components for way in ways(part)]
        self.tags: list[str] = [run.tag for run in vessel.runs]
        self.tags += [tag + way.suffix for tag, way in passed]
        self.start_port: list[tuple[str, str]] = [run.start for run in vessel.runs]
        self.start_port += [(tag, way.start) for tag, way in passed]
        self.end_port: list[tuple[str, str]] = [run.end for run in vessel.runs]
        self.end_port += [(tag, way.end) for tag, way in passed]
        try:
            self.start: list[int] = [self.point_of[port] for port in self.start_port]
            self.end: list[int] = [self.point_of[port] for port in self.end_port]
        except KeyError as error:
            tag, port = error.args[0]
            run = next(run for run in vessel.runs if (tag, port) in (run.start, run.end))
            raise PartError(f"{run.tag} ends at {tag} {port}, which is not there", (run.tag, tag)) from None

    @cached_property
    def index_of(self) -> dict[str, int]:
        """Tag of a link -> its number."""
        return {tag: number for number, tag in enumerate(self.tags)}

    @cached_property
    def at(self) -> list[list[int]]:
        """Links at each point; a link from a point to itself stands there twice."""
        found: list[list[int]] = [[] for _ in range(self.point_count)]
        for number, (start, end) in enumerate(zip(self.start, self.end, strict=True)):
            found[start].append(number)
            found[end].append(number)
        return found

    @cached_property
    def _ends(self) -> tuple[NDArray[np.int32], NDArray[np.int32]]:
        return np.array(self.start, dtype=np.int32), np.array(self.end, dtype=np.int32)

    def other_end(self, link: int, point: int) -> int:
        """Return the point at the far end of a link."""
        return self.end[link] if self.start[link] == point else self.start[link]

    @cached_property
    def circuits(self) -> NDArray[np.int32]:
        """The number of the connected circuit that each point lies in."""
        return connected(self.point_count, *self._ends)

    def regions(self, cut: Iterable[int]) -> NDArray[np.int32]:
        """Return, for each point, the number of the connected region it lies in with links cut out."""
        start, end = self._ends
        kept = np.ones(len(start), dtype=bool)
        kept[list(cut)] = False
        return connected(self.point_count, start[kept], end[kept])


def connected(count: int, start: NDArray[np.int32], end: NDArray[np.int32]) -> NDArray[np.int32]:
    """Return the number of the connected region of each of ``count`` points, joined start to end."""
    # For few links the sparse matrix costs more to build than the search.
    if len(start) < 1000:
        return _connected_by_hand(count, start.tolist(), end.tolist())
    graph = coo_array((np.ones(len(start)), (start, end)), shape=(count, count))
    return np.asarray(connected_components(graph, directed=False)[1], dtype=np.int32)


def _connected_by_hand(count: int, starts: list[int], ends: list[int]) -> NDArray[np.int32]:
    leader = list(range(count))
    for start, end in zip(starts, ends, strict=True):
        while leader[start] != start:
            leader[start] = start = leader[leader[start]]
        while leader[end] != end:
            leader[end] = end = leader[leader[end]]
        # The lower number leads, so that every leader comes before those it leads.
        if start < end:
            leader[end] = start
        else:
            leader[start] = end
    number: list[int] = []
    regions = 0
    for point, first in enumerate(leader):
        if first == point:
            number.append(regions)
            regions += 1
        else:
            number.append(number[first])
    return np.array(number, dtype=np.int32)


def _points(vessel: Vessel) -> tuple[dict[tuple[str, str], int], int]:
    """Return (tag, port) -> number of its point, and how many points there are."""
    point_of: dict[tuple[str, str], int] = {}
    count = 0
    for part in vessel.components:
        tag = part.tag
        if one_point(part):
            for port in part.ports:
                point_of[tag, port] = count
            count += 1
        else:
            for port in part.ports:
                point_of[tag, port] = count
                count += 1
    return point_of, count
