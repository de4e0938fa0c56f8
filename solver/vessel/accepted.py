# SPDX-License-Identifier: MIT
"""What a field accepts, in plain words, and what is wrong with a value it does not accept.

All of it is worked out from the structs themselves, so that the refusals of the file, those of the
edits and the tables of the documentation say what is really read.
"""

from __future__ import annotations

import json
import math
import re
from collections.abc import Iterable, Iterator, Sequence
from difflib import get_close_matches
from functools import cache
from typing import Any, NamedTuple

import msgspec
from msgspec import inspect

from solver.vessel.fields import SMALLEST

#: No quantity of a boat is larger, in any unit of the file; beyond it lie slips of the finger.
LARGEST_NUMBER = 1e9

#: Place in the document: keys and list indices from the top.
Path = tuple[str | int, ...]

# Control characters but for tab and line break: neither drawings nor XML can hold them.
_CONTROL = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f\ud800-\udfff]")
_SHOWN_LENGTH = 60


class Problem(NamedTuple):
    """Something in a document that is not accepted, and what would be."""

    path: Path
    problem: str
    value: str = ""
    accepted: str = ""
    tags: tuple[str, ...] = ()


def shown(value: object) -> str:
    """Return a value as text for a message: as the file writes it, short and on one line."""
    if isinstance(value, dict):
        return "an object with " + (", ".join(shown_text(str(key)) for key in list(value)[:4]) or "no keys")
    if isinstance(value, list | tuple) and (len(value) > 4 or any(map(_is_container, value))):
        return f"a list of {len(value)}"
    if isinstance(value, int) and value.bit_length() > 100:
        return f"a whole number of {value.bit_length()} bits"
    try:
        text = json.dumps(value, ensure_ascii=False)
    except (TypeError, ValueError):
        text = repr(value)
    return shown_text(text)


def _is_container(value: object) -> bool:
    return isinstance(value, dict | list | tuple)


def shown_text(text: str) -> str:
    """Return text shortened, with everything that cannot be printed written as an escape."""
    if len(text) > _SHOWN_LENGTH:
        text = text[:_SHOWN_LENGTH] + "..."
    if text.isprintable():
        return text
    return "".join(c if c.isprintable() else c.encode("unicode_escape").decode() for c in text)


def one_of(names: Sequence[str], given: object = None) -> str:
    """Return ``one of a, b, c``, with the nearest name in front where one is near what was given."""
    listed = "one of " + ", ".join(name or '""' for name in names)
    near = nearest(given, names) if isinstance(given, str) else ""
    return f"{near}? {listed}" if near else listed


def nearest(given: str, names: Iterable[str]) -> str:
    """Return the name most like what was given, empty if none is much like it."""
    names = list(names)
    found = get_close_matches(given, names, n=1)
    if not found and len(given) > 2:
        # "speed" for "speed_percent" is too short to count as close.
        found = [name for name in names if name.startswith(given)]
    return found[0] if found else ""


def number_problem(value: float) -> str:
    """Return what is wrong with a number of whatever field, empty if nothing is."""
    # A whole number may be too long for math.isfinite.
    if value != value or abs(value) == math.inf:
        return "not a finite number"
    return "the number is too large" if abs(value) > LARGEST_NUMBER else ""


def text_problem(value: str) -> str:
    """Return what is wrong with a text of whatever field, empty if nothing is."""
    if value.isprintable():
        return ""
    return "the text has a control character or half a character in it" if _CONTROL.search(value) else ""


@cache
def fields_of(kind: type[msgspec.Struct]) -> dict[str, inspect.Type]:
    """Return field name -> what is known of its type, in the order of the file's keys."""
    known = inspect.type_info(kind)
    assert isinstance(known, inspect.StructType)
    return {field.name: field.type for field in known.fields}


def accepts(kind: inspect.Type) -> str:
    """Return in plain words what a value of this type may be.

    Examples
    --------
    >>> from solver.vessel.components import CirculationPump
    >>> accepts(fields_of(CirculationPump)["speed_percent"])
    'a number from 0 to 150'
    """
    match kind:
        case inspect.Metadata():
            described = (kind.extra_json_schema or {}).get("description")
            return str(described) if described else accepts(kind.type)
        case inspect.FloatType():
            return "a number" + _range(kind)
        case inspect.IntType():
            return "a whole number" + _range(kind)
        case inspect.StrType():
            return "text"
        case inspect.BoolType():
            return "true or false"
        case inspect.NoneType():
            return "null"
        case inspect.LiteralType():
            return one_of([value if isinstance(value, str) else str(value) for value in kind.values])
        case inspect.TupleType():
            return "[" + ", ".join(accepts(item) for item in kind.item_types) + "]"
        case inspect.NamedTupleType():
            return "[" + ", ".join(field.name for field in kind.fields) + "]"
        case inspect.VarTupleType():
            at_least = f"at least {kind.min_length}, each " if kind.min_length else ""
            each = accepts(kind.item_type)
            return f"a list of {at_least}{each}" if at_least else f"a list, each {each}"
        case inspect.StructType():
            return "an object with keys " + ", ".join(field.name for field in kind.fields)
        case inspect.UnionType():
            if structs := _tagged(kind):
                return "an object whose kind is " + one_of(list(structs))
            return " or ".join(accepts(choice) for choice in kind.types)
    raise TypeError(f"no words for {kind!r}")


def refusals(kind: inspect.Type, value: object, path: Path = ()) -> Iterator[Problem]:
    """Yield everything about a value read from JSON that this type does not accept."""
    match kind:
        case inspect.Metadata():
            for found in refusals(kind.type, value, path):
                yield found if found.path != path else found._replace(accepted=accepts(kind))
        case inspect.FloatType() | inspect.IntType():
            yield from _number_refusals(kind, value, path)
        case inspect.StrType():
            yield from _text_refusals(kind, value, path)
        case inspect.BoolType():
            if not isinstance(value, bool):
                yield Problem(path, "neither true nor false", shown(value), accepts(kind))
        case inspect.NoneType():
            if value is not None:
                yield Problem(path, "not null", shown(value), accepts(kind))
        case inspect.LiteralType():
            if not any(type(value) is type(choice) and value == choice for choice in kind.values):
                names = [choice if isinstance(choice, str) else str(choice) for choice in kind.values]
                yield Problem(path, "unknown choice", shown(value), one_of(names, value))
        case inspect.TupleType() | inspect.NamedTupleType():
            yield from _fixed_list_refusals(kind, value, path)
        case inspect.VarTupleType():
            yield from _list_refusals(kind, value, path)
        case inspect.StructType():
            yield from _object_refusals(kind, value, path)
        case inspect.UnionType():
            yield from _choice_refusals(kind, value, path)
        case _:
            raise TypeError(f"no rule for {kind!r}")


def _range(kind: inspect.FloatType | inspect.IntType) -> str:
    if kind.ge is not None and kind.le is not None:
        return f" from {kind.ge} to {kind.le}"
    low = ""
    if kind.ge == SMALLEST:
        return f" above 0 (at least {SMALLEST:g})"
    if kind.gt is not None:
        low = f" above {kind.gt}"
    elif kind.ge is not None:
        low = f" of at least {kind.ge}"
    return low + (f" and at most {kind.le}" if kind.le is not None else "")


def _tagged(kind: inspect.UnionType) -> dict[str, inspect.StructType]:
    return {
        str(choice.tag): choice
        for choice in kind.types
        if isinstance(choice, inspect.StructType) and choice.tag
    }


def _number_refusals(
    kind: inspect.FloatType | inspect.IntType, value: object, path: Path
) -> Iterator[Problem]:
    whole = isinstance(kind, inspect.IntType)
    if isinstance(value, bool) or not isinstance(value, int if whole else int | float):
        yield Problem(path, "not a whole number" if whole else "not a number", shown(value), accepts(kind))
        return
    assert isinstance(value, int | float)
    if problem := number_problem(value):
        yield Problem(path, problem, shown(value), accepts(kind))
    elif (
        (kind.gt is not None and not value > kind.gt)
        or (kind.ge is not None and not value >= kind.ge)
        or (kind.le is not None and not value <= kind.le)
    ):
        yield Problem(path, "out of range", shown(value), accepts(kind))


def _text_refusals(kind: inspect.StrType, value: object, path: Path) -> Iterator[Problem]:
    if not isinstance(value, str):
        yield Problem(path, "not text", shown(value), accepts(kind))
    elif problem := text_problem(value):
        yield Problem(path, problem, shown(value), accepts(kind))
    elif kind.min_length is not None and len(value) < kind.min_length:
        yield Problem(path, "the text is too short", shown(value), accepts(kind))
    elif kind.max_length is not None and len(value) > kind.max_length:
        yield Problem(path, f"the text is too long ({len(value)} characters)", shown(value), accepts(kind))
    elif kind.pattern is not None and not re.search(kind.pattern, value):
        yield Problem(path, "the text has the wrong form", shown(value), accepts(kind))


def _fixed_list_refusals(
    kind: inspect.TupleType | inspect.NamedTupleType, value: object, path: Path
) -> Iterator[Problem]:
    types = (
        kind.item_types if isinstance(kind, inspect.TupleType) else tuple(field.type for field in kind.fields)
    )
    if not isinstance(value, list | tuple) or len(value) != len(types):
        yield Problem(path, f"not a list of {len(types)}", shown(value), accepts(kind))
        return
    for index, (item_type, item) in enumerate(zip(types, value, strict=True)):
        yield from refusals(item_type, item, (*path, index))


def _list_refusals(kind: inspect.VarTupleType, value: object, path: Path) -> Iterator[Problem]:
    if not isinstance(value, list | tuple):
        yield Problem(path, "not a list", shown(value), accepts(kind))
        return
    if kind.min_length is not None and len(value) < kind.min_length:
        yield Problem(path, "too few in the list", shown(value), accepts(kind))
    for index, item in enumerate(value):
        yield from refusals(kind.item_type, item, (*path, index))


def _object_refusals(kind: inspect.StructType, value: object, path: Path) -> Iterator[Problem]:
    if not isinstance(value, dict):
        yield Problem(path, "not an object", shown(value), accepts(kind))
        return
    known = {field.name: field for field in kind.fields}
    for key in value:
        if key not in known and key != kind.tag_field:
            yield Problem(
                (*path, key), "unknown key", shown(value[key]), "the keys here: " + one_of(list(known), key)
            )
    for name, field in known.items():
        if name in value:
            yield from refusals(field.type, value[name], (*path, name))
        elif field.required:
            yield Problem((*path, name), "missing", "", accepts(field.type))


def _choice_refusals(kind: inspect.UnionType, value: object, path: Path) -> Iterator[Problem]:
    if structs := _tagged(kind):
        if not isinstance(value, dict):
            yield Problem(path, "not an object", shown(value), accepts(kind))
        elif "kind" not in value:
            yield Problem((*path, "kind"), "missing", "", one_of(list(structs)))
        elif not isinstance(value["kind"], str) or value["kind"] not in structs:
            name = value["kind"]
            yield Problem((*path, "kind"), "unknown kind", shown(name), one_of(list(structs), name))
        else:
            yield from refusals(structs[value["kind"]], value, path)
        return
    tried = [list(refusals(choice, value, path)) for choice in kind.types]
    if all(tried):
        # Problems inside the value tell more than "none of the choices fits".
        inside = [found for problems in tried for found in problems if found.path != path]
        first = next(
            problems[0]
            for problems, choice in zip(tried, kind.types, strict=True)
            if not isinstance(choice, inspect.NoneType)
        )
        yield from inside or [first._replace(accepted=accepts(kind))]


def plain(value: object) -> Any:
    """Return a value built in code as JSON would give it, for ``refusals`` to look at.

    Raises
    ------
    TypeError
        If nothing in JSON stands for it.
    """
    return msgspec.to_builtins(value, enc_hook=_plain_number)


def _plain_number(value: object) -> float:
    if hasattr(value, "__float__"):
        return float(value)
    raise TypeError(f"{type(value).__name__} has no place in a vessel")
