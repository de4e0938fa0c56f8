# SPDX-License-Identifier: MIT
"""Loads through a day: peaks, their sum and the block load."""

from __future__ import annotations

import msgspec
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from solver.heat.cabin_load import loads_at_set_point, room_loads
from solver.heat.day import HOURS, day_loads
from solver.vessel.cabin import Cabin, Surface
from solver.vessel.design_conditions import DESIGN_CONDITIONS
from solver.vessel.vessel import Conditions, Vessel
from tests.solver.heat.test_cabin_load import some_cabins, vessel_of


def windows(tag: str, facing: float) -> Cabin:
    return Cabin(tag=tag, surfaces=(Surface(kind="window", area_m2=4.0, facing_deg=facing),))


NORTH = msgspec.structs.replace(DESIGN_CONDITIONS[0], heading_deg=0.0)
BOTH_SIDES = (windows("C-1", 90.0), windows("C-2", -90.0))


def fixed(vessel: Vessel, **fields: object) -> Vessel:
    conditions = msgspec.structs.replace(vessel.current_conditions, **fields)
    return msgspec.structs.replace(vessel, conditions=(conditions,))


def test_morning_sun_to_starboard_evening_sun_to_port() -> None:
    day = day_loads(vessel_of(*BOTH_SIDES, conditions=NORTH))
    assert day.peak_hour[0] < 12.0 < day.peak_hour[1]
    # Each side has its peak while the other is in the shade, so together they have less than the sum.
    assert day.block_load_W < 0.85 * day.sum_of_peaks_W
    assert day.peak_W[0] == pytest.approx(day.peak_W[1])


def test_free_to_turn_each_cabin_has_its_own_worst_heading() -> None:
    free = day_loads(vessel_of(*BOTH_SIDES))
    turned = day_loads(vessel_of(*BOTH_SIDES, conditions=NORTH))
    assert (free.peak_W >= turned.peak_W - 1e-9).all()
    assert free.block_load_W >= turned.block_load_W
    assert free.peak_heading_deg[0] != free.peak_heading_deg[1]


def test_a_day_of_one_hour_is_that_hour() -> None:
    vessel = vessel_of(*BOTH_SIDES)
    day = day_loads(vessel, np.array([9.0]))
    loads = loads_at_set_point(vessel, room_loads(vessel, 9.0))
    assert day.peak_sensible_W == pytest.approx(loads.sensible_W)
    assert day.peak_latent_W == pytest.approx(loads.latent_W)


def test_heating_peaks_are_the_coldest() -> None:
    day = day_loads(vessel_of(*BOTH_SIDES, conditions=DESIGN_CONDITIONS[1]))
    assert day.block_load_W == day.block_W.min() < 0.0
    assert (day.peak_W < 0.0).all()


def test_no_cabins() -> None:
    day = day_loads(vessel_of())
    assert day.sum_of_peaks_W == day.block_load_W == 0.0


@given(some_cabins(), st.sampled_from([each for each in DESIGN_CONDITIONS if each.mode == "cooling"]))
def test_block_load_is_no_more_than_the_sum_of_peaks(cabins: list[Cabin], conditions: Conditions) -> None:
    day = day_loads(vessel_of(*cabins, conditions=conditions))
    room = 1e-9 * np.abs(day.block_W).max()
    assert day.block_load_W <= day.sum_of_peaks_W + room
    assert (day.block_W <= day.block_load_W + room).all()
    assert (day.sensible_W + day.latent_W).sum(axis=1) == pytest.approx(day.block_W)


@given(some_cabins(2))
def test_peaks_are_those_of_the_hours_one_by_one(cabins: list[Cabin]) -> None:
    vessel = vessel_of(*cabins)
    day = day_loads(vessel)
    hour_by_hour = [loads_at_set_point(vessel, room_loads(vessel, float(hour))).total_W for hour in HOURS]
    assert day.peak_W == pytest.approx(np.max(hour_by_hour, axis=0))


@given(some_cabins(2))
def test_the_hours_shown_are_those_on_the_heading_named(cabins: list[Cabin]) -> None:
    vessel = vessel_of(*cabins)
    day = day_loads(vessel)
    kept = day_loads(fixed(vessel, heading_deg=day.heading_deg))
    assert kept.block_W == pytest.approx(day.block_W)
