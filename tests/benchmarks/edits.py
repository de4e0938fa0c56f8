# SPDX-License-Identifier: MIT
"""From an edit to what the user sees: the drawing painted, and new numbers on it, in the whole window."""

from __future__ import annotations

import os
import statistics
import tempfile
import time
from collections.abc import Callable, Iterator
from itertools import cycle
from pathlib import Path

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

import msgspec
from PySide6.QtCore import QEventLoop, QTimer
from PySide6.QtWidgets import QApplication

from app.editing.document import Document
from app.settings import Settings
from app.window.main_window import MainWindow
from solver.vessel.components import Pump
from solver.vessel.edits import replace_component
from solver.vessel.samples import ship
from tests.benchmarks.timing import Row, shown

#: Air handlers of a ship -> figure to reach for new numbers [text]; about 150, 2,000 and 20,000 parts.
_SHIPS = ((30, "10 ms"), (620, ""), (6_200, ""))
_SIZE = (1280, 800)
_TIMES = 15
#: The window is left alone so long between two edits [ms], as the throttle of the solver counts them.
_PAUSE_MS = 60


def rows() -> list[Row]:
    """Return the table of edits."""
    application = QApplication.instance() or QApplication(["benchmarks"])
    found: list[Row] = []
    with tempfile.TemporaryDirectory() as folder:
        for air_handlers, to_reach in _SHIPS:
            found.extend(_ship_rows(air_handlers, to_reach, Path(folder)))
    del application
    return found


def _ship_rows(air_handlers: int, to_reach: str, folder: Path) -> Iterator[Row]:
    settings = Settings(folder / "settings.ini")
    settings.set("motion", "still")
    window = MainWindow(Document(), settings, folder)
    window.resize(*_SIZE)
    window.show()
    window.document.show(ship(air_handlers))
    _until(lambda: window.store.results is not None)
    vessel = window.document.vessel
    name = f"{len(vessel.components)} components, {len(vessel.runs)} runs"
    for where, scale in (("fitted", None), ("at 1:1", 1.0)):
        window.view.fit() if scale is None else window.view.zoom(scale / window.view.scale_now())
        _pause()
        yield Row(f"{name}: edit to repaint, {where}", shown(_median(lambda: _move(window))))
        yield Row(f"{name}: edit to new numbers, {where}", shown(_median(lambda: _turn(window))), to_reach)
    # Nobody is to be asked about unsaved work.
    window.document.show(window.document.vessel)
    window.close()
    window.deleteLater()
    _pause()


def _move(window: MainWindow) -> None:
    """Move a part there and back, and paint the drawing."""
    first = window.document.vessel.components[0]
    way = next(_WAYS)
    moved = msgspec.structs.replace(first, at=(first.at[0] + way, first.at[1]))
    window.document.edit("Move", lambda vessel: replace_component(vessel, moved.tag, moved))
    QApplication.processEvents()


def _turn(window: MainWindow) -> None:
    """Turn a pump's speed, and wait until the numbers that belong to it are painted."""
    vessel = window.document.vessel
    pump = next(part for part in vessel.components if isinstance(part, Pump))
    turned = msgspec.structs.replace(pump, speed_percent=next(_SPEEDS))
    window.document.edit("Turn", lambda vessel: replace_component(vessel, turned.tag, turned))
    _until(lambda: _is_solved(window))
    QApplication.processEvents()


def _is_solved(window: MainWindow) -> bool:
    results = window.store.results
    return results is not None and results.vessel is window.document.vessel


_WAYS, _SPEEDS = cycle((10.0, -10.0)), cycle((98.0, 100.0, 99.0))


def _median(work: Callable[[], None]) -> float:
    """Return the median time of ``work`` [s], with pauses between that do not count."""
    times: list[float] = []
    for _ in range(_TIMES + 1):
        started = time.perf_counter()
        work()
        times.append(time.perf_counter() - started)
        _pause()
    return statistics.median(times[1:])


def _until(done: Callable[[], bool]) -> None:
    while not done():
        QApplication.processEvents(QEventLoop.ProcessEventsFlag.WaitForMoreEvents)


def _pause() -> None:
    loop = QEventLoop()
    QTimer.singleShot(_PAUSE_MS, loop.quit)
    loop.exec()
