# SPDX-License-Identifier: MIT
"""A plot of curves in the drawing's own ink: axes with units, marks, a reading under the mouse.

The plot knows nothing of pumps; what it shows is a value.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import (
    QColor,
    QFont,
    QFontMetricsF,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QPen,
    QPixmap,
    QPolygonF,
)
from PySide6.QtWidgets import QSizePolicy, QWidget

from app.panels.focus_ring import paint_focus_ring
from app.panels.plot_data import Curve, Note, PlotData, Upright
from app.panels.plot_scale import Scale, decades_scale, fitted_scale, hours_scale, nice_scale
from app.theme import HALF_SPACE, RADIUS, SMALL_PX, SPACE, Theme, ui_font

_LEAST_SIZE = QSize(260, 110)
#: Stands between the values of a reading.
_BETWEEN = " · "


class Plot(QWidget):
    """Paints a plot and reads values under the mouse or, with the arrow keys, from the keyboard."""

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = theme
        self._data = PlotData("", "")
        self._reading_at: float | None = None
        self._dimmed = False
        self.setMouseTracking(True)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self.setMinimumSize(_LEAST_SIZE)

    @property
    def data(self) -> PlotData:
        """What is shown."""
        return self._data

    def set_theme(self, theme: Theme) -> None:
        """Paint in other colours."""
        self._theme = theme
        self.update()

    def show_data(self, data: PlotData, dimmed: bool = False) -> None:
        """Show other curves; ``dimmed`` if they are those of the vessel before the last edit."""
        self._data, self._dimmed = data, dimmed
        self.setAccessibleDescription(data.ring_text or data.empty_text)
        self.update()

    def reading(self) -> str:
        """Return the values of the curves with a name where the mouse or the arrow keys are."""
        if self._reading_at is None:
            return ""
        parts = [f"{self._reading_at:.3g} {_unit(self._data.x_title)}".strip()]
        for curve in self._data.curves:
            value = interpolated(curve.points, self._reading_at)
            if value is not None and curve.name:
                parts.append(f"{curve.name} {self._plain(value):.3g} {_unit(self._data.y_title)}".strip())
        return _BETWEEN.join(parts) if len(parts) > 1 else ""

    def picture(self, scale: float = 2.0) -> QPixmap:
        """Return the plot as a picture, without the reading."""
        pixmap = QPixmap(self.size() * scale)
        pixmap.setDevicePixelRatio(scale)
        pixmap.fill(QColor(self._theme.panel))
        painter = QPainter(pixmap)
        self._paint(painter, None)
        painter.end()
        return pixmap

    def table(self) -> str:
        """Return the curves as tab-separated text, each with its two columns."""
        lines = []
        for curve in self._data.curves:
            lines.append(f"{curve.name}: {self._data.x_title}\t{self._data.y_title}")
            lines.extend(f"{x:.6g}\t{self._plain(y):.6g}" for x, y in curve.points)
        if self._data.ring is not None:
            x, y = self._data.ring
            lines.append(f"{self._data.ring_text}\n{x:.6g}\t{y:.6g}")
        return "\n".join(lines) + "\n"

    def _plain(self, y: float) -> float:
        """Return a value of a curve as such, where curves hold logarithms too."""
        return float(10.0**y) if self._data.y_axis == "decades" else y

    def paintEvent(self, _event: QPaintEvent) -> None:
        painter = QPainter(self)
        self._paint(painter, self._reading_at)
        paint_focus_ring(painter, self, self._theme)
        painter.end()

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        scale = self._x_scale()
        place = self._place()
        inside = place.adjusted(-1, -1, 1, 1).contains(event.position())
        share = (event.position().x() - place.left()) / max(place.width(), 1.0)
        self._read_at(scale.low + share * (scale.high - scale.low) if inside and self._data.curves else None)

    def leaveEvent(self, event: object) -> None:
        self._read_at(None)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        steps = {Qt.Key.Key_Left: -1, Qt.Key.Key_Right: 1}
        key = Qt.Key(event.key())
        if key in steps and self._data.curves:
            scale = self._x_scale()
            at = self._reading_at
            if at is None:
                at = self._data.ring[0] if self._data.ring else scale.low
            self._read_at(min(scale.high, max(scale.low, at + steps[key] * (scale.high - scale.low) / 50)))
        elif key == Qt.Key.Key_Escape and self._reading_at is not None:
            self._read_at(None)
        else:
            super().keyPressEvent(event)

    def _read_at(self, value: float | None) -> None:
        if value != self._reading_at:
            self._reading_at = value
            self.update()

    def _x_scale(self) -> Scale:
        if self._data.x_axis == "hours":
            return hours_scale(int(self.width() // 45))
        highest = max((x for curve in self._data.curves for x, _y in curve.points), default=1.0)
        if self._data.ring is not None:
            highest = max(highest, self._data.ring[0])
        return nice_scale(highest * 1.03, int(self.width() // 80))

    def _y_scale(self) -> Scale:
        values = [y for curve in self._data.curves for _x, y in curve.points]
        if values and self._data.y_axis == "fitted":
            return fitted_scale(min(values), max(values), int(self.height() // 28))
        if values and self._data.y_axis == "decades":
            return decades_scale(min(values), max(values))
        highest = max((y for curve in self._data.curves for _x, y in curve.points), default=1.0)
        if self._data.ring is not None:
            highest = max(highest, self._data.ring[1])
        return nice_scale(highest * 1.12, int(self.height() // 28))

    def _place(self) -> QRectF:
        """Return the rectangle between the axes."""
        metrics = QFontMetricsF(ui_font(SMALL_PX))
        y_scale = self._y_scale()
        left = max(metrics.horizontalAdvance(text) for text in y_scale.texts) + 2 * SPACE + metrics.height()
        bottom = 2 * metrics.height() + 2 * SPACE
        return QRectF(left, SPACE, self.width() - left - 2 * SPACE, self.height() - bottom - SPACE)

    def _paint(self, painter: QPainter, reading_at: float | None) -> None:
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.fillRect(self.rect(), QColor(self._theme.panel))
        if not self._data.curves:
            painter.setFont(ui_font())
            painter.setPen(QColor(self._theme.soft))
            flags = Qt.AlignmentFlag.AlignCenter | Qt.TextFlag.TextWordWrap
            painter.drawText(self.rect().adjusted(16, 16, -16, -16), int(flags), self._data.empty_text)
            return
        chart = _Chart(painter, self._theme, self._place(), self._x_scale(), self._y_scale(), self._dimmed)
        chart.draw_axes(self._data.x_title, self._data.y_title)
        for upright in self._data.uprights:
            chart.draw_upright(upright)
        for curve in self._data.curves:
            chart.draw_curve(curve)
        for note in self._data.notes:
            chart.draw_note(note)
        if self._data.ring is not None:
            chart.draw_ring(self._data.ring, self._data.ring_text)
        for curve in self._data.curves:
            chart.name_curve(curve)
        if reading_at is not None and self.reading():
            chart.draw_reading(reading_at, self.reading(), self._data.curves)


class _Chart:
    """One painting of a plot: where values lie on it."""

    def __init__(
        self, painter: QPainter, theme: Theme, place: QRectF, x: Scale, y: Scale, dimmed: bool
    ) -> None:
        self.painter, self.theme, self.place, self.x, self.y = painter, theme, place, x, y
        self.dimmed = dimmed
        self.small = ui_font(SMALL_PX)
        self.metrics = QFontMetricsF(self.small)
        #: Rectangles that texts lie in already.
        self.taken: list[QRectF] = []

    def at(self, x: float, y: float) -> QPointF:
        place = self.place
        return QPointF(
            place.left() + (x - self.x.low) / (self.x.high - self.x.low) * place.width(),
            place.bottom() - (y - self.y.low) / (self.y.high - self.y.low) * place.height(),
        )

    def colour(self, name: str) -> QColor:
        return QColor(self.theme.soft if self.dimmed else getattr(self.theme, name))

    def draw_axes(self, x_title: str, y_title: str) -> None:
        painter, place, height = self.painter, self.place, self.metrics.height()
        painter.setFont(self.small)
        for value, text in zip(self.x.ticks, self.x.texts, strict=True):
            foot = self.at(value, self.y.low)
            painter.setPen(QPen(QColor(self.theme.grid), 1))
            painter.drawLine(foot, QPointF(foot.x(), place.top()))
            painter.setPen(QColor(self.theme.soft))
            box = QRectF(foot.x() - 40, place.bottom() + HALF_SPACE, 80, height)
            painter.drawText(box, int(Qt.AlignmentFlag.AlignHCenter | Qt.AlignmentFlag.AlignTop), text)
        for value, text in zip(self.y.ticks, self.y.texts, strict=True):
            foot = self.at(self.x.low, value)
            painter.setPen(QPen(QColor(self.theme.grid), 1))
            painter.drawLine(foot, QPointF(place.right(), foot.y()))
            painter.setPen(QColor(self.theme.soft))
            box = QRectF(0, foot.y() - height / 2, place.left() - HALF_SPACE, height)
            painter.drawText(box, int(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter), text)
        painter.setPen(QPen(QColor(self.theme.soft), 1))
        painter.drawLine(place.bottomLeft(), place.bottomRight())
        painter.drawLine(place.bottomLeft(), place.topLeft())
        painter.setPen(QColor(self.theme.ink))
        below = QRectF(place.left(), place.bottom() + height + SPACE, place.width(), height + 2)
        painter.drawText(below, int(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignTop), x_title)
        painter.save()
        painter.translate(2, place.top())
        painter.rotate(-90)
        side = QRectF(-place.height(), 0, place.height(), height + 2)
        painter.drawText(side, int(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignTop), y_title)
        painter.restore()

    def draw_upright(self, upright: Upright) -> None:
        if not self.x.low <= upright.x <= self.x.high:
            return
        top = self.at(upright.x, self.y.high)
        self.painter.setPen(QPen(self.colour(upright.colour), 1.5, Qt.PenStyle.DashLine))
        self.painter.drawLine(top, self.at(upright.x, self.y.low))
        self._write(upright.name, QPointF(top.x() + HALF_SPACE, top.y() + 2), self.colour(upright.colour))

    def draw_note(self, note: Note) -> None:
        """Write beside a point where there is room, else leave the words out."""
        spot, height = self.at(note.x, note.y), self.metrics.height()
        self.painter.setPen(Qt.PenStyle.NoPen)
        self.painter.setBrush(self.colour(note.colour))
        self.painter.drawEllipse(spot, 3, 3)
        width = self.metrics.horizontalAdvance(note.text) + 2
        for left in (spot.x() + SPACE, spot.x() - SPACE - width):
            for top in (spot.y() - height / 2, spot.y() - 1.5 * height, spot.y() + height / 2):
                if self._is_free(QPointF(left, top), note.text):
                    self._write(note.text, QPointF(left, top), self.colour(note.colour))
                    return

    def draw_curve(self, curve: Curve) -> None:
        if len(curve.points) < 2:
            return
        style = Qt.PenStyle.DashLine if curve.dashed else Qt.PenStyle.SolidLine
        self.painter.setPen(QPen(self.colour(curve.colour), 2.0, style))
        self.painter.setBrush(Qt.BrushStyle.NoBrush)
        self.painter.drawPolyline(QPolygonF([self.at(x, y) for x, y in curve.points]))

    def name_curve(self, curve: Curve) -> None:
        """Write a curve's name, if it has one, beside it where there is room."""
        if len(curve.points) < 2 or not curve.name:
            return
        width = self.metrics.horizontalAdvance(curve.name)
        for share in (1.0, 0.85, 0.7, 0.12, 0.4):
            x, y = curve.points[round(share * (len(curve.points) - 1))]
            spot = self.at(x, y)
            for above in (-self.metrics.height() - HALF_SPACE, HALF_SPACE):
                left = min(spot.x() - width, self.place.right() - width)
                corner = QPointF(max(left, self.place.left() + HALF_SPACE), spot.y() + above)
                if self._is_free(corner, curve.name):
                    self._write(curve.name, corner, self.colour(curve.colour))
                    return

    def draw_ring(self, ring: tuple[float, float], text: str) -> None:
        spot = self.at(*ring)
        colour = self.colour("accent")
        self.painter.setBrush(Qt.BrushStyle.NoBrush)
        self.painter.setPen(QPen(colour, 2.5))
        self.painter.drawEllipse(spot, 6, 6)
        font = ui_font(bold=True)
        metrics = QFontMetricsF(font)
        size = metrics.boundingRect(text)
        right, left = spot.x() + 12, spot.x() - 12 - size.width()
        above, below = spot.y() - metrics.height() - SPACE, spot.y() + SPACE
        boxes = [
            QRectF(x, y, size.width(), metrics.height())
            for y in (above, below, spot.y() - metrics.height() / 2)
            for x in (right, left)
        ]
        inside = next(filter(self.place.contains, boxes), boxes[1])
        box = next(filter(self._is_clear, boxes), inside)
        self.taken.append(box)
        self._plate(box, text, font, colour)

    def draw_reading(self, x: float, text: str, curves: Sequence[Curve]) -> None:
        top, foot = self.at(x, self.y.high), self.at(x, self.y.low)
        self.painter.setPen(QPen(QColor(self.theme.soft), 1))
        self.painter.drawLine(top, foot)
        for curve in curves:
            value = interpolated(curve.points, x)
            if value is not None:
                self.painter.setPen(Qt.PenStyle.NoPen)
                self.painter.setBrush(self.colour(curve.colour))
                self.painter.drawEllipse(self.at(x, value), 3, 3)
        bottom = self.place.bottom() - HALF_SPACE
        for line in reversed(self._lines(text)):
            width = self.metrics.horizontalAdvance(line) + 2
            left = max(min(top.x() - width / 2, self.place.right() - width), self.place.left())
            bottom -= self.metrics.height()
            box = QRectF(left, bottom, width, self.metrics.height())
            self._plate(box, line, self.small, QColor(self.theme.ink))

    def _lines(self, text: str) -> list[str]:
        """Return a reading in lines as wide as the plot, broken between values."""
        lines: list[str] = []
        for part in text.split(_BETWEEN):
            longer = f"{lines[-1]}{_BETWEEN}{part}" if lines else part
            if lines and self.metrics.horizontalAdvance(longer) < self.place.width():
                lines[-1] = longer
            else:
                lines.append(part)
        return lines

    def _box(self, corner: QPointF, text: str) -> QRectF:
        return QRectF(corner.x(), corner.y(), self.metrics.horizontalAdvance(text) + 2, self.metrics.height())

    def _is_free(self, corner: QPointF, text: str) -> bool:
        return self._is_clear(self._box(corner, text))

    def _is_clear(self, box: QRectF) -> bool:
        """Return whether a text can stand there: inside the axes, and on no other."""
        return self.place.contains(box) and not any(box.intersects(other) for other in self.taken)

    def _write(self, text: str, corner: QPointF, colour: QColor) -> None:
        box = self._box(corner, text)
        if box.right() > self.place.right():
            box.moveRight(corner.x() - 2 * HALF_SPACE)
        self.taken.append(box)
        self._plate(box, text, self.small, colour)

    def _plate(self, box: QRectF, text: str, font: QFont, colour: QColor) -> None:
        """Write on a plate of the panel's colour, so that lines do not run through the figures."""
        plate = QColor(self.theme.panel)
        plate.setAlphaF(0.85)
        self.painter.setPen(Qt.PenStyle.NoPen)
        self.painter.setBrush(plate)
        self.painter.drawRoundedRect(box.adjusted(-3, -1, 3, 1), RADIUS / 2, RADIUS / 2)
        self.painter.setFont(font)
        self.painter.setPen(colour)
        self.painter.drawText(box, int(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter), text)


def interpolated(points: Sequence[tuple[float, float]], x: float) -> float | None:
    """Return a curve's value between its points, None outside them."""
    for (x_1, y_1), (x_2, y_2) in zip(points, points[1:], strict=False):
        if x_1 <= x <= x_2 and x_2 > x_1:
            return y_1 + (y_2 - y_1) * (x - x_1) / (x_2 - x_1)
    return None


def _unit(title: str) -> str:
    """Return the unit behind an axis title such as ``Head, m``."""
    return title.rpartition(", ")[2] if ", " in title else ""


def finite(points: Sequence[tuple[float, float]]) -> tuple[tuple[float, float], ...]:
    """Return the points that can be drawn."""
    return tuple(point for point in points if all(map(math.isfinite, point)))
