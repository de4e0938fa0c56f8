# SPDX-License-Identifier: MIT
"""Notices over the canvas that wait for an answer without stopping the work: refused files, work found."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from PySide6.QtCore import QRectF, QSize, Qt
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLabel, QPushButton, QVBoxLayout, QWidget

from app.panels.severity import draw_severity, severity_colour
from app.panels.shown import Shown
from app.translation import tr

Answer = tuple[str, Callable[[], None]]


class _Sign(QWidget):
    """A severity's shape."""

    def __init__(self, severity: str, shown: Shown, parent: QWidget) -> None:
        super().__init__(parent)
        self._severity, self._shown = severity, shown
        self.setFixedSize(QSize(18, 18))

    def paintEvent(self, _event: QPaintEvent) -> None:
        painter = QPainter(self)
        colour = severity_colour(self._severity, self._shown.theme)
        draw_severity(painter, QRectF(1, 1, 16, 16), self._severity, colour)
        painter.end()


class Notice(QFrame):
    """One notice: what happened, and what can be done about it."""

    def __init__(
        self, text: str, severity: str, answers: Sequence[Answer], shown: Shown, parent: QWidget
    ) -> None:
        super().__init__(parent)
        self.setObjectName("notice")
        self.setAccessibleName(text)
        self.text = text
        label = QLabel(text, self)
        label.setWordWrap(True)
        label.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        layout = QHBoxLayout(self)
        layout.setContentsMargins(16, 8, 8, 8)
        layout.addWidget(_Sign(severity, shown, self), 0, Qt.AlignmentFlag.AlignTop)
        layout.addWidget(label, 1)
        self.buttons: list[QPushButton] = []
        for name, act in (*answers, (tr("Close"), lambda: None)):
            button = QPushButton(name, self)
            button.clicked.connect(lambda _checked=False, act=act: self._answer(act))
            layout.addWidget(button, 0, Qt.AlignmentFlag.AlignTop)
            self.buttons.append(button)

    def _answer(self, act: Callable[[], None]) -> None:
        self.hide()
        self.deleteLater()
        act()


class NoticeBar(QWidget):
    """Holds the notices, the newest below."""

    def __init__(self, shown: Shown, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._shown = shown
        self._layout = QVBoxLayout(self)
        self._layout.setContentsMargins(0, 0, 0, 0)
        self._layout.setSpacing(0)

    def notices(self) -> list[Notice]:
        """Return the notices that can be seen."""
        return [each for each in self.findChildren(Notice) if not each.isHidden()]

    def tell(self, text: str, severity: str = "note", answers: Sequence[Answer] = ()) -> Notice:
        """Show a notice; one with the same words is shown once."""
        for notice in self.notices():
            if notice.text == text:
                return notice
        notice = Notice(text, severity, answers, self._shown, self)
        self._layout.addWidget(notice)
        notice.show()
        return notice

    def clear(self) -> None:
        """Take all notices away: what they said is over."""
        for notice in self.notices():
            notice.hide()
            notice.deleteLater()
