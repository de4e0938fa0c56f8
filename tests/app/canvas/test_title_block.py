# SPDX-License-Identifier: MIT
"""The title block stays inside its plate, however long its texts are."""

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QColor, QImage, QPainter

from app.canvas.title_block import Title, TitleBlock
from app.theme import theme
from tests.app.parts_drawn import pixels

_PLAIN = Title("Test boat", "Summer", "as drawn", "SI", "Solved in 7 steps")
_LONG = Title(
    vessel="A boat whose owner could not decide on one of several names for her",
    condition="Mediterranean summer with guests and the sauna on",
    scenario="Chiller two and pump one out",
    units="US customary",
    status="Not solved: " + "the loop of CH-1, CH-2 and CH-3 has no pressure reference; " * 4,
    severity="bad",
    date="2026-05-01",
    page="page 12 of 34",
)


def _painted(title: Title, name: str = "light", *, compact: bool = False) -> QImage:
    block = TitleBlock(title, theme(name), compact=compact)
    size = block.size()
    image = QImage(round(size.width()) + 40, round(size.height()) + 40, QImage.Format.Format_RGB32)
    image.fill(Qt.GlobalColor.magenta)
    painter = QPainter(image)
    block.paint(painter, 20, 20)
    painter.end()
    return image


@pytest.mark.parametrize("title", [_PLAIN, _LONG])
@pytest.mark.parametrize("name", ["light", "dark"])
@pytest.mark.parametrize("compact", [False, True])
def test_nothing_is_painted_outside_the_plate(title: Title, name: str, compact: bool) -> None:
    image = _painted(title, name, compact=compact)
    outside = QColor(Qt.GlobalColor.magenta)
    for x in range(image.width()):
        for y in range(image.height()):
            if not (19 <= x <= image.width() - 20 and 19 <= y <= image.height() - 20):
                assert image.pixelColor(x, y) == outside, (x, y)


def test_a_long_reason_takes_more_lines_but_not_without_end() -> None:
    one, three = TitleBlock(_PLAIN, theme("light")).size(), TitleBlock(_LONG, theme("light")).size()
    endless = TitleBlock(_LONG._replace(status=_LONG.status * 9), theme("light")).size()
    assert one.height() < three.height() == endless.height()


@pytest.mark.parametrize(
    "change",
    [
        {"vessel": "Other boat"},
        {"condition": "Winter"},
        {"scenario": "Pump out"},
        {"units": "US customary"},
        {"status": "Not solved yet"},
        {"severity": "bad"},
        {"severity": "note"},
        {"date": "2026-05-01"},
        {"page": "page 1 of 2"},
    ],
)
def test_each_field_is_shown(change: dict[str, str]) -> None:
    assert pixels(_painted(_PLAIN._replace(**change))) != pixels(_painted(_PLAIN))
    if change.keys() & {"date", "page"}:
        return
    compact = _painted(_PLAIN._replace(**change), compact=True)
    assert pixels(compact) != pixels(_painted(_PLAIN, compact=True))
