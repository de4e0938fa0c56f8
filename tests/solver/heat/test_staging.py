# SPDX-License-Identifier: MIT
"""Stages of chillers and fans: when they start, stop, wait and stay off."""

from __future__ import annotations

import numpy as np
import pytest

from solver.heat.chiller_lines import Doing, Machines
from solver.heat.staging import MOST_TRIPS, START_DELAY, Stages, Switch, _speed
from solver.parts.chiller_law import Trip

#: Two machines of 10 kW on 2 kW/K each: 5 K at full capacity.
CAPACITY, RATE, SET_POINT = 10_000.0, 2_000.0, 7.0


def stages(turn_down: float = 1.0, sign: float = 1.0, **more: object) -> Stages:
    both = np.ones(2)
    made = Machines((None, None), RATE * both, SET_POINT * both, 30.0, turn_down * both, sign)
    given: dict[str, object] = {
        "loop": np.zeros(2, dtype=np.int64),
        "dead_band": 2.0 * both,
        "least_run": 180.0 * both,
        "least_stop": 300.0 * both,
        "frost_C": -20.0 * both,
        "never": np.zeros(2, dtype=np.int64),
    }
    return Stages(made, capacity=CAPACITY * both, **(given | more))  # type: ignore[arg-type]


def doing(back: float, load: float = 1.0, trip: tuple[int, int] = (0, 0)) -> Doing:
    """Return what both do, were they running: full, or at their set point."""
    leaving = np.full(2, back - 5.0 if load >= 1.0 else SET_POINT)
    duty = RATE * (back - leaving)
    zero = np.zeros(2)
    return Doing(duty, zero, zero, zero, leaving, np.full(2, load), np.array(trip, dtype=np.int64))


def next_switch(of: Stages, time: float, back: float, **more: object) -> Switch | None:
    return of.wanted(time, np.full(2, back), doing(back, **more))  # type: ignore[arg-type]


def test_the_first_starts_and_stops_half_a_band_from_the_middle_of_what_it_does() -> None:
    of = stages()
    # Alone it cools the water of both by 2.5 K; the middle is 1.25 K above set point.
    assert next_switch(of, 0.0, 9.24) is None
    assert next_switch(of, 0.0, 9.26) == Switch(0, True)
    of.do(Switch(0, True), 0.0)
    assert next_switch(of, 200.0, 7.26) is None
    assert next_switch(of, 200.0, 7.24) == Switch(0, False)


def test_the_second_follows_after_the_delay_and_goes_first() -> None:
    of = stages()
    of.do(Switch(0, True), 0.0)
    # The middle of the second is at 2.5 + 1.25 K.
    assert next_switch(of, START_DELAY - 1.0, 11.8) is None
    assert next_switch(of, START_DELAY, 11.74) is None
    assert next_switch(of, START_DELAY, 11.76) == Switch(1, True)
    of.do(Switch(1, True), START_DELAY)
    assert next_switch(of, START_DELAY + 180.0, 9.76) is None
    assert next_switch(of, START_DELAY + 180.0, 9.74) == Switch(1, False)


def test_modulating_stages_follow_the_load() -> None:
    of = stages(turn_down=0.25)
    of.do(Switch(0, True), 0.0)
    assert next_switch(of, 100.0, 11.0, load=0.8) is None
    assert next_switch(of, 100.0, 12.5, load=1.0) is None
    assert next_switch(of, 100.0, 13.1, load=1.0) == Switch(1, True)
    of.do(Switch(1, True), 100.0)
    # Both hold 7 degC: 4 kW/K times 2.3 K are more than 90 % of one, times 2.2 K less.
    assert next_switch(of, 400.0, 9.3, load=0.46) is None
    assert next_switch(of, 400.0, 9.2, load=0.44) == Switch(1, False)


def test_least_times_hold_and_a_trip_heeds_none() -> None:
    of = stages()
    of.do(Switch(0, True), 0.0)
    assert next_switch(of, 179.0, 2.0) is None
    assert next_switch(of, 1.0, 2.0, trip=(int(Trip.FREEZING), 0)) == Switch(0, False, int(Trip.FREEZING))
    of.do(Switch(0, False), 180.0)
    # The other takes its place while it must stand.
    assert next_switch(of, 479.0, 9.5) == Switch(1, True)
    assert next_switch(of, 480.0, 9.5) == Switch(0, True)


def test_three_trips_within_an_hour_lock_it_out() -> None:
    of = stages()
    for number in range(MOST_TRIPS):
        assert not of.locked[0]
        of.do(Switch(0, True), 1000.0 * number)
        of.do(Switch(0, False, int(Trip.HIGH_CONDENSING)), 1000.0 * number + 60.0)
    assert of.locked[0] and of.why_still(0) == Trip.HIGH_CONDENSING
    assert next_switch(of, 9000.0, 12.0) == Switch(1, True)
    slow = stages()
    for number in range(MOST_TRIPS):
        slow.do(Switch(0, True), 2000.0 * number)
        slow.do(Switch(0, False, int(Trip.FREEZING)), 2000.0 * number + 60.0)
    assert not slow.locked[0] and slow.why_still(0) == Trip.NONE


def test_it_stops_above_its_frost_switch() -> None:
    of = stages(frost_C=np.full(2, 3.0))
    of.do(Switch(0, True), 0.0)
    # 1 K above the switch and 5 K of its own.
    assert next_switch(of, 200.0, 9.01) is None
    assert next_switch(of, 200.0, 8.99) == Switch(0, False)


def test_one_that_cannot_run_is_passed_over() -> None:
    of = stages(never=np.array([int(Trip.LOW_FLOW), 0]))
    assert next_switch(of, 0.0, 12.0) == Switch(1, True)
    assert of.why_still(0) == Trip.LOW_FLOW


def test_heating_is_the_mirror_of_cooling() -> None:
    of = stages(sign=-1.0)
    assert next_switch(of, 0.0, 4.76) is None
    assert next_switch(of, 0.0, 4.74) == Switch(0, True)
    of.do(Switch(0, True), 0.0)
    assert next_switch(of, 200.0, 6.76) == Switch(0, False)


def test_two_loops_are_two_sequences() -> None:
    of = stages(loop=np.array([0, 1]))
    of.do(Switch(0, True), 0.0)
    # Alone in its loop the second has its own middle: 2.5 K, and waits for no other's start.
    assert next_switch(of, 1.0, 10.6) == Switch(1, True)
    assert next_switch(of, 1.0, 10.4) is None


@pytest.mark.parametrize(
    ("now", "off", "wanted"),
    [(0, 0.4, 0), (0, 0.5, 1), (1, -0.4, 1), (1, -0.5, 0), (1, 3.0, 1)],
)
def test_one_speed_is_on_or_off(now: int, off: float, wanted: int) -> None:
    assert _speed(now, 1, off, 1.0) == wanted


@pytest.mark.parametrize(
    ("now", "off", "wanted"),
    [(0, 5.0, 3), (3, 0.1, 3), (3, -0.01, 2), (2, -0.51, 1), (1, -1.01, 0), (0, -0.1, 0), (0, 0.1, 1)],
)
def test_speeds_lie_half_a_kelvin_apart(now: int, off: float, wanted: int) -> None:
    assert _speed(now, 3, off, 1.0) == wanted
