# SPDX-License-Identifier: MIT
"""Random rows of every edit of the drawing: no exception, always a valid vessel, undo to the start.

At least 5,000 steps: 50 rows of 100, from seeds that hypothesis prints when a row fails.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from tempfile import TemporaryDirectory

import msgspec
import pytest
from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, rule

from app.canvas.picture import Picture
from app.canvas.tools.parts_made import free_ports, joined, new_cabin, new_component, place_of, placed
from app.editing import arranging
from app.editing.clipboard import clip_of, clip_text, pasted, read_clip
from app.editing.document import Document
from solver.errors import EditError, FarcabinError, NotSolvableError
from solver.solve import solve
from solver.vessel.components import KINDS
from solver.vessel.edits import (
    add_cabin,
    add_deck,
    move,
    retag,
    set_field,
    set_run_size,
    turn,
)
from solver.vessel.file import format_vessel, parse_vessel, read_vessel
from solver.vessel.run import End
from solver.vessel.vessel import Deck, Vessel

pytestmark = pytest.mark.usefixtures("qapp")

GRID = st.integers(-30, 30).map(lambda number: number * 10.0)
PLACE = st.tuples(GRID, GRID)


class Drawing(RuleBasedStateMachine):
    """A user at random: places, joins, moves, arranges, deletes, undoes, saves, solves."""

    @initialize()
    def start(self) -> None:
        self.document = Document(Vessel(name="Random"))
        self.first = self.document.vessel
        self.picture = Picture()
        self.clip: bytes | None = None
        self.document.changed.connect(lambda _old, new, _kinds: self.picture.show_vessel(new))
        self.picture.show_vessel(self.first)

    def edit(self, name: str, change: Callable[[Vessel], Vessel]) -> None:
        before = self.document.vessel
        try:
            self.document.edit(name, change)
        except EditError as error:
            assert str(error), "a refusal says why"
            assert self.document.vessel is before

    def some(self, data: st.DataObject, most: int = 4) -> tuple[str, ...]:
        vessel = self.document.vessel
        tags = [part.tag for part in (*vessel.components, *vessel.runs, *vessel.cabins)]
        if not tags:
            return ()
        return tuple(data.draw(st.lists(st.sampled_from(tags), min_size=1, max_size=most, unique=True)))

    @rule(kind=st.sampled_from(sorted(KINDS)), at=PLACE, quarters=st.integers(0, 3), data=st.data())
    def place(self, kind: str, at: tuple[float, float], quarters: int, data: st.DataObject) -> None:
        runs = ["", "", *(run.tag for run in self.document.vessel.runs)]
        run = data.draw(st.sampled_from(runs))
        self.edit("Place", lambda vessel: placed(vessel, new_component(vessel, kind, at, quarters), run))

    @rule(data=st.data(), bends=st.lists(PLACE, max_size=2))
    def join(self, data: st.DataObject, bends: list[tuple[float, float]]) -> None:
        vessel = self.document.vessel
        ends: list[End | str] = [*free_ports(vessel), *(run.tag for run in vessel.runs)]
        if len(ends) < 2:
            return
        one, two = data.draw(st.sampled_from(ends)), data.draw(st.sampled_from(ends))
        places = tuple(
            place_of(vessel, end) if isinstance(end, End) else (data.draw(GRID), data.draw(GRID))
            for end in (one, two)
        )
        self.edit("Join", lambda vessel: joined(vessel, one, two, (places[0], places[1]), bends))

    @rule(data=st.data(), by=PLACE)
    def drag(self, data: st.DataObject, by: tuple[float, float]) -> None:
        tags = self.some(data)
        self.edit("Move", lambda vessel: move(vessel, tags, *by))

    @rule(data=st.data(), quarters=st.integers(1, 3))
    def rotate(self, data: st.DataObject, quarters: int) -> None:
        tags = self.some(data)
        self.edit("Turn", lambda vessel: turn(vessel, tags, quarters))

    @rule(data=st.data())
    def delete(self, data: st.DataObject) -> None:
        tags = self.some(data, 2)
        if tags:
            self.edit("Delete", lambda vessel: arranging.delete(vessel, tags))

    @rule(data=st.data())
    def duplicate(self, data: st.DataObject) -> None:
        tags = self.some(data)
        if tags and len(self.document.vessel.components) < 60:
            self.edit("Duplicate", lambda vessel: arranging.duplicate(vessel, tags)[0])

    @rule(data=st.data())
    def copy(self, data: st.DataObject) -> None:
        tags = self.some(data)
        if tags:
            self.clip = clip_text(clip_of(self.document.vessel, tags))

    @rule(by=PLACE)
    def paste(self, by: tuple[float, float]) -> None:
        clip = self.clip
        if clip is not None and len(self.document.vessel.components) < 60:
            self.edit("Paste", lambda vessel: pasted(vessel, read_clip(clip), *by)[0])

    @rule(data=st.data(), side=st.sampled_from(["left", "centre", "right", "top", "middle", "bottom"]))
    def align(self, data: st.DataObject, side: str) -> None:
        tags = self.some(data)
        self.edit("Align", lambda vessel: arranging.align(vessel, tags, side))  # type: ignore[arg-type]

    @rule(data=st.data(), name=st.sampled_from(["AH-77", "P-1", "X 1", "bad:tag", ""]))
    def rename(self, data: st.DataObject, name: str) -> None:
        for tag in self.some(data, 1):
            self.edit("Rename", lambda vessel, tag=tag: retag(vessel, tag, name))  # type: ignore[misc]

    @rule(data=st.data(), size=st.sampled_from(["22x0.9", "35x1.2", "no such size"]))
    def resize(self, data: st.DataObject, size: str) -> None:
        tags = tuple(run.tag for run in self.document.vessel.runs if run.tag in self.some(data))
        if tags:
            self.edit("Size", lambda vessel: set_run_size(vessel, tags, "copper_en1057_thin", size))

    @rule(
        data=st.data(),
        field=st.sampled_from(
            ["height_m", "speed_percent", "setting", "opening_percent", "length_m", "locked", "name"]
        ),
        value=st.sampled_from([0.0, 1.0, 50.0, -3.0, True, "far cabin", None]),
    )
    def type_in(self, data: st.DataObject, field: str, value: object) -> None:
        tags = self.some(data)
        if tags:
            self.edit("Set", lambda vessel: set_field(vessel, tags, field, value))

    @rule(one=PLACE, two=PLACE)
    def draw_room(self, one: tuple[float, float], two: tuple[float, float]) -> None:
        if one[0] != two[0] and one[1] != two[1]:
            self.edit("Room", lambda vessel: add_cabin(vessel, new_cabin(vessel, one, two)))

    @rule(name=st.sampled_from(["Main deck", "Lower deck"]), height=st.floats(-3, 9))
    def deck(self, name: str, height: float) -> None:
        self.edit("Deck", lambda vessel: add_deck(vessel, Deck(name, height)))

    @rule(times=st.integers(1, 4))
    def undo(self, times: int) -> None:
        for _ in range(times):
            self.document.undo()

    @rule(times=st.integers(1, 4))
    def redo(self, times: int) -> None:
        for _ in range(times):
            self.document.redo()

    @rule()
    def save(self) -> None:
        with TemporaryDirectory() as folder:
            file = Path(folder) / "random.farcabin"
            assert self.document.save(file)
            assert read_vessel(file) == self.document.vessel
            assert self.document.is_clean

    @rule()
    def solve(self) -> None:
        try:
            results = solve(self.document.vessel)
        except NotSolvableError as error:
            assert error.reason
        else:
            assert results.vessel == self.document.vessel
            assert results.converged

    @invariant()
    def the_vessel_is_valid(self) -> None:
        vessel = self.document.vessel
        try:
            assert parse_vessel(format_vessel(vessel), "random") == vessel
        except FarcabinError as error:
            raise AssertionError(f"an edit left a vessel that cannot be read: {error}") from error

    @invariant()
    def the_drawing_is_that_of_the_document(self) -> None:
        fresh = Picture()
        fresh.show_vessel(self.document.vessel)
        assert self.picture.drawn_as() == fresh.drawn_as()

    def teardown(self) -> None:
        if not hasattr(self, "document"):
            return
        last = self.document.vessel
        steps = 0
        while self.document.undo_name:
            self.document.undo()
            steps += 1
        assert msgspec.structs.asdict(self.document.vessel) == msgspec.structs.asdict(self.first)
        while self.document.redo_name and steps:
            self.document.redo()
            steps -= 1
        assert self.document.vessel == last or self.document.redo_name


TestRandomDrawing = Drawing.TestCase
TestRandomDrawing.settings = settings(
    max_examples=50,
    stateful_step_count=100,
    deadline=None,
    print_blob=True,
    suppress_health_check=list(HealthCheck),
)
