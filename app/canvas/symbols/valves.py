# SPDX-License-Identifier: MIT
"""Valves: the bow-tie and what stands on it.  A shut way is filled.

Based on ISO 14617-8 and DOE-HDBK-1016/1; proportions are our own.
"""

from __future__ import annotations

from app.canvas.symbols.pencil import Drawer, Pencil
from solver.vessel.components import Component, IsolatingValve

_HALF = 9.0
_HIGH = 5.0
_LEFT = ((-_HALF, -_HIGH), (-_HALF, _HIGH), (0.0, 0.0))
_RIGHT = ((_HALF, -_HIGH), (_HALF, _HIGH), (0.0, 0.0))
_DOWN = ((-_HIGH, _HALF), (_HIGH, _HALF), (0.0, 0.0))


def _bow_tie(pencil: Pencil, shut: bool) -> None:
    pencil.outline(*_LEFT)
    pencil.outline(*_RIGHT)
    if shut:
        pencil.solid(*_LEFT)
        pencil.solid(*_RIGHT)


def isolating(pencil: Pencil, component: Component, mode: str) -> None:
    """Draw an isolating valve: the bow-tie with the mark of its style in the middle."""
    _bow_tie(pencil, mode == "shut")
    style = component.style if isinstance(component, IsolatingValve) else "ball"
    if style == "ball":
        pencil.circle(0, 0, 3.4, how="solid" if mode == "shut" else "outline")
    elif style == "gate":
        pencil.line((0, -_HIGH + 0.5), (0, _HIGH - 0.5))
    elif style == "globe":
        pencil.circle(0, 0, 2.8, how="solid")
    else:
        pencil.line((-3.2, _HIGH - 0.5), (3.2, -_HIGH + 0.5))
    if mode == "throttled":
        pencil.line((-4.5, -_HIGH), (4.5, -_HIGH), fine=True)


def regulating(pencil: Pencil, component: Component, mode: str) -> None:
    """Draw a balancing valve: globe bow-tie, diagonal arrow, two test points."""
    _bow_tie(pencil, mode == "shut")
    pencil.circle(0, 0, 2.4, how="solid")
    pencil.line((-6.0, 7.6), (4.6, -6.6), fine=True)
    pencil.head((6.6, -9.3), (10.6, -14.2), 5.0, 2.3)
    for x in (-7.0, 9.0):
        pencil.line((x, -_HIGH), (x, -8.6 if x < 0 else -8.0), fine=True)


def check(pencil: Pencil, component: Component, mode: str) -> None:
    """Draw a check valve: a filled triangle with its tip against a line across the pipe."""
    pencil.line((-9, 0), (-6, 0))
    pencil.solid((-6, -5.2), (-6, 5.2), (5, 0))
    pencil.line((5.8, -4.2), (5.8, 4.2))
    pencil.line((5.8, 0), (9, 0))


def _motor(pencil: Pencil) -> None:
    pencil.line((0, -1), (0, -8))
    pencil.circle(0, -13.2, 5.4)
    pencil.letter(0, -13.2, "M", 7)


def two_way(pencil: Pencil, component: Component, mode: str) -> None:
    """Draw a 2-way control valve with its motor."""
    _bow_tie(pencil, mode == "shut")
    _motor(pencil)
    if mode == "throttled":
        pencil.line((-4.5, _HIGH), (4.5, _HIGH), fine=True)


def three_way(pencil: Pencil, component: Component, mode: str) -> None:
    """Draw a 3-way control valve: three triangles, the shut way filled."""
    for triangle in (_LEFT, _RIGHT, _DOWN):
        pencil.outline(*triangle)
    if mode == "through":
        pencil.solid(*_DOWN)
    elif mode == "bypass":
        pencil.solid(*_RIGHT)
    _motor(pencil)


def differential_bypass(pencil: Pencil, component: Component, mode: str) -> None:
    """Draw a differential bypass: a bow-tie held shut by a spring, sensing both sides."""
    _bow_tie(pencil, shut=False)
    spring = [(0.0, -1.0), (0.0, -4.0)]
    spring += [(3.0 if index % 2 else -3.0, -5.5 - 2.4 * index) for index in range(4)]
    spring += [(0.0, -14.5), (0.0, -16.0)]
    pencil.line(*spring, fine=True)
    pencil.line((-4.5, -17.0), (4.5, -17.0))
    for x in (-8.8, 8.8):
        pencil.dashes((x, -_HIGH - 1), (x, -17.0))
        pencil.dashes((x, -17.0), (x / 2, -17.0))


def constant_flow(pencil: Pencil, component: Component, mode: str) -> None:
    """Draw a constant-flow valve: a bow-tie in the case of its cartridge."""
    pencil.box(-9, -7, 9, 7)
    pencil.line((-6, -4), (-6, 4), (6, -4), (6, 4), (-6, -4), fine=True)
    pencil.circle(0, 0, 2.2, how="solid")


DRAWERS: dict[str, Drawer] = {
    "isolating_valve": isolating,
    "regulating_valve": regulating,
    "check_valve": check,
    "two_way_valve": two_way,
    "three_way_valve": three_way,
    "differential_bypass": differential_bypass,
    "constant_flow_valve": constant_flow,
}
