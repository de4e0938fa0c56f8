# SPDX-License-Identifier: MIT
"""A small loop, solved, with everything a panel follows."""

from __future__ import annotations

from collections.abc import Iterator
from math import inf
from typing import Any

import pytest
from pytestqt.qtbot import QtBot

from app.editing.document import Document
from app.panels.shown import Shown
from app.solving.live_solver import LiveSolver
from app.solving.results import ResultsStore
from app.solving.worker import Worker
from app.theme import theme
from solver.vessel.edits import set_field
from tests.app.left_behind import nothing_left_behind
from tests.app.small_loop import small_loop

__all__ = ["nothing_left_behind"]


class Desk:
    """A document, its results, and what is shown of them."""

    def __init__(self) -> None:
        self.document = Document(small_loop())
        self.store = ResultsStore()
        self.worker = Worker(force_sync=True)
        self.live = LiveSolver(
            self.document, self.store, self.worker, delay_ms=0, patience_ms=0, quick_ms=inf
        )
        self.shown = Shown(theme("light"))
        self.shown.units_changed.connect(self.live.set_units)

    def edit(self, tag: str, field: str, value: object) -> None:
        self.document.edit("Edit", lambda vessel: set_field(vessel, (tag,), field, value))

    def part(self, tag: str) -> Any:
        vessel = self.document.vessel
        return vessel.component_by_tag.get(tag) or vessel.run_by_tag[tag]


@pytest.fixture
def desk(qtbot: QtBot) -> Iterator[Desk]:
    desk = Desk()
    desk.live.solve_now()
    yield desk
    desk.live.stop()
    desk.worker.stop()
