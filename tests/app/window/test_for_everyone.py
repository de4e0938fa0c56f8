# SPDX-License-Identifier: MIT
"""What a screen reader is told, access keys, and reduced motion."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QAccessible
from PySide6.QtWidgets import (
    QAbstractButton,
    QComboBox,
    QLabel,
    QLineEdit,
    QMenu,
    QMessageBox,
    QPushButton,
    QTableWidget,
    QTextBrowser,
    QWidget,
)
from pytestqt.qtbot import QtBot

from app.panels.renumber_form import RenumberForm
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


def menus_of(menu: QMenu, name: str) -> Iterator[tuple[str, QMenu]]:
    """Return a menu and all menus in it, filled as when they open."""
    menu.aboutToShow.emit()
    yield name, menu
    for action in menu.actions():
        below = action.menu()
        if isinstance(below, QMenu):
            yield from menus_of(below, f"{name}, {action.text()}")


def check_keys(where: str, texts: Iterable[str]) -> None:
    """Check that each text has an access key and no two the same."""
    keys = {text: access_key(text.replace("&&", "")) for text in texts}
    assert all(keys.values()), (where, [text for text, key in keys.items() if not key])
    assert len(set(keys.values())) == len(keys), (where, sorted(keys.values()))


def test_access_keys_in_every_menu_are_all_different(shown: MainWindow) -> None:
    bar = shown.menuBar()
    check_keys("menu bar", [action.text() for action in bar.actions()])
    count = 0
    for top in bar.actions():
        menu = top.menu()
        assert isinstance(menu, QMenu)
        for name, each in menus_of(menu, top.text()):
            entries = [action for action in each.actions() if not action.isSeparator()]
            # An entry that only says that there is nothing takes no key.
            check_keys(name, [action.text() for action in entries if action.isEnabled() or len(entries) > 1])
            count += len(entries)
    assert count > 120


@pytest.mark.parametrize("tags", [(), ("AH-1",), ("R-1", "AH-1")])
def test_access_keys_in_the_menu_of_the_sheet_are_all_different(
    shown: MainWindow, tags: tuple[str, ...]
) -> None:
    shown.shown.select(tags)
    menu = shown.arranging.menu()
    check_keys("sheet", [action.text() for action in menu.actions() if not action.isSeparator()])
    menu.deleteLater()


def test_access_keys_in_every_dialog_are_all_different(
    shown: MainWindow, monkeypatch: pytest.MonkeyPatch
) -> None:
    shown.shown.select(("AH-1", "AH-2"))
    asked: list[QMessageBox] = []
    monkeypatch.setattr(QMessageBox, "exec", lambda box: asked.append(box) or 0)
    type(shown.files).ask_what_to_do(shown.files)
    for dialog in (RenumberForm(shown.document, shown.shown, shown), asked[0]):
        buttons = dialog.findChildren(QAbstractButton)
        texts = [button.text() for button in buttons if button.text() and not button.isHidden()]
        labels = [label.text() for label in dialog.findChildren(QLabel) if label.buddy() is not None]
        check_keys(type(dialog).__name__, [*texts, *labels])
        for field in dialog.findChildren(QComboBox):
            assert any(label.buddy() is field for label in dialog.findChildren(QLabel))
        dialog.deleteLater()


def test_a_file_with_an_ampersand_keeps_it_in_the_menu(shown: MainWindow, tmp_path: Path) -> None:
    path = tmp_path / "R&D.farcabin"
    shown.settings.add_recent_file(path)
    file = shown.menuBar().actions()[0].menu()
    assert isinstance(file, QMenu)
    recent = next(each for name, each in menus_of(file, "File") if "recent" in name)
    assert recent.actions()[0].text() == "&1  R&&D.farcabin"


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
