# SPDX-License-Identifier: MIT
"""The parts tray: every kind, found by words, chosen by mouse and keys, models of the user's own list."""

from __future__ import annotations

from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QTreeWidgetItem
from pytestqt.qtbot import QtBot

from app.canvas.part_keys import PART_KEYS
from app.editing.document import Document
from app.panels.part_groups import groups
from app.panels.parts_tray import PartsTray
from app.panels.shown import Shown
from app.theme import theme
from solver.vessel.components import KINDS
from solver.vessel.edits import set_vessel_field
from tests.app.left_behind import nothing_left_behind

__all__ = ["nothing_left_behind"]


@pytest.fixture
def tray(qtbot: QtBot) -> PartsTray:
    tray = PartsTray(Document(), Shown(theme("light")), PART_KEYS)
    qtbot.addWidget(tray)
    tray.resize(260, 900)
    tray.show()
    qtbot.waitExposed(tray)
    return tray


def _item(tray: PartsTray, text: str) -> QTreeWidgetItem:
    """Return a part of the list, aside from those used last."""
    found = tray.tree.findItems(text, Qt.MatchFlag.MatchExactly | Qt.MatchFlag.MatchRecursive)
    found = [item for item in found if item.parent() is None or item.parent().text(0) != "Used last"]
    assert len(found) == 1
    return found[0]


def test_every_kind_is_in_it_once_with_a_key_of_its_own() -> None:
    kinds = [kind for group in groups().values() for kind in group]
    assert sorted(kinds) == sorted(KINDS)
    assert PART_KEYS.keys() == set(KINDS)
    assert len(set(PART_KEYS.values())) == len(PART_KEYS)


def test_a_click_takes_a_kind_in_hand(tray: PartsTray, qtbot: QtBot) -> None:
    item = _item(tray, "Tee")
    tray.tree.scrollToItem(item)
    with qtbot.waitSignal(tray.part_chosen) as chosen:
        place = tray.tree.visualItemRect(item).center()
        qtbot.mouseClick(tray.tree.viewport(), Qt.MouseButton.LeftButton, pos=place)
    assert chosen.args == ["tee", ""]


def test_words_and_enter_take_a_model(tray: PartsTray, qtbot: QtBot) -> None:
    tray.filter.setFocus()
    qtbot.keyClicks(tray.filter, "handler 3.5")
    with qtbot.waitSignal(tray.part_chosen) as chosen:
        qtbot.keyClick(tray.filter, Qt.Key.Key_Return)
    assert chosen.args == ["air_handler", "Air handler 3.5 kW"]
    assert tray.model_for("air_handler") == "Air handler 3.5 kW"
    tray.filter.setText("no such thing")
    assert tray.none_found.isVisible() and "no such thing" in tray.none_found.text()


def test_the_keyboard_alone_reaches_a_part(tray: PartsTray, qtbot: QtBot) -> None:
    tray.tree.setFocus()
    tray.tree.setCurrentItem(_item(tray, "Strainer"))
    assert "key S" in str(_item(tray, "Strainer").data(0, Qt.ItemDataRole.AccessibleTextRole))
    with qtbot.waitSignal(tray.part_chosen) as chosen:
        qtbot.keyClick(tray.tree, Qt.Key.Key_Return)
    assert chosen.args[0] == "strainer"


def test_a_list_of_the_users_own(tray: PartsTray, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    own = tmp_path / "own.csv"
    own.write_text("kind,model\ncheck_valve,Flap 22,kv_m3_h=5\n", encoding="utf-8")
    monkeypatch.setattr(tray, "ask_path", lambda: str(own))
    tray.list_button.click()
    assert tray.model_for("check_valve") == "Flap 22"
    assert tray.model_for("air_handler") == ""
    assert "own.csv" in tray.list_name.text()
    own.write_text("kind,model\ncheck_valve,Flap 22,kv_m3_h=much\n", encoding="utf-8")
    tray.list_button.click()
    assert "kv_m3_h" in tray.problem.text()
    tray.own_button.click()
    assert "shipped" in tray.list_name.text()


def test_a_list_that_is_gone_is_told(tray: PartsTray) -> None:
    tray._document.edit("List", lambda vessel: set_vessel_field(vessel, "parts_list", "gone.csv"))
    assert "gone.csv" in tray.problem.text()
    assert tray.model_for("air_handler")


def _used(tray: PartsTray) -> list[str]:
    top = tray.tree.topLevelItem(0)
    assert top is not None and top.text(0) == "Used last"
    assert top.isHidden() is (top.childCount() == 0)
    return [top.child(row).text(0) for row in range(top.childCount())]


def test_what_was_used_last_stands_on_top(tray: PartsTray, qtbot: QtBot) -> None:
    told: list[list[str]] = []
    tray.recent_changed.connect(told.append)
    assert _used(tray) == []
    for kind in ("tee", "drain", "manifold", "tee", "strainer", "air_vent", "fill_point"):
        tray.remember(kind)
    qtbot.waitUntil(lambda: len(_used(tray)) == 5)
    assert _used(tray) == ["Fill point", "Air vent", "Strainer", "Tee", "Manifold"]
    assert told[-1] == ["fill_point\t", "air_vent\t", "strainer\t", "tee\t", "manifold\t"]
    tray.remember("fill_point")
    assert len(told) == 7


def test_what_was_used_before_comes_back_as_far_as_it_is_known(tray: PartsTray) -> None:
    tray.set_recent(
        ["tee\t", "no such kind\t", "air_handler\tAir handler 3.5 kW", "air_handler\tgone", "branch\t"]
    )
    assert _used(tray) == ["Tee", "Air handler 3.5 kW", "Whole branch"]
    assert tray.model_for("air_handler") == "Air handler 3.5 kW"
