# SPDX-License-Identifier: MIT
"""Mains as pairs, and return mains mirrored: circuits all alike in a reverse return, growing in a direct one.

Direct and reverse return as in any handbook of hydronics: in a direct return the first unit on has the
shortest circuit, in a reverse return pipe to and from each unit together is equally long.
"""

from __future__ import annotations

import heapq
from typing import Any, Literal

import msgspec
import pytest

from solver.solve import solve
from solver.vessel import edits
from solver.vessel.components import Tee
from solver.vessel.edits import OnRun, RunDefaults
from solver.vessel.edits.mains import MAIN_GAP, PAIR_GAP, offset
from solver.vessel.fields import Point
from solver.vessel.footprint import port_direction
from solver.vessel.routing import legs, way
from solver.vessel.run import End, Insulation, Run
from solver.vessel.vessel import Cabin, Vessel
from tests.solver.vessel.drawings import SCALE, drawn, joined, leaves_ports_ahead, part, refused, untouched

FOAM = Insulation(thickness_mm=19.0)

# Pairs


def test_a_supply_and_its_return_lie_side_by_side() -> None:
    vessel = edits.pair(drawn(), [(0, 0), (400, 0)], like=RunDefaults("multilayer", "32x3.0", FOAM))
    supply, back = vessel.runs
    assert (supply.service, back.service) == ("supply", "return")
    assert {(run.size, run.insulation) for run in vessel.runs} == {("32x3.0", FOAM)}
    assert {y for _, y in way(vessel, supply)} == {0}
    # Right of the way to the right is below, and water comes back in it.
    assert {y for _, y in way(vessel, back)} == {PAIR_GAP}
    assert way(vessel, back)[0][0] > way(vessel, back)[-1][0]


def test_tees_wait_where_a_main_goes_on_nowhere_yet() -> None:
    vessel = edits.pair(drawn(), [(0, 0), (400, 0)], deck="Main")
    assert all(isinstance(one, Tee) and one.deck == "Main" for one in vessel.components)
    assert len(vessel.components) == 4
    for tee in vessel.components:
        x = tee.at[0]
        assert port_direction(tee, "run_2") == ((1, 0) if x > 200 else (-1, 0))
        assert edits.why_not(vessel, End(tee.tag, "run_2")) is None


def test_round_a_corner_the_return_stays_beside_the_supply() -> None:
    vessel = edits.pair(drawn(), [(0, 0), (300, 0), (300, 300)], gap=30.0)
    supply, back = vessel.runs
    assert (300, 0) in way(vessel, supply)
    assert (270, 30) in way(vessel, back)
    left = edits.pair(drawn(), [(0, 0), (300, 0), (300, 300)], gap=-30.0)
    assert (330, -30) in way(left, left.runs[1])


def test_points_off_an_axis_get_a_corner() -> None:
    vessel = edits.pair(drawn(), [(0, 0), (300, 200)])
    for run in vessel.runs:
        assert all((a[0] == b[0]) != (a[1] == b[1]) for a, b in legs(way(vessel, run)))
        assert len(run.bends) == 1


PLANT = drawn(
    part("CH-1", "chiller", (0, 0)),
    part("IV-1", "isolating_valve", (600, 20), 2),
    part("IV-2", "isolating_valve", (600, -20)),
)


def test_a_pair_begins_and_ends_at_ports() -> None:
    vessel = edits.pair(
        PLANT,
        [(60, -20), (580, -20)],
        start=(End("CH-1", "water_out"), End("CH-1", "water_in")),
        end=(End("IV-2", "inlet"), End("IV-1", "outlet")),
        gap=40.0,
    )
    supply, back = vessel.runs
    assert (supply.start, supply.end) == (End("CH-1", "water_out"), End("IV-2", "inlet"))
    assert (back.start, back.end) == (End("IV-1", "outlet"), End("CH-1", "water_in"))
    assert supply.bends == back.bends == ()
    assert vessel.components is PLANT.components


def test_a_pair_may_begin_on_mains_that_are_there() -> None:
    mains = edits.pair(drawn(), [(0, 0), (0, 400)], gap=-40.0)
    supply, back = (run.tag for run in mains.runs)
    vessel = edits.pair(
        mains, [(60, 100), (500, 100)], start=(OnRun(supply, (0, 100)), OnRun(back, (40, 140)))
    )
    new = [run for run in vessel.runs if run.tag not in mains.run_by_tag]
    branches = [end for run in new for end in (run.start, run.end) if end.port == "branch"]
    assert len(branches) == 2
    assert all(leaves_ports_ahead(vessel, run) for run in vessel.runs)


def test_pairs_that_cannot_be_laid() -> None:
    taken = joined(PLANT, "CH-1 water_out > IV-2 inlet")
    tries: list[tuple[Vessel, tuple[Any, ...], dict[str, Any], str]] = [
        (PLANT, ([(0, 0)],), {}, "a pair of mains takes two points or more"),
        (
            PLANT,
            ([(0, 0), (20, 10)],),
            {},
            "the points lie too near each other; a main takes 40 units or more",
        ),
        (
            taken,
            ([(60, -20), (500, -20)],),
            {"start": (End("CH-1", "water_out"), None)},
            "CH-1 water out has run R-1 already",
        ),
        (
            PLANT,
            ([(60, 100), (500, 100)],),
            {"end": (End("IV-9", "inlet"), None)},
            'no component has the tag "IV-9"',
        ),
        (PLANT, ([(0, 0), (1e99, 0)],), {}, "too large"),
    ]
    for vessel, arguments, more, words in tries:
        assert words in str(refused(edits.pair, vessel, *arguments, **more))


@pytest.mark.parametrize("gap", [20.0, -20.0])
def test_beside_a_way_is_right_of_it_or_left_below_nought(gap: float) -> None:
    down: list[Point] = [(0, 0), (0, 100)]
    assert offset(down, gap) == [(-gap, 0), (-gap, 100)]


# Return mains

COUNT, PITCH = 5, 200.0
Kind = Literal["direct", "reverse"]


def supply_main(last_takes_end: bool = False) -> Vessel:
    """A pump, a supply main with five branches 200 units apart, their returns open.

    At its end stands a valve; or a tee, in whose place comes the last branch.
    """
    end = (
        part("T-90", "tee", (COUNT * PITCH - 20, 320))
        if last_takes_end
        else part("IV-1", "isolating_valve", (1200, 320))
    )
    room = drawn(
        part("CH-1", "chiller", (-260, 340)),
        end,
        cabins=tuple(Cabin(tag=f"C-{n}", deck="Main") for n in range(1, COUNT + 1)),
    )
    pump = edits.new_component(room, "circulation_pump", (0, 320), deck="Main")
    vessel = edits.place(room, pump)
    like = RunDefaults(size="32x3.0", insulation=FOAM, service="supply")
    vessel = edits.connect(vessel, End("P-1", "outlet"), End(end.tag, end.ports[0]), like=like)
    for n in range(COUNT):
        (last,) = vessel.runs_at[end.tag, end.ports[0]]
        x = PITCH * (n + 1)
        at_end = last_takes_end and n == COUNT - 1
        place = End(end.tag, "branch") if at_end else OnRun(last.tag, (x - 20, 320))
        vessel = edits.place_branch(
            vessel, edits.first_settings(), place, None, (x, 80), deck="Main", cabins=(f"C-{n + 1}",)
        )
    return vessel


SUPPLY = supply_main()
MAIN = [run.tag for run in SUPPLY.runs if run.size == "32x3.0"]
HANDLERS = [f"AH-{n}" for n in range(1, COUNT + 1)]


def mirrored(kind: Kind, vessel: Vessel = SUPPLY, **more: Any) -> Vessel:
    return edits.mirror_main(vessel, MAIN, kind, **{"to": End("CH-1", "water_in"), **more})


def distances(vessel: Vessel, source: str, service: str) -> dict[str, float]:
    """Length of pipe of a service from a component to every other one [m]."""
    found = {source: 0.0}
    waiting = [(0.0, source)]
    while waiting:
        far, tag = heapq.heappop(waiting)
        for run in vessel.runs:
            if run.service == service and tag in (run.start.tag, run.end.tag):
                other = run.end.tag if run.start.tag == tag else run.start.tag
                if far + run.length_m < found.get(other, 1e9):
                    found[other] = far + run.length_m
                    heapq.heappush(waiting, (found[other], other))
    return found


def circuits(vessel: Vessel, end: str = "CH-1") -> list[float]:
    """Length of supply and return pipe of each air handler's circuit [m], from the pump to the chiller."""
    there, back = distances(vessel, "P-1", "supply"), distances(vessel, end, "return")
    return [there[tag] + back[tag] for tag in HANDLERS]


def test_in_a_reverse_return_all_circuits_are_equally_long() -> None:
    lengths = circuits(mirrored("reverse"))
    assert lengths == pytest.approx([lengths[0]] * COUNT, abs=0.01)


def test_in_a_direct_return_circuits_grow_along_the_main() -> None:
    lengths = circuits(mirrored("direct"))
    # Each is one pitch there and one back longer than the one before.
    steps = [longer - shorter for shorter, longer in zip(lengths, lengths[1:], strict=False)]
    assert steps == pytest.approx([2 * PITCH * SCALE] * (COUNT - 1), abs=0.01)


def test_a_main_that_turns_off_into_its_last_branch_is_mirrored_up_to_there() -> None:
    vessel = supply_main(last_takes_end=True)
    main = [run.tag for run in vessel.runs if run.size == "32x3.0"]
    assert vessel.run_by_tag[main[-1]].end == End("IV-9", "inlet")
    for kind in ("direct", "reverse"):
        lengths = circuits(edits.mirror_main(vessel, main, kind, to=End("CH-1", "water_in")))
        steps = [longer - shorter for shorter, longer in zip(lengths, lengths[1:], strict=False)]
        assert steps == pytest.approx([20.0 if kind == "direct" else 0.0] * (COUNT - 1), abs=0.01)
    # Typed, the last piece of the supply has the 7.5 m of its branch in it; the return has 2 m more there.
    typed = edits.set_fields(vessel, main[:-1], {"length_m": 11.0})
    typed = edits.set_fields(typed, main[-1:], {"length_m": 18.5})
    lengths = circuits(edits.mirror_main(typed, main, "direct", to=End("CH-1", "water_in")))
    assert lengths[4] - lengths[3] == pytest.approx(lengths[3] - lengths[2] - 2.0, abs=0.01)
    reverse = edits.mirror_main(vessel, main, "reverse", to=End("CH-1", "water_in"))
    assert all(len(run.bends) <= 4 for run in reverse.runs)
    assert solve(with_plant(reverse)).converged


@pytest.mark.parametrize("kind", ["direct", "reverse"])
def test_every_branch_is_joined_and_parts_are_left_as_they_were(kind: Kind) -> None:
    vessel = mirrored(kind)
    assert untouched(SUPPLY, vessel)
    back = distances(vessel, "CH-1", "return")
    assert set(HANDLERS) <= set(back)
    new = [run for run in vessel.runs if run.tag not in SUPPLY.run_by_tag]
    # Five pieces of main, the first from a branch of its own, and four branches.
    assert len(new) == COUNT + (COUNT - 1)
    assert {run.service for run in new} == {"return"}
    assert all(leaves_ports_ahead(vessel, run) for run in new)


@pytest.mark.parametrize("kind", ["direct", "reverse"])
def test_with_plant_it_solves_and_water_flows_the_way_the_runs_point(kind: Kind) -> None:
    vessel = with_plant(mirrored(kind))
    results = solve(vessel)
    assert results.converged
    flows = [results.air_handlers[tag].flow_L_s for tag in HANDLERS]
    assert min(flows) > 0
    for run in vessel.runs:
        if not {run.start.tag, run.end.tag} & {"IV-1", "EV-1"}:
            assert results.links[run.tag].flow_L_s > 0, run.tag
    if kind == "direct":
        assert flows == sorted(flows, reverse=True)
    spread = max(flows) / min(flows)
    assert spread < 1.2 if kind == "reverse" else spread > 1.5


def with_plant(vessel: Vessel) -> Vessel:
    """Return the vessel with its chiller joined to its pump, and an expansion vessel at the suction."""
    vessel = joined(vessel, "CH-1 water_out > P-1 inlet")
    suction = vessel.runs[-1].tag
    vessel = edits.place(vessel, edits.new_component(vessel, "expansion_vessel", (-50, 200), deck="Main"))
    return edits.join(vessel, End("EV-1", "connection"), OnRun(suction, (-50, 320)))


def test_a_reverse_return_goes_past_the_last_branch_and_home() -> None:
    vessel = mirrored("reverse")
    home = next(run for run in vessel.runs if run.end == End("CH-1", "water_in"))
    levels = {y for a, b in legs(way(vessel, home)) for _, y in (a, b)}
    assert {320 + MAIN_GAP, 320 + 2 * MAIN_GAP} <= levels


@pytest.mark.parametrize("kind", ["direct", "reverse"])
def test_without_a_place_to_go_a_tee_waits_at_its_end(kind: Kind) -> None:
    vessel = edits.mirror_main(SUPPLY, MAIN, kind)
    waiting = [
        one
        for one in vessel.components
        if isinstance(one, Tee)
        and edits.why_not(vessel, End(one.tag, "run_2")) is None
        and one.tag not in SUPPLY.component_by_tag
    ]
    assert len(waiting) == 1
    lengths = circuits(vessel, waiting[0].tag)
    assert (max(lengths) - min(lengths) < 0.01) == (kind == "reverse")


def return_pieces(vessel: Vessel) -> list[Run]:
    """The pieces of the return main against the flow, from the chiller up."""
    pieces: list[Run] = []
    end = End("CH-1", "water_in")
    while runs := vessel.runs_at.get((end.tag, end.port)):
        pieces.append(runs[0])
        tag = runs[0].start.tag
        if not isinstance(vessel.component_by_tag[tag], Tee):
            break
        end = End(tag, "run_2" if runs[0].start.port == "run_1" else "run_1")
    return pieces


@pytest.mark.parametrize("kind", ["direct", "reverse"])
def test_pieces_are_sized_as_the_supply_is_for_as_many_branches(kind: Kind) -> None:
    sizes = ["40x3.5", "32x3.0", "32x3.0", "26x3.0", "26x3.0"]
    runs = {run.tag: run for run in SUPPLY.runs}
    for tag, size in zip(MAIN, sizes, strict=False):
        runs[tag] = msgspec.structs.replace(runs[tag], size=size)
    sized = msgspec.structs.replace(SUPPLY, runs=tuple(runs.values()))
    pieces = return_pieces(mirrored(kind, sized))
    # All five branches come through the last piece; the first goes on in the pipe of its branch.
    assert [run.size for run in pieces] == [*sizes[:4], "20x2.0"]
    assert {run.insulation for run in pieces[:4]} == {FOAM}


@pytest.mark.parametrize("kind", ["direct", "reverse"])
def test_typed_lengths_of_the_supply_are_taken_over(kind: Kind) -> None:
    typed = edits.set_fields(SUPPLY, MAIN, {"length_m": 7.0})
    vessel = mirrored(kind, typed)
    lengths = circuits(vessel)
    steps = [longer - shorter for shorter, longer in zip(lengths, lengths[1:], strict=False)]
    assert steps == pytest.approx([14.0 if kind == "direct" else 0.0] * (COUNT - 1), abs=0.01)
    taken = return_pieces(vessel)[1:]
    assert {(run.length_known, run.length_plus_minus_percent) for run in taken} == {("guessed", 15.0)}


def test_branches_that_do_not_end_in_an_open_port_get_a_tee_that_waits() -> None:
    bare = edits.delete(SUPPLY, HANDLERS)
    stubs = msgspec.structs.replace(
        bare,
        components=tuple(one for one in bare.components if not one.tag.startswith("RV")),
        runs=tuple(run for run in bare.runs if not {"RV"} & {run.start.tag[:2], run.end.tag[:2]}),
    )
    vessel = edits.mirror_main(stubs, MAIN, "direct")
    new = [one for one in vessel.components if one.tag not in stubs.component_by_tag]
    assert len(new) >= COUNT
    assert all(isinstance(one, Tee) for one in new)


def test_the_runs_may_be_given_in_any_order_and_against_the_flow() -> None:
    assert edits.mirror_main(SUPPLY, MAIN[::-1], "reverse") == edits.mirror_main(SUPPLY, MAIN, "reverse")


def test_mains_that_cannot_be_mirrored() -> None:
    tries: list[tuple[tuple[Any, ...], str]] = [
        ((MAIN, "revers"), 'no return is called "revers"; accepted: reverse?'),
        (([MAIN[0], MAIN[2]], "direct"), "are not one main; choose runs that follow each other end to end"),
        ((["R-99"], "direct"), 'no part has the tag "R-99"'),
        (([], "direct"), "no runs are not one main"),
        ((["AH-1"], "direct"), "AH-1 is not a run"),
        ((MAIN[-1:], "direct"), "nothing branches off"),
    ]
    for arguments, words in tries:
        assert words in str(refused(edits.mirror_main, SUPPLY, *arguments)), arguments
    taken = refused(edits.mirror_main, SUPPLY, MAIN, "direct", to=End("P-1", "outlet"))
    assert "P-1 outlet has run R-1 already" in str(taken)
