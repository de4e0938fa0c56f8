# SPDX-License-Identifier: MIT
"""The published JSON Schema of the vessel file.

It is made from the structs that read the file, so it cannot fall behind them.  What one key says
about another (tags, ports, sizes) is beyond a schema and checked by the reader.
"""

from __future__ import annotations

import inspect
from functools import cache
from typing import Any

import msgspec

from solver.vessel.accepted import LARGEST_NUMBER
from solver.vessel.meanings import meaning
from solver.vessel.vessel import FORMAT, Vessel

_DRAFT = "https://json-schema.org/draft/2020-12/schema"


def schema() -> dict[str, Any]:
    """Return the JSON Schema (draft 2020-12) of a vessel file in the present format."""
    made = msgspec.json.schema(Vessel)
    definitions = {name: _described(name, entry) for name, entry in sorted(made["$defs"].items())}
    vessel = definitions["Vessel"]
    vessel["properties"]["format"] = {"const": FORMAT, "description": meaning(Vessel, "format")}
    vessel["required"] = ["format", *vessel["required"]]
    return {
        "$schema": _DRAFT,
        "title": f"Farcabin vessel, format {FORMAT}",
        "description": "A boat's chilled-water loop. Keys carry their unit. Beyond this schema, tags are "
        "unique, and what names a part, port, deck, pipe size or fitting names one that is there.",
        "$ref": made["$ref"],
        "$defs": definitions,
    }


def _described(name: str, entry: dict[str, Any]) -> dict[str, Any]:
    kind = structs().get(name)
    entry = _bounded(entry)
    if kind is None:
        return entry
    entry["description"] = inspect.cleandoc(kind.__doc__ or "").split("\n\n")[0].replace("``", "")
    for key, known in entry.get("properties", {}).items():
        if key == kind.__struct_config__.tag_field:
            known["description"] = "What kind of component this is."
        else:
            known["description"] = meaning(kind, key)
    return entry


def _bounded(entry: Any) -> Any:
    """Copy a schema with the bounds that every number of the file has."""
    if isinstance(entry, list | tuple):
        return [_bounded(item) for item in entry]
    if not isinstance(entry, dict):
        return entry
    copy = {key: _bounded(item) for key, item in entry.items()}
    if copy.get("type") == "number":
        if "maximum" not in copy:
            copy["maximum"] = LARGEST_NUMBER
        if "minimum" not in copy and "exclusiveMinimum" not in copy:
            copy["minimum"] = -LARGEST_NUMBER
    return copy


@cache
def structs() -> dict[str, type[msgspec.Struct]]:
    """Return the structs a file is made of by name, each before what is inside it."""
    found: dict[str, type[msgspec.Struct]] = {}
    _collect(msgspec.inspect.type_info(Vessel), found)
    return found


def _collect(kind: msgspec.inspect.Type, found: dict[str, type[msgspec.Struct]]) -> None:
    match kind:
        case msgspec.inspect.StructType():
            if kind.cls.__name__ not in found:
                found[kind.cls.__name__] = kind.cls
                for field in kind.fields:
                    _collect(field.type, found)
        case msgspec.inspect.VarTupleType():
            _collect(kind.item_type, found)
        case msgspec.inspect.UnionType():
            for choice in kind.types:
                _collect(choice, found)
