# SPDX-License-Identifier: MIT
"""What the drawing says of a run, in words: its length, its corners, and whose scale that is."""

from __future__ import annotations

from app import units
from app.translation import tr
from solver.vessel.run import Run
from solver.vessel.takeoff import takeoff
from solver.vessel.vessel import Vessel


def takeoff_words(vessel: Vessel, run: Run, system: units.System) -> str:
    """Return length and elbows by the drawing, and where they came from."""
    found = takeoff(vessel, run)
    scale = (
        tr("scale of {0}").format(found.scale_from)
        if found.scale_from
        else tr("assumed scale, since its deck has none")
    )
    length = tr("By the drawing {0}: {1} along it ({2}), {3} up or down.").format(
        units.show(found.drawn_m, "length", system),
        units.show(found.level_m, "length", system),
        scale,
        units.show(abs(found.rise_m), "length", system),
    )
    elbows = tr("Bends: {0} on the drawing, {1} for the rise.").format(found.bends, found.rise_elbows)
    return f"{length} {elbows}"
