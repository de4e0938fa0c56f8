# SPDX-License-Identifier: MIT
"""Whole air-handler branches: their parts in order, settings kept, joined to mains."""

from __future__ import annotations

from typing import Any

import msgspec
import pytest

from solver.vessel import edits
from solver.vessel.components import AirHandler, FlexibleHose, TwoWayValve, kind_name
from solver.vessel.edits import OnRun
from solver.vessel.edits.branch_layout import area, layout
from solver.vessel.fields import Point
from solver.vessel.footprint import body
from solver.vessel.routing.obstacles import blocked
from solver.vessel.run import End
from solver.vessel.takeoff import takeoff
from solver.vessel.vessel import Vessel
from tests.solver.vessel.branch_rooms import (
    FOAM,
    FULL,
    MAINS,
    PLAIN,
    ROOM,
    air_handler,
    branch_settings,
    chain,
    new_runs,
)
from tests.solver.vessel.drawings import joined, leaves_ports_ahead, refused, untouched

SUPPLY, RETURN = OnRun("R-1", (340.0, 300.0)), OnRun("R-2", (380.0, 340.0))
AT: Point = (360.0, 80.0)


# One branch


def test_parts_stand_in_the_order_of_flow_between_the_mains() -> None:
    vessel = edits.place_branch(MAINS, FULL, SUPPLY, RETURN, AT, deck="Main")
    assert chain(vessel, End("T-1", "branch")) == [
        "isolating_valve",
        "strainer",
        "flexible_hose",
        "air_handler",
    ]
    assert chain(vessel, End("AH-1", "water_out")) == [
        "flexible_hose",
        "two_way_valve",
        "regulating_valve",
        "isolating_valve",
        "tee",
    ]


def test_water_flows_from_the_supply_main_through_the_coil_to_the_return_main() -> None:
    vessel = edits.place_branch(MAINS, FULL, SUPPLY, RETURN, AT)
    branch = [run for run in new_runs(MAINS, vessel) if run.insulation == FOAM]
    assert [run.service for run in branch] == ["supply"] * 4 + ["return"] * 5
    assert {run.start.port for run in branch} == {"branch", "outlet", "water_out"}
    assert {run.end.port for run in branch} == {"branch", "inlet", "water_in"}


def test_settings_are_kept() -> None:
    vessel = edits.place_branch(MAINS, FULL, SUPPLY, RETURN, AT, deck="Main", name="Owner", cabins=("C-2",))
    new = [one for one in vessel.components if one.tag not in MAINS.component_by_tag]
    by_kind = {kind_name(one): one for one in new}
    coil = air_handler(vessel, "AH-1")
    assert (coil.design_flow_L_s, coil.model, coil.height_m) == (0.21, "Air handler 3.5 kW", 2.0)
    assert (coil.name, coil.cabins, coil.at) == ("Owner", ("C-2",), AT)
    hose = by_kind["flexible_hose"]
    assert isinstance(hose, FlexibleHose)
    assert (hose.bore_mm, hose.length_m) == (13.0, 0.7)
    two_way = by_kind["two_way_valve"]
    assert isinstance(two_way, TwoWayValve)
    assert two_way.kvs_m3_h == 1.6
    # Heights of the other parts follow from the air handler's.
    assert {one.height_m for one in new if not isinstance(one, AirHandler)} == {None}
    assert {one.deck for one in new} == {"Main"}
    pipes = {(run.size, run.insulation, run.surroundings) for run in new_runs(MAINS, vessel)}
    assert ("20x2.0", FOAM, "ceiling") in pipes


def test_a_pattern_that_is_left_out_is_not_in_the_branch() -> None:
    vessel = edits.place_branch(MAINS, PLAIN, SUPPLY, RETURN, AT)
    assert chain(vessel, End("T-1", "branch")) == ["isolating_valve", "air_handler"]
    assert chain(vessel, End("AH-1", "water_out")) == ["regulating_valve", "isolating_valve", "tee"]


def test_the_order_may_be_another() -> None:
    other = msgspec.structs.replace(
        FULL,
        supply_order=("strainer", "isolating", "regulating", "hose"),
        return_order=("hose", "isolating"),
    )
    vessel = edits.place_branch(MAINS, other, SUPPLY, RETURN, AT)
    assert chain(vessel, End("T-1", "branch")) == [
        "strainer",
        "isolating_valve",
        "regulating_valve",
        "flexible_hose",
        "air_handler",
    ]
    assert chain(vessel, End("AH-1", "water_out")) == ["flexible_hose", "isolating_valve", "tee"]


def test_first_settings_are_a_coil_two_isolating_valves_and_a_regulating_valve() -> None:
    vessel = edits.place_branch(MAINS, edits.first_settings(), SUPPLY, RETURN, AT)
    assert chain(vessel, End("T-1", "branch")) == ["isolating_valve", "air_handler"]
    assert chain(vessel, End("AH-1", "water_out")) == ["regulating_valve", "isolating_valve", "tee"]
    assert air_handler(vessel, "AH-1").model == "Air handler 3.5 kW"


def test_a_typed_length_is_that_of_each_pipe_from_main_to_coil() -> None:
    typed = msgspec.structs.replace(FULL, length_m=6.0)
    vessel = edits.place_branch(MAINS, typed, SUPPLY, RETURN, AT)
    for service in ("supply", "return"):
        own = [run for run in new_runs(MAINS, vessel) if run.service == service and run.insulation == FOAM]
        assert sum(run.length_m for run in own) == pytest.approx(6.0)
        assert {run.length_known for run in own} == {"guessed"}
        # Shared as on the drawing.
        drawn_m = [takeoff(vessel, run).level_m for run in own]
        assert [run.length_m for run in own] == pytest.approx([6.0 * one / sum(drawn_m) for one in drawn_m])


def test_mains_are_cut_and_keep_their_lengths() -> None:
    vessel = edits.place_branch(MAINS, FULL, SUPPLY, RETURN, AT)
    for tag in ("R-1", "R-2"):
        old = MAINS.run_by_tag[tag]
        tee = vessel.run_by_tag[tag].end.tag
        rest = next(run for run in vessel.runs if run.start.tag == tee and run.start.port != "branch")
        assert vessel.run_by_tag[tag].length_m + rest.length_m == pytest.approx(old.length_m, abs=0.002)
    assert untouched(MAINS, vessel, "R-1", "R-2")


def test_a_branch_may_wait_for_its_mains() -> None:
    vessel = edits.place_branch(MAINS, FULL, None, None, AT)
    assert chain(vessel, End("AH-1", "water_in")) == ["flexible_hose", "strainer", "isolating_valve"]
    assert "T-1" not in vessel.component_by_tag
    assert untouched(MAINS, vessel)


def test_a_branch_may_begin_and_end_at_ports() -> None:
    vessel = edits.place_branch(ROOM, PLAIN, End("P-1", "outlet"), End("IV-2", "inlet"), AT)
    assert chain(vessel, End("P-1", "outlet"))[-1] == "air_handler"
    assert chain(vessel, End("AH-1", "water_out"))[-1] == "isolating_valve"
    assert all(leaves_ports_ahead(vessel, run) for run in vessel.runs)


@pytest.mark.parametrize(("at", "turn"), [((360.0, 80.0), 0), ((360.0, 560.0), 2)])
def test_the_coil_turns_its_ports_towards_the_mains(at: Point, turn: int) -> None:
    vessel = edits.place_branch(MAINS, PLAIN, SUPPLY, RETURN, at)
    assert vessel.component_by_tag["AH-1"].turn == turn
    for run in new_runs(MAINS, vessel):
        assert leaves_ports_ahead(vessel, run)


@pytest.mark.parametrize("turn", range(4))
def test_however_it_is_turned_no_part_stands_on_another(turn: int) -> None:
    vessel = edits.place_branch(MAINS, FULL, None, None, (400, -600), turn=turn)
    new = [one for one in vessel.components if one.tag not in MAINS.component_by_tag]
    for number, one in enumerate(new):
        for other in new[number + 1 :]:
            a, b = body(one), body(other)
            apart = a.right <= b.left or b.right <= a.left or a.bottom <= b.top or b.bottom <= a.top
            assert apart, (one.tag, other.tag)
    for run in vessel.runs[2:]:
        assert run.bends == ()


def test_a_branch_that_cannot_be_placed() -> None:
    taken = joined(MAINS, "IV-1 outlet > IV-2 inlet")
    twice = msgspec.structs.replace(FULL, supply_order=("isolating", "isolating"))
    unknown = msgspec.structs.replace(FULL, return_order=("isolating", "strainr"))  # type: ignore[arg-type]
    tries: list[tuple[Vessel, tuple[Any, ...], dict[str, Any], str]] = [
        (taken, (FULL, End("IV-1", "outlet"), None, AT), {}, "IV-1 outlet has run R-3 already"),
        (MAINS, (FULL, OnRun("R-9", AT), None, AT), {}, 'no part has the tag "R-9"'),
        (MAINS, (FULL, SUPPLY, RETURN, AT), {"cabins": ("C-9",)}, "C-9"),
        (MAINS, (FULL, SUPPLY, RETURN, AT), {"deck": "Sun"}, "no deck has this name"),
        (MAINS, (twice, SUPPLY, RETURN, AT), {}, "supply_order of the branch: isolating is given twice"),
        (MAINS, (unknown, SUPPLY, RETURN, AT), {}, 'return_order of the branch: found "strainr"'),
        (MAINS, (FULL, SUPPLY, RETURN, (1e99, 0.0)), {}, "too large"),
    ]
    for vessel, arguments, more, words in tries:
        assert words in str(refused(edits.place_branch, vessel, *arguments, **more))


# Where a branch stands


def test_a_branch_covers_what_its_parts_cover() -> None:
    for turn in range(4):
        vessel = edits.place_branch(MAINS, FULL, None, None, (400, -600), turn=turn)
        boxes = [blocked(one) for one in vessel.components if one.tag not in MAINS.component_by_tag]
        box = area(FULL, (400, -600), turn)
        assert box.left == min(one.left for one in boxes)
        assert box.top == min(one.top for one in boxes)
        assert box.right == max(one.right for one in boxes)
        assert box.bottom == max(one.bottom for one in boxes)


def test_both_columns_end_at_one_level() -> None:
    parts = layout(FULL)
    first, last = parts.supply[0], parts.back[-1]
    assert first.at[1] + 10 == last.at[1] + 10 == parts.reach


def test_without_parts_the_coil_alone_is_the_branch() -> None:
    bare = branch_settings(strainer=None, hose=None, two_way=None, isolating=None, regulating=None)
    vessel = edits.place_branch(MAINS, bare, SUPPLY, RETURN, AT)
    assert chain(vessel, End("AH-1", "water_in")) == ["tee"]
    assert chain(vessel, End("AH-1", "water_out")) == ["tee"]
