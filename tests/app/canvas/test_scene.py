# SPDX-License-Identifier: MIT
"""The scene: what is selected, what title block and legend say, labels that follow the zoom."""

from __future__ import annotations

import msgspec
import pytest
from PySide6.QtCore import QPointF, QRectF
from pytestqt.qtbot import QtBot

from app.canvas.scene import VesselScene
from app.canvas.told import extra_label, in_sight
from app.canvas.view import VesselView
from app.theme import theme
from solver.errors import FarcabinError
from solver.vessel.edits import remove
from solver.vessel.footprint import Rect
from solver.vessel.samples import ship
from tests.app.parts_drawn import results
from tests.app.small_loop import small_loop


def test_parts_are_selected_by_tag_and_told_once(scene: VesselScene, qtbot: QtBot) -> None:
    told: list[tuple[str, ...]] = []
    scene.tags_selected.connect(told.append)
    scene.select_tags(["P-1", "R-3", "no such part"])
    scene.select_tags(["P-1", "R-3"])
    assert scene.selected_tags() == ("P-1", "R-3")
    scene.select_tags([])
    assert told == [("P-1", "R-3"), ()]


def test_a_part_that_is_removed_is_no_longer_selected(scene: VesselScene, qtbot: QtBot) -> None:
    scene.select_tags(["P-1", "R-3"])
    scene.hover("R-3")
    with qtbot.waitSignal(scene.tags_selected) as told:
        scene.show_vessel(remove(small_loop(), ("R-3",)))
    assert told.args == [("P-1",)]
    assert scene.selected_tags() == ("P-1",)


def test_parts_are_found_where_they_are(scene: VesselScene) -> None:
    assert scene.tags_at(QPointF(0, 200))[0] == "P-1"
    assert scene.tags_at(QPointF(60, 200))[0] == "R-1"
    assert scene.tags_at(QPointF(100, 200))[0] == "T-1"
    assert scene.tags_at(QPointF(-500, -500)) == ()
    assert scene.place_of("P-1") == QRectF(-14, 186, 28, 28)
    assert scene.place_of("R-1").contains(QPointF(60, 200))
    assert scene.place_of("no such part").isNull()


def test_small_parts_and_thin_runs_are_easy_to_hit_at_every_zoom(scene: VesselScene) -> None:
    for scale in (0.3, 1.0, 3.0):
        scene.look_at(QRectF(-200, -200, 800, 600), scale)
        reach = 11.0 / scale
        assert "R-5" in scene.tags_at(QPointF(250, 200 + reach))
        assert "T-1" in scene.tags_at(QPointF(100, 200 - reach))
        assert "R-5" not in scene.tags_at(QPointF(250, 200 + 14.0 / scale))


def test_a_band_finds_what_it_touches(scene: VesselScene) -> None:
    assert scene.tags_in(QRectF(-20, 180, 60, 25)) == ("P-1", "R-1", "R-9")
    assert scene.tags_in(QRectF(95, 195, 10, 10)) == ("T-1", "R-1", "R-2", "R-5")
    assert scene.tags_in(QRectF(1000, 1000, 10, 10)) == ()


@pytest.mark.parametrize(
    ("start", "direction", "reached"),
    [
        ("P-1", (1.0, 0.0), "R-1"),
        ("R-1", (1.0, 0.0), "T-1"),
        ("T-1", (0.0, 1.0), "R-2"),
        ("P-1", (-1.0, 0.0), "R-9"),
        ("P-1", (0.0, -1.0), None),
        ("AH-1", (0.0, 1.0), "R-2"),
    ],
)
def test_arrows_go_along_the_pipes(
    scene: VesselScene, start: str, direction: tuple[float, float], reached: str | None
) -> None:
    scene.select_tags([start])
    assert scene.neighbour(direction) == reached


def test_every_joined_part_is_reached_with_arrows(scene: VesselScene) -> None:
    reached, waiting = {"P-1"}, ["P-1"]
    while waiting:
        scene.select_tags([waiting.pop()])
        for direction in ((1.0, 0.0), (-1.0, 0.0), (0.0, 1.0), (0.0, -1.0)):
            found = scene.neighbour(direction)
            if found is not None and found not in reached:
                reached.add(found)
                waiting.append(found)
    vessel = small_loop()
    assert reached == set(vessel.component_by_tag) | set(vessel.run_by_tag)


def test_without_a_selection_an_arrow_takes_the_part_in_the_middle(scene: VesselScene) -> None:
    scene.look_at(QRectF(-50, 150, 100, 100), 1.0)
    assert scene.neighbour((1.0, 0.0)) == "P-1"


def test_a_run_pointed_at_tells_all_about_itself_in_place_of_its_label(view: VesselView) -> None:
    scene: VesselScene = view.scene()  # type: ignore[assignment]
    scene.show_results(results(small_loop()))
    scene.set_overlay("velocity")
    view.zoom_to(["AH-1", "T-1"])
    scene.lay_out_labels()
    assert scene.picture.labels.has("R-2")
    assert scene._pointed() == []
    scene.hover("R-2")
    assert scene._pointed() == ["R-2"]
    label, placed = extra_label(scene.picture, "R-2", view.scale_now())
    assert label.value == "15x0.7  12.0 L/min  0.80 m/s"
    for item in scene.picture.components.items.values():
        left, top, right, bottom = (edge * view.scale_now() for edge in item.body)
        assert (
            placed.box[0] >= right or placed.box[2] <= left or placed.box[1] >= bottom or placed.box[3] <= top
        )


def test_the_label_of_a_selected_run_at_the_edge_can_be_read_whole(view: VesselView) -> None:
    scene: VesselScene = view.scene()  # type: ignore[assignment]
    scene.show_results(results(small_loop()))
    scale = view.scale_now()
    extra = [extra_label(scene.picture, "R-2", scale)]
    left, _, right, _ = extra[0][1].box
    wide = 1000 / scale
    for low in (right / scale - 20, left / scale + 20 - wide):
        visible = Rect(low, 0, low + wide, 9)
        [(_, placed)] = in_sight(extra, visible, scale)
        assert placed.box[0] >= visible.left * scale - 0.01
        assert placed.box[2] <= visible.right * scale + 0.01
        assert placed.box[2] - placed.box[0] == pytest.approx(right - left)
    assert in_sight(extra, Rect(-9e4, 0, 9e4, 9), scale) == extra


def test_the_title_block_tells_how_the_vessel_stands(scene: VesselScene) -> None:
    assert scene.title()[:2] == ("Test boat", "Summer")
    assert (scene.title().status, scene.title().severity) == ("Not solved yet", "note")
    found = results(scene.picture.vessel)
    scene.show_results(found)
    assert (scene.title().status, scene.title().severity) == ("Solved in 7 steps", "")
    scene.show_results(msgspec.structs.replace(found, iterations=1))
    assert scene.title().status == "Solved in 1 step"
    scene.show_results(found, behind=True)
    assert (scene.title().status, scene.title().severity) == ("Figures are behind the drawing", "note")
    scene.set_reason("no pump in the loop of EX-1.")
    assert scene.title().severity == "bad"
    assert scene.title().status == (
        "Not solved: no pump in the loop of EX-1. Figures are of the last answer."
    )
    scene.set_units("us")
    scene.set_scenario("Pump out")
    assert scene.title()[2:4] == ("Pump out", "US customary")


def test_whatever_the_notes_say_is_announced(scene: VesselScene, qtbot: QtBot) -> None:
    for change in (
        lambda: scene.show_results(results(small_loop())),
        lambda: scene.set_overlay("flow"),
        lambda: scene.set_theme(theme("dark")),
        lambda: scene.set_units("us"),
        lambda: scene.set_reason("no pump"),
        lambda: scene.show_vessel(msgspec.structs.replace(small_loop(), name="Other boat")),
    ):
        with qtbot.waitSignal(scene.notes_changed):
            change()


def test_an_unknown_overlay_is_refused(scene: VesselScene) -> None:
    with pytest.raises(FarcabinError, match="no overlay 'noise'"):
        scene.set_overlay("noise")


def test_arrows_drift_only_while_there_is_something_to_show(view: VesselView, qtbot: QtBot) -> None:
    scene: VesselScene = view.scene()  # type: ignore[assignment]
    scene.show_results(results(small_loop()))
    # On a busy machine the labels wait for a timer, and would move between the pictures.
    scene.lay_out_labels()
    still = view.grab().toImage()
    assert view.grab().toImage() == still
    scene.set_motion(True)
    qtbot.waitUntil(lambda: view.grab().toImage() != still)
    scene.set_motion(False)
    assert view.grab().toImage() == still


def test_labels_of_a_large_drawing_wait_until_the_zoom_stands_still(qtbot: QtBot) -> None:
    scene = VesselScene()
    scene.show_vessel(ship(300))
    view = VesselView(scene)
    qtbot.addWidget(view)
    view.resize(1000, 700)
    view.show()
    qtbot.waitExposed(view)
    scene.lay_out_labels()
    view.zoom(3.0)
    qtbot.waitUntil(lambda: scene.picture.labels.scale == view.scale_now())
    scene.deleteLater()


def test_panning_a_large_drawing_keeps_the_labels_that_stay_in_sight(qtbot: QtBot) -> None:
    scene = VesselScene()
    scene.show_vessel(ship(300))
    scene.look_at(QRectF(0, 0, 1200, 800), 1.0)
    scene.lay_out_labels()
    before = scene.picture.labels.shown()
    scene.look_at(QRectF(150, 0, 1200, 800), 1.0)
    scene.lay_out_labels()
    after = scene.picture.labels.shown()
    common = before.keys() & after.keys()
    assert len(common) > len(before) / 2
    assert all(before[tag] == after[tag] for tag in common)
    assert set(after) != set(before)
    scene.deleteLater()
