# SPDX-License-Identifier: MIT
"""The title block at the lower right: vessel, condition, scenario, units, solved or why not."""

from __future__ import annotations

from typing import NamedTuple

from PySide6.QtCore import QPointF, QRectF, QSizeF, Qt
from PySide6.QtGui import QColor, QFont, QFontMetricsF, QPainter, QPen

from app.overlay.labels import paint_severity
from app.overlay.legend import plate
from app.theme import BASE_PX, HALF_SPACE, SMALL_PX, SPACE, Theme, ui_font
from app.translation import tr
from app.units import System
from solver.results import Results
from solver.vessel.vessel import Vessel

_WIDTH = 348.0
_TITLE, _ROW = 30.0, 32.0
_PAD = 1.5 * SPACE
_MARK = 11.0
#: Greatest share of a line for what stands at its end.
_BEHIND = 0.5
#: Lines of the status that are shown; a longer reason ends in dots.
_STATUS_LINES = 3


class Title(NamedTuple):
    """What the block says.

    ``severity`` is that of the status: "" for solved, ``note``, ``warn`` or ``bad``.  ``date`` and
    ``page`` are for paper.
    """

    vessel: str
    condition: str
    scenario: str
    units: str
    status: str
    severity: str = ""
    date: str = ""
    page: str = ""


def title_of(
    vessel: Vessel,
    results: Results | None,
    system: System,
    *,
    behind: bool = False,
    reason: str = "",
    scenario: str = "",
    date: str = "",
    page: str = "",
) -> Title:
    """Return what the title block says.

    Parameters
    ----------
    vessel : Vessel
    results : Results or None
    system : {"si", "us"}
    behind : bool
        The results belong to an earlier vessel.
    reason : str
        Why the vessel was not solved.
    scenario, date, page : str
        Empty leaves them out; a drawing without a scenario is shown as drawn.
    """
    severity = ""
    if reason:
        status, severity = tr("Not solved: {reason}").format(reason=reason), "bad"
        if results is not None:
            status = f"{status} {tr('Figures are of the last answer.')}"
    elif results is None:
        status, severity = tr("Not solved yet"), "note"
    elif behind:
        status, severity = tr("Figures are behind the drawing"), "note"
    elif results.left_out:
        status, severity = tr("Solved in part. {problem}").format(problem=results.left_out[0].problem), "bad"
    elif results.iterations == 1:
        status = tr("Solved in 1 step")
    else:
        status = tr("Solved in {count} steps").format(count=results.iterations)
    return Title(
        vessel=vessel.name,
        condition=vessel.current_conditions.name,
        scenario=scenario or tr("as drawn"),
        units=tr("US customary") if system == "us" else "SI",
        status=status,
        severity=severity,
        date=date,
        page=page,
    )


class TitleBlock:
    """Paints a title block.

    Parameters
    ----------
    title : Title
    theme : Theme
    compact : bool
        For small windows: two lines, condition and units behind the name, the scenario behind the status.
    """

    def __init__(self, title: Title, theme: Theme, *, compact: bool = False) -> None:
        self._title, self._theme, self._compact = title, theme, compact
        self._name, self._base = ui_font(BASE_PX + 2, bold=True), ui_font(BASE_PX)
        self._small = ui_font(SMALL_PX)
        when = title.scenario if compact else f"{title.date}   {title.page}".strip()
        self._when = _elided(when, self._small, _WIDTH * _BEHIND)
        room = _WIDTH - 2 * _PAD - _MARK - SPACE
        if self._when:
            room -= QFontMetricsF(self._small).horizontalAdvance(self._when) + SPACE
        self._lines = _wrapped(title.status, self._base, room, _STATUS_LINES)

    def size(self) -> QSizeF:
        """Return how much room the block takes [px]."""
        return QSizeF(_WIDTH, self._status_top() + self._status_height())

    def paint(self, painter: QPainter, left: float, top: float) -> None:
        """Paint the block with its upper left corner at a point."""
        theme, title, size = self._theme, self._title, self.size()
        painter.save()
        painter.translate(left, top)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        plate(painter, QRectF(QPointF(0, 0), size), theme)
        painter.setPen(QPen(QColor(theme.grid), 1.0))
        for y in {_TITLE, self._status_top()}:
            painter.drawLine(QPointF(0, y + 0.5), QPointF(_WIDTH, y + 0.5))
        room = _WIDTH - 2 * _PAD
        if self._compact:
            behind = _elided(f"{title.condition}, {title.units}", self._small, _WIDTH * _BEHIND)
            self._write(painter, self._small, theme.soft, _WIDTH - _PAD, _TITLE / 2, behind, to_left=True)
            room -= QFontMetricsF(self._small).horizontalAdvance(behind) + SPACE
        else:
            self._paint_cells(painter)
        self._write(painter, self._name, theme.ink, _PAD, _TITLE / 2, title.vessel, room)
        self._paint_status(painter, self._status_top())
        painter.restore()

    def _paint_cells(self, painter: QPainter) -> None:
        """Paint condition, scenario and units side by side."""
        theme, title = self._theme, self._title
        cells = (
            (tr("Condition"), title.condition, 0.43),
            (tr("Scenario"), title.scenario, 0.28),
            (tr("Units"), title.units, 0.29),
        )
        x = 0.0
        for name, text, share in cells:
            width = _WIDTH * share
            if x:
                painter.setPen(QPen(QColor(theme.grid), 1.0))
                painter.drawLine(QPointF(x + 0.5, _TITLE), QPointF(x + 0.5, _TITLE + _ROW))
            room = width - 1.5 * _PAD
            self._write(painter, self._small, theme.soft, x + _PAD, _TITLE + 9, name, room)
            self._write(painter, self._small, theme.ink, x + _PAD, _TITLE + 22, text, room)
            x += width

    def _status_top(self) -> float:
        return _TITLE if self._compact else _TITLE + _ROW

    def _status_height(self) -> float:
        return SPACE + QFontMetricsF(self._base).lineSpacing() * len(self._lines) + HALF_SPACE

    def _paint_status(self, painter: QPainter, top: float) -> None:
        theme, severity = self._theme, self._title.severity
        line = QFontMetricsF(self._base).lineSpacing()
        y = top + SPACE / 2 + HALF_SPACE / 2 + line / 2
        if severity:
            paint_severity(painter, theme, severity, _PAD, y - _MARK / 2, _MARK)
        else:
            pen = QPen(QColor(theme.good), 2.0, Qt.PenStyle.SolidLine, Qt.PenCapStyle.SquareCap)
            painter.setPen(pen)
            painter.drawPolyline(
                [QPointF(_PAD + 1, y), QPointF(_PAD + 4, y + 3.5), QPointF(_PAD + 10, y - 4)]
            )
        colour = theme.of_severity(severity) if severity else theme.good
        self._write(painter, self._small, theme.soft, _WIDTH - _PAD, y, self._when, to_left=True)
        for text in self._lines:
            self._write(painter, self._base, colour, _PAD + _MARK + SPACE, y, text)
            y += line

    def _write(
        self,
        painter: QPainter,
        font: QFont,
        colour: str,
        x: float,
        middle: float,
        text: str,
        room: float = 0.0,
        *,
        to_left: bool = False,
    ) -> None:
        """Write one line, its middle at a height, ending in dots where it would leave ``room``."""
        metrics = QFontMetricsF(font)
        if room:
            text = _elided(text, font, room)
        if to_left:
            x -= metrics.horizontalAdvance(text)
        painter.setFont(font)
        painter.setPen(QColor(colour))
        painter.drawText(QPointF(x, middle + (metrics.ascent() - metrics.descent()) / 2), text)


def _wrapped(text: str, font: QFont, width: float, most: int) -> list[str]:
    """Return the text in lines no wider than ``width``, the last one ending in dots if more is left."""
    metrics = QFontMetricsF(font)
    lines = [""]
    for word in text.split():
        longer = f"{lines[-1]} {word}".strip()
        if lines[-1] and metrics.horizontalAdvance(longer) > width:
            lines.append(word)
        else:
            lines[-1] = longer
    if len(lines) > most:
        lines[most - 1 :] = [" ".join(lines[most - 1 :])]
    return [_elided(line, font, width) for line in lines]


def _elided(text: str, font: QFont, width: float) -> str:
    """Return the text, ending in dots if it is wider than ``width``."""
    return QFontMetricsF(font).elidedText(text, Qt.TextElideMode.ElideRight, width)
