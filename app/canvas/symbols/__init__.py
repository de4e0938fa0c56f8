# SPDX-License-Identifier: MIT
"""How each kind of component is drawn, one family a file, based on open standards.

``symbol_of`` gives the paths; they are drawn once per kind, style, state and turn.
"""

from __future__ import annotations

from app.canvas.symbols import air_handlers, gauges, joints, plant, pumps, sea, tanks, valves
from app.canvas.symbols.pencil import FINE_STROKE, STROKE, Drawer, Pencil, Symbol
from app.canvas.symbols.state import State, state_of
from solver.vessel.components import Component, IsolatingValve, kind_name

__all__ = ["DRAWERS", "FINE_STROKE", "STROKE", "State", "Symbol", "state_of", "symbol_of"]

#: Kind's name -> the function that draws it.
DRAWERS: dict[str, Drawer] = {
    kind: drawer
    for family in (air_handlers, gauges, joints, plant, pumps, sea, tanks, valves)
    for kind, drawer in family.DRAWERS.items()
}

_DRAWN: dict[tuple[object, ...], Symbol] = {}


def symbol_of(component: Component) -> Symbol:
    """Return the symbol of a component in its state, turned, about its centre."""
    kind, mode = kind_name(component), state_of(component).mode
    style = component.style if isinstance(component, IsolatingValve) else ""
    key = (kind, style, mode, len(component.ports), component.turn)
    symbol = _DRAWN.get(key)
    if symbol is None:
        pencil = Pencil(component.turn)
        DRAWERS[kind](pencil, component, mode)
        symbol = _DRAWN[key] = pencil.done()
    return symbol
