# SPDX-License-Identifier: MIT
"""Random rows of every edit of the drawing, made in a document: always a valid vessel, undo to the start.

At least 5,000 steps: 50 rows of 100, from seeds that hypothesis prints when a row fails.  The edits and
what holds of the vessel after each are those of the library's own random rows.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import pytest
from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.stateful import invariant, rule

from app.canvas.picture import Picture
from app.canvas.tools.preview import preview_of
from app.canvas.tools.room import new_cabin
from app.editing.clipboard import clip_text, read_clip, table_of
from app.editing.document import Document
from solver.errors import EditError, NotSolvableError
from solver.solve import solve
from solver.vessel import edits
from solver.vessel.file import read_vessel
from solver.vessel.vessel import Vessel
from tests.solver.vessel.edits.test_any_edits import AnyEdits, start

pytestmark = pytest.mark.usefixtures("qapp")

_GRID = st.integers(-30, 60).map(lambda number: number * 10.0)
_PLACE = st.tuples(_GRID, _GRID)


class Drawing(AnyEdits):
    """A user at random: every edit of the library as a step of a document, undone, redone, saved, solved."""

    def __init__(self) -> None:
        self.document = Document(start())
        self.picture = Picture()
        self.picture.show_vessel(self.document.vessel)
        self.document.changed.connect(lambda _old, new, _kinds: self.picture.show_vessel(new))
        self.first = self.document.vessel
        super().__init__()

    @property
    def vessel(self) -> Vessel:
        """The document's vessel."""
        return self.document.vessel

    @vessel.setter
    def vessel(self, vessel: Vessel) -> None:
        if vessel != self.document.vessel:
            self.document.show(vessel)
            self.first = vessel

    def make(self, edit: Callable[..., Any], *arguments: Any, **more: Any) -> bool:
        """Make an edit as one step; return whether it was not refused."""

        def change(vessel: Vessel) -> Vessel:
            made = edit(vessel, *arguments, **more)
            grown = made if isinstance(made, Vessel) else made[0]
            preview_of(vessel, grown)
            return grown

        before, stack = self.document.vessel, (self.document.undo_name, self.document.redo_name)
        try:
            self.document.edit(edit.__name__, change)
        except EditError as refusal:
            assert str(refusal), "a refusal says why"
            assert self.document.vessel is before
            assert (self.document.undo_name, self.document.redo_name) == stack
            return False
        return True

    @rule(data=st.data())
    def through_the_clipboard(self, data: st.DataObject) -> None:
        try:
            copied = edits.clip(self.vessel, data.draw(self.some_tags))
        except EditError as refusal:
            assert str(refusal)
            return
        assert len(table_of(copied).splitlines()) >= 1
        self.clip = read_clip(clip_text(copied))
        assert self.clip == copied

    @rule(data=st.data(), tag=st.sampled_from(["AH-77", "P-1", "X 1", "bad:tag", ""]))
    def rename(self, data: st.DataObject, tag: str) -> None:
        self.make(edits.retag, data.draw(self.tags), tag)

    @rule(data=st.data(), size=st.sampled_from(["22x0.9", "35x1.2", "no such size"]))
    def resize(self, data: st.DataObject, size: str) -> None:
        self.make(edits.set_run_size, [data.draw(self.run_tags)], "copper_en1057_thin", size)

    @rule(one=_PLACE, two=_PLACE)
    def draw_room(self, one: tuple[float, float], two: tuple[float, float]) -> None:
        if one[0] != two[0] and one[1] != two[1]:
            self.make(edits.add_cabin, new_cabin(self.vessel, one, two, ""))

    @rule(times=st.integers(1, 6))
    def undo(self, times: int) -> None:
        for _ in range(times):
            self.document.undo()

    @rule(times=st.integers(1, 6))
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
    def the_drawing_is_that_of_the_document(self) -> None:
        fresh = Picture()
        fresh.show_vessel(self.document.vessel)
        assert self.picture.drawn_as() == fresh.drawn_as()

    def teardown(self) -> None:
        last, steps = self.document.vessel, 0
        while self.document.undo_name:
            self.document.undo()
            steps += 1
        assert self.document.vessel == self.first
        for _ in range(steps):
            self.document.redo()
        assert self.document.vessel == last


TestRandomDrawing = Drawing.TestCase
TestRandomDrawing.settings = settings(
    max_examples=50,
    stateful_step_count=100,
    deadline=None,
    print_blob=True,
    suppress_health_check=list(HealthCheck),
)
