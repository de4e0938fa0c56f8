# SPDX-License-Identifier: MIT
"""The legend stays inside its plate and follows the overlay."""

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QColor, QImage, QPainter

from app.overlay.legend import Legend
from app.overlay.quantities import NAMES, overlay_of
from app.theme import theme
from app.units import System
from tests.app.parts_drawn import pixels, results
from tests.app.small_loop import small_loop


def _legend(
    name: str, system: System = "si", *, dark: bool = False, behind: bool = False, compact: bool = False
) -> QImage:
    vessel = small_loop()
    found = results(vessel, shares={"AH-1": 0.6, "AH-2": 1.0})
    overlay = overlay_of(name, vessel, found, system, dark=dark)
    legend = Legend(overlay, theme("dark" if dark else "light"), behind=behind, compact=compact)
    size = legend.size()
    image = QImage(round(size.width()) + 40, round(size.height()) + 40, QImage.Format.Format_RGB32)
    image.fill(Qt.GlobalColor.magenta)
    painter = QPainter(image)
    legend.paint(painter, 20, 20)
    painter.end()
    return image


@pytest.mark.parametrize("dark", [False, True])
@pytest.mark.parametrize("compact", [False, True])
@pytest.mark.parametrize("name", NAMES)
def test_nothing_is_painted_outside_the_plate(name: str, compact: bool, dark: bool) -> None:
    image = _legend(name, dark=dark, compact=compact)
    outside = QColor(Qt.GlobalColor.magenta)
    for x in range(image.width()):
        for y in range(image.height()):
            if not (19 <= x <= image.width() - 20 and 19 <= y <= image.height() - 20):
                assert image.pixelColor(x, y) == outside, (x, y)


def test_each_overlay_units_and_state_has_its_own_legend() -> None:
    shown = [pixels(_legend(name)) for name in NAMES]
    shown += [pixels(_legend("flow", "us")), pixels(_legend("flow", behind=True))]
    assert len(set(shown)) == len(shown)


def test_the_bar_shows_the_ends_of_the_map() -> None:
    vessel = small_loop()
    overlay = overlay_of("flow", vessel, results(vessel), "si", dark=False)
    assert overlay is not None
    image = _legend("flow")
    colours = {image.pixelColor(x, y).name().upper() for x in range(image.width()) for y in range(45, 75)}
    assert set(overlay.scale.colours) <= colours
