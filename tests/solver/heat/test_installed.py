# SPDX-License-Identifier: MIT
"""What is installed: chillers at the sea of the conditions, the largest one out, ratings of air handlers."""

from __future__ import annotations

import msgspec
import pytest

from solver.heat.installed import installed
from solver.vessel.components import AirHandler, CapacityPoint, Chiller
from solver.vessel.vessel import Conditions, Vessel


def chiller(tag: str, capacity_kW: float, **fields: object) -> Chiller:
    made = Chiller(
        tag=tag, capacity_kW=capacity_kW, design_flow_L_s=0.5, rated_flow_L_s=0.5, rated_drop_kPa=20.0
    )
    return msgspec.structs.replace(made, **fields)


def vessel(*parts: object, **conditions: object) -> Vessel:
    return msgspec.structs.replace(
        Vessel(name="Tern"),
        components=parts,
        conditions=(msgspec.structs.replace(Conditions(name="Summer"), **conditions),),
    )


def test_rated_capacity_holds_at_the_rated_sea_and_warmer_sea_takes_some() -> None:
    one = chiller("CH-1", 10.0)
    assert installed(vessel(one, sea_temp_C=32.0)).total_W == pytest.approx(10_000.0)
    # Common practice, as the chiller's own slope has it: 1.2 % less for each kelvin.
    assert installed(vessel(one, sea_temp_C=36.0)).total_W == pytest.approx(10_000.0 * (1 - 4 * 0.012))
    colder = msgspec.structs.replace(one, set_point_C=5.0)
    assert installed(vessel(colder)).total_W == pytest.approx(10_000.0 * (1 - 2 * 0.03))


def test_the_largest_is_out_even_if_it_is_not_the_first() -> None:
    found = installed(
        vessel(chiller("CH-1", 10.0), chiller("CH-2", 14.0, running=False), chiller("CH-3", 12.0))
    )
    assert found.largest == "CH-2"
    assert found.total_W == pytest.approx(36_000.0)
    assert found.largest_out_W == pytest.approx(22_000.0)


def test_a_table_of_capacities_says_where_it_ends() -> None:
    points = tuple(
        CapacityPoint(leaving, sea, 10.0 + 0.3 * (leaving - 7.0) - 0.1 * (sea - 30.0), 2.5)
        for leaving in (5.0, 9.0)
        for sea in (20.0, 30.0)
    )
    one = chiller("CH-1", 10.0, capacity_points=points, rated_sea_C=30.0)
    inside = installed(vessel(one, sea_temp_C=25.0))
    assert inside.total_W == pytest.approx(10_500.0)
    assert inside.beyond == ()
    assert installed(vessel(one, sea_temp_C=34.0)).beyond == ("CH-1",)


def test_in_heating_only_those_that_can_heat_count() -> None:
    able = chiller("CH-1", 10.0, heating_capacity_kW=11.0)
    unable = chiller("CH-2", 10.0, heating_capacity_kW=0.0)
    found = installed(vessel(able, unable, mode="heating", sea_temp_C=10.0))
    assert found.chillers_W == {"CH-1": pytest.approx(11_000.0), "CH-2": 0.0}


def test_air_handlers_count_by_rating_else_by_design_flow() -> None:
    rated = AirHandler(
        tag="AH-1",
        capacity_total_kW=3.0,
        design_flow_L_s=0.1,
        rated_flow_L_s=0.1,
        rated_drop_kPa=10.0,
    )
    silent = msgspec.structs.replace(rated, tag="AH-2", capacity_total_kW=0.0)
    # 0.1 kg/s of water by 5 K at 4.19 kJ/(kg K).
    assert installed(vessel(rated, silent)).air_handlers_W == pytest.approx(3000.0 + 2095.0, rel=0.01)
    bare = installed(vessel())
    assert (bare.air_handlers_W, bare.total_W, bare.largest, bare.largest_out_W) == (0.0, 0.0, "", 0.0)
