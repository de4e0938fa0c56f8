# SPDX-License-Identifier: MIT
"""Solve a vessel's loop: flows, losses, each pump's duty, and how warm water and cabins are.

farcabin solve boat.farcabin
farcabin solve boat.farcabin --units us --change P-1.speed_percent=80
farcabin solve boat.farcabin --method hardy-cross --steps
farcabin solve boat.farcabin --conditions "Mediterranean summer"
farcabin solve boat.farcabin --hydraulics --json
"""

from __future__ import annotations

import argparse
from collections.abc import Iterable
from typing import Any

from app.command_line.console import NOT_SOLVABLE, SOLVED, UsageError, complain, print_json
from app.command_line.hand_table import hand_table
from app.command_line.heat_report import heat_json
from app.command_line.plain import without_tags
from app.command_line.reading import add_changes, add_conditions, add_file, add_units, changes_of, vessel_of
from app.command_line.report import sections
from solver.change import Change
from solver.errors import NotSolvableError, UnconvergedError
from solver.results import Results
from solver.solve import solve

_SWEEPS_SHOWN = 3

HELP = "solve the loop and print its tables"


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Say which words the verb takes."""
    add_file(parser)
    parser.add_argument(
        "--method",
        choices=("newton", "hardy-cross"),
        default="newton",
        help="newton (default), or hardy-cross, loop by loop as by hand",
    )
    parser.add_argument(
        "--steps",
        metavar="SWEEPS",
        nargs="?",
        type=int,
        const=_SWEEPS_SHOWN,
        help=f"with hardy-cross: print its table step by step (default: {_SWEEPS_SHOWN} sweeps of it)",
    )
    parser.add_argument(
        "--hydraulics",
        action="store_true",
        help="flows and pressures alone, all water as warm as the file has it",
    )
    add_conditions(parser)
    parser.add_argument("--json", action="store_true", help="print JSON, in the document's units")
    add_units(parser)
    add_changes(parser)


def run(arguments: argparse.Namespace) -> int:
    """Carry the verb out and return the exit status.

    Raises
    ------
    FileError, EditError, UsageError
        The vessel file or a change was refused.
    """
    _check_steps(arguments)
    vessel = vessel_of(arguments)
    changes = changes_of(vessel, arguments)
    try:
        results = solve(vessel, method=arguments.method, changes=changes, heat=not arguments.hydraulics)
    except NotSolvableError as problem:
        if arguments.json:
            print_json(not_solved_json(problem))
        return complain(problem.reason, NOT_SOLVABLE)
    if arguments.json:
        print_json(solved_json(results, changes))
        return SOLVED
    if arguments.steps is not None:
        for part in hand_table(results.solution.compiled, arguments.steps, vessel.units):
            print(part, end="\n\n")
    print("\n\n".join(sections(results, changes)))
    return SOLVED


def _check_steps(arguments: argparse.Namespace) -> None:
    if arguments.steps is None:
        return
    if arguments.method != "hardy-cross":
        raise UsageError("--steps prints the Hardy-Cross table; it is used with --method hardy-cross")
    if arguments.json:
        raise UsageError("--steps prints tables and --json prints none; one of them is used at a time")
    if arguments.steps < 1:
        raise UsageError(f"--steps {arguments.steps}: 1 sweep or more is expected")


def solved_json(results: Results, changes: Iterable[Change]) -> dict[str, Any]:
    """Return a solve as plain values, units in the keys."""
    return {
        "vessel": results.vessel.name,
        "method": results.method,
        "changes": list(changes),
        "converged": results.converged,
        "iterations": results.iterations,
        "mass_residual_kg_s": results.mass_residual_kg_s,
        "pressure_residual_Pa": results.pressure_residual_Pa,
        "condition": results.vessel.current_conditions.name,
        "links": without_tags(results.links),
        "pumps": without_tags(results.pumps),
        "air_handlers": without_tags(results.air_handlers),
        **(heat_json(results.heat) if results.heat is not None else {}),
        "index_circuit": results.index_circuit,
        "findings": results.findings,
    }


def not_solved_json(problem: NotSolvableError) -> dict[str, Any]:
    """Return why there is no answer, as plain values."""
    found: dict[str, Any] = {"converged": False, "reason": problem.reason, "tags": problem.tags}
    if isinstance(problem, UnconvergedError):
        found["iterations"] = problem.iterations
        found["mass_residual_kg_s"] = problem.mass_residual
        found["pressure_residual_Pa"] = problem.pressure_residual
    return found
