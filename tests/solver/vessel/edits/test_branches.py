# SPDX-License-Identifier: MIT
"""Whole air-handler branches: their parts in order, settings kept, joined to mains, one for each cabin."""

from __future__ import annotations

from typing import Any

import msgspec
import pytest

from solver.solve import solve
from solver.vessel import edits
from solver.vessel.components import AirHandler, FlexibleHose, TwoWayValve, kind_name
from solver.vessel.edits import BranchSettings, OnRun, RunDefaults
from solver.vessel.edits.branch_layout import area, layout
from solver.vessel.edits.joining import free_ports
from solver.vessel.fields import Point
from solver.vessel.footprint import body
from solver.vessel.routing import legs, way
from solver.vessel.routing.obstacles import blocked
from solver.vessel.run import End, Insulation, Run
from solver.vessel.takeoff import takeoff
from solver.vessel.vessel import Cabin, Vessel
from tests.solver.vessel.boats import component
from tests.solver.vessel.drawings import drawn, joined, leaves_ports_ahead, part, refused, untouched

FOAM = Insulation(thickness_mm=19.0)


def _settings(**values: Any) -> BranchSettings:
    """Every part of a branch, each with a figure of its own to be known by."""
    everything: dict[str, Any] = {
        "air_handler": component("air_handler", design_flow_L_s=0.21, model="Air handler 3.5 kW"),
        "isolating": component("isolating_valve", opening_percent=90.0),
        "strainer": component("strainer", kv_m3_h=4.4),
        "hose": component("flexible_hose", bore_mm=13.0, length_m=0.7),
        "two_way": component("two_way_valve", kvs_m3_h=1.6),
        "regulating": component("regulating_valve", setting=2.5),
        "pipe": RunDefaults("multilayer", "20x2.0", FOAM, "ceiling"),
        "height_m": 2.0,
    }
    return BranchSettings(**{**everything, **values})


FULL = _settings()
PLAIN = _settings(strainer=None, hose=None, two_way=None)

#: A supply main 300 units below the cabins and a return main 40 below that, each with a pump's port free.
ROOM = drawn(
    part("P-1", "circulation_pump", (0, 300), height_m=0.0),
    part("IV-1", "isolating_valve", (900, 300)),
    part("IV-2", "isolating_valve", (900, 340), 2),
    part("IV-3", "isolating_valve", (0, 340), 2),
    cabins=tuple(
        Cabin(
            tag=f"C-{number}",
            name=f"Cabin {number}",
            deck="Main",
            outline=((left, 0.0), (left + 200.0, 0.0), (left + 200.0, 220.0), (left, 220.0)),
        )
        for number, left in enumerate((60.0, 280.0, 500.0), start=1)
    ),
)
MAINS = joined(ROOM, "P-1 outlet > IV-1 inlet", "IV-2 outlet > IV-3 inlet")
SUPPLY, RETURN = OnRun("R-1", (340.0, 300.0)), OnRun("R-2", (380.0, 340.0))
AT: Point = (360.0, 80.0)


def chain(vessel: Vessel, start: End) -> list[str]:
    """The kinds passed from a port on, down the pipe, to the part that ends it."""
    kinds = []
    end = start
    while runs := vessel.runs_at.get((end.tag, end.port)):
        (run,) = runs
        into = run.end if run.start == end else run.start
        reached = vessel.component_by_tag[into.tag]
        kinds.append(kind_name(reached))
        if len(reached.ports) != 2 or isinstance(reached, AirHandler):
            break
        end = End(into.tag, next(port for port in reached.ports if port != into.port))
    return kinds


def new_runs(before: Vessel, after: Vessel) -> list[Run]:
    return [run for run in after.runs if run.tag not in before.run_by_tag]


def air_handler(vessel: Vessel, tag: str) -> AirHandler:
    found = vessel.component_by_tag[tag]
    assert isinstance(found, AirHandler)
    return found


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


# One for each cabin

CABINS = ["C-1", "C-2", "C-3"]


def test_each_cabin_gets_a_coil_that_stands_in_it_and_cools_it() -> None:
    vessel = edits.repeat_for_cabins(MAINS, PLAIN, CABINS, "R-1", "R-2")
    assert [air_handler(vessel, f"AH-{n}").cabins for n in (1, 2, 3)] == [("C-1",), ("C-2",), ("C-3",)]
    for number, cabin in enumerate(MAINS.cabins, start=1):
        coil = air_handler(vessel, f"AH-{number}")
        (left, top), (right, bottom) = cabin.outline[0], cabin.outline[2]
        assert left < coil.at[0] < right
        assert top < coil.at[1] < bottom
        assert (coil.name, coil.deck) == (cabin.name, "Main")


def test_every_branch_hangs_on_the_supply_and_on_the_return_main() -> None:
    vessel = edits.repeat_for_cabins(MAINS, PLAIN, CABINS, "R-1", "R-2")
    for main, start in (("supply", End("P-1", "outlet")), ("return", End("IV-2", "outlet"))):
        tees = _tees_along(vessel, start)
        assert len(tees) == 3, main
    for number in (1, 2, 3):
        assert chain(vessel, End(f"AH-{number}", "water_in")) == ["isolating_valve", "tee"]
        assert chain(vessel, End(f"AH-{number}", "water_out")) == [
            "regulating_valve",
            "isolating_valve",
            "tee",
        ]


def _tees_along(vessel: Vessel, start: End) -> list[str]:
    """The tees of a main from a port on."""
    tees: list[str] = []
    end = start
    while runs := vessel.runs_at.get((end.tag, end.port)):
        (run,) = runs
        into = run.end if run.start == end else run.start
        if into.port not in ("run_1", "run_2"):
            break
        tees.append(into.tag)
        end = End(into.tag, "run_2" if into.port == "run_1" else "run_1")
    return tees


def main_pieces(vessel: Vessel, start: End) -> list[Run]:
    """The runs of a main from a port on, from tee to tee."""
    tees = set(_tees_along(vessel, start))
    ends = {(run.tag, end.tag) for run in vessel.runs for end in (run.start, run.end) if end.port != "branch"}
    return [run for run in vessel.runs if any((run.tag, tee) in ends for tee in tees)]


def test_the_mains_together_are_as_long_as_before() -> None:
    vessel = edits.repeat_for_cabins(MAINS, PLAIN, CABINS, "R-1", "R-2")
    for tag, start in (("R-1", End("P-1", "outlet")), ("R-2", End("IV-2", "outlet"))):
        pieces = main_pieces(vessel, start)
        assert len(pieces) == 4
        total = sum(run.length_m for run in pieces)
        assert total == pytest.approx(MAINS.run_by_tag[tag].length_m, abs=0.005)


def test_runs_of_branches_go_through_no_equipment() -> None:
    vessel = edits.repeat_for_cabins(MAINS, FULL, CABINS, "R-1", "R-2")
    for run in new_runs(MAINS, vessel):
        for other in vessel.components:
            if other.tag in (run.start.tag, run.end.tag):
                continue
            box = blocked(other)
            for a, b in legs(way(vessel, run)):
                through = min(a[0], b[0]) < box.right and max(a[0], b[0]) > box.left
                assert not (through and min(a[1], b[1]) < box.bottom and max(a[1], b[1]) > box.top), run.tag


def test_a_coil_steps_aside_for_what_stands_in_its_cabin() -> None:
    first = edits.repeat_for_cabins(MAINS, PLAIN, ["C-1"], "R-1", "R-2")
    supply = [run.tag for run in main_pieces(first, End("P-1", "outlet"))]
    back = [run.tag for run in main_pieces(first, End("IV-2", "outlet"))]
    second = edits.repeat_for_cabins(first, PLAIN, ["C-1"], supply, back)
    one, other = (air_handler(second, tag) for tag in ("AH-1", "AH-2"))
    assert one.at != other.at
    assert other.cabins == ("C-1",)


def test_cabins_above_and_below_a_main_both_get_theirs() -> None:
    below = Cabin(tag="C-4", deck="Main", outline=((280, 420), (480, 420), (480, 640), (280, 640)))
    vessel = msgspec.structs.replace(MAINS, cabins=(*MAINS.cabins, below))
    vessel = edits.repeat_for_cabins(vessel, PLAIN, ["C-2", "C-4"], "R-1", "R-2")
    assert [air_handler(vessel, tag).turn for tag in ("AH-1", "AH-2")] == [0, 2]


def test_cabins_that_cannot_be_served() -> None:
    bare = msgspec.structs.replace(MAINS, cabins=(*MAINS.cabins, Cabin(tag="C-9")))
    tries: list[tuple[tuple[Any, ...], str]] = [
        (
            (PLAIN, ["C-9"], "R-1", "R-2"),
            "C-9 has no room on the drawing; draw its room, or place its branch",
        ),
        ((PLAIN, ["P-1"], "R-1", "R-2"), "P-1 is not a cabin"),
        ((PLAIN, ["C-8"], "R-1", "R-2"), 'no part has the tag "C-8"'),
        ((PLAIN, ["C-1"], "R-1", "P-1"), "P-1 is not a run"),
    ]
    for arguments, words in tries:
        assert words in str(refused(edits.repeat_for_cabins, bare, *arguments))


# The ends of mains


def pair_with_branches() -> Vessel:
    """A pair of mains that begins and ends at tees, and a branch for each of three cabins along it."""
    mains = edits.pair(
        drawn(cabins=ROOM.cabins),
        [(0, 300), (630, 300)],
        gap=40.0,
        deck="Main",
        like=RunDefaults(size="32x3.0"),
    )
    settings = msgspec.structs.replace(edits.first_settings(), height_m=1.0)
    return edits.repeat_for_cabins(mains, settings, CABINS, "R-1", "R-2")


def waiting(vessel: Vessel) -> list[End]:
    """The open ports of tees."""
    return [end for end in free_ports(vessel) if end.port in ("run_1", "run_2", "branch")]


def test_the_last_branch_takes_the_place_of_the_tees_that_waited_for_it() -> None:
    vessel = pair_with_branches()
    left = {vessel.component_by_tag[end.tag].at for end in waiting(vessel)}
    # Those at the plant wait still.
    assert {x for x, _ in left} == {0}
    supply = _tees_along(vessel, End(vessel.run_by_tag["R-1"].start.tag, "run_1"))
    assert len(supply) == 2
    assert chain(vessel, End("AH-3", "water_in")) == ["isolating_valve", "tee"]
    assert all(leaves_ports_ahead(vessel, run) for run in vessel.runs)


def test_with_plant_a_pair_with_its_branches_solves() -> None:
    vessel = pair_with_branches()
    supply, back = sorted(
        {end.tag for end in waiting(vessel)}, key=lambda tag: vessel.component_by_tag[tag].at
    )
    for kind, at in (
        ("chiller", (-460.0, 320.0)),
        ("circulation_pump", (-200.0, 300.0)),
        ("expansion_vessel", (-320.0, 200.0)),
    ):
        vessel = edits.place(vessel, edits.new_component(vessel, kind, at, deck="Main"))
    vessel = joined(
        vessel,
        "CH-1 water_out > P-1 inlet",
        f"P-1 outlet > {supply} run_2",
        f"{back} run_2 > CH-1 water_in",
    )
    suction = next(run.tag for run in vessel.runs if run.end == End("P-1", "inlet"))
    vessel = edits.join(vessel, End("EV-1", "connection"), OnRun(suction, (-320, 300)))
    results = solve(vessel)
    assert results.converged
    flows = [results.air_handlers[f"AH-{n}"].flow_L_s for n in (1, 2, 3)]
    assert min(flows) > 0.05
    assert sum(flows) == pytest.approx(results.pumps["P-1"].flow_L_s)


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
    bare = _settings(strainer=None, hose=None, two_way=None, isolating=None, regulating=None)
    vessel = edits.place_branch(MAINS, bare, SUPPLY, RETURN, AT)
    assert chain(vessel, End("AH-1", "water_in")) == ["tee"]
    assert chain(vessel, End("AH-1", "water_out")) == ["tee"]
