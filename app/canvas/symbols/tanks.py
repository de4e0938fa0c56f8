# SPDX-License-Identifier: MIT
"""Vessels that hold water: expansion vessel, buffer tank, air separator, and the strainer.

Based on ISO 14617-12 and on the accumulator of ISO 1219-1; proportions are our own.
"""

from __future__ import annotations

from app.canvas.symbols.pencil import Drawer, Pencil
from solver.vessel.components import Component


def expansion_vessel(pencil: Pencil, component: Component, mode: str) -> None:
    """Draw an expansion vessel: gas above the diaphragm, water below."""
    pencil.circle(0, 0, 11)
    pencil.line((-10.4, 0), (10.4, 0))
    for y, half in ((3.6, 8.6), (6.8, 6.4)):
        pencil.dashes((-half, y), (half, y), 3.0, 2.6)


def buffer_tank(pencil: Pencil, component: Component, mode: str) -> None:
    """Draw a buffer tank: layers of water between its nozzles."""
    pencil.capsule(-19, -29, 19, 29, 8)
    for y in (-10.0, 0.0, 10.0):
        pencil.dashes((-12, y), (12, y), 4.0, 3.0)


def air_separator(pencil: Pencil, component: Component, mode: str) -> None:
    """Draw an air separator: an upright vessel with a mesh, its vent on top."""
    pencil.capsule(-9, -12, 9, 14, 4)
    pencil.dashes((-6, -5), (6, 7), 2.4, 1.8)
    pencil.dashes((6, -5), (-6, 7), 2.4, 1.8)
    pencil.line((0, -12), (0, -15))
    pencil.head((0, -20), (0, -1), 5.0, 3.0)


def strainer(pencil: Pencil, component: Component, mode: str) -> None:
    """Draw a strainer: its basket stands off the pipe at 45 degrees, dashed inside."""
    pencil.outline((-7.5, 0.0), (0.0, 0.0), (8.4, 7.8), (4.6, 11.6))
    pencil.line((-9, 0), (9, 0))
    if mode == "clogged":
        pencil.solid((-1.5, 5.8), (2.4, 2.2), (8.4, 7.8), (4.6, 11.6))
    else:
        pencil.dashes((-2.4, 1.6), (5.8, 9.2), 2.0, 1.6)


DRAWERS: dict[str, Drawer] = {
    "expansion_vessel": expansion_vessel,
    "buffer_tank": buffer_tank,
    "air_separator": air_separator,
    "strainer": strainer,
}
