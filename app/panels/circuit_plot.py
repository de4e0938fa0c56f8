# SPDX-License-Identifier: MIT
"""Pressure along a circuit: from the pump out to an air handler and back, against the way of the water.

Supply and return lie over each other: both are measured from the pump, so that the gap between them is
what an air handler at that distance has to work with.
"""

from __future__ import annotations

from typing import NamedTuple

from PySide6.QtCore import QPoint, QPointF, Qt, Signal
from PySide6.QtGui import QAction, QGuiApplication, QKeyEvent, QKeySequence, QMouseEvent
from PySide6.QtWidgets import QHBoxLayout, QLabel, QMenu, QVBoxLayout, QWidget

from app.editing.document import Document
from app.overlay.lit import Lit, part_of
from app.panels.plot import Plot
from app.panels.plot_data import Curve, Note, PlotData
from app.panels.rows.calm import CalmComboBox
from app.panels.shown import Shown
from app.solving.results import ResultsStore
from app.theme import Theme
from app.translation import tr
from app.units import System, show, to_shown, unit
from solver.circuits import Circuits
from solver.results import Circuit, Results
from solver.vessel.components import AirHandler

PANEL = "circuit"
#: How many of the parts that take most are named on the plot.
_NAMED = 5
#: How near the pointer must be to a part's place [px].
_NEAR_PX = 28.0


class Place(NamedTuple):
    """A part along the circuit, where the water leaves it, in the document's units."""

    tag: str
    side: str
    from_pump_m: float
    pressure_kPa: float
    total_kPa: float
    loss_kPa: float


def places_of(circuit: Circuit) -> tuple[Place, ...]:
    """Return the parts of a circuit with their way from the pump and what each takes.

    On the way back the distance is counted from the pump too.  The pump itself takes nothing.
    """
    whole = circuit.steps[-1].distance_m
    found = []
    before = circuit.steps[0].total_kPa
    for step in circuit.steps:
        from_pump = whole - step.distance_m if step.side == "return" else step.distance_m
        found.append(
            Place(step.tag, step.side, from_pump, step.pressure_kPa, step.total_kPa, before - step.total_kPa)
        )
        before = step.total_kPa
    return tuple(found)


def circuit_data(circuit: Circuit, units: System) -> PlotData:
    """Return the plot of a circuit."""
    places = places_of(circuit)
    x_title = tr("Way from the pump, {0}").format(unit("length", units))
    y_title = tr("Pressure, {0}").format(unit("pressure", units))
    whole = circuit.steps[-1].distance_m
    out = [place for place in places if place.side == "supply"]
    back = [place for place in places if place.side != "supply"]
    # The return begins where the water leaves the air handler.
    turn = back[0]._replace(from_pump_m=whole - back[0].from_pump_m)
    back = [turn, *back[1:]]
    entry = out[-1]
    curves = (
        Curve(tr("supply, total"), _points(out, "total_kPa", units), "fresh"),
        Curve(tr("return, total"), _points(back, "total_kPa", units), "fresh", dashed=True),
        Curve(tr("air handler"), _points([entry, turn], "total_kPa", units), "accent"),
        Curve(tr("supply at its height"), _points(out, "pressure_kPa", units), "soft"),
        Curve(tr("return at its height"), _points(back, "pressure_kPa", units), "soft", dashed=True),
    )
    takers = sorted(places[1:], key=lambda place: -place.loss_kPa)[:_NAMED]
    notes = []
    for place in takers:
        x = turn.from_pump_m if place.tag == turn.tag else place.from_pump_m
        text = f"{place.tag}  {show(place.loss_kPa, 'pressure', units)}"
        notes.append(
            Note(text, to_shown(x, "length", units), to_shown(place.total_kPa, "pressure", units), "ink")
        )
    return PlotData(x_title, y_title, curves, notes=tuple(notes), y_axis="fitted")


def _points(places: list[Place], field: str, units: System) -> tuple[tuple[float, float], ...]:
    return tuple(
        (to_shown(place.from_pump_m, "length", units), to_shown(getattr(place, field), "pressure", units))
        for place in places
    )


class CircuitChart(Plot):
    """The plot, on which each part can be pointed at and pressed.

    Attributes
    ----------
    part_pressed : Signal(str)
        Tag of a part.
    """

    part_pressed = Signal(str)

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(theme, parent)
        self._places: tuple[tuple[str, float, float, str], ...] = ()
        self._pointed = -1

    def show_circuit(self, circuit: Circuit, units: System, dimmed: bool) -> None:
        """Show a circuit."""
        places = places_of(circuit)
        whole = circuit.steps[-1].distance_m
        self._places = tuple(
            (
                place.tag,
                to_shown(
                    whole - place.from_pump_m if place.side == "unit" else place.from_pump_m, "length", units
                ),
                to_shown(place.total_kPa, "pressure", units),
                _told(place, units),
            )
            for place in places
        )
        self._pointed = -1
        self.show_data(circuit_data(circuit, units), dimmed)

    def show_nothing(self, text: str) -> None:
        """Say why there is no circuit."""
        self._places, self._pointed = (), -1
        self.show_data(PlotData("", "", empty_text=text))

    @property
    def pointed(self) -> str:
        """Tag of the part that is pointed at, empty for none."""
        return self._places[self._pointed][0] if self._pointed >= 0 else ""

    def reading(self) -> str:
        """Return tag and values of the part that is pointed at."""
        return self._places[self._pointed][3] if self._pointed >= 0 else ""

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        self._point_at(self._nearest(event.position()))

    def mousePressEvent(self, event: QMouseEvent) -> None:
        self._point_at(self._nearest(event.position()))
        if event.button() == Qt.MouseButton.LeftButton and self.pointed:
            self.part_pressed.emit(part_of(self.pointed))

    def leaveEvent(self, event: object) -> None:
        self._point_at(-1)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        steps = {Qt.Key.Key_Left: -1, Qt.Key.Key_Right: 1}
        key = Qt.Key(event.key())
        if key in steps and self._places:
            self._point_at(min(max(self._pointed + steps[key], 0), len(self._places) - 1))
        elif key in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and self.pointed:
            self.part_pressed.emit(part_of(self.pointed))
        elif key == Qt.Key.Key_Escape and self._pointed >= 0:
            self._point_at(-1)
        else:
            super().keyPressEvent(event)

    def spot(self, index: int) -> QPointF:
        """Return where a part's place is on the widget."""
        _tag, x, y, _text = self._places[index]
        place, across, up = self._place(), self._x_scale(), self._y_scale()
        return QPointF(
            place.left() + (x - across.low) / (across.high - across.low) * place.width(),
            place.bottom() - (y - up.low) / (up.high - up.low) * place.height(),
        )

    def _nearest(self, at: QPointF) -> int:
        best, found = _NEAR_PX, -1
        for index in range(len(self._places)):
            apart = (self.spot(index) - at).manhattanLength()
            if apart < best:
                best, found = apart, index
        return found

    def _point_at(self, index: int) -> None:
        if index == self._pointed:
            return
        self._pointed = index
        self._reading_at = None
        ring = None if index < 0 else self._places[index][1:3]
        self._data = self._data._replace(ring=ring, ring_text=self.reading())
        self.setAccessibleDescription(self.reading())
        self.update()


def _told(place: Place, units: System) -> str:
    """Return tag, pressures and loss of a part in words."""
    pressure, total = (show(value, "pressure", units) for value in (place.pressure_kPa, place.total_kPa))
    taken = tr("takes {0}").format(show(place.loss_kPa, "pressure", units))
    return f"{place.tag}  {pressure} ({tr('total {0}').format(total)})  {taken}"


class CircuitPlot(QWidget):
    """The plot with a choice of the air handler; it follows the selection and lights its circuit."""

    def __init__(
        self, document: Document, store: ResultsStore, shown: Shown, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._document, self._store, self._shown = document, store, shown
        self._chosen = ""
        self._seen = False
        self._circuits: tuple[Results, Circuits] | None = None
        self.circuit: Circuit | None = None
        self.choice = CalmComboBox(self)
        self.choice.setObjectName("circuit")
        self.choice.setAccessibleName(tr("Circuit of"))
        self.choice.setMinimumContentsLength(19)
        self.choice.activated.connect(self._choose)
        label = QLabel(tr("&Circuit of"), self)
        label.setProperty("role", "soft")
        label.setBuddy(self.choice)
        self.headline = QLabel(self)
        self.headline.setWordWrap(True)
        self.headline.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        self.chart = CircuitChart(shown.theme, self)
        self.chart.setAccessibleName(tr("Pressure along the circuit"))
        self.chart.setContextMenuPolicy(Qt.ContextMenuPolicy.CustomContextMenu)
        self.chart.customContextMenuRequested.connect(self._show_menu)
        self.chart.part_pressed.connect(lambda tag: shown.select((tag,)))
        self.copy_picture = QAction(tr("Copy as &picture"), self)
        self.copy_picture.triggered.connect(
            lambda: QGuiApplication.clipboard().setPixmap(self.chart.picture())
        )
        self.copy_table = QAction(tr("Copy as &table"), self)
        self.copy_table.setShortcut(QKeySequence.StandardKey.Copy)
        self.copy_table.setShortcutContext(Qt.ShortcutContext.WidgetWithChildrenShortcut)
        self.copy_table.triggered.connect(lambda: QGuiApplication.clipboard().setText(self.table()))
        self.addActions([self.copy_picture, self.copy_table])
        head = QHBoxLayout()
        head.setContentsMargins(8, 4, 8, 0)
        head.setSpacing(8)
        head.addWidget(label)
        head.addWidget(self.choice)
        head.addWidget(self.headline, 1)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(0)
        layout.addLayout(head)
        layout.addWidget(self.chart, 1)
        store.results_changed.connect(self._refresh)
        shown.selection_changed.connect(self._follow_selection)
        shown.units_changed.connect(self._refresh)
        shown.theme_changed.connect(self.chart.set_theme)
        self._refresh()

    def set_seen(self, seen: bool) -> None:
        """Say whether the panel can be seen; behind another's tab it works nothing out and lights nothing."""
        self._seen = seen
        self._refresh()

    def table(self) -> str:
        """Return the circuit as tab-separated text."""
        if self.circuit is None:
            return ""
        units = self._shown.units
        length, pressure = unit("length", units), unit("pressure", units)
        lines = [
            "\t".join(
                (
                    tr("Part"),
                    tr("Side"),
                    f"{tr('Way from the pump')} {length}",
                    f"{tr('Pressure')} {pressure}",
                    f"{tr('Total pressure')} {pressure}",
                    f"{tr('Takes')} {pressure}",
                )
            )
        ]
        for place in places_of(self.circuit):
            figures = (
                to_shown(place.from_pump_m, "length", units),
                *(
                    to_shown(value, "pressure", units)
                    for value in (place.pressure_kPa, place.total_kPa, place.loss_kPa)
                ),
            )
            lines.append("\t".join((place.tag, place.side, *(f"{figure:.6g}" for figure in figures))))
        return "\n".join(lines) + "\n"

    def _choose(self, index: int) -> None:
        self._chosen = self.choice.itemText(index) if index > 0 else ""
        self._refresh()

    def _follow_selection(self, tags: tuple[str, ...]) -> None:
        parts = self._document.vessel.component_by_tag
        unit = next((tag for tag in tags if isinstance(parts.get(tag), AirHandler)), self._chosen)
        if unit != self._chosen:
            self._chosen = unit
            self._refresh()

    def _refresh(self, *_what: object) -> None:
        if not self._seen:
            self._shown.light(PANEL, None)
            return
        results = self._store.results
        self._fill_choice(results)
        self.circuit = self._find(results)
        units = self._shown.units
        if self.circuit is None:
            self.headline.setText("")
            self.chart.show_nothing(self._why_none(results))
            self._shown.light(PANEL, None)
            return
        self.headline.setText(self._head(self.circuit, units))
        self.chart.show_circuit(self.circuit, units, self._store.behind)
        self._shown.light(PANEL, self._lit(self.circuit))

    def _fill_choice(self, results: Results | None) -> None:
        units = [] if results is None else list(results.air_handlers)
        if self._chosen not in units:
            self._chosen = ""
        index = results.index_circuit if results is not None else None
        first = tr("Index circuit ({0})").format(index.air_handler) if index else tr("Index circuit")
        entries = [first, *units]
        if [self.choice.itemText(row) for row in range(self.choice.count())] != entries:
            self.choice.clear()
            self.choice.addItems(entries)
        self.choice.setCurrentIndex(units.index(self._chosen) + 1 if self._chosen else 0)

    def _find(self, results: Results | None) -> Circuit | None:
        if results is None:
            return None
        if not self._chosen:
            return results.index_circuit
        circuits = self._of_results()
        return None if circuits is None else circuits.circuit(self._chosen)

    def _of_results(self) -> Circuits | None:
        """Return the circuits of the results on show, worked out once."""
        results = self._store.results
        if results is None:
            return None
        if self._circuits is None or self._circuits[0] is not results:
            vessel = results.part or results.vessel
            self._circuits = results, Circuits(vessel, results.links, results.port_kPa)
        return self._circuits[1]

    def _why_none(self, results: Results | None) -> str:
        if results is None:
            return self._store.reason or tr("Nothing is solved yet.")
        if self._chosen:
            return tr("No water flows in {0}, or no pump drives it.").format(self._chosen)
        return tr("No water flows in any circuit.")

    def _head(self, circuit: Circuit, units: System) -> str:
        figures = [circuit.steps[0].total_kPa - circuit.steps[-1].total_kPa, circuit.needed_kPa]
        circuits = self._of_results()
        available = circuits.available_kPa(circuit.air_handler) if circuits is not None else None
        text = tr("{0}: {1} between supply and return. The way takes {2}, and {3} at design flow.")
        shown = (show(value, "pressure", units) for value in (available, *figures))
        return text.format(circuit.air_handler, *shown)

    def _lit(self, circuit: Circuit) -> Lit:
        results = self._store.results
        ways = {}
        for step in circuit.steps:
            link = results.links.get(step.tag) if results is not None else None
            ways[part_of(step.tag)] = 0 if link is None else 1 if link.flow_L_s >= 0 else -1
        return Lit(ways)

    def _show_menu(self, place: QPoint) -> None:
        menu = QMenu(self)
        menu.addActions([self.copy_picture, self.copy_table])
        menu.exec(self.chart.mapToGlobal(place))
        menu.deleteLater()
