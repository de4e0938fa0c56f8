# SPDX-License-Identifier: MIT
"""Print what warms each cabin, at an hour or through a day, and the load of them all together.

farcabin cabins boat.farcabin
farcabin cabins boat.farcabin --hour 9:30 --cabin C-9
farcabin cabins boat.farcabin --day --conditions "Gulf summer"
farcabin cabins boat.farcabin --day --json

Loads are those at each cabin's set point, outdoor air counted.  Beside them stands the rule of
thumb by volume.
"""

from __future__ import annotations

import argparse
import re

import msgspec

from app.command_line.cabin_tables import day_json, day_sections, hour_json, hour_sections, sheet_section
from app.command_line.console import SOLVED, UsageError, print_json
from app.command_line.reading import add_changes, add_file, add_units, changes_of, known_names, vessel_of
from solver.vessel.changes import apply
from solver.vessel.design_conditions import DESIGN_CONDITIONS
from solver.vessel.vessel import Vessel

HELP = "print the heat load of each cabin and of the boat"

_CLOCK = re.compile(r"(\d{1,2}):([0-5]\d)")


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Say which words the verb takes."""
    add_file(parser)
    when = parser.add_mutually_exclusive_group()
    when.add_argument(
        "--hour", metavar="HOUR", help="solar time, such as 15 or 9:30 (default: that of the conditions)"
    )
    when.add_argument(
        "--day", action="store_true", help="through the day: each cabin's peak and the block load"
    )
    parser.add_argument("--cabin", metavar="TAG", help="print the load of one cabin row by row")
    parser.add_argument(
        "--conditions",
        metavar="NAME",
        help="conditions of the vessel, or a set to design by: "
        + ", ".join(conditions.name for conditions in DESIGN_CONDITIONS),
    )
    parser.add_argument("--json", action="store_true", help="print JSON, in the document's units")
    add_units(parser)
    add_changes(parser)


def run(arguments: argparse.Namespace) -> int:
    """Carry the verb out and return the exit status.

    Raises
    ------
    FileError, EditError, UsageError
        The vessel file, a change, the hour, conditions or cabin were refused.
    """
    vessel = vessel_of(arguments)
    vessel = _under(apply(vessel, changes_of(vessel, arguments)), arguments.conditions)
    if not vessel.cabins:
        raise UsageError(f"{vessel.name} has no cabins; draw one in the window, or add it to the file")
    if arguments.day and arguments.cabin is not None:
        raise UsageError("--cabin prints the rows of one hour and --day a day; one of them is used at a time")
    hour = None if arguments.hour is None else _hour(arguments.hour)
    if arguments.json:
        print_json(day_json(vessel) if arguments.day else hour_json(vessel, hour, arguments.cabin))
    elif arguments.cabin is not None:
        print(sheet_section(vessel, arguments.cabin, hour))
    else:
        print("\n\n".join(day_sections(vessel) if arguments.day else hour_sections(vessel, hour)))
    return SOLVED


def _under(vessel: Vessel, name: str | None) -> Vessel:
    """Return the vessel under conditions of a name, its own before the sets to design by."""
    if name is None:
        return vessel
    by_name = {conditions.name: conditions for conditions in (*DESIGN_CONDITIONS, *vessel.conditions)}
    if name not in by_name:
        raise UsageError(f"--conditions {name}: no conditions have this name; {known_names(name, by_name)}")
    return msgspec.structs.replace(vessel, conditions=(by_name[name],), condition=name)


def _hour(text: str) -> float:
    clock = _CLOCK.fullmatch(text.strip())
    try:
        hour = int(clock[1]) + int(clock[2]) / 60.0 if clock else float(text.replace(",", "."))
    except ValueError:
        hour = -1.0
    if not 0.0 <= hour <= 24.0:
        raise UsageError(f"--hour {text}: an hour from 0 to 24 is expected, such as 15 or 9:30")
    return hour
