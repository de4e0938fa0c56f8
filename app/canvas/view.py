# SPDX-License-Identifier: MIT
"""The view: pan, zoom, fit, selection by mouse and keys.

Wheel pans, Ctrl and wheel zoom at the pointer, middle button or Space drags the sheet, two fingers
pinch.  Keys: ``+`` ``-`` ``0`` ``9`` zoom in, out, to actual size, to fit; arrows go along the pipes,
with Shift they move the sheet; Enter opens, Escape lets go.
"""

from __future__ import annotations

from collections.abc import Iterable

from PySide6.QtCore import QEvent, QPoint, QPointF, QRect, QRectF, Qt
from PySide6.QtGui import (
    QColor,
    QKeyEvent,
    QMouseEvent,
    QNativeGestureEvent,
    QPainter,
    QPen,
    QResizeEvent,
    QTransform,
    QWheelEvent,
)
from PySide6.QtWidgets import QFrame, QGestureEvent, QGraphicsView, QPinchGesture, QWidget

from app.canvas.corners import Corners
from app.canvas.fitting import LABEL_MARGIN, best_fit
from app.canvas.scene import VesselScene
from app.canvas.tools.select import SelectTool

#: Zoom [px a unit]: least, largest, and the largest that fitting chooses by itself.
LEAST_SCALE, LARGEST_SCALE = 0.02, 8.0
_FIT_LARGEST = 1.6
#: Factor of one step of zoom, and of one degree of the wheel's eighths.
_STEP = 1.25
_WHEEL = 1.0016
#: Way of one press of Shift and an arrow [px].
_PAN = 80

_ARROWS = {
    Qt.Key.Key_Left: (-1.0, 0.0),
    Qt.Key.Key_Right: (1.0, 0.0),
    Qt.Key.Key_Up: (0.0, -1.0),
    Qt.Key.Key_Down: (0.0, 1.0),
}


class VesselView(QGraphicsView):
    """Shows a ``VesselScene``."""

    def __init__(self, scene: VesselScene, parent: QWidget | None = None) -> None:
        super().__init__(scene, parent)
        self._scene = scene
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setViewportUpdateMode(QGraphicsView.ViewportUpdateMode.MinimalViewportUpdate)
        self.setOptimizationFlag(QGraphicsView.OptimizationFlag.DontSavePainterState)
        self.setRenderHints(QPainter.RenderHint.Antialiasing | QPainter.RenderHint.TextAntialiasing)
        self.setTransformationAnchor(QGraphicsView.ViewportAnchor.NoAnchor)
        self.setResizeAnchor(QGraphicsView.ViewportAnchor.AnchorViewCenter)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setMouseTracking(True)
        self.viewport().setMouseTracking(True)
        self.viewport().grabGesture(Qt.GestureType.PinchGesture)
        self._tool = SelectTool(scene, lambda rect: self._to_scene(rect))
        self._corners = Corners(self, scene)
        self._dragged_from: QPoint | None = None
        self._space = False
        self._wants_fit = True
        scene.notes_changed.connect(self._corners.refresh)
        scene.extent_changed.connect(self._leave_room)

    # Zoom.

    def scale_now(self) -> float:
        """Return the zoom [px a unit]."""
        return self.transform().m11()

    def hold(self) -> None:
        """Keep zoom and place as they are while the drawing grows."""
        self._wants_fit = False
        self._leave_room()

    @property
    def is_panning(self) -> bool:
        """Whether the mouse moves the sheet, or would if pressed."""
        return self._space or self._dragged_from is not None

    def fit(self) -> None:
        """Show the whole drawing, clear of title block and legend."""
        self._wants_fit = True
        area = self._scene.extent()
        self._fit_to(area, LABEL_MARGIN, 1.0 if area.isEmpty() else _FIT_LARGEST)

    def zoom_to(self, tags: Iterable[str]) -> None:
        """Show some parts large, with what lies round them; nothing happens if there are none."""
        area = QRectF()
        for tag in tags:
            area = area.united(self._scene.place_of(tag))
        if not area.isEmpty():
            self._wants_fit = False
            self._fit_to(area.adjusted(-60, -60, 60, 60), (0.0, 0.0), _FIT_LARGEST)

    def zoom_in(self) -> None:
        """Zoom in by one step about the middle."""
        self.zoom(_STEP)

    def zoom_out(self) -> None:
        """Zoom out by one step about the middle."""
        self.zoom(1 / _STEP)

    def actual(self) -> None:
        """Show one unit of the drawing as one pixel."""
        self.zoom(1 / self.scale_now())

    def zoom(self, factor: float, at: QPointF | None = None) -> None:
        """Zoom by a factor; the point ``at`` of the viewport (its middle if None) stays where it is."""
        self._wants_fit = False
        at = at or QRectF(self.viewport().rect()).center()
        scale = min(max(self.scale_now() * factor, LEAST_SCALE), LARGEST_SCALE)
        fixed = self._at(at)
        middle = QRectF(self.viewport().rect()).center()
        self._show(
            QPointF(fixed.x() + (middle.x() - at.x()) / scale, fixed.y() + (middle.y() - at.y()) / scale),
            scale,
        )

    def pan(self, dx: float, dy: float) -> None:
        """Move the sheet by so many pixels."""
        self._wants_fit = False
        bars = self.horizontalScrollBar(), self.verticalScrollBar()
        bars[0].setValue(bars[0].value() - round(dx))
        bars[1].setValue(bars[1].value() - round(dy))

    # Events.

    def wheelEvent(self, event: QWheelEvent) -> None:
        delta = event.angleDelta()
        if event.modifiers() & Qt.KeyboardModifier.ControlModifier:
            self.zoom(_WHEEL ** (delta.y() or delta.x()), event.position())
        else:
            move = event.pixelDelta() if not event.pixelDelta().isNull() else delta
            if event.modifiers() & Qt.KeyboardModifier.ShiftModifier and not move.x():
                move = move.transposed()
            self.pan(move.x(), move.y())
        event.accept()

    def mousePressEvent(self, event: QMouseEvent) -> None:
        middle = event.button() == Qt.MouseButton.MiddleButton
        if middle or (self._space and event.button() == Qt.MouseButton.LeftButton):
            self._dragged_from = event.position().toPoint()
            self.viewport().setCursor(Qt.CursorShape.ClosedHandCursor)
        elif event.button() == Qt.MouseButton.LeftButton:
            self._tool.press(event)
        event.accept()

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        here = event.position().toPoint()
        if self._dragged_from is not None:
            way = here - self._dragged_from
            self._dragged_from = here
            self.pan(way.x(), way.y())
        elif event.buttons() & Qt.MouseButton.LeftButton:
            before = self._tool.band
            self._tool.move(event)
            self._repaint_band(before)
        else:
            self._scene.hover(next(iter(self._scene.tags_at(self._at(event.position()))), ""))
        event.accept()

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        if self._dragged_from is not None:
            self._dragged_from = None
            self._set_cursor()
        elif event.button() == Qt.MouseButton.LeftButton:
            before = self._tool.band
            self._tool.release(event)
            self._repaint_band(before)
        event.accept()

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        at = self._at(event.position())
        tag, on_tag = self._scene.label_at(at)
        tag = tag or next(iter(self._scene.tags_at(at)), "")
        if event.button() == Qt.MouseButton.LeftButton and tag and not self._space:
            self._scene.select_tags((tag,))
            self._scene.edit_asked.emit(tag, on_tag)
        event.accept()

    def leaveEvent(self, event: QEvent) -> None:
        self._scene.hover("")
        super().leaveEvent(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        key = Qt.Key(event.key())
        if key == Qt.Key.Key_Space:
            self._space = True
            self._set_cursor()
        elif key in _ARROWS and not event.modifiers() & Qt.KeyboardModifier.ControlModifier:
            self._go(_ARROWS[key], event.modifiers())
        elif key in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and self._scene.selected_tags():
            self._scene.tag_activated.emit(self._scene.selected_tags()[-1])
        elif key == Qt.Key.Key_Escape:
            self._let_go()
        elif event.text() in ("+", "="):
            self.zoom_in()
        elif event.text() == "-":
            self.zoom_out()
        elif event.text() == "0":
            self.actual()
        elif event.text() == "9":
            self.fit()
        else:
            super().keyPressEvent(event)

    def keyReleaseEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Space and not event.isAutoRepeat():
            self._space = False
            self._set_cursor()
        else:
            super().keyReleaseEvent(event)

    def focusOutEvent(self, event: QEvent) -> None:
        self._space = False
        self._set_cursor()
        super().focusOutEvent(event)  # type: ignore[arg-type]

    def viewportEvent(self, event: QEvent) -> bool:
        if isinstance(event, QNativeGestureEvent):
            if event.gestureType() == Qt.NativeGestureType.ZoomNativeGesture:
                self.zoom(1.0 + event.value(), event.position())
                return True
        elif isinstance(event, QGestureEvent):
            pinch = event.gesture(Qt.GestureType.PinchGesture)
            if isinstance(pinch, QPinchGesture):
                at = self.viewport().mapFromGlobal(pinch.centerPoint().toPoint())
                self.zoom(pinch.scaleFactor(), QPointF(at))
                return True
        return super().viewportEvent(event)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._corners.arrange()
        if self._wants_fit:
            self.fit()
        else:
            self._leave_room()

    def scrollContentsBy(self, dx: int, dy: int) -> None:
        super().scrollContentsBy(dx, dy)
        self._look()

    def drawForeground(self, painter: QPainter, rect: QRectF | QRect) -> None:
        """Paint the band of a selection being drawn."""
        band = self._tool.band
        if band is None:
            return
        theme = self._scene.picture.theme
        fill = QColor(theme.accent)
        fill.setAlphaF(0.12)
        pen = QPen(QColor(theme.accent), 1.5)
        pen.setCosmetic(True)
        painter.setPen(pen)
        painter.setBrush(fill)
        painter.drawRect(self._to_scene(band))

    # Details.

    def _at(self, point: QPointF) -> QPointF:
        """Return the point of the scene under a point of the viewport, between whole pixels too."""
        back, _ = self.viewportTransform().inverted()
        return back.map(point)

    def _to_scene(self, rect: QRect) -> QRectF:
        return QRectF(self._at(QPointF(rect.topLeft())), self._at(QPointF(rect.bottomRight())))

    def _show(self, middle: QPointF, scale: float) -> None:
        """Show a point of the scene in the middle, at a zoom."""
        self.setTransform(QTransform.fromScale(scale, scale))
        self._leave_room(middle)
        self.centerOn(middle)
        self._look()

    def _leave_room(self, middle: QPointF | None = None) -> None:
        """Let the sheet reach a screen beyond the drawing, so that any part of it can be in the middle."""
        if self._wants_fit and middle is None:
            self.fit()
            return
        area = self._scene.extent()
        size, scale = self.viewport().size(), self.scale_now()
        area = area.united(
            QRectF(middle or self._at(QRectF(self.viewport().rect()).center()), QRectF().size())
        )
        dx, dy = size.width() / scale, size.height() / scale
        self.setSceneRect(area.adjusted(-dx, -dy, dx, dy))

    def _fit_to(self, area: QRectF, margin: tuple[float, float], largest: float) -> None:
        taken = self._corners.taken()
        fitted = best_fit(area, QRectF(self.viewport().rect()).size(), taken, margin, largest)
        self._show(*fitted)

    def _look(self) -> None:
        self._scene.look_at(self._to_scene(self.viewport().rect()), self.scale_now())

    def _go(self, direction: tuple[float, float], modifiers: Qt.KeyboardModifier) -> None:
        """Move the selection along the pipes, or with Shift the sheet."""
        if modifiers & Qt.KeyboardModifier.ShiftModifier:
            self.pan(-direction[0] * _PAN, -direction[1] * _PAN)
            return
        tag = self._scene.neighbour(direction)
        if tag is not None:
            self._scene.select_tags((tag,))
            self.ensureVisible(self._scene.place_of(tag), 40, 40)

    def _let_go(self) -> None:
        before = self._tool.band
        if before is None:
            self._scene.select_tags(())
        self._tool.give_up()
        self._repaint_band(before)

    def _repaint_band(self, before: QRect | None) -> None:
        for band in (before, self._tool.band):
            if band is not None:
                self.viewport().update(band.adjusted(-3, -3, 3, 3))

    def _set_cursor(self) -> None:
        self.viewport().setCursor(
            Qt.CursorShape.OpenHandCursor if self._space else Qt.CursorShape.ArrowCursor
        )
