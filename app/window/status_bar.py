# SPDX-License-Identifier: MIT
"""The status bar: solved or why not, how many findings, what is under the mouse, the zoom."""

from __future__ import annotations

from PySide6.QtCore import QRect, QRectF, QSize, Qt, Signal
from PySide6.QtGui import (
    QAccessible,
    QAccessibleAnnouncementEvent,
    QColor,
    QFontMetrics,
    QPainter,
    QPaintEvent,
)
from PySide6.QtWidgets import QLabel, QProgressBar, QSizePolicy, QStatusBar, QToolButton, QWidget

from app.panels.focus_ring import paint_focus_ring
from app.panels.severity import SEVERITIES, draw_severity, severity_colour, severity_count
from app.panels.shown import Shown
from app.solving.long_job import LongJob
from app.solving.results import ResultsStore
from app.translation import tr

_PROGRESS_PX = 160


class _State(QLabel):
    """One line that is cut with dots where it does not fit; all of it is in the tooltip."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Preferred)
        self.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)

    def paintEvent(self, _event: QPaintEvent) -> None:
        painter = QPainter(self)
        text = QFontMetrics(self.font()).elidedText(
            self.text(), Qt.TextElideMode.ElideRight, self.width() - 8
        )
        painter.setPen(self.palette().windowText().color())
        painter.drawText(self.rect().adjusted(8, 0, 0, 0), int(Qt.AlignmentFlag.AlignVCenter), text)
        painter.end()


class _Counts(QToolButton):
    """The number of findings of each severity, with its shape; pressed, it shows them."""

    def __init__(self, shown: Shown, parent: QWidget) -> None:
        super().__init__(parent)
        self._shown = shown
        self._counts: dict[str, int] = {}

    def show_counts(self, counts: dict[str, int]) -> None:
        """Show other numbers."""
        self._counts = {each: counts.get(each, 0) for each in SEVERITIES if counts.get(each, 0)}
        words = ", ".join(severity_count(each, number) for each, number in self._counts.items())
        self.setText(words or tr("no findings"))
        self.setAccessibleName(tr("Findings: {0}").format(self.text()))
        self.setToolTip(tr("{0}. Show the findings.").format(self.text().capitalize()))
        self.updateGeometry()
        self.update()

    def sizeHint(self) -> QSize:
        metrics = QFontMetrics(self.font())
        width = sum(18 + metrics.horizontalAdvance(str(number)) + 10 for number in self._counts.values())
        return QSize((width or metrics.horizontalAdvance(tr("no findings"))) + 16, 22)

    def paintEvent(self, _event: QPaintEvent) -> None:
        painter = QPainter(self)
        theme = self._shown.theme
        if self.underMouse():
            painter.setPen(QColor(theme.grid))
            painter.drawRoundedRect(self.rect().adjusted(0, 0, -1, -1), 4, 4)
        paint_focus_ring(painter, self, theme)
        left = 8
        painter.setPen(QColor(theme.soft))
        if not self._counts:
            painter.drawText(self.rect(), int(Qt.AlignmentFlag.AlignCenter), tr("no findings"))
        metrics = QFontMetrics(self.font())
        for severity, number in self._counts.items():
            colour = severity_colour(severity, theme)
            draw_severity(painter, QRectF(left, (self.height() - 14) / 2, 14, 14), severity, colour)
            painter.setPen(QColor(theme.ink))
            width = metrics.horizontalAdvance(str(number))
            place = QRect(left + 18, 0, width + 2, self.height())
            painter.drawText(place, int(Qt.AlignmentFlag.AlignVCenter), str(number))
            left += 18 + width + 10
        painter.end()


class StatusBar(QStatusBar):
    """Shows the state of the work.

    Attributes
    ----------
    findings_asked : Signal
        The counts were pressed.
    """

    findings_asked = Signal()

    def __init__(self, store: ResultsStore, shown: Shown, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._store = store
        self.state = _State(self)
        self.counts = _Counts(shown, self)
        self.cursor_label = QLabel(self)
        self.cursor_label.setProperty("role", "soft")
        self.zoom = QLabel(self)
        self.zoom.setProperty("role", "soft")
        self.zoom.setMinimumWidth(64)
        self.zoom.setContentsMargins(0, 0, 12, 0)
        self.zoom.setAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
        self.progress = QProgressBar(self)
        self.progress.setRange(0, 100)
        self.progress.setFixedWidth(_PROGRESS_PX)
        self.cancel = QToolButton(self)
        self.cancel.setText(tr("Cancel"))
        self.setSizeGripEnabled(False)
        self.addWidget(self.state, 1)
        for widget in (self.cursor_label, self.progress, self.cancel, self.counts, self.zoom):
            self.addPermanentWidget(widget)
        self.counts.clicked.connect(self.findings_asked)
        self.counts.show_counts({})
        store.results_changed.connect(self._show_state)
        shown.theme_changed.connect(self.counts.update)
        self._show_state()

    def follow(self, job: LongJob) -> None:
        """Show how far a long job is, with a button to cancel it."""
        self.cancel.clicked.connect(job.cancel)
        job.begun.connect(self._show_job)
        job.progressed.connect(self._show_progress)
        job.ended.connect(self._hide_job)
        self._hide_job()

    def _show_job(self, words: str) -> None:
        self.progress.setAccessibleName(words)
        self.progress.setFormat(f"{words} %p %")
        self.progress.setValue(0)
        self.cancel.setToolTip(tr("Cancel: {0}").format(words))
        self.progress.show()
        self.cancel.show()

    def _show_progress(self, share: float) -> None:
        self.progress.setValue(round(100 * share))

    def _hide_job(self) -> None:
        self.progress.hide()
        self.cancel.hide()

    def show_zoom(self, percent: float) -> None:
        """Show the canvas's zoom."""
        self.zoom.setText(tr("{0} %").format(round(percent)))

    def show_cursor(self, text: str) -> None:
        """Show what is under the mouse."""
        self.cursor_label.setText(text)

    def _show_state(self, *_what: object) -> None:
        store = self._store
        if store.reason:
            text, state = tr("Not solved: {0}").format(store.reason), "bad"
        elif store.results is None:
            text, state = "", ""
        elif store.behind:
            text, state = tr("Solving…"), ""
        elif store.results.left_out:
            text, state = tr("Solved in part. {0}").format(store.results.left_out[0].problem), "bad"
        else:
            text, state = tr("Solved in {0} steps").format(store.results.iterations), ""
        if state == "bad" and text != self.state.text() and QAccessible.isActive():
            QAccessible.updateAccessibility(QAccessibleAnnouncementEvent(self.state, text))
        self.state.setText(text)
        self.state.setToolTip(text)
        if self.state.property("state") != state:
            self.state.setProperty("state", state)
            self.state.style().unpolish(self.state)
            self.state.style().polish(self.state)
