# SPDX-License-Identifier: MIT
"""The panels that tell of the solve: pressure along a circuit, the solve step by step, what changed."""

from __future__ import annotations

from app.editing.document import Document
from app.panels.circuit_plot import CircuitPlot
from app.panels.compare_panel import ComparePanel
from app.panels.shown import Shown
from app.panels.step_tables import StepTables
from app.solving.results import ResultsStore
from app.solving.worker import Worker
from app.translation import tr
from app.window.docks import Docks


class LivePanels:
    """Adds the panels to those below, and tells each whether it can be seen."""

    def __init__(
        self, docks: Docks, document: Document, store: ResultsStore, worker: Worker, shown: Shown
    ) -> None:
        self.circuit = CircuitPlot(document, store, shown)
        self.steps = StepTables(store, worker, shown)
        self.compare = ComparePanel(document, store, worker, shown)
        self.circuit_dock = docks.add_below("circuit", tr("Circuit"), self.circuit, self.circuit.chart)
        self.steps_dock = docks.add_below("steps", tr("Steps"), self.steps, self.steps.table)
        self.compare_dock = docks.add_below("compare", tr("Compare"), self.compare, self.compare.pin)
        self.circuit_dock.visibilityChanged.connect(self.circuit.set_seen)
        self.steps_dock.visibilityChanged.connect(self.steps.set_seen)
