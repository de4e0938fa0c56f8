# SPDX-License-Identifier: MIT
"""The parts list: equipment to choose from, as a CSV file that a user can replace.

A row is a kind, a model and cells of ``field=value``; the fields are those of the component in the
vessel file.  ``docs/parts_list.md`` describes the form.  The list that ships is invented.
"""

from __future__ import annotations

import csv
import os
import re
from collections.abc import Iterator, Sequence
from functools import cache
from pathlib import Path
from typing import Any, NamedTuple

import msgspec
from msgspec import inspect

from solver.errors import FileError, PartError
from solver.vessel.accepted import accepts, fields_of, one_of, plain, refusals, shown
from solver.vessel.checks import own_problems
from solver.vessel.components import KINDS, AnyComponent

#: The list that ships.
SHIPPED = Path(__file__).parents[1] / "parts" / "data" / "parts_list.csv"

#: Largest file read [bytes].
LARGEST_FILE = 10_000_000

#: Fields that belong to a place in a vessel and not to a model.
PLACEMENT = ("tag", "at", "turn", "deck", "height_m", "model", "locked", "cabins")

_NUMBER = re.compile(r"[+-]?([0-9]+\.?[0-9]*|\.[0-9]+)([eE][+-]?[0-9]+)?")
_WHOLE = re.compile(r"[+-]?[0-9]{1,15}")
# Only what editors and spreadsheets take for the end of a line.
_LINE_END = re.compile("\r\n|[\r\n]")
_HEADER = ["kind", "model"]
_FIRST_LINE = 'a first line that begins "kind,model", then one part a line, cells separated by commas'


class PartRow(NamedTuple):
    """A model of the list; ``component`` has its fields, and the model's name for a tag."""

    kind: str
    model: str
    line: int
    component: AnyComponent


class PartsList:
    """Equipment by model and by kind.

    Parameters
    ----------
    rows : sequence of PartRow
        In the order of the file; each model once.
    path : str
        The file they come from.
    """

    def __init__(self, rows: Sequence[PartRow], path: str = ""):
        self.rows, self.path = tuple(rows), path
        self._by_model = {row.model: row for row in self.rows}

    def of_kind(self, kind: str) -> tuple[PartRow, ...]:
        """Return the models of a kind, in the order of the file.

        Raises
        ------
        PartError
            If there is no such kind of component.
        """
        if kind not in KINDS:
            raise PartError(f'unknown kind "{kind}"; accepted: {one_of(list(KINDS), kind)}')
        return tuple(row for row in self.rows if row.kind == kind)

    def model(self, model: str) -> PartRow:
        """Return a model by its name.

        Raises
        ------
        PartError
            If it is not in the list; the nearest is named.
        """
        try:
            return self._by_model[model]
        except KeyError:
            accepted = one_of(list(self._by_model), model)
            raise PartError(f'no model "{model}" in {self.path}; accepted: {accepted}') from None

    def make(self, model: str, tag: str, **placement: Any) -> AnyComponent:
        """Return a component of a model.

        Parameters
        ----------
        model : str
            A model of the list.
        tag : str
            The new component's tag.
        **placement
            Where it stands (``at``, ``turn``, ``deck``, ``height_m``), and any other field of its kind,
            which then replaces the model's.

        Raises
        ------
        PartError
            If the model is not in the list, or the tag or a field is not accepted.

        Examples
        --------
        >>> make = read_parts_list().make
        >>> make("Air handler 3.5 kW", "AH-7", at=(120.0, 80.0)).capacity_total_kW
        3.5
        """
        component = self.model(model).component
        fields = fields_of(type(component))
        for name in placement:
            if name not in fields:
                accepted = one_of(list(fields), name)
                raise PartError(f"{tag}: {model} has no field {name}; accepted: {accepted}", (tag,))
        values = {**plain(component), **plain(placement), "tag": tag, "model": model}
        found = list(refusals(inspect.type_info(type(component)), values))
        if not found:
            made = msgspec.convert(values, type(component))
            found = list(own_problems(made))
            if not found:
                return made
        worst = found[0]
        place = ".".join(map(str, worst.path))
        raise PartError(
            f"{tag} ({model}): {place}: {worst.problem}; found {worst.value}; accepted: {worst.accepted}",
            (tag,),
        )


def read_parts_list(path: str | os.PathLike[str] | None = None) -> PartsList:
    """Read a parts list.

    Parameters
    ----------
    path : path, optional
        A CSV file; the list that ships if left out.

    Raises
    ------
    FileError
        The file cannot be read, or something in it is not accepted: says the line, the column, the
        value and what is accepted; further problems follow in its ``others``.
    """
    return _shipped() if path is None else _read(os.fspath(path))


@cache
def _shipped() -> PartsList:
    return _read(str(SHIPPED))


class _Fault(NamedTuple):
    """What is wrong in a row; ``place`` says more about the column."""

    column: int
    place: str
    problem: str
    value: str = ""
    accepted: str = ""

    def error(self, path: str, line: int) -> FileError:
        place = f"line {line}, column {self.column}" + (f" ({self.place})" if self.place else "")
        return FileError(path, place, self.problem, self.value, self.accepted)


def _read(path: str) -> PartsList:
    rows: list[PartRow] = []
    found: list[FileError] = []
    models: dict[str, int] = {}
    for line, cells in _lines(path):
        component, faults = _component(cells)
        if not faults and cells[1] in models:
            problem = f"line {models[cells[1]]} has this model already"
            faults = [_Fault(2, "model", problem, shown(cells[1]), "each model once")]
        if faults or component is None:
            found.extend(fault.error(path, line) for fault in faults)
        else:
            models[cells[1]] = line
            rows.append(PartRow(cells[0], cells[1], line, component))
    if found:
        first = found[0]
        raise FileError(path, first.place, first.problem, first.value, first.accepted, tuple(found[1:]))
    return PartsList(rows, path)


def _lines(path: str) -> Iterator[tuple[int, list[str]]]:
    """Yield the rows below the header with their line numbers, comments and empty ones left out."""
    header = False
    for number, line in enumerate(_LINE_END.split(_text(path)), start=1):
        if line.startswith("#") or not line.strip(" \t,"):
            continue
        try:
            cells = [cell.strip() for cell in next(csv.reader([line], strict=True))]
        except csv.Error as error:
            problem = f"not a row of cells ({error})"
            raise FileError(path, f"line {number}", problem, shown(line), "cells, commas between") from error
        if header:
            yield number, cells
        elif [cell.lower() for cell in cells[:2]] == _HEADER:
            header = True
        else:
            raise FileError(path, f"line {number}", "no header before it", shown(line), _FIRST_LINE)
    if not header:
        raise FileError(path, "whole file", "nothing in it", "", _FIRST_LINE)


def _text(path: str) -> str:
    accepted = "a parts list, a CSV file"
    try:
        if os.path.getsize(path) > LARGEST_FILE:
            raise FileError(path, "whole file", "too large", "", f"up to {LARGEST_FILE / 1e6:.0f} MB")
        content = Path(path).read_bytes()
    except OSError as error:
        raise FileError(path, "file name", f"cannot be read: {error.strerror}", "", accepted) from error
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = content[: error.start].count(b"\n") + 1
        raise FileError(path, f"line {line}", "not UTF-8 text", "", f"{accepted} saved as UTF-8") from error


def _component(cells: Sequence[str]) -> tuple[AnyComponent | None, list[_Fault]]:
    """Return the component a row stands for, or what is wrong with the row."""
    kind, model = cells[0], cells[1] if len(cells) > 1 else ""
    if kind not in KINDS:
        return None, [_Fault(1, "kind", "unknown kind", shown(kind), one_of(list(KINDS), kind))]
    if not model:
        return None, [_Fault(2, "model", "the model has no name", "", "a name")]
    struct = KINDS[kind]
    if named := next(refusals(fields_of(struct)["model"], model), None):
        return None, [_Fault(2, "model", named.problem, named.value, named.accepted)]
    types = {name: type_ for name, type_ in fields_of(struct).items() if name not in PLACEMENT}
    values, columns, faults = _fields(kind, types, cells)
    for field in msgspec.structs.fields(struct):
        if field.required and field.name in types and field.name not in columns:
            wanted = f"{field.name}={_in_words(types[field.name])}"
            faults.append(_Fault(len(cells) + 1, field.name, "missing", "", wanted))
    if faults:
        return None, faults
    component: AnyComponent = msgspec.convert({"kind": kind, "tag": "model", **values}, AnyComponent)
    for found in own_problems(component):
        name = str(found.path[0])
        column = columns.get(name, len(cells))
        faults.append(_Fault(column, _place(found.path), found.problem, found.value, found.accepted))
    return component, faults


def _fields(
    kind: str, types: dict[str, inspect.Type], cells: Sequence[str]
) -> tuple[dict[str, Any], dict[str, int], list[_Fault]]:
    """Return field -> value, field -> column, and what is wrong with the cells."""
    values: dict[str, Any] = {}
    columns: dict[str, int] = {}
    faults: list[_Fault] = []
    for column, cell in enumerate(cells[2:], start=3):
        if not cell:
            continue
        name, equals, text = (part.strip() for part in cell.partition("="))
        if not equals:
            faults.append(_Fault(column, "", "not a field and its value", shown(cell), "field=value"))
        elif name not in types:
            accepted = one_of(list(types), name)
            faults.append(_Fault(column, "", f"{kind} has no such field", shown(name), accepted))
        elif name in columns:
            problem = f"given already in column {columns[name]}"
            faults.append(_Fault(column, name, problem, shown(text), "each field once"))
        else:
            columns[name] = column
            try:
                values[name] = _value(types[name], text)
            except ValueError as error:
                faults.append(_Fault(column, name, str(error), shown(text), _in_words(types[name])))
                continue
            for found in refusals(types[name], values[name], (name,)):
                value = found.value or shown(text)
                # What may be null in the vessel file is left out here.
                accepted = found.accepted.removesuffix(" or null")
                faults.append(_Fault(column, _place(found.path), found.problem, value, accepted))
    return values, columns, faults


def _value(kind: inspect.Type, text: str) -> Any:
    """Return a cell's text as JSON would have the value; ValueError says what is wrong with it."""
    match kind:
        case inspect.Metadata():
            return _value(kind.type, text)
        case inspect.UnionType():
            return _value(_given(kind), text)
        case inspect.StrType():
            return text
        case inspect.BoolType():
            if text.lower() in ("true", "false"):
                return text.lower() == "true"
            raise ValueError("neither true nor false")
        case inspect.LiteralType():
            for choice in kind.values:
                if str(choice) == text:
                    return choice
            raise ValueError("unknown choice")
        case inspect.VarTupleType():
            return [_item(kind.item_type, part.strip()) for part in text.split(";") if part.strip()]
    if not text:
        raise ValueError("the value is missing")
    return _number(text, "not a number")


def _item(kind: inspect.Type, text: str) -> Any:
    """Return one point of a curve or table: its numbers in the order of the fields."""
    names = [field.name for field in _point(kind).fields]
    numbers = [part.strip() for part in text.split(":")]
    if len(numbers) > len(names):
        raise ValueError(f"{shown(text)} has more numbers than a point")
    given = {
        name: _number(number, f"{shown(number)} is not a number")
        for name, number in zip(names, numbers, strict=False)
        if number
    }
    return given if isinstance(kind, inspect.StructType) else list(given.values())


def _number(text: str, problem: str) -> float:
    """Return a number as JSON would have it: a whole number stays one."""
    if not _NUMBER.fullmatch(text):
        raise ValueError(problem)
    return int(text) if _WHOLE.fullmatch(text) else float(text)


def _point(kind: inspect.Type) -> inspect.StructType | inspect.NamedTupleType:
    assert isinstance(kind, inspect.StructType | inspect.NamedTupleType)
    return kind


def _given(kind: inspect.UnionType) -> inspect.Type:
    return next(choice for choice in kind.types if not isinstance(choice, inspect.NoneType))


def _in_words(kind: inspect.Type) -> str:
    """Return what a cell may hold, as it is written in this file."""
    if isinstance(kind, inspect.Metadata):
        return _in_words(kind.type) if isinstance(kind.type, inspect.VarTupleType) else accepts(kind)
    if isinstance(kind, inspect.UnionType):
        return _in_words(_given(kind))
    if isinstance(kind, inspect.VarTupleType):
        numbers = ":".join(field.name for field in _point(kind.item_type).fields)
        return f"at least {kind.min_length or 1} points of {numbers}, semicolons between"
    return accepts(kind)


def _place(path: Sequence[str | int]) -> str:
    """Return the place in a cell: the field, the point, and which of its numbers."""
    words = [str(path[0])]
    if len(path) > 1:
        words.append(f"point {int(path[1]) + 1}")
    if len(path) > 2:
        words.append(str(path[2]) if isinstance(path[2], str) else f"number {path[2] + 1}")
    return ", ".join(words)
