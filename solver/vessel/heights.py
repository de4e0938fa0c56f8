# SPDX-License-Identifier: MIT
"""Heights of all components above the waterline, from what is known of them.

A component's height is known from its own ``height_m`` and its deck's.  The others take theirs from
their neighbours and the rises of the runs between.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Mapping
from typing import TYPE_CHECKING

from msgspec import Struct

if TYPE_CHECKING:
    from solver.vessel.vessel import Vessel

#: Rises may be out by this much before they contradict each other [m].
TOLERANCE = 0.005


class HeightConflict(Struct, frozen=True):
    """A run whose rise is not what the heights at its ends make it.

    Parameters
    ----------
    run : str
        The run.
    tags : tuple of str
        The run and the components at its start and end.
    said_m, found_m : float
        The rise as given, and as the heights of its ends make it [m].
    """

    run: str
    tags: tuple[str, str, str]
    said_m: float
    found_m: float


class Heights(Struct, frozen=True):
    """Height above the waterline [m] by component tag, in file order; all its ports are at one height.

    ``assumed`` are the components that no chain of known heights and rises reaches: some run on the
    way counts as level, or nothing in their part of the vessel has a height.
    """

    by_tag: Mapping[str, float]
    assumed: frozenset[str]
    conflicts: tuple[HeightConflict, ...]


def heights(vessel: Vessel) -> Heights:
    """Return the height of every component above the waterline.

    A height spreads from components that have one, along runs with a ``rise_m`` first and along
    runs without one (as level) only where nothing better leads; mains are level before branches are,
    so that an unknown rise lies in the branch.  A part of the vessel without any known height starts at
    0 with its first component.

    Parameters
    ----------
    vessel : Vessel
        Runs that end at a component that is not there are passed over.

    Returns
    -------
    Heights
        With the runs whose rise disagrees by more than 5 mm with what is found.
    """
    found = _known(vessel)
    assumed: set[str] = set()
    neighbours = _neighbours(vessel)
    _spread([tag for tag in neighbours if tag in found], neighbours, found, assumed)
    for tag in neighbours:
        if tag not in found:
            found[tag] = 0.0
            assumed.add(tag)
            _spread([tag], neighbours, found, assumed)
    found = {tag: found[tag] for tag in neighbours}
    return Heights(found, frozenset(assumed), _conflicts(vessel, found))


def _known(vessel: Vessel) -> dict[str, float]:
    decks = {deck.name: deck.height_m for deck in vessel.decks}
    return {
        component.tag: decks.get(component.deck, 0.0) + component.height_m
        for component in vessel.components
        if component.height_m is not None
    }


#: Component -> (neighbour, rise to it [m] or None, whether a branch of a tee) for each run at it.
_Neighbours = dict[str, list[tuple[str, float | None, bool]]]


def _neighbours(vessel: Vessel) -> _Neighbours:
    found: _Neighbours = {component.tag: [] for component in vessel.components}
    for run in vessel.runs:
        start, end, rise = run.start[0], run.end[0], run.rise_m
        if start in found and end in found:
            branches = "branch" in (run.start[1], run.end[1])
            found[start].append((end, rise, branches))
            found[end].append((start, None if rise is None else -rise, branches))
    return found


def _spread(sources: list[str], neighbours: _Neighbours, found: dict[str, float], assumed: set[str]) -> None:
    """Walk from components with a height: runs of known rise first, then level ones, then branches."""
    waiting, at_branches = deque(_climb(sources, neighbours, found, assumed)), deque[str]()
    while waiting or at_branches:
        along = bool(waiting)
        tag = waiting.popleft() if along else at_branches.popleft()
        if along:
            at_branches.append(tag)
        for neighbour, rise, branches in neighbours[tag]:
            if rise is None and branches != along and neighbour not in found:
                found[neighbour] = found[tag]
                assumed.add(neighbour)
                waiting.extend(_climb([neighbour], neighbours, found, assumed))


def _climb(
    sources: list[str], neighbours: _Neighbours, found: dict[str, float], assumed: set[str]
) -> list[str]:
    """Walk along runs of known rise only; return the sources and all that is reached."""
    reached = list(sources)
    waiting = deque(sources)
    while waiting:
        tag = waiting.popleft()
        for neighbour, rise, _ in neighbours[tag]:
            if rise is not None and neighbour not in found:
                found[neighbour] = found[tag] + rise
                if tag in assumed:
                    assumed.add(neighbour)
                reached.append(neighbour)
                waiting.append(neighbour)
    return reached


def _conflicts(vessel: Vessel, found: Mapping[str, float]) -> tuple[HeightConflict, ...]:
    conflicts = []
    for run in vessel.runs:
        if run.rise_m is None or run.start.tag not in found or run.end.tag not in found:
            continue
        rise = found[run.end.tag] - found[run.start.tag]
        if abs(rise - run.rise_m) > TOLERANCE:
            tags = (run.tag, run.start.tag, run.end.tag)
            conflicts.append(HeightConflict(run.tag, tags, run.rise_m, rise))
    return tuple(conflicts)
