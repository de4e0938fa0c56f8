# SPDX-License-Identifier: MIT
"""Named sets of weather and sea that every sample vessel carries."""

from __future__ import annotations

from solver.vessel.design_conditions import DESIGN_CONDITIONS

_CARRIED = ("Mediterranean summer", "Gulf summer", "Temperate summer")
_BY_NAME = {conditions.name: conditions for conditions in DESIGN_CONDITIONS}

CONDITIONS = tuple(_BY_NAME[name] for name in _CARRIED)
