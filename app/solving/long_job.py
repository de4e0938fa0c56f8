# SPDX-License-Identifier: MIT
"""A long job in a thread of its own, so that the live solve goes on beside it: progress, cancel, answer."""

from __future__ import annotations

import threading
from collections.abc import Callable

from PySide6.QtCore import QObject, Signal

from app.solving.worker import Worker
from solver.errors import CancelledError

LANE = "long job"
#: Called in the thread with "is it cancelled?" and with "tell this share of it done"; returns the answer.
Work = Callable[[Callable[[], bool], Callable[[float], None]], object]


class LongJob(QObject):
    """Does one long job at a time; a new one ends the one under way.

    Attributes
    ----------
    begun : Signal(str)
        What is under way, in words.
    progressed : Signal(float)
        The share done, 0 to 1.
    answered : Signal(object)
        What the work returned.
    refused : Signal(object)
        The error it ended with, a ``CancelledError`` where someone cancelled it.
    ended : Signal
        After any of the two.
    """

    begun = Signal(str)
    progressed = Signal(float)
    answered = Signal(object)
    refused = Signal(object)
    ended = Signal()

    def __init__(self, force_sync: bool = False, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._worker = Worker(force_sync, self)
        self._worker.answered.connect(self._answer)
        self._worker.refused.connect(self._refuse)
        self._cancelled = threading.Event()
        self._busy = False

    @property
    def is_busy(self) -> bool:
        """Whether a job is under way."""
        return self._busy

    def run(self, words: str, work: Work) -> None:
        """Begin a job.

        Parameters
        ----------
        words : str
            What it is, for the status bar.
        work : callable
        """
        self._cancelled.set()
        cancelled = self._cancelled = threading.Event()
        self._busy = True
        self.begun.emit(words)
        self._worker.submit(LANE, lambda: work(cancelled.is_set, self.progressed.emit))

    def cancel(self) -> None:
        """Ask the job under way to stop; ``refused`` tells when it has."""
        self._cancelled.set()

    def stop(self) -> None:
        """Cancel and end the thread."""
        self._cancelled.set()
        self._busy = False
        self._worker.stop()

    def _answer(self, _lane: str, _number: int, value: object) -> None:
        self._busy = False
        self.ended.emit()
        self.answered.emit(value)

    def _refuse(self, _lane: str, _number: int, problem: object) -> None:
        self._busy = False
        self.ended.emit()
        self.refused.emit(problem)


def was_cancelled(problem: object) -> bool:
    """Return whether a job ended because someone cancelled it."""
    return isinstance(problem, CancelledError)
