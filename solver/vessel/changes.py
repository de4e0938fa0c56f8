# SPDX-License-Identifier: MIT
"""Changes on a vessel, and the difference between two vessels.

``apply`` makes what sliders, scenarios and studies ask for.  ``difference`` tells the views and the
solver what an edit, an undo or a change touched, and of what kind it is.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any, Literal, TypeAlias

import msgspec
from msgspec import inspect

from solver.change import Change
from solver.errors import EditError, PartError
from solver.parts.pipe_sizes import next_size
from solver.vessel.accepted import fields_of, one_of, shown
from solver.vessel.checks import own_problems
from solver.vessel.parts import Part, edit_error, find, replaced, with_values
from solver.vessel.quantities import quantities, without_null
from solver.vessel.run import Run
from solver.vessel.vessel import Vessel

__all__ = ["Difference", "Kind", "PartsDifference", "apply", "difference", "quantities"]

Kind: TypeAlias = Literal["layout", "hydraulic", "heat", "text"]

#: What a field is about; a field that is not named here is about the hydraulics.
_KINDS: dict[str, frozenset[Kind]] = {
    **dict.fromkeys(
        ("at", "turn", "bends", "routed", "locked", "outline", "underlays"), frozenset({"layout"})
    ),
    **dict.fromkeys(
        ("name", "notes", "model", "units", "readings", "scenarios", "parts_list", "fittings_known"),
        frozenset({"text"}),
    ),
    **dict.fromkeys(
        (
            "insulation",
            "surroundings",
            "surroundings_temp_C",
            "set_point_C",
            "cabins",
            "spaces",
            "rh_percent",
            "floor_area_m2",
            "ceiling_m",
            "surfaces",
            "people",
            "activity",
            "lights_W",
            "equipment_W",
            "equipment_latent_W",
            "outdoor_air_L_s",
            "load_sensible_W",
            "load_latent_W",
            "capacity_kW",
            "capacity_total_kW",
            "capacity_sensible_kW",
        ),
        frozenset({"heat"}),
    ),
    # The sea's temperature and salt are those of the sea-water circuit.
    **dict.fromkeys(("conditions", "condition", "loop_liquid"), frozenset({"hydraulic", "heat"})),
}
_HYDRAULIC: frozenset[Kind] = frozenset({"hydraulic"})
_NEW_OR_GONE: dict[str, frozenset[Kind]] = {
    "components": frozenset({"layout", "hydraulic", "heat"}),
    "runs": frozenset({"layout", "hydraulic", "heat"}),
    "cabins": frozenset({"layout", "heat"}),
}
_YES_NO = {0.0: False, 1.0: True, "false": False, "true": True}


def apply(vessel: Vessel, changes: Iterable[Change]) -> Vessel:
    """Return the vessel with changes made, one after the other.

    Parameters
    ----------
    vessel : Vessel
        Left as it is.
    changes : iterable of Change
        ``quantity`` is a field of the component, run or cabin (``quantities`` lists them).  A yes or
        no is set by 1 or 0, ``"true"`` or ``"false"``; a choice by its name; ``size`` also by
        ``how="add"`` with a number of steps up (or down) its series.  Series and size may change
        together, in either order.

    Raises
    ------
    EditError
        An unknown tag or quantity, or a value that the quantity does not accept.

    Examples
    --------
    >>> from solver.vessel.components import Strainer
    >>> vessel = Vessel(name="Tern", components=(Strainer(tag="STR-1", kv_m3_h=20.0),))
    >>> apply(vessel, [Change("STR-1", "clogging_percent", 60.0)]).components[0].clogging_percent
    60.0
    """
    changes = tuple(changes)
    found = find(vessel, (change.tag for change in changes))
    new: dict[str, Part] = {}
    for change in changes:
        part = new.get(change.tag) or found[change.tag].part
        value = _new_value(part, change)
        new[change.tag] = with_values(part, {change.quantity: value}, change.tag, (change.tag,))
    for part in new.values():
        for problem in own_problems(part):
            raise edit_error(problem, part.tag)
    return replaced(vessel, ((found[tag], part) for tag, part in new.items()))


def _new_value(part: Part, change: Change) -> object:
    tags, quantity = (change.tag,), change.quantity
    if quantity not in quantities(part):
        known = one_of(quantities(part), quantity)
        raise EditError(f"{change.tag} has no quantity {shown(quantity)}; accepted: {known}", tags)
    old = getattr(part, quantity)
    known_type = without_null(fields_of(type(part))[quantity])
    is_number = isinstance(known_type, inspect.FloatType | inspect.IntType)
    if isinstance(part, Run) and quantity == "size" and change.how == "add":
        return _stepped_size(part, change)
    if change.how != "set" and not is_number:
        raise EditError(f"{quantity} of {change.tag} is no number; it can be set only", tags)
    if isinstance(known_type, inspect.BoolType):
        if change.value not in _YES_NO:
            found = shown(change.value)
            raise EditError(
                f"{quantity} of {change.tag}: found {found}; accepted: true (1) or false (0)", tags
            )
        return _YES_NO[change.value]
    if not is_number:
        return change.value
    if isinstance(change.value, str):
        raise EditError(f"{quantity} of {change.tag}: found {shown(change.value)}; accepted: a number", tags)
    if change.how != "set" and old is None:
        what = "scale" if change.how == "scale" else "add to"
        raise EditError(f"{quantity} of {change.tag} is not given, so there is nothing to {what}", tags)
    return change.applied_to(0.0 if old is None else old)


def _stepped_size(run: Run, change: Change) -> str:
    tags = (run.tag,)
    if isinstance(change.value, str) or not float(change.value).is_integer():
        raise EditError(
            f"size of {run.tag}: found {shown(change.value)}; accepted: a whole number of steps", tags
        )
    try:
        return next_size(run.series, run.size, round(change.value)).size
    except PartError as error:
        raise EditError(f"size of {run.tag}: {error}", tags) from error


class PartsDifference(msgspec.Struct, frozen=True):
    """Tags of parts that came, went or changed, in the order they stand in their vessel."""

    added: tuple[str, ...] = ()
    removed: tuple[str, ...] = ()
    changed: tuple[str, ...] = ()


class Difference(msgspec.Struct, frozen=True):
    """What differs between two vessels.

    ``fields`` names the vessel's own fields that changed (``limits``, ``loop_liquid``...); ``kinds``
    says what it is all about.  No kinds: the two are equal.
    """

    components: PartsDifference
    runs: PartsDifference
    cabins: PartsDifference
    fields: tuple[str, ...]
    kinds: frozenset[Kind]


def difference(old: Vessel, new: Vessel) -> Difference:
    """Return what differs between two vessels; quick where they share their parts."""
    kinds: set[Kind] = set()
    parts: dict[str, PartsDifference] = {}
    for key in _NEW_OR_GONE:
        parts[key] = _parts_difference(key, getattr(old, key), getattr(new, key), kinds)
    fields = tuple(name for name in _changed_fields(old, new) if name not in parts)
    for name in fields:
        kinds |= _kinds_of(name)
    return Difference(**parts, fields=fields, kinds=frozenset(kinds))


def _parts_difference(
    key: str, old: tuple[Part, ...], new: tuple[Part, ...], kinds: set[Kind]
) -> PartsDifference:
    if old is new:
        return PartsDifference()
    start, end = _shared_ends(old, new)
    before = {part.tag: part for part in old[start : len(old) - end]}
    after = {part.tag: part for part in new[start : len(new) - end]}
    added, changed = [], []
    for tag, part in after.items():
        was = before.get(tag)
        if was is part:
            continue
        if was is None:
            added.append(tag)
        elif was != part:
            changed.append(tag)
            kinds |= _kinds_of_change(key, was, part)
    removed = [tag for tag in before if tag not in after]
    if added or removed:
        kinds |= _NEW_OR_GONE[key]
    return PartsDifference(tuple(added), tuple(removed), tuple(changed))


def _shared_ends(old: tuple[Any, ...], new: tuple[Any, ...]) -> tuple[int, int]:
    """Return how many items the two share at their start and at their end."""
    shortest = min(len(old), len(new))
    start = next((i for i, (a, b) in enumerate(zip(old, new, strict=False)) if a is not b), shortest)
    pairs = zip(reversed(old[start:]), reversed(new[start:]), strict=False)
    end = next((i for i, (a, b) in enumerate(pairs) if a is not b), shortest - start)
    return start, end


def _kinds_of_change(key: str, old: Part, new: Part) -> set[Kind] | frozenset[Kind]:
    if type(old) is not type(new):
        return _NEW_OR_GONE[key]
    kinds: set[Kind] = set()
    for name in _changed_fields(old, new):
        kinds |= _kinds_of(name)
    return kinds


def _changed_fields(old: msgspec.Struct, new: msgspec.Struct) -> list[str]:
    return [name for name in old.__struct_fields__ if _differs(getattr(old, name), getattr(new, name))]


def _differs(old: object, new: object) -> bool:
    return old is not new and old != new


def _kinds_of(field: str) -> frozenset[Kind]:
    return _KINDS.get(field, _HYDRAULIC)
