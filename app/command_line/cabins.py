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

from app.command_line.cabin_tables import day_json, day_sections, hour_json, hour_sections, sheet_section
from app.command_line.console import SOLVED, UsageError, print_json
from app.command_line.reading import (
    add_changes,
    add_conditions,
    add_file,
    add_units,
    changes_of,
    hour_of,
    vessel_of,
)
from solver.vessel.changes import apply

HELP = "print the heat load of each cabin and of the boat"


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
    add_conditions(parser)
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
    vessel = apply(vessel, changes_of(vessel, arguments))
    if not vessel.cabins:
        raise UsageError(f"{vessel.name} has no cabins; draw one in the window, or add it to the file")
    if arguments.day and arguments.cabin is not None:
        raise UsageError("--cabin prints the rows of one hour and --day a day; one of them is used at a time")
    hour = None if arguments.hour is None else hour_of(arguments.hour)
    if arguments.json:
        print_json(day_json(vessel) if arguments.day else hour_json(vessel, hour, arguments.cabin))
    elif arguments.cabin is not None:
        print(sheet_section(vessel, arguments.cabin, hour))
    else:
        print("\n\n".join(day_sections(vessel) if arguments.day else hour_sections(vessel, hour)))
    return SOLVED
