# SPDX-License-Identifier: MIT
"""A pump's curve, the loop's curve as the pump meets it, and where the two meet.

The loop's curve is found by solving the vessel at a few speeds of the pump (``solver.system_curve``),
in the worker thread, and only while the plot can be seen.
"""

from __future__ import annotations

from functools import partial

import numpy as np
from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QAction, QGuiApplication, QKeySequence, QPaintEvent
from PySide6.QtWidgets import QHBoxLayout, QLabel, QMenu, QVBoxLayout, QWidget

from app.editing.document import Document
from app.panels.plot import Plot, finite
from app.panels.plot_data import Curve, PlotData, Upright
from app.panels.rows.calm import CalmComboBox
from app.panels.shown import Shown
from app.solving.results import ResultsStore
from app.solving.worker import Worker
from app.translation import tr
from app.units import System, show, to_shown, unit
from solver.errors import PartError
from solver.parts.pump_curve import PumpCurve
from solver.results import PumpFigures, Results
from solver.system_curve import CurvePoint, system_curve
from solver.vessel.components import Pump

LANE = "system curve"
_POINTS = 61


class DutyPointPlot(QWidget):
    """The plot with a choice of the pump; it follows the selection."""

    def __init__(
        self,
        document: Document,
        store: ResultsStore,
        worker: Worker,
        shown: Shown,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._document, self._store, self._worker, self._shown = document, store, worker, shown
        self._pump = ""
        self._system: tuple[CurvePoint, ...] = ()
        self._system_of: tuple[Results | None, str] = (None, "")
        self._asked: tuple[Results | None, str] = (None, "")
        self._choice = CalmComboBox(self)
        self._choice.setObjectName("pump")
        self._choice.setAccessibleName(tr("Pump"))
        self._choice.activated.connect(self._choose)
        label = QLabel(tr("&Pump"), self)
        label.setProperty("role", "soft")
        label.setBuddy(self._choice)
        self.plot = Plot(shown.theme, self)
        self.plot.setAccessibleName(tr("Pump curve and system curve"))
        self.plot.setContextMenuPolicy(Qt.ContextMenuPolicy.CustomContextMenu)
        self.plot.customContextMenuRequested.connect(self._show_menu)
        self.copy_picture = QAction(tr("Copy as picture"), self)
        self.copy_picture.triggered.connect(self._copy_picture)
        self.copy_table = QAction(tr("Copy as table"), self)
        self.copy_table.setShortcut(QKeySequence.StandardKey.Copy)
        self.copy_table.setShortcutContext(Qt.ShortcutContext.WidgetWithChildrenShortcut)
        self.copy_table.triggered.connect(self._copy_table)
        self.addActions([self.copy_picture, self.copy_table])
        self._head = QWidget(self)
        head = QHBoxLayout(self._head)
        head.setContentsMargins(8, 4, 8, 0)
        head.addWidget(label)
        head.addWidget(self._choice)
        head.addStretch()
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(0)
        layout.addWidget(self._head)
        layout.addWidget(self.plot, 1)
        document.changed.connect(self._refresh)
        store.results_changed.connect(self._refresh)
        shown.selection_changed.connect(self._follow_selection)
        shown.units_changed.connect(self._draw)
        shown.theme_changed.connect(self.plot.set_theme)
        worker.answered.connect(self._answered)
        self._refresh()

    @property
    def pump(self) -> str:
        """Tag of the pump shown, empty if the vessel has none."""
        return self._pump

    def paintEvent(self, event: QPaintEvent) -> None:
        """Ask for the loop's curve when the panel comes to be seen, from behind another's tab too."""
        super().paintEvent(event)
        self._ask()

    def _choose(self, index: int) -> None:
        self._pump = self._choice.itemText(index)
        self._refresh()

    def _follow_selection(self, tags: tuple[str, ...]) -> None:
        parts = self._document.vessel.component_by_tag
        pump = next((tag for tag in tags if isinstance(parts.get(tag), Pump)), self._pump)
        if pump != self._pump:
            self._pump = pump
            self._refresh()

    def _refresh(self, *_what: object) -> None:
        pumps = [part.tag for part in self._document.vessel.components if isinstance(part, Pump)]
        if self._pump not in pumps:
            self._pump = pumps[0] if pumps else ""
        if [self._choice.itemText(index) for index in range(self._choice.count())] != pumps:
            self._choice.clear()
            self._choice.addItems(pumps)
        self._choice.setCurrentIndex(pumps.index(self._pump) if pumps else -1)
        self._head.setVisible(len(pumps) > 1)
        self._ask()
        self._draw()

    def _ask(self) -> None:
        """Ask for the loop's curve if it can be seen and is not known."""
        results = self._store.results
        wanted = (results, self._pump)
        if results is None or not self._pump or self.visibleRegion().isEmpty():
            return
        if wanted in (self._asked, self._system_of):
            return
        self._asked = wanted
        self._worker.submit(LANE, partial(_curve_of, results, self._pump))

    def _answered(self, lane: str, _number: int, value: object) -> None:
        if lane == LANE and isinstance(value, tuple):
            results, pump, points = value
            self._system_of = (results, pump)
            self._system = points
            self._draw()

    def _draw(self, *_what: object) -> None:
        self.plot.show_data(self._plot_data(), self._store.behind)

    def _plot_data(self) -> PlotData:
        vessel, units = self._document.vessel, self._shown.units
        x_title = tr("Flow, {0}").format(unit("flow", units))
        y_title = tr("Head, {0}").format(unit("head", units))
        part = vessel.component_by_tag.get(self._pump)
        if not isinstance(part, Pump):
            return PlotData(x_title, y_title, empty_text=tr("No pump on the drawing."))
        duty = self._store.results.pumps.get(self._pump) if self._store.results is not None else None
        try:
            data = pump_plot(part, duty, units)
        except PartError as error:
            return PlotData(x_title, y_title, empty_text=str(error))
        known_results, known_pump = self._system_of
        # A curve of the results before these stays for the moment its successor takes.
        if known_pump != self._pump or known_results is None or duty is None:
            return data
        points = tuple(
            (to_shown(flow, "flow", units), to_shown(head, "head", units)) for flow, head in self._system
        )
        loop = Curve(tr("loop"), finite(smooth(points)), "fresh", dashed=True)
        return data._replace(curves=(*data.curves, loop))

    def _show_menu(self, place: QPoint) -> None:
        menu = QMenu(self)
        menu.addActions([self.copy_picture, self.copy_table])
        menu.exec(self.plot.mapToGlobal(place))
        menu.deleteLater()

    def _copy_picture(self) -> None:
        QGuiApplication.clipboard().setPixmap(self.plot.picture())

    def _copy_table(self) -> None:
        QGuiApplication.clipboard().setText(self.plot.table())


def _curve_of(results: Results, pump: str) -> tuple[Results, str, tuple[CurvePoint, ...]]:
    return results, pump, system_curve(results, pump)


def pump_plot(pump: Pump, duty: PumpFigures | None, units: System) -> PlotData:
    """Return the pump's own curve, its ends, its best-efficiency flow and its duty.

    Parameters
    ----------
    pump : Pump
    duty : PumpFigures or None
        None while the vessel is not solved.
    units : {"si", "us"}

    Raises
    ------
    PartError
        The points given make no curve.
    """
    curve = PumpCurve([point.flow_L_s / 1000 for point in pump.curve], [point.head_m for point in pump.curve])
    speed = pump.speed_percent / 100 if pump.running else 0.0
    curves = []
    if speed > 0:
        curves.append(_pump_curve(curve, speed, pump.tag, units, dashed=False))
    if abs(speed - 1) > 0.005:
        curves.append(_pump_curve(curve, 1.0, tr("at rated speed"), units, dashed=True))
    uprights = []
    end = to_shown(curve.last_flow * 1000 * (speed or 1.0), "flow", units)
    uprights.append(Upright(tr("curve ends"), end, "warn"))
    ring, text = None, ""
    if duty is not None and duty.flow_L_s > 0 and speed > 0:
        if duty.best_flow_L_s is not None:
            best = to_shown(duty.best_flow_L_s, "flow", units)
            uprights.append(Upright(tr("best efficiency"), best, "good"))
        ring = (to_shown(duty.flow_L_s, "flow", units), to_shown(duty.head_m, "head", units))
        text = (
            f"{show(duty.flow_L_s, 'flow', units)}, {show(duty.head_m, 'head', units)}"
            f" ({show(duty.rise_kPa, 'pressure', units)})"
        )
    titles = tr("Flow, {0}").format(unit("flow", units)), tr("Head, {0}").format(unit("head", units))
    return PlotData(*titles, tuple(curves), tuple(uprights), ring, text)


def _pump_curve(curve: PumpCurve, speed: float, name: str, units: System, dashed: bool) -> Curve:
    flows = np.linspace(curve.flow[0], curve.last_flow, _POINTS) * speed
    heads = speed**2 * curve.head_curve(flows / speed)[0]
    points = tuple(
        (to_shown(flow * 1000, "flow", units), to_shown(head, "head", units))
        for flow, head in zip(flows.tolist(), heads.tolist(), strict=True)
    )
    return Curve(name, points, "soft" if dashed else "ink", dashed)


def smooth(points: tuple[tuple[float, float], ...]) -> tuple[tuple[float, float], ...]:
    """Return a curve through points of a loop, head against flow, drawn from its lowest flow on.

    Between two points the head goes as a straight line against the square of the flow, which is what a
    loop does but for the laminar parts of it; so it passes through the points and bends as it should.
    """
    found: list[tuple[float, float]] = []
    for (x_1, y_1), (x_2, y_2) in zip(points, points[1:], strict=False):
        for share in np.linspace(0, 1, 9).tolist():
            x = x_1 + (x_2 - x_1) * share
            spread = x_2**2 - x_1**2
            found.append((x, y_1 + (y_2 - y_1) * (x**2 - x_1**2) / spread if spread else y_1))
    return tuple(found)
