# SPDX-License-Identifier: MIT
"""Plant: the chiller with its evaporator on the loop's side and its condenser on the sea's.

Based on the heat exchanger and compressor of ISO 14617 and ISO 10628-2; proportions are our own.
"""

from __future__ import annotations

from app.canvas.symbols.pencil import Drawer, Pencil, Point
from solver.vessel.components import Component


def _coil(side: float) -> tuple[Point, ...]:
    """Return the zigzag between the two ports on one side."""
    inner, outer = side * 19.0, side * 31.0
    turns = [(outer if index % 2 else inner, 12.0 - 6.0 * index) for index in range(5)]
    return ((side * 39.0, 20.0), (side * 25.0, 20.0), *turns, (side * 25.0, -20.0), (side * 39.0, -20.0))


def chiller(pencil: Pencil, component: Component, mode: str) -> None:
    """Draw a chiller; the compressor between the coils is filled when it runs."""
    pencil.box(-39, -29, 39, 29)
    pencil.line(*_coil(1.0))
    pencil.line(*_coil(-1.0))
    pencil.circle(0, 0, 10)
    blades = ((-4.0, 8.4), (-8.2, -3.6), (8.2, -3.6), (4.0, 8.4))
    if mode == "running":
        pencil.solid((-4.0, 8.4), (-7.4, -5.4), (7.4, -5.4), (4.0, 8.4))
    else:
        pencil.line(blades[0], (-7.4, -5.4), fine=True)
        pencil.line(blades[3], (7.4, -5.4), fine=True)


DRAWERS: dict[str, Drawer] = {"chiller": chiller}
