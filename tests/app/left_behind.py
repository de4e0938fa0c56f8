# SPDX-License-Identifier: MIT
"""Fails a test that leaves a thread or a timer running."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest
from PySide6.QtCore import QCoreApplication, QEvent, QThread, QTimer
from shiboken6 import isValid


@pytest.fixture(autouse=True)
def nothing_left_behind(request: pytest.FixtureRequest) -> Iterator[None]:
    """Note every thread and timer that Python starts in a test; none may run when it is over.

    The fixtures of the test are torn down before this one, for it is set up first.
    """
    started: list[Any] = []
    with pytest.MonkeyPatch.context() as patch:
        for kind in (QThread, QTimer):
            _note_starts(patch, kind, started)
        yield
    application = QCoreApplication.instance()
    if application is not None:
        application.sendPostedEvents(None, QEvent.Type.DeferredDelete)
    alive = [each for each in started if isValid(each) and _runs(each)]
    assert not alive, f"left running: {alive}"


def _note_starts(patch: pytest.MonkeyPatch, kind: type, started: list[Any]) -> None:
    begin = kind.start  # type: ignore[attr-defined]

    def start(self: Any, *args: Any) -> Any:
        started.append(self)
        return begin(self, *args)

    patch.setattr(kind, "start", start)


def _runs(each: Any) -> bool:
    return bool(each.isRunning() if isinstance(each, QThread) else each.isActive())
