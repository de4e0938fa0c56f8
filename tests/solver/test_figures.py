# SPDX-License-Identifier: MIT
"""Figures by tag agree with each other and with the definitions behind them."""

from __future__ import annotations

import math
from itertools import pairwise

import fluids
import msgspec
import numpy as np
import pytest

from solver.media.liquid import properties, vapour_pressure
from solver.network.network import GRAVITY
from solver.parts.pipe_sizes import pipe_size
from solver.results import LinkFigures, Results
from solver.solve import solve
from solver.vessel.components import AirHandler, PumpPoint
from solver.vessel.run import Fitting
from solver.vessel.vessel import Vessel
from tests.solver.small_vessels import changed, sound_vessel

approx = pytest.approx
ATMOSPHERE_PA = 101325.0
EFFICIENT = tuple(
    PumpPoint(flow, 10.0 - 6.0 * flow**2, efficiency_percent=eta, npsh_required_m=2.0)
    for flow, eta in ((0.0, 5.0), (0.4, 45.0), (0.7, 55.0), (1.0, 40.0))
)


@pytest.fixture(scope="module")
def vessel() -> Vessel:
    bends = {"fittings": (Fitting("elbow_90", 4),), "extra_k": 0.5}
    return changed(changed(sound_vessel(), "R-15", **bends), "P-1", curve=EFFICIENT)


@pytest.fixture(scope="module")
def results(vessel: Vessel) -> Results:
    return solve(vessel)


def density_of(results: Results, tag: str) -> float:
    compiled = results.solution.compiled
    return float(compiled.density[compiled.structure.index[tag]])


def test_every_run_and_way_has_figures(vessel: Vessel, results: Results) -> None:
    tags = set(results.links)
    assert {run.tag for run in vessel.runs} <= tags
    assert {"P-1", "SP-1", "CH-1", "CH-1:sea", "AH-1", "RV-2", "ST-1", "TH-1"} <= tags
    assert set(results.pumps) == {"P-1", "SP-1"}
    assert set(results.air_handlers) == {"AH-1", "AH-2", "AH-3"}


def test_a_loss_is_that_of_pipe_fittings_and_equipment(results: Results) -> None:
    for link in results.links.values():
        parts = link.pipe_kPa + link.fittings_kPa + link.equipment_kPa
        assert link.loss_kPa == approx(parts, rel=1e-9, abs=1e-9), link.tag


def test_what_each_part_is_of(vessel: Vessel, results: Results) -> None:
    runs = {run.tag for run in vessel.runs}
    for link in results.links.values():
        if link.tag in runs:
            assert abs(link.equipment_kPa) < 1e-4, link.tag
            assert link.pipe_kPa > 0 or link.flow_L_s == 0, link.tag
        elif link.tag != "TH-1":
            assert link.pipe_kPa == link.fittings_kPa == 0.0, link.tag
    assert results.links["R-15"].fittings_kPa > 0.01
    assert results.links["TH-1"].fittings_kPa > 0.01
    assert results.links["P-1"].equipment_kPa < -10.0


def test_pressures_along_a_run_differ_by_loss_and_height(vessel: Vessel, results: Results) -> None:
    heights = vessel.heights.by_tag
    for run in vessel.runs:
        link = results.links[run.tag]
        assert link.start_kPa is not None and link.end_kPa is not None
        rise = heights[run.end.tag] - heights[run.start.tag]
        weight = density_of(results, run.tag) * GRAVITY / 1e3
        assert link.start_kPa - link.end_kPa == approx(link.loss_kPa + weight * rise, abs=1e-4), run.tag


def test_ports_have_the_pressures_of_the_links_at_them(vessel: Vessel, results: Results) -> None:
    for run in vessel.runs:
        link = results.links[run.tag]
        assert results.port_kPa[run.start] == link.start_kPa
        assert results.port_kPa[run.end] == link.end_kPa
    assert results.port_kPa["EV-1", "connection"] == approx(100.0)
    assert len(results.port_kPa) == sum(len(part.ports) for part in vessel.components)
    assert set(results.port_kPa) == {(part.tag, port) for part in vessel.components for port in part.ports}


def test_flow_is_kept_at_every_joint(vessel: Vessel, results: Results) -> None:
    structure = results.solution.compiled.structure
    surplus = np.zeros(len(structure.node_tags))
    np.subtract.at(surplus, structure.start, results.solution.flow)
    np.add.at(surplus, structure.end, results.solution.flow)
    assert np.abs(surplus[structure.free >= 0]).max() < 1e-12
    total = sum(figures.flow_L_s for figures in results.air_handlers.values())
    assert total == approx(results.pumps["P-1"].flow_L_s, rel=1e-9)
    assert results.links["CH-1"].flow_L_s == approx(results.pumps["P-1"].flow_L_s, rel=1e-9)


def test_a_runs_figures_are_those_of_their_definitions(vessel: Vessel, results: Results) -> None:
    for run in vessel.runs:
        link = results.links[run.tag]
        size = pipe_size(run.series, run.size)
        bore = size.bore_mm * 1e-3
        compiled = results.solution.compiled
        index = compiled.structure.index[run.tag]
        density, viscosity = compiled.density[index], compiled.viscosity[index]
        velocity = abs(link.flow_L_s) * 1e-3 / (math.pi / 4 * bore**2)
        assert link.velocity_m_s == approx(velocity)
        assert link.reynolds == approx(density * velocity * bore / viscosity)
        assert link.loss_Pa_m == approx(abs(link.pipe_kPa) * 1e3 / run.length_m)
        if link.flow_L_s == 0.0:
            assert link.friction_factor is None
            continue
        assert link.reynolds is not None
        if link.reynolds > 4000:
            wanted = fluids.friction_factor(Re=link.reynolds, eD=size.roughness_mm / size.bore_mm)
            assert link.friction_factor == approx(wanted, rel=1e-9)
        # Darcy-Weisbach.
        assert link.friction_factor is not None
        loss = link.friction_factor * run.length_m / bore * density / 2 * velocity**2
        assert abs(link.pipe_kPa) * 1e3 == approx(loss)


def test_what_has_no_bore_has_no_velocity(results: Results) -> None:
    for tag in ("P-1", "CH-1", "AH-1", "V-1", "RV-1"):
        link = results.links[tag]
        assert link.velocity_m_s is None and link.reynolds is None
        assert link.friction_factor is None and link.loss_Pa_m is None
    assert results.links["TH-1"].velocity_m_s is not None


def test_a_pumps_duty(vessel: Vessel, results: Results) -> None:
    duty, link = results.pumps["P-1"], results.links["P-1"]
    density = density_of(results, "P-1")
    assert duty.flow_L_s == link.flow_L_s
    assert duty.rise_kPa == approx(-link.loss_kPa)
    assert duty.head_m == approx(duty.rise_kPa * 1e3 / (density * GRAVITY))
    assert duty.head_m == approx(10.0 - 6.0 * duty.flow_L_s**2, rel=5e-3)  # the points lie on it
    assert duty.speed_percent == 100.0
    assert duty.efficiency is not None and 0.4 < duty.efficiency < 0.56
    water_power = duty.flow_L_s * duty.rise_kPa
    assert duty.shaft_power_W == approx(water_power / duty.efficiency)
    assert duty.power_W == approx(water_power / duty.efficiency / 0.8)
    assert duty.best_flow_L_s == approx(0.7, abs=0.01)
    assert duty.share_of_best_flow == approx(duty.flow_L_s / duty.best_flow_L_s)
    inlet = results.port_kPa["P-1", "inlet"]
    assert inlet is not None
    available = (inlet * 1e3 + ATMOSPHERE_PA - vapour_pressure(vessel.loop_liquid.temp_C)) / (
        density * GRAVITY
    )
    assert duty.npsh_available_m == approx(available)
    assert duty.npsh_required_m == approx(2.0)


def test_npsh_of_the_sea_water_pump_by_hand(vessel: Vessel, results: Results) -> None:
    """Air and sea above the inlet, less the vapour pressure, the height and what is lost on the way."""
    sea = properties("sea_water", 32.0, 0.035)
    lost = sum(results.links[tag].loss_kPa for tag in ("TH-1", "V-90", "ST-90"))
    lost += sum(
        results.links[run.tag].loss_kPa
        for run in vessel.runs
        if {run.start.tag, run.end.tag} in ({"TH-1", "V-90"}, {"V-90", "ST-90"}, {"ST-90", "SP-1"})
    )
    # The inlet is 0.6 m below the surface.
    wanted = (ATMOSPHERE_PA - vapour_pressure(32.0) - lost * 1e3) / (sea.density * GRAVITY) + 0.6
    assert results.pumps["SP-1"].npsh_available_m == approx(wanted, abs=1e-3)


def test_a_pump_without_efficiency_has_no_power(results: Results) -> None:
    duty = results.pumps["SP-1"]
    assert duty.efficiency is None and duty.power_W is None and duty.shaft_power_W is None
    assert duty.best_flow_L_s is None and duty.share_of_best_flow is None


def test_an_air_handlers_share(vessel: Vessel, results: Results) -> None:
    for tag, figures in results.air_handlers.items():
        link = results.links[tag]
        part = vessel.component_by_tag[tag]
        assert isinstance(part, AirHandler)
        assert figures.flow_L_s == link.flow_L_s
        assert figures.share_of_design == approx(link.flow_L_s / part.design_flow_L_s)
        assert figures.drop_kPa == link.loss_kPa


def test_an_air_handler_that_no_run_reaches_has_no_flow(vessel: Vessel) -> None:
    lone = AirHandler(tag="AH-9", design_flow_L_s=0.1, rated_flow_L_s=0.1, rated_drop_kPa=10.0)
    other = msgspec.structs.replace(vessel, components=(*vessel.components, lone))
    found = solve(other)
    assert found.air_handlers["AH-9"].flow_L_s == 0.0
    assert found.air_handlers["AH-9"].share_of_design == 0.0
    assert found.port_kPa["AH-9", "water_in"] is None


def test_a_clogged_strainer_takes_more_and_starves_the_loop(vessel: Vessel, results: Results) -> None:
    flows = [results.pumps["P-1"].flow_L_s]
    drops = [results.links["ST-1"].loss_kPa]
    for clogging in (50.0, 80.0, 95.0):
        found = solve(changed(vessel, "ST-1", clogging_percent=clogging))
        flows.append(found.pumps["P-1"].flow_L_s)
        drops.append(found.links["ST-1"].loss_kPa)
        link: LinkFigures = found.links["ST-1"]
        kv = 15.0 * (1 - clogging / 100)
        wanted = 100 * (3.6 * link.flow_L_s / kv) ** 2 * density_of(found, "ST-1") / 1000
        assert link.loss_kPa == approx(wanted, rel=1e-6)
    assert all(later < earlier for earlier, later in pairwise(flows))
    assert all(later > earlier for earlier, later in pairwise(drops))


def test_a_valve_opened_gives_its_air_handler_more(vessel: Vessel) -> None:
    flows = [
        solve(changed(vessel, "RV-1", setting=setting)).air_handlers["AH-1"].flow_L_s
        for setting in (1.0, 2.0, 3.0, 4.0)
    ]
    assert all(later > earlier for earlier, later in pairwise(flows))
