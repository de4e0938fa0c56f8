# SPDX-License-Identifier: MIT
"""The panels that tell of the solve: a circuit, the solve step by step, what changed, temperatures."""

from __future__ import annotations

from app.editing.document import Document
from app.panels.circuit_plot import CircuitPlot
from app.panels.compare_panel import ComparePanel
from app.panels.day_panel import DayPanel
from app.panels.heat_flow import HeatFlow
from app.panels.heat_tables import heat_sheets
from app.panels.load_sheet import LoadSheet
from app.panels.pull_down_panel import PullDownPanel
from app.panels.results_table import ResultsTable
from app.panels.shown import Shown
from app.panels.step_tables import StepTables
from app.solving.long_job import LongJob
from app.solving.results import ResultsStore
from app.solving.worker import Worker
from app.translation import tr
from app.window.docks import Docks


class LivePanels:
    """Adds the panels to those below, and tells each whether it can be seen."""

    def __init__(
        self,
        docks: Docks,
        document: Document,
        store: ResultsStore,
        worker: Worker,
        job: LongJob,
        shown: Shown,
    ) -> None:
        self.circuit = CircuitPlot(document, store, shown)
        self.steps = StepTables(store, worker, shown)
        self.compare = ComparePanel(document, store, worker, shown)
        self.cabins = ResultsTable(document, store, shown, tables=heat_sheets(), of_heat=True)
        self.loads = LoadSheet(document, shown)
        self.day = DayPanel(document, worker, shown)
        self.heat_flow = HeatFlow(store, shown)
        self.pull_down = PullDownPanel(document, store, job, shown)
        self.circuit_dock = docks.add_below("circuit", tr("Circuit"), self.circuit, self.circuit.chart)
        self.steps_dock = docks.add_below("steps", tr("Steps"), self.steps, self.steps.table)
        self.compare_dock = docks.add_below("compare", tr("Compare"), self.compare, self.compare.pin)
        self.cabins_dock = docks.add_below("cabins", tr("Cabins"), self.cabins, self.cabins)
        self.loads_dock = docks.add_below("loads", tr("Loads"), self.loads, self.loads.table)
        self.day_dock = docks.add_below("day", tr("Load by hour"), self.day, self.day.plot)
        self.heat_flow_dock = docks.add_below("heat_flow", tr("Heat"), self.heat_flow, self.heat_flow.drawing)
        self.pull_down_dock = docks.add_below(
            "pull_down", tr("Pull-down"), self.pull_down, self.pull_down.hours
        )
        self.circuit_dock.visibilityChanged.connect(self.circuit.set_seen)
        self.steps_dock.visibilityChanged.connect(self.steps.set_seen)
