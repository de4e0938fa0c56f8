# SPDX-License-Identifier: MIT
"""What a screen reader is told, access keys, and reduced motion."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray
from PySide6.QtCore import QPoint, QRect, Qt
from PySide6.QtGui import QAccessible, QColor, QImage
from PySide6.QtWidgets import (
    QAbstractButton,
    QApplication,
    QCheckBox,
    QComboBox,
    QLabel,
    QLineEdit,
    QMenu,
    QMessageBox,
    QPushButton,
    QTabBar,
    QTableWidget,
    QTabWidget,
    QTextBrowser,
    QWidget,
)
from pytestqt.qtbot import QtBot

from app.panels.renumber_form import RenumberForm
from app.theme import theme
from app.window.main_window import MainWindow
from app.window.status_bar import _Counts


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


def _lightness(picture: QImage) -> NDArray[np.float64]:
    """Return the relative luminance of every pixel, as WCAG defines it."""
    picture = picture.convertToFormat(QImage.Format.Format_RGB32)
    rows = np.frombuffer(picture.constBits(), np.uint8).reshape(picture.height(), picture.bytesPerLine())
    share = rows[:, : 4 * picture.width()].reshape(picture.height(), -1, 4)[:, :, :3] / 255
    linear = np.where(share <= 0.04045, share / 12.92, ((share + 0.055) / 1.055) ** 2.4)
    found: NDArray[np.float64] = linear @ np.array([0.0722, 0.7152, 0.2126])
    return found


def _ring_of(widget: QWidget) -> QRect:
    """Return what of a widget its ring goes round: of tabs the one in front, of a box to tick the box."""
    if isinstance(widget, QTabWidget):
        return widget.tabBar().tabRect(widget.currentIndex())
    if isinstance(widget, QTabBar):
        return widget.tabRect(widget.currentIndex())
    return QRect(0, 0, 16, 16) if isinstance(widget, QCheckBox) else widget.rect()


@pytest.mark.parametrize("name", ["light", "dark", "contrast_light", "contrast_dark"])
def test_whatever_takes_the_keyboard_shows_a_ring(shown: MainWindow, qtbot: QtBot, name: str) -> None:
    shown.settings.set("theme", name)
    shown.settings.set("motion", "still")
    shown.activateWindow()
    shown.help.show_context("canvas")
    QApplication.processEvents()
    panel = QImage(1, 1, QImage.Format.Format_RGB32)
    panel.fill(QColor(theme(name).panel))
    behind = _lightness(panel)[0, 0]
    seen: set[QWidget] = set()
    missing: list[str] = []
    for dock in (*shown.docks.all(), shown.help.dock):
        dock.raise_()
        for widget in shown.findChildren(QWidget):
            takes = widget.focusPolicy() & Qt.FocusPolicy.TabFocus and widget.isEnabled()
            takes = takes and widget.focusProxy() is None
            if widget in seen or not takes or widget.visibleRegion().boundingRect() != widget.rect():
                continue
            seen.add(widget)
            focus = QApplication.focusWidget()
            if focus is not None:
                focus.clearFocus()
            area = QRect(widget.mapTo(shown, QPoint(0, 0)), widget.size()) & shown.rect()
            before = _lightness(shown.grab(area).toImage())
            widget.setFocus(Qt.FocusReason.TabFocusReason)
            after = _lightness(shown.grab(area).toImage())
            light, dim = np.maximum(after, behind) + 0.05, np.minimum(after, behind) + 0.05
            ring = ((light / dim >= 3) & (np.abs(after - before) > 0.01)).sum()
            size = _ring_of(widget).size()
            # Two pixels wide all round, but for corners and what the widget is cut off by.
            # A tab in front has its underline already.
            share = 0.5 if isinstance(widget, QTabBar | QTabWidget) else 0.7
            if ring < 2 * 2 * (size.width() + size.height()) * share:
                missing.append(f"{widget} in {widget.parent()}: {size} {ring}")
    assert len(seen) > 40
    assert not missing


def _clipped(window: MainWindow) -> list[str]:
    """Return the texts of labels and buttons in sight that have no room for all of it."""
    found = []
    for widget in window.findChildren(QLabel) + window.findChildren(QAbstractButton):
        text = widget.text().replace("&", "")
        in_full = isinstance(widget, _Counts) or not text
        if in_full or widget.visibleRegion().isEmpty() or text.startswith("<"):
            continue
        if isinstance(widget, QLabel) and widget.wordWrap():
            room, needed = widget.height(), widget.heightForWidth(widget.width())
        else:
            room = widget.contentsRect().width()
            needed = max(widget.fontMetrics().horizontalAdvance(line) for line in text.splitlines())
        if needed > room + 1:
            found.append(f"{text[:50]}: {needed} px, room for {room}")
    return found


@pytest.mark.parametrize("size", [(960, 540), (1280, 800)])
def test_no_text_is_clipped_on_a_small_screen_of_twice_the_pixels(
    shown: MainWindow, size: tuple[int, int]
) -> None:
    shown.settings.set("motion", "still")
    shown.resize(*size)
    QApplication.processEvents()
    # 1920 by 1080 pixels at 200 %.
    assert shown.width() <= size[0] + 8 and shown.height() <= size[1]
    for dock in shown.docks.all():
        dock.raise_()
        # Seen, it may ask for figures, whose layout is made in the turn after.
        QApplication.processEvents()
        QApplication.processEvents()
        assert _clipped(shown) == [], dock.windowTitle()
    for tag in ("AH-1", "P-1", "R-1", "EX-1", "C-1"):
        shown.shown.select((tag,))
        shown.docks.properties_dock.raise_()
        QApplication.processEvents()
        assert _clipped(shown) == [], tag
