# SPDX-License-Identifier: MIT
"""What is selected shows: a few parts by outlines and dots, a whole ship by boxes and lines."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from PySide6.QtGui import QColor, QImage
from pytestqt.qtbot import QtBot

from app.canvas.scene import VesselScene
from app.canvas.view import VesselView
from solver.vessel.samples import ship


@pytest.fixture
def large(qtbot: QtBot) -> Iterator[VesselView]:
    """A view of a ship with some hundreds of parts."""
    scene = VesselScene()
    scene.show_vessel(ship(80))
    view = VesselView(scene)
    qtbot.addWidget(view)
    view.resize(1000, 700)
    view.show()
    qtbot.waitExposed(view)
    scene.lay_out_labels()
    yield view
    scene.deleteLater()


def _accent_at(view: VesselView, tag: str) -> int:
    """Return how many pixels on and just outside a part have the colour of the selection."""
    scene: VesselScene = view.scene()  # type: ignore[assignment]
    place = view.mapFromScene(scene.place_of(tag)).boundingRect().adjusted(-6, -6, 6, 6)
    picture: QImage = view.grab(place).toImage()
    accent = QColor(scene.picture.theme.accent)
    near = 0
    for x in range(picture.width()):
        for y in range(picture.height()):
            found = picture.pixelColor(x, y)
            apart = max(
                abs(found.red() - accent.red()),
                abs(found.green() - accent.green()),
                abs(found.blue() - accent.blue()),
            )
            near += apart < 40
    return near


def test_every_part_of_a_whole_ship_shows_that_it_is_selected(large: VesselView) -> None:
    scene: VesselScene = large.scene()  # type: ignore[assignment]
    vessel = scene.picture.vessel
    tags = [part.tag for part in (*vessel.components, *vessel.runs)]
    unit = next(tag for tag in tags if tag.startswith("AH"))
    assert _accent_at(large, unit) == 0
    scene.select_tags(tags)
    assert len(scene.selected_tags()) == len(tags) > 240
    assert _accent_at(large, unit) > 20
    scene.select_tags(())
    assert _accent_at(large, unit) == 0


def test_near_to_a_selected_ship_shows_outlines_as_of_one_part(large: VesselView) -> None:
    scene: VesselScene = large.scene()  # type: ignore[assignment]
    unit = next(part.tag for part in scene.picture.vessel.components if part.tag.startswith("AH"))
    large.zoom_to([unit])
    scene.lay_out_labels()
    scene.select_tags([unit])
    place = large.mapFromScene(scene.place_of(unit)).boundingRect().adjusted(-3, -3, 3, 3)
    alone = large.grab(place).toImage()
    scene.select_tags([*(part.tag for part in scene.picture.vessel.components if part.tag != unit), unit])
    assert large.grab(place).toImage() == alone
