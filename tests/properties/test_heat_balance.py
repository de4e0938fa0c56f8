# SPDX-License-Identifier: MIT
"""What must hold for the balance of heat of any loop, however odd."""

from __future__ import annotations

from random import Random

import msgspec
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from solver.errors import NotSolvableError
from solver.heat.coils import coil_means
from solver.heat.figures import MOST_ERROR, energy_balance, heat_results
from solver.heat.system import Case, State, System
from solver.heat.temperatures import Found, temperatures, water_temps
from solver.solve import solve
from solver.vessel.components import Chiller
from tests.heat_boats import RandomBoat, balanced, flows_of, refused_in_words
from tests.solver.small_vessels import changed

SEEDS = st.integers(0, 1_000_000)
#: A balance is found to this [K]; twice for two of them.
CLOSE = 1e-3


@settings(max_examples=max(60, settings().max_examples))
@given(seed=SEEDS)
def test_any_loop_has_a_balance_or_is_refused_in_words(seed: int) -> None:
    boat = RandomBoat(seed)
    found = refused_in_words(boat)
    if found is None:
        return
    results = heat_results(boat.vessel, found, water_temps(boat.vessel, found))
    assert results.energy_balance.error_share <= MOST_ERROR / 10
    for figures in (
        *results.water.values(),
        *results.chillers.values(),
        *results.coils.values(),
        *results.cabins.values(),
        *results.surfaces.values(),
    ):
        numbers = [value for value in msgspec.to_builtins(figures).values() if isinstance(value, float)]
        assert np.isfinite(numbers).all()
    for one in results.chillers.values():
        assert 0.0 <= one.load_share <= 1.0 + 1e-9
        assert one.tripped == "" or one.duty_kW == 0.0
    for cabin in results.cabins.values():
        assert 0.0 <= cabin.rh <= 1.0


@given(seed=SEEDS)
def test_figures_as_far_as_the_document_takes_them_do_no_harm(seed: int) -> None:
    boat = RandomBoat(seed, extreme=True)
    found = refused_in_words(boat)
    if found is not None:
        assert energy_balance(found).error_share <= MOST_ERROR / 10


def _sources(found: Found) -> tuple[float, float]:
    """Return the coldest and the warmest that anything in the loop can make its water."""
    loads = found.rooms.loads
    fans = found.units.heat.max(initial=0.0)
    chillers = [
        one for one, trip in zip(found.balance.plant.each, found.balance.plant.trip, strict=True) if not trip
    ]
    known = [
        *found.walls.air_C,
        *found.water.node_air_C,
        *found.units.air_C,
        *found.rooms.set_point,
        *loads.ambient_C,
        *loads.outdoor_C,
        *(one.leaving_C for one in chillers),
    ]
    # Pumps stop warming their water 30 K above the room; what is in a cabin warms it by 30 K and its fan.
    gain = np.divide(np.maximum(loads.gain_W, 0.0) + fans * len(found.units.tags), loads.conductance_W_K).max(
        initial=30.0
    )
    return float(np.min(known)), float(np.max(known)) + 30.0 + float(gain)


@given(seed=SEEDS)
def test_no_temperature_leaves_the_range_of_its_sources(seed: int) -> None:
    boat = RandomBoat(seed)
    found = refused_in_words(boat)
    if found is None:
        return
    low, high = _sources(found)
    sea = set(found.sea_links.tolist())
    fresh = [place for place in range(len(found.link_in_C)) if place not in sea]
    for temps in (found.link_in_C[fresh], found.balance.state.cabin_C):
        assert (temps >= low - CLOSE).all()
        assert (temps <= high + CLOSE).all()


def _cabins(found: Found) -> np.ndarray:
    return np.asarray(found.balance.state.cabin_C)


@given(seed=SEEDS)
def test_more_chiller_capacity_never_warms_a_cabin(seed: int) -> None:
    boat = RandomBoat(seed)
    if boat.heating or not boat.cabins:
        return
    # A larger machine may trip where a smaller one does not: its switches are put out of the way.
    vessel = boat.vessel
    for tag in boat.chillers:
        vessel = changed(vessel, tag, condensing_trip_C=90.0, freezing_trip_C=-40.0, minimum_flow_L_s=0.0)
    grown = vessel
    for tag in boat.chillers:
        part = vessel.component_by_tag[tag]
        assert isinstance(part, Chiller)
        grown = changed(
            grown,
            tag,
            capacity_kW=1.3 * part.capacity_kW,
            sea_rated_flow_L_s=part.sea_rated_flow_L_s,
        )
    try:
        flows = flows_of(vessel)
        before, after = (temperatures(one, flows, loads=boat.loads) for one in (vessel, grown))
    except NotSolvableError:
        return
    if (before.balance.plant.trip != after.balance.plant.trip).any():
        return
    assert (_cabins(after) <= _cabins(before) + CLOSE).all()


@given(seed=SEEDS)
def test_less_flow_to_one_coil_never_cools_its_cabin(seed: int) -> None:
    """At the same state of the water that enters it: the coil alone, not what the others gain by it."""
    boat = RandomBoat(seed)
    rng = Random(seed)
    found = refused_in_words(boat)
    if found is None or boat.heating or not found.units.tags:
        return
    row = rng.randrange(len(found.units.tags))
    case = _case(found)
    system = System(case, found.balance.plant.trip)
    into = system.entering(found.balance.state)
    if into.water_C[row] > into.air_C[row]:
        return
    less = into.rate.copy()
    less[row] *= rng.uniform(0.0, 0.9)
    before = coil_means(found.units, *into)
    after = coil_means(found.units, *into._replace(rate=less))
    assert after.sensible[row] <= before.sensible[row] + 1e-6 * abs(before.sensible[row]) + 1e-6
    assert after.total[row] <= before.total[row] + 1e-6 * abs(before.total[row]) + 1e-6


def _case(found: Found) -> Case:
    return Case(found.water, found.rooms, found.units, found.unit_links, found.plant, found.heating)


@given(seed=SEEDS)
def test_a_warm_start_ends_where_a_cold_one_does(seed: int) -> None:
    boat = RandomBoat(seed)
    found = refused_in_words(boat)
    if found is None or (found.balance.plant.trip > 0).any():
        return
    rng = Random(seed)
    other = State(*(column + rng.uniform(0.0, 0.5) * np.sign(column) for column in found.balance.state))
    other = other._replace(demand=np.clip(other.demand, 0.0, 1.0))
    start = found._replace(balance=found.balance._replace(state=other))
    warm = temperatures(boat.vessel, found.solution, like=start, loads=boat.loads)
    if (warm.balance.plant.trip > 0).any():
        return
    assert warm.link_in_C == pytest.approx(found.link_in_C, abs=CLOSE)
    assert _cabins(warm) == pytest.approx(_cabins(found), abs=CLOSE)


@given(seed=SEEDS)
def test_slopes_are_those_of_the_residuals(seed: int) -> None:
    """Against central differences at the balance, in columns in which no law has a kink there."""
    boat = RandomBoat(seed)
    found = refused_in_words(boat)
    if found is None:
        return
    rng = np.random.default_rng(seed)
    system = System(_case(found), found.balance.plant.trip)
    x = system.packed(found.balance.state)
    residual, jacobian, _ = system.at(x)
    dense, step = jacobian.toarray(), 1e-3
    compared = 0
    for column in rng.choice(len(x), min(len(x), 12), replace=False):
        aside = np.zeros(len(x))
        aside[column] = step
        up, down = system.at(x + aside)[0], system.at(x - aside)[0]
        forward, backward = (up - residual) / step, (residual - down) / step
        smooth = np.abs(forward - backward) < 0.02 * (1.0 + np.abs(forward))
        slope = (forward + backward) / 2.0
        assert (np.abs(slope - dense[:, column])[smooth] <= 0.05 * (1.0 + np.abs(slope))[smooth]).all()
        compared += int(smooth.sum())
    assert compared > 0


def test_the_whole_solve_of_random_boats_agrees_with_its_start() -> None:
    """Flows and temperatures in step; solved again from there, the same within what is asked for."""
    solved = 0
    for seed in range(12):
        vessel = RandomBoat(seed).vessel
        try:
            results = solve(vessel, heat=True)
        except NotSolvableError:
            continue
        if results.heat is None:
            assert results.no_heat is not None or not any(
                isinstance(part, Chiller) for part in vessel.components
            )
            continue
        again = solve(vessel, heat=True, warm_start=results)
        assert again.heat is not None
        solved += 1
        for tag, figures in results.heat.cabins.items():
            assert again.heat.cabins[tag].temp_C == pytest.approx(figures.temp_C, abs=0.02)
    assert solved >= 5


def test_a_random_boat_is_the_same_for_the_same_number() -> None:
    assert RandomBoat(7).vessel == RandomBoat(7).vessel
    assert balanced(RandomBoat(7).vessel, RandomBoat(7).loads).rooms.tags == tuple(
        cabin.tag for cabin in RandomBoat(7).cabins
    )
