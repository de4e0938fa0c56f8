# SPDX-License-Identifier: MIT
"""One component as it is drawn."""

from __future__ import annotations

from app.canvas.symbols import STROKE, State, Symbol, state_of, symbol_of
from app.overlay.labels import component_shows
from app.overlay.placing import Side
from solver.vessel.components import AirHandler, BufferTank, Chiller, Component, Pump, kind_name
from solver.vessel.fields import Point
from solver.vessel.footprint import Rect, body, port_direction, port_place
from solver.vessel.vessel import Vessel

#: Kinds that are still drawn when the whole of a ship is on the screen.
_LARGE = (AirHandler, Chiller, Pump, BufferTank)
_SIDES: tuple[Side, ...] = ("top", "bottom", "right", "left")
_SIDE_OF = {(0.0, -1.0): "top", (0.0, 1.0): "bottom", (1.0, 0.0): "right", (-1.0, 0.0): "left"}


class ComponentItem:
    """A component's symbol at its place.

    Parameters
    ----------
    component : Component
    open_ports : tuple of str
        Ports that no run ends at; their stubs are drawn.

    Attributes
    ----------
    body, rect : Rect
        The symbol's body; all that is drawn.
    large : bool
        Drawn from afar too.
    rank, shows_from
        Importance of its label, and the zoom from which it shows.
    """

    __slots__ = (
        "body",
        "component",
        "kind",
        "large",
        "open_ports",
        "rank",
        "rect",
        "shows_from",
        "state",
        "symbol",
        "tag",
    )

    def __init__(self, component: Component, open_ports: tuple[str, ...]) -> None:
        self.component, self.open_ports = component, open_ports
        self.tag = component.tag
        self.kind = kind_name(component)
        self.state: State = state_of(component)
        self.symbol: Symbol = symbol_of(component)
        self.body: Rect = body(component)
        self.large = isinstance(component, _LARGE)
        self.rank, self.shows_from = component_shows(component, self.state.word)
        left, top, right, bottom = self.body
        for x, y in self.ports().values():
            left, right = min(left, x), max(right, x)
            top, bottom = min(top, y), max(bottom, y)
        self.rect = Rect(left - STROKE, top - STROKE, right + STROKE, bottom + STROKE)

    def ports(self) -> dict[str, Point]:
        """Return port -> its place on the drawing."""
        return {port: port_place(self.component, port) for port in self.component.ports}

    def label_sides(self) -> tuple[Side, ...]:
        """Return the sides for a label, those without ports first."""
        busy = {_SIDE_OF[port_direction(self.component, port)] for port in self.component.ports}
        return tuple(sorted(_SIDES, key=lambda side: side in busy))

    def drawn_as(self) -> tuple[object, ...]:
        """Return all that its look depends on."""
        return (self.tag, self.symbol, self.component.at, self.open_ports, self.state.word)

    @property
    def place(self) -> tuple[object, ...]:
        """All that the places of its ports depend on."""
        return (self.component.at, self.component.turn, self.kind, self.component.ports)


def open_ports(vessel: Vessel, component: Component) -> tuple[str, ...]:
    """Return the ports of a component that no run ends at."""
    return tuple(port for port in component.ports if (component.tag, port) not in vessel.runs_at)
