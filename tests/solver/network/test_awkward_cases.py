# SPDX-License-Identifier: MIT
"""The awkward cases of a loop on board, each by its name.

``solved`` holds every answer to the check and to Hardy-Cross; what is asserted beyond that follows
from the case itself: a closed form, a symmetry, or the same loop drawn another way.
"""

from __future__ import annotations

import math

import msgspec
import numpy as np
import pytest
from scipy.optimize import brentq

from solver.change import Change
from solver.errors import NotSolvableError
from solver.network.compiled import CompiledNetwork
from solver.network.network import (
    Link,
    Medium,
    Network,
    check_valve,
    fitting,
    pipe,
    pump,
    valve,
)
from solver.network.newton import newton
from solver.parts.pump_curve import PumpCurve
from tests.networks import regular_loop
from tests.solver.network.loops import (
    GLYCOL,
    GRAVITY,
    PUMP,
    SQUARE_PUMP,
    WATER,
    coil,
    network,
    same_flows,
    solved,
    square,
    two_branches,
)

approx = pytest.approx
COPPER = 1.5e-6


def test_zero_flow() -> None:
    links = (
        pipe("R-1", "suction", "top", length=5, bore=0.02),
        coil("AH-1", "top", "far"),
        pipe("R-2", "far", "overboard", length=5, bore=0.02, k=2),
    )
    held = {"suction": 50e3, "overboard": 50e3}
    found = solved(network(*links, held=held, height={"top": 3.0}))
    assert (found.flow == 0.0).all()
    assert found.pressure_at("top") == approx(50e3 - 1000 * GRAVITY * 3.0)
    assert found.pressure_at("far") == approx(50e3)


def test_shut_valves() -> None:
    links = two_branches(kv_2=0.0)
    found = solved(network(*links))
    alone = solved(network(*(link for link in links if link.tag not in ("AH-2", "V-2"))))
    assert found.flow_of("AH-2") == 0.0 and found.flow_of("V-2") == 0.0
    same_flows(alone, found)
    # No flow, no loss: the shut valve holds the whole difference between the mains.
    assert found.loss_of("V-2") == approx(found.pressure_at("S") - found.pressure_at("R"))


def test_a_part_cut_off() -> None:
    links = (*two_branches(kv_2=0.0), valve("V-3", "S", "c", kv=0.0), coil("AH-3", "b", "c"))
    links = tuple(link for link in links if link.tag != "AH-2")
    found = solved(network(*links))
    for node in ("b", "c"):
        assert math.isnan(found.pressure_at(node))
    assert not np.isnan(found.flow).any()
    assert found.flow_of("AH-3") == 0.0
    assert found.flow_of("AH-1") > 0.1


def test_a_loop_cut_off_with_a_pump_in_it_still_turns() -> None:
    inner = (
        pump("P-2", "x", "y", SQUARE_PUMP),
        square("R-3", "y", "x", 4e4),
        valve("V-3", "x", "S", kv=0.0),
    )
    found = solved(network(*two_branches(), *inner))
    # 10 m - 1e6 (q/rho)**2 against 4e4 q**2.
    flow = math.sqrt(1000 * GRAVITY * 10 / (4e4 + 1000 * GRAVITY * 1e6 / 1000**2))
    assert found.flow_of("P-2") == approx(flow, rel=1e-9)
    assert math.isnan(found.pressure_at("y"))
    assert found.loss_of("R-3") == approx(4e4 * flow**2, rel=1e-9)


def test_dead_legs() -> None:
    links = (
        *two_branches(),
        pipe("R-9", "S", "end", length=12, bore=0.02, k=4),
        pipe("R-10", "end", "cap", length=1, bore=0.01),
    )
    found = solved(network(*links, height={"cap": 2.5}))
    assert found.flow_of("R-9") == 0.0 and found.flow_of("R-10") == 0.0
    assert found.pressure_at("cap") == approx(found.pressure_at("S") - 1000 * GRAVITY * 2.5)
    same_flows(solved(network(*two_branches())), found)


def test_a_lone_loop() -> None:
    found = solved(network(pump("P-1", "suction", "far", SQUARE_PUMP), square("R-1", "far", "suction", 2e4)))
    flow = math.sqrt(1000 * GRAVITY * 10 / (2e4 + GRAVITY * 1e6 / 1000))
    assert found.flow_of("R-1") == approx(flow, rel=1e-9)
    assert found.pressure_at("far") == approx(100e3 + 2e4 * flow**2, rel=1e-9)


def parallel_pumps(speed_2: float, curve_2: PumpCurve = PUMP, *, check: bool = True) -> tuple[Link, ...]:
    return (
        pump("P-1", "suction", "d1", PUMP),
        check_valve("CV-1", "d1", "header", kv=20),
        pump("P-2", "suction", "d2", curve_2, speed=speed_2),
        check_valve("CV-2", "d2", "header", kv=20) if check else valve("CV-2", "d2", "header", kv=20),
        pipe("R-1", "header", "far", length=30, bore=0.035, roughness=COPPER),
        coil("AH-1", "far", "suction", 1.5e4),
    )


def test_parallel_pumps_with_one_off_and_a_check_valve() -> None:
    links = parallel_pumps(0.0)
    found = solved(network(*links))
    alone = solved(network(*(link for link in links if link.tag not in ("P-2", "CV-2"))))
    assert found.flow_of("P-2") == 0.0 and found.flow_of("CV-2") == 0.0
    same_flows(alone, found)
    assert found.pressure_at("d2") == approx(100e3)  # the stopped pump passes the suction's pressure
    assert found.loss_of("CV-2") < -1e3


def test_check_valve_that_must_close() -> None:
    """A weak pump beside a strong one would be driven backwards."""
    weak = PumpCurve([0.0, 1e-3, 2e-3], [4.0, 3.0, 1.0])
    found = solved(network(*parallel_pumps(1.0, weak)))
    assert found.flow_of("P-2") == 0.0
    assert -found.loss_of("P-2") == approx(1000 * GRAVITY * 4.0, rel=1e-9)
    assert found.pressure_at("header") - found.pressure_at("d2") > 1e3


def test_pump_dead_headed() -> None:
    found = solved(network(*two_branches(kv_1=0.0, kv_2=0.0)))
    assert np.abs(found.flow).max() < 1e-11
    assert found.pressure_at("header") == approx(100e3 + 1000 * GRAVITY * 10.0)
    assert found.pressure_at("a") == approx(found.pressure_at("header"))
    assert found.pressure_at("R") == approx(100e3)


def test_pump_run_out() -> None:
    """Past the last point the curve goes on with its slope and a square term."""
    links = (pump("P-1", "suction", "far", PUMP), square("R-1", "far", "suction", 300.0))
    found = solved(network(*links))
    slope = PUMP.head_curve(3e-3)[1]
    wanted = brentq(
        lambda q: (
            1.0 + slope * (q - 3e-3) - PUMP.square * (q - 3e-3) ** 2 - 300 * (1e3 * q) ** 2 / 1e3 / GRAVITY
        ),
        3e-3,
        6e-3,
        xtol=1e-15,
    )
    assert found.flow_of("P-1") == approx(1000 * wanted, rel=1e-8)
    assert wanted > PUMP.last_flow


def test_reverse_flow_against_a_pump() -> None:
    weak = PumpCurve([0.0, 1e-3, 2e-3], [4.0, 3.0, 1.0])
    found = solved(network(*parallel_pumps(1.0, weak, check=False)))
    flow = found.flow_of("P-2") / 1000
    assert flow < -1e-4
    slope = float(weak.head_curve(0.0)[1])
    head = 4.0 + slope * flow + weak.square * flow**2
    assert head > 4.0
    assert -found.loss_of("P-2") == approx(1000 * GRAVITY * head, rel=1e-7)


def test_reverse_flow_through_a_stopped_pump() -> None:
    found = solved(network(*parallel_pumps(0.0, check=False)))
    flow = found.flow_of("P-2") / 1000
    assert flow < -1e-4
    assert found.loss_of("P-2") == approx(-1000 * GRAVITY * PUMP.square * flow**2, rel=1e-7)


def test_all_pumps_off() -> None:
    links = parallel_pumps(0.0)
    stopped = msgspec.structs.replace(links[0], speed=0.0)
    found = solved(network(stopped, *links[1:], height={"far": 4.0}))
    assert (found.flow == 0.0).all()
    assert found.pressure_at("far") == approx(100e3 - 1000 * GRAVITY * 4.0)


def test_laminar_glycol() -> None:
    """Hagen and Poiseuille: dp = 128 mu L q / (pi rho d**4)."""
    line = pipe("R-1", "a", "b", length=20, bore=0.012, roughness=4.5e-5)
    found = solved(network(line, held={"a": 6e3, "b": 0.0}, media=(GLYCOL,)))
    flow = 6e3 * math.pi * GLYCOL.density * 0.012**4 / (128 * GLYCOL.viscosity * 20)
    assert 4 * flow / (math.pi * 0.012 * GLYCOL.viscosity) < 2000
    assert found.flow_of("R-1") == approx(flow, rel=1e-9)


def test_bores_from_6_mm_to_400_mm_in_one_loop() -> None:
    bores = (0.4, 0.2, 0.1, 0.05, 0.025, 0.012, 0.006)
    names = ["far", *(f"n{number}" for number in range(len(bores) - 1)), "suction"]
    series = [
        pipe(f"R-{number}", names[number], names[number + 1], length=2, bore=bore, roughness=4.5e-5)
        for number, bore in enumerate(bores)
    ]
    wide = pipe("R-w", "far", "suction", length=300, bore=0.4, roughness=4.5e-5, k=400)
    big = PumpCurve([0.0, 0.05, 0.15], [20.0, 18.0, 8.0])
    found = solved(network(pump("P-1", "suction", "far", big), *series, wide))
    flows = [found.flow_of(link.tag) for link in series]
    assert flows == approx([flows[0]] * len(flows), abs=1e-9 * found.flow_of("P-1"))
    # The narrowest takes nearly all, the widest next to nothing.
    assert found.loss_of("R-6") > 0.9 * -found.loss_of("P-1")
    assert found.flow_of("R-w") > 500 * flows[0]


def test_1_mm_runs_beside_100_m_runs() -> None:
    """A run cut in two, one of them a millimetre long, carries what the whole run did."""
    drive = pump("P-1", "suction", "far", PUMP)
    whole = solved(network(drive, pipe("R-1", "far", "suction", length=100.001, bore=0.03, roughness=COPPER)))
    for first, second in ((100.0, 0.001), (0.001, 100.0)):
        cut = solved(
            network(
                drive,
                pipe("R-1", "far", "m", length=first, bore=0.03, roughness=COPPER),
                pipe("R-2", "m", "suction", length=second, bore=0.03, roughness=COPPER),
            )
        )
        assert cut.flow_of("R-2") == approx(whole.flow_of("R-1"), rel=1e-9)


def test_two_circuits_in_one_drawing() -> None:
    first = two_branches()
    second = (
        pump("P-9", "low", "high", SQUARE_PUMP, medium=1),
        pipe("R-9", "high", "low", length=40, bore=0.03, roughness=COPPER, medium=1),
    )
    held = {"suction": 100e3, "low": 20e3}
    both = solved(network(*first, *second, held=held, media=(WATER, GLYCOL)))
    same_flows(solved(network(*first)), both)
    one = solved(network(*second, held=held, media=(WATER, GLYCOL)))
    same_flows(one, both)
    assert both.pressure_at("high") == approx(one.pressure_at("high"))


def test_air_handlers_in_series() -> None:
    links = (
        pump("P-1", "suction", "S", SQUARE_PUMP),
        square("AH-1", "S", "m", 3e4),
        square("AH-2", "m", "suction", 5e4),
    )
    found = solved(network(*links))
    flow = math.sqrt(1000 * GRAVITY * 10 / (8e4 + GRAVITY * 1e6 / 1000))
    assert found.flow_of("AH-1") == approx(flow, rel=1e-9)
    assert found.loss_of("AH-2") / found.loss_of("AH-1") == approx(5 / 3, rel=1e-9)


def ring(cut: bool) -> Network:
    """Return four like branches on a ring main, or on the same main cut between the middle two."""
    links: list[Link] = [pump("P-1", "suction", "S0", PUMP)]
    supply = ("S0", "S1", "S2", "S3", "S4", "S0")
    back = ("suction", "R1", "R2", "R3", "R4", "suction")
    for number in range(5):
        if cut and number == 2:
            continue
        links += [
            pipe(f"s{number}", supply[number], supply[number + 1], length=6, bore=0.026, roughness=COPPER),
            pipe(f"r{number}", back[number + 1], back[number], length=6, bore=0.026, roughness=COPPER),
        ]
    links += [coil(f"AH-{number}", f"S{number}", f"R{number}") for number in range(1, 5)]
    return network(*links)


def test_ring_mains() -> None:
    """A ring is symmetric about its middle, where nothing flows: cutting it there changes nothing."""
    found = solved(ring(cut=False))
    assert found.flow_of("AH-1") == approx(found.flow_of("AH-4"), rel=1e-8)
    assert found.flow_of("AH-2") == approx(found.flow_of("AH-3"), rel=1e-8)
    assert found.flow_of("s2") == approx(0.0, abs=1e-8)
    assert found.flow_of("s0") == approx(-found.flow_of("s4"), rel=1e-8)
    same_flows(solved(ring(cut=True)), found, 1e-7)


def test_many_references() -> None:
    """Flows between held pressures, some of them in circuits of their own."""
    links = (
        square("R-6", "A", "J", 100.0),
        square("R-7", "J", "B", 100.0),
        square("R-8", "J", "C", 100.0),
        square("R-9", "D", "E", 400.0),
        *two_branches(),
    )
    held = {"A": 90e3, "B": 50e3, "C": 50e3, "D": 40e3, "E": 0.0, "suction": 100e3}
    found = solved(network(*links, held=held))
    # A feeds B and C alike: q, q/2, q/2 with 100 q**2 + 25 q**2 = 40 kPa.
    assert found.flow_of("R-6") == approx(math.sqrt(40e3 / 125), rel=1e-9)
    assert found.flow_of("R-7") == approx(found.flow_of("R-8"), rel=1e-9)
    assert found.flow_of("R-9") == approx(10.0, rel=1e-9)
    same_flows(solved(network(*two_branches())), found)


def test_a_hump_in_a_pump_curve() -> None:
    """Two like pumps with a hump side by side: one answer from every start, the same for both."""
    humped = PumpCurve([0.0, 0.5e-3, 1e-3, 2e-3, 3e-3], [9.0, 9.6, 9.8, 7.0, 1.0])
    assert humped.humped
    links = (
        pump("P-1", "suction", "d1", humped),
        fitting("K-1", "d1", "header", k=2.0, bore=0.04),
        pump("P-2", "suction", "d2", humped),
        fitting("K-2", "d2", "header", k=2.0, bore=0.04),
        square("R-1", "header", "suction", 1.5e4),
    )
    found = solved(network(*links))
    assert found.flow_of("P-1") == approx(found.flow_of("P-2"), rel=1e-9)
    compiled = found.compiled
    for speed_1, speed_2, opening in ((0.2, 1.3, 1.0), (1.5, 0.0, 1.0), (1.0, 1.0, 1e-4), (1.0, 1.0, 1e4)):
        elsewhere = newton(
            compiled.changed(
                [
                    Change("P-1", "speed", speed_1),
                    Change("P-2", "speed", speed_2),
                    Change("R-1", "factor", opening),
                ]
            )
        )
        again = newton(compiled, elsewhere)
        np.testing.assert_allclose(again.flow, found.flow, rtol=0, atol=1e-8 * np.abs(found.flow).max())


def test_an_imposed_flow_behind_a_shut_valve_is_told() -> None:
    links = (valve("V-1", "suction", "a", kv=0.0), coil("AH-1", "a", "b"))
    with pytest.raises(
        NotSolvableError, match=r"b must deliver 0\.3 kg/s, but shut valves cut it off"
    ) as told:
        newton(CompiledNetwork(network(*links, outflow={"b": 0.3})))
    assert told.value.tags == ("b",)


def test_no_reference_names_the_parts() -> None:
    links = (*two_branches(), pump("P-9", "low", "high", PUMP), square("R-9", "high", "low", 1e4))
    with pytest.raises(NotSolvableError, match=r"no pressure reference: .*P-9") as told:
        newton(CompiledNetwork(network(*links)))
    assert set(told.value.tags) == {"P-9", "R-9"}


def test_large_loops_settle_in_few_steps() -> None:
    found = newton(CompiledNetwork(regular_loop(200, zones=4)))
    assert found.iterations < 30


def test_a_medium_per_circuit_is_named_by_its_links() -> None:
    hot = Medium(960.0, 0.3e-3)
    link = pipe("R-1", "a", "b", length=10, bore=0.02, medium=1)
    found = newton(CompiledNetwork(network(link, held={"a": 1e3, "b": 0.0}, media=(WATER, hot))))
    alone = newton(
        CompiledNetwork(
            network(msgspec.structs.replace(link, medium=0), held={"a": 1e3, "b": 0.0}, media=(hot,))
        )
    )
    assert found.flow_of("R-1") == alone.flow_of("R-1")
