# SPDX-License-Identifier: MIT
"""How far the lines of runs are drawn."""

import subprocess
import sys

from app.canvas.drawn_way import drawn_points
from solver.vessel.footprint import body
from solver.vessel.routing import length_of, way
from tests.app.small_loop import small_loop


def test_the_drawn_line_reaches_the_bodies() -> None:
    vessel = small_loop()
    for one in vessel.runs:
        points = way(vessel, one)
        drawn = drawn_points(vessel, one, points)
        assert length_of(drawn) >= length_of(points)
        for end, place in ((one.start, drawn[0]), (one.end, drawn[-1])):
            left, top, right, bottom = body(vessel.component_by_tag[end.tag])
            assert left <= place[0] <= right
            assert top <= place[1] <= bottom


def test_ways_and_crossings_need_no_qt() -> None:
    code = (
        "import sys, app.canvas.drawn_way, app.canvas.crossings, app.overlay.placing; "
        "sys.exit(any(name.startswith('PySide6') for name in sys.modules))"
    )
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0
