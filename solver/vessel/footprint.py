# SPDX-License-Identifier: MIT
"""Where a component's body and ports lie on the drawing.

Drawing units: the symbol module is 10 units, y points down.  Figures here are for no rotation;
``turn`` counts quarter turns clockwise.  Ports lie on the 10-unit grid, so that runs between
components placed on the grid go at right angles.  A body need not lie evenly about the centre: a
gauge stands above its pipe, a drain hangs below it.
"""

from __future__ import annotations

import math
from typing import NamedTuple

from solver.vessel.components import Component, kind_name
from solver.vessel.fields import Point


class Rect(NamedTuple):
    """A rectangle on the drawing."""

    left: float
    top: float
    right: float
    bottom: float


#: Parts are placed, and ports lie, on this grid, so that runs go straight [units].
GRID = 10.0
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

#: The body about the component's centre, for hit areas, labels and routing.
_BODY: dict[str, Rect] = {
    "circulation_pump": Rect(-14.0, -14.0, 14.0, 14.0),
    "sea_water_pump": Rect(-14.0, -14.0, 14.0, 14.0),
    "chiller": Rect(-40.0, -30.0, 40.0, 30.0),
    "air_handler": Rect(-30.0, -20.0, 30.0, 20.0),
    "tee": Rect(-4.0, -4.0, 4.0, 4.0),
    "isolating_valve": Rect(-10.0, -6.0, 10.0, 6.0),
    "regulating_valve": Rect(-10.0, -10.0, 10.0, 9.0),
    "check_valve": Rect(-10.0, -6.0, 10.0, 6.0),
    "two_way_valve": Rect(-10.0, -20.0, 10.0, 6.0),
    "three_way_valve": Rect(-10.0, -20.0, 10.0, 10.0),
    "differential_bypass": Rect(-10.0, -20.0, 10.0, 6.0),
    "constant_flow_valve": Rect(-10.0, -8.0, 10.0, 8.0),
    "strainer": Rect(-10.0, -6.0, 10.0, 13.0),
    "expansion_vessel": Rect(-12.0, -12.0, 12.0, 12.0),
    "air_separator": Rect(-10.0, -20.0, 10.0, 15.0),
    "air_vent": Rect(-6.0, -27.0, 6.0, 4.0),
    "fill_point": Rect(-7.0, -22.0, 7.0, 10.0),
    "drain": Rect(-7.0, -4.0, 7.0, 28.0),
    "flexible_hose": Rect(-20.0, -5.0, 20.0, 5.0),
    "through_hull": Rect(-14.0, -13.0, 14.0, 13.0),
    "overboard": Rect(-14.0, -13.0, 14.0, 13.0),
    "pressure_gauge": Rect(-9.0, -26.0, 9.0, 4.0),
    "temperature_gauge": Rect(-9.0, -26.0, 9.0, 4.0),
    "flow_meter": Rect(-9.0, -9.0, 9.0, 9.0),
}
_BUFFER_TANK_BODY = Rect(-20.0, -30.0, 20.0, 30.0)
_BUFFER_TANK_TWO = {"inlet": (-30.0, -20.0), "outlet": (30.0, 20.0)}
_BUFFER_TANK_FOUR = {
    "primary_in": (-30.0, -20.0),
    "primary_out": (-30.0, 20.0),
    "secondary_out": (30.0, -20.0),
    "secondary_in": (30.0, 20.0),
}


def on_grid(value: float) -> float:
    """Return the line of the grid that is nearest to a coordinate, or so many whole steps for a distance."""
    return round(value / GRID) * GRID if math.isfinite(value) else value


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
        return {port: (index * MANIFOLD_PITCH - half, 10.0) for index, port in enumerate(component.ports)}
    if kind == "buffer_tank":
        return _BUFFER_TANK_TWO if len(component.ports) == 2 else _BUFFER_TANK_FOUR
    return _PORTS.get(kind, _IN_LINE)


def port_place(component: Component, port: str) -> Point:
    """Return where a port lies on the drawing."""
    x, y = _shape_of(component).ports[port]
    return (component.at[0] + x, component.at[1] + y)


def port_direction(component: Component, port: str) -> Point:
    """Return the unit vector in which a run leaves a port (one of the four axes)."""
    return _shape_of(component).directions[port]


def body_box(component: Component) -> Rect:
    """Return the body about the component's centre, before rotation."""
    kind = kind_name(component)
    if kind == "manifold":
        half = len(component.ports) * MANIFOLD_PITCH / 2
        return Rect(-half, -5.0, half, 5.0)
    if kind == "buffer_tank":
        return _BUFFER_TANK_BODY
    return _BODY[kind]


def body(component: Component) -> Rect:
    """Return the body's rectangle on the drawing."""
    left, top, right, bottom = _shape_of(component).body
    x, y = component.at
    return Rect(x + left, y + top, x + right, y + bottom)


class _Shape(NamedTuple):
    """Body, ports and their directions after rotation, about the component's centre."""

    body: Rect
    ports: dict[str, Point]
    directions: dict[str, Point]


#: Shapes by kind, number of ports and turn: a ship has thousands of parts but few shapes.
_SHAPES: dict[tuple[str, int, int], _Shape] = {}


def _shape_of(component: Component) -> _Shape:
    key = (kind_name(component), len(component.ports), component.turn)
    shape = _SHAPES.get(key)
    if shape is None:
        offsets, box, turn = port_offsets(component), body_box(component), component.turn
        (x1, y1), (x2, y2) = turned((box.left, box.top), turn), turned((box.right, box.bottom), turn)
        shape = _SHAPES[key] = _Shape(
            Rect(min(x1, x2), min(y1, y2), max(x1, x2), max(y1, y2)),
            {port: turned(place, turn) for port, place in offsets.items()},
            {port: turned(_out(place, box), turn) for port, place in offsets.items()},
        )
    return shape


def _out(port: Point, box: Rect) -> Point:
    """Return the way out at a port: it belongs to the side of the body it sticks out of most."""
    x, y = port
    sides = (
        (x - box.right, (1.0, 0.0)),
        (box.left - x, (-1.0, 0.0)),
        (y - box.bottom, (0.0, 1.0)),
        (box.top - y, (0.0, -1.0)),
    )
    return max(sides)[1]
