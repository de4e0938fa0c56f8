# SPDX-License-Identifier: MIT
"""What warms cabins: the two-berth cabin worked by hand, limits, and what must hold for any cabin."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import msgspec
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from solver.errors import AirError
from solver.heat.cabin_load import latent_load, loads_at_set_point, room_loads, sensible_load
from solver.heat.estimate import ASSUMED_FLOOR_M2, BY_VOLUME, estimate, floor_area, place_of
from solver.heat.sheet import cabin_sheet
from solver.media.moist_air import enthalpy, humidity_ratio
from solver.vessel.cabin import Cabin, Surface
from solver.vessel.design_conditions import DESIGN_CONDITIONS
from solver.vessel.vessel import Conditions, Deck, Space, Vessel
from tests.strategies import structs, surfaces, vessels

REFERENCES = Path(__file__).parents[2] / "references"
ISO_SUMMER, ISO_WINTER = DESIGN_CONDITIONS[:2]
WINDOW = Surface(kind="window", area_m2=2.0, facing_deg=90.0)
SIDE = Surface(kind="side", area_m2=6.0, facing_deg=90.0)
CABIN = Cabin(tag="C-1", surfaces=(SIDE, WINDOW), people=2.0, lights_W=60.0, equipment_W=100.0)
HOURS = st.floats(0.0, 24.0)


def vessel_of(*cabins: Cabin, conditions: Conditions = ISO_SUMMER, **fields: Any) -> Vessel:
    return Vessel(name="Tern", conditions=(conditions,), cabins=cabins, **fields)


def replace(item: Any, **fields: Any) -> Any:
    return msgspec.structs.replace(item, **fields)


def _of_usual_size(surface: Surface) -> Surface:
    return replace(surface, area_m2=min(surface.area_m2, 50.0))


def some_cabins(count: int = 3) -> st.SearchStrategy[list[Cabin]]:
    """Cabins of usual size with any surfaces, people and typed loads."""
    modest = st.floats(0.0, 5000.0)
    cabin = structs(
        Cabin,
        tag=st.just("C-1"),
        set_point_C=st.floats(16.0, 30.0),
        floor_area_m2=st.one_of(st.none(), st.floats(1.0, 100.0)),
        ceiling_m=st.floats(1.0, 4.0),
        surfaces=st.lists(surfaces().map(_of_usual_size), max_size=4).map(tuple),
        people=st.floats(0.0, 20.0),
        lights_W=modest,
        equipment_W=modest,
        equipment_latent_W=modest,
        outdoor_air_L_s=st.one_of(st.none(), st.floats(0.0, 200.0)),
        load_sensible_W=st.one_of(st.none(), modest),
        load_latent_W=st.one_of(st.none(), modest),
    )
    return st.lists(cabin, min_size=1, max_size=count).map(
        lambda cabins: [replace(each, tag=f"C-{number}") for number, each in enumerate(cabins)]
    )


# Sources


@pytest.mark.reference
def test_the_two_berth_cabin() -> None:
    # Source: ship_04, worked out apart with figures in the manner of ISO 7547.
    data = json.loads((REFERENCES / "ship_04_cabin_load.json").read_text(encoding="utf-8"))
    given, answer, allowed = data["inputs"], data["answer"], data["tolerance"]["relative"]
    spaces = (
        Space("sunlit side", 27.0 + given["hull_dT"]),
        Space("sunlit deck", 27.0 + given["deck_dT"]),
    )
    beyond = [
        Surface(kind="side", area_m2=given["hull_area"], u_W_m2K=given["hull_U"], other_side="sunlit side"),
        Surface(kind="deck", area_m2=given["deck_area"], u_W_m2K=given["deck_U"], other_side="sunlit deck"),
        Surface(kind="window", area_m2=given["window_area"], u_W_m2K=given["window_U"], solar_gain=0.0),
    ]
    sun = given["window_area"] * given["window_solar"]
    cabin = Cabin(
        tag="C-1",
        set_point_C=27.0,
        surfaces=tuple(beyond),
        lights_W=given["lighting_W"],
        equipment_W=sun + given["persons"] * given["sensible_each"],
        equipment_latent_W=given["persons"] * given["latent_each"],
        outdoor_air_L_s=1000.0 * given["outdoor_m3_per_s"],
    )
    vessel = vessel_of(cabin, spaces=spaces)
    loads = room_loads(vessel)
    dry = float(loads.outdoor_air_kg_s[0])
    assert dry == pytest.approx(answer["outdoor_dry_air_kg_per_s"], rel=allowed)
    assert float(loads.conductance_W_K[0]) == pytest.approx(answer["UA_W_per_K"], rel=allowed)
    still = loads._replace(outdoor_air_kg_s=np.zeros(1))
    assert float(sensible_load(still, 27.0)[0]) == pytest.approx(answer["room_sensible_W"], rel=allowed)
    wanted = humidity_ratio(27.0, 0.5)
    assert float(latent_load(still, 27.0, wanted)[0]) == pytest.approx(answer["room_latent_W"], rel=allowed)
    total = float(loads_at_set_point(vessel, loads).total_W[0])
    assert total == pytest.approx(answer["grand_total_W"], rel=allowed)
    # With a coil of 80 % of the load the cabin warms until what comes in through its walls has fallen as far.
    short = 0.8 * answer["room_sensible_W"]
    gain, conductance = float(loads.gain_W[0]), float(loads.conductance_W_K[0])
    settled = float(loads.ambient_C[0]) - (short - gain) / conductance
    assert settled == pytest.approx(answer["cabin_temperature_if_coil_sensible_is_80_percent"], rel=allowed)


@pytest.mark.reference
def test_design_air_of_iso_7547() -> None:
    # Source: ship_01, ISO 7547:2002 clauses 4.2 and 4.3.
    data = json.loads((REFERENCES / "ship_01_iso7547_design.json").read_text(encoding="utf-8"))
    summer, winter = data["summer"]["outdoor"], data["winter"]["outdoor"]
    assert (ISO_SUMMER.outdoor_temp_C, ISO_SUMMER.outdoor_rh_percent) == (summer["t"], 100 * summer["rh"])
    assert (ISO_WINTER.outdoor_temp_C, ISO_WINTER.mode) == (winter["t"], "heating")
    loads = room_loads(vessel_of(CABIN))
    derived = data["derived"]["summer_outdoor"]
    assert loads.outdoor_humidity_ratio[0] == pytest.approx(derived["W"], rel=1e-4)
    assert float(enthalpy(loads.outdoor_C, loads.outdoor_humidity_ratio)[0]) == pytest.approx(
        1000 * derived["h_kJ_per_kg"], abs=100
    )


@pytest.mark.reference
def test_sol_air_temperature() -> None:
    # Source: ASHRAE Handbook Fundamentals 2013, chapter 18: t + alpha I/h - epsilon dR/h, h = 17, and 63 W/m2
    # less for what looks up.
    noon = replace(ISO_SUMMER, hour=12.0, heading_deg=0.0)
    deck = Surface(kind="deck", area_m2=1.0, u_W_m2K=1.0, absorptance=0.85)
    dark = float(room_loads(vessel_of(Cabin(tag="C-1", surfaces=(deck,)), conditions=noon)).ambient_C[0])
    bright = replace(deck, absorptance=0.0)
    pale = float(room_loads(vessel_of(Cabin(tag="C-1", surfaces=(bright,)), conditions=noon)).ambient_C[0])
    assert pale == pytest.approx(35.0 - 63.0 / 17.0)
    # A sun of 900 to 1050 W/m2 at noon in July at 25 degrees north.
    assert 900.0 * 0.85 / 17.0 < dark - pale < 1050.0 * 0.85 / 17.0


# Limits


def test_outdoor_air_brings_its_enthalpy() -> None:
    vessel = vessel_of(Cabin(tag="C-1", load_sensible_W=0.0, load_latent_W=0.0, outdoor_air_L_s=20.0))
    loads = room_loads(vessel)
    found = loads_at_set_point(vessel, loads)
    outdoors = enthalpy(35.0, humidity_ratio(35.0, 0.7)) - enthalpy(23.0, humidity_ratio(23.0, 0.5))
    assert found.total_W[0] == pytest.approx(float(loads.outdoor_air_kg_s[0] * outdoors), rel=1e-12)


def test_typed_loads_win() -> None:
    cabin = replace(CABIN, load_sensible_W=1500.0, load_latent_W=400.0, outdoor_air_L_s=0.0)
    vessel = vessel_of(cabin)
    loads = room_loads(vessel)
    found = loads_at_set_point(vessel, loads)
    assert (found.sensible_W[0], found.latent_W[0]) == pytest.approx((1500.0, 400.0))
    # A warmer room still takes less, by its surfaces.
    assert loads.conductance_W_K[0] == room_loads(vessel_of(CABIN)).conductance_W_K[0]
    assert not loads.estimated[0]


def test_outdoor_air_by_people_unless_typed() -> None:
    flows = [
        float(room_loads(vessel_of(replace(CABIN, outdoor_air_L_s=typed))).outdoor_air_kg_s[0])
        for typed in (None, 16.0, 0.0)
    ]
    assert flows[0] == flows[1] > flows[2] == 0.0


def test_no_cabins() -> None:
    loads = room_loads(vessel_of())
    assert loads.tags == ()
    assert all(len(of) == 0 for of in loads)


def test_a_cabin_without_surfaces_and_loads_is_estimated() -> None:
    cabin = Cabin(tag="C-1", floor_area_m2=10.0, ceiling_m=2.0, people=4.0)
    vessel = vessel_of(cabin)
    loads = room_loads(vessel)
    assert loads.estimated.tolist() == [True]
    assert loads_at_set_point(vessel, loads).total_W[0] == pytest.approx(145.0 * 20.0)
    # Half of it at most comes through the hull.
    assert 0.0 < float(loads.conductance_W_K[0] * 12.0) <= 0.5 * 0.75 * 2900.0


def test_without_surfaces_nothing_divides_by_nothing() -> None:
    loads = room_loads(vessel_of(Cabin(tag="C-1", load_sensible_W=0.0)))
    assert np.isfinite(np.array(loads[1:], dtype=float)).all()
    assert loads.conductance_W_K[0] == 0.0


def test_heating_counts_on_nothing_that_may_be_off() -> None:
    vessel = vessel_of(replace(CABIN, set_point_C=22.0), conditions=ISO_WINTER)
    loads = room_loads(vessel)
    assert loads.gain_W[0] == loads.moisture_kg_s[0] == 0.0
    assert loads.ambient_C[0] == pytest.approx(-20.0)
    found = loads_at_set_point(vessel, loads)
    assert found.sensible_W[0] < 0.0
    # The outdoor air is drier than the room, and nothing humidifies it.
    assert latent_load(loads, 22.0, humidity_ratio(22.0, 0.5))[0] < found.latent_W[0] == 0.0


def test_at_night_only_people_and_things_are_left() -> None:
    loads = room_loads(vessel_of(CABIN), hour=1.0)
    people = 2.0 * 70.0 * (1.0 + 0.2 / 3.0)
    assert loads.gain_W[0] == pytest.approx(people + 160.0)


def test_the_worst_heading_turns_the_windows_to_the_sun() -> None:
    # At nine the sun is in the east: starboard windows see it on a heading near north.
    morning = room_loads(vessel_of(CABIN), hour=8.0)
    assert morning.heading_deg[0] in (337.5, 0.0, 22.5)
    fixed = room_loads(vessel_of(CABIN, conditions=replace(ISO_SUMMER, heading_deg=180.0)), hour=8.0)
    assert fixed.gain_W[0] < morning.gain_W[0]
    assert fixed.heading_deg[0] == 180.0


def test_a_full_shade_leaves_no_sun() -> None:
    shaded = replace(CABIN, surfaces=(replace(WINDOW, shaded_percent=100.0),))
    dark = room_loads(vessel_of(shaded)).gain_W[0]
    assert dark == pytest.approx(float(room_loads(vessel_of(shaded), hour=0.0).gain_W[0]))


# Properties


@given(some_cabins(), HOURS, st.sampled_from(DESIGN_CONDITIONS))
def test_the_sheet_adds_up_to_the_load(cabins: list[Cabin], hour: float, conditions: Conditions) -> None:
    vessel = vessel_of(*cabins, conditions=conditions)
    found = loads_at_set_point(vessel, room_loads(vessel, hour))
    for index, cabin in enumerate(cabins):
        rows = cabin_sheet(vessel, cabin.tag, hour)
        scale = 1.0 + sum(abs(row.sensible_W) + abs(row.latent_W) for row in rows)
        assert sum(row.sensible_W for row in rows) == pytest.approx(found.sensible_W[index], abs=1e-9 * scale)
        assert sum(row.latent_W for row in rows) == pytest.approx(found.latent_W[index], abs=1e-9 * scale)


@given(some_cabins(), HOURS)
def test_cabins_do_not_touch_each_other(cabins: list[Cabin], hour: float) -> None:
    together = room_loads(vessel_of(*cabins), hour)
    for index, cabin in enumerate(cabins):
        alone = room_loads(vessel_of(cabin), hour)
        for of, of_all in zip(alone[1:], together[1:], strict=True):
            assert of[0] == pytest.approx(of_all[index], rel=1e-9, abs=1e-9)


@given(some_cabins(1), HOURS, st.floats(-180.0, 180.0))
def test_no_heading_is_worse_than_the_worst(cabins: list[Cabin], hour: float, heading: float) -> None:
    # Headings between those tried can be worse by a little: the sun's angle changes by half a step at most.
    tried = round(heading / 22.5) * 22.5
    free, fixed = (vessel_of(*cabins, conditions=replace(ISO_SUMMER, heading_deg=of)) for of in (None, tried))
    worst = loads_at_set_point(free, room_loads(free, hour)).sensible_W[0]
    assert loads_at_set_point(fixed, room_loads(fixed, hour)).sensible_W[0] <= worst + 1e-6 * abs(worst)


@given(some_cabins(1), st.floats(0.1, 5.0))
def test_a_warmer_room_takes_less(cabins: list[Cabin], kelvin: float) -> None:
    loads = room_loads(vessel_of(*cabins))
    set_point = cabins[0].set_point_C
    assert sensible_load(loads, set_point + kelvin)[0] <= sensible_load(loads, set_point)[0]


@given(vessels(max_components=1))
def test_any_vessel_has_loads_or_air_that_cannot_be(vessel: Vessel) -> None:
    try:
        loads = room_loads(vessel)
    except AirError:
        assert not -60.0 <= vessel.current_conditions.outdoor_temp_C <= 90.0
        return
    assert loads.tags == tuple(cabin.tag for cabin in vessel.cabins)
    assert np.isfinite(np.array(loads[1:], dtype=float)).all()
    assert (loads.conductance_W_K >= 0.0).all()


# The rule of thumb


def test_places_by_deck() -> None:
    decks = (Deck("Upper", 4.0), Deck("Main", 1.5), Deck("Lower", -0.6))
    vessel = vessel_of(decks=decks)
    places = [place_of(vessel, Cabin(tag="C-1", deck=deck)) for deck in ("Upper", "Main", "Lower", "")]
    assert places == ["sunny", "main deck", "below deck", "main deck"]


@pytest.mark.reference
def test_volume_rule_in_its_own_units() -> None:
    # Source: a trade sizing page: 10 to 12, 14, 16 to 19 BTU/h a cubic foot.
    btu_h_ft3 = 1055.056 / 3600 / 0.3048**3
    assert BY_VOLUME["below deck"][::2] == pytest.approx((10 * btu_h_ft3, 12 * btu_h_ft3), abs=1.0)
    assert BY_VOLUME["main deck"][1] == pytest.approx(14 * btu_h_ft3, abs=1.0)
    assert BY_VOLUME["sunny"][::2] == pytest.approx((16 * btu_h_ft3, 19 * btu_h_ft3), abs=1.0)


def test_floor_area_typed_then_drawn_then_assumed() -> None:
    outline = ((0.0, 0.0), (80.0, 0.0), (80.0, 50.0), (0.0, 50.0))
    cabin = Cabin(tag="C-1", deck="Main", outline=outline)
    scaled = vessel_of(decks=(Deck("Main", 1.5, 0.05),))
    assert floor_area(scaled, replace(cabin, floor_area_m2=7.0)) == (7.0, "typed")
    assert floor_area(scaled, cabin) == (pytest.approx(10.0), "drawing")
    assert floor_area(vessel_of(decks=(Deck("Main", 1.5),)), cabin) == (ASSUMED_FLOOR_M2, "assumed")
    assert floor_area(scaled, replace(cabin, outline=())) == (ASSUMED_FLOOR_M2, "assumed")
    assert estimate(scaled, cabin).usual_W == pytest.approx(145.0 * 10.0 * 2.1)
