# SPDX-License-Identifier: MIT
"""Edits: functions from vessel to vessel.

Each gives a new vessel that shares what it did not touch, or raises ``EditError`` with the reason
and the tags; the vessel given is as it was.  A vessel that could be saved can be saved after every
edit: tags stay unique, runs end at ports that are there, and what names a part follows it or goes
with it.  Runs follow what they end at, and lengths and elbows that are off the drawing follow it.
"""

from solver.vessel.edits.adding import (
    add,
    add_cabin,
    add_component,
    add_run,
    remove,
    replace_component,
)
from solver.vessel.edits.arranging import align, distribute
from solver.vessel.edits.bending import add_bend, bend, corners, move_segment, remove_bend, straighten
from solver.vessel.edits.branch_layout import BranchSettings, first_settings
from solver.vessel.edits.branches import place_branch, repeat_for_cabins
from solver.vessel.edits.copying import Clip, Pasted, clip, duplicate, paste
from solver.vessel.edits.cutting import OnRun, drop_on_run, put_tee
from solver.vessel.edits.deleting import delete
from solver.vessel.edits.healing import heal
from solver.vessel.edits.in_line import split_run
from solver.vessel.edits.joining import (
    RunDefaults,
    Where,
    can_connect,
    connect,
    join,
    new_run,
    why_not,
)
from solver.vessel.edits.locking import lock
from solver.vessel.edits.mains import mirror_main, pair
from solver.vessel.edits.making import new_component
from solver.vessel.edits.named import (
    add_conditions,
    add_deck,
    add_scenario,
    add_space,
    remove_conditions,
    remove_deck,
    remove_scenario,
    remove_space,
    set_conditions,
    set_deck,
    set_scenario,
    set_space,
)
from solver.vessel.edits.numbering import numbering, renumber
from solver.vessel.edits.placing import move, place, turn
from solver.vessel.edits.setting import retag, set_field, set_fields, set_run_size, set_vessel_field
from solver.vessel.edits.surfaces import (
    add_surface,
    mirror_surface,
    remove_surface,
    set_surface,
)
from solver.vessel.edits.tags import PREFIXES, free_tag

__all__ = [
    "PREFIXES",
    "BranchSettings",
    "Clip",
    "OnRun",
    "Pasted",
    "RunDefaults",
    "Where",
    "add",
    "add_bend",
    "add_cabin",
    "add_component",
    "add_conditions",
    "add_deck",
    "add_run",
    "add_scenario",
    "add_space",
    "add_surface",
    "align",
    "bend",
    "can_connect",
    "clip",
    "connect",
    "corners",
    "delete",
    "distribute",
    "drop_on_run",
    "duplicate",
    "first_settings",
    "free_tag",
    "heal",
    "join",
    "lock",
    "mirror_main",
    "mirror_surface",
    "move",
    "move_segment",
    "new_component",
    "new_run",
    "numbering",
    "pair",
    "paste",
    "place",
    "place_branch",
    "put_tee",
    "remove",
    "remove_bend",
    "remove_conditions",
    "remove_deck",
    "remove_scenario",
    "remove_space",
    "remove_surface",
    "renumber",
    "repeat_for_cabins",
    "replace_component",
    "retag",
    "set_conditions",
    "set_deck",
    "set_field",
    "set_fields",
    "set_run_size",
    "set_scenario",
    "set_space",
    "set_surface",
    "set_vessel_field",
    "split_run",
    "straighten",
    "turn",
    "why_not",
]
