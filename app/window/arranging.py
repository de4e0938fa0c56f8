# SPDX-License-Identifier: MIT
"""The Arrange menu and the canvas' context menu: what can be done with the selection, and why not."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial

from PySide6.QtCore import QObject, QPoint, Qt
from PySide6.QtWidgets import QDialog, QMenu

from app.canvas.scene import VesselScene
from app.canvas.view import VesselView
from app.editing import choosing
from app.editing.document import Document
from app.panels.part_edits import parts_of
from app.panels.renumber_form import RenumberForm
from app.panels.shown import Shown
from app.translation import tr
from app.window.actions import Actions
from app.window.notice_bar import NoticeBar
from app.window.plan_side import PlanSide
from solver.errors import EditError
from solver.vessel.edits import align, delete, distribute, duplicate, lock, straighten, turn
from solver.vessel.edits.arranging import SIDES, WAYS, Side, Way
from solver.vessel.vessel import Vessel

#: Names of the actions in a menu of their own, and of the others, parted as the menus part them.
ALIGN_GROUPS: tuple[tuple[str, ...], ...] = (
    ("align_left", "align_centre", "align_right", "align_top", "align_middle", "align_bottom"),
    ("distribute_across", "distribute_down"),
)
ARRANGE_GROUPS: tuple[tuple[str, ...], ...] = (
    ("turn_parts", "straighten", "duplicate", "lock", "delete"),
    ("select_kind", "select_branch", "select_circuit"),
    ("renumber",),
)


def add_arranging(menu: QMenu, actions: Actions) -> None:
    """Put what arranges into a menu."""
    align_menu = menu.addMenu(tr("&Align and distribute"))
    align_menu.setToolTipsVisible(True)
    for below, groups in ((align_menu, ALIGN_GROUPS), (menu, ARRANGE_GROUPS)):
        for group in groups:
            below.addActions([actions[name] for name in group])
            below.addSeparator()


class Arranging(QObject):
    """Does what the Arrange menu says, each as one step; what cannot be done says why."""

    def __init__(
        self,
        document: Document,
        scene: VesselScene,
        view: VesselView,
        shown: Shown,
        actions: Actions,
        plans: PlanSide,
        notices: NoticeBar,
    ) -> None:
        super().__init__(view)
        self._document, self._scene, self._view = document, scene, view
        self._shown, self._actions, self._notices = shown, actions, notices
        self._tips = {
            name: actions[name].toolTip() for group in (*ALIGN_GROUPS, *ARRANGE_GROUPS) for name in group
        }
        self._tips |= {name: actions[name].toolTip() for name in ("scale_plan", "move_plan")}
        for side in SIDES:
            self._on(f"align_{side}", partial(self._align, side))
        for way in WAYS:
            self._on(f"distribute_{way}", partial(self._distribute, way))
        self._on("turn_parts", self._turn)
        self._on("straighten", self._straighten)
        self._on("duplicate", self._duplicate)
        self._on("delete", self._delete)
        self._on("lock", self._lock)
        self._on("select_kind", lambda: self._select(choosing.of_same_kind))
        self._on("select_branch", lambda: self._select(choosing.of_branch))
        self._on("select_circuit", lambda: self._select(choosing.of_circuit))
        self._on("renumber", self.renumber)
        self._on("add_plan", plans.add)
        self._on("scale_plan", plans.start_scale)
        self._on("move_plan", plans.start_move)
        view.setContextMenuPolicy(Qt.ContextMenuPolicy.CustomContextMenu)
        view.customContextMenuRequested.connect(self._show_menu)
        shown.selection_changed.connect(self._enable)
        document.changed.connect(self._enable)
        self._enable()

    def menu(self) -> QMenu:
        """Return the context menu for what is selected."""
        menu = QMenu(self._view)
        menu.setToolTipsVisible(True)
        menu.addActions([self._actions[name] for name in ("connect_to", "draw_bend", "cut", "copy", "paste")])
        menu.addSeparator()
        if any(tag not in self._document.vessel.component_by_tag for tag in self._shown.tags):
            # Runs and cabins: what can be laid along or for them.
            menu.addActions([self._actions[name] for name in ("draw_cabins", "draw_mirror")])
            menu.addSeparator()
        add_arranging(menu, self._actions)
        return menu

    def renumber(self) -> None:
        """Show the form that renumbers the selected parts."""
        form = RenumberForm(self._document, self._shown, self._view)
        if form.exec() == QDialog.DialogCode.Accepted:
            self._shown.select(form.new_tags())
        form.deleteLater()

    def _on(self, name: str, act: Callable[[], None]) -> None:
        self._actions[name].triggered.connect(lambda _checked=False: act())

    def _enable(self, *_what: object) -> None:
        vessel, tags = self._document.vessel, self._shown.tags
        components = choosing.components_of(vessel, tags)
        parts = len([tag for tag in tags if tag not in vessel.run_by_tag])
        none = tr("Select a part first.")
        reasons = {}
        for name in ("delete", "lock", "select_kind", "select_branch", "select_circuit", "renumber"):
            reasons[name] = "" if tags else none
        for side in SIDES:
            reasons[f"align_{side}"] = "" if parts >= 2 else tr("Select two components or more.")
        for way in WAYS:
            reasons[f"distribute_{way}"] = "" if parts >= 3 else tr("Select three components or more.")
        reasons["turn_parts"] = "" if components else tr("Select a component first.")
        reasons["duplicate"] = "" if parts else tr("Select a component or cabin first.")
        reasons["straighten"] = "" if self._bent() else tr("Select a run with bends first.")
        reasons["move_plan"] = "" if vessel.underlays else tr("Add a deck plan first.")
        drawn = vessel.underlays or vessel.components
        reasons["scale_plan"] = "" if drawn else tr("Add a deck plan or draw something first.")
        for name, reason in reasons.items():
            action = self._actions[name]
            action.setEnabled(not reason)
            action.setToolTip(reason or self._tips[name])

    def _align(self, side: Side) -> None:
        tags = self._shown.tags
        self._edit(tr("Align {0} parts"), lambda vessel: align(vessel, tags, side))

    def _distribute(self, way: Way) -> None:
        tags = self._shown.tags
        self._edit(tr("Distribute {0} parts"), lambda vessel: distribute(vessel, tags, way))

    def _turn(self) -> None:
        tags = [part.tag for part in choosing.components_of(self._document.vessel, self._shown.tags)]
        self._edit(tr("Turn {0} parts"), lambda vessel: turn(vessel, tags), tags)

    def _duplicate(self) -> None:
        tags = self._shown.tags
        new: list[str] = []

        def copied(vessel: Vessel) -> Vessel:
            copies = duplicate(vessel, tags)
            new.extend(copies.tags.values())
            return copies.vessel

        if self._edit(tr("Duplicate {0} parts"), copied):
            self._shown.select(new)

    def _delete(self) -> None:
        tags = self._shown.tags
        if self._edit(tr("Delete {0} parts"), lambda vessel: delete(vessel, tags)):
            self._shown.select(())

    def _lock(self) -> None:
        """Lock the parts; where all are locked, unlock them."""
        parts = parts_of(self._document.vessel, self._shown.tags)
        tags, locked = tuple(part.tag for part in parts), not all(part.locked for part in parts)
        name = tr("Lock {0} parts") if locked else tr("Unlock {0} parts")
        self._edit(name, lambda vessel: lock(vessel, tags, locked), tags)

    def _bent(self) -> list[str]:
        """Return the selected runs that have bends."""
        runs = self._document.vessel.run_by_tag
        return [tag for tag in self._shown.tags if tag in runs and runs[tag].bends]

    def _straighten(self) -> None:
        tags = self._bent()
        self._edit(tr("Straighten {0} parts"), lambda vessel: straighten(vessel, tags), tags)

    def _select(self, choose: Callable[[Vessel, tuple[str, ...]], tuple[str, ...]]) -> None:
        self._shown.select(choose(self._document.vessel, self._shown.tags))

    def _edit(self, name: str, change: Callable[[Vessel], Vessel], tags: Sequence[str] | None = None) -> bool:
        chosen = self._shown.tags if tags is None else tags
        words = name.format(len(chosen))
        if len(chosen) == 1:
            words = name.replace(tr("{0} parts"), "{0}").format(chosen[0])
        try:
            changed = self._document.edit(words, change)
        except EditError as error:
            self._notices.tell(str(error), "note")
            return False
        if not changed:
            self._notices.tell(tr("{0}: it is so already.").format(words), "note")
        return changed

    def _show_menu(self, at: QPoint) -> None:
        """Show the menu for what is under the mouse; a part that is not selected is selected first."""
        tags = self._scene.tags_at(self._view.mapToScene(at))
        if tags and tags[0] not in self._shown.tags:
            self._shown.select(tags[:1])
        menu = self.menu()
        menu.exec(self._view.viewport().mapToGlobal(at))
        menu.deleteLater()
