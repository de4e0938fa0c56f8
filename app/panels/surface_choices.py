# SPDX-License-Identifier: MIT
"""What a cabin's surfaces can be, be built of and have beyond them, as choices."""

from __future__ import annotations

from app.panels.rows.row import Choices
from app.panels.words import choice_name
from app.translation import tr
from solver.parts.constructions import CONSTRUCTIONS
from solver.vessel.cabin import USUAL
from solver.vessel.spaces import known_spaces
from solver.vessel.vessel import Vessel


def surface_choices(vessel: Vessel) -> dict[str, Choices]:
    """Return field of a surface -> its choices."""
    usual = ("", tr("usual for its kind"))
    return {
        "kind": [(kind, choice_name(kind)) for kind in USUAL],
        "construction": [usual, *((name, each.words) for name, each in CONSTRUCTIONS.items())],
        "other_side": [usual, *((name, name) for name in known_spaces(vessel))],
    }
