# SPDX-License-Identifier: MIT
"""Any row of edits of the drawing: refused in words or done, and what it leaves is sound every time."""

from __future__ import annotations

import math
from collections.abc import Callable
from functools import partial
from typing import Any

import msgspec
import pytest
from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, rule

from solver.errors import EditError
from solver.vessel import edits
from solver.vessel.checks import problems
from solver.vessel.components import KINDS
from solver.vessel.edits import BranchSettings, OnRun, first_settings
from solver.vessel.edits.arranging import SIDES
from solver.vessel.edits.numbering import ORDERS
from solver.vessel.file import format_vessel, parse_vessel
from solver.vessel.finding import find_tags
from solver.vessel.heights import heights
from solver.vessel.routing import Obstacles, legs, obstacles_of, way
from solver.vessel.run import End, Run
from solver.vessel.takeoff import follows_drawing, measured, scale_by_two_points, takeoff
from solver.vessel.vessel import Cabin, Deck, Vessel
from tests.strategies import vessels

#: More parts than this are a ship; edits that add wait until some are deleted.
_MOST_PARTS = 60

#: What is there is tried so many times as often as what is not.
_TIMES = 8

_PLACES = st.tuples(st.integers(-8, 40), st.integers(-8, 40)).map(lambda p: (p[0] * 10.0, p[1] * 10.0))
_OFF_GRID = st.tuples(st.floats(-100, 500), st.floats(-100, 500))
_POINTS = _PLACES | _PLACES | _PLACES | _OFF_GRID
_KINDS = (*KINDS, "tee", "tee", "isolating_valve", "air_handler")


def _room(left: float, right: float) -> tuple[tuple[float, float], ...]:
    return ((left, 0.0), (right, 0.0), (right, 180.0), (left, 180.0))


def start() -> Vessel:
    """Return two cabins on two decks, a pump, a supply main and a branch."""
    vessel = Vessel(
        name="Tern",
        decks=(Deck("Lower", -0.5), Deck("Main", 1.9, 0.05)),
        cabins=(
            Cabin(tag="C-1", deck="Main", outline=_room(0.0, 200.0)),
            Cabin(tag="C-2", deck="Lower", outline=_room(220.0, 400.0)),
        ),
    )
    for kind, at in (("circulation_pump", (0.0, 300.0)), ("isolating_valve", (400.0, 300.0))):
        made = msgspec.structs.replace(edits.new_component(vessel, kind, at, deck="Main"), height_m=0.4)
        vessel = edits.place(vessel, made)
    vessel = edits.connect(vessel, End("P-1", "outlet"), End("IV-1", "inlet"))
    pattern = msgspec.structs.replace(first_settings(), height_m=1.1)
    return edits.place_branch(
        vessel, pattern, OnRun("R-1", (200.0, 300.0)), None, (100.0, 80.0), deck="Main", cabins=("C-1",)
    )


def share_the_untouched(old: Vessel, new: Vessel, named: str) -> None:
    """See that no part or list is made anew that did not change; undo keeps many.

    Parts ``named`` may be set and set back, runs off the drawing measured there and back.
    """
    for key in ("components", "runs", "cabins", "decks", "scenarios", "readings", "underlays"):
        before, after = getattr(old, key), getattr(new, key)
        if len(before) == len(after) and all(a is b for a, b in zip(before, after, strict=True)):
            assert before is after, key
        if key in ("components", "runs", "cabins"):
            kept = {part.tag: part for part in before}
            for part in after:
                same = kept.get(part.tag)
                measures = isinstance(part, Run) and follows_drawing(part)
                assert same is part or same != part or part.tag in named or measures, part.tag


class AnyEdits(RuleBasedStateMachine):
    """Makes one random edit after the other."""

    def __init__(self) -> None:
        super().__init__()
        self.vessel = start()
        self.clip = edits.clip(self.vessel, ["P-1", "IV-1"])
        self.settings: BranchSettings = first_settings()

    @initialize(strange=st.none() | vessels(max_components=4))
    def begin(self, strange: Vessel | None) -> None:
        """Begin with a vessel that makes no sense as a loop, now and then."""
        if strange is not None:
            runs = (
                msgspec.structs.replace(run, routed=run.routed and bool(run.bends)) for run in strange.runs
            )
            self.vessel = measured(msgspec.structs.replace(strange, runs=tuple(runs)))

    def make(self, edit: Callable[..., Any], *arguments: Any, **more: Any) -> bool:
        """Make an edit; return whether it was not refused."""
        before = format_vessel(self.vessel)
        old = self.vessel
        try:
            made = edit(self.vessel, *arguments, **more)
        except EditError as refusal:
            assert str(refusal)
            assert all(isinstance(tag, str) for tag in refusal.tags)
            made = None
        assert format_vessel(old) == before
        if made is None:
            return False
        self.vessel = made if isinstance(made, Vessel) else made[0]
        share_the_untouched(old, self.vessel, str(arguments))
        return True

    @property
    def decks(self) -> st.SearchStrategy[str]:
        return st.sampled_from(["", *(deck.name for deck in self.vessel.decks), "Sun"])

    @property
    def tags(self) -> st.SearchStrategy[str]:
        parts = (*self.vessel.components, *self.vessel.runs, *self.vessel.cabins)
        return st.sampled_from([*_TIMES * [part.tag for part in parts], "X-99"])

    @property
    def run_tags(self) -> st.SearchStrategy[str]:
        return st.sampled_from([*_TIMES * list(self.vessel.run_by_tag), "IV-1"])

    @property
    def ends(self) -> st.SearchStrategy[End]:
        ports = [End(part.tag, port) for part in self.vessel.components for port in part.ports]
        free = [end for end in ports if end not in self.vessel.runs_at]
        return st.sampled_from([*_TIMES * free, *ports, End("X-99", "inlet")])

    @property
    def wheres(self) -> st.SearchStrategy[Any]:
        return self.ends | st.builds(OnRun, self.run_tags, _POINTS)

    @property
    def some_tags(self) -> st.SearchStrategy[list[str]]:
        return st.lists(self.tags, min_size=1, max_size=4, unique=True)

    @property
    def is_large(self) -> bool:
        return len(self.vessel.components) + len(self.vessel.runs) > _MOST_PARTS

    @rule(data=st.data(), kind=st.sampled_from(_KINDS), at=_POINTS, turn=st.integers(0, 3))
    def place(self, data: st.DataObject, kind: str, at: tuple[float, float], turn: int) -> None:
        if not self.is_large:
            deck = data.draw(self.decks)
            self.make(edits.place, edits.new_component(self.vessel, kind, at, turn=turn, deck=deck))

    @rule(data=st.data())
    def join(self, data: st.DataObject) -> None:
        via = data.draw(st.lists(_POINTS, max_size=2))
        start, end = data.draw(self.wheres), data.draw(self.wheres)
        count = len(self.vessel.runs)
        if not self.is_large and self.make(edits.join, start, end, via=via):
            assert len(self.vessel.runs) > count

    @rule(data=st.data())
    def connect(self, data: st.DataObject) -> None:
        start, end = data.draw(self.ends), data.draw(self.ends)
        reason = edits.can_connect(self.vessel, start, end)
        assert self.make(edits.connect, start, end) == (reason is None)

    @rule(data=st.data(), kind=st.sampled_from(_KINDS), at=_POINTS)
    def drop_on_run(self, data: st.DataObject, kind: str, at: tuple[float, float]) -> None:
        run = data.draw(self.run_tags)
        old = self.vessel
        if not self.is_large and self.make(edits.drop_on_run, kind, run, at):
            was, now = old.run_by_tag[run], self.vessel.run_by_tag
            if was.length_known in ("measured", "guessed"):
                halves = [now[run], *(now[tag] for tag in now if tag not in old.run_by_tag)]
                assert sum(half.length_m for half in halves) == pytest.approx(was.length_m, rel=1e-12)

    @rule(data=st.data())
    def delete(self, data: st.DataObject) -> None:
        tags = data.draw(st.lists(self.tags, min_size=1, max_size=2, unique=True))
        if self.make(edits.delete, tags):
            left = {part.tag for part in (*self.vessel.components, *self.vessel.cabins)}
            assert left.isdisjoint(tags)

    @rule(data=st.data(), step=_PLACES)
    def move(self, data: st.DataObject, step: tuple[float, float]) -> None:
        self.make(edits.move, data.draw(self.some_tags), step[0] / 4, step[1] / 4)

    @rule(data=st.data(), turns=st.integers(-5, 5))
    def turn(self, data: st.DataObject, turns: int) -> None:
        self.make(edits.turn, data.draw(self.some_tags), turns)

    @rule(data=st.data(), side=st.sampled_from(SIDES))
    def arrange(self, data: st.DataObject, side: Any) -> None:
        tags = data.draw(self.some_tags)
        self.make(edits.align, tags, side)
        self.make(edits.distribute, tags, "down" if side == "top" else "across")

    @rule(data=st.data(), at=_POINTS, index=st.integers(0, 4))
    def bend(self, data: st.DataObject, at: tuple[float, float], index: int) -> None:
        run = data.draw(self.run_tags)
        edit = data.draw(st.sampled_from([edits.bend, edits.move_segment, edits.add_bend, edits.remove_bend]))
        if edit is edits.add_bend:
            self.make(edit, run, at)
        elif edit is edits.remove_bend:
            self.make(edit, run, index)
        else:
            self.make(edit, run, index, at)

    @rule(data=st.data())
    def straighten(self, data: st.DataObject) -> None:
        self.make(edits.straighten, [data.draw(self.run_tags)])

    @rule(data=st.data(), locked=st.booleans())
    def lock(self, data: st.DataObject, locked: bool) -> None:
        self.make(edits.lock, [data.draw(self.tags)], locked)

    @rule()
    def unlock_all(self) -> None:
        parts = (*self.vessel.components, *self.vessel.runs, *self.vessel.cabins)
        self.make(edits.lock, [part.tag for part in parts], False)

    @rule(data=st.data(), at=_POINTS)
    def copy(self, data: st.DataObject, at: tuple[float, float]) -> None:
        try:
            self.clip = edits.clip(self.vessel, data.draw(self.some_tags))
        except EditError as refusal:
            assert str(refusal)
        if not self.is_large:
            text = msgspec.json.encode(self.clip)
            self.make(edits.paste, msgspec.json.decode(text, type=edits.Clip), at)

    @rule(data=st.data(), prefix=st.sampled_from([None, "AH-", "Q", "", "a:b"]), first=st.integers(-1, 12))
    def renumber(self, data: st.DataObject, prefix: str | None, first: int) -> None:
        tags = data.draw(self.some_tags)
        order = data.draw(st.sampled_from(ORDERS))
        try:
            mapping = edits.numbering(self.vessel, tags, prefix=prefix, start=first, order=order)
        except EditError as refusal:
            assert str(refusal)
        else:
            self.make(edits.renumber, mapping)

    @rule(data=st.data(), at=_POINTS)
    def place_branch(self, data: st.DataObject, at: tuple[float, float]) -> None:
        wheres = [data.draw(st.none() | self.wheres) for _ in range(2)]
        cabins = data.draw(st.sampled_from([(), (), ("C-1",), ("C-9",)]))
        if not self.is_large:
            deck = data.draw(self.decks)
            self.make(edits.place_branch, self.settings, *wheres, at, deck=deck, cabins=cabins)

    @rule(data=st.data())
    def repeat_for_cabins(self, data: st.DataObject) -> None:
        runs = data.draw(self.run_tags), data.draw(self.run_tags)
        if not self.is_large:
            self.make(edits.repeat_for_cabins, self.settings, ["C-1", "C-2"], *runs)

    @rule(data=st.data(), points=st.lists(_PLACES, min_size=1, max_size=4))
    def pair(self, data: st.DataObject, points: list[tuple[float, float]]) -> None:
        ends = [data.draw(st.none() | self.wheres) for _ in range(4)]
        if not self.is_large:
            self.make(edits.pair, points, start=tuple(ends[:2]), end=tuple(ends[2:]))

    @rule(data=st.data(), kind=st.sampled_from(["direct", "reverse"]))
    def mirror(self, data: st.DataObject, kind: Any) -> None:
        runs = data.draw(st.lists(self.run_tags, min_size=1, max_size=3, unique=True))
        if not self.is_large:
            self.make(edits.mirror_main, runs, kind, to=data.draw(st.none() | self.wheres))

    @rule(data=st.data(), first=_POINTS, second=_POINTS, distance=st.floats(-1, 30))
    def scale(self, data: st.DataObject, first: Any, second: Any, distance: float) -> None:
        deck = data.draw(self.decks)
        self.make(scale_by_two_points, deck, first, second, distance)

    @rule(height=st.floats(-3, 9))
    def set_deck(self, height: float) -> None:
        for deck in self.vessel.decks[-1:]:
            self.make(edits.set_deck, deck.name, msgspec.structs.replace(deck, height_m=height))

    @rule(data=st.data())
    def set_fields(self, data: st.DataObject) -> None:
        values = data.draw(
            st.sampled_from(
                [
                    {"length_m": 3.0},
                    {"length_known": "drawing"},
                    {"fittings": ()},
                    {"fittings_known": "drawing"},
                    {"height_m": 1.5, "rise_m": 0.7},
                    {"at": (50.0, 50.0)},
                    {"turn": 1, "notes": "x"},
                    {"bends": ((10.0, 20.0),)},
                    {"nothing": 1},
                ]
            )
        )
        self.make(edits.set_fields, data.draw(self.some_tags), values)

    @rule(text=st.sampled_from(["a", "AH", "iv1", "", "pump", "C-01"]))
    def find(self, text: str) -> None:
        found = find_tags(self.vessel, text)
        assert len(set(found)) == len(found)

    @invariant()
    def it_is_sound(self) -> None:
        vessel = self.vessel
        assert problems(vessel) == []
        assert parse_vessel(format_vessel(vessel), "x") == vessel
        heights(vessel)

    @invariant()
    def numbers_are_those_of_the_drawing(self) -> None:
        assert measured(self.vessel) is self.vessel
        for run in self.vessel.runs:
            found = takeoff(self.vessel, run)
            if run.length_known in ("drawing", "assumed") and found.scale_from:
                assert run.length_known == "drawing"
                assert run.length_m == found.drawn_m

    @invariant()
    def runs_go_at_right_angles(self) -> None:
        for run in self.vessel.runs:
            assert not run.routed or run.bends
            for a, b in legs(way(self.vessel, run)):
                assert min(abs(a[0] - b[0]), abs(a[1] - b[1])) < 1e-6

    @invariant()
    def obstacles_are_those_of_the_vessel(self) -> None:
        kept, fresh = obstacles_of(self.vessel), Obstacles.of(self.vessel)
        assert (kept.boxes, kept.ways) == (fresh.boxes, fresh.ways)


@pytest.mark.parametrize("far", [math.nan, math.inf, -math.inf, 1e308, 1e19])
@pytest.mark.parametrize("at", [(1.0, 0.0), (0.0, 1.0), (1.0, 1.0)])
def test_a_point_beyond_any_drawing_is_refused_or_does_no_harm(far: float, at: tuple[float, float]) -> None:
    vessel, settings = start(), first_settings()
    point = tuple(far if one else 100.0 for one in at)
    bent = edits.add_bend(vessel, "R-1", (100.0, 200.0))
    free = End("AH-1", "water_out"), End("P-1", "inlet")
    tries: list[tuple[Callable[..., Any], tuple[Any, ...]]] = [
        (edits.place_branch, (vessel, settings, OnRun("R-1", (100.0, 300.0)), None, point)),
        (edits.place_branch, (vessel, settings, OnRun("R-1", point), None, (400.0, 80.0))),
        (edits.pair, (vessel, [(0.0, 900.0), point])),
        (edits.drop_on_run, (vessel, "isolating_valve", "R-1", point)),
        (edits.drop_on_run, (vessel, "air_handler", "R-1", point)),
        (edits.put_tee, (vessel, "R-1", (100.0, 300.0), point)),
        (edits.join, (vessel, free[0], OnRun("R-1", point))),
        (partial(edits.connect, via=[point]), (vessel, *free)),
        (edits.add_bend, (vessel, "R-1", point)),
        (edits.move_segment, (vessel, "R-1", 0, point)),
        (edits.bend, (bent, "R-1", 1, point)),
        (edits.move, (vessel, ["IV-1"], *point)),
        (edits.move, (bent, ["R-1"], *point)),
        (edits.move, (vessel, ["C-1"], *point)),
        (edits.duplicate, (vessel, ["AH-1", "C-1"], point)),
    ]
    for edit, arguments in tries:
        try:
            made = edit(*arguments)
        except EditError as refusal:
            assert str(refusal)
        else:
            made = made if isinstance(made, Vessel) else made[0]
            assert parse_vessel(format_vessel(made), "x") == made


TestAnyEdits = AnyEdits.TestCase
TestAnyEdits.settings = settings(stateful_step_count=40)
