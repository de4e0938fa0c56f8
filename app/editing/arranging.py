# SPDX-License-Identifier: MIT
"""Edits and choices for many parts at once: align, distribute, duplicate, delete, renumber, select alike."""

from __future__ import annotations

import re
from collections import deque
from collections.abc import Callable, Iterable, Sequence
from typing import Literal

import msgspec

from app.translation import tr
from solver.errors import EditError
from solver.vessel.components import Component, kind_name
from solver.vessel.edits import add, free_tag, heal, move, remove, retag
from solver.vessel.footprint import body
from solver.vessel.parts import Part, find
from solver.vessel.run import End, Run
from solver.vessel.vessel import Cabin, Vessel

Side = Literal["left", "centre", "right", "top", "middle", "bottom"]
Way = Literal["across", "down"]
Order = Literal["across", "down", "deck", "tag"]

#: Ports lie on this grid, so that pipes go at right angles [units].
_GRID = 10.0
#: How far a duplicate lies from its original [units].
_BESIDE = (40.0, 40.0)


def components_of(vessel: Vessel, tags: Iterable[str]) -> list[Component]:
    """Return the components among the parts with these tags."""
    by_tag = vessel.component_by_tag
    return [by_tag[tag] for tag in tags if tag in by_tag]


def align(vessel: Vessel, tags: Iterable[str], side: Side) -> Vessel:
    """Return the vessel with components aligned at one side of what they cover, or at their middles.

    They move along the grid only, so that pipes still go at right angles.
    """
    parts = components_of(vessel, tags)
    if len(parts) < 2:
        return vessel
    across = side in ("left", "centre", "right")
    places = {part.tag: _place(part, side) for part in parts}
    if side in ("left", "top"):
        target = min(places.values())
    elif side in ("right", "bottom"):
        target = max(places.values())
    else:
        target = (min(places.values()) + max(places.values())) / 2
    for part in parts:
        way = round((target - places[part.tag]) / _GRID) * _GRID
        if way:
            vessel = move(vessel, (part.tag,), way if across else 0.0, 0.0 if across else way)
    return vessel


def distribute(vessel: Vessel, tags: Iterable[str], way: Way) -> Vessel:
    """Return the vessel with components at equal distances between the outermost two."""
    axis = 0 if way == "across" else 1
    parts = sorted(components_of(vessel, tags), key=lambda part: part.at[axis])
    if len(parts) < 3:
        return vessel
    first, last = parts[0].at[axis], parts[-1].at[axis]
    for index, part in enumerate(parts[1:-1], start=1):
        wanted = first + (last - first) * index / (len(parts) - 1)
        step = round((wanted - part.at[axis]) / _GRID) * _GRID
        if step:
            vessel = move(vessel, (part.tag,), step if axis == 0 else 0.0, step if axis == 1 else 0.0)
    return vessel


def duplicate(vessel: Vessel, tags: Iterable[str]) -> tuple[Vessel, tuple[str, ...]]:
    """Return the vessel with copies of parts beside them, and the copies' tags.

    Runs between copied components are copied; others are left out, so their ports stay open.
    """
    chosen = list(dict.fromkeys(tags))
    parts = components_of(vessel, chosen)
    kept = {part.tag for part in parts}
    runs = [run for run in vessel.runs if run.start.tag in kept and run.end.tag in kept]
    renamed: dict[str, str] = {}
    grown = vessel
    for part in parts:
        new = msgspec.structs.replace(part, tag=free_tag(grown, kind_name(part)))
        grown = add(grown, components=(new,))  # type: ignore[arg-type]
        renamed[part.tag] = new.tag
    for run in runs:
        start, end = (End(renamed[each.tag], each.port) for each in (run.start, run.end))
        copy = msgspec.structs.replace(run, tag=free_tag(grown, "run"), start=start, end=end)
        grown = add(grown, runs=(copy,))
        renamed[run.tag] = copy.tag
    return move(grown, list(renamed.values()), *_BESIDE), tuple(renamed.values())


def delete(vessel: Vessel, tags: Iterable[str]) -> Vessel:
    """Return the vessel without some parts; a run that one component alone was taken from is healed.

    Raises
    ------
    EditError
        A tag belongs to no part.
    """
    chosen = list(dict.fromkeys(tags))
    if len(chosen) == 1 and chosen[0] in vessel.component_by_tag:
        try:
            return heal(vessel, chosen[0])
        except EditError:
            return remove(vessel, chosen)
    return remove(vessel, chosen)


def of_same_kind(vessel: Vessel, tags: Iterable[str]) -> tuple[str, ...]:
    """Return the tags of all parts of the kinds of some parts, in file order."""
    kinds = {_kind(where.part) for where in find(vessel, tags).values()}
    parts: tuple[Part, ...] = (*vessel.components, *vessel.runs, *vessel.cabins)
    return tuple(part.tag for part in parts if _kind(part) in kinds)


def of_branch(vessel: Vessel, tags: Iterable[str]) -> tuple[str, ...]:
    """Return the tags of all parts in line with some parts, up to where the pipe branches."""
    return _reached(vessel, tags, past_branches=False)


def of_circuit(vessel: Vessel, tags: Iterable[str]) -> tuple[str, ...]:
    """Return the tags of all parts joined with some parts, sea water and loop apart."""
    return _reached(vessel, tags, past_branches=True)


def renumbered(
    vessel: Vessel, tags: Sequence[str], prefix: str, start: int, order: Order
) -> list[tuple[str, str]]:
    """Return (old tag, new tag) of some parts, numbered in an order.

    Raises
    ------
    EditError
        A new tag belongs to a part that is not renumbered.
    """
    parts = [where.part for where in find(vessel, tags).values()]
    heights = {deck.name: deck.height_m for deck in vessel.decks}
    keys: dict[Order, Callable[[Part], tuple[float | str, ...]]] = {
        "across": lambda part: (_middle(vessel, part)[0], _middle(vessel, part)[1]),
        "down": lambda part: (_middle(vessel, part)[1], _middle(vessel, part)[0]),
        "deck": lambda part: (
            -heights.get(getattr(part, "deck", ""), 0.0),
            *_middle(vessel, part),
        ),
        "tag": lambda part: (re.sub(r"\d+", lambda found: found[0].zfill(9), part.tag),),
    }
    parts.sort(key=keys[order])
    pairs = [(part.tag, f"{prefix}{start + index}") for index, part in enumerate(parts)]
    taken = {part.tag for part in (*vessel.components, *vessel.runs, *vessel.cabins)} - set(tags)
    for _old, new in pairs:
        if new in taken:
            raise EditError(tr("{0} is the tag of another part; choose another start.").format(new), (new,))
    return pairs


def renumber(vessel: Vessel, pairs: Sequence[tuple[str, str]]) -> Vessel:
    """Return the vessel with parts renamed, also where the new tags are among the old ones.

    Raises
    ------
    EditError
        A new tag is taken or is no tag.
    """
    changed = [(old, new) for old, new in pairs if old != new]
    olds = {old for old, _new in changed}
    passing = [(old, f"~{index}~") if new in olds else (old, new) for index, (old, new) in enumerate(changed)]
    for old, new in passing:
        vessel = retag(vessel, old, new)
    for (_old, between), (_same, new) in zip(passing, changed, strict=True):
        if between != new:
            vessel = retag(vessel, between, new)
    return vessel


def prefix_of(tags: Sequence[str]) -> str:
    """Return what some tags begin with before their number: "AH-" of AH-3 and AH-12; empty if they differ."""
    found = {re.sub(r"\d+$", "", tag) for tag in tags}
    return found.pop() if len(found) == 1 else ""


def lowest_number(tags: Sequence[str]) -> int:
    """Return the lowest number at the end of some tags; 1 if none has one."""
    found = [int(match[0]) for tag in tags if (match := re.search(r"\d{1,6}$", tag))]
    return min(found, default=1)


def _kind(part: Part) -> str:
    if isinstance(part, Run):
        return "run"
    return "cabin" if isinstance(part, Cabin) else kind_name(part)


def _place(part: Component, side: Side) -> float:
    left, top, right, bottom = body(part)
    return {
        "left": left,
        "right": right,
        "top": top,
        "bottom": bottom,
        "centre": part.at[0],
        "middle": part.at[1],
    }[side]


def _middle(vessel: Vessel, part: Part) -> tuple[float, float]:
    if isinstance(part, Run):
        ends = [vessel.component_by_tag[end.tag].at for end in (part.start, part.end)]
        return ((ends[0][0] + ends[1][0]) / 2, (ends[0][1] + ends[1][1]) / 2)
    if isinstance(part, Cabin):
        corners = part.outline or ((0.0, 0.0),)
        return (min(x for x, _ in corners), min(y for _, y in corners))
    return part.at


def _reached(vessel: Vessel, tags: Iterable[str], *, past_branches: bool) -> tuple[str, ...]:
    """Walk from parts along runs; a component with two sides is passed on the side it is met."""
    found: dict[str, None] = {}
    waiting: deque[tuple[str, str]] = deque()
    for tag, where in find(vessel, tags).items():
        found[tag] = None
        if isinstance(where.part, Run):
            waiting.extend((where.part.start, where.part.end))
        elif isinstance(where.part, Component):
            waiting.extend((tag, port) for port in where.part.ports)
    seen: set[tuple[str, str]] = set()
    while waiting:
        tag, port = waiting.popleft()
        if (tag, port) in seen:
            continue
        seen.add((tag, port))
        for run in vessel.runs_at.get((tag, port), ()):
            found[run.tag] = None
            for end in (run.start, run.end):
                if (end.tag, end.port) != (tag, port):
                    waiting.extend(_through(vessel, end, found, past_branches=past_branches))
    return tuple(found)


def _through(
    vessel: Vessel, end: End, found: dict[str, None], *, past_branches: bool
) -> list[tuple[str, str]]:
    """Note the component at the end of a run and return the ports the walk goes on from."""
    component = vessel.component_by_tag[end.tag]
    used = [port for port in component.ports if (component.tag, port) in vessel.runs_at]
    branches = len(used) > 2 or kind_name(component) in ("tee", "manifold", "chiller")
    if branches and not past_branches:
        return []
    found[end.tag] = None
    sea = end.port.startswith("sea_")
    return [(end.tag, port) for port in component.ports if port.startswith("sea_") == sea]
