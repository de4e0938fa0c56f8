# SPDX-License-Identifier: MIT
"""Parts cut out as a value of their own, and put into the same or another vessel under new tags."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any, NamedTuple

import msgspec
from msgspec import Struct

from solver.errors import EditError
from solver.vessel.checks import other_side_problems
from solver.vessel.components import AirHandler, AnyComponent
from solver.vessel.edits.adding import add
from solver.vessel.edits.numbering import copied_tags
from solver.vessel.fields import Point
from solver.vessel.footprint import body, on_grid
from solver.vessel.parts import find
from solver.vessel.run import End, Run
from solver.vessel.spaces import known_spaces, plain_name
from solver.vessel.vessel import Cabin, Vessel

#: How far a duplicate lies from its original [units].
BESIDE: Point = (40.0, 40.0)


class Clip(Struct, frozen=True, forbid_unknown_fields=True):
    """Parts of a vessel with the runs between them; ``msgspec.json`` writes and reads it for a clipboard.

    Parameters
    ----------
    components, runs, cabins : tuple
        The parts as they were.
    dangling : tuple of End
        Ports of theirs whose run was left behind.
    middle : (x, y)
        The middle of what they cover.
    cabin_names : dict
        Tag -> name of the cabins that the air handlers among them cool.
    """

    components: tuple[AnyComponent, ...] = ()
    runs: tuple[Run, ...] = ()
    cabins: tuple[Cabin, ...] = ()
    dangling: tuple[End, ...] = ()
    middle: Point = (0.0, 0.0)
    cabin_names: dict[str, str] = {}


class Pasted(NamedTuple):
    """What ``paste`` gives.

    Parameters
    ----------
    vessel : Vessel
        With the copies.
    tags : dict
        Tag in the clip -> tag of the copy.
    dangling : tuple of End
        Ports of the copies that wait for a run.
    dropped : tuple of str
        What could not be kept, in words: decks, spaces and cabins that this vessel has not.
    """

    vessel: Vessel
    tags: dict[str, str]
    dangling: tuple[End, ...]
    dropped: tuple[str, ...]


def clip(vessel: Vessel, tags: Iterable[str]) -> Clip:
    """Return parts of a vessel cut out: components, cabins, and the runs between the components.

    Runs with an end outside are left behind, whether chosen or not.

    Raises
    ------
    EditError
        A tag belongs to no part, or there is no component or cabin among the parts.
    """
    found = find(vessel, tags)
    components = tuple(part for part in vessel.components if part.tag in found)
    cabins = tuple(cabin for cabin in vessel.cabins if cabin.tag in found)
    if not components and not cabins:
        raise EditError("there is nothing to copy; choose components or cabins", tuple(found))
    inside = {component.tag for component in components}
    runs = tuple(run for run in vessel.runs if run.start.tag in inside and run.end.tag in inside)
    cut = [run for run in vessel.runs if (run.start.tag in inside) != (run.end.tag in inside)]
    names = {cabin.tag: cabin.name for cabin in vessel.cabins}
    served = {tag for part in components if isinstance(part, AirHandler) for tag in part.cabins}
    return Clip(
        components=components,
        runs=runs,
        cabins=cabins,
        dangling=tuple(run.start if run.start.tag in inside else run.end for run in cut),
        middle=_middle(components, cabins),
        cabin_names={tag: names[tag] for tag in sorted(served)},
    )


def paste(vessel: Vessel, clip: Clip, at: Point) -> Pasted:
    """Return the vessel with copies of a clip's parts, their middle near a point.

    Tags are the next free ones of their kind.  Copies are not locked.  Air handlers cool the copies of
    their cabins if those are in the clip, else the same cabins if this vessel has them.

    Raises
    ------
    EditError
        A part is not accepted here, or the point is beyond the drawing.
    """
    parts = (*clip.components, *clip.runs, *clip.cabins)
    tags = copied_tags(vessel, (part.tag for part in parts))
    # By whole steps, so that what was on the grid stays there.
    shift = (on_grid(at[0] - clip.middle[0]), on_grid(at[1] - clip.middle[1]))
    dropped: dict[str, None] = {}
    cabins = [
        _beside_spaces(_on_deck(_copy(cabin, tags, shift), vessel, dropped), vessel, dropped)
        for cabin in clip.cabins
    ]
    components = []
    for part in clip.components:
        new = _on_deck(_copy(part, tags, shift), vessel, dropped)
        if isinstance(new, AirHandler) and new.cabins:
            cooled = _cooled(new, vessel, clip, tags, dropped)
            new = msgspec.structs.replace(new, cabins=cooled)
        components.append(new)
    runs = [_copy(run, tags, shift) for run in clip.runs]
    grown = add(vessel, components=components, runs=runs, cabins=cabins)
    dangling = tuple(End(tags[end.tag], end.port) for end in clip.dangling)
    return Pasted(grown, tags, dangling, tuple(dropped))


def duplicate(vessel: Vessel, tags: Iterable[str], shift: Point = BESIDE) -> Pasted:
    """Return the vessel with copies of parts beside them; see ``clip`` and ``paste``."""
    cut = clip(vessel, tags)
    return paste(vessel, cut, (cut.middle[0] + shift[0], cut.middle[1] + shift[1]))


def _middle(components: tuple[AnyComponent, ...], cabins: tuple[Cabin, ...]) -> Point:
    points = [point for cabin in cabins for point in cabin.outline]
    for component in components:
        left, top, right, bottom = body(component)
        points += [(left, top), (right, bottom)]
    if not points:
        return (0.0, 0.0)
    xs, ys = zip(*points, strict=True)
    return ((min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2)


def _copy(part: Any, tags: dict[str, str], shift: Point) -> Any:
    """Return a part under its new tag and in its new place."""

    def moved(points: tuple[Point, ...]) -> tuple[Point, ...]:
        return tuple((x + shift[0], y + shift[1]) for x, y in points)

    new: dict[str, Any] = {"tag": tags[part.tag], "locked": False}
    if isinstance(part, Run):
        new |= {"start": End(tags[part.start.tag], part.start.port), "bends": moved(part.bends)}
        new |= {"end": End(tags[part.end.tag], part.end.port)}
    elif isinstance(part, Cabin):
        new["outline"] = moved(part.outline)
    else:
        new["at"] = moved((part.at,))[0]
    return msgspec.structs.replace(part, **new)


def _beside_spaces(cabin: Cabin, vessel: Vessel, dropped: dict[str, None]) -> Cabin:
    """Return a cabin whose surfaces have what is usual beyond them instead of spaces not known here."""
    surfaces = list(cabin.surfaces)
    for problem in other_side_problems(cabin, {plain_name(name) for name in known_spaces(vessel)}):
        place = int(problem.path[1])
        dropped[f"space {surfaces[place].other_side}, which this vessel has not"] = None
        surfaces[place] = msgspec.structs.replace(surfaces[place], other_side="")
    return msgspec.structs.replace(cabin, surfaces=tuple(surfaces))


def _on_deck(part: Any, vessel: Vessel, dropped: dict[str, None]) -> Any:
    if not part.deck or any(deck.name == part.deck for deck in vessel.decks):
        return part
    dropped[f"deck {part.deck}, which this vessel has not"] = None
    return msgspec.structs.replace(part, deck="")


def _cooled(
    new: AirHandler, vessel: Vessel, clip: Clip, tags: dict[str, str], dropped: dict[str, None]
) -> tuple[str, ...]:
    """Return the cabins that a copy of an air handler cools."""
    here = {cabin.tag: cabin.name for cabin in vessel.cabins}
    cooled = []
    for tag in new.cabins:
        name = clip.cabin_names.get(tag, "")
        if tag in tags:
            cooled.append(tags[tag])
        elif here.get(tag) == name:
            cooled.append(tag)
        else:
            dropped[f"cabin {tag}" + (f" ({name})" if name else "") + ", which this vessel has not"] = None
    return tuple(cooled)
