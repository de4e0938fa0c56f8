# SPDX-License-Identifier: MIT
"""Calls a function at once, then at most every so often: the first call at once, the last one wins."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QObject, QTimer


class Throttle(QObject):
    """Keeps a function from being called more often than every ``delay_ms``.

    Parameters
    ----------
    function : callable
        Called without arguments.
    delay_ms : int
        Least time between two calls; 0 lets every call through at once.
    """

    def __init__(self, function: Callable[[], None], delay_ms: int, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._function = function
        self._waiting = False
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.setInterval(delay_ms)
        self._timer.timeout.connect(self._time_is_up)

    def call(self) -> None:
        """Call the function now if it rested long enough, else once when it has."""
        if self._timer.isActive():
            self._waiting = True
            return
        if self._timer.interval() > 0:
            self._timer.start()
        self._function()

    def cancel(self) -> None:
        """Forget a call that waits."""
        self._waiting = False
        self._timer.stop()

    def _time_is_up(self) -> None:
        if self._waiting:
            self._waiting = False
            self._timer.start()
            self._function()
