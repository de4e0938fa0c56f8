# SPDX-License-Identifier: MIT
"""What changed between two vessels, and what followed for every air handler, in words."""

from __future__ import annotations

from typing import NamedTuple

import msgspec

from app.overlay.difference import Comparison, change_of, shares_in_words, signed_share
from app.panels.natural import natural_key
from app.panels.words import choice_name, field_name
from app.translation import tr
from app.units import NONE_TEXT, System, number, quantity_of, show
from solver.vessel.changes import PartsDifference, difference
from solver.vessel.vessel import Vessel

#: Longest text of a value that is written out.
_LONGEST = 40


class Followed(NamedTuple):
    """What followed for one air handler, as shown."""

    tag: str
    before: str
    after: str
    change: str
    shares: str
    cabins: str


def changes_in_words(old: Vessel, new: Vessel, units: System) -> tuple[tuple[str, str], ...]:
    """Return what changed, part by part: its tag (empty for the vessel) and the change in words.

    Places on the drawing are left out: they change no figure.
    """
    found = difference(old, new)
    lines: list[tuple[str, str]] = []
    for key in ("components", "runs", "cabins"):
        parts: PartsDifference = getattr(found, key)
        before = {part.tag: part for part in getattr(old, key)}
        after = {part.tag: part for part in getattr(new, key)}
        lines += ((tag, tr("added")) for tag in parts.added)
        lines += ((tag, tr("removed")) for tag in parts.removed)
        for tag in parts.changed:
            lines += ((tag, words) for words in _fields_in_words(before[tag], after[tag], units))
    lines += (
        ("", tr("{0} changed").format(field_name(name))) for name in found.fields if name != "scenarios"
    )
    return tuple(lines)


def followed(comparison: Comparison, units: System) -> tuple[Followed, ...]:
    """Return flow before and after of every air handler in either state."""
    before, after = comparison.before.air_handlers, comparison.after.air_handlers
    rows = []
    for tag in sorted({*after, *before}, key=natural_key):
        was, now = before.get(tag), after.get(tag)
        change = None if was is None or now is None else change_of(was.flow_L_s, now.flow_L_s)
        rows.append(
            Followed(
                tag,
                NONE_TEXT if was is None else show(was.flow_L_s, "flow", units),
                NONE_TEXT if now is None else show(now.flow_L_s, "flow", units),
                NONE_TEXT if change is None else signed_share(change),
                shares_in_words(comparison, tag, units),
                _cabins_in_words(comparison, tag, units),
            )
        )
    return tuple(rows)


def _cabins_in_words(comparison: Comparison, tag: str, units: System) -> str:
    """Return the temperature of an air handler's cabins before and after, such as ``24.3 → 23.0 °C``."""
    found = []
    for results in (comparison.before, comparison.after):
        cabins = {} if results.heat is None else results.heat.cabins
        found.append({each: cabin.temp_C for each, cabin in cabins.items() if tag in cabin.air_handlers})
    was, now = found
    texts = [
        f"{number(was.get(each), 'temperature', units)} → {show(now.get(each), 'temperature', units)}"
        for each in sorted({*was, *now}, key=natural_key)
    ]
    return ", ".join(texts) or NONE_TEXT


def _fields_in_words(old: msgspec.Struct, new: msgspec.Struct, units: System) -> list[str]:
    if type(old) is not type(new):
        return [tr("is another kind of part")]
    words = []
    for name in old.__struct_fields__:
        was, now = getattr(old, name), getattr(new, name)
        if was == now or name in ("at", "bends", "turn", "outline", "routed"):
            continue
        texts = _value(name, was, units), _value(name, now, units)
        label = field_name(name).lower()
        if None in texts:
            words.append(tr("{0} changed").format(label))
        else:
            words.append(f"{label} {texts[0]} → {texts[1]}")
    return words


def _value(name: str, value: object, units: System) -> str | None:
    """Return a value as text; None if it is too much to write out."""
    if value is None:
        return NONE_TEXT
    if isinstance(value, bool):
        return tr("yes") if value else tr("no")
    if isinstance(value, int | float):
        quantity = quantity_of(name)
        return f"{value:g}" if quantity == "plain" else show(float(value), quantity, units)
    if isinstance(value, str) and len(value) <= _LONGEST:
        return choice_name(value) if value else NONE_TEXT
    return None
