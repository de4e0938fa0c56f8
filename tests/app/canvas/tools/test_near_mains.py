# SPDX-License-Identifier: MIT
"""Which runs are mains, where a branch would join them, and the cabin a point lies in."""

from __future__ import annotations

import pytest

from app.canvas.tools.growth import growth
from app.canvas.tools.near_mains import Mains, branch_runs, cabin_at, main_through, whole_mains
from solver.vessel.components import AirHandler, Tee
from solver.vessel.edits import OnRun, add, add_cabin, add_deck, first_settings, join, pair, place_branch
from solver.vessel.run import End
from solver.vessel.vessel import Cabin, Deck, Vessel
from tests.app.parts_drawn import part


def _mains() -> Vessel:
    chiller = part("chiller", "CH-1", at=(0.0, 320.0))
    vessel = add(Vessel(name="Test"), components=(chiller,))
    ends = (End("CH-1", "water_out"), End("CH-1", "water_in"))
    return pair(vessel, ((60.0, 300.0), (1000.0, 300.0)), start=ends, gap=40.0)


def _with_branch(vessel: Vessel, x: float = 300.0) -> Vessel:
    supply, back = Mains(vessel).near((x, 120.0))
    return place_branch(vessel, first_settings(), supply, back, (x, 120.0))


def test_pipe_from_a_tee_to_an_air_handler_is_no_main() -> None:
    before = _mains()
    vessel = _with_branch(before)
    branches = set(branch_runs(vessel))
    mains = Mains(vessel).runs
    assert branches == set(vessel.run_by_tag) - set(mains["supply"]) - set(mains["return"])
    assert [len(mains[side]) for side in ("supply", "return")] == [2, 2]
    handler = next(one for one in vessel.components if isinstance(one, AirHandler))
    assert all(
        run.tag in branches for port in handler.ports for run in vessel.runs_at[End(handler.tag, port)]
    )


def test_pipe_from_the_plant_to_a_lone_air_handler_can_take_a_branch() -> None:
    parts = (part("chiller", "CH-1", at=(0.0, 320.0)), part("air_handler", "AH-1", at=(600.0, 100.0)))
    vessel = add(Vessel(name="Test"), components=parts)
    vessel = join(vessel, End("CH-1", "water_out"), End("AH-1", "water_in"))
    assert Mains(vessel).runs["supply"] == ["R-1"]


def test_the_nearest_of_each_on_one_side() -> None:
    vessel = pair(_mains(), ((60.0, 700.0), (1000.0, 700.0)), gap=40.0)
    lower = {run.service: run.tag for run in vessel.runs[-2:]}
    supply, back = Mains(vessel).near((300.0, 600.0))
    assert isinstance(supply, OnRun)
    assert isinstance(back, OnRun)
    assert (supply.run, back.run) == (lower["supply"], lower["return"])
    assert (supply.at, back.at) == ((300.0, 700.0), (300.0, 740.0))


def test_none_far_away() -> None:
    assert Mains(_mains()).near((300.0, 3000.0)) == (None, None)


def test_a_tee_that_waits_is_taken_before_a_new_one() -> None:
    vessel = _mains()
    supply, back = Mains(vessel).near((980.0, 120.0))
    waiting = {one.tag for one in vessel.components if isinstance(one, Tee)}
    assert isinstance(supply, End)
    assert isinstance(back, End)
    assert {supply.tag, back.tag} == waiting


def test_a_main_goes_straight_through_its_tees() -> None:
    vessel = _with_branch(_with_branch(_mains()), 600.0)
    mains = Mains(vessel).runs["supply"]
    assert set(main_through(vessel, "R-1")) == set(mains)
    assert main_through(vessel, "R-1")[0] == "R-1"
    assert [set(main) for main in whole_mains(vessel, mains)] == [set(mains)]


def test_what_grows_is_new_and_pieces_of_a_cut_main_are_not() -> None:
    before = _mains()
    after = _with_branch(before)
    grown = growth(before, after)
    assert set(grown.tags) == set(after.component_by_tag) - set(before.component_by_tag)
    assert len(grown.tees) == 2
    assert len(grown.cut) == 2
    new_runs = [run for run in after.runs if run.tag not in before.run_by_tag]
    # Two of the new runs are the further pieces of the mains.
    assert len(grown.ways) == len(new_runs) - 2
    assert grown.open_ends == ()


@pytest.mark.parametrize(
    ("point", "deck", "found"),
    [
        ((50.0, 50.0), "", "CAB-2"),
        ((150.0, 150.0), "", "CAB-1"),
        ((150.0, 50.0), "Upper", None),
        ((250.0, 150.0), "", None),
    ],
)
def test_the_smallest_room_round_a_point(point: tuple[float, float], deck: str, found: str | None) -> None:
    room = ((0.0, 0.0), (200.0, 0.0), (200.0, 200.0), (0.0, 200.0))
    small = ((0.0, 0.0), (100.0, 0.0), (100.0, 100.0), (0.0, 100.0))
    vessel = add_deck(Vessel(name="Test"), Deck(name="Lower", height_m=0.0))
    vessel = add_deck(vessel, Deck(name="Upper", height_m=2.0))
    for tag, outline in (("CAB-1", room), ("CAB-2", small)):
        vessel = add_cabin(vessel, Cabin(tag=tag, name=tag, deck="Lower", outline=outline))
    cabin = cabin_at(vessel, point, deck)
    assert (cabin.tag if cabin else None) == found
