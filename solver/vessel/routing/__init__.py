# SPDX-License-Identifier: MIT
"""Ways of runs on the drawing: right angles from port to port.

``way`` gives a run as it is drawn, from its bends alone.  ``route`` looks for the way it should take,
round the bodies of components and beside other runs; edits write what it finds into the bends.
"""

from solver.vessel.routing.obstacles import Obstacles, obstacles_of
from solver.vessel.routing.route import Terminal, route, route_between, terminal, terminals
from solver.vessel.routing.way import (
    Spot,
    bends_of,
    legs,
    length_of,
    nearest_on,
    tidied,
    way,
    way_between,
)

__all__ = [
    "Obstacles",
    "Spot",
    "Terminal",
    "bends_of",
    "legs",
    "length_of",
    "nearest_on",
    "obstacles_of",
    "route",
    "route_between",
    "terminal",
    "terminals",
    "tidied",
    "way",
    "way_between",
]
