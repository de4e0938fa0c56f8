# SPDX-License-Identifier: MIT
"""Edits of what has a name and no tag: decks, spaces, conditions and scenarios."""

from __future__ import annotations

from typing import Any

import msgspec

from solver.errors import EditError
from solver.vessel.accepted import one_of, shown
from solver.vessel.cabin import Cabin
from solver.vessel.checks import day_problems, scenario_problems, space_name_problems
from solver.vessel.parts import checked, edit_error, with_lists
from solver.vessel.run import Run
from solver.vessel.spaces import USUAL_SPACES, Space, plain_name
from solver.vessel.takeoff import measured
from solver.vessel.vessel import Conditions, Deck, Scenario, Vessel


def add_deck(vessel: Vessel, deck: Deck) -> Vessel:
    """Return the vessel with a deck added; ``EditError`` if its name is empty or taken."""
    return measured(_with_named(vessel, "decks", "deck", None, deck))


def set_deck(vessel: Vessel, name: str, deck: Deck) -> Vessel:
    """Return the vessel with a deck changed; parts on it follow its name, lengths its height and scale.

    Raises
    ------
    EditError
        There is no deck of that name, or the new name is empty or taken.
    """
    vessel = _with_named(vessel, "decks", "deck", name, deck)
    if deck.name == name:
        return measured(vessel)
    lists = {
        key: [_on_deck(item, name, deck.name) for item in getattr(vessel, key)]
        for key in ("components", "cabins", "underlays")
    }
    return measured(with_lists(vessel, lists))


def remove_deck(vessel: Vessel, name: str) -> Vessel:
    """Return the vessel without a deck.

    Raises
    ------
    EditError
        There is no deck of that name, or parts are on it.
    """
    on_it = [part.tag for part in (*vessel.components, *vessel.cabins) if part.deck == name]
    if on_it:
        some = ", ".join(on_it[:3]) + (" ..." if len(on_it) > 3 else "")
        raise EditError(f"{len(on_it)} parts are on deck {name} ({some}); move them first", tuple(on_it))
    if any(underlay.deck == name for underlay in vessel.underlays):
        raise EditError(f"deck {name} has an underlay; remove it first")
    return _without_named(vessel, "decks", "deck", name)


def add_space(vessel: Vessel, space: Space) -> Vessel:
    """Return the vessel with a space added; raises ``EditError`` as ``set_space`` does."""
    return _with_sound_spaces(_with_named(vessel, "spaces", "space", None, space))


def set_space(vessel: Vessel, name: str, space: Space) -> Vessel:
    """Return the vessel with a space changed; surfaces and runs that name it follow its name.

    Raises
    ------
    EditError
        There is no space of that name, or the new name is empty, taken or that of the weather.
    """
    vessel = _with_sound_spaces(_with_named(vessel, "spaces", "space", name, space))
    if space.name == name:
        return vessel
    return with_lists(
        vessel,
        {
            "cabins": [_with_other_side_renamed(cabin, name, space.name) for cabin in vessel.cabins],
            "runs": [_in_space(run, name, space.name) for run in vessel.runs],
        },
    )


def remove_space(vessel: Vessel, name: str) -> Vessel:
    """Return the vessel without a space.

    Raises
    ------
    EditError
        There is no space of that name, or surfaces name it and no usual space has its name.
    """
    without = _without_named(vessel, "spaces", "space", name)
    if plain_name(name) in USUAL_SPACES:
        return without
    beside = [
        cabin.tag
        for cabin in vessel.cabins
        if any(plain_name(surface.other_side) == plain_name(name) for surface in cabin.surfaces)
    ]
    if beside:
        some = ", ".join(beside[:3]) + (" ..." if len(beside) > 3 else "")
        raise EditError(
            f"{len(beside)} cabins have space {name} beyond a surface ({some}); change them first",
            tuple(beside),
        )
    return without


def add_conditions(vessel: Vessel, conditions: Conditions) -> Vessel:
    """Return the vessel with conditions added; raises ``EditError`` as ``set_conditions`` does."""
    return _with_sound_days(_with_named(vessel, "conditions", "conditions", None, conditions))


def set_conditions(vessel: Vessel, name: str, conditions: Conditions) -> Vessel:
    """Return the vessel with conditions changed; they stay current under their new name.

    Raises
    ------
    EditError
        There are no conditions of that name, the new name is empty or taken, or their month has no such day.
    """
    vessel = _with_sound_days(_with_named(vessel, "conditions", "conditions", name, conditions))
    if vessel.condition == name != conditions.name:
        return msgspec.structs.replace(vessel, condition=conditions.name)
    return vessel


def remove_conditions(vessel: Vessel, name: str) -> Vessel:
    """Return the vessel without some conditions; if they were current, the first are.

    Raises
    ------
    EditError
        There are no conditions of that name, or they are the last.
    """
    if len(vessel.conditions) == 1 and vessel.conditions[0].name == name:
        raise EditError(f"{name} are the only conditions; a vessel has at least one set")
    vessel = _without_named(vessel, "conditions", "conditions", name)
    return msgspec.structs.replace(vessel, condition="") if vessel.condition == name else vessel


def add_scenario(vessel: Vessel, scenario: Scenario) -> Vessel:
    """Return the vessel with a scenario added.

    Raises
    ------
    EditError
        Its name is empty or taken, or a change names a part or quantity that is not there.
    """
    return _with_sound_scenarios(_with_named(vessel, "scenarios", "scenario", None, scenario))


def set_scenario(vessel: Vessel, name: str, scenario: Scenario) -> Vessel:
    """Return the vessel with a scenario changed; raises ``EditError`` as ``add_scenario`` does."""
    return _with_sound_scenarios(_with_named(vessel, "scenarios", "scenario", name, scenario))


def remove_scenario(vessel: Vessel, name: str) -> Vessel:
    """Return the vessel without a scenario; ``EditError`` if there is none of that name."""
    return _without_named(vessel, "scenarios", "scenario", name)


def _with_sound_spaces(vessel: Vessel) -> Vessel:
    for problem in space_name_problems(vessel):
        raise edit_error(problem, "the vessel")
    return vessel


def _with_sound_days(vessel: Vessel) -> Vessel:
    for problem in day_problems(vessel):
        raise edit_error(problem, "the vessel")
    return vessel


def _with_sound_scenarios(vessel: Vessel) -> Vessel:
    for problem in scenario_problems(vessel):
        raise edit_error(problem, "the vessel")
    return vessel


def _with_named(vessel: Vessel, key: str, noun: str, name: str | None, item: Any) -> Vessel:
    """Put an item in place of the one called ``name``, or at the end."""
    item = checked(item, f"{noun} {shown(item.name)}", ())
    items = list(getattr(vessel, key))
    index = len(items) if name is None else _index(items, noun, name)
    if not item.name:
        raise EditError(f"a {noun} needs a name")
    if any(other.name == item.name for other in items[:index] + items[index + 1 :]):
        raise EditError(f"the name {shown(item.name)} is taken; each {noun} has its own")
    items[index : index + 1] = [item]
    return with_lists(vessel, {key: items})


def _without_named(vessel: Vessel, key: str, noun: str, name: str) -> Vessel:
    items = list(getattr(vessel, key))
    del items[_index(items, noun, name)]
    return with_lists(vessel, {key: items})


def _index(items: list[Any], noun: str, name: str) -> int:
    names = [item.name for item in items]
    if name not in names:
        accepted = one_of(names, name) if names else "none, since there are none"
        raise EditError(f"no {noun} is called {shown(name)}; accepted: {accepted}")
    return names.index(name)


def _on_deck(item: Any, old: str, new: str) -> Any:
    return msgspec.structs.replace(item, deck=new) if item.deck == old else item


def _in_space(run: Run, old: str, new: str) -> Run:
    if plain_name(run.surroundings) != plain_name(old):
        return run
    return msgspec.structs.replace(run, surroundings=new)


def _with_other_side_renamed(cabin: Cabin, old: str, new: str) -> Cabin:
    wanted = plain_name(old)
    if all(plain_name(surface.other_side) != wanted for surface in cabin.surfaces):
        return cabin
    surfaces = tuple(
        msgspec.structs.replace(surface, other_side=new)
        if plain_name(surface.other_side) == wanted
        else surface
        for surface in cabin.surfaces
    )
    return msgspec.structs.replace(cabin, surfaces=surfaces)
