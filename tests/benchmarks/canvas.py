# SPDX-License-Identifier: MIT
"""Frames of the drawing: pan, zoom, overlay and results, on generated ships."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator
from itertools import count, cycle

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

import msgspec
from PySide6.QtWidgets import QApplication

from app.canvas.scene import VesselScene
from app.canvas.view import VesselView
from solver.solve import solve
from solver.vessel.samples import ship
from solver.vessel.vessel import Vessel
from tests.benchmarks.timing import Row, median, once, shown

#: Air handlers of a ship -> about how many components it has in all.
_SHIPS = ((620, 2_000), (6_200, 20_000))
_SIZE = (1280, 800)
_FRAME, _FITTED_FRAME = "16 ms", "150 ms"


def rows() -> list[Row]:
    """Return the table of the drawing."""
    application = QApplication.instance() or QApplication(["benchmarks"])
    found = [row for air_handlers, _ in _SHIPS for row in _ship_rows(ship(air_handlers))]
    del application
    return found


def _ship_rows(vessel: Vessel) -> Iterator[Row]:
    size = len(vessel.components)
    name = f"{size} components, {len(vessel.runs)} runs"
    large = size > 10_000
    results = solve(vessel)
    scene = VesselScene()
    view = VesselView(scene)
    view.resize(*_SIZE)
    view.show()
    # A window that is not on the screen yet paints nothing.
    QApplication.processEvents()
    yield Row(f"{name}: shown for the first time", shown(once(lambda: scene.show_vessel(vessel))))
    scene.show_results(results)
    scene.set_overlay("velocity")
    zooms = (("fitted", None), ("at 0.5", 0.5), ("at 1:1", 1.0))
    for where, scale in zooms[:1] if large else zooms:
        if scale is None:
            view.fit()
        else:
            view.zoom(scale / view.scale_now())
        scene.lay_out_labels()
        to_reach = _FITTED_FRAME if large else _FRAME
        for what, work in _frames(scene, view, results).items():
            yield Row(f"{name}: {what}, {where}", shown(median(work)), to_reach)
        yield Row(f"{name}: labels laid out anew, {where}", shown(median(_labels(scene, view))))
    yield Row(f"{name}: one part moved", shown(median(_move(scene, view, vessel))))
    view.close()


def _frames(scene: VesselScene, view: VesselView, results: object) -> dict[str, Callable[[], None]]:
    """Return the kinds of frame, each painted whole."""
    sides, factors = cycle((9, -9)), cycle((1.02, 1 / 1.02))
    overlays, numbers = cycle(("flow", "share", "loss", "velocity")), count(1)

    def pan() -> None:
        view.pan(next(sides), 0)
        _paint(view)

    def zoom() -> None:
        view.zoom(next(factors))
        _paint(view)

    def overlay() -> None:
        scene.set_overlay(next(overlays))
        _paint(view)

    def new_results() -> None:
        scene.show_results(msgspec.structs.replace(results, iterations=next(numbers)))
        _paint(view)

    return {"pan": pan, "zoom": zoom, "another overlay": overlay, "new results": new_results}


def _labels(scene: VesselScene, view: VesselView) -> Callable[[], None]:
    factors = cycle((1.02, 1 / 1.02))

    def lay_out() -> None:
        view.zoom(next(factors))
        scene.lay_out_labels()

    return lay_out


def _move(scene: VesselScene, view: VesselView, vessel: Vessel) -> Callable[[], None]:
    first, *others = vessel.components
    steps = cycle((10.0, -10.0))

    def move() -> None:
        at = (first.at[0] + next(steps), first.at[1])
        moved = msgspec.structs.replace(first, at=at)
        scene.show_vessel(msgspec.structs.replace(vessel, components=(moved, *others)))
        view.viewport().repaint()

    return move


def _paint(view: VesselView) -> None:
    view.viewport().update()
    view.viewport().repaint()
