# SPDX-License-Identifier: MIT
"""Let a boat that was shut up cool down, hour by hour: cabins, loop water, chillers, power.

farcabin pulldown boat.farcabin
farcabin pulldown boat.farcabin --hours 24 --start-temp 38C --start-water 30C
farcabin pulldown boat.farcabin --from 9:30 --conditions "Gulf summer" --csv > day.csv
farcabin pulldown boat.farcabin --change CH-2.running=off --json

Flows are those of the solved loop and stay so.  Without --from the weather of the conditions holds all the
time.
"""

from __future__ import annotations

import argparse

from app.command_line.console import NOT_SOLVABLE, SOLVED, UsageError, complain, print_json
from app.command_line.pulldown_tables import csv_text, pull_down_json, sections
from app.command_line.reading import (
    add_changes,
    add_conditions,
    add_file,
    add_units,
    changes_of,
    hour_of,
    vessel_of,
)
from app.command_line.solve import not_solved_json
from app.units import System, UnitError, parse
from solver.errors import NotSolvableError
from solver.heat.pull_down import Span, Start, pull_down
from solver.solve import solve
from solver.vessel.changes import apply

HELP = "cool a boat down from any start, hour by hour"


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Say which words the verb takes."""
    usual = Span()
    add_file(parser)
    parser.add_argument("--hours", metavar="TIME", help=f"how long (default: {usual.hours:g} h)")
    parser.add_argument("--step", metavar="TIME", help=f"step in time (default: {usual.step_min:g} min)")
    parser.add_argument(
        "--start-temp",
        metavar="TEMPERATURE",
        help="of the cabins with all in them (default: as warm as outdoor air)",
    )
    parser.add_argument(
        "--start-water", metavar="TEMPERATURE", help="of the loop's water (default: as warm as the cabins)"
    )
    parser.add_argument(
        "--start-humidity", metavar="PERCENT", help="of the cabins (default: the moisture of outdoor air)"
    )
    parser.add_argument(
        "--from",
        dest="starts",
        metavar="HOUR",
        help="solar time it starts at, such as 9:30: sun and outdoor air then follow the day",
    )
    add_conditions(parser)
    form = parser.add_mutually_exclusive_group()
    form.add_argument("--json", action="store_true", help="print JSON, in the document's units")
    form.add_argument("--csv", action="store_true", help="print every step as CSV, in the document's units")
    add_units(parser)
    add_changes(parser)


def run(arguments: argparse.Namespace) -> int:
    """Carry the verb out and return the exit status.

    Raises
    ------
    FileError, EditError, UsageError
        The vessel file, a change, conditions or a figure were refused.
    """
    vessel = vessel_of(arguments)
    changes = changes_of(vessel, arguments)
    vessel = apply(vessel, changes)
    span, start = _span(arguments, vessel.units), _start(arguments, vessel.units)
    try:
        pulled = pull_down(solve(vessel, heat=True), span, start)
    except NotSolvableError as problem:
        if arguments.json:
            print_json(not_solved_json(problem))
        return complain(problem.reason, NOT_SOLVABLE)
    if arguments.json:
        print_json(pull_down_json(pulled))
    elif arguments.csv:
        print(csv_text(pulled), end="")
    else:
        print("\n\n".join(sections(pulled, changes)))
    return SOLVED


def _span(arguments: argparse.Namespace, system: System) -> Span:
    usual = Span()
    hours = _read("--hours", arguments.hours, "hours", system)
    step = _read("--step", arguments.step, "time", system)
    return Span(
        usual.hours if hours is None else hours,
        usual.step_min if step is None else step,
        None if arguments.starts is None else hour_of(arguments.starts, "--from"),
    )


def _start(arguments: argparse.Namespace, system: System) -> Start:
    humidity = _read("--start-humidity", arguments.start_humidity, "percent", system)
    return Start(
        _read("--start-temp", arguments.start_temp, "temperature", system),
        _read("--start-water", arguments.start_water, "temperature", system),
        None if humidity is None else humidity / 100.0,
    )


def _read(word: str, text: str | None, quantity: str, system: System) -> float | None:
    if text is None:
        return None
    try:
        return parse(text, quantity, system)
    except UnitError as problem:
        raise UsageError(f"{word} {text}: {problem}") from None
