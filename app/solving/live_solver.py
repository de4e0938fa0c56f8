# SPDX-License-Identifier: MIT
"""Solves the document's vessel whenever it changes.

A change of layout or text leaves the results as they are.  Any other marks them behind and asks for a
solve, the first at once and the last one winning, started from the last results.

Flows and temperatures come together while that is quick.  Where it is not, the flows come first, with the
water as warm as it was, so that they follow the hand; temperatures come when the hand rests.
"""

from __future__ import annotations

import math
import time
from collections.abc import Callable
from functools import partial
from typing import Literal, NamedTuple, Protocol

import msgspec
from PySide6.QtCore import QObject, QTimer

from app.editing.document import Document
from app.solving.results import ResultsStore
from app.solving.throttle import Throttle
from app.solving.worker import Worker
from app.translation import tr
from app.units import System
from solver.errors import FarcabinError, NotSolvableError
from solver.findings import findings
from solver.results import Results
from solver.solve import solve
from solver.vessel.changes import difference
from solver.vessel.vessel import Vessel

LANE = "solve"
_HEAT_LANE = "heat"
_FINDINGS_LANE = "findings"
#: Least time between two solves, and time before the old numbers are dimmed.
DELAY_MS, PATIENCE_MS = 30, 100
#: Temperatures come with the flows while that takes no longer than this [ms].  Measured for yachts of 18, 27
#: and 45 m: 30, 42 and 60 ms, against 6, 9 and 16 ms for their flows alone.
QUICK_MS = 50.0
#: How long the hand must rest before temperatures are asked for where they take longer [ms].
REST_MS = 120
#: Kinds of change that leave every number as it is.
HARMLESS = frozenset({"layout", "text"})


def is_current(results: Results, vessel: Vessel) -> bool:
    """Return whether results hold for a vessel: they are its own, or it differs in nothing that counts."""
    return results.vessel is vessel or difference(results.vessel, vessel).kinds <= HARMLESS


def in_units(vessel: Vessel, units: System | None) -> Vessel:
    """Return the vessel as one that prefers these units; itself if it does, or for None."""
    return vessel if units in (None, vessel.units) else msgspec.structs.replace(vessel, units=units)


def worded(results: Results, units: System | None) -> Results:
    """Return the results with their findings in these units."""
    preferring = in_units(results.vessel, units)
    if preferring is results.vessel:
        return results
    return msgspec.structs.replace(results, findings=findings(preferring, results))


class Solve(Protocol):
    """The solver's one function, as the window calls it."""

    def __call__(
        self,
        vessel: Vessel,
        *,
        warm_start: Results | None = None,
        heat: bool | Literal["as_before"] = False,
    ) -> Results:
        """Return the results of a vessel or raise ``NotSolvableError``."""


class _Solved(NamedTuple):
    """An answer: whether temperatures were asked for, and how long it took [ms]."""

    results: Results
    with_heat: bool
    took_ms: float


#: A drawing being made is solved as far as it can be.
SOLVE: Solve = partial(solve, partial=True)


class LiveSolver(QObject):
    """Keeps the results in step with the document.

    Parameters
    ----------
    document : Document
        What is solved.
    store : ResultsStore
        Where answers go.
    worker : Worker
        Who solves.
    solve_with : callable
        ``solver.solve.solve``, leaving out circuits that cannot be solved yet; or a stand-in.
    delay_ms : int
        Least time between two solves.
    patience_ms : int
        How long an answer may take before the old numbers are dimmed: a solve is mostly faster than
        the eye, and numbers that flicker cannot be read.  0 dims them at once.
    quick_ms : float
        Temperatures come with the flows while both together take no longer; infinite for always.
    """

    def __init__(
        self,
        document: Document,
        store: ResultsStore,
        worker: Worker,
        solve_with: Solve = SOLVE,
        delay_ms: int = DELAY_MS,
        patience_ms: int = PATIENCE_MS,
        quick_ms: float = QUICK_MS,
        parent: QObject | None = None,
    ) -> None:
        super().__init__(parent)
        self._document, self._store, self._worker, self._solve = document, store, worker, solve_with
        self._units: System | None = None
        self._quick_ms, self._heat_ms = quick_ms, math.inf
        #: What the next solve starts from: the last answer, with the last temperatures found.
        self._last: Results | None = None
        self._rest = QTimer(self, singleShot=True, interval=REST_MS)
        self._rest.timeout.connect(self._ask_heat)
        self._throttle = Throttle(self._ask, delay_ms, self)
        self._patience = QTimer(self)
        self._patience.setSingleShot(True)
        self._patience.setInterval(patience_ms)
        self._patience.timeout.connect(store.set_behind)
        document.opened.connect(self._forget)
        document.changed.connect(self._changed)
        worker.answered.connect(self._answered)
        worker.refused.connect(self._refused)

    def solve_now(self) -> None:
        """Ask for a solve of the vessel as it is."""
        if self._document.vessel.components:
            self._throttle.call()

    def set_units(self, units: System) -> None:
        """Have the findings worded in the units shown, whatever the vessel itself prefers."""
        if units == self._units:
            return
        self._units = units
        if self._store.findings:
            self._judge(self._document.vessel if self._store.reason else None)

    def stop(self) -> None:
        """Ask for nothing more and drop what is asked for."""
        self._document.changed.disconnect(self._changed)
        self._drop()

    def _forget(self) -> None:
        self._drop()
        self._last, self._heat_ms = None, math.inf
        self._store.clear()

    def _drop(self) -> None:
        self._throttle.cancel()
        self._patience.stop()
        self._rest.stop()
        for lane in (LANE, _HEAT_LANE, _FINDINGS_LANE):
            self._worker.cancel(lane)

    def _changed(self, _old: Vessel, new: Vessel, kinds: frozenset[str]) -> None:
        if kinds <= HARMLESS:
            return
        if not new.components:
            self._forget()
            return
        if self._store.results is not None and not self._patience.isActive():
            if self._patience.interval() > 0:
                self._patience.start()
            else:
                self._store.set_behind()
        self._throttle.call()

    def _ask(self) -> None:
        self._rest.stop()
        self._worker.cancel(_HEAT_LANE)
        self._worker.submit(LANE, self._work(with_heat=self._heat_ms <= self._quick_ms))

    def _ask_heat(self) -> None:
        self._worker.submit(_HEAT_LANE, self._work(with_heat=True))

    def _work(self, *, with_heat: bool) -> Callable[[], _Solved]:
        """Return a solve of the vessel as it is now."""
        vessel, last, units, solve_with = self._document.vessel, self._last, self._units, self._solve

        def work() -> _Solved:
            started = time.perf_counter()
            results = solve_with(vessel, warm_start=last, heat=True if with_heat else "as_before")
            took_ms = 1000 * (time.perf_counter() - started)
            return _Solved(worded(results, units), with_heat, took_ms)

        return work

    def _judge(self, unsolved: Vessel | None) -> None:
        """Ask for the findings of a vessel without an answer, or again for those of the results."""
        results = None if unsolved is not None else self._store.results
        vessel = unsolved if results is None else results.vessel
        if vessel is not None:
            preferring = in_units(vessel, self._units)
            self._worker.submit(_FINDINGS_LANE, lambda: findings(preferring, results))

    def _answered(self, lane: str, _number: int, value: object) -> None:
        if lane == _FINDINGS_LANE and isinstance(value, tuple):
            self._store.set_findings(value)
        if not isinstance(value, _Solved):
            return
        results = value.results
        self._patience.stop()
        self._worker.cancel(_FINDINGS_LANE)
        if not is_current(results, self._document.vessel) and self._patience.interval() > 0:
            # The vessel moved on while this was solved; the next answer has the same time to come.
            self._patience.start()
        behind = not self._is_shown_as_current(results)
        if value.with_heat:
            self._last, self._heat_ms = results, value.took_ms
            self._store.set_solved(results, behind=behind)
        else:
            self._rest.start()
            self._store.set_flows(results, behind=behind)
            self._last = self._store.results

    def _is_shown_as_current(self, results: Results) -> bool:
        return self._patience.isActive() or is_current(results, self._document.vessel)

    def _refused(self, lane: str, _number: int, problem: Exception) -> None:
        if lane not in (LANE, _HEAT_LANE):
            return
        self._patience.stop()
        # The rules judge a vessel without an answer too, and mostly name the reason.
        self._judge(self._document.vessel)
        if isinstance(problem, NotSolvableError):
            reason = problem.reason
        elif isinstance(problem, FarcabinError):
            reason = str(problem)
        else:
            reason = tr(
                "the solver failed on this vessel ({0}: {1}); the drawing is safe, save it and report this",
            ).format(type(problem).__name__, problem)
        self._store.set_unsolved(reason, tuple(getattr(problem, "tags", ())))
