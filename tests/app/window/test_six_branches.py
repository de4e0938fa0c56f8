# SPDX-License-Identifier: MIT
"""Six complete air-handler branches on two decks from an empty canvas, with few clicks and keys."""

from __future__ import annotations

from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget

from app.window.main_window import MainWindow
from solver.solve import solve
from solver.vessel.components import AirHandler, Chiller, IsolatingValve, RegulatingValve
from solver.vessel.edits.joining import free_ports
from solver.vessel.fields import Point
from solver.vessel.footprint import port_place
from tests.app.window.drawn_mains import NONE, SHIFT, click

#: What it may take; the aim is well under 150.
_MOST = 50


class _Hand:
    """Draws by events and counts its presses of buttons and keys; a modifier counts as one more."""

    def __init__(self, window: MainWindow) -> None:
        self.window, self.presses = window, 0

    def click(self, *points: Point) -> None:
        for point in points:
            click(self.window, point)
            self.presses += 1

    def press(self, key: Qt.Key, modifiers: Qt.KeyboardModifier = NONE) -> None:
        QTest.keyClick(QApplication.focusWidget() or self.window.view, key, modifiers)
        self.presses += 1 if modifiers == NONE else 2

    def click_widget(self, widget: QWidget, at: QPoint | None = None) -> None:
        QTest.mouseClick(widget, Qt.MouseButton.LeftButton, NONE, at or widget.rect().center())
        self.presses += 1

    def click_deck(self, row: int) -> None:
        table = self.window.docks.decks.table
        item = table.item(row, 0)
        assert item is not None
        self.click_widget(table.viewport(), table.visualItemRect(item).center())


def _two_decks(hand: _Hand) -> None:
    hand.window.docks.decks_dock.raise_()
    # The tab of the panel.
    hand.presses += 1
    for _ in range(2):
        hand.click_widget(hand.window.docks.decks.buttons["add"])
        # The name offered is kept.
        hand.press(Qt.Key.Key_Escape)
    hand.click_deck(0)


def _draw(hand: _Hand) -> None:
    window, keys = hand.window, Qt.Key
    hand.click_widget(window.findChild(QWidget, "draw_join_button"))
    window.view.zoom(0.55 / window.view.scale_now())
    window.view.centerOn(500.0, 200.0)
    # The plant, and the mains of the lower deck with three branches.
    hand.press(keys.Key_C)
    hand.click((0.0, 320.0))
    chiller = next(part for part in window.document.vessel.components if isinstance(part, Chiller))
    supply = port_place(chiller, "water_out")
    hand.press(keys.Key_P, SHIFT)
    hand.click(supply, (800.0, supply[1]), (800.0, supply[1]))
    hand.press(keys.Key_B)
    hand.click((400.0, 140.0), (600.0, 140.0), (780.0, 140.0))
    # Up to the other deck, and three more there.
    hand.click_deck(1)
    hand.press(keys.Key_F6, SHIFT)
    hand.press(keys.Key_P, SHIFT)
    hand.click((220.0, supply[1]), (220.0, 0.0), (800.0, 0.0), (800.0, 0.0))
    hand.press(keys.Key_B)
    hand.click((400.0, -160.0), (600.0, -160.0), (780.0, -160.0))
    # Pump and expansion vessel.
    hand.press(keys.Key_U)
    hand.click((120.0, supply[1] + 40.0))
    hand.press(keys.Key_E)
    hand.click((100.0, 440.0))
    vessel = window.document.vessel
    expansion = next(part for part in vessel.components if part.tag.startswith("EV"))
    hand.press(keys.Key_P)
    hand.click(port_place(expansion, expansion.ports[0]), (170.0, supply[1] + 40.0))


def test_six_branches_on_two_decks_take_few_presses(window: MainWindow) -> None:
    hand = _Hand(window)
    _two_decks(hand)
    _draw(hand)
    vessel = window.document.vessel
    kinds = [type(part) for part in vessel.components]
    handlers = [part for part in vessel.components if isinstance(part, AirHandler)]
    assert [part.deck for part in handlers] == ["Deck 1"] * 3 + ["Deck 2"] * 3
    assert (kinds.count(IsolatingValve), kinds.count(RegulatingValve)) == (12, 6)
    # Nothing is left to join but the chiller's sea water.
    assert {end.port for end in free_ports(vessel)} == {"sea_in", "sea_out"}
    figures = solve(vessel).air_handlers
    assert len(figures) == 6
    assert all(one.flow_L_s > 0 for one in figures.values())
    assert hand.presses <= _MOST, hand.presses
