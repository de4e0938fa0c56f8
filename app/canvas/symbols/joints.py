# SPDX-License-Identifier: MIT
"""Joints and small fittings: tee, manifold, hose, air vent, fill point, drain.

Based on ISO 14617-3 and DOE-HDBK-1016/1; proportions are our own.
"""

from __future__ import annotations

from app.canvas.symbols.pencil import Drawer, Pencil
from solver.vessel.components import Component
from solver.vessel.footprint import body_box


def tee(pencil: Pencil, component: Component, mode: str) -> None:
    """Draw a tee: a filled dot where three runs meet."""
    pencil.circle(0, 0, 3.5, how="solid")


def manifold(pencil: Pencil, component: Component, mode: str) -> None:
    """Draw a manifold: a bar as long as its ports need."""
    left, _, right, _ = body_box(component)
    pencil.box(left + 1, -4, right - 1, 4)


def flexible_hose(pencil: Pencil, component: Component, mode: str) -> None:
    """Draw a hose: a wave between two ends."""
    waves = [((-15.0 + 6.0 * i, -7.6 if i % 2 else 7.6), (-12.0 + 6.0 * i, 0.0)) for i in range(6)]
    pencil.curve((-18, 0), *waves)
    for x in (-18.5, 18.5):
        pencil.line((x, -3.5), (x, 3.5))


def air_vent(pencil: Pencil, component: Component, mode: str) -> None:
    """Draw an air vent: a float chamber above the pipe, air leaving at its top."""
    pencil.line((0, 0), (0, -7))
    pencil.circle(0, 0, 2.4, how="solid")
    pencil.capsule(-4.6, -18.5, 4.6, -7, 3.6)
    pencil.line((0, -19), (0, -22), fine=True)
    pencil.head((0, -26.6), (0, -1), 5.0, 3.0)


def fill_point(pencil: Pencil, component: Component, mode: str) -> None:
    """Draw a fill point: a shut gate valve with its hose tail, water coming in."""
    for end in (9.0, -9.0):
        pencil.solid((-5, end), (5, end), (0, 0))
    pencil.line((-5, 0), (5, 0), fine=True)
    pencil.line((0, -9), (0, -20), fine=True)
    pencil.head((0, -11), (0, 1), 6.0, 3.4)
    pencil.line((-3.4, -20.4), (3.4, -20.4))


def drain(pencil: Pencil, component: Component, mode: str) -> None:
    """Draw a drain: a shut valve hanging from the pipe, water leaving below."""
    pencil.circle(0, 0, 2.4, how="solid")
    pencil.line((0, 0), (0, 4))
    for end in (3.5, 17.5):
        pencil.solid((-5, end), (5, end), (0, 10.5))
    pencil.line((0, 17.5), (0, 21), fine=True)
    pencil.head((0, 27), (0, 1), 6.5, 3.4)


DRAWERS: dict[str, Drawer] = {
    "tee": tee,
    "manifold": manifold,
    "flexible_hose": flexible_hose,
    "air_vent": air_vent,
    "fill_point": fill_point,
    "drain": drain,
}
