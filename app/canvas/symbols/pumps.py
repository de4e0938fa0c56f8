# SPDX-License-Identifier: MIT
"""Pumps: a circle with a triangle pointing to the outlet, filled when the pump runs.

Based on the pump of ISO 14617-9 and DOE-HDBK-1016/1; proportions are our own.
"""

from __future__ import annotations

from app.canvas.symbols.pencil import Drawer, Pencil
from solver.vessel.components import Component

_RADIUS = 13.0


def pump(pencil: Pencil, component: Component, mode: str) -> None:
    """Draw a pump of either kind."""
    pencil.circle(0, 0, _RADIUS)
    triangle = ((-5.5, -10.0), (11.2, 0.0), (-5.5, 10.0))
    if mode == "running":
        pencil.solid(*triangle)
    pencil.outline(*triangle)


DRAWERS: dict[str, Drawer] = {"circulation_pump": pump, "sea_water_pump": pump}
