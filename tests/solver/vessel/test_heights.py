# SPDX-License-Identifier: MIT
"""Heights spread from where they are known, along rises, and contradictions are told."""

from __future__ import annotations

import math

import msgspec
import pytest
from hypothesis import given
from hypothesis import strategies as st

from solver.vessel.heights import HeightConflict, heights
from solver.vessel.run import Run
from solver.vessel.vessel import Deck, Vessel
from tests.solver.vessel.boats import component, line, run
from tests.strategies import vessels


def valves(*known: float | None, rises: tuple[float | None, ...] = (), ring: bool = False) -> Vessel:
    """Return valves IV-1, IV-2... in a row with heights and rises between, or all round in a ring."""
    parts = [component("isolating_valve", f"IV-{n}", height_m=h) for n, h in enumerate(known, start=1)]
    pairs = list(zip(parts, parts[1:] + parts[:1], strict=True))[: None if ring else -1]
    given_rises = list(rises) + [None] * (len(pairs) - len(rises))
    runs = [
        run(f"R-{n}", (one.tag, "outlet"), (two.tag, "inlet"), rise_m=rise)
        for n, ((one, two), rise) in enumerate(zip(pairs, given_rises, strict=True), start=1)
    ]
    return Vessel(name="x", components=tuple(parts), runs=tuple(runs))


def found(vessel: Vessel) -> list[float]:
    result = heights(vessel)
    assert list(result.by_tag) == [part.tag for part in vessel.components]
    return list(result.by_tag.values())


def test_a_height_is_above_its_deck_or_else_the_waterline() -> None:
    vessel = Vessel(
        name="x",
        decks=(Deck("Lower", -0.6), Deck("Main", 1.8)),
        components=(
            component("tee", "T-1", deck="Lower", height_m=0.2),
            component("tee", "T-2", deck="Main", height_m=0.2),
            component("tee", "T-3", height_m=0.2),
        ),
    )
    assert found(vessel) == pytest.approx([-0.4, 2.0, 0.2])
    assert not heights(vessel).assumed


def test_unknown_heights_follow_the_rises() -> None:
    assert found(valves(1.0, None, None, rises=(0.5, -2.0))) == [1.0, 1.5, -0.5]
    assert found(valves(None, None, 1.0, rises=(0.5, -2.0))) == [2.5, 3.0, 1.0]


def test_where_nothing_is_said_runs_are_level() -> None:
    result = heights(valves(1.0, None, None))
    assert list(result.by_tag.values()) == [1.0, 1.0, 1.0]
    assert result.assumed == {"IV-2", "IV-3"}


def test_a_part_without_any_height_starts_at_0() -> None:
    vessel = valves(None, None, None, rises=(0.5, 0.25))
    assert found(vessel) == [0.0, 0.5, 0.75]
    assert heights(vessel).assumed == {"IV-1", "IV-2", "IV-3"}


def test_each_part_of_the_vessel_by_itself() -> None:
    one, two = valves(3.0, None), valves(None, None, rises=(2.0,))
    two = msgspec.structs.replace(
        two,
        components=tuple(msgspec.structs.replace(part, tag="B" + part.tag) for part in two.components),
        runs=(run("BR-1", ("BIV-1", "outlet"), ("BIV-2", "inlet"), rise_m=2.0),),
    )
    both = msgspec.structs.replace(one, components=one.components + two.components, runs=one.runs + two.runs)
    assert found(both) == [3.0, 3.0, 0.0, 2.0]


def test_a_known_rise_is_followed_before_a_level_guess() -> None:
    # Two ways from IV-1 to IV-3: straight without a rise, and over IV-2 with rises.
    vessel = valves(0.0, None, None, rises=(1.0, 1.0, None), ring=True)
    result = heights(vessel)
    assert list(result.by_tag.values()) == [0.0, 1.0, 2.0]
    assert not result.conflicts
    assert not result.assumed


def test_rises_are_kept_together_beyond_a_level_guess() -> None:
    # R-1 says nothing; beyond it three valves hang together by rises, with a second guess to the far one.
    vessel = valves(5.0, None, None, None, rises=(None, 1.0, 1.0, None), ring=True)
    result = heights(vessel)
    assert list(result.by_tag.values()) == [5.0, 5.0, 6.0, 7.0]
    assert not result.conflicts


def test_an_unknown_rise_lies_in_the_branch_not_in_the_main() -> None:
    """A pump at 0 m, two tees in the main, an air handler at 2 m one run from the second tee."""
    main = ("P-1", "outlet"), ("T-1", "run_1"), ("T-1", "run_2"), ("T-2", "run_1"), ("T-2", "branch")
    vessel = Vessel(
        name="x",
        components=(
            component("circulation_pump", "P-1", height_m=0.0),
            component("tee", "T-1"),
            component("tee", "T-2"),
            component("isolating_valve", "IV-1"),
            component("air_handler", "AH-1", height_m=2.0),
        ),
        runs=(
            run("R-1", main[0], main[1]),
            run("R-2", main[2], main[3]),
            run("R-3", main[4], ("IV-1", "inlet")),
            run("R-4", ("IV-1", "outlet"), ("AH-1", "water_in")),
        ),
    )
    assert found(vessel) == [0.0, 0.0, 0.0, 2.0, 2.0]
    # A main without a height of its own takes that of its branches.
    parts = tuple(msgspec.structs.replace(part, height_m=None) for part in vessel.components[:1])
    bare = msgspec.structs.replace(vessel, components=parts + vessel.components[1:])
    assert found(bare) == [2.0] * 5


def test_a_run_between_known_heights_needs_no_rise() -> None:
    result = heights(valves(1.0, 4.0))
    assert list(result.by_tag.values()) == [1.0, 4.0]
    assert not result.conflicts


def test_a_rise_against_known_heights_is_told() -> None:
    result = heights(valves(1.0, 4.0, rises=(2.0,)))
    assert list(result.by_tag.values()) == [1.0, 4.0]
    assert result.conflicts == (HeightConflict("R-1", ("R-1", "IV-1", "IV-2"), 2.0, 3.0),)


def test_rises_round_a_ring_that_do_not_close_are_told() -> None:
    result = heights(valves(0.0, None, None, rises=(1.0, 1.0, -1.9), ring=True))
    assert len(result.conflicts) == 1
    conflict = result.conflicts[0]
    assert abs(conflict.said_m - conflict.found_m) == pytest.approx(0.1)
    assert conflict.run == conflict.tags[0]


@pytest.mark.parametrize(("rise", "told"), [(3.0, 0), (3.0049, 0), (3.0051, 1), (2.9949, 1)])
def test_five_millimetres_are_let_pass(rise: float, told: int) -> None:
    assert len(heights(valves(1.0, 4.0, rises=(rise,))).conflicts) == told


def test_what_is_not_there_is_passed_over() -> None:
    vessel = Vessel(
        name="x",
        components=(component("tee", "T-1", deck="Nowhere", height_m=1.0),),
        runs=(run("R-1", ("T-1", "branch"), ("T-9", "branch"), rise_m=1.0),),
    )
    assert found(vessel) == [1.0]
    assert not heights(vessel).conflicts


@given(vessels())
def test_every_component_has_a_height_and_every_rise_agrees_or_is_told(vessel: Vessel) -> None:
    result = heights(vessel)
    assert set(result.by_tag) == {part.tag for part in vessel.components}
    assert all(math.isfinite(height) for height in result.by_tag.values())
    told = {conflict.run for conflict in result.conflicts}
    for pipe in vessel.runs:
        if pipe.rise_m is not None:
            rise = result.by_tag[pipe.end.tag] - result.by_tag[pipe.start.tag]
            assert (abs(rise - pipe.rise_m) > 0.005) == (pipe.tag in told)


@given(st.lists(st.floats(-9, 9), min_size=3, max_size=9), st.integers(0, 8), st.data())
def test_rises_that_close_give_back_the_heights_they_came_from(
    true_heights: list[float], source: int, data: st.DataObject
) -> None:
    """Heights of a ring, of which one is given and the others left to the rises."""
    source %= len(true_heights)
    after = true_heights[1:] + true_heights[:1]
    rises = tuple(b - a for a, b in zip(true_heights, after, strict=True))
    known = [height if n == source else None for n, height in enumerate(true_heights)]
    vessel = valves(*known, rises=rises, ring=True)
    turned_round = data.draw(st.sets(st.sampled_from(range(len(rises)))))
    runs = tuple(_turned_round(pipe) if n in turned_round else pipe for n, pipe in enumerate(vessel.runs))
    result = heights(msgspec.structs.replace(vessel, runs=runs))
    assert list(result.by_tag.values()) == pytest.approx(true_heights, abs=1e-9)
    assert not result.conflicts
    assert not result.assumed


def _turned_round(pipe: Run) -> Run:
    assert pipe.rise_m is not None
    return msgspec.structs.replace(pipe, start=pipe.end, end=pipe.start, rise_m=-pipe.rise_m)


def test_a_long_row_needs_no_deep_stack() -> None:
    vessel = line(5_000)
    first = msgspec.structs.replace(vessel.components[0], height_m=2.0)
    assert set(found(msgspec.structs.replace(vessel, components=(first, *vessel.components[1:])))) == {2.0}
