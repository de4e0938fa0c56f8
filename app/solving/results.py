# SPDX-License-Identifier: MIT
"""The results on show: the last good ones, whether the vessel has moved on, and why there are none.

Results are never in the file nor in the undo stack.
"""

from __future__ import annotations

import msgspec
from PySide6.QtCore import QObject, Signal

from app.translation import tr
from solver.results import Finding, Results


class ResultsStore(QObject):
    """What all views show.

    Attributes
    ----------
    results_changed : Signal(results or None, behind, reason, tags)
        ``behind`` is True while the results belong to an older vessel than the document's: views dim
        them.  ``reason`` says why the vessel has no answer, and ``tags`` which parts to mark.
    findings_changed : Signal(tuple of Finding)
        What the rules say of the vessel, solved or not.
    heat_behind : bool
        Whether the temperatures in ``results`` are older than its flows: views dim them.
    no_heat : str
        Why there are no temperatures for these flows; empty where there are or are about to be.
    """

    results_changed = Signal(object, bool, str, object)
    findings_changed = Signal(object)

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.results: Results | None = None
        self.behind = False
        self.reason = ""
        self.tags: tuple[str, ...] = ()
        self.findings: tuple[Finding, ...] = ()
        self.heat_behind = False
        self.no_heat = ""

    @property
    def heat_is_old(self) -> bool:
        """Whether temperatures on show are not those of the document's vessel."""
        return self.behind or self.heat_behind

    def set_findings(self, findings: tuple[Finding, ...]) -> None:
        """Take what the rules say of the vessel."""
        if findings != self.findings:
            self.findings = findings
            self.findings_changed.emit(findings)

    def clear(self) -> None:
        """Forget everything: another vessel is on show."""
        self._set(None, False, "", ())
        self.set_findings(())

    def set_solved(self, results: Results, behind: bool = False) -> None:
        """Show new results.

        Where no temperatures were found the last good ones stay, dimmed, unless no chiller is left.
        """
        why = results.no_heat
        no_heat = tr("no running water through a chiller") if results.heat is None and why is None else ""
        if why is not None:
            no_heat = why.problem.removeprefix("No temperatures: ").removesuffix(".")
            results = self._with_last_heat(results)
        self._set(results, behind, "", (), heat_behind=why is not None, no_heat=no_heat)
        self.set_findings(results.findings)

    def set_flows(self, results: Results, behind: bool = False) -> None:
        """Show new flows; temperatures and findings follow, the last ones stay meanwhile."""
        self._set(self._with_last_heat(results), behind, "", (), heat_behind=True)

    def set_behind(self) -> None:
        """The vessel has moved on; the numbers on show are no longer its own."""
        self._set(self.results, True, self.reason, self.tags, self.heat_behind, self.no_heat)

    def set_unsolved(self, reason: str, tags: tuple[str, ...] = ()) -> None:
        """The vessel has no answer; the last good numbers stay, dimmed."""
        self._set(self.results, True, reason, tags, self.heat_behind, self.no_heat)

    def _with_last_heat(self, results: Results) -> Results:
        last = None if self.results is None else self.results.heat
        return results if last is None else msgspec.structs.replace(results, heat=last)

    def _set(
        self,
        results: Results | None,
        behind: bool,
        reason: str,
        tags: tuple[str, ...],
        heat_behind: bool = False,
        no_heat: str = "",
    ) -> None:
        state = (behind, reason, tags, heat_behind, no_heat)
        known = (self.behind, self.reason, self.tags, self.heat_behind, self.no_heat)
        if results is self.results and state == known:
            return
        self.results = results
        self.behind, self.reason, self.tags, self.heat_behind, self.no_heat = state
        self.results_changed.emit(results, behind, reason, tags)
