# SPDX-License-Identifier: MIT
"""What several verbs need: the vessel of a file, units, a scenario's changes and those typed."""

from __future__ import annotations

import argparse
import re
from collections.abc import Collection
from difflib import get_close_matches
from typing import Literal

import msgspec

from app.command_line.console import UsageError
from app.units import System, UnitError, parse, quantity_of
from solver.change import Change
from solver.errors import EditError
from solver.vessel.design_conditions import DESIGN_CONDITIONS
from solver.vessel.file import read_vessel
from solver.vessel.parts import find
from solver.vessel.quantities import quantities
from solver.vessel.vessel import Vessel

_CHANGE = re.compile(r"(?P<tag>.+)\.(?P<quantity>[A-Za-z_0-9]+)\s*(?P<how>[*+]?)=(?P<value>.*)", re.DOTALL)
_CLOCK = re.compile(r"(\d{1,2}):([0-5]\d)")
_CHANGE_FORM = "TAG.QUANTITY=VALUE is expected, such as P-1.speed_percent=80 or R-31.length_m*=1.15"
_YES_NO = {
    **dict.fromkeys(("on", "yes", "true", "1"), "true"),
    **dict.fromkeys(("off", "no", "false", "0"), "false"),
}
_HOW: dict[str, Literal["set", "scale", "add"]] = {"": "set", "*": "scale", "+": "add"}


def add_file(parser: argparse.ArgumentParser) -> None:
    """Add the vessel file to a verb's words."""
    parser.add_argument("file", metavar="FILE", help="vessel file (.farcabin)")


def add_units(parser: argparse.ArgumentParser) -> None:
    """Add the choice of units to a verb's words."""
    parser.add_argument("--units", choices=("si", "us"), help="units shown (default: the vessel's own)")


def add_changes(parser: argparse.ArgumentParser) -> None:
    """Add scenario and changes to a verb's words."""
    parser.add_argument("--scenario", metavar="NAME", help="apply a scenario of the vessel first")
    parser.add_argument(
        "--change",
        metavar="TAG.QUANTITY=VALUE",
        action="append",
        default=[],
        help="change one quantity of one part; *= scales it, += adds to it; may be given several times",
    )


def add_conditions(parser: argparse.ArgumentParser) -> None:
    """Add the choice of weather to a verb's words."""
    parser.add_argument(
        "--conditions",
        metavar="NAME",
        help="conditions of the vessel, or a set to design by: "
        + ", ".join(conditions.name for conditions in DESIGN_CONDITIONS),
    )


def vessel_of(arguments: argparse.Namespace) -> Vessel:
    """Read the vessel, its units and conditions those asked for: figures and findings then speak the same.

    Raises
    ------
    FileError
        The vessel file was refused.
    UsageError
        It has no such conditions.
    """
    vessel = read_vessel(arguments.file)
    if arguments.units:
        vessel = msgspec.structs.replace(vessel, units=arguments.units)
    return under_conditions(vessel, getattr(arguments, "conditions", None))


def changes_of(vessel: Vessel, arguments: argparse.Namespace) -> tuple[Change, ...]:
    """Return the scenario's changes, then those typed.

    Raises
    ------
    UsageError
        No such scenario, tag or quantity, or a value that cannot be read.
    """
    scenario: tuple[Change, ...] = ()
    if arguments.scenario is not None:
        by_name = {known.name: known.changes for known in vessel.scenarios}
        if arguments.scenario not in by_name:
            raise UsageError(
                f"{vessel.name} has no scenario {arguments.scenario}; "
                f"{known_names(arguments.scenario, by_name)}"
            )
        scenario = by_name[arguments.scenario]
    return (*scenario, *(_change(text, vessel) for text in arguments.change))


def _change(text: str, vessel: Vessel) -> Change:
    found = _CHANGE.fullmatch(text.strip())
    if not found:
        raise UsageError(f"--change {text}: {_CHANGE_FORM}")
    tag, quantity, how = found["tag"].strip(), found["quantity"], _HOW[found["how"]]
    try:
        part = find(vessel, [tag])[tag].part
    except EditError as problem:
        raise UsageError(f"--change {text}: {problem}") from None
    if quantity not in quantities(part):
        raise UsageError(
            f"--change {text}: {tag} has no quantity {quantity}; {known_names(quantity, quantities(part))}"
        )
    try:
        value = _value(found["value"].strip(), quantity, how, getattr(part, quantity), vessel.units)
    except UnitError as problem:
        raise UsageError(f"--change {text}: {problem}") from None
    return Change(tag, quantity, value, how)


def _value(text: str, quantity: str, how: str, present: object, system: System) -> float | str:
    """Read a value as what the quantity is now: a number with any unit of its kind, a choice, on or off."""
    if isinstance(present, bool):
        return _YES_NO.get(text.lower(), text)
    if isinstance(present, str):
        return text if how == "set" else parse(text, "count", system)
    kind = "plain" if how == "scale" else quantity_of(quantity)
    # Degrees added are a difference: no offset.
    return parse(text, "temperature_difference" if (kind, how) == ("temperature", "add") else kind, system)


def known_names(given: str, names: Collection[str]) -> str:
    """Return the names near one that is not known, else the first of all."""
    if not names:
        return "it has none"
    near = get_close_matches(given, names, n=3)
    listed = near or list(names)[:8]
    more = "" if near or len(names) <= 8 else f" and {len(names) - 8} more"
    return f"{'near it' if near else 'there are'}: {', '.join(listed)}{more}"


def under_conditions(vessel: Vessel, name: str | None) -> Vessel:
    """Return the vessel under conditions of a name, its own before the sets to design by.

    Raises
    ------
    UsageError
        No conditions have this name.
    """
    if name is None:
        return vessel
    by_name = {conditions.name: conditions for conditions in (*DESIGN_CONDITIONS, *vessel.conditions)}
    if name not in by_name:
        raise UsageError(f"--conditions {name}: no conditions have this name; {known_names(name, by_name)}")
    return msgspec.structs.replace(vessel, conditions=(by_name[name],), condition=name)


def hour_of(text: str, word: str = "--hour") -> float:
    """Return an hour of the day.

    Raises
    ------
    UsageError
        It cannot be read, or is none of a day.
    """
    clock = _CLOCK.fullmatch(text.strip())
    try:
        hour = int(clock[1]) + int(clock[2]) / 60.0 if clock else float(text.replace(",", "."))
    except ValueError:
        hour = -1.0
    if not 0.0 <= hour <= 24.0:
        raise UsageError(f"{word} {text}: an hour from 0 to 24 is expected, such as 15 or 9:30")
    return hour
