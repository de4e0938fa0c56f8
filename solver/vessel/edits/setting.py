# SPDX-License-Identifier: MIT
"""Edits that set fields of parts and of the vessel."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

import msgspec

from solver.errors import EditError
from solver.vessel.accepted import fields_of, one_of, shown
from solver.vessel.checks import (
    day_problems,
    name_problems,
    reading_problems,
    scenario_problems,
    space_name_problems,
    space_problems,
    underlay_problems,
)
from solver.vessel.components import AirHandler, AnyComponent
from solver.vessel.edits.adding import refuse_part, refuse_taken_ports, refuse_taken_tag
from solver.vessel.edits.following import followed, is_pinned, rerouted
from solver.vessel.edits.locking import refuse_locked, refuse_locked_runs_at
from solver.vessel.parts import Found, Part, edit_error, find, replaced, with_lists, with_values
from solver.vessel.run import End, Run
from solver.vessel.takeoff import measured
from solver.vessel.vessel import Cabin, Vessel

#: Fields of how a part is drawn, which are kept where it is locked.
_DRAWN = frozenset(("at", "turn", "bends", "routed", "outline", "start", "end"))
_ENDS = frozenset(("start", "end"))
#: Fields that say where the ports of a component lie.
_PLACED = frozenset(("at", "turn", "port_count"))
#: Fields that lengths and elbows off the drawing go by.
_MEASURED = frozenset(
    (
        "length_m",
        "length_known",
        "fittings",
        "fittings_known",
        "bends",
        "start",
        "end",
        "rise_m",
        "height_m",
        "deck",
    )
)
#: Fields of the vessel with edits of their own, since other parts name what is in them.
_OWN_EDITS = {
    "format": "it is the program's",
    "components": "use add, remove, set_field",
    "runs": "use add, remove, set_field",
    "cabins": "use add, remove, set_field",
    "decks": "use add_deck, set_deck, remove_deck",
}


def set_field(vessel: Vessel, tags: Iterable[str], field: str, value: object) -> Vessel:
    """Return the vessel with one field of one or several parts set to a value.

    A typed length is a measured one from then on, typed fittings are no longer counted on the drawing,
    given bends are pinned.  What follows the drawing follows.

    Parameters
    ----------
    vessel : Vessel
        Left as it is.
    tags : iterable of str
        Components, runs or cabins; all must have the field.
    field : str
        Name of the field, as in the file.  A run's ``start`` and ``end`` may be set to another port.
    value : object
        A number, text, struct or list, as the field holds it or as the file writes it.

    Raises
    ------
    EditError
        A tag or field is not there, the value is not accepted, or a part is locked where it is drawn; no
        part is changed then.
    """
    found = find(vessel, (tags,) if isinstance(tags, str) else tags)
    return _set(vessel, {tag: (where, {field: value}) for tag, where in found.items()})


def set_fields(vessel: Vessel, tags: Iterable[str], values: Mapping[str, object]) -> Vessel:
    """Return the vessel with several fields of several parts set, of whatever kinds.

    Each value goes to those parts that have its field.

    Raises
    ------
    EditError
        As ``set_field`` does, and where no part has a field.
    """
    found = find(vessel, (tags,) if isinstance(tags, str) else tags)
    for field in values:
        if not any(field in fields_of(type(where.part)) for where in found.values()):
            known = list(
                dict.fromkeys(name for where in found.values() for name in fields_of(type(where.part)))
            )
            text = f"none of the parts has a field {shown(field)}; accepted: {one_of(known, field)}"
            raise EditError(text, tuple(found))
    wanted = {}
    for tag, where in found.items():
        own = {field: value for field, value in values.items() if field in fields_of(type(where.part))}
        wanted[tag] = (where, own)
    return _set(vessel, wanted)


def _set(vessel: Vessel, wanted: Mapping[str, tuple[Found, Mapping[str, object]]]) -> Vessel:
    new: list[tuple[Found, Part]] = []
    fields: set[str] = set()
    for tag, (where, values) in wanted.items():
        if "tag" in values:
            raise EditError("tag is changed with retag, one part at a time")
        if not _DRAWN.isdisjoint(values):
            refuse_locked((where.part,), "moved")
        part = _as_typed(with_values(where.part, values, tag, (tag,)), values)
        if "port_count" in values:
            _refuse_lost_ports(vessel, part)
        refuse_part(vessel, part)
        new.append((where, part))
        fields |= set(values)
    changed = replaced(vessel, new)
    if not _ENDS.isdisjoint(fields):
        ended = [part for _, part in new if isinstance(part, Run)]
        refuse_taken_ports(changed, ended)
        changed = rerouted(changed, [run.tag for run in ended if not is_pinned(run)])
    if not _PLACED.isdisjoint(fields):
        placed = [part.tag for _, part in new if not isinstance(part, Run | Cabin)]
        refuse_locked_runs_at(vessel, placed, "moved")
        changed = followed(vessel, changed, placed)
    return changed if fields.isdisjoint(_MEASURED) else measured(changed)


def _as_typed(part: Part, values: Mapping[str, object]) -> Part:
    """Return a run with marks of where its figures are from now, other parts as they are."""
    if not isinstance(part, Run):
        return part
    marks: dict[str, Any] = {}
    if "length_m" in values and "length_known" not in values and part.length_known in ("drawing", "assumed"):
        marks["length_known"] = "measured"
        if part.length_known == "assumed":
            marks["length_plus_minus_percent"] = values.get("length_plus_minus_percent", 0.0)
    if "fittings" in values and "fittings_known" not in values:
        marks["fittings_known"] = "typed"
    if "bends" in values and "routed" not in values:
        marks["routed"] = False
    return msgspec.structs.replace(part, **marks) if marks else part


def set_run_size(vessel: Vessel, tags: Iterable[str], series: str, size: str) -> Vessel:
    """Return the vessel with the pipe of one or several runs changed, series and size together.

    Raises
    ------
    EditError
        A tag is no run's, or the series or size is not known.
    """
    found = find(vessel, (tags,) if isinstance(tags, str) else tags)
    new: list[tuple[Found, Part]] = []
    for tag, where in found.items():
        part = with_values(where.part, {"series": series, "size": size}, tag, (tag,))
        refuse_part(vessel, part)
        new.append((where, part))
    return replaced(vessel, new)


def retag(vessel: Vessel, old: str, new: str) -> Vessel:
    """Return the vessel with a part's tag changed everywhere it is named.

    Raises
    ------
    EditError
        No part has the old tag, a part has the new one, or the new one is no tag.
    """
    where = find(vessel, (old,))[old]
    part = with_values(where.part, {"tag": new}, old, (old,))
    if new == old:
        return vessel
    refuse_taken_tag(vessel, {new})
    vessel = replaced(vessel, [(where, part)])
    lists: dict[str, list[Any]] = {
        "scenarios": [_renamed_in(scenario, "changes", old, new) for scenario in vessel.scenarios],
        "readings": [_renamed_in(day, "readings", old, new) for day in vessel.readings],
    }
    if where.key == "components":
        lists["runs"] = [_with_end_renamed(run, old, new) for run in vessel.runs]
    elif where.key == "cabins":
        lists["components"] = [_with_cabin_renamed(component, old, new) for component in vessel.components]
    return with_lists(vessel, lists)


def set_vessel_field(vessel: Vessel, field: str, value: object) -> Vessel:
    """Return the vessel with one of its own fields set: ``name``, ``limits``, ``loop_liquid``...

    Raises
    ------
    EditError
        There is no such field, it has edits of its own, or the value is not accepted.
    """
    if field in _OWN_EDITS:
        raise EditError(f"{field} of the vessel is not set as a whole: {_OWN_EDITS[field]}")
    if field not in Vessel.__struct_fields__:
        accepted = one_of([name for name in Vessel.__struct_fields__ if name not in _OWN_EDITS], field)
        raise EditError(f"the vessel has no field {shown(field)}; accepted: {accepted}")
    changed = with_values(vessel, {field: value}, "the vessel", ())
    checks = {
        "conditions": day_problems,
        "condition": name_problems,
        "spaces": space_problems,
        "scenarios": scenario_problems,
        "readings": reading_problems,
        "underlays": underlay_problems,
    }
    if field in checks:
        named = (*name_problems(changed), *space_name_problems(changed))
        for problem in (*named, *checks[field](changed)):
            raise edit_error(problem, "the vessel")
    return changed


def _refuse_lost_ports(vessel: Vessel, part: Any) -> None:
    for run in vessel.runs:
        for end in (run.start, run.end):
            if end.tag == part.tag and end.port not in part.ports:
                text = (
                    f"port {end.port} of {end.tag} has run {run.tag} and would be gone; remove the run first"
                )
                raise EditError(text, (end.tag, run.tag))


def _renamed_in(holder: Any, key: str, old: str, new: str) -> Any:
    items = getattr(holder, key)
    if all(item.tag != old for item in items):
        return holder
    renamed = tuple(msgspec.structs.replace(item, tag=new) if item.tag == old else item for item in items)
    return msgspec.structs.replace(holder, **{key: renamed})


def _with_end_renamed(run: Run, old: str, new: str) -> Run:
    if old not in (run.start[0], run.end[0]):
        return run
    start, end = (End(new, port) if tag == old else End(tag, port) for tag, port in (run.start, run.end))
    return msgspec.structs.replace(run, start=start, end=end)


def _with_cabin_renamed(component: AnyComponent, old: str, new: str) -> AnyComponent:
    if not isinstance(component, AirHandler) or old not in component.cabins:
        return component
    cabins = tuple(new if cabin == old else cabin for cabin in component.cabins)
    return msgspec.structs.replace(component, cabins=cabins)
