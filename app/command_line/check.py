# SPDX-License-Identifier: MIT
"""Check a vessel file: whether it can be read, whether its loop can be solved, and what to look at.

Findings do not change the exit status: 0 solvable, 1 not solvable, 2 bad file.
"""

from __future__ import annotations

import argparse
from collections import Counter
from typing import Any

from app.command_line.console import NOT_SOLVABLE, SOLVED, complain, print_json
from app.command_line.reading import add_conditions, add_file, add_units, vessel_of
from app.command_line.report import findings_text
from app.command_line.solve import not_solved_json
from app.command_line.tables import paragraph
from solver.errors import NotSolvableError
from solver.findings import findings
from solver.solve import solve
from solver.vessel.components import kind_name
from solver.vessel.vessel import Vessel

#: Kinds whose word is not just their name in the file.
_SPELLED = {
    "two_way_valve": "2-way valve",
    "three_way_valve": "3-way valve",
    "sea_water_pump": "sea-water pump",
    "through_hull": "through-hull",
    "overboard": "overboard outlet",
}

HELP = "check a vessel file and judge its loop"


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Say which words the verb takes."""
    add_file(parser)
    parser.add_argument("--json", action="store_true", help="print JSON")
    add_units(parser)
    add_conditions(parser)


def run(arguments: argparse.Namespace) -> int:
    """Carry the verb out and return the exit status.

    Raises
    ------
    FileError
        The vessel file was refused.
    """
    vessel = vessel_of(arguments)
    problem: NotSolvableError | None = None
    try:
        found = solve(vessel, heat=True).findings
    except NotSolvableError as caught:
        problem = caught
        found = findings(vessel, None)
    if arguments.json:
        solvable: dict[str, Any] = not_solved_json(problem) if problem else {"converged": True}
        print_json({"vessel": vessel.name, **solvable, "findings": found})
    else:
        print(f"{arguments.file}: the file is good.")
        print(paragraph(_contents(vessel)))
        print("The loop can be solved." if problem is None else "The loop cannot be solved.")
        print("\nFINDINGS\n" + findings_text(found))
    return SOLVED if problem is None else complain(problem.reason, NOT_SOLVABLE)


def _contents(vessel: Vessel) -> str:
    """Return what the vessel has, kind by kind, most first."""
    counts = Counter(kind_name(component) for component in vessel.components)
    kinds = ", ".join(_counted(count, kind) for kind, count in counts.most_common())
    return f"{vessel.name}: {kinds or 'no components'}; {_counted(len(vessel.runs), 'run')}."


def _counted(count: int, kind: str) -> str:
    name = _SPELLED.get(kind, kind.replace("_", " "))
    return f"{count} {name}" if count == 1 else f"{count} {name}s"
