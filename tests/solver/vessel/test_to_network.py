# SPDX-License-Identifier: MIT
"""From the drawing to the network: every kind's link, ends of runs, liquids, heights and refusals."""

from __future__ import annotations

import math
from typing import Any

import msgspec
import pytest

from solver.errors import NotSolvableError, PartError
from solver.media.liquid import mass_share, properties
from solver.network.certificate import passive_loss
from solver.network.network import (
    GRAVITY,
    Limiter,
    Link,
    Medium,
    Network,
    OneWay,
    Passive,
    PumpLink,
)
from solver.parts.fittings import EXIT_K, NOZZLE_ENTRANCE_K, fitting_loss, reducer
from solver.parts.pipe_sizes import pipe_size
from solver.parts.rated_drop import RATED_DENSITY, RATED_VISCOSITY
from solver.vessel.components import (
    AirHandler,
    AirSeparator,
    AirVent,
    AnyComponent,
    BufferTank,
    CheckValve,
    Chiller,
    CirculationPump,
    ConstantFlowValve,
    DifferentialBypass,
    DropPoint,
    ExpansionVessel,
    FlexibleHose,
    FlowMeter,
    IsolatingValve,
    KvPoint,
    Manifold,
    Overboard,
    PumpPoint,
    RegulatingValve,
    Strainer,
    Tee,
    ThreeWayValve,
    ThroughHull,
    TwoWayValve,
)
from solver.vessel.run import Fitting
from solver.vessel.to_network import to_network
from solver.vessel.vessel import Conditions, LoopLiquid, Method, Vessel
from tests.solver.small_vessels import CURVE, KV_TABLE, SERIES, Sketch, changed, sound_vessel

approx = pytest.approx
#: Loss of one bar at 1 L/s of the liquid, were it of 1000 kg/m3.
KV_OF_1_L_S = 3.6


def between_manifolds(part: AnyComponent, size: str = "28x1.5", **vessel: Any) -> Vessel:
    """Return a part with a run on either side of it, each ending at a manifold."""
    sketch = Sketch()
    sketch.add(Manifold(tag="M-1", port_count=2), part, Manifold(tag="M-2", port_count=2))
    into, out = part.ports[0], part.ports[1]
    sketch.run(("M-1", "1"), (part.tag, into), size=size)
    sketch.run((part.tag, out), ("M-2", "1"), size=size)
    return sketch.vessel(**vessel)


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


def test_ends_and_tags_are_those_of_the_drawing() -> None:
    network = to_network(between_manifolds(Strainer(tag="ST-1", kv_m3_h=10.0)))
    # A manifold's ports are one point, named by its first.
    assert {(link.tag, link.start, link.end) for link in network.links} == {
        ("R-1", "M-1/1", "ST-1/inlet"),
        ("ST-1", "ST-1/inlet", "ST-1/outlet"),
        ("R-2", "ST-1/outlet", "M-2/1"),
    }
    assert {node.tag for node in network.nodes} == {"M-1/1", "ST-1/inlet", "ST-1/outlet", "M-2/1"}


def test_a_part_that_no_run_reaches_is_left_out() -> None:
    vessel = between_manifolds(Strainer(tag="ST-1", kv_m3_h=10.0))
    lone = AirHandler(tag="AH-9", design_flow_L_s=0.1, rated_flow_L_s=0.1, rated_drop_kPa=10.0)
    vessel = msgspec.structs.replace(vessel, components=(*vessel.components, lone))
    network = to_network(vessel)
    assert "AH-9" not in network.link_by_tag
    assert not any(node.tag.startswith("AH-9") for node in network.nodes)


# Every kind's link.


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


# Runs: fittings, ends, size.


def run_between(one: AnyComponent, other: AnyComponent, sizes: tuple[str, ...] = (), **run: Any) -> Network:
    """Return the network of a run from ``one``'s last port to ``other``'s first, with more runs beyond."""
    sketch = Sketch()
    sketch.add(one, other, Manifold(tag="M-8"), Manifold(tag="M-9"))
    sketch.run((one.tag, one.ports[1]), (other.tag, other.ports[0]), size="22x1.0", **run)
    for size in sizes:
        sketch.run((other.tag, other.ports[1]), ("M-9", "1"), size=size)
    return to_network(sketch.vessel(method=Method(fittings=run.pop("method", "crane"))))


def first_run(network: Network) -> Passive:
    link = network.link_by_tag["R-1"]
    assert isinstance(link, Passive)
    return link


STRAINER = Strainer(tag="X", kv_m3_h=10.0)
OTHER = Strainer(tag="Y", kv_m3_h=10.0)


def test_a_run_has_the_bore_and_roughness_of_its_size() -> None:
    link = first_run(run_between(STRAINER, OTHER, length_m=7.5))
    size = pipe_size(SERIES, "22x1.0")
    assert (link.length, link.bore, link.roughness) == (
        7.5,
        approx(size.bore_mm * 1e-3),
        approx(size.roughness_mm * 1e-3),
    )
    assert (link.k, link.k_reverse, link.k_reynolds) == (0.0, 0.0, 0.0)


@pytest.mark.parametrize("method", ["crane", "hooper", "darby"])
def test_fittings_by_each_method(method: Any) -> None:
    fittings = (Fitting("elbow_90", 3), Fitting("gate_valve", 1))
    sketch = Sketch()
    sketch.add(STRAINER, OTHER)
    sketch.run(("X", "outlet"), ("Y", "inlet"), size="22x1.0", fittings=fittings, extra_k=0.7)
    link = first_run(to_network(sketch.vessel(method=Method(fittings=method))))
    elbow, valve = (fitting_loss(kind, method, link.bore) for kind in ("elbow_90", "gate_valve"))
    assert link.k == link.k_reverse == approx(0.7 + 3 * elbow[0] + valve[0])
    assert link.k_reynolds == approx(3 * elbow[1] + valve[1])
    assert (link.k_reynolds > 0) is (method != "crane")


def test_a_manifold_costs_an_exit_going_in_and_an_entrance_coming_out() -> None:
    into = first_run(run_between(STRAINER, Manifold(tag="M-1")))
    assert (into.k, into.k_reverse) == (EXIT_K, NOZZLE_ENTRANCE_K)
    both = first_run(run_between(Manifold(tag="M-1"), Manifold(tag="M-2")))
    assert both.k == both.k_reverse == EXIT_K + NOZZLE_ENTRANCE_K


def test_tank_nozzles_are_on_the_runs() -> None:
    one = first_run(run_between(STRAINER, BufferTank(tag="BT-1", nozzle_kv_m3_h=12.0)))
    assert one.kv == approx(12.0)
    two = first_run(
        run_between(BufferTank(tag="BT-1", nozzle_kv_m3_h=12.0), BufferTank(tag="BT-2", nozzle_kv_m3_h=9.0))
    )
    assert two.kv == approx((12.0**-2 + 9.0**-2) ** -0.5)


@pytest.mark.parametrize("joint", [Tee(tag="J"), AirVent(tag="J"), FlowMeter(tag="J")])
@pytest.mark.parametrize(("size", "smaller"), [("35x1.5", True), ("15x1.0", False), ("22x1.0", None)])
def test_a_change_of_size_counts_with_the_smaller_run(
    joint: AnyComponent, size: str, smaller: bool | None
) -> None:
    network = run_between(STRAINER, joint, (size,))
    link, beyond = first_run(network), network.link_by_tag["R-2"]
    assert isinstance(beyond, Passive)
    narrowing, widening = reducer(max(link.bore, beyond.bore), min(link.bore, beyond.bore))
    # R-1 runs into the joint, R-2 out of it and into a manifold.
    at_manifold = EXIT_K, NOZZLE_ENTRANCE_K
    if smaller is None:
        assert (link.k, link.k_reverse) == (0.0, 0.0)
        assert (beyond.k, beyond.k_reverse) == at_manifold
    elif smaller:
        assert (link.k, link.k_reverse) == (approx(widening), approx(narrowing))
        assert (beyond.k, beyond.k_reverse) == at_manifold
    else:
        assert (link.k, link.k_reverse) == (0.0, 0.0)
        assert beyond.k == approx(narrowing + at_manifold[0])
        assert beyond.k_reverse == approx(widening + at_manifold[1])


def test_a_branch_of_another_size_has_no_reducer() -> None:
    sketch = Sketch()
    sketch.add(Tee(tag="J"), Manifold(tag="M-1"))
    for number, (port, size) in enumerate(
        (("run_1", "35x1.5"), ("run_2", "35x1.5"), ("branch", "15x1.0")), 1
    ):
        sketch.run(("J", port), ("M-1", str(number)), size=size)
    link = to_network(sketch.vessel()).link_by_tag["R-3"]
    assert isinstance(link, Passive)
    assert (link.k, link.k_reverse) == (EXIT_K, NOZZLE_ENTRANCE_K)


def test_tees_know_their_legs_and_which_way_their_runs_go() -> None:
    sketch = Sketch()
    sketch.add(Tee(tag="TE-1", k_branch=1.4), Tee(tag="TE-2"), Tee(tag="TE-3"), Manifold(tag="M-1"))
    sketch.run(("M-1", "1"), ("TE-1", "run_1"))
    sketch.run(("TE-1", "run_2"), ("TE-2", "run_1"))
    sketch.run(("M-1", "2"), ("TE-1", "branch"))
    one, two = to_network(sketch.vessel()).tees
    assert (one.tag, one.legs, one.signs) == ("TE-1", ("R-1", "R-2", "R-3"), (1, -1, 1))
    assert (math.isnan(one.k_run), one.k_branch) == (True, 1.4)
    assert (two.tag, two.legs[0], two.signs[0], two.legs[1:]) == ("TE-2", "R-2", 1, ("", ""))
    # TE-3 has no run, so there is nothing of it in the network.


@pytest.mark.parametrize(("tees", "lagged"), [("flow_split", True), ("constant", False)])
def test_the_method_of_tees(tees: Any, lagged: bool) -> None:
    assert to_network(sound_vessel(method=Method(tees=tees))).lagged_tees is lagged


# Pressures held, heights, liquids.


def node(network: Network, tag: str) -> Any:
    return next(one for one in network.nodes if one.tag == tag)


def test_an_expansion_vessel_holds_its_pressure() -> None:
    network = to_network(changed(sound_vessel(), "EV-1", pressure_kPa=130.0, height_m=0.5))
    held = node(network, "EV-1/connection")
    assert (held.pressure, held.height) == (130e3, 0.5)
    assert sum(one.pressure is not None for one in network.nodes) == 3  # and the sea at either end


def test_the_sea_holds_what_the_depth_makes_it() -> None:
    vessel = changed(changed(sound_vessel(), "TH-1", height_m=-1.2), "OB-1", height_m=-0.3)
    network = to_network(vessel)
    sea = network.media[1].density
    assert node(network, "TH-1/sea").pressure == approx(sea * GRAVITY * 1.2)
    assert node(network, "TH-1/sea").height == -1.2
    assert node(network, "OB-1/connection").pressure == approx(sea * GRAVITY * 0.3)
    above = to_network(changed(sound_vessel(), "OB-1", height_m=0.8))
    assert node(above, "OB-1/connection").pressure == 0.0


def test_a_through_hull_takes_its_k_coming_in_and_an_exit_going_out() -> None:
    link = to_network(changed(sound_vessel(), "TH-1", k=2.2, bore_mm=32.0)).link_by_tag["TH-1"]
    assert isinstance(link, Passive)
    assert (link.start, link.bore, link.k, link.k_reverse, link.medium) == (
        "TH-1/sea",
        approx(0.032),
        2.2,
        EXIT_K,
        1,
    )


def test_holders_that_no_run_reaches_hold_nothing() -> None:
    sketch = Sketch()
    sketch.add(ExpansionVessel(tag="EV-1"), ThroughHull(tag="TH-1"), Overboard(tag="OB-1"), STRAINER, OTHER)
    sketch.run(("X", "outlet"), ("Y", "inlet"))
    network = to_network(sketch.vessel())
    assert all(one.pressure is None for one in network.nodes)
    assert "TH-1" not in network.link_by_tag


def test_an_overboard_costs_an_exit() -> None:
    network = to_network(sound_vessel())
    run = next(link for link in network.links if link.end == "OB-1/connection")
    assert isinstance(run, Passive)
    assert run.k == approx(EXIT_K)
    assert run.k_reverse == approx(NOZZLE_ENTRANCE_K)


def test_every_port_is_at_its_components_height() -> None:
    vessel = sound_vessel()
    network = to_network(vessel)
    for one in network.nodes:
        tag = one.tag.split("/")[0]
        assert one.height == vessel.heights.by_tag[tag], one.tag


@pytest.mark.parametrize(
    ("liquid", "share"),
    [
        (LoopLiquid(temp_C=12.0), 0.0),
        (LoopLiquid(kind="water", share_percent=30.0, temp_C=12.0), 0.0),
        (LoopLiquid(kind="propylene_glycol", share_percent=30.0, share_by="mass", temp_C=4.0), 0.3),
        (
            LoopLiquid(kind="propylene_glycol", share_percent=30.0, share_by="volume", temp_C=4.0),
            mass_share("propylene_glycol", 0.3),
        ),
        (LoopLiquid(kind="ethylene_glycol", share_percent=25.0, share_by="mass", temp_C=-5.0), 0.25),
    ],
)
def test_the_loops_liquid(liquid: LoopLiquid, share: float) -> None:
    medium = to_network(sound_vessel(loop_liquid=liquid)).media[0]
    state = properties(liquid.kind, liquid.temp_C, share)
    assert (medium.density, medium.viscosity) == (state.density, state.viscosity)


def test_the_seas_liquid_is_that_of_the_conditions_chosen() -> None:
    conditions = (
        Conditions(name="Summer", sea_temp_C=30.0),
        Conditions(name="North", sea_temp_C=4.0, sea_salinity_g_kg=10.0),
    )
    network = to_network(sound_vessel(conditions=conditions, condition="North"))
    state = properties("sea_water", 4.0, 0.010)
    assert network.media[1].density == state.density
    at_sea = {"SP-1", "ST-90", "V-90", "TH-1", "CH-1:sea"}
    assert {
        link.tag for link in network.links if link.medium == 1 and not link.tag.startswith("R-")
    } == at_sea


# Refusals.


def test_a_frozen_loop_is_refused() -> None:
    with pytest.raises(NotSolvableError, match="freez"):
        to_network(sound_vessel(loop_liquid=LoopLiquid(temp_C=-5.0)))


@pytest.mark.parametrize(
    ("tag", "fields", "problem"),
    [
        ("R-3", {"size": "no-such-size"}, "R-3: .*no-such-size"),
        ("R-3", {"series": "no_such_series"}, "R-3: .*no_such_series"),
        ("R-3", {"fittings": (Fitting("no_such_bend"),)}, "R-3: .*no_such_bend"),
        ("P-1", {"curve": CURVE[::-1]}, "P-1: .*must rise from point to point"),
        (
            "RV-1",
            {"kv_table": (KvPoint(0.0, 2.0), KvPoint(2.0, 1.0)), "setting": 1.0},
            "RV-1: a Kv table needs two or more rows",
        ),
        (
            "AH-1",
            {"drop_points": (DropPoint(0.2, 10.0), DropPoint(0.2, 12.0))},
            "AH-1: .*must not all be at one flow",
        ),
        (
            "CH-1",
            {"drop_points": (DropPoint(0.2, 10.0), DropPoint(0.2, 12.0))},
            "CH-1: .*must not all be at one flow",
        ),
    ],
)
def test_parts_that_make_no_sense_are_named(tag: str, fields: dict[str, Any], problem: str) -> None:
    with pytest.raises(PartError, match=problem) as told:
        to_network(changed(sound_vessel(), tag, **fields))
    assert told.value.tags == (tag,)


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
