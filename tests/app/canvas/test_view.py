# SPDX-License-Identifier: MIT
"""The view under real mouse and key events."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QPoint, QPointF, QRectF, Qt
from PySide6.QtGui import QMouseEvent, QNativeGestureEvent, QPointingDevice, QWheelEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from app.canvas.scene import VesselScene
from app.canvas.view import VesselView
from app.shipped import shipped
from app.theme import theme
from solver.vessel.file import read_vessel
from tests.app.parts_drawn import results
from tests.app.pointer import move_mouse
from tests.app.small_loop import small_loop

_LEFT, _MIDDLE = Qt.MouseButton.LeftButton, Qt.MouseButton.MiddleButton
_NONE, _SHIFT = Qt.KeyboardModifier.NoModifier, Qt.KeyboardModifier.ShiftModifier
_CONTROL = Qt.KeyboardModifier.ControlModifier


def _on(view: VesselView, tag: str) -> QPoint:
    """Return the middle of a part on the viewport; of a run, that of its longest leg."""
    picture = view.scene().picture
    if tag in picture.runs.items:
        (ax, ay), (bx, by) = picture.runs.items[tag].longest_leg
        return view.mapFromScene(QPointF((ax + bx) / 2, (ay + by) / 2))
    return view.mapFromScene(view.scene().place_of(tag).center())


def _click(view: VesselView, tag: str, modifiers: Qt.KeyboardModifier = _NONE) -> None:
    QTest.mouseClick(view.viewport(), _LEFT, modifiers, _on(view, tag))


def _drag(
    view: VesselView,
    start: QPoint,
    end: QPoint,
    button: Qt.MouseButton = _LEFT,
    modifiers: Qt.KeyboardModifier = _NONE,
) -> None:
    QTest.mousePress(view.viewport(), button, modifiers, start)
    move_mouse(view.viewport(), (start + end) / 2, button)
    move_mouse(view.viewport(), end, button)
    QTest.mouseRelease(view.viewport(), button, modifiers, end)


def _wheel(view: VesselView, at: QPoint, dx: int, dy: int, modifiers: Qt.KeyboardModifier) -> None:
    event = QWheelEvent(
        QPointF(at),
        QPointF(view.viewport().mapToGlobal(at)),
        QPoint(),
        QPoint(dx, dy),
        Qt.MouseButton.NoButton,
        modifiers,
        Qt.ScrollPhase.NoScrollPhase,
        False,
    )
    QApplication.sendEvent(view.viewport(), event)


def _middle(view: VesselView) -> QPointF:
    return view.mapToScene(view.viewport().rect().center())


def test_a_click_selects_and_a_click_beside_lets_go(view: VesselView, scene: VesselScene) -> None:
    _click(view, "AH-1")
    assert scene.selected_tags() == ("AH-1",)
    _click(view, "R-5")
    assert scene.selected_tags() == ("R-5",)
    QTest.mouseClick(view.viewport(), _LEFT, _NONE, view.mapFromScene(QPointF(240, 120)))
    assert scene.selected_tags() == ()


def test_shift_adds_and_control_turns_over(view: VesselView, scene: VesselScene) -> None:
    _click(view, "AH-1")
    _click(view, "P-1", _SHIFT)
    _click(view, "AH-1", _SHIFT)
    assert scene.selected_tags() == ("AH-1", "P-1")
    _click(view, "AH-1", _CONTROL)
    assert scene.selected_tags() == ("P-1",)
    _click(view, "AH-2", _CONTROL)
    assert scene.selected_tags() == ("P-1", "AH-2")


def test_a_band_selects_what_it_touches(view: VesselView, scene: VesselScene) -> None:
    start, end = view.mapFromScene(QPointF(-30, 160)), view.mapFromScene(QPointF(40, 205))
    _drag(view, start, end)
    assert set(scene.selected_tags()) == {"P-1", "R-1", "R-9"}
    # From right to left it does the same, and Shift adds.
    _drag(view, view.mapFromScene(QPointF(190, 40)), view.mapFromScene(QPointF(105, -30)), modifiers=_SHIFT)
    assert {"P-1", "AH-1"} <= set(scene.selected_tags())


def test_a_band_is_seen_while_it_is_drawn_and_given_up_with_escape(
    view: VesselView, scene: VesselScene
) -> None:
    scene.select_tags(["AH-2"])
    before = view.grab().toImage()
    start, end = view.mapFromScene(QPointF(-30, 160)), view.mapFromScene(QPointF(60, 250))
    QTest.mousePress(view.viewport(), _LEFT, _NONE, start)
    move_mouse(view.viewport(), end, _LEFT)
    assert view.grab().toImage() != before
    QTest.keyClick(view, Qt.Key.Key_Escape)
    QTest.mouseRelease(view.viewport(), _LEFT, _NONE, end)
    assert scene.selected_tags() == ("AH-2",)
    QTest.keyClick(view, Qt.Key.Key_Escape)
    assert scene.selected_tags() == ()


def test_a_double_click_or_enter_opens_a_part(view: VesselView, scene: VesselScene, qtbot: QtBot) -> None:
    with qtbot.waitSignal(scene.edit_asked) as asked:
        QTest.mouseDClick(view.viewport(), _LEFT, _NONE, _on(view, "RV-1"))
    assert asked.args == ["RV-1", False]
    assert scene.selected_tags() == ("RV-1",)
    with qtbot.waitSignal(scene.tag_activated) as told:
        QTest.keyClick(view, Qt.Key.Key_Return)
    assert told.args == ["RV-1"]


def test_a_double_click_on_a_label_tells_what_it_was_on(
    view: VesselView, scene: VesselScene, qtbot: QtBot
) -> None:
    scene.show_results(results(small_loop()))
    scene.lay_out_labels()
    label, placed = next(each for each in scene.picture.labels.shown().values() if each[0].value)
    scale, (left, top, right, bottom) = view.scale_now(), placed.box
    for x, on_tag in ((left + 6, True), (left + label.tag_ends + 3, False)):
        with qtbot.waitSignal(scene.edit_asked) as asked:
            place = view.mapFromScene(QPointF(x / scale, (top + bottom) / 2 / scale))
            QTest.mouseDClick(view.viewport(), _LEFT, _NONE, place)
        assert asked.args == [label.tag, on_tag]
    assert right > left + label.tag_ends + 3


def _point_at(view: VesselView, place: QPoint) -> None:
    # Sent straight to the viewport: the platform leaves a move out when it thinks the pointer was there.
    none = Qt.MouseButton.NoButton
    at = QPointF(place), QPointF(view.viewport().mapToGlobal(place))
    event = QMouseEvent(QMouseEvent.Type.MouseMove, *at, none, none, _NONE)
    QApplication.sendEvent(view.viewport(), event)


def test_the_part_under_the_pointer_shows_its_ports(view: VesselView, scene: VesselScene) -> None:
    empty = view.mapFromScene(QPointF(240, 120))
    _point_at(view, empty)
    before = view.grab().toImage()
    _point_at(view, _on(view, "AH-2"))
    assert view.grab().toImage() != before
    _point_at(view, empty)
    assert view.grab().toImage() == before


def test_the_selection_is_outlined_in_the_accent(view: VesselView, scene: VesselScene) -> None:
    accent = theme("light").accent.lower()

    def accents() -> int:
        image = view.viewport().grab().toImage()
        names = (image.pixelColor(x, y).name() for x in range(image.width()) for y in range(image.height()))
        return sum(name == accent for name in names)

    assert accents() == 0
    scene.select_tags(["AH-2"])
    assert accents() > 50


@pytest.mark.parametrize(("key", "larger"), [("+", True), ("=", True), ("-", False)])
def test_keys_zoom_about_the_middle(view: VesselView, key: str, larger: bool) -> None:
    view.zoom(0.5)
    before, middle = view.scale_now(), _middle(view)
    QTest.keyClicks(view, key)
    assert (view.scale_now() > before) == larger
    assert view.scale_now() != before
    assert (_middle(view) - middle).manhattanLength() < 4 / view.scale_now()


def test_keys_0_and_9_show_actual_size_and_all(view: VesselView) -> None:
    fitted = view.scale_now()
    QTest.keyClicks(view, "++")
    QTest.keyClicks(view, "0")
    assert view.scale_now() == pytest.approx(1.0)
    QTest.keyClicks(view, "9")
    assert view.scale_now() == pytest.approx(fitted)


def test_the_wheel_pans_and_with_control_zooms_at_the_pointer(view: VesselView) -> None:
    middle, scale = _middle(view), view.scale_now()
    _wheel(view, QPoint(200, 200), 0, -120, _NONE)
    assert (_middle(view) - middle).y() == pytest.approx(120 / scale, abs=2 / scale)
    _wheel(view, QPoint(200, 200), 0, -60, _SHIFT)
    assert (_middle(view) - middle).x() == pytest.approx(60 / scale, abs=2 / scale)
    for step in (120, -240, 480):
        at = view.mapToScene(QPoint(200, 150))
        _wheel(view, QPoint(200, 150), 0, step, _CONTROL)
        assert (view.mapToScene(QPoint(200, 150)) - at).manhattanLength() < 4 / view.scale_now()
    assert view.scale_now() > scale


def test_zoom_stops_at_its_ends(view: VesselView) -> None:
    view.zoom(1e6)
    assert view.scale_now() == 8.0
    view.zoom(1e-9)
    assert view.scale_now() == 0.02


@pytest.mark.parametrize("way", ["middle button", "space"])
def test_the_sheet_is_dragged(view: VesselView, scene: VesselScene, way: str) -> None:
    scene.select_tags(["AH-2"])
    middle, scale = _middle(view), view.scale_now()
    if way == "space":
        QTest.keyPress(view, Qt.Key.Key_Space)
    button = _LEFT if way == "space" else _MIDDLE
    _drag(view, QPoint(400, 300), QPoint(460, 270), button)
    assert _middle(view).x() == pytest.approx(middle.x() - 60 / scale, abs=2 / scale)
    assert _middle(view).y() == pytest.approx(middle.y() + 30 / scale, abs=2 / scale)
    assert scene.selected_tags() == ("AH-2",)
    if way == "space":
        QTest.keyRelease(view, Qt.Key.Key_Space)
        _click(view, "AH-1")
        assert scene.selected_tags() == ("AH-1",)


def test_two_fingers_zoom(view: VesselView) -> None:
    before = view.scale_now()
    event = QNativeGestureEvent(
        Qt.NativeGestureType.ZoomNativeGesture,
        QPointingDevice.primaryPointingDevice(),
        2,
        QPointF(100, 100),
        QPointF(100, 100),
        QPointF(100, 100),
        0.25,
        QPointF(),
    )
    QApplication.sendEvent(view.viewport(), event)
    assert view.scale_now() == pytest.approx(1.25 * before)


def test_arrow_keys_go_along_the_pipes_and_keep_the_part_in_sight(
    view: VesselView, scene: VesselScene
) -> None:
    scene.select_tags(["P-1"])
    view.zoom_to(["P-1"])
    view.zoom(4.0)
    QTest.keyClick(view, Qt.Key.Key_Right)
    assert scene.selected_tags() == ("R-1",)
    QTest.keyClick(view, Qt.Key.Key_Right)
    assert scene.selected_tags() == ("T-1",)
    assert view.viewport().rect().contains(_on(view, "T-1"))
    middle = _middle(view)
    QTest.keyClick(view, Qt.Key.Key_Left, _SHIFT)
    assert scene.selected_tags() == ("T-1",)
    assert _middle(view).x() < middle.x()


def _seen(view: VesselView) -> QRectF:
    return view.mapToScene(view.viewport().rect()).boundingRect()


@pytest.mark.parametrize("size", [(1280, 800), (2560, 1440), (800, 600), (420, 900), (200, 150)])
@pytest.mark.parametrize("name", ["motor_yacht_18m", "motor_yacht_27m", "motor_yacht_45m"])
def test_a_fitted_drawing_is_whole_and_clear_of_the_notes(
    name: str, size: tuple[int, int], qtbot: QtBot
) -> None:
    scene = VesselScene()
    scene.show_vessel(read_vessel(str(shipped("sample_vessels") / f"{name}.farcabin")))
    view = VesselView(scene)
    qtbot.addWidget(view)
    view.resize(*size)
    view.show()
    qtbot.waitExposed(view)
    assert _seen(view).contains(scene.extent())
    drawing = view.mapFromScene(scene.extent()).boundingRect()
    for note in view.findChildren(type(view._corners._title)):
        if note.isVisible():
            assert view.rect().contains(note.geometry())
            assert not note.geometry().intersects(drawing)
    scene.deleteLater()


def test_a_window_made_larger_shows_the_drawing_larger(view: VesselView) -> None:
    before = view.scale_now()
    view.resize(600, 450)
    assert view.scale_now() < before
    view.resize(1000, 700)
    assert view.scale_now() == pytest.approx(before)
    # Once the user has chosen a zoom it stays.
    view.zoom(1.5)
    chosen = view.scale_now()
    view.resize(600, 450)
    assert view.scale_now() == chosen


def test_zooming_to_parts_shows_them_large(view: VesselView, scene: VesselScene) -> None:
    view.zoom(0.3)
    view.zoom_to(["AH-1", "RV-1"])
    assert _seen(view).contains(scene.place_of("AH-1"))
    assert _seen(view).contains(scene.place_of("RV-1"))
    assert view.scale_now() > 1
    scale = view.scale_now()
    view.zoom_to(["no such part"])
    assert view.scale_now() == scale


def test_the_notes_let_the_mouse_through(view: VesselView, scene: VesselScene) -> None:
    view.zoom_to(["P-1"])
    note = view._corners._title.geometry().center()
    at, place = view.mapFromScene(scene.place_of("P-1").center()), note
    view.pan(place.x() - at.x(), place.y() - at.y())
    window_child = view.childAt(place)
    assert window_child is view.viewport()
    QTest.mouseClick(view.viewport(), _LEFT, _NONE, place)
    assert scene.selected_tags() == ("P-1",)


def test_an_empty_vessel_is_an_empty_sheet(qtbot: QtBot) -> None:
    scene = VesselScene()
    view = VesselView(scene)
    qtbot.addWidget(view)
    view.resize(600, 400)
    view.show()
    qtbot.waitExposed(view)
    view.fit()
    for key in ("+", "-", "0", "9"):
        QTest.keyClicks(view, key)
    QTest.keyClick(view, Qt.Key.Key_Right)
    assert scene.selected_tags() == ()
    scene.deleteLater()
