# SPDX-License-Identifier: MIT
"""Tools in hand for one action on a deck plan: two points for its scale, a drag to move it.

They take the view's events before the view does and give it back when done or given up.
"""

from __future__ import annotations

from PySide6.QtCore import QEvent, QObject, QPointF, QRectF, Qt, Signal
from PySide6.QtGui import QColor, QKeyEvent, QMouseEvent, QPainter, QPen
from PySide6.QtWidgets import QGraphicsItem, QGraphicsView, QStyleOptionGraphicsItem, QWidget

from app.canvas.scene import VesselScene

#: Step of the arrow keys, and with Shift [units].
_STEP, _FINE_STEP = 10.0, 1.0
#: Arm of the crosses [px].
_ARM = 9.0
_EVERYWHERE = QRectF(-1e7, -1e7, 2e7, 2e7)

_ARROWS = {
    Qt.Key.Key_Left: QPointF(-1, 0),
    Qt.Key.Key_Right: QPointF(1, 0),
    Qt.Key.Key_Up: QPointF(0, -1),
    Qt.Key.Key_Down: QPointF(0, 1),
}


class _Marks(QGraphicsItem):
    """Crosses at points, and the line between the first and the last."""

    def __init__(self) -> None:
        super().__init__()
        self.points: list[QPointF] = []
        self.colour = QColor()
        self.setZValue(100)
        self.setAcceptedMouseButtons(Qt.MouseButton.NoButton)

    def boundingRect(self) -> QRectF:
        return _EVERYWHERE

    def paint(
        self, painter: QPainter, option: QStyleOptionGraphicsItem, widget: QWidget | None = None
    ) -> None:
        pen = QPen(self.colour, 2)
        pen.setCosmetic(True)
        painter.setPen(pen)
        arm = _ARM / painter.worldTransform().m11()
        for point in self.points:
            painter.drawLine(point - QPointF(arm, 0), point + QPointF(arm, 0))
            painter.drawLine(point - QPointF(0, arm), point + QPointF(0, arm))
        if len(self.points) > 1:
            painter.drawLine(self.points[0], self.points[-1])


class _OverView(QObject):
    """Takes the events of a view while it is in hand.

    Attributes
    ----------
    given_up : Signal
        Escape was pressed, or ``give_up`` called.
    """

    given_up = Signal()

    def __init__(self, scene: VesselScene, view: QGraphicsView) -> None:
        super().__init__(view)
        self._scene, self._view = scene, view
        self._marks = _Marks()
        self.in_hand = False

    def start(self) -> None:
        """Take the view's events."""
        if self.in_hand:
            return
        self.in_hand = True
        self._marks = _Marks()
        self._marks.colour = QColor(self._scene.picture.theme.accent)
        self._scene.addItem(self._marks)
        self._view.installEventFilter(self)
        self._view.viewport().installEventFilter(self)
        self._view.setFocus(Qt.FocusReason.OtherFocusReason)
        self._view.viewport().setCursor(Qt.CursorShape.CrossCursor)

    def give_up(self) -> None:
        """Give the view back, nothing done."""
        if self.in_hand:
            self._leave()
            self.given_up.emit()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        kinds = QEvent.Type
        if isinstance(event, QKeyEvent) and watched is self._view:
            if event.type() == kinds.ShortcutOverride and self._knows(Qt.Key(event.key())):
                event.accept()
                return True
            return event.type() == kinds.KeyPress and self._key(event)
        if isinstance(event, QMouseEvent) and watched is self._view.viewport():
            left = event.button() == Qt.MouseButton.LeftButton
            here = self._at(event.position())
            if event.type() in (kinds.MouseButtonPress, kinds.MouseButtonDblClick) and left:
                self._pressed(here)
                return True
            if event.type() == kinds.MouseButtonRelease and left:
                self._released(here)
                return True
            if event.type() == kinds.MouseMove and not event.buttons() & Qt.MouseButton.MiddleButton:
                self._moved(here)
                return True
        return False

    def _at(self, point: QPointF) -> QPointF:
        back, _ = self._view.viewportTransform().inverted()
        return back.map(point)

    def _leave(self) -> None:
        self.in_hand = False
        self._view.removeEventFilter(self)
        self._view.viewport().removeEventFilter(self)
        self._scene.removeItem(self._marks)
        self._view.viewport().setCursor(Qt.CursorShape.ArrowCursor)

    def _knows(self, key: Qt.Key) -> bool:
        return key in _ARROWS or key in (Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_Escape)

    def _key(self, event: QKeyEvent) -> bool:
        key = Qt.Key(event.key())
        if key == Qt.Key.Key_Escape:
            self.give_up()
        elif key in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self._entered()
        elif key in _ARROWS:
            fine = event.modifiers() & Qt.KeyboardModifier.ShiftModifier
            self._stepped(_ARROWS[key] * (_FINE_STEP if fine else _STEP))
        else:
            return False
        return True

    def _pressed(self, here: QPointF) -> None: ...

    def _released(self, here: QPointF) -> None: ...

    def _moved(self, here: QPointF) -> None: ...

    def _entered(self) -> None: ...

    def _stepped(self, way: QPointF) -> None: ...


class ScaleTool(_OverView):
    """Asks for two points: clicked, or led to with the arrow keys and set with Enter.

    Attributes
    ----------
    moved : Signal(QPointF, QPointF)
        The first point and where the second would be.
    measured : Signal(QPointF, QPointF)
        Both points are set; the marks stay until ``give_up`` or ``done``.
    """

    moved = Signal(QPointF, QPointF)
    measured = Signal(QPointF, QPointF)

    def __init__(self, scene: VesselScene, view: QGraphicsView) -> None:
        super().__init__(scene, view)
        self._set: list[QPointF] = []
        self._cursor = QPointF()

    def start(self) -> None:
        """Ask for the first point, beginning in the middle of what is seen."""
        super().start()
        self._set = []
        self._cursor = self._at(QPointF(self._view.viewport().rect().center()))
        self._show()

    def done(self) -> None:
        """Give the view back once the scale is set."""
        if self.in_hand:
            self._leave()

    def _pressed(self, here: QPointF) -> None:
        self._cursor = here
        self._entered()

    def _moved(self, here: QPointF) -> None:
        if len(self._set) < 2:
            self._cursor = here
            self._show()

    def _stepped(self, way: QPointF) -> None:
        if len(self._set) < 2:
            self._cursor += way
            self._view.ensureVisible(QRectF(self._cursor, self._cursor), 40, 40)
            self._show()

    def _entered(self) -> None:
        if len(self._set) == 2 or (self._set and self._set[0] == self._cursor):
            return
        self._set.append(QPointF(self._cursor))
        self._show()
        if len(self._set) == 2:
            self.measured.emit(self._set[0], self._set[1])

    def _show(self) -> None:
        self._marks.points = list(self._set) if len(self._set) == 2 else [*self._set, self._cursor]
        self._marks.update()
        if self._set:
            self.moved.emit(self._set[0], self._marks.points[-1])


class MoveTool(_OverView):
    """Moves a deck plan: dragged, or with the arrow keys; Enter ends it.

    Attributes
    ----------
    dragged : Signal(float, float, bool)
        Way since the last signal [units]; True with the last one of a drag or press of a key.
    ended : Signal
    """

    dragged = Signal(float, float, bool)
    ended = Signal()

    def __init__(self, scene: VesselScene, view: QGraphicsView) -> None:
        super().__init__(scene, view)
        self._from: QPointF | None = None

    def start(self) -> None:
        """Wait for the drag."""
        super().start()
        self._view.viewport().setCursor(Qt.CursorShape.SizeAllCursor)

    def _pressed(self, here: QPointF) -> None:
        self._from = here

    def _moved(self, here: QPointF) -> None:
        if self._from is not None:
            way, self._from = here - self._from, here
            self.dragged.emit(way.x(), way.y(), False)

    def _released(self, here: QPointF) -> None:
        if self._from is not None:
            way, self._from = here - self._from, None
            self.dragged.emit(way.x(), way.y(), True)

    def _stepped(self, way: QPointF) -> None:
        self.dragged.emit(way.x(), way.y(), True)

    def _entered(self) -> None:
        self._leave()
        self.ended.emit()
