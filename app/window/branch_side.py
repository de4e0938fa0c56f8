# SPDX-License-Identifier: MIT
"""What ties the tools that place several parts at once to the window: their pages, actions, settings."""

from __future__ import annotations

import msgspec
from PySide6.QtCore import QObject

from app.panels.branch_form import BranchForm
from app.panels.shown import Shown
from app.panels.tool_page import ToolPage
from app.settings import Settings
from app.translation import tr
from app.window.actions import Actions
from app.window.docks import Docks
from app.window.draw_side import DrawSide
from solver.vessel.edits import BranchSettings, first_settings

#: Names of the tools' actions, in the order of the menu.
SEVERAL = ("draw_branch",)


class BranchSide(QObject):
    """Shows the page of a tool while it is in hand, and keeps what a branch is made of.

    Attributes
    ----------
    form : BranchForm
        What the next branches are made of.
    """

    def __init__(
        self, drawing: DrawSide, docks: Docks, settings: Settings, shown: Shown, actions: Actions
    ) -> None:
        super().__init__(drawing)
        self._docks, self._settings = docks, settings
        self._tools = drawing.tools
        self._tray = docks.parts
        self.form = BranchForm(self._kept(), self._tray.parts, shown)
        self._pages = {
            "branch": ToolPage(tr("Branch with air handler"), self.form),
        }
        for name in SEVERAL:
            tool = name.removeprefix("draw_")
            actions[name].triggered.connect(lambda _checked=False, tool=tool: self._tools.take(tool))
        self.form.changed.connect(self._change)
        self._tray.list_changed.connect(lambda: self.form.set_parts(self._tray.parts))
        self._tools.taken.connect(self._taken)
        self._tools.branch_tool.set_settings(self.form.settings)

    def _taken(self, name: str) -> None:
        page = self._pages.get(name)
        self._docks.properties.hold(page)
        if page is not None:
            self._docks.properties_dock.show()
            self._docks.properties_dock.raise_()

    def _change(self, settings: BranchSettings) -> None:
        self._settings.set("branch", msgspec.json.encode(settings).decode())
        self._tools.branch_tool.set_settings(settings)

    def _kept(self) -> BranchSettings:
        """Return the settings of the session before; the first ones if they cannot be read any more."""
        try:
            return msgspec.json.decode(self._settings.text("branch"), type=BranchSettings)
        except msgspec.DecodeError:
            return first_settings(self._tray.parts)
