# SPDX-License-Identifier: MIT
"""The results on show: the last good ones, whether the vessel has moved on, and why there are none.

Results are never in the file nor in the undo stack.
"""

from __future__ import annotations

from PySide6.QtCore import QObject, Signal

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
        """Show new results."""
        self._set(results, behind, "", ())
        self.set_findings(results.findings)

    def set_behind(self) -> None:
        """The vessel has moved on; the numbers on show are no longer its own."""
        self._set(self.results, True, self.reason, self.tags)

    def set_unsolved(self, reason: str, tags: tuple[str, ...] = ()) -> None:
        """The vessel has no answer; the last good numbers stay, dimmed."""
        self._set(self.results, True, reason, tags)

    def _set(self, results: Results | None, behind: bool, reason: str, tags: tuple[str, ...]) -> None:
        if (results is self.results) and (behind, reason, tags) == (self.behind, self.reason, self.tags):
            return
        self.results, self.behind, self.reason, self.tags = results, behind, reason, tags
        self.results_changed.emit(results, behind, reason, tags)
