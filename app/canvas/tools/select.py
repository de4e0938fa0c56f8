# SPDX-License-Identifier: MIT
"""Selects parts: a click, or a band drawn over them.  Acts on release; Escape gives a band up."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QPoint, QRect, QRectF, Qt
from PySide6.QtGui import QMouseEvent
from PySide6.QtWidgets import QApplication

from app.canvas.scene import VesselScene

_SHIFT, _CONTROL = Qt.KeyboardModifier.ShiftModifier, Qt.KeyboardModifier.ControlModifier


class SelectTool:
    """The tool that is in hand while nothing else is done.

    Parameters
    ----------
    scene : VesselScene
    to_scene : callable
        Turns a rectangle of the viewport into one of the scene.

    Attributes
    ----------
    band : QRect or None
        The band on the viewport while one is drawn.
    """

    def __init__(self, scene: VesselScene, to_scene: Callable[[QRect], QRectF]) -> None:
        self._scene, self._to_scene = scene, to_scene
        self._pressed: QPoint | None = None
        self.band: QRect | None = None

    def press(self, event: QMouseEvent) -> None:
        """Begin a click or a band."""
        self._pressed = event.position().toPoint()

    def move(self, event: QMouseEvent) -> None:
        """Draw the band once the pointer has gone far enough to mean it."""
        if self._pressed is None:
            return
        here = event.position().toPoint()
        far = (here - self._pressed).manhattanLength() >= QApplication.startDragDistance()
        if self.band is not None or far:
            self.band = QRect(self._pressed, here).normalized()

    def release(self, event: QMouseEvent) -> None:
        """Select what was clicked or banded; Shift adds, Ctrl turns one part over."""
        if self._pressed is None:
            return
        if self.band is not None:
            self._select(self._scene.tags_in(self._to_scene(self.band)), event.modifiers())
        else:
            here = self._to_scene(QRect(self._pressed, self._pressed)).topLeft()
            self._select(self._scene.tags_at(here)[:1], event.modifiers())
        self.give_up()

    def give_up(self) -> None:
        """Forget a click or band begun."""
        self._pressed, self.band = None, None

    def _select(self, tags: tuple[str, ...], modifiers: Qt.KeyboardModifier) -> None:
        before = self._scene.selected_tags()
        if modifiers & _CONTROL:
            kept = [tag for tag in before if tag not in tags]
            self._scene.select_tags((*kept, *(tag for tag in tags if tag not in before)))
        elif modifiers & _SHIFT:
            self._scene.select_tags(dict.fromkeys((*before, *tags)))
        else:
            self._scene.select_tags(tags)
