# SPDX-License-Identifier: MIT
"""How far the line of a run is drawn: on from its ports up to what it joins.  Pure, no Qt."""

from __future__ import annotations

from collections.abc import Sequence

from solver.vessel.components import Component, kind_name
from solver.vessel.fields import Point
from solver.vessel.footprint import body, port_place
from solver.vessel.routing import tidied
from solver.vessel.run import End, Run
from solver.vessel.vessel import Vessel

#: Kinds that sit on a pipe which passes under them.
_ON_PIPE = frozenset(("tee", "air_vent", "drain", "pressure_gauge", "temperature_gauge"))


def root_of(component: Component, port: str) -> Point:
    """Return where the pipe at a port visibly ends: at the body, or at the middle of what sits on a pipe."""
    if kind_name(component) in _ON_PIPE:
        return component.at
    x, y = port_place(component, port)
    left, top, right, bottom = body(component)
    return (min(max(x, left), right), min(max(y, top), bottom))


def drawn_points(vessel: Vessel, run: Run, way: Sequence[Point]) -> tuple[Point, ...]:
    """Return the way of a run with its two ends drawn on up to the bodies of its components."""

    def root(end: End) -> Point:
        return root_of(vessel.component_by_tag[end.tag], end.port)

    return tidied([root(run.start), *way, root(run.end)])
