# SPDX-License-Identifier: MIT
"""Chillers: rated points, maps, part load, floating leaving water, condenser and trips."""

import json
import math
from pathlib import Path

import numpy as np
import pytest
from ht.hx import effectiveness_from_NTU
from hypothesis import given
from hypothesis import strategies as st
from scipy.interpolate import RegularGridInterpolator

from solver.errors import PartError
from solver.parts.chiller_law import (
    ChillerLaw,
    Trip,
    check_law,
    chiller_state,
    condenser_conductance,
    sea_flow_for_rise,
)
from solver.parts.chiller_map import SlopeMap, TableMap, common_cooling, common_heating, table_map

REFERENCES = Path(__file__).parents[2] / "references"
WATER = 4195.0
SEA = 3993.0
LAW = ChillerLaw(
    SlopeMap(20000.0, 5000.0), 1.25, minimum_flow=0.5, heating=common_heating(20000.0, 5000.0), turn_down=0.4
)
ROWS = (
    (5.0, 15.0, 21000.0, 3600.0),
    (5.0, 25.0, 19800.0, 4400.0),
    (5.0, 35.0, 17600.0, 5500.0),
    (7.0, 15.0, 22400.0, 3650.0),
    (7.0, 25.0, 21200.0, 4450.0),
    (7.0, 35.0, 18900.0, 5600.0),
    (12.0, 15.0, 26100.0, 3750.0),
    (12.0, 25.0, 24800.0, 4600.0),
    (12.0, 35.0, 22300.0, 5850.0),
)
TABLE = ChillerLaw(table_map(ROWS, 7.0, 30.0), 1.25, minimum_flow=0.5)


def at_work(law=LAW, entering=12.0, flow=0.9, wanted=7.0, sea=32.0, sea_flow=1.25, **more):
    return chiller_state(law, entering, flow, WATER, wanted, sea, sea_flow, SEA, **more)


@pytest.mark.reference
def test_heat_into_the_sea_and_its_water():
    # Source: sea_01, the energy balance Qc = Qe (1 + 1/COP).
    data = json.loads((REFERENCES / "sea_01_condenser.json").read_text(encoding="utf-8"))
    case, wanted, allowed = data["inputs"], data["answer"], data["tolerance"]["relative"]
    cooling = case["evaporator_W"]
    performance = SlopeMap(cooling, cooling / case["COP"], sea_C=case["sea_in_C"])
    law = ChillerLaw(performance, wanted["mass_flow"], sea_heat=case["cp"])
    rate = cooling / (WATER * 5.0)
    state = chiller_state(law, 12.0, rate, WATER, 7.0, case["sea_in_C"], wanted["mass_flow"])
    assert float(state.power) == pytest.approx(wanted["compressor_W"], rel=allowed)
    assert float(state.into_sea) == pytest.approx(wanted["rejected_W"], rel=allowed)
    assert float(state.sea_out_C) - case["sea_in_C"] == pytest.approx(case["sea_rise_K"], rel=allowed)
    flow = float(sea_flow_for_rise(state.into_sea, case["sea_rise_K"], case["cp"]))
    assert flow == pytest.approx(wanted["mass_flow"], rel=allowed)
    assert 1000.0 * flow / case["density"] == pytest.approx(wanted["flow_L_per_s"], rel=allowed)


@pytest.mark.parametrize("law", [LAW, TABLE])
def test_rated_point_is_given_back(law):
    capacity, power = law.cooling.rated
    sea = 32.0 if law is LAW else 30.0
    flow = capacity / (5.0 * WATER)
    state = at_work(law, 12.0, flow, sea=sea)
    assert float(state.duty) == pytest.approx(capacity, rel=1e-9)
    assert float(state.power) == pytest.approx(power, rel=1e-9)
    assert float(state.leaving_C) == pytest.approx(7.0)
    assert float(state.load_share) == pytest.approx(1.0)
    assert state.trip == Trip.NONE
    assert state.covered
    rise = (capacity + power) / (1.25 * SEA)
    assert float(state.refrigerant_C) == pytest.approx(sea + rise + law.approach, rel=1e-6)


def test_rated_heating_point_is_given_back():
    capacity, power = LAW.heating.rated
    flow = capacity / (5.0 * WATER)
    state = at_work(entering=40.0, flow=flow, wanted=45.0, sea=10.0, heating=True)
    assert float(state.duty) == pytest.approx(-capacity, rel=1e-9)
    assert float(state.power) == pytest.approx(power, rel=1e-9)
    assert float(state.into_sea) == pytest.approx(power - capacity, rel=1e-9)
    assert state.sea_out_C < 10.0
    assert state.refrigerant_C < state.sea_out_C


@pytest.mark.reference
@given(leaving=st.floats(5.0, 12.0), sea=st.floats(15.0, 35.0))
def test_table_is_read_as_scipy_reads_it(leaving, sea):
    for column, name in ((2, "capacity"), (3, "power")):
        grid = np.array([row[column] for row in ROWS]).reshape(3, 3)
        wanted = RegularGridInterpolator(([5.0, 7.0, 12.0], [15.0, 25.0, 35.0]), grid)((leaving, sea))
        assert float(getattr(TABLE.cooling.at(leaving, sea), name)) == pytest.approx(float(wanted), rel=1e-12)


@pytest.mark.parametrize("performance", [LAW.cooling, TABLE.cooling, LAW.heating])
def test_slopes_are_those_of_the_values(performance):
    leaving, sea = (44.3, 8.1) if performance is LAW.heating else (8.3, 21.7)
    point, step = performance.at(leaving, sea), 1e-4
    for value in ("capacity", "power"):
        by_leaving = [getattr(performance.at(leaving + s, sea), value) for s in (step, -step)]
        by_sea = [getattr(performance.at(leaving, sea + s), value) for s in (step, -step)]
        slope = (by_leaving[0] - by_leaving[1]) / (2 * step)
        assert float(getattr(point, f"{value}_leaving")) == pytest.approx(slope, rel=1e-6, abs=1e-6)
        slope = (by_sea[0] - by_sea[1]) / (2 * step)
        assert float(getattr(point, f"{value}_sea")) == pytest.approx(slope, rel=1e-6, abs=1e-6)


def test_beyond_the_table_its_edge_counts_and_that_is_told():
    inside, beyond = TABLE.cooling.at(12.0, 35.0), TABLE.cooling.at(20.0, 45.0)
    assert (inside.capacity, inside.power) == (beyond.capacity, beyond.power)
    assert beyond.capacity_leaving == beyond.power_sea == 0.0
    state = at_work(TABLE, 14.0, 0.9, sea=np.array([34.0, 40.0]))
    assert state.covered.tolist() == [True, False]


def test_leaving_water_floats_where_the_load_is_too_much():
    state = at_work(entering=np.array([11.0, 12.29, 13.0, 18.0]))
    assert state.at_set_point.tolist() == [True, True, False, False]
    assert state.leaving_C[:2] == pytest.approx([7.0, 7.0])
    assert (np.diff(state.leaving_C[1:]) > 0.0).all()
    assert state.duty == pytest.approx(0.9 * WATER * (np.array([11.0, 12.29, 13.0, 18.0]) - state.leaving_C))
    assert state.duty[2:] == pytest.approx(state.capacity[2:])
    assert state.capacity[3] > state.capacity[2] > 20000.0


@given(
    law=st.sampled_from([LAW, TABLE]),
    entering=st.floats(2.0, 30.0),
    flow=st.floats(0.5, 3.0),
    sea=st.floats(5.0, 40.0),
    sea_flow=st.floats(0.4, 4.0),
    fouling=st.floats(0.0, 0.6),
    speed=st.floats(0.2, 1.2),
)
def test_heat_balances_and_temperatures_stay_in_order(law, entering, flow, sea, sea_flow, fouling, speed):
    state = at_work(law, entering, flow, sea=sea, sea_flow=sea_flow, fouling=fouling, speed=speed)
    duty = flow * WATER * (entering - float(state.leaving_C))
    assert float(state.duty) == pytest.approx(duty, rel=1e-6, abs=1e-3)
    assert float(state.into_sea) == pytest.approx(float(state.duty + state.power), rel=1e-9, abs=1e-6)
    warmed = sea_flow * SEA * (float(state.sea_out_C) - sea)
    assert warmed == pytest.approx(float(state.into_sea), rel=1e-9, abs=1e-6)
    assert min(7.0, entering) - 1e-9 <= state.leaving_C <= entering + 1e-9
    assert 0.0 <= state.load_share <= 1.0 + 1e-9
    assert state.duty <= state.capacity * (1.0 + 1e-6)
    if state.trip == Trip.NONE and state.duty > 0.0:
        assert state.refrigerant_C > state.sea_out_C


@given(
    law=st.sampled_from([LAW, TABLE]),
    entering=st.floats(8.0, 30.0),
    sea=st.floats(5.0, 36.0),
    colder=st.floats(0.0, 10.0),
    more=st.floats(0.0, 1.0),
)
def test_colder_or_more_sea_water_and_cleaner_tubes_never_do_less(law, entering, sea, colder, more):
    worse = at_work(law, entering, sea=sea, sea_flow=1.0, fouling=0.3)
    if worse.trip:
        return
    for better in (
        at_work(law, entering, sea=sea - colder, sea_flow=1.0, fouling=0.3),
        at_work(law, entering, sea=sea, sea_flow=1.0 + more, fouling=0.3),
        at_work(law, entering, sea=sea, sea_flow=1.0, fouling=0.3 * (1.0 - more)),
    ):
        assert better.trip == Trip.NONE
        assert better.duty >= worse.duty * (1.0 - 1e-7)
        assert better.leaving_C <= worse.leaving_C + 1e-6


def test_wanting_sea_water_counts_as_warmer_sea():
    # By hand: the condensing temperature of a third less water, as warmer sea for the rated condenser.
    state = at_work(entering=20.0, sea_flow=0.8)
    conductance = float(condenser_conductance(LAW, 0.8 * SEA))
    rated = float(condenser_conductance(LAW, 1.25 * SEA))
    heat = float(state.duty + state.power)
    seen = 32.0 + heat * (1.0 / conductance - 1.0 / rated)
    point = LAW.cooling.at(state.leaving_C, seen)
    assert seen > 33.0
    assert float(point.capacity) == pytest.approx(float(state.duty), rel=1e-6)
    assert float(point.power) == pytest.approx(float(state.power), rel=1e-6)
    assert float(state.refrigerant_C) == pytest.approx(32.0 + heat / conductance, rel=1e-9)


@pytest.mark.reference
@given(share=st.floats(0.05, 3.0))
def test_condenser_is_a_heat_exchanger_of_ratio_nought(share):
    # Source: Incropera 2007, table 11.3, one fluid condensing; by the ht library.
    rate = share * 1.25 * SEA
    rise = 25000.0 / (1.25 * SEA)
    ua = 1.25 * SEA * math.log((rise + 5.0) / 5.0) / (0.5 + 0.5 * share**-0.8)
    wanted = rate * effectiveness_from_NTU(ua / rate, 0.0, subtype="counterflow")
    assert float(condenser_conductance(LAW, rate)) == pytest.approx(wanted, rel=1e-9)


def test_what_is_not_told_is_common_practice():
    # Common practice: 1.25 times the cooling goes into the sea.
    cooling, heating = common_cooling(20000.0), common_heating(20000.0, 5000.0)
    law = check_law(ChillerLaw(cooling, 1.25, heating=heating))
    assert float(at_work(law, 7.0 + 20000.0 / (0.9 * WATER)).into_sea) == pytest.approx(25000.0, rel=1e-6)
    assert 2.5 < heating.capacity / heating.power < 4.5


def test_fouling_takes_its_share_of_the_surface():
    clean, dirty = condenser_conductance(LAW, 1e9, np.array([0.0, 0.4]))
    assert float(dirty) == pytest.approx(0.6 * float(clean), rel=1e-4)
    assert condenser_conductance(LAW, 0.0) == 0.0


def test_speed_limits_what_it_can_do():
    state = at_work(entering=20.0, speed=np.array([1.0, 0.5]))
    assert state.duty[1] < 0.62 * state.duty[0]
    assert state.leaving_C[1] > state.leaving_C[0]


def test_part_load_and_cycling():
    state = at_work(entering=np.array([7.0, 7.5, 9.0, 11.0]))
    need = 0.9 * WATER * np.array([0.0, 0.5, 2.0, 4.0])
    assert state.duty == pytest.approx(need)
    assert state.power == pytest.approx(need / state.capacity * 5000.0, rel=0.01)
    assert state.cycles.tolist() == [False, True, True, False]
    assert state.coldest_C[1] == pytest.approx(7.5 - 0.4 * state.capacity[1] / (0.9 * WATER))
    assert state.coldest_C[3] == pytest.approx(7.0)
    curved = LAW._replace(part_load=((0.0, 0.1), (0.5, 0.4), (1.0, 1.0)))
    half = at_work(check_law(curved), 7.0 + 10000.0 / (0.9 * WATER))
    assert float(half.power) == pytest.approx(0.4 * 5000.0, rel=1e-3)


def test_water_that_is_cold_enough_passes():
    state = at_work(entering=np.array([6.0, 7.0, -3.0]))
    assert (state.duty == 0.0).all()
    assert (state.power == 0.0).all()
    assert state.leaving_C.tolist() == [6.0, 7.0, -3.0]
    assert state.at_set_point.all()
    assert (state.trip == Trip.NONE).all()


@pytest.mark.parametrize(
    ("case", "trip"),
    [
        ({"running": False}, Trip.OFF),
        ({"flow": 0.49}, Trip.LOW_FLOW),
        ({"flow": 0.0}, Trip.LOW_FLOW),
        ({"flow": -0.9}, Trip.LOW_FLOW),
        ({"wanted": 2.0, "entering": 6.0}, Trip.FREEZING),
        ({"sea_flow": 0.0}, Trip.HIGH_CONDENSING),
        ({"sea_flow": 0.25}, Trip.HIGH_CONDENSING),
        ({"sea_flow": -1.0}, Trip.HIGH_CONDENSING),
        ({"fouling": 0.9}, Trip.HIGH_CONDENSING),
        ({"sea": 48.0}, Trip.HIGH_CONDENSING),
        ({"heating": True, "entering": 35.0, "wanted": 45.0, "sea": 0.5}, Trip.SEA_TOO_COLD),
        (
            {"heating": True, "entering": 35.0, "wanted": 45.0, "sea": 10.0, "sea_flow": 0.0},
            Trip.SEA_TOO_COLD,
        ),
        ({"running": False, "flow": 0.0}, Trip.OFF),
        ({}, Trip.NONE),
    ],
)
def test_trips(case, trip):
    state = at_work(**case)
    assert state.trip == trip
    if trip:
        assert state.duty == state.power == state.into_sea == state.load_share == state.capacity == 0.0
        assert state.leaving_C == case.get("entering", 12.0)
        assert state.sea_out_C == case.get("sea", 32.0)
        assert not state.at_set_point
    assert np.isfinite([float(of) for of in state]).all()


def test_freezing_trip_is_of_each_chiller():
    glycol = LAW._replace(freezing_C=-8.0)
    assert at_work(glycol, 4.0, wanted=-2.0).trip == Trip.NONE
    assert at_work(LAW, 4.0, wanted=-2.0).trip == Trip.FREEZING


def test_no_step_along_entering_water_or_sea_flow():
    for name, values in (("entering", np.linspace(6.0, 25.0, 400)), ("sea_flow", np.linspace(0.5, 3.0, 400))):
        for law in (LAW, TABLE):
            state = at_work(law, **{"entering": 14.0, name: values})
            assert (state.trip == Trip.NONE).all()
            for of in (state.duty, state.power, state.leaving_C):
                assert np.abs(np.diff(of)).max() < 0.02 * (np.ptp(of) + 1e-3 * np.abs(of).max())


def test_two_ways_to_write_one_machine_agree():
    leaving, sea = np.array([2.0, 20.0]), np.array([10.0, 45.0])
    point = LAW.cooling.at(leaving[:, None], sea)
    table = LAW._replace(cooling=TableMap(leaving, sea, point.capacity, point.power, 7.0, 32.0))
    # Straight lines both ways have one more term than slopes, so only the middle of an edge agrees exactly.
    for entering in (10.0, 13.0, 18.0):
        a, b = at_work(entering=entering), at_work(table, entering)
        assert float(a.duty) == pytest.approx(float(b.duty), rel=1e-6)
        assert float(a.power) == pytest.approx(float(b.power), rel=1e-6)


@pytest.mark.parametrize(
    ("make", "words"),
    [
        (lambda: ChillerLaw(SlopeMap(0.0, 5000.0), 1.0), ["above 0", "0 W"]),
        (lambda: ChillerLaw(SlopeMap(5000.0, 20000.0), 1.0), ["0.25 times its power", "1 to 15"]),
        (
            lambda: ChillerLaw(SlopeMap(2e4, 5e3, capacity_per_leaving=-0.03), 1.0),
            ["fall with warmer leaving"],
        ),
        (lambda: ChillerLaw(SlopeMap(2e4, 5e3, capacity_per_sea=0.01), 1.0), ["rise with warmer sea"]),
        (lambda: LAW._replace(heating=LAW.cooling), ["heating capacity must not rise with warmer leaving"]),
        (lambda: LAW._replace(sea_flow=0.0), ["sea_flow 0", "accepted"]),
        (lambda: LAW._replace(turn_down=1.4), ["turn_down 1.4", "0 to 1"]),
        (lambda: LAW._replace(approach=math.nan), ["approach nan"]),
        (lambda: LAW._replace(part_load=((0.0, 0.0), (0.5, 0.6), (1.0, 0.9))), ["part_load"]),
        (lambda: LAW._replace(part_load=((0.0, 0.5), (0.5, 0.4), (1.0, 1.0))), ["part_load"]),
    ],
)
def test_laws_that_make_no_sense_are_refused(make, words):
    with pytest.raises(PartError) as refused:
        check_law(make())
    for word in words:
        assert word in str(refused.value)


@pytest.mark.parametrize(
    ("rows", "words"),
    [
        (ROWS[:-1], ["lacks", "12 degC leaving, 35 degC sea"]),
        ((*ROWS, ROWS[0]), ["has a place twice"]),
        (ROWS[:3], ["leaving water", "two or more"]),
        (((5.0, 15.0, 0.0, 3600.0), *ROWS[1:]), ["capacity", "above 0"]),
        (((5.0, 15.0, 2e4, math.nan), *ROWS[1:]), ["power", "above 0"]),
    ],
)
def test_tables_that_make_no_sense_are_refused(rows, words):
    with pytest.raises(PartError) as refused:
        table_map(rows)
    for word in words:
        assert word in str(refused.value)


def test_other_refusals():
    with pytest.raises(PartError, match=r"3 by 2 values; .* ask for 2 by 2"):
        TableMap([5.0, 7.0], [15.0, 25.0], np.ones((3, 2)), np.ones((2, 2)))
    with pytest.raises(PartError, match="rated state of 20 degC leaving and 32 degC sea water is outside"):
        table_map(ROWS, rated_leaving_C=20.0)
    with pytest.raises(PartError, match="no figures for heating"):
        at_work(TABLE, heating=True)
    falling = table_map([(a, b, 3e4 - c, p) for a, b, c, p in ROWS], 7.0, 30.0)
    with pytest.raises(PartError, match="must not fall with warmer leaving water"):
        check_law(ChillerLaw(falling, 1.0))
