# SPDX-License-Identifier: MIT
"""The findings as a list, and how one is painted: shape, problem, cause, cure."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import (
    QAbstractListModel,
    QModelIndex,
    QObject,
    QPersistentModelIndex,
    QRect,
    QRectF,
    QSize,
    Qt,
)
from PySide6.QtGui import QColor, QFont, QFontMetrics, QPainter
from PySide6.QtWidgets import QListView, QStyle, QStyledItemDelegate, QStyleOptionViewItem

from app.panels.severity import SEVERITIES, draw_severity, severity_colour, severity_word
from app.panels.shown import Shown
from app.translation import tr
from solver.results import Finding

Index = QModelIndex | QPersistentModelIndex
FINDING = Qt.ItemDataRole.UserRole
REASON = Qt.ItemDataRole.UserRole + 1

_Key = tuple[str, tuple[str, ...]]
_ICON = 16
_PAD = 8
_WRAP = Qt.TextFlag.TextWordWrap | Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignTop


def _key(finding: Finding) -> _Key:
    return (finding.rule, finding.tags)


class FindingsModel(QAbstractListModel):
    """Findings with the worst first; muted ones last, or not at all."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._all: tuple[Finding, ...] = ()
        self._rows: list[Finding] = []
        self._muted: dict[_Key, str] = {}
        self._shows_muted = False

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008 (Qt's own signature)
        return 0 if parent.isValid() else len(self._rows)

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        if not index.isValid():
            return None
        finding = self._rows[index.row()]
        if role == FINDING:
            return finding
        if role == REASON:
            return self._muted.get(_key(finding), "")
        if role in (Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.AccessibleTextRole):
            parts = (f"{severity_word(finding.severity)}: {finding.problem}", finding.cause, finding.cure)
            return " ".join(part for part in parts if part)
        if role == Qt.ItemDataRole.ToolTipRole:
            return ", ".join(finding.tags)
        return None

    def set_findings(self, findings: Sequence[Finding]) -> None:
        """Take the findings of the vessel as it is."""
        if tuple(findings) != self._all:
            self._all = tuple(findings)
            self._fill()

    def show_muted(self, shows: bool) -> None:
        """List the muted ones too."""
        self._shows_muted = shows
        self._fill()

    def mute(self, finding: Finding, reason: str) -> None:
        """List a finding no more; the reason is kept."""
        self._muted[_key(finding)] = reason
        self._fill()

    def unmute(self, finding: Finding) -> None:
        """List a finding again."""
        self._muted.pop(_key(finding), None)
        self._fill()

    def forget_muted(self) -> None:
        """List all findings again."""
        self._muted.clear()
        self._fill()

    def is_muted(self, finding: Finding) -> bool:
        """Return whether a finding is muted."""
        return _key(finding) in self._muted

    def muted_count(self) -> int:
        """Return how many findings of this vessel are muted."""
        return sum(map(self.is_muted, self._all))

    def counts(self) -> dict[str, int]:
        """Return severity -> number of findings that are not muted."""
        counts = dict.fromkeys(SEVERITIES, 0)
        for finding in self._all:
            if not self.is_muted(finding):
                counts[finding.severity] += 1
        return counts

    def row_of(self, finding: Finding) -> int:
        """Return the row of the finding of the same rule on the same parts, -1 if there is none."""
        for row, other in enumerate(self._rows):
            if _key(other) == _key(finding):
                return row
        return -1

    def _fill(self) -> None:
        self.beginResetModel()
        listed = [each for each in self._all if self._shows_muted or not self.is_muted(each)]
        self._rows = sorted(listed, key=lambda each: (self.is_muted(each), SEVERITIES.index(each.severity)))
        self.endResetModel()


class FindingDelegate(QStyledItemDelegate):
    """Paints a finding over the width of the list, wrapped."""

    def __init__(self, shown: Shown, view: QListView) -> None:
        super().__init__(view)
        self._shown = shown
        self._view = view

    def _texts(self, index: Index) -> list[tuple[str, bool, str]]:
        """Return (text, bold, colour's name) of each paragraph."""
        finding: Finding = index.data(FINDING)
        reason = index.data(REASON)
        theme = self._shown.theme
        texts = [(finding.problem, True, theme.ink)]
        if finding.cause:
            texts.append((finding.cause, False, theme.soft))
        if finding.cure:
            texts.append((finding.cure, False, theme.ink))
        if reason:
            muted = tr("Muted: {0}").format(reason)
            texts.append((muted, False, theme.soft))
        return texts

    def _width(self) -> int:
        return max(80, self._view.viewport().width() - 3 * _PAD - _ICON)

    @staticmethod
    def _font(base: QFont, bold: bool) -> QFont:
        font = QFont(base)
        font.setWeight(QFont.Weight.DemiBold if bold else QFont.Weight.Normal)
        return font

    def _height(self, font: QFont, text: str) -> int:
        return QFontMetrics(font).boundingRect(QRect(0, 0, self._width(), 10_000), int(_WRAP), text).height()

    def sizeHint(self, option: QStyleOptionViewItem, index: Index) -> QSize:
        heights = [
            self._height(self._font(option.font, bold), text) for text, bold, _colour in self._texts(index)
        ]
        return QSize(self._width(), sum(heights) + 2 * (len(heights) - 1) + 2 * _PAD)

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        theme = self._shown.theme
        painter.save()
        rect = option.rect
        selected = bool(option.state & QStyle.StateFlag.State_Selected)
        if selected:
            painter.fillRect(rect, QColor(theme.grid))
        painter.setPen(QColor(theme.grid))
        painter.drawLine(rect.bottomLeft(), rect.bottomRight())
        severity = index.data(FINDING).severity
        icon = QRectF(rect.left() + _PAD, rect.top() + _PAD, _ICON, _ICON)
        draw_severity(painter, icon, severity, severity_colour(severity, theme))
        top = rect.top() + _PAD
        for text, bold, colour in self._texts(index):
            font = self._font(option.font, bold)
            height = self._height(font, text)
            painter.setFont(font)
            painter.setPen(QColor(colour))
            place = QRect(rect.left() + 2 * _PAD + _ICON, top, self._width(), height)
            painter.drawText(place, int(_WRAP), text)
            top += height + 2
        if option.state & QStyle.StateFlag.State_HasFocus and selected:
            painter.setPen(QColor(theme.accent))
            painter.drawRect(rect.adjusted(0, 0, -1, -2))
        painter.restore()
