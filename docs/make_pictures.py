# SPDX-License-Identifier: MIT
"""Pictures of the drawing for the documentation: samples, overlays, and all symbols.

    python docs/make_pictures.py [FOLDER]

Writes into ``docs/pictures`` without a folder.  Nothing is shown on a screen.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any, NamedTuple

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
ROOT = Path(__file__).resolve().parent.parent
sys.path.insert(0, str(ROOT))

import msgspec  # noqa: E402
from PySide6.QtCore import QPointF, QRectF, Qt  # noqa: E402
from PySide6.QtGui import QColor, QGuiApplication, QImage, QPainter  # noqa: E402

from app.canvas.component_item import ComponentItem  # noqa: E402
from app.canvas.component_layer import paint_components  # noqa: E402
from app.canvas.detail import on_screen  # noqa: E402
from app.canvas.pens import pen  # noqa: E402
from app.canvas.symbols import state_of  # noqa: E402
from app.canvas.tiles import Tiles  # noqa: E402
from app.overlay.quantities import QUANTITIES  # noqa: E402
from app.paper.drawing_sheet import draw  # noqa: E402
from app.shipped import shipped  # noqa: E402
from app.theme import SMALL_PX, theme, ui_font  # noqa: E402
from solver.solve import solve  # noqa: E402
from solver.vessel.components import KINDS, Component, IsolatingValve, KvPoint, PumpPoint  # noqa: E402
from solver.vessel.file import read_vessel  # noqa: E402
from solver.vessel.footprint import Rect, port_direction, port_place  # noqa: E402

SIZES = {"small": (1280, 800), "large": (2560, 1440)}
#: The date in the title blocks, so that a picture changes only with the drawing.
DATE = "2026-01-01"
#: The sample that shows all overlays.
SHOWN_IN_FULL = "motor_yacht_27m"

# The symbols: size of a cell and of the picture's pixels in units of the drawing.
_CELL_WIDTH, _CELL_HEIGHT, _COLUMNS, _SCALE = 144, 114, 8, 2.0
_STUB = 10.0
_REQUIRED: dict[str, Any] = {
    "curve": tuple(PumpPoint(flow_L_s=flow, head_m=9.0 - flow) for flow in (0.0, 1.0, 2.0)),
    "kv_table": (KvPoint(0.0, 0.0), KvPoint(4.0, 2.5)),
    "setting": 2.5,
}


class _Shown(NamedTuple):
    """A kind in one of its states."""

    kind: str
    fields: dict[str, Any]


#: States that look different from the plain one.
_STATES = (
    _Shown("circulation_pump", {"running": False}),
    _Shown("chiller", {"running": False}),
    _Shown("isolating_valve", {"opening_percent": 0.0}),
    _Shown("isolating_valve", {"opening_percent": 40.0}),
    _Shown("isolating_valve", {"style": "gate"}),
    _Shown("isolating_valve", {"style": "globe"}),
    _Shown("isolating_valve", {"style": "butterfly"}),
    _Shown("regulating_valve", {"setting": 0.0}),
    _Shown("two_way_valve", {"position_percent": 0.0}),
    _Shown("three_way_valve", {"position_percent": 0.0}),
    _Shown("three_way_valve", {"position_percent": 50.0}),
    _Shown("strainer", {"clogging_percent": 60.0}),
    _Shown("buffer_tank", {"port_count": 4}),
)


def main(folder: Path) -> None:
    """Write all pictures into a folder."""
    folder.mkdir(parents=True, exist_ok=True)
    application = QGuiApplication.instance() or QGuiApplication([])
    for name in ("light", "dark"):
        symbols(name).save(str(folder / f"symbols_{name}.png"))
    for sample in sorted(shipped("sample_vessels").glob("*.farcabin")):
        vessel = read_vessel(str(sample))
        results = solve(vessel, heat=True)
        for dark in (False, True):
            look = "dark" if dark else "light"
            for size, pixels in SIZES.items():
                path = folder / f"{sample.stem}_{look}_{size}.png"
                draw(vessel, results, path, size=pixels, dark=dark, date=DATE)
            if sample.stem == SHOWN_IN_FULL:
                for overlay in ("none", *QUANTITIES):
                    path = folder / f"{sample.stem}_{overlay}_{look}.png"
                    draw(vessel, results, path, size=(1600, 1000), dark=dark, overlay=overlay, date=DATE)
    del application


def symbols(name: str) -> QImage:
    """Return a picture of all symbols in a theme, each with its kind and state in words."""
    colours = theme(name)
    parts = [_part(*each) for each in (*(_Shown(kind, {}) for kind in KINDS), *_STATES)]
    rows = -(-len(parts) // _COLUMNS)
    width, height = _CELL_WIDTH * _COLUMNS, _CELL_HEIGHT * rows
    image = QImage(round(width * _SCALE), round(height * _SCALE), QImage.Format.Format_RGB32)
    image.fill(QColor(colours.paper))
    painter = QPainter(image)
    painter.setRenderHints(QPainter.RenderHint.Antialiasing | QPainter.RenderHint.TextAntialiasing)
    painter.scale(_SCALE, _SCALE)
    tiles: Tiles[ComponentItem] = Tiles()
    for number, part in enumerate(parts):
        column, row = number % _COLUMNS, number // _COLUMNS
        at = (_CELL_WIDTH * (column + 0.5), _CELL_HEIGHT * (row + 0.42))
        placed = msgspec.structs.replace(part, tag=str(number), at=at)
        tiles.put(ComponentItem(placed, placed.ports))
        _paint_pipes(painter, placed, name)
    paint_components(tiles, painter, Rect(0, 0, width, height), on_screen(_SCALE), colours)
    painter.setFont(ui_font(SMALL_PX))
    for item in tiles.items.values():
        x, y = item.component.at
        style = f", {item.component.style}" if isinstance(item.component, IsolatingValve) else ""
        for line, text in enumerate((item.kind.replace("_", " ") + style, state_of(item.component).word)):
            box = QRectF(x - _CELL_WIDTH / 2, y + 40 + 12 * line, _CELL_WIDTH, 12)
            painter.setPen(QColor(colours.ink if line else colours.soft))
            painter.drawText(box, Qt.AlignmentFlag.AlignCenter, text)
    painter.end()
    return image


def _part(kind: str, fields: dict[str, Any]) -> Component:
    """Return a component with plain values where its kind needs some."""
    struct = KINDS[kind]
    needed = [
        field.name for field in msgspec.structs.fields(struct) if field.required and field.name != "tag"
    ]
    return struct(**{"tag": "X-1", **{name: _REQUIRED.get(name, 1.0) for name in needed}, **fields})


def _paint_pipes(painter: QPainter, component: Component, name: str) -> None:
    """Draw a length of pipe at each port."""
    painter.setPen(pen(theme(name).fresh, 2.5, _SCALE))
    for start, end in _stubs(component):
        painter.drawLine(start, end)


def _stubs(component: Component) -> Iterator[tuple[QPointF, QPointF]]:
    for port in component.ports:
        (x, y), (dx, dy) = port_place(component, port), port_direction(component, port)
        yield QPointF(x, y), QPointF(x + _STUB * dx, y + _STUB * dy)


if __name__ == "__main__":
    main(Path(sys.argv[1]) if len(sys.argv) > 1 else ROOT / "docs" / "pictures")
