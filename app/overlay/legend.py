# SPDX-License-Identifier: MIT
"""The legend: which colour is which value, in which unit, where the limits are; or what the lines mean."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF, QSizeF, Qt
from PySide6.QtGui import QColor, QFontMetricsF, QPainter, QPen

from app.overlay.quantities import Overlay
from app.theme import HALF_SPACE, RADIUS, SMALL_PX, SPACE, Theme, ui_font
from app.translation import tr

_WIDTH = 272.0
_BAR_HEIGHT = 10.0
_LINE = 16.0
_SAMPLE = 34.0
_PAD = 1.5 * SPACE


class Legend:
    """The legend of one overlay, or the key of lines without one.

    Parameters
    ----------
    overlay : Overlay or None
    theme : Theme
    behind : bool
        The figures belong to an earlier drawing.
    compact : bool
        For small windows: without the notes under the bar.
    """

    def __init__(
        self, overlay: Overlay | None, theme: Theme, *, behind: bool = False, compact: bool = False
    ) -> None:
        self._overlay, self._theme, self._behind, self._compact = overlay, theme, behind, compact
        self._small = ui_font(SMALL_PX)
        self._bold = ui_font(SMALL_PX + 1, bold=True)

    def size(self) -> QSizeF:
        """Return how much room the legend takes [px]."""
        if self._overlay is None:
            return QSizeF(_WIDTH, 2 * SPACE + _LINE)
        return QSizeF(
            _WIDTH, 2 * SPACE + 2 * _LINE + _BAR_HEIGHT + 2 * HALF_SPACE + _LINE * len(self._notes())
        )

    def paint(self, painter: QPainter, left: float, top: float) -> None:
        """Paint the legend with its upper left corner at a point."""
        size = self.size()
        painter.save()
        painter.translate(left, top)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        plate(painter, QRectF(QPointF(0, 0), size), self._theme)
        if self._overlay is None:
            self._paint_key(painter)
        else:
            self._paint_scale(painter, self._overlay)
        painter.restore()

    def _paint_key(self, painter: QPainter) -> None:
        painter.setFont(self._small)
        metrics = QFontMetricsF(self._small)
        sample, x, y = 26.0, _PAD, SPACE + _LINE / 2
        services = ((tr("Supply"), False, False), (tr("Return"), False, True), (tr("Sea water"), True, False))
        for name, sea, dashed in services:
            colour = self._theme.sea if sea else self._theme.fresh
            pen = QPen(QColor(colour), 2.5, Qt.PenStyle.SolidLine, Qt.PenCapStyle.FlatCap)
            if dashed:
                pen.setDashPattern([2.9, 1.7])
            painter.setPen(pen)
            painter.drawLine(QPointF(x, y), QPointF(x + sample, y))
            painter.setPen(QColor(self._theme.ink))
            x += sample + HALF_SPACE + 2
            painter.drawText(QPointF(x, y + metrics.capHeight() / 2), name)
            x += metrics.horizontalAdvance(name) + 1.5 * SPACE

    def _notes(self) -> list[tuple[str, str]]:
        """Return the notes under the bar, each with what its sample shows."""
        if self._compact:
            return []
        overlay = self._overlay
        notes = []
        if overlay is not None and _beyond_text(overlay):
            notes.append(("pattern", _beyond_text(overlay)))
        if overlay is not None and overlay.missing:
            notes.append(("behind", overlay.missing))
        notes.append(("wedge", tr("wider line: more flow")))
        if self._behind:
            notes.append(("behind", tr("figures are behind the drawing")))
        return notes

    def _paint_scale(self, painter: QPainter, overlay: Overlay) -> None:
        theme, scale = self._theme, overlay.scale
        painter.setFont(self._bold)
        painter.setPen(QColor(theme.ink))
        y = SPACE + _LINE * 0.75
        painter.drawText(QPointF(_PAD, y), tr(overlay.title))
        after = QFontMetricsF(self._bold).horizontalAdvance(tr(overlay.title))
        painter.setFont(self._small)
        painter.setPen(QColor(theme.soft))
        if overlay.unit:
            painter.drawText(QPointF(_PAD + after + SPACE, y), overlay.unit)
        bar = QRectF(_PAD, SPACE + _LINE + HALF_SPACE, _WIDTH - 2 * _PAD, _BAR_HEIGHT)
        step = bar.width() / len(scale.colours)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setOpacity(0.4 if self._behind else 1.0)
        for index, colour in enumerate(scale.colours):
            painter.setBrush(QColor(colour))
            # Each reaches under the next, so that no seam shows between them.
            width = step if index == len(scale.colours) - 1 else step + 1
            painter.drawRect(QRectF(bar.left() + index * step, bar.top(), width, bar.height()))
        painter.setOpacity(1.0)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.setPen(QPen(QColor(theme.ink), 1.0))
        painter.drawRect(bar)
        self._paint_ticks(painter, overlay, bar)
        y = bar.bottom() + HALF_SPACE + 2 * _LINE - 3
        for sample, note in self._notes():
            self._paint_note(painter, sample, note, y)
            y += _LINE

    def _paint_ticks(self, painter: QPainter, overlay: Overlay, bar: QRectF) -> None:
        """Write the ends and, where there is room, the limits and the middle."""
        theme, scale = self._theme, overlay.scale
        metrics = QFontMetricsF(self._small)
        span = scale.high - scale.low
        values = [(scale.low, False), (scale.high, False)]
        values += [(limit, True) for limit in overlay.limits if limit is not None]
        values += [(scale.low + span / 2, False)]
        y = bar.bottom() + HALF_SPACE + metrics.ascent()
        taken: list[tuple[float, float]] = []
        for value, is_limit in values:
            share = (value - scale.low) / span if span > 0 else 0.0
            if not 0 <= share <= 1:
                continue
            text = overlay.figure(value)
            if overlay.is_open and share in (0, 1):
                text = ("≤ " if share == 0 else "≥ ") + text
            x = bar.left() + share * bar.width()
            width = metrics.horizontalAdvance(text)
            start = min(max(x - width / 2, bar.left()), bar.right() - width)
            if is_limit:
                painter.setPen(QPen(QColor(theme.warn), 2.0))
                painter.drawLine(QPointF(x, bar.top() - 3), QPointF(x, bar.bottom() + 3))
            if any(start < right + 4 and left < start + width + 4 for left, right in taken):
                continue
            taken.append((start, start + width))
            painter.setPen(QColor(theme.warn if is_limit else theme.ink))
            painter.drawText(QPointF(start, y), text)

    def _paint_note(self, painter: QPainter, sample: str, note: str, y: float) -> None:
        theme = self._theme
        painter.setPen(Qt.PenStyle.NoPen)
        middle = y - 4
        if sample == "pattern":
            painter.setPen(QPen(QColor(theme.soft), 3.0))
            painter.drawLine(QPointF(_PAD, middle), QPointF(_PAD + _SAMPLE - SPACE, middle))
            painter.setPen(QPen(QColor(theme.ink), 1.5))
            for tick in range(4):
                x = _PAD + 3 + tick * 6.5
                painter.drawLine(QPointF(x, middle - 4), QPointF(x, middle + 4))
        elif sample == "wedge":
            painter.setBrush(QColor(theme.soft))
            painter.drawPolygon(
                [
                    QPointF(_PAD, middle - 0.8),
                    QPointF(_PAD + _SAMPLE - SPACE, middle - 3.2),
                    QPointF(_PAD + _SAMPLE - SPACE, middle + 3.2),
                    QPointF(_PAD, middle + 0.8),
                ]
            )
        painter.setPen(QColor(theme.warn if sample == "behind" else theme.soft))
        painter.drawText(QPointF(_PAD + _SAMPLE, y), note)


def plate(painter: QPainter, rect: QRectF, theme: Theme) -> None:
    """Paint the plate under a legend or title block."""
    painter.setPen(QPen(QColor(theme.grid), 1.0))
    painter.setBrush(QColor(theme.paper))
    painter.drawRoundedRect(rect.adjusted(0.5, 0.5, -0.5, -0.5), RADIUS, RADIUS)


def _beyond_text(overlay: Overlay) -> str:
    """Return in words what the pattern marks, empty without limits."""
    low, high = overlay.limits
    if overlay.name == "condensation":
        return tr("below the dew point: water drips")
    unit = f" {overlay.unit}" if overlay.unit else ""
    if low is not None and high is not None:
        return tr("outside {low} to {high}").format(
            low=overlay.figure(low), high=f"{overlay.figure(high)}{unit}"
        )
    if high is not None:
        sea = overlay.sea_limits.high
        text = tr("above {high}").format(high=f"{overlay.figure(high)}{unit}")
        if sea is None or sea == high:
            return text
        return f"{text} ({tr('sea {high}').format(high=overlay.figure(sea))})"
    return "" if low is None else tr("below {low}").format(low=f"{overlay.figure(low)}{unit}")
