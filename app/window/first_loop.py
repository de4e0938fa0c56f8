# SPDX-License-Identifier: MIT
"""A first loop, step by step: a strip over the canvas that ticks itself while the loop is drawn.

It asks for nothing and stops nothing; closed, it stays closed until the Help menu brings it back.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

from PySide6.QtWidgets import QFrame, QHBoxLayout, QLabel, QPushButton, QWidget

from app.editing.document import Document
from app.settings import Settings
from app.solving.results import ResultsStore
from app.translation import tr
from solver.results import Results
from solver.vessel.components import AirHandler, Chiller, CirculationPump, ExpansionVessel
from solver.vessel.vessel import Vessel


class LoopStep(NamedTuple):
    """A step of a first loop: what to do, and whether it is done."""

    text: str
    done: bool


def loop_steps(vessel: Vessel, results: Results | None, behind: bool) -> tuple[LoopStep, ...]:
    """Return the steps of a first loop, in the order they are best done."""
    kinds = {type(part) for part in vessel.components}
    joined = {end.tag for run in vessel.runs for end in (run.start, run.end)}
    wanted = (CirculationPump, Chiller, ExpansionVessel, AirHandler)
    all_joined = all(
        any(isinstance(part, kind) and part.tag in joined for part in vessel.components) for kind in wanted
    )
    solves = (
        results is not None
        and not behind
        and not results.left_out
        and any(each.flow_L_s > 0 for each in results.air_handlers.values())
    )
    return (
        LoopStep(tr("circulation pump"), CirculationPump in kinds),
        LoopStep(tr("chiller"), Chiller in kinds),
        LoopStep(tr("expansion vessel"), ExpansionVessel in kinds),
        LoopStep(tr("air handler"), AirHandler in kinds),
        LoopStep(tr("joined by runs"), all_joined),
        LoopStep(tr("water flows"), solves),
    )


class FirstLoop(QFrame):
    """The strip; it shows while a new vessel has no file and the user has not closed it."""

    def __init__(
        self,
        document: Document,
        store: ResultsStore,
        settings: Settings,
        help_asked: Callable[[], None],
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self.setObjectName("first_loop")
        self.setAccessibleName(tr("A first loop, step by step"))
        self._document, self._store, self._settings = document, store, settings
        self._is_new = document.is_empty
        self.line = QLabel(self)
        self.line.setWordWrap(True)
        self.how = QPushButton(tr("Sho&w how"), self)
        self.how.clicked.connect(help_asked)
        self.close_button = QPushButton(tr("Close th&is strip"), self)
        self.close_button.clicked.connect(lambda: settings.set("first_loop", False))
        layout = QHBoxLayout(self)
        layout.setContentsMargins(16, 4, 8, 4)
        layout.addWidget(self.line, 1)
        layout.addWidget(self.how)
        layout.addWidget(self.close_button)
        document.opened.connect(self._opened)
        document.changed.connect(self._refresh)
        store.results_changed.connect(self._refresh)
        settings.changed.connect(self._setting_changed)
        self._refresh()

    def steps(self) -> tuple[LoopStep, ...]:
        """Return the steps as they stand."""
        return loop_steps(self._document.vessel, self._store.results, self._store.behind)

    def _opened(self) -> None:
        self._is_new = self._document.is_empty
        self._refresh()

    def _setting_changed(self, name: str) -> None:
        if name == "first_loop":
            self._refresh()

    def _refresh(self, *_what: object) -> None:
        steps = self.steps()
        # Done or not is told by the sign; to a screen reader by the word.
        signs = "   ".join(f"{'✓' if step.done else '○'}\N{NO-BREAK SPACE}{step.text}" for step in steps)
        self.line.setText(f"{tr('A first loop:')}   {signs}")
        words = (f"{step.text}: {tr('done') if step.done else tr('to do')}" for step in steps)
        self.line.setAccessibleName(", ".join(words))
        self.setVisible(self._is_new and bool(self._settings.get("first_loop")))
