# SPDX-License-Identifier: MIT
"""Write a vessel with an invented chilled-water loop of any size, laid out and ready to solve."""

from __future__ import annotations

import argparse
from pathlib import Path

from app.command_line.console import SOLVED, UsageError
from solver.vessel.file import write_vessel
from solver.vessel.samples import ship

HELP = "write a vessel of any size, to try things on"
_MOST = 10_000


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Say which words the verb takes."""
    parser.add_argument(
        "--air-handlers",
        metavar="N",
        type=int,
        required=True,
        help=f"how many air handlers the vessel has, 1 to {_MOST}",
    )
    parser.add_argument(
        "-o", "--output", metavar="FILE", required=True, help="vessel file to write (.farcabin)"
    )


def run(arguments: argparse.Namespace) -> int:
    """Carry the verb out and return the exit status.

    Raises
    ------
    UsageError
        Too few or too many air handlers, or a file of another kind.
    """
    if not 1 <= arguments.air_handlers <= _MOST:
        raise UsageError(f"--air-handlers {arguments.air_handlers}: 1 to {_MOST} are accepted")
    if Path(arguments.output).suffix.lower() != ".farcabin":
        raise UsageError(f"--output {arguments.output}: a vessel file ends in .farcabin")
    vessel = ship(arguments.air_handlers)
    write_vessel(vessel, arguments.output)
    contents = f"{len(vessel.components)} components, {len(vessel.runs)} runs"
    print(f"wrote {arguments.output}: {vessel.name}, {contents}")
    return SOLVED
