# SPDX-License-Identifier: MIT
"""One tool in hand at a time: hands it the view's events, paints what it shows, leads its cross.

Single keys of ``PART_KEYS`` take a part, those of ``TOOL_KEYS`` a tool.
With another tool the arrows lead a cross (Shift: five steps), Enter acts there, Escape gives up, then
puts the tool down.
"""

from __future__ import annotations

from PySide6.QtCore import QEvent, QObject, QPointF, QRectF, Qt, Signal
from PySide6.QtGui import QKeyEvent, QMouseEvent, QPainter

from app.canvas.ghost import Overlay, paint_cross, paint_words
from app.canvas.grid import MODULE
from app.canvas.part_keys import PART_KEYS, TOOL_KEYS
from app.canvas.scene import VesselScene
from app.canvas.tools.arrange import ArrangeTool
from app.canvas.tools.bend import BendTool
from app.canvas.tools.branch import BranchTool
from app.canvas.tools.cabins import CabinsTool
from app.canvas.tools.join import JoinTool
from app.canvas.tools.mirror import MirrorTool
from app.canvas.tools.pair import PairTool
from app.canvas.tools.place import PlaceTool
from app.canvas.tools.room import RoomTool
from app.canvas.tools.tool import Board, Tool
from app.canvas.view import VesselView
from solver.vessel.fields import Point
from solver.vessel.run import End

_ARROWS = {
    Qt.Key.Key_Left: (-1.0, 0.0),
    Qt.Key.Key_Right: (1.0, 0.0),
    Qt.Key.Key_Up: (0.0, -1.0),
    Qt.Key.Key_Down: (0.0, 1.0),
}
_ENTER = (Qt.Key.Key_Return, Qt.Key.Key_Enter)
_KIND_BY_KEY = {key: kind for kind, key in PART_KEYS.items()}
_TOOL_BY_KEY = {key: tool for tool, key in TOOL_KEYS.items()}
#: Room kept round the cross [px].
_ROUND_CROSS = 60


class ToolBox(QObject):
    """The drawing tools of a view.

    Attributes
    ----------
    edit_asked : Signal(str, object)
        Name of a step, and the function from vessel to vessel; the scene never edits by itself.
    said : Signal(str)
        What to do next with the tool in hand; empty for none.
    taken : Signal(str)
        Another tool is in hand: one of ``TOOL_KEYS``, or place.
    """

    edit_asked = Signal(str, object)
    said = Signal(str)
    taken = Signal(str)

    def __init__(self, scene: VesselScene, view: VesselView) -> None:
        super().__init__(view)
        self._scene, self._view = scene, view
        self.single_keys = True
        self.board = Board(scene, self)
        self.board.edit_asked.connect(self.edit_asked)
        self.board.changed.connect(self._show)
        self.place_tool, self.join_tool = PlaceTool(self.board), JoinTool(self.board)
        self.branch_tool, self.cabins_tool = BranchTool(self.board), CabinsTool(self.board)
        self.pair_tool, self.mirror_tool = PairTool(self.board), MirrorTool(self.board)
        self._tools: dict[str, Tool] = {
            "arrange": ArrangeTool(self.board, self._run_dragged),
            "place": self.place_tool,
            "join": self.join_tool,
            "room": RoomTool(self.board),
            "bend": BendTool(self.board),
            "branch": self.branch_tool,
            "cabins": self.cabins_tool,
            "pair": self.pair_tool,
            "mirror": self.mirror_tool,
        }
        self.name = "arrange"
        self._one_run = False
        self._overlay = Overlay(self._paint)
        scene.addItem(self._overlay)
        scene.notes_changed.connect(self._vessel_shown)
        self._vessel = self.board.vessel
        view.installEventFilter(self)
        view.viewport().installEventFilter(self)

    @property
    def tool(self) -> Tool:
        """The tool in hand."""
        return self._tools[self.name]

    def take(self, name: str) -> None:
        """Take another tool in hand: one of ``TOOL_KEYS``, or place."""
        self.tool.stop()
        self.name, self._one_run, self.board.refused = name, False, ""
        if name != "arrange":
            self._view.hold()
            self._scene.hover("")
            self._lead_to_view()
        self._read_view()
        self.tool.start()
        self._view.viewport().setCursor(self.tool.cursor)
        self.taken.emit(name)
        self._show()

    def take_part(self, kind: str, model: str = "") -> None:
        """Take a kind of part in hand, of a model of the parts list or the kind's middle one."""
        self.place_tool.choose(kind, model)
        self.take("place")

    def put_down(self) -> None:
        """Take the arrange tool again."""
        self.take("arrange")

    def refuse(self, reason: str) -> None:
        """Say at the pointer why an edit was refused."""
        self.board.refuse(reason)

    # Events.

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        kinds = QEvent.Type
        if isinstance(event, QKeyEvent) and watched is self._view:
            if event.type() == kinds.ShortcutOverride and self._is_ours(event):
                event.accept()
                return True
            return event.type() == kinds.KeyPress and self._key(event)
        if isinstance(event, QMouseEvent) and watched is self._view.viewport():
            return self._mouse(event)
        return False

    def _mouse(self, event: QMouseEvent) -> bool:
        kinds, left = QEvent.Type, Qt.MouseButton.LeftButton
        at = self._at(event.position())
        modifiers = event.modifiers()
        self._read_view()
        self.board.snaps = not modifiers & Qt.KeyboardModifier.AltModifier
        self.board.by_keys = False
        if event.type() == kinds.MouseMove:
            self.board.pointer = at
            if self._view.is_panning or event.buttons() & Qt.MouseButton.MiddleButton:
                return False
            self.board.refused = ""
            if event.buttons() & left:
                taken = self.tool.drag(at, modifiers)
            else:
                self.tool.hover(at)
                taken = self.tool.has_cross
            self._show()
            return taken
        if event.button() != left or self._view.is_panning:
            return False
        self.board.pointer = at
        if event.type() != kinds.MouseButtonRelease:
            self.board.refused = ""
        if event.type() == kinds.MouseButtonPress:
            taken = self.tool.press(at, modifiers)
        elif event.type() == kinds.MouseButtonRelease:
            taken = self.tool.release(at, modifiers)
            if self._one_run and self.tool is self.join_tool:
                self.put_down()
        elif event.type() == kinds.MouseButtonDblClick:
            taken = self.tool.double_click(at)
        else:
            return False
        self._show()
        return taken

    def _is_ours(self, event: QKeyEvent) -> bool:
        """Whether a key belongs to the tools although a menu might know it."""
        key = Qt.Key(event.key())
        plain = not event.modifiers() & ~Qt.KeyboardModifier.ShiftModifier
        return plain and (key == Qt.Key.Key_Escape or key in self.tool.own_keys)

    def _key(self, event: QKeyEvent) -> bool:
        key = Qt.Key(event.key())
        self._read_view()
        self.board.refused = ""
        if key == Qt.Key.Key_Escape:
            return self._escape()
        taken = self.tool.key(event)
        if taken and self.tool.has_cross and self.board.by_keys:
            self._show_cross()
        if not taken and self.tool.has_cross:
            taken = self._cross_key(key, event.modifiers())
        if not taken:
            taken = self._single_key(event)
        if taken:
            self._show()
        return taken

    def _escape(self) -> bool:
        if self.tool.give_up():
            self._show()
            return True
        if self.name != "arrange":
            self.put_down()
            return True
        return False

    def _cross_key(self, key: Qt.Key, modifiers: Qt.KeyboardModifier) -> bool:
        if modifiers & Qt.KeyboardModifier.ControlModifier:
            return False
        self.board.by_keys, self.board.snaps = True, True
        if key in _ENTER:
            self.tool.press(self.board.pointer, modifiers & ~Qt.KeyboardModifier.KeypadModifier)
            return True
        if key not in _ARROWS:
            return False
        # The ghost is snapped, so steps begin on the grid.
        step = MODULE * (5 if modifiers & Qt.KeyboardModifier.ShiftModifier else 1)
        x, y = self.board.snap(self.board.pointer)
        self.board.pointer = (x + step * _ARROWS[key][0], y + step * _ARROWS[key][1])
        self._show_cross()
        self.tool.hover(self.board.pointer)
        return True

    def _single_key(self, event: QKeyEvent) -> bool:
        shift = bool(event.modifiers() & Qt.KeyboardModifier.ShiftModifier)
        if not self.single_keys or event.modifiers() & ~Qt.KeyboardModifier.ShiftModifier:
            return False
        text = "Shift+" * shift + event.text().upper()
        if text in _TOOL_BY_KEY:
            self.take(_TOOL_BY_KEY[text])
        elif text in _KIND_BY_KEY:
            self.take_part(_KIND_BY_KEY[text])
        else:
            return False
        return True

    # Details.

    def _run_dragged(self, end: End) -> None:
        """A run was dragged out of a port: the join tool, for this one run."""
        pointer = self.board.pointer
        self.take("join")
        self.board.pointer = pointer
        self._one_run = True
        self.join_tool.begin(end)
        self.join_tool.press_began(end)

    def _at(self, point: QPointF) -> Point:
        back, _ = self._view.viewportTransform().inverted()
        here = back.map(point)
        return (here.x(), here.y())

    def _read_view(self) -> None:
        self.board.scale = self._view.scale_now()

    def _lead_to_view(self) -> None:
        """Bring the cross into what is seen."""
        seen = QRectF(self._view.viewport().rect())
        if not seen.contains(self._view.viewportTransform().map(QPointF(*self.board.pointer))):
            self.board.pointer = self.board.snap(self._at(seen.center()))
            self.board.by_keys = True

    def _show_cross(self) -> None:
        """Bring the cross into what is seen, with some room round it."""
        here, margin = QPointF(*self.board.pointer), _ROUND_CROSS
        self._view.ensureVisible(QRectF(here, here), margin, margin)

    def _vessel_shown(self) -> None:
        if self._vessel is not self.board.vessel:
            self._vessel = self.board.vessel
            self.tool.vessel_changed()
            self._show()

    def _show(self) -> None:
        self._overlay.update()
        self.said.emit(self.board.refused or self.tool.status())

    def _paint(self, painter: QPainter, scale: float) -> None:
        theme = self._scene.picture.theme
        self.tool.paint(painter, scale, theme)
        if self.tool.has_cross and self.board.by_keys:
            paint_cross(painter, self.board.pointer, scale, theme)
        if self.board.refused:
            paint_words(painter, self.board.refused, self.board.pointer, scale, theme, bad=True)
