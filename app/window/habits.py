# SPDX-License-Identifier: MIT
"""What the user wants otherwise than most: still arrows, no single keys on the canvas, other labels."""

from __future__ import annotations

from PySide6.QtCore import QObject

from app.canvas.scene import VesselScene
from app.canvas.tools.toolbox import ToolBox
from app.settings import Settings
from app.window.actions import Actions
from app.window.motion import Motion


class Habits(QObject):
    """Keeps the canvas and the menu in step with the settings."""

    def __init__(self, settings: Settings, actions: Actions, scene: VesselScene, tools: ToolBox) -> None:
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
