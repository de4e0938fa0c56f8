# SPDX-License-Identifier: MIT
"""Where the sea comes in and goes out: a length of hull with its water side hatched.

Based on the hull fittings of general ship's piping diagrams; proportions are our own.
"""

from __future__ import annotations

from app.canvas.symbols.pencil import Drawer, Pencil
from solver.vessel.components import Component


def _hull(pencil: Pencil, x: float, outside: float) -> None:
    """Draw the hull at ``x`` with an opening, hatched towards ``outside`` (-1 or 1)."""
    for top, bottom in ((-12.0, -4.0), (4.0, 12.0)):
        pencil.line((x, top), (x, bottom))
        for step in range(3):
            y = top + 0.5 + 2.6 * step
            pencil.line((x, y), (x + outside * 4.0, y + 2.4), fine=True)


def through_hull(pencil: Pencil, component: Component, mode: str) -> None:
    """Draw a through-hull: sea water enters through its grating."""
    _hull(pencil, -6, -1)
    pencil.line((-1, 0), (13, 0))
    pencil.head((3, 0), (1, 0), 8.0, 4.0)
    for y in (-2.0, 2.0):
        pencil.line((-11, y), (-6, y), fine=True)


def overboard(pencil: Pencil, component: Component, mode: str) -> None:
    """Draw an overboard: sea water leaves through the hull."""
    _hull(pencil, 5, 1)
    pencil.line((-13, 0), (5, 0))
    pencil.head((13, 0), (1, 0), 8.0, 4.0)


DRAWERS: dict[str, Drawer] = {"through_hull": through_hull, "overboard": overboard}
