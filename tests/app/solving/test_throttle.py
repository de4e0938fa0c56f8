# SPDX-License-Identifier: MIT
"""The throttle: first at once, last one wins."""

from __future__ import annotations

from pytestqt.qtbot import QtBot

from app.solving.throttle import Throttle


def test_the_first_call_goes_through_at_once(qtbot: QtBot) -> None:
    calls: list[int] = []
    throttle = Throttle(lambda: calls.append(1), 10_000)
    throttle.call()
    assert calls == [1]
    throttle.cancel()


def test_calls_in_a_hurry_become_one_more(qtbot: QtBot) -> None:
    calls: list[str] = []
    states = ["first"]
    throttle = Throttle(lambda: calls.append(states[-1]), 20)
    throttle.call()
    for state in ("second", "third", "last"):
        states.append(state)
        throttle.call()
    assert calls == ["first"]
    qtbot.waitUntil(lambda: len(calls) == 2)
    assert calls == ["first", "last"]
    throttle.cancel()


def test_a_cancelled_call_is_not_made(qtbot: QtBot) -> None:
    calls: list[int] = []
    throttle = Throttle(lambda: calls.append(1), 5)
    throttle.call()
    throttle.call()
    throttle.cancel()
    qtbot.wait(30)
    assert calls == [1]


def test_no_delay_lets_every_call_through(qtbot: QtBot) -> None:
    calls: list[int] = []
    throttle = Throttle(lambda: calls.append(1), 0)
    for _ in range(3):
        throttle.call()
    assert len(calls) == 3


def test_a_rested_throttle_calls_at_once_again(qtbot: QtBot) -> None:
    calls: list[int] = []
    throttle = Throttle(lambda: calls.append(1), 5)
    throttle.call()
    qtbot.wait(30)
    throttle.call()
    assert len(calls) == 2
    throttle.cancel()
