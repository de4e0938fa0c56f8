# SPDX-License-Identifier: MIT
"""Edits that bring parts into a vessel, take them out or put another in their place."""

from __future__ import annotations

from collections.abc import Container, Iterable, Sequence
from typing import Any

import msgspec

from solver.errors import EditError
from solver.vessel.accepted import shown
from solver.vessel.checks import (
    cabin_problems,
    deck_problem,
    other_side_problems,
    own_problems,
    port_problem,
)
from solver.vessel.components import AirHandler, AnyComponent, kind_name
from solver.vessel.edits.following import followed
from solver.vessel.edits.locking import refuse_locked, refuse_locked_runs_at
from solver.vessel.parts import Part, checked, edit_error, find, with_lists
from solver.vessel.quantities import quantities
from solver.vessel.run import End, Run
from solver.vessel.spaces import known_spaces, plain_name
from solver.vessel.takeoff import measured
from solver.vessel.vessel import Cabin, Vessel


def add(
    vessel: Vessel,
    components: Iterable[AnyComponent] = (),
    runs: Iterable[Run] = (),
    cabins: Iterable[Cabin] = (),
) -> Vessel:
    """Return the vessel with parts added at the end of their lists, all or none.

    The new runs may end at the new components, the new air handlers name the new cabins.

    Raises
    ------
    EditError
        A tag is taken, a field does not accept its value, a port is not there or has a run, or a
        deck or cabin is not there.
    """
    new: dict[str, tuple[Any, ...]] = {
        "cabins": tuple(checked(cabin, cabin.tag, (cabin.tag,)) for cabin in cabins),
        "components": tuple(checked(part, part.tag, (part.tag,)) for part in components),
        "runs": tuple(checked(run, run.tag, (run.tag,)) for run in runs),
    }
    _refuse_taken_tags(vessel, [part for parts in new.values() for part in parts])
    grown = with_lists(vessel, {key: getattr(vessel, key) + parts for key, parts in new.items() if parts})
    for part in (*new["cabins"], *new["components"], *new["runs"]):
        refuse_part(grown, part)
    refuse_taken_ports(grown, new["runs"])
    return measured(grown)


def add_component(vessel: Vessel, component: AnyComponent) -> Vessel:
    """Return the vessel with a component added.  Raises ``EditError`` as ``add`` does."""
    return add(vessel, components=(component,))


def add_run(vessel: Vessel, run: Run) -> Vessel:
    """Return the vessel with a run added.  Raises ``EditError`` as ``add`` does."""
    return add(vessel, runs=(run,))


def add_cabin(vessel: Vessel, cabin: Cabin) -> Vessel:
    """Return the vessel with a cabin added.  Raises ``EditError`` as ``add`` does."""
    return add(vessel, cabins=(cabin,))


def remove(vessel: Vessel, tags: Iterable[str]) -> Vessel:
    """Return the vessel without some components, runs or cabins.

    With a component go the runs at it.  With every part go the readings and the changes in
    scenarios that name it; air handlers forget removed cabins.

    Raises
    ------
    EditError
        A tag belongs to no part, or a part is locked.
    """
    found = find(vessel, tags)
    refuse_locked((where.part for where in found.values()), "removed")
    gone = set(found)
    gone_components = {tag for tag, where in found.items() if where.key == "components"}
    refuse_locked_runs_at(vessel, gone_components, "removed")
    gone |= {
        run.tag for run in vessel.runs if run.start[0] in gone_components or run.end[0] in gone_components
    }
    lists: dict[str, list[Any]] = {}
    for key in ("components", "runs", "cabins"):
        kept = [part for part in getattr(vessel, key) if part.tag not in gone]
        if len(kept) < len(getattr(vessel, key)):
            lists[key] = kept
    if "cabins" in lists:
        lists["components"] = [
            _without_cabins(part, gone) for part in lists.get("components", vessel.components)
        ]
    return measured(without_mentions(with_lists(vessel, lists), gone))


def replace_component(vessel: Vessel, tag: str, component: AnyComponent) -> Vessel:
    """Return the vessel with another component in a component's place.

    It takes over the tag, place, turn, deck, height, name and notes, and the runs: at ports of the
    same name, else in the order of the ports if there are as many.  Changes in scenarios go where
    the new component has no such quantity.

    Raises
    ------
    EditError
        There is no such component, a field does not accept its value, or a run would be left
        without a port.
    """
    where = find(vessel, (tag,))[tag]
    if where.key != "components":
        raise EditError(f"{tag} is not a component", (tag,))
    old = where.part
    kept = {name: getattr(old, name) for name in ("tag", "at", "turn", "deck", "height_m", "locked")}
    texts = {name: getattr(component, name) or getattr(old, name) for name in ("name", "notes")}
    new = checked(msgspec.structs.replace(component, **kept, **texts), tag, (tag,))
    refuse_part(vessel, new)
    ports = _port_map(old, new)
    lists: dict[str, Any] = {"components": list(vessel.components)}
    lists["components"][where.position] = new
    if any(tag in (run.start[0], run.end[0]) for run in vessel.runs):
        lists["runs"] = [_on_ports(run, tag, ports, new) for run in vessel.runs]
    changed = without_mentions(with_lists(vessel, lists), (), {tag: quantities(new)})
    # Its ports may lie elsewhere.
    return followed(vessel, changed, (tag,))


def _port_map(old: Any, new: AnyComponent) -> dict[str, str]:
    if set(old.ports) <= set(new.ports):
        return {port: port for port in old.ports}
    if len(old.ports) == len(new.ports):
        return dict(zip(old.ports, new.ports, strict=True))
    return {port: port for port in old.ports if port in new.ports}


def _on_ports(run: Run, tag: str, ports: dict[str, str], new: AnyComponent) -> Run:
    if tag not in (run.start[0], run.end[0]):
        return run
    ends = {}
    for key, end in (("start", run.start), ("end", run.end)):
        if end.tag == tag:
            if end.port not in ports:
                raise EditError(
                    f"{run.tag} ends at port {end.port} of {tag}, which a {kind_name(new)} does not have; "
                    f"remove the run first",
                    (tag, run.tag),
                )
            ends[key] = End(tag, ports[end.port])
    return msgspec.structs.replace(run, **ends)


def _without_cabins(component: AnyComponent, gone: set[str]) -> AnyComponent:
    if not isinstance(component, AirHandler) or gone.isdisjoint(component.cabins):
        return component
    kept = tuple(cabin for cabin in component.cabins if cabin not in gone)
    return msgspec.structs.replace(component, cabins=kept)


def without_mentions(
    vessel: Vessel, gone: Container[str], known: dict[str, tuple[str, ...]] | None = None
) -> Vessel:
    """Return the vessel without readings and changes of parts that are gone.

    ``known`` gives, for parts that stay, the quantities that a change may still name.
    """
    known = known or {}
    scenarios = tuple(
        _kept_items(
            scenario,
            "changes",
            lambda change: (
                change.tag not in gone and (change.tag not in known or change.quantity in known[change.tag])
            ),
        )
        for scenario in vessel.scenarios
    )
    readings = tuple(
        _kept_items(day, "readings", lambda reading: reading.tag not in gone) for day in vessel.readings
    )
    lists: dict[str, tuple[Any, ...]] = {}
    if any(a is not b for a, b in zip(scenarios, vessel.scenarios, strict=True)):
        lists["scenarios"] = scenarios
    if any(a is not b for a, b in zip(readings, vessel.readings, strict=True)):
        lists["readings"] = readings
    return with_lists(vessel, lists)


def _kept_items(holder: Any, key: str, keep: Any) -> Any:
    items = getattr(holder, key)
    kept = tuple(item for item in items if keep(item))
    return holder if len(kept) == len(items) else msgspec.structs.replace(holder, **{key: kept})


def refuse_part(vessel: Vessel, part: Part) -> None:
    """Raise ``EditError`` if a part contradicts itself or names a deck, cabin or port not there."""
    for problem in own_problems(part):
        raise edit_error(problem, part.tag)
    if isinstance(part, Run):
        components = _components_at((part,), vessel)
        for key, end in (("start", part.start), ("end", part.end)):
            if missing := port_problem(end, components):
                raise edit_error(missing._replace(path=(key,)), part.tag, (part.tag,))
        return
    for problem in deck_problem(part.deck, {deck.name for deck in vessel.decks}, (), part.tag):
        raise edit_error(problem, part.tag)
    if isinstance(part, Cabin):
        for problem in other_side_problems(part, {plain_name(name) for name in known_spaces(vessel)}):
            raise edit_error(problem, part.tag)
    if isinstance(part, AirHandler) and part.cabins:
        for problem in cabin_problems(part, {cabin.tag for cabin in vessel.cabins}):
            raise edit_error(problem, part.tag)


def _components_at(runs: Iterable[Run], vessel: Vessel) -> dict[str, AnyComponent]:
    wanted = {end.tag for run in runs for end in (run.start, run.end)}
    return {component.tag: component for component in vessel.components if component.tag in wanted}


def refuse_taken_ports(vessel: Vessel, runs: Sequence[Run]) -> None:
    """Raise ``EditError`` if one of the vessel's ``runs`` shares a port with another run."""
    wanted = {end for run in runs for end in (run.start, run.end)}
    if not wanted:
        return
    tags = {end.tag for end in wanted}
    own = {run.tag for run in runs}
    taken: dict[End, str] = {}
    for run in vessel.runs:
        for end in (run.start, run.end):
            if end[0] in tags and end in wanted:
                if end in taken:
                    other = run.tag if taken[end] in own and run.tag not in own else taken[end]
                    port = f"port {end.port} of {end.tag}"
                    raise EditError(f"{port} has run {other}; a port takes one run", (end.tag, other))
                taken[end] = run.tag


def _refuse_taken_tags(vessel: Vessel, new: list[Part]) -> None:
    wanted = {part.tag for part in new}
    if len(wanted) < len(new):
        tags = [part.tag for part in new]
        twice = next(tag for tag in tags if tags.count(tag) > 1)
        raise EditError(f"{shown(twice)} is given to two parts; each part has its own tag", (twice,))
    refuse_taken_tag(vessel, wanted)


def refuse_taken_tag(vessel: Vessel, wanted: set[str]) -> None:
    """Raise ``EditError`` if a part of the vessel has one of these tags."""
    for parts in (vessel.components, vessel.runs, vessel.cabins):
        for part in parts:
            if part.tag in wanted:
                raise EditError(f"{part.tag} is taken already; each part has its own tag", (part.tag,))
