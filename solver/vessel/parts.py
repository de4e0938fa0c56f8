# SPDX-License-Identifier: MIT
"""Parts of a vessel by tag: finding them, and putting changed ones in their place.

A part is what has a tag: a component, a run or a cabin.  What is not touched is shared with the
vessel before.  Every function takes one look at each part at most.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import cache
from operator import is_not
from typing import Any, Literal, NamedTuple, TypeAlias, TypeVar

import msgspec

from solver.errors import EditError
from solver.vessel.accepted import Problem, fields_of, nearest, one_of, plain, refusals, shown
from solver.vessel.components import AnyComponent
from solver.vessel.run import Run
from solver.vessel.vessel import Cabin, Vessel

Part: TypeAlias = AnyComponent | Run | Cabin
AnyStruct = TypeVar("AnyStruct", bound=msgspec.Struct)


class Found(NamedTuple):
    """Where a part stands in its vessel."""

    key: Literal["components", "runs", "cabins"]
    position: int
    part: Part


def find(vessel: Vessel, tags: Iterable[str]) -> dict[str, Found]:
    """Return tag -> where its part stands, in the order of ``tags``.

    Raises
    ------
    EditError
        A tag belongs to no part; the nearest one is named.
    """
    wanted = list(dict.fromkeys(tags))
    missing = set(wanted)
    found: dict[str, Found] = {}
    keys: tuple[Literal["components", "runs", "cabins"], ...] = ("components", "runs", "cabins")
    for key in keys:
        if not missing:
            break
        parts: tuple[Part, ...] = getattr(vessel, key)
        for index, part in enumerate(parts):
            if part.tag in missing:
                found[part.tag] = Found(key, index, part)
                missing.discard(part.tag)
    if missing:
        tag = next(tag for tag in wanted if tag in missing)
        near = nearest(tag, all_tags(vessel))
        ask = f"; {near}?" if near else ""
        raise EditError(f"no part has the tag {shown(tag)}{ask}", (tag,))
    return {tag: found[tag] for tag in wanted}


def as_run(part: Part) -> Run:
    """Return a part that is to be a run; ``EditError`` if it is another."""
    if not isinstance(part, Run):
        raise EditError(f"{part.tag} is not a run", (part.tag,))
    return part


def run_tags_at(vessel: Vessel, component: AnyComponent) -> set[str]:
    """Return the tags of the runs that end at a component."""
    ends = ((component.tag, port) for port in component.ports)
    return {run.tag for end in ends for run in vessel.runs_at.get(end, ())}


def all_tags(vessel: Vessel) -> list[str]:
    """Return the tags of components, runs and cabins."""
    return [
        *(component.tag for component in vessel.components),
        *(run.tag for run in vessel.runs),
        *(cabin.tag for cabin in vessel.cabins),
    ]


def replaced(vessel: Vessel, new: Iterable[tuple[Found, Part]]) -> Vessel:
    """Return the vessel with parts replaced where they stand."""
    lists: dict[str, list[Any]] = {}
    for found, part in new:
        if part is not found.part:
            if found.key not in lists:
                lists[found.key] = list(getattr(vessel, found.key))
            lists[found.key][found.position] = part
    return with_lists(vessel, lists)


def with_lists(vessel: Vessel, lists: Mapping[str, Iterable[Any]]) -> Vessel:
    """Return the vessel with whole lists replaced (``components``, ``runs``...) where an item is another."""
    new: dict[str, tuple[Any, ...]] = {}
    for key, items in lists.items():
        old, given = getattr(vessel, key), tuple(items)
        if len(old) != len(given) or any(map(is_not, old, given)):
            new[key] = given
    return msgspec.structs.replace(vessel, **new) if new else vessel


def with_values(item: AnyStruct, values: Mapping[str, object], what: str, tags: tuple[str, ...]) -> AnyStruct:
    """Return a struct with fields set, each value checked against its field; itself if it is as it was.

    Parameters
    ----------
    item : Struct
        A part, or any other struct of the document.
    values : mapping
        Field -> value, as a struct, a tuple or a list, or as the file would write it.
    what : str
        What to call the item in a message: its tag, mostly.
    tags : tuple of str
        The parts to mark.

    Raises
    ------
    EditError
        There is no such field, or it does not accept the value.
    """
    types = fields_of(type(item))
    hints = field_hints(type(item))
    new: dict[str, Any] = {}
    for field, value in values.items():
        if field not in types:
            raise EditError(
                f"{what} has no field {shown(field)}; accepted: {one_of(list(types), field)}", tags
            )
        try:
            given = plain(value)
        except (TypeError, ValueError, OverflowError, RecursionError) as error:
            raise EditError(f"{field} of {what}: {error}", tags) from error
        for problem in refusals(types[field], given, (field,)):
            raise edit_error(problem, what, tags)
        new[field] = msgspec.convert(given, hints[field])
    changed = msgspec.structs.replace(item, **new)
    return item if changed == item else changed


def checked(item: AnyStruct, what: str, tags: tuple[str, ...]) -> AnyStruct:
    """Return a struct built in code as a file would give it, every field checked.

    Raises
    ------
    EditError
        A field does not accept its value.
    """
    try:
        given = plain(item)
    except (TypeError, ValueError, OverflowError, RecursionError) as error:
        raise EditError(f"{what}: {error}", tags) from error
    for problem in refusals(_type_of(type(item)), given):
        raise edit_error(problem, what, tags)
    return msgspec.convert(given, type(item))


@cache
def _type_of(kind: type[msgspec.Struct]) -> msgspec.inspect.Type:
    return msgspec.inspect.type_info(kind)


@cache
def field_hints(kind: type[msgspec.Struct]) -> dict[str, Any]:
    """Return field name -> its type hint, for ``msgspec.convert``."""
    return {field.name: field.type for field in msgspec.structs.fields(kind)}


def edit_error(problem: Problem, what: str, tags: tuple[str, ...] = ()) -> EditError:
    """Return a problem as the refusal of an edit: ``size of R-3: no size of copper_x; found ...``."""
    field, *inner = problem.path or ("",)
    place = str(field) + "".join(f"[{key}]" if isinstance(key, int) else f".{key}" for key in inner)
    text = f"{place} of {what}: {problem.problem}" if place else f"{what}: {problem.problem}"
    if problem.value:
        text += f"; found {problem.value}"
    if problem.accepted:
        text += f"; accepted: {problem.accepted}"
    return EditError(text, problem.tags or tags)
