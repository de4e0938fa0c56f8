# SPDX-License-Identifier: MIT
"""Which fields a struct of the document has, read from the struct itself.

A field carries its name on screen, its quantity (from the unit in its key), the range it accepts and
its default, so that a new field of a struct appears in the property sheet by itself.
"""

from __future__ import annotations

import dataclasses
from dataclasses import dataclass
from functools import cache
from typing import Any, Literal

import msgspec
from msgspec import inspect

from app.panels.words import field_name
from app.units import quantity_of
from solver.vessel.fields import SMALLEST

FieldKind = Literal[
    "number", "whole", "text", "long_text", "choice", "check", "points", "names", "numbers", "part", "other"
]

#: Fields that drive the drawing, not the loop; the canvas changes them.
_DRAWN = frozenset({"tag", "at", "bends", "routed", "outline", "start", "end", "turn"})
_LONG_TEXT = frozenset({"notes"})


@dataclass(frozen=True)
class Field:
    """One field of a struct.

    Parameters
    ----------
    key : str
        The struct's field name, dotted for a field of an optional part (``insulation.thickness_mm``).
    kind : str
        What edits it.
    quantity : str
        What the number is, as ``app.units`` knows it; empty if it is none.
    low, high : float or None
        Range, in the unit of the key.
    low_open, high_open : bool
        Whether the end of the range itself is refused.
    optional : bool
        Whether it may be empty.
    choices : tuple
        Values of a choice.
    columns : tuple of Field
        Fields of a row of points.
    item : type or None
        Struct of a row of points, or of an optional part.
    least_rows : int
        Rows that points need.
    default : object
        Value of a new one; ``msgspec.NODEFAULT`` if it must be given.
    """

    key: str
    kind: FieldKind
    quantity: str = ""
    low: float | None = None
    high: float | None = None
    low_open: bool = False
    high_open: bool = False
    optional: bool = False
    choices: tuple[object, ...] = ()
    columns: tuple[Field, ...] = ()
    item: type | None = None
    least_rows: int = 0
    default: object = msgspec.NODEFAULT

    @property
    def label(self) -> str:
        """Name on screen."""
        return field_name(self.key)

    def get(self, struct: object) -> Any:
        """Return the field's value in a struct; None where the part it belongs to is missing."""
        value: Any = struct
        for name in self.key.split("."):
            if value is None:
                return None
            value = getattr(value, name)
        return value


@cache
def fields_of(struct: type) -> tuple[Field, ...]:
    """Return the fields of a struct that a sheet can show, in their order."""
    found: list[Field] = []
    info = inspect.type_info(struct)
    if not isinstance(info, inspect.StructType | inspect.NamedTupleType):
        raise TypeError(f"{struct} is not a struct")
    for entry in info.fields:
        if entry.name not in _DRAWN:
            found.extend(_fields_from(entry.name, entry.type, _default(entry)))
    return tuple(found)


def _default(entry: inspect.Field) -> object:
    if entry.default_factory is not msgspec.NODEFAULT:
        return entry.default_factory()
    return entry.default


def _fields_from(key: str, kind: inspect.Type, default: object) -> list[Field]:
    optional = False
    if isinstance(kind, inspect.Metadata):
        kind = kind.type
    if isinstance(kind, inspect.UnionType):
        others = [each for each in kind.types if not isinstance(each, inspect.NoneType)]
        optional = len(others) < len(kind.types)
        kind = others[0]
        if isinstance(kind, inspect.Metadata):
            kind = kind.type
    if isinstance(kind, inspect.StructType) and optional:
        inner = [
            each
            for entry in kind.fields
            for each in _fields_from(f"{key}.{entry.name}", entry.type, _default(entry))
        ]
        return [Field(key, "part", item=kind.cls, optional=True, default=default), *inner]
    field = _field_from(key, kind, default, optional)
    return [] if field.kind == "other" else [field]


def _field_from(key: str, kind: inspect.Type, default: object, optional: bool) -> Field:
    if isinstance(kind, inspect.BoolType):
        return Field(key, "check", default=default)
    if isinstance(kind, inspect.LiteralType):
        return Field(key, "choice", choices=tuple(kind.values), default=default)
    if isinstance(kind, inspect.StrType):
        name = key.rpartition(".")[2]
        return Field(
            key, "long_text" if name in _LONG_TEXT else "text", default=default, optional=not kind.min_length
        )
    if isinstance(kind, inspect.IntType | inspect.FloatType):
        whole = isinstance(kind, inspect.IntType)
        # The least positive number stands for "above 0", which is how a person is told.
        above_0 = kind.ge == SMALLEST or kind.gt == 0
        return Field(
            key,
            "whole" if whole else "number",
            quantity="count" if whole else quantity_of(key.rpartition(".")[2]),
            low=0 if above_0 else kind.gt if kind.gt is not None else kind.ge,
            high=kind.lt if kind.lt is not None else kind.le,
            low_open=above_0 or kind.gt is not None,
            high_open=kind.lt is not None,
            optional=optional,
            default=default,
        )
    if isinstance(kind, inspect.VarTupleType):
        if isinstance(kind.item_type, inspect.StructType | inspect.NamedTupleType):
            item = kind.item_type.cls
            return Field(
                key,
                "points",
                columns=fields_of(item),
                item=item,
                least_rows=kind.min_length or 0,
                default=default,
            )
        if isinstance(kind.item_type, inspect.StrType):
            return Field(key, "names", default=default)
        item_type = kind.item_type
        if isinstance(item_type, inspect.FloatType):
            one = _field_from(key, item_type, default, False)
            return dataclasses.replace(one, kind="numbers", least_rows=kind.min_length or 0)
    return Field(key, "other")
