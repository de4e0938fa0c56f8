# SPDX-License-Identifier: MIT
"""Pull-down: steady ends, kept heat, closed forms, cycling, and the awkward cases by name."""

import msgspec
import numpy as np
import pytest

from solver.errors import CancelledError, NotSolvableError
from solver.heat.cabin_load import room_loads
from solver.heat.coil_lines import CoilLines
from solver.heat.machines import coil_rating
from solver.heat.pull_down import Span, Start, pull_down
from solver.heat.pulled import PullDown
from solver.heat.storage import AIR_J_M2K, EXCHANGE_W_M2K, FURNISHING_J_M2K
from solver.heat.temperatures import prepared
from solver.media.moist_air import saturation_humidity_ratio
from solver.parts.coil import CoilModel, coil_state
from solver.solve import solve
from solver.vessel.cabin import Surface
from solver.vessel.components import BufferTank, Chiller
from solver.vessel.samples import SAMPLES
from solver.vessel.vessel import Cabin, Conditions, Vessel
from solver.vessel.water_content import loop_volumes_L
from tests.app.small_loop import small_loop
from tests.solver.small_vessels import changed, sound_sketch

MILD = Conditions(
    name="Mild", outdoor_temp_C=28.0, outdoor_rh_percent=50.0, sea_temp_C=24.0, cloud_percent=100.0
)


def boat(load_W: float = 2000.0, tank_L: float = 0.0, conditions: Conditions = MILD, **chiller) -> Vessel:
    """Return three cabins of 10 m2 and typed loads on a chiller of 12 kW, perhaps with a buffer tank."""
    sketch = sound_sketch()
    if tank_L:
        first = next(run for run in sketch.runs if run.start == ("TE-5", "run_2"))
        sketch.runs.remove(first)
        sketch.add(BufferTank(tag="BT-1", volume_L=tank_L, height_m=0.0))
        sketch.line(("TE-5", "run_2"), "BT-1", ("TE-1", "run_1"), service="return")
        numbered = [msgspec.structs.replace(run, tag=f"R-{n}") for n, run in enumerate(sketch.runs, 1)]
        sketch.runs[:] = numbered
    cabins = tuple(
        Cabin(tag=f"C-{n}", floor_area_m2=10.0, load_sensible_W=load_W, load_latent_W=0.0) for n in (1, 2, 3)
    )
    vessel = sketch.vessel(cabins=cabins, conditions=(conditions,))
    for n in (1, 2, 3):
        vessel = changed(
            vessel, f"AH-{n}", cabins=(f"C-{n}",), capacity_total_kW=4.0, capacity_sensible_kW=3.0
        )
    return changed(vessel, "CH-1", **({"turn_down_percent": 100.0, "dead_band_K": 2.0} | chiller))


def without_thermostats(vessel: Vessel) -> Vessel:
    for n in (1, 2, 3):
        vessel = changed(vessel, f"AH-{n}", thermostat="none")
    return vessel


def run(vessel: Vessel, hours: float = 6.0, step_min: float = 1.0, **more) -> PullDown:
    return pull_down(solve(vessel, heat=True), Span(hours, step_min), **more)


def late(pulled: PullDown, hours: float, of: np.ndarray) -> np.ndarray:
    """Return the mean of rows over the last hours."""
    return of[pulled.time_h > pulled.time_h[-1] - hours].mean(axis=0)


@pytest.mark.parametrize("outdoor_C", [35.0, 40.0])
def test_ends_at_the_steady_solve(outdoor_C):
    # Chillers that modulate and fans without thermostats: nothing cycles, so the ends are to be the same.
    vessel = SAMPLES["motor_yacht_27m"]()
    conditions = msgspec.structs.replace(vessel.current_conditions, outdoor_temp_C=outdoor_C)
    vessel = msgspec.structs.replace(vessel, conditions=(conditions,), condition="")
    for part in vessel.components:
        if isinstance(part, Chiller):
            vessel = changed(vessel, part.tag, turn_down_percent=20.0)
        elif hasattr(part, "thermostat"):
            vessel = changed(vessel, part.tag, thermostat="none")
    results = solve(vessel, heat=True)
    pulled = pull_down(results, Span(96.0, 10.0))
    for cabin in pulled.cabins:
        assert cabin.end_C == pytest.approx(results.heat.cabins[cabin.tag].temp_C, abs=0.1)
        assert cabin.end_rh == pytest.approx(results.heat.cabins[cabin.tag].rh, abs=0.01)
    duties = [results.heat.chillers[chiller.tag].duty_kW for chiller in pulled.chillers]
    assert pulled.chiller_kW[-1] == pytest.approx(duties, rel=0.01)
    leaving = [results.heat.chillers[chiller.tag].leaving_C for chiller in pulled.chillers]
    assert pulled.loops[0].supply_C[-1] == pytest.approx(np.mean(leaving), abs=0.1)


def test_cycling_has_the_steady_means():
    vessel = boat(turn_down_percent=100.0)
    results = solve(vessel, heat=True)
    pulled = pull_down(results, Span(12.0))
    assert pulled.chillers[0].starts > 5
    duty = results.heat.chillers["CH-1"].duty_kW
    assert late(pulled, 6.0, pulled.chiller_kW)[0] == pytest.approx(duty, rel=0.03)
    cabins = [results.heat.cabins[cabin.tag].temp_C for cabin in pulled.cabins]
    assert late(pulled, 6.0, pulled.cabin_C) == pytest.approx(cabins, abs=0.3)


@pytest.mark.parametrize("step_min", [0.5, 1.0, 10.0])
def test_heat_is_kept(step_min):
    # Heat that moved, summed link by link, against what water and cabins hold more, to 0.1 %.
    for vessel in (boat(), boat(turn_down_percent=20.0, dead_band_K=1.0), SAMPLES["motor_yacht_18m"]()):
        pulled = run(vessel, 3.0, step_min)
        assert pulled.energy.error_share < 1e-3


def test_heat_of_the_run_by_hand():
    # Apart from the run's own sums: what the chiller took out is what loads, walls and outdoor air gave, by
    # the trapezium over the temperatures kept, with what air, furnishings and water cooled down by.
    vessel = boat(load_W=3000.0, turn_down_percent=100.0)
    results = solve(vessel, heat=True)
    pulled = pull_down(results, Span(8.0), Start(35.0, 35.0))
    seconds = pulled.time_h * 3600.0
    rooms = prepared(vessel, results.solution).case.rooms
    loads = rooms.loads
    outdoor = loads.outdoor_air_kg_s * (1006.0 + 1860.0 * loads.outdoor_humidity_ratio)
    given = loads.gain_W + loads.conductance_W_K * (loads.ambient_C - pulled.cabin_C)
    given = given + outdoor * (loads.outdoor_C - pulled.cabin_C)
    from_loads = np.trapezoid(given.sum(axis=1), seconds)
    drop = pulled.cabin_C[0] - pulled.cabin_C[-1]
    from_cabins = float((10.0 * (AIR_J_M2K + FURNISHING_J_M2K) * drop).sum())
    water = loop_volumes_L(vessel)["CH-1"] * 4180.0
    from_water = water * (35.0 - (pulled.loops[0].supply_C[-1] + pulled.loops[0].return_C[-1]) / 2.0)
    into = results.heat.energy_balance
    small = sum(flow.heat_W for flow in into.flows if flow.name in ("pumps", "pipes", "tanks", "fans"))
    from_pipes = small * seconds[-1]
    # Latent heat of the outdoor air is small here and shows as what is left over.
    total = from_loads + from_cabins + from_water + from_pipes
    assert pulled.energy.cooling * 3.6e6 == pytest.approx(total, rel=0.06)


def test_a_cabin_alone_warms_as_the_closed_form():
    # No chiller runs, nothing but walls: two nodes in a row, solved by eigenvalues.
    vessel = boat(running=False)
    for n in (1, 2, 3):
        vessel = changed(vessel, f"AH-{n}", fan_running=False)
    loads = room_loads(vessel)
    zero = np.zeros(3)
    loads = loads._replace(
        gain_W=zero,
        conductance_W_K=zero + 50.0,
        ambient_C=zero + 35.0,
        outdoor_air_kg_s=zero,
        moisture_kg_s=zero,
    )
    pulled = pull_down(solve(vessel), Span(6.0, 0.1), Start(20.0, 20.0), loads=loads)
    air, inside, tie = 10.0 * AIR_J_M2K, 10.0 * FURNISHING_J_M2K, 10.0 * EXCHANGE_W_M2K
    matrix = np.array([[-(50.0 + tie) / air, tie / air], [tie / inside, -tie / inside]])
    values, vectors = np.linalg.eig(matrix)
    amounts = np.linalg.solve(vectors, np.array([-15.0, -15.0]))
    wanted = 35.0 + (vectors[0] * amounts) @ np.exp(np.outer(values, pulled.time_h * 3600.0))
    assert pulled.cabin_C[:, 0] == pytest.approx(wanted, abs=0.03)


def test_steps_of_any_length_lead_to_the_same_temperatures():
    vessel = without_thermostats(boat(turn_down_percent=10.0))
    fine, coarse = (run(vessel, 4.0, step, start=Start(32.0, 32.0)) for step in (0.25, 5.0))
    for hour in (0.5, 1.0, 4.0):
        one, two = (of.cabin_C[np.searchsorted(of.time_h, hour - 1e-6)] for of in (fine, coarse))
        assert one == pytest.approx(two, abs=0.3)
    assert coarse.energy.cooling == pytest.approx(fine.energy.cooling, rel=0.02)


def test_more_water_means_fewer_starts():
    more = {"freezing_trip_C": -20.0, "minimum_run_min": 0.5, "minimum_stop_min": 0.5}
    loops = [run(boat(1200.0, tank_L=volume, **more)).chillers[0] for volume in (0.0, 60.0, 240.0)]
    assert loops[0].loop_L < loops[1].loop_L < loops[2].loop_L
    assert loops[0].starts_h > 1.3 * loops[1].starts_h > 1.3**2 * loops[2].starts_h > 0.0


@pytest.mark.reference
def test_starts_are_those_of_the_formula():
    # Common practice: a stage of Q on a loop of volume V starts every V c band (1 / L + 1 / (Q - L)) seconds.
    band = 4.0
    vessel = boat(tank_L=900.0, dead_band_K=band, minimum_run_min=0.0, minimum_stop_min=0.0)
    # The tank alone takes up heat, which hangs on its temperature and not on whether the chiller runs.
    vessel = changed(vessel, "BT-1", heat_gain_W_K=180.0)
    for n in (1, 2, 3):
        vessel = changed(vessel, f"AH-{n}", fan_running=False)
    pulled = pull_down(solve(vessel), Span(48.0))
    runs, late_h = pulled.chiller_runs[:, 0], pulled.time_h > 12.0
    capacity = pulled.chiller_kW[(runs > 0.99) & late_h, 0].mean()
    load = late(pulled, 36.0, pulled.chiller_kW)[0]
    begins = pulled.time_h[1:][(runs[1:] > 0.0) & (runs[:-1] == 0.0) & late_h[1:]]
    assert len(begins) > 15
    volume = loop_volumes_L(vessel)["CH-1"]
    hours = volume * 4.19 * band * (1.0 / load + 1.0 / (capacity - load)) / 3600.0
    assert np.diff(begins).mean() == pytest.approx(hours, rel=0.1)


def test_least_run_and_stop_times_hold():
    pulled = run(boat(400.0, minimum_run_min=4.0, minimum_stop_min=7.0, freezing_trip_C=-30.0))
    chiller = pulled.chillers[0]
    assert not chiller.trips
    assert chiller.shortest_run_min >= 4.0 - 1e-6
    assert chiller.most_starts_h <= np.ceil(60.0 / 11.0)


def test_too_small_a_loop_trips_on_frost_within_its_least_run():
    vessel = boat(100.0, minimum_run_min=20.0, freezing_trip_C=4.0)
    chiller = run(vessel).chillers[0]
    assert chiller.trips and {why for _, why in chiller.trips} == {"freezing"}
    assert chiller.still in ("", "freezing")


def test_a_machine_that_trips_three_times_in_an_hour_stays_off():
    vessel = boat(3000.0, condensing_trip_C=30.0, conditions=msgspec.structs.replace(MILD, sea_temp_C=32.0))
    pulled = run(vessel, 4.0)
    chiller = pulled.chillers[0]
    assert chiller.still == "high_condensing" and chiller.starts == 3
    assert pulled.chiller_kW[pulled.time_h > 1.0].max() == 0.0


def test_no_chiller_runs():
    pulled = run(boat(running=False), 12.0)
    assert pulled.chillers[0].still == "off" and pulled.chillers[0].starts == 0
    assert pulled.energy.compressors == 0.0
    assert all(cabin.reached_h is None for cabin in pulled.cabins)
    assert pulled.cabin_C[-1].min() > pulled.cabin_C[0].max()


def test_no_flow():
    # The pump stands, so the flow switch holds the chiller, and still water warms to its surroundings.
    vessel = changed(boat(), "P-1", running=False)
    pulled = pull_down(solve(vessel), Span(24.0, 10.0), Start(30.0, 8.0))
    assert pulled.chillers[0].still == "low_flow"
    assert pulled.energy.cooling == 0.0 and pulled.energy.error_share < 1e-3
    assert np.isfinite(pulled.cabin_C).all()


def test_a_set_point_out_of_reach():
    vessel = boat(6000.0, turn_down_percent=20.0)
    results = solve(vessel, heat=True)
    pulled = pull_down(results, Span(96.0, 5.0))
    assert all(cabin.reached_h is None for cabin in pulled.cabins)
    assert pulled.chillers[0].run_share > 0.99
    for cabin in pulled.cabins:
        assert cabin.end_C == pytest.approx(results.heat.cabins[cabin.tag].temp_C, abs=0.1)


def test_heating():
    winter = Conditions(name="Winter", outdoor_temp_C=2.0, sea_temp_C=9.0, mode="heating")
    vessel = boat(conditions=winter, minimum_flow_L_s=0.1)
    loads = room_loads(vessel)
    loads = loads._replace(conductance_W_K=np.full(3, 60.0), ambient_C=np.full(3, 2.0))
    pulled = run(vessel, 12.0, start=Start(5.0, 5.0), loads=loads)
    assert pulled.heating and pulled.energy.cooling < 0.0
    assert all(cabin.reached_h is not None for cabin in pulled.cabins)
    assert late(pulled, 4.0, pulled.cabin_C) == pytest.approx([23.0] * 3, abs=0.6)
    assert pulled.loops[0].supply_C[-1] > pulled.loops[0].return_C[-1] - 0.01
    assert pulled.energy.error_share < 1e-3


def test_no_cabins():
    vessel = msgspec.structs.replace(boat(), cabins=())
    for n in (1, 2, 3):
        vessel = changed(vessel, f"AH-{n}", cabins=())
    pulled = run(vessel, 2.0)
    assert pulled.cabin_C.shape == (121, 0) and pulled.chiller_kW[-1, 0] > 0.0


def test_loads_by_the_hour_follow_the_day():
    hot = msgspec.structs.replace(MILD, cloud_percent=0.0, daily_range_K=12.0)
    sides = (Surface(kind="deck", area_m2=10.0), Surface(kind="window", area_m2=2.0))
    vessel = without_thermostats(boat(conditions=hot, turn_down_percent=10.0))
    vessel = msgspec.structs.replace(
        vessel,
        cabins=tuple(Cabin(tag=f"C-{n}", floor_area_m2=10.0, surfaces=sides) for n in (1, 2, 3)),
    )
    day, still = (
        pull_down(solve(vessel, heat=True), Span(48.0, 10.0, starts_at_hour=start)) for start in (6.0, None)
    )
    assert day.starts_at_hour == 6.0 and still.starts_at_hour is None
    second = day.time_h > 24.0
    warmth = day.cabin_C[second, 0]
    assert np.ptp(warmth) > 2.0 > 0.2 > np.ptp(still.cabin_C[second, 0])
    # It is coolest before sunrise and warmest in the afternoon.
    clock = (6.0 + day.time_h[second]) % 24.0
    assert 3.0 < clock[np.argmin(warmth)] < 7.5 and 12.0 < clock[np.argmax(warmth)] < 19.0


def test_thermostats_hold_their_dead_band():
    narrow, wide = (
        run(boat(1500.0, turn_down_percent=10.0), 12.0, 0.25, thermostat_band_K=band).cabin_C[-1200:]
        for band in (0.5, 3.0)
    )
    assert np.ptp(narrow, axis=0).max() < np.ptp(wide, axis=0).min()
    assert narrow.mean(axis=0) == pytest.approx([23.0] * 3, abs=0.3)


def test_a_fan_of_three_speeds_moves_between_them():
    vessel = boat(1500.0, turn_down_percent=10.0)
    for n in (1, 2, 3):
        vessel = changed(vessel, f"AH-{n}", fan_speeds_percent=(40.0, 70.0, 100.0), fan_power_W=60.0)
    fans = run(vessel, 6.0).fan_kW
    assert fans[1:60].max() == pytest.approx(0.18)
    assert 0.0 < fans[-60:].mean() < 0.1


def test_progress_is_told_and_cancelling_stops():
    told: list[float] = []
    run(boat(), 2.0, progress=told.append)
    assert told[0] == 0.0 and told[-1] == 1.0 and told == sorted(told)
    asked = iter([False, False, True])
    with pytest.raises(CancelledError):
        run(boat(), 2.0, cancelled=lambda: next(asked))


@pytest.mark.parametrize(
    ("span", "start", "words"),
    [
        (Span(0.0), Start(), "hours 0 h; accepted: 0.05 to 720 h"),
        (Span(2.0, 30.0), Start(), "step 30 min; accepted: 0.1 to 10 min"),
        (Span(2.0), Start(90.0), "start temperature of the cabins 90 degC; accepted: -20 to 70 degC"),
        (Span(2.0), Start(rh=1.2), "start humidity 120 %; accepted: 0 to 100 %"),
        (
            Span(700.0, 0.5),
            Start(),
            "84000 steps; accepted: up to 50000. Ask for fewer hours or a longer step",
        ),
    ],
)
def test_nonsense_is_refused_in_words(span, start, words):
    with pytest.raises(NotSolvableError, match="accepted") as refused:
        pull_down(solve(boat()), span, start)
    assert str(refused.value) == words


def test_pumps_and_fans_are_counted():
    vessel = boat()
    results = solve(vessel, heat=True)
    pulled = pull_down(results, Span(2.0))
    pumps = sum(pump.power_W or 0.0 for pump in results.pumps.values())
    assert pulled.energy.pumps == pytest.approx(pumps * 2.0 / 1000.0)
    assert pulled.energy.electrical == pytest.approx(np.trapezoid(pulled.power_kW, pulled.time_h), rel=0.1)


def test_coils_as_lines_are_the_law_within_their_cells():
    vessel = SAMPLES["motor_yacht_27m"]()
    results = solve(vessel, heat=True)
    case = prepared(vessel, results.solution, results.heat.start.water).case
    units, rate = case.units, case.water.rate[case.unit_links]
    count = len(units.tags)
    full = units.full_air * units.fan[np.arange(count), units.stages]
    rated = np.array([coil_rating(vessel.component_by_tag[tag]).total for tag in units.tags])
    draw = np.random.default_rng(1)
    off = []
    for _ in range(40):
        water, air = draw.uniform(4.0, 25.0, count), draw.uniform(20.0, 40.0, count)
        humid = np.minimum(draw.uniform(0.004, 0.022, count), 0.9 * saturation_humidity_ratio(air))
        lines = CoilLines(units, rate)
        assert lines.move_to(np.stack((water, air, humid)))
        assert not lines.move_to(np.stack((water, air, humid)))
        found = lines.at_stage(units.stages).heat_at(np.stack((water, air, humid)))[0]
        law = coil_state(
            CoilModel(*(np.asarray(of) for of in units.model)),
            *(full, air, humid, rate / units.specific_heat, water, units.specific_heat, units.liquid),
        )
        off.extend(np.abs(found - law.total) / rated)
    assert np.quantile(off, 0.95) < 1e-3 and max(off) < 0.015


def test_a_loop_without_a_chiller():
    vessel = small_loop()
    pulled = pull_down(solve(vessel), Span(2.0), Start(30.0, 10.0))
    assert pulled.chillers == () and pulled.loops == ()
    assert pulled.chiller_kW.shape == (121, 0)
    assert pulled.energy.error_share < 1e-3
    assert pulled.power_kW[1:] == pytest.approx(pulled.pump_kW[1:] + pulled.fan_kW[1:])


def test_typed_loads_by_the_hour_warm_no_cabin_without_end():
    vessel = boat(3000.0, running=False)
    pulled = pull_down(solve(vessel), Span(72.0, 10.0, starts_at_hour=0.0))
    assert 28.0 < pulled.cabin_C.max() < 23.0 + 45.0
