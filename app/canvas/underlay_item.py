# SPDX-License-Identifier: MIT
"""Deck plans under the drawing: pictures at their place, dimmed, quick to paint at any zoom.

On light paper a plan darkens the sheet, on dark paper its inverse lightens it, so that the white of
the plan never hides what lies under it.  A plan that cannot be read is a box with its name.
"""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from PySide6.QtCore import QObject, QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QImage, QPainter, QPen, QPixmap
from PySide6.QtWidgets import QGraphicsItem, QGraphicsScene, QStyleOptionGraphicsItem, QWidget

from app.canvas.tiles import DIMMED
from app.editing.deck_view import DeckLayer
from app.editing.underlays import PictureError, picture_path, read_picture
from app.theme import BASE_PX, BLANK_SHEET, Theme, ui_font
from app.translation import tr
from solver.vessel.vessel import Underlay, Vessel

#: Size of the box that stands for a missing picture [units].
_BOX = (600.0, 360.0)
#: Halvings of a picture that are kept for looking at it from afar.
_HALVINGS = 5
#: Above the rooms, below the runs.
_Z = 0.5


class Plan:
    """A picture in halved sizes, for light and for dark paper."""

    def __init__(self, image: QImage) -> None:
        self.width, self.height = image.width(), image.height()
        self._image: QImage | None = image
        self._made: dict[bool, list[QPixmap]] = {}

    def at(self, pixels_per_pixel: float, *, dark: bool) -> tuple[QPixmap, int]:
        """Return the picture for a zoom [px on screen a px of the picture], and how often it is halved."""
        if dark not in self._made:
            self._made[dark] = self._halvings(dark=dark)
        made, times = self._made[dark], 0
        while pixels_per_pixel < 0.5 and times + 1 < len(made):
            pixels_per_pixel *= 2
            times += 1
        return made[times], times

    def _halvings(self, *, dark: bool) -> list[QPixmap]:
        assert self._image is not None
        on_white = QImage(self._image.size(), QImage.Format.Format_RGB32)
        on_white.fill(QColor(BLANK_SHEET))
        painter = QPainter(on_white)
        painter.drawImage(0, 0, self._image)
        painter.end()
        if dark:
            on_white.invertPixels()
        made = [QPixmap.fromImage(on_white)]
        for _ in range(_HALVINGS):
            width, height = on_white.width() // 2, on_white.height() // 2
            if min(width, height) < 1:
                break
            on_white = on_white.scaled(
                width,
                height,
                Qt.AspectRatioMode.IgnoreAspectRatio,
                Qt.TransformationMode.SmoothTransformation,
            )
            made.append(QPixmap.fromImage(on_white))
        return made


class UnderlayItem(QGraphicsItem):
    """One picture on the scene; ``plan`` is None where it cannot be read."""

    def __init__(self, underlay: Underlay, plan: Plan | None, look: Theme, dimmed: bool) -> None:
        super().__init__()
        self._underlay, self._plan, self._theme = underlay, plan, look
        self._strength = underlay.opacity_percent / 100 * (DIMMED if dimmed else 1.0)
        width, height = _BOX
        if plan is not None:
            width = plan.width * underlay.units_per_pixel
            height = plan.height * underlay.units_per_pixel
        self._rect = QRectF(*underlay.at, width, height)
        self.setZValue(_Z)
        self.setFlag(QGraphicsItem.GraphicsItemFlag.ItemUsesExtendedStyleOption)
        self.setAcceptedMouseButtons(Qt.MouseButton.NoButton)

    def boundingRect(self) -> QRectF:
        return self._rect

    def paint(
        self, painter: QPainter, option: QStyleOptionGraphicsItem, widget: QWidget | None = None
    ) -> None:
        if self._plan is None:
            self._paint_box(painter)
            return
        scale = painter.worldTransform().m11() * self._underlay.units_per_pixel
        pixmap, times = self._plan.at(scale, dark=self._theme.dark)
        exposed = option.exposedRect.intersected(self._rect)
        across = pixmap.width() / self._rect.width()
        down = pixmap.height() / self._rect.height()
        source = QRectF(
            (exposed.left() - self._rect.left()) * across,
            (exposed.top() - self._rect.top()) * down,
            exposed.width() * across,
            exposed.height() * down,
        )
        painter.save()
        painter.setOpacity(self._strength)
        painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform, scale * 2**times < 4)
        mode = QPainter.CompositionMode
        painter.setCompositionMode(
            mode.CompositionMode_Screen if self._theme.dark else mode.CompositionMode_Multiply
        )
        painter.drawPixmap(exposed, pixmap, source)
        painter.restore()

    def _paint_box(self, painter: QPainter) -> None:
        pen = QPen(QColor(self._theme.warn), 1.5, Qt.PenStyle.DashLine)
        pen.setCosmetic(True)
        painter.save()
        painter.setPen(pen)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawRect(self._rect.adjusted(1, 1, -1, -1))
        painter.setFont(ui_font(BASE_PX))
        flags = Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignTop | Qt.TextFlag.TextWordWrap
        words = tr("Deck plan not found or not readable: {0}").format(self._underlay.file)
        painter.drawText(self._rect.adjusted(16, 12, -16, -12), flags, words)
        painter.restore()


class UnderlayLayer(QObject):
    """All pictures of a vessel on a scene; each file is read once while it does not change.

    Attributes
    ----------
    problems : tuple of str
        What is wrong with pictures that cannot be shown.
    """

    def __init__(self, scene: QGraphicsScene) -> None:
        super().__init__(scene)
        self._scene = scene
        self._items: dict[int, UnderlayItem] = {}
        self._plans: dict[tuple[object, ...], Plan | str] = {}
        self._shown: tuple[object, ...] = ()
        self.problems: tuple[str, ...] = ()

    def show(
        self,
        vessel: Vessel,
        vessel_path: Path | None,
        look: Theme,
        decks: Mapping[str, DeckLayer],
    ) -> None:
        """Show the vessel's pictures, those of dimmed decks weaker, those of hidden ones not at all."""
        shown = (vessel.underlays, vessel_path, look.name, dict(decks))
        if shown == self._shown:
            return
        self._shown = shown
        for item in self._items.values():
            self._scene.removeItem(item)
        self._items.clear()
        problems = []
        used: dict[tuple[object, ...], Plan | str] = {}
        for index, underlay in enumerate(vessel.underlays):
            key, plan = self._plan(underlay, vessel_path)
            used[key] = plan
            if isinstance(plan, str):
                problems.append(plan)
            layer = decks.get(underlay.deck, "shown")
            if layer == "hidden":
                continue
            ready = plan if isinstance(plan, Plan) else None
            item = UnderlayItem(underlay, ready, look, layer == "dimmed")
            self._items[index] = item
            self._scene.addItem(item)
        # What is no longer used is let go; a plan takes a lot of memory.
        self._plans = used
        self.problems = tuple(problems)

    def extent(self) -> QRectF:
        """Return the area the pictures cover; empty without any."""
        area = QRectF()
        for item in self._items.values():
            area = area.united(item.boundingRect())
        return area

    def index_at(self, point: QPointF) -> int | None:
        """Return which of the shown pictures lies at a point, the last one on top."""
        for index in reversed(self._items):
            if self._items[index].boundingRect().contains(point):
                return index
        return None

    def _plan(self, underlay: Underlay, vessel_path: Path | None) -> tuple[tuple[object, ...], Plan | str]:
        path = picture_path(underlay.file, vessel_path)
        try:
            stamp = path.stat().st_mtime_ns
        except OSError:
            stamp = 0
        key = (str(path), stamp, underlay.page)
        if key in self._plans:
            return key, self._plans[key]
        try:
            return key, Plan(read_picture(path, underlay.page))
        except PictureError as error:
            return key, str(error)
