# SPDX-License-Identifier: MIT
"""What must hold between the parts of a vessel, beyond the range of each field.

The file's reader refuses a vessel with such problems and the edits never make one.  Two kinds:
``own_problems`` looks at one part alone, ``problems`` at the whole vessel.
"""

from __future__ import annotations

import calendar
import datetime
from collections.abc import Callable, Collection, Iterable, Iterator
from itertools import pairwise
from typing import Any

from solver.errors import PartError
from solver.parts.constructions import CONSTRUCTIONS
from solver.parts.fittings import FITTING_KINDS
from solver.parts.pipe_sizes import SERIES, pipe_series, pipe_size
from solver.vessel.accepted import Path, Problem, nearest, one_of, shown, shown_text
from solver.vessel.cabin import GLASS, OUTDOORS
from solver.vessel.components import (
    AirHandler,
    AnyComponent,
    Chiller,
    ConstantFlowValve,
    Pump,
    RegulatingValve,
)
from solver.vessel.fields import SMALLEST
from solver.vessel.parts import Part
from solver.vessel.quantities import quantities
from solver.vessel.run import End, Run
from solver.vessel.spaces import known_spaces, plain_name
from solver.vessel.vessel import Cabin, Vessel


def problems(vessel: Vessel) -> list[Problem]:
    """Return everything about a vessel that contradicts itself, in the order of its keys.

    Fields are taken to be in range; see ``solver.vessel.accepted`` for that.
    """
    return [
        *name_problems(vessel),
        *space_name_problems(vessel),
        *day_problems(vessel),
        *_tag_problems(vessel),
        *_component_problems(vessel),
        *space_problems(vessel),
        *_run_problems(vessel),
        *reading_problems(vessel),
        *scenario_problems(vessel),
        *underlay_problems(vessel),
    ]


def own_problems(part: Part) -> Iterator[Problem]:
    """Yield what contradicts itself within one part; paths start at the part."""
    for kind, check in _OWN_CHECKS:
        if isinstance(part, kind):
            for problem in check(part):
                yield problem._replace(tags=(part.tag,))


def port_problem(end: End, components: dict[str, AnyComponent]) -> Problem | None:
    """Return what is wrong with a run's end, None if its port is there; the path starts at the end."""
    component = components.get(end.tag)
    if component is None:
        return Problem((0,), "no component has this tag", shown(end.tag), _near(end.tag, components))
    if end.port not in component.ports:
        ports = one_of(component.ports, end.port)
        return Problem((1,), f"{end.tag} has no such port", shown(end.port), ports, (end.tag,))
    return None


def _near(tag: str, tags: Iterable[str]) -> str:
    # A ship has thousands of tags; the nearest is enough.
    found = nearest(tag, tags)
    return f"{shown_text(found)}?" if found else "the tag of a part"


def name_problems(vessel: Vessel) -> Iterator[Problem]:
    """Yield empty and double names of conditions, decks, spaces and scenarios, and an unknown condition."""
    named: tuple[tuple[str, tuple[Any, ...]], ...] = (
        ("conditions", vessel.conditions),
        ("decks", vessel.decks),
        ("spaces", vessel.spaces),
        ("scenarios", vessel.scenarios),
    )
    for key, items in named:
        seen: dict[str, int] = {}
        for index, item in enumerate(items):
            path = (key, index, "name")
            if not item.name:
                yield Problem(path, "the name is empty", shown(item.name), "a name")
            elif item.name in seen:
                first = f"{key}[{seen[item.name]}]"
                yield Problem(path, f"{first} has this name already", shown(item.name), "each name once")
            seen.setdefault(item.name, index)
    names = [conditions.name for conditions in vessel.conditions]
    if vessel.condition and vessel.condition not in names:
        accepted = one_of(names, vessel.condition) + ', or "" for the first'
        yield Problem(("condition",), "no conditions have this name", shown(vessel.condition), accepted)


def space_name_problems(vessel: Vessel) -> Iterator[Problem]:
    """Yield names of spaces that differ only in capitals or blanks, and one that stands for the weather."""
    seen: dict[str, str] = {}
    for index, space in enumerate(vessel.spaces):
        plain, path = plain_name(space.name), ("spaces", index, "name")
        if plain in ("", OUTDOORS):
            text = "the name stands for the weather" if plain else "the name is blank"
            yield Problem(path, text, shown(space.name), "another name")
        elif seen.get(plain, space.name) != space.name:
            yield Problem(path, f"{seen[plain]} is the same name", shown(space.name), "each name once")
        seen.setdefault(plain, space.name)


def day_problems(vessel: Vessel) -> Iterator[Problem]:
    """Yield days of conditions that their month does not have."""
    for index, conditions in enumerate(vessel.conditions):
        # 2024 has a 29 February.
        longest = calendar.monthrange(2024, conditions.month)[1]
        if conditions.day > longest:
            text = f"month {conditions.month} has no such day"
            accepted = f"a whole number from 1 to {longest}"
            yield Problem(("conditions", index, "day"), text, shown(conditions.day), accepted)


def _tag_problems(vessel: Vessel) -> Iterator[Problem]:
    seen: dict[str, str] = {}
    for key, parts in (("cabins", vessel.cabins), ("components", vessel.components), ("runs", vessel.runs)):
        for index, part in enumerate(parts):
            if part.tag in seen:
                problem = f"{seen[part.tag]} has this tag already"
                yield Problem((key, index, "tag"), problem, shown(part.tag), "each tag once", (part.tag,))
            seen.setdefault(part.tag, f"{key}[{index}]")


def _component_problems(vessel: Vessel) -> Iterator[Problem]:
    decks = {deck.name for deck in vessel.decks}
    cabins = {cabin.tag for cabin in vessel.cabins}
    for index, cabin in enumerate(vessel.cabins):
        path = ("cabins", index)
        yield from deck_problem(cabin.deck, decks, path, cabin.tag)
        yield from _under(path, own_problems(cabin))
    for index, component in enumerate(vessel.components):
        path = ("components", index)
        if component.deck:
            yield from deck_problem(component.deck, decks, path, component.tag)
        yield from _under(path, own_problems(component))
        if isinstance(component, AirHandler):
            yield from _under(path, cabin_problems(component, cabins))


def deck_problem(deck: str, decks: set[str], path: Path, tag: str) -> Iterator[Problem]:
    """Yield what is wrong with the deck a part names."""
    if deck and deck not in decks:
        accepted = one_of(sorted(decks), deck) if decks else '"", since the vessel has no decks'
        yield Problem((*path, "deck"), "no deck has this name", shown(deck), accepted, (tag,))


def cabin_problems(air_handler: AirHandler, cabins: set[str]) -> Iterator[Problem]:
    """Yield what is wrong with the cabins an air handler names."""
    for index, tag in enumerate(air_handler.cabins):
        path = ("cabins", index)
        if tag not in cabins:
            accepted = one_of(sorted(cabins), tag) if cabins else "none, since the vessel has no cabins"
            yield Problem(path, "no cabin has this tag", shown(tag), accepted, (air_handler.tag,))
        elif tag in air_handler.cabins[:index]:
            yield Problem(path, "the cabin is given twice", shown(tag), "each cabin once", (air_handler.tag,))


def space_problems(vessel: Vessel) -> Iterator[Problem]:
    """Yield surfaces of cabins with an unknown space on their other side."""
    spaces = {plain_name(name) for name in known_spaces(vessel)}
    for index, cabin in enumerate(vessel.cabins):
        yield from _under(("cabins", index), other_side_problems(cabin, spaces))


def other_side_problems(cabin: Cabin, spaces: Collection[str]) -> Iterator[Problem]:
    """Yield surfaces with an unknown space on their other side; ``spaces`` as ``plain_name`` gives them."""
    for index, surface in enumerate(cabin.surfaces):
        if surface.other_side and plain_name(surface.other_side) not in spaces:
            accepted = one_of(sorted(spaces), surface.other_side)
            path = ("surfaces", index, "other_side")
            yield Problem(path, "no such space", shown(surface.other_side), accepted, (cabin.tag,))


def _run_problems(vessel: Vessel) -> Iterator[Problem]:
    # Of several with one tag, which is refused already, the first counts.
    components = {component.tag: component for component in reversed(vessel.components)}
    taken: dict[End, str] = {}
    for index, run in enumerate(vessel.runs):
        path = ("runs", index)
        yield from _under(path, own_problems(run))
        for key, end in (("start", run.start), ("end", run.end)):
            if problem := port_problem(end, components):
                yield problem._replace(path=(*path, key, *problem.path), tags=(run.tag, *problem.tags))
            elif end in taken and taken[end] != run.tag:
                text = f"{taken[end]} is at this port already"
                tags = (run.tag, taken[end], end.tag)
                yield Problem((*path, key), text, shown(list(end)), "a port without a run", tags)
            taken.setdefault(end, run.tag)


def reading_problems(vessel: Vessel) -> Iterator[Problem]:
    """Yield what is wrong with the days of readings and the parts they name."""
    parts = _parts_by_tag(vessel) if vessel.readings else {}
    for number, day in enumerate(vessel.readings):
        path = ("readings", number)
        try:
            datetime.date.fromisoformat(day.date)
        except ValueError:
            yield Problem((*path, "date"), "no such day", shown(day.date), "a date as YYYY-MM-DD")
        for index, reading in enumerate(day.readings):
            if reading.tag not in parts:
                place = (*path, "readings", index, "tag")
                yield Problem(place, "no part has this tag", shown(reading.tag), _near(reading.tag, parts))


def scenario_problems(vessel: Vessel) -> Iterator[Problem]:
    """Yield what is wrong with the parts and quantities that scenarios name."""
    parts = _parts_by_tag(vessel) if vessel.scenarios else {}
    for number, scenario in enumerate(vessel.scenarios):
        for index, change in enumerate(scenario.changes):
            path = ("scenarios", number, "changes", index)
            part = parts.get(change.tag)
            if part is None:
                accepted = _near(change.tag, parts)
                yield Problem((*path, "tag"), "no part has this tag", shown(change.tag), accepted)
            elif change.quantity not in quantities(part):
                text = f"{change.tag} has no such quantity"
                accepted = one_of(quantities(part), change.quantity)
                yield Problem((*path, "quantity"), text, shown(change.quantity), accepted, (change.tag,))


def underlay_problems(vessel: Vessel) -> Iterator[Problem]:
    """Yield what is wrong with the decks that underlays name."""
    decks = {deck.name for deck in vessel.decks}
    for index, underlay in enumerate(vessel.underlays):
        for problem in deck_problem(underlay.deck, decks, ("underlays", index), ""):
            yield problem._replace(tags=())


def _parts_by_tag(vessel: Vessel) -> dict[str, Part]:
    parts: dict[str, Part] = {}
    for part in (*vessel.components, *vessel.runs, *vessel.cabins):
        parts.setdefault(part.tag, part)
    return parts


def _under(path: Path, found: Iterable[Problem]) -> Iterator[Problem]:
    return (problem._replace(path=path + problem.path) for problem in found)


def _curve(pump: Pump) -> Iterator[Problem]:
    for index, (before, point) in enumerate(pairwise(pump.curve), start=1):
        if point.flow_L_s < before.flow_L_s + SMALLEST:
            path = ("curve", index, "flow_L_s")
            accepted = f"a flow above {before.flow_L_s}, the one before"
            yield Problem(path, "the flows do not rise", shown(point.flow_L_s), accepted)
    if pump.curve and pump.curve[0].head_m < SMALLEST:
        first = pump.curve[0].head_m
        yield Problem(
            ("curve", 0, "head_m"), "the first head is not above 0", shown(first), "a number above 0"
        )


def _kv_table(valve: RegulatingValve) -> Iterator[Problem]:
    for index, (before, point) in enumerate(pairwise(valve.kv_table), start=1):
        if point.setting < before.setting + SMALLEST:
            accepted = f"a setting above {before.setting}, the one before"
            yield Problem(("kv_table", index, 0), "the settings do not rise", shown(point.setting), accepted)
        if point.kv_m3_h < before.kv_m3_h:
            accepted = f"a Kv of at least {before.kv_m3_h}, the one before"
            yield Problem(("kv_table", index, 1), "the Kv falls", shown(point.kv_m3_h), accepted)
    first, last = valve.kv_table[0], valve.kv_table[-1]
    for column, number in enumerate(first):
        if number < 0:
            yield Problem(("kv_table", 0, column), "below 0", shown(number), "a number of at least 0")
    if last.kv_m3_h < SMALLEST:
        path = ("kv_table", len(valve.kv_table) - 1, 1)
        yield Problem(path, "the last Kv is not above 0", shown(last.kv_m3_h), "a number above 0")
    if valve.setting > last.setting:
        accepted = f"a number from 0 to {last.setting}, the last of the table"
        yield Problem(("setting",), "beyond the table", shown(valve.setting), accepted)


def _drop_points(part: Chiller | AirHandler) -> Iterator[Problem]:
    flows = [point.flow_L_s for point in part.drop_points]
    for index, flow in enumerate(flows):
        if any(abs(flow - other) < SMALLEST for other in flows[:index]):
            path = ("drop_points", index, "flow_L_s")
            yield Problem(path, "the flow is given twice", shown(flow), "each flow once")


def _working_range(valve: ConstantFlowValve) -> Iterator[Problem]:
    if not valve.maximum_drop_kPa > valve.minimum_drop_kPa:
        accepted = f"a number above minimum_drop_kPa, {valve.minimum_drop_kPa}"
        yield Problem(("maximum_drop_kPa",), "no working range", shown(valve.maximum_drop_kPa), accepted)


def _run(run: Run) -> Iterator[Problem]:
    if run.series not in SERIES:
        yield Problem(
            ("series",), "unknown series of pipe", shown(run.series), one_of(list(SERIES), run.series)
        )
    else:
        try:
            pipe_size(run.series, run.size)
        except PartError:
            accepted = one_of([size.size for size in pipe_series(run.series).sizes], run.size)
            yield Problem(("size",), f"no size of {run.series}", shown(run.size), accepted)
    for index, fitting in enumerate(run.fittings):
        if fitting.kind not in FITTING_KINDS:
            path = ("fittings", index, "kind")
            yield Problem(
                path, "unknown fitting", shown(fitting.kind), one_of(list(FITTING_KINDS), fitting.kind)
            )
    if run.start == run.end:
        yield Problem(("end",), "the run ends at the port it starts at", shown(list(run.end)), "another port")


def _surfaces(cabin: Cabin) -> Iterator[Problem]:
    for index, surface in enumerate(cabin.surfaces):
        glass = surface.kind in GLASS
        fitting = [name for name, made in CONSTRUCTIONS.items() if (made.solar_gain > 0.0) == glass]
        if surface.construction and surface.construction not in fitting:
            known = surface.construction in CONSTRUCTIONS
            text = f"no construction of a {surface.kind}" if known else "unknown construction"
            path = ("surfaces", index, "construction")
            yield Problem(path, text, shown(surface.construction), one_of(fitting, surface.construction))


_OWN_CHECKS: tuple[tuple[type, Callable[..., Iterator[Problem]]], ...] = (
    (Pump, _curve),
    (RegulatingValve, _kv_table),
    (Chiller, _drop_points),
    (AirHandler, _drop_points),
    (ConstantFlowValve, _working_range),
    (Run, _run),
    (Cabin, _surfaces),
)
