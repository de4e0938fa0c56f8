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
        self.point_of: dict[tuple[str, str], int] = {}
        self.tags: list[str] = []
        self.start: list[int] = []
        self.end: list[int] = []
        self.start_port: list[tuple[str, str]] = []
        self.end_port: list[tuple[str, str]] = []
        self.point_count = 0
        point_of = self.point_of
        through: list[tuple[str, tuple[str, str], tuple[str, str]]] = []
        for component in vessel.components:
            tag = component.tag
            joined = one_point(component)
            for port in component.ports:
                point_of[tag, port] = self.point_count
                self.point_count += not joined
            self.point_count += bool(joined)
            for suffix, start, end in ways(component):
                through.append((tag + suffix, (tag, start), (tag, end)))
        self.run_count = len(vessel.runs)
        for run in vessel.runs:
            self._link(run.tag, run.start, run.end)
        for way in through:
            self._link(*way)

    def _link(self, tag: str, start: tuple[str, str], end: tuple[str, str]) -> None:
        for tag_of_part, port in (start, end):
            if (tag_of_part, port) not in self.point_of:
                raise PartError(f"{tag} ends at {tag_of_part} {port}, which is not there", (tag, tag_of_part))
        self.tags.append(tag)
        self.start.append(self.point_of[start])
        self.end.append(self.point_of[end])
        self.start_port.append(start)
        self.end_port.append(end)

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

    def regions(self, cut: Iterable[int] = ()) -> NDArray[np.int32]:
        """Return, for each point, the number of the connected region it lies in with links cut out."""
        start, end = self._ends
        kept = np.ones(len(start), dtype=bool)
        kept[list(cut)] = False
        start, end = start[kept], end[kept]
        graph = coo_array(
            (np.ones(len(start)), (start, end)), shape=(self.point_count, self.point_count)
        )
        return np.asarray(connected_components(graph, directed=False)[1], dtype=np.int32)
