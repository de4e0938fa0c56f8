# SPDX-License-Identifier: MIT
"""The worker: one thread, the newest request of a lane wins, stale answers are dropped."""

from __future__ import annotations

import threading
from collections.abc import Iterator

import pytest
from pytestqt.qtbot import QtBot

from app.solving.worker import Worker
from solver.errors import NotSolvableError


class Log:
    """What a worker told."""

    def __init__(self, worker: Worker) -> None:
        self.answers: list[tuple[str, int, object]] = []
        self.refusals: list[tuple[str, int, object]] = []
        worker.answered.connect(lambda *told: self.answers.append(told))
        worker.refused.connect(lambda *told: self.refusals.append(told))


@pytest.fixture
def worker(qtbot: QtBot) -> Iterator[Worker]:
    worker = Worker()
    yield worker
    worker.stop()


def test_an_answer_comes_back_in_the_thread_that_asked(worker: Worker, qtbot: QtBot) -> None:
    log = Log(worker)
    threads: list[int] = []
    worker.answered.connect(lambda *_told: threads.append(threading.get_ident()))
    number = worker.submit("solve", threading.get_ident)
    assert worker.is_busy("solve")
    qtbot.waitUntil(lambda: bool(log.answers))
    [(lane, answered, where)] = log.answers
    assert (lane, answered) == ("solve", number)
    assert where != threading.get_ident()
    assert threads == [threading.get_ident()]
    assert not worker.is_busy("solve")


def test_a_newer_request_replaces_the_waiting_one_and_drops_the_answer_of_the_older(
    worker: Worker, qtbot: QtBot
) -> None:
    log = Log(worker)
    begun, go_on = threading.Event(), threading.Event()
    done: list[str] = []

    def first() -> str:
        begun.set()
        assert go_on.wait(10)
        done.append("first")
        return "first"

    def never() -> str:
        done.append("never")
        return "never"

    worker.submit("solve", first)
    assert begun.wait(10)
    worker.submit("solve", never)
    newest = worker.submit("solve", lambda: "newest")
    go_on.set()
    qtbot.waitUntil(lambda: bool(log.answers))
    assert log.answers == [("solve", newest, "newest")]
    assert done == ["first"]


def test_lanes_do_not_push_each_other_out(worker: Worker, qtbot: QtBot) -> None:
    log = Log(worker)
    worker.submit("solve", lambda: 1)
    worker.submit("curve", lambda: 2)
    qtbot.waitUntil(lambda: len(log.answers) == 2)
    assert {(lane, value) for lane, _number, value in log.answers} == {("solve", 1), ("curve", 2)}


def test_a_refusal_and_a_defect_come_back_as_such(worker: Worker, qtbot: QtBot) -> None:
    log = Log(worker)

    def refuse() -> None:
        raise NotSolvableError("no pump in loop", ("P-1",))

    def fail() -> None:
        raise ZeroDivisionError("oh")

    worker.submit("solve", refuse)
    worker.submit("curve", fail)
    qtbot.waitUntil(lambda: len(log.refusals) == 2)
    kinds = {lane: type(problem) for lane, _number, problem in log.refusals}
    assert kinds == {"solve": NotSolvableError, "curve": ZeroDivisionError}
    worker.submit("solve", lambda: "still alive")
    qtbot.waitUntil(lambda: bool(log.answers))


def test_a_cancelled_request_is_not_answered(worker: Worker, qtbot: QtBot) -> None:
    log = Log(worker)
    begun, go_on = threading.Event(), threading.Event()

    def slow() -> str:
        begun.set()
        assert go_on.wait(10)
        return "slow"

    worker.submit("solve", slow)
    assert begun.wait(10)
    worker.cancel("solve")
    go_on.set()
    worker.submit("curve", lambda: "done")
    qtbot.waitUntil(lambda: bool(log.answers))
    assert [value for _lane, _number, value in log.answers] == ["done"]


def test_stopping_in_the_middle_of_work_drops_the_answer(qtbot: QtBot) -> None:
    worker = Worker()
    log = Log(worker)
    begun = threading.Event()

    def work() -> str:
        begun.set()
        return "late"

    worker.submit("solve", work)
    assert begun.wait(10)
    worker.stop()
    qtbot.wait(10)
    assert log.answers == []


def test_force_sync_answers_within_the_call(qtbot: QtBot) -> None:
    worker = Worker(force_sync=True)
    log = Log(worker)
    worker.submit("solve", lambda: 5)
    assert log.answers == [("solve", 1, 5)]
