# SPDX-License-Identifier: MIT
"""Where a component's body and ports lie on the drawing.

Drawing units: the symbol module is 10 units, y points down.  Figures here are for no rotation;
``turn`` counts quarter turns clockwise.  Ports lie on the 10-unit grid, so that runs between
components placed on the grid go at right angles.
"""

from __future__ import annotations

from typing import NamedTuple

from solver.vessel.components import Component, kind_name
from solver.vessel.fields import Point

#: Distance between the ports of a manifold.
MANIFOLD_PITCH = 20.0

_IN_LINE = {"inlet": (-10.0, 0.0), "outlet": (10.0, 0.0)}
_WIDE_IN_LINE = {"inlet": (-20.0, 0.0), "outlet": (20.0, 0.0)}

_PORTS: dict[str, dict[str, Point]] = {
    "circulation_pump": _WIDE_IN_LINE,
    "sea_water_pump": _WIDE_IN_LINE,
    "chiller": {
        "water_in": (50.0, 20.0),
        "water_out": (50.0, -20.0),
        "sea_in": (-50.0, 20.0),
        "sea_out": (-50.0, -20.0),
    },
    "air_handler": {"water_in": (-20.0, 30.0), "water_out": (20.0, 30.0)},
    "tee": {"run_1": (-10.0, 0.0), "run_2": (10.0, 0.0), "branch": (0.0, 10.0)},
    "three_way_valve": {"common": (-10.0, 0.0), "through": (10.0, 0.0), "bypass": (0.0, 10.0)},
    "expansion_vessel": {"connection": (0.0, 20.0)},
    "air_separator": _WIDE_IN_LINE,
    "fill_point": {"connection": (0.0, 10.0)},
    "flexible_hose": _WIDE_IN_LINE,
    "through_hull": {"connection": (20.0, 0.0)},
    "overboard": {"connection": (-20.0, 0.0)},
}

#: Half width and half height of the body, for hit areas, labels and routing.
_BODY: dict[str, tuple[float, float]] = {
    "circulation_pump": (15.0, 15.0),
    "sea_water_pump": (15.0, 15.0),
    "chiller": (40.0, 30.0),
    "air_handler": (30.0, 20.0),
    "tee": (3.5, 3.5),
    "expansion_vessel": (12.0, 12.0),
    "air_separator": (10.0, 15.0),
    "fill_point": (6.0, 6.0),
    "flexible_hose": (20.0, 5.0),
    "through_hull": (12.0, 12.0),
    "overboard": (12.0, 12.0),
}
_VALVE_BODY = (10.0, 6.0)


class Rect(NamedTuple):
    """A rectangle on the drawing."""

    left: float
    top: float
    right: float
    bottom: float


def turned(point: Point, turn: int) -> Point:
    """Return ``point`` after ``turn`` quarter turns clockwise round the origin."""
    x, y = point
    for _ in range(turn % 4):
        x, y = -y, x
    return (x + 0.0, y + 0.0)


def port_offsets(component: Component) -> dict[str, Point]:
    """Return port -> place relative to the component's centre, before rotation."""
    kind = kind_name(component)
    if kind == "manifold":
        half = (len(component.ports) - 1) * MANIFOLD_PITCH / 2
        return {
            port: (index * MANIFOLD_PITCH - half, 10.0)
            for index, port in enumerate(component.ports)
        }
    if kind == "buffer_tank":
        if len(component.ports) == 2:
            return {"inlet": (-30.0, -20.0), "outlet": (30.0, 20.0)}
        return {
            "primary_in": (-30.0, -20.0),
            "primary_out": (-30.0, 20.0),
            "secondary_out": (30.0, -20.0),
            "secondary_in": (30.0, 20.0),
        }
    return _PORTS.get(kind, _IN_LINE)


def port_place(component: Component, port: str) -> Point:
    """Return where a port lies on the drawing."""
    x, y = turned(port_offsets(component)[port], component.turn)
    return (component.at[0] + x, component.at[1] + y)


def port_direction(component: Component, port: str) -> Point:
    """Return the unit vector in which a run leaves a port (one of the four axes)."""
    x, y = port_offsets(component)[port]
    half_width, half_height = body_half_size(component)
    # A port belongs to the side of the body it sticks out of most.
    if abs(x) - half_width >= abs(y) - half_height:
        out = (1.0 if x > 0 else -1.0, 0.0)
    else:
        out = (0.0, 1.0 if y > 0 else -1.0)
    return turned(out, component.turn)


def body_half_size(component: Component) -> tuple[float, float]:
    """Return half width and half height of the body before rotation."""
    kind = kind_name(component)
    if kind == "manifold":
        return (len(component.ports) * MANIFOLD_PITCH / 2, 5.0)
    if kind == "buffer_tank":
        return (20.0, 30.0)
    return _BODY.get(kind, _VALVE_BODY)


def body(component: Component) -> Rect:
    """Return the body's rectangle on the drawing."""
    half_width, half_height = body_half_size(component)
    if component.turn % 2:
        half_width, half_height = half_height, half_width
    x, y = component.at
    return Rect(x - half_width, y - half_height, x + half_width, y + half_height)
