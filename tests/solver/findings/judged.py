# SPDX-License-Identifier: MIT
"""What one rule says of a vessel."""

from __future__ import annotations

from solver.findings import findings
from solver.results import Finding, Results
from solver.vessel.vessel import Vessel


def told(rule: str, vessel: Vessel, results: Results | None = None) -> list[Finding]:
    """Return one rule's findings."""
    return [finding for finding in findings(vessel, results) if finding.rule == rule]


def only(rule: str, vessel: Vessel, results: Results | None = None) -> Finding:
    """Return a rule's one finding."""
    (finding,) = told(rule, vessel, results)
    return finding
