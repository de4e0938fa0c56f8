# SPDX-License-Identifier: MIT
"""A scene and a view of the small loop."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from app.canvas.scene import VesselScene
from app.canvas.view import VesselView
from tests.app.left_behind import nothing_left_behind
from tests.app.small_loop import small_loop

__all__ = ["nothing_left_behind"]


@pytest.fixture(scope="session", autouse=True)
def application(qapp: QApplication) -> QApplication:
    """Fonts need an application, and the letters in symbols are drawn with them."""
    return qapp


@pytest.fixture
def scene(qtbot: QtBot) -> Iterator[VesselScene]:
    """A scene that shows the small loop, unsolved."""
    scene = VesselScene()
    scene.show_vessel(small_loop())
    yield scene
    scene.set_motion(False)
    scene.deleteLater()


@pytest.fixture
def view(qtbot: QtBot, scene: VesselScene) -> VesselView:
    """A view of it, fitted."""
    view = VesselView(scene)
    qtbot.addWidget(view)
    view.resize(1000, 700)
    view.show()
    qtbot.waitExposed(view)
    return view
