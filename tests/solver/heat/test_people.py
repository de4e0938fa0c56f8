# SPDX-License-Identifier: MIT
"""Heat of people against the handbook's table."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from solver.heat.people import PEOPLE, heat_of_people
from solver.vessel.cabin import Activity

TABLE = json.loads(
    (Path(__file__).parents[2] / "references" / "ship_03_occupants_ashrae.json").read_text(encoding="utf-8")
)
ROWS: dict[Activity, str] = {
    "seated": "seated, very light work",
    "light_work": "standing, light work; walking",
    "working": "light bench work",
    "dancing": "moderate dancing",
    "exercise": "athletics",
}


@pytest.mark.reference
@pytest.mark.parametrize("activity", ROWS)
def test_the_table(activity: Activity) -> None:
    # Source: ship_03, ASHRAE Handbook Fundamentals 2013, chapter 18, table 1.
    by_name = {name: (sensible, latent) for name, _, _, sensible, latent in TABLE["rows"]}
    assert PEOPLE[activity] == by_name[ROWS[activity]]


@pytest.mark.reference
def test_a_fifth_less_sensible_at_27() -> None:
    # Source: ship_03, the note under the table.
    sensible, latent = heat_of_people(70.0, 45.0, 27.0)
    assert float(sensible) == pytest.approx(0.8 * 70.0)
    assert float(sensible + latent) == pytest.approx(115.0)


def test_sleepers_give_least() -> None:
    assert min(PEOPLE, key=lambda activity: sum(PEOPLE[activity])) == "sleeping"


@given(st.sampled_from(sorted(PEOPLE)), st.floats(-20.0, 60.0))
def test_the_total_stays_and_neither_part_is_below_0(activity: Activity, room_C: float) -> None:
    sensible, latent = heat_of_people(*PEOPLE[activity], room_C)
    assert float(sensible) >= 0.0
    assert float(latent) >= 0.0
    assert float(sensible + latent) == pytest.approx(sum(PEOPLE[activity]))
