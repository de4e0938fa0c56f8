# SPDX-License-Identifier: MIT
"""What of a run can be taken and moved: its bends, and its legs by their middles.  Pure, no Qt."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Literal, NamedTuple

from solver.vessel.edits import bend, move_segment
from solver.vessel.fields import Point
from solver.vessel.routing import legs, nearest_on
from solver.vessel.vessel import Vessel


class Grip(NamedTuple):
    """A bend, or a segment by its middle; its number counts from the start of the run."""

    kind: Literal["bend", "segment"]
    number: int
    at: Point


def grips_of(points: Sequence[Point]) -> list[Grip]:
    """Return the grips along a way, from its start: segment, bend, segment..."""
    found: list[Grip] = []
    for index, (a, b) in enumerate(legs(points)):
        if index:
            found.append(Grip("bend", index - 1, a))
        found.append(Grip("segment", index, ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)))
    return found


def grip_at(points: Sequence[Point], place: Point, reach: float) -> Grip:
    """Return the bend nearest to a place if one is within reach, else the segment there."""
    grips = grips_of(points)
    near = [grip for grip in grips if grip.kind == "bend" and math.dist(grip.at, place) <= reach]
    if near:
        return min(near, key=lambda grip: math.dist(grip.at, place))
    leg = nearest_on(points, place).leg
    return next(grip for grip in grips if grip[:2] == ("segment", leg))


def pulled(vessel: Vessel, run_tag: str, grip: Grip, to: Point) -> Vessel:
    """Return the vessel with a grip of a run moved to a place.

    Raises
    ------
    EditError
        The run is locked, or the place is beyond the drawing.
    """
    if grip.kind == "bend":
        return bend(vessel, run_tag, grip.number, to)
    return move_segment(vessel, run_tag, grip.number, to)
