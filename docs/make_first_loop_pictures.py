# SPDX-License-Identifier: MIT
"""Pictures of the page on a first loop: the empty start, and a loop with the pressure along its circuit.

    python docs/make_first_loop_pictures.py [FOLDER]

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
from app.window.main import make_application  # noqa: E402
from app.window.main_window import MainWindow  # noqa: E402

SIZE = (1280, 800)


def main(folder: Path) -> None:
    """Write the pictures into a folder."""
    folder.mkdir(parents=True, exist_ok=True)
    application = make_application()
    with tempfile.TemporaryDirectory() as scratch:
        settings = Settings(Path(scratch) / "settings.ini")
        settings.set("motion", "still")
        settings.set("theme", "light")
        window = MainWindow(Document(), settings, Path(scratch) / "journals", force_sync=True)
        window.show()
        window.resize(*SIZE)
        window.docks.arrange()
        application.processEvents()
        window.grab().save(str(folder / "empty.png"))
        window.document.open_copy(ROOT / "sample_vessels" / "motor_yacht_18m.farcabin")
        window.live_panels.circuit_dock.raise_()
        for _ in range(3):
            application.processEvents()
            window.view.fit()
        window.scene.lay_out_labels()
        window.grab().save(str(folder / "solved.png"))
        window.close()


if __name__ == "__main__":
    main(Path(sys.argv[1]) if len(sys.argv) > 1 else ROOT / "docs" / "pictures" / "first_loop")
