# SPDX-License-Identifier: MIT
"""Edits that set fields of parts and of the vessel."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

import msgspec

from solver.errors import EditError
from solver.vessel.accepted import one_of, shown
from solver.vessel.checks import name_problems, reading_problems, scenario_problems, underlay_problems
from solver.vessel.components import AirHandler, AnyComponent
from solver.vessel.edits.adding import refuse_part, refuse_taken_ports, refuse_taken_tag
from solver.vessel.parts import Found, Part, edit_error, find, replaced, with_lists, with_values
from solver.vessel.run import End, Run
from solver.vessel.vessel import Vessel

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
        A tag or field is not there, or the value is not accepted; no part is changed then.
    """
    if field == "tag":
        raise EditError("tag is changed with retag, one part at a time")
    found = find(vessel, (tags,) if isinstance(tags, str) else tags)
    new: list[tuple[Found, Part]] = []
    for tag, where in found.items():
        part = with_values(where.part, {field: value}, tag, (tag,))
        if field == "port_count":
            _refuse_lost_ports(vessel, part)
        refuse_part(vessel, part)
        new.append((where, part))
    changed = replaced(vessel, new)
    if field in ("start", "end"):
        refuse_taken_ports(changed, [part for _, part in new if isinstance(part, Run)])
    return changed


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
        "conditions": name_problems,
        "condition": name_problems,
        "scenarios": scenario_problems,
        "readings": reading_problems,
        "underlays": underlay_problems,
    }
    if field in checks:
        for problem in (*name_problems(changed), *checks[field](changed)):
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
