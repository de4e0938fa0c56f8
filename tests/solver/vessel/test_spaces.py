# SPDX-License-Identifier: MIT
"""Spaces known by name, those of the vessel, and the area of an outline."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from solver.vessel.cabin import area_of
from solver.vessel.design_conditions import DESIGN_CONDITIONS
from solver.vessel.spaces import USUAL_SPACES, known_spaces, space_of
from solver.vessel.vessel import Conditions, Space, Vessel
from tests.strategies import points

TERN = Vessel(name="Tern")


@pytest.mark.reference
def test_an_engine_room_is_twelve_and_a_half_warmer() -> None:
    # Source: ISO 8861, rise of the air through an engine room (from memory).
    found = space_of(TERN, "Engine Room")
    assert found is not None
    assert found.temp_C == 35.0 + 12.5


@pytest.mark.parametrize("conditions", DESIGN_CONDITIONS, ids=lambda each: each.name)
def test_every_usual_space_has_air_that_can_be(conditions: Conditions) -> None:
    for name in USUAL_SPACES:
        found = space_of(TERN, name, conditions)
        assert found is not None
        assert found.temp_C is not None and -25.0 <= found.temp_C <= 60.0
        assert found.rh_percent is not None and 0.0 <= found.rh_percent <= 100.0


def test_machinery_is_not_counted_on_for_warmth() -> None:
    found = space_of(TERN, "engine room", DESIGN_CONDITIONS[1])
    assert found is not None
    assert found.temp_C == -20.0


def test_sea_and_outdoors() -> None:
    sea, outdoors = space_of(TERN, "sea"), space_of(TERN, "outdoors")
    assert sea is not None and sea.temp_C == 32.0
    assert outdoors is not None and (outdoors.temp_C, outdoors.rh_percent) == (35.0, pytest.approx(70.0))


def test_the_vessels_own_space_wins() -> None:
    vessel = Vessel(
        name="Tern", spaces=(Space("Engine room", 44.0), Space("Store"), Space("Bilge", None, 60.0))
    )
    assert space_of(vessel, " engine  ROOM ") == Space("Engine room", 44.0, pytest.approx(43.3, abs=0.2), 0.1)
    store, bilge, usual = (
        space_of(of, name) for of, name in ((vessel, "store"), (vessel, "bilge"), (TERN, "bilge"))
    )
    assert store is not None and store.temp_C == 35.0
    assert bilge is not None and usual is not None
    assert (bilge.temp_C, bilge.rh_percent) == (usual.temp_C, 60.0)
    assert known_spaces(vessel)[:3] == ("Engine room", "Store", "Bilge")
    assert "engine room" not in known_spaces(vessel)


def test_an_unknown_space_is_none() -> None:
    assert space_of(TERN, "behind the ladder") is None


@given(st.lists(points, min_size=3, max_size=8))
def test_an_outline_has_the_same_area_both_ways_round(outline: list[tuple[float, float]]) -> None:
    size = 1.0 + max(abs(of) for point in outline for of in point) ** 2
    assert area_of(tuple(outline)) == pytest.approx(area_of(tuple(reversed(outline))), abs=1e-9 * size)
    assert area_of(tuple(outline)) >= 0.0
