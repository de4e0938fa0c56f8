# SPDX-License-Identifier: MIT
"""What ties the drawing tools to the window: edits, actions, the clipboard, the list of ports."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QBuffer, QIODevice, QMimeData, QObject, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QGuiApplication, QPainter
from PySide6.QtSvg import QSvgGenerator

from app.canvas.scene import VesselScene
from app.canvas.tools.join import run_defaults
from app.canvas.tools.toolbox import ToolBox
from app.canvas.view import VesselView
from app.editing.clipboard import CLIP_MIME, clip_text, read_clip, table_of
from app.editing.deck_view import DeckView
from app.editing.document import Document
from app.panels.connect_list import ConnectList
from app.panels.part_groups import tool_names
from app.panels.parts_tray import PartsTray
from app.panels.sheet_form import SheetForm
from app.panels.shown import Shown
from app.panels.words import kind_names
from app.translation import tr
from app.window.actions import Actions
from app.window.docks import Docks
from app.window.notice_bar import NoticeBar
from app.window.status_bar import StatusBar
from app.window.tray_drop import TrayDrop
from solver.errors import EditError, FarcabinError
from solver.vessel.components import KINDS
from solver.vessel.edits import Clip, Pasted, clip, connect, delete, paste
from solver.vessel.edits.joining import free_ports, port_words
from solver.vessel.fields import Point
from solver.vessel.run import End
from solver.vessel.vessel import Vessel

#: Room round what is copied as a picture [units].
_ROUND = 20.0


class DrawSide(QObject):
    """The drawing tools in the window.

    Attributes
    ----------
    tools : ToolBox
    begun : Signal
        A tool was taken in hand, so the sheet has to be seen.
    """

    begun = Signal()

    def __init__(
        self,
        document: Document,
        scene: VesselScene,
        view: VesselView,
        actions: Actions,
        notices: NoticeBar,
        status: StatusBar,
        shown: Shown,
    ) -> None:
        super().__init__(view)
        self._document, self._scene, self._view = document, scene, view
        self._actions, self._notices, self._status = actions, notices, status
        self._shown = shown
        self.tools = ToolBox(scene, view)
        self.connect_list = ConnectList(view.viewport())
        self.tools.edit_asked.connect(self._edit)
        self.tools.said.connect(self._say)
        self.tools.taken.connect(self._taken)
        self.card = SheetForm(document, shown, view)
        self.card.closed.connect(self.to_canvas)
        scene.edit_asked.connect(self.edit_here)
        actions["edit_here"].triggered.connect(
            lambda _checked=False: self.edit_here((shown.tags or ("",))[-1])
        )
        self._drop = TrayDrop(view)
        self._drop.part_dragged.connect(self.take_part)
        self._drop.part_left.connect(self.tools.put_down)
        self.connect_list.chosen.connect(self._join)
        self.connect_list.given_up.connect(self.to_canvas)
        plain: dict[str, Callable[[], object]] = {
            "draw_select": self.tools.put_down,
            "draw_join": lambda: self.tools.take("join"),
            "draw_room": lambda: self.tools.take("room"),
            "draw_bend": lambda: self.tools.take("bend"),
            "connect_to": self.connect_to,
            "copy": self.copy,
            "cut": self.cut,
            "paste": self.paste,
        }
        self._has_begun = False
        self.begun.connect(lambda: self._begin(True))
        document.opened.connect(lambda: self._begin(False))
        for name, act in plain.items():
            actions[name].triggered.connect(lambda _checked=False, act=act: act())
        for kind in kind_names():
            if kind != "run":
                actions[f"place_{kind}"].triggered.connect(
                    lambda _checked=False, kind=kind: self.take_part(kind)
                )
        shown.selection_changed.connect(self._enable)
        document.changed.connect(self._enable)
        self._enable()

    @property
    def has_begun(self) -> bool:
        """Whether the user has taken something in hand since this vessel was opened."""
        return self._has_begun

    def _begin(self, begun: bool) -> None:
        self._has_begun = begun

    @property
    def is_drawing(self) -> bool:
        """Whether a drawing tool is in hand."""
        return self.tools.name != "arrange"

    def follow(self, decks: DeckView, tray: PartsTray) -> None:
        """Let new parts go to the current deck and models come from the tray's list, which keeps the last."""

        def show() -> None:
            self.tools.board.deck, self.tools.board.parts = decks.current, tray.parts

        def remember(name: str) -> None:
            if name == "place":
                tray.remember(self.tools.place_tool.kind, self.tools.place_tool.model)
            elif name in tool_names():
                tray.remember(name)

        decks.changed.connect(show)
        tray.list_changed.connect(show)
        self.tools.taken.connect(remember)
        show()

    def begin(self, docks: Docks) -> None:
        """Show the empty sheet with the list of parts beside it and the keyboard on it."""
        self.begun.emit()
        docks.parts_dock.raise_()
        self.to_canvas()
        self._status.showMessage(
            tr("Take a part from the list, or press its key: C chiller, Shift+P pair of mains, B branch.")
        )

    def take_part(self, kind: str, model: str = "") -> None:
        """Take a part in hand, or a tool that places several at once."""
        if kind in KINDS:
            self.tools.take_part(kind, model)
        else:
            self.tools.take(kind)
        self.to_canvas()

    def edit_here(self, tag: str = "", on_tag: bool = False) -> None:
        """Edit a part's tag and main value beside it, in view; nothing happens without a part."""
        place = self._scene.place_of(tag)
        if tag and not place.isNull():
            self._view.ensureVisible(place)
            corners = self._view.mapFromScene(place).boundingRect()
            self.card.edit(tag, corners, on_tag=on_tag)

    def connect_to(self) -> None:
        """Ask for two ports and join them; those of what is selected first."""
        selected = self._scene.selected_tags()
        free = free_ports(self._document.vessel)
        self.connect_list.ask(free, [end for end in free if end.tag in selected])

    def copy(self) -> bool:
        """Put what is selected on the clipboard: as parts, as a picture, as lines of a spreadsheet.

        What cannot be copied is told; False then.
        """
        try:
            copied = clip(self._document.vessel, self._shown.tags)
        except EditError as error:
            self._notices.tell(str(error), "note")
            return False
        data = QMimeData()
        data.setData(CLIP_MIME, clip_text(copied))
        data.setData("image/svg+xml", self._picture(copied))
        data.setText(table_of(copied))
        QGuiApplication.clipboard().setMimeData(data)
        return True

    def cut(self) -> None:
        """Copy what is selected, then delete it."""
        tags = self._shown.tags
        if self.copy():
            self._edit(tr("Cut {0}").format(_told(tags)), lambda vessel: delete(vessel, tags))

    def paste(self) -> None:
        """Put the parts on the clipboard at the pointer."""
        data = QGuiApplication.clipboard().mimeData()
        if not data.hasFormat(CLIP_MIME):
            self._notices.tell(tr("The clipboard holds no parts of a vessel."), "note")
            return
        try:
            copied = read_clip(bytes(data.data(CLIP_MIME).data()))
        except FarcabinError as error:
            self._notices.tell(str(error), "bad")
            return
        self.begun.emit()
        self._paste(copied, self.tools.board.snap(self.tools.board.pointer))

    # Details.

    def _paste(self, copied: Clip, at: Point) -> None:
        made: list[Pasted] = []

        def change(vessel: Vessel) -> Vessel:
            made.append(paste(vessel, copied, at))
            return made[-1].vessel

        parts = [part.tag for part in (*copied.components, *copied.cabins)]
        if self._edit(tr("Paste {0}").format(_told(parts)), change):
            new = made[-1]
            self._shown.select(new.tags.values())
            for words, what in (
                (tr("Left open, because they led to parts not copied: {0}."), map(port_words, new.dangling)),
                (tr("Left behind: {0}."), new.dropped),
            ):
                if told := ", ".join(what):
                    self._notices.tell(words.format(told), "note")

    def _picture(self, copied: Clip) -> bytes:
        """Return what is copied as an SVG drawing."""
        area = QRectF()
        for part in (*copied.components, *copied.runs, *copied.cabins):
            area = area.united(self._scene.place_of(part.tag))
        area.adjust(-_ROUND, -_ROUND, _ROUND, _ROUND)
        buffer = QBuffer()
        buffer.open(QIODevice.OpenModeFlag.WriteOnly)
        svg = QSvgGenerator()
        svg.setOutputDevice(buffer)
        svg.setSize(QSize(round(area.width()), round(area.height())))
        svg.setViewBox(QRectF(0, 0, area.width(), area.height()))
        selected = self._shown.tags
        self._scene.select_tags(())
        painter = QPainter(svg)
        self._scene.render(painter, QRectF(0, 0, area.width(), area.height()), area)
        painter.end()
        self._shown.select(selected)
        return bytes(buffer.data().data())

    def _join(self, start: End, end: End) -> None:
        def change(vessel: Vessel) -> Vessel:
            return connect(vessel, start, end, like=run_defaults(vessel))

        if self._edit(tr("Join {0} to {1}").format(start.tag, end.tag), change):
            self._scene.select_tags((self._document.vessel.runs[-1].tag,))
        self.to_canvas()

    def _edit(self, name: str, change: Callable[[Vessel], Vessel]) -> bool:
        try:
            return self._document.edit(name, change)
        except FarcabinError as error:
            self.tools.refuse(str(error))
            return False

    def _say(self, text: str) -> None:
        if text:
            self._status.showMessage(text)
        elif not self.is_drawing:
            self._status.clearMessage()

    def _taken(self, name: str) -> None:
        action = {"arrange": "draw_select", "place": f"place_{self.tools.place_tool.kind}"}
        self._actions.check(action.get(name, f"draw_{name}"))
        if name != "arrange":
            self.begun.emit()
            self.to_canvas()

    def to_canvas(self) -> None:
        """Give the keyboard to the canvas."""
        self._view.setFocus(Qt.FocusReason.OtherFocusReason)

    def _enable(self, *_what: object) -> None:
        selected = bool(self._shown.tags)
        for name in ("copy", "cut", "edit_here"):
            self._actions[name].setEnabled(selected)
        self._actions["connect_to"].setEnabled(bool(self._document.vessel.components))


def _told(tags: tuple[str, ...] | list[str]) -> str:
    return tags[0] if len(tags) == 1 else tr("{0} parts").format(len(tags))
