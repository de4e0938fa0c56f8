# SPDX-License-Identifier: MIT
"""Parts from the tray: dragged onto the sheet with the events of a real drag, and remembered."""

from __future__ import annotations

from pathlib import Path

import msgspec
import pytest
from PySide6.QtCore import QMimeData, QPoint, QPointF, Qt, QUrl
from PySide6.QtGui import QDrag, QDragEnterEvent, QDragLeaveEvent, QDragMoveEvent, QDropEvent, QMouseEvent
from PySide6.QtWidgets import QApplication, QTreeWidgetItem
from pytestqt.qtbot import QtBot

from app.editing.document import Document
from app.panels.parts_tray import PART_MIME
from app.window.main_window import MainWindow
from solver.vessel.file import write_vessel
from tests.app.window.drawn_mains import mains, show

_COPY, _LEFT, _PLAIN = Qt.DropAction.CopyAction, Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier


@pytest.fixture
def dragged(monkeypatch: pytest.MonkeyPatch) -> list[QMimeData]:
    """What drags carry; the system's own loop of a drag is left out, its events are sent instead."""
    found: list[QMimeData] = []

    def note(drag: QDrag, *_actions: object) -> Qt.DropAction:
        copy = QMimeData()
        for kind in drag.mimeData().formats():
            copy.setData(kind, drag.mimeData().data(kind))
        assert not drag.pixmap().isNull()
        found.append(copy)
        return _COPY

    monkeypatch.setattr(QDrag, "exec", note)
    return found


def _item(window: MainWindow, text: str) -> QTreeWidgetItem:
    tree = window.docks.parts.tree
    return tree.findItems(text, Qt.MatchFlag.MatchExactly | Qt.MatchFlag.MatchRecursive)[-1]


def _drag_out(window: MainWindow, text: str, qtbot: QtBot) -> None:
    """Press on a line of the tray and move away with the button down."""
    window.docks.parts_dock.raise_()
    tree, item = window.docks.parts.tree, _item(window, text)
    tree.scrollToItem(item)
    place = tree.visualItemRect(item).center()
    qtbot.mousePress(tree.viewport(), _LEFT, pos=place)
    for step in (4, 12, 24):
        # As Qt sends it while a button is down; the test's own move has none.
        at = QPointF(place + QPoint(step, step))
        there = QPointF(tree.viewport().mapToGlobal(at.toPoint()))
        event = QMouseEvent(QMouseEvent.Type.MouseMove, at, there, Qt.MouseButton.NoButton, _LEFT, _PLAIN)
        QApplication.sendEvent(tree.viewport(), event)
    qtbot.mouseRelease(tree.viewport(), _LEFT, pos=place)


def _over(window: MainWindow, data: QMimeData, places: list[QPoint]) -> QDragEnterEvent:
    port = window.view.viewport()
    enter = QDragEnterEvent(places[0], _COPY, data, _LEFT, _PLAIN)
    QApplication.sendEvent(port, enter)
    for place in places:
        move = QDragMoveEvent(place, _COPY, data, _LEFT, _PLAIN)
        QApplication.sendEvent(port, move)
        assert move.isAccepted()
    return enter


def test_a_part_is_dragged_from_the_tray_onto_the_sheet(
    shown: MainWindow, qtbot: QtBot, dragged: list[QMimeData]
) -> None:
    _drag_out(shown, "Buffer tank", qtbot)
    assert len(dragged) == 1
    assert bytes(dragged[0].data(PART_MIME).data()).decode().startswith("buffer_tank\n")
    before = len(shown.document.vessel.components)
    place = shown.view.mapFromScene(QPointF(420, 60))
    enter = _over(shown, dragged[0], [place + QPoint(60, 60), place])
    assert enter.isAccepted()
    assert shown.drawing.tools.name == "place"
    ghost = shown.drawing.tools.place_tool.ghost
    assert ghost is not None and abs(ghost.at[0] - 420) <= 10
    drop = QDropEvent(QPointF(place), _COPY, dragged[0], _LEFT, _PLAIN)
    QApplication.sendEvent(shown.view.viewport(), drop)
    assert drop.isAccepted()
    assert len(shown.document.vessel.components) == before + 1
    tank = shown.document.vessel.components[-1]
    assert abs(tank.at[0] - 420) <= 10 and abs(tank.at[1] - 60) <= 10
    assert shown.document.undo_name == f"Place {tank.tag}"
    shown.document.undo()
    assert len(shown.document.vessel.components) == before


def test_a_whole_branch_is_dragged_onto_the_sheet(
    window: MainWindow, qtbot: QtBot, dragged: list[QMimeData]
) -> None:
    show(window, mains())
    _drag_out(window, "Whole branch", qtbot)
    place = window.view.mapFromScene(QPointF(300.0, 120.0))
    _over(window, dragged[0], [place + QPoint(30, 0), place])
    assert window.drawing.tools.branch_tool.ghost is not None
    drop = QDropEvent(QPointF(place), _COPY, dragged[0], _LEFT, _PLAIN)
    QApplication.sendEvent(window.view.viewport(), drop)
    assert window.document.undo_name == "Place the branch of AH-1"


def test_a_drag_that_goes_elsewhere_leaves_nothing(
    shown: MainWindow, qtbot: QtBot, dragged: list[QMimeData]
) -> None:
    _drag_out(shown, "Buffer tank", qtbot)
    before = shown.document.vessel
    _over(shown, dragged[0], [QPoint(300, 200)])
    QApplication.sendEvent(shown.view.viewport(), QDragLeaveEvent())
    assert shown.document.vessel is before
    assert shown.drawing.tools.name == "arrange"


def test_what_is_not_a_part_is_not_taken(shown: MainWindow) -> None:
    data = QMimeData()
    data.setText("tee")
    enter = QDragEnterEvent(QPoint(300, 200), _COPY, data, _LEFT, _PLAIN)
    enter.ignore()
    QApplication.sendEvent(shown.view.viewport(), enter)
    assert not enter.isAccepted()


def test_a_file_dropped_on_the_sheet_is_opened(shown: MainWindow, tmp_path: Path) -> None:
    path = tmp_path / "other.farcabin"
    write_vessel(msgspec.structs.replace(shown.document.vessel, name="Other boat"), path)
    data = QMimeData()
    data.setUrls([QUrl.fromLocalFile(str(path))])
    enter = QDragEnterEvent(QPoint(300, 200), _COPY, data, _LEFT, _PLAIN)
    QApplication.sendEvent(shown.view.viewport(), enter)
    assert enter.isAccepted()
    drop = QDropEvent(QPointF(300, 200), _COPY, data, _LEFT, _PLAIN)
    QApplication.sendEvent(shown.view.viewport(), drop)
    assert shown.document.vessel.name == "Other boat"


def test_parts_taken_by_any_way_stand_on_top_of_the_tray_from_run_to_run(
    window: MainWindow, qtbot: QtBot
) -> None:
    window.actions_by_name["place_drain"].trigger()
    qtbot.keyClick(window.view, "t")
    top = window.docks.parts.tree.topLevelItem(0)
    assert top is not None
    qtbot.waitUntil(lambda: top.childCount() == 2)
    assert [top.child(row).text(0) for row in range(2)] == ["Tee", "Drain"]
    assert window.settings.texts("recent_parts") == ["tee\t", "drain\t"]
    window.drawing.tools.put_down()
    other = MainWindow(Document(), window.settings, None, force_sync=True)
    again = other.docks.parts.tree.topLevelItem(0)
    assert again is not None and again.child(0).text(0) == "Tee"
    other.close()
    other.deleteLater()
