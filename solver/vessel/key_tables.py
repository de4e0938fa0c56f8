# SPDX-License-Identifier: MIT
"""Tables of all keys of the vessel file, for docs/file_format.md.

``python -m solver.vessel.key_tables docs/file_format.md`` renews them there.
"""

from __future__ import annotations

import sys
from pathlib import Path

import msgspec
from msgspec import inspect

from solver.vessel.accepted import accepts, fields_of
from solver.vessel.components import KINDS, Component
from solver.vessel.meanings import meaning
from solver.vessel.schema import structs

_BEGIN = "<!-- keys: made by solver/vessel/key_tables.py -->"
_END = "<!-- end of keys -->"


def key_tables() -> str:
    """Return a Markdown table of keys for every object of the file."""
    common = Component.__struct_fields__
    kinds = KINDS.values()
    parts = []
    for name, kind in structs().items():
        if not issubclass(kind, Component):
            parts.append(_table(_TITLES[name], kind, kind.__struct_fields__, _about(kind)))
            continue
        if kind is next(iter(kinds)):
            parts.append(_table("Every component", kind, common, "Beside `kind`, which says what it is."))
        keys = tuple(key for key in kind.__struct_fields__ if key not in common)
        parts.append(_table(f"`{kind.__struct_config__.tag}`", kind, keys, _about(kind) + _ports(kind)))
    return "\n".join(parts)


_TITLES = {
    "Vessel": "The vessel",
    "LoopLiquid": "`loop_liquid`",
    "Conditions": "One of `conditions`",
    "Deck": "One of `decks`",
    "Cabin": "One of `cabins`",
    "PumpPoint": "One point of a pump's `curve`",
    "DropPoint": "One of `drop_points`",
    "CapacityPoint": "One of `capacity_points`",
    "Run": "One of `runs`",
    "Fitting": "One of a run's `fittings`",
    "Insulation": "A run's `insulation`",
    "ReadingSet": "One of `readings`",
    "Reading": "One reading of a day",
    "Scenario": "One of `scenarios`",
    "Change": "One of a scenario's `changes`",
    "Underlay": "One of `underlays`",
    "Limits": "`limits`",
    "Method": "`method`",
}


def _about(kind: type[msgspec.Struct]) -> str:
    return (kind.__doc__ or "").split("\n")[0].replace("``", "`")


def _ports(kind: type[Component]) -> str:
    if kind.ports is not Component.ports:
        return " Its ports follow `port_count`."
    return " Ports: " + ", ".join(f"`{port}`" for port in kind.PORTS) + "."


def _table(title: str, kind: type[msgspec.Struct], keys: tuple[str, ...], about: str) -> str:
    lines = [f"### {title}", "", about, ""]
    if not keys:
        return "\n".join(lines)
    lines += ["| key | accepted | if left out | meaning |", "|---|---|---|---|"]
    defaults = {field.name: field for field in msgspec.structs.fields(kind)}
    for key in keys:
        left_out = "*refused*" if key == "format" else _default(defaults[key])
        lines.append(f"| `{key}` | {_accepted(fields_of(kind)[key])} | {left_out} | {meaning(kind, key)} |")
    return "\n".join([*lines, ""])


def _accepted(kind: inspect.Type) -> str:
    """Return what is accepted; objects have tables of their own, tags are told of above the tables."""
    match kind:
        case inspect.Metadata(extra_json_schema={"description": str(words)}) if words.startswith("a tag"):
            return "a tag"
        case inspect.VarTupleType(item_type=inspect.StructType() | inspect.UnionType()):
            return "a list of objects" + (f", at least {kind.min_length}" if kind.min_length else "")
        case inspect.StructType():
            return "an object"
        case inspect.UnionType(types=(inspect.StructType(), inspect.NoneType())):
            return "an object or null"
    return accepts(kind)


def _default(field: msgspec.structs.FieldInfo) -> str:
    if field.required:
        return "*refused*"
    value = field.default_factory() if field.default is msgspec.NODEFAULT else field.default
    if isinstance(value, msgspec.Struct):
        return "its defaults"
    text = msgspec.json.format(msgspec.json.encode(value), indent=0).decode()
    return f"`{text}`" if len(text) < 40 else "one set with its defaults"


def renewed(page: str) -> str:
    """Return a page with the tables between its two marks made anew.

    Raises
    ------
    ValueError
        The page does not have the marks.
    """
    before, _ = page.split(_BEGIN)
    _, after = page.split(_END)
    return f"{before}{_BEGIN}\n\n{key_tables()}\n{_END}{after}"


if __name__ == "__main__":
    page = Path(sys.argv[1])
    page.write_text(renewed(page.read_text(encoding="utf-8")), encoding="utf-8")
