# SPDX-License-Identifier: MIT
"""The main window: the canvas in the middle, panels round it, everything wired to one document."""

from __future__ import annotations

import math
from functools import partial
from pathlib import Path

from PySide6.QtCore import QByteArray, Qt
from PySide6.QtGui import QCloseEvent, QDragEnterEvent, QDropEvent
from PySide6.QtWidgets import QMainWindow, QStackedWidget, QVBoxLayout, QWidget

from app.canvas.scene import VesselScene
from app.canvas.view import VesselView
from app.editing.document import Document
from app.editing.recovery import FoundWork, Journal, journal_folder
from app.overlay.difference import Comparison
from app.overlay.heat_difference import DIFFERENCES
from app.panels.shown import Shown
from app.settings import Settings
from app.solving.live_solver import DELAY_MS, PATIENCE_MS, QUICK_MS, SOLVE, LiveSolver
from app.solving.long_job import LongJob
from app.solving.results import ResultsStore
from app.solving.worker import Worker
from app.translation import tr
from app.units import System
from app.window.actions import OVERLAYS, Actions
from app.window.appearance import Appearance, theme_for
from app.window.arranging import Arranging
from app.window.branch_side import BranchSide
from app.window.canvas_side import CanvasSide
from app.window.conditions_choice import ConditionsChoice
from app.window.docks import Docks
from app.window.draw_side import DrawSide
from app.window.empty_state import EmptyState
from app.window.files import Files, vessel_file_dropped
from app.window.find_tag import FindTag
from app.window.first_loop import FirstLoop
from app.window.habits import Habits
from app.window.help import Help
from app.window.live_panels import LivePanels
from app.window.menus import fill_menu_bar, make_tool_bar
from app.window.notice_bar import NoticeBar
from app.window.output import Output
from app.window.panes import Panes
from app.window.plan_side import PlanSide
from app.window.status_bar import StatusBar
from solver.vessel.parts import all_tags

#: How long a finished job is told in the status bar.
_MESSAGE_MS = 6_000
_FIRST_SIZE = (1280, 800)


class MainWindow(QMainWindow):
    """Shows and edits one vessel.

    Parameters
    ----------
    document : Document
    settings : Settings, optional
        The user's own if None.
    journals : Path, optional
        Folder of the journal of unsaved work; the user's own if None.
    force_sync : bool
        Solve in the window's own thread, for tests and pictures.
    """

    def __init__(
        self,
        document: Document,
        settings: Settings | None = None,
        journals: Path | None = None,
        force_sync: bool = False,
    ) -> None:
        super().__init__()
        self.document = document
        self.settings = settings if settings is not None else Settings(parent=self)
        self.shown = Shown(theme_for(self.settings.text("theme")), parent=self)
        # Before any widget: each takes the font that the application has when it is made.
        self.appearance = Appearance(self.settings, self.shown, self)
        self.store = ResultsStore(self)
        self.worker = Worker(force_sync, self)
        self.job = LongJob(force_sync, self)
        delay, patience, quick = (0, 0, math.inf) if force_sync else (DELAY_MS, PATIENCE_MS, QUICK_MS)
        self.live = LiveSolver(document, self.store, self.worker, SOLVE, delay, patience, quick, self)
        self.journal = Journal(document, journals if journals is not None else journal_folder(), parent=self)
        self.actions_by_name = Actions(self)
        self.files = Files(document, self.settings, self)
        self.scene = VesselScene(self)
        self.view = VesselView(self.scene)
        self.notices = NoticeBar(self.shown)
        self.empty = EmptyState(
            self.shown, self.actions_by_name, self._open_first_sample, lambda: self.drawing.begin(self.docks)
        )
        self._canvas_or_empty = QStackedWidget()
        self._fill_middle()
        self.docks = Docks(self, document, self.store, self.worker, self.shown)
        self.live_panels = LivePanels(self.docks, document, self.store, self.worker, self.job, self.shown)
        self.live_panels.compare.compared.connect(self._show_comparison)
        self.help = Help(self, self.docks.properties_dock, self.shown)
        self.first_loop = FirstLoop(
            document, self.store, self.settings, partial(self.help.show_context, "first_loop")
        )
        self.notices_and_strip.addWidget(self.first_loop)
        self.output = Output(document, self.store, self.shown, self.settings, self)
        self.find_tag = FindTag(document, self.shown, self)
        fill_menu_bar(self, self.actions_by_name, self.docks, self.files, self.settings)
        self.conditions = ConditionsChoice(document, self.shown, self.docks.edit_conditions, self)
        make_tool_bar(self, self.actions_by_name, self.find_tag, self.conditions)
        self.status = StatusBar(self.store, self.shown, self)
        self.setStatusBar(self.status)
        self.status.follow(self.job)
        self.panes = Panes(self.view, self.docks)
        self.setAcceptDrops(True)
        self._connect_actions()
        self._connect_document()
        self._connect_canvas()
        self._restore()
        self._show_vessel()
        self.live.solve_now()

    def offer_work(self, work: FoundWork) -> None:
        """Offer unsaved work that a crash left; the file it came from is not touched."""
        when = work.written.astimezone().strftime("%d %B %Y, %H:%M")
        where = work.path.name if work.path else tr("a new vessel")
        text = tr("The program ended before {0} ({1}) was saved. Work of {2} was kept.")
        self.notices.tell(
            text.format(work.vessel.name, where, when),
            "warn",
            (
                (tr("Open the kept work as a copy"), lambda: self._open_work(work)),
                (tr("Discard it"), work.discard),
                (tr("Ask again next time"), work.keep),
            ),
        )

    # Closing

    def closeEvent(self, event: QCloseEvent) -> None:
        if not self.files.may_leave():
            event.ignore()
            return
        self.settings.set("window_geometry", self.saveGeometry().data())
        self.settings.set("window_state", self.saveState().data())
        self.live.stop()
        self.worker.stop()
        self.job.stop()
        self.journal.close()
        super().closeEvent(event)

    def dragEnterEvent(self, event: QDragEnterEvent) -> None:
        if vessel_file_dropped([url.toLocalFile() for url in event.mimeData().urls()]):
            event.acceptProposedAction()

    def dropEvent(self, event: QDropEvent) -> None:
        path = vessel_file_dropped([url.toLocalFile() for url in event.mimeData().urls()])
        if path:
            event.acceptProposedAction()
            self.files.open_path(path)

    # Wiring

    def _fill_middle(self) -> None:
        self._canvas_or_empty.addWidget(self.view)
        self._canvas_or_empty.addWidget(self.empty)
        middle = QWidget(self)
        layout = QVBoxLayout(middle)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(0)
        layout.addWidget(self.notices)
        self.notices_and_strip = QVBoxLayout()
        layout.addLayout(self.notices_and_strip)
        layout.addWidget(self._canvas_or_empty, 1)
        self.setCentralWidget(middle)

    def _connect_actions(self) -> None:
        actions, files, view = self.actions_by_name, self.files, self.view
        plain = {
            "new": self._new,
            "open": files.open,
            "save": files.save,
            "save_as": files.save_as,
            "print": self.output.print_drawing,
            "export": self.output.export,
            "close": self._close_vessel,
            "quit": self.close,
            "undo": self.document.undo,
            "redo": self.document.redo,
            "select_all": lambda: self.shown.select(all_tags(self.document.vessel)),
            "select_none": lambda: self.shown.select(()),
            "find": self._find,
            "fit": view.fit,
            "zoom_selection": lambda: view.zoom_to(self.shown.tags),
            "zoom_in": view.zoom_in,
            "zoom_out": view.zoom_out,
            "actual_size": view.actual,
            "units_si": lambda: self._choose_units("si"),
            "units_us": lambda: self._choose_units("us"),
            "units_toggle": lambda: self._choose_units("si" if self.shown.units == "us" else "us"),
            "next_pane": lambda: self.panes.go(1),
            "previous_pane": lambda: self.panes.go(-1),
            "show_findings": self.docks.show_findings,
            "full_screen": self._full_screen,
            "help": self.help.show_here,
            "first_loop": lambda: self.settings.set("first_loop", True),
        }
        for name, act in plain.items():
            actions[name].triggered.connect(lambda _checked=False, act=act: act())
        for name in DIFFERENCES:
            action = actions[f"overlay_{name}"]
            action.setVisible(False)
            action.triggered.connect(lambda _checked=False, name=name: self.scene.set_overlay(name))
        for overlay in OVERLAYS:
            action = actions[f"overlay_{overlay}"]
            action.triggered.connect(lambda _checked=False, overlay=overlay: self._choose_overlay(overlay))
        for theme in ("system", "light", "dark", "contrast_light", "contrast_dark"):
            action = actions[f"theme_{theme}"]
            action.triggered.connect(lambda _checked=False, theme=theme: self.settings.set("theme", theme))
        self.addActions(list(actions.all()))

    def _connect_document(self) -> None:
        document = self.document
        document.opened.connect(self._opened)
        document.changed.connect(self._show_vessel)
        document.stack_changed.connect(self._show_steps)
        document.failed.connect(lambda text: self.notices.tell(text, "bad"))
        self.output.failed.connect(lambda text: self.notices.tell(text, "bad"))
        self.output.done.connect(lambda text: self.status.showMessage(text, _MESSAGE_MS))
        self.journal.failed.connect(lambda text: self.notices.tell(text, "bad"))
        self.journal.open_elsewhere.connect(lambda text: self.notices.tell(text, "warn"))
        self.store.results_changed.connect(self._show_findings)
        self.store.findings_changed.connect(self._show_findings)
        self.docks.findings.counts_changed.connect(self.status.counts.show_counts)
        self.status.findings_asked.connect(self.docks.show_findings)

    def _connect_canvas(self) -> None:
        side = CanvasSide(self.scene, self.view, self.store, self.shown)
        side.zoomed.connect(self.status.show_zoom)
        side.pointed_at.connect(self.status.show_cursor)
        common = (self.document, self.scene, self.view)
        actions = self.actions_by_name
        self.plans = PlanSide(*common, self.shown, self.docks.decks, self.notices, self.status)
        self.arranging = Arranging(*common, self.shown, actions, self.plans, self.notices)
        self.drawing = DrawSide(*common, actions, self.notices, self.status, self.shown)
        self.branches = BranchSide(self.drawing, self.docks, self.settings, self.shown, actions)
        self.drawing.begun.connect(lambda: self._canvas_or_empty.setCurrentWidget(self.view))
        self.view.addActions(list(actions.on_canvas()))
        self.docks.parts.part_chosen.connect(self.drawing.take_part)
        self.drawing.follow(self.docks.decks.decks, self.docks.parts)
        self.scene.tag_activated.connect(self._edit_part)
        self.shown.units_changed.connect(self._show_units)
        self.find_tag.left.connect(lambda: self.view.setFocus(Qt.FocusReason.ShortcutFocusReason))
        self.find_tag.not_found.connect(lambda text: self.notices.tell(text, "note"))
        self.habits = Habits(
            self.settings, self.actions_by_name, self.scene, self.drawing.tools, self.docks.parts
        )

    def _restore(self) -> None:
        settings = self.settings
        self.resize(*_FIRST_SIZE)
        geometry, state = settings.get("window_geometry"), settings.get("window_state")
        if isinstance(geometry, bytes | QByteArray) and geometry:
            self.restoreGeometry(QByteArray(geometry))
        if not (isinstance(state, bytes | QByteArray) and state and self.restoreState(QByteArray(state))):
            self.docks.arrange()
        self.docks.name_tab_bars()
        self.actions_by_name.check(f"theme_{settings.text('theme')}")
        self._choose_overlay(settings.text("overlay"))
        self._take_units_of_vessel()
        self._show_units(self.shown.units)
        self._show_steps()

    # Showing

    def _opened(self) -> None:
        self.notices.clear()
        self.docks.findings.forget_muted()
        self.shown.select(())
        self._take_units_of_vessel()
        self.view.fit()

    def _show_vessel(self, *_what: object) -> None:
        vessel = self.document.vessel
        is_blank = self.document.is_empty and not vessel.underlays and not self.drawing.has_begun
        self._canvas_or_empty.setCurrentWidget(self.empty if is_blank else self.view)
        self.scene.show_vessel(vessel)
        known = {*vessel.component_by_tag, *vessel.run_by_tag, *(cabin.tag for cabin in vessel.cabins)}
        self.shown.select(tag for tag in self.shown.tags if tag in known)

    def _show_findings(self, *_what: object) -> None:
        findings, results = self.store.findings, self.store.results
        self.docks.findings.show_findings(findings, judged=results is not None or bool(findings))

    def _show_steps(self) -> None:
        document, actions = self.document, self.actions_by_name
        for name, text, step in (
            ("undo", tr("&Undo {0}"), document.undo_name),
            ("redo", tr("&Redo {0}"), document.redo_name),
        ):
            lower = step[:1].lower() + step[1:]
            actions[name].setText(text.format(lower).rstrip())
            actions[name].setEnabled(bool(step))
        actions["save"].setEnabled(not document.is_clean or document.path is None)
        for name in ("print", "export", "fit", "zoom_selection", "select_all"):
            actions[name].setEnabled(not document.is_empty)
        file_name = document.path.name if document.path else tr("not saved yet")
        self.setWindowTitle(f"{document.vessel.name} ({file_name})[*] – Farcabin")
        self.setWindowModified(not document.is_clean)

    def _show_units(self, system: System) -> None:
        self.live.set_units(system)
        self.actions_by_name.check(f"units_{system}")

    # Doing

    def _edit_part(self, tag: str) -> None:
        """Bring the keyboard to a part's first field."""
        self.shown.select((tag,))
        self.docks.properties_dock.show()
        self.docks.properties_dock.raise_()
        self.panes.go_to(self.docks.properties)

    def _take_units_of_vessel(self) -> None:
        chosen = self.settings.text("units")
        self.shown.set_units(
            "us" if (self.document.vessel.units if chosen == "vessel" else chosen) == "us" else "si"
        )

    def _choose_units(self, system: System) -> None:
        self.settings.set("units", system)
        self.shown.set_units(system)

    def _choose_overlay(self, name: str) -> None:
        self.actions_by_name.check(f"overlay_{name}")
        self.settings.set("overlay", name)
        self.scene.set_overlay(name)

    def _show_comparison(self, comparison: Comparison | None) -> None:
        """Offer the difference while something is compared; show it when that begins."""
        actions = [self.actions_by_name[f"overlay_{name}"] for name in DIFFERENCES]
        begins = comparison is not None and not actions[0].isVisible()
        for action in actions:
            action.setVisible(comparison is not None)
        self.scene.set_comparison(comparison)
        if begins:
            actions[0].trigger()
        elif comparison is None and any(action.isChecked() for action in actions):
            self._choose_overlay(self.settings.text("overlay"))

    def _find(self) -> None:
        self.find_tag.setFocus(Qt.FocusReason.ShortcutFocusReason)
        self.find_tag.selectAll()

    def _new(self) -> None:
        self.files.new()
        self.panes.go_to(self.docks.properties)

    def _close_vessel(self) -> None:
        if self.document.is_untouched:
            self.close()
        else:
            self.files.new()

    def _open_first_sample(self) -> None:
        samples = self.files.samples()
        wanted = [path for path in samples if "27m" in path.stem] or samples
        if wanted:
            self.files.open_sample(wanted[0])
        else:
            self.notices.tell(tr("No sample vessels beside the program."), "bad")

    def _open_work(self, work: FoundWork) -> None:
        if self.files.may_leave():
            self.document.show(work.vessel, clean=False)
            self.journal.write()
            work.discard()
        else:
            work.keep()

    def _full_screen(self) -> None:
        self.setWindowState(self.windowState() ^ Qt.WindowState.WindowFullScreen)
