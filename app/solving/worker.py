# SPDX-License-Identifier: MIT
"""One thread that works for the window.

A request goes to a lane ("solve", "system curve"); a newer request takes the place of one that still
waits in its lane, and the answer to an older one is dropped.  Answers come back by signal, in the
thread that asked.
"""

from __future__ import annotations

import threading
from collections.abc import Callable
from dataclasses import dataclass

from PySide6.QtCore import QObject, Qt, QThread, Signal, Slot

from solver.errors import FarcabinError


@dataclass(frozen=True)
class Request:
    """A piece of work: a plain function of values, called in the worker thread."""

    number: int
    lane: str
    work: Callable[[], object]


@dataclass(frozen=True)
class Answer:
    """What came of a request: a value, or the error the work was refused with."""

    request: Request
    value: object = None
    error: FarcabinError | None = None
    defect: Exception | None = None


def _work(request: Request) -> Answer:
    try:
        return Answer(request, value=request.work())
    except FarcabinError as error:
        return Answer(request, error=error)
    except Exception as defect:  # a defect in the work must reach the user, not end the thread
        return Answer(request, defect=defect)


class _Hands(QObject):
    """Lives in the worker thread and does what waits, one piece at a time."""

    done = Signal(object)

    def __init__(self) -> None:
        super().__init__()
        self._lock = threading.Lock()
        self._waiting: dict[str, Request] = {}

    def put(self, request: Request) -> None:
        """Let a request wait; called from the thread that asks."""
        with self._lock:
            self._waiting[request.lane] = request

    def drop(self, lane: str) -> None:
        """Forget what waits in a lane; called from the thread that asks."""
        with self._lock:
            self._waiting.pop(lane, None)

    @Slot()
    def look(self) -> None:
        """Do one waiting request, the longest waiting lane first."""
        with self._lock:
            if not self._waiting:
                return
            lane = next(iter(self._waiting))
            request = self._waiting.pop(lane)
        self.done.emit(_work(request))


class Worker(QObject):
    """Hands requests to the thread and answers back, unless they are stale.

    Parameters
    ----------
    force_sync : bool
        Work in the calling thread, at once: for tests and for pictures.

    Attributes
    ----------
    answered : Signal(str, int, object)
        Lane, request's number, value.
    refused : Signal(str, int, object)
        Lane, request's number, and the ``FarcabinError`` or, from a defect, any other exception.
    """

    answered = Signal(str, int, object)
    refused = Signal(str, int, object)
    _wake = Signal()

    def __init__(self, force_sync: bool = False, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._force_sync = force_sync
        self._number = 0
        self._newest: dict[str, int] = {}
        self._thread: QThread | None = None
        self._hands: _Hands | None = None

    def submit(self, lane: str, work: Callable[[], object]) -> int:
        """Ask for work; return the number under which the answer comes."""
        self._number += 1
        self._newest[lane] = self._number
        request = Request(self._number, lane, work)
        if self._force_sync:
            self._take(_work(request))
            return request.number
        hands = self._start()
        hands.put(request)
        self._wake.emit()
        return request.number

    def cancel(self, lane: str) -> None:
        """Forget the lane's request: it is not begun, or its answer is dropped."""
        self._newest.pop(lane, None)
        if self._hands is not None:
            self._hands.drop(lane)

    def is_busy(self, lane: str) -> bool:
        """Return whether an answer is still to come in a lane."""
        return lane in self._newest

    def stop(self) -> None:
        """End the thread; work in hand is finished first and its answer dropped."""
        self._newest.clear()
        if self._thread is not None:
            self._thread.quit()
            self._thread.wait()
            self._thread = None
            self._hands = None

    def _start(self) -> _Hands:
        if self._hands is None:
            self._thread = QThread(self)
            self._thread.setObjectName("farcabin-worker")
            self._hands = _Hands()
            self._hands.moveToThread(self._thread)
            self._wake.connect(self._hands.look, Qt.ConnectionType.QueuedConnection)
            self._hands.done.connect(self._take, Qt.ConnectionType.QueuedConnection)
            self._thread.start()
        return self._hands

    @Slot(object)
    def _take(self, answer: Answer) -> None:
        request = answer.request
        if self._newest.get(request.lane) != request.number:
            return
        del self._newest[request.lane]
        problem = answer.error or answer.defect
        if problem is not None:
            self.refused.emit(request.lane, request.number, problem)
        else:
            self.answered.emit(request.lane, request.number, answer.value)
