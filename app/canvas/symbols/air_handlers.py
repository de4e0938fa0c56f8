# SPDX-License-Identifier: MIT
"""Air handlers: a case with a coil between its ports, a fan and the way of the air.

Based on the heat exchanger and fan of ISO 14617; proportions are our own.
"""

from __future__ import annotations

from app.canvas.symbols.pencil import Drawer, Pencil
from solver.vessel.components import Component


def air_handler(pencil: Pencil, component: Component, mode: str) -> None:
    """Draw an air handler."""
    pencil.box(-29, -19, 29, 19)
    zigzag = [(-15.0 + 6.0 * index, 4.5 if index % 2 else 13.0) for index in range(6)]
    pencil.line((-20, 18), (-20, 8.7), (-18, 8.7), *zigzag, (18, 8.7), (20, 8.7), (20, 18))
    pencil.circle(-15, -7, 6.5, how="fine")
    # Two blades, wider at the tip, turned about the fan's centre.
    for sign in (1.0, -1.0):
        pencil.solid((-15, -7), (-15 + sign * 3.0, -7 - sign * 5.1), (-15 - sign * 2.0, -7 - sign * 5.4))
    for y in (-10.0, -4.0):
        pencil.line((-4.5, y), (13.5, y), fine=True)
        pencil.head((19, y), (1, 0), 5.5, 2.5)


DRAWERS: dict[str, Drawer] = {"air_handler": air_handler}
