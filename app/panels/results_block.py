# SPDX-License-Identifier: MIT
"""The results on top of a property sheet: one headline, a judgement, and lines that can be copied."""

from __future__ import annotations

from PySide6.QtCore import QPoint, QRectF, QSize, Qt
from PySide6.QtGui import QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QGridLayout, QLabel, QSizePolicy, QVBoxLayout, QWidget

from app.panels.heat_figures import Figures
from app.panels.severity import draw_severity
from app.translation import tr

_TICK = (QPoint(3, 8), QPoint(7, 12), QPoint(14, 4))


def _selectable(label: QLabel) -> QLabel:
    label.setTextInteractionFlags(
        Qt.TextInteractionFlag.TextSelectableByMouse | Qt.TextInteractionFlag.TextSelectableByKeyboard
    )
    label.setFocusPolicy(Qt.FocusPolicy.ClickFocus)
    return label


class _Mark(QWidget):
    """A tick, or the shape of a severity, in the colour of the words beside it."""

    def __init__(self, words: QLabel, parent: QWidget) -> None:
        super().__init__(parent)
        self._words = words
        self.state = ""
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)

    def sizeHint(self) -> QSize:
        return QSize(16, 16)

    def paintEvent(self, _event: QPaintEvent) -> None:
        painter = QPainter(self)
        colour = self._words.palette().windowText().color()
        if self.state == "good":
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            painter.setPen(QPen(colour, 2))
            painter.drawPolyline(_TICK)
        elif self.state:
            draw_severity(painter, QRectF(self.rect()), self.state, colour)
        painter.end()


class ResultsBlock(QWidget):
    """Shows the figures of one part."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._headline = _selectable(QLabel(self))
        self._headline.setProperty("role", "headline")
        self._headline.setWordWrap(True)
        self._headline.setIndent(0)
        self._judgement = _selectable(QLabel(self))
        self._judgement.setWordWrap(True)
        self._mark = _Mark(self._judgement, self)
        self._caution = _selectable(QLabel(self))
        self._caution.setProperty("role", "warn")
        self._caution.setWordWrap(True)
        self._note = QLabel(self)
        self._note.setProperty("role", "unit")
        self._note.setWordWrap(True)
        self._lines: list[tuple[QLabel, QLabel]] = []
        self._grid = QGridLayout()
        self._grid.setHorizontalSpacing(8)
        self._grid.setVerticalSpacing(2)
        self._grid.setColumnStretch(0, 1)
        judged = QGridLayout()
        judged.setHorizontalSpacing(4)
        judged.addWidget(self._mark, 0, 0, Qt.AlignmentFlag.AlignTop)
        judged.addWidget(self._judgement, 0, 1)
        judged.setColumnStretch(1, 1)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(4)
        layout.addWidget(self._headline)
        layout.addLayout(judged)
        layout.addWidget(self._caution)
        layout.addLayout(self._grid)
        layout.addWidget(self._note)

    @property
    def headline(self) -> str:
        """The headline as it is read."""
        return self._headline.text()

    @property
    def judgement(self) -> str:
        """The judgement as it is read."""
        return self._judgement.text()

    @property
    def caution(self) -> str:
        """The caution as it is read."""
        return self._caution.text()

    @property
    def note(self) -> str:
        """Why figures are missing or old."""
        return self._note.text()

    def texts(self) -> list[tuple[str, str]]:
        """Return the lines as they are read."""
        return [(label.text(), value.text()) for label, value in self._lines if not value.isHidden()]

    def show_figures(
        self,
        figures: Figures | None,
        behind: bool,
        reason: str,
        heat_behind: bool = False,
        no_heat: str = "",
    ) -> None:
        """Show a part's figures.

        Parameters
        ----------
        figures : Figures or None
            None where there are none.
        behind : bool
            Whether they belong to the vessel before the last edit.
        reason : str
            Why the vessel has no answer, empty if it has one or none is out yet.
        heat_behind : bool
            Whether temperatures belong to an earlier vessel than the flows.
        no_heat : str
            Why there are no temperatures, empty if there are or are about to be.
        """
        self.setVisible(figures is not None or bool(reason))
        shown = figures or Figures("")
        self._headline.setText(shown.headline)
        self._headline.setVisible(bool(shown.headline))
        self._judgement.setText(shown.judgement)
        self._judgement.setVisible(bool(shown.judgement))
        self._mark.state = shown.state
        self._mark.setVisible(bool(shown.state and shown.judgement))
        self._caution.setText(shown.caution)
        self._caution.setVisible(bool(shown.caution))
        self._show_lines(shown)
        self._note.setText(self._note_text(figures, behind, reason, no_heat))
        self._note.setVisible(bool(self._note.text()))
        state = "behind" if behind or (shown.of_heat and heat_behind) else ""
        self._restyle(self._headline, state)
        self._restyle(self._judgement, state or shown.state)
        for line, (_label, value) in zip(shown.lines, self._lines, strict=False):
            self._restyle(value, "behind" if behind or (line.of_heat and heat_behind) else "")
        self._mark.update()

    def _note_text(self, figures: Figures | None, behind: bool, reason: str, no_heat: str) -> str:
        if reason:
            return tr("Not solved: {0}").format(reason)
        if no_heat:
            return tr("No temperatures: {0}").format(no_heat)
        if behind and figures is not None:
            return tr("From before the last change; solving")
        return ""

    def _show_lines(self, figures: Figures) -> None:
        while len(self._lines) < len(figures.lines):
            label, value = QLabel(self), _selectable(QLabel(self))
            label.setProperty("role", "soft")
            label.setWordWrap(True)
            value.setProperty("role", "figure")
            value.setAlignment(Qt.AlignmentFlag.AlignRight)
            value.setWordWrap(False)
            row = len(self._lines)
            self._grid.addWidget(label, row, 0)
            self._grid.addWidget(value, row, 1)
            self._lines.append((label, value))
        for row, (label, value) in enumerate(self._lines):
            used = row < len(figures.lines)
            label.setVisible(used)
            value.setVisible(used)
            label.setText(figures.lines[row].label if used else "")
            value.setText(figures.lines[row].text if used else "")

    @staticmethod
    def _restyle(label: QLabel, state: str) -> None:
        if label.property("state") != state:
            label.setProperty("state", state)
            label.style().unpolish(label)
            label.style().polish(label)
