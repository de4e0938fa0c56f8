# SPDX-License-Identifier: MIT
"""Gauge points: a circle with the letter of what is read (P, T, F).

Based on the instrument circles of ISO 14617 parts 5 and 6; proportions are our own.
"""

from __future__ import annotations

from app.canvas.symbols.pencil import Drawer, Pencil
from solver.vessel.components import Component


def _above(letter: str) -> Drawer:
    def draw(pencil: Pencil, component: Component, mode: str) -> None:
        """Draw a gauge on a leader above the pipe."""
        pencil.line((0, 0), (0, -9), fine=True)
        pencil.circle(0, 0, 2.0, how="solid")
        pencil.circle(0, -17, 8)
        pencil.letter(0, -17, letter, 9)

    return draw


def flow_meter(pencil: Pencil, component: Component, mode: str) -> None:
    """Draw a flow meter in the pipe."""
    pencil.circle(0, 0, 8)
    pencil.letter(0, 0, "F", 9)


DRAWERS: dict[str, Drawer] = {
    "pressure_gauge": _above("P"),
    "temperature_gauge": _above("T"),
    "flow_meter": flow_meter,
}
