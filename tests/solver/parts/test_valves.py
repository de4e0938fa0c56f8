# SPDX-License-Identifier: MIT
"""Valves: Kv and its drop, inherent characteristics, handwheel settings."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from solver.errors import PartError
from solver.parts.valves import (
    control_valve_kv,
    drop_at_kv,
    kv_for,
    kv_to_k,
    regulating_valve_kv,
    setting_for_kv,
    throttled_kv,
)

TABLE = ((0.5, 0.2), (1.0, 0.7), (2.0, 1.9), (3.0, 3.2), (4.0, 3.9))
positions = st.floats(0.0, 1.0)
kvs = st.floats(0.05, 300.0)


def test_kv_is_the_flow_at_one_bar() -> None:
    """The definition: Kv m3/h of water of 1000 kg/m3 take 1 bar (IEC 60534-1)."""
    assert drop_at_kv(1000 * 6.3 / 3600, 6.3, 1000.0) == pytest.approx(1e5)
    # Half the flow a quarter of the drop; at one volume flow the drop goes with density.
    assert drop_at_kv(1000 * 3.15 / 3600, 6.3, 1000.0) == pytest.approx(0.25e5)
    assert drop_at_kv(1050 * 6.3 / 3600, 6.3, 1050.0) == pytest.approx(1.05e5)
    assert drop_at_kv(-1000 * 6.3 / 3600, 6.3, 1000.0) == pytest.approx(-1e5)


@given(kv=kvs, flow=st.floats(1e-3, 50.0), density=st.floats(950.0, 1100.0))
def test_kv_for_a_drop_is_the_way_back(kv: float, flow: float, density: float) -> None:
    assert kv_for(flow, drop_at_kv(flow, kv, density), density) == pytest.approx(kv)


@given(kv=kvs, bore=st.floats(0.006, 0.4), flow=st.floats(1e-2, 50.0))
def test_kv_and_k_are_two_names_of_one_loss(kv: float, bore: float, flow: float) -> None:
    velocity = flow / 1000.0 / (math.pi / 4 * bore**2)
    assert kv_to_k(kv, bore) * 500.0 * velocity**2 == pytest.approx(drop_at_kv(flow, kv, 1000.0))


@pytest.mark.parametrize(
    ("position", "linear", "equal_percentage"),
    [(1.0, 10.0, 10.0), (0.5, 5.0, 10.0 / math.sqrt(50.0)), (0.0, 0.0, 0.0), (1.5, 10.0, 10.0)],
)
def test_inherent_characteristics(position: float, linear: float, equal_percentage: float) -> None:
    """IEC 60534-2-4: Kvs h and Kvs R**(h - 1); both taken as shut tight at 0."""
    assert control_valve_kv(10.0, position, "linear") == pytest.approx(linear)
    assert control_valve_kv(10.0, position, "equal_percentage", 50.0) == pytest.approx(equal_percentage)


@given(low=positions, high=positions, rangeability=st.floats(10.0, 100.0))
def test_a_valve_that_opens_has_more_kv(low: float, high: float, rangeability: float) -> None:
    low, high = sorted((low, high))
    for kind in ("linear", "equal_percentage"):
        at_low = control_valve_kv(4.0, low, kind, rangeability)  # type: ignore[arg-type]
        assert at_low <= control_valve_kv(4.0, high, kind, rangeability)  # type: ignore[arg-type]
    assert throttled_kv(4.0, low) <= throttled_kv(4.0, high)


def test_an_isolating_valve_part_open() -> None:
    assert throttled_kv(20.0, 1.0) == pytest.approx(20.0)
    assert throttled_kv(20.0, 0.5) == pytest.approx(20.0 / math.sqrt(50.0))
    assert throttled_kv(20.0, 0.0) == 0.0


def test_a_table_is_met_at_its_rows_and_held_beyond_them() -> None:
    for setting, kv in TABLE:
        assert regulating_valve_kv(TABLE, setting) == pytest.approx(kv)
    assert regulating_valve_kv(TABLE, 9.0) == pytest.approx(3.9)


def test_below_the_first_row_kv_falls_to_nothing() -> None:
    assert regulating_valve_kv(TABLE, 0.25) == pytest.approx(0.1)
    assert regulating_valve_kv(TABLE, 0.0) == 0.0


@given(low=st.floats(0.0, 5.0), high=st.floats(0.0, 5.0))
def test_kv_never_falls_with_the_setting(low: float, high: float) -> None:
    low, high = sorted((low, high))
    assert regulating_valve_kv(TABLE, low) <= regulating_valve_kv(TABLE, high) + 1e-12


@given(setting=st.floats(0.5, 4.0))
def test_a_setting_is_found_again_from_its_kv(setting: float) -> None:
    kv = regulating_valve_kv(TABLE, setting)
    assert setting_for_kv(TABLE, kv) == pytest.approx(setting, abs=1e-6)


def test_settings_are_held_within_the_table() -> None:
    assert setting_for_kv(TABLE, 0.01) == 0.5
    assert setting_for_kv(TABLE, 99.0) == 4.0
    assert setting_for_kv([(0, 0.1), (2, 2.1)], 1.1) == pytest.approx(1.0)


@pytest.mark.parametrize(
    "table", [((0.0, 1.0),), ((0.0, 1.0), (0.0, 2.0)), ((0.0, 2.0), (1.0, 1.0)), ((1.0, 1.0), (0.5, 2.0))]
)
def test_a_table_that_does_not_rise_is_refused(table: tuple[tuple[float, float], ...]) -> None:
    with pytest.raises(PartError, match="a Kv table needs two or more rows with rising settings"):
        regulating_valve_kv(table, 5.0)


def test_a_table_is_smooth_between_its_rows() -> None:
    settings = np.linspace(0.5, 4.0, 701)
    values = np.array([regulating_valve_kv(TABLE, float(setting)) for setting in settings])
    assert np.abs(np.diff(values)).max() < 0.02
