# SPDX-License-Identifier: MIT
"""Sample vessels: three motor yachts and a generator of ships of any size.

All equipment, vessels and figures are invented.  ``python -m solver.vessel.samples`` writes the
yachts to the folder of sample vessels.
"""

from __future__ import annotations

from collections.abc import Callable

from solver.vessel.samples.motor_yacht_18m import motor_yacht_18m
from solver.vessel.samples.motor_yacht_27m import motor_yacht_27m
from solver.vessel.samples.motor_yacht_45m import motor_yacht_45m
from solver.vessel.samples.ship import ship
from solver.vessel.vessel import Vessel

__all__ = ["SAMPLES", "motor_yacht_18m", "motor_yacht_27m", "motor_yacht_45m", "ship"]

#: Name of the file without its extension -> function that makes the vessel.
SAMPLES: dict[str, Callable[[], Vessel]] = {
    "motor_yacht_18m": motor_yacht_18m,
    "motor_yacht_27m": motor_yacht_27m,
    "motor_yacht_45m": motor_yacht_45m,
}
