# SPDX-License-Identifier: MIT
"""Title block and legend float in the lower corners of the view and let the mouse through."""

from __future__ import annotations

from typing import Protocol

from PySide6.QtCore import QPointF, QRectF, QSize, QSizeF, Qt
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QWidget

from app.canvas.scene import VesselScene
from app.canvas.title_block import TitleBlock
from app.theme import SPACE

#: Distance from the edges of the view and from each other [px].
_MARGIN = 1.5 * SPACE
#: A view smaller than this has compact notes [px].
_SMALL = (880, 620)


class _Note(Protocol):
    def size(self) -> QSizeF: ...

    def paint(self, painter: QPainter, left: float, top: float) -> None: ...


class _Corner(QWidget):
    """Shows one note."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
        self._note: _Note | None = None

    def show_note(self, note: _Note) -> None:
        """Show another note; the widget takes its size."""
        self._note = note
        self.resize(QSize(round(note.size().width()), round(note.size().height())))
        self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        if self._note is not None:
            painter = QPainter(self)
            self._note.paint(painter, 0, 0)
            painter.end()


class Corners:
    """The two notes of a view.

    Parameters
    ----------
    view : QWidget
        Holds them above its viewport.
    scene : VesselScene
    """

    def __init__(self, view: QWidget, scene: VesselScene) -> None:
        self._view, self._scene = view, scene
        self._title, self._legend = _Corner(view), _Corner(view)
        self._compact = False
        self._told: tuple[object, ...] = ()
        self.refresh()

    def refresh(self) -> None:
        """Show what the scene says now."""
        picture = self._scene.picture
        title, theme = self._scene.title(), picture.theme
        told = (title, theme, self._compact, picture.behind, picture.results is None, picture.overlay)
        if told == self._told:
            return
        self._told = told
        self._title.show_note(TitleBlock(title, theme, compact=self._compact))
        self._legend.show_note(self._scene.legend(compact=self._compact))
        self.arrange()

    def arrange(self) -> None:
        """Put title block and legend into the lower corners; one above the other where it is narrow."""
        small = self._view.width() < _SMALL[0] or self._view.height() < _SMALL[1]
        if small != self._compact:
            self._compact = small
            self.refresh()
            return
        width, height = self._view.width(), self._view.height()
        title, legend = self._title, self._legend
        title.move(round(width - _MARGIN - title.width()), round(height - _MARGIN - title.height()))
        side_by_side = title.width() + legend.width() + 3 * _MARGIN <= width
        y = height - _MARGIN - legend.height() - (0 if side_by_side else title.height() + _MARGIN)
        legend.move(round(_MARGIN), round(y))
        # A view with no room for more than the drawing keeps the drawing.
        title.setVisible(title.width() + 2 * _MARGIN <= width and 5 * title.height() <= height)
        legend.setVisible(title.isVisibleTo(self._view) and 2 * (title.height() + legend.height()) <= height)

    def taken(self) -> list[QRectF]:
        """Return the areas of the view that the notes cover [px]."""
        return [
            QRectF(QPointF(corner.pos()), QSizeF(corner.size()))
            for corner in (self._title, self._legend)
            if corner.isVisibleTo(self._view)
        ]
