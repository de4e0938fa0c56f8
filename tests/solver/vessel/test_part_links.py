# SPDX-License-Identifier: MIT
"""Every kind of component as a link: its law against the definition of what it is rated by."""

from __future__ import annotations

import math
from typing import Any

import pytest

from solver.media.liquid import properties
from solver.network.certificate import passive_loss
from solver.network.network import (
    GRAVITY,
    Limiter,
    Link,
    Medium,
    OneWay,
    Passive,
    PumpLink,
)
from solver.parts.fittings import fitting_loss
from solver.parts.pipe_sizes import pipe_size
from solver.parts.rated_drop import RATED_DENSITY, RATED_VISCOSITY
from solver.vessel.components import (
    AirHandler,
    AirSeparator,
    AnyComponent,
    CheckValve,
    Chiller,
    CirculationPump,
    ConstantFlowValve,
    DifferentialBypass,
    DropPoint,
    FlexibleHose,
    FlowMeter,
    IsolatingValve,
    KvPoint,
    Manifold,
    PumpPoint,
    RegulatingValve,
    Strainer,
    ThreeWayValve,
    TwoWayValve,
)
from solver.vessel.to_network import to_network
from solver.vessel.vessel import LoopLiquid
from tests.solver.small_vessels import (
    CURVE,
    KV_TABLE,
    SERIES,
    Sketch,
    between_manifolds,
    changed,
    sound_vessel,
)

approx = pytest.approx
#: Loss of one bar at 1 L/s of the liquid, were it of 1000 kg/m3.
KV_OF_1_L_S = 3.6


def link_of(part: AnyComponent, tag: str = "", **vessel: Any) -> tuple[Link, Medium]:
    """Return a part's link and the liquid in it."""
    network = to_network(between_manifolds(part, **vessel))
    link = network.link_by_tag[tag or part.tag]
    return link, network.media[link.medium]


def loss_kPa(part: AnyComponent, flow_L_s: float, tag: str = "", **vessel: Any) -> float:
    """Return what a passive part takes at a flow, worked out by the check's own code."""
    link, liquid = link_of(part, tag, **vessel)
    assert isinstance(link, Passive)
    return passive_loss(link, flow_L_s * 1e-3 * liquid.density, liquid) / 1e3


def density(**vessel: Any) -> float:
    return link_of(Strainer(tag="X", kv_m3_h=1.0), **vessel)[1].density


@pytest.mark.parametrize(
    ("part", "kv"),
    [
        (Strainer(tag="X", kv_m3_h=10.0), 10.0),
        (Strainer(tag="X", kv_m3_h=10.0, clogging_percent=60.0), 4.0),
        (AirSeparator(tag="X", kv_m3_h=12.0), 12.0),
        (FlowMeter(tag="X", kv_m3_h=5.0), 5.0),
        (IsolatingValve(tag="X", kv_m3_h=20.0), 20.0),
        (IsolatingValve(tag="X", kv_m3_h=20.0, opening_percent=50.0), 20.0 / math.sqrt(50.0)),
        (RegulatingValve(tag="X", kv_table=KV_TABLE, setting=3.0), 2.2),
        (TwoWayValve(tag="X", kvs_m3_h=4.0), 4.0),
        (TwoWayValve(tag="X", kvs_m3_h=4.0, position_percent=25.0, characteristic="linear"), 1.0),
        (TwoWayValve(tag="X", kvs_m3_h=4.0, position_percent=50.0), 4.0 / math.sqrt(50.0)),
        (TwoWayValve(tag="X", kvs_m3_h=4.0, position_percent=50.0, rangeability=100.0), 0.4),
    ],
)
def test_parts_by_kv(part: AnyComponent, kv: float) -> None:
    wanted = 100.0 * (KV_OF_1_L_S / kv) ** 2 * density() / 1000
    assert loss_kPa(part, 1.0) == approx(wanted)
    assert loss_kPa(part, -1.0) == approx(-wanted)


@pytest.mark.parametrize(
    "part",
    [
        IsolatingValve(tag="X", opening_percent=0.0),
        TwoWayValve(tag="X", kvs_m3_h=4.0, position_percent=0.0),
        RegulatingValve(tag="X", kv_table=(KvPoint(0.0, 0.0), KvPoint(4.0, 3.0)), setting=0.0),
    ],
)
def test_parts_that_are_shut(part: AnyComponent) -> None:
    link, _ = link_of(part)
    assert isinstance(link, Passive) and not link.is_open


@pytest.mark.parametrize(
    ("style", "fitting"),
    [
        ("ball", "ball_valve"),
        ("gate", "gate_valve"),
        ("butterfly", "butterfly_valve"),
        ("globe", "globe_valve"),
    ],
)
def test_an_isolating_valve_without_a_kv_has_the_k_of_its_style(style: Any, fitting: str) -> None:
    bore = pipe_size(SERIES, "28x1.5").bore_mm * 1e-3
    k, _ = fitting_loss(fitting, "crane", bore)
    velocity = 1e-3 / (math.pi / 4 * bore**2)
    wanted = k * density() / 2 * velocity**2 / 1e3
    assert loss_kPa(IsolatingValve(tag="X", style=style), 1.0) == approx(wanted, rel=1e-9)


def test_a_three_way_valve_opens_one_way_and_shuts_the_other() -> None:
    sketch = Sketch()
    sketch.add(
        ThreeWayValve(tag="V-1", kvs_m3_h=6.0, position_percent=75.0, characteristic="linear"),
        Manifold(tag="M-1", port_count=4),
    )
    for number, port in enumerate(("common", "through", "bypass"), start=1):
        sketch.run(("V-1", port), ("M-1", str(number)))
    links = to_network(sketch.vessel()).link_by_tag
    through, bypass = links["V-1:through"], links["V-1:bypass"]
    assert isinstance(through, Passive) and isinstance(bypass, Passive)
    assert (through.kv, bypass.kv) == (approx(4.5), approx(1.5))
    assert through.start == bypass.start == "V-1/common"
    fully = to_network(changed(sketch.vessel(), "V-1", position_percent=100.0)).link_by_tag
    assert not fully["V-1:bypass"].is_open  # type: ignore[union-attr]


def test_an_air_handler_by_its_rated_point() -> None:
    """In rated water (10 degC) it takes its rated drop, at half the flow 0.5**1.8 of it."""
    part = AirHandler(tag="X", design_flow_L_s=0.2, rated_flow_L_s=0.25, rated_drop_kPa=16.0)
    cold = {"loop_liquid": LoopLiquid(temp_C=10.0)}
    assert loss_kPa(part, 0.25, **cold) == approx(16.0, rel=2e-3)
    assert loss_kPa(part, 0.125, **cold) == approx(16.0 * 0.5**1.8, rel=2e-3)


def test_an_air_handler_by_measured_points() -> None:
    points = tuple(DropPoint(flow, 400.0 * flow**2) for flow in (0.1, 0.2, 0.3))
    part = AirHandler(
        tag="X", design_flow_L_s=0.2, rated_flow_L_s=0.25, rated_drop_kPa=99.0, drop_points=points
    )
    assert loss_kPa(part, 0.2) == approx(16.0 * density() / RATED_DENSITY)


def test_glycol_raises_a_coils_drop() -> None:
    """At one volume flow by density**(n - 1) * viscosity**(2 - n)."""
    part = AirHandler(tag="X", design_flow_L_s=0.2, rated_flow_L_s=0.25, rated_drop_kPa=16.0)
    liquid = LoopLiquid(kind="propylene_glycol", share_percent=40.0, share_by="mass", temp_C=5.0)
    state = properties("propylene_glycol", 5.0, 0.4)
    factor = (state.density / RATED_DENSITY) ** 0.8 * (state.viscosity / RATED_VISCOSITY) ** 0.2
    assert factor > 1.3
    assert loss_kPa(part, 0.25, loop_liquid=liquid) == approx(16.0 * factor)


def test_a_chiller_has_two_ways() -> None:
    network = to_network(sound_vessel())
    evaporator, condenser = network.link_by_tag["CH-1"], network.link_by_tag["CH-1:sea"]
    assert isinstance(evaporator, Passive) and isinstance(condenser, Passive)
    assert (evaporator.medium, condenser.medium) == (0, 1)
    liquid, sea = network.media
    wanted = 20.0 * (liquid.density / RATED_DENSITY) ** 0.8 * (liquid.viscosity / RATED_VISCOSITY) ** 0.2
    assert passive_loss(evaporator, 0.6e-3 * liquid.density, liquid) / 1e3 == approx(wanted)
    wanted = 20.0 * (sea.density / RATED_DENSITY) ** 0.8 * (sea.viscosity / RATED_VISCOSITY) ** 0.2
    assert passive_loss(condenser, 1e-3 * sea.density, sea) / 1e3 == approx(wanted)


def test_a_hose_is_a_pipe_with_a_k() -> None:
    link, _ = link_of(FlexibleHose(tag="X", bore_mm=25.0, length_m=0.7, roughness_mm=0.02, k=1.4))
    assert isinstance(link, Passive)
    assert (link.length, link.bore, link.roughness, link.k, link.k_reverse) == (
        0.7,
        0.025,
        approx(2e-5),
        1.4,
        1.4,
    )


def test_a_check_valve() -> None:
    link, _ = link_of(CheckValve(tag="X", kv_m3_h=9.0, cracking_kPa=1.5))
    assert isinstance(link, OneWay)
    assert (link.kv, link.threshold, link.band) == (9.0, 1500.0, 0.0)


def test_a_differential_bypass() -> None:
    link, _ = link_of(DifferentialBypass(tag="X", set_kPa=40.0, band_kPa=6.0, kv_m3_h=5.0))
    assert isinstance(link, OneWay)
    assert (link.kv, link.threshold, link.band) == (5.0, 40e3, 6e3)


def test_a_constant_flow_cartridge() -> None:
    link, liquid = link_of(ConstantFlowValve(tag="X", flow_L_s=0.3))
    assert isinstance(link, Limiter)
    assert (link.flow, link.low, link.high) == (approx(0.3e-3 * liquid.density), 15e3, 200e3)
    upside_down, _ = link_of(
        ConstantFlowValve(tag="X", flow_L_s=0.3, minimum_drop_kPa=50.0, maximum_drop_kPa=20.0)
    )
    assert isinstance(upside_down, Limiter)
    assert upside_down.high > upside_down.low


def test_a_pump() -> None:
    link, _ = link_of(CirculationPump(tag="X", curve=CURVE, speed_percent=80.0))
    assert isinstance(link, PumpLink)
    assert link.speed == approx(0.8)
    assert link.curve.head(0.4e-3) == approx(10.0 - 6.0 * 0.16)
    assert link.curve.npsh_required_at(0.4e-3) == approx(2.0)
    assert link.curve.efficiency is None
    stopped, _ = link_of(CirculationPump(tag="X", curve=CURVE, running=False))
    assert isinstance(stopped, PumpLink) and stopped.speed == 0.0


def test_a_pumps_efficiency_from_its_shaft_power() -> None:
    """Of 0.5 L/s at 8 m in water: 39.2 W of 80 W at the shaft."""
    curve = (
        PumpPoint(0.0, 10.0, power_W=50.0),
        PumpPoint(0.5, 8.0, power_W=80.0),
        PumpPoint(1.0, 3.0, power_W=90.0),
    )
    link, liquid = link_of(CirculationPump(tag="X", curve=curve))
    assert isinstance(link, PumpLink)
    assert link.curve.efficiency_at(0.5e-3) == approx(liquid.density * GRAVITY * 0.5e-3 * 8.0 / 80.0)


def test_efficiency_of_some_points_only_is_not_used() -> None:
    curve = (PumpPoint(0.0, 10.0), PumpPoint(0.5, 8.0, efficiency_percent=50.0), PumpPoint(1.0, 3.0))
    link, _ = link_of(CirculationPump(tag="X", curve=curve))
    assert isinstance(link, PumpLink) and link.curve.efficiency is None


def test_every_kind_with_a_way_has_a_link() -> None:
    """No kind is forgotten: each in-line kind between manifolds becomes a link of its tag."""
    flow = {"design_flow_L_s": 0.2, "rated_flow_L_s": 0.2, "rated_drop_kPa": 10.0}
    parts: list[AnyComponent] = [
        CirculationPump(tag="X", curve=CURVE),
        Chiller(tag="X", capacity_kW=5.0, **flow),
        AirHandler(tag="X", **flow),
        IsolatingValve(tag="X"),
        RegulatingValve(tag="X", kv_table=KV_TABLE, setting=1.0),
        CheckValve(tag="X", kv_m3_h=5.0),
        TwoWayValve(tag="X", kvs_m3_h=5.0),
        DifferentialBypass(tag="X", set_kPa=30.0, kv_m3_h=5.0),
        ConstantFlowValve(tag="X", flow_L_s=0.2),
        Strainer(tag="X", kv_m3_h=5.0),
        AirSeparator(tag="X", kv_m3_h=5.0),
        FlexibleHose(tag="X", bore_mm=20.0),
        FlowMeter(tag="X", kv_m3_h=5.0),
    ]
    for part in parts:
        assert link_of(part)[0].tag == "X"
