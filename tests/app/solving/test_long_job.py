# SPDX-License-Identifier: MIT
"""A long job: a thread of its own, progress, cancel, answer or refusal, nothing left behind."""

from __future__ import annotations

import threading
from collections.abc import Callable, Iterator

import pytest
from pytestqt.qtbot import QtBot

from app.solving.long_job import LongJob, was_cancelled
from solver.errors import CancelledError, NotSolvableError


class Log:
    """What a job told, in order."""

    def __init__(self, job: LongJob) -> None:
        self.told: list[object] = []
        job.begun.connect(lambda words: self.told.append(("begun", words, job.is_busy)))
        job.progressed.connect(lambda share: self.told.append(("share", share)))
        job.ended.connect(lambda: self.told.append(("ended", job.is_busy)))
        job.answered.connect(lambda value: self.told.append(("answer", value)))
        job.refused.connect(lambda problem: self.told.append(("refused", problem)))


@pytest.fixture
def job(qtbot: QtBot) -> Iterator[LongJob]:
    job = LongJob()
    yield job
    job.stop()


def _until_cancelled(
    begun: threading.Event,
) -> Callable[[Callable[[], bool], Callable[[float], None]], object]:
    def work(cancelled: Callable[[], bool], _progress: Callable[[float], None]) -> object:
        begun.set()
        for _ in range(2000):
            if cancelled():
                raise CancelledError("cancelled")
            threading.Event().wait(0.005)
        raise AssertionError("nobody cancelled it")

    return work


def test_progress_and_answer_come_from_another_thread(job: LongJob, qtbot: QtBot) -> None:
    log = Log(job)

    def work(cancelled: Callable[[], bool], progress: Callable[[float], None]) -> object:
        assert not cancelled()
        progress(0.5)
        return threading.get_ident()

    job.run("Work", work)
    qtbot.waitUntil(lambda: len(log.told) == 4)
    assert log.told[:3] == [("begun", "Work", True), ("share", 0.5), ("ended", False)]
    assert log.told[3] != ("answer", threading.get_ident())


def test_cancelling_ends_it(job: LongJob, qtbot: QtBot) -> None:
    log, begun = Log(job), threading.Event()
    job.run("Work", _until_cancelled(begun))
    assert begun.wait(10)
    job.cancel()
    qtbot.waitUntil(lambda: not job.is_busy)
    (_, problem) = log.told[-1]
    assert was_cancelled(problem)


def test_a_new_job_ends_the_one_under_way(job: LongJob, qtbot: QtBot) -> None:
    log, begun = Log(job), threading.Event()
    job.run("First", _until_cancelled(begun))
    assert begun.wait(10)
    job.run("Second", lambda _cancelled, _progress: "second")
    qtbot.waitUntil(lambda: not job.is_busy)
    assert log.told[-1] == ("answer", "second")
    assert [entry[0] for entry in log.told if entry[0] in ("answer", "refused")] == ["answer"]


def test_a_refusal_is_told(job: LongJob, qtbot: QtBot) -> None:
    log = Log(job)
    problem = NotSolvableError("no pump")

    def work(_cancelled: Callable[[], bool], _progress: Callable[[float], None]) -> object:
        raise problem

    job.run("Work", work)
    qtbot.waitUntil(lambda: not job.is_busy)
    assert log.told[-1] == ("refused", problem)
    assert not was_cancelled(problem)
