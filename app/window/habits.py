# SPDX-License-Identifier: MIT
"""What the user wants and uses: still arrows, no single keys, labels of heat, the parts of late."""

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
        self._settings, self._actions, self._scene, self._tools = settings, actions, scene, tools
        self.motion = Motion(settings, self)
        self.motion.changed.connect(scene.set_motion)
        scene.set_motion(self.motion.allowed)
        for choice in ("system", "drift", "still"):
            actions[f"motion_{choice}"].triggered.connect(
                lambda _checked=False, choice=choice: settings.set("motion", choice)
            )
        for choice in ("near", "far", "never"):
            actions[f"cooling_{choice}"].triggered.connect(
                lambda _checked=False, choice=choice: settings.set("cooling", choice)
            )
        actions["single_keys"].toggled.connect(lambda on: settings.set("single_keys", on))
        tray.set_recent(settings.texts("recent_parts"))
        tray.recent_changed.connect(lambda texts: settings.set("recent_parts", texts))
        settings.changed.connect(self._show)
        self._show()

    def _show(self, *_what: object) -> None:
        cooling = self._settings.text("cooling")
        self._actions.check(f"cooling_{cooling}")
        if self._scene.picture.cooling != cooling:
            self._scene.set_cooling(cooling)
        self._actions.check(f"motion_{self._settings.text('motion')}")
        self._tools.single_keys = bool(self._settings.get("single_keys"))
        self._actions["single_keys"].setChecked(self._tools.single_keys)
