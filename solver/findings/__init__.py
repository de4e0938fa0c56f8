# SPDX-License-Identifier: MIT
"""Rules that judge a vessel and its results: what is wrong, why, and what would cure it.

One topic a file, one small function a rule, all of them in one table (``table.py``).  A rule says
in its docstring where it comes from.
"""

from __future__ import annotations

import msgspec

from solver.circuits import Circuits
from solver.findings.case import Case
from solver.findings.table import RULES, Rule
from solver.results import Finding, Results
from solver.vessel.vessel import Vessel

_ORDER = {"bad": 0, "warn": 1, "note": 2}


def findings(
    vessel: Vessel, results: Results | None, circuits: Circuits | None = None
) -> tuple[Finding, ...]:
    """Return what the rules find, the worst first, in the order of the table among equals.

    Parameters
    ----------
    vessel : Vessel
    results : Results or None
        Its results; with None only the rules that look at the drawing alone are asked.  Of circuits
        that were left out of the solve, it is told why (rule ``not_solved``).
    circuits : Circuits, optional
        The circuits of these results, where they are at hand already.

    Returns
    -------
    tuple of Finding
        Numbers in the texts are in the units that the vessel prefers.

    Raises
    ------
    PartError
        A run's size is not in its series, or it ends at a port that is not there.
    """
    case = solved = Case(vessel, results, circuits)
    found: list[Finding] = []
    if results is not None and results.part is not None:
        found += results.left_out
        case = Case(vessel, None)
        solved = Case(msgspec.structs.replace(results.part, units=vessel.units), results)
    found += (
        Finding(rule.name, *verdict)
        for rule in RULES
        if _can_be_asked(rule, results)
        for verdict in rule.judge(solved if rule.needs_results else case)
    )
    return tuple(sorted(found, key=lambda finding: _ORDER[finding.severity]))


def _can_be_asked(rule: Rule, results: Results | None) -> bool:
    if results is None:
        return not rule.needs_results
    return results.heat is not None or not rule.needs_heat
