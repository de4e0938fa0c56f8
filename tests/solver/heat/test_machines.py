# SPDX-License-Identifier: MIT
"""Chillers and coils of the document give back what they are rated at."""

from __future__ import annotations

from pathlib import Path
from random import Random

import msgspec
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from solver.errors import PartError
from solver.heat.machines import chiller_law, coil_model, coil_rating, rated_air_flow, rated_total
from solver.media import moist_air
from solver.parts.chiller_law import chiller_state
from solver.parts.coil import coil_state
from solver.vessel.components import AirHandler, CapacityPoint, Chiller
from solver.vessel.file import read_vessel
from solver.vessel.parts_list import read_parts_list

_SAMPLES = sorted((Path(__file__).parents[3] / "sample_vessels").glob("*.farcabin"))
_SEA_DENSITY, _SEA_HEAT = 1022.0, 3993.0
_WATER = 4195.5


def _of_kind(kind: type) -> list[object]:
    """Return every part of a kind in the samples and in the parts list, each once."""
    parts = [part for path in _SAMPLES for part in read_vessel(path).components if isinstance(part, kind)]
    parts += [part for row in read_parts_list().rows if isinstance(part := row.component, kind)]
    return list(dict.fromkeys(msgspec.structs.replace(part, tag="X-1", at=(0.0, 0.0)) for part in parts))


def _assert_coil_meets_its_rating(unit: AirHandler) -> None:
    rating, model = coil_rating(unit), coil_model(unit)
    state = coil_state(
        model, rating.air_flow, rating.air_C, rating.humidity_ratio, rating.water_flow, rating.water_C
    )
    assert float(state.total) == pytest.approx(rated_total(unit), rel=1e-3)
    if unit.capacity_sensible_kW:
        assert float(state.sensible) == pytest.approx(unit.capacity_sensible_kW * 1e3, rel=1e-3)


def _assert_chiller_meets_its_rating(chiller: Chiller) -> None:
    law = chiller_law(chiller, _SEA_DENSITY, _SEA_HEAT)
    flow = chiller.rated_flow_L_s
    entering = chiller.rated_leaving_C + chiller.capacity_kW * 1e3 / (flow * _WATER)
    state = chiller_state(
        law,
        entering,
        flow,
        _WATER,
        chiller.rated_leaving_C - 5.0,
        chiller.rated_sea_C,
        chiller.sea_rated_flow_L_s * 1e-3 * _SEA_DENSITY,
        switches=False,
    )
    assert float(state.duty) == pytest.approx(chiller.capacity_kW * 1e3, rel=1e-3)
    assert float(state.leaving_C) == pytest.approx(chiller.rated_leaving_C, abs=1e-3)
    assert float(state.power) == pytest.approx((chiller.power_kW or chiller.capacity_kW / 4) * 1e3, rel=1e-3)


def test_every_coil_of_samples_and_parts_list_meets_its_rating() -> None:
    units = _of_kind(AirHandler)
    assert len(units) > 5
    for unit in units:
        assert isinstance(unit, AirHandler)
        _assert_coil_meets_its_rating(unit)


def test_every_chiller_of_samples_and_parts_list_meets_its_rating() -> None:
    chillers = _of_kind(Chiller)
    assert len(chillers) > 2
    for chiller in chillers:
        assert isinstance(chiller, Chiller)
        _assert_chiller_meets_its_rating(chiller)


@given(st.integers(0, 100_000))
def test_any_coil_that_is_accepted_meets_its_rating(seed: int) -> None:
    rng = Random(seed)
    total = 10 ** rng.uniform(-0.3, 1.5)
    flow = total / rng.uniform(14.0, 30.0)
    unit = AirHandler(
        tag="AH-1",
        design_flow_L_s=flow,
        rated_flow_L_s=flow,
        rated_drop_kPa=10.0,
        capacity_total_kW=total,
        capacity_sensible_kW=total * rng.uniform(0.65, 1.0) if rng.random() < 0.7 else 0.0,
        rated_air_temp_C=rng.uniform(22.0, 32.0),
        rated_air_rh_percent=rng.uniform(35.0, 65.0),
        rated_water_temp_C=rng.uniform(4.0, 10.0),
    )
    try:
        coil_model(unit)
    except PartError as error:
        assert error.tags == ("AH-1",)
        assert str(error).startswith("AH-1: ")
    else:
        _assert_coil_meets_its_rating(unit)


@given(st.integers(0, 100_000))
def test_any_chiller_that_is_accepted_meets_its_rating(seed: int) -> None:
    rng = Random(seed)
    capacity = 10 ** rng.uniform(0.0, 2.5)
    _assert_chiller_meets_its_rating(
        Chiller(
            tag="CH-1",
            capacity_kW=capacity,
            power_kW=capacity / rng.uniform(2.0, 7.0),
            design_flow_L_s=capacity / 21.0,
            rated_flow_L_s=capacity / rng.uniform(10.0, 40.0),
            rated_drop_kPa=20.0,
            sea_rated_flow_L_s=capacity / rng.uniform(10.0, 30.0),
            rated_leaving_C=rng.uniform(3.0, 12.0),
            rated_sea_C=rng.uniform(20.0, 36.0),
        )
    )


def _chiller(**more: object) -> Chiller:
    given = {"capacity_kW": 10.0, "design_flow_L_s": 0.5, "rated_flow_L_s": 0.5, "rated_drop_kPa": 20.0}
    return Chiller(tag="CH-1", **(given | more))  # type: ignore[arg-type]


def test_a_table_of_capacity_is_read() -> None:
    points = tuple(
        CapacityPoint(leaving, sea, 10.0 + 0.3 * (leaving - 7.0) - 0.1 * (sea - 32.0), 2.5)
        for leaving in (5.0, 9.0)
        for sea in (24.0, 36.0)
    )
    law = chiller_law(_chiller(capacity_points=points), _SEA_DENSITY, _SEA_HEAT)
    assert law.cooling.rated == pytest.approx((10_000.0, 2_500.0))


def test_a_table_with_a_hole_is_refused_with_the_tag() -> None:
    points = (CapacityPoint(5.0, 24.0, 10.0, 2.5), CapacityPoint(9.0, 36.0, 10.0, 2.5))
    with pytest.raises(PartError, match=r"CH-1: a chiller's table must have each leaving") as caught:
        chiller_law(_chiller(capacity_points=points), _SEA_DENSITY, _SEA_HEAT)
    assert caught.value.tags == ("CH-1",)


def test_heating_is_common_practice_unless_told() -> None:
    law = chiller_law(_chiller(power_kW=2.5), _SEA_DENSITY, _SEA_HEAT)
    assert law.heating is not None
    assert law.heating.rated == pytest.approx((10_000.0, 3_000.0))
    told = chiller_law(_chiller(power_kW=2.5, heating_capacity_kW=12.0), _SEA_DENSITY, _SEA_HEAT)
    assert told.heating is not None
    assert told.heating.rated == pytest.approx((12_000.0, 3_600.0))
    both = chiller_law(_chiller(heating_capacity_kW=12.0, heating_power_kW=4.0), _SEA_DENSITY, _SEA_HEAT)
    assert both.heating is not None
    assert both.heating.rated == pytest.approx((12_000.0, 4_000.0))
    assert chiller_law(_chiller(heating_capacity_kW=0.0), _SEA_DENSITY, _SEA_HEAT).heating is None


def test_an_air_handler_that_tells_little_is_taken_by_common_practice() -> None:
    unit = AirHandler(tag="AH-1", design_flow_L_s=0.2, rated_flow_L_s=0.2, rated_drop_kPa=10.0)
    # 0.2 kg/s by 5 K; 54 L/s of air per kW (400 cfm per ton).
    assert rated_total(unit) == pytest.approx(0.2 * 5.0 * 4195.5)
    assert rated_air_flow(unit) == pytest.approx(54.0 * rated_total(unit) / 1e3)


def test_dirt_takes_its_share_of_both_sides() -> None:
    unit = AirHandler(tag="AH-1", design_flow_L_s=0.2, rated_flow_L_s=0.2, rated_drop_kPa=10.0)
    clean, dirty = coil_model(unit), coil_model(msgspec.structs.replace(unit, coil_fouling_percent=40.0))
    assert np.asarray(dirty.outside_ua) == pytest.approx(0.6 * np.asarray(clean.outside_ua))
    assert np.asarray(dirty.inside_ua) == pytest.approx(0.6 * np.asarray(clean.inside_ua))


#: Flow over design -> capacity over design, rise over design: a water-cooled coil of the trade's rule.
_STARVED = ((0.25, 0.46, 1.8), (0.50, 0.73, 1.5), (0.75, 0.89, 1.2), (1.5, 1.13, 0.75))


@pytest.mark.reference
@pytest.mark.parametrize(("share", "capacity", "rise"), _STARVED)
def test_a_starved_coil_keeps_most_of_its_heat(share: float, capacity: float, rise: float) -> None:
    """Common practice, worked out by effectiveness and NTU for one coil: half the flow, 73 % of the heat.

    The shares hang on the coil: a deep one keeps more, a shallow one less.  They hold within 0.12.
    """
    unit = AirHandler(
        tag="AH-1",
        design_flow_L_s=0.2,
        rated_flow_L_s=0.2,
        rated_drop_kPa=10.0,
        capacity_total_kW=4.2,
        air_flow_L_s=230.0,
    )
    model, rating = coil_model(unit), coil_rating(unit)
    humidity = float(moist_air.humidity_ratio(27.0, 0.47))
    state = coil_state(model, rating.air_flow, 27.0, humidity, share * rating.water_flow, 7.0)
    assert float(state.total) / 4200.0 == pytest.approx(capacity, abs=0.12)
    warmed = (float(state.water_out_C) - 7.0) / (4200.0 / (0.2 * _WATER))
    assert warmed == pytest.approx(rise, abs=0.12 / share)
    if share == 0.5:
        assert 0.68 <= float(state.total) / 4200.0 <= 0.85
