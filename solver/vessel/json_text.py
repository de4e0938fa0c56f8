# SPDX-License-Identifier: MIT
"""JSON text to a tree of plain values and back, exactly.

Reading refuses what JSON readers mostly let pass: a key given twice, NaN, numbers no boat has, text
that is not UTF-8.  Writing puts one entry of a list on a line, so that a change of one part is one
changed line.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence
from typing import Any, NoReturn

import msgspec

from solver.errors import FileError
from solver.vessel.accepted import (
    LARGEST_NUMBER,
    Path,
    Problem,
    number_problem,
    shown,
    shown_text,
    text_problem,
)

#: A vessel file nests five deep; an old format may nest otherwise, but not without end.
_DEEPEST = 30
_MOST_NAMED = 100
_ACCEPTED = "a vessel file as Farcabin writes it: JSON in UTF-8"
_PLAIN_TEXT = "text without control characters"
_SANE_NUMBER = f"a number from {-LARGEST_NUMBER:g} to {LARGEST_NUMBER:g}"

_PLAIN_WORDS = {
    "Expecting value": "a value is missing or misspelt",
    "Expecting ',' delimiter": "a comma or a closing bracket is missing",
    "Expecting ':' delimiter": "a colon is missing after the key",
    "Expecting property name enclosed in double quotes": "a key in double quotes is missing",
    "Unterminated string starting at": "a text is not ended by a double quote",
    "Invalid control character at": "a text is broken by a control character",
    "Extra data": "something follows the end of the vessel",
}


class _Doubled(dict[str, Any]):
    """An object with a key given twice."""

    key = ""


_CONTAINERS = frozenset((list, dict, tuple, _Doubled))


def tree(data: bytes, path: str) -> Any:
    """Return the values that a file's JSON text stands for.

    Parameters
    ----------
    data : bytes
        Content of the file.
    path : str
        Its name, for the message.

    Raises
    ------
    FileError
        If it is not JSON in UTF-8, or has in it a key given twice, a number that is not finite or
        too large, a text that is not whole, or lists within lists without end.
    """
    text = _text(data, path)
    try:
        values = json.loads(text, object_pairs_hook=_object, parse_int=_whole_number)
    except json.JSONDecodeError as error:
        _refuse_json(error, path)
    except RecursionError:
        _refuse_depth(path)
    refuse_strange_values(values, path)
    return values


def _text(data: bytes, path: str) -> str:
    if not data.strip():
        raise FileError(path, "whole file", "the file is empty", "", _ACCEPTED)
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        raise FileError(path, "line 1, column 1", "the text is UTF-16", "a UTF-16 byte order mark", _ACCEPTED)
    try:
        # "utf-8-sig" drops the byte order mark that some editors put in front.
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        raise FileError(
            path,
            f"line {line}, byte {error.start}",
            "the text is not UTF-8",
            f"byte 0x{data[error.start]:02x}",
            _ACCEPTED,
        ) from error


def _object(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    found = dict(pairs)
    if len(found) == len(pairs):
        return found
    doubled = _Doubled(found)
    seen: set[str] = set()
    doubled.key = next(key for key, _ in pairs if key in seen or seen.add(key))  # type: ignore[func-returns-value]
    return doubled


def _whole_number(text: str) -> int | float:
    # Longer ones are beyond what is accepted; Python refuses to read thousands of digits.
    return int(text) if len(text) < 20 else float(text)


def _refuse_json(error: json.JSONDecodeError, path: str) -> NoReturn:
    rest = error.doc[error.pos : error.pos + 20].split("\n")[0]
    raise FileError(
        path,
        f"line {error.lineno}, column {error.colno}",
        "not JSON: " + _PLAIN_WORDS.get(error.msg, error.msg),
        shown_text(rest) if rest else "the end of the line",
        _ACCEPTED,
    ) from error


def _refuse_depth(path: str) -> NoReturn:
    raise FileError(path, "whole file", "lists and objects nest too deeply", "", f"at most {_DEEPEST} deep")


def refuse_strange_values(values: Any, path: str) -> None:
    """Raise ``FileError`` for keys, numbers and texts that no format of the file has."""
    problems: list[Problem] = []
    waiting: list[tuple[Path, Any]] = [((), values)]
    while waiting:
        place, value = waiting.pop()
        if isinstance(value, dict):
            problems += _key_problems(place, value)
            items: Any = value.items()
        elif isinstance(value, list | tuple):
            items = enumerate(value)
        else:
            items = ((None, value),)
        # A ship has a million values: the common ones pass with one comparison each.
        for key, item in items:
            kind = type(item)
            if kind is str:
                if not item.isprintable() and (problem := text_problem(item)):
                    problems.append(Problem(_under(place, key), problem, shown(item), _PLAIN_TEXT))
            elif kind is float or kind is int:
                if not -LARGEST_NUMBER <= item <= LARGEST_NUMBER:
                    problem = number_problem(item)
                    problems.append(Problem(_under(place, key), problem, shown(item), _SANE_NUMBER))
            elif kind in _CONTAINERS:
                if len(place) >= _DEEPEST:
                    _refuse_depth(path)
                waiting.append((_under(place, key), item))
    if problems:
        raise file_error(path, values, problems)


def _key_problems(place: Path, value: dict[str, Any]) -> Iterator[Problem]:
    if isinstance(value, _Doubled):
        key = value.key
        yield Problem((*place, key), "the key is given twice", shown(value[key]), "each key once")
    if not all(map(str.isprintable, value)):
        for key in value:
            if not key.isprintable():
                problem = "the key has a character that cannot be printed"
                yield Problem((*place, key), problem, shown(key), _PLAIN_TEXT)


def _under(place: Path, key: str | int | None) -> Path:
    return place if key is None else (*place, key)


def place_text(values: Any, path: Path) -> str:
    """Return a place as text, tags beside list indices: ``components[3] (AH-7).speed_percent``."""
    text = ""
    for key in path:
        values = _child(values, key)
        if isinstance(key, int):
            text += f"[{key}]" + _label(values)
        else:
            text += "." * bool(text) + shown_text(key)
    return text or "whole file"


def _child(values: Any, key: str | int) -> Any:
    try:
        return values[key]
    except (KeyError, IndexError, TypeError):
        return None


def _label(values: Any) -> str:
    if isinstance(values, dict):
        for key in ("tag", "name", "date"):
            if isinstance(values.get(key), str) and values[key]:
                return f" ({shown_text(values[key])})"
    return ""


def file_error(path: str, values: Any, problems: Sequence[Problem]) -> FileError:
    """Return the refusal that names all problems found in a file's values (the first hundred)."""
    first, *others = [
        FileError(path, place_text(values, found.path), found.problem, found.value, found.accepted)
        for found in problems[:_MOST_NAMED]
    ]
    if len(problems) > _MOST_NAMED:
        more = f"{len(problems) - _MOST_NAMED} more problems"
        others.append(FileError(path, "whole file", more, "", "a file without those above"))
    return FileError(path, first.place, first.problem, first.value, first.accepted, tuple(others))


def text(values: dict[str, Any]) -> bytes:
    """Return values as JSON in UTF-8, one entry of each list on a line.

    Lists of objects directly under the top and under an entry (the readings of a day, the changes
    of a scenario) are broken; everything else stays on its line.
    """
    lines = [f"  {_one_line(key)}: {_value(value)}" for key, value in values.items()]
    return ("{\n" + ",\n".join(lines) + "\n}\n").encode()


def _value(value: Any) -> str:
    if not _is_list_of_objects(value):
        return _one_line(value)
    return "[\n" + ",\n".join("    " + _entry(item) for item in value) + "\n  ]"


def _entry(item: dict[str, Any]) -> str:
    if not any(key in _BROKEN_IN_ENTRIES and _is_list_of_objects(inner) for key, inner in item.items()):
        return _one_line(item)
    parts = []
    for key, inner in item.items():
        if key in _BROKEN_IN_ENTRIES and _is_list_of_objects(inner):
            lines = ",\n".join("      " + _one_line(each) for each in inner)
            parts.append(f"{_one_line(key)}: [\n{lines}\n    ]")
        else:
            parts.append(f"{_one_line(key)}: {_one_line(inner)}")
    return "{" + ", ".join(parts) + "}"


#: Lists inside an entry that grow long enough to be broken: readings of a day, changes of a scenario.
_BROKEN_IN_ENTRIES = frozenset(("readings", "changes"))


def _is_list_of_objects(value: Any) -> bool:
    return isinstance(value, list | tuple) and bool(value) and all(isinstance(item, dict) for item in value)


def _one_line(value: Any) -> str:
    return msgspec.json.format(msgspec.json.encode(value), indent=0).decode()
