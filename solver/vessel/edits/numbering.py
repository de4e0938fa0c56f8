# SPDX-License-Identifier: MIT
"""Tags changed for many parts at once, and tags for copies."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from typing import Any, Literal, TypeAlias

import msgspec

from solver.errors import EditError
from solver.vessel.accepted import one_of, shown
from solver.vessel.components import AirHandler, kind_name
from solver.vessel.edits.tags import PREFIXES
from solver.vessel.fields import Point
from solver.vessel.parts import Part, all_tags, find, with_lists, with_values
from solver.vessel.run import End, Run
from solver.vessel.vessel import Cabin, Vessel

Order: TypeAlias = Literal["across", "down", "deck", "tag"]
ORDERS: tuple[Order, ...] = ("across", "down", "deck", "tag")

#: Parts whose places differ by less stand in one row or column [units].
_ROW = 40.0
_DIGITS = re.compile(r"\d+")
_NUMBERED = re.compile(r"^(.*?)(\d{1,9})(\D*)$", re.DOTALL)


def numbering(
    vessel: Vessel,
    tags: Iterable[str],
    *,
    prefix: str | None = None,
    start: int = 1,
    order: Order = "across",
    digits: int = 1,
) -> dict[str, str]:
    """Return old tag -> new tag for parts numbered in an order; a preview for ``renumber``.

    Parameters
    ----------
    vessel : Vessel
        Holds the parts.
    tags : iterable of str
        Components, runs or cabins.
    prefix : str, optional
        What new tags begin with; that of each part's kind if not given, each kind counted by itself.
    start : int
        The first number.
    order : {"across", "down", "deck", "tag"}
        Row by row, column by column, deck by deck from the top and then row by row, or by the old tags.
    digits : int
        Digits of a number at least, filled up with noughts.

    Raises
    ------
    EditError
        A tag belongs to no part, there is no such order, or a new tag is that of another part.
    """
    if order not in ORDERS:
        raise EditError(f"no order is called {shown(order)}; accepted: {one_of(ORDERS, order)}")
    if start < 0:
        raise EditError(f"the first number: found {start}; accepted: a whole number of at least 0")
    parts = [where.part for where in find(vessel, tags).values()]
    count: dict[str, int] = {}
    mapping: dict[str, str] = {}
    for part in _ordered(vessel, parts, order):
        lead = PREFIXES[_kind(part)] if prefix is None else prefix
        number = count.setdefault(lead, start)
        count[lead] += 1
        mapping[part.tag] = f"{lead}{number:0{digits}d}"
    _refuse_clashes(vessel, mapping)
    return mapping


def renumber(vessel: Vessel, mapping: Mapping[str, str]) -> Vessel:
    """Return the vessel with tags changed everywhere they are named, all at once: tags may swap.

    Raises
    ------
    EditError
        An old tag belongs to no part, a new one is no tag, is given twice or is that of another part.
    """
    found = find(vessel, mapping)
    for tag, where in found.items():
        with_values(where.part, {"tag": mapping[tag]}, tag, (tag,))
    _refuse_clashes(vessel, mapping)
    new = {old: after for old, after in mapping.items() if old != after}
    if not new:
        return vessel
    lists: dict[str, Any] = {
        "components": [_with_cabins(_retagged(part, new), new) for part in vessel.components],
        "runs": [_with_ends(_retagged(run, new), new) for run in vessel.runs],
        "cabins": [_retagged(cabin, new) for cabin in vessel.cabins],
        "scenarios": [_renamed_in(scenario, "changes", new) for scenario in vessel.scenarios],
        "readings": [_renamed_in(day, "readings", new) for day in vessel.readings],
    }
    return with_lists(vessel, lists)


def copied_tags(vessel: Vessel, tags: Iterable[str]) -> dict[str, str]:
    """Return old tag -> tag for its copy, free in the vessel: the next number of its kind of tag.

    A letter behind the number stays (``IV-3S`` becomes ``IV-7S``), and so do leading noughts; a tag
    without a number gets one.
    """
    taken = set(all_tags(vessel))
    highest: dict[tuple[str, str], int] = {}
    for tag in taken:
        if parts := _NUMBERED.match(tag):
            family = (parts[1], parts[3])
            highest[family] = max(highest.get(family, 0), int(parts[2]))
    found: dict[str, str] = {}
    for tag in tags:
        parts = _NUMBERED.match(tag)
        lead, digits, tail = (parts[1], len(parts[2]), parts[3]) if parts else (f"{tag} ", 1, "")
        number = highest.get((lead, tail), 0 if parts else 1) + 1
        while (copy := f"{lead}{number:0{digits}d}{tail}") in taken:
            number += 1
        highest[lead, tail] = number
        taken.add(copy)
        found[tag] = copy
    return found


def _ordered(vessel: Vessel, parts: list[Part], order: Order) -> list[Part]:
    if order == "tag":
        # AH-9 before AH-10.
        return sorted(parts, key=lambda part: _DIGITS.sub(lambda found: found[0].zfill(9), part.tag))
    places = {part.tag: _place(vessel, part) for part in parts}
    level, along = (0, 1) if order == "down" else (1, 0)
    rows = _rows([places[part.tag][level] for part in parts])
    heights = {deck.name: deck.height_m for deck in vessel.decks}

    def key(part: Part) -> tuple[float, float, float, str]:
        place = places[part.tag]
        deck = -heights.get(_deck(vessel, part), 0.0) if order == "deck" else 0.0
        return (deck, rows[place[level]], place[along], part.tag)

    return sorted(parts, key=key)


def _rows(levels: list[float]) -> dict[float, int]:
    """Return level -> number of its row; a row ends where the next level is well apart."""
    found: dict[float, int] = {}
    row, first = -1, 0.0
    for level in sorted(set(levels)):
        if row < 0 or level - first > _ROW:
            row, first = row + 1, level
        found[level] = row
    return found


def _place(vessel: Vessel, part: Part) -> Point:
    if isinstance(part, Run):
        points = [vessel.component_by_tag[end.tag].at for end in (part.start, part.end)]
    elif isinstance(part, Cabin):
        points = list(part.outline) or [(0.0, 0.0)]
    else:
        return part.at
    return (sum(x for x, _ in points) / len(points), sum(y for _, y in points) / len(points))


def _deck(vessel: Vessel, part: Part) -> str:
    return vessel.component_by_tag[part.start.tag].deck if isinstance(part, Run) else part.deck


def _kind(part: Part) -> str:
    if isinstance(part, Run):
        return "run"
    return "cabin" if isinstance(part, Cabin) else kind_name(part)


def _refuse_clashes(vessel: Vessel, mapping: Mapping[str, str]) -> None:
    others = set(all_tags(vessel)) - set(mapping)
    seen: set[str] = set()
    for old, new in mapping.items():
        if new in others:
            raise EditError(f"{new} is the tag of another part; choose another start or prefix", (old, new))
        if new in seen:
            raise EditError(f"{shown(new)} is given to two parts; each part has its own tag", (old,))
        seen.add(new)


def _retagged(part: Any, new: Mapping[str, str]) -> Any:
    return msgspec.structs.replace(part, tag=new[part.tag]) if part.tag in new else part


def _with_ends(run: Run, new: Mapping[str, str]) -> Run:
    if run.start.tag not in new and run.end.tag not in new:
        return run
    start, end = (End(new.get(tag, tag), port) for tag, port in (run.start, run.end))
    return msgspec.structs.replace(run, start=start, end=end)


def _with_cabins(component: Any, new: Mapping[str, str]) -> Any:
    if not isinstance(component, AirHandler) or not any(cabin in new for cabin in component.cabins):
        return component
    cabins = tuple(new.get(cabin, cabin) for cabin in component.cabins)
    return msgspec.structs.replace(component, cabins=cabins)


def _renamed_in(holder: Any, key: str, new: Mapping[str, str]) -> Any:
    items = getattr(holder, key)
    if not any(item.tag in new for item in items):
        return holder
    return msgspec.structs.replace(holder, **{key: tuple(_retagged(item, new) for item in items)})
