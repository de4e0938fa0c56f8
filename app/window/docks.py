# SPDX-License-Identifier: MIT
"""The panels in their docks: outline left, properties right, findings, duty point and tables below."""

from __future__ import annotations

from PySide6.QtCore import QSize, Qt
from PySide6.QtWidgets import QDockWidget, QMainWindow, QStackedWidget, QTabWidget, QWidget

from app.canvas.part_keys import PART_KEYS, TOOL_KEYS
from app.editing.deck_view import DeckView
from app.editing.document import Document
from app.panels.decks_panel import DecksPanel
from app.panels.duty_point_plot import DutyPointPlot
from app.panels.findings_panel import FindingsPanel
from app.panels.outline import Outline
from app.panels.parts_tray import PartsTray
from app.panels.property_sheet import PropertySheet
from app.panels.results_table import ResultsTable
from app.panels.shown import Shown
from app.panels.vessel_sheet import VesselSheet
from app.solving.results import ResultsStore
from app.solving.worker import Worker
from app.translation import tr
from app.window.tab_bars import TabBars
from app.window.title_bar import TitleBar

#: Least and most size of the panels, and their share of a large window [px].
_LEFT, _LEFT_SHARE, _MOST_LEFT = 284, 0.14, 340
_BELOW, _BELOW_SHARE, _MOST_BELOW = 210, 0.24, 340
_RIGHT = 320


class Properties(QStackedWidget):
    """The property sheet of the selection, or the vessel's own page while nothing is selected."""

    def __init__(
        self, document: Document, store: ResultsStore, shown: Shown, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self.sheet = PropertySheet(document, store, shown, self)
        self.vessel_sheet = VesselSheet(document, shown, self)
        self.addWidget(self.vessel_sheet)
        self.addWidget(self.sheet)
        self._held: QWidget | None = None
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        shown.selection_changed.connect(self._choose)
        document.changed.connect(self._choose)

    def sizeHint(self) -> QSize:
        return QSize(_RIGHT, 480)

    def hold(self, page: QWidget | None) -> None:
        """Show the page of what is in hand instead of the selection's; None shows that again."""
        self._held = page
        self._choose()

    def _choose(self, *_what: object) -> None:
        self.setCurrentWidget(self._held or (self.sheet if self.sheet.parts else self.vessel_sheet))


def _is_seen(widget: QWidget) -> bool:
    """Return whether anything of a panel can be seen; what its own widgets cover is not in its region."""
    parts = (widget, *widget.findChildren(QWidget))
    return any(not each.visibleRegion().isEmpty() for each in parts)


class Docks:
    """Makes the docks and knows them."""

    def __init__(
        self, window: QMainWindow, document: Document, store: ResultsStore, worker: Worker, shown: Shown
    ) -> None:
        self._window = window
        self._added: list[tuple[QDockWidget, QWidget]] = []
        self._tab_bars = TabBars(window)
        self.properties = Properties(document, store, shown)
        self.outline = Outline(document, store, shown)
        self.findings = FindingsPanel(shown)
        self.duty_point = DutyPointPlot(document, store, worker, shown)
        self.tables = ResultsTable(document, store, shown)
        self.parts = PartsTray(document, shown, PART_KEYS | TOOL_KEYS)
        self.decks = DecksPanel(document, shown, DeckView(window))
        window.setDockNestingEnabled(False)
        window.setCorner(Qt.Corner.BottomLeftCorner, Qt.DockWidgetArea.LeftDockWidgetArea)
        window.setCorner(Qt.Corner.BottomRightCorner, Qt.DockWidgetArea.RightDockWidgetArea)
        left, right = Qt.DockWidgetArea.LeftDockWidgetArea, Qt.DockWidgetArea.RightDockWidgetArea
        below = Qt.DockWidgetArea.BottomDockWidgetArea
        self.parts_dock = self._add("parts", tr("Parts"), self.parts, left)
        self.outline_dock = self._add("outline", tr("Outline"), self.outline, left)
        self.decks_dock = self._add("decks", tr("Decks"), self.decks, left)
        self.properties_dock = self._add("properties", tr("Properties"), self.properties, right)
        self.findings_dock = self._add("findings", tr("Findings"), self.findings, below)
        self.duty_point_dock = self._add("duty_point", tr("Duty point"), self.duty_point, below)
        self.tables_dock = self._add("tables", tr("Tables"), self.tables, below)
        window.tabifyDockWidget(self.findings_dock, self.duty_point_dock)
        window.tabifyDockWidget(self.duty_point_dock, self.tables_dock)
        window.tabifyDockWidget(self.parts_dock, self.outline_dock)
        window.tabifyDockWidget(self.outline_dock, self.decks_dock)
        window.setTabPosition(left, QTabWidget.TabPosition.North)
        window.setTabPosition(below, QTabWidget.TabPosition.North)

    def all(self) -> list[QDockWidget]:
        """Return the docks, from left to right."""
        return [
            self.parts_dock,
            self.outline_dock,
            self.decks_dock,
            self.properties_dock,
            self.findings_dock,
            self.duty_point_dock,
            self.tables_dock,
            *(dock for dock, _focus in self._added),
        ]

    def add_below(self, name: str, title: str, panel: QWidget, focus: QWidget) -> QDockWidget:
        """Add a panel behind those below; ``focus`` is the widget of it that F6 goes to."""
        dock = self._add(name, title, panel, Qt.DockWidgetArea.BottomDockWidgetArea)
        self._window.tabifyDockWidget(self._added[-1][0] if self._added else self.tables_dock, dock)
        self._added.append((dock, focus))
        return dock

    def arrange(self) -> None:
        """Put every dock where it is at first."""
        window = self._window
        horizontal, vertical = Qt.Orientation.Horizontal, Qt.Orientation.Vertical
        below = min(max(_BELOW, window.height() * _BELOW_SHARE), _MOST_BELOW)
        left = min(max(_LEFT, window.width() * _LEFT_SHARE), _MOST_LEFT)
        for dock in self.all():
            dock.show()
        window.resizeDocks([self.outline_dock, self.properties_dock], [round(left), _RIGHT], horizontal)
        window.resizeDocks([self.findings_dock], [round(below)], vertical)
        self.findings_dock.raise_()
        self.outline_dock.raise_()

    def panes(self) -> list[QWidget]:
        """Return what F6 goes through, without the canvas: the panels that can be seen."""
        focus = {
            self.parts_dock: self.parts.tree,
            self.outline_dock: self.outline.tree,
            self.decks_dock: self.decks,
            self.properties_dock: self.properties,
            self.findings_dock: self.findings.list_view,
            self.duty_point_dock: self.duty_point.plot,
            self.tables_dock: self.tables,
            **dict(self._added),
        }
        # A dock behind another's tab counts as visible for Qt, but nothing of it can be seen.
        return [widget for widget in focus.values() if _is_seen(widget)]

    def show_findings(self) -> None:
        """Bring the findings to the front and the keyboard to them."""
        self.findings_dock.show()
        self.findings_dock.raise_()
        self.findings.list_view.setFocus()

    def edit_conditions(self) -> None:
        """Show the vessel's own page at its conditions."""
        self.properties_dock.show()
        self.properties_dock.raise_()
        self.properties.vessel_sheet.go_to_conditions()

    def name_tab_bars(self) -> None:
        """Give the docks' tab bars, which Qt makes as it needs them, a name and the keyboard."""
        self._tab_bars.name()

    def _add(self, name: str, title: str, widget: QWidget, area: Qt.DockWidgetArea) -> QDockWidget:
        dock = QDockWidget(title, self._window)
        dock.setObjectName(name)
        dock.setWidget(widget)
        # Where panels share a place the tabs carry the titles already; the View menu closes those panels.
        is_alone = area == Qt.DockWidgetArea.RightDockWidgetArea
        dock.setTitleBarWidget(TitleBar(dock) if is_alone else QWidget(dock))
        self._window.addDockWidget(area, dock)
        return dock
