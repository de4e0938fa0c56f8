# SPDX-License-Identifier: MIT
"""From the drawing to the network: ends of runs, tees, liquids, heights and refusals."""

from __future__ import annotations

import math
from typing import Any

import msgspec
import pytest

from solver.errors import NotSolvableError, PartError
from solver.media.liquid import mass_share, properties
from solver.network.network import (
    GRAVITY,
    Network,
    Passive,
)
from solver.parts.fittings import EXIT_K, NOZZLE_ENTRANCE_K, fitting_loss, reducer
from solver.parts.pipe_sizes import pipe_size
from solver.vessel.components import (
    AirHandler,
    AirVent,
    AnyComponent,
    BufferTank,
    DropPoint,
    ExpansionVessel,
    FlowMeter,
    KvPoint,
    Manifold,
    Overboard,
    Strainer,
    Tee,
    ThroughHull,
)
from solver.vessel.run import Fitting
from solver.vessel.to_network import to_network
from solver.vessel.vessel import Conditions, LoopLiquid, Method
from tests.solver.small_vessels import (
    CURVE,
    SERIES,
    Sketch,
    between_manifolds,
    changed,
    sound_vessel,
)

approx = pytest.approx


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


# Runs: fittings, ends, size.


def run_between(one: AnyComponent, other: AnyComponent, sizes: tuple[str, ...] = (), **run: Any) -> Network:
    """Return the network of a run from ``one``'s last port to ``other``'s first, with more runs beyond."""
    sketch = Sketch()
    sketch.add(one, other, Manifold(tag="M-9"))
    sketch.run((one.tag, one.ports[1]), (other.tag, other.ports[0]), size="22x1.0", **run)
    for size in sizes:
        sketch.run((other.tag, other.ports[1]), ("M-9", "1"), size=size)
    return to_network(sketch.vessel())


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
