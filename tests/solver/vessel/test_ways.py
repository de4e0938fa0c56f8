# SPDX-License-Identifier: MIT
"""Ways and points account for every port of every kind."""

from __future__ import annotations

import msgspec
import pytest

from solver.vessel.components import (
    KINDS,
    Chiller,
    Component,
    FlowMeter,
    KvPoint,
    PumpPoint,
    ThreeWayValve,
)
from solver.vessel.ways import Way, one_point, ways

_NEEDED = {
    "curve": tuple(PumpPoint(flow, 10.0 - flow) for flow in (0.0, 1.0, 2.0)),
    "kv_table": (KvPoint(0.0, 0.1), KvPoint(4.0, 3.0)),
}


def example(kind: type[Component]) -> Component:
    """Return a component of a kind with every required number set to 1."""
    required = {
        field.name: _NEEDED.get(field.name, 1.0)
        for field in msgspec.structs.fields(kind)
        if field.required and field.name != "tag"
    }
    return kind(tag="X-1", **required)


@pytest.mark.parametrize("kind", KINDS.values(), ids=KINDS.keys())
def test_every_port_is_in_a_way_or_a_point_but_not_both(kind: type[Component]) -> None:
    component = example(kind)
    passed = {port for way in ways(component) for port in way[1:]}
    joined = set(one_point(component))
    assert not passed & joined
    if len(component.ports) > 1:
        assert passed | joined == set(component.ports)
    else:
        assert not passed | joined


def test_a_chiller_has_a_loop_side_and_a_sea_side() -> None:
    assert ways(example(Chiller)) == (
        Way("", "water_in", "water_out"),
        Way(":sea", "sea_in", "sea_out"),
    )


def test_a_three_way_valve_counts_flow_from_common_as_positive() -> None:
    assert [way[:2] for way in ways(example(ThreeWayValve))] == [
        (":through", "common"),
        (":bypass", "common"),
    ]


def test_a_flow_meter_has_a_way_only_with_a_kv() -> None:
    free, throttling = FlowMeter(tag="FM-1"), FlowMeter(tag="FM-2", kv_m3_h=4.0)
    assert ways(free) == () and one_point(free) == ("inlet", "outlet")
    assert ways(throttling) == (Way("", "inlet", "outlet"),) and one_point(throttling) == ()
