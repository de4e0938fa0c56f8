# SPDX-License-Identifier: MIT
"""What ties the tools that place several parts at once to the window: their pages, actions, settings."""

from __future__ import annotations

from typing import TypeVar

import msgspec
from PySide6.QtCore import QObject

from app.canvas.tools.pair import MainSettings
from app.panels.branch_form import BranchForm
from app.panels.cabins_form import CabinsForm
from app.panels.mains_form import MirrorForm, PairForm
from app.panels.shown import Shown
from app.panels.tool_page import ToolPage
from app.settings import Settings
from app.translation import tr
from app.window.actions import Actions
from app.window.docks import Docks
from app.window.draw_side import DrawSide
from solver.vessel.edits import BranchSettings, first_settings

#: Names of the tools' actions, in the order of the menu.
SEVERAL = ("draw_branch", "draw_cabins", "draw_pair", "draw_mirror")

_Kept = TypeVar("_Kept", BranchSettings, MainSettings)


class BranchSide(QObject):
    """Shows the page of a tool while it is in hand, and keeps what it draws with.

    Attributes
    ----------
    form : BranchForm
        What the next branches are made of.
    cabins, pair, mirror : CabinsForm, PairForm, MirrorForm
        What the other tools ask for.
    """

    def __init__(
        self, drawing: DrawSide, docks: Docks, settings: Settings, shown: Shown, actions: Actions
    ) -> None:
        super().__init__(drawing)
        self._drawing, self._docks, self._settings = drawing, docks, settings
        tools, tray = drawing.tools, docks.parts
        self._tools = tools
        self.form = BranchForm(self._kept("branch", first_settings(tray.parts)), tray.parts, shown)
        self.cabins = CabinsForm(tools.cabins_tool)
        self.pair = PairForm(self._kept("mains", MainSettings()), shown)
        self.mirror = MirrorForm(tools.mirror_tool, shown)
        self._branch_page = ToolPage(self.cabins, self.form)
        self._pages = {
            "branch": self._branch_page,
            "cabins": self._branch_page,
            "pair": ToolPage(self.pair),
            "mirror": ToolPage(self.mirror),
        }
        # The panel owns them from the start: a page of nobody would outlive the window.
        for page in self._pages.values():
            docks.properties.addWidget(page)
        for name in SEVERAL:
            tool = name.removeprefix("draw_")
            actions[name].triggered.connect(lambda _checked=False, tool=tool: tools.take(tool))
        self.form.changed.connect(self._take_branch)
        for form in (self.pair, self.mirror):
            form.changed.connect(self._take_mains)
        self.cabins.lay_asked.connect(lambda: self._lay(tools.cabins_tool.lay()))
        self.mirror.lay_asked.connect(lambda: self._lay(tools.mirror_tool.lay()))
        tray.list_changed.connect(lambda: self.form.set_parts(tray.parts))
        tools.taken.connect(self._taken)
        self._hand_out_branch(self.form.settings)
        self._hand_out_mains(self.pair.settings)

    def _taken(self, name: str) -> None:
        page = self._pages.get(name)
        if page is not None:
            page.set_title(_titles()[name])
            self.cabins.setVisible(name == "cabins")
        self._docks.properties.hold(page)
        if page is not None:
            self._docks.properties_dock.show()
            self._docks.properties_dock.raise_()

    def _lay(self, laid: bool) -> None:
        if laid:
            self._drawing.to_canvas()

    def _take_branch(self, settings: BranchSettings) -> None:
        self._keep("branch", settings)
        self._hand_out_branch(settings)

    def _hand_out_branch(self, settings: BranchSettings) -> None:
        for tool in (self._tools.branch_tool, self._tools.cabins_tool):
            tool.set_settings(settings)

    def _take_mains(self, settings: MainSettings) -> None:
        self._keep("mains", settings)
        self._hand_out_mains(settings)

    def _hand_out_mains(self, settings: MainSettings) -> None:
        self.pair.show_settings(settings)
        for tool in (self._tools.pair_tool, self._tools.mirror_tool):
            if tool.settings != settings:
                tool.set_settings(settings)

    def _keep(self, name: str, settings: msgspec.Struct) -> None:
        self._settings.set(name, msgspec.json.encode(settings).decode())

    def _kept(self, name: str, first: _Kept) -> _Kept:
        """Return the settings of the session before; the first ones if they cannot be read any more."""
        try:
            return msgspec.json.decode(self._settings.text(name), type=type(first))
        except msgspec.DecodeError:
            return first


def _titles() -> dict[str, str]:
    return {
        "branch": tr("Whole branch"),
        "cabins": tr("Cabin branches"),
        "pair": tr("Supply and return"),
        "mirror": tr("Return main"),
    }
