# SPDX-License-Identifier: MIT
"""What the user wants and uses: arrows that stand still, a canvas without single keys, the parts of late."""

from __future__ import annotations

from PySide6.QtCore import QObject

from app.canvas.scene import VesselScene
from app.canvas.tools.toolbox import ToolBox
from app.panels.parts_tray import PartsTray
from app.settings import Settings
from app.window.actions import Actions
from app.window.motion import Motion


class Habits(QObject):
    """Keeps canvas, menu and tray in step with the settings."""

    def __init__(
        self, settings: Settings, actions: Actions, scene: VesselScene, tools: ToolBox, tray: PartsTray
    ) -> None:
        super().__init__(tools)
        self._settings, self._actions, self._tools = settings, actions, tools
        self.motion = Motion(settings, self)
        self.motion.changed.connect(scene.set_motion)
        scene.set_motion(self.motion.allowed)
        for choice in ("system", "drift", "still"):
            actions[f"motion_{choice}"].triggered.connect(
                lambda _checked=False, choice=choice: settings.set("motion", choice)
            )
        actions["single_keys"].toggled.connect(lambda on: settings.set("single_keys", on))
        tray.set_recent(settings.texts("recent_parts"))
        tray.recent_changed.connect(lambda texts: settings.set("recent_parts", texts))
        settings.changed.connect(self._show)
        self._show()

    def _show(self, *_what: object) -> None:
        self._actions.check(f"motion_{self._settings.text('motion')}")
        self._tools.single_keys = bool(self._settings.get("single_keys"))
        self._actions["single_keys"].setChecked(self._tools.single_keys)
