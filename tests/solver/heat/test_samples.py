# SPDX-License-Identifier: MIT
"""The sample vessels with temperatures: in balance, warm as cold, a chiller out, and a ship."""

from __future__ import annotations

from pathlib import Path

import pytest

from solver.change import Change
from solver.results import Results
from solver.solve import solve
from solver.vessel.components import Chiller, RegulatingValve
from solver.vessel.file import read_vessel
from solver.vessel.samples import ship
from solver.vessel.vessel import Vessel

_SAMPLES = sorted((Path(__file__).parents[3] / "sample_vessels").glob("*.farcabin"))


def _sample(name: str) -> Vessel:
    return read_vessel(next(path for path in _SAMPLES if name in path.name))


@pytest.fixture(scope="module")
def yacht() -> Results:
    return solve(_sample("27m"), heat=True)


@pytest.mark.parametrize("path", _SAMPLES, ids=lambda path: path.stem)
def test_heat_balances_within_a_thousandth_in_every_condition(path: Path) -> None:
    vessel = read_vessel(path)
    for conditions in vessel.conditions:
        from_named = _at(vessel, conditions.name)
        heat = solve(from_named, heat=True).heat
        assert heat is not None
        balance = heat.energy_balance
        assert balance.error_share < 1e-4
        assert balance.into_water_W == pytest.approx(balance.out_of_water_W, rel=1e-4)
        # The sea takes the cooling and the compressors' work (heating: gives what they do not).
        duty = 1e3 * sum(one.duty_kW for one in heat.chillers.values())
        assert balance.into_sea_W == pytest.approx(duty + balance.compressors_W, rel=1e-3, abs=1.0)


def _at(vessel: Vessel, name: str) -> Vessel:
    return type(vessel)(
        **{field: getattr(vessel, field) for field in vessel.__struct_fields__} | {"condition": name}
    )


def test_water_of_every_link_and_port_is_told(yacht: Results) -> None:
    assert yacht.heat is not None
    assert set(yacht.heat.water) == set(yacht.links)
    assert set(yacht.heat.cabins) == {cabin.tag for cabin in yacht.vessel.cabins}
    for tag, figures in yacht.heat.coils.items():
        assert yacht.heat.port_C[tag, "water_in"] == pytest.approx(figures.water_in_C, abs=1e-6)


def test_a_chiller_takes_out_what_its_water_loses(yacht: Results) -> None:
    assert yacht.heat is not None
    for tag, one in yacht.heat.chillers.items():
        assert yacht.heat.water[tag].out_C == pytest.approx(one.leaving_C, abs=1e-4)
        assert yacht.heat.water[tag].heat_W == pytest.approx(-1e3 * one.duty_kW, rel=1e-5)


def test_a_warm_start_ends_where_a_cold_one_does(yacht: Results) -> None:
    valve = next(part for part in yacht.vessel.components if isinstance(part, RegulatingValve))
    changes = [Change(valve.tag, "setting", 0.7, "scale")]
    cold = solve(yacht.vessel, changes=changes, heat=True)
    warm = solve(yacht.vessel, changes=changes, heat=True, warm_start=yacht)
    assert cold.heat is not None
    assert warm.heat is not None
    for tag, figures in cold.heat.cabins.items():
        assert warm.heat.cabins[tag].temp_C == pytest.approx(figures.temp_C, abs=0.01)
    for tag, link in cold.links.items():
        assert warm.links[tag].flow_L_s == pytest.approx(link.flow_L_s, rel=1e-3, abs=1e-6)


def test_the_same_vessel_again_takes_one_round(yacht: Results) -> None:
    again = solve(yacht.vessel, heat=True, warm_start=yacht)
    assert again.heat is not None
    assert again.heat.rounds == 1


def test_both_methods_find_the_same_temperatures() -> None:
    vessel = _sample("18m")
    newton, hand = solve(vessel, heat=True), solve(vessel, method="hardy-cross", heat=True)
    assert newton.heat is not None
    assert hand.heat is not None
    for tag, figures in newton.heat.cabins.items():
        assert hand.heat.cabins[tag].temp_C == pytest.approx(figures.temp_C, abs=1e-3)


def test_one_chiller_out_warms_the_water_and_the_other_takes_what_it_can(yacht: Results) -> None:
    changes = [Change("CH-1", "running", 0.0), Change("P-1", "running", 0.0)]
    out = solve(yacht.vessel, changes=changes, heat=True)
    assert yacht.heat is not None
    assert out.heat is not None
    other = out.heat.chillers["CH-2"]
    assert out.heat.chillers["CH-1"].duty_kW == 0.0
    assert other.duty_kW == pytest.approx(other.capacity_kW, rel=1e-6)
    assert other.entering_C > yacht.heat.chillers["CH-2"].entering_C
    assert out.heat.energy_balance.error_share < 1e-4
    warmer = [out.heat.cabins[tag].temp_C > one.temp_C for tag, one in yacht.heat.cabins.items()]
    assert all(warmer)


def test_liquids_have_the_viscosity_of_their_own_temperature(yacht: Results) -> None:
    cold = solve(yacht.vessel)
    # The document has the loop at 9.5 degC; the flows with temperatures are near, not the same.
    for tag, link in cold.air_handlers.items():
        assert yacht.air_handlers[tag].flow_L_s == pytest.approx(link.flow_L_s, rel=0.03)
    assert any(abs(yacht.links[tag].flow_L_s - link.flow_L_s) > 1e-5 for tag, link in cold.links.items())


def test_a_ship_of_a_hundred_cabins_is_in_balance() -> None:
    vessel = ship(100)
    heat = solve(vessel, heat=True).heat
    assert heat is not None
    assert heat.energy_balance.error_share < 1e-4
    assert len(heat.cabins) == 100
    assert len(heat.chillers) == sum(isinstance(part, Chiller) for part in vessel.components)
