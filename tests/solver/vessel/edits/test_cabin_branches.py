# SPDX-License-Identifier: MIT
"""A branch for each of many cabins along mains, and the ends of those."""

from __future__ import annotations

from typing import Any

import msgspec
import pytest

from solver.solve import solve
from solver.vessel import edits
from solver.vessel.edits import OnRun, RunDefaults
from solver.vessel.edits.joining import free_ports
from solver.vessel.routing import legs, way
from solver.vessel.routing.obstacles import blocked
from solver.vessel.run import End, Run
from solver.vessel.vessel import Cabin, Vessel
from tests.solver.vessel.branch_rooms import (
    FULL,
    MAINS,
    PLAIN,
    ROOM,
    air_handler,
    chain,
    new_runs,
)
from tests.solver.vessel.drawings import drawn, joined, leaves_ports_ahead, refused

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
