# SPDX-License-Identifier: MIT
"""What is wrong with the vessel, live: the problem, its cause, what would cure it.

A click selects the parts and brings them into view.  A finding can be muted with a reason, which is
kept until another vessel is opened.
"""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QModelIndex, QPoint, Qt, Signal
from PySide6.QtGui import QAction
from PySide6.QtWidgets import (
    QCheckBox,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QListView,
    QMenu,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from app.panels.findings_list import FINDING, FindingDelegate, FindingsModel
from app.panels.severity import SEVERITIES, severity_count
from app.panels.shown import Shown
from app.translation import tr
from solver.results import Finding


class FindingsPanel(QWidget):
    """The list of findings with its counts.

    Attributes
    ----------
    counts_changed : Signal(dict)
        Severity -> number of findings that are not muted.
    """

    counts_changed = Signal(dict)

    def __init__(self, shown: Shown, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._shown = shown
        self._model = FindingsModel(self)
        self._summary = QLabel(self)
        self._summary.setProperty("role", "soft")
        self._show_muted = QCheckBox(self)
        self._show_muted.toggled.connect(self._model.show_muted)
        self._mute_button = QPushButton(tr("&Mute…"), self)
        self._mute_button.clicked.connect(self._begin_muting)
        self._list = QListView(self)
        self._list.setObjectName("findings")
        self._list.setAccessibleName(tr("Findings"))
        self._list.setModel(self._model)
        self._delegate = FindingDelegate(shown, self._list)
        self._list.setItemDelegate(self._delegate)
        self._list.setResizeMode(QListView.ResizeMode.Adjust)
        self._list.setVerticalScrollMode(QListView.ScrollMode.ScrollPerPixel)
        self._list.setContextMenuPolicy(Qt.ContextMenuPolicy.CustomContextMenu)
        self._list.customContextMenuRequested.connect(self._show_menu)
        self._list.clicked.connect(self._go_to)
        self._list.activated.connect(self._go_to)
        self._list.selectionModel().currentChanged.connect(self._enable)
        self._reason_bar = self._make_reason_bar()
        self._lay_out()
        shown.theme_changed.connect(self._list.viewport().update)
        self.show_findings((), judged=False)

    @property
    def list_view(self) -> QListView:
        """The list itself."""
        return self._list

    def counts(self) -> dict[str, int]:
        """Return severity -> number of findings that are not muted."""
        return self._model.counts()

    def show_findings(self, findings: Sequence[Finding], judged: bool = True) -> None:
        """Show the findings of the vessel as it is; ``judged`` is False while there is nothing to judge."""
        self._judged = judged
        current = self._current()
        self._model.set_findings(findings)
        if current is not None:
            row = self._model.row_of(current)
            if row >= 0:
                self._list.setCurrentIndex(self._model.index(row))
        self._tell()

    def forget_muted(self) -> None:
        """Another vessel is shown: nothing is muted in it."""
        self._model.forget_muted()
        self._tell()

    def _lay_out(self) -> None:
        top = QHBoxLayout()
        top.setContentsMargins(8, 4, 8, 4)
        top.addWidget(self._summary, 1)
        top.addWidget(self._show_muted)
        top.addWidget(self._mute_button)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(0)
        layout.addLayout(top)
        layout.addWidget(self._list, 1)
        layout.addWidget(self._reason_bar)

    def _make_reason_bar(self) -> QWidget:
        bar = QWidget(self)
        self._reason = QLineEdit(bar)
        self._reason.setObjectName("mute_reason")
        self._reason.setPlaceholderText(tr("such as: the owner wants it so"))
        label = QLabel(tr("&Why is it muted?"), bar)
        label.setBuddy(self._reason)
        mute = QPushButton(tr("Mute this finding"), bar)
        cancel = QPushButton(tr("Keep it"), bar)
        mute.clicked.connect(self._mute)
        self._reason.returnPressed.connect(self._mute)
        cancel.clicked.connect(bar.hide)
        escape = QAction(bar)
        escape.setShortcut(Qt.Key.Key_Escape)
        escape.setShortcutContext(Qt.ShortcutContext.WidgetWithChildrenShortcut)
        escape.triggered.connect(bar.hide)
        bar.addAction(escape)
        layout = QHBoxLayout(bar)
        layout.setContentsMargins(8, 4, 8, 4)
        layout.addWidget(label)
        layout.addWidget(self._reason, 1)
        layout.addWidget(mute)
        layout.addWidget(cancel)
        bar.hide()
        return bar

    def _current(self) -> Finding | None:
        index = self._list.currentIndex()
        finding = index.data(FINDING) if index.isValid() else None
        return finding if isinstance(finding, Finding) else None

    def _go_to(self, index: QModelIndex) -> None:
        finding = index.data(FINDING)
        if isinstance(finding, Finding) and finding.tags:
            self._shown.select(finding.tags, zoom=True)

    def _enable(self) -> None:
        finding = self._current()
        self._mute_button.setEnabled(finding is not None)
        muted = finding is not None and self._model.is_muted(finding)
        self._mute_button.setText(tr("Un&mute") if muted else tr("&Mute…"))

    def _show_menu(self, place: QPoint) -> None:
        if self._current() is None:
            return
        menu = QMenu(self)
        menu.addAction(tr("Select and zoom to the parts"), lambda: self._go_to(self._list.currentIndex()))
        menu.addAction(self._mute_button.text(), self._begin_muting)
        menu.exec(self._list.viewport().mapToGlobal(place))
        menu.deleteLater()

    def _begin_muting(self) -> None:
        finding = self._current()
        if finding is None:
            return
        if self._model.is_muted(finding):
            self._model.unmute(finding)
            self._tell()
            return
        self._reason.clear()
        self._reason_bar.show()
        self._reason.setFocus()

    def _mute(self) -> None:
        finding = self._current()
        if finding is None:
            return
        self._reason_bar.hide()
        self._model.mute(finding, self._reason.text().strip() or tr("no reason given"))
        self._list.setFocus()
        self._tell()

    def _tell(self) -> None:
        counts = self._model.counts()
        parts = [severity_count(each, counts[each]) for each in SEVERITIES if counts[each]]
        nothing = tr("Nothing found wrong.") if self._judged else ""
        self._summary.setText(" · ".join(parts) or nothing)
        muted = self._model.muted_count()
        self._show_muted.setText(tr("Show muted ({0})").format(muted))
        self._show_muted.setVisible(muted > 0)
        self._enable()
        self.counts_changed.emit(counts)
