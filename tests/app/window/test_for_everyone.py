# SPDX-License-Identifier: MIT
"""What a screen reader is told, access keys, and reduced motion."""

from __future__ import annotations

from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QAccessible
from PySide6.QtWidgets import (
    QComboBox,
    QLineEdit,
    QMenu,
    QPushButton,
    QTableWidget,
    QTextBrowser,
    QWidget,
)
from pytestqt.qtbot import QtBot

from app.window.main_window import MainWindow


@pytest.fixture
def shown(window: MainWindow, boat: Path) -> MainWindow:
    window.document.open(boat)
    return window


def spoken(widget: QWidget) -> str:
    """Return what a screen reader says of a widget."""
    found = QAccessible.queryAccessibleInterface(widget)
    return "" if found is None else found.text(QAccessible.Text.Name)


def access_key(text: str) -> str:
    """Return the letter that presses a button or menu entry with Alt; empty for none."""
    return text.partition("&")[2][:1].lower()


def test_the_new_panels_and_their_fields_have_names(shown: MainWindow) -> None:
    live = shown.live_panels
    for panel in (live.circuit, live.steps, live.compare, shown.help.panel, shown.first_loop):
        for kind in (QComboBox, QPushButton, QTableWidget, QTextBrowser, QLineEdit):
            for widget in panel.findChildren(kind):
                assert spoken(widget), f"{type(panel).__name__}: {type(widget).__name__}"
    assert spoken(live.circuit.chart)
    assert spoken(live.steps.plot)


def test_the_outline_says_tag_name_and_value(shown: MainWindow) -> None:
    tree = shown.docks.outline.tree
    assert spoken(tree)
    model = tree.model()
    texts: list[str] = []
    for row in range(model.rowCount()):
        group = model.index(row, 0)
        texts += [str(model.index(at, 0, group).data() or "") for at in range(model.rowCount(group))]
    assert texts


def test_buttons_of_the_new_panels_have_access_keys_of_their_own(shown: MainWindow) -> None:
    live = shown.live_panels
    for panel in (live.steps, live.compare, shown.first_loop):
        keys = [
            button.text()[button.text().index("&") + 1].lower() for button in panel.findChildren(QPushButton)
        ]
        assert len(keys) == len(set(keys))


def test_access_keys_in_a_menu_are_all_different(shown: MainWindow) -> None:
    menus = [menu for menu in shown.menuBar().findChildren(QMenu) if menu.title() in ("&Help", "&Theme")]
    assert len(menus) == 2
    for menu in menus:
        keys = [access_key(action.text()) for action in menu.actions()]
        assert all(keys)
        assert len(keys) == len(set(keys)), menu.title()


def test_what_is_read_out_on_the_circuit_follows_the_keyboard(shown: MainWindow, qtbot: QtBot) -> None:
    live = shown.live_panels
    live.circuit_dock.raise_()
    live.circuit.set_seen(True)
    live.circuit.chart.setFocus()
    qtbot.keyClick(live.circuit.chart, Qt.Key.Key_Right)
    assert "P-1" in live.circuit.chart.accessibleDescription()


def test_motion_stands_still_where_the_user_wants_it(shown: MainWindow) -> None:
    shown.settings.set("motion", "still")
    assert not shown.scene._clock.isActive()
    shown.settings.set("motion", "drift")
    assert shown.scene._clock.isActive()
