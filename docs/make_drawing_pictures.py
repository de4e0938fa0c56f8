# SPDX-License-Identifier: MIT
"""Pictures of the page on drawing: what whole branches, cabin branches, pairs and return mains would draw.

    python docs/make_drawing_pictures.py [FOLDER]

Nothing is shown on a screen; the user's own settings are not touched.
"""

from __future__ import annotations

import os
import sys
import tempfile
from pathlib import Path

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
ROOT = Path(__file__).resolve().parent.parent
sys.path.insert(0, str(ROOT))

from PySide6.QtCore import QCoreApplication, QEvent, QPointF, Qt  # noqa: E402
from PySide6.QtGui import QMouseEvent  # noqa: E402

from app.editing.document import Document  # noqa: E402
from app.settings import Settings  # noqa: E402
from app.window.main import make_application  # noqa: E402
from app.window.main_window import MainWindow  # noqa: E402
from solver.vessel.edits import OnRun, add, add_cabin, first_settings, pair, place_branch, remove  # noqa: E402
from solver.vessel.fields import Point  # noqa: E402
from solver.vessel.parts_list import read_parts_list  # noqa: E402
from solver.vessel.run import End  # noqa: E402
from solver.vessel.vessel import Cabin, Vessel  # noqa: E402

SIZE = (1180, 600)
NONE = Qt.KeyboardModifier.NoModifier


def main(folder: Path) -> None:
    """Write the pictures into a folder."""
    folder.mkdir(parents=True, exist_ok=True)
    make_application()
    with tempfile.TemporaryDirectory() as scratch:
        settings = Settings(Path(scratch) / "settings.ini")
        for name, value in (("motion", "still"), ("theme", "light"), ("first_loop", False)):
            settings.set(name, value)
        window = MainWindow(Document(), settings, Path(scratch) / "journals", force_sync=True)
        window.show()
        window.resize(*SIZE)
        window.docks.arrange()
        for dock in (window.docks.findings_dock, *window.docks.all()):
            dock.setVisible(dock is window.docks.properties_dock)
        for name, tool, vessel, at in (
            ("whole_branch", "branch", _with_branch(), (520.0, 130.0)),
            ("cabin_branches", "cabins", _cabins(), (530.0, 240.0)),
            ("return_main", "mirror", _supply_alone(), (330.0, 300.0)),
        ):
            window.document.show(vessel)
            _settle(window)
            window.drawing.tools.take(tool)
            _point(window, at)
            window.grab().save(str(folder / f"{name}.png"))
            window.drawing.tools.put_down()
        window.document.new()
        window.close()


def _mains() -> Vessel:
    """A chiller with a pair of mains."""
    parts = read_parts_list()
    chiller = parts.make(parts.of_kind("chiller")[4].model, "CH-1", at=(0.0, 320.0))
    vessel = add(Vessel(name="Example"), components=(chiller,))
    ends = (End("CH-1", "water_out"), End("CH-1", "water_in"))
    return pair(vessel, ((60.0, 300.0), (860.0, 300.0)), start=ends, gap=40.0)


def _with_branch() -> Vessel:
    supply, back = (
        next(run.tag for run in _mains().runs if run.service == side) for side in ("supply", "return")
    )
    at = (300.0, 130.0)
    return place_branch(
        _mains(), first_settings(), OnRun(supply, (300.0, 300.0)), OnRun(back, (300.0, 340.0)), at
    )


def _cabins() -> Vessel:
    vessel = _mains()
    for number, name in enumerate(("Guest 1", "Guest 2", "Captain", "Crew")):
        left = 160.0 + 160.0 * number
        outline = ((left, 10.0), (left + 140.0, 10.0), (left + 140.0, 220.0), (left, 220.0))
        vessel = add_cabin(vessel, Cabin(tag=f"CAB-{number + 1}", name=name, outline=outline))
    return vessel


def _supply_alone() -> Vessel:
    vessel = _mains()
    back = next(run for run in vessel.runs if run.service == "return")
    vessel = remove(vessel, (back.tag, back.start.tag))
    last = next(run.tag for run in vessel.runs)
    for x in (240.0, 440.0, 640.0):
        before = set(vessel.run_by_tag)
        vessel = place_branch(vessel, first_settings(), OnRun(last, (x, 300.0)), None, (x, 130.0))
        new = [run for run in vessel.runs if run.tag not in before]
        last = next(run.tag for run in new if run.start.port.startswith("run_"))
    return vessel


def _settle(window: MainWindow) -> None:
    for _ in range(3):
        QCoreApplication.processEvents()
        window.view.fit()


def _point(window: MainWindow, at: Point) -> None:
    """Move the pointer to a place of the drawing."""
    port = window.view.viewport()
    place = window.view.mapFromScene(QPointF(*at))
    no_button = Qt.MouseButton.NoButton
    event = QMouseEvent(
        QEvent.Type.MouseMove, QPointF(place), QPointF(port.mapToGlobal(place)), no_button, no_button, NONE
    )
    QCoreApplication.sendEvent(port, event)
    QCoreApplication.processEvents()


if __name__ == "__main__":
    main(Path(sys.argv[1]) if len(sys.argv) > 1 else ROOT / "docs" / "pictures" / "drawing")
