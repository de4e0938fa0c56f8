# SPDX-License-Identifier: MIT
"""Rooms and symbols are painted from pictures while nothing about them changes, and never from old ones."""

from __future__ import annotations

from collections.abc import Callable

import msgspec
import pytest
from PySide6.QtGui import QImage
from pytestqt.qtbot import QtBot

from app.canvas.scene import VesselScene
from app.canvas.view import VesselView
from app.theme import theme
from solver.vessel.edits import remove
from tests.app.parts_drawn import results
from tests.app.small_loop import small_loop


def _seen(view: VesselView) -> QImage:
    scene: VesselScene = view.scene()  # type: ignore[assignment]
    scene.lay_out_labels()
    return view.grab().toImage()


def _apart(one: QImage, other: QImage) -> int:
    """Return the largest difference of any pixel's red, green or blue."""
    assert one.size() == other.size()
    pairs = zip(bytes(one.constBits()), bytes(other.constBits()), strict=True)
    return max(abs(a - b) for a, b in pairs)


def test_a_picture_is_as_what_it_stands_for(view: VesselView) -> None:
    first = _seen(view)
    for _ in range(3):
        assert _apart(_seen(view), first) <= 2


def _moved(scene: VesselScene) -> None:
    vessel = small_loop()
    first, *others = vessel.components
    part = msgspec.structs.replace(first, at=(first.at[0], first.at[1] + 40))
    scene.show_vessel(msgspec.structs.replace(vessel, components=(part, *others)))


@pytest.mark.parametrize(
    "change",
    [
        _moved,
        lambda scene: scene.show_vessel(remove(small_loop(), ("P-1",))),
        lambda scene: scene.set_theme(theme("dark")),
        lambda scene: scene.set_decks({"Main": "hidden"}),
    ],
)
def test_what_changes_is_painted_anew(
    view: VesselView, qtbot: QtBot, change: Callable[[VesselScene], None]
) -> None:
    scene: VesselScene = view.scene()  # type: ignore[assignment]
    vessel = small_loop()
    on_deck = [msgspec.structs.replace(part, deck="Main") for part in vessel.components]
    scene.show_vessel(msgspec.structs.replace(vessel, components=tuple(on_deck)))
    view.hold()
    for _ in range(3):
        before = _seen(view)
    change(scene)
    kept = _seen(view)
    assert kept != before
    fresh = VesselView(scene)
    qtbot.addWidget(fresh)
    fresh.resize(view.size())
    fresh.show()
    fresh.hold()
    fresh.setTransform(view.transform())
    fresh.setSceneRect(view.sceneRect())
    fresh.horizontalScrollBar().setValue(view.horizontalScrollBar().value())
    fresh.verticalScrollBar().setValue(view.verticalScrollBar().value())
    assert _apart(_seen(fresh), kept) <= 2


def test_other_values_leave_labels_where_they_are(view: VesselView) -> None:
    scene: VesselScene = view.scene()  # type: ignore[assignment]
    scene.show_results(results(small_loop()))
    scene.lay_out_labels()
    before, version = scene.picture.labels.shown(), scene.picture._version
    vessel = scene.picture.vessel
    parts = [
        msgspec.structs.replace(part, rated_drop_kPa=9.0) if part.tag == "AH-1" else part
        for part in vessel.components
    ]
    scene.show_vessel(msgspec.structs.replace(vessel, components=tuple(parts)))
    assert scene.picture.components.items["AH-1"].component is parts[[p.tag for p in parts].index("AH-1")]
    assert scene.picture._version == version
    scene.lay_out_labels()
    assert scene.picture.labels.shown() == before
