# SPDX-License-Identifier: MIT
"""Pictures of the window for the documentation: each sample, light and dark, small and large.

    python docs/make_window_pictures.py [FOLDER]
    python docs/make_window_pictures.py docs/pictures/window.png    only the one of the first page

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

from app.editing.document import Document  # noqa: E402
from app.settings import Settings  # noqa: E402
from app.shipped import shipped  # noqa: E402
from app.window.main import make_application  # noqa: E402
from app.window.main_window import MainWindow  # noqa: E402

SIZES = {"small": (1280, 800), "large": (2560, 1440)}
THEMES = ("light", "dark")


def main(folder: Path) -> None:
    """Write all pictures into a folder."""
    folder.mkdir(parents=True, exist_ok=True)
    application = make_application()
    with tempfile.TemporaryDirectory() as scratch:
        settings = Settings(Path(scratch) / "settings.ini")
        settings.set("motion", "still")
        window = MainWindow(Document(), settings, Path(scratch) / "journals", force_sync=True)
        window.show()
        for theme in THEMES:
            settings.set("theme", theme)
            for size, (width, height) in SIZES.items():
                window.resize(width, height)
                window.docks.arrange()
                window.document.new()
                application.processEvents()
                window.grab().save(str(folder / f"empty_{theme}_{size}.png"))
                for sample in sorted(shipped("sample_vessels").glob("*.farcabin")):
                    window.document.open_copy(sample)
                    for view in VIEWS:
                        view(window)
                        application.processEvents()
                        window.view.fit()
                        application.processEvents()
                        window.grab().save(str(folder / f"{sample.stem}_{view.__name__}_{theme}_{size}.png"))
        window.close()


def first_page(path: Path) -> None:
    """Write the picture of the first page: a starved air handler and what the findings say."""
    application = make_application()
    with tempfile.TemporaryDirectory() as scratch:
        settings = Settings(Path(scratch) / "settings.ini")
        settings.set("motion", "still")
        settings.set("theme", "light")
        window = MainWindow(Document(), settings, Path(scratch) / "journals", force_sync=True)
        window.resize(1600, 1000)
        window.show()
        window.docks.arrange()
        window.document.open_copy(next(shipped("sample_vessels").glob("*27m*.farcabin")))
        air_handler(window)
        window.docks.findings_dock.raise_()
        window.actions_by_name["overlay_share"].trigger()
        application.processEvents()
        window.view.fit()
        application.processEvents()
        window.grab().save(str(path))
        window.close()


def overview(window: MainWindow) -> None:
    """The drawing as it opens."""
    window.shown.select(())
    window.docks.findings_dock.raise_()
    window.actions_by_name["overlay_share"].trigger()


def air_handler(window: MainWindow) -> None:
    """The air handler that gets least, its sheet, and the loss overlay."""
    results = window.store.results
    if results is not None and results.air_handlers:
        starved = min(results.air_handlers.values(), key=lambda each: each.share_of_design)
        window.shown.select((starved.tag,))
    window.docks.tables_dock.raise_()
    window.actions_by_name["overlay_loss"].trigger()


def pump(window: MainWindow) -> None:
    """The first pump, its sheet and its duty point."""
    results = window.store.results
    if results is not None and results.pumps:
        window.shown.select((next(iter(results.pumps)),))
    window.docks.duty_point_dock.raise_()
    window.actions_by_name["overlay_velocity"].trigger()


def run(window: MainWindow) -> None:
    """The run that loses most per length, in US customary units."""
    results = window.store.results
    if results is not None:
        runs = [results.links[each.tag] for each in window.document.vessel.runs if each.tag in results.links]
        window.shown.select((max(runs, key=lambda link: link.loss_Pa_m or 0).tag,))
    window.docks.findings_dock.raise_()
    window.actions_by_name["overlay_pressure"].trigger()


def temperatures(window: MainWindow) -> None:
    """The warmest cabin, its sheet, the table of cabins, and the water's temperature over the runs."""
    results = window.store.results
    if results is not None and results.heat is not None and results.heat.cabins:
        warmest = max(results.heat.cabins.values(), key=lambda each: each.above_K)
        window.shown.select((warmest.tag,))
    window.live_panels.cabins_dock.raise_()
    window.actions_by_name["overlay_temperature"].trigger()


def heat(window: MainWindow) -> None:
    """The first chiller, its sheet, where each kW goes, and the risk of condensation over the runs."""
    results = window.store.results
    if results is not None and results.heat is not None:
        window.shown.select((next(iter(results.heat.chillers)),))
    window.live_panels.heat_flow_dock.raise_()
    window.actions_by_name["overlay_condensation"].trigger()


def loads(window: MainWindow) -> None:
    """The last cabin, its surfaces and the rows of its load."""
    window.shown.select((window.document.vessel.cabins[-1].tag,))
    window.live_panels.loads_dock.raise_()
    window.docks.properties.sheet.verticalScrollBar().setValue(10_000)
    window.actions_by_name["overlay_share"].trigger()


def day(window: MainWindow) -> None:
    """The load by hour with two cabins' own curves."""
    window.live_panels.day_dock.raise_()
    window.shown.select([cabin.tag for cabin in window.document.vessel.cabins[:2]])
    window.actions_by_name["overlay_share"].trigger()


def conditions(window: MainWindow) -> None:
    """The load by hour beside the conditions it is of."""
    window.live_panels.day_dock.raise_()
    window.docks.edit_conditions()
    window.actions_by_name["overlay_share"].trigger()


VIEWS = (overview, air_handler, pump, run, temperatures, heat, loads, day, conditions)

if __name__ == "__main__":
    target = Path(sys.argv[1]) if len(sys.argv) > 1 else ROOT / "docs" / "pictures" / "window"
    first_page(target) if target.suffix == ".png" else main(target)
