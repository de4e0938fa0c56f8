# SPDX-License-Identifier: MIT
"""Guides: a port near the line of another goes onto it, and else onto the grid."""

from __future__ import annotations

import msgspec
import pytest

from app.canvas.scene import VesselScene
from app.canvas.tools.guides import aligned, way_to_lines
from app.canvas.tools.tool import Board
from solver.vessel.components import AnyComponent
from solver.vessel.footprint import port_place
from tests.app.small_loop import small_loop

_RV = small_loop().component_by_tag["RV-1"]


def _board(scene: VesselScene, scale: float) -> Board:
    board = Board(scene)
    board.scale = scale
    return board


def _at(dx: float, dy: float) -> AnyComponent:
    """Return a valve that is not on the drawing, so far from where its first port meets the pump's."""
    port, (x, y) = _RV.ports[0], port_place(small_loop().component_by_tag["P-1"], "outlet")
    own = port_place(_RV, port)
    at = (x + 60 + _RV.at[0] - own[0] + dx, y + _RV.at[1] - own[1] + dy)
    return msgspec.structs.replace(_RV, tag="RV-9", at=at)


@pytest.mark.parametrize("scale", [1.0, 1.5, 2.0])
def test_the_pull_reaches_as_many_pixels_near_by(scene: VesselScene, scale: float) -> None:
    vessel = small_loop()
    scene.show_vessel(msgspec.structs.replace(vessel, components=(vessel.component_by_tag["P-1"],), runs=()))
    board = _board(scene, scale)
    level = _at(0, 0).at[1]
    near, guides = aligned(board, _at(0.3, 7.5 / scale))
    assert near.at[1] == level
    assert any(port[1] == other[1] for port, other in guides)
    _, guides = aligned(board, _at(0.3, 8.5 / scale))
    assert not any(port[1] == other[1] for port, other in guides)


def test_from_afar_the_places_of_the_grid_beside_a_line_are_within_reach(scene: VesselScene) -> None:
    vessel = small_loop()
    scene.show_vessel(msgspec.structs.replace(vessel, components=(vessel.component_by_tag["P-1"],), runs=()))
    board, level = _board(scene, 0.25), _at(0, 0).at[1]
    for aimed, reached in ((7.0, 0.0), (9.0, 10.0), (10.0, 10.0), (14.0, 10.0), (21.0, 20.0)):
        assert aligned(board, _at(0.3, aimed))[0].at[1] == level + reached


def test_without_a_line_near_it_is_the_grid_that_pulls(scene: VesselScene) -> None:
    board = _board(scene, 1.0)
    part = msgspec.structs.replace(_RV, tag="RV-9", at=(3003.0, 3008.0))
    placed, guides = aligned(board, part)
    assert (placed.at, guides) == ((3000.0, 3010.0), [])
    board.snaps = False
    assert aligned(board, part)[0].at == (3003.0, 3008.0)


def test_parts_moved_together_draw_no_lines_to_each_other(scene: VesselScene) -> None:
    board = _board(scene, 1.0)
    vessel = small_loop()
    parts = tuple(
        msgspec.structs.replace(part, at=(part.at[0] + 2004.0, part.at[1] + 2004.0))
        for part in vessel.components
    )
    way, guides = way_to_lines(board, parts, (2004.0, 2004.0), frozenset(vessel.component_by_tag))
    assert (way, guides) == ((-4.0, -4.0), [])
